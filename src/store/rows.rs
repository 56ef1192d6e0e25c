//! What the store gives back.

use super::{Result, StoreError};
use crate::{
    check::{Entered, RunningState},
    judge::{Hands, Verdict},
    plant::{CheckId, PlantId, PumpId, RoundId},
    record::{Deed, EntryMade, Hash, HowFound, Origin, PhotoTaken, Stamp},
};
use uuid::Uuid;

/// An entry with the record that holds it.
#[derive(Clone, Debug, PartialEq)]
pub struct EntryRow {
    /// The record.
    pub record: Uuid,
    /// Device that wrote it.
    pub origin: Origin,
    /// Its place there.
    pub seq: u64,
    /// When it was written down; when it was seen is `entry.seen_at`.
    pub at: Stamp,
    /// Who signed it.
    pub by: String,
    /// The record it puts right, where it does.
    pub amends: Option<Uuid>,
    /// The entry.
    pub entry: EntryMade,
    /// How far a hand may go at the gland, by the pump's liquid and, of a leak-off that is out of limits, by the gland's
    /// heat in the same visit, whichever was entered first.
    pub hands: Hands,
}

/// An entry that was made before, as far as trends need it.
#[derive(Clone, Debug, PartialEq)]
pub struct PastReading {
    /// The record.
    pub record: Uuid,
    /// In which visit.
    pub visit: Uuid,
    /// What the pump was doing, where the entry says.
    pub running: Option<RunningState>,
    /// When it was seen.
    pub seen_at: Stamp,
    /// What was entered.
    pub entered: Entered,
}

/// What a pump was seen doing in a visit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sighting {
    /// What, as last seen in it.
    pub running: RunningState,
    /// When the visit was opened, milliseconds since 1970 UTC.
    pub opened_ms: i64,
    /// When it was closed.
    pub closed_ms: Option<i64>,
}

/// A visit.
#[derive(Clone, Debug, PartialEq)]
pub struct VisitRow {
    /// Identity of the visit.
    pub visit: Uuid,
    /// At which pump.
    pub pump: PumpId,
    /// What the pump was doing, as last seen in it.
    pub running: RunningState,
    /// How the pump was found.
    pub found: HowFound,
    /// On which round.
    pub round: Option<RoundId>,
    /// Device it was opened on.
    pub origin: Origin,
    /// Place there of the record that opened it.
    pub seq: u64,
    /// Who opened it.
    pub by: String,
    /// When it was opened.
    pub opened: Stamp,
    /// When it was closed.
    pub closed: Option<Stamp>,
    /// Effective entries in it.
    pub entries: u32,
    /// The worst verdict among them.
    pub worst: Option<Verdict>,
}

/// Which visits may belong to a walk of a round: those of a span of time, and those that its device wrote between two
/// of its records though its clock was set back before the span.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SpanOfVisits {
    /// From this time on, milliseconds since 1970 UTC.
    pub from_ms: i64,
    /// Up to this time.
    pub to_ms: i64,
    /// The device whose own order is known.
    pub origin: Origin,
    /// After this record of it.
    pub after_seq: u64,
    /// Before this record of it.
    pub before_seq: u64,
}

/// Something done, noted or decided, with the record that holds it.
#[derive(Clone, Debug, PartialEq)]
pub struct DeedRow {
    /// The record.
    pub record: Uuid,
    /// Device that wrote it.
    pub origin: Origin,
    /// Its place there.
    pub seq: u64,
    /// When it was written down.
    pub at: Stamp,
    /// Who.
    pub by: String,
    /// What.
    pub deed: Deed,
}

/// Which deeds are asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DeedsOf<'a> {
    /// Those about a walk or a finding.
    Subject(Uuid),
    /// Those at a pump.
    Pump(&'a PumpId),
    /// Those of one kind, as [`Deed::kind`] names it.
    Kind(&'a str),
    /// Those that opened a finding which nobody has closed.
    OpenFindings,
    /// Those written down from one millisecond on to before another.
    Between(i64, i64),
    /// Those that began a procedure of which no end was written down.
    ProceduresUnderWay,
}

/// Which remedies are asked for, of those that hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RemediesWhich<'a> {
    /// Those at a pump.
    At(&'a PumpId),
    /// The one of this identity.
    Is(Uuid),
    /// Those done at this time, milliseconds since 1970 UTC, or later.
    DoneSince(i64),
    /// Those written down from one millisecond on to before another.
    Between(i64, i64),
}

/// A start or stop of a pump.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TurnRow {
    /// When, milliseconds since 1970 UTC.
    pub turned_ms: i64,
    /// It was started; else stopped.
    pub runs: bool,
}

/// A walk that was begun.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WalkRow {
    /// Its identity.
    pub run: Uuid,
    /// Of which round.
    pub round: RoundId,
}

/// A check for which something was entered in a visit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct EnteredRow {
    /// The record that holds it.
    pub record: Uuid,
    /// Which check.
    pub check: CheckId,
    /// What kind of thing.
    pub what: EnteredWhat,
}

/// What kind of thing was entered for a check.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EnteredWhat {
    /// That it was passed over, and why.
    PassedOver,
    /// A remark in words.
    Remark,
    /// What was found.
    Found,
}

/// Which entries of a check may have to do with a record: those seen about the time it speaks of, and those that its
/// device wrote on the other side of it than its clock says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Nearby {
    /// From this time on, milliseconds since 1970 UTC.
    pub from_ms: i64,
    /// Up to this time.
    pub to_ms: i64,
    /// The record's device.
    pub origin: Origin,
    /// Its place there.
    pub seq: u64,
}

