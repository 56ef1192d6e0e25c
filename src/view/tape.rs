//! The gauge tape's scale: from where to where, how finely.

use super::Entry;
use crate::{
    app::CheckState,
    check::EntryKind,
    plant::{Limits, Unit},
};

/// Ticks that fit a phone's tape without crowding.
const MOST_TICKS: f64 = 8.0;

/// A scale for a tape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    /// Its lower end.
    pub low: f64,
    /// Its upper end.
    pub high: f64,
    /// Distance of its numbered ticks.
    pub tick: f64,
    /// What a drag is rounded to.
    pub step: f64,
    /// Decimals of that.
    pub decimals: usize,
}

/// Shows the tape of a check.
pub fn show(entry: &Entry<'_>, state: &CheckState) {
    let (unit, lowest, highest) = match state.check.kind {
        EntryKind::Number {
            unit,
            lowest,
            highest,
        } => (unit, lowest, highest),
        EntryKind::Count => (Unit::DropsPerMin, 0.0, 120.0),
        _ => return,
    };
    let scale = scale(unit, lowest, highest, state.limits.as_ref());
    entry.set_scale_low(scale.low as f32);
    entry.set_scale_high(scale.high as f32);
    entry.set_scale_tick(scale.tick as f32);
    entry.set_scale_step(scale.step as f32);
    entry.set_decimals(i32::try_from(scale.decimals).unwrap_or(0));
    entry.set_allows_negative(lowest < 0.0);
}

/// The stretch around the limits, or the whole instrument where there are none; ends on round numbers.
pub fn scale(unit: Unit, lowest: f64, highest: f64, limits: Option<&Limits>) -> Scale {
    let bounds: Vec<f64> = limits
        .into_iter()
        .flat_map(|limits| {
            limits
                .bounds()
                .filter_map(|(_, value)| limits.unit.convert(value, unit))
                .collect::<Vec<_>>()
        })
        .collect();
    let least = bounds.iter().copied().fold(f64::INFINITY, f64::min);
    let most = bounds.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let (from, to) = if bounds.is_empty() {
        (lowest, highest)
    } else {
        // Room beyond the outermost bounds, where entries out of limits lie.
        let room = ((most - least) * 0.4)
            .max(most.abs() * 0.2)
            .max(f64::EPSILON);
        ((least - room).max(lowest), (most + room).min(highest))
    };
    let tick = round_step((to - from) / MOST_TICKS);
    let low = (from / tick).floor() * tick;
    let high = ((to / tick).ceil() * tick).max(low + tick);
    let step = tick / 10.0;
    Scale {
        low,
        high,
        tick,
        step,
        decimals: decimals_of(step),
    }
}

/// Decimals that tell values of this stretch apart as a tape does.
pub fn decimals_within(low: f64, high: f64) -> usize {
    decimals_of(round_step((high - low) / MOST_TICKS) / 10.0)
}

fn decimals_of(step: f64) -> usize {
    if step >= 1.0 {
        0
    } else {
        (-step.log10().floor()).clamp(0.0, 6.0) as usize
    }
}

/// The next 1, 2 or 5 times a power of ten, at least this large.
fn round_step(least: f64) -> f64 {
    if !(least.is_finite() && least > 0.0) {
        return 1.0;
    }
    let power = 10_f64.powf(least.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|factor| factor * power)
        .find(|step| *step >= least)
        .unwrap_or(10.0 * power)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn ticks_are_ones_twos_and_fives() {
        for (least, step) in [
            (0.03, 0.05),
            (0.9, 1.0),
            (1.1, 2.0),
            (2.1, 5.0),
            (51.0, 100.0),
            (0.0, 1.0),
        ] {
            assert!((round_step(least) - step).abs() < 1e-9 * step, "{least}");
        }
    }

    proptest! {
        #[test]
        fn a_scale_without_limits_holds_the_whole_instrument(low in -100.0..100.0_f64, width in 0.1..1000.0_f64) {
            let scale = scale(Unit::Bar, low, low + width, None);
            prop_assert!(scale.low <= low && scale.high >= low + width);
            prop_assert!((scale.high - scale.low) / scale.tick <= MOST_TICKS + 2.0);
        }
    }
}
