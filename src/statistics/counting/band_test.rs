//! When enough drops have been counted to say where a rate lies against a pump's band.

use super::{
    Count, CountingError, Hypothesis, Sprt,
    tails::{poisson_at_least, poisson_at_most},
};
use crate::{formula::Formula, word};

/// How [`BandTest`] decides.
pub const BAND_TEST: Formula = Formula {
    name: word!(
        "a sequential probability ratio test at each bound, side by side; exact Poisson limits at the longest time"
    ),
    source: "A. Wald, Sequential Analysis (1947); two tests side by side as M. Sobel and A. Wald, Ann. Math. Statist. 20 (1949) 502; from memory",
};

/// The part of either error rate that is kept for the decision at the longest time.
const KEPT_FOR_THE_END: f64 = 0.2;

/// What a pump's leak-off may be, per minute; a bound is the last good rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Below this there is too little leak-off.
    pub low_per_min: Option<f64>,
    /// Above this there is too much.
    pub high_per_min: Option<f64>,
}

/// How surely and for how long to count.
///
/// About each bound lies a zone of rates too near to it to be told by counting for a reasonable time: from
/// `bound`·ln r/(r − 1) to r times that, with r the indifference ratio; for r = 2 from 0.69 to 1.39 of the bound. Set
/// so, an answer never gainsays the rate counted: "in" comes only with a rate within the band, "below" and "above"
/// only with one outside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plan {
    /// Chance at most of being told "below" while the rate is over the low bound's zone; likewise "above" while it is
    /// under the high bound's. Above 0 and below 0.5.
    pub alpha: f64,
    /// Chance at most of being told "in" while the rate is beyond a bound and its zone. Above 0 and below 0.5.
    pub beta: f64,
    /// Width of the zones, as a factor from 1.05 to 100. Where high over low is less than this, that is taken, so
    /// that the zones don't overlap.
    pub indifference_ratio: f64,
    /// The longest time a count may take, s.
    pub longest_s: f64,
}

/// Where a rate lies against a band.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// Too little leak-off.
    Below,
    /// As it should be.
    In,
    /// Too much leak-off.
    Above,
}

/// What a count so far comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Answer {
    /// Counting may stop.
    Enough {
        /// Where the rate lies.
        place: Place,
        /// Drops when this was known.
        drops: u32,
        /// Time when this was known, s since the count began.
        after_s: f64,
    },
    /// Not known yet.
    GoOn {
        /// In so many seconds there is an answer, or it is known that there is none.
        at_most_s_more: f64,
    },
    /// The longest time has passed, and the count's limits still hold both ends of a bound's zone.
    CannotTell {
        /// Drops counted.
        drops: u32,
        /// Time counted, s.
        after_s: f64,
    },
}

/// A sequential test of a leak-off rate against a band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BandTest {
    bounds: [Option<Bound>; 2],
    longest_s: f64,
}

/// One bound with the two ends of its zone.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Bound {
    beyond: Place,
    bound_per_min: f64,
    /// From good to beyond.
    zone_per_min: (f64, f64),
    lines: Sprt,
    alpha_at_end: f64,
    beta_at_end: f64,
}

impl BandTest {
    /// The test for a band by a plan.
    ///
    /// Errors: [`CountingError::NoBound`], [`CountingError::Bound`], [`CountingError::BandUpsideDown`],
    /// [`CountingError::NarrowBand`], [`CountingError::ErrorRate`], [`CountingError::Indifference`],
    /// [`CountingError::NoTime`].
    pub fn new(band: Band, plan: Plan) -> Result<Self, CountingError> {
        let longest_s = super::checked_seconds(plan.longest_s)?;
        let ratio = ratio_for(band, plan.indifference_ratio)?;
        let bound = |beyond, bound_per_min: Option<f64>| {
            bound_per_min
                .map(|bound_per_min| Bound::new(beyond, bound_per_min, ratio, plan))
                .transpose()
        };
        let bounds = [
            bound(Place::Below, band.low_per_min)?,
            bound(Place::Above, band.high_per_min)?,
        ];
        if bounds == [None, None] {
            return Err(CountingError::NoBound);
        }
        Ok(Self { bounds, longest_s })
    }

