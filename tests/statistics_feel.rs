//! What was felt: order only; and degrees only where a thermometer was taken along often enough.

mod statistics_trend_support;

use lantern_ring::statistics::{
    feel::{FEWEST_PAIRS, FeelError, Felt, FeltAndMeasured, calibrate, isotonic, look_at_feel},
    trend::{Direction, TrendError},
};
use proptest::prelude::*;
use statistics_trend_support::Sequence;

const STEPS: u8 = 5;

fn felt(steps: &[u8]) -> Vec<Felt> {
    (0..)
        .map(f64::from)
        .zip(steps)
        .map(|(at_day, step)| Felt {
            at_day,
            step: *step,
        })
        .collect()
}

#[test]
fn gamma_of_a_published_table_comes_out() {
    // Agresti, Categorical Data Analysis, 2nd ed., 2.4.5, income against job satisfaction: 1331 concordant and 849
    // discordant pairs, gamma 0.221. From memory; the counts are reproduced here.
    let table = [[1, 3, 10, 6], [2, 3, 10, 7], [1, 6, 14, 12], [0, 1, 9, 11]];
    let mut entries = Vec::new();
    for (row, at_day) in table.iter().zip([0.0, 1.0, 2.0, 3.0]) {
        for (count, step) in row.iter().zip(0u8..) {
            entries.extend((0..*count).map(|_| Felt { at_day, step }));
        }
    }
    let look = look_at_feel(&entries, 4, 9.0, 0.95).unwrap();
    let test = look.test.unwrap();
    assert_eq!(test.s, 1331 - 849);
    assert!((test.gamma - 482.0 / 2180.0).abs() < 1e-15);
    assert!((test.gamma - 0.221).abs() < 5e-4);
}

