//! A judged entry in plain words.

use super::{Hands, Judgement, Previous, Reason, first_action};
use crate::{
    check::{Entered, EntryKind, FeelScale, compare, usual_kind, words},
    language,
    plant::{CheckKind, Limits, Unit},
    say,
};
use std::cmp::Ordering;

/// A judged entry in plain words: what was found, what this pump needs, what to do first.
///
/// For example "Leak-off 4 drops/min. This pump needs 10 to 40. Ease each gland nut one flat, wait
/// 10 minutes, count again. Keep clear …". It sends a hand to the gland no further than `hands` allows.
pub fn sentence(
    check: CheckKind,
    entered: &Entered,
    judgement: &Judgement,
    limits: Option<&Limits>,
    previous: Option<&Previous>,
    hands: Hands,
) -> String {
    let mut sentences = vec![finding_words(check, entered, judgement, limits)];
    if judgement.verdict.is_out_of_limits() {
        sentences.extend(before(check, entered, judgement, limits, previous));
    }
    let first = first_action(check, entered, judgement, hands);
    sentences.extend(first.map(|first| first.words()));
    sentences.join(" ")
}

/// What was found and what this pump needs, without what to do, for example "Leak-off 4 drops/min.
/// This pump needs 10 to 40." Of a stream caught in a cup the volume, and beside it the drops that it is held against the
/// limits by.
pub fn finding_words(
    check: CheckKind,
    entered: &Entered,
    judgement: &Judgement,
    limits: Option<&Limits>,
) -> String {
    let name = words::name(check);
    let found = found(check, entered, limits);
    let mut sentences = vec![match entered {
        Entered::Words { .. } => format!("{name}: {found}"),
        Entered::Number { .. }
        | Entered::Count { .. }
        | Entered::Stream { .. }
        | Entered::Level { .. }
        | Entered::NotChecked { .. } => format!("{name} {found}."),
        Entered::Feel { .. } | Entered::Choice { .. } | Entered::YesNo { .. } => {
            format!("{name}: {found}.")
        }
    }];
    sentences.extend(as_drops(entered));
    for reason in &judgement.reasons {
        sentences.extend(because(check, entered, reason, limits));
    }
    sentences.join(" ")
}

/// What a stream comes to in drops by its plant's convention; `None` of anything else.
fn as_drops(entered: &Entered) -> Option<String> {
    let (Some((rate, Unit::DropsPerMin)), Some(drops)) =
        (entered.measured(), drops_per_ml(entered))
    else {
        return None;
    };
    Some(say!(
        "That is {rate} drops/min at {drops} to the mL.",
        rate = language::number(to_digits(rate, 2)),
        drops = language::number(drops)
    ))
}

/// Drops in a millilitre, where a stream was caught at a plant that states them.
fn drops_per_ml(entered: &Entered) -> Option<f64> {
    match entered {
        Entered::Stream { drops_per_ml, .. } => drops_per_ml.filter(|drops| *drops > 0.0),
        _ => None,
    }
}

/// What was entered, in words that stand alone, for example "4 drops/min" or "warm". The limits it is judged by say how:
/// slow drops by the hour, and a count to so many digits that one above a bound reads as one. A stream is told as what
/// was caught, in mL/min.
pub fn found(check: CheckKind, entered: &Entered, limits: Option<&Limits>) -> String {
    match entered {
        Entered::Choice { key } => words::choice(check, key).unwrap_or(key).to_owned(),
        Entered::YesNo { yes } => words::yes_no(check, *yes).to_owned(),
        Entered::Words { text } => text.clone(),
        Entered::NotChecked { reason } => say!("not checked: {reason}", reason),
        Entered::Number { .. }
        | Entered::Count { .. }
        | Entered::Stream { .. }
        | Entered::Level { .. }
        | Entered::Feel { .. } => entered.measured().map_or_else(
            || say!("no number").to_owned(),
            |(value, unit)| Saying::of(entered, limits).read(check, value, unit, limits),
        ),
    }
}

/// What this pump needs, for example "10 to 40 drops/min" or "at most 71 °C"; `None` where no bound is set.
pub fn band(check: CheckKind, limits: &Limits) -> Option<String> {
    let saying = Saying {
        unit: limits.unit,
        by_the_hour: is_by_the_hour(limits),
        drops_per_ml: None,
    };
    band_in(check, saying, None, limits)
}

/// How an entry stands to the one before, for example "up 12 °C in 8 h"; `None` where the two can't be compared.
pub fn change_words(
    check: CheckKind,
    entered: &Entered,
    previous: Option<&Previous>,
) -> Option<String> {
    let previous = previous?;
    let (now, unit) = entered.measured()?;
    let was = previous.unit.convert(previous.value, unit)?;
    let time = time(previous.hours_before);
    Some(match compare(now, unit, previous.value, previous.unit)? {
        Ordering::Equal => say!("as {time} before", time),
        order => {
            let saying = Saying::of(entered, None);
            let change = saying.difference((now - was).abs(), unit);
            let was = saying.read(check, was, unit, None);
            if order == Ordering::Greater {
                say!("up {change} in {time}, was {was}", change, time, was)
            } else {
                say!("down {change} in {time}, was {was}", change, time, was)
            }
        }
    })
}

