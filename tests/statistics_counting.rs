//! Counting: every reference row the code covers, laws, and the sequential test's error rates.
//!
//! Rows are in `tests/data/reference/`, each with its source. There "READ" means seen in the source named, "MEMORY"
//! recalled and then reckoned anew, "computed" reckoned by the libraries named.

use lantern_ring::statistics::counting::{
    Change, Count, CountingError, Hypothesis, MOST_DROPS, Sprt, compare, drops_to_ml_per_min,
    ml_to_drops_per_min, rate_at_most_per_min, rate_per_min, stream_ml_per_min,
};
use proptest::prelude::*;
use serde_json::Value;
use std::{fs, path::Path};

#[path = "statistics_counting/band.rs"]
mod band;
#[path = "statistics_counting/sequential.rs"]
mod sequential;

/// Confidence of one standard deviation to either side: Φ(1) − Φ(−1).
const ONE_SIGMA: f64 = 0.682_689_492_137_085_9;

fn reference(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/reference");
    fs::read_to_string(path.join(name)).expect("a reference file")
}

fn json(name: &str) -> Value {
    serde_json::from_str(&reference(name)).expect("reference rows")
}

fn number(row: &Value, key: &str) -> f64 {
    row[key]
        .as_f64()
        .unwrap_or_else(|| panic!("{key} of {row}"))
}

fn close(ours: f64, theirs: f64, within: f64, what: &str) {
    assert!(
        (ours - theirs).abs() <= within,
        "{what}: {ours} is not {theirs} within {within}"
    );
}

/// The expected drops of a count: limits of a rate over one minute.
fn limits(drops: u32, confidence: f64) -> (f64, f64) {
    let rate = rate_per_min(drops, 60.0, confidence).expect("a rate");
    (rate.low_per_min, rate.high_per_min)
}

/// Source: the file's column. Tolerance: half a unit of the last printed digit.
#[test]
fn limits_are_garwoods_for_every_row_and_confidence() {
    let text = reference("poisson_garwood_limits.csv");
    let mut rows = csv::Reader::from_reader(text.as_bytes());
    let (mut covered_rows, mut covered_limits) = (0, 0);
    for row in rows.deserialize::<std::collections::HashMap<String, String>>() {
        let row = row.expect("a row");
        let cell = |key: &str| row[key].parse::<f64>().expect("a number");
        let drops = cell("count") as u32;
        for (low, high, confidence) in [
            ("lo95", "hi95", 0.95),
            ("lo90", "hi90", 0.9),
            ("lo99", "hi99", 0.99),
            ("lo_1sigma_0.8413", "hi_1sigma_0.8413", ONE_SIGMA),
        ] {
            let (ours_low, ours_high) = limits(drops, confidence);
            close(ours_low, cell(low), 5.1e-7, low);
            close(ours_high, cell(high), 5.1e-7, high);
            covered_limits += 2;
        }
        let at_most = rate_at_most_per_min(drops, 60.0, 0.95).expect("a rate");
        close(at_most, cell("hi95_one_sided"), 5.1e-7, "one-sided");
        covered_limits += 1;
        covered_rows += 1;
    }
    assert_eq!(
        (covered_rows, covered_limits),
        (39, 351),
        "none is left out"
    );
}

/// Source: column of the file. Printed limits within half a unit of their last printed digit, exact ones within 1e-13.
/// Every row is covered.
#[test]
fn limits_are_the_published_ones() {
    let file = json("poisson_published_checks.json");
    let rows = file["rows"].as_array().expect("rows");
    let (mut exact, mut p_values, mut garwood, mut gehrels) = (0, 0, 0, 0);
    for row in rows {
        let drops = number(row, "count") as u32;
        if row.get("lo_rate").is_some() {
            let seconds = number(row, "exposure") * 60.0;
            let rate = rate_per_min(drops, seconds, number(row, "level")).expect("a rate");
            close(rate.low_per_min, number(row, "lo_rate"), 1e-15, "low");
            close(rate.high_per_min, number(row, "hi_rate"), 1e-15, "high");
            exact += 1;
        } else if row.get("null_rate").is_some() {
            // A rate is the limit of the interval whose confidence is what its p-value leaves.
            let confidence = 1.0 - number(row, "p_two_sided_central");
            let rate = rate_per_min(drops, number(row, "exposure") * 60.0, confidence);
            close(
                rate.expect("a rate").high_per_min,
                number(row, "null_rate"),
                1e-14,
                "null",
            );
            p_values += 1;
        } else {
            let (confidence, small) = match row["level"].as_f64() {
                Some(level) => (level, 5e-5),
                None => (ONE_SIGMA, 5e-4),
            };
            let (low, high) = limits(drops, confidence);
            for (ours, key) in [(low, "lo_printed"), (high, "hi_printed")] {
                let printed = number(row, key);
                let within = match printed {
                    _ if printed < 1.0 => small,
                    _ if printed < 10.0 => 5e-4,
                    _ => 5e-3,
                };
                close(ours, printed, within * 1.001, key);
            }
            if row["level"].is_f64() {
                garwood += 1
            } else {
                gehrels += 1
            }
        }
    }
    assert_eq!((exact, p_values, garwood, gehrels), (1, 1, 15, 7));
    assert_eq!(rows.len(), 24, "none is left out");
}

