//! What entries come to together: a visit's evaluation, a check's trend.

use super::{App, AppError, Register, air::Air, visit::check_in_any_state};
use crate::{
    check::{Entered, FeelScale, RunningState, words},
    evaluation::{
        self, AIR_DAYS, Evaluation, LEFT_OPEN_DAYS, Reading, Seen, Situation, Trend, follows_air,
    },
    plant::{CheckId, CheckKind, Pump, PumpId},
    statistics::feel::{FeltAndMeasured, calibrate},
    store::{EntryRow, PastReading, VisitRow},
};
use std::collections::BTreeMap;
use uuid::Uuid;

/// Readings of each check that a visit's evaluation looks back on: two months of two rounds a day.
const LOOK_BACK: u32 = 120;
/// Readings a trend page looks back on: ten years of five a day.
const MOST_READINGS: u32 = 20_000;
/// Times a hand was tried at one bearing that its calibration looks at.
const MOST_FELT: u32 = 50;
const AIR_MS: i64 = AIR_DAYS as i64 * 86_400_000;
const LEFT_OPEN_MS: i64 = LEFT_OPEN_DAYS as i64 * 86_400_000;
const CONFIDENCE: f64 = 0.9;

impl App {
    /// What a visit's entries come to together, as it was when the last of them was seen.
    ///
    /// # Errors
    /// Where the visit or its pump is not there, or the store can't be read.
    pub fn evaluation(&self, visit: Uuid) -> Result<Evaluation, AppError> {
        let visit = self.visit(visit)?;
        let register = self.register()?;
        let rows = self.store.read().entries_of_visit(visit.visit)?;
        let seen: Vec<Seen> = latest_of_each(&rows).into_iter().map(seen).collect();
        let now_ms = seen.iter().map(|seen| seen.at_ms).max().unwrap_or_default();
        let pump = register.pump(&visit.pump)?;
        let air = self.air_for(&register, pump, seen.iter().map(|seen| seen.check), now_ms)?;
        let mut before = BTreeMap::new();
        for seen in &seen {
            let earlier = self.looked_back(&visit.pump, seen.check, &air, now_ms)?;
            let shown = rows.iter().rfind(|row| row.entry.check == seen.check);
            let earlier = earlier.into_iter().filter(|row| {
                row.seen_at.utc_ms <= now_ms && shown.is_none_or(|shown| shown.record != row.record)
            });
            before.insert(seen.check, self.readings(&visit.pump, &air, earlier)?);
        }
        let felt = seen
            .iter()
            .any(|seen| seen.check.kind == CheckKind::BearingHeat);
        let hands = if felt {
            self.hands(&register)?
        } else {
            Vec::new()
        };
        let steps = u8::try_from(words::feel_steps(FeelScale::Heat).len()).unwrap_or(u8::MAX);
        let hand = calibrate(&hands, steps, CONFIDENCE)
            .ok()
            .and_then(|mut hands| hands.remove(&visit.by));
        Ok(evaluation::evaluate(&Situation {
            plant: register.plant(),
            pump,
            running: visit.running,
            left_open: self.left_open(&visit, now_ms)?,
            seen,
            before,
            care: self.care_of(pump, now_ms)?,
            done: self.done_at(&visit.pump)?,
            hand,
            ambient_c: air.at(now_ms),
            now_ms,
        }))
    }

    /// What earlier visits found out of limits while the pump was doing the same, and nobody looked at again.
    fn left_open(&self, visit: &VisitRow, now_ms: i64) -> Result<Vec<Seen>, AppError> {
        let reader = self.store.read();
        let mut left = Vec::new();
        for row in reader.left_open(&visit.pump, now_ms - LEFT_OPEN_MS, now_ms)? {
            let running = match row.entry.running {
                Some(running) => Some(running),
                None => reader.visit(row.entry.visit)?.map(|then| then.running),
            };
            if row.entry.visit != visit.visit && running == Some(visit.running) {
                left.push(seen(&row));
            }
        }
        Ok(left)
    }

    /// How the readings of one check go; `None` where they are words, or there are none.
    ///
    /// # Errors
    /// Where the pump is not there or has no such check in any state nor ever had an entry for it, or the store can't
    /// be read.
    pub fn trend(&mut self, pump: &PumpId, check: CheckId) -> Result<Option<Trend>, AppError> {
        let now_ms = self.now().utc_ms;
        self.trend_as_of(pump, check, now_ms)
    }

    /// How they went at a time (milliseconds since 1970 UTC): nothing that was read since is known.
    ///
    /// # Errors
    /// As [`App::trend`].
    pub fn trend_as_of(
        &mut self,
        pump: &PumpId,
        check: CheckId,
        now_ms: i64,
    ) -> Result<Option<Trend>, AppError> {
        let clock_ms = self.now().utc_ms;
        let register = self.register()?;
        let built = register.pump(pump)?;
        let mut rows = self
            .store
            .read()
            .past_readings(pump, check, MOST_READINGS)?;
        // What is ahead of the clock itself is told as such.
        rows.retain(|row| row.seen_at.utc_ms <= now_ms || row.seen_at.utc_ms > clock_ms);
        if rows.is_empty() {
            check_in_any_state(built, RunningState::Running, check)?;
        }
        let air = self.air_for(&register, built, [check], now_ms)?;
        let readings = self.readings(pump, &air, rows.into_iter())?;
        let limits = register.plant().limits_of(pump, check);
        let done = self.done_at(pump)?;
        Ok(evaluation::trend(check, &readings, &done, limits, now_ms))
    }

