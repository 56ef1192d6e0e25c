use super::{LONGEST_S, MOST_DROPS, SHORTEST_S};
use crate::say;

/// Why nothing can be said from a count, and what would allow it.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum CountingError {
    /// A time that is zero, negative, not a number or beyond all counting.
    #[error("{}", say!(
        "a count over {seconds} s gives no rate; enter the time that was watched, from {shortest} s to {longest} s",
        seconds, shortest = SHORTEST_S, longest = format!("{LONGEST_S:e}")
    ))]
    NoTime {
        /// The time given, s.
        seconds: f64,
    },
    /// More drops than one count can hold.
    #[error("{}", say!(
        "{drops} drops are more than one count takes ({most_drops}); where it runs in a stream, catch it in a cup and enter mL and seconds",
        drops, most_drops = MOST_DROPS
    ))]
    TooManyDrops {
        /// The drops given.
        drops: u32,
    },
    /// A confidence outside 0.5 to 1.
    #[error("{}", say!(
        "a confidence of {confidence} can't be used; give one from 0.5 to below 1, such as 0.95",
        confidence
    ))]
    Confidence {
        /// The confidence given.
        confidence: f64,
    },
    /// A band without any bound.
    #[error("{}", say!(
        "the band has neither a low nor a high bound, so no count is enough; set a low or a high leak-off limit for this pump"
    ))]
    NoBound,
    /// A bound that no count can be tested against.
    #[error("{}", say!(
        "a leak-off bound of {per_min} per minute can't be tested by counting; set one above 0, or none: where no drop is allowed, one drop seen is enough",
        per_min
    ))]
    Bound {
        /// The bound given, drops per minute.
        per_min: f64,
    },
    /// A low bound above the high one.
    #[error("{}", say!(
        "the low bound of {low_per_min} per minute is above the high one of {high_per_min}; change this pump's leak-off limits",
        low_per_min, high_per_min
    ))]
    BandUpsideDown {
        /// The low bound given, drops per minute.
        low_per_min: f64,
        /// The high bound given, drops per minute.
        high_per_min: f64,
    },
    /// A band too narrow to be told from what lies beside it.
    #[error("{}", say!(
        "a band from {low_per_min} to {high_per_min} per minute is too narrow to be told by counting; set limits at least 5 % apart",
        low_per_min, high_per_min
    ))]
    NarrowBand {
        /// The low bound given, drops per minute.
        low_per_min: f64,
        /// The high bound given, drops per minute.
        high_per_min: f64,
    },
    /// An error rate outside 0 to 0.5, or two rates that are one.
    #[error("{}", say!("an error rate of {rate} can't be kept; give one above 0 and below 0.5, such as 0.05", rate))]
    ErrorRate {
        /// The error rate given.
        rate: f64,
    },
    /// Two rates between which no count can choose.
    #[error("{}", say!(
        "rates of {rate0_per_min} and {rate1_per_min} per minute can't be told apart by counting; give two different rates above 0",
        rate0_per_min, rate1_per_min
    ))]
    SameRates {
        /// The first rate given, per minute.
        rate0_per_min: f64,
        /// The other rate given, per minute.
        rate1_per_min: f64,
    },
    /// An indifference ratio that leaves nothing to tell apart.
    #[error("{}", say!(
        "an indifference ratio of {ratio} can't be used; give one from 1.05 to 100, such as 2 to tell a rate from its half",
        ratio
    ))]
    Indifference {
        /// The ratio given.
        ratio: f64,
    },
    /// A tap that isn't at a time since the start.
    #[error("{}", say!(
        "tap {number} is at {at_s} s, which is no time since the count began; count again",
        number, at_s
    ))]
    TapTime {
        /// Which tap, from 1.
        number: usize,
        /// Its time, s.
        at_s: f64,
    },
    /// A tap before the one before it.
    #[error("{}", say!(
        "tap {number} at {at_s} s is before the tap before it, at {before_s} s; count again",
        number, at_s, before_s
    ))]
    TapOutOfOrder {
        /// Which tap, from 1.
        number: usize,
        /// Its time, s.
        at_s: f64,
        /// The time of the tap before, s.
        before_s: f64,
    },
    /// A tap after the end of the count.
    #[error("{}", say!(
        "tap {number} at {at_s} s is after the end of the count at {elapsed_s} s; count again",
        number, at_s, elapsed_s
    ))]
    TapInFuture {
        /// Which tap, from 1.
        number: usize,
        /// Its time, s.
        at_s: f64,
        /// The time that had passed, s.
        elapsed_s: f64,
    },
    /// A volume that is no reading of a cup.
    #[error("{}", say!(
        "{ml} mL read within {reading_within_ml} mL is no reading of a cup; enter a volume from 0 to 1,000,000 mL and how closely the cup can be read",
        ml, reading_within_ml
    ))]
    Volume {
        /// The volume given, mL.
        ml: f64,
        /// The reading's bound of error given, mL.
        reading_within_ml: f64,
    },
    /// A rate that isn't one.
    #[error("{}", say!(
        "{per_min} per minute is no rate; count drops over a time, or catch the stream in a cup",
        per_min
    ))]
    NotARate {
        /// The rate given, per minute.
        per_min: f64,
    },
    /// The plant hasn't said how many drops it takes as one mL.
    #[error("{}", say!(
        "drops can't be turned into mL: the plant states no drops per mL; set `drops_per_ml` for the plant, or leave the rate in drops"
    ))]
    NoDropVolume,
    /// A drop volume no liquid has.
    #[error("{}", say!(
        "{drops_per_ml} drops per mL can't be used; set `drops_per_ml` for the plant from 1 to 1000, such as 20",
        drops_per_ml
    ))]
    DropVolume {
        /// The convention given, drops per mL.
        drops_per_ml: f64,
    },
}
