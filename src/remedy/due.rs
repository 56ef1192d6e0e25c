//! What is due, by running hours and by the calendar.

use super::{
    CannotTell,
    hours::{RunEvent, running_hours},
    words::short,
};
use crate::{
    check::words::short_place,
    plant::{Place, Pump},
    say,
};
use std::cmp::Ordering;

const MS_PER_DAY: f64 = 86_400_000.0;

/// Share of its interval from which a job is said to be due soon. Common practice, no source.
const SOON: f64 = 0.9;

/// A job that comes again, by running hours, by days, or by whichever is up first.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// Where on the pump.
    pub place: Place,
    /// What is to be done, and where: "Grease, Pump DE".
    pub what: String,
    /// Running hours from one time to the next, above 0.
    pub every_running_hours: Option<f64>,
    /// Days from one time to the next, above 0.
    pub every_days: Option<f64>,
    /// When it was done last, ms since 1970 UTC; `None` where nobody entered that it ever was.
    pub last_ms: Option<i64>,
}

/// The greasings a pump's programme asks for, in the register's order; `last_ms` says when a bearing was greased last.
pub fn greasings(pump: &Pump, last_ms: impl Fn(Place) -> Option<i64>) -> Vec<Job> {
    let programmes = pump.bearings.iter().filter_map(|bearing| {
        let programme = bearing.grease.as_ref()?;
        Some((bearing.place, programme))
    });
    programmes
        .map(|(place, programme)| Job {
            place,
            what: say!("Grease, {place}", place = short_place(place)),
            every_running_hours: programme.every_running_hours,
            every_days: programme.every_days,
            last_ms: last_ms(place),
        })
        .collect()
}

/// How a job stands, the most pressing last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// It was done at a time that has not come: the clock was wrong then, or is now.
    ClockWrong,
    /// Not due yet.
    NotYet,
    /// Due soon.
    Soon,
    /// Perhaps overdue: it depends on hours that are not known.
    Perhaps,
    /// Nobody entered that it was ever done.
    NeverDone,
    /// Overdue.
    Overdue,
}

/// A job and how it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Due {
    /// The job.
    pub job: Job,
    /// How it stands.
    pub standing: Standing,
    /// Share of its interval that is surely used up; 1 is due, above it overdue. By hours or days, whichever is more.
    pub share_low: f64,
    /// Share of its interval that can be used up at most.
    pub share_high: f64,
    /// In words: "overdue by 200 running hours (4000)".
    pub words: String,
}

/// What is due now, overdue first, and among equals what is farthest along.
///
/// `events` is all that was entered about the pump's running.
///
/// # Errors
/// [`CannotTell::Number`] for an interval that is not above 0; [`CannotTell::NotInRegister`] for a job without one.
pub fn due(jobs: &[Job], events: &[RunEvent], now_ms: i64) -> Result<Vec<Due>, CannotTell> {
    let mut found = jobs
        .iter()
        .map(|job| stand(job, events, now_ms))
        .collect::<Result<Vec<_>, _>>()?;
    found.sort_by(most_pressing_first);
    Ok(found)
}

fn most_pressing_first(one: &Due, other: &Due) -> Ordering {
    let by_share = || {
        let low = other.share_low.total_cmp(&one.share_low);
        low.then(other.share_high.total_cmp(&one.share_high))
    };
    other.standing.cmp(&one.standing).then_with(by_share)
}

/// How far along one interval is.
struct Along {
    every: f64,
    low: f64,
    high: f64,
    unit: &'static str,
}

impl Along {
    fn share_low(&self) -> f64 {
        self.low / self.every
    }

    fn share_high(&self) -> f64 {
        self.high / self.every
    }

    fn words(&self) -> String {
        let Along {
            every,
            low,
            high,
            unit,
        } = *self;
        let of = short(every);
        if low > every {
            say!(
                "overdue by {over} {unit} (every {every})",
                over = range(low - every, high - every),
                unit,
                every = of
            )
        } else if high > every {
            say!(
                "{used} of {every} {unit} used up: perhaps overdue",
                used = range(low, high),
                every = of,
                unit
            )
        } else {
            say!(
                "due in {left} {unit} (every {every})",
                left = range(every - high, every - low),
                unit,
                every = of
            )
        }
    }
}

fn range(low: f64, high: f64) -> String {
    let (low, high) = (short(low), short(high));
    if low == high {
        low
    } else {
        say!("a span" => "{low} to {high}", low, high)
    }
}

fn stand(job: &Job, events: &[RunEvent], now_ms: i64) -> Result<Due, CannotTell> {
    interval(
        say!("The running hours of an interval"),
        job.every_running_hours,
    )?;
    interval(say!("The days of an interval"), job.every_days)?;
    if job.every_running_hours.is_none() && job.every_days.is_none() {
        return Err(CannotTell::NotInRegister {
            what: say!("how often this is to be done"),
            field: say!("every_running_hours or every_days"),
        });
    }
    let of = |standing, words: &str| Due {
        job: job.clone(),
        standing,
        share_low: 0.0,
        share_high: 0.0,
        words: words.to_owned(),
    };
    let Some(last_ms) = job.last_ms else {
        return Ok(of(
            Standing::NeverDone,
            say!("nobody entered that it was ever done: do it, or enter when it was"),
        ));
    };
    if last_ms > now_ms {
        return Ok(of(
            Standing::ClockWrong,
            say!("entered for a time that has not come: look at the device's clock"),
        ));
    }
    let mut along = Vec::new();
    if let Some(every) = job.every_running_hours {
        let hours = running_hours(events, last_ms, now_ms)?;
        along.push(Along {
            every,
            low: hours.low_h,
            high: hours.high_h,
            unit: say!("running hours"),
        });
    }
    if let Some(every) = job.every_days {
        let days = (now_ms as f64 - last_ms as f64) / MS_PER_DAY;
        along.push(Along {
            every,
            low: days,
            high: days,
            unit: say!("days"),
        });
    }
    along.sort_by(|one, other| {
        let low = other.share_low().total_cmp(&one.share_low());
        low.then(other.share_high().total_cmp(&one.share_high()))
    });
    let most = |share: fn(&Along) -> f64| along.iter().map(share).fold(0.0, f64::max);
    let (share_low, share_high) = (most(Along::share_low), most(Along::share_high));
    let words: Vec<_> = along.iter().map(Along::words).collect();
    Ok(Due {
        standing: if share_low > 1.0 {
            Standing::Overdue
        } else if share_high > 1.0 {
            Standing::Perhaps
        } else if share_high >= SOON {
            Standing::Soon
        } else {
            Standing::NotYet
        },
        share_low,
        share_high,
        ..of(Standing::NotYet, &words.join("; "))
    })
}

fn interval(what: &'static str, every: Option<f64>) -> Result<(), CannotTell> {
    const SHORTEST: f64 = 0.01;
    const LONGEST: f64 = 1e6;
    match every {
        Some(every) if !(SHORTEST..=LONGEST).contains(&every) => Err(CannotTell::Number {
            what,
            lowest: SHORTEST,
            highest: LONGEST,
        }),
        _ => Ok(()),
    }
}
