//! The troubles of Kestrel Ness: which checks take which course, in days before the end.

use super::picture::Scene;
use crate::plant::{CheckId, CheckKind, Place, Pump};

/// What becomes of one check. Knots are (days before the end, what is found), the earliest first.
#[derive(Clone, Copy, Debug)]
pub(super) enum Course {
    /// A number in the limits' unit, linear from knot to knot.
    Measured(&'static [(f64, f64)]),
    /// A step of feeling, from each knot on.
    Step(&'static [(f64, u8)]),
    /// A word, from each knot on.
    Word(&'static [(f64, &'static str)]),
}

/// One trouble of one pump.
#[derive(Debug)]
pub struct Trouble {
    /// The pump.
    pub pump: &'static str,
    /// Days before the end when the first sign shows.
    pub begins: f64,
    pub(super) courses: &'static [(CheckId, Course)],
    /// Remarks: (days before the end, words).
    pub(super) remarks: &'static [(u32, &'static str)],
    pub(super) pictures: &'static [Picture],
}

/// A photo of a trouble.
#[derive(Debug)]
pub(super) struct Picture {
    pub days_left: u32,
    pub check: CheckId,
    pub scene: Scene,
    pub words: &'static str,
}

const fn at(kind: CheckKind, place: Place) -> CheckId {
    CheckId { kind, place }
}

impl Trouble {
    /// The trouble of this pump.
    pub fn of(pump: &Pump) -> Option<&'static Trouble> {
        TROUBLES
            .iter()
            .find(|trouble| trouble.pump == pump.id.as_str())
    }

    /// The checks that show it.
    pub fn checks(&self) -> impl Iterator<Item = CheckId> {
        self.courses.iter().map(|(check, _)| *check)
    }

    /// The course of this check, once it has begun, with the day before the end on which it began.
    pub(super) fn course(&self, check: CheckId, days_left: f64) -> Option<(f64, Course)> {
        let (_, course) = self.courses.iter().find(|(of, _)| *of == check)?;
        let begins = match course {
            Course::Measured(_) => Some(self.begins),
            Course::Step(knots) => knots.first().map(|knot| knot.0),
            Course::Word(knots) => knots.first().map(|knot| knot.0),
        }?;
        (days_left <= begins).then_some((begins, *course))
    }
}

