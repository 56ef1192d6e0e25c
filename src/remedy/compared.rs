//! An entry after a remedy set beside the one before it.

use super::{
    CannotTell,
    words::{of_counts, short},
};
use crate::{
    check::{
        Entered, EntryKind, usual_kind,
        words::{choice, feel_step, short_title, yes_no},
    },
    plant::{CheckId, Limits, Unit, Verdict},
    say,
    statistics::counting::{self, Change, Count},
};

pub use crate::statistics::counting::COMPARISON;

/// Chance that a difference of two counts is laid to the remedy though there is none. Common practice, no source.
const LEVEL: f64 = 0.05;

/// What became of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effect {
    /// Nearer to where it should be.
    Better,
    /// Farther from where it should be.
    Worse,
    /// Another than before, and nothing says which is better.
    Changed,
    /// The same, or chance alone can explain the difference.
    NotShown,
}

impl Effect {
    fn words(self) -> &'static str {
        match self {
            Effect::Better => say!("Better."),
            Effect::Worse => say!("Worse."),
            Effect::Changed => say!("Changed."),
            Effect::NotShown => say!("No difference shown."),
        }
    }
}

/// Before and after set side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// What became of it.
    pub effect: Effect,
    /// In words: "Leak-off, Seal DE: 72 drops/min before, 40 after; 0.56 times as much (0.4 to 0.78). Better."
    pub words: String,
}

/// Sets the entry after a remedy beside the one before it.
///
/// Counts of drops are compared by the exact test ([`COMPARISON`]); other numbers as they were read. Nearer to its band
/// is better, and within one of two bounds nearer to its target; of a feel without bounds the lesser; of words and answers the one
/// that comes to less.
///
/// # Errors
/// [`CannotTell::NotComparable`] where they were made in different ways; [`CannotTell::Counting`].
pub fn compared(
    check: CheckId,
    before: &Entered,
    after: &Entered,
    limits: Option<&Limits>,
) -> Result<Compared, CannotTell> {
    let (effect, said) = match (before, after) {
        (
            &Entered::Count { drops, seconds },
            &Entered::Count {
                drops: drops_after,
                seconds: seconds_after,
            },
        ) => counts(
            Count { drops, seconds },
            Count {
                drops: drops_after,
                seconds: seconds_after,
            },
            limits,
        )?,
        (Entered::Choice { key: one }, Entered::Choice { key: other }) => {
            let weights = (
                said_comes_to(check, one, limits),
                said_comes_to(check, other, limits),
            );
            let word = |key| choice(check.kind, key).unwrap_or("?").to_owned();
            (
                by_weight(weights, one == other),
                both(&word(one), &word(other)),
            )
        }
        (&Entered::YesNo { yes: one }, &Entered::YesNo { yes: other }) => {
            let EntryKind::YesNo { good } = usual_kind(check.kind) else {
                return Err(CannotTell::NotComparable);
            };
            let effect = if one == other {
                Effect::NotShown
            } else if other == good {
                Effect::Better
            } else {
                Effect::Worse
            };
            (
                effect,
                both(yes_no(check.kind, one), yes_no(check.kind, other)),
            )
        }
        _ => numbers(check, before, after, limits)?,
    };
    Ok(Compared {
        effect,
        words: format!("{}: {said}. {}", short_title(check), effect.words()),
    })
}

fn both(before: &str, after: &str) -> String {
    say!("{before} before, {after} after", before, after)
}

