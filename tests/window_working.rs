//! What entries come to, where they are made: counting until enough is known, streams, workings, trends, causes.

#![cfg(feature = "window")]

mod window_support;

use i_slint_backend_testing::AccessibleRole;
use lantern_ring::{
    app::{App, CloseVisit, Enter, MakeBundle, OpenVisit, SetOperator},
    check::{Entered, RunningState, words},
    plant::{CheckId, CheckKind, Limits, Place, Plant, PumpId, Unit},
    record::{HowFound, Stamp},
    sys::StillWorld,
};
use std::path::Path;
use tempfile::TempDir;
use window_support::{Bench, MORNING, cases::pump_with_most_to_check, demo_plant, files};

const DAY_MS: i64 = 24 * 3_600_000;

/// The demo plant with limits of the test's own for one check of its packed pump with the most to check.
fn plant_with(check: CheckId, limits: serde_json::Value) -> (Plant, PumpId) {
    let mut plant = demo_plant();
    let pump = pump_with_most_to_check(&plant, true);
    plant
        .limits
        .retain(|limits| (&limits.pump, limits.check) != (&pump, check));
    let mut whole = serde_json::json!({
        "pump": pump.as_str(), "check": check.to_string(), "version": 1, "basis": "made up for the test",
    });
    let fields = limits.as_object().expect("fields").clone();
    whole.as_object_mut().expect("fields").extend(fields);
    plant
        .limits
        .push(serde_json::from_value::<Limits>(whole).expect("limits"));
    assert!(plant.check().is_empty());
    (plant, pump)
}

const LEAK_OFF: CheckId = CheckId {
    kind: CheckKind::LeakOff,
    place: Place::SealDe,
};

fn with_leak_off_limits() -> (Plant, PumpId) {
    plant_with(
        LEAK_OFF,
        serde_json::json!({
            "unit": "drops/min",
            "low_act": 5, "low_watch": 10, "target": 25, "high_watch": 40, "high_act": 80,
        }),
    )
}

fn at_the_pump(folder: &Path, plant: &Plant, pump: &PumpId) -> Bench {
    let bench = Bench::signed(folder, "operator", plant.clone(), 1);
    bench.give(&files::code(
        folder,
        "tag.png",
        &files::tag_text(plant, pump),
    ));
    bench.choose("Running");
    bench
}

fn tap(bench: &Bench, times: u32) {
    for _ in 0..times {
        bench
            .button("Count a drop")
            .invoke_accessible_default_action();
    }
}

#[test]
fn a_count_says_its_interval_and_when_enough_is_counted() {
    let folder = TempDir::new().expect("a folder");
    let (plant, pump) = with_leak_off_limits();
    let bench = at_the_pump(folder.path(), &plant, &pump);
    bench.press_place("Leak-off, packing drive end");
    tap(&bench, 2);
    bench.pass(10);
    bench.must_show("Go on: at most ");
    tap(&bench, 2);
    bench.pass(15);
    tap(&bench, 1);
    bench.pass(35);
    // 4 drops: 1.09 to 10.24 at 95 %, after tests/data/reference/poisson_garwood_limits.csv.
    bench.must_show("4 drops/min, 1 to 10");
    let mut waited = 60;
    while !bench.shows("Enough: below the band.") {
        assert!(waited < 240, "no count lasts longer: {:#?}", bench.told());
        bench.must_show("Go on: at most ");
        bench.pass(5);
        waited += 5;
    }
    bench.press("Stop counting");
    bench.must_show("Enough: below the band.");
    assert!(!bench.has_button("Count on"), "nothing is gained by it");
    bench.press("Save");
    bench.must_show("Rate counted, ");
}

#[test]
fn a_rate_in_the_band_is_told_as_such() {
    let folder = TempDir::new().expect("a folder");
    let (plant, pump) = with_leak_off_limits();
    let bench = at_the_pump(folder.path(), &plant, &pump);
    bench.press_place("Leak-off, packing drive end");
    // 20 a minute, the middle of 10 to 40 by their ratio.
    tap(&bench, 1);
    for _ in 0..80 {
        if bench.shows("Enough: in the band.") {
            return;
        }
        bench.pass(3);
        tap(&bench, 1);
        bench.pass(0);
    }
    panic!("{:#?}", bench.told());
}

