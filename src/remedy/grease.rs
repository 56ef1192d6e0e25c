//! Grease that was given, against its programme.

use super::{
    CannotTell, GreaseGiven,
    hours::{RunEvent, running_hours},
    oil::same_grade,
    words::{counted, short},
};
use crate::{plant::GreaseProgramme, say};

/// More than this times the programme's amount is too much, less than its inverse too little. Common practice, no
/// source.
const AMOUNT_WITHIN: f64 = 1.25;
/// Share of its interval before which a bearing is greased too soon. Common practice, no source.
const TOO_SOON: f64 = 0.5;

const MOST_G: f64 = 100_000.0;

const MS_PER_DAY: f64 = 86_400_000.0;

/// The value, where it lies within.
pub(super) fn within(
    what: &'static str,
    value: f64,
    lowest: f64,
    highest: f64,
) -> Result<f64, CannotTell> {
    if (lowest..=highest).contains(&value) {
        Ok(value)
    } else {
        Err(CannotTell::Number {
            what,
            lowest,
            highest,
        })
    }
}

/// Strokes or turns as grams, by the programme.
///
/// # Errors
/// [`CannotTell::NotInRegister`] where the programme doesn't say what a stroke or turn gives; [`CannotTell::Number`].
pub fn grams(amount: GreaseGiven, programme: &GreaseProgramme) -> Result<f64, CannotTell> {
    let (number, each, what, field) = match amount {
        GreaseGiven::Strokes { strokes } => (
            strokes,
            programme.per_stroke_grams,
            say!("what one stroke of the gun gives"),
            "per_stroke_grams",
        ),
        GreaseGiven::Turns { turns } => (
            turns,
            programme.per_turn_grams,
            say!("what one turn of the cup gives"),
            "per_turn_grams",
        ),
    };
    let each = each.ok_or(CannotTell::NotInRegister { what, field })?;
    within(say!("An amount of grease, g,"), number * each, 0.0, MOST_G)
}

/// How many whole strokes or turns the programme's amount is, at least one; `None` where it doesn't say.
pub fn wanted(programme: &GreaseProgramme) -> Option<GreaseGiven> {
    let number = |each: f64| {
        let number = (programme.grams / each).round().max(1.0);
        number.is_finite().then_some(number)
    };
    let strokes = programme.per_stroke_grams.and_then(number);
    let turns = programme.per_turn_grams.and_then(number);
    let strokes = strokes.map(|strokes| GreaseGiven::Strokes { strokes });
    strokes.or(turns.map(|turns| GreaseGiven::Turns { turns }))
}

/// Grease that was given before.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GivenBefore {
    /// When, ms since 1970 UTC.
    pub at_ms: i64,
    /// How much, g.
    pub grams: f64,
}

/// What to say of a greasing.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum GreaseWarning {
    /// Another grease than the register's.
    #[error("{}", say!("Wrong grease: the register has {wanted}, not {given}. Greases of two kinds can run out together: give no more, and tell the shift supervisor.", wanted, given))]
    WrongGrade {
        /// What was given.
        given: String,
        /// What the register has.
        wanted: String,
    },
    /// More than the programme's amount at once.
    #[error("{}", say!("{given_g} g is more than the programme's {wanted_g} g. Too much grease heats a bearing: feel it after an hour, and give no more.", given_g, wanted_g))]
    TooMuch {
        /// Given now, g.
        given_g: String,
        /// The programme's, g.
        wanted_g: String,
    },
    /// More than the programme's amount with what was given not long before.
    #[error("{}", too_soon(before_g, *times, ago, wanted_g))]
    TooSoon {
        /// Given within the first half of the interval, g.
        before_g: String,
        /// In how many greasings.
        times: usize,
        /// How long before this the last of them was.
        ago: String,
        /// The programme's, g.
        wanted_g: String,
    },
    /// Less than the programme's amount.
    #[error("{}", say!("{given_g} g is less than the programme's {wanted_g} g: give the rest now, or enter it as a second greasing.", given_g, wanted_g))]
    TooLittle {
        /// Given, g.
        given_g: String,
        /// The programme's, g.
        wanted_g: String,
    },
}

