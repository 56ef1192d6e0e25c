//! What was put right, among the readings it shows in.

mod evaluation_support;

use evaluation_support::{Case, DAY_MS, NOW_MS, choice, count, feel, number, row};
use lantern_ring::{
    check::RunningState,
    diagnosis::Sign,
    evaluation::{Evaluation, Trend, Worked},
    plant::CheckId,
};
use serde_json::{Value, json};

const DROP: &str = "strainer_drop@suction";

fn cleaned() -> Value {
    json!({"kind": "strainer", "place": "suction", "work": "cleaned"})
}

fn tightened() -> Value {
    json!({"kind": "gland_nuts", "place": "seal_de", "turn": "tighten", "flats": [1, 1]})
}

fn trend<'e>(evaluation: &'e Evaluation, check: &str) -> &'e Trend {
    let check: CheckId = check.parse().unwrap();
    &evaluation.trends[&check]
}

fn line_of<'t>(trend: &'t Trend, begins: &str) -> Option<&'t Worked> {
    trend
        .worked
        .iter()
        .find(|line| line.name.starts_with(begins))
}

/// A strainer that plugs by 0.01 bar a day, from 0.05, cleaned after each 25 days.
fn plugging(day: f64) -> Value {
    number(0.05 + 0.01 * day.rem_euclid(25.0), "bar")
}

/// Read once a day for forty days, last ten days after the cleaning of day 25 before; now it is 0.15.
fn plugs_twice() -> Case {
    let readings = (1..40).map(|days_ago| {
        let days_ago = f64::from(days_ago);
        (days_ago, plugging(10.0 - days_ago))
    });
    Case::usual()
        .earlier(DROP, readings)
        .enter(DROP, plugging(10.0))
}

#[test]
fn a_line_runs_from_the_last_remedy_on_and_says_so() {
    let untold = plugs_twice().evaluate();
    let across = trend(&untold, DROP).line.map(|line| line.slope_per_day);
    let told = plugs_twice().put_right(10.5, cleaned()).evaluate();
    let trend = trend(&told, DROP);
    let slope = trend.line.unwrap().slope_per_day;
    assert!((slope - 0.01).abs() < 1e-9, "{slope}");
    assert!(
        across.is_none_or(|across| (across - 0.01).abs() > 1e-3),
        "without being told of the cleaning the line runs across it: {across:?}"
    );
    assert!(
        trend
            .words
            .ends_with(", since the strainer was cleaned 10 days ago"),
        "{}",
        trend.words
    );
    let usual = trend.usual.unwrap();
    assert_eq!(usual.entries, 11, "what is usual is that of since then");
    let marks: Vec<_> = trend
        .remedies
        .iter()
        .map(|mark| (mark.at_ms, mark.begins_anew))
        .collect();
    assert_eq!(marks, [(NOW_MS - (10.5 * DAY_MS) as i64, true)]);
}

#[test]
fn a_remedy_longer_ago_than_is_looked_at_is_marked_and_not_spoken_of() {
    let told = plugs_twice().put_right(35.0, cleaned()).evaluate();
    let trend = trend(&told, DROP);
    assert_eq!(trend.remedies.len(), 1);
    assert!(!trend.words.contains("since"), "{}", trend.words);
}

#[test]
fn too_few_readings_since_a_remedy_are_said_to_be_too_few_since_then() {
    let told = plugs_twice().put_right(1.5, cleaned()).evaluate();
    let words = &trend(&told, DROP).words;
    assert!(words.contains("needs at least"), "{words}");
    assert!(
        words.ends_with("Only readings since the strainer was cleaned 36 h ago count."),
        "{words}"
    );
    let now = plugs_twice().put_right(0.0, cleaned()).evaluate();
    let trend = trend(&now, DROP);
    assert_eq!(
        trend.words,
        "Not read yet, since the strainer was cleaned under a minute ago"
    );
    assert_eq!((trend.usual, trend.line), (None, None));
}

#[test]
fn a_remedy_of_another_place_or_of_tomorrow_changes_nothing() {
    let untold = plugs_twice().evaluate();
    let discharge = json!({"kind": "strainer", "place": "discharge", "work": "cleaned"});
    for case in [
        plugs_twice().put_right(10.5, discharge),
        plugs_twice().put_right(10.5, tightened()),
        plugs_twice().put_right(-1.0, cleaned()),
    ] {
        assert_eq!(trend(&case.evaluate(), DROP), trend(&untold, DROP));
    }
}

/// Twelve counts before and after: each of the later ones 24 drops below the earlier one of its place in the row. The
/// median of all differences is then −24; of 12 and 12 the interval at 95 % leaves out the 37 smallest and largest of
/// 144 (Mann–Whitney critical value 37, two-sided 5 %, printed in most textbooks; from memory).
#[test]
fn what_changed_with_a_remedy_is_told_with_its_interval() {
    const CHECK: &str = "leak_off@seal_de";
    let scatter = |index: i32| (index * 5 % 12) as u32;
    let before = (0..12).map(|i| (f64::from(24 - i), count(60 + scatter(i), 60.0)));
    let after = (0..11).map(|i| (f64::from(11 - i), count(36 + scatter(i), 60.0)));
    let case = Case::usual()
        .earlier(CHECK, before)
        .earlier(CHECK, after)
        .enter(CHECK, count(36 + scatter(11), 60.0))
        .put_right(12.0, tightened());
    let evaluation = case.evaluate();
    let line = line_of(
        trend(&evaluation, CHECK),
        "After the gland nuts were tightened 12 days ago",
    )
    .unwrap();
    assert!(
        line.line().contains("lower by 24 drops/min"),
        "{}",
        line.line()
    );
    assert_eq!(row(line, "Readings before"), "12");
    assert_eq!(row(line, "Readings after"), "12");
    assert_eq!(
        row(line, "What was done"),
        "Tightened each of 2 gland nuts 1 flat, Seal DE."
    );
    let mut differences: Vec<f64> = (0..12)
        .flat_map(|i| (0..12).map(move |j| f64::from(36 + scatter(i)) - f64::from(60 + scatter(j))))
        .collect();
    differences.sort_by(f64::total_cmp);
    let (low, high) = (differences[37], differences[144 - 38]);
    let shift = row(line, "Shift");
    assert!(
        shift.contains(&format!("{low}")) && shift.contains(&format!("{high}")),
        "{shift}: {low} {high}"
    );
}