#[test]
fn a_stream_is_caught_in_a_cup_and_judged_by_the_plants_convention() {
    let folder = TempDir::new().expect("a folder");
    let (plant, pump) = with_leak_off_limits();
    assert_eq!(plant.drops_per_ml, Some(20.0));
    let bench = at_the_pump(folder.path(), &plant, &pump);
    bench.press_place("Leak-off, packing drive end");
    bench.choose("Catch a stream");
    bench.press("Save");
    bench.must_show("In the cup: nothing entered");
    bench.type_in("4,5");
    bench.must_show_label(AccessibleRole::RadioButton, "In the cup: 4.5 mL");
    bench.press("Start the clock");
    bench.pass(27);
    bench.must_show_label(AccessibleRole::RadioButton, "After: 27 s");
    bench.pass(3);
    bench.press("Stop the clock");
    // 4.5 mL in half a minute are 9 mL/min, 180 drops of 0.05 mL.
    bench.must_show("9.0 mL/min");
    bench.must_show("180 drops/min at 20 to the mL");
    bench.press("Save");
    bench.must_show("9 mL/min");
    bench.must_show(
        "Leak-off 9 mL/min. That is 180 drops/min at 20 to the mL. This pump needs 0.5 to 2 (10 to 40 drops/min).",
    );
    assert!(bench.find(AccessibleRole::Text, "act").is_some());

    bench.press("Correct");
    bench.must_show_label(AccessibleRole::RadioButton, "In the cup: 4.5 mL");
    bench.choose("After: 30 s");
    bench.key_in("270");
    bench.press("Save correction");
    bench.must_show("Leak-off 1 mL/min. That is 20 drops/min at 20 to the mL.");
    assert!(bench.find(AccessibleRole::Text, "in limits").is_some());
    let app = bench.close();
    let entry = app.store().read().latest_entry(&pump, LEAK_OFF);
    assert_eq!(
        entry.expect("readable").expect("an entry").entry.entered,
        Entered::Stream {
            millilitres: 4.5,
            seconds: 270.0,
            drops_per_ml: Some(20.0)
        }
    );
}

#[test]
fn seconds_typed_while_the_clock_runs_stand() {
    let folder = TempDir::new().expect("a folder");
    let (plant, pump) = with_leak_off_limits();
    let bench = at_the_pump(folder.path(), &plant, &pump);
    bench.press_place("Leak-off, packing drive end");
    bench.choose("Catch a stream");
    bench.key_in("10");
    bench.press("Start the clock");
    bench.pass(5);
    bench.choose("After: 5 s");
    bench.key_in("60");
    bench.pass(5);
    bench.must_show_label(AccessibleRole::RadioButton, "After: 60 s");
    assert!(bench.has_button("Start the clock"));
}

#[test]
fn a_result_unfolds_into_its_working() {
    let folder = TempDir::new().expect("a folder");
    let (plant, pump) = with_leak_off_limits();
    let bench = at_the_pump(folder.path(), &plant, &pump);
    bench.resize(1280.0, 1400.0);
    bench.press_place("Leak-off, packing drive end");
    bench.count(4, 60);
    bench.press("Save");
    assert!(!bench.shows("Garwood"));
    bench.press("Rate counted, 4 drops/min, 1 to 10");
    bench.must_show("Drops = 4");
    bench.must_show("Formula: ");
    bench.must_show("Garwood");
    bench.press("Rate counted, 4 drops/min, 1 to 10");
    assert!(!bench.shows("Garwood"), "it folds");
}

#[test]
fn what_cannot_be_worked_out_opens_the_entry_that_would_allow_it() {
    let folder = TempDir::new().expect("a folder");
    let (plant, pump) = with_leak_off_limits();
    let bench = at_the_pump(folder.path(), &plant, &pump);
    bench.press_place("Discharge pressure");
    bench.type_in("3");
    bench.press("Save");
    bench.press("Total head, cannot be computed");
    bench.press("Enter: Suction pressure");
    bench.must_show("Suction pressure");
    bench.type_in("1");
    bench.press("Save");
    assert!(!bench.shows("Total head, cannot be computed"));
    bench.must_show("Total head, ");
}

