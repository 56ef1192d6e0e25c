//! The k-th smallest of all slopes between two points, without looking at all n²/2 of them.
//!
//! Seen from slope s, points ordered by y − s·x stand in the same order as their times save for the pairs whose slope
//! is below s: counting those is counting inversions, O(n log n). A sample of slopes says about where rank k lies, a
//! few counts close in on it, and once few slopes are left between two counted ones, they are listed. The sample comes
//! from a fixed sequence: the same points always take the same steps. What is found is the slope of that rank, or one
//! so near that rounding hardly tells them apart (`SAME_SLOPE`), whatever the sample; a poor one would only take longer.
//! (After Cole, Salowe, Steiger and Szemerédi 1989 and Matoušek 1991, from memory.)

use super::{
    Point,
    inversions::{Keyed, sort_counting},
    robust,
    sample::Sample,
};

/// Up to this many points all slopes are listed at once.
const LIST_ALL_UP_TO: usize = 256;
/// Slopes listed at the end, per point.
const LISTED_PER_POINT: u64 = 24;
/// Standard deviations of a sample's rank around which the wanted one is looked for.
const MARGIN: f64 = 2.0;
/// Fewer sampled slopes between two counted ones than this say nothing: the middle is tried.
const FEWEST_SAMPLED: f64 = 8.0;
/// Slopes nearer than this, relative to how far values and times usually lie from their middle, count as equal while
/// searching. Rounding in y − s·x is a hundred times smaller even between neighbours among 20,000 points.
const SAME_SLOPE: f64 = 1e-9;
/// Usual slopes below this are told from rounding no more: they count as none.
const TOO_SMALL: f64 = 1e-290;
/// Points looked at, about, to know where the middle is.
const SURVEYED: usize = 500;

pub(super) struct Slopes {
    points: Centred,
    /// How many pairs of points have different times.
    pairs: u64,
    /// All slopes where there are few points; else none.
    all: Vec<f64>,
    /// Ranks whose slope was found among all and lies at its place, in order.
    found: Vec<usize>,
    sample: Sample,
    /// Where it was counted, by slope.
    counted: Vec<Counted>,
}

/// Times and values less their middle, by time and then by value.
pub(super) struct Centred {
    pub xy: Vec<(f64, f64)>,
    /// How far values usually lie from their middle, over the same of times; 0 where all values are equal.
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

/// The slopes from a counted one on.
struct Listed {
    /// How many slopes are smaller.
    below: u64,
    slopes: Vec<f64>,
    /// The order of the points seen from where the list ends.
    order: Vec<u32>,
}

impl Slopes {
    /// Of at least two points of different times, sorted by time; `pairs` of them have different times. Ranks from
    /// `lowest` to `highest` are going to be asked for.
    pub(super) fn new(points: &[Point], pairs: u64, lowest: u64, highest: u64) -> Self {
        let points = Centred::new(points);
        let (mut all, mut counted, mut sample) = (Vec::new(), Vec::new(), Sample::default());
        if points.xy.len() <= LIST_ALL_UP_TO {
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
            found: Vec::new(),
            sample,
            counted,
        }
    }

    /// The mean of the slopes of ranks `first` and `last` (counted from 0), which are equal or neighbours.
    pub(super) fn at_ranks(&mut self, first: u64, last: u64) -> f64 {
        if !self.all.is_empty() {
            return (self.listed_at(first as usize) + self.listed_at(last as usize)) / 2.0;
        }
        if self.points.scale < TOO_SMALL {
            return 0.0;
        }
        let (at_first, next) = self.at_rank(first);
        if first == last {
            return at_first;
        }
        let at_last = match next {
            Some(next) => next,
            None => self.at_rank(last).0,
        };
        (at_first + at_last) / 2.0
    }

    /// The slope of a rank among all that are listed: looked for between those found before, which lie at their ranks.
    fn listed_at(&mut self, rank: usize) -> f64 {
        let above = self.found.partition_point(|found| *found < rank);
        if self.found.get(above) != Some(&rank) {
            let from = above
                .checked_sub(1)
                .map_or(0, |below| self.found[below] + 1);
            let to = self.found.get(above).copied().unwrap_or(self.all.len());
            self.all[from..to].select_nth_unstable_by(rank - from, f64::total_cmp);
            self.found.insert(above, rank);
        }
        self.all[rank]
    }