/// Source: the definition, with the incomplete gamma function to 40 digits (mpmath). Among them counts and confidences
/// at which a library's quantile was seen to fail.
#[test]
fn limits_are_exact_to_thirteen_digits() {
    for (drops, confidence, low, high) in [
        (0, 0.95, 0.0, 3.6888794541139354),
        (1, 0.95, 0.025317807984289898, 5.571643390938897),
        (1, 0.999998, 1.0000004999735778e-6, 16.688420790888278),
        (3, 0.99, 0.3378633887277334, 10.977477495329765),
        (10, 0.95, 4.795388696132434, 18.39035604201778),
        (10, 0.999999, 1.1810956675443495, 35.38537802347677),
        (30, 0.9, 21.593979226994882, 40.69050759444956),
        (200, 0.95, 173.24088268145733, 229.7219816654499),
        (1000, 0.95, 938.9730184076952, 1063.952136016302),
        (10000, 0.99, 9744.295609572955, 10260.473826873619),
    ] {
        let ours = limits(drops, confidence);
        // 1 − confidence itself is known to 1e-16 only, which matters where it is 1e-6.
        let within = if confidence > 0.9999 { 1e-10 } else { 1e-13 };
        close(ours.0, low, within * low, "low");
        close(ours.1, high, within * high, "high");
    }
}

#[test]
fn a_count_of_zero_has_a_lower_limit_of_zero_and_an_upper_one() {
    let rate = rate_per_min(0, 120.0, 0.95).expect("a rate");
    assert_eq!((rate.per_min, rate.low_per_min), (0.0, 0.0));
    // -ln(0.025) drops over two minutes, from the definition: no drop has chance exp(-mean).
    close(rate.high_per_min, -(0.025_f64.ln()) / 2.0, 1e-14, "high");
    // The rule of three, nearly: -ln(0.05) drops, from the same definition.
    let at_most = rate_at_most_per_min(0, 120.0, 0.95).expect("a rate");
    close(at_most, -(0.05_f64.ln()) / 2.0, 1e-14, "at most");
}

#[test]
fn a_rate_with_no_time_or_no_confidence_is_refused_in_words() {
    for seconds in [0.0, -3.0, f64::NAN, f64::INFINITY, 1e-9, 1e12] {
        let refused = rate_per_min(4, seconds, 0.95).expect_err("no time");
        assert!(matches!(refused, CountingError::NoTime { .. }));
        assert!(refused.to_string().contains("enter the time"), "{refused}");
    }
    for confidence in [0.0, 0.49, 1.0, 1.5, -0.9, f64::NAN] {
        assert!(matches!(
            rate_per_min(4, 60.0, confidence),
            Err(CountingError::Confidence { .. })
        ));
    }
    assert_eq!(
        rate_per_min(MOST_DROPS + 1, 60.0, 0.95),
        Err(CountingError::TooManyDrops {
            drops: MOST_DROPS + 1
        })
    );
}

/// Source: column of the file; ratio and its limits are of the first count's rate over the second's, so the first is
/// the one "after". Covered: cond_p's use, p_less, p_greater, p_two_sided_central, ratio, both limits: 6 of each row.
/// Not covered: p_two_sided_minlike and p_statsmodels_exact_cond, the sum of outcomes no likelier. The interval would
/// not agree with it: it can call a difference shown while the interval still holds a ratio of 1.
#[test]
fn two_counts_compare_as_the_exact_conditional_test_has_it() {
    let file = json("poisson_two_rates.json");
    let mut covered = 0;
    for row in file["rows"].as_array().expect("rows") {
        let count = |drops: &str, seconds: &str| Count {
            drops: number(row, drops) as u32,
            seconds: number(row, seconds),
        };
        let found = compare(count("x2", "t2"), count("x1", "t1"), 0.05).expect("a comparison");
        let interval = row["ci95_exact_central"].as_array().expect("an interval");
        let limit = |i: usize| interval[i].as_f64().expect("a limit");
        for (ours, theirs, what) in [
            (found.p_fell, number(row, "p_less"), "p_less"),
            (found.p_rose, number(row, "p_greater"), "p_greater"),
            (found.p_value, number(row, "p_two_sided_central"), "p"),
            (found.ratio.expect("a ratio"), number(row, "ratio"), "ratio"),
            (found.ratio_low, limit(0), "low"),
            (found.ratio_high.expect("a limit"), limit(1), "high"),
        ] {
            close(ours, theirs, 1e-11 * theirs.max(1e-3), what);
            covered += 1;
        }
        let central = number(row, "p_two_sided_central");
        let expected = match (central <= 0.05, number(row, "ratio") < 1.0) {
            (false, _) => Change::NoDifferenceShown,
            (true, true) => Change::Fell,
            (true, false) => Change::Rose,
        };
        assert_eq!(found.change, expected, "{row}");
    }
    assert_eq!(covered, 9 * 6, "none is left out");
}

