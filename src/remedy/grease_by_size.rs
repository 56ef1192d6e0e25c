//! Grease by a bearing's size: how much and how often, and how its programme differs from that.
//!
//! A planner's first figure. It is shown beside the programme and never put in its place.

use super::{CannotTell, grease::within, words::short};
use crate::{
    formula::Formula,
    plant::{
        Arrangement, Bearing, BearingSize, Dirt, GreaseProgramme, Lubrication, Moisture, Pump,
        Rolling,
    },
    say, word,
};
use std::{f64::consts::SQRT_2, ops::RangeInclusive};

/// How [`grease_quantity_g`] reckons.
pub const GREASE_QUANTITY: Formula = Formula {
    name: word!("grease, g = 0.005 · outside diameter, mm · width, mm"),
    source: "general rule of bearing handbooks, from memory; seen again in a public bearing calculation",
};

/// How [`grease_interval_h`] reckons.
pub const GREASE_INTERVAL: Formula = Formula {
    name: word!(
        "hours = K · (14 000 000 / (rpm · √bore, mm) − 4 · bore, mm), K the product of the factors for temperature, dirt, moisture, vibration, shaft and kind of bearing"
    ),
    source: "general rule of bearing handbooks, from memory; seen again with its factors in a public bearing calculation",
};

/// From this temperature on a bearing's interval is shorter, °C.
const WARM_C: f64 = 65.0;
/// Programme and rule differ where one is more than this times the other: the rule is no finer. Common practice, no
/// source.
const DIFFERS_BY: f64 = 2.0;
/// An interval below this is none that anybody could keep, h.
const SHORTEST_H: f64 = 1.0;

const HOURS_PER_DAY: f64 = 24.0;

/// The grease a bearing takes, g, by its outside diameter and width, mm.
///
/// # Errors
/// [`CannotTell::Number`] for sizes no bearing has.
pub fn grease_quantity_g(outside_mm: f64, width_mm: f64) -> Result<f64, CannotTell> {
    let outside_mm = within_range(
        say!("The bearing's outside diameter, mm,"),
        outside_mm,
        &BearingSize::OUTSIDE_MM,
    )?;
    let width_mm = within_range(
        say!("The bearing's width, mm,"),
        width_mm,
        &BearingSize::WIDTH_MM,
    )?;
    Ok(0.005 * outside_mm * width_mm)
}

/// How the shaft lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shaft {
    /// Level.
    Horizontal,
    /// At 45 degrees.
    Inclined,
    /// Upright.
    Vertical,
}

/// What a bearing lives in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surroundings {
    /// Temperature of the housing, °C; taken as below 65 where it is not known.
    pub temperature_c: Option<f64>,
    /// Vibration velocity, mm/s peak; taken as below 5 where it is not known.
    pub vibration_mm_s: Option<f64>,
    /// Dirt.
    pub dirt: Dirt,
    /// Moisture.
    pub moisture: Moisture,
    /// How the shaft lies.
    pub shaft: Shaft,
    /// What rolls.
    pub rolling: Rolling,
}

/// What each of the surroundings makes of the interval; their product is K.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Factors {
    /// Of the temperature.
    pub temperature: f64,
    /// Of the vibration.
    pub vibration: f64,
    /// Of dirt.
    pub dirt: f64,
    /// Of moisture.
    pub moisture: f64,
    /// Of how the shaft lies.
    pub shaft: f64,
    /// Of what rolls.
    pub rolling: f64,
}

impl Factors {
    /// K.
    pub fn product(&self) -> f64 {
        self.temperature * self.vibration * self.dirt * self.moisture * self.shaft * self.rolling
    }
}

