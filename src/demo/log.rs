//! The plant's paper log: what it says of the months before the history, and is entered on its first day.

use super::{chance, duty, programme::Side};
use crate::{
    plant::{Bearing, Plant, Pump, PumpId, SpareRole},
    record::Stamp,
    remedy::{Remedy, grease},
};
use rand::RngExt;

/// Days before the history's start when the yearly shutdown ended: all ran or stood ready from then on.
pub(super) const SINCE_SHUTDOWN_DAYS: f64 = 270.0;
/// Changes over to the standby pump and back, in the log.
const CYCLES: u32 = 3;
/// Days that one pump of a pair has run more than the other at most, at the history's end.
const AHEAD_DAYS: f64 = 22.0;
/// Minutes from the start of one pump to the stop of the other.
const CHANGE_OVER_MIN: i64 = 25;
/// Minutes after midnight when pumps were started and changed over.
const TURNED_MIN: i64 = 7 * 60;
/// Minutes after midnight when bearings were greased.
const GREASED_MIN: std::ops::Range<i64> = 8 * 60..13 * 60;
const MINUTES_A_DAY: i64 = 24 * 60;
const MINUTE_MS: i64 = 60_000;

/// What the log says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DemoLog {
    /// Which pump was started (`true`) or stopped, and when.
    pub turned: Vec<(PumpId, bool, Stamp)>,
    /// What was greased at which pump, and when.
    pub greased: Vec<(PumpId, Remedy, Stamp)>,
}

/// What the log says of a plant before a history of so many days that begins at `start`.
pub fn log(plant: &Plant, seed: u64, start: Stamp, days: u32) -> DemoLog {
    let mut log = DemoLog::default();
    for pump in &plant.pumps {
        let turns = turns(pump, seed, days);
        log.turned.extend(turns.iter().map(|(before, runs)| {
            let minute = TURNED_MIN + if *runs { 0 } else { CHANGE_OVER_MIN };
            (pump.id.clone(), *runs, stamp(start, *before, minute))
        }));
        for bearing in &pump.bearings {
            let Some(what) = greasing(bearing) else {
                continue;
            };
            let before = greased_days_before(pump, bearing, &turns, (seed, days));
            let minute = chance::of(seed, &format!("log {} {}", pump.id, bearing.place.key()))
                .random_range(GREASED_MIN);
            let at = stamp(start, before.unwrap_or(SINCE_SHUTDOWN_DAYS), minute);
            log.greased.push((pump.id.clone(), what, at));
        }
    }
    log
}

/// Greasing a bearing with what its programme asks for.
pub(super) fn greasing(bearing: &Bearing) -> Option<Remedy> {
    let programme = bearing.grease.as_ref()?;
    Some(Remedy::Grease {
        place: bearing.place,
        amount: grease::wanted(programme)?,
        grade: programme.grade.clone(),
    })
}

fn greased_days_before(
    pump: &Pump,
    bearing: &Bearing,
    turns: &[(f64, bool)],
    (seed, days): (u64, u32),
) -> Option<f64> {
    let programme = bearing.grease.as_ref()?;
    let side = Side::of(bearing.place);
    match (programme.every_running_hours, programme.every_days) {
        (Some(every_h), _) => {
            let ran = ran_before_greasing(pump, seed, days, side, every_h);
            Some(days_before(turns, ran))
        }
        (None, every_days) => Some(days_since_cup(pump, seed, side, every_days?)),
    }
}

/// A minute of the day that lies so many days before the first, taken as whole days.
fn stamp(start: Stamp, days_before: f64, minute: i64) -> Stamp {
    let minutes = minute - days_before.ceil() as i64 * MINUTES_A_DAY;
    Stamp {
        utc_ms: start.utc_ms + minutes * MINUTE_MS,
        ..start
    }
}

/// A pump's starts (`true`) and stops, in days before the start, the earliest first: the pumps of a pair take turns, so that they come out about even at the history's end.
fn turns(pump: &Pump, seed: u64, days: u32) -> Vec<(f64, bool)> {
    let Some(spare) = &pump.spare else {
        return vec![(SINCE_SHUTDOWN_DAYS, true)];
    };
    let even =
        (SINCE_SHUTDOWN_DAYS + f64::from(days)) / 2.0 - duty::duty_days(&spare.group, seed, days);
    let ahead = AHEAD_DAYS / 2.0 * chance::lean(seed, &format!("ahead {}", spare.group));
    let of_duty = (even + ahead).clamp(0.0, SINCE_SHUTDOWN_DAYS) / f64::from(CYCLES);
    let cycle = SINCE_SHUTDOWN_DAYS / f64::from(CYCLES);
    let is_duty = spare.role == SpareRole::Duty;
    let in_cycle = |number: u32| {
        let from = SINCE_SHUTDOWN_DAYS - cycle * f64::from(number);
        [(from, !is_duty), (from - cycle + of_duty, is_duty)]
    };
    (0..CYCLES).flat_map(in_cycle).collect()
}

/// Running days before the start when something was done, as days before the start.
fn days_before(turns: &[(f64, bool)], ran: f64) -> f64 {
    let mut left = ran;
    let mut to = 0.0;
    for (from, runs) in turns.iter().rev() {
        if *runs {
            if left <= from - to {
                return to + left;
            }
            left -= from - to;
        }
        to = *from;
    }
    to
}

/// Days a pump has run from its last greasing to the history's start: somewhere in the interval, but since the shutdown.
pub(super) fn ran_before_greasing(
    pump: &Pump,
    seed: u64,
    days: u32,
    side: Side,
    every_h: f64,
) -> f64 {
    let turns = turns(pump, seed, days);
    let spans = turns
        .iter()
        .zip(turns.iter().skip(1).map(|next| next.0).chain([0.0]));
    let ran: f64 = spans
        .filter(|((_, runs), _)| *runs)
        .map(|((from, _), to)| from - to)
        .sum();
    let share = side.used_at_start(pump).unwrap_or_else(|| {
        chance::of(seed, &format!("greased {} {side:?}", pump.id)).random_range(0.06..0.93)
    });
    share * ran.min(every_h / 24.0)
}

/// Days from a grease cup's last turning to the history's start.
pub(super) fn days_since_cup(pump: &Pump, seed: u64, side: Side, every_days: f64) -> f64 {
    chance::of(seed, &format!("greased {} {side:?}", pump.id)).random_range(0.1..0.9) * every_days
}
