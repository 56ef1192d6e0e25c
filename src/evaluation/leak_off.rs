//! What counted drops say: how surely, where against the band, and against the count before.

use super::{
    Reading, Seen, Situation, Worked, ago,
    worked::{between, chance, number, told_by},
};
use crate::{
    check::Entered,
    plant::{CheckId, CheckKind, Limits, Unit},
    say,
    statistics::counting::{
        Answer, BAND_TEST, Band, BandTest, COMPARISON, Change, Count, CountingError, DROP_VOLUME,
        POOL, Place, Plan, RATE, compare, drops_to_ml_per_min, ml_to_drops_per_min,
        rate_at_most_per_min, rate_per_min, stream_ml_per_min,
    },
};

/// Confidence of every interval shown, and the level of chance of comparisons.
const CONFIDENCE: f64 = 0.95;

/// One count in twenty may be told wrong on either side, and no count lasts longer than four minutes: longer than
/// that nobody stands at a gland. Common practice, no source.
const PLAN: Plan = Plan {
    alpha: 0.05,
    beta: 0.05,
    indifference_ratio: 2.0,
    longest_s: 240.0,
};

/// How finely a cup's marks are read, share of what is in it. Common practice, no source.
const CUP_READ_WITHIN: f64 = 0.05;

/// The checks that are counts of drops.
pub(super) const COUNTED: [CheckKind; 3] = [
    CheckKind::LeakOff,
    CheckKind::SealLeak,
    CheckKind::StaticLeak,
];

/// What a count so far comes to, while it is counted.
#[derive(Clone, Debug, PartialEq)]
pub struct CountSoFar {
    /// Drops per minute.
    pub per_min: f64,
    /// Lower and upper end of its 95 % interval, drops per minute.
    pub interval_per_min: (f64, f64),
    /// Where it stands against the band; `None` where there is no band to test against.
    pub answer: Option<Answer>,
}

impl CountSoFar {
    /// It is settled on which side of the band the rate lies.
    pub fn is_settled(&self) -> bool {
        matches!(self.answer, Some(Answer::Enough { .. }))
    }
}

/// What `drops` in `seconds` come to against these limits.
///
/// # Errors
/// Where the count is none: no time, or more drops than anybody counts.
pub fn count_so_far(
    drops: u32,
    seconds: f64,
    limits: Option<&Limits>,
) -> Result<CountSoFar, CountingError> {
    let rate = rate_per_min(drops, seconds, CONFIDENCE)?;
    let answer = match limits.and_then(band_test) {
        Some(test) => Some(test.at(drops, seconds)?),
        None => None,
    };
    Ok(CountSoFar {
        per_min: rate.per_min,
        interval_per_min: (rate.low_per_min, rate.high_per_min),
        answer,
    })
}

/// What the answer says, for the person who counts.
pub fn guide(answer: Answer) -> String {
    match answer {
        Answer::Enough { place, .. } => match place {
            Place::Below => say!("Enough: below the band."),
            Place::In => say!("Enough: in the band."),
            Place::Above => say!("Enough: above the band."),
        }
        .to_owned(),
        Answer::GoOn { at_most_s_more } => {
            let seconds = format!("{:.0}", at_most_s_more.ceil());
            say!("Go on: at most {seconds} s more.", seconds)
        }
        Answer::CannotTell { .. } => say!(
            "Too near a bound to tell by counting: save it, and count again on the next round."
        )
        .to_owned(),
    }
}

/// The test against the band these limits give a rate; `None` where they give none that can be tested.
fn band_test(limits: &Limits) -> Option<BandTest> {
    let per_min = |bound: Option<f64>| {
        bound
            .and_then(|value| limits.unit.convert(value, Unit::DropsPerMin))
            // No rate lies below nothing, and none can be told from it by counting.
            .filter(|per_min| *per_min > 0.0)
    };
    let band = Band {
        low_per_min: per_min(limits.low_watch.or(limits.low_act).or(limits.low_stop)),
        high_per_min: per_min(limits.high_watch.or(limits.high_act).or(limits.high_stop)),
    };
    BandTest::new(band, PLAN).ok()
}