    /// The air of a pump, where any of these checks goes with it.
    fn air_for(
        &self,
        register: &Register,
        pump: &Pump,
        checks: impl IntoIterator<Item = CheckId>,
        now_ms: i64,
    ) -> Result<Air, AppError> {
        let mut checks = checks.into_iter();
        if checks.any(|check| follows_air(check.kind)) {
            self.air_since(register, pump, now_ms - AIR_MS, MOST_READINGS)
        } else {
            Ok(Air::default())
        }
    }

    /// The newest readings of a check; where the air they go with is known, all that its part in them is learnt from.
    fn looked_back(
        &self,
        pump: &PumpId,
        check: CheckId,
        air: &Air,
        now_ms: i64,
    ) -> Result<Vec<PastReading>, AppError> {
        let reader = self.store.read();
        Ok(if follows_air(check.kind) && !air.is_unknown() {
            reader.past_readings_since(pump, check, now_ms - AIR_MS, MOST_READINGS)?
        } else {
            reader.past_readings(pump, check, LOOK_BACK)?
        })
    }

    /// Entries as readings, each with what the pump was doing, as the entry says or else its visit, and its air.
    fn readings(
        &self,
        pump: &PumpId,
        air: &Air,
        rows: impl Iterator<Item = PastReading>,
    ) -> Result<Vec<Reading>, AppError> {
        let mut of_visits: Option<BTreeMap<Uuid, RunningState>> = None;
        rows.map(|row| {
            let running = match row.running {
                Some(running) => Some(running),
                None => {
                    let known = match &mut of_visits {
                        Some(known) => known,
                        none => none.insert(self.states_of_visits(pump)?),
                    };
                    known.get(&row.visit).copied()
                }
            };
            Ok(Reading {
                at_ms: row.seen_at.utc_ms,
                running,
                entered: row.entered,
                ambient_c: air.at(row.seen_at.utc_ms),
            })
        })
        .collect()
    }

    fn states_of_visits(&self, pump: &PumpId) -> Result<BTreeMap<Uuid, RunningState>, AppError> {
        let visits = self.store.read().visits_to(pump, MOST_READINGS)?;
        let states = visits.into_iter().map(|visit| (visit.visit, visit.running));
        Ok(states.collect())
    }

    /// How the readings of one check go, in one line, which is told from the recent ones alone; empty where there are
    /// none.
    ///
    /// # Errors
    /// Where the pump is not there, or the store can't be read.
    pub fn trend_words(&mut self, pump: &PumpId, check: CheckId) -> Result<String, AppError> {
        const RECENT_MS: i64 = evaluation::RECENT_DAYS as i64 * 86_400_000;
        let now_ms = self.now().utc_ms;
        let register = self.register()?;
        let reader = self.store.read();
        let air = self.air_for(&register, register.pump(pump)?, [check], now_ms)?;
        let rows = if air.is_unknown() {
            reader.past_readings_since(pump, check, now_ms - RECENT_MS, MOST_READINGS)?
        } else {
            self.looked_back(pump, check, &air, now_ms)?
        };
        let readings = self.readings(pump, &air, rows.into_iter())?;
        let limits = register.plant().limits_of(pump, check);
        let done = self.done_at(pump)?;
        let trend = evaluation::trend(check, &readings, &done, limits, now_ms);
        Ok(trend.map_or_else(String::new, |trend| trend.words))
    }

    /// Bearings felt and measured in one visit, by whose hand.
    fn hands(&self, register: &Register) -> Result<Vec<FeltAndMeasured<String>>, AppError> {
        let reader = self.store.read();
        let mut pairs = Vec::new();
        for pump in &register.plant().pumps {
            for bearing in pump.bearings.iter().filter(|bearing| bearing.thermometer) {
                let by_hand = CheckId::new(CheckKind::BearingHeat, bearing.place);
                let by_thermometer = CheckId::new(CheckKind::BearingTemperature, bearing.place);
                for row in reader.history(&pump.id, by_hand, MOST_FELT)? {
                    let Entered::Feel { step } = row.entry.entered else {
                        continue;
                    };
                    let measured = reader.entry_of_visit(row.entry.visit, by_thermometer)?;
                    let celsius = measured.and_then(|other| other.entry.entered.celsius());
                    pairs.extend(celsius.map(|celsius| FeltAndMeasured {
                        operator: row.by.clone(),
                        step,
                        celsius,
                    }));
                }
            }
        }
        Ok(pairs)
    }
}

/// The entries of a visit that hold: of each check the latest.
fn latest_of_each(rows: &[EntryRow]) -> Vec<&EntryRow> {
    let mut latest: BTreeMap<CheckId, &EntryRow> = BTreeMap::new();
    for row in rows {
        latest.insert(row.entry.check, row);
    }
    latest.into_values().collect()
}

fn seen(row: &EntryRow) -> Seen {
    Seen {
        check: row.entry.check,
        entered: row.entry.entered.clone(),
        judgement: row.entry.judgement.clone(),
        limits: row.entry.limits.clone(),
        at_ms: row.entry.seen_at.utc_ms,
    }
}
