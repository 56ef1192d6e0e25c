//! What an operator enters for a check.

use super::{
    Mill, chance,
    ordinary::{Ordinary, ordinary},
    stories::{Course, Trouble},
    weather,
};
use crate::{
    check::{Check, Choice, Entered, EntryKind, FeelScale},
    judge::Verdict,
    plant::{CheckKind, Limits, Pump, Unit},
};
use rand::{RngExt, rngs::StdRng};

/// Share of checks that are not made, for a reason.
const NOT_CHECKED: f64 = 0.012;
/// Share of answers in words that are a little off though nothing is wrong.
const A_LITTLE_OFF: f64 = 0.006;
/// Share of questions answered the wrong way though nothing else is wrong.
const NOT_GOOD: f64 = 0.002;

/// Nothing is off by chance in so many days before the end, so that what is open there is what the stories tell.
const CHANCE_ENDS: f64 = 1.0;

/// What is entered on this day, so many days before the end; `None` for a remark: those are the stories' own.
pub fn entry(
    mill: &Mill<'_>,
    pump: &Pump,
    check: &Check,
    (day, days_left): (f64, f64),
    rng: &mut StdRng,
) -> Option<Entered> {
    let course = Trouble::of(pump).and_then(|trouble| trouble.course(check.id, days_left));
    if course.is_none() && check.kind != EntryKind::Words && rng.random_bool(NOT_CHECKED) {
        let reason = chance::one_of(rng, reasons(&check.kind))?.to_owned();
        return Some(Entered::NotChecked { reason });
    }
    match check.kind {
        EntryKind::Number { .. } | EntryKind::Count | EntryKind::Level => {
            let limits = mill.plant.limits_of(&pump.id, check.id);
            let usual = ordinary(&mill.programme, mill.seed, pump, check, limits, day);
            let usual = weather::under(usual, pump, check.id.kind, days_left);
            let middle = match course {
                Some((from, Course::Measured(knots))) => {
                    between(from, usual.middle, knots, days_left)
                }
                _ => usual.middle,
            };
            measured(check, limits, Ordinary { middle, ..usual }, rng)
        }
        EntryKind::Feel(scale) => {
            let step = match course {
                Some((_, Course::Step(knots))) => latest(knots, days_left)?,
                _ => usual_step(scale, rng),
            };
            Some(Entered::Feel { step })
        }
        EntryKind::Choice(choices) => {
            let key = match course {
                Some((_, Course::Word(knots))) => latest(knots, days_left)?,
                _ => {
                    let word = usual_word(choices, rng)?;
                    let good = choices.first().map(|choice| choice.key);
                    good.filter(|_| days_left < CHANCE_ENDS).unwrap_or(word)
                }
            };
            Some(Entered::Choice {
                key: key.to_owned(),
            })
        }
        EntryKind::YesNo { good } => Some(Entered::YesNo {
            yes: good != (rng.random_bool(NOT_GOOD) && days_left >= CHANCE_ENDS),
        }),
        EntryKind::Words => None,
    }
}

/// One reading off an instrument, one count of drops or one look at a glass.
fn measured(
    check: &Check,
    limits: Option<&Limits>,
    about: Ordinary,
    rng: &mut StdRng,
) -> Option<Entered> {
    match check.kind {
        EntryKind::Number {
            unit,
            lowest,
            highest,
        } => {
            let value = about.middle + about.noise * chance::noise(rng);
            let limits_unit = limits.map_or(unit, |limits| limits.unit);
            let value = limits_unit.convert(value, unit)?.clamp(lowest, highest);
            let decimals = decimals(check.id.kind, unit, highest - lowest);
            Some(Entered::Number {
                value: rounded(value, decimals),
                unit,
            })
        }
        EntryKind::Level => {
            let percent = about.middle + about.noise * chance::noise(rng);
            Some(Entered::Level {
                percent: rounded(percent.clamp(0.0, 100.0), 0),
            })
        }
        EntryKind::Count => Some(counted(about.middle, rng)),
        _ => None,
    }
}

/// Linear between knots of (days before the end, value); the line begins at the usual value.
fn between(from: f64, usual: f64, knots: &[(f64, f64)], days_left: f64) -> f64 {
    let mut before = (from, usual);
    for &(at, value) in knots {
        if days_left > at {
            let share = (before.0 - days_left) / (before.0 - at);
            return before.1 + share * (value - before.1);
        }
        before = (at, value);
    }
    before.1
}

/// The value of the last knot passed.
fn latest<T: Copy>(knots: &[(f64, T)], days_left: f64) -> Option<T> {
    let passed = knots.iter().take_while(|(at, _)| days_left <= *at);
    passed.last().map(|(_, value)| *value)
}

/// Drops counted: for a slow leak longer than for a quick one.
fn counted(per_minute: f64, rng: &mut StdRng) -> Entered {
    let seconds = match per_minute {
        slow if slow < 2.0 => 120.0,
        quick if quick > 100.0 => 30.0,
        _ => 60.0,
    };
    let seconds = rounded(seconds + rng.random_range(0.0..4.0), 1);
    Entered::Count {
        drops: chance::poisson(rng, per_minute.max(0.0) * seconds / 60.0),
        seconds,
    }
}

fn usual_step(scale: FeelScale, rng: &mut StdRng) -> u8 {
    let more = u8::from(rng.random_bool(0.3));
    match scale {
        FeelScale::Heat => 1 + more,
        FeelScale::Vibration => more,
    }
}

/// The good word, seldom one that is a little off.
fn usual_word(choices: &[Choice], rng: &mut StdRng) -> Option<&'static str> {
    if !rng.random_bool(A_LITTLE_OFF) {
        return choices.first().map(|choice| choice.key);
    }
    let watched: Vec<_> = choices
        .iter()
        .filter(|choice| choice.usual == Verdict::Watch)
        .map(|choice| choice.key)
        .collect();
    chance::one_of(rng, &watched)
}

/// Decimals that people read off such an instrument.
fn decimals(kind: CheckKind, unit: Unit, span: f64) -> i32 {
    match unit {
        Unit::Celsius => 0,
        Unit::Bar if kind == CheckKind::StrainerDrop || kind == CheckKind::FeedOilFilterDrop => 2,
        Unit::Bar if span <= 5.0 => 2,
        Unit::Ampere | Unit::Bar if span > 50.0 => 0,
        _ => 1,
    }
}

fn rounded(value: f64, decimals: i32) -> f64 {
    let scale = 10_f64.powi(decimals);
    // Adding zero turns −0 into 0.
    (value * scale).round() / scale + 0.0
}

/// Why such a check might not be made.
fn reasons(kind: &EntryKind) -> &'static [&'static str] {
    match kind {
        EntryKind::Number {
            unit: Unit::Celsius,
            ..
        } => &["thermometer broken", "scaffold in the way"],
        EntryKind::Number {
            unit: Unit::MmPerS, ..
        } => &["meter left in the control room", "meter's battery flat"],
        EntryKind::Number {
            unit: Unit::Ampere, ..
        } => &["display dark", "switch room locked"],
        EntryKind::Number { .. } => &[
            "gauge fogged, can't be read",
            "needle shakes too much to read",
        ],
        EntryKind::Count => &[
            "lamp out, too dark to count",
            "hosed down just now, everything drips",
        ],
        EntryKind::Level => &[
            "glass too dirty to read",
            "lamp out, too dark to see the glass",
        ],
        EntryKind::Feel(_) | EntryKind::Choice(_) | EntryKind::YesNo { .. } | EntryKind::Words => {
            &["scaffold in the way", "called away"]
        }
    }
}
