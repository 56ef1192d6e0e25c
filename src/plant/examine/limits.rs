//! Limits by themselves, and against the pumps they are for.

use super::{Found, Log, Part, doubled};
use crate::{
    check::{self, Check, EntryKind, RunningState, words},
    plant::{CheckId, Limits, Plant, Pump, Quantity, Unit, Verdict},
    say,
};

pub fn examine(all: &[Limits], found: &mut Vec<Found>) {
    for (index, limits) in all.iter().enumerate() {
        let mut log = log_of(index, limits, found);
        log.version(limits.version);
        log.text("basis", &limits.basis, 400);
        bounds(limits, &mut log);
        change(limits, &mut log);
        for (choice, verdict) in &limits.choices {
            if *verdict == Verdict::NotJudged {
                log.field(
                    &format!("choices.{choice}"),
                    say!("must come to something: in_limits, watch, act or stop_pump"),
                );
            }
        }
    }
    let keys: Vec<_> = all
        .iter()
        .map(|limits| format!("{} {}", limits.pump, limits.check))
        .collect();
    for (index, _) in doubled(keys.iter().map(String::as_str)) {
        log_of(index, &all[index], found).whole(say!(
            "has limits twice; keep one table for a pump and check"
        ));
    }
}

pub fn references(plant: &Plant, found: &mut Vec<Found>) {
    for (index, limits) in plant.limits.iter().enumerate() {
        let mut log = log_of(index, limits, found);
        let Some(pump) = plant.pump(&limits.pump) else {
            log.whole(say!(
                "there is no pump of this id in pumps/; mend the id or add the pump"
            ));
            continue;
        };
        let checks = every_check(pump);
        match checks.iter().find(|check| check.id == limits.check) {
            Some(check) => fits(limits, check, &mut log),
            None => log.whole(no_such_check(limits.check, &checks)),
        }
    }
}

/// The checks of a pump in every running state.
fn every_check(pump: &Pump) -> Vec<Check> {
    let mut checks: Vec<Check> = Vec::new();
    for state in [
        RunningState::Running,
        RunningState::Standby,
        RunningState::OutOfService,
    ] {
        for check in check::list(pump, state)
            .into_iter()
            .chain(check::on_request(pump, state))
        {
            if !checks.iter().any(|known| known.id == check.id) {
                checks.push(check);
            }
        }
    }
    checks
}

fn no_such_check(wanted: CheckId, checks: &[Check]) -> String {
    let alike: Vec<_> = checks
        .iter()
        .filter(|check| check.id.kind == wanted.kind || check.id.place == wanted.place)
        .map(|check| check.id.to_string())
        .collect();
    if alike.is_empty() {
        say!("this pump is not built so that it has this check; mend the check or the pump")
            .to_owned()
    } else {
        say!(
            "this pump is not built so that it has this check; it has {checks}",
            checks = alike.join(", ")
        )
    }
}

/// The limits can be used on what is entered for the check.
fn fits(limits: &Limits, check: &Check, log: &mut Log<'_>) {
    let (usual, known): (Option<Unit>, Vec<&str>) = match check.kind {
        EntryKind::Number { unit, .. } => (Some(unit), Vec::new()),
        EntryKind::Count => (Some(Unit::DropsPerMin), Vec::new()),
        EntryKind::Level => (Some(Unit::Percent), Vec::new()),
        EntryKind::Feel(_) => (Some(Unit::Step), Vec::new()),
        EntryKind::Choice(choices) => (None, choices.iter().map(|choice| choice.key).collect()),
        EntryKind::YesNo { .. } => (None, vec!["yes", "no"]),
        EntryKind::Words => {
            log.whole(say!(
                "is entered in own words, which are not judged; take these limits out"
            ));
            return;
        }
    };
    match usual {
        Some(usual) if usual.quantity() != limits.unit.quantity() => log.field(
            "unit",
            say!(
                "{unit} does not measure what this check is entered in; use {usual} or a unit like it",
                unit = limits.unit.key(),
                usual = usual.key()
            ),
        ),
        None if limits.bounds().next().is_some() || limits.fastest_change.is_some() => {
            log.whole(say!("is answered in words, so bounds mean nothing here; use choices"));
        }
        _ => {}
    }
    if let EntryKind::Feel(scale) = check.kind {
        feel_bounds(limits, words::feel_steps(scale).len(), log);
    }
    for choice in limits.choices.keys() {
        if !known.contains(&choice.as_str()) {
            let what = if known.is_empty() {
                say!("this check is not answered in words; use bounds").to_owned()
            } else {
                say!(
                    "is no answer to this check; it has {answers}",
                    answers = known.join(", ")
                )
            };
            log.field(&format!("choices.{choice}"), what);
        }
    }
}

