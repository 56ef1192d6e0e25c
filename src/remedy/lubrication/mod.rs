//! What the checks of one kind of lubrication mean together.
//!
//! One reading seldom says what is wrong with oil; two do. Rules are common practice, no source, where none stands
//! beside them.

mod bearing;
mod forced_feed;

pub use bearing::{BearingSeen, bearing_together};
pub use forced_feed::{FeedSeen, Heater, feed_together};

use crate::{
    check::Entered,
    plant::{CheckId, CheckKind, Limits, Place, Verdict},
    say,
    statistics::trend::Reach,
};

/// Where a reading stands to its limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Below its watch limit.
    Low,
    /// Within.
    Within,
    /// Above its watch limit.
    High,
}

/// Where a reading stands to its watch limits; `None` where it is no number or nothing is set for it.
pub fn side(entered: &Entered, limits: Option<&Limits>) -> Option<Side> {
    let limits = limits?;
    let (value, unit) = entered.measured()?;
    let value = unit
        .convert(value, limits.unit)
        .filter(|value| value.is_finite())?;
    let low = limits.low_watch.or(limits.low_act).or(limits.low_stop);
    let high = limits.high_watch.or(limits.high_act).or(limits.high_stop);
    match (low, high) {
        (None, None) => None,
        (Some(low), _) if value < low => Some(Side::Low),
        (_, Some(high)) if value > high => Some(Side::High),
        _ => Some(Side::Within),
    }
}

/// What checks mean together: a finding in words.
#[derive(Clone, Debug, PartialEq)]
pub struct Meaning {
    /// What it comes to.
    pub verdict: Verdict,
    /// What is seen, and what it means.
    pub what: String,
    /// What to do.
    pub action: &'static str,
    /// The checks it rests on.
    pub of: Vec<CheckId>,
}

/// Meanings of the checks at one place, as they are found.
struct Found {
    place: Place,
    meanings: Vec<Meaning>,
}

impl Found {
    fn at(place: Place) -> Self {
        Self {
            place,
            meanings: Vec::new(),
        }
    }

    fn say(
        &mut self,
        verdict: Verdict,
        of: &[CheckKind],
        what: impl Into<String>,
        action: &'static str,
    ) {
        self.meanings.push(Meaning {
            verdict,
            what: what.into(),
            action,
            of: of
                .iter()
                .map(|kind| CheckId::new(*kind, self.place))
                .collect(),
        });
    }

    /// The weightiest first; those of one weight as they were found.
    fn sorted(mut self) -> Vec<Meaning> {
        self.meanings
            .sort_by_key(|meaning| std::cmp::Reverse(meaning.verdict));
        self.meanings
    }
}

/// "in about 12 days (8 to 25)", where a trend reaches its limit; `None` where it doesn't.
fn days_left(reach: Option<&Reach>) -> Option<String> {
    let Some(Reach::Ahead {
        days,
        earliest_days,
        latest_days,
        is_beyond_evidence,
        ..
    }) = reach
    else {
        return None;
    };
    let days = format!("{days:.0}");
    let earliest = format!("{earliest_days:.0}");
    let span = match latest_days {
        Some(latest) => say!(
            "{earliest} to {latest}",
            earliest,
            latest = format!("{latest:.0}")
        ),
        None => say!("{earliest} or later", earliest),
    };
    Some(if *is_beyond_evidence {
        say!(
            "in about {days} days ({span}, a guess: farther ahead than the entries reach back)",
            days,
            span
        )
    } else {
        say!("in about {days} days ({span})", days, span)
    })
}