/// A stream caught in a cup: mL/min with its interval.
#[derive(Clone, Debug, PartialEq)]
pub struct StreamSoFar {
    /// Millilitres per minute.
    pub ml_per_min: f64,
    /// From and to, as the cup's marks are read, mL/min.
    pub interval_ml_per_min: (f64, f64),
}

/// What a stream caught in a cup comes to.
///
/// # Errors
/// Where volume or time is none.
pub fn stream_so_far(millilitres: f64, seconds: f64) -> Result<StreamSoFar, CountingError> {
    let rate = stream_ml_per_min(millilitres, millilitres.abs() * CUP_READ_WITHIN, seconds)?;
    Ok(StreamSoFar {
        ml_per_min: rate.ml_per_min,
        interval_ml_per_min: (rate.low_ml_per_min, rate.high_ml_per_min),
    })
}

/// What every count of the situation comes to.
pub(super) fn work_out(at: &Situation<'_>) -> Vec<Worked> {
    let counted = at
        .seen
        .iter()
        .filter(|seen| COUNTED.contains(&seen.check.kind));
    counted.flat_map(|seen| of_one(at, seen)).collect()
}

fn of_one(at: &Situation<'_>, seen: &Seen) -> Vec<Worked> {
    let check = seen.check;
    match seen.entered {
        Entered::Count { drops, seconds } => {
            let count = Count { drops, seconds };
            let mut lines = vec![rate(at, seen, count)];
            lines.extend(against_the_one_before(at, check, count));
            lines
        }
        Entered::Stream {
            millilitres,
            seconds,
            drops_per_ml,
        } => vec![stream(check, (millilitres, seconds), drops_per_ml)],
        _ => Vec::new(),
    }
}

/// How often the band test errs, and where.
fn errors() -> String {
    // The zone about a bound in which nothing is promised: see [`Plan`].
    let lowest = PLAN.indifference_ratio.ln() / (PLAN.indifference_ratio - 1.0);
    say!(
        "at most {times} in 100 times on either side, for rates outside of {low} to {high} times a bound; at most {seconds} s of counting",
        times = number(100.0 * PLAN.alpha.max(PLAN.beta), 3.0),
        low = number(lowest, 0.03),
        high = number(lowest * PLAN.indifference_ratio, 0.03),
        seconds = number(PLAN.longest_s, 3.0)
    )
}

/// Slow drops are said by the hour, as the judged entry says them: the unit, and how many of it one a minute is.
fn drops_per(per_min: f64) -> (f64, &'static str) {
    if per_min < 1.0 {
        (60.0, say!("drops/h"))
    } else {
        (1.0, Unit::DropsPerMin.symbol())
    }
}

fn rate(at: &Situation<'_>, seen: &Seen, count: Count) -> Worked {
    let name = say!("Rate counted");
    let Count { drops, seconds } = count;
    let so_far = match count_so_far(drops, seconds, seen.limits.as_ref()) {
        Ok(so_far) => so_far,
        Err(why) => return Worked::cannot(name, why, None).of([seen.check]),
    };
    // Where nothing was seen only the upper side is in doubt.
    let at_most_per_min = match drops {
        0 => match rate_at_most_per_min(drops, seconds, CONFIDENCE) {
            Ok(at_most) => Some(at_most),
            Err(why) => return Worked::cannot(name, why, None).of([seen.check]),
        },
        _ => None,
    };
    let (low, high) = so_far.interval_per_min;
    let words = match at_most_per_min {
        Some(at_most) => {
            let (per, unit) = drops_per(at_most);
            none_at_most(at_most * per, unit)
        }
        None => {
            let (per, unit) = drops_per(so_far.per_min);
            between(so_far.per_min * per, (low * per, high * per), unit)
        }
    };
    let mut line = Worked::is(name, words, RATE)
        .of([seen.check])
        .row(say!("Drops"), drops.to_string())
        .row(say!("Time"), format!("{} s", number(seconds, 1.0)))
        .row(say!("Confidence"), "95 %");
    if let Some(answer) = so_far.answer {
        line = line
            .row(say!("Against the band"), guide(answer))
            .row(say!("Band told by"), told_by(BAND_TEST))
            .row(say!("Told wrongly"), errors());
        if matches!(answer, Answer::GoOn { .. } | Answer::CannotTell { .. }) {
            line = line.caution(
                say!("The count is too short or too near a bound to say surely on which side of it the rate lies."),
            );
        }
    }
    let in_ml = |per_min: f64| drops_to_ml_per_min(per_min, at.plant.drops_per_ml);
    let volume = match at_most_per_min {
        Some(at_most) => in_ml(at_most).map(|at_most| none_at_most(at_most, "mL/min")),
        None => in_ml(so_far.per_min).and_then(|ml_per_min| {
            let ends = (in_ml(low)?, in_ml(high)?);
            Ok(between(ml_per_min, ends, "mL/min"))
        }),
    };
    match volume {
        Ok(volume) => line
            .row(say!("As a volume"), volume)
            .row(say!("Volume by"), DROP_VOLUME.source),
        Err(_) => line,
    }
}

