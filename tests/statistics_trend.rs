//! Baselines, slopes, tests and projections against published values, plain computations and their own laws.

mod statistics_trend_support;

use lantern_ring::statistics::trend::{
    Direction, MAD_TO_SIGMA, Series, TrendError, mad, mann_kendall, median, spread, theil_sen,
};
use proptest::prelude::*;
use statistics_trend_support::{Sequence, naive_slopes, reference, series};

/// Relative to the larger of the two, or absolute below 1.
fn near(found: f64, wanted: f64, tolerance: f64) -> bool {
    (found - wanted).abs() <= tolerance * wanted.abs().max(1.0)
}

#[track_caller]
fn assert_near(what: &str, found: f64, wanted: f64, tolerance: f64) {
    assert!(
        near(found, wanted, tolerance),
        "{what}: {found}, wanted {wanted} within {tolerance}"
    );
}

/// `tests/data/reference/trend_theilsen_mannkendall.json`; each of its data sets names its source. Not covered there:
/// - `theil_sen_intercept_separate` (and the published one of Sen's example): our line is the one whose residuals have
///   median zero, `theil_sen_intercept_joint`;
/// - `kendall_p_scipy`: exact for short series without ties and without continuity correction otherwise; ours is
///   Mann–Kendall's with the correction, the row `mk_p_two_sided`;
/// - `sen_slope` and `intercept` of `mk_pymannkendall`: it takes the place in the row for the time;
/// - `q1`, `q3`: nothing at the pump asks for quartiles;
/// - `mean`, `sd_n_1`: a single wild entry moves them, so nothing here uses them.
#[test]
fn every_covered_reference_value_comes_out() {
    let sets = reference();
    assert_eq!(sets.len(), 8);
    let mut values = 0;
    for set in &sets {
        let mut check = |field: &str, found: f64, tolerance: f64| {
            assert_near(
                &format!("{}, {field} ({})", set.name, set.source),
                found,
                set.number(field),
                tolerance,
            );
            values += 1;
        };
        let series = series(&set.x, &set.y);
        let line = theil_sen(&series, set.confidence).unwrap();
        check("theil_sen_slope", line.slope_per_day, 1e-12);
        check("theil_sen_intercept_joint", line.intercept, 1e-12);
        check("slope_ci/0", line.slope_low_per_day, 1e-12);
        check("slope_ci/1", line.slope_high_per_day, 1e-12);
        let test = mann_kendall(&series).unwrap();
        check("mk_S", test.s as f64, 0.0);
        check("mk_varS", test.variance, 1e-12);
        check("mk_z", test.z, 1e-12);
        check("mk_p_two_sided", test.p_two_sided, 1e-10);
        check("kendall_tau_b", test.tau_b, 1e-12);
        check("mk_pymannkendall/S", test.s as f64, 0.0);
        check("mk_pymannkendall/var", test.variance, 1e-12);
        check("mk_pymannkendall/z", test.z, 1e-12);
        check("mk_pymannkendall/p", test.p_two_sided, 1e-10);
        let n = set.y.len() as f64;
        check(
            "mk_pymannkendall/tau",
            test.s as f64 / (n * (n - 1.0) / 2.0),
            1e-12,
        );
        check("median", median(&set.y).unwrap(), 1e-12);
        check("mad_raw", mad(&set.y).unwrap(), 1e-12);
        check("mad_scaled_1_4826", spread(&set.y).unwrap().sigma, 1e-12);
        let word = match test.direction(0.95) {
            Direction::Rising => "increasing",
            Direction::Falling => "decreasing",
            Direction::NoTrend | Direction::EqualThroughout => "no trend",
        };
        assert_eq!(word, set.text("mk_pymannkendall/trend"), "{}", set.name);
        values += 1;
    }
    assert_eq!(values, 8 * 18);
}

#[test]
fn the_slope_and_interval_printed_by_sen_come_out() {
    // Sen (1968), JASA 63:1379, worked example, printed to two decimals; the row `published` of the reference file.
    let set = &reference()[0];
    let line = theil_sen(&series(&set.x, &set.y), set.confidence).unwrap();
    assert_eq!(line.slope_per_day, set.number("published/slope"));
    assert_near(
        "low",
        line.slope_low_per_day,
        set.number("published/ci93/0"),
        0.005 / 3.71,
    );
    assert_near(
        "high",
        line.slope_high_per_day,
        set.number("published/ci93/1"),
        0.005 / 4.38 + 1e-12,
    );
    assert_eq!(line.intercept, set.number("published/intercept_joint"));
}

