//! What charts refuse, and what holds for every row of values.

use super::*;
use proptest::prelude::*;

#[test]
fn values_that_are_all_equal_are_refused_in_words() {
    let equal = Baseline {
        location: 61.0,
        scale: 0.0,
    };
    let none = ChartError::NoScatter { location: 61.0 };
    assert_eq!(
        ewma(&[61.0; 9], equal, &EwmaDesign::PUBLISHED[2]),
        Err(none)
    );
    assert_eq!(
        cusum(&[61.0; 9], equal, &CusumDesign::PUBLISHED[0]),
        Err(none)
    );
    assert!(none.to_string().contains("finer gauge"), "{none}");
}

#[test]
fn equal_values_about_a_good_baseline_are_charted() {
    let baseline = Baseline {
        location: 60.0,
        scale: 1.0,
    };
    let on = cusum(&[60.0; 50], baseline, &CusumDesign::PUBLISHED[0]).expect("a chart");
    assert_eq!(on.signal, None);
    let off = cusum(&[61.0; 50], baseline, &CusumDesign::PUBLISHED[0]).expect("a chart");
    // Half a scale more each time: above 4 at the ninth value.
    assert_eq!(
        off.signal,
        Some(Signal {
            index: 8,
            direction: Direction::Up,
            start: 0
        })
    );
}

#[test]
fn a_row_without_values_has_no_points_and_no_call() {
    let baseline = Baseline {
        location: 60.0,
        scale: 1.0,
    };
    let chart = ewma(&[], baseline, &EwmaDesign::PUBLISHED[2]).expect("a chart");
    assert!(chart.points.is_empty() && chart.signal.is_none());
    let chart = cusum(&[], baseline, &CusumDesign::PUBLISHED[0]).expect("a chart");
    assert!(chart.points.is_empty() && chart.signal.is_none());
}

#[test]
fn what_is_no_number_is_refused_by_its_place() {
    let baseline = Baseline {
        location: 60.0,
        scale: 1.0,
    };
    for bad in [f64::NAN, f64::INFINITY, -1e200] {
        let values = [60.0, bad];
        assert!(matches!(
            ewma(&values, baseline, &EwmaDesign::PUBLISHED[2]),
            Err(ChartError::Value { index: 1, .. })
        ));
        assert!(matches!(
            cusum(&values, baseline, &CusumDesign::PUBLISHED[0]),
            Err(ChartError::Value { index: 1, .. })
        ));
        for baseline in [
            Baseline {
                location: bad,
                scale: 1.0,
            },
            Baseline {
                location: 60.0,
                scale: bad,
            },
            Baseline {
                location: 60.0,
                scale: -1.0,
            },
        ] {
            assert!(matches!(
                cusum(&[60.0], baseline, &CusumDesign::PUBLISHED[0]),
                Err(ChartError::Baseline { .. })
            ));
        }
    }
    let up = PoissonCusumDesign::from_rates(10.0, 20.0, 100.0).expect("a design");
    assert_eq!(
        poisson_cusum(&[leak_off(3, 60.0), leak_off(3, 0.0)], &up),
        Err(ChartError::Count {
            index: 1,
            source: CountingError::NoTime { seconds: 0.0 }
        })
    );
}

#[test]
fn a_design_out_of_range_is_refused() {
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(
            EwmaDesign::new(bad, 3.0, Limits::Steady),
            Err(ChartError::Weight { .. })
        ));
        assert!(matches!(
            EwmaDesign::new(0.1, bad, Limits::Steady),
            Err(ChartError::DesignValue { .. })
        ));
        assert!(matches!(
            CusumDesign::new(bad, 4.0),
            Err(ChartError::DesignValue { .. })
        ));
        assert!(matches!(
            CusumDesign::new(0.5, bad),
            Err(ChartError::DesignValue { .. })
        ));
        assert!(matches!(
            PoissonCusumDesign::new(Direction::Up, bad, 5.0),
            Err(ChartError::DesignValue { .. })
        ));
        assert!(matches!(
            PoissonCusumDesign::from_rates(bad, 5.0, 100.0),
            Err(ChartError::Rates { .. })
        ));
        assert!(matches!(
            PoissonCusumDesign::from_rates(5.0, bad, 100.0),
            Err(ChartError::Rates { .. })
        ));
        assert!(matches!(
            PoissonCusumDesign::from_rates(5.0, 10.0, bad),
            Err(ChartError::RunLength { .. })
        ));
    }
    assert!(matches!(
        PoissonCusumDesign::from_rates(5.0, 5.0, 100.0),
        Err(ChartError::Rates { .. })
    ));
}

