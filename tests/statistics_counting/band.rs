//! The test against a band, both bounds at once: who is told what, how surely and how soon.

use super::sequential::{carried_on, poisson_chances};
use super::*;
use lantern_ring::statistics::counting::{Answer, Band, BandTest, Place, Plan};

const PLAN: Plan = Plan {
    alpha: 0.05,
    beta: 0.05,
    indifference_ratio: 2.0,
    longest_s: 240.0,
};

fn band(low_per_min: Option<f64>, high_per_min: Option<f64>) -> Band {
    Band {
        low_per_min,
        high_per_min,
    }
}

fn test(low: Option<f64>, high: Option<f64>, plan: Plan) -> BandTest {
    BandTest::new(band(low, high), plan).expect("a test")
}

/// Chances of each end, and the mean time to it.
#[derive(Clone, Copy, Debug, Default)]
struct Ends {
    below: f64,
    within: f64,
    above: f64,
    cannot_tell: f64,
    mean_s: f64,
}

impl Ends {
    fn add(&mut self, answer: Answer, chance: f64) {
        match answer {
            Answer::Enough {
                place: Place::Below,
                ..
            } => self.below += chance,
            Answer::Enough {
                place: Place::In, ..
            } => self.within += chance,
            Answer::Enough {
                place: Place::Above,
                ..
            } => self.above += chance,
            Answer::CannotTell { .. } => self.cannot_tell += chance,
            Answer::GoOn { .. } => panic!("no end"),
        }
        if let Answer::Enough { after_s, .. } | Answer::CannotTell { after_s, .. } = answer {
            self.mean_s += chance * after_s;
        }
    }
}

/// The ends reckoned exactly, looking every second.
fn exactly(test: &BandTest, rate_per_min: f64) -> Ends {
    let a_second = poisson_chances(rate_per_min / 60.0);
    let mut undecided = vec![1.0];
    let mut ends = Ends::default();
    for second in 1..=PLAN.longest_s as u32 {
        undecided = carried_on(&undecided, &a_second);
        for (drops, chance) in undecided.iter_mut().enumerate().filter(|(_, c)| **c > 0.0) {
            match test.at(drops as u32, f64::from(second)).expect("a count") {
                Answer::GoOn { .. } => {}
                end => ends.add(end, std::mem::take(chance)),
            }
        }
    }
    ends
}

/// Numbers that look random and are the same every time (splitmix64, from memory).
struct Chance(u64);

impl Chance {
    /// Above 0, at most 1.
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (((z ^ (z >> 31)) >> 11) + 1) as f64 / (1_u64 << 53) as f64
    }

    fn taps(&mut self, rate_per_min: f64, until_s: f64) -> Vec<f64> {
        let mut taps = Vec::new();
        let mut at_s = 0.0;
        loop {
            at_s -= self.unit().ln() * 60.0 / rate_per_min;
            if at_s > until_s {
                return taps;
            }
            taps.push(at_s);
        }
    }
}

/// The ends of simulated counts, each tap with its time.
fn simulated(test: &BandTest, rate_per_min: f64, counts: u32, seed: u64) -> Ends {
    let mut chance = Chance(seed);
    let mut ends = Ends::default();
    for _ in 0..counts {
        let taps = chance.taps(rate_per_min, PLAN.longest_s);
        let answer = test.over(&taps, PLAN.longest_s).expect("taps");
        ends.add(answer, 1.0 / f64::from(counts));
    }
    ends
}

/// Shortest whole seconds after which one look tells the ends of every zone apart within the same error rates.
fn fixed_time_s(test: &BandTest) -> u32 {
    // Called low up to the most drops that the zone's upper end brings rarely enough; the error rates are the same.
    let tells = |zone: Option<(f64, f64)>, minutes: f64| {
        zone.is_none_or(|(lower, upper)| {
            let most = (0..)
                .take_while(|drops| poisson_at_most_summed(*drops, upper * minutes) <= PLAN.alpha);
            most.last().is_some_and(|most| {
                1.0 - poisson_at_most_summed(most, lower * minutes) <= PLAN.beta
            })
        })
    };
    (1..10_000)
        .find(|seconds| {
            let minutes = f64::from(*seconds) / 60.0;
            [Place::Below, Place::Above]
                .iter()
                .all(|beyond| tells(test.zone_per_min(*beyond), minutes))
        })
        .expect("a time")
}

