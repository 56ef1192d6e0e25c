//! What can be written on the command line about what was put right.

use crate::{
    plant::Place,
    remedy::{GreaseGiven, OilGiven, Remedy, StrainerWork, Turn, WaterChange},
};
use clap::{Args, Subcommand};
use std::path::PathBuf;
use uuid::Uuid;

/// What was done longer ago than this is a slip of the finger: it belongs in own words.
const A_WEEK_MIN: i64 = 7 * 24 * 60;

/// Something that was put right.
#[derive(Debug, Args)]
#[command(after_help = "\
For example, at a gland of two nuts, then at a bearing's oiler and at a motor's bearing:

  lantern-ring remedy operator.lantern ST-101 --by 'Shift A' nuts seal_de tighten 1 1
  lantern-ring remedy operator.lantern ST-101 --by 'Shift A' oil pump_de 'ISO VG 68 mineral oil' --bottle 40
  lantern-ring remedy operator.lantern CW-310A --by 'Shift A' grease driver_de 'polyurea NLGI 2' --strokes 25

What was written down is told, with what to mind and what proves it: the check to make, and after how long. Then 'record' \
the check, and 'remedies' sets it beside what was found before. Nuts are refused where an entry says to stop the pump, \
where the liquid is hot or hazardous, and tightening where the gland is dry, hot, smokes or squeals. The exit code is 3 \
where something is not right about it.")]
pub struct RemedyTask {
    /// The store.
    pub store: PathBuf,
    /// The pump: its number, its short id or its tag's text.
    pub pump: String,
    /// Who signs.
    #[arg(long)]
    pub by: String,
    /// The finding it was for.
    #[arg(long, global = true)]
    pub finding: Option<Uuid>,
    /// How long ago it was done, minutes.
    #[arg(long, default_value_t = 0, global = true, value_parser = clap::value_parser!(u32).range(..=A_WEEK_MIN))]
    pub minutes_ago: u32,
    /// What was done.
    #[command(subcommand)]
    pub what: RemedyDo,
}

/// What was done.
#[derive(Clone, Debug, Subcommand)]
pub enum RemedyDo {
    /// Gland nuts were turned
    Nuts {
        /// At which packing: seal_de or seal_nde.
        #[arg(value_parser = place)]
        place: Place,
        /// Which way: tighten or ease.
        #[arg(value_parser = turn)]
        turn: Turn,
        /// Flats of each nut, in the order they are numbered; 0 for one that was left.
        #[arg(required = true, num_args = 1..)]
        flats: Vec<u8>,
    },
    /// Oil was topped up
    Oil {
        /// At which bearing, or oil_skid.
        #[arg(value_parser = place)]
        place: Place,
        /// The oil, as it stands on its drum.
        grade: String,
        /// How much, mL.
        #[arg(long, conflicts_with = "bottle", required_unless_present = "bottle")]
        ml: Option<f64>,
        /// How much, per cent of the oiler's bottle.
        #[arg(long)]
        bottle: Option<f64>,
    },
    /// A bearing was greased
    Grease {
        /// Which bearing.
        #[arg(value_parser = place)]
        place: Place,
        /// The grease, as it stands on its cartridge.
        grade: String,
        /// Strokes of the gun.
        #[arg(long, conflicts_with = "turns", required_unless_present = "turns")]
        strokes: Option<f64>,
        /// Turns of the grease cup.
        #[arg(long)]
        turns: Option<f64>,
    },
    /// The casing was vented
    Vent,
    /// A strainer was cleaned, or the clean one cut in
    Strainer {
        /// Which: suction or discharge.
        #[arg(value_parser = place)]
        place: Place,
        /// How: cleaned or swapped.
        #[arg(value_parser = work)]
        work: StrainerWork,
    },
    /// Cooling water to the oil skid was adjusted
    CoolingWater {
        /// Which way: more or less.
        #[arg(value_parser = change)]
        change: WaterChange,
    },
    /// The oil skid's filter element was changed
    FilterElement,
    /// Anything else, in own words
    Words {
        /// The words.
        text: String,
    },
}