fn first_cause(bench: &Bench) -> String {
    let causes = bench.told();
    let first = causes
        .iter()
        .find_map(|line| line.strip_prefix("Button: A, "));
    first
        .unwrap_or_else(|| panic!("no cause in {causes:#?}"))
        .to_owned()
}

#[test]
fn the_check_that_tells_causes_apart_opens_and_its_answer_changes_their_order() {
    let folder = TempDir::new().expect("a folder");
    let (plant, pump) = with_leak_off_limits();
    let bench = at_the_pump(folder.path(), &plant, &pump);
    bench.press_place("Leak-off, packing drive end");
    bench.count(0, 60);
    bench.press("Save");
    bench.press("What is wrong here?");
    assert_eq!(first_cause(&bench), "Packing dry or too tight, fits");
    bench.press("A, Packing dry or too tight, fits");
    bench.must_show("Speaks for it");
    bench.must_show("No leak-off (strong)");
    bench.must_show("Leak-off, packing drive end: 0 drops/min. Known from: ");
    bench.must_show("would speak for air drawn in through the packing rather than packing dry");

    bench.press("Look next: Air at the gland, packing drive end");
    bench.must_show("asked for besides");
    bench.must_show("1 of 31 entered");
    bench.choose(words::yes_no(CheckKind::GlandAir, true));
    bench.press("Save");
    bench.must_show("1 of 31 entered");
    bench.must_show("asked for besides");
    bench.press("Back");
    bench.press("What is wrong here?");
    assert_eq!(
        first_cause(&bench),
        "Air drawn in through the packing, fits well"
    );
    // Beside it stands what the whole visit comes to, folded away.
    assert!(!bench.shows("Rate counted, "), "it is folded away");
    bench.scroll_to("Worked out, ");
    bench.press_beginning("Worked out, ");
    bench.must_show("Rate counted, ");
    // No gauge was read, so nothing is said of what gauges would tell.
    assert!(!bench.shows("Total head, cannot be computed"));

    // Taken back while the page is open, the causes stand as before.
    bench.press("Take back: Air at the gland, packing drive end: air is drawn in");
    assert_eq!(first_cause(&bench), "Packing dry or too tight, fits");
    bench.must_show("Look next: Air at the gland, packing drive end");
}

#[test]
fn an_entry_taken_back_beside_its_page_is_asked_for_again() {
    let folder = TempDir::new().expect("a folder");
    let (plant, pump) = with_leak_off_limits();
    let bench = at_the_pump(folder.path(), &plant, &pump);
    bench.press_place("Leak-off, packing drive end");
    bench.count(4, 60);
    bench.press("Save");
    bench.press("Take back: Leak-off, packing drive end: 4 drops/min");
    assert!(bench.has_button("Count a drop"));
    bench.must_show("0 of 31 entered");
}

#[test]
fn where_nothing_was_entered_the_causes_page_leads_to_the_next_check() {
    let folder = TempDir::new().expect("a folder");
    let (plant, pump) = with_leak_off_limits();
    let bench = at_the_pump(folder.path(), &plant, &pump);
    bench.press_place("Leak-off, packing drive end");
    bench.count(4, 60);
    bench.press("Save");
    bench.press("What is wrong here?");
    bench.press("Take back: Leak-off, packing drive end: 4 drops/min");
    bench.must_show("Nothing fits yet");
    bench.must_show("Nothing was entered that causes could be told by.");
    bench.must_show("the next is Surroundings");
    bench.press("Next check");
    bench.must_show("1 of 31");
}