fn counts(
    before: Count,
    after: Count,
    limits: Option<&Limits>,
) -> Result<(Effect, String), CannotTell> {
    let comparison = counting::compare(before, after, LEVEL)?;
    let per_min = |count: Count| f64::from(count.drops) * 60.0 / count.seconds;
    let (one, other) = (per_min(before), per_min(after));
    let effect = match comparison.change {
        Change::NoDifferenceShown => Effect::NotShown,
        Change::Fell | Change::Rose => by_band(one, other, Unit::DropsPerMin, limits),
    };
    let rate = say!("{rate} drops/min", rate = of_counts(one));
    let mut said = both(&rate, &of_counts(other));
    if let (Some(ratio), Some(high)) = (comparison.ratio, comparison.ratio_high) {
        said = say!(
            "{before_and_after}; {ratio} times as much ({low} to {high})",
            before_and_after = said,
            ratio = of_counts(ratio),
            low = of_counts(comparison.ratio_low),
            high = of_counts(high)
        );
    }
    Ok((effect, said))
}

fn numbers(
    check: CheckId,
    before: &Entered,
    after: &Entered,
    limits: Option<&Limits>,
) -> Result<(Effect, String), CannotTell> {
    let measured = before.measured().zip(after.measured());
    let ((one, unit), (other, unit_after)) = measured.ok_or(CannotTell::NotComparable)?;
    let other = unit_after
        .convert(other, unit)
        .ok_or(CannotTell::NotComparable)?;
    if !(one.is_finite() && other.is_finite()) {
        return Err(CannotTell::NotComparable);
    }
    let scale = match usual_kind(check.kind) {
        EntryKind::Feel(scale) if unit == Unit::Step => Some(scale),
        _ => None,
    };
    let effect = if one == other {
        Effect::NotShown
    } else {
        match (by_band(one, other, unit, limits), scale) {
            (Effect::Changed, Some(_)) if other < one => Effect::Better,
            (Effect::Changed, Some(_)) => Effect::Worse,
            (effect, _) => effect,
        }
    };
    let said = match scale {
        Some(scale) => {
            let word = |step: f64| feel_step(scale, step as u8).map_or("?", |step| step.word);
            both(word(one), word(other))
        }
        None => both(&format!("{} {}", short(one), unit.symbol()), &short(other)),
    };
    Ok((effect, said))
}

/// Nearer to the band is better; within one of two bounds, nearer to the target.
fn by_band(before: f64, after: f64, unit: Unit, limits: Option<&Limits>) -> Effect {
    let Some(limits) = limits else {
        return Effect::Changed;
    };
    let converted = unit
        .convert(before, limits.unit)
        .zip(unit.convert(after, limits.unit));
    let Some((before, after)) = converted else {
        return Effect::Changed;
    };
    let low = limits.low_watch.or(limits.low_act).or(limits.low_stop);
    let high = limits.high_watch.or(limits.high_act).or(limits.high_stop);
    let outside = |value: f64| {
        let under = low.map_or(0.0, |low| low - value);
        let over = high.map_or(0.0, |high| value - high);
        under.max(over).max(0.0)
    };
    // What has a bound on one side only is no worse for lying farther from its usual value on the other.
    let target = limits.target.filter(|_| low.is_some() && high.is_some());
    let off = |value: f64| target.map_or(0.0, |target| (value - target).abs());
    let was = (outside(before), off(before));
    let is = (outside(after), off(after));
    match is.partial_cmp(&was) {
        Some(std::cmp::Ordering::Less) => Effect::Better,
        Some(std::cmp::Ordering::Greater) => Effect::Worse,
        _ => Effect::Changed,
    }
}

/// What a choice comes to by these limits, else usually.
fn said_comes_to(check: CheckId, key: &str, limits: Option<&Limits>) -> Option<Verdict> {
    let own = limits.and_then(|limits| limits.choices.get(key).copied());
    let usual = match usual_kind(check.kind) {
        EntryKind::Choice(choices) => choices
            .iter()
            .find(|choice| choice.key == key)
            .map(|choice| choice.usual),
        _ => None,
    };
    own.or(usual)
}

fn by_weight(weights: (Option<Verdict>, Option<Verdict>), same: bool) -> Effect {
    match weights {
        _ if same => Effect::NotShown,
        (Some(before), Some(after)) if after < before => Effect::Better,
        (Some(before), Some(after)) if after > before => Effect::Worse,
        _ => Effect::Changed,
    }
}
