//! A check's history as a line.

use super::{Finding as Bridge, tape, words::when};
use crate::{plant::Limits, record::Stamp, store::EntryRow};

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
    let (low, high) = span(&readings, limits);
    page.set_has_plot(readings.len() > 1);
    page.set_unit(unit.symbol().into());
    page.set_plot_low(low as f32);
    page.set_plot_high(high as f32);
    page.set_decimals(i32::try_from(tape::decimals_within(low, high)).unwrap_or(0));
    let (width, height) = (page.get_plot_width(), page.get_plot_height());
    page.set_plot_path(
        path(
            &readings,
            (low, high),
            (f64::from(width), f64::from(height)),
        )
        .into(),
    );
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

/// From the lowest to the highest of readings and bounds, with a little room.
fn span(readings: &[(i64, f64)], limits: Option<&Limits>) -> (f64, f64) {
    let bounds = limits
        .into_iter()
        .flat_map(|limits| limits.bounds().map(|(_, value)| value).collect::<Vec<_>>());
    let values = readings.iter().map(|(_, value)| *value).chain(bounds);
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
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

/// Path commands in a box of this size, y downwards.
fn path(readings: &[(i64, f64)], (low, high): (f64, f64), (width, height): (f64, f64)) -> String {
    let (from, to) = (
        readings.first().map_or(0, |r| r.0),
        readings.last().map_or(1, |r| r.0),
    );
    let time = (to - from).max(1) as f64;
    let mut commands = String::with_capacity(readings.len() * 14);
    for (index, (at, value)) in readings.iter().enumerate() {
        let x = (at - from) as f64 / time * width;
        let y = height - (value - low) / (high - low) * height;
        let pen = if index == 0 { 'M' } else { 'L' };
        commands.push_str(&format!("{pen} {x:.1} {y:.1} "));
    }
    commands
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_runs_from_the_first_reading_to_the_last_and_higher_is_up() {
        let readings = [(0, 10.0), (500, 15.0), (1000, 20.0)];
        assert_eq!(
            path(&readings, (10.0, 20.0), (100.0, 50.0)),
            "M 0.0 50.0 L 50.0 25.0 L 100.0 0.0 "
        );
    }
}
