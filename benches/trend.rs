//! How long a trend over 20,000 entries takes, and what taking all pairs of them costs beside it.
//!
//! First the line, its interval and its test alone; then all that is shown of a check's readings, with drift, a proposal
//! for limits and what was put right. `cargo bench --no-default-features --bench trend`. All pairs of 20,000 entries would be 1.6 GB of slopes, so the
//! two ways are set side by side at 4,000.

use lantern_ring::{
    check::{Entered, RunningState},
    evaluation::{Done, Reading, trend},
    plant::{CheckId, CheckKind, Limits, Place, Unit},
    remedy::{GreaseGiven, Remedy},
    statistics::trend::{Limit, Question, Series, Side, Window, look, mann_kendall, theil_sen},
};
use serde_json::json;
use std::{
    error::Error,
    hint::black_box,
    time::{Duration, Instant},
};

const ENTRIES: usize = 20_000;
const ENTRIES_FOR_ALL_PAIRS: usize = 4_000;
const ROUNDS: usize = 60;
const ROUNDS_FOR_ALL_PAIRS: usize = 10;
const GOAL: Duration = Duration::from_millis(10);

fn main() -> Result<(), Box<dyn Error>> {
    let limits = [
        Limit {
            value: 85.0,
            side: Side::Above,
        },
        Limit {
            value: 95.0,
            side: Side::Above,
        },
    ];
    let question = Question {
        window: Window::Whole,
        limits: &limits,
        remedy_days: &[],
        remedy_window_days: 30.0,
        confidence: 0.95,
    };
    for (what, step) in [
        ("as a recorder gives them", 0.0),
        ("read to half a degree", 0.5),
    ] {
        println!("{ENTRIES} entries, {what}");
        let long = bearing_temperatures(ENTRIES, step);
        measure("  Theil–Sen with interval", ROUNDS, || {
            theil_sen(&long, 0.95)
        });
        measure("  Mann–Kendall", ROUNDS, || mann_kendall(&long));
        let page = measure("  a trend page, two limits", ROUNDS, || {
            look(&long, &question)
        });
        println!(
            "  goal {GOAL:.0?}: {}",
            if page < GOAL { "kept" } else { "MISSED" }
        );
        shown_of_a_check(&long)?;
    }
    let short = bearing_temperatures(ENTRIES_FOR_ALL_PAIRS, 0.0);
    println!("{ENTRIES_FOR_ALL_PAIRS} entries");
    let ours = measure("  Theil–Sen with interval", ROUNDS, || {
        theil_sen(&short, 0.95)
    });
    let pairs = measure(
        "  median of all pairs, slope alone",
        ROUNDS_FOR_ALL_PAIRS,
        || slope_by_all_pairs(&short),
    );
    println!(
        "  all pairs take {:.0} times as long",
        pairs.as_secs_f64() / ours.as_secs_f64()
    );
    let slope = theil_sen(&short, 0.95).map(|line| line.slope_per_day);
    let of_pairs = slope_by_all_pairs(&short);
    // Of an even number of pairs the line takes the mean of the two in the middle.
    assert!(slope.is_ok_and(|slope| (slope - of_pairs).abs() < 1e-6));
    Ok(())
}

/// All that is told of a bearing's readings, greased three times in the last four weeks.
fn shown_of_a_check(series: &Series) -> Result<(), Box<dyn Error>> {
    const MS_PER_DAY: f64 = 86_400_000.0;
    let at_ms = |day: f64| (day * MS_PER_DAY) as i64;
    let check = CheckId::new(CheckKind::BearingTemperature, Place::PumpDe);
    let readings: Vec<Reading> = series
        .points()
        .iter()
        .map(|point| Reading {
            at_ms: at_ms(point.at_day),
            running: Some(RunningState::Running),
            entered: Entered::Number {
                value: point.value,
                unit: Unit::Celsius,
            },
            ambient_c: None,
        })
        .collect();
    let now_ms = readings.last().ok_or("no entries")?.at_ms;
    let greased = [5.0, 13.0, 21.0].map(|days_ago| Done {
        at_ms: now_ms - at_ms(days_ago),
        what: Remedy::Grease {
            place: check.place,
            amount: GreaseGiven::Strokes { strokes: 4.0 },
            grade: "an invented grease".to_owned(),
        },
        answers: None,
    });
    let limits: Limits = serde_json::from_value(json!({
        "pump": "P-1", "check": check.to_string(), "version": 1, "unit": "degC", "basis": "invented",
        "high_watch": 85.0, "high_act": 95.0
    }))?;
    let look = || trend(check, &readings, &greased, Some(&limits), now_ms);
    let shown = look().ok_or("nothing is told of the readings")?;
    let names: Vec<&str> = shown.worked.iter().map(|line| line.name.as_str()).collect();
    for part in ["Trend", "Drift from before", "Limits from history"] {
        let is_told = names.iter().any(|name| name.starts_with(part));
        assert!(is_told, "no {part} in {names:?}");
    }
    assert!(!shown.remedies.is_empty(), "no remedy shows");
    let whole = measure("  all that is shown of a check", ROUNDS, look);
    println!(
        "  goal {GOAL:.0?}: {}",
        if whole < GOAL { "kept" } else { "MISSED" }
    );
    Ok(())
}

/// Invented: three entries a day, slowly rising, with a season and wild entries.
fn bearing_temperatures(count: usize, step: f64) -> Series {
    let mut state = 1u64;
    let mut unit = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        (state >> 11) as f64 / (1u64 << 53) as f64
    };
    let entries = (0..count).map(|i| {
        let day = (i as f64 + unit()) / 3.0;
        let season = 4.0 * (day / 365.0 * std::f64::consts::TAU).sin();
        let noise = unit() + unit() + unit() - 1.5;
        let wild = if unit() < 0.01 { 30.0 * unit() } else { 0.0 };
        let value = 48.0 + 0.002 * day + season + 2.0 * noise + wild;
        let read = if step > 0.0 {
            (value / step).round() * step
        } else {
            value
        };
        (day, read)
    });
    match Series::new(entries, count as f64) {
        Ok(series) => series,
        Err(error) => unreachable!("invented entries are sound: {error}"),
    }
}

fn slope_by_all_pairs(series: &Series) -> f64 {
    let points = series.points();
    let mut slopes = Vec::with_capacity(points.len() * points.len() / 2);
    for (i, a) in points.iter().enumerate() {
        for b in &points[i + 1..] {
            if b.at_day > a.at_day {
                slopes.push((b.value - a.value) / (b.at_day - a.at_day));
            }
        }
    }
    let middle = slopes.len() / 2;
    *slopes.select_nth_unstable_by(middle, f64::total_cmp).1
}

/// Prints the fastest, the median and the 95th percentile of so many rounds, and gives the median.
fn measure<T>(what: &str, rounds: usize, mut work: impl FnMut() -> T) -> Duration {
    let mut times: Vec<Duration> = (0..rounds)
        .map(|_| {
            let begun = Instant::now();
            black_box(work());
            begun.elapsed()
        })
        .collect();
    times.sort_unstable();
    let percentile = |percent: usize| times[(rounds - 1) * percent / 100];
    println!(
        "{what:<40}{:>10.2?} fastest {:>10.2?} median {:>10.2?} p95",
        percentile(0),
        percentile(50),
        percentile(95)
    );
    percentile(50)
}
