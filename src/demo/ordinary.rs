//! What is measured on a pump that nothing is wrong with.

use super::{chance, programme::Programme};
use crate::{
    check::{Check, EntryKind},
    plant::{Limits, Pump},
};
use rand::RngExt;

/// How far readings of one check lie apart, as a share of the room between target and watch bound.
const NOISE: f64 = 0.1;
/// How far readings of one glass lie apart, per cent of it.
const GLASS_NOISE: f64 = 1.5;

/// The middle of what is measured and how far readings lie apart, in the limits' unit.
#[derive(Clone, Copy, Debug)]
pub struct Ordinary {
    /// Where readings lie on this day.
    pub middle: f64,
    /// Standard deviation of one reading.
    pub noise: f64,
}

/// What is measured for this check on this day, counted from the first.
pub fn ordinary(
    programme: &Programme,
    seed: u64,
    pump: &Pump,
    check: &Check,
    limits: Option<&Limits>,
    day: f64,
) -> Ordinary {
    let words = format!("{} {}", pump.id, check.id);
    match programme.level(pump, check.id, day) {
        Some(middle) => Ordinary {
            middle,
            noise: GLASS_NOISE,
        },
        None => {
            let (target, room) = target_and_room(check, limits);
            let own = 0.35 * chance::lean(seed, &words) + 0.2 * wave(seed, &words, day);
            Ordinary {
                middle: target + room * own,
                noise: room * NOISE,
            }
        }
    }
}

/// The target and the way from it to the nearer watch bound. Without limits: two fifths up the scale, and a tenth of that.
fn target_and_room(check: &Check, limits: Option<&Limits>) -> (f64, f64) {
    let by_scale = match check.kind {
        EntryKind::Number {
            lowest, highest, ..
        } => lowest + 0.4 * (highest - lowest),
        EntryKind::Level => 60.0,
        _ => 0.0,
    };
    let target = limits.and_then(|limits| limits.target).unwrap_or(by_scale);
    let bounds = limits.map(|limits| [limits.low_watch, limits.high_watch]);
    let room = bounds
        .into_iter()
        .flatten()
        .flatten()
        .map(|bound| (bound - target).abs())
        .reduce(f64::min)
        .unwrap_or(0.1 * target.abs());
    (target, room.min(0.4 * target.abs()))
}

/// A slow wander between −1 and 1.
fn wave(seed: u64, words: &str, day: f64) -> f64 {
    let phase = turns(seed, words, day, 13.0);
    4.0 * (phase - 0.5).abs() - 1.0
}

/// How far on its turn something is, 0 to 1, that comes round about every `days`.
fn turns(seed: u64, words: &str, day: f64, days: f64) -> f64 {
    let mut rng = chance::of(seed, &format!("turns {words}"));
    let period = days * rng.random_range(0.8..1.25);
    (rng.random::<f64>() + day / period).fract()
}
