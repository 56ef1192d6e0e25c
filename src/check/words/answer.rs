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
        (CheckKind::GaugeSwing | CheckKind::CurrentSwing, "steady") => "steady",
        (CheckKind::GaugeSwing | CheckKind::CurrentSwing, "swings") => "swinging",
        (CheckKind::GaugeSwing | CheckKind::CurrentSwing, "swings_wildly") => "swinging wildly",
        (CheckKind::VentTest, "liquid") => "liquid only",
        (CheckKind::VentTest, "bubbles") => "liquid with bubbles",
        (CheckKind::VentTest, "air") => "air",
        (CheckKind::VentTest, "vapour") => "steam or vapour",
        (CheckKind::ValvePosition, "open") => "wide open",
        (CheckKind::ValvePosition, "part_open") => "partly open",
        (CheckKind::ValvePosition, "shut") => "shut",
        (CheckKind::SuctionSurface, "calm") => "calm",
        (CheckKind::SuctionSurface, "swirling") => "swirling",
        (CheckKind::SuctionSurface, "air_core") => "a swirl with air in its core",
        (CheckKind::Coupling, "good") => "sound, no dust or play",
        (CheckKind::Coupling, "worn") => "worn, dust under it",
        (CheckKind::Coupling, "loose") => "loose or broken",
        (CheckKind::PhaseCurrents, "even") => "all three alike",
        (CheckKind::PhaseCurrents, "uneven") => "uneven",
        (CheckKind::PhaseCurrents, "one_missing") => "one without current",
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
        (CheckKind::Rotation, true) => "the way of the arrow",
        (CheckKind::Rotation, false) => "against the arrow",
        (CheckKind::GlandAir, true) => "air is drawn in",
        (CheckKind::GlandAir, false) => "no air drawn in",
        (_, true) => "yes",
        (_, false) => "no",
    }
}
