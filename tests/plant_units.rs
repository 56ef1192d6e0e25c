//! The units a plant works in.

use lantern_ring::{
    check::{self, EntryKind, RunningState},
    plant::{Plant, Unit},
    sys::plant_folder,
};
use std::path::Path;

fn imperial() -> Plant {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-plant");
    let mut plant = plant_folder(&folder).unwrap();
    plant.units = vec![Unit::Psi, Unit::Fahrenheit, Unit::Gpm];
    plant
}

/// The units of all numbers asked at all pumps, each with whether it has limits.
fn asked(plant: &Plant) -> Vec<(Unit, Option<Unit>)> {
    let mut asked = Vec::new();
    for pump in &plant.pumps {
        let listed = check::list(pump, RunningState::Running);
        let besides = check::on_request(pump, RunningState::Running);
        for check in listed.into_iter().chain(besides) {
            let limits = plant
                .limits_of(&pump.id, check.id)
                .map(|limits| limits.unit);
            if let EntryKind::Number { unit, .. } = plant.asked_at(&pump.id, check).kind {
                asked.push((unit, limits));
            }
        }
    }
    asked
}

#[test]
fn a_number_with_limits_is_asked_in_their_unit() {
    let plant = imperial();
    let with_limits = asked(&plant)
        .into_iter()
        .filter_map(|(unit, limits)| Some((unit, limits?)));
    let with_limits: Vec<_> = with_limits.collect();
    assert!(with_limits.len() > 50, "{}", with_limits.len());
    assert!(
        with_limits.iter().all(|(unit, limits)| unit == limits),
        "{with_limits:?}"
    );
}

#[test]
fn a_number_without_limits_is_asked_in_the_plants_unit() {
    let mut plant = imperial();
    plant.limits.clear();
    let units: Vec<_> = asked(&plant).into_iter().map(|(unit, _)| unit).collect();
    for own in [Unit::Psi, Unit::Fahrenheit, Unit::Gpm] {
        assert!(units.contains(&own), "nothing is asked in {own}");
        let other = units
            .iter()
            .find(|unit| **unit != own && unit.quantity() == own.quantity());
        assert_eq!(other, None, "the plant works in {own}");
    }
    assert!(
        units.contains(&Unit::Ampere),
        "what it names no unit for stays as it is"
    );
}

#[test]
fn two_units_of_one_quantity_are_a_fault_that_says_which_to_keep() {
    let mut plant = imperial();
    assert!(plant.check().is_empty());
    plant.units.push(Unit::Bar);
    let faults: Vec<_> = plant.check().iter().map(ToString::to_string).collect();
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert!(faults[0].contains("units[3]"), "{faults:?}");
    assert!(
        faults[0].contains("'psi' and 'bar' measure the same"),
        "{faults:?}"
    );
}
