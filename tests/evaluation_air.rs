//! Readings that go with the temperature of the air are told from those that go their own way.
//!
//! The readings are made by a stated line on the air, so that the line, what is left of it and its trend are known
//! beforehand. The line is Theil–Sen's, which `tests/statistics_trend.rs` holds to published values; its use
//! here is common practice, no source.

mod evaluation_support;

use evaluation_support::{Case, DAY_MS, NOW_MS, number};
use lantern_ring::{
    evaluation::{Outcome, Reading, Trend, Worked, trend},
    plant::CheckId,
};

const BEARING: &str = "bearing_temperature@pump_de";
const USUAL: &str = "Usual at this air temperature";
const LEFT: &str = "Trend without the air's part";

/// A bearing is half a degree warmer for each degree of air: 40 °C at 0 °C.
fn by_air(air_c: f64) -> f64 {
    40.0 + 0.5 * air_c
}

/// Less than half a degree to either side, in no order.
fn scatter(day: u32) -> f64 {
    (f64::from(day * 7 % 11) - 5.0) / 12.0
}

/// A year's air, 0 to 30 °C, in no order.
fn any_air(day: u32) -> f64 {
    f64::from(day * 37 % 31)
}

/// One reading each day, the oldest 200 days ago, of what `air` and `value` say for days ago.
fn readings(
    air: impl Fn(u32) -> Option<f64>,
    value: impl Fn(u32) -> f64,
) -> impl Iterator<Item = Reading> {
    (0..=200).rev().map(move |ago| Reading {
        at_ms: NOW_MS - (f64::from(ago) * DAY_MS) as i64,
        running: None,
        entered: serde_json::from_value(number(value(ago), "degC")).expect("an entry"),
        ambient_c: air(ago),
    })
}

fn trend_of(check: &str, readings: impl Iterator<Item = Reading>) -> Trend {
    let check: CheckId = check.parse().expect("a check");
    let readings: Vec<_> = readings.collect();
    let plant = Case::usual().plant;
    let limits = plant.limits_of(&plant.pumps[0].id, check);
    trend(check, &readings, &[], limits, NOW_MS).expect("numbers to look at")
}

fn find<'a>(trend: &'a Trend, name: &str) -> Option<&'a Worked> {
    trend.worked.iter().find(|line| line.name == name)
}

#[track_caller]
fn result<'a>(trend: &'a Trend, name: &str) -> &'a str {
    match find(trend, name).map(|line| &line.outcome) {
        Some(Outcome::Is { words, .. }) => words,
        other => panic!("no '{name}': {other:?}"),
    }
}

#[track_caller]
fn refusal(trend: &Trend, name: &str) -> (String, Option<String>) {
    match find(trend, name).map(|line| &line.outcome) {
        Some(Outcome::Cannot { why, enter }) => (why.clone(), enter.map(|check| check.to_string())),
        other => panic!("'{name}' was not refused: {other:?}"),
    }
}

/// Any air till four weeks ago, and since then air that warms from 2 to 29 °C.
fn warming(ago: u32) -> f64 {
    if ago > 27 {
        any_air(ago)
    } else {
        f64::from(29 - ago)
    }
}

#[test]
fn a_bearing_that_warms_with_the_air_shows_no_trend_without_it() {
    let trend = trend_of(
        BEARING,
        readings(
            |ago| Some(warming(ago)),
            |ago| by_air(warming(ago)) + scatter(ago),
        ),
    );
    assert!(
        trend.words.starts_with("Rising 0.498 °C a day, 0.48")
            && trend
                .words
                .ends_with("; without the air's part no trend shown"),
        "{}",
        trend.words
    );
    assert!(!trend.rises());
    assert_eq!(trend.limit_words, "", "no days are counted by the weather");
    assert!(find(&trend, "Time to the high watch limit").is_none());
    assert_eq!(result(&trend, LEFT), "No trend shown");
    let taken_off = &find(&trend, LEFT).expect("the line").rows[1].1;
    assert_eq!(taken_off, "0.50 °C for each °C of air");
}

