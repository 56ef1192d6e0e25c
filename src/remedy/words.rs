//! Remedies in the words of the people at the pump, and what to mind.

use super::{GreaseGiven, OilGiven, Remedy, StrainerWork, Turn, WaterChange};
use crate::{
    check::{Caution, gland_may_be_touched, words::short_place},
    language,
    plant::Pump,
    say,
};

/// What was done, in a sentence: "Tightened each of 2 gland nuts 1 flat, Seal DE."
pub fn in_words(remedy: &Remedy) -> String {
    let at = short_place(remedy.place());
    match remedy {
        Remedy::GlandNuts { turn, flats, .. } => nuts_turned(*turn, flats, at),
        Remedy::TopUp { amount, grade, .. } => match amount {
            OilGiven::Millilitres { ml } => {
                let ml = short(*ml);
                say!("Topped up {ml} mL of {grade}, {at}.", ml, grade, at)
            }
            OilGiven::Bottle { percent } => say!(
                "Topped up {percent} % of the bottle with {grade}, {at}.",
                percent = short(*percent),
                grade,
                at
            ),
        },
        Remedy::Grease { amount, grade, .. } => match amount {
            GreaseGiven::Strokes { strokes } => {
                let strokes = counted(*strokes, say!("stroke"), say!("strokes"));
                say!("Greased {strokes} with {grade}, {at}.", strokes, grade, at)
            }
            GreaseGiven::Turns { turns } => say!(
                "Greased {turns} of the cup with {grade}, {at}.",
                turns = counted(*turns, say!("turn"), say!("turns")),
                grade,
                at
            ),
        },
        Remedy::Vent => say!("Vented the casing.").to_owned(),
        Remedy::Strainer { work, .. } => match work {
            StrainerWork::Cleaned => say!("Cleaned the strainer, {at}.", at),
            StrainerWork::Swapped => say!("Changed over to the clean strainer, {at}.", at),
        },
        Remedy::CoolingWater { change } => match change {
            WaterChange::More => say!("Gave the oil cooler more water.").to_owned(),
            WaterChange::Less => say!("Gave the oil cooler less water.").to_owned(),
        },
        Remedy::FilterElement => say!("Changed the oil filter's element.").to_owned(),
        Remedy::OwnWords { text } => text.trim().to_owned(),
    }
}

fn nuts_turned(turn: Turn, flats: &[u8], at: &str) -> String {
    let first = flats.first().copied().unwrap_or_default();
    if flats.iter().all(|of| *of == first) {
        let (nuts, flats) = (flats.len(), counted_flats(f64::from(first)));
        return match turn {
            Turn::Tighten => say!(
                "Tightened each of {nuts} gland nuts {flats}, {at}.",
                nuts,
                flats,
                at
            ),
            Turn::Ease => say!(
                "Eased each of {nuts} gland nuts {flats}, {at}.",
                nuts,
                flats,
                at
            ),
        };
    }
    let turned: Vec<_> = flats
        .iter()
        .enumerate()
        .filter(|(_, of)| **of > 0)
        .map(|(index, of)| {
            let flats = counted_flats(f64::from(*of));
            say!("nut {nut} {flats}", nut = index + 1, flats)
        })
        .collect();
    let nuts = turned.join(", ");
    match turn {
        Turn::Tighten => say!("Tightened gland {nuts}, {at}.", nuts, at),
        Turn::Ease => say!("Eased gland {nuts}, {at}.", nuts, at),
    }
}

/// What kind of thing was done, as a heading.
pub fn name(remedy: &Remedy) -> &'static str {
    match remedy {
        Remedy::GlandNuts { .. } => say!("Gland nuts turned"),
        Remedy::TopUp { .. } => say!("Oil topped up"),
        Remedy::Grease { .. } => say!("Bearing greased"),
        Remedy::Vent => say!("Casing vented"),
        Remedy::Strainer { .. } => say!("Strainer seen to"),
        Remedy::CoolingWater { .. } => say!("Cooling water adjusted"),
        Remedy::FilterElement => say!("Oil filter element changed"),
        Remedy::OwnWords { .. } => say!("Anything else, in own words"),
    }
}

