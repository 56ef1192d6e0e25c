//! A generated history for the demo plant: the same plant, seed and start give the same visits to the last byte,
//! as long as the random number crate is not changed for another version.
//!
//! Values lie about their targets with noise; on some pumps of Kestrel Ness troubles develop
//! ([`stories`]), told in words in the demo plant's README.

mod chance;
mod duty;
mod entry;
mod log;
mod ordinary;
mod picture;
mod programme;
mod put_right;
mod shift;
pub mod stories;
mod walks;
mod weather;

pub use log::{DemoLog, log};

use crate::{
    check::{Entered, RunningState},
    plant::{CheckId, Plant, PumpId, RoundId},
    record::{Mark, Stamp},
    remedy::Remedy,
};
use programme::Programme;

/// One visit of the generated history.
#[derive(Clone, Debug, PartialEq)]
pub struct DemoVisit {
    /// When the operator came to the pump.
    pub at: Stamp,
    /// Who, as the operator signs.
    pub by: String,
    /// Which of the two devices wrote it: 0 or 1.
    pub device: u8,
    /// On which round.
    pub round: RoundId,
    /// At which pump.
    pub pump: PumpId,
    /// What the pump was doing at its end.
    pub running: RunningState,
    /// It was started (`true`) or stopped as the visit began.
    pub turned: Option<bool>,
    /// What was entered, in walking order.
    pub entries: Vec<(CheckId, Entered)>,
    /// What was put right after that, one after the other.
    pub put_right: Vec<DemoRemedy>,
    /// A photo, where one was taken.
    pub photo: Option<DemoPhoto>,
    /// What becomes of the walk of the round that it is made on; `None` before rounds were begun and ended here.
    pub walk: Option<DemoWalk>,
}

/// What becomes of a walk at one of its visits.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DemoWalk {
    /// It is begun before this visit.
    pub begins: bool,
    /// Somebody else begins it and lays it aside; who makes the visit takes it over.
    pub begun_by: Option<String>,
    /// A stop that is passed over before the end, and why.
    pub passes_over: Option<(PumpId, String)>,
    /// It is ended after this visit, with this reason for what was not made.
    pub ends: Option<String>,
}

/// Something put right in the generated history.
#[derive(Clone, Debug, PartialEq)]
pub struct DemoRemedy {
    /// What.
    pub what: Remedy,
    /// Minutes waited then.
    pub wait_minutes: i64,
    /// What was entered again after the wait.
    pub again: Vec<(CheckId, Entered)>,
}

/// A photo of the generated history: a plain drawing, so that nobody takes it for a real pump.
#[derive(Clone, Debug, PartialEq)]
pub struct DemoPhoto {
    /// For which check.
    pub check: CheckId,
    /// The picture as JPEG.
    pub jpeg: Vec<u8>,
    /// Marks over it.
    pub marks: Vec<Mark>,
    /// The operator's words.
    pub words: String,
}

/// The visits of so many days, in order of time.
///
/// `start` is midnight, local time, of the first day. The troubles are at their worst on the last day, whatever the number of days.
pub fn history(
    plant: &Plant,
    seed: u64,
    start: Stamp,
    days: u32,
) -> impl Iterator<Item = DemoVisit> {
    let mill = Mill {
        plant,
        seed,
        programme: Programme::new(plant, seed, days),
    };
    shift::all(days).flat_map(move |shift| shift.walk(&mill, start))
}

/// The plant, its chance, and what is done there by programme.
struct Mill<'p> {
    plant: &'p Plant,
    seed: u64,
    programme: Programme,
}