/// All troubles.
pub const TROUBLES: &[Trouble] = &[
    // Packing loosens; taken up one flat again and again, and it comes back faster each time.
    Trouble {
        pump: "ST-104A",
        begins: 40.0,
        courses: &[
            (
                at(CheckKind::LeakOff, Place::SealDe),
                Course::Measured(&[
                    (33.32, 42.0),
                    (33.31, 24.0),
                    (27.32, 48.0),
                    (27.31, 26.0),
                    (21.32, 54.0),
                    (21.31, 28.0),
                    (16.32, 58.0),
                    (16.31, 29.0),
                    (12.32, 62.0),
                    (12.31, 30.0),
                    (0.0, 96.0),
                ]),
            ),
            (
                at(CheckKind::Surroundings, Place::Pump),
                Course::Word(&[
                    (20.0, "damp"),
                    (12.3, "clean"),
                    (6.0, "damp"),
                    (2.0, "leak"),
                ]),
            ),
        ],
        remarks: &[
            (13, "The gland comes back faster each time it is taken up."),
            (
                1,
                "Gland is nearly at its stop; no room left to take it up. Needs new packing.",
            ),
        ],
        pictures: &[
            Picture {
                days_left: 14,
                check: at(CheckKind::LeakOff, Place::SealDe),
                scene: Scene::Gland { drips: 4 },
                words: "Drips from the lower edge of the gland.",
            },
            Picture {
                days_left: 1,
                check: at(CheckKind::LeakOff, Place::SealDe),
                scene: Scene::Gland { drips: 9 },
                words: "Nearly a stream now, gland close to its stop.",
            },
        ],
    },
    // The lantern ring's feed blocks, the packing runs dry and hot.
    Trouble {
        pump: "ST-106",
        begins: 26.0,
        courses: &[
            (
                at(CheckKind::LeakOff, Place::SealDe),
                Course::Measured(&[(10.0, 9.0), (1.0, 1.0), (0.0, 0.2)]),
            ),
            (
                at(CheckKind::LanternRingPressure, Place::SealDe),
                Course::Measured(&[(8.0, 2.1), (0.0, 1.3)]),
            ),
            (
                at(CheckKind::GlandHeat, Place::SealDe),
                Course::Step(&[(12.0, 2), (6.0, 3), (1.5, 4)]),
            ),
            (
                at(CheckKind::Noise, Place::Pump),
                Course::Word(&[(2.0, "squeal")]),
            ),
        ],
        remarks: &[(
            4,
            "Eased the gland nuts one flat, no more water came. Seal-water line may be blocked.",
        )],
        pictures: &[Picture {
            days_left: 2,
            check: at(CheckKind::LeakOff, Place::SealDe),
            scene: Scene::Gland { drips: 0 },
            words: "Gland dry, smells of hot packing.",
        }],
    },
    // A driver bearing, greased too much, warms faster and faster.
    Trouble {
        pump: "CW-310A",
        begins: 45.0,
        courses: &[
            (
                at(CheckKind::BearingTemperature, Place::DriverDe),
                Course::Measured(&[(30.0, 58.0), (15.0, 65.0), (5.0, 74.0), (0.0, 84.0)]),
            ),
            (
                at(CheckKind::VibrationVelocity, Place::DriverDe),
                Course::Measured(&[(15.0, 2.2), (0.0, 4.1)]),
            ),
            (
                at(CheckKind::GreaseLook, Place::DriverDe),
                Course::Word(&[(45.0, "pushed_out"), (36.0, "clean"), (12.0, "pushed_out")]),
            ),
        ],
        remarks: &[
            (45, "Motor greased today by the lubrication round."),
            (3, "Drive-end motor bearing plainly warmer than last week."),
        ],
        pictures: &[],
    },
    // The suction strainer plugs, is cleaned, and plugs again.
    Trouble {
        pump: "WE-204A",
        begins: 46.0,
        courses: &[
            (
                at(CheckKind::StrainerDrop, Place::Suction),
                Course::Measured(&[
                    (30.0, 0.15),
                    (23.32, 0.22),
                    (23.31, 0.07),
                    (10.0, 0.13),
                    (4.0, 0.21),
                    (0.0, 0.34),
                ]),
            ),
            (
                at(CheckKind::SuctionPressure, Place::Suction),
                Course::Measured(&[
                    (30.0, 0.13),
                    (23.32, 0.06),
                    (23.31, 0.2),
                    (10.0, 0.15),
                    (4.0, 0.06),
                    (0.0, -0.06),
                ]),
            ),
            (
                at(CheckKind::DischargePressure, Place::Discharge),
                Course::Measured(&[(24.0, 2.5), (4.0, 2.35), (0.0, 2.1)]),
            ),
            (
                at(CheckKind::Noise, Place::Pump),
                Course::Word(&[(1.5, "crackle")]),
            ),
        ],
        remarks: &[
            (24, "A bucket of fibre in the suction strainer."),
            (2, "Strainer plugging again after three weeks."),
        ],
        pictures: &[],
    },
    // A mechanical seal begins to leak.
    Trouble {
        pump: "WE-207A",
        begins: 21.0,
        courses: &[
            (
                at(CheckKind::SealLeak, Place::SealDe),
                Course::Measured(&[(12.0, 0.4), (5.0, 2.0), (0.0, 6.5)]),
            ),
            (
                at(CheckKind::Surroundings, Place::Pump),
                Course::Word(&[(9.0, "damp"), (1.0, "leak")]),
            ),
        ],
        remarks: &[(
            3,
            "Drive-end seal drips at start and does not stop when warm.",
        )],
        pictures: &[Picture {
            days_left: 3,
            check: at(CheckKind::SealLeak, Place::SealDe),
            scene: Scene::Gland { drips: 2 },
            words: "Drops at the drive-end seal.",
        }],
    },
    // Water gets into an oil bath while oil is lost.
    Trouble {
        pump: "CD-305A",
        begins: 30.0,
        courses: &[
            (
                at(CheckKind::OilLevel, Place::PumpDe),
                Course::Measured(&[(15.0, 58.0), (5.0, 42.0), (0.0, 22.0)]),
            ),
            (
                at(CheckKind::OilLook, Place::PumpDe),
                Course::Word(&[(16.0, "foam"), (8.0, "milky")]),
            ),
            (
                at(CheckKind::BearingTemperature, Place::PumpDe),
                Course::Measured(&[(10.0, 58.0), (0.0, 69.0)]),
            ),
        ],
        remarks: &[(
            8,
            "Oil in the drive-end glass has gone milky; a wisp of steam blows at the bearing cover.",
        )],
        pictures: &[Picture {
            days_left: 5,
            check: at(CheckKind::OilLook, Place::PumpDe),
            scene: Scene::SightGlass { level_percent: 42 },
            words: "Milky oil, below the middle of the glass.",
        }],
    },
    // The oil skid's filter loads up.
    Trouble {
        pump: "BF-301A",
        begins: 42.0,
        courses: &[
            (
                at(CheckKind::FeedOilFilterDrop, Place::OilSkid),
                Course::Measured(&[(20.0, 0.5), (8.0, 0.75), (0.0, 1.08)]),
            ),
            (
                at(CheckKind::FeedOilPressure, Place::OilSkid),
                Course::Measured(&[(10.0, 1.7), (0.0, 1.45)]),
            ),
        ],
        remarks: &[(
            2,
            "Oil filter drop has gone up all month; the spare side can be cut in.",
        )],
        pictures: &[],
    },
    // A bottle oiler empties faster from one filling to the next.
    Trouble {
        pump: "ST-108",
        begins: 24.0,
        courses: &[(
            at(CheckKind::OilerLevel, Place::PumpDe),
            Course::Measured(&[
                (19.32, 40.0),
                (19.31, 88.0),
                (12.32, 34.0),
                (12.31, 88.0),
                (6.32, 30.0),
                (6.31, 88.0),
                (0.0, 9.0),
            ]),
        )],
        remarks: &[
            (13, "The drive-end oiler wants filling again after a week."),
            (7, "Oil on the foot under the housing."),
        ],
        pictures: &[],
    },
];
