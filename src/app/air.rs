//! The temperature of the air at the time of a reading: read at the pump itself, or where a thermometer hangs in its area.

use super::{App, AppError, Register};
use crate::{
    plant::{CheckId, CheckKind, Place, Pump},
    store::PastReading,
};

const AIR: CheckId = CheckId::new(CheckKind::AmbientTemperature, Place::Pump);

/// Air read within this long of a reading was the same air. Common practice, no source.
const SAME_AIR_MS: u64 = 3_600_000;

/// The air's temperatures, each with its time, oldest first.
#[derive(Default)]
pub(super) struct Air(Vec<(i64, f64)>);

impl Air {
    /// The one read nearest in time, where one was read within the hour, °C.
    pub fn at(&self, at_ms: i64) -> Option<f64> {
        let after = self.0.partition_point(|(read_ms, _)| *read_ms < at_ms);
        let nearest = self.0[after.saturating_sub(1)..]
            .iter()
            .take(2)
            .min_by_key(|(read_ms, _)| read_ms.abs_diff(at_ms))?;
        (nearest.0.abs_diff(at_ms) <= SAME_AIR_MS).then_some(nearest.1)
    }

    pub fn is_unknown(&self) -> bool {
        self.0.is_empty()
    }
}

impl App {
    /// The air a pump stands in since a time.
    pub(super) fn air_since(
        &self,
        register: &Register,
        pump: &Pump,
        from_ms: i64,
        limit: u32,
    ) -> Result<Air, AppError> {
        let reader = self.store.read();
        let hangs_near = |other: &&Pump| {
            other.id == pump.id || (other.air_thermometer && other.area == pump.area)
        };
        let mut air = Vec::new();
        for near in register.plant().pumps.iter().filter(hangs_near) {
            let rows = reader.past_readings_since(&near.id, AIR, from_ms, limit)?;
            air.extend(rows.iter().filter_map(read));
        }
        air.sort_by_key(|(at_ms, _)| *at_ms);
        Ok(Air(air))
    }
}

fn read(row: &PastReading) -> Option<(i64, f64)> {
    Some((row.seen_at.utc_ms, row.entered.celsius()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOUR_MS: i64 = 3_600_000;

    #[test]
    fn the_air_of_a_reading_is_the_nearest_read_within_the_hour() {
        let air = Air(vec![(0, 10.0), (HOUR_MS, 20.0), (5 * HOUR_MS, 30.0)]);
        for (at_ms, expected) in [
            (-HOUR_MS, Some(10.0)),
            (-HOUR_MS - 1, None),
            (0, Some(10.0)),
            (HOUR_MS / 4, Some(10.0)),
            (HOUR_MS * 3 / 4, Some(20.0)),
            (2 * HOUR_MS, Some(20.0)),
            (3 * HOUR_MS, None),
            (6 * HOUR_MS, Some(30.0)),
            (6 * HOUR_MS + 1, None),
        ] {
            assert_eq!(air.at(at_ms), expected, "at {at_ms} ms");
        }
        assert_eq!(Air::default().at(0), None);
    }
}
