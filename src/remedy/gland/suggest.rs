//! The flats that would bring the leak-off to where it should be.

use super::{GlandSeen, NeverTighten, Response, WAIT_MIN, may_tighten};
use crate::{
    check::gland_may_be_touched,
    formula::Formula,
    plant::Pump,
    remedy::{
        CannotTell, MOST_FLATS, MOST_NUTS, Turn,
        words::{counted, short},
    },
    say,
    statistics::counting::rate_per_min,
    word,
};

/// What is suggested where the gland's own response isn't known, and why no step is larger where it is.
pub const ONE_FLAT: Formula = Formula {
    name: word!("one flat on each nut, evenly, then wait and count again"),
    source: "common practice, no source; uneven tightening scores the shaft: NAVFAC MO-209 item (e)",
};

/// Where the leak-off should be, drops per minute.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Below this it is out of limits.
    pub low_per_min: f64,
    /// Above this it is out of limits.
    pub high_per_min: f64,
    /// Where it should be, where the planner says so; else the band's middle is aimed at.
    pub target_per_min: Option<f64>,
}

impl Band {
    fn aim(&self) -> f64 {
        let middle = (self.low_per_min + self.high_per_min) / 2.0;
        self.target_per_min.unwrap_or(middle)
    }
}

/// What one step is expected to bring, by the gland's own response.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// Rate after the step, drops per minute.
    pub per_min: f64,
    /// By the end of the response's interval that gives the least.
    pub low_per_min: f64,
    /// By the end of the response's interval that gives the most.
    pub high_per_min: f64,
    /// Steps of one flat on each nut to the aim in all, this one with them; 1 to a whole turn.
    pub steps: u8,
    /// Times the response rests on.
    pub pairs: usize,
}

/// What to turn now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Suggestion {
    /// Nothing: it is within its band.
    Leave,
    /// Nothing by an operator's hand: the pump's liquid burns or harms.
    HandsOff,
    /// Nothing: it leaks too much, and yet must not be tightened.
    NotNow(NeverTighten),
    /// One flat on each nut, evenly; then wait and count again.
    OneFlat {
        /// Which way.
        turn: Turn,
        /// What it is expected to bring; `None` where the gland's own response isn't known.
        expected: Option<Expected>,
    },
    /// Less than a flat: a whole one on each nut would carry it past its aim.
    LessThanAFlat {
        /// Which way.
        turn: Turn,
        /// Part of a flat on each nut, above 0 and below 0.5.
        part: f64,
    },
}

impl Suggestion {
    /// What to do, in sentences.
    pub fn words(&self) -> String {
        match *self {
            Suggestion::Leave => say!("Within its band: leave the nuts as they are.").to_owned(),
            Suggestion::HandsOff => say!(
                "Hot or hazardous liquid: keep hands off the gland, and tell the shift supervisor."
            )
            .to_owned(),
            Suggestion::NotNow(why) => say!("{why} Tell the shift supervisor.", why),
            Suggestion::OneFlat {
                turn,
                expected: None,
            } => say!(
                "{one_flat} This gland's own response isn't known yet.",
                one_flat = one_flat(turn)
            ),
            Suggestion::OneFlat {
                turn,
                expected: Some(expected),
            } => format!("{} {}", one_flat(turn), expected.words()),
            Suggestion::LessThanAFlat { turn, part } => less_than_a_flat(turn, &short(part)),
        }
    }
}

fn one_flat(turn: Turn) -> String {
    let minutes = WAIT_MIN;
    match turn {
        Turn::Tighten => say!(
            "Tighten each gland nut one flat, evenly, wait {minutes} minutes, count again.",
            minutes
        ),
        Turn::Ease => say!(
            "Ease each gland nut one flat, evenly, wait {minutes} minutes, count again.",
            minutes
        ),
    }
}

fn less_than_a_flat(turn: Turn, part: &str) -> String {
    let minutes = WAIT_MIN;
    match turn {
        Turn::Tighten => say!(
            "Tighten each gland nut by about {part} of a flat, evenly, no more: a whole flat would carry this gland past its aim. Wait {minutes} minutes, count again.",
            part,
            minutes
        ),
        Turn::Ease => say!(
            "Ease each gland nut by about {part} of a flat, evenly, no more: a whole flat would carry this gland past its aim. Wait {minutes} minutes, count again.",
            part,
            minutes
        ),
    }
}

