//! The reference file, plain computations to compare with, and numbers that look random.
#![allow(dead_code)]

use lantern_ring::statistics::trend::Series;
use serde_json::Value;

/// One data set of the reference file.
pub struct Set {
    pub name: String,
    pub source: String,
    pub x: Vec<f64>,
    pub y: Vec<f64>,
    pub confidence: f64,
    value: Value,
}

impl Set {
    fn get(&self, path: &str) -> &Value {
        self.value
            .pointer(&format!("/{path}"))
            .unwrap_or_else(|| panic!("{}: no {path}", self.name))
    }

    pub fn number(&self, path: &str) -> f64 {
        self.get(path).as_f64().unwrap()
    }

    pub fn text(&self, path: &str) -> &str {
        self.get(path).as_str().unwrap()
    }
}

pub fn reference() -> Vec<Set> {
    let text = include_str!("../data/reference/trend_theilsen_mannkendall.json");
    let file: Value = serde_json::from_str(text).unwrap();
    let numbers = |value: &Value| -> Option<Vec<f64>> {
        let values = value.as_array()?.iter();
        Some(values.map(|v| v.as_f64().unwrap()).collect())
    };
    let sets = file["datasets"].as_array().unwrap().iter();
    sets.map(|value| {
        let y = numbers(&value["y"]).unwrap();
        // Where the file says "index 0..n-1".
        let x = numbers(&value["x"]).unwrap_or_else(|| (0..y.len()).map(|i| i as f64).collect());
        Set {
            name: value["name"].as_str().unwrap().into(),
            source: value["source"].as_str().unwrap().into(),
            x,
            y,
            confidence: value["confidence"].as_f64().unwrap(),
            value: value.clone(),
        }
    })
    .collect()
}

/// A series looked at long after its last entry.
pub fn series(x: &[f64], y: &[f64]) -> Series {
    Series::new(x.iter().copied().zip(y.iter().copied()), 1e6).unwrap()
}

/// All slopes between points of different times, sorted.
pub fn naive_slopes(x: &[f64], y: &[f64]) -> Vec<f64> {
    let mut slopes = Vec::new();
    for i in 0..x.len() {
        for j in 0..x.len() {
            if x[j] > x[i] {
                slopes.push((y[j] - y[i]) / (x[j] - x[i]));
            }
        }
    }
    slopes.sort_unstable_by(f64::total_cmp);
    slopes
}

/// The 95 % interval by (2.6) of Sen (1968), with ranks as scipy 1.17.1 theilslopes rounds them.
pub fn naive_interval(x: &[f64], y: &[f64], sorted: &[f64]) -> (f64, f64) {
    let ties = |values: &[f64]| -> f64 {
        let mut sorted = values.to_vec();
        sorted.sort_unstable_by(f64::total_cmp);
        let groups = sorted
            .chunk_by(|a, b| a == b)
            .map(|group| group.len() as f64);
        groups.map(|t| t * (t - 1.0) * (2.0 * t + 5.0)).sum()
    };
    let n = x.len() as f64;
    let all = n * (n - 1.0) * (2.0 * n + 5.0);
    let sigma = ((all - ties(x) - ties(y)) / 18.0).max(0.0).sqrt();
    let z = 1.959_963_984_540_054;
    let slopes = sorted.len() as f64;
    let low = (((slopes - z * sigma) / 2.0).round_ties_even() - 1.0).max(0.0);
    let high = ((slopes + z * sigma) / 2.0)
        .round_ties_even()
        .min(slopes - 1.0);
    (sorted[low as usize], sorted[high as usize])
}

/// SplitMix64 (Steele, Lea and Flood 2014): the same numbers every time.
pub struct Sequence(u64);

impl Sequence {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// From 0 up to but not 1.
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^= mixed >> 31;
        (mixed >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Standard normal, by Box and Muller (1958).
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.unit()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.unit()).cos()
    }
}
