//! Wald's test against its tables, and its error rates reckoned exactly.

use super::*;

fn test_of(case: &Value) -> Sprt {
    Sprt::new(
        number(case, "lambda0_per_min"),
        number(case, "lambda1_per_min"),
        number(case, "alpha"),
        number(case, "beta"),
    )
    .expect("a test")
}

fn choice(test: &Sprt, drops: u32, seconds: f64) -> Option<Hypothesis> {
    test.choice(drops, seconds).expect("a count")
}

/// When so many drops stop being enough for this rate, or begin to be, min: looked for by halving.
fn turns_at_min(test: &Sprt, drops: u32, rate: Hypothesis) -> f64 {
    let is_at = |minutes: f64| choice(test, drops, minutes * 60.0) == Some(rate);
    let (mut from, mut to) = (1e-3, 1e6);
    let at_first = is_at(from);
    assert_ne!(at_first, is_at(to), "{drops} drops never turn");
    for _ in 0..100 {
        let middle = (from + to) / 2.0;
        if is_at(middle) == at_first {
            from = middle;
        } else {
            to = middle;
        }
    }
    from
}

/// Slope of a rate's line, drops per minute, and where it cuts the axis of the count, by what is chosen.
fn line_of(test: &Sprt, rate: Hypothesis) -> (f64, f64) {
    let [few, many] = [100, 400].map(|drops| turns_at_min(test, drops, rate));
    let slope_per_min = 300.0 / (many - few);
    (slope_per_min, 100.0 - slope_per_min * few)
}

/// Source: the file's own reckoning by the formulae of Wald (1947). Every field of every case is covered, here and in
/// the next two tests.
#[test]
fn the_lines_are_walds() {
    let file = json("sprt_poisson.json");
    let mut covered = 0;
    for case in file["cases"].as_array().expect("cases") {
        let test = test_of(case);
        let (slope0, intercept0) = line_of(&test, Hypothesis::Rate0);
        let (slope1, intercept1) = line_of(&test, Hypothesis::Rate1);
        close(slope0, slope1, 1e-9, "the lines are parallel");
        let silent_s = number(case, "min_time_to_accept_H0_with_zero_drops_s");
        for (ours, key) in [
            (test.per_drop(), "llr_per_event"),
            (slope1, "slope_per_min"),
            (intercept1, "intercept_H1"),
            (intercept0, "intercept_H0"),
            (intercept1 * test.per_drop(), "lnA"),
            (intercept0 * test.per_drop(), "lnB"),
        ] {
            close(ours, number(case, key), 1e-9, key);
            covered += 1;
        }
        assert_eq!(choice(&test, 0, silent_s * (1.0 - 1e-12)), None);
        assert_eq!(
            choice(&test, 0, silent_s * (1.0 + 1e-12)),
            Some(Hypothesis::Rate0)
        );
        covered += 1;
    }
    assert_eq!(covered, 6 * 7, "none is left out");
}

#[test]
fn the_counts_that_are_enough_are_those_of_the_tables() {
    let file = json("sprt_poisson.json");
    let mut covered = 0;
    for case in file["cases"].as_array().expect("cases") {
        let test = test_of(case);
        for row in case["table"].as_array().expect("a table") {
            let seconds = number(row, "t_s");
            let counts = || 0..1000_u32;
            let is = |drops: &u32, rate| choice(&test, *drops, seconds) == Some(rate);
            let accept0 = counts().rfind(|drops| is(drops, Hypothesis::Rate0));
            let accept1 = counts().find(|drops| is(drops, Hypothesis::Rate1));
            assert_eq!(
                accept0.map(u64::from),
                row["accept_H0_if_count_le"].as_u64(),
                "{row}"
            );
            assert_eq!(
                accept1.map(u64::from),
                row["accept_H1_if_count_ge"].as_u64(),
                "{row}"
            );
            covered += 2;
        }
    }
    assert_eq!(covered, 6 * 9 * 2, "none is left out");
}

/// Chance of either choice and mean time, looking every second: the count's distribution carried on second by second.
fn by_looks_each_second(test: &Sprt, rate_per_min: f64) -> (f64, f64, f64) {
    let a_second = poisson_chances(rate_per_min / 60.0);
    let mut undecided = vec![1.0];
    let (mut chose0, mut chose1, mut mean_s, mut left) = (0.0, 0.0, 0.0, 1.0);
    for second in 1.. {
        if left < 1e-11 {
            break;
        }
        mean_s += left;
        undecided = carried_on(&undecided, &a_second);
        for (drops, chance) in undecided.iter_mut().enumerate() {
            match choice(test, drops as u32, f64::from(second)) {
                Some(Hypothesis::Rate0) => chose0 += std::mem::take(chance),
                Some(Hypothesis::Rate1) => chose1 += std::mem::take(chance),
                None => {}
            }
        }
        left = undecided.iter().sum();
    }
    (chose0, chose1, mean_s)
}