/// How a pump stands, for lists.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpMark {
    /// Which pump.
    pub pump: PumpId,
    /// The worst that its checks come to now; a check passed over or not judged leaves the entry before it standing.
    pub worst: Option<Verdict>,
    /// When the last visit to it was opened.
    pub last_visit: Option<Stamp>,
}

/// Something wrong at a pump: the effective entries of one check that carry one finding.
#[derive(Clone, Debug, PartialEq)]
pub struct FindingRow {
    /// Its identity.
    pub finding: Uuid,
    /// At which pump.
    pub pump: PumpId,
    /// By which check.
    pub check: CheckId,
    /// The earliest entry.
    pub first: EntryRow,
    /// The latest entry, which is what the check comes to now where that carries this finding; its verdict is how bad it
    /// is now.
    pub latest: EntryRow,
    /// The worst verdict it ever had.
    pub worst: Verdict,
    /// How many entries.
    pub entries: u32,
    /// What the check comes to now carries this finding. Where two devices opened a finding each for one
    /// trouble, the one with the later entry goes on.
    pub holds_latest: bool,
    /// What the check comes to now, whether it carries this finding or not: back in limits, for example.
    pub check_now: Option<Verdict>,
}

/// A photo taken, with the record that holds it.
#[derive(Clone, Debug, PartialEq)]
pub struct PhotoRow {
    /// The record.
    pub record: Uuid,
    /// Device that wrote it.
    pub origin: Origin,
    /// Its place there.
    pub seq: u64,
    /// When.
    pub at: Stamp,
    /// Who.
    pub by: String,
    /// The photo.
    pub taken: PhotoTaken,
    /// The picture's bytes are in this store.
    pub here: bool,
}

/// A picture's bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// The file, as it was put in.
    pub bytes: Vec<u8>,
    /// Its width.
    pub width_px: u32,
    /// Its height.
    pub height_px: u32,
}

/// The plant this store works by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PackRow {
    /// Which plant.
    pub plant: PlantId,
    /// Its version.
    pub version: u32,
    /// SHA-256 of the bytes.
    pub sha256: Hash,
    /// The plant as JSON.
    pub bytes: Vec<u8>,
}

/// A code that stands for a pump.
#[derive(Clone, Debug, PartialEq)]
pub struct AdoptedTagRow {
    /// The code's text.
    pub code: String,
    /// The pump it stands for.
    pub pump: PumpId,
    /// When it was adopted.
    pub at: Stamp,
    /// Who did.
    pub by: String,
}

/// A device whose records are in this store.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OriginRow {
    /// The device.
    pub origin: Origin,
    /// The highest sequence number that is here.
    pub highest_seq: u64,
    /// This store writes, or once wrote, under that name.
    pub is_own: bool,
}

/// Number of a receipt in this store.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ReceiptId(pub i64);

/// A file about to be taken in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewReceipt {
    /// SHA-256 of the whole file.
    pub sha256: Hash,
    /// Its name, without its folder.
    pub file_name: String,
    /// The device that made it, where it says.
    pub origin: Option<Origin>,
    /// When it is taken in.
    pub at: Stamp,
}

/// What came of taking a file in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ReceiptCounts {
    /// Records that were not here before.
    pub new: u64,
    /// Records that were.
    pub known: u64,
    /// Records that contradict one that is here.
    pub set_aside: u64,
    /// Photos that were not here before.
    pub photos: u64,
}

/// A file that was taken in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReceiptRow {
    /// Its number here.
    pub id: ReceiptId,
    /// What was taken in, and when.
    pub file: NewReceipt,
    /// What came of it.
    pub counts: ReceiptCounts,
}

/// How many effective entries of one pump and verdict a file brought.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ArrivalRow {
    /// Which pump.
    pub pump: PumpId,
    /// Which verdict.
    pub verdict: Verdict,
    /// How many entries.
    pub entries: u32,
}

/// Why a record was set aside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WhySetAside {
    /// Another record has its origin and sequence number.
    SamePlace,
    /// Another record has its id.
    SameId,
}

impl WhySetAside {
    pub(super) fn key(self) -> &'static str {
        match self {
            Self::SamePlace => "same_place",
            Self::SameId => "same_id",
        }
    }

    pub(super) fn from_key(key: &str) -> Result<Self> {
        match key {
            "same_place" => Ok(Self::SamePlace),
            "same_id" => Ok(Self::SameId),
            _ => Err(StoreError::Damaged(format!(
                "'{key}' is no reason to set a record aside"
            ))),
        }
    }
}

/// A record that contradicts one that is here. Both are kept; only the one in the journal is shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetAsideRow {
    /// Device it says it is from.
    pub origin: Origin,
    /// The place it says it has.
    pub seq: u64,
    /// Its id.
    pub id: Uuid,
    /// Hash of its bytes.
    pub hash: Hash,
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// What it contradicts.
    pub why: WhySetAside,
    /// The file it came in.
    pub receipt: ReceiptId,
}

/// What taking a record in came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Taken {
    /// It was not here before.
    New,
    /// It was.
    Known,
    /// It contradicts one that is here, and was put beside the journal.
    SetAside(WhySetAside),
}

/// Which findings are asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FindingsOf<'a> {
    /// All there are.
    Everything,
    /// Those of one pump.
    Pump(&'a PumpId),
    /// Those with an entry of one visit.
    Visit(Uuid),
    /// Those with an entry that one file brought.
    Receipt(ReceiptId),
    /// This one.
    Finding(Uuid),
}

/// Which photos are asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PhotosOf<'a> {
    /// Those of one pump.
    Pump(&'a PumpId),
    /// Those of one visit.
    Visit(Uuid),
    /// Those of the checks that a finding's entries belong to, in the same visits.
    Finding(Uuid),
}
