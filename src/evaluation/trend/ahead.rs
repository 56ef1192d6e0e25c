//! How long a check's readings have to its limits.

use super::{Trend, Worked, whole};
use crate::{
    language, say,
    statistics::trend::{Limit, Look, Reach, Side, TIME_TO_LIMIT},
};

impl Trend {
    /// Days to each limit that the trend will reach; the nearest in the headline.
    pub(super) fn reaches(&mut self, look: &Look, bounds: &[(Limit, &'static str)]) {
        let mut nearest: Option<(f64, String)> = None;
        // What the last reading is past already is past, wherever the line lies; of several the farthest out.
        let last = self.points.last().map(|(_, value)| *value);
        let passed = |limit: &Limit| {
            last.is_some_and(|last| match limit.side {
                Side::Above => last > limit.value,
                Side::Below => last < limit.value,
            })
        };
        let is_past = bounds.iter().rfind(|(limit, _)| passed(limit));
        self.past = is_past.map(|(_, name)| *name);
        for ((limit, name), reach) in bounds.iter().zip(&look.reaches) {
            if passed(limit) {
                continue;
            }
            let Ok(Reach::Ahead {
                days,
                earliest_days,
                latest_days,
                is_beyond_evidence,
                ..
            }) = *reach
            else {
                continue;
            };
            self.ahead
                .extend(reach.clone().map(|reach| (*limit, reach)));
            let until = match latest_days {
                Some(latest) => {
                    let (earliest, latest) = (whole(earliest_days), whole(latest));
                    say!("{earliest} to {latest} days", earliest, latest)
                }
                None => {
                    let earliest = whole(earliest_days);
                    say!("{earliest} days at the earliest, with no latest", earliest)
                }
            };
            let time = match whole(days).as_str() {
                "1" => say!("1 day").to_owned(),
                days => say!("{days} days", days),
            };
            let words = say!(
                "{time} to the {limit} limit, {until}",
                time,
                limit = name,
                until
            );
            let value = language::number(limit.value);
            let line = Worked::is(
                &say!("Time to the {limit} limit", limit = name),
                format!("{time}, {until}"),
                TIME_TO_LIMIT,
            )
            .row(say!("Limit"), format!("{value} {}", self.unit.symbol()))
            .caution(say!(
                "As long as it goes on as in these weeks; a worn part may get worse faster."
            ));
            self.worked.push(if is_beyond_evidence {
                line.caution(say!(
                    "The limit lies farther ahead than the readings reach back: a guess."
                ))
            } else {
                line
            });
            let tells = !is_beyond_evidence;
            if tells && nearest.as_ref().is_none_or(|(least, _)| days < *least) {
                nearest = Some((days, words));
            }
        }
        self.say_limits(nearest.map(|(_, words)| words));
    }

    fn say_limits(&mut self, ahead: Option<String>) {
        self.limit_words = match (self.past, ahead) {
            (Some(limit), Some(ahead)) => {
                say!("Past the {limit} limit now; {ahead}", limit, ahead)
            }
            (Some(limit), None) => say!("Past the {limit} limit now", limit),
            (None, ahead) => ahead.unwrap_or_default(),
        };
    }

    /// What lies ahead is the weather's: nobody counts days by it.
    pub(super) fn reaches_nothing(&mut self) {
        self.ahead.clear();
        let is_time = |line: &Worked| line.formula == Some(TIME_TO_LIMIT);
        self.worked.retain(|line| !is_time(line));
        self.say_limits(None);
    }
}
