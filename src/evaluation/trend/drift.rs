//! Whether readings have left what was usual.

use super::{MS_PER_DAY, Point, RECENT_DAYS, Trend, Worked, day, number};
use crate::{
    plant::{CheckId, Limits, Unit},
    say,
    statistics::{
        charts::{
            Baseline, CUSUM, CusumDesign, Direction as Way, EWMA, EwmaDesign, POISSON_CUSUM,
            PoissonCusumDesign, cusum, ewma, poisson_cusum,
        },
        counting::Count,
        trend::spread,
    },
};

/// Fewest earlier readings that say what was usual before. Common practice, no source.
const FEWEST_BEFORE: usize = 20;

impl Trend {
    /// Says that readings are left out whose time is still to come.
    pub(super) fn set_aside(&mut self, readings: usize) {
        let why = match readings {
            0 => return,
            1 => say!("One reading has a time that is still to come, and is left out. Look at the clock of the device it was made on.").to_owned(),
            _ => say!("{readings} readings have a time that is still to come, and are left out. Look at the clock of the device they were made on.", readings),
        };
        self.worked
            .push(Worked::cannot(say!("Set aside"), why, None));
    }

    /// Whether the recent readings have left what was usual before them.
    pub(super) fn drift(&mut self, points: &[Point], now_ms: i64) {
        let name = say!("Drift from before");
        let newest_ms = points.last().map_or(0, |point| point.at_ms);
        let split_ms = newest_ms - (RECENT_DAYS * MS_PER_DAY) as i64;
        let split = points.partition_point(|point| point.at_ms < split_ms);
        let values: Vec<f64> = points.iter().map(|point| point.value).collect();
        let (before, recent) = values.split_at(split);
        if before.len() < FEWEST_BEFORE {
            return;
        }
        let Ok(usual) = spread(before) else { return };
        let baseline = Baseline {
            location: usual.centre,
            scale: usual.sigma,
        };
        let (sums, design) = (CusumDesign::PUBLISHED[1], EwmaDesign::PUBLISHED[3]);
        let (by_sum, by_average) = match (
            cusum(recent, baseline, &sums),
            ewma(recent, baseline, &design),
        ) {
            (Ok(by_sum), Ok(by_average)) => (by_sum, by_average),
            (Err(why), _) | (_, Err(why)) => {
                self.worked.push(Worked::cannot(name, why, None));
                return;
            }
        };
        let (formula, called_by) = match (by_sum.signal, by_average.signal) {
            (Some(_), Some(_)) => (CUSUM, say!("of drift" => "both charts")),
            (Some(_), None) => (CUSUM, say!("of drift" => "the cumulative sum")),
            (None, Some(_)) => (EWMA, say!("of drift" => "the moving average")),
            (None, None) => (CUSUM, say!("of drift" => "neither chart")),
        };
        let words = match by_sum.signal.or(by_average.signal) {
            None => say!("none shown").to_owned(),
            Some(signal) => {
                let began_ms = points[split + signal.start].at_ms;
                let time = super::super::ago(now_ms - began_ms);
                match signal.direction {
                    Way::Up => say!("up, since about {time} ago", time),
                    Way::Down => say!("down, since about {time} ago", time),
                }
            }
        };
        let arl = |arl: Option<f64>| {
            arl.map_or(say!("not stated").to_owned(), |arl| {
                say!("one in {readings} readings", readings = format!("{arl:.0}"))
            })
        };
        self.worked.push(
            Worked::is(name, words, formula)
                .row(say!("of drift" => "Called by"), called_by)
                .row(
                    say!("Usual before"),
                    say!(
                        "{usual} {unit}, of {count} readings",
                        usual = number(usual.centre, usual.sigma / 3.0),
                        unit = self.unit.symbol(),
                        count = usual.entries
                    ),
                )
                .row(say!("Readings looked at"), recent.len().to_string())
                .row(
                    say!("False calls, cumulative sum"),
                    format!("{}; {}", arl(sums.in_control_arl()), CUSUM.source),
                )
                .row(
                    say!("False calls, moving average"),
                    format!("{}; {}", arl(design.in_control_arl()), EWMA.source),
                )
                .caution(say!(
                    "So seldom only where what is usual is well known and one reading says nothing of the next; else it is called falsely more often."
                )),
        );
    }

    /// Drops are counts, so that each weighs by how long was counted. A gland that leaks more and one that runs dry are
    /// looked for each by a chart of its own.
    pub(super) fn counts(
        &mut self,
        check: CheckId,
        points: &[Point],
        limits: Option<&Limits>,
        now_ms: i64,
    ) {
        if !super::super::leak_off::COUNTED.contains(&check.kind) || self.unit != Unit::DropsPerMin
        {
            return;
        }
        let Some((limits, good)) = limits.and_then(|limits| Some((limits, limits.target?))) else {
            return;
        };
        let counts: Vec<(i64, Count)> = points
            .iter()
            .filter(|point| day(now_ms) - day(point.at_ms) <= RECENT_DAYS)
            .filter_map(|point| Some((point.at_ms, point.count?)))
            .collect();
        for bad in [limits.high_watch, limits.low_watch].into_iter().flatten() {
            self.counts_towards(bad, good, &counts, now_ms);
        }
    }

    /// Whether the counts have gone from the good rate to a bad one, drops per minute.
    fn counts_towards(&mut self, bad: f64, good: f64, counts: &[(i64, Count)], now_ms: i64) {
        /// One false call in so many counts at most: at two rounds a day, one in eight months.
        const COUNTS_WITHOUT_A_CALL: f64 = 500.0;
        let row: Vec<Count> = counts.iter().map(|(_, count)| *count).collect();
        let Ok(design) = PoissonCusumDesign::from_rates(good, bad, COUNTS_WITHOUT_A_CALL) else {
            return;
        };
        let Ok(chart) = poisson_cusum(&row, &design) else {
            return;
        };
        let time = chart
            .signal
            .map(|signal| super::super::ago(now_ms - counts[signal.start].0));
        let (name, words) = match (design.direction(), time) {
            (Way::Up, Some(time)) => (
                say!("Rise of the counts"),
                say!("more than usual, since about {time} ago", time),
            ),
            (Way::Down, Some(time)) => (
                say!("Fall of the counts"),
                say!("less than usual, since about {time} ago", time),
            ),
            (Way::Up, None) => (say!("Rise of the counts"), say!("none shown").to_owned()),
            (Way::Down, None) => (say!("Fall of the counts"), say!("none shown").to_owned()),
        };
        let drops_per_min = |rate: f64| say!("{rate} drops/min", rate);
        self.worked.push(
            Worked::is(name, words, POISSON_CUSUM)
                .row(say!("Counts"), row.len().to_string())
                .row(say!("Usual rate"), drops_per_min(good))
                .row(say!("Rate to be caught"), drops_per_min(bad))
                .row(
                    say!("False calls"),
                    say!(
                        "at most one in {counts} counts",
                        counts = COUNTS_WITHOUT_A_CALL
                    ),
                ),
        );
    }
}
