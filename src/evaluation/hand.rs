//! What a heat felt by hand is worth in degrees, to the hand that felt it.

use super::{
    Situation, Worked,
    worked::{between, number},
};
use crate::{check::Entered, plant::CheckKind, say, statistics::feel::FEEL_TO_CELSIUS};

/// Each bearing felt in this visit, in degrees.
pub(super) fn work_out(at: &Situation<'_>) -> Vec<Worked> {
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
