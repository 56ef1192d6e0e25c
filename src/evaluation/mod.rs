//! What a pump's entries come to together: leak-off, hydraulics, trends, and the causes that fit.
//!
//! Pure. A [`Situation`] is what is known at a pump; [`evaluate`] works out everything it allows, each as a [`Worked`]
//! line with its inputs, its formula and where that comes from, or with the entry that would allow it.

mod advice;
mod causes;
mod grease_by_size;
mod hand;
mod hydraulic;
mod leak_off;
mod lubrication;
mod readings;
mod signs;
mod situation;
mod trend;
mod worked;

pub use crate::diagnosis::{RANKING, TELLING};
pub use advice::Advice;
pub use causes::Causes;
pub use grease_by_size::{BearingRead, ReadAt, grease_by_size, wanted_by_size};
pub use leak_off::{CountSoFar, StreamSoFar, count_so_far, guide, stream_so_far};
pub use lubrication::{Care, LUBRICATION_TOGETHER};
pub use situation::{Done, Reading, Seen, Situation};
pub use trend::{AIR_DAYS, Mark, RECENT_DAYS, Trend, follows_air, trend};
pub use worked::{Outcome, Worked, number};

use crate::{
    check::{RunningState, words},
    diagnosis::{Evidence, Sign},
    plant::{CheckId, CheckKind, Pump, Unit},
    say,
    statistics::trend::median,
};
use std::collections::BTreeMap;

/// What was found out of limits and not looked at since counts for so long as a sign of what is wrong: a week, by when
/// most rounds have come by again. Common practice, no source.
pub const LEFT_OPEN_DAYS: u32 = 7;

/// Everything that can be worked out from one visit.
#[derive(Clone, Debug, PartialEq)]
pub struct Evaluation {
    /// What was worked out, in the order it is shown.
    pub worked: Vec<Worked>,
    /// How the readings of each check entered go.
    pub trends: BTreeMap<CheckId, Trend>,
    /// What is wrong, where anything is known.
    pub causes: Option<Causes>,
    foremost: advice::Foremost,
}

/// Works out everything that a situation allows.
pub fn evaluate(at: &Situation<'_>) -> Evaluation {
    let mut worked = leak_off::work_out(at);
    worked.extend(hand::work_out(at));
    let mut hydraulics = hydraulic::Hydraulics::default();
    if at.running == RunningState::Running {
        let (numbers, lines) = hydraulic::work_out(at);
        hydraulics = numbers;
        worked.extend(lines);
    }
    let trends = trends(at);
    let foremost = advice::Foremost::of(at);
    worked.extend(lubrication::work_out(at, &trends, foremost.stop.is_some()));
    let mut causes = causes::causes(at, &hydraulics, drifting(at.pump, &trends));
    // Nobody is sent to look closer at a pump that is to be stopped.
    if let (Some(_), Some(causes)) = (&foremost.stop, &mut causes) {
        causes.look_next.clear();
    }
    Evaluation {
        worked,
        trends,
        causes,
        foremost,
    }
}

/// The trend of each check entered, what was entered among its readings.
fn trends(at: &Situation<'_>) -> BTreeMap<CheckId, Trend> {
    let mut trends = BTreeMap::new();
    for seen in &at.seen {
        let Some(before) = at.before.get(&seen.check) else {
            continue;
        };
        let mut readings = before.clone();
        readings.push(Reading {
            at_ms: seen.at_ms,
            running: Some(at.running),
            entered: seen.entered.clone(),
            ambient_c: at.ambient_c,
        });
        let limits = seen.limits.as_ref();
        if let Some(trend) = trend(seen.check, &readings, &at.done, limits, at.now_ms) {
            trends.insert(seen.check, trend);
        }
    }
    trends
}

/// The signs that only a trend shows, present; one that no trend was shown of is absent.
fn drifting(pump: &Pump, trends: &BTreeMap<CheckId, Trend>) -> Vec<Evidence> {
    let mut told = Vec::new();
    for (check, trend) in trends {
        let Some(goes_up) = trend.goes_up() else {
            continue;
        };
        let title = words::title(*check);
        let origin = format!("{title}: {}.", trend.words);
        let of_trend = match (check.kind, goes_up) {
            (CheckKind::BearingTemperature, Some(true)) => {
                Evidence::present(Sign::BearingRising, origin)
            }
            (CheckKind::BearingTemperature, _) => Evidence::absent(Sign::BearingRising, origin),
            (CheckKind::FeedOilReservoir, Some(false)) => {
                Evidence::present(Sign::ReservoirLow, origin)
            }
            _ => continue,
        };
        told.push(of_trend.at(signs::at_part(pump, check.place)));
    }
    told
}

/// The median of what was read before for a check while the pump was doing the same, in this unit; `None` where it was
/// not read.
fn usual(at: &Situation<'_>, check: CheckId, unit: Unit) -> Option<f64> {
    let readings = at.before.get(&check)?.iter();
    let values: Vec<f64> = readings
        .filter(|reading| reading.at_ms <= at.now_ms)
        .filter(|reading| reading.running.is_none_or(|state| state == at.running))
        .filter_map(|reading| {
            let (value, own) = reading.entered.measured()?;
            own.convert(value, unit)
        })
        .collect();
    median(&values).ok()
}

/// How long ago something was, as it stands before "ago".
fn ago(ms: i64) -> String {
    let minutes = ms.max(0) / 60_000;
    match minutes {
        0 => say!("under a minute").to_owned(),
        1..120 => say!("{minutes} min", minutes),
        120..4_320 => say!("{hours} h", hours = minutes / 60),
        _ => say!("ago" => "{days} days", days = minutes / 1_440),
    }
}