/// A store in which a bearing was read on so many days, warmer by half a degree each day, the last time this morning.
fn read_daily(folder: &Path, days: i64) -> (Plant, PumpId) {
    let check = CheckId::new(CheckKind::BearingTemperature, Place::PumpDe);
    let (plant, pump) = plant_with(
        check,
        serde_json::json!({ "unit": "degC", "high_watch": 80, "high_act": 90 }),
    );
    let start = Stamp {
        utc_ms: MORNING.utc_ms - (days - 1) * DAY_MS,
        ..MORNING
    };
    let world = StillWorld::at(start, 3);
    let store = folder.join("operator.lantern");
    let mut app = App::create(&store, plant.clone(), Box::new(world.clone())).expect("a store");
    app.perform(SetOperator("Jun Vale".to_owned()))
        .expect("a name");
    for day in 0..days {
        world.set_now(Stamp {
            utc_ms: start.utc_ms + day * DAY_MS,
            ..MORNING
        });
        let visit = app
            .perform(OpenVisit {
                pump: pump.clone(),
                running: RunningState::Running,
                found: HowFound::Scanned,
                round: None,
            })
            .expect("a visit");
        app.perform(Enter {
            visit,
            check,
            entered: Entered::Number {
                value: 50.0 + 0.5 * day as f64,
                unit: Unit::Celsius,
            },
        })
        .expect("an entry");
        app.perform(CloseVisit { visit }).expect("closed");
    }
    (plant, pump)
}

/// At the pump whose bearing was read on 41 days.
fn at_the_warming_bearing(folder: &Path) -> Bench {
    let (plant, pump) = read_daily(folder, 41);
    let bench = Bench::open(&folder.join("operator.lantern"), 4);
    bench.resize(1280.0, 1800.0);
    bench.give(&files::code(
        folder,
        "tag.png",
        &files::tag_text(&plant, &pump),
    ));
    bench.choose("Running");
    bench
}

#[test]
fn a_bearing_that_grows_warmer_has_its_trend_and_its_days_told() {
    let folder = TempDir::new().expect("a folder");
    let bench = at_the_warming_bearing(folder.path());
    bench.press_place("Bearing temperature, pump drive end");
    bench.press("Trend");
    // The slope of a straight line, and 70 °C today are 20 days from 80.
    bench.must_show("Rising 0.500 °C a day");
    bench.must_show("20 days to the high watch limit");
    bench.must_show("41 readings since ");
    bench.must_show_label(
        AccessibleRole::Image,
        "Bearing temperature, pump drive end over time",
    );
    bench.press_beginning("Trend, Rising");
    bench.must_show("Sen (1968)");
    bench.press("Back");
    bench.must_show("Save");
}

#[test]
fn a_planner_sees_causes_and_trend_of_a_finding_and_opens_no_entry() {
    let folder = TempDir::new().expect("a folder");
    let (plant, pump) = with_leak_off_limits();
    let bench = at_the_pump(folder.path(), &plant, &pump);
    bench.press_place("Leak-off, packing drive end");
    bench.count(0, 60);
    bench.press("Save");
    let bundle = folder.path().join("round.lrbundle");
    let mut app = bench.close();
    app.perform(MakeBundle {
        path: bundle.clone(),
        everything: true,
    })
    .expect("a bundle");
    drop(app);

    let planner = Bench::signed(folder.path(), "planner", plant, 9);
    planner.press("Setup and about");
    planner.choose("Planner");
    planner.press("Keep");
    planner.resize(1280.0, 1400.0);
    planner.pass(3600);
    planner.give(&bundle);
    planner.press_beginning(&format!("{pump} Leak-off, "));
    planner.press("Trend");
    planner.must_show("1 reading since today");
    planner.press("Back");
    planner.press("What is wrong here?");
    let cause = first_cause(&planner);
    planner.must_show("Look next: ");
    assert!(
        !planner
            .told()
            .iter()
            .any(|line| line.starts_with("Button: Look next")),
        "{cause}"
    );
    planner.press("Back");
    planner.must_show("seen once");
}

#[test]
fn a_bearing_that_grows_warmer_within_its_limits_has_causes_to_look_at() {
    let folder = TempDir::new().expect("a folder");
    let bench = at_the_warming_bearing(folder.path());
    assert!(!bench.has_button("What is wrong here?"));
    bench.press_place("Bearing temperature, pump drive end");
    bench.key_in("71");
    bench.press("Save");
    bench.press("Back");
    bench.press("What is wrong here?");
    bench.press_beginning("A, ");
    bench.must_show("Speaks for it");
    bench.must_show("Bearing warmer from week to week");
}
