//! Every check of a pump through the window, each judged at its bounds and one step to either side.

#![cfg(feature = "window")]

mod window_support;

use i_slint_backend_testing::AccessibleRole;
use lantern_ring::{
    check::{self, Check, RunningState, gland_may_be_touched, words},
    judge::{self, Hands, Verdict},
    plant::{Limits, Plant, Pump, PumpId, Unit},
};
use tempfile::TempDir;
use window_support::{
    Bench,
    cases::{Case, Hand, cases, pump_with_most_to_check, with_all_bounds},
    demo_plant, files,
};

/// A window at a pump whose tag was just dropped on it, with limits on every number.
fn at_the_pump(folder: &TempDir, packed: bool) -> (Bench, Plant, PumpId) {
    let pump = pump_with_most_to_check(&demo_plant(), packed);
    let plant = with_all_bounds(demo_plant(), &pump);
    let bench = Bench::signed(folder.path(), "operator", plant.clone(), 1);
    let text = files::tag_text(&plant, &pump);
    bench.give(&files::code(folder.path(), "tag.png", &text));
    bench.must_show(pump.as_str());
    // A pump of a pair may be taken to be on standby.
    bench.choose("Running");
    (bench, plant, pump)
}

fn checks(plant: &Plant, pump: &PumpId) -> Vec<Check> {
    check::list(plant.pump(pump).expect("the pump"), RunningState::Running)
}

/// Puts a case in, not yet saved.
fn put_in(bench: &Bench, check: &Check, case: &Case) {
    match &case.by {
        Hand::Key(number) => bench.type_in(number),
        Hand::Taps(drops) => bench.count(*drops, 60),
        Hand::Level(percent) => bench.set_level(words::name(check.id.kind), *percent),
        Hand::Choose(words) => bench.choose(words),
        Hand::Write(words) => bench.write("In your own words", words),
    }
}

fn must_show_result(
    bench: &Bench,
    pump: &Pump,
    check: &Check,
    case: &Case,
    limits: Option<&Limits>,
) {
    let told = format!("{} {:?}", check.id, case.entered);
    assert!(
        bench
            .find(AccessibleRole::Text, case.verdict.words())
            .is_some(),
        "{told} is not {} but {:#?}",
        case.verdict.words(),
        bench.told()
    );
    let judgement = judge::judge(&check.kind, &case.entered, limits, None);
    let sentence = judge::finding_words(check.id.kind, &case.entered, &judgement, limits);
    assert!(
        bench.shows(&sentence),
        "{told}: no “{sentence}” in {:#?}",
        bench.told()
    );
    let hands = Hands::at_gland(!gland_may_be_touched(pump), None);
    if let Some(first) = judge::first_action(check.id.kind, &case.entered, &judgement, hands) {
        bench.must_show(first.action);
    }
}

/// Goes through all checks, each with every case, the last case left standing.
fn enter_everything(bench: &Bench, plant: &Plant, pump: &PumpId) -> Vec<Verdict> {
    let checks = checks(plant, pump);
    let built = plant.pump(pump).expect("the pump");
    let mut met = Vec::new();
    bench.press("First check");
    for (index, check) in checks.iter().enumerate() {
        bench.must_show(&format!("{} of {}", index + 1, checks.len()));
        bench.must_show(words::name(check.id.kind));
        let limits = plant.limits_of(pump, check.id);
        // A glass shows its bounds as lines.
        if let Some(limits) = limits.filter(|limits| limits.unit != Unit::Percent) {
            bench.must_show(&judge::band(check.id.kind, limits).expect("words for the band"));
        }
        let decimals = bench
            .find(AccessibleRole::Button, "Decimal sign")
            .is_some_and(|key| key.accessible_enabled() == Some(true));
        for (number, case) in cases(check, limits, decimals).iter().enumerate() {
            if number > 0 {
                bench.press("Correct");
                bench.must_show("You are correcting a saved entry.");
            }
            put_in(bench, check, case);
            bench.press(if number > 0 {
                "Save correction"
            } else {
                "Save"
            });
            must_show_result(bench, built, check, case, limits);
            met.push(case.verdict);
            bench.world.pass(1000);
        }
        bench.press("Next");
    }
    met
}

fn go_through_every_check(packed: bool, width: f32, height: f32) {
    let folder = TempDir::new().expect("a folder");
    let (bench, plant, pump) = at_the_pump(&folder, packed);
    bench.resize(width, height);
    let met = enter_everything(&bench, &plant, &pump);
    for verdict in Verdict::ALL {
        assert!(met.contains(verdict), "{verdict:?} was not met");
    }
    bench.must_show("Summary of the visit");
    bench.press("Close visit");
    bench.must_show("Visit closed.");

    let app = bench.close();
    let visits = app
        .store()
        .read()
        .visits_to(&pump, 1)
        .expect("the pump's visits");
    assert!(visits[0].closed.is_some());
    let count = u32::try_from(checks(&plant, &pump).len()).expect("few checks");
    assert_eq!(visits[0].entries, count, "a correction doubles nothing");
    assert!(
        app.verify(&Default::default())
            .expect("a report")
            .is_clean()
    );
}

#[test]
fn every_check_of_a_packed_pump_is_judged_at_its_bounds_on_a_desktop() {
    go_through_every_check(true, 1280.0, 800.0);
}

#[test]
fn every_check_of_a_mechanical_seal_pump_is_judged_at_its_bounds_on_a_phone() {
    go_through_every_check(false, 412.0, 892.0);
}