#[test]
fn a_bearing_that_warms_while_the_air_cools_is_seen_to_rise() {
    let cooling = |ago: u32| {
        if ago > 27 {
            any_air(ago)
        } else {
            f64::from(ago + 1)
        }
    };
    // Half a degree a day of its own makes up for what the air takes.
    let own = |ago: u32| 0.5 * f64::from(27 - ago.min(27));
    let trend = trend_of(
        BEARING,
        readings(
            |ago| Some(cooling(ago)),
            |ago| by_air(cooling(ago)) + own(ago) + scatter(ago),
        ),
    );
    assert!(
        trend
            .words
            .starts_with("No trend shown; without the air's part: Rising 0.498"),
        "{}",
        trend.words
    );
    assert!(trend.rises());
}

#[test]
fn wear_that_sets_in_with_warm_weather_is_not_taken_for_weather() {
    let own = |ago: u32| 0.3 * f64::from(27 - ago.min(27));
    let trend = trend_of(
        BEARING,
        readings(
            |ago| Some(warming(ago)),
            |ago| by_air(warming(ago)) + own(ago) + scatter(ago),
        ),
    );
    assert!(trend.words.starts_with("Rising 0.798"), "{}", trend.words);
    assert!(
        result(&trend, LEFT).starts_with("Rising 0.298"),
        "{:?}",
        find(&trend, LEFT)
    );
    assert!(trend.rises());
}

#[test]
fn a_reading_is_told_against_what_is_usual_at_its_air() {
    let now = |value: f64| {
        trend_of(
            BEARING,
            readings(
                |ago| Some(if ago == 0 { 20.0 } else { any_air(ago) }),
                |ago| {
                    if ago == 0 {
                        value
                    } else {
                        by_air(any_air(ago)) + scatter(ago)
                    }
                },
            ),
        )
    };
    // 40 + 0.5 · 20 = 50. The scatter's steps are twelfths, so its median absolute deviation is 3/12: 0.37 when scaled.
    let usual = now(50.1);
    assert_eq!(
        result(&usual, USUAL),
        "50.0 °C at 20 °C of air, give or take 0.37; this one as usual"
    );
    // Within what was read over the year, and not usual at 20 °C.
    let warm = now(54.0);
    assert!(
        result(&warm, USUAL).ends_with("this one 10.8 times that above"),
        "{}",
        result(&warm, USUAL)
    );
    assert!(result(&now(46.0), USUAL).ends_with("that below"));
}

#[test]
fn air_that_was_not_read_or_never_met_is_said_with_what_would_help() {
    let at = |newest: Option<f64>| {
        trend_of(
            BEARING,
            readings(
                |ago| if ago == 0 { newest } else { Some(any_air(ago)) },
                |ago| by_air(any_air(ago)) + scatter(ago),
            ),
        )
    };
    let (why, enter) = refusal(&at(None), USUAL);
    assert!(why.contains("not read within an hour"), "{why}");
    assert_eq!(enter.as_deref(), Some("ambient_temperature@pump"));
    let (why, _) = refusal(&at(Some(41.0)), USUAL);
    assert!(why.contains("41 °C") && why.contains("0 to 30 °C"), "{why}");
}

#[test]
fn too_few_readings_with_their_air_are_counted_and_the_air_is_asked_for() {
    let with_air = |ago: u32| (ago == 0 || ago > 190).then(|| any_air(ago));
    let trend = trend_of(
        BEARING,
        readings(with_air, |ago| by_air(any_air(ago)) + scatter(ago)),
    );
    let (why, enter) = refusal(&trend, USUAL);
    assert!(
        why.starts_with("10 readings") && why.contains("12 at air"),
        "{why}"
    );
    assert_eq!(enter.as_deref(), Some("ambient_temperature@pump"));
    assert!(find(&trend, LEFT).is_none());
}

#[test]
fn where_no_air_was_ever_read_nothing_is_said_of_it() {
    let trend = trend_of(
        BEARING,
        readings(|_| None, |ago| by_air(any_air(ago)) + scatter(ago)),
    );
    assert!(find(&trend, USUAL).is_none() && find(&trend, LEFT).is_none());
}

#[test]
fn what_does_not_go_with_the_air_is_not_told_by_it() {
    let trend = trend_of(
        "liquid_temperature@suction",
        readings(
            |ago| Some(any_air(ago)),
            |ago| by_air(any_air(ago)) + scatter(ago),
        ),
    );
    assert!(find(&trend, USUAL).is_none() && find(&trend, LEFT).is_none());
}
