//! The journal's immutable records: what is written down, and never changed.
//!
//! A record has an origin (the device), a gap-free sequence number in it, a UUIDv7 and
//! the SHA-256 of its canonical bytes: the JSON that `serde_json` writes for [`Record`],
//! fields in the order of the struct, no white space.

mod body;
mod deed;
mod mark;
mod sealed;

pub use body::{
    Body, EntryAmended, EntryMade, EntryWithdrawn, HowFound, PackTaken, PhotoTaken, RunningSeen,
    TagAdopted, VisitClosed, VisitOpened,
};
pub use deed::{Deed, Still};
pub use mark::{Mark, Point};
pub use sealed::{BadRecord, Hash, Hasher, Sealed};

use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// The device (one installed store) that wrote a record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Origin(pub Uuid);

/// Wall time as the device's clock had it. Clocks lie: order on a device is its sequence.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stamp {
    /// Milliseconds since 1970-01-01T00:00:00Z.
    pub utc_ms: i64,
    /// Minutes the device's local time was ahead of UTC.
    pub offset_min: i16,
}

/// One fact, written once.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Record {
    /// Device that wrote it.
    pub origin: Origin,
    /// Place in the device's own order: 1, 2, 3 … without gaps.
    pub seq: u64,
    /// Identity, a UUIDv7.
    pub id: Uuid,
    /// When, by the device's clock.
    pub at: Stamp,
    /// Who, as the operator signs.
    pub by: String,
    /// What.
    pub body: Body,
}
