//! The k-th smallest of all slopes between two points, without looking at all n²/2 of them.
//!
//! Seen from slope s, points ordered by y − s·x stand in the same order as their times save for the pairs whose slope
//! is below s: counting those is counting inversions, O(n log n). A sample of slopes says about where rank k lies, a
//! few counts close in on it, and once few slopes are left between two counted ones, they are listed. The sample comes
//! from a fixed sequence: the same points always take the same steps. What is found is exact whatever the sample; a
//! poor one would only take longer. (After Cole, Salowe, Steiger and Szemerédi 1989 and Matoušek 1991, from memory.)

use super::{
    Point,
    inversions::{Keyed, sort_counting},
    sample::Sample,
};

/// Up to this many points all slopes are listed at once.
const LIST_ALL_UP_TO: usize = 256;
/// Slopes listed at the end, per point.
const LISTED_PER_POINT: u64 = 24;
/// Standard deviations of a sample's rank around which the wanted one is looked for.
const MARGIN: f64 = 3.0;
/// Fewer sampled slopes between two counted ones than this say nothing: the middle is tried.
const FEWEST_SAMPLED: f64 = 8.0;
/// Slopes nearer than this, relative to the range of values over the range of times, count as equal while searching.
/// Rounding in y − s·x is a thousand times smaller even between neighbours among 20,000 points.
const SAME_SLOPE: f64 = 1e-9;

pub(super) struct Slopes {
    points: Centred,
    /// How many pairs of points have different times.
    pairs: u64,
    /// All slopes, sorted, where there are few points; else none.
    all: Vec<f64>,
    sample: Sample,
    /// Where it was counted, by slope.
    counted: Vec<Counted>,
}

/// Times and values less their middle, by time and then by value.
pub(super) struct Centred {
    pub x: Vec<f64>,
    pub y: Vec<f64>,
    /// Range of values over range of times.
    pub scale: f64,
}

/// The order of the points seen from one slope.
struct Counted {
    slope: f64,
    /// How many slopes are smaller.
    below: u64,
    /// Points by y − slope·x. Left empty at the highest slope, which nothing is counted from.
    order: Vec<u32>,
}

impl Slopes {
    /// Of at least two points of different times, sorted by time; `pairs` of them have different times. Ranks from
    /// `lowest` to `highest` are going to be asked for.
    pub(super) fn new(points: &[Point], pairs: u64, lowest: u64, highest: u64) -> Self {
        let points = Centred::new(points);
        let (mut all, mut counted, mut sample) = (Vec::new(), Vec::new(), Sample::default());
        if points.x.len() <= LIST_ALL_UP_TO {
            all = points.all_slopes(pairs);
        } else {
            let share = |rank: u64| rank as f64 / pairs as f64;
            sample = Sample::new(&points, share(lowest), share(highest));
            counted = ends(&points, pairs);
        }
        Self {
            points,
            pairs,
            all,
            sample,
            counted,
        }
    }

    /// The mean of the slopes of ranks `first` and `last` (counted from 0), which are equal or neighbours.
    pub(super) fn at_ranks(&mut self, first: u64, last: u64) -> f64 {
        if !self.all.is_empty() {
            return (self.all[first as usize] + self.all[last as usize]) / 2.0;
        }
        if self.points.scale == 0.0 {
            return 0.0;
        }
        loop {
            let (low, high) = self.bracket(first, last);
            let (from, to) = (&self.counted[low], &self.counted[high]);
            let held = to.below - from.below;
            if held <= self.few() {
                return self.listed_at(from, to, first, last);
            }
            let magnitude = from.slope.abs().max(to.slope.abs());
            if to.slope - from.slope <= 4.0 * self.points.same(magnitude) {
                return self.sample.between(from.slope, to.slope);
            }
            for slope in self.guesses(from, to, first, last) {
                self.count_at(slope);
            }
            let (low, high) = self.bracket(first, last);
            let (from, to) = (&self.counted[low], &self.counted[high]);
            if to.below - from.below > held / 8 * 7 {
                self.count_at(from.slope + (to.slope - from.slope) / 2.0);
            }
        }
    }

    fn few(&self) -> u64 {
        LISTED_PER_POINT * self.points.x.len() as u64
    }

    /// Positions of the nearest counted slopes around the ranks.
    fn bracket(&self, first: u64, last: u64) -> (usize, usize) {
        let low = self
            .counted
            .iter()
            .rposition(|counted| counted.below <= first)
            .unwrap_or(0);
        let high = (low + 1..self.counted.len())
            .find(|i| self.counted[*i].below > last)
            .unwrap_or(self.counted.len() - 1);
        (low, high)
    }

    /// Where to count next: on both sides of where the ranks probably lie, if what is between can then be listed; else
    /// right there, which shows how far off the sample is.
    fn guesses(&self, from: &Counted, to: &Counted, first: u64, last: u64) -> Vec<f64> {
        let (start, end) = (self.sample.place(from.slope), self.sample.place(to.slope));
        let sampled = end - start;
        if sampled < FEWEST_SAMPLED {
            return Vec::new();
        }
        let held = (to.below - from.below) as f64;
        let share = |rank: u64| (rank - from.below) as f64 / held;
        let spread = (sampled * share(first) * (1.0 - share(first))).sqrt();
        let margin = MARGIN * (spread + 1.0);
        let at = |place: f64| self.sample.slope_at(start + place);
        let guesses = if 2.0 * margin * held / sampled > self.few() as f64 {
            vec![at(share(first) * sampled)]
        } else {
            let low = at(share(first) * sampled - margin);
            let high = at(share(last) * sampled + margin);
            vec![
                low - self.points.same(low.abs()),
                high + self.points.same(high.abs()),
            ]
        };
        let is_between = |slope: &f64| from.slope < *slope && *slope < to.slope;
        guesses.into_iter().filter(is_between).collect()
    }

