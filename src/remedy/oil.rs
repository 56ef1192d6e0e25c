//! Oil: the right one, and how much a bearing uses.

use super::{
    CannotTell, OilGiven,
    hours::{RunEvent, running_hours},
    words::short,
};
use crate::{
    formula::Formula,
    plant::{Lubrication, Place, Pump},
    say, word,
};

/// How [`consumption`] reckons.
pub const OIL_CONSUMPTION: Formula = Formula {
    name: word!(
        "oil topped up since the first top-up, over the running hours since; both with what is not known of them"
    ),
    source: "common practice, no source",
};

/// The oil the register has for a place; for the skid that of the bearings it feeds.
pub fn registered_oil(pump: &Pump, place: Place) -> Option<&str> {
    let mut bearings = pump.bearings.iter().filter(|bearing| match place {
        Place::OilSkid => bearing.lubrication == Lubrication::ForcedFeed,
        _ => bearing.place == place,
    });
    bearings.find_map(|bearing| bearing.oil_grade.as_deref())
}

/// How an oil's grade stands to the register.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Grade {
    /// It is the register's.
    Right,
    /// It is another.
    Wrong {
        /// What was given.
        given: String,
        /// What the register has.
        wanted: String,
    },
    /// The register has none for this place.
    NotInRegister,
}

impl Grade {
    /// What to say; `None` where nothing is wrong.
    pub fn warning(&self) -> Option<String> {
        match self {
            Grade::Right => None,
            Grade::Wrong { given, wanted } => Some(say!(
                "Wrong oil: the register has {wanted}, not {given}. Give no more, look for foam and feel the bearing within the hour, and tell the shift supervisor: the oil may have to be changed.",
                wanted,
                given
            )),
            Grade::NotInRegister => {
                let words = say!(
                    "The register has no oil for this place: look at the drum's label and ask before pouring."
                );
                Some(words.to_owned())
            }
        }
    }
}

/// How the grade of an oil given, as read off its drum, stands to the register. Letter case, blanks and dashes do not count.
pub fn grade(pump: &Pump, place: Place, given: &str) -> Grade {
    match registered_oil(pump, place) {
        None => Grade::NotInRegister,
        Some(wanted) if same_grade(given, wanted) => Grade::Right,
        Some(wanted) => Grade::Wrong {
            given: given.trim().to_owned(),
            wanted: wanted.to_owned(),
        },
    }
}

/// Two grades are written alike but for case, blanks and dashes.
pub(super) fn same_grade(one: &str, other: &str) -> bool {
    let letters = |text: &str| -> String {
        let kept = text.chars().filter(|c| c.is_alphanumeric());
        kept.flat_map(char::to_lowercase).collect()
    };
    letters(one) == letters(other)
}

/// An amount of oil in mL.
///
/// # Errors
/// [`CannotTell::NotInRegister`] where it is a share of a bottle whose size is not known; [`CannotTell::Number`].
pub fn millilitres(amount: OilGiven, pump: &Pump, place: Place) -> Result<f64, CannotTell> {
    const MOST_ML: f64 = 1e6;
    let ml = match amount {
        OilGiven::Millilitres { ml } => ml,
        OilGiven::Bottle { percent } => {
            let bottle_ml = pump.bearing(place).and_then(|bearing| bearing.bottle_ml);
            let bottle_ml = bottle_ml.ok_or(CannotTell::NotInRegister {
                what: say!("what the oiler's bottle holds"),
                field: "bottle_ml",
            })?;
            percent / 100.0 * bottle_ml
        }
    };
    if (0.0..=MOST_ML).contains(&ml) {
        Ok(ml)
    } else {
        Err(CannotTell::Number {
            what: say!("An amount of oil, mL,"),
            lowest: 0.0,
            highest: MOST_ML,
        })
    }
}

/// Top-ups less than this apart are one filling. Common practice, no source.
const ONE_FILLING_MS: i64 = 3_600_000;

/// How far off its mark a top-up may end, mL: a twentieth of a bottle, or what a bath's glass shows. Common practice, no
/// source.
pub fn off_mark_ml(pump: &Pump, place: Place) -> f64 {
    const BOTTLE_SHARE: f64 = 0.05;
    const BATH_ML: f64 = 20.0;
    let bottle_ml = pump.bearing(place).and_then(|bearing| bearing.bottle_ml);
    bottle_ml.map_or(BATH_ML, |ml| BOTTLE_SHARE * ml)
}