#[test]
fn the_factor_of_the_median_absolute_deviation_is_that_of_the_normal_distribution() {
    // 0.6744897501960817 = Φ⁻¹(3/4), as in scipy 1.17.1 median_abs_deviation(scale="normal").
    assert_near("factor", MAD_TO_SIGMA, 1.0 / 0.674_489_750_196_081_7, 1e-15);
}

#[test]
fn a_history_of_one_entry_is_told_how_many_are_needed() {
    let one = series(&[3.0], &[7.0]);
    let too_few = theil_sen(&one, 0.95).unwrap_err();
    assert_eq!(
        too_few,
        TrendError::TooFew {
            what: "A slope",
            have: 1,
            need: 2
        }
    );
    assert_eq!(
        too_few.to_string(),
        "A slope needs at least 2 entries; there are 1. Make more entries."
    );
    assert!(matches!(
        mann_kendall(&one),
        Err(TrendError::TooFew {
            have: 1,
            need: 5,
            ..
        })
    ));
}

#[test]
fn equal_values_throughout_have_no_slope_and_say_so() {
    let x: Vec<f64> = (0..400).map(f64::from).collect();
    for n in [5, 400] {
        let flat = series(&x[..n], &vec![5.0; n]);
        let line = theil_sen(&flat, 0.95).unwrap();
        assert_eq!(
            (
                line.slope_per_day,
                line.slope_low_per_day,
                line.slope_high_per_day,
                line.intercept
            ),
            (0.0, 0.0, 0.0, 5.0)
        );
        let test = mann_kendall(&flat).unwrap();
        assert_eq!(test.direction(0.95), Direction::EqualThroughout);
        assert_eq!(
            (test.z, test.p_two_sided, test.tau_b, test.gamma),
            (0.0, 1.0, 0.0, 0.0)
        );
    }
}

#[test]
fn entries_all_at_one_time_show_no_slope() {
    let heaped = series(&[2.0; 6], &[1.0, 2.0, 3.0, 4.0, 5.0, 6.0]);
    assert_eq!(theil_sen(&heaped, 0.95), Err(TrendError::OneMoment));
    assert_eq!(mann_kendall(&heaped), Err(TrendError::OneMoment));
}

#[test]
fn two_entries_at_one_time_are_both_kept_and_give_no_slope_between_them() {
    let doubled = series(&[0.0, 1.0, 1.0, 2.0], &[0.0, 1.0, 5.0, 2.0]);
    assert_eq!(doubled.len(), 4);
    let line = theil_sen(&doubled, 0.95).unwrap();
    // Slopes 1, 5, 1, 1, −3: median 1.
    assert_eq!(line.slope_per_day, 1.0);
    assert_eq!(line.entries, 4);
}

#[test]
fn order_of_entry_does_not_matter_and_the_future_is_set_aside() {
    let entries = [(3.0, 9.0), (1.0, 4.0), (99.0, 1.0), (2.0, 6.0)];
    let series = Series::new(entries, 10.0).unwrap();
    let days: Vec<f64> = series.points().iter().map(|point| point.at_day).collect();
    assert_eq!(days, [1.0, 2.0, 3.0]);
    assert_eq!(series.in_future(), 1);
}

#[test]
fn what_is_not_a_usable_number_is_refused_with_its_place() {
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e101] {
        let value = Series::new([(0.0, 1.0), (1.0, bad)], 10.0).unwrap_err();
        assert_eq!(
            value.to_string(),
            "Entry 2: its value is not a usable number. Correct or leave out that entry."
        );
        let time = Series::new([(bad, 1.0)], 10.0).unwrap_err();
        assert!(matches!(
            time,
            TrendError::NotUsable {
                entry: 1,
                what: "time"
            }
        ));
        assert!(Series::new([(0.0, 1.0)], bad).is_err());
        assert!(median(&[bad]).is_err());
    }
    for confidence in [0.0, 1.0, -1.0, f64::NAN] {
        let line = theil_sen(&series(&[0.0, 1.0], &[0.0, 1.0]), confidence);
        assert!(matches!(line, Err(TrendError::BadConfidence { .. })));
    }
}

