//! Times, verdicts and kinds as the window shows them.

use super::{Band, Ghost, HistoryRow, Verdict as Mark};
use crate::{
    check::Entered,
    judge::{self, Verdict},
    plant::Limits,
    record::Stamp,
    say,
    store::EntryRow,
};
use chrono::{DateTime, Datelike, FixedOffset};
use slint::SharedString;

/// A time as one says it today: "06:12", "yesterday 06:12", "2 Mar 06:12".
pub fn when(stamp: Stamp, now: Stamp) -> String {
    let (Some(then), Some(now)) = (local(stamp, stamp), local(now, stamp)) else {
        return crate::report::local_time(stamp);
    };
    let days = (now.date_naive() - then.date_naive()).num_days();
    let clock = then.format("%H:%M");
    match days {
        0 => clock.to_string(),
        1 => say!("yesterday {clock}", clock),
        _ => format!("{} {clock}", date(&then, &now)),
    }
}

/// A day as one says it today: "today", "yesterday", "2 Mar", "2 Mar 2025".
pub fn day(stamp: Stamp, now: Stamp) -> String {
    let (Some(then), Some(now)) = (local(stamp, now), local(now, now)) else {
        return crate::report::local_time(stamp);
    };
    match (now.date_naive() - then.date_naive()).num_days() {
        0 => say!("today").to_owned(),
        1 => say!("yesterday").to_owned(),
        _ => date(&then, &now),
    }
}

/// A day of this year or of another.
fn date(then: &impl Datelike, now: &impl Datelike) -> String {
    let (day, month, year) = (then.day(), month(then.month()), then.year());
    if year == now.year() {
        say!("{day} {month}", day, month)
    } else {
        say!("{day} {month} {year}", day, month, year)
    }
}

/// A month in short, counted from 1.
fn month(month: u32) -> &'static str {
    match month {
        1 => say!("month" => "Jan"),
        2 => say!("month" => "Feb"),
        3 => say!("month" => "Mar"),
        4 => say!("month" => "Apr"),
        5 => say!("month" => "May"),
        6 => say!("month" => "Jun"),
        7 => say!("month" => "Jul"),
        8 => say!("month" => "Aug"),
        9 => say!("month" => "Sep"),
        10 => say!("month" => "Oct"),
        11 => say!("month" => "Nov"),
        _ => say!("month" => "Dec"),
    }
}

/// A moment as the clock that showed `by` has it.
fn local(stamp: Stamp, by: Stamp) -> Option<DateTime<FixedOffset>> {
    let offset = FixedOffset::east_opt(i32::from(by.offset_min) * 60)?;
    let utc = DateTime::from_timestamp_millis(stamp.utc_ms)?;
    Some(utc.with_timezone(&offset))
}

/// Begun with a capital.
pub fn capital(text: &str) -> String {
    let mut rest = text.trim().chars();
    let first = rest.next().into_iter().flat_map(char::to_uppercase);
    first.chain(rest).collect()
}

/// An error as a sentence on the screen: begun with a capital, ended with a stop.
pub fn sentence(error: &dyn std::fmt::Display) -> SharedString {
    let mut words = capital(&error.to_string());
    if words.ends_with(|end: char| end.is_alphanumeric() || matches!(end, ')' | '\'' | '”')) {
        words.push('.');
    }
    words.into()
}

/// How long ago, in at most six characters: "20 min", "6 h", "3 days".
pub fn ago(stamp: Stamp, now: Stamp) -> String {
    let minutes = (now.utc_ms.saturating_sub(stamp.utc_ms)).max(0) / 60_000;
    let days = minutes / 1440;
    match minutes {
        0..60 => format!("{minutes} min"),
        60..2880 => format!("{} h", minutes / 60),
        _ if days < 10 => say!("{days} days", days),
        _ if days < 10_000 => say!("{days} d", days),
        _ => say!("of an age" => "long").to_owned(),
    }
}

/// The mark of a verdict.
pub fn mark(verdict: Verdict) -> Mark {
    match verdict {
        Verdict::NotJudged => Mark::NotJudged,
        Verdict::InLimits => Mark::InLimits,
        Verdict::Watch => Mark::Watch,
        Verdict::Act => Mark::Act,
        Verdict::StopPump => Mark::StopPump,
    }
}

/// The mark of an entry: one left out has its own.
pub fn mark_of(entry: Option<&EntryRow>) -> Mark {
    match entry {
        None => Mark::NotEntered,
        Some(entry) if matches!(entry.entry.entered, Entered::NotChecked { .. }) => {
            Mark::NotChecked
        }
        Some(entry) => mark(entry.entry.judgement.verdict),
    }
}

/// What was entered, in words that stand alone.
pub fn value(entry: &EntryRow) -> String {
    judge::found(
        entry.entry.check.kind,
        &entry.entry.entered,
        entry.entry.limits.as_ref(),
    )
}

