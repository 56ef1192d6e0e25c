//! What is greased and topped up in the history, by each bearing's programme and by what its glass shows.

use super::{chance, duty, log, put_right, stories::Trouble};
use crate::{
    check::RunningState,
    plant::{Bearing, CheckId, CheckKind, Lubrication, Place, Plant, Pump, PumpId},
    remedy::{OilGiven, Remedy},
};
use rand::{RngExt, rngs::StdRng};
use std::collections::BTreeMap;

/// Part of its interval by running hours at which a bearing is greased: mostly early, now and then a little late.
const GREASED_AT: std::ops::Range<f64> = 0.92..1.01;
/// The motor of the clarified-water return pump was forgotten: this part of its interval was used up when the history begins, and nobody greases it.
const FORGOTTEN: (&str, Side, f64) = ("EF-408", Side::Driver, 0.98);
/// The couch pit pump's cup was not turned again in so many days before the end.
const CUP_FORGOTTEN: (&str, u32) = ("WE-210", 10);
/// How far off people are who say how much of a bottle or a glass they filled, per cent of it: a standard deviation.
const MISREAD: f64 = 0.7;
/// What a per cent of an oil bath's glass holds, mL.
const ML_PER_PERCENT: f64 = 5.0;

/// Pump or driver: the bearings of one are greased together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Side {
    Pump,
    Driver,
}

impl Side {
    pub fn of(place: Place) -> Self {
        match place {
            Place::DriverDe | Place::DriverNde | Place::Driver => Side::Driver,
            _ => Side::Pump,
        }
    }

    /// Share of what its log goes back to that was used up when the history begins, where the story says it.
    pub fn used_at_start(self, pump: &Pump) -> Option<f64> {
        let (of, side, used) = FORGOTTEN;
        (of == pump.id.as_str() && side == self).then_some(used)
    }
}

/// How a glass sinks: its mark, how far it falls till it is filled, both per cent, and in about how many running days.
#[derive(Clone, Copy, Debug)]
struct Glass {
    full: f64,
    depth: f64,
    days: f64,
}

const OILER: Glass = Glass {
    full: 88.0,
    depth: 50.0,
    days: 18.0,
};
const BATH: Glass = Glass {
    full: 74.0,
    depth: 16.0,
    days: 40.0,
};

/// What becomes of one glass.
#[derive(Debug)]
struct Oil {
    glass: Glass,
    /// Running days from one filling to the next.
    every: f64,
    /// Part of that used up when the history begins.
    begins: f64,
    /// The days, counted from the first, on whose mornings it is filled.
    filled: Vec<u32>,
}

/// All that is done by programme in a history.
#[derive(Debug)]
pub(super) struct Programme {
    seed: u64,
    days: u32,
    ran: BTreeMap<PumpId, Vec<bool>>,
    oil: BTreeMap<(PumpId, CheckId), Oil>,
    due: BTreeMap<(PumpId, u32), Vec<Remedy>>,
}

impl Programme {
    pub fn new(plant: &Plant, seed: u64, days: u32) -> Self {
        let mut programme = Self {
            seed,
            days,
            ran: BTreeMap::new(),
            oil: BTreeMap::new(),
            due: BTreeMap::new(),
        };
        for pump in &plant.pumps {
            let ran = duty::by_shift(pump, seed, days);
            programme.ran.insert(pump.id.clone(), ran);
            for bearing in &pump.bearings {
                programme.grease(pump, bearing);
                match (bearing.lubrication, &bearing.oil_grade) {
                    (Lubrication::BottleOiler, Some(grade)) => {
                        let check = CheckId::new(CheckKind::OilerLevel, bearing.place);
                        programme.fill(pump, check, OILER, grade);
                    }
                    (Lubrication::OilBath, Some(grade)) => {
                        let check = CheckId::new(CheckKind::OilLevel, bearing.place);
                        programme.fill(pump, check, BATH, grade);
                    }
                    _ => {}
                }
            }
        }
        programme
    }

    /// What is to be done at a pump on the morning of a day, counted from the first.
    pub fn on(&self, pump: &Pump, day: u32) -> &[Remedy] {
        let due = self.due.get(&(pump.id.clone(), day));
        due.map_or(&[], Vec::as_slice)
    }

    /// What a glass shows at a time, per cent; `None` for what is no glass of a bearing.
    pub fn level(&self, pump: &Pump, check: CheckId, day: f64) -> Option<f64> {
        let oil = self.oil.get(&(pump.id.clone(), check))?;
        let last = oil.filled.iter().rfind(|filled| f64::from(**filled) < day);
        let (begins, since) = last.map_or((oil.begins, 0), |filled| (0.0, *filled));
        let shift = (day * f64::from(duty::SHIFTS_A_DAY)).round() as usize;
        let used = begins + self.ran_days(pump, since, shift) / oil.every;
        Some(oil.glass.full - oil.glass.depth * used.min(1.2))
    }