/// Slope and interval as all pairs sorted give them, in the ranks `at_ranks` was asked for.
fn assert_as_naive(x: &[f64], y: &[f64]) {
    let sorted = naive_slopes(x, y);
    let line = theil_sen(&series(x, y), 0.95).unwrap();
    // The search takes slopes nearer than 4e-9 of the usual slope for equal; what it gives is one of them.
    let usual = spread(y).unwrap().sigma
        / (x.iter().copied().fold(f64::MIN, f64::max) - x.iter().copied().fold(f64::MAX, f64::min));
    let n = sorted.len();
    let (low, high) = statistics_trend_support::naive_interval(x, y, &sorted);
    for (found, wanted) in [
        (
            line.slope_per_day,
            (sorted[(n - 1) / 2] + sorted[n / 2]) / 2.0,
        ),
        (line.slope_low_per_day, low),
        (line.slope_high_per_day, high),
    ] {
        assert!(
            (found - wanted).abs() <= 4e-9 * (usual + wanted.abs()),
            "{found}, but all pairs give {wanted}"
        );
    }
}

#[test]
fn long_series_give_the_slopes_that_all_pairs_give() {
    let mut random = Sequence::new(7);
    for n in [257, 300, 900] {
        let x: Vec<f64> = (0..n).map(|i| i as f64 / 3.0).collect();
        let irregular: Vec<f64> = (0..n).map(|_| random.unit() * 900.0).collect();
        let noise: Vec<f64> = (0..n).map(|_| random.normal()).collect();
        let rising: Vec<f64> = (0..n).map(|i| 0.01 * i as f64 + noise[i]).collect();
        let gauge: Vec<f64> = rising.iter().map(|v| (v * 2.0).round() / 2.0).collect();
        let mostly_equal: Vec<f64> = noise.iter().map(|v| v.max(1.0)).collect();
        let wild: Vec<f64> = noise.iter().map(|v| 1.0 / (v * v * v)).collect();
        let exact: Vec<f64> = x.iter().map(|x| 0.1 * x - 3.0).collect();
        let two_days: Vec<f64> = (0..n).map(|i| (i % 2) as f64).collect();
        for y in [&noise, &rising, &gauge, &mostly_equal, &wild, &exact] {
            assert_as_naive(&x, y);
            assert_as_naive(&irregular, y);
            assert_as_naive(&two_days, y);
        }
    }
}

#[test]
fn a_median_between_two_heaps_of_slopes_is_their_mean() {
    // 210 zeros and then 190 ones: of 79,800 slopes exactly half, 39,900, are zero, and the next is 1/399.
    let x: Vec<f64> = (0..400).map(f64::from).collect();
    let y: Vec<f64> = x.iter().map(|x| f64::from(*x >= 210.0)).collect();
    let line = theil_sen(&series(&x, &y), 0.95).unwrap();
    assert!((line.slope_per_day - 0.5 / 399.0).abs() < 1e-9 / 399.0);
    assert_as_naive(&x, &y);
}

#[test]
fn one_entry_gone_wild_does_not_blur_the_slope_of_many() {
    let mut random = Sequence::new(21);
    let x: Vec<f64> = (0..600).map(f64::from).collect();
    let mut y: Vec<f64> = x
        .iter()
        .map(|x| 40.0 + 0.01 * x + random.normal())
        .collect();
    let before = theil_sen(&series(&x, &y), 0.95).unwrap();
    y[300] = 1e15;
    assert_as_naive(&x, &y);
    let after = theil_sen(&series(&x, &y), 0.95).unwrap();
    assert!((after.slope_per_day - before.slope_per_day).abs() < 1e-4);
}

#[test]
fn counting_up_and_down_moves_is_what_all_pairs_give() {
    let mut random = Sequence::new(11);
    for n in [5, 17, 64, 333] {
        let x: Vec<f64> = (0..n).map(|_| (random.unit() * 40.0).floor()).collect();
        let y: Vec<f64> = (0..n).map(|_| (random.unit() * 9.0).floor()).collect();
        let (mut s, mut moved) = (0, 0);
        for i in 0..n {
            for j in 0..n {
                let product = (y[j] - y[i]) * (x[j] - x[i]);
                if i < j && product != 0.0 {
                    s += product.signum() as i64;
                    moved += 1;
                }
            }
        }
        let test = mann_kendall(&series(&x, &y)).unwrap();
        assert_eq!(test.s, s);
        assert_near("gamma", test.gamma, s as f64 / moved as f64, 1e-12);
    }
}

