//! What an operator enters for a check.

use super::{
    chance,
    ordinary::{Ordinary, ordinary},
    stories::{Course, Trouble},
};
use crate::{
    check::{Check, Entered, EntryKind, FeelScale, words},
    judge::Verdict,
    plant::{CheckKind, Plant, Pump, Unit},
};
use rand::{RngExt, rngs::StdRng};

/// Share of checks that are not made, for a reason.
const NOT_CHECKED: f64 = 0.012;
/// Share of answers in words that are a little off though nothing is wrong.
const A_LITTLE_OFF: f64 = 0.006;

/// What is entered on this day, so many days before the end; `None` for a remark where there is nothing to remark.
pub fn entry(
    plant: &Plant,
    seed: u64,
    pump: &Pump,
    check: &Check,
    (day, days_left): (f64, f64),
    rng: &mut StdRng,
) -> Option<Entered> {
    let course = Trouble::of(pump).and_then(|trouble| trouble.course(check.id, days_left));
    let limits = plant.limits_of(&pump.id, check.id);
    if course.is_none() && check.id.kind != CheckKind::Remark && rng.random_bool(NOT_CHECKED) {
        let reason = chance::one_of(rng, reasons(&check.kind))?.to_owned();
        return Some(Entered::NotChecked { reason });
    }
    let usual = ordinary(seed, pump, check, limits, day);
    let measured = match course {
        Some((from, Course::Measured(knots))) => Ordinary {
            middle: between(from, usual.middle, knots, days_left),
            ..usual
        },
        _ => usual,
    };
    Some(match check.kind {
        EntryKind::Number {
            unit,
            lowest,
            highest,
        } => {
            let value = measured.middle + measured.noise * chance::noise(rng);
            let limits_unit = limits.map_or(unit, |limits| limits.unit);
            let value = limits_unit.convert(value, unit)?.clamp(lowest, highest);
            let decimals = decimals(check.id.kind, unit, highest - lowest);
            Entered::Number {
                value: rounded(value, decimals),
                unit,
            }
        }
        EntryKind::Count => counted(measured.middle, rng),
        EntryKind::Level => {
            let percent = measured.middle + measured.noise * chance::noise(rng);
            Entered::Level {
                percent: rounded(percent.clamp(0.0, 100.0), 0),
            }
        }
        EntryKind::Feel(scale) => {
            let highest = words::feel_steps(scale).len().saturating_sub(1);
            let step = match course {
                Some((_, Course::Step(knots))) => latest(knots, days_left)?,
                _ => usual_step(check.id.kind, scale, rng),
            };
            Entered::Feel {
                step: step.min(u8::try_from(highest).unwrap_or(u8::MAX)),
            }
        }
        EntryKind::Choice(choices) => {
            let off = rng.random_bool(A_LITTLE_OFF);
            let watched: Vec<_> = choices
                .iter()
                .filter(|choice| choice.usual == Verdict::Watch)
                .map(|choice| choice.key)
                .collect();
            let key = match course {
                Some((_, Course::Word(knots))) => latest(knots, days_left)?,
                _ if off => chance::one_of(rng, &watched)?,
                _ => choices.first()?.key,
            };
            Entered::Choice {
                key: key.to_owned(),
            }
        }
        EntryKind::YesNo { good } => Entered::YesNo {
            yes: good != rng.random_bool(A_LITTLE_OFF / 3.0),
        },
        EntryKind::Words => return None,
    })
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
        quick if quick > 40.0 => 30.0,
        _ => 60.0,
    };
    let seconds = rounded(seconds + rng.random_range(0.0..4.0), 1);
    Entered::Count {
        drops: chance::poisson(rng, per_minute.max(0.0) * seconds / 60.0),
        seconds,
    }
}

fn usual_step(kind: CheckKind, scale: FeelScale, rng: &mut StdRng) -> u8 {
    let more = rng.random_bool(0.3);
    match (scale, kind) {
        (FeelScale::Heat, _) => 1 + u8::from(more),
        (FeelScale::Vibration, _) => u8::from(more),
    }
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

fn reasons(kind: &EntryKind) -> &'static [&'static str] {
    match kind {
        EntryKind::Number { .. } => &[
            "gauge fogged, can't be read",
            "needle shakes too much to read",
            "no thermometer at hand",
        ],
        EntryKind::Count => &[
            "lamp out, too dark to count",
            "hosed down just now, everything drips",
        ],
        EntryKind::Level => &[
            "glass too dirty to read",
            "lamp out, too dark to see the glass",
        ],
        EntryKind::Feel(_) => &["scaffold in the way", "called away"],
        EntryKind::Choice(_) | EntryKind::YesNo { .. } | EntryKind::Words => {
            &["scaffold in the way", "called away"]
        }
    }
}