    /// The slope of a rank, and the next where it came to light too. Every round leaves an eighth fewer slopes between
    /// the counted ones around the rank, or half their distance.
    fn at_rank(&mut self, rank: u64) -> (f64, Option<f64>) {
        loop {
            let (low, high) = self.bracket(rank);
            let (from, to) = (&self.counted[low], &self.counted[high]);
            let held = to.below - from.below;
            if held <= self.few()
                && let Some(listed) = self.list(from, to.slope)
            {
                return listed.at_rank(rank).unwrap_or((to.slope, None));
            }
            let magnitude = from.slope.abs().max(to.slope.abs());
            if to.slope - from.slope <= 4.0 * self.points.same(magnitude) {
                return (self.sample.between(from.slope, to.slope), None);
            }
            let (at, list_up_to) = self.guess(from, to, rank);
            if let Some(slope) = at {
                self.count_at(slope);
            }
            if let Some(slope) = list_up_to
                && let Some(found) = self.list_from_nearest(slope, rank)
            {
                return found;
            }
            let (low, high) = self.bracket(rank);
            let (from, to) = (&self.counted[low], &self.counted[high]);
            if to.below - from.below > held / 8 * 7 {
                self.count_at(from.slope + (to.slope - from.slope) / 2.0);
            }
        }
    }

    fn few(&self) -> u64 {
        LISTED_PER_POINT * self.points.xy.len() as u64
    }

    /// Positions of the nearest counted slopes around a rank.
    fn bracket(&self, rank: u64) -> (usize, usize) {
        let low = self
            .counted
            .iter()
            .rposition(|counted| counted.below <= rank)
            .unwrap_or(0);
        (low, (low + 1).min(self.counted.len() - 1))
    }

    /// Where to count next: right where the rank probably lies, which shows how far off the sample is; or, once that is
    /// known well enough, somewhat below, and up to where the slopes from there are to be listed.
    fn guess(&self, from: &Counted, to: &Counted, rank: u64) -> (Option<f64>, Option<f64>) {
        let (start, end) = (self.sample.place(from.slope), self.sample.place(to.slope));
        let sampled = end - start;
        if sampled < FEWEST_SAMPLED {
            return (None, None);
        }
        let held = (to.below - from.below) as f64;
        let share = (rank - from.below) as f64 / held;
        let spread = (sampled * share * (1.0 - share)).sqrt();
        let margin = MARGIN * (spread + 1.0);
        let at = |place: f64| self.sample.slope_at(start + place);
        let between = |slope: f64| (from.slope < slope && slope < to.slope).then_some(slope);
        if 2.0 * margin * held / sampled > self.few() as f64 {
            return (between(at(share * sampled)), None);
        }
        let low = at(share * sampled - margin);
        let high = at(share * sampled + margin);
        (
            between(low - self.points.same(low.abs())),
            between(high + self.points.same(high.abs())),
        )
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
        let below = below.min(self.pairs);
        self.counted.insert(
            above,
            Counted {
                slope,
                below,
                order,
            },
        );
    }

    /// Lists from the nearest counted slope below the rank up to this one, which is counted with it.
    fn list_from_nearest(&mut self, slope: f64, rank: u64) -> Option<(f64, Option<f64>)> {
        let (low, high) = self.bracket(rank);
        let from = &self.counted[low];
        if slope <= from.slope || slope >= self.counted[high].slope {
            return None;
        }
        let Some(listed) = self.list(from, slope) else {
            self.count_at(slope);
            return None;
        };
        let counted = Counted {
            slope,
            below: from.below + listed.slopes.len() as u64,
            order: listed.order.clone(),
        };
        self.counted.insert(high, counted);
        listed.at_rank(rank)
    }

