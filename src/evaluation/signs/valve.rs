//! A discharge valve that stands less open than it usually does.

use super::{Told, origin};
use crate::{
    check::Entered,
    diagnosis::Sign,
    judge::{self, Verdict},
    plant::{CheckId, CheckKind as K, Place},
};

/// What was read within so long of a look at the valve was read at the same visit. Common practice, no source.
const SAME_VISIT_MS: i64 = 3_600_000;
/// The readings that a throttled valve moves.
const MOVED_BY_IT: [CheckId; 3] = [
    CheckId::new(K::DischargePressure, Place::Discharge),
    CheckId::new(K::Flow, Place::Discharge),
    CheckId::new(K::MotorCurrent, Place::Driver),
];

impl Told<'_> {
    /// Many pumps run throttled for good: partly open is less open than usual only where it was never seen so while all
    /// was well. Where it was, a word as coarse says nothing either way.
    pub(super) fn discharge_valve(&mut self) {
        let check = CheckId::new(K::ValvePosition, Place::Discharge);
        let Some(seen) = self.at.entry(check) else {
            return;
        };
        let Entered::Choice { key } = &seen.entered else {
            return;
        };
        let is_part_open = key == "part_open";
        if !is_part_open || !self.ran_well_so(check, &seen.entered) {
            self.say(Sign::DischargeValvePart, is_part_open, origin(seen));
        }
    }

    /// The same was entered at an earlier visit whose readings were in the limits of today.
    fn ran_well_so(&self, check: CheckId, entered: &Entered) -> bool {
        let before = self.at.before.get(&check).into_iter().flatten();
        let mut same = before.filter(|reading| reading.entered == *entered);
        same.any(|reading| self.all_was_well(reading.at_ms))
    }

    /// Something was read then of what a throttled valve moves, and all of it was in limits.
    fn all_was_well(&self, at_ms: i64) -> bool {
        let verdicts: Vec<Verdict> = MOVED_BY_IT
            .iter()
            .filter_map(|&check| {
                let limits = self.at.entry(check)?.limits.as_ref()?;
                let readings = self.at.before.get(&check)?.iter();
                let then = readings
                    .filter(|reading| (reading.at_ms - at_ms).abs() <= SAME_VISIT_MS)
                    .min_by_key(|reading| (reading.at_ms - at_ms).abs())?;
                Some(judge::again(check.kind, &then.entered, Some(limits), None).verdict)
            })
            .collect();
        let well = |verdict: &Verdict| *verdict == Verdict::InLimits;
        !verdicts.is_empty() && verdicts.iter().all(well)
    }
}
