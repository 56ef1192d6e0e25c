//! Which checks show whether a remedy did it, and when.

use super::{Remedy, gland::WAIT_MIN};
use crate::{
    check::{RunningState, list, on_request},
    plant::{CheckId, CheckKind as K, Place, Pump, Verdict},
    say,
};

/// A check that shows whether a remedy did it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proof {
    /// Which check.
    pub check: CheckId,
    /// Minutes to wait for it after the remedy.
    pub after_minutes: f64,
}

/// At once: what is seen by looking.
const AT_ONCE: f64 = 0.0;
/// Pressures and pointers settle. Common practice, no source.
const SETTLED: f64 = 5.0;
/// Oil and cooler come to a new balance: a bearing warms most of its way in 30 minutes (a motor maker's manual, rise
/// after start).
const WARMED: f64 = 30.0;
/// Fresh grease is worked in, or shows that it was too much. Common practice, no source.
const WORKED_IN: f64 = 60.0;

/// The checks that show whether a remedy did it, those to be made first in front; only checks that this pump has.
///
/// Own words have none of their own: what proves them is the check of the entry they were an answer to.
pub fn proof_of(remedy: &Remedy, pump: &Pump) -> Vec<Proof> {
    let had: Vec<CheckId> = [RunningState::Running, RunningState::Standby]
        .into_iter()
        .flat_map(|state| [list(pump, state), on_request(pump, state)].concat())
        .map(|check| check.id)
        .collect();
    let mut proofs = shown_by(remedy);
    proofs.retain(|proof| had.contains(&proof.check));
    // A bearing is felt only where nothing reads it.
    let is_read = proofs
        .iter()
        .any(|proof| proof.check.kind == K::BearingTemperature);
    proofs.retain(|proof| !(is_read && proof.check.kind == K::BearingHeat));
    proofs
}

/// What a remedy does shows in this check, whatever pump it was done at.
pub fn shows_in(remedy: &Remedy, check: CheckId) -> bool {
    shown_by(remedy).iter().any(|proof| proof.check == check)
}

/// The readings of a check begin anew with a remedy: a line or what is usual, taken across it, would tell of what was
/// done and not of the pump.
///
/// Grease and a vented casing are no such cut: what they change, they change for hours.
pub fn begins_anew(remedy: &Remedy, check: CheckId) -> bool {
    let kinds: &[K] = match remedy {
        Remedy::GlandNuts { .. } => &[K::LeakOff, K::GlandHeat],
        Remedy::TopUp { .. } => &[K::OilLevel, K::OilerLevel, K::FeedOilReservoir],
        Remedy::Strainer { .. } => &[K::StrainerDrop, K::SuctionPressure, K::DischargePressure],
        Remedy::CoolingWater { .. } => &[K::FeedOilTemperature],
        Remedy::FilterElement => &[K::FeedOilFilterDrop, K::FeedOilPressure],
        Remedy::Grease { .. } | Remedy::Vent | Remedy::OwnWords { .. } => &[],
    };
    kinds.contains(&check.kind) && check.place == remedy.place()
}

fn shown_by(remedy: &Remedy) -> Vec<Proof> {
    let place = remedy.place();
    let shown: &[(K, Place, f64)] = match remedy {
        Remedy::GlandNuts { .. } => &[
            (K::GlandSquare, place, AT_ONCE),
            (K::LeakOff, place, WAIT_MIN),
            (K::GlandHeat, place, WAIT_MIN),
        ],
        Remedy::TopUp { .. } if place == Place::OilSkid => &[
            (K::FeedOilReservoir, place, AT_ONCE),
            (K::FeedOilPressure, place, SETTLED),
        ],
        Remedy::TopUp { .. } => &[
            (K::OilLevel, place, SETTLED),
            (K::OilerLevel, place, SETTLED),
            (K::BearingTemperature, place, WORKED_IN),
            (K::BearingHeat, place, WORKED_IN),
        ],
        Remedy::Grease { .. } => &[
            (K::GreaseCup, place, AT_ONCE),
            (K::GreaseLook, place, AT_ONCE),
            (K::BearingTemperature, place, WORKED_IN),
            (K::BearingHeat, place, WORKED_IN),
        ],
        Remedy::Vent => &[
            (K::VentTest, Place::Pump, AT_ONCE),
            (K::Primed, Place::Pump, AT_ONCE),
            (K::DischargePressure, Place::Discharge, SETTLED),
            (K::GaugeSwing, Place::Discharge, SETTLED),
            (K::Noise, Place::Pump, SETTLED),
        ],
        Remedy::Strainer { .. } => &[
            (K::Surroundings, Place::Pump, AT_ONCE),
            (K::StrainerDrop, place, SETTLED),
            (K::SuctionPressure, place, SETTLED),
            (K::DischargePressure, place, SETTLED),
        ],
        Remedy::CoolingWater { .. } => &[
            (K::CoolingWater, place, AT_ONCE),
            (K::FeedOilTemperature, place, WARMED),
        ],
        Remedy::FilterElement => &[
            (K::Surroundings, Place::Pump, AT_ONCE),
            (K::FeedOilFilterDrop, place, SETTLED),
            (K::FeedOilPressure, place, SETTLED),
        ],
        Remedy::OwnWords { .. } => &[],
    };
    shown
        .iter()
        .map(|&(kind, place, after_minutes)| Proof {
            check: CheckId::new(kind, place),
            after_minutes,
        })
        .collect()
}

/// How long the wait for a proof still is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wait {
    /// It is over.
    Over,
    /// Minutes left, above 0.
    Minutes(f64),
    /// The clock stands before the remedy: it was set back. Wait by another clock.
    ClockSetBack,
}

impl Proof {
    /// How long the wait still is, for a remedy done and a clock that stand so, ms since 1970 UTC.
    ///
    /// It is reckoned from the times alone, so that a device that slept in between, or a program that was ended, waits
    /// no longer than it has to.
    pub fn wait(&self, done_ms: i64, now_ms: i64) -> Wait {
        const MS_PER_MIN: f64 = 60_000.0;
        if now_ms < done_ms {
            return Wait::ClockSetBack;
        }
        let left = self.after_minutes - (now_ms as f64 - done_ms as f64) / MS_PER_MIN;
        if left > 0.0 {
            Wait::Minutes(left)
        } else {
            Wait::Over
        }
    }
}

/// What the verdict of an entry made after the wait says of the remedy, in a sentence; what was in limits before was not
/// brought there by it.
pub fn proved_words(before: Option<Verdict>, after: Verdict) -> &'static str {
    match after {
        Verdict::InLimits if before == Some(Verdict::InLimits) => say!("In limits, as before."),
        Verdict::InLimits if before.is_some_and(Verdict::is_out_of_limits) => {
            say!("In limits again: it did it.")
        }
        Verdict::InLimits => say!("In limits."),
        Verdict::Watch => say!("Not in limits yet: look again on the next round."),
        Verdict::Act => say!("It did not do it: tell the shift supervisor."),
        Verdict::StopPump => say!(
            "It did not do it: stop the pump by your plant's procedure and tell the shift supervisor."
        ),
        Verdict::NotJudged => {
            say!("Nothing to judge it by: compare with what it was before.")
        }
    }
}
