//! Grease by a bearing's size, with what was recorded of that bearing: on the page for greasing, in what is due, for
//! the planner. Amounts and intervals are those of `remedy_grease_by_size.rs`.

mod app_support;
mod put_right_support;

use app_support::{create_of, demo_plant, world};
use lantern_ring::{
    app::{CloseVisit, GreaseBySize},
    check::Entered,
    evaluation::Outcome,
    plant::{Bearing, BearingSize, Place, PumpId, Rolling, Unit},
    remedy::{GreaseGiven, Remedy, grease_by_size::GREASE_INTERVAL},
};
use put_right_support::{Device, device_of, pump};

const PUMP: &str = "CW-310A";
const THERMOMETER: &str = "bearing_temperature@driver_de";
const METER: &str = "vibration_velocity@driver_de";

/// A device of the demo plant, in which the drive end of a motor of 1484 rpm is a 6315 (75 × 160 × 37, ISO 15, from
/// memory), with this changed about it.
fn device(change: impl Fn(&mut Bearing)) -> Device {
    let mut plant = demo_plant();
    for pump in &mut plant.pumps {
        for bearing in &mut pump.bearings {
            bearing.size = None;
            if pump.id.as_str() == PUMP && bearing.place == Place::DriverDe {
                bearing.size = Some(BearingSize {
                    bore_mm: 75.0,
                    outside_mm: 160.0,
                    width_mm: 37.0,
                    rolling: Rolling::Ball,
                });
                change(bearing);
            }
        }
    }
    device_of(plant)
}

fn number(value: f64, unit: Unit) -> Entered {
    Entered::Number { value, unit }
}

/// What is known of the one bearing with a size.
fn only(d: &mut Device) -> GreaseBySize {
    let all = d.app.due().unwrap().by_size;
    assert_eq!(all.len(), 1);
    assert_eq!(d.app.grease_by_size(&pump(PUMP)).unwrap(), all);
    assert_eq!((&all[0].pump, all[0].place), (&pump(PUMP), Place::DriverDe));
    all.into_iter().next().unwrap()
}

fn row<'w>(found: &'w GreaseBySize, name: &str) -> &'w str {
    let rows = found.worked.rows.iter();
    let mut named = rows.filter(|(of, _)| of == name);
    &named.next().unwrap_or_else(|| panic!("no {name}")).1
}

fn grease(strokes: f64) -> Remedy {
    Remedy::Grease {
        place: Place::DriverDe,
        amount: GreaseGiven::Strokes { strokes },
        grade: "polyurea NLGI 2".to_owned(),
    }
}

#[test]
fn what_is_not_known_of_a_bearing_is_taken_and_said_to_be_taken() {
    let mut d = device(|_| ());
    let found = only(&mut d);
    assert_eq!(
        found.worked.line(),
        "Grease by size, Driver DE: about 29.6 g every 7900 running hours"
    );
    assert!(!found.is_noted(), "{:?}", found.worked.cautions);
    assert_eq!(found.worked.formula, Some(GREASE_INTERVAL));
    for (name, value) in [
        (
            "Programme",
            "30 g of polyurea NLGI 2 every 8000 running hours",
        ),
        ("Bore, outside diameter, width", "75 × 160 × 37 mm"),
        ("Shaft speed", "1484 rpm, the driver's rated one"),
        ("Kind of bearing", "balls, factor 10"),
        (
            "Temperature",
            "taken as below 65 °C, as no thermometer was read, factor 1",
        ),
        (
            "Vibration",
            "taken as below 5 mm/s peak, as it was not metered, factor 1",
        ),
        (
            "Moisture",
            "taken as below 80 % humidity, as the register doesn't say, factor 1",
        ),
        ("Shaft", "level, factor 1"),
        ("K, the product", "10"),
    ] {
        assert_eq!(row(&found, name), value);
    }
    assert!(row(&found, "Amount by").contains("0.005 · outside diameter"));
}

