//! How one check's readings go: what is usual, whether they drift, and how long they have to a limit.

mod ahead;
mod air;
mod apart;
mod drift;
mod proposal;
mod remedies;

pub use air::{AIR_DAYS, follows_air};
pub use remedies::Mark;

use super::{
    Done, Reading, Worked,
    worked::{chance, number, told_by},
};
use crate::{
    check::{EntryKind, FeelScale, RunningState, usual_kind, words},
    plant::{CheckId, Limits, Unit},
    say,
    statistics::{
        counting::Count,
        feel::{FEEL_DIRECTION, Felt, look_at_feel},
        trend::{
            Direction, Limit, Look, MANN_KENDALL, MEDIAN_MAD, Question, Reach, RobustLine, Series,
            Side, Spread, THEIL_SEN, TrendError, Window, look,
        },
    },
};

const CONFIDENCE: f64 = 0.95;
const MS_PER_DAY: f64 = 86_400_000.0;
/// What is going on shows in four weeks of rounds; what was usual before that is compared with it. Common practice, no
/// source.
pub const RECENT_DAYS: f64 = 28.0;
/// How a check's readings go.
#[derive(Clone, Debug, PartialEq)]
pub struct Trend {
    /// Unit of every value here.
    pub unit: Unit,
    /// When (milliseconds since 1970 UTC) and what, oldest first; none of them later than now.
    pub points: Vec<(i64, f64)>,
    /// The line through the recent ones, its day 0 being 1970 UTC; only where there is a trend.
    pub line: Option<RobustLine>,
    /// A test for a trend was made, so that none shown is none shown.
    is_tested: bool,
    /// Whether what is left without the air's part goes up, `Some(None)` where it shows no trend; `None` where that can't
    /// be told.
    goes_up_without_air: Option<Option<bool>>,
    /// What was usual, with its spread.
    pub usual: Option<Spread>,
    /// In one line: "Rising 0.4 °C a day, 0.2 to 0.6" or "No trend".
    pub words: String,
    /// "12 days to the watch limit, 8 to 25"; empty where there is none.
    pub limit_words: String,
    /// The farthest limit that the last reading is past.
    past: Option<&'static str>,
    /// Limits it will reach if it goes on, with when.
    ahead: Vec<(Limit, Reach)>,
    /// What was put right and shows in these readings, oldest first.
    pub remedies: Vec<Mark>,
    /// Each result with its working.
    pub worked: Vec<Worked>,
}

impl Trend {
    /// A trend is shown that is not the air's, and goes up.
    pub fn rises(&self) -> bool {
        self.goes_up() == Some(Some(true))
    }

    /// Whether the trend shown goes up, `Some(None)` where none is shown; `None` where too little was read to test. The
    /// air's part of it is left out where that can be told.
    pub(super) fn goes_up(&self) -> Option<Option<bool>> {
        let as_read = || self.line.map(|line| line.slope_per_day > 0.0);
        self.goes_up_without_air
            .or_else(|| self.is_tested.then(as_read))
    }

    /// How it stands to the limit on this side that it will reach first; `None` where it will reach none.
    pub(super) fn nearest_ahead(&self, bad: Side) -> Option<&Reach> {
        let days = |reach: &Reach| match reach {
            Reach::Ahead { days, .. } => *days,
            _ => f64::INFINITY,
        };
        let ahead = self.ahead.iter().filter(|(limit, _)| limit.side == bad);
        ahead
            .map(|(_, reach)| reach)
            .min_by(|one, other| days(one).total_cmp(&days(other)))
    }
}

/// One reading as a number, in the trend's unit.
#[derive(Clone, Copy, Debug)]
struct Point {
    at_ms: i64,
    value: f64,
    running: Option<RunningState>,
    /// Drops, where they were counted.
    count: Option<Count>,
    /// Temperature of the air, °C.
    ambient_c: Option<f64>,
}

impl Point {
    fn of(reading: &Reading, unit: Unit) -> Option<Self> {
        let (value, own) = reading.entered.measured()?;
        let value = own.convert(value, unit).filter(|value| value.is_finite())?;
        Some(Self {
            at_ms: reading.at_ms,
            value,
            running: reading.running,
            count: super::leak_off::as_count(reading).map(|(_, count)| count),
            ambient_c: reading.ambient_c.filter(|celsius| celsius.is_finite()),
        })
    }
}

