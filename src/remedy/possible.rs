//! What an operator can put right at a pump.

use super::{
    GreaseGiven, OilGiven, Remedy, StrainerWork, Turn, WaterChange, begins_anew, grease::wanted,
    oil::registered_oil, shows_in,
};
use crate::plant::{Bearing, CheckId, Lubrication, Place, Priming, Pump};

/// Oil offered first: part of a bottle, a cupful for a bath, a can for a skid. Common practice, no source.
const BOTTLE_PERCENT: f64 = 50.0;
const BATH_ML: f64 = 50.0;
const SKID_ML: f64 = 1_000.0;

/// What can be put right at a pump, each as it is usually done, with the register's oil or grease; own words last.
pub fn possible(pump: &Pump) -> Vec<Remedy> {
    let glands = pump
        .seal_places()
        .iter()
        .filter(|place| pump.is_packed_at(**place));
    let mut all: Vec<Remedy> = glands
        .map(|&place| Remedy::GlandNuts {
            place,
            turn: Turn::Tighten,
            flats: vec![1, 1],
        })
        .collect();
    all.extend(
        pump.bearings
            .iter()
            .filter_map(|bearing| oiled(pump, bearing)),
    );
    if pump.oil_skid.is_some() {
        all.push(top_up(
            pump,
            Place::OilSkid,
            OilGiven::Millilitres { ml: SKID_ML },
        ));
    }
    all.extend(pump.bearings.iter().filter_map(greased));
    all.extend(pump.strainers.iter().map(|strainer| Remedy::Strainer {
        place: strainer.place,
        work: StrainerWork::Cleaned,
    }));
    if pump.priming != Priming::Submerged {
        all.push(Remedy::Vent);
    }
    if let Some(skid) = &pump.oil_skid {
        if skid.cooler {
            all.push(Remedy::CoolingWater {
                change: WaterChange::More,
            });
        }
        all.push(Remedy::FilterElement);
    }
    all.push(Remedy::OwnWords {
        text: String::new(),
    });
    all
}

/// The same with what shows in a check first, so that what was found leads to what is done about it.
pub fn possible_for(pump: &Pump, check: CheckId) -> Vec<Remedy> {
    let mut all = possible(pump);
    all.sort_by_key(|remedy| !answers(remedy, check));
    all
}

/// What a remedy does shows in this check.
pub fn answers(remedy: &Remedy, check: CheckId) -> bool {
    begins_anew(remedy, check) || shows_in(remedy, check)
}

fn oiled(pump: &Pump, bearing: &Bearing) -> Option<Remedy> {
    let amount = match bearing.lubrication {
        Lubrication::BottleOiler => OilGiven::Bottle {
            percent: BOTTLE_PERCENT,
        },
        Lubrication::OilBath => OilGiven::Millilitres { ml: BATH_ML },
        _ => return None,
    };
    Some(top_up(pump, bearing.place, amount))
}

fn top_up(pump: &Pump, place: Place, amount: OilGiven) -> Remedy {
    Remedy::TopUp {
        place,
        amount,
        grade: registered_oil(pump, place).unwrap_or_default().to_owned(),
    }
}

fn greased(bearing: &Bearing) -> Option<Remedy> {
    let by_cup = match bearing.lubrication {
        Lubrication::GreaseFitting => false,
        Lubrication::GreaseCup => true,
        _ => return None,
    };
    let programme = bearing.grease.as_ref();
    let usual = if by_cup {
        GreaseGiven::Turns { turns: 1.0 }
    } else {
        GreaseGiven::Strokes { strokes: 5.0 }
    };
    let due = programme
        .and_then(wanted)
        .filter(|due| matches!(due, GreaseGiven::Turns { .. }) == by_cup);
    Some(Remedy::Grease {
        place: bearing.place,
        amount: due.unwrap_or(usual),
        grade: programme
            .map(|programme| programme.grade.clone())
            .unwrap_or_default(),
    })
}
