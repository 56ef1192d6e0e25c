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
        let words = match (by_sum.signal, by_average.signal) {
            (None, None) => say!("none shown").to_owned(),
            (Some(signal), _) | (None, Some(signal)) => {
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
            Worked::is(name, words, CUSUM)
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
                    arl(sums.in_control_arl()),
                )
                .row(
                    say!("False calls, moving average"),
                    format!("{}; {}", arl(design.in_control_arl()), EWMA.source),
                ),
        );
    }

    /// Drops are counts, so that each weighs by how long was counted.
    pub(super) fn counts(
        &mut self,
        check: CheckId,
        points: &[Point],
        limits: Option<&Limits>,
        now_ms: i64,
    ) {
        /// One false call in so many counts at most: at two rounds a day, one in eight months.
        const COUNTS_WITHOUT_A_CALL: f64 = 500.0;
        if !super::super::leak_off::COUNTED.contains(&check.kind) || self.unit != Unit::DropsPerMin
        {
            return;
        }
        let Some((good, bad)) = limits.and_then(|limits| limits.target.zip(limits.high_watch))
        else {
            return;
        };
        let counts: Vec<(i64, Count)> = points
            .iter()
            .filter(|point| day(now_ms) - day(point.at_ms) <= RECENT_DAYS)
            .filter_map(|point| Some((point.at_ms, point.count?)))
            .collect();
        let row: Vec<Count> = counts.iter().map(|(_, count)| *count).collect();
        let Ok(design) = PoissonCusumDesign::from_rates(good, bad, COUNTS_WITHOUT_A_CALL) else {
            return;
        };
        let Ok(chart) = poisson_cusum(&row, &design) else {
            return;
        };
        let drops_per_min = |rate: f64| say!("{rate} drops/min", rate);
        let words = match chart.signal {
            Some(signal) => say!(
                "more than usual, since about {time} ago",
                time = super::super::ago(now_ms - counts[signal.start].0)
            ),
            None => say!("none shown").to_owned(),
        };
        self.worked.push(
            Worked::is(say!("Rise of the counts"), words, POISSON_CUSUM)
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
