//! Limits that a check's history would give.

use super::Trend;
use crate::{
    evaluation::{Worked, worked::number},
    statistics::trend::{
        FEWEST_FOR_PROPOSAL, LIMITS_FROM_HISTORY, Series, Sigmas, Window, propose_limits,
    },
};

/// Three and five robust standard deviations for proposed limits. Common practice, no source.
const PROPOSED: Sigmas = Sigmas {
    watch: 3.0,
    act: 5.0,
};

impl Trend {
    pub(super) fn proposal(&mut self, series: &Series) {
        const NAME: &str = "Limits from history, for the planner to weigh";
        let symbol = self.unit.symbol();
        if series.len() < FEWEST_FOR_PROPOSAL {
            return;
        }
        self.worked.push(match propose_limits(series, Window::Whole, PROPOSED) {
            Ok(proposed) => {
                let width = (proposed.high_watch - proposed.low_watch) / 20.0;
                let shown = |value: f64| number(value, width);
                // What never read below nothing has no low limit below it.
                let never_below = self.points.iter().all(|(_, value)| *value >= 0.0);
                let band = |low: f64, high: f64| {
                    if never_below && low < 0.0 {
                        format!("at most {} {symbol}", shown(high))
                    } else {
                        format!("{} to {} {symbol}", shown(low), shown(high))
                    }
                };
                let watch = band(proposed.low_watch, proposed.high_watch);
                let line = Worked::is(NAME, format!("watch {watch}"), LIMITS_FROM_HISTORY)
                .row("Act", band(proposed.low_act, proposed.high_act))
                .row("Target", format!("{} {symbol}", shown(proposed.target)))
                .row("Readings", proposed.entries.to_string())
                .row(
                    "Over",
                    format!("{} days", number(proposed.to_day - proposed.from_day, 0.5)),
                )
                .caution("A proposal: the limits in force stay until the planner sends others.");
                if proposed.is_drifting {
                    Worked::cannot(
                        NAME,
                        "The readings drift: limits taken from them would allow for what is going wrong.",
                        None,
                    )
                } else if never_below && proposed.low_watch < 0.0 {
                    line.caution("No low limit comes of these readings: keep the one in force.")
                } else {
                    line
                }
            }
            Err(why) => Worked::cannot(NAME, why, None),
        });
    }
}
