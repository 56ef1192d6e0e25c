//! Interpolation that never swings beyond its points.

/// Enough to find a place to within 1e-15 of the stretch it is looked for in.
const HALVINGS: usize = 50;

/// A piecewise cubic through points with rising `x`: monotone wherever the points are.
///
/// F. N. Fritsch and R. E. Carlson, "Monotone piecewise cubic interpolation", SIAM J. Numer. Anal. 17
/// (1980) 238–246, with the slopes of F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984)
/// 300–304, as SLATEC's PCHIM sets them.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct MonotoneCubic {
    x: Vec<f64>,
    y: Vec<f64>,
    slope: Vec<f64>,
}

impl MonotoneCubic {
    /// Through these points; `None` for fewer than two, or `x` that does not rise.
    pub(super) fn through(points: &[(f64, f64)]) -> Option<Self> {
        let (x, y): (Vec<f64>, Vec<f64>) = points.iter().copied().unzip();
        if x.len() < 2 || x.windows(2).any(|pair| pair[0] >= pair[1]) {
            return None;
        }
        let width: Vec<f64> = x.windows(2).map(|pair| pair[1] - pair[0]).collect();
        let secant: Vec<f64> = y
            .windows(2)
            .zip(&width)
            .map(|(pair, width)| (pair[1] - pair[0]) / width)
            .collect();
        let slope = slopes(&width, &secant);
        Some(Self { x, y, slope })
    }

    /// First and last `x`.
    pub(super) fn range(&self) -> (f64, f64) {
        (self.x[0], self.x[self.x.len() - 1])
    }

    /// The value at `x`; beyond the ends, the end's.
    pub(super) fn value(&self, x: f64) -> f64 {
        let (i, width, t) = self.place(x);
        let s = 1.0 - t;
        let (y0, y1) = (self.y[i], self.y[i + 1]);
        let (m0, m1) = (self.slope[i], self.slope[i + 1]);
        s * s * (1.0 + 2.0 * t) * y0
            + t * t * (3.0 - 2.0 * t) * y1
            + width * t * s * (s * m0 - t * m1)
    }

    /// The slope at `x`; beyond the ends, the end's.
    pub(super) fn slope(&self, x: f64) -> f64 {
        let (i, width, t) = self.place(x);
        let rise = (self.y[i + 1] - self.y[i]) / width;
        6.0 * t * (1.0 - t) * rise
            + (1.0 - t) * (1.0 - 3.0 * t) * self.slope[i]
            + t * (3.0 * t - 2.0) * self.slope[i + 1]
    }

    /// Where, between `from` and `to`, a stretch that rises or falls throughout has the value `y`;
    /// the nearer end where it never has.
    pub(super) fn solve(&self, y: f64, (from, to): (f64, f64)) -> f64 {
        let falls = self.value(from) > self.value(to);
        let (mut low, mut high) = (from, to);
        if self.at_or_before(y, high, falls) {
            return high;
        }
        for _ in 0..HALVINGS {
            let middle = low + (high - low) / 2.0;
            if self.at_or_before(y, middle, falls) {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }

    /// Whether `x` is not yet past the place where the stretch has the value `y`.
    fn at_or_before(&self, y: f64, x: f64, falls: bool) -> bool {
        if falls {
            self.value(x) >= y
        } else {
            self.value(x) <= y
        }
    }

    /// The interval `x` lies in, its width, and the share of it before `x`.
    fn place(&self, x: f64) -> (usize, f64, f64) {
        let last = self.x.len() - 2;
        let i = self.x[1..=last].partition_point(|&knot| knot <= x);
        let width = self.x[i + 1] - self.x[i];
        (i, width, ((x - self.x[i]) / width).clamp(0.0, 1.0))
    }
}

fn slopes(width: &[f64], secant: &[f64]) -> Vec<f64> {
    let last = secant.len() - 1;
    if last == 0 {
        return vec![secant[0]; 2];
    }
    let mut slope = vec![end_slope((width[0], width[1]), (secant[0], secant[1]))];
    for i in 1..=last {
        slope.push(inner_slope(
            (width[i - 1], width[i]),
            (secant[i - 1], secant[i]),
        ));
    }
    slope.push(end_slope(
        (width[last], width[last - 1]),
        (secant[last], secant[last - 1]),
    ));
    slope
}

/// Zero at a turn or a flat, else the weighted harmonic mean of both secants.
fn inner_slope((before_width, after_width): (f64, f64), (before, after): (f64, f64)) -> f64 {
    if before.signum() != after.signum() || before == 0.0 || after == 0.0 {
        return 0.0;
    }
    let before_weight = 2.0 * after_width + before_width;
    let after_weight = after_width + 2.0 * before_width;
    (before_weight + after_weight) / (before_weight / before + after_weight / after)
}

/// The three-point slope, held to what keeps the first interval monotone.
fn end_slope((near_width, far_width): (f64, f64), (near, far): (f64, f64)) -> f64 {
    let slope =
        ((2.0 * near_width + far_width) * near - near_width * far) / (near_width + far_width);
    if near == 0.0 || slope.signum() != near.signum() {
        0.0
    } else if near.signum() != far.signum() && slope.abs() > 3.0 * near.abs() {
        3.0 * near
    } else {
        slope
    }
}
