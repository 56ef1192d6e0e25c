//! Readings over time as lines.

use super::{Finding as Bridge, tape, words::when};
use crate::{plant::Limits, record::Stamp, store::EntryRow};

/// Columns of a plot: more than that no window tells apart.
const COLUMNS: usize = 500;

/// A plot's box with what lies at its edges: milliseconds since 1970 UTC from left to right, values from bottom to top.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Time at the left edge.
    pub from_ms: i64,
    /// Time at the right edge.
    pub to_ms: i64,
    /// Value at the bottom.
    pub low: f64,
    /// Value at the top.
    pub high: f64,
    /// Width of the box, in units of its paths.
    pub width: f64,
    /// Height of the box.
    pub height: f64,
}

impl Frame {
    /// Where a time lies, as a fraction of the width.
    pub fn across(&self, at_ms: i64) -> f64 {
        (at_ms - self.from_ms) as f64 / (self.to_ms - self.from_ms).max(1) as f64
    }

    /// Where a value lies, as a fraction of the height from the top.
    pub fn down(&self, value: f64) -> f64 {
        1.0 - (value - self.low) / (self.high - self.low)
    }

    /// Path commands of a line through these points; higher is up.
    pub fn line(&self, points: &[(i64, f64)]) -> String {
        let mut commands = String::with_capacity(points.len() * 14);
        for (index, (at_ms, value)) in points.iter().enumerate() {
            let x = self.across(*at_ms) * self.width;
            let y = self.down(*value) * self.height;
            let pen = if index == 0 { 'M' } else { 'L' };
            commands.push_str(&format!("{pen} {x:.1} {y:.1} "));
        }
        commands
    }

    /// What of readings, oldest first, can be told apart: where there are more than two for a column of the plot, of
    /// each column the first, the least, the greatest and the last in their order.
    pub fn thinned(&self, readings: &[(i64, f64)]) -> Vec<(i64, f64)> {
        if readings.len() <= 2 * COLUMNS {
            return readings.to_vec();
        }
        let column = |at_ms: i64| (self.across(at_ms) * COLUMNS as f64) as i64;
        let columns = readings.chunk_by(|one, next| column(one.0) == column(next.0));
        columns.flat_map(ends).collect()
    }
}

fn ends(column: &[(i64, f64)]) -> Vec<(i64, f64)> {
    let by_value = |a: &usize, b: &usize| column[*a].1.total_cmp(&column[*b].1);
    let least = (0..column.len()).min_by(by_value);
    let greatest = (0..column.len()).max_by(by_value);
    let mut kept: Vec<usize> = [0, column.len().saturating_sub(1)].into();
    kept.extend(least.into_iter().chain(greatest));
    kept.sort_unstable();
    kept.dedup();
    kept.into_iter()
        .filter_map(|index| column.get(index).copied())
        .collect()
}

/// Shows the plot of readings, newest first as the store gives them; none where fewer than two can be drawn.
pub fn show(page: &Bridge<'_>, entries: &[EntryRow], limits: Option<&Limits>, now: Stamp) {
    let unit = limits.map(|limits| limits.unit).or_else(|| {
        entries
            .iter()
            .find_map(|entry| entry.entry.entered.measured().map(|(_, unit)| unit))
    });
    let Some(unit) = unit else {
        page.set_has_plot(false);
        return;
    };
    let readings: Vec<(i64, f64)> = entries
        .iter()
        .rev()
        .filter_map(|entry| {
            let (value, own) = entry.entry.entered.measured()?;
            Some((entry.entry.seen_at.utc_ms, own.convert(value, unit)?))
        })
        .collect();
    let (Some(first), Some(last)) = (readings.first(), readings.last()) else {
        page.set_has_plot(false);
        return;
    };
    let (low, high) = span(readings.iter().map(|(_, value)| *value), limits);
    page.set_has_plot(readings.len() > 1);
    page.set_unit(unit.symbol().into());
    page.set_plot_low(low as f32);
    page.set_plot_high(high as f32);
    page.set_decimals(i32::try_from(tape::decimals_within(low, high)).unwrap_or(0));
    let frame = Frame {
        from_ms: first.0,
        to_ms: last.0,
        low,
        high,
        width: f64::from(page.get_plot_width()),
        height: f64::from(page.get_plot_height()),
    };
    page.set_plot_path(frame.line(&frame.thinned(&readings)).into());
    let at = |utc_ms| {
        when(
            Stamp {
                utc_ms,
                offset_min: now.offset_min,
            },
            now,
        )
    };
    page.set_plot_from_words(at(first.0).into());
    page.set_plot_to_words(at(last.0).into());
}

/// From the lowest to the highest of values and bounds, with a little room.
pub fn span(values: impl Iterator<Item = f64>, limits: Option<&Limits>) -> (f64, f64) {
    let bounds = limits
        .into_iter()
        .flat_map(|limits| limits.bounds().map(|(_, value)| value).collect::<Vec<_>>());
    let (low, high) = values
        .chain(bounds)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        });
    let room = ((high - low) * 0.05).max(f64::EPSILON.max(high.abs() * 0.01));
    // Nothing below zero is drawn of what can't be below zero.
    let lowest = if low >= 0.0 {
        (low - room).max(0.0)
    } else {
        low - room
    };
    (lowest, high + room)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frame() -> Frame {
        Frame {
            from_ms: 0,
            to_ms: 1000,
            low: 10.0,
            high: 20.0,
            width: 100.0,
            height: 50.0,
        }
    }

    #[test]
    fn a_line_runs_from_the_first_reading_to_the_last_and_higher_is_up() {
        let readings = [(0, 10.0), (500, 15.0), (1000, 20.0)];
        assert_eq!(
            frame().line(&readings),
            "M 0.0 50.0 L 50.0 25.0 L 100.0 0.0 "
        );
    }

    #[test]
    fn of_many_readings_every_peak_is_still_drawn() {
        let readings: Vec<(i64, f64)> = (0..20_000_i64)
            .map(|at| (at / 20, if at == 7_777 { 19.0 } else { 12.0 }))
            .collect();
        let thinned = frame().thinned(&readings);
        assert!(thinned.len() <= 4 * (COLUMNS + 1), "{}", thinned.len());
        assert!(thinned.iter().any(|(_, value)| *value == 19.0));
        assert_eq!(thinned.first(), readings.first());
        assert_eq!(thinned.last(), readings.last());
    }

    #[test]
    fn few_readings_are_all_drawn() {
        let readings = [(0, 10.0), (500, 15.0), (1000, 20.0)];
        assert_eq!(frame().thinned(&readings), readings);
    }
}