    /// The zone about the bound beyond which `beyond` lies, per minute, lower end first; `None` where there is no
    /// such bound. Within it either answer may come.
    pub fn zone_per_min(&self, beyond: Place) -> Option<(f64, f64)> {
        let mut bounds = self.bounds.iter().flatten();
        let (good, bad) = bounds.find(|bound| bound.beyond == beyond)?.zone_per_min;
        Some((good.min(bad), good.max(bad)))
    }

    /// What `drops` in `seconds` come to, whatever came when.
    ///
    /// Errors: [`CountingError::NoTime`], [`CountingError::TooManyDrops`].
    pub fn at(&self, drops: u32, seconds: f64) -> Result<Answer, CountingError> {
        Count { drops, seconds }.checked()?;
        let enough = |place| Answer::Enough {
            place,
            drops,
            after_s: seconds,
        };
        if let Some(place) = self.place(|bound| bound.by_lines(drops, seconds)) {
            return Ok(enough(place));
        }
        if seconds < self.longest_s {
            return Ok(Answer::GoOn {
                at_most_s_more: self.longest_s - seconds,
            });
        }
        Ok(self
            .place(|bound| bound.by_limits(drops, seconds / 60.0))
            .map_or(
                Answer::CannotTell {
                    drops,
                    after_s: seconds,
                },
                enough,
            ))
    }

    /// What taps at `taps_s`, in s since the count began, come to when `elapsed_s` have passed: the first answer that
    /// was enough, be it at a tap or in the silence between two. Taps after the longest time are left out. A tap that
    /// started the clock is not among the taps.
    ///
    /// Errors: as [`BandTest::at`], [`CountingError::TapTime`], [`CountingError::TapOutOfOrder`],
    /// [`CountingError::TapInFuture`].
    pub fn over(&self, taps_s: &[f64], elapsed_s: f64) -> Result<Answer, CountingError> {
        super::checked_seconds(elapsed_s)?;
        check_taps(taps_s, elapsed_s)?;
        let end_s = elapsed_s.min(self.longest_s);
        let (mut drops, mut since_s) = (0, super::SHORTEST_S);
        for &tap_s in taps_s.iter().take_while(|tap_s| **tap_s < end_s) {
            // A look in the count's first instant has no time to speak of.
            let tap_s = tap_s.max(super::SHORTEST_S);
            if let Some(answer) = self.in_silence(drops, since_s, tap_s)? {
                return Ok(answer);
            }
            drops += 1;
            if let enough @ Answer::Enough { .. } = self.at(drops, tap_s)? {
                return Ok(enough);
            }
            since_s = tap_s;
        }
        if let Some(answer) = self.in_silence(drops, since_s, end_s)? {
            return Ok(answer);
        }
        drops += taps_s.iter().filter(|tap_s| **tap_s == end_s).count() as u32;
        self.at(drops, end_s)
    }

    /// The first answer that is enough after `from_s` and before `to_s`, with no drop falling between.
    fn in_silence(
        &self,
        drops: u32,
        from_s: f64,
        to_s: f64,
    ) -> Result<Option<Answer>, CountingError> {
        let mut looks_s: Vec<f64> = self
            .bounds
            .iter()
            .flatten()
            .map(|bound| bound.lines.chosen_in_silence_s(drops).max(from_s))
            .filter(|look_s| *look_s < to_s)
            .collect();
        looks_s.sort_by(f64::total_cmp);
        for look_s in looks_s {
            if let enough @ Answer::Enough { .. } = self.at(drops, look_s)? {
                return Ok(Some(enough));
            }
        }
        Ok(None)
    }

    /// The place all bounds agree on: beyond one, or within all.
    fn place(&self, of: impl Fn(&Bound) -> Option<Hypothesis>) -> Option<Place> {
        let mut within = true;
        for bound in self.bounds.iter().flatten() {
            match of(bound) {
                Some(Hypothesis::Rate1) => return Some(bound.beyond),
                Some(Hypothesis::Rate0) => {}
                None => within = false,
            }
        }
        within.then_some(Place::In)
    }
}