/// What was done, in words that go on from "since" or "after": "the gland nuts were tightened".
pub fn in_passing(remedy: &Remedy) -> &'static str {
    match remedy {
        Remedy::GlandNuts { turn, .. } => match turn {
            Turn::Tighten => say!("the gland nuts were tightened"),
            Turn::Ease => say!("the gland nuts were eased"),
        },
        Remedy::TopUp { .. } => say!("the oil was topped up"),
        Remedy::Grease { .. } => say!("the bearing was greased"),
        Remedy::Vent => say!("the casing was vented"),
        Remedy::Strainer { work, .. } => match work {
            StrainerWork::Cleaned => say!("the strainer was cleaned"),
            StrainerWork::Swapped => say!("the strainer was changed over"),
        },
        Remedy::CoolingWater { .. } => say!("the cooling water was adjusted"),
        Remedy::FilterElement => say!("the filter element was changed"),
        Remedy::OwnWords { .. } => say!("it was worked on"),
    }
}

/// What to mind while doing it at this pump, in sentences.
///
/// For a pump whose liquid burns or harms, the sentences keep hands off: then it is no work for the round, but for
/// those the plant's procedure names.
pub fn cautions(remedy: &Remedy, pump: &Pump) -> Vec<&'static str> {
    let open_nothing = say!(
        "Open nothing under pressure: isolate, drain and vent it first as your plant's procedure and permits have it."
    );
    let hazard = pump.hazard.is_some();
    match remedy {
        Remedy::GlandNuts { .. } if !gland_may_be_touched(pump) => vec![say!(
            "Hot or hazardous liquid: keep hands off the gland; only those your plant's procedure names turn its nuts."
        )],
        Remedy::GlandNuts { .. } => vec![
            Caution::Turning.sentence(),
            say!("Only where your plant leaves glands to operators."),
        ],
        Remedy::TopUp { .. } | Remedy::Grease { .. } => vec![
            Caution::Turning.sentence(),
            say!("Wipe fitting and spout clean first: dirt ruins a bearing."),
        ],
        Remedy::Vent if hazard => vec![say!(
            "Hazardous liquid: vent only through the closed vent line, as your plant's procedure has it."
        )],
        Remedy::Vent => vec![Caution::Vent.sentence()],
        Remedy::Strainer { .. } if hazard => vec![Caution::HazardLine.sentence(), open_nothing],
        Remedy::Strainer { .. } => vec![open_nothing],
        Remedy::CoolingWater { .. } => vec![Caution::HotOil.sentence()],
        Remedy::FilterElement => vec![Caution::HotOil.sentence(), open_nothing],
        Remedy::OwnWords { .. } => Vec::new(),
    }
}

/// "1 turn", "1.5 turns", of what one and several are called.
pub(super) fn counted(number: f64, one: &str, several: &str) -> String {
    let of = if number == 1.0 { one } else { several };
    format!("{} {of}", short(number))
}

/// "1 flat", "2 flats".
pub(super) fn counted_flats(number: f64) -> String {
    counted(number, say!("flat"), say!("flats"))
}

/// A number in the few digits that mean something: three, without empty decimals.
pub(super) fn short(value: f64) -> String {
    in_digits(value, 2)
}

/// The same of what was counted, and of what is reckoned from counts: two digits.
pub(super) fn of_counts(value: f64) -> String {
    in_digits(value, if value.abs() < 1.0 { 2 } else { 1 })
}

/// At most so many decimals, one less from 10 on, two less from 100 on.
fn in_digits(value: f64, most_decimals: usize) -> String {
    let size = value.abs();
    let fewer = usize::from(size >= 10.0) + usize::from(size >= 100.0);
    let decimals = most_decimals.saturating_sub(fewer);
    let text = format!("{value:.decimals$}");
    if !text.contains('.') {
        return text;
    }
    let text = text.trim_end_matches('0').trim_end_matches('.');
    language::number(if text == "-0" { "0" } else { text })
}
