//! What a heat felt by hand is worth in degrees, to the hand that felt it.

use super::{
    Outcome, Situation, Worked,
    worked::{between, number},
};
use crate::{
    check::{Entered, FeelScale, words::feel_step},
    formula::Formula,
    judge::Verdict,
    plant::{CheckId, CheckKind},
    say,
    statistics::feel::FEEL_TO_CELSIUS,
    word,
};

/// When a hand and the thermometer beside it can't both be right.
pub const HAND_AND_THERMOMETER: Formula = Formula {
    name: word!(
        "heat felt and heat read at one bearing, two steps of feeling apart or more; one where it was felt hotter than read"
    ),
    source: "steps by the touch limits of ECMA-287, 43, 55 and 65 °C (read at second hand); how far apart: common practice, no source",
};

/// Highest temperature read beside each step of heat that can still be: two steps on, for a thermometer sits nearer to
/// the bearing than the hand.
const READ_AT_MOST_C: [f64; 2] = [55.0, 65.0];
/// Lowest one: a step back, for nothing outside is hotter than the bearing.
const READ_AT_LEAST_C: [f64; 6] = [f64::NEG_INFINITY, f64::NEG_INFINITY, 35.0, 43.0, 55.0, 65.0];

/// Each bearing felt in this visit: in degrees, and whether its thermometer tells another story.
pub(super) fn work_out(at: &Situation<'_>) -> Vec<Worked> {
    let mut lines = worth(at);
    lines.extend(contradictions(at));
    lines
}

fn contradictions(at: &Situation<'_>) -> impl Iterator<Item = Worked> {
    at.seen.iter().filter_map(|felt| {
        let Entered::Feel { step } = felt.entered else {
            return None;
        };
        let by_thermometer = CheckId::new(CheckKind::BearingTemperature, felt.check.place);
        let read = &at.entry(by_thermometer)?.entered;
        let celsius = read.celsius()?;
        let most = READ_AT_MOST_C.get(usize::from(step));
        let least = READ_AT_LEAST_C.get(usize::from(step));
        let is_so = most.is_some_and(|most| celsius > *most)
            || least.is_some_and(|least| celsius < *least);
        (felt.check.kind == CheckKind::BearingHeat && is_so).then(|| Worked {
            name: say!("Look again").to_owned(),
            outcome: Outcome::Is {
                words: say!(
                    "Hand and thermometer contradict each other: felt {step}, read {celsius} °C.",
                    step = feel_step(FeelScale::Heat, step).map_or("?", |step| step.word),
                    celsius = number(celsius, 1.0)
                ),
                verdict: Some(Verdict::Watch),
            },
            rows: Vec::new(),
            formula: Some(HAND_AND_THERMOMETER),
            cautions: vec![
                say!("Go by the hotter until it is settled: read again, or with another thermometer; the back of the hand near first.").to_owned(),
            ],
            of: vec![felt.check, by_thermometer],
        })
    })
}

/// Each bearing felt, in degrees.
fn worth(at: &Situation<'_>) -> Vec<Worked> {
    let name = say!("What this hand calls so");
    let Some(hand) = &at.hand else {
        return Vec::new();
    };
    let felt = at
        .seen
        .iter()
        .filter(|seen| seen.check.kind == CheckKind::BearingHeat);
    let lines = felt.filter_map(|seen| {
        let Entered::Feel { step } = seen.entered else {
            return None;
        };
        let line = match hand {
            Err(why) => Worked::cannot(name, why, None),
            Ok(known) => match known.worth(step) {
                None => Worked::cannot(
                    name,
                    say!("This step was hardly ever felt beside a thermometer. Feel and read together where both can be had."),
                    None,
                ),
                Some(worth) => {
                    let interval = (worth.low_celsius, worth.high_celsius);
                    let words = between(worth.celsius, interval, "°C");
                    Worked::is(name, words, FEEL_TO_CELSIUS)
                        .row(say!("Pairs felt and read, this step"), worth.pairs.to_string())
                        .row(say!("Pairs in all"), known.pairs.to_string())
                        .row(say!("Confidence"), format!("{} %", number(known.confidence * 100.0, 0.0)))
                        .caution(say!("A hand is no thermometer: read one where the limit is near."))
                }
            },
        };
        Some(line.of([seen.check]))
    });
    lines.collect()
}