impl Surroundings {
    /// The six factors. For water on the housing the two places the factor was found in differ, 0.2 and 0.1; the
    /// shorter interval is taken.
    pub fn factors(&self) -> Factors {
        Factors {
            temperature: match self.temperature_c {
                None => 1.0,
                Some(t) if t < WARM_C => 1.0,
                Some(t) if t < 80.0 => 0.5,
                Some(t) if t <= 93.0 => 0.2,
                Some(_) => 0.1,
            },
            vibration: match self.vibration_mm_s {
                None => 1.0,
                Some(v) if v < 5.0 => 1.0,
                Some(v) if v <= 10.0 => 0.6,
                Some(_) => 0.3,
            },
            dirt: match self.dirt {
                Dirt::Light => 1.0,
                Dirt::Heavy => 0.7,
                Dirt::LightAbrasive => 0.4,
                Dirt::HeavyAbrasive => 0.2,
            },
            moisture: match self.moisture {
                Moisture::Dry => 1.0,
                Moisture::Damp => 0.7,
                Moisture::Condensing => 0.4,
                Moisture::Wet => 0.1,
            },
            shaft: match self.shaft {
                Shaft::Horizontal => 1.0,
                Shaft::Inclined => 0.5,
                Shaft::Vertical => 0.3,
            },
            rolling: match self.rolling {
                Rolling::Ball => 10.0,
                Rolling::Cylindrical => 5.0,
                Rolling::TaperedOrSpherical => 1.0,
            },
        }
    }
}

/// Running hours from one greasing to the next, by the bearing's bore, mm, and speed, rpm: a planner's first figure,
/// to be set right by how the grease looks.
///
/// # Errors
/// [`CannotTell::Number`] for what no bearing has; [`CannotTell::FormulaDoesNotApply`] where it comes out below one
/// hour.
pub fn grease_interval_h(
    bore_mm: f64,
    speed_rpm: f64,
    surroundings: &Surroundings,
) -> Result<f64, CannotTell> {
    let bore_mm = within_range(
        say!("The bearing's bore, mm,"),
        bore_mm,
        &BearingSize::BORE_MM,
    )?;
    let speed_rpm = within(say!("The speed, rpm,"), speed_rpm, 1.0, 30_000.0)?;
    if let Some(temperature_c) = surroundings.temperature_c {
        within(
            say!("The bearing's temperature, °C,"),
            temperature_c,
            -60.0,
            250.0,
        )?;
    }
    if let Some(vibration_mm_s) = surroundings.vibration_mm_s {
        within(say!("The vibration, mm/s,"), vibration_mm_s, 0.0, 200.0)?;
    }
    let for_k_1 = 14e6 / (speed_rpm * bore_mm.sqrt()) - 4.0 * bore_mm;
    let hours = surroundings.factors().product() * for_k_1;
    if hours < SHORTEST_H {
        return Err(CannotTell::FormulaDoesNotApply);
    }
    Ok(hours)
}

fn within_range(
    what: &'static str,
    value: f64,
    range: &RangeInclusive<f64>,
) -> Result<f64, CannotTell> {
    within(what, value, *range.start(), *range.end())
}

/// What a greased bearing wants by its size.
#[derive(Clone, Debug, PartialEq)]
pub struct BySize {
    /// Its size.
    pub size: BearingSize,
    /// Speed reckoned with, rpm: the driver's rated one.
    pub speed_rpm: f64,
    /// What it lives in, as far as that is known.
    pub surroundings: Surroundings,
    /// How much at a time, g, or why that can't be told.
    pub grams: Result<f64, CannotTell>,
    /// Running hours from one time to the next, or why that can't be told.
    pub interval_h: Result<f64, CannotTell>,
}

/// What a bearing wants by its size; `None` where it is not greased or the register doesn't say its size.
///
/// `temperature_c` and `vibration_rms_mm_s` are what was read of it last, where anything was. The peak is taken as √2
/// of the RMS, as of a pure tone.
pub fn by_size(
    pump: &Pump,
    bearing: &Bearing,
    temperature_c: Option<f64>,
    vibration_rms_mm_s: Option<f64>,
) -> Option<BySize> {
    let greased = matches!(
        bearing.lubrication,
        Lubrication::GreaseFitting | Lubrication::GreaseCup
    );
    let size = bearing.size.filter(|_| greased)?;
    let surroundings = Surroundings {
        temperature_c,
        vibration_mm_s: vibration_rms_mm_s.map(|rms| SQRT_2 * rms),
        dirt: bearing.dirt.unwrap_or_default(),
        moisture: bearing.moisture.unwrap_or_default(),
        shaft: match pump.arrangement {
            Arrangement::VerticalSump => Shaft::Vertical,
            Arrangement::EndSuction | Arrangement::BetweenBearings | Arrangement::Multistage => {
                Shaft::Horizontal
            }
        },
        rolling: size.rolling,
    };
    let speed_rpm = pump.driver.speed_rpm;
    Some(BySize {
        size,
        speed_rpm,
        surroundings,
        grams: grease_quantity_g(size.outside_mm, size.width_mm),
        interval_h: grease_interval_h(size.bore_mm, speed_rpm, &surroundings),
    })
}

