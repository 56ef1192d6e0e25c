//! What is usual, kept apart by what the pump was doing.

use super::{Point, Trend, Worked, number};
use crate::{
    check::{RunningState, words},
    plant::Unit,
    say,
    statistics::trend::{MEDIAN_MAD, Reading, baselines_by_state},
};

impl Trend {
    /// What is usual in each running state, where readings were made in more than one.
    pub(super) fn apart(&mut self, points: &[Point]) {
        // Steps of feeling have no middle.
        if self.unit == Unit::Step {
            return;
        }
        let readings: Vec<Reading<Option<RunningState>>> = self
            .since_last_cut(points)
            .iter()
            .map(|point| Reading {
                value: point.value,
                state: point.running,
                ambient: None,
            })
            .collect();
        let baselines = baselines_by_state(&readings);
        if baselines.len() < 2 {
            return;
        }
        let symbol = self.unit.symbol();
        let mut line = Worked::is(
            say!("Usual by what the pump was doing"),
            say!("kept apart").to_owned(),
            MEDIAN_MAD,
        );
        let mut told = 0;
        for (state, baseline) in baselines {
            let state = state.map_or(say!("not said"), words::running_state);
            let value = match baseline {
                Ok(baseline) => {
                    told += 1;
                    let usual = baseline.plain;
                    say!(
                        "{usual} {unit}, give or take {spread}, of {count} readings",
                        usual = number(usual.centre, usual.sigma / 3.0),
                        unit = symbol,
                        spread = number(usual.sigma, usual.sigma / 3.0),
                        count = usual.entries
                    )
                }
                Err(why) => why.to_string(),
            };
            line = line.row(state, value);
        }
        if told > 0 {
            self.worked.push(line);
        }
    }
}
