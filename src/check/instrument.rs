//! What the instruments at a pump can show: a number beyond is a slip of the finger.

use super::EntryKind;
use crate::plant::{Gauge, Unit};

/// Bimetal thermometers and resistance probes on bearings and oil lines: −40 to 200 °C takes in
/// the usual ones, and a slipped decimal sign of a warm bearing (71 → 710) falls outside.
/// Common practice, no source.
pub(super) const THERMOMETER: EntryKind = number(Unit::Celsius, -40.0, 200.0);

/// Thermometers for the air: −50 to 70 °C takes in any weather and the air between hot lines. Common practice, no source.
pub(super) const AIR_THERMOMETER: EntryKind = number(Unit::Celsius, -50.0, 70.0);

/// Hand-held vibration meters, RMS velocity: up to 100 mm/s, ten times the worst zone bound
/// of ISO 10816-7. Common practice, no source.
pub(super) const VIBRATION_METER: EntryKind = number(Unit::MmPerS, 0.0, 100.0);

/// Gauges on seal and lantern-ring feeds: the 0 to 25 bar scale of EN 837-1 (from memory) is the
/// widest usual one there.
pub(super) const FEED_GAUGE: EntryKind = number(Unit::Bar, 0.0, 25.0);

/// Gauges on oil skids: forced-feed oil runs at 1 to 3 bar, so a 0 to 10 bar scale (EN 837-1, from memory) is
/// the widest usual one.
pub(super) const OIL_GAUGE: EntryKind = number(Unit::Bar, 0.0, 10.0);

/// Variable-area flow meters on seal feeds: up to 100 L/min, well over what one seal is fed.
/// Common practice, no source.
pub(super) const SEAL_FLOW_METER: EntryKind = number(Unit::LPerMin, 0.0, 100.0);

/// Pressure gauges whose scale the register does not give: full vacuum to 400 bar, the widest
/// pump service; only used where no register is at hand.
pub(super) const ANY_GAUGE: EntryKind = number(Unit::Bar, -1.0, 400.0);

/// A drop over a strainer whose gauges the register does not give; only used where no register is at hand.
pub(super) const ANY_DROP: EntryKind = number(Unit::Bar, 0.0, 400.0);

/// Ammeters whose driver is not at hand: up to 5 000 A, over any pump motor.
pub(super) const ANY_AMMETER: EntryKind = number(Unit::Ampere, 0.0, 5_000.0);

/// Flow meters whose size the register does not give: up to 20 000 m³/h, over the largest pump of a plant.
/// Common practice, no source.
pub(super) const FLOW_METER: EntryKind = number(Unit::M3PerH, 0.0, 20_000.0);

/// Tachometers: up to twice the speed of a two-pole motor on 60 Hz; a shaft that stands has no speed to tell anything by,
/// it is the running state that is wrong. Common practice, no source.
pub(super) const TACHOMETER: EntryKind = number(Unit::Rpm, 1.0, 7_200.0);

/// A running motor cannot hold three times its full-load current without tripping, and a
/// slipped decimal sign of a usual reading falls beyond. Common practice, no source.
const MOST_TIMES_FULL_LOAD: f64 = 3.0;

/// A number between two marks.
const fn number(unit: Unit, lowest: f64, highest: f64) -> EntryKind {
    EntryKind::Number {
        unit,
        lowest,
        highest,
    }
}

/// A gauge of the register: from its lowest mark to its highest.
pub(super) fn gauge(gauge: &Gauge) -> EntryKind {
    number(Unit::Bar, gauge.scale_low_bar, gauge.scale_high_bar)
}

/// A drop read with a gauge of the register: at most its whole scale.
pub(super) fn drop_by(gauge: &Gauge) -> EntryKind {
    number(Unit::Bar, 0.0, gauge.scale_high_bar - gauge.scale_low_bar)
}

/// The ammeter of a motor.
pub(super) fn ammeter(full_load_amps: f64) -> EntryKind {
    number(Unit::Ampere, 0.0, MOST_TIMES_FULL_LOAD * full_load_amps)
}
