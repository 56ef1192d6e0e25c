//! Entries in time order.

use super::{TrendError, check_enough, usable};
use crate::word;

/// Times nearer than this (under a tenth of a millisecond) are one moment: no slope is taken between them.
pub const ONE_MOMENT_DAYS: f64 = 1e-9;

/// Times farther than this from day zero are a broken clock, not a time.
const FARTHEST_DAY: f64 = 1e7;

/// One entry: when, and what.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Days since any fixed day zero.
    pub at_day: f64,
    /// In the check's unit.
    pub value: f64,
}

/// Entries sorted by time, none of them later than now.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    points: Vec<Point>,
    now_day: f64,
    in_future: usize,
}

/// Which part of a series is looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Window {
    /// All of it.
    Whole,
    /// The last so many days before now.
    LastDays(f64),
    /// The newest so many entries.
    LastEntries(usize),
    /// From this day on, for example since the last remedy.
    SinceDay(f64),
}

impl Series {
    /// Sorts entries given in any order as (day, value). Those after `now_day` are set aside and counted.
    ///
    /// # Errors
    /// [`TrendError::NotUsable`] for a time beyond 10 million days or a value beyond 1e100, infinite or not a number.
    pub fn new(
        entries: impl IntoIterator<Item = (f64, f64)>,
        now_day: f64,
    ) -> Result<Self, TrendError> {
        if !usable_day(now_day) {
            return Err(TrendError::BadArgument {
                what: word!("The time now"),
                remedy: word!("Set the device's clock."),
            });
        }
        let mut points = Vec::new();
        let mut in_future = 0;
        for (i, (at_day, value)) in entries.into_iter().enumerate() {
            let entry = i + 1;
            if !usable_day(at_day) {
                return Err(TrendError::NotUsable {
                    entry,
                    what: word!("time"),
                });
            }
            if !usable(value) {
                return Err(TrendError::NotUsable {
                    entry,
                    what: word!("value"),
                });
            }
            if at_day > now_day {
                in_future += 1;
            } else {
                points.push(Point { at_day, value });
            }
        }
        points.sort_by(|a, b| a.at_day.total_cmp(&b.at_day));
        for i in 1..points.len() {
            if points[i].at_day - points[i - 1].at_day < ONE_MOMENT_DAYS {
                points[i].at_day = points[i - 1].at_day;
            }
        }
        Ok(Self {
            points,
            now_day,
            in_future,
        })
    }

    /// The entries, oldest first.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// How many entries there are.
    pub fn len(&self) -> usize {
        self.points.len()
    }

    /// Whether there is no entry.
    pub fn is_empty(&self) -> bool {
        self.points.is_empty()
    }

    /// How many entries were set aside because their time was after now.
    pub fn in_future(&self) -> usize {
        self.in_future
    }

    /// The time the series was looked at.
    pub fn now_day(&self) -> f64 {
        self.now_day
    }

    /// The values, oldest first.
    pub fn values(&self) -> Vec<f64> {
        self.points.iter().map(|point| point.value).collect()
    }

    /// Days from the first entry to the last; 0 for one entry or none.
    pub fn period_days(&self) -> f64 {
        match (self.points.first(), self.points.last()) {
            (Some(first), Some(last)) => last.at_day - first.at_day,
            _ => 0.0,
        }
    }

    /// The part of the series in the window, looked at at the same time.
    pub fn within(&self, window: Window) -> Self {
        let from = match window {
            Window::Whole => 0,
            Window::LastDays(days) => self.first_since(self.now_day - days),
            Window::LastEntries(count) => self.points.len().saturating_sub(count),
            Window::SinceDay(day) => self.first_since(day),
        };
        Self {
            points: self.points[from..].to_vec(),
            now_day: self.now_day,
            in_future: self.in_future,
        }
    }

    /// Refuses what no slope can be drawn through.
    pub(super) fn check_for_slope(
        &self,
        what: &'static str,
        need: usize,
    ) -> Result<(), TrendError> {
        check_enough(what, self.points.len(), need)?;
        if self.period_days() == 0.0 {
            return Err(TrendError::OneMoment);
        }
        Ok(())
    }

    fn first_since(&self, day: f64) -> usize {
        self.points.partition_point(|point| point.at_day < day)
    }
}

fn usable_day(day: f64) -> bool {
    day.abs() <= FARTHEST_DAY
}
