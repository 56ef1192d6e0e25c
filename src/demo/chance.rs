//! Chance that can be repeated.

use crate::record::Hash;
use rand::{RngExt, SeedableRng, rngs::StdRng};

/// A generator for this seed and these words, apart from those of other words.
pub fn of(seed: u64, words: &str) -> StdRng {
    let hash = Hash::of(format!("{seed} {words}").as_bytes());
    StdRng::from_seed(hash.0)
}

/// A number from −1 to 1 that stays with these words.
pub fn lean(seed: u64, words: &str) -> f64 {
    of(seed, words).random_range(-1.0..1.0)
}

/// About normally distributed, mean 0, standard deviation 1: the sum of twelve uniform numbers less six, at most 6 either way.
pub fn noise(rng: &mut StdRng) -> f64 {
    (0..12).map(|_| rng.random::<f64>()).sum::<f64>() - 6.0
}

/// A Poisson number of this mean (Knuth's multiplication method); the mean is taken as at most 500.
pub fn poisson(rng: &mut StdRng, mean: f64) -> u32 {
    let floor = (-mean.clamp(0.0, 500.0)).exp();
    let mut product = rng.random::<f64>();
    let mut count = 0;
    while product > floor {
        product *= rng.random::<f64>();
        count += 1;
    }
    count
}

/// One of several.
pub fn one_of<'a, T: ?Sized>(rng: &mut StdRng, items: &[&'a T]) -> Option<&'a T> {
    if items.is_empty() {
        return None;
    }
    items.get(rng.random_range(0..items.len())).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: a Poisson number's mean and variance are both its parameter, a normal number's are 0 and 1; bounds are four standard errors wide.
    #[test]
    fn chance_has_the_mean_and_the_variance_it_should() {
        let mut rng = of(1, "test");
        let moments = |values: &[f64]| {
            let n = values.len() as f64;
            let mean = values.iter().sum::<f64>() / n;
            let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / n;
            (mean, variance)
        };
        let drops: Vec<_> = (0..10_000)
            .map(|_| f64::from(poisson(&mut rng, 20.0)))
            .collect();
        let (mean, variance) = moments(&drops);
        assert!(
            (mean - 20.0).abs() < 0.2 && (variance - 20.0).abs() < 1.2,
            "{mean} {variance}"
        );
        let noises: Vec<_> = (0..10_000).map(|_| noise(&mut rng)).collect();
        let (mean, variance) = moments(&noises);
        assert!(
            mean.abs() < 0.04 && (variance - 1.0).abs() < 0.06,
            "{mean} {variance}"
        );
    }
}