proptest! {
    #[test]
    fn a_change_of_units_changes_no_call(
        values in prop::collection::vec(-4.0_f64..6.0, 0..80), by in 0.1_f64..50.0, offset in -100.0_f64..100.0,
    ) {
        let one = Baseline { location: 0.0, scale: 1.0 };
        let other = Baseline { location: offset, scale: by };
        let converted: Vec<f64> = values.iter().map(|x| offset + by * x).collect();
        let here = cusum(&values, one, &CusumDesign::PUBLISHED[0]).expect("a chart").signal;
        let there = cusum(&converted, other, &CusumDesign::PUBLISHED[0]).expect("a chart").signal;
        prop_assert_eq!(here.map(|s| (s.index, s.direction)), there.map(|s| (s.index, s.direction)));
        let here = ewma(&values, one, &EwmaDesign::PUBLISHED[2]).expect("a chart").signal;
        let there = ewma(&converted, other, &EwmaDesign::PUBLISHED[2]).expect("a chart").signal;
        prop_assert_eq!(here.map(|s| (s.index, s.direction)), there.map(|s| (s.index, s.direction)));
    }

    #[test]
    fn values_turned_over_turn_the_call_over(values in prop::collection::vec(-4.0_f64..6.0, 0..80)) {
        let baseline = Baseline { location: 0.0, scale: 1.0 };
        let over: Vec<f64> = values.iter().map(|x| -x).collect();
        let turn = |signal: Option<Signal>| signal.map(|s| Signal {
            direction: if s.direction == Direction::Up { Direction::Down } else { Direction::Up },
            ..s
        });
        let design = &CusumDesign::PUBLISHED[0];
        let (here, there) = (cusum(&values, baseline, design), cusum(&over, baseline, design));
        prop_assert_eq!(turn(here.expect("a chart").signal), there.expect("a chart").signal);
        let design = &EwmaDesign::PUBLISHED[2];
        let (here, there) = (ewma(&values, baseline, design), ewma(&over, baseline, design));
        prop_assert_eq!(turn(here.expect("a chart").signal), there.expect("a chart").signal);
    }

    #[test]
    fn a_run_begins_no_later_than_its_call_and_no_number_is_none(
        values in prop::collection::vec(any::<f64>(), 0..30), location in any::<f64>(), scale in any::<f64>(),
        counts in prop::collection::vec((0_u32..20_000, 0.0_f64..1e9), 0..30),
    ) {
        let baseline = Baseline { location, scale };
        if let Ok(chart) = ewma(&values, baseline, &EwmaDesign::PUBLISHED[0]) {
            prop_assert!(chart.points.iter().all(|p| p.average.is_finite() && p.half_width.is_finite()));
            prop_assert!(chart.signal.is_none_or(|s| s.start <= s.index && s.index < values.len()));
        }
        if let Ok(chart) = cusum(&values, baseline, &CusumDesign::PUBLISHED[0]) {
            prop_assert!(chart.points.iter().all(|p| p.up.is_finite() && p.down.is_finite()));
            prop_assert!(chart.signal.is_none_or(|s| s.start <= s.index && s.index < values.len()));
        }
        let counts: Vec<Count> = counts.into_iter().map(|(drops, seconds)| leak_off(drops, seconds)).collect();
        let design = PoissonCusumDesign::from_rates(10.0, 2.0, 500.0).expect("a design");
        if let Ok(chart) = poisson_cusum(&counts, &design) {
            prop_assert!(chart.sums_drops.iter().all(|sum| sum.is_finite()));
            prop_assert!(chart.signal.is_none_or(|s| s.start <= s.index && s.index < counts.len()));
        }
    }
}
