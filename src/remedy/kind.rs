//! What was done.

use super::BadRemedy;
use crate::{
    plant::{Lubrication, Place, Pump},
    say,
};
use serde::{Deserialize, Serialize};

/// Most nuts a gland has. Common practice, no source.
pub const MOST_NUTS: usize = 8;
/// Flats of a hexagon nut: a whole turn.
pub const MOST_FLATS: u8 = 6;

const MOST_WORDS_CHARS: usize = 300;
const MOST_GRADE_CHARS: usize = 60;
/// More than a canister: no operator tops up more at one pump. Common practice, no source.
const MOST_OIL_ML: f64 = 100_000.0;
/// More strokes than an hour's pumping. Common practice, no source.
const MOST_STROKES: f64 = 500.0;
/// A cup's thread is shorter. Common practice, no source.
const MOST_TURNS: f64 = 50.0;

/// Something an operator did about a pump.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Remedy {
    /// Gland nuts were turned.
    GlandNuts {
        /// At which packing.
        place: Place,
        /// Which way.
        turn: Turn,
        /// Flats of each nut, in the order the nuts are numbered; 0 for one that was left.
        flats: Vec<u8>,
    },
    /// Oil was topped up.
    TopUp {
        /// At which bearing, or the oil skid.
        place: Place,
        /// How much.
        amount: OilGiven,
        /// The oil, as it stands on its drum.
        grade: String,
    },
    /// A bearing was greased.
    Grease {
        /// Which bearing.
        place: Place,
        /// How much.
        amount: GreaseGiven,
        /// The grease, as it stands on its cartridge.
        grade: String,
    },
    /// The casing was vented.
    Vent,
    /// A strainer was seen to.
    Strainer {
        /// Which.
        place: Place,
        /// How.
        work: StrainerWork,
    },
    /// Cooling water to the oil skid was adjusted.
    CoolingWater {
        /// Which way.
        change: WaterChange,
    },
    /// The oil skid's filter element was changed.
    FilterElement,
    /// Anything else.
    OwnWords {
        /// The words.
        text: String,
    },
}

/// Which way nuts were turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Turn {
    /// Tighter on the packing.
    Tighten,
    /// Off the packing.
    Ease,
}

impl Turn {
    /// 1 where flats tighten, −1 where they ease.
    pub fn sign(self) -> i32 {
        match self {
            Turn::Tighten => 1,
            Turn::Ease => -1,
        }
    }
}

/// How much oil was given.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "in", rename_all = "snake_case", deny_unknown_fields)]
pub enum OilGiven {
    /// Measured.
    Millilitres {
        /// mL.
        ml: f64,
    },
    /// As a share of the oiler's bottle.
    Bottle {
        /// Per cent of the bottle.
        percent: f64,
    },
}

/// How much grease was given.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "in", rename_all = "snake_case", deny_unknown_fields)]
pub enum GreaseGiven {
    /// Strokes of the gun.
    Strokes {
        /// How many.
        strokes: f64,
    },
    /// Turns of the grease cup.
    Turns {
        /// How many.
        turns: f64,
    },
}

/// What was done to a strainer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StrainerWork {
    /// Taken out and cleaned.
    Cleaned,
    /// Changed over to the clean one beside it.
    Swapped,
}

/// Which way cooling water was adjusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WaterChange {
    /// More.
    More,
    /// Less.
    Less,
}

impl Remedy {
    /// The bearing that was greased, where one was.
    pub fn greased(&self) -> Option<Place> {
        match self {
            Remedy::Grease { place, .. } => Some(*place),
            _ => None,
        }
    }

    /// Where it was done.
    pub fn place(&self) -> Place {
        match self {
            Remedy::GlandNuts { place, .. }
            | Remedy::TopUp { place, .. }
            | Remedy::Grease { place, .. }
            | Remedy::Strainer { place, .. } => *place,
            Remedy::CoolingWater { .. } | Remedy::FilterElement => Place::OilSkid,
            Remedy::Vent | Remedy::OwnWords { .. } => Place::Pump,
        }
    }

    /// Checks that it can have been done at this pump, with amounts that can be.
    ///
    /// # Errors
    /// The first thing that can't be, with what to enter instead.
    pub fn check(&self, pump: &Pump) -> Result<(), BadRemedy> {
        if let Some(part) = self.missing_part(pump) {
            return Err(BadRemedy::NoSuchPart {
                pump: pump.id.to_string(),
                part,
                place: self.place().key(),
            });
        }
        self.check_amounts()
    }

