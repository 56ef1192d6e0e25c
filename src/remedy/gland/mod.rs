//! Gland nuts: even on all of them, one flat at a time, a wait, a recount, and when to stop.

mod response;
mod standing;
mod stop;
mod suggest;

pub use response::{FEWEST_PAIRS, FlatsPair, NEWEST_PAIRS, RESPONSE, Response, response};
pub use standing::{Standing, large_step, standing, uneven};
pub use stop::{GlandSeen, NeverTighten, SMOKES_FROM_STEP, StopRule, may_tighten, stop_rule};
pub use suggest::{Band, Expected, ONE_FLAT, Suggestion, suggest};

/// Minutes to wait between turning the nuts and counting again.
///
/// New packing is to run 10 to 15 minutes before it is tightened (MIL-HDBK-1164, Table 11, p. 77); that the same wait
/// does between steps is common practice, no source.
pub const WAIT_MIN: f64 = 10.0;
