//! One shift's walk: who goes where with which device, and how closely they look.

use super::{
    DemoPhoto, DemoRemedy, DemoVisit, chance, duty,
    entry::entry,
    picture,
    put_right::{PutRight, SHOWS_AFTER},
    stories::Trouble,
    walks,
};
use crate::{
    check::{self, Check, Entered, RunningState},
    plant::{CheckKind, Plant, Pump, Round},
    record::Stamp,
    remedy,
};
use rand::{RngExt, rngs::StdRng};
use std::collections::BTreeSet;

const SHIFTS_A_DAY: u32 = 3;
/// Minutes after midnight when the shifts set out on their rounds.
const SETTING_OUT: [i64; SHIFTS_A_DAY as usize] = [6 * 60 + 40, 14 * 60 + 35, 22 * 60 + 45];
/// Days from one full list at a pump to the next.
const FULL_EVERY_DAYS: u32 = 15;
/// Days from one short look to the next at a pump that gives no trouble.
const SHORT_EVERY_DAYS: u32 = 3;
const MINUTE_MS: i64 = 60_000;

/// Four crews, two people each: one for each device. Initials only; nobody stands behind them.
const CREWS: [(&str, [&str; 2]); 4] = [
    ("A", ["M.", "J."]),
    ("B", ["K.", "T."]),
    ("C", ["R.", "O."]),
    ("D", ["L.", "S."]),
];

/// What a short look takes in.
const SHORT_LOOK: &[CheckKind] = &[
    CheckKind::LeakOff,
    CheckKind::SealLeak,
    CheckKind::StaticLeak,
    CheckKind::LinedUp,
    CheckKind::OilLevel,
    CheckKind::OilerLevel,
    CheckKind::BearingTemperature,
    CheckKind::StrainerDrop,
    CheckKind::FeedOilFilterDrop,
];

/// One shift of the history.
#[derive(Clone, Copy, Debug)]
pub struct Shift {
    days: u32,
    day: u32,
    of_day: u32,
}

