//! Comparing two numbers that may be in different units.

use crate::plant::Unit;
use std::cmp::Ordering;

/// Values nearer than this share of their size are one value: far under the last digit of any
/// instrument at a pump, far over what converting units and dividing a count by a time round off.
const SAME: f64 = 1e-12;

/// How a value stands to another of the same quantity; `None` where they measure different things or one is not a number.
///
/// Other units are compared in SI, where 0 °C is 273.15 K: a share of the size then has a meaning at 0 °C too.
pub(crate) fn compare(value: f64, unit: Unit, other: f64, other_unit: Unit) -> Option<Ordering> {
    if unit == other_unit {
        near_or_order(value, other)
    } else if unit.quantity() == other_unit.quantity() {
        near_or_order(unit.to_si(value), other_unit.to_si(other))
    } else {
        None
    }
}

fn near_or_order(a: f64, b: f64) -> Option<Ordering> {
    if (a - b).abs() <= SAME * a.abs().max(b.abs()) {
        Some(Ordering::Equal)
    } else {
        a.partial_cmp(&b)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_pressure_in_two_units_is_equal() {
        for tenths_of_kpa in 0..20_000 {
            let kpa = f64::from(tenths_of_kpa) / 10.0;
            let bar = f64::from(tenths_of_kpa) / 1000.0;
            assert_eq!(
                compare(kpa, Unit::KPa, bar, Unit::Bar),
                Some(Ordering::Equal),
                "{kpa} kPa, {bar} bar"
            );
        }
    }

    #[test]
    fn freezing_point_is_equal_in_both_scales() {
        assert_eq!(
            compare(32.0, Unit::Fahrenheit, 0.0, Unit::Celsius),
            Some(Ordering::Equal)
        );
        assert_eq!(
            compare(32.1, Unit::Fahrenheit, 0.0, Unit::Celsius),
            Some(Ordering::Greater)
        );
    }

    #[test]
    fn different_quantities_and_no_numbers_have_no_order() {
        assert_eq!(compare(1.0, Unit::Bar, 1.0, Unit::Celsius), None);
        assert_eq!(compare(f64::NAN, Unit::Bar, 1.0, Unit::Bar), None);
    }
}