/// How a check's readings, in any order, go as seen now; `None` where they are words or answers, or there are none.
///
/// Readings later than now are set aside; those in units that measure something else are too. What is usual, drifts and
/// goes on is told from the readings made while the pump was doing what it was doing at the newest of them, and since the
/// last of what was `done` that makes them begin anew.
pub fn trend(
    check: CheckId,
    readings: &[Reading],
    done: &[Done],
    limits: Option<&Limits>,
    now_ms: i64,
) -> Option<Trend> {
    let unit = limits.map(|limits| limits.unit).or_else(|| {
        let mut measured = readings.iter().filter_map(|r| r.entered.measured());
        measured.next().map(|(_, unit)| unit)
    })?;
    let by_now = readings.iter().filter(|reading| reading.at_ms <= now_ms);
    let mut points: Vec<Point> = by_now
        .filter_map(|reading| Point::of(reading, unit))
        .collect();
    points.sort_by_key(|point| point.at_ms);
    let running = points.last()?.running;
    let mut trend = Trend {
        unit,
        points: points.iter().map(|p| (p.at_ms, p.value)).collect(),
        line: None,
        is_tested: false,
        goes_up_without_air: None,
        usual: None,
        words: String::new(),
        limit_words: String::new(),
        past: None,
        ahead: Vec::new(),
        remedies: remedies::marks(check, done, now_ms),
        worked: Vec::new(),
    };
    let alike: Vec<Point> = points
        .iter()
        .copied()
        .filter(|point| point.running == running)
        .collect();
    match usual_kind(check.kind) {
        EntryKind::Feel(scale) => {
            let anew = trend.since_last_cut(&alike).to_vec();
            trend.felt(scale, &anew, now_ms);
        }
        _ => trend.measured(check, &alike, limits, now_ms),
    }
    trend.changes(&alike, now_ms);
    trend.apart(&points);
    trend.say_since(now_ms);
    trend.set_aside(
        readings
            .iter()
            .filter(|reading| reading.at_ms > now_ms)
            .count(),
    );
    for line in &mut trend.worked {
        line.of.push(check);
    }
    Some(trend)
}

fn day(ms: i64) -> f64 {
    ms as f64 / MS_PER_DAY
}

fn series(points: &[Point], now_ms: i64) -> Result<Series, TrendError> {
    let days = points.iter().map(|point| (day(point.at_ms), point.value));
    Series::new(days, day(now_ms))
}

impl Trend {
    fn measured(&mut self, check: CheckId, alike: &[Point], limits: Option<&Limits>, now_ms: i64) {
        let anew = self.since_last_cut(alike).to_vec();
        if anew.is_empty() {
            self.words = say!("Not read yet").to_owned();
            return;
        }
        let recently = |point: &Point| day(point.at_ms) >= day(now_ms) - RECENT_DAYS;
        if !anew.iter().any(recently) {
            self.words = say!("Not read in the last {days} days", days = RECENT_DAYS);
            return;
        }
        let (Ok(series), Ok(whole)) = (series(&anew, now_ms), series(alike, now_ms)) else {
            self.words = say!("No trend can be told from these readings.").to_owned();
            return;
        };
        let bounds = bounds(limits);
        let question = Question {
            window: Window::LastDays(RECENT_DAYS),
            limits: &bounds.iter().map(|(limit, _)| *limit).collect::<Vec<_>>(),
            remedy_days: &[],
            remedy_window_days: RECENT_DAYS,
            confidence: CONFIDENCE,
        };
        match look(&series, &question) {
            Ok(look) => self.say_look(&look, &bounds),
            Err(why) => self.words = why.to_string(),
        }
        self.without_air(check, &anew, now_ms);
        self.drift(&anew, now_ms);
        self.counts(check, &anew, limits, now_ms);
        let in_force: Vec<Side> = bounds.iter().map(|(limit, _)| limit.side).collect();
        self.proposal(&whole, &in_force);
    }

