//! The air at the pump where its thermometer hangs, and bearings that go with it.

use super::ordinary::Ordinary;
use crate::plant::{CheckKind, Pump};

/// Days from a cold spell to the next; the last day is at the warmest.
const SPELL_DAYS: f64 = 56.0;
const MEAN_C: f64 = 14.0;
const SWING_C: f64 = 8.0;
/// The afternoon is so much warmer than morning and night.
const AFTERNOON_C: f64 = 4.0;
/// How far readings of the air lie apart.
const AIR_NOISE_C: f64 = 0.7;
/// A bearing is so much warmer for each degree of air.
const PER_AIR: f64 = 0.6;
/// How far readings of one bearing lie apart besides.
const BEARING_NOISE_C: f64 = 0.5;

/// What is usual at a pump under the weather, so many days before the end.
pub fn under(usual: Ordinary, pump: &Pump, kind: CheckKind, days_left: f64) -> Ordinary {
    let air_c = air_c(days_left);
    match kind {
        CheckKind::AmbientTemperature => Ordinary {
            middle: air_c,
            noise: AIR_NOISE_C,
        },
        CheckKind::BearingTemperature if pump.air_thermometer => Ordinary {
            middle: usual.middle + PER_AIR * (air_c - MEAN_C),
            noise: BEARING_NOISE_C,
        },
        _ => usual,
    }
}

fn air_c(days_left: f64) -> f64 {
    let turn = (days_left / SPELL_DAYS).fract();
    let spell = 4.0 * (turn - 0.5).abs() - 1.0;
    // A shift comes at each third of a day; the second in the afternoon.
    let is_afternoon = ((days_left.fract() * 3.0).round() as i64 % 3) == 2;
    MEAN_C + SWING_C * spell + if is_afternoon { AFTERNOON_C } else { 0.0 }
}
