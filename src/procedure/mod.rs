//! Procedures at a pump: prime, start, stop, change over, and a plant's own.
//!
//! A [`Procedure`] is what the planner writes, as TOML in a plant folder's `procedures/`: steps in the order they are
//! done, some only for pumps that meet [`Conditions`], some that run another procedure. [`Plan::of`] writes it out for one
//! pump (and the pump that stands in for it) as the plain list of steps an operator walks through, with all they are
//! judged by. A [`Run`] is a plan and what has happened since: it is made of [`Event`]s alone, so that the same events
//! give the same run.
//!
//! A plan is whole in itself. A run under way goes on by the plan it began with, whatever the plant's files say by now
//! of the procedure, the limits or the pump.
//!
//! Nothing here starts, stops or opens anything. It lists, asks and writes down.

mod choose;
mod conditions;
mod event;
mod examine;
mod expand;
mod judged;
mod meet;
mod now;
mod plan;
mod refused;
mod run;
mod step;
mod telling;
mod written;

pub use choose::{NoneFits, choose, partners};
pub use conditions::{Conditions, SealIs, SpareIs, SuctionIs};
pub use event::{Event, What};
pub use examine::{Fault, examine};
pub use judged::{Judged, note};
pub use meet::{Aside, Met, meet};
pub use now::{Asks, Now, Stopped};
pub use plan::{
    AskedEntry, BadPlan, CannotBegin, Instrument, JudgedBy, Plan, PlannedPump, PlannedStep, Task,
};
pub use refused::{CannotReplay, Refused};
pub use run::{Ending, How, Passed, Run, Signed, Try};
pub use step::{
    Action, Bounds, Kind, Least, Look, On, Position, Procedure, Proof, Step, Then, ValvePosition,
    Which,
};
pub use telling::{answer_words, duration};
pub use written::BadStep;

use crate::word;

/// What stands over every procedure; shown by [`language::word`](crate::language::word).
pub const PLANT_RULES: &str = word!(
    "Your plant's procedure rules. Where this list and your plant's procedures, permits and isolation rules differ, theirs hold; and whoever is licensed for a thing decides it."
);

/// Longest words of a step, characters: what is read at a glance at the pump.
pub const MAX_STEP_CHARS: usize = 300;
/// Longest reason for skipping, ending early or aborting, characters.
pub const MAX_REASON_CHARS: usize = 300;
/// Longest name of a person, characters.
pub const MAX_NAME_CHARS: usize = 80;
/// Most steps a procedure may come to, with those it runs.
pub const MAX_STEPS: usize = 200;
/// Longest wait, s: half a day.
pub const MAX_WAIT_S: u32 = 43_200;
