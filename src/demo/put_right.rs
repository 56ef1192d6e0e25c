//! What the people of Kestrel Ness put right in the stories, on which day before the end.

use crate::{
    plant::{CheckId, CheckKind, Place, Pump},
    remedy::{GreaseGiven, OilGiven, Remedy, StrainerWork, Turn},
};

/// Part of a day after a day's round has begun when what is put right on it shows.
pub(super) const SHOWS_AFTER: f64 = 0.7;

/// Part of a day after which a glass filled by programme shows it.
pub(super) const FILLED_AFTER: f64 = 0.01;

/// Something that is put right.
#[derive(Debug)]
pub(super) struct PutRight {
    pump: &'static str,
    days_left: u32,
    what: fn() -> Remedy,
    /// The checks made again after it.
    pub again: &'static [CheckId],
}

impl PutRight {
    /// What is put right at a pump on this day before the end.
    pub fn on(pump: &Pump, days_left: u32) -> Option<&'static PutRight> {
        ALL.iter()
            .find(|right| right.pump == pump.id.as_str() && right.days_left == days_left)
    }

    pub fn what(&self) -> Remedy {
        (self.what)()
    }
}

/// A story greases this bearing, so that nobody does by programme.
pub(super) fn greases(pump: &Pump, place: Place) -> bool {
    ALL.iter()
        .filter(|right| right.pump == pump.id.as_str())
        .any(|right| right.what().greased() == Some(place))
}

const GLAND: &[CheckId] = &[
    CheckId::new(CheckKind::GlandSquare, Place::SealDe),
    CheckId::new(CheckKind::LeakOff, Place::SealDe),
    CheckId::new(CheckKind::GlandHeat, Place::SealDe),
];
const OILER: &[CheckId] = &[CheckId::new(CheckKind::OilerLevel, Place::PumpDe)];
const STRAINER: &[CheckId] = &[
    CheckId::new(CheckKind::StrainerDrop, Place::Suction),
    CheckId::new(CheckKind::SuctionPressure, Place::Suction),
];

const fn right(
    pump: &'static str,
    days_left: u32,
    what: fn() -> Remedy,
    again: &'static [CheckId],
) -> PutRight {
    PutRight {
        pump,
        days_left,
        what,
        again,
    }
}

const ALL: &[PutRight] = &[
    right("ST-104A", 34, tightened, GLAND),
    right("ST-104A", 28, tightened, GLAND),
    right("ST-104A", 22, tightened, GLAND),
    right("ST-104A", 17, tightened, GLAND),
    right("ST-104A", 13, tightened, GLAND),
    right("ST-106", 4, eased, GLAND),
    right("CW-310A", 45, || greased(45.0), &[]),
    right("CW-310A", 12, || greased(25.0), &[]),
    right("CW-310A", 2, || greased(25.0), &[]),
    right("WE-204A", 24, changed_over, STRAINER),
    right("ST-108", 20, || filled(48.0), OILER),
    right("ST-108", 13, || filled(54.0), OILER),
    right("ST-108", 7, || filled(58.0), OILER),
];

fn tightened() -> Remedy {
    one_flat(Turn::Tighten)
}

fn eased() -> Remedy {
    one_flat(Turn::Ease)
}

fn one_flat(turn: Turn) -> Remedy {
    Remedy::GlandNuts {
        place: Place::SealDe,
        turn,
        flats: vec![1, 1],
    }
}

fn greased(strokes: f64) -> Remedy {
    Remedy::Grease {
        place: Place::DriverDe,
        amount: GreaseGiven::Strokes { strokes },
        grade: "polyurea NLGI 2".to_owned(),
    }
}

fn changed_over() -> Remedy {
    Remedy::Strainer {
        place: Place::Suction,
        work: StrainerWork::Swapped,
    }
}

fn filled(percent: f64) -> Remedy {
    Remedy::TopUp {
        place: Place::PumpDe,
        amount: OilGiven::Bottle { percent },
        grade: "ISO VG 68 mineral oil".to_owned(),
    }
}