/// 71 °C halves the interval, 4 mm/s RMS are 5.7 peak and make it 0.6 of that: 10 · 0.5 · 0.6 · 789.
#[test]
fn what_was_read_last_of_the_running_bearing_counts() {
    let mut d = device(|_| ());
    let visit = d.arrive(PUMP);
    d.enter(visit, THERMOMETER, number(90.0, Unit::Celsius));
    d.app.perform(CloseVisit { visit }).unwrap();
    d.minutes(60);
    let visit = d.arrive(PUMP);
    d.enter(visit, THERMOMETER, number(71.0, Unit::Celsius));
    d.enter(visit, METER, number(4.0, Unit::MmPerS));
    d.app.perform(CloseVisit { visit }).unwrap();
    d.minutes(180);
    let found = only(&mut d);
    assert_eq!(
        row(&found, "Temperature"),
        "71 °C, read 3 h ago, factor 0.5"
    );
    assert_eq!(
        row(&found, "Vibration"),
        "4 mm/s RMS, read 3 h ago; 5.7 mm/s peak, √2 times that, as of a pure tone, factor 0.6"
    );
    assert_eq!(row(&found, "K, the product"), "3");
    assert!(
        matches!(&found.worked.outcome, Outcome::Is { words, .. } if words == "about 29.6 g every 2400 running hours"),
        "{:?}",
        found.worked.outcome
    );
    // 8000 of the programme are more than twice that.
    assert!(found.is_noted());
    let words = found.words();
    assert!(
        words.contains("The programme has it every 8000 running hours; by its size it would be about every 2400.")
            && words.contains("The bearing is warm: find out why before it gets more grease")
            && words.contains("For the planner: a proposal only"),
        "{words}"
    );
    // What it says of the programme changes nothing of what is due.
    let due = d.app.grease_due(&pump(PUMP)).unwrap().unwrap();
    assert!(
        due.iter()
            .any(|due| due.job.every_running_hours == Some(8_000.0))
    );
}

/// The clock was a day ahead when 90 °C was entered, and was set right since.
#[test]
fn a_reading_of_a_time_that_has_not_come_is_left_out() {
    let mut d = device(|_| ());
    let read = |d: &mut Device, celsius| {
        let visit = d.arrive(PUMP);
        d.enter(visit, THERMOMETER, number(celsius, Unit::Celsius));
        d.app.perform(CloseVisit { visit }).unwrap();
    };
    read(&mut d, 71.0);
    d.minutes(24 * 60);
    read(&mut d, 90.0);
    d.minutes(-23 * 60);
    let found = only(&mut d);
    assert!(
        row(&found, "Temperature").starts_with("71 °C"),
        "{:?}",
        found.worked.rows
    );
}

#[test]
fn somebody_about_to_grease_is_told_both_and_to_go_by_the_programme() {
    let mut d = device(|_| ());
    let advice = d.app.to_mind(&pump(PUMP), &grease(25.0)).unwrap();
    assert_eq!(
        advice.by_size.unwrap(),
        "By the bearing's size: about 29.6 g every 7900 running hours. That is a planner's first figure: give what the programme has."
    );
    assert!(advice.warnings.is_empty(), "{:?}", advice.warnings);
    let other = Remedy::Grease {
        place: Place::DriverNde,
        amount: GreaseGiven::Strokes { strokes: 25.0 },
        grade: "polyurea NLGI 2".to_owned(),
    };
    assert_eq!(d.app.to_mind(&pump(PUMP), &other).unwrap().by_size, None);
    assert_eq!(
        d.app.to_mind(&pump(PUMP), &Remedy::Vent).unwrap().by_size,
        None
    );
}

#[test]
fn a_size_without_a_programme_is_noted_and_tells_the_operator_to_ask() {
    let mut d = device(|bearing| bearing.grease = None);
    let found = only(&mut d);
    assert!(found.is_noted());
    assert!(
        found
            .words()
            .contains("The register has no greasing programme for this bearing")
    );
    assert_eq!(row(&found, "Programme"), "none in the register");
    let advice = d.app.to_mind(&pump(PUMP), &grease(25.0)).unwrap();
    assert!(advice.by_size.unwrap().ends_with("ask before greasing."));
    let jobs = d.app.due().unwrap().jobs;
    assert!(
        !jobs
            .iter()
            .any(|job| job.pump == pump(PUMP) && job.words().contains("Driver DE")),
        "a proposal makes no job"
    );
}

#[test]
fn noted_bearings_come_first_and_plants_without_sizes_have_none() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("s.lantern");
    let mut plant = demo_plant();
    let size = BearingSize {
        bore_mm: 75.0,
        outside_mm: 160.0,
        width_mm: 37.0,
        rolling: Rolling::Ball,
    };
    let far: PumpId = pump("CW-310B");
    for pump in &mut plant.pumps {
        for bearing in &mut pump.bearings {
            let here = bearing.place == Place::DriverDe;
            bearing.size = (here && (pump.id.as_str() == PUMP || pump.id == far)).then_some(size);
            if let (true, Some(programme)) = (pump.id == far, &mut bearing.grease) {
                programme.grams = 100.0;
            }
        }
    }
    let mut app = create_of(&path, plant.clone(), world(0, 1));
    let pumps: Vec<PumpId> = app
        .due()
        .unwrap()
        .by_size
        .into_iter()
        .map(|found| found.pump)
        .collect();
    assert_eq!(pumps, [far, pump(PUMP)]);
    for bearing in plant.pumps.iter_mut().flat_map(|pump| &mut pump.bearings) {
        bearing.size = None;
    }
    let path = folder.path().join("without.lantern");
    let mut app = create_of(&path, plant, world(0, 2));
    assert!(app.due().unwrap().by_size.is_empty());
}