impl From<RemedyDo> for Remedy {
    fn from(what: RemedyDo) -> Self {
        // The command line asks for one of two amounts; none at all would be refused as an amount that can't be.
        match what {
            RemedyDo::Nuts { place, turn, flats } => Remedy::GlandNuts { place, turn, flats },
            RemedyDo::Oil {
                place,
                grade,
                ml,
                bottle,
            } => Remedy::TopUp {
                place,
                amount: match bottle {
                    Some(percent) => OilGiven::Bottle { percent },
                    None => OilGiven::Millilitres {
                        ml: ml.unwrap_or_default(),
                    },
                },
                grade,
            },
            RemedyDo::Grease {
                place,
                grade,
                strokes,
                turns,
            } => Remedy::Grease {
                place,
                amount: match turns {
                    Some(turns) => GreaseGiven::Turns { turns },
                    None => GreaseGiven::Strokes {
                        strokes: strokes.unwrap_or_default(),
                    },
                },
                grade,
            },
            RemedyDo::Vent => Remedy::Vent,
            RemedyDo::Strainer { place, work } => Remedy::Strainer { place, work },
            RemedyDo::CoolingWater { change } => Remedy::CoolingWater { change },
            RemedyDo::FilterElement => Remedy::FilterElement,
            RemedyDo::Words { text } => Remedy::OwnWords { text },
        }
    }
}

/// What was put right, to be listed.
#[derive(Debug, Args)]
pub struct Remedies {
    /// The store.
    pub store: PathBuf,
    /// Only at this pump: its number, its short id or its tag's text.
    #[arg(long)]
    pub pump: Option<String>,
    /// How many hours back.
    #[arg(long, default_value_t = 24 * 31)]
    pub hours: u32,
}

/// Something put right by mistake.
#[derive(Debug, Args)]
pub struct TakeBack {
    /// The store.
    pub store: PathBuf,
    /// What was put right, as 'remedy' printed it or 'remedies' lists it.
    pub remedy: Uuid,
    /// Who signs.
    #[arg(long)]
    pub by: String,
}

/// A gland.
#[derive(Debug, Args)]
pub struct OneGland {
    /// The store.
    pub store: PathBuf,
    /// The pump: its number, its short id or its tag's text.
    pub pump: String,
    /// Which packing: seal_de or seal_nde.
    #[arg(default_value = "seal_de", value_parser = place)]
    pub place: Place,
    /// Show the formula and its source too.
    #[arg(long)]
    pub working: bool,
}

/// A pump.
#[derive(Debug, Args)]
pub struct OnePump {
    /// The store.
    pub store: PathBuf,
    /// The pump: its number, its short id or its tag's text.
    pub pump: String,
    /// Show the formula and its source too.
    #[arg(long)]
    pub working: bool,
}

fn place(text: &str) -> Result<Place, String> {
    let found = Place::ALL.iter().find(|place| place.key() == text);
    found.copied().ok_or_else(|| {
        let known: Vec<_> = Place::ALL.iter().map(|place| place.key()).collect();
        format!("use one of {}", known.join(", "))
    })
}

fn turn(text: &str) -> Result<Turn, String> {
    match text {
        "tighten" => Ok(Turn::Tighten),
        "ease" => Ok(Turn::Ease),
        _ => Err("use tighten or ease".to_owned()),
    }
}

fn work(text: &str) -> Result<StrainerWork, String> {
    match text {
        "cleaned" => Ok(StrainerWork::Cleaned),
        "swapped" => Ok(StrainerWork::Swapped),
        _ => Err("use cleaned or swapped".to_owned()),
    }
}

fn change(text: &str) -> Result<WaterChange, String> {
    match text {
        "more" => Ok(WaterChange::More),
        "less" => Ok(WaterChange::Less),
        _ => Err("use more or less".to_owned()),
    }
}
