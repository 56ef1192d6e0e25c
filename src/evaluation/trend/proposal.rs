//! Limits that a check's history would give.

use super::Trend;
use crate::{
    evaluation::{Worked, worked::number},
    say,
    statistics::trend::{
        FEWEST_FOR_PROPOSAL, LIMITS_FROM_HISTORY, Series, Side, Sigmas, Window, propose_limits,
    },
};

/// Three and five robust standard deviations for proposed limits. Common practice, no source.
const PROPOSED: Sigmas = Sigmas {
    watch: 3.0,
    act: 5.0,
};

impl Trend {
    /// Where limits are in force, only on the sides they are on: no bearing is too cool because it was usually warmer.
    pub(super) fn proposal(&mut self, series: &Series, in_force: &[Side]) {
        let name = say!("Limits from history, for the planner to weigh");
        let symbol = self.unit.symbol();
        if series.len() < FEWEST_FOR_PROPOSAL {
            return;
        }
        self.worked.push(match propose_limits(series, Window::Whole, PROPOSED) {
            Ok(proposed) => {
                let tenth = (proposed.high_watch - proposed.low_watch) / 20.0;
                // What is read in whole numbers has no limit between them.
                let is_read_whole = self.points.iter().all(|(_, value)| value.fract() == 0.0);
                let width = if is_read_whole { tenth.max(3.0) } else { tenth };
                let shown = |value: f64| number(value, width);
                // What never read below nothing has no low limit below it.
                let never_below = self.points.iter().all(|(_, value)| *value >= 0.0);
                let is_open = |side: Side| !in_force.is_empty() && !in_force.contains(&side);
                let band = |low: f64, high: f64| {
                    if is_open(Side::Below) || (never_below && low < 0.0) {
                        say!("at most {high} {unit}", high = shown(high), unit = symbol)
                    } else if is_open(Side::Above) {
                        say!("at least {low} {unit}", low = shown(low), unit = symbol)
                    } else {
                        say!("{low} to {high} {unit}", low = shown(low), high = shown(high), unit = symbol)
                    }
                };
                let watch = band(proposed.low_watch, proposed.high_watch);
                let line = Worked::is(name, say!("watch {band}", band = watch), LIMITS_FROM_HISTORY)
                .row(say!("of a limit" => "Act"), band(proposed.low_act, proposed.high_act))
                .row(say!("Target"), format!("{} {symbol}", shown(proposed.target)))
                .row(say!("Readings"), proposed.entries.to_string())
                .row(
                    say!("of a period" => "Over"),
                    say!("{days} days", days = number(proposed.to_day - proposed.from_day, 0.5)),
                )
                .caution(say!("A proposal: the limits in force stay until the planner sends others."));
                if proposed.is_drifting || self.line.is_some() {
                    Worked::cannot(
                        name,
                        say!("The readings drift: limits taken from them would allow for what is going wrong."),
                        None,
                    )
                } else if !is_open(Side::Below) && never_below && proposed.low_watch < 0.0 {
                    line.caution(say!("No low limit comes of these readings: keep the one in force."))
                } else {
                    line
                }
            }
            Err(why) => Worked::cannot(name, why, None),
        });
    }
}