/// Source: R's help on poisson.test, printed digits recalled: 0.8584264 to 4.2772659, ratio 1.971488.
#[test]
fn two_counts_compare_to_the_digits_r_prints() {
    let (after, before) = (
        Count {
            drops: 11,
            seconds: 800.0,
        },
        Count {
            drops: 21,
            seconds: 3011.0,
        },
    );
    let found = compare(before, after, 0.05).expect("a comparison");
    close(found.ratio.expect("a ratio"), 1.971488, 5e-7, "ratio");
    close(found.ratio_low, 0.8584264, 5e-8, "low");
    close(found.ratio_high.expect("a limit"), 4.2772659, 5e-8, "high");
}

#[test]
fn no_drop_before_leaves_no_ratio_but_still_a_verdict() {
    let minute = |drops| Count {
        drops,
        seconds: 60.0,
    };
    let found = compare(minute(0), minute(6), 0.05).expect("a comparison");
    assert_eq!((found.ratio, found.ratio_high), (None, None));
    assert_eq!(found.change, Change::Rose, "p is 2/64");
    let none = compare(minute(0), minute(0), 0.05).expect("a comparison");
    assert_eq!(none.change, Change::NoDifferenceShown);
    assert_eq!((none.p_value, none.ratio, none.ratio_low), (1.0, None, 0.0));
}

#[test]
fn a_comparison_without_time_or_level_is_refused() {
    let minute = Count {
        drops: 3,
        seconds: 60.0,
    };
    let timeless = Count {
        drops: 3,
        seconds: 0.0,
    };
    assert_eq!(
        compare(minute, timeless, 0.05),
        Err(CountingError::NoTime { seconds: 0.0 })
    );
    for level in [0.0, -0.1, 0.6, 1.0, f64::NAN] {
        assert!(matches!(
            compare(minute, minute, level),
            Err(CountingError::ErrorRate { .. })
        ));
    }
}

#[test]
fn a_stream_in_a_cup_has_a_rate_as_close_as_the_cup_is_read() {
    let stream = stream_ml_per_min(30.0, 2.0, 20.0).expect("a rate");
    assert_eq!(
        (
            stream.ml_per_min,
            stream.low_ml_per_min,
            stream.high_ml_per_min
        ),
        (90.0, 84.0, 96.0)
    );
    let trace = stream_ml_per_min(1.0, 2.0, 60.0).expect("a rate");
    assert_eq!((trace.low_ml_per_min, trace.high_ml_per_min), (0.0, 3.0));
    for (ml, within) in [
        (-1.0, 0.0),
        (f64::NAN, 1.0),
        (f64::INFINITY, 1.0),
        (5.0, -1.0),
        (5.0, f64::NAN),
    ] {
        assert!(matches!(
            stream_ml_per_min(ml, within, 60.0),
            Err(CountingError::Volume { .. })
        ));
    }
    assert_eq!(
        stream_ml_per_min(5.0, 1.0, 0.0),
        Err(CountingError::NoTime { seconds: 0.0 })
    );
}

/// Source: column of the file. The two columns are each rounded, drops per mL to as little as 1 in 3300.
#[test]
fn drops_become_volume_by_every_stated_convention() {
    let text = reference("drop_volume_conventions.csv");
    let mut covered = 0;
    for row in csv::Reader::from_reader(text.as_bytes()).records() {
        let row = row.expect("a row");
        let cell = |i: usize| row[i].parse::<f64>().expect("a number");
        let ml = drops_to_ml_per_min(1.0, Some(cell(1))).expect("a volume");
        close(ml, cell(2), 3e-4 * cell(2), &row[0]);
        let drops = ml_to_drops_per_min(cell(2), Some(cell(1))).expect("drops");
        close(drops, 1.0, 3e-4, &row[0]);
        covered += 1;
    }
    assert_eq!(covered, 8, "none is left out");
}

