//! The judging itself: pure, total, repeatable.

use super::{Judgement, Previous, Reason, Verdict};
use crate::{
    check::{Entered, EntryKind, FeelScale, compare, usual_kind},
    plant::{CheckKind, FastestChange, Limits, Unit},
};
use std::cmp::Ordering;

/// Where a difference of two readings is the allowed one but for what converting rounds off.
const ROUNDED_OFF: f64 = 1e-12;

/// Judges an entry by its limits and by the entry before it.
///
/// A bound is the last good value. Numbers are compared across units. Choices and answers come to
/// their usual verdict unless the limits say otherwise; a feel without bounds comes to the usual
/// of its step. The worst reason decides. There is an answer for every input.
pub fn judge(
    kind: &EntryKind,
    entered: &Entered,
    limits: Option<&Limits>,
    previous: Option<&Previous>,
) -> Judgement {
    let mut reasons = match (kind, entered) {
        (EntryKind::Choice(choices), Entered::Choice { key }) => choices
            .iter()
            .find(|choice| choice.key == key)
            .map_or(vec![Reason::NothingToJudge], |choice| {
                vec![said(key, choice.usual, limits)]
            }),
        (EntryKind::YesNo { good }, Entered::YesNo { yes }) => {
            let usual = if yes == good {
                Verdict::InLimits
            } else {
                Verdict::Act
            };
            vec![said(if *yes { "yes" } else { "no" }, usual, limits)]
        }
        (&EntryKind::Feel(scale), &Entered::Feel { step }) => {
            by_bands(entered, limits, previous).unwrap_or_else(|| vec![usual_feel(scale, step)])
        }
        (EntryKind::Number { .. }, Entered::Number { .. })
        | (EntryKind::Count, Entered::Count { .. } | Entered::Stream { .. })
        | (EntryKind::Level, Entered::Level { .. }) => {
            by_bands(entered, limits, previous).unwrap_or_else(|| vec![Reason::NoLimits])
        }
        _ => vec![Reason::NothingToJudge],
    };
    reasons.sort_by_key(|reason| std::cmp::Reverse(reason.verdict()));
    Judgement {
        verdict: reasons.first().map_or(Verdict::NotJudged, Reason::verdict),
        reasons,
    }
}

/// Judges a stored entry again, without its plant's register: all that judging needs is with the
/// entry, and words, scales and answers are the same at every pump.
pub fn again(
    check: CheckKind,
    entered: &Entered,
    limits: Option<&Limits>,
    previous: Option<&Previous>,
) -> Judgement {
    judge(&usual_kind(check), entered, limits, previous)
}

/// A word or answer: what the limits make of it, else the usual.
fn said(key: &str, usual: Verdict, limits: Option<&Limits>) -> Reason {
    let own = limits
        .and_then(|limits| limits.choices.get(key).copied())
        .filter(|verdict| *verdict != Verdict::NotJudged);
    match own.unwrap_or(usual) {
        Verdict::InLimits => Reason::InLimits,
        verdict => Reason::Said { verdict },
    }
}

/// What a step of feeling comes to where the limits set no bands.
///
/// Heat: a bearing of 71 °C is normal by a maker's manual (OM-02816, p. C-4), which is already too
/// hot to touch, so that step asks only for a thermometer and a second look; heat felt without
/// touching is an act. Vibration: common practice, no source. No step stops a pump by default.
fn usual_feel(scale: FeelScale, step: u8) -> Reason {
    let (watch, act) = match scale {
        FeelScale::Heat => (4, 5),
        FeelScale::Vibration => (2, 3),
    };
    if step >= act {
        Reason::Said {
            verdict: Verdict::Act,
        }
    } else if step >= watch {
        Reason::Said {
            verdict: Verdict::Watch,
        }
    } else {
        Reason::InLimits
    }
}

/// A number against bounds and against the number before; `None` where the limits hold nothing to judge it by.
fn by_bands(
    entered: &Entered,
    limits: Option<&Limits>,
    previous: Option<&Previous>,
) -> Option<Vec<Reason>> {
    let limits = limits?;
    let Some((value, unit)) = entered.measured().filter(|(value, _)| value.is_finite()) else {
        return Some(vec![Reason::NothingToJudge]);
    };
    let Some(in_limits_unit) = unit.convert(value, limits.unit) else {
        return Some(vec![Reason::UnitMismatch]);
    };
    let change = limits
        .fastest_change
        .zip(previous)
        .and_then(|(fastest, previous)| {
            Change::since(previous, in_limits_unit, limits.unit, fastest)
        });
    if !has_bands(limits) && change.is_none() {
        return None;
    }
    let mut reasons: Vec<_> = [
        beyond(value, unit, limits, Side::Low),
        beyond(value, unit, limits, Side::High),
        change.and_then(Change::too_fast),
    ]
    .into_iter()
    .flatten()
    .collect();
    if reasons.is_empty() {
        reasons.push(Reason::InLimits);
    }
    Some(reasons)
}

#[derive(Clone, Copy)]
enum Side {
    Low,
    High,
}

fn has_bands(limits: &Limits) -> bool {
    let target_only = usize::from(limits.target.is_some());
    limits.bounds().count() > target_only
}

/// The worst bound that the value is beyond on one side.
fn beyond(value: f64, unit: Unit, limits: &Limits, side: Side) -> Option<Reason> {
    let (bounds, wrong) = match side {
        Side::Low => (
            [limits.low_stop, limits.low_act, limits.low_watch],
            Ordering::Less,
        ),
        Side::High => (
            [limits.high_stop, limits.high_act, limits.high_watch],
            Ordering::Greater,
        ),
    };
    let verdicts = [Verdict::StopPump, Verdict::Act, Verdict::Watch];
    let (verdict, bound) = verdicts
        .into_iter()
        .zip(bounds)
        .filter_map(|(verdict, bound)| Some((verdict, bound?)))
        .find(|&(_, bound)| compare(value, unit, bound, limits.unit) == Some(wrong))?;
    Some(match side {
        Side::Low => Reason::Below { verdict, bound },
        Side::High => Reason::Above { verdict, bound },
    })
}

/// A change since the entry before, in the limits' unit.
#[derive(Clone, Copy)]
struct Change {
    change: f64,
    hours: f64,
    allowed: f64,
    rounded_off: f64,
}

impl Change {
    /// `None` where the entry before measured something else or either is no number.
    fn since(previous: &Previous, now: f64, unit: Unit, fastest: FastestChange) -> Option<Self> {
        let before = previous.unit.convert(previous.value, unit)?;
        let change = now - before;
        let allowed = fastest.allowed_over(previous.hours_before);
        let all_numbers =
            change.is_finite() && previous.hours_before.is_finite() && !allowed.is_nan();
        all_numbers.then_some(Self {
            change,
            hours: previous.hours_before,
            allowed,
            // A temperature's kelvins carry the rounding, so it is taken of the SI size.
            rounded_off: ROUNDED_OFF * (now.abs() + before.abs() + offset(unit)),
        })
    }

    fn too_fast(self) -> Option<Reason> {
        (self.change.abs() - self.allowed > self.rounded_off).then_some(Reason::TooFast {
            change: self.change,
            hours: self.hours,
            allowed: self.allowed,
        })
    }
}

/// Size of the unit's zero in its own steps, for example 273.15 of °C.
fn offset(unit: Unit) -> f64 {
    unit.from_si(0.0).abs()
}