fn because(
    check: CheckKind,
    entered: &Entered,
    reason: &Reason,
    limits: Option<&Limits>,
) -> Option<String> {
    let saying = Saying::of(entered, limits);
    let beside = entered
        .measured()
        .map(|(value, unit)| saying.shown(value, unit).1);
    // A stream's band is told in drops too, as the plant has set it.
    let band_said = |limits: &Limits| {
        let said = band_in(check, saying, beside, limits)?;
        Some(match (saying.drops_per_ml, band(check, limits)) {
            (Some(_), Some(as_set)) => format!("{said} ({as_set})"),
            _ => said,
        })
    };
    match *reason {
        Reason::Above { .. } | Reason::Below { .. } => {
            Some(say!("This pump needs {band}.", band = band_said(limits?)?))
        }
        Reason::InLimits => Some(say!("In limits: {band}.", band = band_said(limits?)?)),
        Reason::TooFast {
            change,
            hours,
            allowed,
        } => {
            let unit = limits?.unit;
            let by = saying.difference(change.abs(), unit);
            let allowed = saying.difference(allowed, unit);
            let time = time(hours);
            Some(if change > 0.0 {
                say!(
                    "It rose {by} in {time}; at most {allowed} is allowed in that time.",
                    by,
                    time,
                    allowed
                )
            } else {
                say!(
                    "It fell {by} in {time}; at most {allowed} is allowed in that time.",
                    by,
                    time,
                    allowed
                )
            })
        }
        Reason::NoLimits => Some(say!("No limits are set for this check of this pump.").to_owned()),
        Reason::UnitMismatch => Some(say!(
            "Its limits are in {unit}, which measures something else: tell the planner.",
            unit = limits?.unit.key()
        )),
        Reason::Said { .. } | Reason::NothingToJudge => None,
    }
}

/// The good band; its unit is left out beside an entry shown in the same.
fn band_in(
    check: CheckKind,
    saying: Saying,
    beside: Option<&str>,
    limits: &Limits,
) -> Option<String> {
    let low = limits.low_watch.or(limits.low_act).or(limits.low_stop);
    let high = limits.high_watch.or(limits.high_act).or(limits.high_stop);
    let felt = feel_scale(check).is_some();
    let symbol = |value| saying.shown(value, limits.unit).1;
    let text = |value, beside| {
        if !felt && beside == Some(symbol(value)) {
            figure(saying.shown(value, limits.unit).0)
        } else {
            saying.amount(check, value, limits.unit)
        }
    };
    Some(match (low, high) {
        (Some(low), Some(high)) => {
            let low = text(low, Some(symbol(high)));
            say!("{low} to {high}", low, high = text(high, beside))
        }
        (Some(low), None) => say!("at least {low}", low = text(low, beside)),
        (None, Some(high)) => say!("at most {high}", high = text(high, beside)),
        (None, None) => return None,
    })
}

/// The entry before, where the change itself has not been told.
fn before(
    check: CheckKind,
    entered: &Entered,
    judgement: &Judgement,
    limits: Option<&Limits>,
    previous: Option<&Previous>,
) -> Option<String> {
    let previous = previous?;
    let told = |reason: &Reason| matches!(reason, Reason::TooFast { .. });
    if judgement.reasons.iter().any(told) {
        return None;
    }
    let was = Saying::of(entered, limits).read(check, previous.value, previous.unit, limits);
    Some(say!(
        "It was {was} {time} before.",
        was,
        time = time(previous.hours_before)
    ))
}

fn feel_scale(check: CheckKind) -> Option<FeelScale> {
    match usual_kind(check) {
        EntryKind::Feel(scale) => Some(scale),
        _ => None,
    }
}

/// The one unit that every number of a sentence is said in, so that nobody compares bar with psi. Drops alone are said
/// by the hour where they are slow, and by the minute where they are not: nobody counts 1800 in an hour.
#[derive(Clone, Copy)]
struct Saying {
    /// That of the entry; a number that measures something else keeps its own.
    unit: Unit,
    /// Slow drops by the hour, as one speaks of mechanical seals: as the limits say, else each number for itself.
    by_the_hour: Option<bool>,
    /// Drops are said as the volume they are, by the plant's convention: the entry was a stream.
    drops_per_ml: Option<f64>,
}

impl Saying {
    fn of(entered: &Entered, limits: Option<&Limits>) -> Self {
        let measured = entered.measured().map(|(_, unit)| unit);
        let of_limits = limits.map(|limits| limits.unit);
        Self {
            unit: measured.or(of_limits).unwrap_or(Unit::Step),
            by_the_hour: limits.and_then(is_by_the_hour),
            drops_per_ml: drops_per_ml(entered),
        }
    }

