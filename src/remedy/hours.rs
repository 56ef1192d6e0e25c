//! Running hours from what was started, stopped and seen, with what is not known said.

use super::{CannotTell, words::short};
use crate::{formula::Formula, plant::PumpId, say, word};

/// How [`running_hours`] reckons.
pub const RUNNING_HOURS: Formula = Formula {
    name: word!(
        "hours between entries that agree on running; where they do not, or lie too far apart, from none of it to all of it"
    ),
    source: "common practice, no source",
};

/// Two sightings of one state this far apart or nearer are taken to say that it held between them: a day with its
/// rounds, and some. Common practice, no source.
pub const SURE_FOR_H: f64 = 26.0;

/// Hours that a group's pumps may differ by before evening out is suggested. Common practice, no source.
pub const WORTH_EVENING_H: f64 = 200.0;

const MS_PER_H: f64 = 3_600_000.0;

/// What an entry says of a pump's running.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ran {
    /// It was started then.
    Started,
    /// It was stopped then.
    Stopped,
    /// It was seen running.
    SeenRunning,
    /// It was seen standing.
    SeenStanding,
}

impl Ran {
    /// It ran just before.
    fn before(self) -> bool {
        matches!(self, Ran::Stopped | Ran::SeenRunning)
    }

    /// It ran just after.
    fn after(self) -> bool {
        matches!(self, Ran::Started | Ran::SeenRunning)
    }

    fn changed(self) -> bool {
        matches!(self, Ran::Started | Ran::Stopped)
    }
}

/// An entry about a pump's running.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RunEvent {
    /// When, ms since 1970 UTC.
    pub at_ms: i64,
    /// What it says.
    pub ran: Ran,
}

/// Why it is not known whether a pump ran.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unknown {
    /// Before the first entry.
    BeforeFirst,
    /// It was started or stopped in between, and nobody entered when.
    Changed,
    /// Nothing was entered for longer than [`SURE_FOR_H`].
    NotSeen,
    /// Since the newest entry.
    SinceLast,
}

impl Unknown {
    /// Why, in words.
    pub fn words(self) -> &'static str {
        match self {
            Unknown::BeforeFirst => say!("before the first entry"),
            Unknown::Changed => say!("started or stopped without an entry"),
            Unknown::NotSeen => say!("not seen for more than a day"),
            Unknown::SinceLast => say!("since the newest entry"),
        }
    }
}

/// A time in which it is not known whether the pump ran.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// Its begin, ms since 1970 UTC.
    pub from_ms: i64,
    /// Its end, ms since 1970 UTC.
    pub to_ms: i64,
    /// Why.
    pub why: Unknown,
}

/// Running hours within a span.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RunningHours {
    /// Hours it ran for sure.
    pub low_h: f64,
    /// The likeliest: in a gap it goes on as it was last seen, and a change without an entry falls in its middle.
    pub likely_h: f64,
    /// Hours it can have run at most.
    pub high_h: f64,
    /// What is not known, in order of time.
    pub gaps: Vec<Gap>,
}

impl RunningHours {
    /// "1230 h", or "1190 to 1260 h" with why it is not known better.
    pub fn words(&self) -> String {
        if self.gaps.is_empty() {
            return format!("{} h", short(self.low_h));
        }
        let mut why: Vec<_> = self.gaps.iter().map(|gap| gap.why.words()).collect();
        why.sort_unstable();
        why.dedup();
        say!(
            "{low} to {high} h (not known: {why})",
            low = short(self.low_h),
            high = short(self.high_h),
            why = why.join(", ")
        )
    }
}

/// The hours a pump ran from `from_ms` to `to_ms`, from all that was ever entered about its running, in any order.
///
/// Entries outside the span are needed too: they say how it stood at the span's ends. Entries of one time keep the
/// order they are given in. Hours of adjacent spans add up. A start or stop that was entered reaches as far as the next
/// entry that agrees with it, however far; two mere sightings only over [`SURE_FOR_H`].
///
/// # Errors
/// [`CannotTell::SpanBackwards`].
pub fn running_hours(
    events: &[RunEvent],
    from_ms: i64,
    to_ms: i64,
) -> Result<RunningHours, CannotTell> {
    if from_ms > to_ms {
        return Err(CannotTell::SpanBackwards);
    }
    let mut events = events.to_vec();
    events.sort_by_key(|event| event.at_ms);
    let mut sum = Sum {
        from_ms,
        to_ms,
        hours: RunningHours::default(),
    };
    let (Some(first), Some(last)) = (events.first(), events.last()) else {
        sum.gap(from_ms, to_ms, 0.0, Unknown::BeforeFirst);
        return Ok(sum.hours);
    };
    sum.gap(
        i64::MIN,
        first.at_ms,
        share(first.ran.before()),
        Unknown::BeforeFirst,
    );
    for pair in events.windows(2) {
        let (one, next) = (pair[0], pair[1]);
        let sure =
            one.ran.changed() || next.ran.changed() || hours(one.at_ms, next.at_ms) <= SURE_FOR_H;
        if one.ran.after() != next.ran.before() {
            sum.gap(one.at_ms, next.at_ms, 0.5, Unknown::Changed);
        } else if sure {
            sum.known(one.at_ms, next.at_ms, one.ran.after());
        } else {
            sum.gap(
                one.at_ms,
                next.at_ms,
                share(one.ran.after()),
                Unknown::NotSeen,
            );
        }
    }
    sum.gap(
        last.at_ms,
        i64::MAX,
        share(last.ran.after()),
        Unknown::SinceLast,
    );
    Ok(sum.hours)
}

