//! One shift's walk: who goes where with which device, and how closely they look.

use super::{
    DemoPhoto, DemoRemedy, DemoVisit, Mill, chance,
    duty::{self, SHIFTS_A_DAY},
    entry::entry,
    picture,
    put_right::{FILLED_AFTER, PutRight, SHOWS_AFTER},
    stories::Trouble,
    walks,
};
use crate::{
    check::{self, Check, Entered, RunningState},
    plant::{CheckId, CheckKind, Pump, Round, SpareRole},
    record::Stamp,
    remedy::{self, GreaseGiven, Remedy},
};
use rand::{RngExt, rngs::StdRng};
use std::collections::BTreeSet;

/// Minutes after midnight when the shifts set out on their rounds.
const SETTING_OUT: [i64; SHIFTS_A_DAY as usize] = [6 * 60 + 40, 14 * 60 + 35, 22 * 60 + 45];
/// Days from one full list at a pump to the next.
const FULL_EVERY_DAYS: u32 = 15;
/// Days from one short look to the next at a pump that gives no trouble.
const SHORT_EVERY_DAYS: u32 = 3;
const MINUTE_MS: i64 = 60_000;

/// Four crews, two people each: one for each device. Initials only; nobody stands behind them.
const CREWS: [(&str, [&str; 2]); 4] = [
    ("A", ["M", "J"]),
    ("B", ["K", "T"]),
    ("C", ["R", "O"]),
    ("D", ["L", "S"]),
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
    CheckKind::AmbientTemperature,
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
    /// In passing: its surroundings, and whether it runs.
    Glance,
}

/// A stop of one shift's walk.
struct Stop<'m> {
    round: &'m Round,
    pump: &'m Pump,
    look: Look,
    turned: Option<bool>,
}

impl Shift {
    /// The shift's visits in order of time.
    pub fn walk(self, mill: &Mill<'_>, start: Stamp) -> Vec<DemoVisit> {
        let mut rng = chance::of(
            mill.seed,
            &format!("day {} shift {}", self.day, self.of_day),
        );
        let mut minutes = [rng.random_range(0..15_i64), rng.random_range(0..15_i64)];
        let mut passed = BTreeSet::new();
        let mut visits = Vec::new();
        for (number, round) in mill.plant.rounds.iter().enumerate() {
            let device = self.device(number, mill.plant.rounds.len());
            for stop in self.stops(mill, round, &mut passed) {
                // A glance has a chance of its own, so that it changes nothing that is found elsewhere.
                let mut own = chance::of(mill.seed, &format!("{self:?} {}", stop.pump.id));
                let rng = if stop.look == Look::Glance {
                    &mut own
                } else {
                    &mut rng
                };
                let clock = &mut minutes[usize::from(device)];
                let at = self.stamp(start, *clock, rng.random_range(0..MINUTE_MS));
                let visit = self.visit(mill, &stop, (device, at), rng);
                *clock += rng.random_range(3..7) + minutes_for(visit.entries.len());
                *clock += i64::from(visit.turned.is_some());
                *clock += visit.put_right.iter().map(minutes_of).sum::<i64>();
                visits.push(visit);
            }
        }
        visits.sort_by_key(|visit| visit.at);
        if self.days_left() < walks::DAYS {
            walks::mark(mill.plant, &mut visits, self.days_left(), self.of_day);
        }
        visits
    }

