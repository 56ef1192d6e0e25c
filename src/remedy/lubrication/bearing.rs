//! One bearing: its level or grease, its look, its use and its temperature together.

use super::{Found, Meaning, Side};
use crate::{
    plant::{
        CheckKind::{
            self, BearingHeat, BearingTemperature, GreaseCup, GreaseLook, OilLevel, OilLook,
            OilerLevel,
        },
        Lubrication, Place,
        Verdict::{Act, Watch},
    },
    say,
};

/// Hours after greasing within which a warm bearing is laid to the grease. Common practice, no source.
const SETTLES_WITHIN_H: f64 = 24.0;

/// What was seen of a bearing. What was not looked at is `None`.
#[derive(Clone, Copy, Debug, Default)]
pub struct BearingSeen<'a> {
    /// Level in its glass or oiler.
    pub level: Option<Side>,
    /// Key of the choice for the look of its oil, or of its grease.
    pub look: Option<&'a str>,
    /// Key of the choice for its grease cup.
    pub cup: Option<&'a str>,
    /// Its temperature or felt heat.
    pub heat: Option<Side>,
    /// It surely uses more oil per running hour than it did, see
    /// [`Consumption::has_risen_since`](crate::remedy::oil::Consumption::has_risen_since).
    pub uses_more: bool,
    /// Running hours since it was greased.
    pub greased_h_ago: Option<f64>,
    /// Its greasing is overdue.
    pub grease_overdue: bool,
    /// It has a thermometer, else it is felt.
    pub thermometer: bool,
}

impl BearingSeen<'_> {
    fn is_hot(&self) -> bool {
        self.heat == Some(Side::High)
    }

    fn heat_check(&self) -> CheckKind {
        if self.thermometer {
            BearingTemperature
        } else {
            BearingHeat
        }
    }
}

/// What a bearing's checks mean together, by how it is lubricated, the weightiest first; nothing where nothing is
/// wrong, or the bearing is sealed or fed by a skid.
pub fn bearing_together(
    lubrication: Lubrication,
    place: Place,
    seen: &BearingSeen<'_>,
) -> Vec<Meaning> {
    let mut found = Found::at(place);
    match lubrication {
        Lubrication::OilBath => oiled(OilLevel, seen, &mut found),
        Lubrication::BottleOiler => oiled(OilerLevel, seen, &mut found),
        Lubrication::GreaseFitting | Lubrication::GreaseCup => greased(seen, &mut found),
        Lubrication::ForcedFeed | Lubrication::Sealed => {}
    }
    found.sorted()
}

fn oiled(level: CheckKind, seen: &BearingSeen<'_>, found: &mut Found) {
    let heat = seen.heat_check();
    match (seen.level, seen.is_hot()) {
        (Some(Side::Low), true) => found.say(
            Act,
            &[level, heat],
            say!("The bearing is hot and short of oil."),
            say!("Top up with the register's oil to the mark, feel it again within the hour, and tell the shift supervisor; stop the pump by your plant's procedure if it grows hotter."),
        ),
        (Some(Side::Low), false) => found.say(
            Watch,
            &[level],
            match seen.heat {
                Some(_) => say!("The oil is low; the bearing is not over its limit."),
                None => say!("The oil is low."),
            },
            say!("Top up with the register's oil to the mark, and look for oil at cover, drain and shaft."),
        ),
        // First suspect too much lubricant (MIL-HDBK-1164 Table 17).
        (Some(Side::High), true) => found.say(
            Act,
            &[level, heat],
            say!("The bearing is hot and overfilled: oil that is churned heats it."),
            say!("Let oil off to the mark as your plant's procedure has it, and feel it again within the hour."),
        ),
        (Some(Side::High), false) => found.say(
            Watch,
            &[level, OilLook],
            say!("The level is high: it was overfilled, or water has come in."),
            say!("Look at the oil for water and at the last top-up."),
        ),
        (Some(Side::Within), true) if level == OilerLevel => found.say(
            Act,
            &[level, heat],
            say!("The bearing is hot though the bottle is full: its oil may not reach the housing."),
            say!("Look whether the bottle gives air bubbles and falls from round to round, tell the shift supervisor, and turn nothing on the oiler's set height."),
        ),
        (Some(Side::Within), true) => found.say(
            Act,
            &[level, heat],
            say!("The bearing is hot with its oil at the mark: the oil, its load or the bearing itself."),
            say!("Look at the oil, feel the vibration, and tell the shift supervisor."),
        ),
        _ => {}
    }
    if seen.uses_more {
        found.say(
            Watch,
            &[level],
            say!("It uses more oil per running hour than it did: it leaks, or is overfed."),
            say!("Look for oil at cover, drain and shaft, and report where it goes."),
        );
    }
    oil_look(level, seen, found);
}