#[test]
fn drops_without_the_plants_convention_are_no_volume_and_the_error_names_it() {
    let refused = drops_to_ml_per_min(30.0, None).expect_err("no convention");
    assert_eq!(refused, CountingError::NoDropVolume);
    assert!(refused.to_string().contains("drops_per_ml"), "{refused}");
    assert_eq!(
        ml_to_drops_per_min(30.0, None),
        Err(CountingError::NoDropVolume)
    );
    for drops_per_ml in [0.0, -20.0, f64::NAN, f64::INFINITY, 1e6] {
        assert!(matches!(
            drops_to_ml_per_min(30.0, Some(drops_per_ml)),
            Err(CountingError::DropVolume { .. })
        ));
    }
    for per_min in [-1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(
            drops_to_ml_per_min(per_min, Some(20.0)),
            Err(CountingError::NotARate { .. })
        ));
    }
}

/// Poisson probabilities summed one by one: another way than the code's.
fn poisson_at_most_summed(drops: u32, mean: f64) -> f64 {
    let mut term = (-mean).exp();
    let mut sum = term;
    for n in 1..=drops {
        term *= mean / f64::from(n);
        sum += term;
    }
    sum
}

proptest! {
    #[test]
    fn each_limit_gainsays_the_count_with_just_the_tail_left(
        drops in 0_u32..300, seconds in 1.0_f64..1000.0, confidence in 0.5_f64..0.9999,
    ) {
        let rate = rate_per_min(drops, seconds, confidence).expect("a rate");
        let tail = (1.0 - confidence) / 2.0;
        let at_high = poisson_at_most_summed(drops, rate.high_per_min * seconds / 60.0);
        prop_assert!((at_high / tail - 1.0).abs() < 1e-9, "{at_high} {tail}");
        if drops > 0 {
            let at_low = 1.0 - poisson_at_most_summed(drops - 1, rate.low_per_min * seconds / 60.0);
            prop_assert!((at_low - tail).abs() < 1e-12, "{at_low} {tail}");
        }
        prop_assert!(rate.low_per_min <= rate.per_min && rate.per_min < rate.high_per_min);
    }

    #[test]
    fn no_count_gives_a_number_that_is_none(
        drops in 0..=MOST_DROPS, seconds in -1.0_f64..1e9, confidence in 0.4_f64..1.0,
        other in 0..=MOST_DROPS, other_seconds in prop::sample::select(vec![0.001, 1.0, 60.0, 1e8]),
    ) {
        if let Ok(rate) = rate_per_min(drops, seconds, confidence) {
            prop_assert!([rate.per_min, rate.low_per_min, rate.high_per_min].iter().all(|x| x.is_finite()));
        }
        let (before, after) = (Count { drops, seconds }, Count { drops: other, seconds: other_seconds });
        if let Ok(found) = compare(before, after, (1.0 - confidence).max(1e-9)) {
            let numbers = [found.p_value, found.p_fell, found.p_rose, found.ratio_low];
            prop_assert!(numbers.iter().all(|x| x.is_finite()), "{found:?}");
            prop_assert!(found.ratio.is_none_or(f64::is_finite), "{found:?}");
            prop_assert!(found.ratio_high.is_none_or(f64::is_finite), "{found:?}");
        }
    }

    #[test]
    fn before_and_after_changed_over_turn_the_verdict_and_the_ratio_over(
        x in 0_u32..200, y in 0_u32..200, tx in 5.0_f64..300.0, ty in 5.0_f64..300.0,
    ) {
        let (one, other) = (Count { drops: x, seconds: tx }, Count { drops: y, seconds: ty });
        let there = compare(one, other, 0.05).expect("a comparison");
        let back = compare(other, one, 0.05).expect("a comparison");
        let turned = match there.change {
            Change::Fell => Change::Rose,
            Change::Rose => Change::Fell,
            Change::NoDifferenceShown => Change::NoDifferenceShown,
        };
        prop_assert_eq!(back.change, turned);
        prop_assert_eq!((there.p_fell, there.p_rose), (back.p_rose, back.p_fell));
        if let Some(high) = there.ratio_high && back.ratio_low > 0.0 {
            prop_assert!((high * back.ratio_low - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn the_interval_leaves_out_a_ratio_of_one_just_where_a_difference_is_shown(
        x in 0_u32..200, y in 0_u32..200, tx in 5.0_f64..300.0, ty in 5.0_f64..300.0,
    ) {
        let (before, after) = (Count { drops: x, seconds: tx }, Count { drops: y, seconds: ty });
        let found = compare(before, after, 0.05).expect("a comparison");
        let leaves_out = found.ratio_low > 1.0 || found.ratio_high.is_some_and(|high| high < 1.0);
        prop_assert_eq!(leaves_out, found.change != Change::NoDifferenceShown, "{:?}", found);
    }
}
