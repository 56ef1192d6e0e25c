//! What is usual for a check, by running state and, where it was read, by ambient.

use super::{
    Point, TrendError, check_enough, check_values,
    line::through,
    robust::{Spread, spread},
    series::ONE_MOMENT_DAYS,
    usable,
};
use crate::{formula::Formula, word};
use std::collections::BTreeMap;

/// How a reading is freed of ambient.
pub const AMBIENT_LINE: Formula = Formula {
    name: word!(
        "reading less a Theil–Sen line on ambient, then median and scaled median absolute deviation of what is left"
    ),
    source: "Sen (1968), JASA 63:1379, for the line; its use here: common practice, no source",
};

/// Fewest entries in a running state a baseline is made from (common practice, no source).
pub const FEWEST_FOR_BASELINE: usize = 5;

/// Fewest entries with an ambient reading a line on ambient is drawn through (common practice, no source).
pub const FEWEST_FOR_AMBIENT: usize = 12;

/// An ambient that ranges over less than this, in its own unit, has not changed.
const LEAST_AMBIENT_RANGE: f64 = 1e-6;

/// One reading with what it depends on. `S` names the running state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading<S> {
    /// In the check's unit.
    pub value: f64,
    /// The running state it was read in.
    pub state: S,
    /// Ambient at the time, where it was read; any unit, the same throughout.
    pub ambient: Option<f64>,
}

/// What is usual in one running state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Baseline {
    /// Of the values as read.
    pub plain: Spread,
    /// Of the values less their line on ambient, where enough entries carry an ambient that differs.
    pub ambient: Option<AmbientLine>,
}

/// A robust line of the value on ambient, and what is left around it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AmbientLine {
    /// Change of the value per unit of ambient.
    pub slope: f64,
    /// The line at ambient 0.
    pub intercept: f64,
    /// Lowest ambient it was drawn through.
    pub lowest: f64,
    /// Highest ambient it was drawn through.
    pub highest: f64,
    /// What is left of the values less the line: centre near 0, its spread, and how many entries.
    pub rest: Spread,
}

/// How far a reading is from usual.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Score {
    /// Distance from the usual in robust standard deviations, positive above it.
    pub sigmas: f64,
    /// What it was measured against.
    pub basis: ScoreBasis,
}

/// What a score was measured against.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ScoreBasis {
    /// The line on ambient.
    Ambient,
    /// The plain values: no line, no ambient with the reading, or an ambient the line has not seen.
    Plain,
}

impl Baseline {
    /// The baseline of readings in one state, each with its ambient where there is one.
    ///
    /// # Errors
    /// [`TrendError::TooFew`] below [`FEWEST_FOR_BASELINE`]; [`TrendError::NotUsable`].
    pub fn of(readings: &[(f64, Option<f64>)]) -> Result<Self, TrendError> {
        check_enough(word!("A baseline"), readings.len(), FEWEST_FOR_BASELINE)?;
        let values: Vec<f64> = readings.iter().map(|(value, _)| *value).collect();
        check_values(&values)?;
        if let Some(i) = readings
            .iter()
            .position(|(_, ambient)| ambient.is_some_and(|ambient| !usable(ambient)))
        {
            return Err(TrendError::NotUsable {
                entry: i + 1,
                what: word!("ambient value"),
            });
        }
        Ok(Self {
            plain: spread(&values)?,
            ambient: AmbientLine::of(readings)?,
        })
    }

    /// How far a reading is from usual; `None` where the baseline has no spread or the numbers are not usable.
    pub fn score(&self, value: f64, ambient: Option<f64>) -> Option<Score> {
        let seen = self.ambient.zip(ambient).filter(|(line, ambient)| {
            line.rest.sigma > 0.0 && (line.lowest..=line.highest).contains(ambient)
        });
        let (from_usual, sigma, basis) = match seen {
            Some((line, ambient)) => (
                value - line.value_at(ambient) - line.rest.centre,
                line.rest.sigma,
                ScoreBasis::Ambient,
            ),
            None => (
                value - self.plain.centre,
                self.plain.sigma,
                ScoreBasis::Plain,
            ),
        };
        let sigmas = from_usual / sigma;
        sigmas.is_finite().then_some(Score { sigmas, basis })
    }
}

impl AmbientLine {
    /// The line at an ambient.
    pub fn value_at(&self, ambient: f64) -> f64 {
        self.intercept + self.slope * ambient
    }

    fn of(readings: &[(f64, Option<f64>)]) -> Result<Option<Self>, TrendError> {
        let mut pairs: Vec<Point> = readings
            .iter()
            .filter_map(|(value, ambient)| {
                ambient.map(|at_day| Point {
                    at_day,
                    value: *value,
                })
            })
            .collect();
        pairs.sort_by(|a, b| a.at_day.total_cmp(&b.at_day));
        let (Some(first), Some(last)) = (pairs.first(), pairs.last()) else {
            return Ok(None);
        };
        let (lowest, highest) = (first.at_day, last.at_day);
        let step = (highest - lowest) * ONE_MOMENT_DAYS;
        if pairs.len() < FEWEST_FOR_AMBIENT || highest - lowest < LEAST_AMBIENT_RANGE {
            return Ok(None);
        }
        for i in 1..pairs.len() {
            if pairs[i].at_day - pairs[i - 1].at_day < step {
                pairs[i].at_day = pairs[i - 1].at_day;
            }
        }
        let line = through(&pairs, 0.95)?;
        let (slope, intercept) = (line.slope_per_day, line.intercept);
        let rests: Vec<f64> = pairs
            .iter()
            .map(|pair| pair.value - intercept - slope * pair.at_day)
            .collect();
        Ok(Some(Self {
            slope,
            intercept,
            lowest,
            highest,
            rest: spread(&rests)?,
        }))
    }
}

/// The baseline of every running state that occurs, or why it has none.
pub fn baselines_by_state<S: Ord + Clone>(
    readings: &[Reading<S>],
) -> BTreeMap<S, Result<Baseline, TrendError>> {
    let mut by_state: BTreeMap<S, Vec<(f64, Option<f64>)>> = BTreeMap::new();
    for reading in readings {
        by_state
            .entry(reading.state.clone())
            .or_default()
            .push((reading.value, reading.ambient));
    }
    by_state
        .into_iter()
        .map(|(state, readings)| (state, Baseline::of(&readings)))
        .collect()
}