/// Entries on a lattice, as gauges give them, so that shifts and scales by powers of two are exact.
fn lattice(entries: std::ops::Range<usize>) -> impl Strategy<Value = Vec<(f64, f64)>> {
    prop::collection::vec((0u32..4000, -400i32..400), entries).prop_map(|entries| {
        entries
            .into_iter()
            .map(|(x, y)| (f64::from(x) / 8.0, f64::from(y) / 4.0))
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn the_line_follows_a_shift_scale_and_change_of_time(
        entries in prop_oneof![lattice(6..40), lattice(257..400)],
        up in -100i32..100, times in prop::sample::select(vec![0.25, 0.5, 2.0, 8.0, -1.0, -4.0]),
        later in -100i32..100, slower in prop::sample::select(vec![0.5, 2.0, 4.0]),
        tilt in -16i32..16,
    ) {
        let days = |entries: &[(f64, f64)]| Series::new(entries.iter().copied(), 1e6).unwrap();
        let plain = days(&entries);
        prop_assume!(plain.period_days() > 0.0);
        let line = theil_sen(&plain, 0.95).unwrap();
        let (up, later, tilt) = (f64::from(up) / 4.0, f64::from(later), f64::from(tilt) / 8.0);
        let moved: Vec<_> = entries
            .iter()
            .map(|(x, y)| (slower * x + later, times * y + tilt * x + up))
            .collect();
        let moved = theil_sen(&days(&moved), 0.95).unwrap();
        let follow = |slope: f64| (times * slope + tilt) / slower;
        let scale = 1e-7 * (1.0 + line.slope_per_day.abs() * times.abs());
        prop_assert!((moved.slope_per_day - follow(line.slope_per_day)).abs() < scale);
        let (low, high) = if times > 0.0 {
            (line.slope_low_per_day, line.slope_high_per_day)
        } else {
            (line.slope_high_per_day, line.slope_low_per_day)
        };
        // Turning values upside down mirrors the ranks of the interval only up to one, as scipy rounds them; and a
        // tilt changes which values are equal, which the interval is corrected for.
        if times > 0.0 && tilt == 0.0 {
            prop_assert!((moved.slope_low_per_day - follow(low)).abs() < 1e-7 * (1.0 + low.abs() * times));
            prop_assert!((moved.slope_high_per_day - follow(high)).abs() < 1e-7 * (1.0 + high.abs() * times));
        }
        let at = 123.0;
        let expected = times * line.value_at(at) + tilt * at + up;
        prop_assert!((moved.value_at(slower * at + later) - expected).abs() < 1e-4);
    }

    #[test]
    fn the_test_only_sees_order(entries in lattice(6..80)) {
        let days = |entries: Vec<(f64, f64)>| Series::new(entries, 1e6).unwrap();
        prop_assume!(days(entries.clone()).period_days() > 0.0);
        let plain = mann_kendall(&days(entries.clone())).unwrap();
        let cubed: Vec<_> = entries.iter().map(|(x, y)| (x * x, y * y * y)).collect();
        prop_assert_eq!(plain, mann_kendall(&days(cubed)).unwrap());
        let turned: Vec<_> = entries.iter().map(|(x, y)| (*x, -y)).collect();
        let turned = mann_kendall(&days(turned)).unwrap();
        prop_assert_eq!((plain.s, plain.z), (-turned.s, -turned.z));
    }

    #[test]
    fn the_interval_holds_the_slope_and_nothing_is_ever_infinite(
        entries in prop::collection::vec((-1e7f64..1e7, -1e100f64..1e100), 5..300),
    ) {
        let series = Series::new(entries, 1e7).unwrap();
        let line = theil_sen(&series, 0.95).unwrap();
        prop_assert!(line.slope_low_per_day <= line.slope_per_day);
        prop_assert!(line.slope_per_day <= line.slope_high_per_day);
        prop_assert!(line.intercept.is_finite() && line.slope_high_per_day.is_finite());
        let test = mann_kendall(&series).unwrap();
        prop_assert!((0.0..=1.0).contains(&test.p_two_sided));
    }
}