/// What must hold of the ends at a rate: `alpha` against each bound for rates clear of it, `beta` for rates beyond.
fn assert_errors_kept(test: &BandTest, rate: f64, ends: Ends, allowance: f64) {
    let below = test.zone_per_min(Place::Below);
    let above = test.zone_per_min(Place::Above);
    let told = format!("{rate} per min: {ends:?}");
    if below.is_none_or(|(_, good)| rate >= good) {
        assert!(ends.below <= PLAN.alpha + allowance, "{told}");
    }
    if above.is_none_or(|(good, _)| rate <= good) {
        assert!(ends.above <= PLAN.alpha + allowance, "{told}");
    }
    if below.is_some_and(|(bad, _)| rate <= bad) || above.is_some_and(|(_, bad)| rate >= bad) {
        assert!(ends.within <= PLAN.beta + allowance, "{told}");
    }
}

/// Bands of packing that should weep, of a seal that may drip, and two narrow ones.
fn bands() -> [BandTest; 5] {
    [
        test(Some(10.0), Some(60.0), PLAN),
        test(Some(10.0), None, PLAN),
        test(None, Some(20.0), PLAN),
        test(Some(30.0), Some(60.0), PLAN),
        test(Some(30.0), Some(40.0), PLAN),
    ]
}

/// Rates from a drop a minute to a run, and the ends of the test's zones, where errors are likeliest.
fn rates(test: &BandTest) -> Vec<f64> {
    let ends = [Place::Below, Place::Above].map(|beyond| test.zone_per_min(beyond));
    let ends = ends
        .into_iter()
        .flatten()
        .flat_map(|(lower, upper)| [lower, upper]);
    [
        0.1, 1.0, 3.0, 5.0, 10.0, 20.0, 30.0, 35.0, 40.0, 60.0, 120.0, 200.0,
    ]
    .into_iter()
    .chain(ends)
    .collect()
}

#[test]
fn error_rates_reckoned_exactly_stay_within_the_stated_ones() {
    for test in bands() {
        println!(
            "one look at a fixed time needs {} s: {test:?}",
            fixed_time_s(&test)
        );
        for rate in rates(&test) {
            let ends = exactly(&test, rate);
            println!("  {rate:.1} per min: {ends:.4?}");
            let all = ends.below + ends.within + ends.above + ends.cannot_tell;
            assert!((all - 1.0).abs() < 1e-9, "{all}");
            assert_errors_kept(&test, rate, ends, 0.0);
        }
    }
}

/// 4000 counts a rate, so a share is known to within 0.011 (three standard errors).
#[test]
fn error_rates_of_simulated_taps_stay_within_the_stated_ones() {
    let allowance = 3.0 * (PLAN.alpha * (1.0 - PLAN.alpha) / 4000.0).sqrt();
    for (test, seed) in bands().into_iter().zip(1..) {
        for rate in rates(&test) {
            let ends = simulated(&test, rate, 4000, seed);
            println!("  {rate:.1} per min: {ends:.3?}");
            assert_errors_kept(&test, rate, ends, allowance);
        }
    }
}

/// A count at a fixed time, with the same error rates at the same rates, takes longer than this one on the average;
/// but for rates within a zone, where this one may take up to a fifth longer. Of the narrow bands the last is left
/// out: its fixed time is longer than the longest one of the plan.
#[test]
fn the_mean_time_is_shorter_than_that_of_a_fixed_count_but_within_a_zone() {
    for test in &bands()[..4] {
        let fixed_s = f64::from(fixed_time_s(test));
        assert!(fixed_s < PLAN.longest_s);
        let zones = [Place::Below, Place::Above].map(|beyond| test.zone_per_min(beyond));
        for rate in rates(test) {
            let in_zone = zones
                .iter()
                .flatten()
                .any(|(lower, upper)| *lower < rate && rate < *upper);
            let share = exactly(test, rate).mean_s / fixed_s;
            println!("{rate:.1} per min: {share:.2} of {fixed_s} s");
            assert!(
                share < if in_zone { 1.2 } else { 0.7 },
                "{rate}: {share} of {fixed_s} s"
            );
        }
    }
}