    /// Checks that it can have been done at all, at whichever pump.
    ///
    /// # Errors
    /// The first thing that can't be, with what to enter instead.
    pub fn check_amounts(&self) -> Result<(), BadRemedy> {
        match self {
            Remedy::GlandNuts { flats, .. } => flats_fit(flats),
            Remedy::TopUp { amount, grade, .. } => {
                words_fit(say!("the oil's grade"), grade, MOST_GRADE_CHARS)?;
                match *amount {
                    OilGiven::Millilitres { ml } => {
                        amount_fits(say!("of oil"), ml, "mL", MOST_OIL_ML)
                    }
                    OilGiven::Bottle { percent } => {
                        amount_fits(say!("of the bottle"), percent, "%", 100.0)
                    }
                }
            }
            Remedy::Grease { amount, grade, .. } => {
                words_fit(say!("the grease's grade"), grade, MOST_GRADE_CHARS)?;
                match *amount {
                    GreaseGiven::Strokes { strokes } => {
                        amount_fits(say!("of the gun"), strokes, say!("strokes"), MOST_STROKES)
                    }
                    GreaseGiven::Turns { turns } => {
                        amount_fits(say!("of the cup"), turns, say!("turns"), MOST_TURNS)
                    }
                }
            }
            Remedy::OwnWords { text } => words_fit(say!("what was done"), text, MOST_WORDS_CHARS),
            Remedy::Vent
            | Remedy::Strainer { .. }
            | Remedy::CoolingWater { .. }
            | Remedy::FilterElement => Ok(()),
        }
    }

    /// The part that this pump doesn't have there; `None` where it does.
    fn missing_part(&self, pump: &Pump) -> Option<&'static str> {
        let kept_by = |place| pump.bearing(place).map(|bearing| bearing.lubrication);
        let (there, part) = match *self {
            Remedy::GlandNuts { place, .. } => {
                (pump.is_packed_at(place), say!("has no" => "packed gland"))
            }
            Remedy::TopUp { place, amount, .. } => {
                let bottle = matches!(amount, OilGiven::Bottle { .. });
                match kept_by(place) {
                    Some(Lubrication::BottleOiler) => (true, say!("has no" => "oiler")),
                    _ if bottle => (false, say!("has no" => "bottle oiler")),
                    Some(Lubrication::OilBath) => (true, say!("has no" => "oil bath")),
                    _ => (
                        place == Place::OilSkid && pump.oil_skid.is_some(),
                        say!("has no" => "oil to top up"),
                    ),
                }
            }
            Remedy::Grease { place, amount, .. } => match amount {
                GreaseGiven::Strokes { .. } => (
                    kept_by(place) == Some(Lubrication::GreaseFitting),
                    say!("has no" => "grease fitting"),
                ),
                GreaseGiven::Turns { .. } => (
                    kept_by(place) == Some(Lubrication::GreaseCup),
                    say!("has no" => "grease cup"),
                ),
            },
            Remedy::Strainer { place, .. } => {
                (pump.has_strainer(place), say!("has no" => "strainer"))
            }
            Remedy::CoolingWater { .. } => (
                pump.oil_skid.is_some_and(|skid| skid.cooler),
                say!("has no" => "oil cooler"),
            ),
            Remedy::FilterElement => (pump.oil_skid.is_some(), say!("has no" => "oil filter")),
            Remedy::Vent | Remedy::OwnWords { .. } => (true, ""),
        };
        (!there).then_some(part)
    }
}

fn flats_fit(flats: &[u8]) -> Result<(), BadRemedy> {
    if !(2..=MOST_NUTS).contains(&flats.len()) {
        return Err(BadRemedy::Nuts { nuts: flats.len() });
    }
    if flats.iter().all(|flats| *flats == 0) {
        return Err(BadRemedy::NothingTurned);
    }
    match flats.iter().position(|flats| *flats > MOST_FLATS) {
        Some(index) => Err(BadRemedy::TooManyFlats {
            nut: index + 1,
            flats: flats[index],
        }),
        None => Ok(()),
    }
}

fn amount_fits(
    what: &'static str,
    value: f64,
    unit: &'static str,
    most: f64,
) -> Result<(), BadRemedy> {
    if value > 0.0 && value <= most {
        Ok(())
    } else {
        Err(BadRemedy::Amount {
            what,
            value,
            unit,
            most,
        })
    }
}

fn words_fit(what: &'static str, text: &str, most: usize) -> Result<(), BadRemedy> {
    let chars = text.chars().count();
    if text.trim().is_empty() {
        Err(BadRemedy::Empty { what })
    } else if chars > most {
        Err(BadRemedy::TooLong { what, chars, most })
    } else {
        Ok(())
    }
}
