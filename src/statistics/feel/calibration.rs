//! What a step felt by one operator's hand is worth in degrees.

use super::FeelError;
use crate::{formula::Formula, statistics::trend::TrendError, word};
use std::collections::BTreeMap;

/// How steps become degrees.
pub const FEEL_TO_CELSIUS: Formula = Formula {
    name: word!(
        "isotonic regression of °C on the step felt (pool adjacent violators); interval by the ranks of what each pair is off from the regression without it"
    ),
    source: "Ayer, Brunk, Ewing, Reid and Silverman (1955), Ann. Math. Statist. 26:641; interval: jackknife in Barber, Candès, Ramdas and Tibshirani (2021), Ann. Statist. 49:486",
};

/// Fewest pairs of one operator a calibration is made from (common practice, no source). A higher confidence needs
/// more: 19 for 90 %, 39 for 95 %.
pub const FEWEST_PAIRS: usize = 12;

/// Fewest pairs in a step for that step to be given a temperature.
pub const FEWEST_IN_STEP: usize = 2;

/// One part felt and measured at the same visit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FeltAndMeasured<O> {
    /// Whose hand.
    pub operator: O,
    /// On the scale, counted from 0, the least.
    pub step: u8,
    /// What the thermometer showed.
    pub celsius: f64,
}

/// What the steps of one operator are worth.
#[derive(Clone, Debug, PartialEq)]
pub struct Calibration {
    /// How many pairs it was learnt from.
    pub pairs: usize,
    /// The intervals' confidence.
    pub confidence: f64,
    /// Steps felt at least [`FEWEST_IN_STEP`] times with a thermometer, least first. The others are worth nothing yet.
    pub steps: Vec<StepWorth>,
}

/// What one step is worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StepWorth {
    /// The step.
    pub step: u8,
    /// How many pairs were felt as this step.
    pub pairs: usize,
    /// The temperature it stands for.
    pub celsius: f64,
    /// Lower end of where the thermometer would be the next time this step is felt.
    pub low_celsius: f64,
    /// Upper end of it.
    pub high_celsius: f64,
}

impl Calibration {
    /// What a step is worth, where it is known.
    pub fn worth(&self, step: u8) -> Option<&StepWorth> {
        self.steps.iter().find(|worth| worth.step == step)
    }
}

/// The calibration of every operator that occurs, or why there is none, from pairs felt on a scale of so many steps.
/// The interval takes an operator's hand to be as unsure in one step as in another.
///
/// # Errors
/// [`FeelError::NoSuchStep`], [`FeelError::NoTemperature`], [`FeelError::Series`] for a confidence not between 0 and 1;
/// for each operator [`FeelError::TooFewPairs`] and [`FeelError::NotRising`].
pub fn calibrate<O: Ord + Clone>(
    pairs: &[FeltAndMeasured<O>],
    steps: u8,
    confidence: f64,
) -> Result<BTreeMap<O, Result<Calibration, FeelError>>, FeelError> {
    if !(confidence > 0.0 && confidence < 1.0) {
        return Err(TrendError::BadConfidence { confidence }.into());
    }
    let mut by_operator: BTreeMap<O, Vec<(u8, f64)>> = BTreeMap::new();
    for (i, pair) in pairs.iter().enumerate() {
        let (entry, step, celsius) = (i + 1, pair.step, pair.celsius);
        if step >= steps {
            return Err(FeelError::NoSuchStep { entry, step, steps });
        }
        if !(-273.15..=2000.0).contains(&celsius) {
            return Err(FeelError::NoTemperature { entry, celsius });
        }
        let of_operator = by_operator.entry(pair.operator.clone()).or_default();
        of_operator.push((step, celsius));
    }
    Ok(by_operator
        .into_iter()
        .map(|(operator, pairs)| (operator, calibrate_one(&pairs, confidence)))
        .collect())
}

