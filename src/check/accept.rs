//! Taking an entry, or saying why not.

use super::{Choice, Entered, EntryKind, compare, words};
use crate::{plant::Unit, say};
use std::cmp::Ordering;

/// Longest remark, characters: a few paragraphs.
pub const MAX_WORDS_CHARS: usize = 2_000;

/// Longest reason for not checking, characters: two sentences.
pub const MAX_REASON_CHARS: usize = 300;

/// Shortest count that is taken with few drops, s.
///
/// Common practice, no source. Falling drops scatter as a Poisson process: with a mean rate r, no drop at all falls in
/// a time t with the probability exp(-r t). A gland at a good 10 drops/min shows none in 5 s in exp(-10 * 5 / 60) = 43 %
/// of all counts, and a lower bound would then stop a good pump; in 30 s it shows none in exp(-5) = 0.7 %.
pub const MIN_COUNT_S: f64 = 30.0;

/// Drops that are enough however short the count.
///
/// Common practice, no source: n drops scatter by sqrt(n), so that ten give the rate to about a third.
pub const ENOUGH_DROPS: u32 = 10;

/// Drops in a second beyond which nobody tells one from the next. Common practice, no source.
const MOST_DROPS_PER_S: f64 = 20.0;

/// A bucket's fill: more is no leak-off to be measured in a cup. Common practice, no source.
const MOST_CAUGHT_ML: f64 = 10_000.0;

/// Shortest catch, s: half a second's slip at either end is then a tenth of it. Common practice, no source.
const LEAST_CATCH_S: f64 = 10.0;

/// An entry that can't be taken.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BadEntry {
    /// Not what the check asks for.
    #[error("{}", say!(
        "this check asks for {asked}, not for {given}; enter {asked} or say why it was not checked",
        asked, given
    ))]
    WrongKind {
        /// What the check asks for.
        asked: &'static str,
        /// What was given.
        given: &'static str,
    },
    /// Outside what the instrument can show.
    #[error("{}", say!(
        "{value} {unit} is outside what the instrument can show, {lowest} to {highest} {asked_unit}; read it again and look at the decimal sign",
        value, unit, lowest, highest, asked_unit
    ))]
    OutOfRange {
        /// The number given.
        value: f64,
        /// Its unit.
        unit: Unit,
        /// Lowest the instrument shows.
        lowest: f64,
        /// Highest the instrument shows.
        highest: f64,
        /// Unit of the range.
        asked_unit: Unit,
    },
    /// A unit that measures something else.
    #[error("{}", say!(
        "{given} does not measure what this check asks for; enter it in {asked} or a unit like it",
        given, asked
    ))]
    OtherQuantity {
        /// Unit given.
        given: Unit,
        /// Unit asked for.
        asked: Unit,
    },
    /// Infinite or no number.
    #[error("{}", say!("that is not a number; read the instrument again and key in what it shows"))]
    NotFinite,
    /// Drops without a time.
    #[error("{}", say!(
        "drops were counted over no time; count again for some seconds, the count starts with the first tap"
    ))]
    NoTime,
    /// A stream without a time.
    #[error("{}", say!(
        "the cup was held under the stream for no time; hold it there for some seconds, and enter how many"
    ))]
    CaughtInNoTime,
    /// Too few drops in too short a time.
    #[error("{}", say!(
        "a count of {drops} in {seconds} s says little of how it drips; count on for {more} s more, or to {enough} drops, or count again for {least} s",
        drops, seconds, more = format!("{:.0}", (MIN_COUNT_S - seconds).ceil()), enough = ENOUGH_DROPS, least = MIN_COUNT_S
    ))]
    CountTooShort {
        /// Drops counted.
        drops: u32,
        /// Over how long, s.
        seconds: f64,
    },
    /// More drops than anybody can count in the time.
    #[error("{}", say!(
        "{drops} drops in {seconds} s can't be counted; look at the two numbers again, and where it runs in a stream say so under Surroundings",
        drops, seconds
    ))]
    CountTooFast {
        /// Drops counted.
        drops: u32,
        /// Over how long, s.
        seconds: f64,
    },
    /// More or less than a cup can catch.
    #[error("{}", say!(
        "{caught} mL is not what a cup can catch; enter up to {most} mL, or count the drops where nothing runs",
        caught = _0, most = MOST_CAUGHT_ML
    ))]
    CaughtOutside(f64),
    /// Caught over too short a time to read cup and clock.
    #[error("{}", say!(
        "a stream caught for {seconds} s says little; catch it for {least} s or more",
        seconds, least = LEAST_CATCH_S
    ))]
    CaughtTooShort {
        /// Over how long, s.
        seconds: f64,
    },
    /// A level outside the glass.
    #[error("{}", say!("a level of {percent} % is outside the glass; enter 0 for empty to 100 for full", percent = _0))]
    LevelOutside(f64),
    /// A step the scale does not have.
    #[error("{}", say!("step {step} is not on this scale; choose 0 to {highest}", step, highest))]
    UnknownStep {
        /// The step given.
        step: u8,
        /// The scale's highest.
        highest: usize,
    },
    /// A word that is not one of those to choose from.
    #[error("{}", say!("'{key}' is not one of the choices; choose one of {known}", key, known))]
    UnknownChoice {
        /// The key given.
        key: String,
        /// The keys there are.
        known: String,
    },
    /// A remark without words.
    #[error("{}", say!("the remark has no words; write something or leave it out"))]
    NoWords,
    /// Not checked, without a reason.
    #[error("{}", say!("say in a few words why it was not checked"))]
    NoReason,
    /// More words than fit.
    #[error("{}", say!("the text has {chars} characters and {most} fit; shorten it", chars, most))]
    TooLong {
        /// Characters given.
        chars: usize,
        /// Characters that fit.
        most: usize,
    },
}

