//! What can't be taken, and what can't be told.

use super::kind::{MOST_FLATS, MOST_NUTS};
use crate::{say, statistics::counting::CountingError};

/// A remedy that can't be taken as it was entered.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BadRemedy {
    /// This pump has no such part there.
    #[error("{}", say!("{pump} has no {part} at {place}; choose a place that has one, or write it in own words", pump, part, place))]
    NoSuchPart {
        /// Which pump.
        pump: String,
        /// What was worked on.
        part: &'static str,
        /// Where, as it is written in files.
        place: &'static str,
    },
    /// A gland has 2 to 8 nuts.
    #[error("{}", say!("a gland of {nuts} nuts is not known; give the flats of each of its 2 to {most} nuts", nuts, most = MOST_NUTS))]
    Nuts {
        /// Nuts given.
        nuts: usize,
    },
    /// No nut was turned.
    #[error("{}", say!("no gland nut was turned; give the flats of each nut, or nothing was done"))]
    NothingTurned,
    /// More than a turn at once.
    #[error("{}", say!("gland nut {nut} is said to have been turned {flats} flats at once, more than a whole turn ({most}); enter each step by itself", nut, flats, most = MOST_FLATS))]
    TooManyFlats {
        /// Which nut, from 1.
        nut: usize,
        /// Flats given.
        flats: u8,
    },
    /// An amount nobody gives.
    #[error("{}", say!("{value} {unit} {what} can't be; enter more than 0 and at most {most}", value, unit, what, most))]
    Amount {
        /// Of what.
        what: &'static str,
        /// As it was entered.
        value: f64,
        /// Its unit.
        unit: &'static str,
        /// The most that is taken.
        most: f64,
    },
    /// Words that are missing.
    #[error("{}", say!("{what} is empty; write it down", what))]
    Empty {
        /// What is missing.
        what: &'static str,
    },
    /// Words that are too long.
    #[error("{}", say!("{what} is {chars} characters long, at most {most} are kept; say it shorter", what, chars, most))]
    TooLong {
        /// Which words.
        what: &'static str,
        /// Their length, characters.
        chars: usize,
        /// The most that is kept.
        most: usize,
    },
}

/// Why something about a remedy, running hours or what is due can't be told, and what would allow it.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CannotTell {
    /// Too little history.
    #[error("{}", too_few(what, *have, *need, record))]
    TooFew {
        /// What was asked.
        what: &'static str,
        /// What there is.
        have: usize,
        /// What it needs.
        need: usize,
        /// What is to be recorded.
        record: &'static str,
    },
    /// A count that gives no rate.
    #[error(transparent)]
    Counting(#[from] CountingError),
    /// No drops were counted.
    #[error("{}", say!("nothing can be suggested for the nuts without a count; count the drops first"))]
    NoCount,
    /// A number that is none, or is out of its range.
    #[error("{}", say!("{what} can't be reckoned with as it is; enter a number from {lowest} to {highest}", what, lowest, highest))]
    Number {
        /// Which.
        what: &'static str,
        /// The least that is taken.
        lowest: f64,
        /// The most that is taken.
        highest: f64,
    },
    /// The gland doesn't answer to its nuts.
    #[error("{}", say!("turning the nuts has not been shown to change this gland's leak-off ({pairs} times looked at); turn no further, and tell the shift supervisor that the packing wants looking at", pairs))]
    NoResponse {
        /// Times the nuts were turned and the drops counted before and after.
        pairs: usize,
    },
    /// The band is farther away than a turn of the nuts.
    #[error("{}", say!("by this gland's own response it would take {flats} flats on each nut, more than a whole turn; turn no further, and tell the shift supervisor that the packing is due", flats = format!("{flats_each:.0}")))]
    TooFar {
        /// Flats on each nut.
        flats_each: f64,
    },
    /// A span that ends before it begins.
    #[error("{}", say!("the span ends before it begins; look whether the device's clock was set back, and choose the span again"))]
    SpanBackwards,
    /// Two entries that can't be set side by side.
    #[error("{}", say!("the entries before and after measure different things; make the one after in the same way as the one before"))]
    NotComparable,
    /// The register doesn't say.
    #[error("{}", say!("the register doesn't say {what}; ask the planner to set `{field}` for this bearing", what, field))]
    NotInRegister {
        /// What is missing.
        what: &'static str,
        /// Its field.
        field: &'static str,
    },
    /// The formula does not apply.
    #[error("{}", say!("the published interval does not apply to this bearing at this speed: it comes out below one hour; ask the bearing's maker"))]
    FormulaDoesNotApply,
}

fn too_few(what: &str, have: usize, need: usize, record: &str) -> String {
    if have == 0 {
        say!(
            "{what} isn't known yet: it takes {need} times, and none is recorded; record {record} each time",
            what,
            need,
            record
        )
    } else {
        say!(
            "{what} isn't known yet: of the {need} times it takes, recorded so far: {have}; record {record} each time",
            what,
            need,
            have,
            record
        )
    }
}