fn oil_look(level: CheckKind, seen: &BearingSeen<'_>, found: &mut Found) {
    match seen.look {
        Some("milky") => found.say(
            Act,
            &[OilLook, level],
            say!("The oil is milky: there is water in it, past the shaft seal or from the air in a housing cooled too much."),
            say!("Look at gland and seal for spray on the bearing, and tell the shift supervisor that the oil is to be changed."),
        ),
        Some("glitter") => found.say(
            Act,
            &[OilLook, seen.heat_check()],
            say!("Metal glitters in the oil: the bearing wears."),
            say!("Read temperature and vibration, tell the shift supervisor, and have the spare made ready."),
        ),
        Some("foam") => found.say(
            Watch,
            &[OilLook, level],
            say!("The oil foams: overfilled, or a wrong oil mixed in."),
            say!("Look at the level and the last top-up's grade."),
        ),
        Some("dark") if seen.is_hot() => found.say(
            Act,
            &[OilLook, seen.heat_check()],
            say!("The oil is dark and the bearing hot: the oil is burnt."),
            say!("Tell the shift supervisor that the oil is to be changed."),
        ),
        Some("dark") => found.say(
            Watch,
            &[OilLook],
            say!("The oil is dark: it ages."),
            say!("Tell the shift supervisor that it is due for a change."),
        ),
        _ => {}
    }
}

fn greased(seen: &BearingSeen<'_>, found: &mut Found) {
    let heat = seen.heat_check();
    let lately = seen
        .greased_h_ago
        .is_some_and(|hours| hours <= SETTLES_WITHIN_H);
    let empty = matches!(seen.cup, Some("empty"));
    let dry = seen.look == Some("dry") || empty || seen.grease_overdue;
    match (seen.is_hot(), lately) {
        (true, _) if seen.look == Some("pushed_out") => found.say(
            Act,
            &[heat, GreaseLook],
            say!("The bearing is hot and grease is pushed out: it has too much."),
            say!("Give no more, and tell the shift supervisor: the relief plug is opened as your plant's procedure has it."),
        ),
        (true, true) => found.say(
            Watch,
            &[heat],
            say!("The bearing is warm within a day of greasing: fresh grease is worked in, or it was too much."),
            say!("Give no more, and feel it again within the hour; if it grows hotter, tell the shift supervisor."),
        ),
        (true, false) if dry => found.say(
            Act,
            &[heat, GreaseLook],
            say!("The bearing is hot and short of grease."),
            say!("Grease it by its programme, no more, and feel it again within the hour."),
        ),
        (true, false) if seen.look == Some("clean") => found.say(
            Act,
            &[heat, GreaseLook],
            say!("The bearing is hot with its grease as it should be: its load, its fit or the bearing itself."),
            say!("Give no grease for heat alone; feel the vibration, and tell the shift supervisor."),
        ),
        (true, false) => found.say(
            Act,
            &[heat, GreaseLook],
            say!("The bearing is hot."),
            say!("Look at the grease and when it was last given; give none for heat alone, and tell the shift supervisor."),
        ),
        (false, _) if empty => found.say(
            Act,
            &[GreaseCup],
            say!("The grease cup is screwed down and empty."),
            say!("Fill the cup with the register's grease, and turn it by the programme."),
        ),
        (false, _) if seen.look == Some("dry") => found.say(
            Watch,
            &[GreaseLook],
            match seen.heat {
                Some(_) => say!("No grease is to be seen; the bearing is not over its limit."),
                None => say!("No grease is to be seen."),
            },
            say!("Grease it by its programme."),
        ),
        _ => {}
    }
    // NAVFAC MO-209 5.2(b)(5).
    if seen.look == Some("whitish") {
        found.say(
            Act,
            &[GreaseLook],
            say!("The grease is whitish: water has come past the shaft seal."),
            say!("Look at leak-off and spray from the gland, press in fresh grease by the programme, and tell the shift supervisor."),
        );
    }
}
