//! What a check's trend says of limits from its history, and of a check nobody reads.
//!
//! The readings are invented; how limits are proposed is common practice, no source.

mod evaluation_support;

use evaluation_support::{Case, NOW_MS, count, feel, number};
use lantern_ring::{
    evaluation::{Outcome, Reading, Trend, trend},
    plant::CheckId,
    statistics::charts::{CUSUM, EWMA},
};
use serde_json::Value;

const BEARING: &str = "bearing_temperature@pump_de";

/// The trend of these readings, each so many days ago, by the usual limits.
fn trend_of(check: &str, readings: impl IntoIterator<Item = (u32, Value)>) -> Trend {
    let check: CheckId = check.parse().expect("a check");
    let plant = Case::usual().plant;
    let readings: Vec<Reading> = readings
        .into_iter()
        .map(|(days_ago, entered)| Reading {
            at_ms: NOW_MS - i64::from(days_ago) * 86_400_000,
            running: None,
            entered: serde_json::from_value(entered).expect("an entry"),
            ambient_c: None,
        })
        .collect();
    let limits = plant.limits_of(&plant.pumps[0].id, check);
    trend(check, &readings, &[], limits, NOW_MS).expect("numbers to look at")
}

/// Sixty days of readings from 50 to 54 °C, without order.
fn steady() -> Vec<(u32, Value)> {
    let celsius = |day: u32| f64::from(50 + (day * 7) % 5);
    (0..60)
        .map(|day| (day, number(celsius(day), "degC")))
        .collect()
}

#[track_caller]
fn proposed(trend: &Trend) -> &Outcome {
    let mut lines = trend.worked.iter();
    let line = lines.find(|line| line.name.starts_with("Limits from history"));
    &line.expect("a proposal, or why there is none").outcome
}

#[test]
fn limits_are_proposed_on_the_sides_that_have_limits_and_as_finely_as_is_read() {
    // The bearing has high limits alone. Median 52, scaled median absolute deviation 1.4826: 52 + 3 · 1.4826 = 56.4.
    let trend = trend_of(BEARING, steady());
    let Outcome::Is { words, .. } = proposed(&trend) else {
        panic!("{:?}", proposed(&trend));
    };
    assert_eq!(words, "watch at most 56 °C");
    // A leak-off has limits on both.
    let drops = |day: u32| 30 + (day * 7) % 5;
    let leaks = (0..60).map(|day| (day, count(drops(day), 60.0)));
    let trend = trend_of("leak_off@seal_de", leaks);
    let Outcome::Is { words, .. } = proposed(&trend) else {
        panic!("{:?}", proposed(&trend));
    };
    assert_eq!(words, "watch 28 to 36 drops/min");
}

#[test]
fn no_limits_are_proposed_while_the_readings_go_somewhere() {
    // Steady for two months, then rising for a fortnight: no drift of the whole, but one of late.
    let mut readings = steady();
    for (days_ago, entered) in readings.iter_mut().take(14) {
        *entered = number(f64::from(54 + (14 - *days_ago)), "degC");
    }
    let trend = trend_of(BEARING, readings);
    assert!(trend.rises(), "{}", trend.words);
    assert!(matches!(proposed(&trend), Outcome::Cannot { .. }));
}

/// Limits are 10 to 60, the target 30; the charts' run lengths are held to Lucas (1985) in `statistics_charts.rs`.
#[test]
fn counts_that_rise_and_counts_that_fall_are_each_called() {
    let chart = |name: &str, drops: fn(u32) -> u32| {
        let counts = (0..20).map(|day| (day, count(drops(day), 60.0)));
        let trend = trend_of("leak_off@seal_de", counts);
        let line = trend.worked.iter().find(|line| line.name == name);
        line.expect("a chart").line()
    };
    let steady = |day: u32| 28 + day % 5;
    let more = |day: u32| if day < 6 { 70 } else { 28 + day % 5 };
    let dry = |day: u32| if day < 6 { 8 } else { 28 + day % 5 };
    for name in ["Rise of the counts", "Fall of the counts"] {
        assert_eq!(chart(name, steady), format!("{name}: none shown"));
    }
    assert_eq!(
        chart("Fall of the counts", more),
        "Fall of the counts: none shown"
    );
    assert_eq!(
        chart("Rise of the counts", dry),
        "Rise of the counts: none shown"
    );
    let rises = chart("Rise of the counts", more);
    assert!(
        rises.contains("more than usual, since about 5 days ago"),
        "{rises}"
    );
    let falls = chart("Fall of the counts", dry);
    assert!(
        falls.contains("less than usual, since about 5 days ago"),
        "{falls}"
    );
}

#[test]
fn a_check_nobody_has_read_lately_says_so() {
    let old = steady()
        .into_iter()
        .map(|(days_ago, entered)| (days_ago + 29, entered));
    assert_eq!(trend_of(BEARING, old).words, "Not read in the last 28 days");
}

#[test]
fn a_drift_names_the_chart_that_called_it() {
    // Usual before: median 52, σ 1.4826. One reading 5.2 σ up: its cumulative sum is 5.2 − 0.5 = 4.7, short of 5; the
    // moving average 0.2 · 5.2 = 1.04 is over 2.962 · √(0.2/1.8) = 0.987. A second one makes both call.
    let before = || {
        steady()
            .into_iter()
            .map(|(day, entered)| (day + 29, entered))
    };
    let high = || number(52.0 + 5.2 * 1.4826, "degC");
    let of = |recent: &[u32]| {
        let recent = recent.iter().map(|day| (*day, high()));
        trend_of(BEARING, before().chain(recent))
    };
    for (recent, formula, called_by) in [
        (vec![0], EWMA, "the moving average"),
        (vec![1, 0], CUSUM, "both charts"),
    ] {
        let trend = of(&recent);
        let mut lines = trend.worked.iter();
        let drift = lines.find(|line| line.name == "Drift from before");
        let drift = drift.expect("a drift from before");
        let Outcome::Is { words, .. } = &drift.outcome else {
            panic!("{drift:?}");
        };
        assert!(words.starts_with("up, since"), "{words}");
        assert_eq!(drift.formula, Some(formula));
        assert_eq!(evaluation_support::row(drift, "Called by"), called_by);
    }
}

#[test]
fn too_few_entries_felt_say_how_many_a_trend_needs() {
    let felt = trend_of("bearing_heat@pump_de", [(1, feel(1)), (0, feel(2))]);
    let words = "A trend needs at least 5 entries; there are 2. Make more entries.";
    assert_eq!(felt.words, words);
}
