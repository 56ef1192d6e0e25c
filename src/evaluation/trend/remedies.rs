//! What was put right, among the readings it shows in: they begin anew with it, and change by it.

use super::{CONFIDENCE, Done, Point, RECENT_DAYS, Trend, Worked, day, series};
use crate::{
    evaluation::{ago, worked::between},
    plant::CheckId,
    remedy, say,
    statistics::trend::{Change, ChangeWord, HODGES_LEHMANN, change_after},
};

/// So many changes are told, the newest.
const CHANGES_TOLD: usize = 3;

/// Something that was put right and shows in a check's readings.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// When, milliseconds since 1970 UTC.
    pub at_ms: i64,
    /// What, in a sentence.
    pub words: String,
    /// In words that go on from "since" or "after".
    pub in_passing: &'static str,
    /// The readings begin anew with it.
    pub begins_anew: bool,
}

/// What shows in a check's readings of what was done by now, oldest first.
pub(super) fn marks(check: CheckId, done: &[Done], now_ms: i64) -> Vec<Mark> {
    let mut marks: Vec<Mark> = done
        .iter()
        .filter(|done| done.at_ms <= now_ms && done.shows_in(check))
        .map(|done| Mark {
            at_ms: done.at_ms,
            words: remedy::in_words(&done.what),
            in_passing: remedy::in_passing(&done.what),
            begins_anew: done.begins_anew(check),
        })
        .collect();
    marks.sort_by_key(|mark| mark.at_ms);
    marks
}

impl Trend {
    fn last_cut(&self) -> Option<&Mark> {
        self.remedies.iter().rfind(|mark| mark.begins_anew)
    }

    /// The readings, oldest first, that were made after the last remedy they begin anew with; one made at its time was
    /// made before it.
    pub(super) fn since_last_cut<'p>(&self, points: &'p [Point]) -> &'p [Point] {
        let cut_ms = self.last_cut().map_or(i64::MIN, |mark| mark.at_ms);
        let from = points.partition_point(|point| point.at_ms <= cut_ms);
        &points[from..]
    }

    /// Says since what the readings are looked at, where that is within the time that is looked at.
    pub(super) fn say_since(&mut self, now_ms: i64) {
        let Some(cut) = self.last_cut() else { return };
        if day(now_ms) - day(cut.at_ms) > RECENT_DAYS {
            return;
        }
        let (remedy, time) = (cut.in_passing, ago(now_ms - cut.at_ms));
        let words = std::mem::take(&mut self.words);
        self.words = if words.ends_with('.') {
            // A sentence of its own, which says what can't be told.
            say!(
                "{words} Only readings since {remedy} {time} ago count.",
                words,
                remedy,
                time
            )
        } else {
            say!("{words}, since {remedy} {time} ago", words, remedy, time)
        };
    }

    /// What changed with each of the last remedies, between the ones next to it.
    pub(super) fn changes(&mut self, points: &[Point], now_ms: i64) {
        if self.unit == crate::plant::Unit::Step {
            return;
        }
        let symbol = self.unit.symbol();
        let mut told = Vec::new();
        for (index, mark) in self.remedies.iter().enumerate().rev().take(CHANGES_TOLD) {
            let from_ms = match index.checked_sub(1) {
                Some(before) => self.remedies[before].at_ms,
                None => i64::MIN,
            };
            let next = self.remedies.get(index + 1);
            let to_ms = next.map_or(i64::MAX, |next| next.at_ms);
            let between: Vec<Point> = points
                .iter()
                .filter(|point| from_ms < point.at_ms && point.at_ms <= to_ms)
                .copied()
                .collect();
            let Ok(series) = series(&between, now_ms) else {
                continue;
            };
            let time = ago(now_ms - mark.at_ms);
            let name = say!("After {remedy} {time} ago", remedy = mark.in_passing, time);
            match change_after(&series, day(mark.at_ms), RECENT_DAYS, CONFIDENCE) {
                Ok(change) => told.push(line_of(&name, &change, symbol, &mark.words)),
                // Of the last one people wait to hear; of those before there will be no more readings.
                Err(why) if next.is_none() => told.push(Worked::cannot(&name, why, None)),
                Err(_) => {}
            }
        }
        self.worked.extend(told);
    }
}

fn line_of(name: &str, change: &Change, symbol: &str, what: &str) -> Worked {
    let between = |shift: f64, low: f64, high: f64| between(shift, (low, high), symbol);
    let words = match change.word {
        ChangeWord::Rose => say!(
            "higher by {shift}",
            shift = between(change.shift, change.low, change.high)
        ),
        ChangeWord::Fell => say!(
            "lower by {shift}",
            shift = between(-change.shift, -change.high, -change.low)
        ),
        ChangeWord::NoChangeShown => say!("no lasting change shown").to_owned(),
    };
    Worked::is(name, words, HODGES_LEHMANN)
        .row(say!("What was done"), what)
        .row(say!("Readings before"), change.before.to_string())
        .row(say!("Readings after"), change.after.to_string())
        .row(
            say!("of readings" => "Shift"),
            between(change.shift, change.low, change.high),
        )
}