#[test]
fn no_drop_at_all_is_below_after_a_while_and_not_before() {
    let test = test(Some(10.0), Some(60.0), PLAN);
    assert!(
        matches!(test.at(0, 5.0), Ok(Answer::GoOn { at_most_s_more }) if at_most_s_more == 235.0)
    );
    let Ok(Answer::Enough {
        place,
        drops,
        after_s,
    }) = test.over(&[], 240.0)
    else {
        panic!("not known");
    };
    assert_eq!((place, drops), (Place::Below, 0));
    // -ln(0.04) over the zone's width of 10·ln 2 per minute, from the formula.
    close(
        after_s,
        -(0.04_f64.ln()) / (10.0 * 2.0_f64.ln()) * 60.0,
        1e-9,
        "silence",
    );
    assert!(matches!(
        test.at(0, after_s - 0.01),
        Ok(Answer::GoOn { .. })
    ));
}

#[test]
fn a_run_of_drops_is_above_within_seconds() {
    let test = test(Some(10.0), Some(60.0), PLAN);
    let taps: Vec<f64> = (1..=100).map(|i| f64::from(i) * 0.2).collect();
    let answer = test.over(&taps, 20.0).expect("taps");
    assert!(
        matches!(answer, Answer::Enough { place: Place::Above, after_s, .. } if after_s < 5.0),
        "{answer:?}"
    );
}

#[test]
fn the_silence_between_two_taps_can_be_enough() {
    let low = test(Some(10.0), None, PLAN);
    let answer = low.over(&[1.0, 100.0, 101.0], 120.0).expect("taps");
    assert!(
        matches!(answer, Answer::Enough { place: Place::Below, drops: 1, after_s } if after_s < 40.0),
        "{answer:?}"
    );
    let high = test(None, Some(20.0), PLAN);
    let answer = high.over(&[1.0, 59.0], 60.0).expect("taps");
    assert!(
        matches!(answer, Answer::Enough { place: Place::In, drops: 1, after_s } if after_s < 20.0),
        "{answer:?}"
    );
}

/// Lines at 4.64 drops to either side of the bound leave these counts open; the limits leave out both zone ends.
#[test]
fn at_the_longest_time_the_rate_counted_decides_and_a_bound_is_the_last_good_one() {
    let minute = Plan {
        longest_s: 60.0,
        ..PLAN
    };
    for (drops, of_high, of_low) in [
        (98, Place::In, Place::Below),
        (100, Place::In, Place::In),
        (102, Place::Above, Place::In),
    ] {
        let place = |low, high| match test(low, high, minute).at(drops, 60.0) {
            Ok(Answer::Enough { place, .. }) => place,
            other => panic!("{other:?}"),
        };
        assert_eq!(place(None, Some(100.0)), of_high);
        assert_eq!(place(Some(100.0), None), of_low);
    }
}

#[test]
fn at_the_longest_time_there_is_an_answer_or_the_word_that_there_is_none() {
    let short = Plan {
        longest_s: 20.0,
        ..PLAN
    };
    let test = test(Some(10.0), None, short);
    assert!(matches!(test.at(2, 19.9), Ok(Answer::GoOn { .. })));
    assert_eq!(
        test.at(2, 20.0),
        Ok(Answer::CannotTell {
            drops: 2,
            after_s: 20.0
        })
    );
    let late = [1.0, 2.0, 25.0, 26.0, 27.0];
    assert_eq!(
        test.over(&late, 30.0),
        Ok(Answer::CannotTell {
            drops: 2,
            after_s: 20.0
        }),
        "taps after the longest time are left out"
    );
}

