//! What is usual at the air's temperature, and how readings go once its part is taken off.

use super::{CONFIDENCE, Point, RECENT_DAYS, Trend, Worked, day, number, slope_words};
use crate::{
    evaluation::worked::{chance, told_by},
    plant::{CheckId, CheckKind, Place},
    say,
    statistics::trend::{
        AMBIENT_LINE, AmbientLine, Baseline, FEWEST_FOR_AMBIENT, FEWEST_FOR_TREND, MANN_KENDALL,
        Score, ScoreBasis, Series, THEIL_SEN, mann_kendall, theil_sen,
    },
};

const AIR: CheckId = CheckId::new(CheckKind::AmbientTemperature, Place::Pump);

/// What is usual at an air temperature is learnt from the year before the recent weeks, so that all its weather is in it.
/// Common practice, no source.
const LEARNT_DAYS: f64 = 365.0;

/// Days back that readings are looked at for the air's part in them.
pub const AIR_DAYS: f64 = RECENT_DAYS + LEARNT_DAYS;

/// The readings of this check go with the temperature of the air.
pub fn follows_air(kind: CheckKind) -> bool {
    matches!(
        kind,
        CheckKind::BearingTemperature | CheckKind::FeedOilTemperature
    )
}

impl Trend {
    /// What is usual at this air, and whether a trend is left without it.
    ///
    /// The line on the air is drawn through the readings before the recent weeks: drawn through these too, it would take
    /// wear for weather where both set in together.
    pub(super) fn without_air(&mut self, check: CheckId, points: &[Point], now_ms: i64) {
        if !follows_air(check.kind) {
            return;
        }
        let today = day(now_ms);
        let since = |days: f64| points.partition_point(|point| day(point.at_ms) < today - days);
        let (before, recent) = (
            &points[since(AIR_DAYS)..since(RECENT_DAYS)],
            &points[since(RECENT_DAYS)..],
        );
        let learnt: Vec<_> = before.iter().map(|p| (p.value, p.ambient_c)).collect();
        let with_air = learnt.iter().filter(|(_, air)| air.is_some()).count();
        let Some(newest) = recent.last() else { return };
        if newest.ambient_c.is_none() && with_air == 0 {
            return;
        }
        let baseline = Baseline::of(&learnt).ok();
        match baseline.and_then(|baseline| Some((baseline, baseline.ambient?))) {
            Some((baseline, line)) => {
                self.worked.push(self.usual_at(&baseline, &line, newest));
                self.goes_on_without(&line, recent, today);
            }
            None => self.worked.push(not_learnt(with_air)),
        }
    }

    fn usual_at(&self, baseline: &Baseline, line: &AmbientLine, newest: &Point) -> Worked {
        let name = say!("Usual at this air temperature");
        let Some(air_c) = newest.ambient_c else {
            let why = say!(
                "The air's temperature was not read within an hour of the newest reading. Enter it."
            );
            return Worked::cannot(name, why, Some(AIR));
        };
        let seen = say!(
            "{lowest} to {highest} °C",
            lowest = degrees(line.lowest),
            highest = degrees(line.highest)
        );
        if !(line.lowest..=line.highest).contains(&air_c) {
            let why = say!(
                "The air is at {air} °C, and what is usual is known for air of {seen} alone. It is learnt as readings are made.",
                air = degrees(air_c),
                seen
            );
            return Worked::cannot(name, why, None);
        }
        let (spread, symbol) = (line.rest.sigma, self.unit.symbol());
        let usual = line.value_at(air_c) + line.rest.centre;
        let words = say!(
            "{usual} {unit} at {air} °C of air, give or take {spread}; {far}",
            usual = number(usual, spread),
            unit = symbol,
            air = degrees(air_c),
            spread = number(spread, spread / 3.0),
            far = how_far(baseline, newest.value, air_c, usual)
        );
        Worked::is(name, words, AMBIENT_LINE)
            .row(
                say!("Newest reading"),
                format!("{} {symbol}", number(newest.value, spread)),
            )
            .row(say!("Goes with the air"), self.per_air(line))
            .row(say!("Air it was learnt at"), seen)
            .row(say!("Readings"), line.rest.entries.to_string())
    }

    /// "0.62 °C for each °C of air".
    fn per_air(&self, line: &AmbientLine) -> String {
        say!(
            "{slope} {unit} for each °C of air",
            slope = number(line.slope, 0.1),
            unit = self.unit.symbol()
        )
    }

    /// The trend of what is left; told where enough of the recent readings were made at air the line has seen.
    fn goes_on_without(&mut self, line: &AmbientLine, recent: &[Point], today: f64) {
        let freed: Vec<_> = recent
            .iter()
            .filter_map(|point| {
                let air_c = point.ambient_c?;
                let is_known = (line.lowest..=line.highest).contains(&air_c);
                is_known.then(|| (day(point.at_ms), point.value - line.slope * air_c))
            })
            .collect();
        let used = freed.len();
        let Ok(series) = Series::new(freed, today) else {
            return;
        };
        let (Ok(left), Ok(test)) = (theil_sen(&series, CONFIDENCE), mann_kendall(&series)) else {
            return;
        };
        if used < FEWEST_FOR_TREND {
            return;
        }
        let direction = test.direction(CONFIDENCE);
        let shown = super::shown(&left, direction);
        let words = slope_words(shown, direction, self.unit.symbol());
        self.goes_up_without_air = Some(shown.map(|line| line.slope_per_day > 0.0));
        let as_read = self.line.map(|line| line.slope_per_day > 0.0);
        if as_read != shown.map(|line| line.slope_per_day > 0.0) {
            if shown.is_none() {
                self.reaches_nothing();
            }
            self.words = match shown {
                None => say!(
                    "{trend}; without the air's part no trend shown",
                    trend = self.words
                ),
                Some(_) => say!(
                    "{trend}; without the air's part: {left}",
                    trend = self.words,
                    left = words
                ),
            };
        }
        self.worked.push(
            Worked::is(say!("Trend without the air's part"), words, THEIL_SEN)
                .row(
                    say!("Readings"),
                    say!("{used} of {all}", used, all = recent.len()),
                )
                .row(say!("Taken off"), self.per_air(line))
                .row(say!("Chance without a trend"), chance(test.p_two_sided))
                .row(say!("Told by"), told_by(MANN_KENDALL)),
        );
    }
}

/// Weather to whole degrees.
fn degrees(celsius: f64) -> String {
    number(celsius, 3.0)
}

fn not_learnt(with_air: usize) -> Worked {
    let why = say!(
        "{count} readings from before the last {days} days have the air's temperature with them; {least} at air that differs are needed. Enter it on each visit.",
        count = with_air,
        days = RECENT_DAYS,
        least = FEWEST_FOR_AMBIENT
    );
    Worked::cannot(say!("Usual at this air temperature"), why, Some(AIR))
}

/// "this one as usual", "this one 2.3 times that above".
fn how_far(baseline: &Baseline, value: f64, air_c: f64, usual: f64) -> String {
    let score = baseline.score(value, Some(air_c));
    match score.filter(|score| score.basis == ScoreBasis::Ambient) {
        Some(Score { sigmas, .. }) if sigmas > 1.0 => {
            say!(
                "this one {times} times that above",
                times = number(sigmas, 0.3)
            )
        }
        Some(Score { sigmas, .. }) if sigmas < -1.0 => {
            say!(
                "this one {times} times that below",
                times = number(-sigmas, 0.3)
            )
        }
        None if value != usual => say!("this one differs").to_owned(),
        _ => say!("this one as usual").to_owned(),
    }
}