/// The shifts of so many days.
pub fn all(days: u32) -> impl Iterator<Item = Shift> {
    (0..days).flat_map(move |day| (0..SHIFTS_A_DAY).map(move |of_day| Shift { days, day, of_day }))
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Look {
    Full,
    Short,
}

impl Shift {
    /// The shift's visits in order of time.
    pub fn walk(self, plant: &Plant, seed: u64, start: Stamp) -> Vec<DemoVisit> {
        let mut rng = chance::of(seed, &format!("day {} shift {}", self.day, self.of_day));
        let mut minutes = [rng.random_range(0..15_i64), rng.random_range(0..15_i64)];
        let mut passed = BTreeSet::new();
        let mut visits = Vec::new();
        for (number, round) in plant.rounds.iter().enumerate() {
            let device = self.device(number, plant.rounds.len());
            for stop in &round.stops {
                let Some(index) = plant.pumps.iter().position(|pump| &pump.id == stop) else {
                    continue;
                };
                let Some(look) = self.look(&plant.pumps[index], index) else {
                    continue;
                };
                if !passed.insert(index) {
                    continue;
                }
                let clock = &mut minutes[usize::from(device)];
                let at = self.stamp(start, *clock, rng.random_range(0..MINUTE_MS));
                let stop = (round, &plant.pumps[index]);
                let visit = self.visit(plant, seed, stop, look, (device, at), &mut rng);
                *clock += rng.random_range(3..7) + minutes_for(visit.entries.len());
                *clock += visit.put_right.as_ref().map_or(0, minutes_of);
                visits.push(visit);
            }
        }
        visits.sort_by_key(|visit| visit.at);
        if self.days_left() < walks::DAYS {
            walks::mark(plant, &mut visits, self.days_left(), self.of_day);
        }
        visits
    }

    /// The first rounds are walked with one device, the others with the other; every seventh day they change, so that both hold entries of the same pumps.
    fn device(self, round: usize, rounds: usize) -> u8 {
        u8::from((2 * round > rounds) != (self.day % 7 == 6))
    }

    fn crew(self) -> (&'static str, [&'static str; 2]) {
        CREWS[(self.day / 2 + self.of_day) as usize % CREWS.len()]
    }

    fn days_left(self) -> u32 {
        self.days - 1 - self.day
    }

    /// How closely this shift looks at a pump, if at all: a pump in trouble is looked at every day.
    fn look(self, pump: &Pump, index: usize) -> Option<Look> {
        let turn = self.day + u32::try_from(index).unwrap_or(0);
        let days_left = self.days_left();
        let troubled = Trouble::of(pump).is_some_and(|t| f64::from(days_left) <= t.begins);
        // On the last day every shift comes, so that the end of a trouble is seen more than once.
        let comes = (turn + turn / SHORT_EVERY_DAYS) % SHIFTS_A_DAY == self.of_day
            || (troubled && days_left == 0);
        if !comes {
            None
        // And whoever comes on the last day looks at everything, so that what is open has all its readings.
        } else if turn.is_multiple_of(FULL_EVERY_DAYS) || days_left == 0 {
            Some(Look::Full)
        } else if troubled || turn.is_multiple_of(SHORT_EVERY_DAYS) {
            Some(Look::Short)
        } else {
            None
        }
    }

    fn stamp(self, start: Stamp, minutes: i64, extra_ms: i64) -> Stamp {
        let into_day = SETTING_OUT[self.of_day as usize] + minutes;
        Stamp {
            utc_ms: start.utc_ms
                + (i64::from(self.day) * 24 * 60 + into_day) * MINUTE_MS
                + extra_ms,
            ..start
        }
    }

    fn visit(
        self,
        plant: &Plant,
        seed: u64,
        (round, pump): (&Round, &Pump),
        look: Look,
        (device, at): (u8, Stamp),
        rng: &mut StdRng,
    ) -> DemoVisit {
        let into_day = f64::from(self.of_day) / f64::from(SHIFTS_A_DAY);
        let day = f64::from(self.day) + into_day;
        let days_left = (f64::from(self.days) - day - 1.0).max(0.0);
        let running = duty::state(pump, seed, days_left);
        let entries = check::list(pump, running)
            .into_iter()
            .filter(|check| look == Look::Full || is_in_short_look(pump, check))
            .filter_map(|check| {
                let entered = if check.id.kind == CheckKind::Remark {
                    self.remark(pump, running)
                } else {
                    entry(plant, seed, pump, &check, (day, days_left), rng)
                };
                Some((check.id, entered?))
            })
            .collect::<Vec<_>>();
        let (crew, people) = self.crew();
        DemoVisit {
            at,
            by: format!("Shift {crew} / {}", people[usize::from(device)]),
            device,
            round: round.id.clone(),
            pump: pump.id.clone(),
            running,
            put_right: self.put_right(plant, seed, pump, running),
            photo: self.photo(pump, &entries),
            walk: None,
            entries,
        }
    }

    fn remark(self, pump: &Pump, running: RunningState) -> Option<Entered> {
        let text = if running == RunningState::OutOfService {
            "Isolated for repacking."
        } else {
            let remarks = Trouble::of(pump)?.remarks;
            remarks
                .iter()
                .find(|(days_left, _)| *days_left == self.days_left())?
                .1
        };
        Some(Entered::Words {
            text: text.to_owned(),
        })
    }

    fn put_right(
        self,
        plant: &Plant,
        seed: u64,
        pump: &Pump,
        running: RunningState,
    ) -> Option<DemoRemedy> {
        let days_left = self.days_left();
        let right = PutRight::on(pump, days_left)?;
        // A chance of its own, so that what is put right at one pump changes nothing that is found at another.
        let mut rng = chance::of(seed, &format!("put right {} {days_left}", pump.id));
        let then = (
            f64::from(self.day) + SHOWS_AFTER,
            f64::from(days_left) - SHOWS_AFTER,
        );
        let again = check::list(pump, running)
            .into_iter()
            .filter(|check| right.again.contains(&check.id))
            .filter_map(|check| Some((check.id, entry(plant, seed, pump, &check, then, &mut rng)?)))
            .collect();
        let what = right.what();
        let waits = remedy::proof_of(&what, pump)
            .into_iter()
            .filter(|proof| right.again.contains(&proof.check))
            .map(|proof| proof.after_minutes);
        Some(DemoRemedy {
            wait_minutes: waits.fold(0.0, f64::max).ceil() as i64,
            what,
            again,
        })
    }

    fn photo(self, pump: &Pump, entries: &[(crate::plant::CheckId, Entered)]) -> Option<DemoPhoto> {
        let pictures = Trouble::of(pump)?.pictures;
        let due = pictures
            .iter()
            .find(|picture| picture.days_left == self.days_left())?;
        if !entries.iter().any(|(check, _)| *check == due.check) {
            return None;
        }
        let (jpeg, marks) = picture::draw(due.scene)?;
        Some(DemoPhoto {
            check: due.check,
            jpeg,
            marks,
            words: due.words.to_owned(),
        })
    }
}

/// Minutes that something put right takes: two to do it, the wait, and the checks made again.
fn minutes_of(remedy: &DemoRemedy) -> i64 {
    2 + remedy.wait_minutes + minutes_for(remedy.again.len())
}

/// Minutes that so many entries take at a pump, at three a minute.
fn minutes_for(entries: usize) -> i64 {
    i64::try_from(entries.div_ceil(3)).unwrap_or(0)
}

fn is_in_short_look(pump: &Pump, check: &Check) -> bool {
    SHORT_LOOK.contains(&check.id.kind)
        || check.id.kind == CheckKind::Remark
        || Trouble::of(pump).is_some_and(|trouble| trouble.checks().any(|id| id == check.id))
}