    /// The pumps of a round that this shift comes to, in walking order; where two change over, first the one that is started.
    fn stops<'m>(
        self,
        mill: &Mill<'m>,
        round: &'m Round,
        passed: &mut BTreeSet<usize>,
    ) -> Vec<Stop<'m>> {
        let pumps = &mill.plant.pumps;
        let mut stops: Vec<Stop<'m>> = Vec::new();
        for id in &round.stops {
            let Some(index) = pumps.iter().position(|pump| &pump.id == id) else {
                continue;
            };
            let pump = &pumps[index];
            let turned = self.turned(mill, pump);
            let Some(look) = self.look(pump, index, turned) else {
                continue;
            };
            if !passed.insert(index) {
                continue;
            }
            let stopped_before = stops.iter().position(|stop| {
                turned == Some(true)
                    && stop.turned == Some(false)
                    && group(stop.pump).is_some_and(|of| group(pump) == Some(of))
            });
            let stop = Stop {
                round,
                pump,
                look,
                turned,
            };
            stops.insert(stopped_before.unwrap_or(stops.len()), stop);
        }
        stops
    }

    /// The pump is started or stopped at this shift's begin. Before the first shift all is as the log leaves it: the duty pumps run.
    fn turned(self, mill: &Mill<'_>, pump: &Pump) -> Option<bool> {
        let number = self.day * SHIFTS_A_DAY + self.of_day;
        let ran = match number.checked_sub(1) {
            Some(before) => self.runs(mill, pump, before),
            None => pump
                .spare
                .as_ref()
                .is_none_or(|spare| spare.role == SpareRole::Duty),
        };
        let runs = self.runs(mill, pump, number);
        (ran != runs).then_some(runs)
    }

    fn runs(self, mill: &Mill<'_>, pump: &Pump, shift: u32) -> bool {
        let state = duty::state(pump, mill.seed, duty::days_left(self.days, shift));
        state == RunningState::Running
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

    /// How closely this shift looks at a pump, if at all: a pump in trouble is looked at every day, and the first shift of a day passes every pump.
    fn look(self, pump: &Pump, index: usize, turned: Option<bool>) -> Option<Look> {
        let turn = self.day + u32::try_from(index).unwrap_or(0);
        let days_left = self.days_left();
        let troubled = Trouble::of(pump).is_some_and(|t| f64::from(days_left) <= t.begins);
        // On the last day every shift comes, so that the end of a trouble is seen more than once.
        let comes = (turn + turn / SHORT_EVERY_DAYS) % SHIFTS_A_DAY == self.of_day
            || (troubled && days_left == 0);
        // And whoever comes on the last day looks at everything, so that what is open has all its readings.
        if comes && (turn.is_multiple_of(FULL_EVERY_DAYS) || days_left == 0) {
            Some(Look::Full)
        } else if comes && (troubled || turn.is_multiple_of(SHORT_EVERY_DAYS)) {
            Some(Look::Short)
        } else if self.of_day == 0 || turned.is_some() {
            Some(Look::Glance)
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
        mill: &Mill<'_>,
        stop: &Stop<'_>,
        (device, at): (u8, Stamp),
        rng: &mut StdRng,
    ) -> DemoVisit {
        let Stop {
            round,
            pump,
            look,
            turned,
        } = *stop;
        let into_day = f64::from(self.of_day) / f64::from(SHIFTS_A_DAY);
        let day = f64::from(self.day) + into_day;
        let days_left = (f64::from(self.days) - day - 1.0).max(0.0);
        let running = duty::state(pump, mill.seed, days_left);
        let by_programme = self.by_programme(mill, pump);
        // The air has a chance of its own, so that it changes nothing that is found elsewhere.
        let mut weather = chance::of(mill.seed, &format!("weather {self:?} {}", pump.id));
        let entries = check::list(pump, running)
            .into_iter()
            .filter(|check| is_looked_at(pump, check, look, by_programme))
            .filter_map(|check| {
                let time = (day, days_left);
                let entered = match check.id.kind {
                    CheckKind::Remark => self.remark(pump, running),
                    CheckKind::AmbientTemperature => entry(mill, pump, &check, time, &mut weather),
                    _ => entry(mill, pump, &check, time, rng),
                };
                Some((check.id, entered?))
            })
            .collect::<Vec<_>>();
        let (crew, people) = self.crew();
        let in_story = (look != Look::Glance).then_some(());
        let mut put_right: Vec<_> = by_programme
            .iter()
            .map(|what| self.done_by_programme(mill, pump, running, what))
            .collect();
        put_right.extend(in_story.and_then(|()| self.put_right(mill, pump, running)));
        DemoVisit {
            at,
            by: format!("Shift {crew} / {}", people[usize::from(device)]),
            device,
            round: round.id.clone(),
            pump: pump.id.clone(),
            running,
            turned,
            put_right,
            photo: in_story.and_then(|()| self.photo(pump, &entries)),
            walk: None,
            entries,
        }
    }

    /// What is to be done by programme: the first shift of a day does it.
    fn by_programme<'m>(self, mill: &'m Mill<'_>, pump: &Pump) -> &'m [Remedy] {
        if self.of_day == 0 {
            mill.programme.on(pump, self.day)
        } else {
            &[]
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

    fn put_right(self, mill: &Mill<'_>, pump: &Pump, running: RunningState) -> Option<DemoRemedy> {
        let right = PutRight::on(pump, self.days_left())?;
        Some(self.done(
            mill,
            (pump, running),
            right.what(),
            right.again,
            SHOWS_AFTER,
        ))
    }

    /// What was filled or greased is looked at again.
    fn done_by_programme(
        self,
        mill: &Mill<'_>,
        pump: &Pump,
        running: RunningState,
        what: &Remedy,
    ) -> DemoRemedy {
        let again = looked_at_again(what);
        self.done(mill, (pump, running), what.clone(), &again, FILLED_AFTER)
    }

    /// What was put right, with the wait and the checks made again, part of a day later.
    fn done(
        self,
        mill: &Mill<'_>,
        (pump, running): (&Pump, RunningState),
        what: Remedy,
        again: &[CheckId],
        after: f64,
    ) -> DemoRemedy {
        let days_left = self.days_left();
        // A chance of its own, so that what is put right at one pump changes nothing that is found at another.
        let words = format!("put right {} {:?} {days_left}", pump.id, what.place());
        let mut rng = chance::of(mill.seed, &words);
        let then = (f64::from(self.day) + after, f64::from(days_left) - after);
        let made = check::list(pump, running)
            .into_iter()
            .filter(|check| again.contains(&check.id))
            .filter_map(|check| Some((check.id, entry(mill, pump, &check, then, &mut rng)?)))
            .collect();
        let waits = remedy::proof_of(&what, pump)
            .into_iter()
            .filter(|proof| again.contains(&proof.check))
            .map(|proof| proof.after_minutes);
        DemoRemedy {
            wait_minutes: waits.fold(0.0, f64::max).ceil() as i64,
            what,
            again: made,
        }
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

fn is_looked_at(pump: &Pump, check: &Check, look: Look, by_programme: &[Remedy]) -> bool {
    match look {
        Look::Full => true,
        Look::Short => is_in_short_look(pump, check),
        Look::Glance => {
            check.id.kind == CheckKind::Surroundings
                || by_programme.iter().any(|what| is_glass_of(what, check.id))
        }
    }
}

/// The checks made again after something done by programme.
fn looked_at_again(what: &Remedy) -> Vec<CheckId> {
    let kinds: &[CheckKind] = match what {
        Remedy::TopUp { .. } => &[CheckKind::OilLevel, CheckKind::OilerLevel],
        Remedy::Grease {
            amount: GreaseGiven::Turns { .. },
            ..
        } => &[CheckKind::GreaseCup],
        Remedy::Grease { .. } => &[CheckKind::GreaseLook],
        _ => &[],
    };
    let place = what.place();
    kinds
        .iter()
        .map(|kind| CheckId::new(*kind, place))
        .collect()
}

/// The check is that of the glass that something filled.
fn is_glass_of(what: &Remedy, check: CheckId) -> bool {
    matches!(what, Remedy::TopUp { .. }) && looked_at_again(what).contains(&check)
}

fn group(pump: &Pump) -> Option<&str> {
    pump.spare.as_ref().map(|spare| spare.group.as_str())
}

fn is_in_short_look(pump: &Pump, check: &Check) -> bool {
    SHORT_LOOK.contains(&check.id.kind)
        || check.id.kind == CheckKind::Remark
        || Trouble::of(pump).is_some_and(|trouble| trouble.checks().any(|id| id == check.id))
}