#[test]
fn a_change_is_taken_between_the_remedies_next_to_it() {
    const CHECK: &str = "leak_off@seal_de";
    let counts = (1..30).map(|days_ago| (f64::from(days_ago), count(30, 60.0)));
    let case = Case::usual()
        .earlier(CHECK, counts)
        .enter(CHECK, count(30, 60.0))
        .put_right(20.5, tightened())
        .put_right(10.5, tightened());
    let evaluation = case.evaluate();
    let line = line_of(
        trend(&evaluation, CHECK),
        "After the gland nuts were tightened 10 days ago",
    )
    .unwrap();
    assert_eq!(
        row(line, "Readings before"),
        "10",
        "those since the remedy before it"
    );
    assert!(
        line.line().contains("no lasting change shown"),
        "{}",
        line.line()
    );
}

#[test]
fn readings_while_running_and_on_standby_are_kept_apart() {
    const CHECK: &str = "suction_pressure@suction";
    let mut case = Case::usual()
        .earlier(
            CHECK,
            (1..9).map(|day| (f64::from(day), number(0.30, "bar"))),
        )
        .enter(CHECK, number(0.3, "bar"));
    let standing: CheckId = CHECK.parse().unwrap();
    let mut of_standby = case.before[&standing].clone();
    for reading in &mut of_standby {
        reading.at_ms -= 1_000;
        reading.running = Some(RunningState::Standby);
        reading.entered = serde_json::from_value(number(0.55, "bar")).unwrap();
    }
    case.before.entry(standing).or_default().extend(of_standby);
    let evaluation = case.evaluate();
    let trend = trend(&evaluation, CHECK);
    assert_eq!(
        trend.usual.unwrap().centre,
        0.3,
        "only what was read while running"
    );
    let line = line_of(trend, "Usual by what the pump was doing").unwrap();
    assert!(row(line, "running").starts_with("0.300 bar"), "{line:?}");
    assert!(row(line, "standby").starts_with("0.550 bar"), "{line:?}");
    assert_eq!(trend.points.len(), 17, "all are drawn");
}

#[test]
fn what_is_felt_begins_anew_with_the_nuts_too() {
    const CHECK: &str = "gland_heat@seal_de";
    let felt = (1..20).map(|day| (f64::from(day), feel(if day > 10 { 3 } else { 1 })));
    let case = Case::usual().earlier(CHECK, felt).enter(CHECK, feel(1));
    let falls = case.evaluate();
    assert!(
        trend(&falls, CHECK).words.starts_with("Falling"),
        "{}",
        trend(&falls, CHECK).words
    );
    let anew = case.put_right(10.5, tightened()).evaluate();
    assert_eq!(
        trend(&anew, CHECK).words,
        "The same step throughout, since the gland nuts were tightened 10 days ago"
    );
}

fn greased(place: &str) -> Value {
    json!({"kind": "grease", "place": place, "amount": {"in": "strokes", "strokes": 20.0}, "grade": "x"})
}

fn hot_after_greasing(case: &Case) -> Option<String> {
    let causes = case.evaluate().causes.unwrap();
    let mut told = causes
        .evidence
        .iter()
        .filter(|told| told.sign == Sign::HotAfterGreasing);
    let told = told.next()?;
    told.present.then(|| told.origin.clone())
}

#[test]
fn a_hot_bearing_that_was_greased_lately_is_hot_since_its_greasing() {
    let hot = || Case::usual().enter("bearing_heat@driver_de", feel(5));
    let case = hot().put_right(1.0, greased("driver_de"));
    let told = hot_after_greasing(&case).unwrap();
    assert!(told.ends_with("Greased 24 h before."), "{told}");
    let first = &case.evaluate().causes.unwrap().diagnosis.fitting[0];
    assert_eq!(first.trouble.key, "over_greased");
    for other in [
        hot().put_right(1.0, greased("pump_nde")),
        hot().put_right(4.0, greased("driver_de")),
        hot().put_right(-0.1, greased("driver_de")),
        hot()
            .enter("after_greasing@pump", choice("no"))
            .put_right(1.0, greased("driver_de")),
    ] {
        assert_eq!(hot_after_greasing(&other), None, "{:?}", other.done);
    }
}

#[test]
fn a_remedy_just_done_says_how_many_readings_a_change_needs() {
    let evaluation = plugs_twice().put_right(0.5, cleaned()).evaluate();
    let trend = trend(&evaluation, DROP);
    let line = line_of(trend, "After the strainer was cleaned").unwrap();
    assert!(
        line.line()
            .contains("needs at least 4 entries; there are 1"),
        "{}",
        line.line()
    );
}
