//! What the entries of a bearing or an oil skid mean together stands among what a visit's entries come to. The rules
//! are those of `remedy_lubrication.rs`, with their sources; here stands that a visit's entries reach them.

mod evaluation_support;

use evaluation_support::{Case, choice, feel, number};
use lantern_ring::{
    evaluation::{Care, Evaluation, Worked},
    judge::Verdict,
    plant::{CheckId, Place},
};
use serde_json::{Value, json};

fn fed_pump() -> Case {
    let mut pump = evaluation_support::water_pump();
    pump["bearings"] = json!([
        {"place": "pump_de", "lubrication": "forced_feed", "thermometer": true},
        {"place": "driver_de", "lubrication": "grease_fitting"}
    ]);
    pump["oil_skid"] = json!({"cooler": true, "filter_gauge": true, "heater": true});
    let limits = json!([
        ["feed_oil_temperature@oil_skid", "degC", {"low_watch": 32.0, "high_watch": 50.0}],
        ["feed_oil_pressure@oil_skid", "bar", {"low_watch": 1.5, "high_watch": 2.5}],
        ["feed_oil_filter_drop@oil_skid", "bar", {"high_watch": 0.8}],
        ["feed_oil_reservoir@oil_skid", "%", {"low_watch": 40.0, "high_watch": 90.0}]
    ]);
    Case::of(pump, limits, json!({}))
}

fn told<'e>(evaluation: &'e Evaluation, place: &str) -> Vec<&'e Worked> {
    let name = format!("Lubrication, {place}");
    let lines = evaluation.worked.iter();
    lines.filter(|line| line.name == name).collect()
}

/// The one thing told of a place, in words.
#[track_caller]
fn only(case: &Case, place: &str) -> String {
    let evaluation = case.evaluate();
    let told = told(&evaluation, place);
    let lines: Vec<_> = told.iter().map(|line| line.line()).collect();
    assert_eq!(lines.len(), 1, "{lines:#?}");
    lines[0].clone()
}

fn hot(celsius: f64) -> Value {
    number(celsius, "degC")
}

#[test]
fn hot_oil_is_told_with_its_cooling_water_and_its_heater() {
    let warm = fed_pump().enter("feed_oil_temperature@oil_skid", hot(56.0));
    let short_of_water = warm.clone().enter("cooling_water@oil_skid", choice("weak"));
    assert!(only(&short_of_water, "Oil skid").contains("cooling water is short"));
    let heating = warm
        .clone()
        .enter("cooling_water@oil_skid", choice("flowing"))
        .enter("oil_heater@oil_skid", choice("on"));
    assert!(only(&heating, "Oil skid").contains("its thermostat may hang"));
    let fouled = warm
        .enter("cooling_water@oil_skid", choice("flowing"))
        .enter("oil_heater@oil_skid", choice("off"));
    assert!(only(&fouled, "Oil skid").contains("the cooler may be fouled"));
}

#[test]
fn oil_as_it_should_be_is_not_spoken_of() {
    let well = fed_pump()
        .enter("feed_oil_temperature@oil_skid", hot(44.0))
        .enter("cooling_water@oil_skid", choice("flowing"))
        .enter("oil_heater@oil_skid", choice("off"))
        .enter("feed_oil_pressure@oil_skid", number(2.0, "bar"))
        .enter("feed_oil_filter_drop@oil_skid", number(0.3, "bar"))
        .enter(
            "feed_oil_reservoir@oil_skid",
            json!({"kind": "level", "percent": 60.0}),
        );
    assert!(told(&well.evaluate(), "Oil skid").is_empty());
}

#[test]
fn a_filter_drop_that_rises_says_how_many_days_are_left() {
    // 0.01 bar a day from 0.4 on: 0.8 is reached 12 days after the reading of 0.68.
    let rising = (0..29).map(|day| {
        let value = 0.4 + 0.01 * f64::from(day);
        (f64::from(29 - day), number(value, "bar"))
    });
    let case = fed_pump()
        .earlier("feed_oil_filter_drop@oil_skid", rising)
        .enter("feed_oil_filter_drop@oil_skid", number(0.69, "bar"));
    let words = only(&case, "Oil skid");
    assert!(
        words.contains("The filter's drop rises to its limit in about 11 days"),
        "{words}"
    );
}