/// A top-up to the same mark as always.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToppedUp {
    /// When, ms since 1970 UTC.
    pub at_ms: i64,
    /// How much, mL.
    pub ml: f64,
}

/// What a bearing or skid uses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Consumption {
    /// mL per running hour, by the likeliest hours.
    pub ml_per_h: f64,
    /// At least.
    pub low_ml_per_h: f64,
    /// At most; `None` where it is not sure that the pump ran at all.
    pub high_ml_per_h: Option<f64>,
    /// Oil used, mL.
    pub ml: f64,
    /// Fillings it rests on, the first with them.
    pub top_ups: usize,
}

impl Consumption {
    /// "0.12 mL per running hour (0.1 to 0.15), from 4 top-ups".
    pub fn words(&self) -> String {
        let range = match self.high_ml_per_h {
            Some(high) => say!(
                "{low} to {high}",
                low = short(self.low_ml_per_h),
                high = short(high)
            ),
            None => say!("{low} or more", low = short(self.low_ml_per_h)),
        };
        say!(
            "{ml} mL per running hour ({range}), from {top_ups} top-ups",
            ml = short(self.ml_per_h),
            range,
            top_ups = self.top_ups
        )
    }

    /// It is surely above what it was before.
    pub fn has_risen_since(&self, before: &Consumption) -> bool {
        before
            .high_ml_per_h
            .is_some_and(|high| self.low_ml_per_h > high)
    }
}

/// What is used per running hour, from top-ups in any order, each back to the same mark; `within_ml` is how far off the
/// mark a top-up may end, either way. What was used before the first is not known, so its amount does not count. Several
/// within an hour are one filling: what a second helping adds was used before the first, not since.
///
/// # Errors
/// [`CannotTell::TooFew`] below two top-ups, or where the pump cannot have run between them; [`CannotTell::Number`].
pub fn consumption(
    top_ups: &[ToppedUp],
    events: &[RunEvent],
    within_ml: f64,
) -> Result<Consumption, CannotTell> {
    const MOST_ML: f64 = 1e6;
    let given = top_ups.iter().map(|one| one.ml);
    if given
        .chain([within_ml])
        .any(|ml| !(0.0..=MOST_ML).contains(&ml))
    {
        return Err(CannotTell::Number {
            what: say!("An amount of oil, mL,"),
            lowest: 0.0,
            highest: MOST_ML,
        });
    }
    let top_ups = fillings(top_ups);
    let too_few = |have| CannotTell::TooFew {
        what: say!("Oil used per running hour"),
        have,
        need: 2,
        record: say!("the amount of oil at every top-up, and starts and stops,"),
    };
    let [first, rest @ .., last] = &top_ups[..] else {
        return Err(too_few(top_ups.len()));
    };
    let hours = running_hours(events, first.at_ms, last.at_ms)?;
    if hours.likely_h <= 0.0 {
        return Err(too_few(1));
    }
    let ml = rest.iter().map(|one| one.ml).sum::<f64>() + last.ml;
    // Both the first and the last top-up may have ended off the mark.
    let off_ml = 2.0 * within_ml;
    Ok(Consumption {
        ml_per_h: ml / hours.likely_h,
        low_ml_per_h: (ml - off_ml).max(0.0) / hours.high_h,
        high_ml_per_h: (hours.low_h > 0.0).then(|| (ml + off_ml) / hours.low_h),
        ml,
        top_ups: top_ups.len(),
    })
}

/// Top-ups in order of time, those of one filling taken together: less than an hour apart from its first.
pub fn fillings(top_ups: &[ToppedUp]) -> Vec<ToppedUp> {
    let mut top_ups = top_ups.to_vec();
    top_ups.sort_by_key(|one| one.at_ms);
    let mut fillings: Vec<ToppedUp> = Vec::new();
    for one in top_ups {
        match fillings.last_mut() {
            Some(filling) if one.at_ms.saturating_sub(filling.at_ms) < ONE_FILLING_MS => {
                filling.ml += one.ml;
            }
            _ => fillings.push(one),
        }
    }
    fillings
}
