//! Which pump of a spare group runs.

use super::chance;
use crate::{
    check::RunningState,
    plant::{Pump, SpareRole},
};

/// Shifts of a day, by which it is told what a pump does.
pub(super) const SHIFTS_A_DAY: u32 = 3;

/// What a pump does so many days before the end.
///
/// Twice in the history a group's standby pump takes over, for some days at a time; towards the end, while troubles develop, the duty pumps run.
pub fn state(pump: &Pump, seed: u64, days_left: f64) -> RunningState {
    if is_out_of_service(pump, days_left) {
        return RunningState::OutOfService;
    }
    let Some(spare) = &pump.spare else {
        return RunningState::Running;
    };
    match (spare.role, is_swapped(&spare.group, seed, days_left)) {
        (SpareRole::Duty, false) | (SpareRole::Standby, true) => RunningState::Running,
        (SpareRole::Duty, true) | (SpareRole::Standby, false) => RunningState::Standby,
    }
}

fn is_swapped(group: &str, seed: u64, days_left: f64) -> bool {
    let moved = 5.0 * (1.0 + chance::lean(seed, group));
    [(48.0, 55.0), (70.0, 74.0)]
        .iter()
        .any(|(last, first)| (last + moved..first + moved).contains(&days_left))
}

/// The sludge pump is repacked once.
fn is_out_of_service(pump: &Pump, days_left: f64) -> bool {
    pump.id.as_str() == "EF-405" && (29.0..33.0).contains(&days_left)
}

/// Days before the end of a shift's begin, the shifts counted from the first of the history.
pub fn days_left(days: u32, shift: u32) -> f64 {
    let day = f64::from(shift) / f64::from(SHIFTS_A_DAY);
    (f64::from(days) - day - 1.0).max(0.0)
}

/// Whether a pump runs in each shift of a history.
pub fn by_shift(pump: &Pump, seed: u64, days: u32) -> Vec<bool> {
    (0..days * SHIFTS_A_DAY)
        .map(|shift| state(pump, seed, days_left(days, shift)) == RunningState::Running)
        .collect()
}

/// How many days of a history the duty pump of a spare group runs.
pub fn duty_days(group: &str, seed: u64, days: u32) -> f64 {
    let shifts =
        (0..days * SHIFTS_A_DAY).filter(|shift| !is_swapped(group, seed, days_left(days, *shift)));
    shifts.count() as f64 / f64::from(SHIFTS_A_DAY)
}