#[test]
fn a_reservoir_that_falls_asks_for_the_cause_while_it_is_still_in_limits() {
    let falling = (0..20).map(|day| {
        let percent = 70.0 - f64::from(day);
        (
            f64::from(20 - day),
            json!({"kind": "level", "percent": percent}),
        )
    });
    let case = fed_pump()
        .earlier("feed_oil_reservoir@oil_skid", falling)
        .enter(
            "feed_oil_reservoir@oil_skid",
            json!({"kind": "level", "percent": 50.0}),
        );
    let words = only(&case, "Oil skid");
    assert!(
        words.contains("The reservoir falls to its low limit in about 10 days"),
        "{words}"
    );
    assert!(words.contains("Find the cause and report it"), "{words}");
}

#[test]
fn a_meaning_stands_where_each_of_its_checks_is_entered_with_what_was_entered() {
    let case = fed_pump()
        .enter("feed_oil_temperature@oil_skid", hot(56.0))
        .enter("cooling_water@oil_skid", choice("none"));
    let evaluation = case.evaluate();
    let line = told(&evaluation, "Oil skid")[0];
    let of: Vec<CheckId> = ["feed_oil_temperature@oil_skid", "cooling_water@oil_skid"]
        .map(|check| check.parse().unwrap())
        .to_vec();
    assert_eq!(line.of, of);
    let rows = [("Oil temperature", "56 °C"), ("Cooling water", "none")];
    let rows = rows.map(|(name, value)| (name.to_owned(), value.to_owned()));
    assert_eq!(line.rows, rows);
    assert!(matches!(
        line.outcome,
        lantern_ring::evaluation::Outcome::Is {
            verdict: Some(Verdict::Act),
            ..
        }
    ));
    assert!(line.formula.is_some());
}

#[test]
fn a_bearing_is_told_by_its_own_thermometer_level_and_look() {
    // Of the usual pump the drive end has an oil bath and a thermometer, with 75 °C to watch.
    let mut case = Case::usual();
    case.plant.limits.push(
        serde_json::from_value(json!({
            "pump": "P-1", "check": "oil_level@pump_de", "version": 1, "unit": "%", "basis": "test",
            "low_watch": 30.0, "high_watch": 80.0
        }))
        .unwrap(),
    );
    let hot_and_low = case.enter("bearing_temperature@pump_de", hot(80.0)).enter(
        "oil_level@pump_de",
        json!({"kind": "level", "percent": 10.0}),
    );
    assert!(only(&hot_and_low, "Pump DE").contains("hot and short of oil"));
    let milky = Case::usual().enter("oil_look@pump_de", choice("milky"));
    assert!(only(&milky, "Pump DE").contains("there is water in it"));
}

#[test]
fn a_warm_bearing_is_laid_to_the_grease_only_within_a_day_of_greasing() {
    let mut case = Case::usual();
    case.plant.limits.push(
        serde_json::from_value(json!({
            "pump": "P-1", "check": "bearing_heat@pump_nde", "version": 1, "unit": "step", "basis": "test",
            "high_watch": 3.0
        }))
        .unwrap(),
    );
    let mut warm = case
        .enter("bearing_heat@pump_nde", feel(4))
        .enter("grease_look@pump_nde", choice("clean"));
    assert!(only(&warm, "Pump NDE").contains("Give no grease for heat alone"));
    let greased = |hours: f64| Care {
        greased_h_ago: Some(hours),
        ..Care::default()
    };
    warm.care.insert(Place::PumpNde, greased(3.0));
    assert!(only(&warm, "Pump NDE").contains("within a day of greasing"));
    warm.care.insert(Place::PumpNde, greased(200.0));
    assert!(only(&warm, "Pump NDE").contains("Give no grease for heat alone"));
    let overdue = Care {
        grease_overdue: true,
        ..Care::default()
    };
    warm.care.insert(Place::PumpNde, overdue);
    assert!(only(&warm, "Pump NDE").contains("short of grease"));
}

#[test]
fn where_the_pump_is_to_be_stopped_nobody_is_sent_to_a_bearing() {
    let mut pump = evaluation_support::water_pump();
    pump["bearings"] =
        json!([{"place": "pump_de", "lubrication": "oil_bath", "thermometer": true}]);
    let limits = json!([
        ["bearing_temperature@pump_de", "degC", {"high_watch": 75.0, "high_stop": 100.0}],
        ["oil_level@pump_de", "%", {"low_watch": 40.0}]
    ]);
    let told = |celsius: f64| {
        let case = Case::of(pump.clone(), limits.clone(), json!({}))
            .enter("bearing_temperature@pump_de", hot(celsius))
            .enter(
                "oil_level@pump_de",
                json!({"kind": "level", "percent": 3.0}),
            );
        only(&case, "Pump DE")
    };
    assert!(told(80.0).contains("Top up"), "{}", told(80.0));
    let stopped = told(120.0);
    assert!(
        stopped.ends_with("The bearing is hot and short of oil."),
        "{stopped}"
    );
}
