//! The forced-feed oil skid: temperature with water and heater, filter with pressure, reservoir with all of them.

use super::{Found, Meaning, Side, days_left};
use crate::{
    plant::{
        CheckKind::{
            CoolingWater, FeedOilFilterDrop, FeedOilPressure, FeedOilReservoir, FeedOilTemperature,
            OilLook,
        },
        Place,
        Verdict::{Act, Watch},
    },
    say,
    statistics::trend::Reach,
};

/// What the reservoir's heater does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heater {
    /// It heats.
    On,
    /// It does not.
    Off,
}

/// What was seen of an oil skid. What was not looked at, or is not fitted, is `None`.
#[derive(Clone, Debug, Default)]
pub struct FeedSeen<'a> {
    /// Temperature of the oil after the cooler.
    pub temperature: Option<Side>,
    /// Key of the choice for the cooling water, such as `weak`.
    pub cooling_water: Option<&'a str>,
    /// The heater.
    pub heater: Option<Heater>,
    /// Pressure of the oil.
    pub pressure: Option<Side>,
    /// Drop over the filter.
    pub filter_drop: Option<Side>,
    /// How the drop's trend stands to its limit.
    pub filter_reach: Option<&'a Reach>,
    /// Level in the reservoir.
    pub reservoir: Option<Side>,
    /// How the level's trend stands to its low limit.
    pub reservoir_reach: Option<&'a Reach>,
    /// Key of the choice for the look of the oil, such as `milky`.
    pub look: Option<&'a str>,
}

/// What the skid's checks mean together, the weightiest first; nothing where nothing is wrong.
pub fn feed_together(seen: &FeedSeen<'_>) -> Vec<Meaning> {
    let mut found = Found::at(Place::OilSkid);
    temperature(seen, &mut found);
    pressure_and_filter(seen, &mut found);
    reservoir(seen, &mut found);
    look(seen, &mut found);
    found.sorted()
}

fn temperature(seen: &FeedSeen<'_>, found: &mut Found) {
    let of = &[FeedOilTemperature, CoolingWater];
    match (seen.temperature, seen.cooling_water, seen.heater) {
        (Some(Side::High), Some("none" | "weak"), _) => found.say(
            Act,
            of,
            say!("The oil is hot and cooling water is short: the cooler does not cool."),
            say!("Look whether the water's valves stand as marked and give it more; if it does not come, tell the shift supervisor."),
        ),
        (Some(Side::High), Some("hot_return"), _) => found.say(
            Act,
            of,
            say!("The oil is hot and the water comes back hot: too little water for the heat."),
            say!("Give the cooler more water a little at a time, and read the oil again in 30 minutes."),
        ),
        (Some(Side::High), _, Some(Heater::On)) => found.say(
            Act,
            &[FeedOilTemperature],
            say!("The oil is hot and its heater heats: its thermostat may hang."),
            say!("Tell the shift supervisor to have the heater switched off by those who may; read the oil again in 30 minutes."),
        ),
        (Some(Side::High), Some("flowing"), _) => found.say(
            Act,
            of,
            say!("The oil is hot though water flows cold: the cooler may be fouled, or a bearing gives more heat."),
            say!("Read every bearing's temperature and the reservoir's level, and tell the shift supervisor."),
        ),
        (Some(Side::High), _, _) => found.say(
            Watch,
            &[FeedOilTemperature],
            say!("The oil is hot, and the cooling water was not looked at."),
            say!("Look at the cooling water and the heater."),
        ),
        (Some(Side::Low), _, Some(Heater::Off)) => found.say(
            Watch,
            of,
            say!("The oil is cold and its heater is off: cold oil is thick and flows badly."),
            say!("Give the cooler less water a little at a time, and tell the shift supervisor that the heater is off."),
        ),
        // Moist air condenses in a bearing housing that is cooled too much (NAVFAC MO-209 item (f), page mo2090101).
        (Some(Side::Low), Some("flowing"), _) => found.say(
            Watch,
            of,
            say!("The oil is cold with the water flowing: it is cooled too much, and water of the air may gather in it."),
            say!("Give the cooler less water a little at a time, and read the oil again in 30 minutes."),
        ),
        (Some(Side::Low), _, _) => found.say(
            Watch,
            &[FeedOilTemperature],
            say!("The oil is cold."),
            say!("Look at the cooling water and the heater."),
        ),
        (Some(Side::Within), Some("none" | "weak"), _) => found.say(
            Watch,
            of,
            say!("Cooling water is short; the oil has not warmed yet."),
            say!("Look whether the water's valves stand as marked, and read the oil again in 30 minutes."),
        ),
        _ => {}
    }
}