impl Expected {
    fn words(&self) -> String {
        say!(
            "By this gland's own response ({times}) expect about {rate} drops/min ({low} to {high}); the aim is about {steps} of one flat away.",
            times = counted(
                self.pairs as f64,
                say!("how often" => "time"),
                say!("how often" => "times")
            ),
            rate = short(self.per_min),
            low = short(self.low_per_min),
            high = short(self.high_per_min),
            steps = counted(f64::from(self.steps), say!("step"), say!("steps"))
        )
    }
}

/// What to turn on a gland of `nuts` nuts that was counted and seen so.
///
/// Never more than one flat on each nut at a time. With the gland's own response the steps to the aim are rounded to
/// the nearest whole, so that taking them all carries it past its aim by half a flat on each nut at most. Without it –
/// `None`, as long as [`super::response()`] has too few pairs – it is the usual one flat. A gland is never tightened
/// that [`may_tighten`] forbids; where no drop fell it is eased by the usual one flat. Nobody is sent to a gland that
/// [`gland_may_be_touched`] keeps hands off.
///
/// # Errors
/// [`CannotTell::NoCount`]; [`CannotTell::Number`] for a band or number of nuts that can't be; [`CannotTell::Counting`];
/// [`CannotTell::NoResponse`] where turning has not been shown to do anything; [`CannotTell::TooFar`] where it would
/// take more than a whole turn.
pub fn suggest(
    seen: &GlandSeen,
    band: Band,
    nuts: usize,
    response: Option<&Response>,
    pump: &Pump,
) -> Result<Suggestion, CannotTell> {
    let now = seen.count.ok_or(CannotTell::NoCount)?;
    let aim = checked(band, nuts)?;
    let per_min = rate_per_min(now.drops, now.seconds, 0.95)?.per_min;
    if (band.low_per_min..=band.high_per_min).contains(&per_min) {
        return Ok(Suggestion::Leave);
    }
    if !gland_may_be_touched(pump) {
        return Ok(Suggestion::HandsOff);
    }
    let turn = if per_min < aim {
        Turn::Ease
    } else {
        Turn::Tighten
    };
    if turn == Turn::Tighten
        && let Err(why) = may_tighten(seen)
    {
        return Ok(Suggestion::NotNow(why));
    }
    // A rate of nothing is no ratio away from any other.
    let (Some(response), true) = (response, now.drops > 0) else {
        return Ok(Suggestion::OneFlat {
            turn,
            expected: None,
        });
    };
    if response.high >= 0.0 {
        return Err(CannotTell::NoResponse {
            pairs: response.pairs,
        });
    }
    let nuts = nuts as f64;
    let flats_each = ((aim / per_min).ln() / response.ln_ratio_per_flat / nuts).abs();
    let steps = flats_each.round();
    if steps > f64::from(MOST_FLATS) {
        return Err(CannotTell::TooFar { flats_each: steps });
    }
    if steps < 1.0 {
        return Ok(Suggestion::LessThanAFlat {
            turn,
            part: flats_each,
        });
    }
    let after = |ln_ratio: f64| per_min * (ln_ratio * nuts * f64::from(turn.sign())).exp();
    let (one, other) = (after(response.low), after(response.high));
    Ok(Suggestion::OneFlat {
        turn,
        expected: Some(Expected {
            per_min: after(response.ln_ratio_per_flat),
            low_per_min: one.min(other),
            high_per_min: one.max(other),
            steps: steps as u8,
            pairs: response.pairs,
        }),
    })
}

/// The rate to aim at, of a band that can be.
fn checked(band: Band, nuts: usize) -> Result<f64, CannotTell> {
    /// More is no dripping.
    const MOST_PER_MIN: f64 = 10_000.0;
    let number = |what, lowest, highest| CannotTell::Number {
        what,
        lowest,
        highest,
    };
    if !(2..=MOST_NUTS).contains(&nuts) {
        return Err(number(
            say!("The number of gland nuts"),
            2.0,
            MOST_NUTS as f64,
        ));
    }
    let (low, high, aim) = (band.low_per_min, band.high_per_min, band.aim());
    let in_order = 0.0 <= low && low < high && high <= MOST_PER_MIN;
    if !in_order {
        return Err(number(
            say!("The leak-off band, low below high,"),
            0.0,
            MOST_PER_MIN,
        ));
    }
    if !(aim > 0.0 && (low..=high).contains(&aim)) {
        return Err(number(
            say!("The leak-off target, within its band,"),
            low,
            high,
        ));
    }
    Ok(aim)
}
