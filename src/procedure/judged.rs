//! What an entry at a step comes to: whether the run may go on.

use super::{
    AskedEntry, Bounds, JudgedBy, Least, PlannedStep, Refused, Task, ValvePosition, answer_words,
};
use crate::{
    check::{self, Entered, words},
    judge, language,
    plant::{CheckId, Unit, Verdict},
    say,
};
use std::cmp::Ordering;

/// What an entry came to.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// Its verdict; [`Verdict::NotJudged`] where nothing could judge it.
    pub verdict: Verdict,
    /// The run may go on.
    pub holds: bool,
    /// What was found and what is needed, in words.
    pub words: String,
}

impl Judged {
    fn of(good: bool, words: String) -> Self {
        Self {
            verdict: if good {
                Verdict::InLimits
            } else {
                Verdict::Act
            },
            holds: good,
            words,
        }
    }
}

/// What is told at a step whose entry nothing will judge; `None` where it will be judged.
pub fn note(step: &PlannedStep) -> Option<String> {
    match &step.task {
        Task::Enter {
            asked: AskedEntry::Check { check, .. },
            by: JudgedBy::Nothing,
            ..
        } => Some(say!(
            "No limits are set for {check} of pump {pump}. Enter what you read: it is noted, not judged, and you decide by your plant's procedure whether to go on.",
            check = words::title(*check),
            pump = step.pump
        )),
        Task::Enter {
            asked: AskedEntry::Reading { .. },
            by: JudgedBy::Nothing,
            ..
        } => Some(
            say!(
                "No limits are set for this reading. Enter what you read: it is noted, not judged, and you decide by your plant's procedure whether to go on."
            )
            .to_owned(),
        ),
        _ => None,
    }
}

/// Takes an entry and says what it comes to.
///
/// `noted` is what was entered at the step a proof is set beside.
pub(super) fn entered(
    number: usize,
    step: &PlannedStep,
    entered: Entered,
    noted: Option<&Entered>,
) -> Result<(Entered, Judged), Refused> {
    if matches!(entered, Entered::NotChecked { .. }) {
        return Err(Refused::NotCheckedIsASkip(number));
    }
    match &step.task {
        Task::Valve { position } => {
            let keys: Vec<_> = ValvePosition::ALL.iter().map(|one| one.key()).collect();
            let key = answer(number, &entered, &keys)?;
            let good = key == position.key();
            let stands = ValvePosition::ALL.iter().find(|one| one.key() == key);
            let words = say!(
                "Stands {position}; this step needs it {needed}.",
                position = stands.map_or("", |position| position.words()),
                needed = position.words()
            );
            Ok((Entered::Choice { key }, Judged::of(good, words)))
        }
        Task::Enter {
            asked: AskedEntry::Answer { answers, good },
            stops,
            ..
        } => {
            let keys: Vec<_> = answers.iter().map(String::as_str).collect();
            let key = answer(number, &entered, &keys)?;
            let words = say!("Answered {answer}.", answer = answer_words(&key));
            let mut judged = Judged::of(good.contains(&key), words);
            judged.holds |= !stops;
            Ok((entered, judged))
        }
        Task::Enter { asked, by, stops } => {
            let entered = accept(number, asked, entered)?;
            let judged = by_limits(asked, &entered, by, *stops);
            Ok((entered, judged))
        }
        Task::Prove { asked, least, .. } => {
            let entered = accept(number, asked, entered)?;
            let judged = beside(&entered, noted, *least);
            Ok((entered, judged))
        }
        Task::Do | Task::Warn | Task::Hold | Task::Wait { .. } => {
            Err(Refused::NothingToEnter(number))
        }
    }
}

fn accept(number: usize, asked: &AskedEntry, entered: Entered) -> Result<Entered, Refused> {
    let Some(kind) = asked.kind() else {
        return Err(Refused::NothingToEnter(number));
    };
    check::accept(&kind, entered).map_err(|why| Refused::BadEntry { step: number, why })
}

/// The answer's key, if it is one of these.
fn answer(number: usize, entered: &Entered, known: &[&str]) -> Result<String, Refused> {
    let given = match entered {
        Entered::Choice { key } => key.as_str(),
        Entered::YesNo { yes: true } => "yes",
        Entered::YesNo { yes: false } => "no",
        _ => return Err(Refused::NeedsEntry(number)),
    };
    if known.contains(&given) {
        Ok(given.to_owned())
    } else {
        Err(Refused::UnknownAnswer {
            step: number,
            given: given.to_owned(),
            known: known.join(", "),
        })
    }
}

fn by_limits(asked: &AskedEntry, entered: &Entered, by: &JudgedBy, stops: bool) -> Judged {
    let own = |limits: Option<&crate::plant::Limits>, check: CheckId| {
        let kind = asked
            .kind()
            .unwrap_or_else(|| check::usual_kind(check.kind));
        let judgement = judge::judge(&kind, entered, limits, None);
        Judged {
            verdict: judgement.verdict,
            holds: goes_on(judgement.verdict, stops),
            words: judge::finding_words(check.kind, entered, &judgement, limits),
        }
    };
    match (by, asked.check()) {
        (JudgedBy::Bounds { bounds }, _) => within(entered, *bounds, stops),
        (JudgedBy::Limits { limits }, Some(check)) => own(Some(limits), check),
        (JudgedBy::Usual | JudgedBy::Nothing, Some(check)) => own(None, check),
        (_, None) => Judged {
            verdict: Verdict::NotJudged,
            holds: true,
            words: match entered.measured() {
                Some((value, unit)) => {
                    say!("Read {reading}; not judged.", reading = amount(value, unit))
                }
                None => say!("Not judged.").to_owned(),
            },
        },
    }
}

