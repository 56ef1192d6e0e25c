//! A sample of the slopes between points, kept sorted around the ranks that are wanted.

use super::slopes::Centred;

/// Slopes sampled, per point.
const SAMPLED_PER_POINT: usize = 4;
/// Standard deviations of a sample's rank kept sorted on both sides of the wanted ones.
const KEPT: f64 = 4.0;

/// A sorted stretch of a sample.
#[derive(Default)]
pub(super) struct Sample {
    sorted: Vec<f64>,
    /// How many of the sample are smaller than what is kept.
    skipped: usize,
    size: usize,
}

impl Sample {
    /// Slopes of pairs drawn from a fixed sequence (pairs at one time give none), kept from share `lowest` to share
    /// `highest` of all slopes and somewhat beyond.
    pub(super) fn new(points: &Centred, lowest: f64, highest: f64) -> Self {
        let n = points.xy.len();
        let mut sequence = Sequence::default();
        let mut slopes = Vec::with_capacity(SAMPLED_PER_POINT * n);
        for _ in 0..SAMPLED_PER_POINT * n {
            let (i, j) = sequence.two_below(n as u32);
            if points.xy[i as usize].0 != points.xy[j as usize].0 {
                slopes.push(points.slope(i, j));
            }
        }
        let size = slopes.len();
        let margin = KEPT * 0.5 * (size as f64).sqrt();
        let place = |place: f64| place.clamp(0.0, size as f64) as usize;
        let skipped = place(lowest * size as f64 - margin);
        let end = place(highest * size as f64 + margin);
        let mut kept = &mut slopes[..];
        if end < kept.len() {
            kept = kept.select_nth_unstable_by(end, f64::total_cmp).0;
        }
        if skipped > 0 && skipped < kept.len() {
            kept.select_nth_unstable_by(skipped, f64::total_cmp);
        }
        let mut sorted = kept[skipped.min(kept.len())..].to_vec();
        sorted.sort_unstable_by(f64::total_cmp);
        Self {
            sorted,
            skipped,
            size,
        }
    }

    /// How many of the sample are smaller than a slope: all or none beyond what is kept.
    pub(super) fn place(&self, slope: f64) -> f64 {
        let among = self.sorted.partition_point(|sampled| *sampled < slope);
        let place = if among == 0 {
            0
        } else if among == self.sorted.len() {
            self.size
        } else {
            self.skipped + among
        };
        place as f64
    }

    /// The slope at a place, or the nearest kept; 0 in an empty sample, which none is asked of.
    pub(super) fn slope_at(&self, place: f64) -> f64 {
        let among = (place as usize).saturating_sub(self.skipped);
        let last = self.sorted.len().saturating_sub(1);
        self.sorted.get(among.min(last)).copied().unwrap_or(0.0)
    }

    /// A sampled slope between two, or their middle where there is none.
    pub(super) fn between(&self, low: f64, high: f64) -> f64 {
        let start = self.sorted.partition_point(|slope| *slope < low);
        let end = self.sorted.partition_point(|slope| *slope <= high);
        self.sorted[start..end]
            .get((end - start) / 2)
            .copied()
            .unwrap_or(low + (high - low) / 2.0)
    }
}

/// A fixed sequence without a pattern: SplitMix64 (Steele, Lea and Flood 2014), begun at 0.
#[derive(Default)]
struct Sequence(u64);

impl Sequence {
    fn two_below(&mut self, end: u32) -> (u32, u32) {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^= mixed >> 31;
        let below = |half: u64| ((half * u64::from(end)) >> 32) as u32;
        (below(mixed >> 32), below(mixed & 0xffff_ffff))
    }
}
