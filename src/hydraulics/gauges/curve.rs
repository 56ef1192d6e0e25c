//! A pump's own curve.

use super::{
    error::{CannotCompute, present},
    monotone_cubic::MonotoneCubic,
    speed::npsh_required_exponent,
    uncertain::Uncertain,
};
use crate::{formula::Formula, language, say, word};

/// How the curve is read between its points.
pub const CURVE: Formula = Formula {
    name: word!("monotone piecewise cubic through the curve's points"),
    source: "F. N. Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17 (1980) 238–246; slopes by F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300–304",
};

/// How far the head may rise over that of the first point before it falls, as a share of it. Some low-flow
/// pumps droop a little at shut-off; more is a slip in the points. Our choice, no source.
pub const HIGHEST_DROOP_SHARE: f64 = 0.1;

/// One point of a maker's curve, at the curve's speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// Flow, m³/s.
    pub flow_m3_s: f64,
    /// Total head, m.
    pub head_m: f64,
    /// NPSH required, m; a curve may give it at some points only, but then at two or more.
    pub npsh_required_m: Option<f64>,
    /// Power at the pump's shaft, W, for the liquid the curve was made with; as for NPSH required.
    pub shaft_power_w: Option<f64>,
}

/// What is wrong with a curve. Points are counted from one.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CurveFault {
    /// Too few points to draw a line.
    #[error("{}", say!(
        "The curve has {count} point(s), and a curve needs at least two. Enter more points from the maker's curve.",
        count
    ))]
    TooFewPoints {
        /// How many there are.
        count: usize,
    },
    /// A number that is none, or that cannot be.
    #[error("{}", say!(
        "Point {point} of the curve: the {quantity} is {value}, which cannot be. Enter it again.",
        point, quantity = language::word(quantity), value
    ))]
    CannotBe {
        /// Which point.
        point: usize,
        /// Flow, head, NPSH required or shaft power.
        quantity: &'static str,
        /// What it was.
        value: f64,
    },
    /// Flow that does not go up.
    #[error("{}", say!(
        "Point {point} of the curve: the flow is not larger than at the point before. Enter the points in order of flow, each once.",
        point
    ))]
    FlowNotRising {
        /// Which point.
        point: usize,
    },
    /// Head that does not go down after its highest point.
    #[error("{}", say!(
        "Point {point} of the curve: the head does not fall from the point before, though it had begun to fall or the curve ends there. Check this point and the one before.",
        point
    ))]
    HeadNotFalling {
        /// Which point.
        point: usize,
    },
    /// Head that rises too far before it falls.
    #[error("{}", say!(
        "Point {point} of the curve: the head is more than a tenth above that of the first point. Check both.",
        point
    ))]
    RisesTooFar {
        /// Which point.
        point: usize,
    },
    /// A quantity given at one point only.
    #[error("{}", say!(
        "The curve has the {quantity} at one point only. Enter it at one more point, or at none.",
        quantity = language::word(quantity)
    ))]
    GivenOnce {
        /// NPSH required or shaft power.
        quantity: &'static str,
    },
    /// No speed the curve can be for.
    #[error("{}", say!(
        "The curve's speed is {speed_rpm} rpm, which cannot be. Enter the speed the maker's curve is for.",
        speed_rpm
    ))]
    Speed {
        /// What it was.
        speed_rpm: f64,
    },
}

/// A pump's curve at one speed.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    points: Vec<CurvePoint>,
    speed_rpm: f64,
    /// Which point has the highest head: the last of them where several are equal.
    highest: usize,
    head_m: MonotoneCubic,
    npsh_required_m: Option<MonotoneCubic>,
    shaft_power_w: Option<MonotoneCubic>,
}

impl Curve {
    /// A curve through these points, in order of flow, at `speed_rpm`.
    ///
    /// Head falls from its highest point on; before that it may rise a little ([`HIGHEST_DROOP_SHARE`]).
    ///
    /// # Errors
    /// [`CurveFault`], naming the point.
    pub fn new(points: Vec<CurvePoint>, speed_rpm: f64) -> Result<Self, CurveFault> {
        if points.len() < 2 {
            return Err(CurveFault::TooFewPoints {
                count: points.len(),
            });
        }
        if !(speed_rpm.is_finite() && speed_rpm > 0.0) {
            return Err(CurveFault::Speed { speed_rpm });
        }
        for (point, at) in (1..).zip(&points) {
            check_numbers(point, at)?;
        }
        if let Some(i) = points
            .windows(2)
            .position(|pair| pair[0].flow_m3_s >= pair[1].flow_m3_s)
        {
            return Err(CurveFault::FlowNotRising { point: i + 2 });
        }
        let highest = highest_point(&points)?;
        let head_m = through(&points, word!("head"), |point| Some(point.head_m))?.ok_or(
            CurveFault::TooFewPoints {
                count: points.len(),
            },
        )?;
        Ok(Self {
            head_m,
            npsh_required_m: through(&points, NPSH_REQUIRED, |point| point.npsh_required_m)?,
            shaft_power_w: through(&points, SHAFT_POWER, |point| point.shaft_power_w)?,
            points,
            speed_rpm,
            highest,
        })
    }

    /// The points it was made of.
    pub fn points(&self) -> &[CurvePoint] {
        &self.points
    }

    /// The speed it is for, rpm.
    pub fn speed_rpm(&self) -> f64 {
        self.speed_rpm
    }

    /// First and last flow, m³/s.
    pub fn flow_range_m3_s(&self) -> (f64, f64) {
        self.head_m.range()
    }

    /// The highest head on the curve, m: at shut-off, or a little right of it.
    pub fn highest_head_m(&self) -> f64 {
        self.points[self.highest].head_m
    }