/// What to say of a greasing at `at_ms`, against the bearing's programme and what it was given before.
///
/// A greasing before counts with this one where less than half an interval has surely passed since, by days and by
/// running hours: where it is not known whether the pump ran, it is taken to have run, so that nobody is warned for
/// nothing. Greasings later than this one are left out. `events` is all that was entered about the pump's running.
///
/// # Errors
/// As [`grams`].
pub fn grease_warnings(
    amount: GreaseGiven,
    grade: &str,
    at_ms: i64,
    programme: &GreaseProgramme,
    before: &[GivenBefore],
    events: &[RunEvent],
) -> Result<Vec<GreaseWarning>, CannotTell> {
    let mut warnings = Vec::new();
    if !same_grade(grade, &programme.grade) {
        warnings.push(GreaseWarning::WrongGrade {
            given: grade.trim().to_owned(),
            wanted: programme.grade.clone(),
        });
    }
    let given_g = grams(amount, programme)?;
    let mut before_g = 0.0;
    let mut times = 0;
    let mut newest_ms = None;
    for one in before.iter().filter(|one| one.at_ms <= at_ms) {
        if is_too_soon(one.at_ms, at_ms, programme, events)? {
            before_g += within(say!("An amount of grease, g,"), one.grams, 0.0, MOST_G)?;
            times += 1;
            newest_ms = newest_ms.max(Some(one.at_ms));
        }
    }
    let wanted_g = within(
        say!("The programme's amount, g,"),
        programme.grams,
        0.01,
        MOST_G,
    )?;
    let most_g = AMOUNT_WITHIN * wanted_g;
    if given_g > most_g {
        warnings.push(GreaseWarning::TooMuch {
            given_g: short(given_g),
            wanted_g: short(wanted_g),
        });
    }
    if let Some(newest_ms) = newest_ms.filter(|_| given_g + before_g > most_g) {
        warnings.push(GreaseWarning::TooSoon {
            before_g: short(before_g),
            times,
            ago: ago(newest_ms, at_ms),
            wanted_g: short(wanted_g),
        });
    } else if given_g + before_g < wanted_g / AMOUNT_WITHIN {
        warnings.push(GreaseWarning::TooLittle {
            given_g: short(given_g + before_g),
            wanted_g: short(wanted_g),
        });
    }
    Ok(warnings)
}

/// Less than half an interval has surely passed, by each interval the programme has.
fn is_too_soon(
    from_ms: i64,
    at_ms: i64,
    programme: &GreaseProgramme,
    events: &[RunEvent],
) -> Result<bool, CannotTell> {
    if let Some(every) = programme.every_days
        && (at_ms as f64 - from_ms as f64) / MS_PER_DAY >= TOO_SOON * every
    {
        return Ok(false);
    }
    if let Some(every) = programme.every_running_hours
        && running_hours(events, from_ms, at_ms)?.high_h >= TOO_SOON * every
    {
        return Ok(false);
    }
    Ok(programme.every_days.is_some() || programme.every_running_hours.is_some())
}

fn too_soon(before_g: &str, times: usize, ago: &str, wanted_g: &str) -> String {
    if times > 1 {
        say!(
            "Too soon: {before_g} g were given in {times} greasings, the last {ago} before, and the programme has {wanted_g} g at a time. Too much grease heats a bearing: feel it after an hour, and give no more.",
            before_g,
            times,
            ago,
            wanted_g
        )
    } else {
        say!(
            "Too soon: {before_g} g were given {ago} before, and the programme has {wanted_g} g at a time. Too much grease heats a bearing: feel it after an hour, and give no more.",
            before_g,
            ago,
            wanted_g
        )
    }
}

fn ago(from_ms: i64, at_ms: i64) -> String {
    let days = (at_ms as f64 - from_ms as f64) / MS_PER_DAY;
    if days < 1.0 / 24.0 {
        say!("less than an hour").to_owned()
    } else if days < 2.0 {
        counted((days * 24.0).round(), say!("hour"), say!("hours"))
    } else {
        counted(days.round(), say!("day"), say!("days"))
    }
}