#[test]
fn a_band_needs_a_bound_and_its_bounds_in_order() {
    let refused = |low, high, plan| BandTest::new(band(low, high), plan).expect_err("refused");
    assert_eq!(refused(None, None, PLAN), CountingError::NoBound);
    assert!(matches!(
        refused(Some(60.0), Some(10.0), PLAN),
        CountingError::BandUpsideDown { .. }
    ));
    assert!(matches!(
        refused(Some(20.0), Some(20.0), PLAN),
        CountingError::NarrowBand { .. }
    ));
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(
            refused(Some(bad), None, PLAN),
            CountingError::Bound { .. }
        ));
        assert!(matches!(
            refused(None, Some(bad), PLAN),
            CountingError::Bound { .. }
        ));
        let longest = Plan {
            longest_s: bad,
            ..PLAN
        };
        assert!(matches!(
            refused(Some(5.0), None, longest),
            CountingError::NoTime { .. }
        ));
        let ratio = Plan {
            indifference_ratio: bad,
            ..PLAN
        };
        assert!(matches!(
            refused(Some(5.0), None, ratio),
            CountingError::Indifference { .. }
        ));
        let alpha = Plan { alpha: bad, ..PLAN };
        assert!(matches!(
            refused(Some(5.0), None, alpha),
            CountingError::ErrorRate { .. }
        ));
        let beta = Plan { beta: bad, ..PLAN };
        assert!(matches!(
            refused(Some(5.0), None, beta),
            CountingError::ErrorRate { .. }
        ));
    }
}

#[test]
fn taps_out_of_order_or_ahead_of_the_clock_are_refused_by_number() {
    let test = test(Some(10.0), None, PLAN);
    assert_eq!(
        test.over(&[3.0, 2.0], 10.0),
        Err(CountingError::TapOutOfOrder {
            number: 2,
            at_s: 2.0,
            before_s: 3.0
        })
    );
    assert_eq!(
        test.over(&[3.0, 12.0], 10.0),
        Err(CountingError::TapInFuture {
            number: 2,
            at_s: 12.0,
            elapsed_s: 10.0
        })
    );
    for at_s in [-1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(
            test.over(&[at_s], 10.0),
            Err(CountingError::TapTime { number: 1, .. })
        ));
    }
    assert_eq!(
        test.over(&[], 0.0),
        Err(CountingError::NoTime { seconds: 0.0 })
    );
    assert_eq!(
        test.at(3, -2.0),
        Err(CountingError::NoTime { seconds: -2.0 })
    );
    assert_eq!(
        test.at(20_000, 60.0),
        Err(CountingError::TooManyDrops { drops: 20_000 })
    );
}

proptest! {
    #[test]
    fn an_answer_never_gainsays_the_rate_counted(
        low in 1.0_f64..50.0, width in 1.1_f64..8.0, sides in 1_u8..4, ratio in 1.1_f64..6.0,
        drops in 0_u32..400, seconds in 1.0_f64..300.0, longest_s in 1.0_f64..300.0,
    ) {
        let (low, high) = ((sides & 1 > 0).then_some(low), (sides & 2 > 0).then_some(low * width));
        let test = test(low, high, Plan { indifference_ratio: ratio, longest_s, ..PLAN });
        let rate = f64::from(drops) / seconds * 60.0;
        if let Answer::Enough { place, .. } = test.at(drops, seconds).expect("a count") {
            let of_rate = if low.is_some_and(|low| rate < low) {
                Place::Below
            } else if high.is_some_and(|high| rate > high) {
                Place::Above
            } else {
                Place::In
            };
            prop_assert_eq!(place, of_rate, "{} per min", rate);
        }
    }

    #[test]
    fn taps_say_what_their_count_says_or_said_it_sooner(
        seed in any::<u64>(), rate in 0.5_f64..120.0, elapsed_s in 1.0_f64..239.0,
    ) {
        let test = test(Some(10.0), Some(60.0), PLAN);
        let taps = Chance(seed).taps(rate, elapsed_s);
        let over = test.over(&taps, elapsed_s).expect("taps");
        if let Answer::Enough { drops, after_s, .. } = over {
            prop_assert!(after_s <= elapsed_s);
            prop_assert_eq!(test.at(drops, after_s), Ok(over));
        } else {
            prop_assert_eq!(test.at(taps.len() as u32, elapsed_s), Ok(over));
        }
    }
}