    /// Lists the slopes from a counted one up to another: the pairs that change places on the way from one order to
    /// the other. None where they are more than a few.
    fn list(&self, from: &Counted, to: f64) -> Option<Listed> {
        let most = 2 * self.few() as usize;
        let mut slopes = Vec::with_capacity(most / 2);
        let mut passed = self.points.seen_from(to, &from.order);
        for i in 1..passed.len() {
            let moving = passed[i];
            let mut place = i;
            while place > 0 && moving.key < passed[place - 1].key {
                slopes.push(self.points.slope(passed[place - 1].from, moving.from));
                passed[place] = passed[place - 1];
                place -= 1;
            }
            passed[place] = moving;
            if slopes.len() > most {
                return None;
            }
        }
        Some(Listed {
            below: from.below,
            slopes,
            order: passed.into_iter().map(|keyed| keyed.from).collect(),
        })
    }
}

impl Listed {
    /// The slope of a rank, and the next where it is listed too; none where the rank is not among those listed.
    fn at_rank(mut self, rank: u64) -> Option<(f64, Option<f64>)> {
        let wanted = (rank - self.below) as usize;
        if wanted >= self.slopes.len() {
            return None;
        }
        let (_, found, above) = self.slopes.select_nth_unstable_by(wanted, f64::total_cmp);
        Some((*found, above.iter().copied().min_by(f64::total_cmp)))
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
        let (x_middle, x_usual) = middle_and_distance(&points, |point| point.at_day);
        let (y_middle, y_usual) = middle_and_distance(&points, |point| point.value);
        let xy = points
            .iter()
            .map(|point| (point.at_day - x_middle, point.value - y_middle))
            .collect();
        Self {
            xy,
            scale: y_usual / x_usual,
        }
    }

    pub(super) fn slope(&self, i: u32, j: u32) -> f64 {
        let ((x_i, y_i), (x_j, y_j)) = (self.xy[i as usize], self.xy[j as usize]);
        (y_j - y_i) / (x_j - x_i)
    }

    /// Up to which distance slopes of this magnitude count as equal.
    fn same(&self, magnitude: f64) -> f64 {
        SAME_SLOPE * (self.scale + magnitude)
    }

    fn all_slopes(&self, pairs: u64) -> Vec<f64> {
        let mut all = Vec::with_capacity(pairs as usize);
        for (i, (x, y)) in self.xy.iter().enumerate() {
            let at_or_after = &self.xy[i + 1..];
            let later = &at_or_after[at_or_after.partition_point(|later| later.0 <= *x)..];
            all.extend(later.iter().map(|later| (later.1 - y) / (later.0 - x)));
        }
        all
    }

    fn seen_from(&self, slope: f64, order: &[u32]) -> Vec<Keyed> {
        let keyed = order.iter().map(|from| {
            let (x, y) = self.xy[*from as usize];
            Keyed {
                key: y - slope * x,
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
    for moment in points.xy.chunk_by(|a, b| a.0 == b.0) {
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
            order: (0..points.xy.len() as u32).collect(),
        },
        Counted {
            slope: highest + points.same(highest.abs()),
            below: pairs,
            order: Vec::new(),
        },
    ]
}

/// About the median of what is given, and about how far it usually lies from it where it does at all. A few hundred
/// points say it well enough: the one is taken off, so that rounding is small, the other is what small is measured by.
/// Neither is moved by wild entries.
fn middle_and_distance(points: &[Point], of: impl Fn(&Point) -> f64) -> (f64, f64) {
    let step = points.len().div_ceil(SURVEYED);
    let mut some: Vec<f64> = points.iter().step_by(step).map(&of).collect();
    let middle = robust::median_in_place(&mut some);
    let distance = |value: f64| (value - middle).abs();
    let mut distances: Vec<f64> = some
        .into_iter()
        .map(distance)
        .filter(|d| *d > 0.0)
        .collect();
    let usual = if distances.is_empty() {
        points
            .iter()
            .map(|point| distance(of(point)))
            .fold(0.0, f64::max)
    } else {
        robust::median_in_place(&mut distances)
    };
    (middle, usual)
}
