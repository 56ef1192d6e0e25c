//! What an operator puts right at a pump, whether it did it, and what is due.
//!
//! Pure. Times are milliseconds since 1970 UTC, as a device's records have them; what the clock says now comes in as an
//! argument. Nothing here overrules the plant's procedures: where a hand goes to a shaft, hot metal or a hazardous
//! liquid, the words defer to them and to licensed people.

pub mod compared;
pub mod due;
mod error;
pub mod gland;
pub mod grease;
pub mod grease_by_size;
pub mod hours;
mod kind;
pub mod lubrication;
pub mod oil;
mod possible;
mod proof;
mod words;

pub use error::{BadRemedy, CannotTell};
pub use kind::{
    GreaseGiven, MOST_FLATS, MOST_NUTS, OilGiven, Remedy, StrainerWork, Turn, WaterChange,
};
pub use possible::{answers, possible, possible_for};
pub use proof::{Proof, Wait, begins_anew, proof_of, proved_words, shows_in};
pub use words::{cautions, in_passing, in_words, name};