    /// Days that a pump ran from the morning of a day to a shift, counted from the first.
    fn ran_days(&self, pump: &Pump, from_day: u32, to_shift: usize) -> f64 {
        let from = (from_day * duty::SHIFTS_A_DAY) as usize;
        let ran = self.ran.get(&pump.id).map_or(&[][..], Vec::as_slice);
        let ran = ran.iter().take(to_shift).skip(from).filter(|runs| **runs);
        ran.count() as f64 / f64::from(duty::SHIFTS_A_DAY)
    }

    fn ran_on(&self, pump: &Pump, day: u32) -> f64 {
        self.ran_days(pump, day, ((day + 1) * duty::SHIFTS_A_DAY) as usize)
    }

    fn days_left(&self, day: u32) -> f64 {
        duty::days_left(self.days, day * duty::SHIFTS_A_DAY)
    }

    /// The days on which somebody may come to do something: not while the pump is taken apart, and not on the last.
    fn working_day(&self, pump: &Pump, day: u32) -> bool {
        let days_left = self.days_left(day);
        days_left >= 1.0 && duty::state(pump, self.seed, days_left) != RunningState::OutOfService
    }

    fn grease(&mut self, pump: &Pump, bearing: &Bearing) {
        let side = Side::of(bearing.place);
        let (Some(what), Some(programme)) = (log::greasing(bearing), &bearing.grease) else {
            return;
        };
        if put_right::greases(pump, bearing.place) || side.used_at_start(pump).is_some() {
            return;
        }
        let mut rng = chance::of(self.seed, &format!("greasing {} {side:?}", pump.id));
        let (mut used, every) = match (programme.every_running_hours, programme.every_days) {
            (Some(hours), _) => {
                let ran = log::ran_before_greasing(pump, self.seed, self.days, side, hours);
                (ran, hours / 24.0)
            }
            (None, Some(days)) => (log::days_since_cup(pump, self.seed, side, days), days),
            (None, None) => return,
        };
        let by_hours = programme.every_running_hours.is_some();
        let mut done_at = next(by_hours, every, &mut rng);
        for day in 0..self.days {
            let forgotten = CUP_FORGOTTEN.0 == pump.id.as_str()
                && self.days_left(day) <= f64::from(CUP_FORGOTTEN.1);
            if used >= done_at && self.working_day(pump, day) && !forgotten {
                self.add(pump, day, what.clone());
                used = 0.0;
                done_at = next(by_hours, every, &mut rng);
            }
            used += if by_hours {
                self.ran_on(pump, day)
            } else {
                1.0
            };
        }
    }

    fn fill(&mut self, pump: &Pump, check: CheckId, glass: Glass, grade: &str) {
        let mut rng = chance::of(self.seed, &format!("turns {} {check}", pump.id));
        let mut oil = Oil {
            glass,
            every: glass.days * rng.random_range(0.8..1.25),
            begins: rng.random(),
            filled: Vec::new(),
        };
        let trouble = Trouble::of(pump);
        let mut used = oil.begins;
        for day in 0..self.days {
            let told = trouble.and_then(|trouble| trouble.course(check, self.days_left(day)));
            if used >= 1.0 && told.is_none() && self.working_day(pump, day) {
                let misread = MISREAD * chance::noise(&mut rng);
                let percent = (glass.depth * used + misread).round();
                let amount = if check.kind == CheckKind::OilerLevel {
                    OilGiven::Bottle { percent }
                } else {
                    OilGiven::Millilitres {
                        ml: (percent * ML_PER_PERCENT / 10.0).round() * 10.0,
                    }
                };
                let what = Remedy::TopUp {
                    place: check.place,
                    amount,
                    grade: grade.to_owned(),
                };
                self.add(pump, day, what);
                oil.filled.push(day);
                used = 0.0;
            }
            used += self.ran_on(pump, day) / oil.every;
        }
        self.oil.insert((pump.id.clone(), check), oil);
    }

    fn add(&mut self, pump: &Pump, day: u32, what: Remedy) {
        let due = self.due.entry((pump.id.clone(), day)).or_default();
        due.push(what);
    }
}

/// When a bearing is greased next, in days or running days since the last time.
fn next(by_hours: bool, every: f64, rng: &mut StdRng) -> f64 {
    if by_hours {
        return every * rng.random_range(GREASED_AT);
    }
    // A week's cup is turned on its day, sometimes one before or after.
    match rng.random_range(0..10) {
        0 => every - 1.0,
        1 | 2 => every + 1.0,
        _ => every,
    }
}