/// What is said where no drop was seen.
fn none_at_most(rate: f64, unit: &str) -> String {
    say!(
        "none, at most {rate} {unit}",
        rate = number(rate, rate),
        unit
    )
}

fn stream(check: CheckId, (millilitres, seconds): (f64, f64), drops_per_ml: Option<f64>) -> Worked {
    let name = say!("Stream caught");
    let so_far = match stream_so_far(millilitres, seconds) {
        Ok(so_far) => so_far,
        Err(why) => return Worked::cannot(name, why, None).of([check]),
    };
    let words = between(so_far.ml_per_min, so_far.interval_ml_per_min, "mL/min");
    let line = Worked::is(name, words, POOL)
        .of([check])
        .row(say!("Caught"), format!("{} mL", number(millilitres, 0.0)))
        .row(say!("Time"), format!("{} s", number(seconds, 1.0)));
    let convention = drops_per_ml.unwrap_or_default();
    match ml_to_drops_per_min(so_far.ml_per_min, drops_per_ml) {
        Ok(per_min) => line
            .row(
                say!("As drops"),
                say!(
                    "{rate} drops/min, {drops} to the mL",
                    rate = number(per_min, 0.0),
                    drops = convention
                ),
            )
            .row(say!("Volume by"), DROP_VOLUME.source),
        Err(why) => line.caution(why.to_string()),
    }
}

/// Whether the rate is another than at the count before it, or chance alone explains the difference.
fn against_the_one_before(at: &Situation<'_>, check: CheckId, now: Count) -> Option<Worked> {
    let counts = at.before.get(&check)?.iter().filter_map(as_count);
    let earlier = counts.filter(|(at_ms, _)| *at_ms <= at.now_ms);
    let (at_ms, before) = earlier.max_by_key(|(at_ms, _)| *at_ms)?;
    let compared = compare(before, now, 1.0 - CONFIDENCE).ok()?;
    let words = match compared.change {
        Change::Fell => say!("less than at the count before"),
        Change::Rose => say!("more than at the count before"),
        Change::NoDifferenceShown => say!("no difference shown from the count before"),
    };
    let mut line = Worked::is(say!("Since the count before"), words.to_owned(), COMPARISON)
        .of([check])
        .row(
            say!("of a count" => "Before"),
            say!(
                "{drops} drops in {seconds} s, {time} ago",
                drops = before.drops,
                seconds = number(before.seconds, 1.0),
                time = ago(at.now_ms - at_ms)
            ),
        )
        .row(
            say!("of a count" => "Now"),
            say!(
                "{drops} drops in {seconds} s",
                drops = now.drops,
                seconds = number(now.seconds, 1.0)
            ),
        )
        .row(
            say!("Chance of such a difference at equal rates"),
            chance(compared.p_value),
        );
    if let (Some(ratio), Some(high)) = (compared.ratio, compared.ratio_high) {
        let width = (high - compared.ratio_low) / 2.0;
        line = line.row(
            say!("Now over before"),
            say!(
                "{ratio}, {low} to {high}",
                ratio = number(ratio, width),
                low = number(compared.ratio_low, width),
                high = number(high, width)
            ),
        );
    }
    Some(line)
}

pub(super) fn as_count(reading: &Reading) -> Option<(i64, Count)> {
    match reading.entered {
        Entered::Count { drops, seconds } => Some((reading.at_ms, Count { drops, seconds })),
        _ => None,
    }
}
