//! How a gland has answered to its nuts before: robustly, with an interval, and only from enough pairs.

use lantern_ring::{
    remedy::{
        CannotTell,
        gland::{FlatsPair, response},
    },
    statistics::counting::Count,
};
use proptest::prelude::*;

fn count(drops: u32, seconds: f64) -> Count {
    Count { drops, seconds }
}

#[test]
fn too_few_pairs_say_how_many_it_takes() {
    let pair = FlatsPair {
        before: count(100, 60.0),
        flats: 2,
        after: count(80, 60.0),
    };
    let level = FlatsPair { flats: 0, ..pair };
    let told = response(&[pair, pair, pair, pair, level, level], 0.9).unwrap_err();
    assert!(
        matches!(
            told,
            CannotTell::TooFew {
                have: 4,
                need: 5,
                ..
            }
        ),
        "{told}"
    );
    assert!(matches!(
        response(&[pair; 5], 0.95),
        Err(CannotTell::TooFew { need: 6, .. })
    ));
}

#[test]
fn a_pair_without_a_time_is_refused() {
    let timeless = FlatsPair {
        before: count(10, f64::NAN),
        flats: 1,
        after: count(10, 60.0),
    };
    assert!(matches!(
        response(&[timeless; 5], 0.9),
        Err(CannotTell::Counting(_))
    ));
}

#[test]
fn a_gland_that_always_answers_alike_is_known_by_that_answer() {
    // 100 to 80 and back in two flats of tightening and easing: √0.8 a flat.
    let tighter = FlatsPair {
        before: count(1000, 600.0),
        flats: 2,
        after: count(800, 600.0),
    };
    let easier = FlatsPair {
        before: count(800, 600.0),
        flats: -2,
        after: count(1000, 600.0),
    };
    let known = response(&[tighter, easier, tighter, easier, tighter], 0.9).unwrap();
    assert!((known.ln_ratio_per_flat.exp() - 0.8_f64.sqrt()).abs() < 1e-3);
    assert!(known.high - known.low < 1e-9);
    assert_eq!(known.pairs, 5);
    assert!(known.words().contains("-11 %"), "{}", known.words());
}

#[test]
fn one_wild_time_does_not_carry_the_response_away() {
    let usual = FlatsPair {
        before: count(120, 120.0),
        flats: 2,
        after: count(96, 120.0),
    };
    let wild = FlatsPair {
        before: count(1, 60.0),
        flats: 1,
        after: count(900, 60.0),
    };
    let mut pairs = vec![usual; 9];
    let alone = response(&pairs, 0.9).unwrap();
    pairs.push(wild);
    let with = response(&pairs, 0.9).unwrap();
    assert!((with.ln_ratio_per_flat - alone.ln_ratio_per_flat).abs() < 0.02);
}

#[test]
fn old_answers_are_forgotten() {
    let old = FlatsPair {
        before: count(100, 60.0),
        flats: 1,
        after: count(300, 60.0),
    };
    let new = FlatsPair {
        before: count(100, 60.0),
        flats: 1,
        after: count(50, 60.0),
    };
    let pairs = [vec![old; 40], vec![new; 20]].concat();
    let known = response(&pairs, 0.9).unwrap();
    assert_eq!(known.pairs, 20);
    assert!(known.high < 0.0);
}

/// Histories of a gland whose response is known, counted with chance: the interval holds it as often as it says.
#[test]
fn the_interval_holds_the_true_response_as_often_as_it_says() {
    let mut chance = Chance(7);
    let true_response: f64 = -0.12;
    let (mut held, histories) = (0, 1000);
    for _ in 0..histories {
        let pairs: Vec<_> = (0..8)
            .map(|step| {
                let flats = if step % 3 == 0 { -2 } else { 2 };
                let rate = 30.0 + 60.0 * chance.share();
                FlatsPair {
                    before: count(chance.poisson(rate), 60.0),
                    flats,
                    after: count(
                        chance.poisson(rate * (true_response * f64::from(flats)).exp()),
                        60.0,
                    ),
                }
            })
            .collect();
        let known = response(&pairs, 0.9).unwrap();
        held += usize::from((known.low..=known.high).contains(&true_response));
    }
    println!("{held} of {histories} intervals held the true response");
    // 8 pairs give 92.2 %; four standard errors of 1000 histories are 3.4 %.
    assert!((888..=956).contains(&held), "{held} of {histories}");
}

/// A fixed sequence without a pattern (Knuth's MMIX constants).
struct Chance(u64);

impl Chance {
    fn share(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Drops that fall by chance: as many as exponential waits fit into the time.
    fn poisson(&mut self, mean: f64) -> u32 {
        let (mut at, mut drops) = (0.0, 0);
        loop {
            at -= (1.0 - self.share()).ln();
            if at > mean {
                return drops;
            }
            drops += 1;
        }
    }
}

proptest! {
    #[test]
    fn low_is_at_most_the_response_and_high_at_least(
        pairs in proptest::collection::vec((0_u32..500, -6_i32..=6, 0_u32..500), 5..30),
    ) {
        let pairs: Vec<_> = pairs
            .into_iter()
            .map(|(before, flats, after)| FlatsPair {
                before: count(before, 60.0),
                flats,
                after: count(after, 60.0),
            })
            .collect();
        if let Ok(known) = response(&pairs, 0.9) {
            prop_assert!(known.low <= known.ln_ratio_per_flat && known.ln_ratio_per_flat <= known.high);
            prop_assert!(known.low.is_finite() && known.high.is_finite());
        }
    }
}