impl Bound {
    fn new(
        beyond: Place,
        bound_per_min: f64,
        ratio: f64,
        plan: Plan,
    ) -> Result<Self, CountingError> {
        // With these two rates the slope of the test's lines is the bound itself.
        let lower = bound_per_min * ratio.ln() / (ratio - 1.0);
        let (good, bad) = match beyond {
            Place::Below => (lower * ratio, lower),
            _ => (lower, lower * ratio),
        };
        for rate in [plan.alpha, plan.beta] {
            if !(rate > 0.0 && rate < 0.5) {
                return Err(CountingError::ErrorRate { rate });
            }
        }
        let on_the_way = 1.0 - KEPT_FOR_THE_END;
        Ok(Self {
            beyond,
            bound_per_min,
            zone_per_min: (good, bad),
            lines: Sprt::strict(good, bad, plan.alpha * on_the_way, plan.beta * on_the_way)?,
            alpha_at_end: plan.alpha * KEPT_FOR_THE_END,
            beta_at_end: plan.beta * KEPT_FOR_THE_END,
        })
    }

    fn by_lines(&self, drops: u32, seconds: f64) -> Option<Hypothesis> {
        self.lines.choice_at(drops, seconds)
    }

    /// By the count's one-sided limits: the side of the bound that the rate counted is on, where the limits leave out
    /// the zone's end on the other side.
    fn by_limits(&self, drops: u32, minutes: f64) -> Option<Hypothesis> {
        let rate_per_min = f64::from(drops) / minutes;
        let (good, bad) = (self.zone_per_min.0 * minutes, self.zone_per_min.1 * minutes);
        let (is_beyond, if_good, if_bad) = match self.beyond {
            Place::Below => (
                rate_per_min < self.bound_per_min,
                poisson_at_most(drops, good),
                poisson_at_least(drops, bad),
            ),
            _ => (
                rate_per_min > self.bound_per_min,
                poisson_at_least(drops, good),
                poisson_at_most(drops, bad),
            ),
        };
        if is_beyond {
            (if_good <= self.alpha_at_end).then_some(Hypothesis::Rate1)
        } else {
            (if_bad <= self.beta_at_end).then_some(Hypothesis::Rate0)
        }
    }
}

/// The indifference ratio that fits the band.
fn ratio_for(band: Band, asked: f64) -> Result<f64, CountingError> {
    if !(1.05..=100.0).contains(&asked) {
        return Err(CountingError::Indifference { ratio: asked });
    }
    for per_min in [band.low_per_min, band.high_per_min].into_iter().flatten() {
        // A drop in two years to hundreds a second: beyond that a number is a slip of the pen.
        if !(1e-6..=1e5).contains(&per_min) {
            return Err(CountingError::Bound { per_min });
        }
    }
    let (Some(low_per_min), Some(high_per_min)) = (band.low_per_min, band.high_per_min) else {
        return Ok(asked);
    };
    if low_per_min > high_per_min {
        return Err(CountingError::BandUpsideDown {
            low_per_min,
            high_per_min,
        });
    }
    let ratio = asked.min(high_per_min / low_per_min);
    if ratio < 1.05 {
        return Err(CountingError::NarrowBand {
            low_per_min,
            high_per_min,
        });
    }
    Ok(ratio)
}

fn check_taps(taps_s: &[f64], elapsed_s: f64) -> Result<(), CountingError> {
    let mut before_s = 0.0;
    for (i, &at_s) in taps_s.iter().enumerate() {
        let number = i + 1;
        if !(at_s >= 0.0 && at_s.is_finite()) {
            return Err(CountingError::TapTime { number, at_s });
        }
        if at_s < before_s {
            return Err(CountingError::TapOutOfOrder {
                number,
                at_s,
                before_s,
            });
        }
        if at_s > elapsed_s {
            return Err(CountingError::TapInFuture {
                number,
                at_s,
                elapsed_s,
            });
        }
        before_s = at_s;
    }
    Ok(())
}
