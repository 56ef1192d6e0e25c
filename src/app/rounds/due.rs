//! When a round is due.

use super::history::MS_PER_HOUR;
use crate::{plant::Round, record::Stamp, report::counted, say};

/// When a round is due.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Due {
    /// It was never walked, as far back as is looked: now.
    NeverWalked,
    /// It is due in so many hours, and not within its window yet.
    In(f64),
    /// It is within its window: so many hours to when it is due, below 0 after it.
    Now(f64),
    /// It was due so many hours ago, and its window is over.
    Overdue(f64),
    /// It has left the plant, and is never due again.
    NotInPlant,
}

impl Due {
    /// When a round is due that was begun last at that time.
    pub(super) fn of(round: &Round, last_begun: Option<Stamp>, now: Stamp) -> Self {
        let Some(last) = last_begun else {
            return Due::NeverWalked;
        };
        let since_hours = (now.utc_ms - last.utc_ms) as f64 / MS_PER_HOUR;
        let left_hours = round.every_hours - since_hours;
        let window_hours = round.window_hours.unwrap_or(0.0);
        // Begun by a clock further ahead than from one round to the next: that says nothing about when it is due.
        if since_hours < -round.every_hours {
            Due::Now(0.0)
        } else if left_hours > window_hours {
            Due::In(left_hours)
        } else if left_hours >= -window_hours {
            Due::Now(left_hours)
        } else {
            Due::Overdue(-left_hours)
        }
    }

    /// What is due first has the least: hours until it is due.
    pub(super) fn order(self) -> f64 {
        match self {
            Due::NeverWalked => f64::NEG_INFINITY,
            Due::In(hours) | Due::Now(hours) => hours,
            Due::Overdue(hours) => -hours,
            Due::NotInPlant => f64::INFINITY,
        }
    }

    /// It ought to have been walked already.
    pub fn is_overdue(self) -> bool {
        matches!(self, Due::Overdue(_))
    }

    /// In words.
    pub fn words(self) -> String {
        match self {
            Due::NeverWalked => say!("due; never walked").to_owned(),
            Due::In(hours) => say!("due in {time}", time = hours_and_minutes(hours)),
            Due::Now(_) => say!("due now").to_owned(),
            Due::Overdue(hours) => say!("overdue by {time}", time = hours_and_minutes(hours)),
            Due::NotInPlant => say!("no longer in this plant").to_owned(),
        }
    }
}

/// Minutes below two hours, whole hours below two days, else days.
fn hours_and_minutes(hours: f64) -> String {
    if hours < 2.0 {
        format!("{:.0} min", hours * 60.0)
    } else if hours < 48.0 {
        format!("{hours:.0} h")
    } else {
        let days = (hours / 24.0).round() as u64;
        counted(
            days,
            say!("due in or overdue by" => "day"),
            say!("due in or overdue by" => "days"),
        )
    }
}