/// Stop pump stops a run whatever the step says of act.
fn goes_on(verdict: Verdict, stops: bool) -> bool {
    verdict != Verdict::StopPump && !(stops && verdict >= Verdict::Act)
}

fn within(entered: &Entered, bounds: Bounds, stops: bool) -> Judged {
    let Some((value, unit)) = entered.measured() else {
        return Judged::of(false, say!("No number was read.").to_owned());
    };
    let order = |bound: Option<f64>| Some(check::compare(value, unit, bound?, bounds.unit));
    let good = !matches!(order(bounds.low), Some(Some(Ordering::Less) | None))
        && !matches!(order(bounds.high), Some(Some(Ordering::Greater) | None));
    let words = say!(
        "Read {reading}; this step needs {bounds}.",
        reading = amount(value, unit),
        bounds = bounds_words(bounds)
    );
    let mut judged = Judged::of(good, words);
    judged.holds |= !stops;
    judged
}

fn bounds_words(bounds: Bounds) -> String {
    match (bounds.low, bounds.high) {
        (Some(low), Some(high)) => {
            say!("{low} to {high}", low, high = amount(high, bounds.unit))
        }
        (Some(low), None) => say!("at least {low}", low = amount(low, bounds.unit)),
        (None, Some(high)) => say!("at most {high}", high = amount(high, bounds.unit)),
        (None, None) => say!("nothing").to_owned(),
    }
}

/// What an entry at the step must come to, in words; `None` where its own words say it, or nothing judges it.
pub(super) fn needed(step: &PlannedStep, noted: Option<&Entered>) -> Option<String> {
    match &step.task {
        Task::Enter {
            by: JudgedBy::Bounds { bounds },
            ..
        } => Some(say!(
            "This step needs {bounds}.",
            bounds = bounds_words(*bounds)
        )),
        Task::Enter {
            by: JudgedBy::Limits { limits },
            ..
        } => {
            judge::band(limits.check.kind, limits).map(|band| say!("This pump needs {band}.", band))
        }
        Task::Prove { .. } => {
            let (before, unit) = noted.and_then(Entered::measured)?;
            let (floor, _) = least_that_proves(step, noted)?;
            let (before, floor) = (amount(before, unit), amount(floor, unit));
            Some(say!(
                "Before it was {before}; at least {least} proves it.",
                before,
                least = floor
            ))
        }
        _ => None,
    }
}

/// The lowest value that proves something at a step, in the unit of the value before; `None` where it proves nothing.
pub(super) fn least_that_proves(
    step: &PlannedStep,
    noted: Option<&Entered>,
) -> Option<(f64, Unit)> {
    let Task::Prove { least, .. } = step.task else {
        return None;
    };
    let (before, unit) = noted.and_then(Entered::measured)?;
    Some((floor(before, unit, least).ok()?, unit))
}

/// The lowest value that proves something, in the unit of the value before.
fn floor(before: f64, unit: Unit, least: Least) -> Result<f64, String> {
    match least {
        Least::Share(share) if before > 0.0 => Ok(before * share),
        Least::Share(_) => Err(say!(
            "{before} was noted before: a share of that says nothing, so that nothing is proved.",
            before = amount(before, unit)
        )),
        // A difference has no zero to be moved, so that it is converted as one.
        Least::Drop { by, unit: of } => {
            let by = of.convert(by, unit).zip(of.convert(0.0, unit));
            let (by, zero) = by.ok_or(say!("The drop is measured in something else."))?;
            Ok(before - (by - zero))
        }
    }
}

/// A proof: what is read now beside what was noted before.
fn beside(entered: &Entered, noted: Option<&Entered>, least: Least) -> Judged {
    let both = entered.measured().zip(noted.and_then(Entered::measured));
    let Some(((value, unit), (before, unit_before))) = both else {
        return Judged::of(
            false,
            say!("No reading was noted before, so that nothing is proved.").to_owned(),
        );
    };
    let floor = match floor(before, unit_before, least) {
        Ok(floor) => floor,
        Err(why) => return Judged::of(false, why),
    };
    let order = check::compare(value, unit, floor, unit_before);
    let good = matches!(order, Some(Ordering::Equal | Ordering::Greater));
    let words = say!(
        "Read {reading}, before it was {before}; at least {least} proves it.",
        reading = amount(value, unit),
        before = amount(before, unit_before),
        least = amount(floor, unit_before)
    );
    Judged::of(good, words)
}

/// A number with its unit, to a thousandth.
fn amount(value: f64, unit: Unit) -> String {
    let rounded = (value * 1_000.0).round() / 1_000.0;
    let value = if rounded.is_finite() { rounded } else { value };
    format!("{} {}", language::number(value), unit.symbol())
}
