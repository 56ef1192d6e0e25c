//! Oil used and grease due, from what was given.

use super::{App, AppError, RemedyRow};
use crate::{
    evaluation::Care,
    plant::{Place, Pump, PumpId},
    remedy::{
        CannotTell, Remedy,
        due::{self, Due, Job},
        hours::{RunEvent, running_hours},
        oil::{self, Consumption, ToppedUp},
    },
    say,
};
use std::collections::BTreeMap;

impl App {
    /// The oil a place uses per running hour, or why that can't be told.
    ///
    /// # Errors
    /// Where the pump is not in the plant, or the store can't be read.
    pub fn oil_use(
        &self,
        pump: &PumpId,
        place: Place,
    ) -> Result<Result<Consumption, CannotTell>, AppError> {
        let register = self.register()?;
        let pump = register.pump(pump)?;
        let events = self.run_events(&pump.id)?;
        let given = self.topped_up(pump, place)?;
        Ok(
            given
                .and_then(|given| oil::consumption(&given, &events, oil::off_mark_ml(pump, place))),
        )
    }

    /// The greasings a pump's programme asks for and how they stand, the most pressing first.
    ///
    /// # Errors
    /// Where the pump is not in the plant, or the store can't be read.
    pub fn grease_due(&mut self, pump: &PumpId) -> Result<Result<Vec<Due>, CannotTell>, AppError> {
        let now_ms = self.now().utc_ms;
        let register = self.register()?;
        let pump = register.pump(pump)?;
        let jobs = self.greasings(pump)?;
        // How long it ran before a greasing counts for nothing.
        let since_ms = jobs.iter().filter_map(|job| job.last_ms).min();
        let events = self.run_events_since(&pump.id, since_ms.unwrap_or(now_ms))?;
        Ok(due::due(&jobs, &events, now_ms))
    }

    /// The greasings a pump's programme asks for, with when each was done last.
    pub(in crate::app) fn greasings(&self, pump: &Pump) -> Result<Vec<Job>, AppError> {
        if pump.bearings.iter().all(|one| one.grease.is_none()) {
            return Ok(Vec::new());
        }
        let greased = self.store.read().greased_last(&pump.id)?;
        let last = |place| {
            greased
                .iter()
                .find(|(at, _)| *at == place)
                .map(|(_, ms)| *ms)
        };
        Ok(due::greasings(pump, last))
    }

    /// What to say where, with this top-up, oil is surely used up faster than before; `None` where that is not shown.
    pub(super) fn oil_use_rises(
        &self,
        pump: &Pump,
        place: Place,
        now: &Remedy,
        at_ms: i64,
    ) -> Result<Option<String>, AppError> {
        let Ok(mut given) = self.topped_up(pump, place)? else {
            return Ok(None);
        };
        if let Remedy::TopUp { amount, .. } = now
            && let Ok(ml) = oil::millilitres(*amount, pump, place)
        {
            given.push(ToppedUp { at_ms, ml });
        }
        let events = self.run_events(&pump.id)?;
        let rise = risen(given, &events, oil::off_mark_ml(pump, place));
        Ok(rise.map(|(before, last)| {
            say!(
                "It uses more oil than before: {now}; before, {before}. Look where the oil goes, and tell the shift supervisor.",
                now = last.words(),
                before = before.words(),
            )
        }))
    }

    /// What is known at a time of the care of a pump's bearings and oil skid, by place.
    pub(in crate::app) fn care_of(
        &self,
        pump: &Pump,
        at_ms: i64,
    ) -> Result<BTreeMap<Place, Care>, AppError> {
        let mut rows = self.remedies_at(&pump.id)?;
        rows.retain(|row| row.done_at.utc_ms <= at_ms);
        if !rows.iter().any(|row| is_care(&row.what)) {
            return Ok(BTreeMap::new());
        }
        let events = self.run_events(&pump.id)?;
        let mut care: BTreeMap<Place, Care> = BTreeMap::new();
        for row in rows.iter().filter(|row| is_care(&row.what)) {
            let place = row.what.place();
            care.entry(place).or_insert_with(|| {
                let given = topped_up(&rows, pump, place).unwrap_or_default();
                let greased = greased_last(&rows, place);
                let hours = greased.and_then(|ms| running_hours(&events, ms, at_ms).ok());
                Care {
                    uses_more_oil: risen(given, &events, oil::off_mark_ml(pump, place)).is_some(),
                    greased_h_ago: hours.map(|hours| hours.likely_h),
                    grease_overdue: is_overdue(pump, place, greased, &events, at_ms),
                }
            });
        }
        Ok(care)
    }

    fn topped_up(
        &self,
        pump: &Pump,
        place: Place,
    ) -> Result<Result<Vec<ToppedUp>, CannotTell>, AppError> {
        let rows = self.remedies_at(&pump.id)?;
        Ok(topped_up(&rows, pump, place))
    }
}

fn is_care(what: &Remedy) -> bool {
    matches!(what, Remedy::TopUp { .. } | Remedy::Grease { .. })
}

fn topped_up(rows: &[RemedyRow], pump: &Pump, place: Place) -> Result<Vec<ToppedUp>, CannotTell> {
    let given = rows.iter().filter_map(|row| match &row.what {
        Remedy::TopUp {
            place: at, amount, ..
        } if *at == place => Some(oil::millilitres(*amount, pump, place).map(|ml| ToppedUp {
            at_ms: row.done_at.utc_ms,
            ml,
        })),
        _ => None,
    });
    given.collect()
}

fn greased_last(rows: &[RemedyRow], place: Place) -> Option<i64> {
    let of_place = rows
        .iter()
        .filter(|row| matches!(row.what, Remedy::Grease { place: at, .. } if at == place));
    of_place.map(|row| row.done_at.utc_ms).max()
}

fn is_overdue(
    pump: &Pump,
    place: Place,
    greased: Option<i64>,
    events: &[RunEvent],
    at_ms: i64,
) -> bool {
    let mut of_place = pump.clone();
    of_place.bearings.retain(|bearing| bearing.place == place);
    let jobs = due::greasings(&of_place, |_| greased);
    let due = due::due(&jobs, events, at_ms).unwrap_or_default();
    due.iter().any(|due| due.standing == due::Standing::Overdue)
}

/// What was used before the last filling and up to it, where that is surely more.
fn risen(
    given: Vec<ToppedUp>,
    events: &[RunEvent],
    within_ml: f64,
) -> Option<(Consumption, Consumption)> {
    let given = oil::fillings(&given);
    let before = given.get(..given.len().checked_sub(1)?)?;
    let last = given.get(given.len().checked_sub(2)?..)?;
    let before = oil::consumption(before, events, within_ml).ok()?;
    let last = oil::consumption(last, events, within_ml).ok()?;
    last.has_risen_since(&before).then_some((before, last))
}