fn feel_bounds(limits: &Limits, steps: usize, log: &mut Log<'_>) {
    let highest = steps.saturating_sub(1) as f64;
    for (name, value) in limits.bounds() {
        if value.is_finite() && (value.fract() != 0.0 || value > highest) {
            log.field(
                name,
                say!(
                    "must be a whole step from 0 to {highest}, is {value}",
                    highest,
                    value
                ),
            );
        }
    }
}

fn log_of<'a>(index: usize, limits: &Limits, found: &'a mut Vec<Found>) -> Log<'a> {
    Log::of(Part::Limits(index), found)
        .pump(&limits.pump)
        .table(limits.check)
}

fn bounds(limits: &Limits, log: &mut Log<'_>) {
    let (lowest, highest) = possible(limits.unit);
    let mut finite = true;
    for (name, value) in limits.bounds() {
        finite &= log.finite(name, value);
        if value.is_finite() && !(lowest..=highest).contains(&value) {
            let symbol = limits.unit.symbol();
            let what = if highest.is_finite() {
                say!(
                    "must be {lowest} to {highest} {symbol}, is {value}",
                    lowest,
                    highest,
                    symbol,
                    value
                )
            } else {
                let lowest = (lowest * 100.0).round() / 100.0;
                say!(
                    "must not be below {lowest} {symbol}, is {value}",
                    lowest,
                    symbol,
                    value
                )
            };
            log.field(name, what);
        }
    }
    if finite && let Err(error) = limits.check_order() {
        log.whole(error.to_string());
    }
    let sets_a_bound = limits.bounds().any(|(name, _)| name != "target");
    if !sets_a_bound && limits.choices.is_empty() && limits.fastest_change.is_none() {
        log.whole(say!(
            "sets no limit: give a low or high bound, a fastest_change or choices"
        ));
    }
}

fn change(limits: &Limits, log: &mut Log<'_>) {
    if let Some(change) = limits.fastest_change {
        log.above_zero("fastest_change.by", change.by, f64::MAX);
        log.above_zero("fastest_change.per_hours", change.per_hours, 8_784.0);
        if let Some(at_most) = change.at_most
            && log.finite("fastest_change.at_most", at_most)
            && at_most < change.by
        {
            log.field(
                "fastest_change.at_most",
                say!(
                    "must not be below by, {by}, is {at_most}",
                    by = change.by,
                    at_most
                ),
            );
        }
    }
}

/// The values a quantity can have at all, in this unit.
fn possible(unit: Unit) -> (f64, f64) {
    match unit.quantity() {
        Quantity::Fraction => (0.0, 100.0),
        Quantity::Step => (0.0, 10.0),
        Quantity::Temperature => (unit.from_si(0.0), f64::INFINITY),
        // A gauge can't read further below the atmosphere than the atmosphere is high.
        Quantity::Pressure => (unit.from_si(-1.1e5), f64::INFINITY),
        Quantity::Velocity
        | Quantity::Flow
        | Quantity::Current
        | Quantity::Rate
        | Quantity::Length
        | Quantity::Turning => (0.0, f64::INFINITY),
    }
}
