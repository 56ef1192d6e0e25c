//! The flow a head tells of, on the pump's own curve.

use super::{curve::Curve, uncertain::Uncertain};
use crate::{formula::Formula, say, word};

/// How flow is told from head.
pub const FLOW_FROM_HEAD: Formula = Formula {
    name: word!(
        "flow where the pump's curve has the head read; its interval, where the curve crosses the head's"
    ),
    source: "common practice, no source; curve between its points by Fritsch and Carlson (1980)",
};

/// What is always to be said beside a flow told from head.
pub const WORN_PUMP_CAUTION: &str = word!(
    "This takes the pump to be as good as its curve. A worn pump makes less head, so that the flow told is too high; a flow meter settles it."
);

/// The widest interval of flow that still tells something, as a share of the curve's range of flow. Our choice, no source.
pub const WIDEST_TELLING_SHARE: f64 = 1.0 / 3.0;

/// What a head tells of the flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FlowFromHead {
    /// A flow.
    Found {
        /// Most likely flow, m³/s.
        flow_m3_s: f64,
        /// Lowest flow the head allows, m³/s.
        lowest_m3_s: f64,
        /// Highest flow the head allows, m³/s.
        highest_m3_s: f64,
        /// The head also allows flows beyond the curve's end, which are not in the interval.
        may_be_beyond_end: bool,
    },
    /// The curve is too flat here to tell: the interval is wider than [`WIDEST_TELLING_SHARE`].
    TooFlat {
        /// Lowest flow the head allows, m³/s.
        lowest_m3_s: f64,
        /// Highest flow the head allows, m³/s.
        highest_m3_s: f64,
        /// Width of the interval over the curve's range of flow.
        share: f64,
    },
    /// The head is higher than any on the curve, by more than its uncertainty.
    AboveCurve {
        /// Head over the curve's highest, m.
        by_m: f64,
    },
    /// The head is lower than the curve's end, by more than its uncertainty.
    OffTheEnd {
        /// Head under the curve's lowest, m.
        by_m: f64,
    },
}

impl FlowFromHead {
    /// The flow as a value with its uncertainty (the wider side of its interval), where there is one and
    /// the interval is whole.
    pub fn flow_m3_s(&self) -> Option<Uncertain> {
        match *self {
            Self::Found {
                flow_m3_s,
                lowest_m3_s,
                highest_m3_s,
                may_be_beyond_end: false,
            } => {
                let half_width = (flow_m3_s - lowest_m3_s).max(highest_m3_s - flow_m3_s);
                Uncertain::new(flow_m3_s, half_width).ok()
            }
            _ => None,
        }
    }

    /// The lowest flow the head allows, m³/s, where the curve has the head.
    pub fn lowest_m3_s(&self) -> Option<f64> {
        match *self {
            Self::Found { lowest_m3_s, .. } | Self::TooFlat { lowest_m3_s, .. } => {
                Some(lowest_m3_s)
            }
            Self::AboveCurve { .. } | Self::OffTheEnd { .. } => None,
        }
    }

    /// A sentence for the operator, without numbers. Whether the pump has a flow meter to read it doesn't know.
    pub fn sentence(&self) -> &'static str {
        match self {
            Self::Found {
                may_be_beyond_end: false,
                ..
            } => say!("The head meets the pump's curve at this flow."),
            Self::Found { .. } => {
                say!(
                    "The head meets the pump's curve near its end; the flow may be beyond it. Look at amps."
                )
            }
            Self::TooFlat { .. } => {
                say!("The pump's curve is too flat here to tell the flow from the head.")
            }
            Self::AboveCurve { .. } => {
                say!(
                    "The head is higher than this pump can make on its curve. Check both gauges, the speed and which curve is entered."
                )
            }
            Self::OffTheEnd { .. } => {
                say!(
                    "The head is lower than the curve's end: the pump runs beyond its curve, or is worn, air-bound or turning the wrong way. Look at amps."
                )
            }
        }
    }
}

impl Curve {
    /// The flow a head tells of. Say [`WORN_PUMP_CAUTION`] with it.
    ///
    /// The curve must be for the speed the pump runs at ([`Curve::at_speed`]). Where the curve droops at
    /// shut-off, two flows may have one head: the larger is called most likely, and the interval holds both.
    pub fn flow_from_head(&self, total_head_m: Uncertain) -> FlowFromHead {
        let heads = self.heads();
        let (first, end) = heads.range();
        let peak = self.flow_at_highest_head_m3_s();
        let (lowest_head, highest_head) = (heads.value(end), self.highest_head_m());
        if total_head_m.lower() > highest_head {
            return FlowFromHead::AboveCurve {
                by_m: total_head_m.value() - highest_head,
            };
        }
        if total_head_m.upper() < lowest_head {
            return FlowFromHead::OffTheEnd {
                by_m: lowest_head - total_head_m.value(),
            };
        }
        let falling = |head: f64| {
            if head >= highest_head {
                peak
            } else {
                heads.solve(head.max(lowest_head), (peak, end))
            }
        };
        let highest_m3_s = falling(total_head_m.lower());
        // Left of a droop's peak the head allows flows too, unless shut-off is already above all it allows.
        let lowest_m3_s = if first < peak && heads.value(first) <= total_head_m.upper() {
            heads.solve(total_head_m.lower(), (first, peak))
        } else {
            falling(total_head_m.upper())
        };
        let share = (highest_m3_s - lowest_m3_s) / (end - first);
        if share > WIDEST_TELLING_SHARE {
            return FlowFromHead::TooFlat {
                lowest_m3_s,
                highest_m3_s,
                share,
            };
        }
        FlowFromHead::Found {
            flow_m3_s: falling(total_head_m.value()),
            lowest_m3_s,
            highest_m3_s,
            may_be_beyond_end: total_head_m.lower() < lowest_head,
        }
    }
}
