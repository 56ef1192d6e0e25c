//! Remedies in the words of the people at the pump, and what to mind.

use super::{GreaseGiven, OilGiven, Remedy, StrainerWork, Turn, WaterChange};
use crate::{
    check::{Caution, gland_may_be_touched, words::short_place},
    plant::Pump,
};

/// What was done, in a sentence: "Tightened each of 2 gland nuts 1 flat, Seal DE."
pub fn in_words(remedy: &Remedy) -> String {
    let at = short_place(remedy.place());
    match remedy {
        Remedy::GlandNuts { turn, flats, .. } => {
            let done = match turn {
                Turn::Tighten => "Tightened",
                Turn::Ease => "Eased",
            };
            format!("{done} {}, {at}.", nuts(flats))
        }
        Remedy::TopUp { amount, grade, .. } => match amount {
            OilGiven::Millilitres { ml } => {
                format!("Topped up {} mL of {grade}, {at}.", short(*ml))
            }
            OilGiven::Bottle { percent } => {
                format!(
                    "Topped up {} % of the bottle with {grade}, {at}.",
                    short(*percent)
                )
            }
        },
        Remedy::Grease { amount, grade, .. } => match amount {
            GreaseGiven::Strokes { strokes } => {
                format!(
                    "Greased {} with {grade}, {at}.",
                    counted(*strokes, "stroke")
                )
            }
            GreaseGiven::Turns { turns } => {
                format!(
                    "Greased {} of the cup with {grade}, {at}.",
                    counted(*turns, "turn")
                )
            }
        },
        Remedy::Vent => "Vented the casing.".to_owned(),
        Remedy::Strainer { work, .. } => match work {
            StrainerWork::Cleaned => format!("Cleaned the strainer, {at}."),
            StrainerWork::Swapped => format!("Changed over to the clean strainer, {at}."),
        },
        Remedy::CoolingWater { change } => match change {
            WaterChange::More => "Gave the oil cooler more water.".to_owned(),
            WaterChange::Less => "Gave the oil cooler less water.".to_owned(),
        },
        Remedy::FilterElement => "Changed the oil filter's element.".to_owned(),
        Remedy::OwnWords { text } => text.trim().to_owned(),
    }
}

fn nuts(flats: &[u8]) -> String {
    let first = flats.first().copied().unwrap_or_default();
    if flats.iter().all(|of| *of == first) {
        return format!(
            "each of {} gland nuts {}",
            flats.len(),
            counted(f64::from(first), "flat")
        );
    }
    let turned: Vec<_> = flats
        .iter()
        .enumerate()
        .filter(|(_, of)| **of > 0)
        .map(|(index, of)| format!("nut {} {}", index + 1, counted(f64::from(*of), "flat")))
        .collect();
    format!("gland {}", turned.join(", "))
}

/// What kind of thing was done, as a heading.
pub fn name(remedy: &Remedy) -> &'static str {
    match remedy {
        Remedy::GlandNuts { .. } => "Gland nuts turned",
        Remedy::TopUp { .. } => "Oil topped up",
        Remedy::Grease { .. } => "Bearing greased",
        Remedy::Vent => "Casing vented",
        Remedy::Strainer { .. } => "Strainer seen to",
        Remedy::CoolingWater { .. } => "Cooling water adjusted",
        Remedy::FilterElement => "Oil filter element changed",
        Remedy::OwnWords { .. } => "Anything else, in own words",
    }
}

/// What was done, in words that go on from "since" or "after": "the gland nuts were tightened".
pub fn in_passing(remedy: &Remedy) -> &'static str {
    match remedy {
        Remedy::GlandNuts { turn, .. } => match turn {
            Turn::Tighten => "the gland nuts were tightened",
            Turn::Ease => "the gland nuts were eased",
        },
        Remedy::TopUp { .. } => "the oil was topped up",
        Remedy::Grease { .. } => "the bearing was greased",
        Remedy::Vent => "the casing was vented",
        Remedy::Strainer { work, .. } => match work {
            StrainerWork::Cleaned => "the strainer was cleaned",
            StrainerWork::Swapped => "the strainer was changed over",
        },
        Remedy::CoolingWater { .. } => "the cooling water was adjusted",
        Remedy::FilterElement => "the filter element was changed",
        Remedy::OwnWords { .. } => "it was worked on",
    }
}

/// What to mind while doing it at this pump, in sentences.
///
/// For a pump whose liquid burns or harms, the sentences keep hands off: then it is no work for the round, but for
/// those the plant's procedure names.
pub fn cautions(remedy: &Remedy, pump: &Pump) -> Vec<&'static str> {
    const HANDS_OFF: &str = "Hot or hazardous liquid: keep hands off the gland; only those your plant's procedure names turn its nuts.";
    const OPEN_NOTHING: &str = "Open nothing under pressure: isolate, drain and vent it first as your plant's procedure and permits have it.";
    let hazard = pump.hazard.is_some();
    match remedy {
        Remedy::GlandNuts { .. } if !gland_may_be_touched(pump) => vec![HANDS_OFF],
        Remedy::GlandNuts { .. } => vec![
            Caution::Turning.sentence(),
            "Only where your plant leaves glands to operators.",
        ],
        Remedy::TopUp { .. } | Remedy::Grease { .. } => vec![
            Caution::Turning.sentence(),
            "Wipe fitting and spout clean first: dirt ruins a bearing.",
        ],
        Remedy::Vent if hazard => vec![
            "Hazardous liquid: vent only through the closed vent line, as your plant's procedure has it.",
        ],
        Remedy::Vent => vec![Caution::Vent.sentence()],
        Remedy::Strainer { .. } if hazard => vec![Caution::HazardLine.sentence(), OPEN_NOTHING],
        Remedy::Strainer { .. } => vec![OPEN_NOTHING],
        Remedy::CoolingWater { .. } => vec![Caution::HotOil.sentence()],
        Remedy::FilterElement => vec![Caution::HotOil.sentence(), OPEN_NOTHING],
        Remedy::OwnWords { .. } => Vec::new(),
    }
}

/// "1 flat", "2 flats", "1.5 turns".
pub(super) fn counted(number: f64, of: &str) -> String {
    let plural = if number == 1.0 { "" } else { "s" };
    format!("{} {of}{plural}", short(number))
}

/// A number in the few digits that mean something: three, without empty decimals.
pub(super) fn short(value: f64) -> String {
    let size = value.abs();
    let decimals = if size >= 100.0 {
        0
    } else if size >= 10.0 {
        1
    } else {
        2
    };
    let text = format!("{value:.decimals$}");
    if !text.contains('.') {
        return text;
    }
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0" } else { text }.to_owned()
}
