//! Answers in words.

use crate::plant::CheckKind;

/// A choice in words, for example "milky"; `None` where the check has no such choice.
pub fn choice(kind: CheckKind, key: &str) -> Option<&'static str> {
    let words = match (kind, key) {
        (CheckKind::Surroundings, "clean") => "clean and dry",
        (CheckKind::Surroundings, "damp") => "damp, a few drips",
        (CheckKind::Surroundings, "leak") => "a leak that runs",
        (CheckKind::Surroundings, "spray") => "spray or steam",
        (CheckKind::Surroundings, "smell") => "smell or vapour of the liquid",
        (CheckKind::Noise, "steady") => "steady, as always",
        (CheckKind::Noise, "louder") => "louder than usual",
        (CheckKind::Noise, "crackle") => "crackling, like gravel",
        (CheckKind::Noise, "squeal") => "squealing or scraping",
        (CheckKind::Noise, "knock") => "knocking or grinding",
        (CheckKind::OilLook, "clear") => "clear",
        (CheckKind::OilLook, "dark") => "dark",
        (CheckKind::OilLook, "foam") => "foaming",
        (CheckKind::OilLook, "milky") => "milky",
        (CheckKind::OilLook, "glitter") => "glitter in it",
        (CheckKind::GreaseCup, "turns_left") => "turns left",
        (CheckKind::GreaseCup, "last_turn") => "on its last turn",
        (CheckKind::GreaseCup, "empty") => "screwed down, empty",
        (CheckKind::GreaseLook, "clean") => "clean, a little fresh grease",
        (CheckKind::GreaseLook, "dry") => "dry, no grease to see",
        (CheckKind::GreaseLook, "dirty") => "dirty or hard",
        (CheckKind::GreaseLook, "pushed_out") => "pushed out past the seal",
        (CheckKind::GreaseLook, "whitish") => "whitish",
        (CheckKind::CoolingWater, "flowing") => "flowing, as always",
        (CheckKind::CoolingWater, "weak") => "weak",
        (CheckKind::CoolingWater, "hot_return") => "coming back hot",
        (CheckKind::CoolingWater, "none") => "none",
        (CheckKind::Foundation, "sound") => "sound",
        (CheckKind::Foundation, "cracked") => "grout cracked",
        (CheckKind::Foundation, "loose_bolt") => "bolt loose or missing",
        _ => return None,
    };
    Some(words)
}

/// A yes or no of this check in words, for example "guard in place".
pub fn yes_no(kind: CheckKind, yes: bool) -> &'static str {
    match (kind, yes) {
        (CheckKind::GlandSquare, true) => "square to the shaft",
        (CheckKind::GlandSquare, false) => "drawn up crooked",
        (CheckKind::CouplingGuard, true) => "in place and fast",
        (CheckKind::CouplingGuard, false) => "missing or loose",
        (CheckKind::LinedUp, true) => "valves stand for a start",
        (CheckKind::LinedUp, false) => "a valve stands wrong",
        (CheckKind::Primed, true) => "full of liquid, no air",
        (CheckKind::Primed, false) => "air in the casing",
        (_, true) => "yes",
        (_, false) => "no",
    }
}