    /// A number and the unit it is said in.
    fn shown(self, value: f64, unit: Unit) -> (f64, &'static str) {
        let (value, unit) = match unit.convert(value, self.unit) {
            Some(converted) => (converted, self.unit),
            None => (value, unit),
        };
        let slow = value < 1.0 && self.by_the_hour.unwrap_or(value > 0.0);
        match (unit, self.drops_per_ml) {
            (Unit::DropsPerMin, Some(drops)) => (value / drops, Unit::MlPerMin.symbol()),
            (Unit::DropsPerMin, None) if slow => (value * 60.0, say!("drops/h")),
            _ => (value, unit.symbol()),
        }
    }

    /// A number with its unit, a step of feeling in its word.
    fn amount(self, check: CheckKind, value: f64, unit: Unit) -> String {
        let word = feel_scale(check).and_then(|scale| {
            let steps = words::feel_steps(scale).into_iter().enumerate();
            let mut of_value = steps.filter(|(step, _)| *step as f64 == value);
            of_value.next().map(|(_, step)| step.word.to_owned())
        });
        word.unwrap_or_else(|| {
            let (value, symbol) = self.shown(value, unit);
            format!("{} {symbol}", figure(value)).trim_end().to_owned()
        })
    }

    /// The same of what was entered: a rate is no typed number but counted, and its digits have no end. It has two of
    /// them, and more only where fewer would put it on the other side of a bound.
    fn read(self, check: CheckKind, value: f64, unit: Unit, limits: Option<&Limits>) -> String {
        const DIGITS: std::ops::RangeInclusive<usize> = 2..=6;
        if !matches!(unit, Unit::DropsPerMin | Unit::MlPerMin) {
            return self.amount(check, value, unit);
        }
        let (shown, symbol) = self.shown(value, unit);
        let bounds: Vec<f64> = limits
            .into_iter()
            .flat_map(|limits| limits.bounds().map(|(_, bound)| (bound, limits.unit)))
            .map(|(bound, of_limits)| self.shown(bound, of_limits).0)
            .collect();
        let same_side = |rounded: &f64| {
            let mut bounds = bounds.iter();
            bounds.all(|bound| rounded.partial_cmp(bound) == shown.partial_cmp(bound))
        };
        let mut rounded = DIGITS.map(|digits| to_digits(shown, digits));
        let rounded = rounded.find(same_side).unwrap_or(shown);
        format!("{} {symbol}", language::number(rounded))
    }

    fn difference(self, by: f64, unit: Unit) -> String {
        let (by, unit) = match unit.convert_difference(by, self.unit) {
            Some(converted) => (converted, self.unit),
            None => (by, unit),
        };
        let (by, unit) = match self.drops_per_ml {
            Some(drops) if unit == Unit::DropsPerMin => (by / drops, Unit::MlPerMin),
            _ => (by, unit),
        };
        match unit {
            Unit::Step if by == 1.0 => say!("1 step").to_owned(),
            Unit::Step => say!("{steps} steps", steps = figure(by)),
            Unit::DropsPerMin | Unit::MlPerMin => {
                format!("{} {}", language::number(to_digits(by, 2)), unit.symbol())
            }
            _ => format!("{} {}", figure(by), unit.symbol()),
        }
    }
}

/// Whether the good band of these limits is one of slow drops; `None` where it is of something else.
fn is_by_the_hour(limits: &Limits) -> Option<bool> {
    let high = limits.high_watch.or(limits.high_act).or(limits.high_stop);
    let low = limits.low_watch.or(limits.low_act).or(limits.low_stop);
    let largest = high.or(low)?;
    (limits.unit == Unit::DropsPerMin).then_some(largest > 0.0 && largest < 1.0)
}

/// Hours as people say them: no number under a minute, minutes under two hours, days from three days on.
fn time(hours: f64) -> String {
    if hours * 60.0 < 1.0 {
        say!("under a minute").to_owned()
    } else if hours < 2.0 {
        format!("{:.0} min", hours * 60.0)
    } else if hours < 72.0 {
        format!("{hours:.0} h")
    } else {
        say!("{days} days", days = format!("{:.0}", hours / 24.0))
    }
}

/// A number as typed where it is short, else to four digits: conversions have no end of decimals.
fn figure(value: f64) -> String {
    const TYPED_DIGITS: usize = 6;
    let whole = value.to_string();
    if whole.chars().filter(char::is_ascii_digit).count() <= TYPED_DIGITS {
        return language::number(whole);
    }
    language::number(to_digits(value, 4))
}

/// A number to so many digits; those before the point are all kept.
fn to_digits(value: f64, digits: usize) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let whole_digits = value.abs().log10().floor() + 1.0;
    let decimals = (digits as f64 - whole_digits).clamp(0.0, 9.0) as usize;
    // Reading the digits back is exact, where scaling by powers of ten is not.
    format!("{value:.decimals$}").parse().unwrap_or(value)
}
