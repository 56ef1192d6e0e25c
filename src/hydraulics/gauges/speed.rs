//! The affinity laws: one pump at another speed.

use crate::{formula::Formula, word};

/// How a pump changes with its speed.
pub const AFFINITY_LAWS: Formula = Formula {
    name: word!("Q ∝ n, H ∝ n², P ∝ n³; NPSHr ∝ n² to a higher speed and n^1.5 to a lower one"),
    source: "DOE-HDBK-1012/3-92, equations 3-23 to 3-25; NPSHr: D. B. Andrews, Lawrence Pumps newsletter 4/3, March 2007",
};

/// The exponent of NPSH required with speed: the one of the two in use that asks for more.
pub(super) fn npsh_required_exponent(ratio: f64) -> f64 {
    if ratio < 1.0 { 1.5 } else { 2.0 }
}