#[test]
fn steps_that_rise_are_told_as_rising() {
    let rising = felt(&[1, 1, 0, 1, 1, 2, 1, 2, 2, 3, 2, 3]);
    let look = look_at_feel(&rising, STEPS, 20.0, 0.95).unwrap();
    assert_eq!(look.direction, Some(Direction::Rising));
    assert_eq!(look.counts, [1, 5, 4, 2, 0]);
    assert!((look.shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    assert_eq!((look.low_median_step, look.high_median_step), (1, 2));
    let falling: Vec<u8> = rising.iter().rev().map(|felt| felt.step).collect();
    let look = look_at_feel(&felt(&falling), STEPS, 20.0, 0.95).unwrap();
    assert_eq!(look.direction, Some(Direction::Falling));
}

#[test]
fn one_step_throughout_and_too_few_entries_say_so() {
    let same = look_at_feel(&felt(&[2; 8]), STEPS, 20.0, 0.95).unwrap();
    assert_eq!(same.direction, Some(Direction::EqualThroughout));
    assert_eq!((same.low_median_step, same.high_median_step), (2, 2));
    let one = look_at_feel(&felt(&[3]), STEPS, 20.0, 0.95).unwrap();
    assert_eq!(
        (one.entries, one.low_median_step, one.direction),
        (1, 3, None)
    );
    assert!(matches!(
        one.test,
        Err(TrendError::TooFew {
            have: 1,
            need: 5,
            ..
        })
    ));
    let none = look_at_feel(&[], STEPS, 20.0, 0.95);
    assert!(matches!(
        none,
        Err(FeelError::Series(TrendError::TooFew { .. }))
    ));
    let ahead = look_at_feel(&felt(&[0, 4]), STEPS, 0.5, 0.95).unwrap();
    assert_eq!((ahead.entries, ahead.in_future, ahead.counts[4]), (1, 1, 0));
}

#[test]
fn a_step_off_the_scale_is_refused_with_its_place() {
    let refused = look_at_feel(&felt(&[0, 5]), STEPS, 9.0, 0.95).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "Entry 2: step 5 is not on a scale of 5 steps. Correct or leave out that entry."
    );
    let nan = Felt {
        at_day: f64::NAN,
        step: 0,
    };
    assert!(look_at_feel(&[nan], STEPS, 9.0, 0.95).is_err());
    assert!(look_at_feel(&felt(&[0, 1]), STEPS, 9.0, 1.0).is_err());
}

#[test]
fn isotonic_regressions_printed_elsewhere_come_out() {
    let plain = |values: &[f64]| isotonic(values, &vec![1.0; values.len()]).unwrap();
    // scikit-learn, sklearn/tests/test_isotonic.py, test_isotonic_regression.
    assert_eq!(
        plain(&[3.0, 7.0, 5.0, 9.0, 8.0, 7.0, 10.0]),
        [3.0, 6.0, 6.0, 8.0, 8.0, 8.0, 10.0]
    );
    assert_eq!(plain(&[10.0, 0.0, 2.0]), [4.0, 4.0, 4.0]);
    // Apache Spark MLlib, IsotonicRegressionSuite, "increasing isotonic regression".
    assert_eq!(
        plain(&[1.0, 2.0, 3.0, 1.0, 6.0, 17.0, 16.0, 17.0, 18.0]),
        [1.0, 2.0, 2.0, 2.0, 6.0, 16.5, 16.5, 17.0, 18.0]
    );
    // Worked by hand: (2·4 + 1·1) / 3.
    assert_eq!(isotonic(&[4.0, 1.0], &[2.0, 1.0]).unwrap(), [3.0, 3.0]);
    assert!(isotonic(&[1.0, f64::NAN], &[1.0, 1.0]).is_err());
    assert!(isotonic(&[1.0, 2.0], &[1.0, 0.0]).is_err());
    assert!(isotonic(&[1.0, 2.0], &[1.0]).is_err());
}

/// Invented: a hand that calls a step every 12 °C from 35 on, unsure by 3 °C.
fn by_hand(random: &mut Sequence, operator: &'static str) -> FeltAndMeasured<&'static str> {
    let celsius = 25.0 + 50.0 * random.unit();
    let seems = celsius + 3.0 * random.normal();
    let step = ((seems - 35.0) / 12.0 + 1.0).floor().clamp(0.0, 4.0) as u8;
    FeltAndMeasured {
        operator,
        step,
        celsius,
    }
}

#[test]
fn steps_are_worth_degrees_in_rising_order_for_each_operator() {
    let mut random = Sequence::new(4);
    let mut pairs: Vec<_> = (0..80).map(|_| by_hand(&mut random, "first")).collect();
    // The second's hand is used to heat: a step lower for the same temperature.
    pairs.extend((0..80).map(|_| {
        let pair = by_hand(&mut random, "second");
        FeltAndMeasured {
            step: pair.step.saturating_sub(1),
            ..pair
        }
    }));
    let by_operator = calibrate(&pairs, STEPS, 0.9).unwrap();
    let first = by_operator["first"].as_ref().unwrap();
    let second = by_operator["second"].as_ref().unwrap();
    assert_eq!((first.pairs, second.pairs), (80, 80));
    for pair in first.steps.windows(2) {
        assert!(pair[0].celsius <= pair[1].celsius);
    }
    for worth in &first.steps {
        assert!(worth.low_celsius < worth.celsius && worth.celsius < worth.high_celsius);
    }
    let (own, other) = (first.worth(2).unwrap(), second.worth(2).unwrap());
    assert!(other.celsius > own.celsius + 6.0);
    assert_eq!(second.worth(4), None, "never felt, worth nothing yet");
}

#[test]
fn the_next_thermometer_value_lies_in_the_interval_about_as_often_as_stated() {
    let mut random = Sequence::new(8);
    let (mut held, mut told) = (0, 0);
    for _ in 0..300 {
        let pairs: Vec<_> = (0..40).map(|_| by_hand(&mut random, "one")).collect();
        let Ok(calibration) = &calibrate(&pairs, STEPS, 0.9).unwrap()["one"] else {
            continue;
        };
        for _ in 0..20 {
            let next = by_hand(&mut random, "one");
            if let Some(worth) = calibration.worth(next.step) {
                told += 1;
                let interval = worth.low_celsius..=worth.high_celsius;
                held += i32::from(interval.contains(&next.celsius));
            }
        }
    }
    let share = f64::from(held) / f64::from(told);
    println!("held {share:.3} of {told}");
    assert!(told > 5000);
    assert!((0.87..0.95).contains(&share), "{share}");
}

#[test]
fn too_few_pairs_are_refused_with_the_number_needed() {
    let mut random = Sequence::new(6);
    let pairs: Vec<_> = (0..18).map(|_| by_hand(&mut random, "one")).collect();
    let refused = calibrate(&pairs, STEPS, 0.9).unwrap()["one"]
        .clone()
        .unwrap_err();
    assert!(
        matches!(refused, FeelError::TooFewPairs { need: 19, .. }),
        "{refused}"
    );
    let few = calibrate(&pairs[..8], STEPS, 0.5).unwrap()["one"]
        .clone()
        .unwrap_err();
    assert!(matches!(
        few,
        FeelError::TooFewPairs {
            need: FEWEST_PAIRS,
            ..
        }
    ));
    assert!(
        few.to_string()
            .starts_with("Feel against thermometer needs at least 12 pairs by one operator")
    );
    assert!(calibrate::<u8>(&[], STEPS, 0.9).unwrap().is_empty());
}

#[test]
fn a_hand_that_tells_nothing_or_one_step_alone_gives_no_degrees() {
    let pair = |step: u8, celsius: f64| FeltAndMeasured {
        operator: 1,
        step,
        celsius,
    };
    let upside_down: Vec<_> = (0..30u8)
        .map(|i| pair(i % 3, 60.0 - 10.0 * f64::from(i % 3)))
        .collect();
    let refused = &calibrate(&upside_down, STEPS, 0.9).unwrap()[&1];
    assert_eq!(refused, &Err(FeelError::NotRising));
    let one_step: Vec<_> = (0..30).map(|i| pair(2, 40.0 + f64::from(i))).collect();
    assert_eq!(
        calibrate(&one_step, STEPS, 0.9).unwrap()[&1],
        Err(FeelError::NotRising)
    );
    for bad in [f64::NAN, f64::INFINITY, -300.0] {
        let refused = calibrate(&[pair(0, bad)], STEPS, 0.9);
        assert!(matches!(
            refused,
            Err(FeelError::NoTemperature { entry: 1, .. })
        ));
    }
    let off_scale = calibrate(&[pair(9, 40.0)], STEPS, 0.9);
    assert!(matches!(
        off_scale,
        Err(FeelError::NoSuchStep { step: 9, .. })
    ));
    assert!(calibrate(&one_step, STEPS, 0.0).is_err());
}

proptest! {
    #[test]
    fn a_regression_rises_and_keeps_the_weighted_mean(
        pairs in prop::collection::vec((-100f64..100.0, 0.5f64..8.0), 1..30),
    ) {
        let (values, weights): (Vec<f64>, Vec<f64>) = pairs.into_iter().unzip();
        let fit = isotonic(&values, &weights).unwrap();
        prop_assert!(fit.windows(2).all(|pair| pair[0] <= pair[1]));
        let weighted = |values: &[f64]| -> f64 {
            values.iter().zip(&weights).map(|(value, weight)| value * weight).sum()
        };
        prop_assert!((weighted(&fit) - weighted(&values)).abs() < 1e-9 * 30.0 * 800.0);
        let again = isotonic(&fit, &weights).unwrap();
        prop_assert!(again.iter().zip(&fit).all(|(a, b)| (a - b).abs() < 1e-12));
    }

    #[test]
    fn renaming_steps_in_order_changes_no_direction(steps in prop::collection::vec(0u8..4, 5..60)) {
        let look = look_at_feel(&felt(&steps), 4, 99.0, 0.95).unwrap();
        let renamed: Vec<u8> = steps.iter().map(|step| [0, 1, 7, 9][usize::from(*step)]).collect();
        let other = look_at_feel(&felt(&renamed), 10, 99.0, 0.95).unwrap();
        prop_assert_eq!(look.test, other.test);
        prop_assert_eq!(look.direction, other.direction);
    }
}