/// What to do first about an entry, with its caution; empty where nothing is to be done.
pub fn do_first(row: &EntryRow) -> String {
    let made = &row.entry;
    let first = judge::first_action(made.check.kind, &made.entered, &made.judgement, row.hands);
    first.map(|first| first.words()).unwrap_or_default()
}

/// The limits as the tape and the counter draw them, each number times `scale`.
pub fn band(limits: Option<&Limits>, scale: f64) -> Band {
    let Some(limits) = limits else {
        return Band::default();
    };
    let shown = |value: Option<f64>| {
        (
            value.is_some(),
            value.map_or(0.0, |value| (value * scale) as f32),
        )
    };
    let (has_low_stop, low_stop) = shown(limits.low_stop);
    let (has_low_act, low_act) = shown(limits.low_act);
    let (has_low_watch, low_watch) = shown(limits.low_watch);
    let (has_high_watch, high_watch) = shown(limits.high_watch);
    let (has_high_act, high_act) = shown(limits.high_act);
    let (has_high_stop, high_stop) = shown(limits.high_stop);
    let (has_target, target) = shown(limits.target);
    Band {
        has_low_stop,
        low_stop,
        has_low_act,
        low_act,
        has_low_watch,
        low_watch,
        has_high_watch,
        high_watch,
        has_high_act,
        high_act,
        has_high_stop,
        high_stop,
        has_target,
        target,
    }
}

/// Rows of a check's history.
pub fn history(entries: &[EntryRow], now: Stamp) -> Vec<HistoryRow> {
    let row = |entry: &EntryRow| HistoryRow {
        when: when(entry.entry.seen_at, now).into(),
        value: value(entry).into(),
        verdict: mark_of(Some(entry)),
        note: entry.by.as_str().into(),
    };
    entries.iter().map(row).collect()
}

/// The last readings, faint on the tape, in this unit; only the newest says when, or the words would lie over each
/// other.
pub fn ghosts(entries: &[EntryRow], unit: crate::plant::Unit, now: Stamp) -> Vec<Ghost> {
    const MOST: usize = 5;
    let readings = entries.iter().filter_map(|entry| {
        let (value, own) = entry.entry.entered.measured()?;
        Some((own.convert(value, unit)? as f32, entry.entry.seen_at))
    });
    let ghost = |(index, (value, seen_at)): (usize, (f32, Stamp))| Ghost {
        value,
        label: if index == 0 {
            when(seen_at, now).into()
        } else {
            SharedString::new()
        },
    };
    readings.take(MOST).enumerate().map(ghost).collect()
}

/// A list as a model.
pub fn model<T: Clone + 'static>(rows: Vec<T>) -> slint::ModelRc<T> {
    slint::ModelRc::new(slint::VecModel::from(rows))
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOUR: i64 = 3_600_000;

    fn at(utc_ms: i64) -> Stamp {
        Stamp {
            utc_ms,
            offset_min: 60,
        }
    }

    #[test]
    fn a_time_is_told_by_the_day_it_was() {
        let now = at(1_772_449_800_000); // 2026-03-02 12:10 at +01:00
        for (hours_before, words) in [
            (6, "06:10"),
            (13, "yesterday 23:10"),
            (24 * 10, "20 Feb 12:10"),
            (24 * 365, "2 Mar 2025 12:10"),
        ] {
            assert_eq!(when(at(now.utc_ms - hours_before * HOUR), now), words);
        }
    }

    #[test]
    fn a_day_is_told_without_its_hour() {
        let now = at(1_772_449_800_000); // 2026-03-02 12:10 at +01:00
        for (days_before, words) in [
            (0, "today"),
            (1, "yesterday"),
            (10, "20 Feb"),
            (-28, "30 Mar"),
            (365, "2 Mar 2025"),
        ] {
            assert_eq!(day(at(now.utc_ms - days_before * 24 * HOUR), now), words);
        }
    }

    #[test]
    fn an_age_fits_the_narrow_column_of_a_list() {
        let now = at(20_000 * 24 * HOUR);
        for (hours, words) in [
            (0, "0 min"),
            (1, "1 h"),
            (47, "47 h"),
            (48, "2 days"),
            (9 * 24, "9 days"),
            (10 * 24, "10 d"),
            (9999 * 24, "9999 d"),
            (10_000 * 24, "long"),
        ] {
            let told = ago(at(now.utc_ms - hours * HOUR), now);
            assert_eq!(told, words);
            assert!(told.len() <= 6);
        }
    }

    #[test]
    fn an_error_is_shown_as_a_sentence() {
        for (error, shown) in [
            ("nothing entered; key it in", "Nothing entered; key it in."),
            ("Say why.", "Say why."),
            ("'7' has no check character", "'7' has no check character."),
            ("", ""),
        ] {
            assert_eq!(sentence(&error), shown);
        }
    }

    #[test]
    fn a_clock_set_back_is_no_negative_age() {
        assert_eq!(ago(at(2 * HOUR), at(HOUR)), "0 min");
    }
}