/// Takes an entry for a check that is entered in this way; words come back without blanks around them.
///
/// A number in another unit of the same quantity is taken as it is.
///
/// # Errors
/// What is wrong with it and what to enter instead.
pub fn accept(kind: &EntryKind, entered: Entered) -> Result<Entered, BadEntry> {
    match (kind, entered) {
        (_, Entered::NotChecked { reason }) => {
            let reason = text(&reason, MAX_REASON_CHARS, BadEntry::NoReason)?;
            Ok(Entered::NotChecked { reason })
        }
        (EntryKind::Words, Entered::Words { text: words }) => {
            let words = text(&words, MAX_WORDS_CHARS, BadEntry::NoWords)?;
            Ok(Entered::Words { text: words })
        }
        (kind, entered) => {
            check(kind, &entered)?;
            Ok(entered)
        }
    }
}

fn check(kind: &EntryKind, entered: &Entered) -> Result<(), BadEntry> {
    match (kind, entered) {
        (
            &EntryKind::Number {
                unit: asked,
                lowest,
                highest,
            },
            &Entered::Number { value, unit },
        ) => number(value, unit, asked, lowest, highest),
        (EntryKind::Count, &Entered::Count { drops, seconds }) => count(drops, seconds),
        (
            EntryKind::Count,
            &Entered::Stream {
                millilitres,
                seconds,
                drops_per_ml,
            },
        ) => stream(millilitres, seconds, drops_per_ml),
        (EntryKind::Level, &Entered::Level { percent }) => {
            refuse_unless(percent.is_finite(), || BadEntry::NotFinite)?;
            refuse_unless((0.0..=100.0).contains(&percent), || {
                BadEntry::LevelOutside(percent)
            })
        }
        (&EntryKind::Feel(scale), &Entered::Feel { step }) => {
            let steps = words::feel_steps(scale).len();
            refuse_unless(usize::from(step) < steps, || BadEntry::UnknownStep {
                step,
                highest: steps - 1,
            })
        }
        (EntryKind::Choice(choices), Entered::Choice { key }) => {
            refuse_unless(choices.iter().any(|choice| choice.key == key), || {
                BadEntry::UnknownChoice {
                    key: key.clone(),
                    known: known(choices),
                }
            })
        }
        (EntryKind::YesNo { .. }, Entered::YesNo { .. }) => Ok(()),
        (kind, entered) => Err(BadEntry::WrongKind {
            asked: asked(kind),
            given: given(entered),
        }),
    }
}

