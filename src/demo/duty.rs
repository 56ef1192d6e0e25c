//! Which pump of a spare group runs.

use super::chance;
use crate::{
    check::RunningState,
    plant::{Pump, SpareRole},
};

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
    let moved = 5.0 * (1.0 + chance::lean(seed, &spare.group));
    let swapped = [(48.0, 55.0), (70.0, 74.0)]
        .iter()
        .any(|(last, first)| (last + moved..first + moved).contains(&days_left));
    match (spare.role, swapped) {
        (SpareRole::Duty, false) | (SpareRole::Standby, true) => RunningState::Running,
        (SpareRole::Duty, true) | (SpareRole::Standby, false) => RunningState::Standby,
    }
}

/// The sludge pump is repacked once.
fn is_out_of_service(pump: &Pump, days_left: f64) -> bool {
    pump.id.as_str() == "EF-405" && (29.0..33.0).contains(&days_left)
}