/// Chances of 0, 1, 2 … drops of the given mean, down to nothing.
pub(super) fn poisson_chances(mean: f64) -> Vec<f64> {
    let mut chances = vec![(-mean).exp()];
    for n in 1..200 {
        let next = chances[n - 1] * mean / n as f64;
        if next < 1e-18 {
            break;
        }
        chances.push(next);
    }
    chances
}

pub(super) fn carried_on(undecided: &[f64], a_second: &[f64]) -> Vec<f64> {
    let mut next = vec![0.0; undecided.len() + a_second.len() - 1];
    for (drops, chance) in undecided
        .iter()
        .enumerate()
        .filter(|(_, chance)| **chance > 0.0)
    {
        for (more, of_more) in a_second.iter().enumerate() {
            next[drops + more] += chance * of_more;
        }
    }
    while next.len() > 1 && next.last().is_some_and(|chance| *chance < 1e-18) {
        next.pop();
    }
    next
}

/// Tolerance: half a unit of the last printed digit, and 1e-4 s for the mean times.
#[test]
fn error_rates_and_mean_times_are_the_exact_ones() {
    let file = json("sprt_poisson.json");
    let mut covered = 0;
    for case in file["cases"].as_array().expect("cases") {
        let (rate0, rate1) = (
            number(case, "lambda0_per_min"),
            number(case, "lambda1_per_min"),
        );
        for (rate, key) in [
            (rate0, "at_lambda0"),
            (rate1, "at_lambda1"),
            ((rate0 + rate1) / 2.0, "at_midpoint"),
        ] {
            let exact = &case["exact_1s_looks"][key];
            let (chose0, chose1, mean_s) = by_looks_each_second(&test_of(case), rate);
            close(chose0, number(exact, "P_accept_H0"), 6e-7, key);
            close(chose1, number(exact, "P_accept_H1"), 6e-7, key);
            close(mean_s, number(exact, "mean_time_s"), 1e-4, key);
            covered += 3;
        }
    }
    assert_eq!(covered, 6 * 3 * 3, "none is left out");
}

#[test]
fn a_test_of_rates_that_are_one_or_none_is_refused() {
    for (rate0, rate1) in [
        (10.0, 10.0),
        (0.0, 5.0),
        (5.0, 0.0),
        (-1.0, 5.0),
        (f64::NAN, 5.0),
        (5.0, f64::INFINITY),
    ] {
        assert!(matches!(
            Sprt::new(rate0, rate1, 0.05, 0.05),
            Err(CountingError::SameRates { .. })
        ));
    }
    for rate in [0.0, 0.5, -0.1, f64::NAN] {
        assert!(matches!(
            Sprt::new(5.0, 10.0, rate, 0.05),
            Err(CountingError::ErrorRate { .. })
        ));
        assert!(matches!(
            Sprt::strict(5.0, 10.0, 0.05, rate),
            Err(CountingError::ErrorRate { .. })
        ));
    }
}

proptest! {
    #[test]
    fn rates_changed_over_change_the_choice_over(
        drops in 0_u32..200, seconds in 1.0_f64..300.0, rate in 1.0_f64..60.0, ratio in 1.2_f64..5.0,
    ) {
        let there = Sprt::new(rate, rate * ratio, 0.05, 0.1).expect("a test");
        let back = Sprt::new(rate * ratio, rate, 0.1, 0.05).expect("a test");
        let turned = choice(&back, drops, seconds).map(|chosen| match chosen {
            Hypothesis::Rate0 => Hypothesis::Rate1,
            Hypothesis::Rate1 => Hypothesis::Rate0,
        });
        prop_assert_eq!(choice(&there, drops, seconds), turned);
    }

    #[test]
    fn strict_lines_never_choose_sooner_than_walds(
        drops in 0_u32..200, seconds in 1.0_f64..300.0, rate in 1.0_f64..60.0, ratio in 1.2_f64..5.0,
    ) {
        let strict = Sprt::strict(rate, rate * ratio, 0.05, 0.1).expect("a test");
        let wald = Sprt::new(rate, rate * ratio, 0.05, 0.1).expect("a test");
        if let Some(chosen) = choice(&strict, drops, seconds) {
            prop_assert_eq!(choice(&wald, drops, seconds), Some(chosen));
        }
    }
}