impl BySize {
    /// How much and how often, for example "about 29.6 g every 7900 running hours".
    ///
    /// # Errors
    /// Why the amount can't be told.
    pub fn words(&self) -> Result<String, CannotTell> {
        let grams = short(self.grams.clone()?);
        Ok(match &self.interval_h {
            Ok(hours) => say!(
                "about {grams} g every {hours} running hours",
                grams,
                hours = two_figures(*hours)
            ),
            Err(why) => say!(
                "about {grams} g; how often can't be told: {why}",
                grams,
                why
            ),
        })
    }

    /// The same in sentences, for somebody about to grease the bearing.
    pub fn advice(&self, programme: Option<&GreaseProgramme>) -> String {
        match (self.words(), programme) {
            (Ok(words), Some(_)) => say!(
                "By the bearing's size: {words}. That is a planner's first figure: give what the programme has.",
                words
            ),
            (Ok(words), None) => say!(
                "By the bearing's size: {words}. That is a planner's first figure: ask before greasing.",
                words
            ),
            (Err(why), _) => say!("By the bearing's size nothing can be told: {why}.", why),
        }
    }

    /// What the planner is to look at: a programme that is far from this either way, or none at all. `None` where the
    /// two are as near as the rule is fine, or nothing can be told.
    pub fn note(&self, programme: Option<&GreaseProgramme>) -> Option<String> {
        let mut found: Vec<String> = match programme {
            None => self.words().ok().map(no_programme).into_iter().collect(),
            Some(programme) => {
                let amount = self.amount_differs(programme).into_iter();
                amount.chain(self.interval_differs(programme)).collect()
            }
        };
        if found.is_empty() {
            return None;
        }
        // The rule takes warmth for a cause of short-lived grease; it may be the trouble itself (common practice, no
        // source).
        if self.surroundings.temperature_c.is_some_and(|t| t >= WARM_C) {
            found.push(say!("The bearing is warm: find out why before it gets more grease, as too much grease warms it, too.").to_owned());
        }
        Some(say!(
            "{found} For the planner: a proposal only, a first figure to be set right by how the grease looks.",
            found = found.join(" ")
        ))
    }

    fn amount_differs(&self, programme: &GreaseProgramme) -> Option<String> {
        let by_size = *self.grams.as_ref().ok()?;
        differs(programme.grams, by_size).then(|| {
            say!(
                "The programme has {grams} g at a time; by its size the bearing takes about {by_size} g.",
                grams = short(programme.grams),
                by_size = short(by_size)
            )
        })
    }

    /// Days are reckoned as if the pump ran all the time: it can't run more.
    fn interval_differs(&self, programme: &GreaseProgramme) -> Option<String> {
        let by_size = *self.interval_h.as_ref().ok()?;
        let by_days = programme
            .every_days
            .map(|days| (days, days * HOURS_PER_DAY));
        let hours = programme.every_running_hours;
        if let Some((days, most)) =
            by_days.filter(|(_, most)| hours.is_none_or(|hours| most < &hours))
        {
            return differs(most, by_size).then(|| {
                say!(
                    "The programme has it every {days} days, {most} running hours at most; by its size it would be about every {by_size}.",
                    days = short(days),
                    most = short(most),
                    by_size = two_figures(by_size)
                )
            });
        }
        let hours = hours?;
        differs(hours, by_size).then(|| {
            say!(
                "The programme has it every {hours} running hours; by its size it would be about every {by_size}.",
                hours = short(hours),
                by_size = two_figures(by_size)
            )
        })
    }
}

fn no_programme(words: String) -> String {
    say!(
        "The register has no greasing programme for this bearing; by its size it would be {words}.",
        words
    )
}

fn differs(one: f64, other: f64) -> bool {
    one > DIFFERS_BY * other || other > DIFFERS_BY * one
}

/// Hours as finely as the rule knows them.
fn two_figures(hours: f64) -> String {
    let step = 10_f64.powf(hours.log10().floor() - 1.0);
    short((hours / step).round() * step)
}