fn calibrate_one(pairs: &[(u8, f64)], confidence: f64) -> Result<Calibration, FeelError> {
    let mut sums = Sums::default();
    for (step, celsius) in pairs {
        sums.add(*step, *celsius);
    }
    let mut off: Vec<f64> = pairs
        .iter()
        .filter(|(step, _)| sums.count(*step) >= FEWEST_IN_STEP)
        .filter_map(|(step, celsius)| {
            let mut without = sums.clone();
            without.remove(*step, *celsius);
            without.fit_at(*step).map(|fit| celsius - fit)
        })
        .collect();
    off.sort_unstable_by(f64::total_cmp);
    // Of n pairs the next one lies beyond the r-th from either end with a chance of r / (n + 1).
    let in_tail = (1.0 - confidence) / 2.0;
    let need = FEWEST_PAIRS.max((1.0 / in_tail - 1.0 - 1e-9).ceil() as usize);
    if off.len() < need {
        return Err(FeelError::TooFewPairs {
            have: off.len(),
            need,
        });
    }
    let from_end = ((off.len() + 1) as f64 * in_tail + 1e-9).floor() as usize;
    let (low, high) = (off[from_end - 1], off[off.len() - from_end]);
    let steps: Vec<StepWorth> = sums
        .fit()
        .into_iter()
        .map(|(step, celsius)| StepWorth {
            step,
            pairs: sums.count(step),
            celsius,
            low_celsius: celsius + low,
            high_celsius: celsius + high,
        })
        .filter(|worth| worth.pairs >= FEWEST_IN_STEP)
        .collect();
    match (steps.first(), steps.last()) {
        (Some(first), Some(last)) if first.celsius < last.celsius => Ok(Calibration {
            pairs: pairs.len(),
            confidence,
            steps,
        }),
        _ => Err(FeelError::NotRising),
    }
}

/// Sum and number of the thermometer values of each step.
#[derive(Clone, Default)]
struct Sums(BTreeMap<u8, (f64, usize)>);

impl Sums {
    fn add(&mut self, step: u8, celsius: f64) {
        let (sum, count) = self.0.entry(step).or_default();
        *sum += celsius;
        *count += 1;
    }

    /// Takes one of at least two values of a step away.
    fn remove(&mut self, step: u8, celsius: f64) {
        let (sum, count) = self.0.entry(step).or_default();
        *sum -= celsius;
        *count = count.saturating_sub(1);
    }

    fn count(&self, step: u8) -> usize {
        self.0.get(&step).map_or(0, |(_, count)| *count)
    }

    /// The regression at each step that was felt.
    fn fit(&self) -> Vec<(u8, f64)> {
        let (means, weights): (Vec<f64>, Vec<f64>) = self
            .0
            .values()
            .map(|(sum, count)| (sum / *count as f64, *count as f64))
            .unzip();
        let fits = pool_adjacent_violators(&means, &weights);
        self.0.keys().copied().zip(fits).collect()
    }

    fn fit_at(&self, step: u8) -> Option<f64> {
        let mut fits = self.fit().into_iter();
        fits.find(|(of, _)| *of == step).map(|(_, fit)| fit)
    }
}

/// The non-decreasing values nearest to those given, by weighted least squares.
///
/// # Errors
/// [`FeelError::Series`] where a value is not usable, a weight is not above zero, or there is not one for each value.
pub fn isotonic(values: &[f64], weights: &[f64]) -> Result<Vec<f64>, FeelError> {
    crate::statistics::trend::median(values)?;
    let is_weight = |weight: &f64| *weight > 0.0 && *weight <= 1e15;
    if values.len() != weights.len() || !weights.iter().all(is_weight) {
        return Err(TrendError::BadArgument {
            what: word!("The weights of a regression"),
            remedy: word!("Give one above zero for each value."),
        }
        .into());
    }
    Ok(pool_adjacent_violators(values, weights))
}

fn pool_adjacent_violators(values: &[f64], weights: &[f64]) -> Vec<f64> {
    /// Neighbours that share a value: their weighted mean.
    struct Pool {
        value: f64,
        weight: f64,
        members: usize,
    }
    let mut pools: Vec<Pool> = Vec::with_capacity(values.len());
    for (value, weight) in values.iter().zip(weights) {
        let mut pool = Pool {
            value: *value,
            weight: *weight,
            members: 1,
        };
        while let Some(before) = pools.pop_if(|before| before.value > pool.value) {
            let weight = before.weight + pool.weight;
            pool = Pool {
                value: (before.value * before.weight + pool.value * pool.weight) / weight,
                weight,
                members: before.members + pool.members,
            };
        }
        pools.push(pool);
    }
    pools
        .iter()
        .flat_map(|pool| std::iter::repeat_n(pool.value, pool.members))
        .collect()
}