fn pressure_and_filter(seen: &FeedSeen<'_>, found: &mut Found) {
    let cold = seen.temperature == Some(Side::Low);
    match (seen.pressure, seen.filter_drop) {
        (_, Some(Side::High)) if cold => found.say(
            Watch,
            &[FeedOilFilterDrop, FeedOilTemperature],
            say!("The filter's drop is high with cold oil: thick oil alone makes it rise."),
            say!("Bring the oil to its temperature first, then read the drop again."),
        ),
        (Some(Side::Low), Some(Side::High)) => found.say(
            Act,
            &[FeedOilPressure, FeedOilFilterDrop],
            say!("The oil pressure is low behind a filter with a high drop: the filter starves the bearings."),
            say!("Change over to the clean filter by your plant's procedure, where there are two, and tell the shift supervisor."),
        ),
        (_, Some(Side::High)) => found.say(
            Act,
            &[FeedOilFilterDrop],
            say!("The filter's drop is high: its element is full."),
            say!("Change over to the clean filter or have the element changed by your plant's procedure, and look what it has caught."),
        ),
        _ => {}
    }
    if seen.filter_drop != Some(Side::High)
        && let Some(when) = days_left(seen.filter_reach)
    {
        found.say(
            Watch,
            &[FeedOilFilterDrop],
            say!("The filter's drop rises to its limit {when}.", when),
            say!("Have an element ready, and its change planned before then."),
        );
    }
    if seen.pressure == Some(Side::Low) && seen.filter_drop != Some(Side::High) {
        low_pressure(seen, found);
    }
}

/// Low pressure that the filter does not explain.
fn low_pressure(seen: &FeedSeen<'_>, found: &mut Found) {
    if seen.reservoir == Some(Side::Low) {
        found.say(
            Act,
            &[FeedOilPressure, FeedOilReservoir],
            say!("The oil pressure and the reservoir are low: the oil pump may draw air."),
            say!("Top up with the register's oil, have the auxiliary oil pump started by your plant's procedure if the pressure does not come back, and find where the oil goes."),
        );
    } else if seen.temperature == Some(Side::High) {
        found.say(
            Act,
            &[FeedOilPressure, FeedOilTemperature],
            say!("The oil pressure is low and the oil hot: hot oil is thin."),
            say!("Cool the oil first; if the pressure does not come back with it, tell the shift supervisor."),
        );
    } else {
        found.say(
            Act,
            &[FeedOilPressure],
            say!("The oil pressure is low, and neither filter nor level explains it: the oil pump, its relief valve or a line."),
            say!("Look for an open line, have the auxiliary oil pump started by your plant's procedure, and tell the shift supervisor at once."),
        );
    }
}

fn reservoir(seen: &FeedSeen<'_>, found: &mut Found) {
    let find = say!(
        "Find the cause and report it: look at flanges, drains and filter for oil, at the bearings' covers, and at the cooling water's outlet for a film of oil. Top up with the register's oil."
    );
    let of = &[FeedOilReservoir];
    match (seen.reservoir, days_left(seen.reservoir_reach)) {
        (Some(Side::Low), _) => found.say(
            Act,
            of,
            say!("The reservoir is low: oil is lost somewhere, for a closed circuit uses next to none."),
            find,
        ),
        (Some(Side::High), _) if seen.look == Some("milky") => {}
        (Some(Side::High), _) => found.say(
            Watch,
            &[FeedOilReservoir, OilLook],
            say!("The reservoir is high: it was overfilled, or water runs in at the cooler."),
            say!("Look at the oil for water and at the last top-up, and tell the shift supervisor."),
        ),
        (_, Some(when)) => found.say(
            Watch,
            of,
            say!("The reservoir falls to its low limit {when}.", when),
            find,
        ),
        _ => {}
    }
}

fn look(seen: &FeedSeen<'_>, found: &mut Found) {
    match (seen.look, seen.reservoir) {
        (Some("milky"), Some(Side::High)) => found.say(
            Act,
            &[OilLook, FeedOilReservoir],
            say!("The oil is milky and the reservoir rises: water runs in, most likely at the cooler."),
            say!("Tell the shift supervisor at once: the cooler is to be isolated by your plant's procedure and the oil changed."),
        ),
        (Some("milky"), _) => found.say(
            Act,
            &[OilLook],
            say!("The oil is milky: there is water in it."),
            say!("Drain what has settled as your plant's procedure has it, look at cooler and shaft seals, and tell the shift supervisor."),
        ),
        (Some("foam"), Some(Side::Low)) => found.say(
            Act,
            &[OilLook, FeedOilReservoir],
            say!("The oil foams and the reservoir is low: the oil pump draws air."),
            say!("Top up with the register's oil and look for an open joint on its suction side."),
        ),
        (Some("foam"), _) => found.say(
            Watch,
            &[OilLook],
            say!("The oil foams: air drawn in, too much oil, or a wrong one mixed in."),
            say!("Look at the last top-up's grade, and for an open joint on the oil pump's suction side."),
        ),
        (Some("glitter"), _) => found.say(
            Act,
            &[OilLook],
            say!("Metal glitters in the oil: a bearing or the oil pump wears."),
            say!("Read every bearing's temperature and vibration, tell the shift supervisor, and have the spare made ready."),
        ),
        (Some("dark"), _) if seen.temperature == Some(Side::High) => found.say(
            Watch,
            &[OilLook, FeedOilTemperature],
            say!("The oil is dark and hot: it ages."),
            say!("Cool the oil, and tell the shift supervisor that it is due for a change."),
        ),
        _ => {}
    }
}
