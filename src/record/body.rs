//! What a record can say.

use super::{Deed, Hash, Mark, Stamp};
use crate::{
    check::{Entered, RunningState},
    judge::{Judgement, Previous},
    plant::{CheckId, Limits, PlantId, PumpId, RoundId},
};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// What a record says.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Body {
    /// A plant's register, limits and rounds were taken in.
    PackTaken(PackTaken),
    /// An operator began at a pump.
    VisitOpened(VisitOpened),
    /// The pump was doing something else than the visit said until now.
    RunningSeen(RunningSeen),
    /// An entry was made.
    EntryMade(Box<EntryMade>),
    /// An entry was put right.
    EntryAmended(Box<EntryAmended>),
    /// An entry was taken back.
    EntryWithdrawn(EntryWithdrawn),
    /// A photo was taken.
    PhotoTaken(PhotoTaken),
    /// The operator left the pump.
    VisitClosed(VisitClosed),
    /// A code that was already on a pump now stands for it.
    TagAdopted(TagAdopted),
    /// Something was done, noted or decided.
    Done(Deed),
}

impl Body {
    /// Its kind, as it is written in the record.
    pub fn kind(&self) -> &'static str {
        match self {
            Body::PackTaken(_) => "pack_taken",
            Body::VisitOpened(_) => "visit_opened",
            Body::RunningSeen(_) => "running_seen",
            Body::EntryMade(_) => "entry_made",
            Body::EntryAmended(_) => "entry_amended",
            Body::EntryWithdrawn(_) => "entry_withdrawn",
            Body::PhotoTaken(_) => "photo_taken",
            Body::VisitClosed(_) => "visit_closed",
            Body::TagAdopted(_) => "tag_adopted",
            Body::Done(_) => "done",
        }
    }
}

/// A plant's register, limits and rounds were taken in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PackTaken {
    /// Which plant.
    pub plant: PlantId,
    /// Its version.
    pub version: u32,
    /// SHA-256 of the plant as JSON, kept beside the journal.
    pub sha256: Hash,
}

/// An operator began at a pump.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VisitOpened {
    /// Identity of the visit.
    pub visit: Uuid,
    /// At which pump.
    pub pump: PumpId,
    /// What the pump was doing.
    pub running: RunningState,
    /// How the pump was found.
    pub found: HowFound,
    /// On which round, if on one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub round: Option<RoundId>,
}

/// The pump was doing something else than the visit said until now; the visit's entries stay.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RunningSeen {
    /// In which visit.
    pub visit: Uuid,
    /// What the pump is doing.
    pub running: RunningState,
}

/// How the pump was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum HowFound {
    /// Its tag was scanned.
    Scanned,
    /// Its short id was keyed in.
    ShortId,
    /// It was chosen from a list.
    Chosen,
}

/// An entry was made. It carries all it was judged by, so that judging again gives the same.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EntryMade {
    /// In which visit.
    pub visit: Uuid,
    /// At which pump.
    pub pump: PumpId,
    /// For which check.
    pub check: CheckId,
    /// What the pump was doing. Records from before it was kept don't say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub running: Option<RunningState>,
    /// When it was seen. A correction keeps the time of what it corrects, so that history stays in order.
    pub seen_at: Stamp,
    /// What was entered.
    pub entered: Entered,
    /// The limits it was judged by.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limits: Option<Limits>,
    /// The entry it was compared with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub previous: Option<Previous>,
    /// What it came to.
    pub judgement: Judgement,
    /// Hands had to stay off the gland: the pump's liquid was hot or hazardous. Left out where they need not, so that
    /// records from before it was kept read on with the bytes they have.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub hands_off: bool,
    /// The finding it opened or belongs to, where it is out of limits.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub finding: Option<Uuid>,
}

/// An entry was put right: what it should have been.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EntryAmended {
    /// The record that held the wrong entry.
    pub amends: Uuid,
    /// The entry as it should have been; same visit, pump and check.
    pub entry: EntryMade,
}

/// An entry was taken back.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EntryWithdrawn {
    /// The record that held the entry.
    pub amends: Uuid,
}

/// A photo was taken.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PhotoTaken {
    /// In which visit.
    pub visit: Uuid,
    /// At which pump.
    pub pump: PumpId,
    /// For which check, if for one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub check: Option<CheckId>,
    /// For which finding, if it is of one opened by hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub finding: Option<Uuid>,
    /// The picture's name: SHA-256 of its bytes.
    pub photo: Hash,
    /// When the camera says it was taken, local time as text.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taken_at: Option<String>,
    /// Marks drawn over it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<Mark>,
    /// The operator's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

/// The operator left the pump.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VisitClosed {
    /// Which visit.
    pub visit: Uuid,
}

/// A code that was already on a pump now stands for it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TagAdopted {
    /// Which pump.
    pub pump: PumpId,
    /// The code's text.
    pub code: String,
}