    fn say_look(&mut self, look: &Look, bounds: &[(Limit, &'static str)]) {
        self.usual = Some(look.usual);
        let symbol = self.unit.symbol();
        self.worked.push(
            Worked::is(
                say!("Usual of late"),
                usual_words(look.usual, symbol),
                MEDIAN_MAD,
            )
            .row(say!("Readings"), look.usual.entries.to_string())
            .row(
                say!("of a period" => "Over"),
                say!("{days} days", days = number(look.period_days, 0.5)),
            ),
        );
        match (&look.line, &look.test) {
            (Ok(line), Ok(test)) => {
                self.is_tested = true;
                let direction = test.direction(CONFIDENCE);
                let shown = shown(line, direction);
                self.line = shown.copied();
                self.words = slope_words(shown, direction, symbol);
                self.worked.push(
                    Worked::is(say!("Trend"), self.words.clone(), THEIL_SEN)
                        .row(say!("Readings"), look.entries.to_string())
                        .row(
                            say!("of a period" => "Over"),
                            say!("{days} days", days = number(look.period_days, 0.5)),
                        )
                        .row(say!("Slope"), per_day(line, symbol))
                        .row(say!("Chance without a trend"), chance(test.p_two_sided))
                        .row(say!("Told by"), told_by(MANN_KENDALL)),
                );
            }
            // The test wants the most entries: its number is the one to say.
            (_, Err(why)) | (Err(why), _) => {
                self.words = why.to_string();
                self.worked.push(Worked::cannot(say!("Trend"), why, None));
            }
        }
        self.reaches(look, bounds);
    }

    fn felt(&mut self, scale: FeelScale, points: &[Point], now_ms: i64) {
        let name = say!("What was felt of late");
        let words = words::feel_steps(scale);
        let from_day = day(now_ms) - RECENT_DAYS;
        let felt: Vec<Felt> = points
            .iter()
            .map(|point| Felt {
                at_day: day(point.at_ms),
                step: point.value as u8,
            })
            .filter(|felt| felt.at_day >= from_day)
            .collect();
        let steps = u8::try_from(words.len()).unwrap_or(u8::MAX);
        match look_at_feel(&felt, steps, day(now_ms), CONFIDENCE) {
            Ok(look) => {
                self.words = match &look.test {
                    Ok(test) => steps_words(test.direction(CONFIDENCE)).to_owned(),
                    Err(why) => why.to_string(),
                };
                let counts: Vec<_> = words
                    .iter()
                    .zip(&look.counts)
                    .filter(|(_, times)| **times > 0)
                    .map(|(step, times)| say!("{step} {times} times", step = step.word, times))
                    .collect();
                self.worked.push(
                    Worked::is(name, self.words.clone(), FEEL_DIRECTION)
                        .row(say!("Entries"), look.entries.to_string())
                        .row(say!("How often"), counts.join(", "))
                        .caution(say!("Steps are an order, not a measure: no slope and no days to a limit come of them.")),
                );
            }
            Err(why) => {
                self.words = why.to_string();
                self.worked.push(Worked::cannot(name, why, None));
            }
        }
    }
}

/// The limits' bounds with their names in words.
fn bounds(limits: Option<&Limits>) -> Vec<(Limit, &'static str)> {
    let Some(limits) = limits else {
        return Vec::new();
    };
    [
        (
            limits.low_watch,
            Side::Below,
            say!("of a limit" => "low watch"),
        ),
        (limits.low_act, Side::Below, say!("of a limit" => "low act")),
        (
            limits.low_stop,
            Side::Below,
            say!("of a limit" => "low stop"),
        ),
        (
            limits.high_watch,
            Side::Above,
            say!("of a limit" => "high watch"),
        ),
        (
            limits.high_act,
            Side::Above,
            say!("of a limit" => "high act"),
        ),
        (
            limits.high_stop,
            Side::Above,
            say!("of a limit" => "high stop"),
        ),
    ]
    .into_iter()
    .filter_map(|(value, side, name)| {
        Some((
            Limit {
                value: value?,
                side,
            },
            name,
        ))
    })
    .collect()
}

/// "58 drops/min, give or take 13"; where most readings are the same there is nothing to give or take.
fn usual_words(usual: Spread, symbol: &str) -> String {
    if usual.sigma > 0.0 {
        let shown = |value: f64| number(value, usual.sigma / 3.0);
        say!(
            "{usual} {unit}, give or take {spread}",
            usual = shown(usual.centre),
            unit = symbol,
            spread = shown(usual.sigma)
        )
    } else {
        say!(
            "{usual} {unit}, most readings the same",
            usual = number(usual.centre, 0.0),
            unit = symbol
        )
    }
}

/// The line where a trend is shown; one that leaves every reading as it was is none to anybody.
fn shown(line: &RobustLine, direction: Direction) -> Option<&RobustLine> {
    let is_shown = matches!(direction, Direction::Rising | Direction::Falling);
    (is_shown && line.slope_per_day != 0.0).then_some(line)
}

fn slope_words(line: Option<&RobustLine>, direction: Direction, symbol: &str) -> String {
    match (line, direction) {
        (Some(line), Direction::Rising) => say!("Rising {slope}", slope = per_day(line, symbol)),
        (Some(line), _) => say!("Falling {slope}", slope = per_day(line, symbol)),
        (None, Direction::EqualThroughout) => say!("The same throughout").to_owned(),
        (None, _) => say!("No trend shown").to_owned(),
    }
}

fn steps_words(direction: Direction) -> &'static str {
    match direction {
        Direction::Rising => say!("Rising from step to step"),
        Direction::Falling => say!("Falling from step to step"),
        Direction::EqualThroughout => say!("The same step throughout"),
        Direction::NoTrend => say!("No trend shown"),
    }
}

/// A slope without its sign where the whole interval has one: "0.4 °C a day, 0.2 to 0.6".
fn per_day(line: &RobustLine, symbol: &str) -> String {
    let (low, high) = (line.slope_low_per_day, line.slope_high_per_day);
    let width = (high - low) / 2.0;
    let turned = line.slope_per_day < 0.0 && high <= 0.0;
    let (slope, low, high) = if turned {
        (-line.slope_per_day, -high, -low)
    } else {
        (line.slope_per_day, low, high)
    };
    say!(
        "{slope} {unit} a day, {low} to {high}",
        slope = number(slope, width),
        unit = symbol,
        low = number(low, width),
        high = number(high, width)
    )
}

/// Days without their hours: nobody plans by them.
fn whole(days: f64) -> String {
    format!("{days:.0}")
}
