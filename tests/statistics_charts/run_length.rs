//! How long charts run before they call: reckoned by integral equations and Markov chains, against published tables.

use super::*;

/// Nodes and weights of Gauss and Legendre on an interval.
fn gauss_legendre(n: usize, from: f64, to: f64) -> Vec<(f64, f64)> {
    let half = (to - from) / 2.0;
    (0..n)
        .map(|i| {
            let mut x = (std::f64::consts::PI * (i as f64 + 0.75) / (n as f64 + 0.5)).cos();
            let mut slope = 1.0;
            for _ in 0..20 {
                let (mut before, mut p) = (1.0, x);
                for k in 2..=n {
                    let k = k as f64;
                    (before, p) = (p, ((2.0 * k - 1.0) * x * p - (k - 1.0) * before) / k);
                }
                slope = n as f64 * (x * p - before) / (x * x - 1.0);
                x -= p / slope;
            }
            let weight = 2.0 / ((1.0 - x * x) * slope * slope);
            (from + half * (1.0 + x), half * weight)
        })
        .collect()
}

/// Solves `a · x = b` by elimination with pivots.
fn solved(mut a: Vec<Vec<f64>>, mut b: Vec<f64>) -> Vec<f64> {
    let n = b.len();
    for column in 0..n {
        let pivot = (column..n)
            .max_by(|i, j| a[*i][column].abs().total_cmp(&a[*j][column].abs()))
            .expect("a row");
        a.swap(column, pivot);
        b.swap(column, pivot);
        let (above, below) = a.split_at_mut(column + 1);
        let pivot = &above[column];
        for (i, row) in below.iter_mut().enumerate() {
            let factor = row[column] / pivot[column];
            for (here, there) in row.iter_mut().zip(pivot) {
                *here -= factor * there;
            }
            b[column + 1 + i] -= factor * b[column];
        }
    }
    for row in (0..n).rev() {
        let rest: f64 = (row + 1..n).map(|k| a[row][k] * b[k]).sum();
        b[row] = (b[row] - rest) / a[row][row];
    }
    b
}

