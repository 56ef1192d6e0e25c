//! What is usual for a check, and the limits proposed from it.

mod statistics_trend_support;

use lantern_ring::statistics::trend::{
    Baseline, Reading, ScoreBasis, Series, Sigmas, TrendError, Window, baselines_by_state,
    propose_limits,
};
use statistics_trend_support::Sequence;

/// Looked at on the day of the last entry.
fn daily(values: &[f64]) -> Series {
    Series::new(
        (0..).map(f64::from).zip(values.iter().copied()),
        (values.len() - 1) as f64,
    )
    .unwrap()
}

#[test]
fn each_running_state_has_its_own_usual() {
    let readings: Vec<Reading<&str>> = (0..20)
        .map(|i| Reading {
            value: if i % 2 == 0 { 50.0 } else { 25.0 } + f64::from(i % 3),
            state: if i % 2 == 0 { "running" } else { "standby" },
            ambient: None,
        })
        .chain([Reading {
            value: 33.0,
            state: "being started",
            ambient: None,
        }])
        .collect();
    let usual = baselines_by_state(&readings);
    assert_eq!(usual.len(), 3);
    let running = usual["running"].as_ref().unwrap();
    assert_eq!((running.plain.centre, running.plain.entries), (51.0, 10));
    assert_eq!(usual["standby"].as_ref().unwrap().plain.centre, 26.0);
    assert!(matches!(
        usual["being started"],
        Err(TrendError::TooFew {
            have: 1,
            need: 5,
            ..
        })
    ));
}

#[test]
fn a_hot_day_is_told_from_a_hot_bearing() {
    let mut random = Sequence::new(9);
    let readings: Vec<(f64, Option<f64>)> = (0..60)
        .map(|_| {
            let ambient = 5.0 + 30.0 * random.unit();
            (30.0 + 0.9 * ambient + 0.5 * random.normal(), Some(ambient))
        })
        .collect();
    let usual = Baseline::of(&readings).unwrap();
    let line = usual.ambient.unwrap();
    assert!((line.slope - 0.9).abs() < 0.05, "{line:?}");
    assert_eq!(line.rest.entries, 60);
    let hot_day = usual.score(30.0 + 0.9 * 34.0, Some(34.0)).unwrap();
    assert_eq!(hot_day.basis, ScoreBasis::Ambient);
    assert!(hot_day.sigmas.abs() < 3.0);
    let hot_bearing = usual.score(30.0 + 0.9 * 34.0, Some(10.0)).unwrap();
    assert!(hot_bearing.sigmas > 10.0);
    let unseen = usual.score(60.0, Some(45.0)).unwrap();
    assert_eq!(
        unseen.basis,
        ScoreBasis::Plain,
        "the line is not carried on"
    );
    assert_eq!(usual.score(60.0, None).unwrap().basis, ScoreBasis::Plain);
    assert_eq!(usual.score(f64::NAN, None), None);
}

#[test]
fn a_baseline_without_spread_gives_no_score() {
    let usual = Baseline::of(&[(5.0, Some(20.0)); 15]).unwrap();
    assert_eq!((usual.plain.sigma, usual.ambient), (0.0, None));
    assert_eq!(usual.score(5.0, None), None);
    assert_eq!(usual.score(6.0, Some(20.0)), None);
    assert!(Baseline::of(&[(5.0, Some(f64::NAN)); 15]).is_err());
}

#[test]
fn limits_are_proposed_from_enough_entries_that_differ() {
    let way = Sigmas {
        watch: 3.0,
        act: 5.0,
    };
    // 0 to 40: median 20, median deviation 10, so 14.826 a sigma.
    let values: Vec<f64> = (0..41).map(|i| f64::from(i * 17 % 41)).collect();
    let proposal = propose_limits(&daily(&values), Window::Whole, way).unwrap();
    assert_eq!((proposal.target, proposal.entries), (20.0, 41));
    assert!((proposal.high_watch - (20.0 + 3.0 * 14.826_022)).abs() < 1e-5);
    assert!((proposal.low_act - (20.0 - 5.0 * 14.826_022)).abs() < 1e-5);
    assert_eq!((proposal.from_day, proposal.to_day), (0.0, 40.0));
    assert!(!proposal.is_drifting);
    let few = propose_limits(&daily(&values[..29]), Window::Whole, way).unwrap_err();
    assert_eq!(
        few.to_string(),
        "A proposal for limits needs at least 30 entries; there are 29. Make more entries."
    );
    let flat = propose_limits(&daily(&[5.0; 40]), Window::Whole, way);
    assert_eq!(flat, Err(TrendError::NoSpread));
    let rising: Vec<f64> = (0..41).map(f64::from).collect();
    assert!(
        propose_limits(&daily(&rising), Window::Whole, way)
            .unwrap()
            .is_drifting
    );
}

#[test]
fn act_limits_lie_farther_out_than_watch_limits() {
    let values: Vec<f64> = (0..=200).map(|i| f64::from(i * 83 % 201)).collect();
    for (watch, act) in [(5.0, 3.0), (3.0, 3.0), (0.0, 1.0), (3.0, f64::NAN)] {
        let refused = propose_limits(&daily(&values), Window::Whole, Sigmas { watch, act });
        assert!(matches!(refused, Err(TrendError::BadArgument { .. })));
    }
}
