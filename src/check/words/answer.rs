//! Answers in words.

use crate::{plant::CheckKind, say};

/// A choice in words, for example "milky"; `None` where the check has no such choice.
pub fn choice(kind: CheckKind, key: &str) -> Option<&'static str> {
    let words = match (kind, key) {
        (CheckKind::Surroundings, "clean") => say!("clean and dry"),
        (CheckKind::Surroundings, "damp") => say!("damp, a few drips"),
        (CheckKind::Surroundings, "leak") => say!("a leak that runs"),
        (CheckKind::Surroundings, "spray") => say!("spray or steam"),
        (CheckKind::Surroundings, "smell") => say!("smell or vapour of the liquid"),
        (CheckKind::Noise, "steady") => say!("steady, as always"),
        (CheckKind::Noise, "louder") => say!("louder than usual"),
        (CheckKind::Noise, "crackle") => say!("crackling, like gravel"),
        (CheckKind::Noise, "squeal") => say!("squealing or scraping"),
        (CheckKind::Noise, "knock") => say!("knocking or grinding"),
        (CheckKind::Noise, "rumble") => say!("a bearing rumbles"),
        (CheckKind::Noise, "hiss") => say!("hissing, like air drawn in"),
        (CheckKind::Noise, "hum") => say!("the motor hums more than usual"),
        (CheckKind::OilLook, "clear") => say!("of oil" => "clear"),
        (CheckKind::OilLook, "dark") => say!("of oil" => "dark"),
        (CheckKind::OilLook, "foam") => say!("of oil" => "foaming"),
        (CheckKind::OilLook, "milky") => say!("milky"),
        (CheckKind::OilLook, "glitter") => say!("glitter in it"),
        (CheckKind::GreaseCup, "turns_left") => say!("turns left"),
        (CheckKind::GreaseCup, "last_turn") => say!("on its last turn"),
        (CheckKind::GreaseCup, "empty") => say!("screwed down, empty"),
        (CheckKind::GreaseLook, "clean") => say!("clean, a little fresh grease"),
        (CheckKind::GreaseLook, "dry") => say!("dry, no grease to see"),
        (CheckKind::GreaseLook, "dirty") => say!("dirty or hard"),
        (CheckKind::GreaseLook, "pushed_out") => say!("pushed out past the seal"),
        (CheckKind::GreaseLook, "whitish") => say!("whitish"),
        (CheckKind::CoolingWater, "flowing") => say!("flowing, as always"),
        (CheckKind::CoolingWater, "weak") => say!("of cooling water" => "weak"),
        (CheckKind::CoolingWater, "hot_return") => say!("coming back hot"),
        (CheckKind::CoolingWater, "cold_return") => say!("running full, coming back cold"),
        (CheckKind::CoolingWater, "none") => say!("of cooling water" => "none"),
        (CheckKind::OilHeater, "on") => say!("of a heater" => "heating"),
        (CheckKind::OilHeater, "off") => say!("of a heater" => "off"),
        (CheckKind::LeakOffSides, "all_round") => say!("all round the shaft"),
        (CheckKind::LeakOffSides, "one_side") => say!("from one side"),
        (CheckKind::GaugeSwing | CheckKind::CurrentSwing, "steady") => {
            say!("of a pointer" => "steady")
        }
        (CheckKind::GaugeSwing | CheckKind::CurrentSwing, "swings") => {
            say!("of a pointer" => "swinging")
        }
        (CheckKind::GaugeSwing | CheckKind::CurrentSwing, "swings_wildly") => {
            say!("of a pointer" => "swinging wildly")
        }
        (CheckKind::VentTest, "liquid") => say!("liquid only"),
        (CheckKind::VentTest, "bubbles") => say!("liquid with bubbles"),
        (CheckKind::VentTest, "air") => say!("from a vent" => "air"),
        (CheckKind::VentTest, "vapour") => say!("steam or vapour"),
        (CheckKind::ValvePosition, "open") => say!("of a valve" => "wide open"),
        (CheckKind::ValvePosition, "part_open") => say!("of a valve" => "partly open"),
        (CheckKind::ValvePosition, "shut") => say!("of a valve" => "shut"),
        (CheckKind::SuctionSurface, "calm") => say!("of a surface" => "calm"),
        (CheckKind::SuctionSurface, "swirling") => say!("of a surface" => "swirling"),
        (CheckKind::SuctionSurface, "air_core") => say!("a swirl with air in its core"),
        (CheckKind::Coupling, "good") => say!("sound, no dust or play"),
        (CheckKind::Coupling, "worn") => say!("worn, dust under it"),
        (CheckKind::Coupling, "loose") => say!("loose or broken"),
        (CheckKind::PhaseCurrents, "even") => say!("all three alike"),
        (CheckKind::PhaseCurrents, "uneven") => say!("of currents" => "uneven"),
        (CheckKind::PhaseCurrents, "one_missing") => say!("one without current"),
        (CheckKind::Delivery, "steady") => say!("delivers"),
        (CheckKind::Delivery, "comes_and_goes") => say!("comes and goes within minutes"),
        (CheckKind::Delivery, "lost") => say!("delivered, then lost it"),
        (CheckKind::Delivery, "never") => say!("has not delivered since the start"),
        (CheckKind::JustStarted, "no") => say!("has run longer"),
        (CheckKind::JustStarted, "yes") => say!("started within the hour"),
        (CheckKind::AfterWork, "no") => say!("has run well since any work"),
        (CheckKind::AfterWork, "yes") => say!("first run after work"),
        (CheckKind::AfterGreasing, "no") => say!("an answer" => "no"),
        (CheckKind::AfterGreasing, "yes") => say!("hot within hours of greasing"),
        (CheckKind::Foundation, "sound") => say!("of a foundation" => "sound"),
        (CheckKind::Foundation, "cracked") => say!("grout cracked"),
        (CheckKind::Foundation, "loose_bolt") => say!("bolt loose or missing"),
        _ => return None,
    };
    Some(words)
}

/// A yes or no of this check in words, for example "guard in place".
pub fn yes_no(kind: CheckKind, yes: bool) -> &'static str {
    match (kind, yes) {
        (CheckKind::GlandSquare, true) => say!("square to the shaft"),
        (CheckKind::GlandSquare, false) => say!("drawn up crooked"),
        (CheckKind::CouplingGuard, true) => say!("in place and fast"),
        (CheckKind::CouplingGuard, false) => say!("missing or loose"),
        (CheckKind::LinedUp, true) => say!("valves stand for a start"),
        (CheckKind::LinedUp, false) => say!("a valve stands wrong"),
        (CheckKind::Primed, true) => say!("full of liquid, no air"),
        (CheckKind::Primed, false) => say!("air in the casing"),
        (CheckKind::DriverTripped, true) => say!("tripped on overload"),
        (CheckKind::DriverTripped, false) => say!("has not tripped"),
        (CheckKind::Rotation, true) => say!("the way of the arrow"),
        (CheckKind::Rotation, false) => say!("against the arrow"),
        (CheckKind::GlandAir, true) => say!("air is drawn in"),
        (CheckKind::GlandAir, false) => say!("no air drawn in"),
        (_, true) => say!("an answer" => "yes"),
        (_, false) => say!("an answer" => "no"),
    }
}