fn density(x: f64) -> f64 {
    (-x * x / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

/// Chance of a standard normal value at most `x`.
fn chance_up_to(x: f64) -> f64 {
    statrs::function::erf::erfc(-x / std::f64::consts::SQRT_2) / 2.0
}

/// I minus the kernel, and the equation's right side of ones, solved: the run length from each node.
fn run_lengths(n: usize, kernel: impl Fn(usize, usize) -> f64) -> Vec<f64> {
    let matrix = (0..n)
        .map(|i| {
            (0..n)
                .map(|j| f64::from(u8::from(i == j)) - kernel(i, j))
                .collect()
        })
        .collect();
    solved(matrix, vec![1.0; n])
}

/// From the location on, with steady limits: the integral equation of Crowder (1987).
fn ewma_arl(design: &EwmaDesign, shift: f64) -> f64 {
    let weight = design.weight();
    let limit = design.limit() * (weight / (2.0 - weight)).sqrt();
    let nodes = gauss_legendre(80, -limit, limit);
    let step = |from: f64, to: f64| density((to - (1.0 - weight) * from) / weight - shift) / weight;
    let at_nodes = run_lengths(nodes.len(), |i, j| {
        step(nodes[i].0, nodes[j].0) * nodes[j].1
    });
    let ahead = nodes.iter().zip(&at_nodes);
    1.0 + ahead
        .map(|((x, w), arl)| step(0.0, *x) * w * arl)
        .sum::<f64>()
}

/// Of one side, from 0 on: the integral equation of Page (1954), 0 being a state by itself.
fn one_sided_cusum_arl(design: &CusumDesign, shift: f64) -> f64 {
    let (k, h) = (design.reference(), design.decision());
    let mut nodes = gauss_legendre(60, 0.0, h);
    nodes.push((0.0, 0.0));
    let zero = nodes.len() - 1;
    let at_nodes = run_lengths(nodes.len(), |i, j| {
        if j == zero {
            chance_up_to(k - nodes[i].0 - shift)
        } else {
            density(nodes[j].0 + k - nodes[i].0 - shift) * nodes[j].1
        }
    });
    at_nodes[zero]
}

fn cusum_arl(design: &CusumDesign, shift: f64) -> f64 {
    1.0 / (1.0 / one_sided_cusum_arl(design, shift) + 1.0 / one_sided_cusum_arl(design, -shift))
}

/// Half a unit of the third digit, which is how the tables are printed, and a hair.
fn half_a_unit(printed: f64) -> f64 {
    let places = 2 - printed.abs().log10().floor() as i32;
    0.501 * 10_f64.powi(-places)
}

/// Checks the rows of one table; says how many values of the other reckoning and how many printed ones it met.
fn table_is(rows: &Value, arl: impl Fn(f64) -> f64, computed_within: f64) -> (usize, usize) {
    let mut met = (0, 0);
    for row in rows.as_array().expect("rows") {
        let ours = arl(number(row, "shift"));
        close(ours, number(row, "computed"), computed_within, "computed");
        met.0 += 1;
        let printed = number(row, "printed");
        if (ours - printed).abs() <= half_a_unit(printed) {
            met.1 += 1;
        } else {
            println!("printed {printed} at {}, reckoned {ours:.4}", row["shift"]);
        }
    }
    met
}

/// Source: the block's. Other reckoning within its last digit.
#[test]
fn cusum_run_lengths_are_the_published_ones() {
    let [h4, h5] = CusumDesign::PUBLISHED;
    let block4 = block("arl_cusum_two_sided_k0.5_h4");
    let met = table_is(&block4["rows"], |shift| cusum_arl(&h4, shift), 1e-4);
    assert_eq!(met, (11, 11), "none is left out");
    let block5 = block("arl_cusum_h5");
    let met = table_is(&block5["rows"], |shift| cusum_arl(&h5, shift), 1e-4);
    assert_eq!(met, (10, 10), "none is left out");
}

/// Source: the block's. The tables' ARL of 500 is rounded from 499.8 to 499.95.
#[test]
fn ewma_run_lengths_are_the_published_ones() {
    let lucas = block("arl_ewma_two_sided");
    let published = |weight: f64| {
        let of_weight = |design: &&EwmaDesign| design.weight() == weight;
        EwmaDesign::PUBLISHED
            .iter()
            .find(of_weight)
            .expect("a design")
    };
    let met = table_is(
        &lucas["lambda0.5_L3.071"],
        |shift| ewma_arl(published(0.5), shift),
        1e-4,
    );
    assert_eq!(met, (12, 12), "none is left out");
    let met = table_is(
        &lucas["lambda0.03_L2.437"],
        |shift| ewma_arl(published(0.03), shift),
        1e-4,
    );
    assert_eq!(met, (12, 12), "none is left out");
}

/// Source: the block's. Two printed values are not met: 3.95 at a shift of 1.25, which the source flags as a probable
/// misprint (3.59 comes out here and there), and 1.94 at a shift of 2, printed where 1.9452 comes out here and there.
#[test]
fn ewma_run_lengths_are_crowders_but_for_a_misprint_and_a_last_digit() {
    let design = EwmaDesign::new(0.5, 2.0, Limits::Steady).expect("a design");
    let rows = &block("arl_ewma_crowder_1987_lambda0.5_L2")["rows"];
    let met = table_is(rows, |shift| ewma_arl(&design, shift), 1e-4);
    assert_eq!(met, (17, 15));
}

/// Source: the block's, for the five designs from the textbook; Lucas and Saccucci's two are in their own test.
#[test]
fn every_published_design_has_the_in_control_run_length_it_states() {
    let rows = block("ewma_design_ARL0_500");
    let mut covered = 0;
    for row in rows["rows"].as_array().expect("rows") {
        let design = EwmaDesign::PUBLISHED
            .iter()
            .find(|design| design.weight() == number(row, "lam"))
            .expect("a design");
        assert_eq!(design.limit(), number(row, "L"));
        close(
            ewma_arl(design, 0.0),
            number(row, "ARL0_computed"),
            6e-3,
            "no shift",
        );
        close(
            ewma_arl(design, 1.0),
            number(row, "ARL_1sigma_computed"),
            6e-4,
            "a shift of 1",
        );
        covered += 1;
    }
    assert_eq!(covered, 5, "none is left out");
    for design in EwmaDesign::PUBLISHED {
        close(
            ewma_arl(&design, 0.0),
            design.in_control_arl().expect("an ARL"),
            0.5,
            "stated",
        );
    }
    for design in CusumDesign::PUBLISHED {
        close(
            cusum_arl(&design, 0.0),
            design.in_control_arl().expect("an ARL"),
            0.5,
            "stated",
        );
    }
}

/// A count that brings a chart with a quarter drop a minute as its reference from 0 to this sum, quarter drops.
fn brings_to(direction: Direction, quarters: u32) -> Count {
    let drops = quarters / 4 + 1;
    match direction {
        Direction::Up => leak_off(drops, 60.0 * f64::from(4 * drops - quarters)),
        Direction::Down if quarters == 0 => leak_off(1, 60.0),
        Direction::Down => leak_off(0, 60.0 * f64::from(quarters)),
    }
}

/// Source: the block's. The Markov chain's steps are the chart's own: from each sum it may have, in quarter drops, one
/// count.
#[test]
fn poisson_cusum_run_lengths_are_lucas_ones() {
    let mean: f64 = 0.25;
    let chance = |drops: u32| {
        (-mean).exp() * mean.powi(drops as i32) / (1..=drops).map(f64::from).product::<f64>()
    };
    let mut covered = 0;
    for row in block("arl_poisson_cusum_lucas1985")["rows"]
        .as_array()
        .expect("rows")
    {
        let upper = row["chart"].as_str().expect("a chart").starts_with("upper");
        let direction = if upper {
            Direction::Up
        } else {
            Direction::Down
        };
        let design = PoissonCusumDesign::new(direction, 0.25, 10.0).expect("a design");
        let mut steps = vec![vec![0.0; 40]; 40];
        for (from, steps) in steps.iter_mut().enumerate() {
            let before = brings_to(direction, from as u32);
            for drops in 0..30 {
                let counts = [before, leak_off(drops, 60.0)];
                let chart = poisson_cusum(&counts, &design).expect("a chart");
                assert_eq!(chart.sums_drops[0] * 4.0, from as f64);
                if chart.signal.is_none() {
                    steps[(chart.sums_drops[1] * 4.0) as usize] += chance(drops);
                }
            }
        }
        let arl = run_lengths(40, |i, j| steps[i][j])[number(row, "start") as usize];
        close(arl, number(row, "computed"), 2e-3, "computed");
        close(arl, number(row, "printed"), 0.5, "printed");
        covered += 1;
    }
    assert_eq!(covered, 4, "none is left out");
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

    fn normal(&mut self) -> f64 {
        (-2.0 * self.unit().ln()).sqrt() * (std::f64::consts::TAU * self.unit()).cos()
    }

    fn poisson(&mut self, mean: f64) -> u32 {
        let (mut drops, mut left) = (0, mean + self.unit().ln());
        while left > 0.0 {
            drops += 1;
            left += self.unit().ln();
        }
        drops
    }
}

/// Mean run length of charts of rows made by chance, with its standard error.
fn simulated(rows: u32, mut run: impl FnMut() -> usize) -> (f64, f64) {
    let runs: Vec<f64> = (0..rows).map(|_| run() as f64).collect();
    let mean = runs.iter().sum::<f64>() / runs.len() as f64;
    let squares: f64 = runs.iter().map(|run| (run - mean).powi(2)).sum();
    (mean, squares.sqrt() / runs.len() as f64)
}

/// The charts themselves run as long as the equations say, within four standard errors.
#[test]
fn charts_of_simulated_values_run_as_long_as_their_design_says() {
    let mut chance = Chance(11);
    let baseline = Baseline {
        location: 40.0,
        scale: 3.0,
    };
    for (shift, length) in [(0.0, 4000), (1.0, 300)] {
        let mut row = || -> Vec<f64> {
            (0..length)
                .map(|_| 40.0 + 3.0 * (chance.normal() + shift))
                .collect()
        };
        let [design, _] = CusumDesign::PUBLISHED;
        let (mean, error) = simulated(600, || {
            let chart = cusum(&row(), baseline, &design).expect("a chart");
            chart.signal.expect("a call").index + 1
        });
        println!("CUSUM, shift {shift}: {mean:.2} ± {error:.2}");
        close(mean, cusum_arl(&design, shift), 4.0 * error, "CUSUM");
        let design = EwmaDesign::new(0.5, 2.0, Limits::Steady).expect("a design");
        let (mean, error) = simulated(600, || {
            let chart = ewma(&row(), baseline, &design).expect("a chart");
            chart.signal.expect("a call").index + 1
        });
        println!("EWMA, shift {shift}: {mean:.2} ± {error:.2}");
        close(mean, ewma_arl(&design, shift), 4.0 * error, "EWMA");
    }
}

/// Counts in one simulated row; a row without a call counts as this long, which is too short, never too long.
const LONGEST: usize = 3000;

/// Times from 20 s to 3 minutes, by turns.
#[test]
fn counts_over_unequal_times_run_at_least_as_long_as_asked_for_while_the_rate_is_good() {
    let mut chance = Chance(7);
    for (good, bad) in [(10.0, 20.0), (20.0, 10.0), (30.0, 5.0)] {
        let design = PoissonCusumDesign::from_rates(good, bad, 100.0).expect("a design");
        let mut run_at = |rate: f64| {
            simulated(100, || {
                let times_s = [20.0, 60.0, 180.0, 45.0].into_iter().cycle().take(LONGEST);
                let counts: Vec<Count> = times_s
                    .map(|seconds| leak_off(chance.poisson(rate * seconds / 60.0), seconds))
                    .collect();
                poisson_cusum(&counts, &design)
                    .expect("a chart")
                    .signal
                    .map_or(LONGEST, |s| s.index + 1)
            })
        };
        let (mean, error) = run_at(good);
        let (late, _) = run_at(bad);
        println!(
            "{good} to {bad} per min: {mean:.0} ± {error:.0} counts while good, {late:.1} once bad"
        );
        assert!(mean - 3.0 * error >= 100.0, "{mean} ± {error}");
        assert!(late < 6.0, "{late}");
    }
}