    /// Total head at a flow, m.
    ///
    /// # Errors
    /// `OffTheCurve`.
    pub fn head_m(&self, flow_m3_s: Uncertain) -> Result<Uncertain, CannotCompute> {
        at(&self.head_m, word!("The head on the curve"), flow_m3_s)
    }

    /// NPSH required at a flow, m.
    ///
    /// # Errors
    /// `Missing` where the curve has none, `OffTheCurve`.
    pub fn npsh_required_m(&self, flow_m3_s: Uncertain) -> Result<Uncertain, CannotCompute> {
        let line = present(
            self.npsh_required_m.as_ref(),
            word!("NPSH required"),
            word!("a curve of it"),
            word!(
                "Have the planner enter NPSH required at two or more points of the pump's curve."
            ),
        )?;
        at(line, word!("NPSH required on the curve"), flow_m3_s)
    }

    /// Power at the pump's shaft at a flow, W, for the liquid the curve was made with.
    ///
    /// # Errors
    /// `Missing` where the curve has none, `OffTheCurve`.
    pub fn shaft_power_w(&self, flow_m3_s: Uncertain) -> Result<Uncertain, CannotCompute> {
        let line = present(
            self.shaft_power_w.as_ref(),
            word!("The curve's shaft power"),
            word!("a curve of it"),
            word!("Have the planner enter shaft power at two or more points of the pump's curve."),
        )?;
        at(line, word!("The shaft power on the curve"), flow_m3_s)
    }

    /// The same pump's curve at another speed, by the affinity laws ([`super::AFFINITY_LAWS`]).
    ///
    /// # Errors
    /// `Speed` for a speed that cannot be, `CannotBe` where the result is beyond numbers.
    pub fn at_speed(&self, speed_rpm: f64) -> Result<Self, CurveFault> {
        if !(speed_rpm.is_finite() && speed_rpm > 0.0) {
            return Err(CurveFault::Speed { speed_rpm });
        }
        let ratio = speed_rpm / self.speed_rpm;
        let points = self
            .points
            .iter()
            .map(|point| CurvePoint {
                flow_m3_s: point.flow_m3_s * ratio,
                head_m: point.head_m * ratio.powi(2),
                npsh_required_m: point
                    .npsh_required_m
                    .map(|npsh| npsh * ratio.powf(npsh_required_exponent(ratio))),
                shaft_power_w: point.shaft_power_w.map(|power| power * ratio.powi(3)),
            })
            .collect();
        Self::new(points, speed_rpm)
    }

    /// The line of heads.
    pub(super) fn heads(&self) -> &MonotoneCubic {
        &self.head_m
    }

    /// The flow at the highest head, m³/s.
    pub(super) fn flow_at_highest_head_m3_s(&self) -> f64 {
        self.points[self.highest].flow_m3_s
    }
}

/// Beyond any pump in m³/s, m or W, and far from where arithmetic runs out of numbers.
const LARGEST: f64 = 1e9;
const NPSH_REQUIRED: &str = word!("NPSH required");
const SHAFT_POWER: &str = word!("shaft power");

fn check_numbers(point: usize, at: &CurvePoint) -> Result<(), CurveFault> {
    let numbers = [
        (word!("flow"), Some(at.flow_m3_s), true),
        (word!("head"), Some(at.head_m), true),
        (NPSH_REQUIRED, at.npsh_required_m, false),
        (SHAFT_POWER, at.shaft_power_w, false),
    ];
    for (quantity, value, may_be_zero) in numbers {
        if let Some(value) = value
            && !((value > 0.0 || (may_be_zero && value == 0.0)) && value <= LARGEST)
        {
            return Err(CurveFault::CannotBe {
                point,
                quantity,
                value,
            });
        }
    }
    Ok(())
}

/// Which point has the highest head, where the heads go up to it and down from it.
fn highest_point(points: &[CurvePoint]) -> Result<usize, CurveFault> {
    let head = |i: usize| points[i].head_m;
    let last = points.len() - 1;
    let highest = (0..last)
        .find(|&i| head(i + 1) < head(i))
        .ok_or(CurveFault::HeadNotFalling { point: last + 1 })?;
    if let Some(i) = (highest..last).find(|&i| head(i + 1) >= head(i)) {
        return Err(CurveFault::HeadNotFalling { point: i + 2 });
    }
    if head(highest) > head(0) * (1.0 + HIGHEST_DROOP_SHARE) {
        return Err(CurveFault::RisesTooFar { point: highest + 1 });
    }
    Ok(highest)
}

/// The line of one quantity through the points that have it; `None` where none has.
fn through(
    points: &[CurvePoint],
    quantity: &'static str,
    of: impl Fn(&CurvePoint) -> Option<f64>,
) -> Result<Option<MonotoneCubic>, CurveFault> {
    let given: Vec<(f64, f64)> = points
        .iter()
        .filter_map(|point| Some((point.flow_m3_s, of(point)?)))
        .collect();
    if given.len() == 1 {
        return Err(CurveFault::GivenOnce { quantity });
    }
    Ok(MonotoneCubic::through(&given))
}

/// A line's value at a flow, with the flow's uncertainty by the line's slope there.
fn at(
    line: &MonotoneCubic,
    quantity: &'static str,
    flow_m3_s: Uncertain,
) -> Result<Uncertain, CannotCompute> {
    let flow = flow_m3_s.value();
    let (first_m3_s, last_m3_s) = line.range();
    if !(first_m3_s..=last_m3_s).contains(&flow) {
        return Err(CannotCompute::OffTheCurve {
            flow_m3_s: flow,
            first_m3_s,
            last_m3_s,
        });
    }
    let half_width = line.slope(flow).abs() * flow_m3_s.half_width();
    Uncertain::named(quantity, line.value(flow), half_width)
}