fn refuse_unless(good: bool, refusal: impl FnOnce() -> BadEntry) -> Result<(), BadEntry> {
    if good { Ok(()) } else { Err(refusal()) }
}

fn count(drops: u32, seconds: f64) -> Result<(), BadEntry> {
    refuse_unless(seconds.is_finite() && seconds > 0.0, || BadEntry::NoTime)?;
    refuse_unless(seconds >= MIN_COUNT_S || drops >= ENOUGH_DROPS, || {
        BadEntry::CountTooShort { drops, seconds }
    })?;
    refuse_unless(f64::from(drops) <= MOST_DROPS_PER_S * seconds, || {
        BadEntry::CountTooFast { drops, seconds }
    })
}

fn stream(millilitres: f64, seconds: f64, drops_per_ml: Option<f64>) -> Result<(), BadEntry> {
    refuse_unless(seconds.is_finite() && seconds > 0.0, || {
        BadEntry::CaughtInNoTime
    })?;
    let drops_per_ml_is_good = drops_per_ml.is_none_or(|drops| drops.is_finite() && drops > 0.0);
    refuse_unless(millilitres.is_finite() && drops_per_ml_is_good, || {
        BadEntry::NotFinite
    })?;
    refuse_unless(millilitres > 0.0 && millilitres <= MOST_CAUGHT_ML, || {
        BadEntry::CaughtOutside(millilitres)
    })?;
    refuse_unless(seconds >= LEAST_CATCH_S, || BadEntry::CaughtTooShort {
        seconds,
    })
}

fn number(value: f64, unit: Unit, asked: Unit, lowest: f64, highest: f64) -> Result<(), BadEntry> {
    refuse_unless(value.is_finite(), || BadEntry::NotFinite)?;
    refuse_unless(unit.quantity() == asked.quantity(), || {
        BadEntry::OtherQuantity { given: unit, asked }
    })?;
    let too_low = compare(value, unit, lowest, asked) == Some(Ordering::Less);
    let too_high = compare(value, unit, highest, asked) == Some(Ordering::Greater);
    refuse_unless(!too_low && !too_high, || BadEntry::OutOfRange {
        value,
        unit,
        lowest,
        highest,
        asked_unit: asked,
    })
}

fn text(words: &str, most: usize, empty: BadEntry) -> Result<String, BadEntry> {
    let words = words.trim();
    let chars = words.chars().count();
    if chars == 0 {
        Err(empty)
    } else if chars > most {
        Err(BadEntry::TooLong { chars, most })
    } else {
        Ok(words.to_owned())
    }
}

fn known(choices: &[Choice]) -> String {
    let keys: Vec<_> = choices.iter().map(|choice| choice.key).collect();
    keys.join(", ")
}

fn asked(kind: &EntryKind) -> &'static str {
    match kind {
        EntryKind::Number { .. } => say!("what is entered" => "a number"),
        EntryKind::Count => {
            say!("what is entered" => "a count of drops or a stream caught in a cup")
        }
        EntryKind::Level => say!("what is entered" => "a level"),
        EntryKind::Feel(_) => say!("what is entered" => "a step of feeling"),
        EntryKind::Choice(_) => say!("what is entered" => "a choice"),
        EntryKind::YesNo { .. } => say!("what is entered" => "yes or no"),
        EntryKind::Words => say!("what is entered" => "words"),
    }
}

fn given(entered: &Entered) -> &'static str {
    match entered {
        Entered::Number { .. } => say!("what is entered" => "a number"),
        Entered::Count { .. } => say!("what is entered" => "a count of drops"),
        Entered::Stream { .. } => say!("what is entered" => "a stream caught in a cup"),
        Entered::Level { .. } => say!("what is entered" => "a level"),
        Entered::Feel { .. } => say!("what is entered" => "a step of feeling"),
        Entered::Choice { .. } => say!("what is entered" => "a choice"),
        Entered::YesNo { .. } => say!("what is entered" => "yes or no"),
        Entered::Words { .. } => say!("what is entered" => "words"),
        Entered::NotChecked { .. } => say!("what is entered" => "a reason for not checking"),
    }
}
