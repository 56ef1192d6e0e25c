//! Grease by the size of bearings, with what was read of them last.

use super::{App, AppError};
use crate::{
    evaluation::{self, BearingRead, ReadAt, Worked},
    plant::{Bearing, CheckId, CheckKind, Place, Pump, PumpId, Unit},
};

/// Entries among which the last number is looked for: a few may hold none, or stand in the future by a wrong clock.
const LOOK_BACK: u32 = 20;

/// What a greased bearing wants by its size.
#[derive(Clone, Debug, PartialEq)]
pub struct GreaseBySize {
    /// At which pump.
    pub pump: PumpId,
    /// Which bearing.
    pub place: Place,
    /// How much and how often, with its working; what to mind is the planner's note.
    pub worked: Worked,
}

impl GreaseBySize {
    /// The planner is to look at the programme.
    pub fn is_noted(&self) -> bool {
        !self.worked.cautions.is_empty()
    }

    /// In one line, the planner's note with it.
    pub fn words(&self) -> String {
        let mut words = format!("{}.", self.worked.line());
        for note in &self.worked.cautions {
            words = format!("{words} {note}");
        }
        words
    }
}

impl App {
    /// What each greased bearing of known size wants by its size, in the register's order.
    ///
    /// # Errors
    /// Where the pump is not in the plant, or the store can't be read.
    pub fn grease_by_size(&mut self, pump: &PumpId) -> Result<Vec<GreaseBySize>, AppError> {
        let now_ms = self.now().utc_ms;
        let register = self.register()?;
        self.grease_by_size_at(register.pump(pump)?, now_ms)
    }

    /// The same, as it was known at a time.
    pub(in crate::app) fn grease_by_size_at(
        &self,
        pump: &Pump,
        at_ms: i64,
    ) -> Result<Vec<GreaseBySize>, AppError> {
        let mut found = Vec::new();
        for bearing in pump.bearings.iter().filter(|one| one.size.is_some()) {
            let read = self.read_last(pump, bearing, at_ms)?;
            let worked = evaluation::grease_by_size(pump, bearing, &read, at_ms);
            found.extend(worked.map(|worked| GreaseBySize {
                pump: pump.id.clone(),
                place: bearing.place,
                worked,
            }));
        }
        Ok(found)
    }

    /// What to say of its size to somebody about to grease a bearing; `None` where that is not known.
    pub(super) fn advice_by_size(
        &self,
        pump: &Pump,
        place: Place,
        at_ms: i64,
    ) -> Result<Option<String>, AppError> {
        let Some(bearing) = pump.bearing(place).filter(|one| one.size.is_some()) else {
            return Ok(None);
        };
        let read = self.read_last(pump, bearing, at_ms)?;
        let found = evaluation::wanted_by_size(pump, bearing, &read);
        Ok(found.map(|found| found.advice(bearing.grease.as_ref())))
    }

    fn read_last(
        &self,
        pump: &Pump,
        bearing: &Bearing,
        at_ms: i64,
    ) -> Result<BearingRead, AppError> {
        let last =
            |kind, unit| self.read_before(&pump.id, CheckId::new(kind, bearing.place), unit, at_ms);
        Ok(BearingRead {
            temperature_c: last(CheckKind::BearingTemperature, Unit::Celsius)?,
            vibration_mm_s: last(CheckKind::VibrationVelocity, Unit::MmPerS)?,
        })
    }

    /// The last number read for a check, as it was known at a time; the pump ran then, as no other is asked for it.
    fn read_before(
        &self,
        pump: &PumpId,
        check: CheckId,
        unit: Unit,
        at_ms: i64,
    ) -> Result<Option<ReadAt>, AppError> {
        let rows = self.store.read().past_readings(pump, check, LOOK_BACK)?;
        let read = rows.into_iter().filter_map(|row| {
            let (value, own) = row.entered.measured()?;
            let value = own.convert(value, unit)?;
            Some(ReadAt {
                value,
                at_ms: row.seen_at.utc_ms,
            })
        });
        let known = read.filter(|read| read.at_ms <= at_ms);
        Ok(known.max_by_key(|read| read.at_ms))
    }
}