    /// Counts from the nearest counted slope: the less lies between, the less is to be sorted.
    fn count_at(&mut self, slope: f64) {
        let above = self
            .counted
            .partition_point(|counted| counted.slope < slope);
        let (low, high) = (&self.counted[above - 1], &self.counted[above]);
        let place = |counted: &Counted| self.sample.place(counted.slope);
        let at = self.sample.place(slope);
        let is_nearer_high = place(high) - at < at - place(low) && !high.order.is_empty();
        let start = if is_nearer_high { high } else { low };
        let mut keyed = self.points.seen_from(slope, &start.order);
        let passed = sort_counting(&mut keyed);
        let below = if is_nearer_high {
            start.below - passed.min(start.below)
        } else {
            start.below + passed
        };
        let order = keyed.into_iter().map(|keyed| keyed.from).collect();
        self.counted.insert(
            above,
            Counted {
                slope,
                below: below.min(self.pairs),
                order,
            },
        );
    }

    /// Lists the slopes between two counted ones: the pairs that change places on the way from one order to the other.
    fn listed_at(&self, from: &Counted, to: &Counted, first: u64, last: u64) -> f64 {
        let mut listed = Vec::with_capacity((to.below - from.below) as usize);
        let mut passed = self.points.seen_from(to.slope, &from.order);
        for i in 1..passed.len() {
            let moving = passed[i];
            let mut place = i;
            while place > 0 && moving.key < passed[place - 1].key {
                listed.push(self.points.slope(passed[place - 1].from, moving.from));
                passed[place] = passed[place - 1];
                place -= 1;
            }
            passed[place] = moving;
        }
        // Rounding may have put a slope on the other side of a counted one: then it is that one's equal.
        let wanted = (first - from.below) as usize;
        if wanted >= listed.len() {
            return to.slope;
        }
        let (_, at_first, above) = listed.select_nth_unstable_by(wanted, f64::total_cmp);
        match above.iter().copied().min_by(f64::total_cmp) {
            Some(next) if last > first => (*at_first + next) / 2.0,
            _ => *at_first,
        }
    }
}

impl Centred {
    fn new(points: &[Point]) -> Self {
        let mut points = points.to_vec();
        points.sort_by(|a, b| {
            a.at_day
                .total_cmp(&b.at_day)
                .then(a.value.total_cmp(&b.value))
        });
        let (x, x_range) = centred(points.iter().map(|point| point.at_day));
        let (y, y_range) = centred(points.iter().map(|point| point.value));
        Self {
            x,
            y,
            scale: y_range / x_range,
        }
    }

    pub(super) fn slope(&self, i: u32, j: u32) -> f64 {
        let (i, j) = (i as usize, j as usize);
        (self.y[j] - self.y[i]) / (self.x[j] - self.x[i])
    }

    /// Up to which distance slopes of this magnitude count as equal.
    fn same(&self, magnitude: f64) -> f64 {
        SAME_SLOPE * (self.scale + magnitude)
    }

    fn all_slopes(&self, pairs: u64) -> Vec<f64> {
        let n = self.x.len() as u32;
        let mut all = Vec::with_capacity(pairs as usize);
        for i in 0..n {
            let later = (i + 1..n).filter(|j| self.x[*j as usize] > self.x[i as usize]);
            all.extend(later.map(|j| self.slope(i, j)));
        }
        all.sort_unstable_by(f64::total_cmp);
        all
    }

    fn seen_from(&self, slope: f64, order: &[u32]) -> Vec<Keyed> {
        let keyed = order.iter().map(|from| {
            let i = *from as usize;
            Keyed {
                key: self.y[i] - slope * self.x[i],
                from: *from,
            }
        });
        keyed.collect()
    }
}

/// Just below the lowest and just above the highest slope. Both are between neighbours in time.
fn ends(points: &Centred, pairs: u64) -> Vec<Counted> {
    let (mut lowest, mut highest) = (f64::INFINITY, f64::NEG_INFINITY);
    let mut before: Option<(u32, u32)> = None;
    let mut first = 0;
    for moment in points.x.chunk_by(|a, b| a == b) {
        let last = first + moment.len() as u32 - 1;
        if let Some((before_first, before_last)) = before {
            lowest = lowest.min(points.slope(before_last, first));
            highest = highest.max(points.slope(before_first, last));
        }
        before = Some((first, last));
        first = last + 1;
    }
    vec![
        Counted {
            slope: lowest - points.same(lowest.abs()),
            below: 0,
            order: (0..points.x.len() as u32).collect(),
        },
        Counted {
            slope: highest + points.same(highest.abs()),
            below: pairs,
            order: Vec::new(),
        },
    ]
}

/// Values less the middle of their range, so that rounding is relative to the range; and the range.
fn centred(values: impl Iterator<Item = f64> + Clone) -> (Vec<f64>, f64) {
    let low = values.clone().fold(f64::INFINITY, f64::min);
    let high = values.clone().fold(f64::NEG_INFINITY, f64::max);
    let middle = low + (high - low) / 2.0;
    (values.map(|value| value - middle).collect(), high - low)
}