fn share(runs: bool) -> f64 {
    if runs { 1.0 } else { 0.0 }
}

fn hours(from_ms: i64, to_ms: i64) -> f64 {
    (to_ms as f64 - from_ms as f64) / MS_PER_H
}

/// The hours of a span, summed stretch by stretch.
struct Sum {
    from_ms: i64,
    to_ms: i64,
    hours: RunningHours,
}

impl Sum {
    /// The part of a stretch within the span; `None` where there is none.
    fn within(&self, from_ms: i64, to_ms: i64) -> Option<(i64, i64)> {
        let (from_ms, to_ms) = (from_ms.max(self.from_ms), to_ms.min(self.to_ms));
        (from_ms < to_ms).then_some((from_ms, to_ms))
    }

    fn known(&mut self, from_ms: i64, to_ms: i64, ran: bool) {
        if let (Some((from_ms, to_ms)), true) = (self.within(from_ms, to_ms), ran) {
            let h = hours(from_ms, to_ms);
            self.hours.low_h += h;
            self.hours.likely_h += h;
            self.hours.high_h += h;
        }
    }

    fn gap(&mut self, from_ms: i64, to_ms: i64, likely_share: f64, why: Unknown) {
        if let Some((from_ms, to_ms)) = self.within(from_ms, to_ms) {
            let h = hours(from_ms, to_ms);
            self.hours.likely_h += likely_share * h;
            self.hours.high_h += h;
            self.hours.gaps.push(Gap {
                from_ms,
                to_ms,
                why,
            });
        }
    }
}

/// One pump of a spare group.
#[derive(Clone, Debug, PartialEq)]
pub struct Member {
    /// Which pump.
    pub pump: PumpId,
    /// Its hours over the span that is evened.
    pub hours: RunningHours,
    /// It runs now.
    pub runs: bool,
    /// It may run: neither out of service nor with an open finding that keeps it from running.
    pub may_run: bool,
}

/// What evening the hours of a spare group comes to.
#[derive(Clone, Debug, PartialEq)]
pub enum Evening {
    /// Nothing to do: no running pump is surely that far ahead of one that stands and may run.
    Leave,
    /// Change over.
    ChangeOver {
        /// The pump that runs and has the most hours.
        from: PumpId,
        /// The pump that stands and has the fewest.
        to: PumpId,
        /// Hours between them, at least.
        ahead_low_h: f64,
        /// Hours between them, at most.
        ahead_high_h: f64,
    },
    /// It would, but too little is known of their hours.
    NotKnown {
        /// The pump that seems ahead.
        from: PumpId,
        /// The pump that seems behind.
        to: PumpId,
    },
}

impl Evening {
    /// In sentences.
    pub fn words(&self) -> String {
        match self {
            Evening::Leave => {
                say!("The hours are even enough: leave the pumps as they run.").to_owned()
            }
            Evening::ChangeOver {
                from,
                to,
                ahead_low_h,
                ahead_high_h,
            } => say!(
                "{from} is ahead of {to} by {low} to {high} h: change over to {to} by your plant's procedure.",
                from,
                to,
                low = short(*ahead_low_h),
                high = short(*ahead_high_h)
            ),
            Evening::NotKnown { from, to } => say!(
                "{from} seems ahead of {to}, but too little is known of their hours: start and stop them by their procedures here, and say at each visit whether they run.",
                from,
                to
            ),
        }
    }
}

/// What evening comes to for pumps that stand in for each other, where they are to differ by at most `worth_h`, such as
/// [`WORTH_EVENING_H`].
///
/// # Errors
/// [`CannotTell::Number`] for hours that are none.
pub fn even_out(members: &[Member], worth_h: f64) -> Result<Evening, CannotTell> {
    const MOST_H: f64 = 1e6;
    if !(0.0..=MOST_H).contains(&worth_h) {
        return Err(CannotTell::Number {
            what: say!("The hours worth evening"),
            lowest: 0.0,
            highest: MOST_H,
        });
    }
    let by_hours =
        |one: &&Member, other: &&Member| one.hours.likely_h.total_cmp(&other.hours.likely_h);
    let ahead = members.iter().filter(|member| member.runs).max_by(by_hours);
    let behind = members
        .iter()
        .filter(|member| !member.runs && member.may_run)
        .min_by(by_hours);
    let (Some(ahead), Some(behind)) = (ahead, behind) else {
        return Ok(Evening::Leave);
    };
    let (from, to) = (ahead.pump.clone(), behind.pump.clone());
    let ahead_low_h = ahead.hours.low_h - behind.hours.high_h;
    let ahead_high_h = ahead.hours.high_h - behind.hours.low_h;
    Ok(if ahead_low_h > worth_h {
        Evening::ChangeOver {
            from,
            to,
            ahead_low_h,
            ahead_high_h,
        }
    } else if ahead.hours.likely_h - behind.hours.likely_h > worth_h {
        Evening::NotKnown { from, to }
    } else {
        Evening::Leave
    })
}
