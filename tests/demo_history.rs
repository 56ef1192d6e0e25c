//! The generated history of the demo plant: repeatable, sound, and its troubles can be seen.

use lantern_ring::{
    check::{self, Check, Entered, RunningState, accept},
    demo::{DemoVisit, history, log, stories::TROUBLES},
    judge::{Previous, Verdict, judge},
    photo,
    plant::{CheckId, Plant, Pump},
    record::Stamp,
    remedy::{
        Remedy,
        hours::SURE_FOR_H,
        oil::{self, Grade},
    },
    sys::plant_folder,
};
use std::{
    collections::{BTreeMap, BTreeSet},
    path::Path,
    sync::LazyLock,
};
use uuid::Uuid;

const SEED: u64 = 7;
const DAYS: u32 = 90;
/// 2026-01-01, midnight, one hour ahead of UTC.
const START: Stamp = Stamp {
    utc_ms: 1_767_222_000_000,
    offset_min: 60,
};

static PLANT: LazyLock<Plant> = LazyLock::new(|| {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-plant");
    plant_folder(&folder).expect("no fault")
});

static VISITS: LazyLock<Vec<DemoVisit>> =
    LazyLock::new(|| history(&PLANT, SEED, START, DAYS).collect());

fn find(pump: &Pump, running: RunningState, id: CheckId) -> Option<Check> {
    check::list(pump, running)
        .into_iter()
        .find(|check| check.id == id)
}

/// Every entry with its verdict, judged as on a device: against limits and the pump's entry before.
fn judged() -> Vec<(&'static DemoVisit, CheckId, Verdict)> {
    let mut before: BTreeMap<(String, CheckId), (i64, Previous)> = BTreeMap::new();
    let mut verdicts = Vec::new();
    for visit in &*VISITS {
        let pump = PLANT.pump(&visit.pump).expect("a pump of the plant");
        for (id, entered) in &visit.entries {
            let check = find(pump, visit.running, *id).expect("a check of the pump");
            let key = (visit.pump.to_string(), *id);
            let previous = before.get(&key).map(|(at, previous)| Previous {
                hours_before: (visit.at.utc_ms - at) as f64 / 3.6e6,
                ..previous.clone()
            });
            let limits = PLANT.limits_of(&visit.pump, *id);
            let judgement = judge(&check.kind, entered, limits, previous.as_ref());
            verdicts.push((visit, *id, judgement.verdict));
            if let Some((value, unit)) = entered.measured() {
                let previous = Previous {
                    record: Uuid::from_u128(1),
                    value,
                    unit,
                    hours_before: 0.0,
                };
                before.insert(key, (visit.at.utc_ms, previous));
            }
        }
    }
    verdicts
}

#[test]
fn the_same_seed_gives_the_same_history_and_another_seed_another() {
    let again: Vec<_> = history(&PLANT, SEED, START, DAYS).collect();
    assert_eq!(*VISITS, again);
    let other: Vec<_> = history(&PLANT, SEED + 1, START, DAYS).collect();
    assert_ne!(*VISITS, other);
}

#[test]
fn the_history_is_as_long_as_promised_and_in_order() {
    let entries: usize = VISITS.iter().map(|visit| visit.entries.len()).sum();
    assert!((10_000..=14_000).contains(&entries), "{entries} entries");
    assert!(VISITS.is_sorted_by_key(|visit| visit.at));
    let last = VISITS.last().expect("a visit").at.utc_ms - START.utc_ms;
    assert!(
        (89 * 86_400_000..91 * 86_400_000).contains(&last),
        "{last} ms"
    );
    let pumps: BTreeSet<_> = VISITS.iter().map(|visit| &visit.pump).collect();
    assert_eq!(pumps.len(), PLANT.pumps.len());
    for device in [0, 1] {
        let share = VISITS.iter().filter(|visit| visit.device == device).count();
        assert!(share * 4 > VISITS.len(), "device {device}: {share}");
    }
    assert_eq!(history(&PLANT, SEED, START, 0).count(), 0);
}

#[test]
fn every_entry_belongs_to_a_check_of_its_pump_and_would_be_taken() {
    for visit in &*VISITS {
        let pump = PLANT.pump(&visit.pump).expect("a pump of the plant");
        assert!(!visit.entries.is_empty(), "{visit:?}");
        for (id, entered) in &visit.entries {
            let check = find(pump, visit.running, *id).expect("a check of the pump");
            assert_eq!(
                accept(&check.kind, entered.clone()),
                Ok(entered.clone()),
                "{} {id}",
                pump.id
            );
        }
    }
}

/// Three entries a minute and a walk of two minutes: common practice, no source.
#[test]
fn one_operator_is_at_one_pump_at_a_time_and_long_enough_for_its_entries() {
    let mut leaves: BTreeMap<u8, i64> = BTreeMap::new();
    for visit in &*VISITS {
        let at = visit.at.utc_ms;
        let put_right = &visit.put_right;
        let again: usize = put_right.iter().map(|right| right.again.len()).sum();
        let waited_min: i64 = put_right.iter().map(|right| 2 + right.wait_minutes).sum();
        let turned_min = i64::from(visit.turned.is_some());
        let busy_ms =
            20_000 * (visit.entries.len() + again) as i64 + (waited_min + turned_min) * 60_000;
        let left = leaves.insert(visit.device, at + busy_ms).unwrap_or(0);
        assert!(at - left >= 2 * 60_000, "{visit:?}");
    }
}

#[test]
fn every_trouble_shows_on_checks_that_its_pump_has() {
    for trouble in TROUBLES {
        let pump = PLANT
            .pump(&trouble.pump.parse().expect("pump id"))
            .expect("its pump");
        for id in trouble.checks() {
            let check = find(pump, RunningState::Running, id);
            assert!(check.is_some(), "{}: no {id}", pump.id);
        }
    }
}

#[test]
fn every_trouble_ends_out_of_limits_and_began_within_them() {
    let verdicts = judged();
    for trouble in TROUBLES {
        let begins = START.utc_ms + ((f64::from(DAYS) - trouble.begins) * 8.64e7) as i64;
        let of_trouble: Vec<_> = verdicts
            .iter()
            .filter(|(visit, id, _)| {
                visit.pump.as_str() == trouble.pump && trouble.checks().any(|of| of == *id)
            })
            .collect();
        let (before, since): (Vec<_>, Vec<_>) = of_trouble
            .iter()
            .partition(|(visit, ..)| visit.at.utc_ms < begins - 86_400_000);
        let out = |some: &[&&(_, _, Verdict)]| {
            some.iter().filter(|(_, _, v)| v.is_out_of_limits()).count()
        };
        assert!(
            out(&before) * 12 <= before.len(),
            "{}: {} of {}",
            trouble.pump,
            out(&before),
            before.len()
        );
        let latest = &since[since.len() - since.len().min(6)..];
        assert!(out(latest) >= 1, "{}: {latest:?}", trouble.pump);
    }
}

#[test]
fn pumps_without_trouble_are_in_limits_but_for_a_few_entries() {
    let (mut all, mut out) = (0, 0);
    for (visit, _, verdict) in judged() {
        if TROUBLES
            .iter()
            .all(|trouble| trouble.pump != visit.pump.as_str())
        {
            all += 1;
            out += usize::from(verdict.is_out_of_limits());
        }
    }
    assert!(out * 50 < all, "{out} of {all} entries are out of limits");
    assert!(out > 0);
}

#[test]
fn some_checks_are_missed_with_a_reason() {
    let missed = VISITS
        .iter()
        .flat_map(|visit| &visit.entries)
        .filter(|(_, entered)| matches!(entered, Entered::NotChecked { .. }))
        .count();
    assert!((30..300).contains(&missed), "{missed}");
}

#[test]
fn spare_pumps_take_turns() {
    assert!(
        VISITS
            .iter()
            .any(|visit| visit.running == RunningState::OutOfService)
    );
    for pump in PLANT.pumps.iter().filter(|pump| pump.spare.is_some()) {
        let states: BTreeSet<_> = VISITS
            .iter()
            .filter(|visit| visit.pump == pump.id)
            .map(|visit| visit.running == RunningState::Running)
            .collect();
        assert_eq!(states.len(), 2, "{} never changes over", pump.id);
    }
}

/// Hours are sure between sightings a day and some apart, or up to a start or stop: each pump has one or the other.
#[test]
fn every_pump_is_seen_often_enough_for_its_hours_to_be_known() {
    for pump in &PLANT.pumps {
        let of_pump: Vec<_> = VISITS
            .iter()
            .filter(|visit| visit.pump == pump.id)
            .collect();
        for pair in of_pump.windows(2) {
            let hours = (pair[1].at.utc_ms - pair[0].at.utc_ms) as f64 / 3.6e6;
            let runs = |visit: &DemoVisit| visit.running == RunningState::Running;
            let changed = runs(pair[0]) != runs(pair[1]);
            assert_eq!(pair[1].turned.is_some(), changed, "{:?}", pair[1]);
            assert!(hours <= SURE_FOR_H || changed, "{hours} h: {:?}", pair[1]);
        }
    }
}

#[test]
fn where_two_pumps_change_over_one_is_started_before_the_other_is_stopped() {
    let turned: Vec<_> = VISITS
        .iter()
        .filter(|visit| visit.turned.is_some())
        .collect();
    let group = |visit: &DemoVisit| {
        let pump = PLANT.pump(&visit.pump).expect("a pump of the plant");
        pump.spare.as_ref().map(|spare| spare.group.clone())
    };
    let mut changed = 0;
    for stop in turned.iter().filter(|visit| visit.turned == Some(false)) {
        let Some(of) = group(stop) else { continue };
        let started = turned.iter().filter(|visit| {
            let before_ms = stop.at.utc_ms - visit.at.utc_ms;
            visit.turned == Some(true)
                && group(visit).as_ref() == Some(&of)
                && (0..3_600_000).contains(&before_ms)
        });
        assert_eq!(started.count(), 1, "{stop:?}");
        changed += 1;
    }
    assert!(changed >= 20, "{changed}");
}

#[test]
fn what_is_put_right_can_be_done_at_its_pump_with_what_the_register_has() {
    let (mut greased, mut filled) = (0, 0);
    for visit in &*VISITS {
        let pump = PLANT.pump(&visit.pump).expect("a pump of the plant");
        for right in &visit.put_right {
            right.what.check(pump).expect("it can be done");
            match &right.what {
                Remedy::Grease { place, grade, .. } => {
                    let programme = pump.bearing(*place).and_then(|one| one.grease.as_ref());
                    assert_eq!(Some(grade), programme.map(|programme| &programme.grade));
                    greased += 1;
                }
                Remedy::TopUp { place, grade, .. } => {
                    assert_eq!(oil::grade(pump, *place, grade), Grade::Right);
                    filled += 1;
                }
                _ => {}
            }
        }
    }
    assert!(greased > 80 && filled > 50, "{greased} {filled}");
}

#[test]
fn the_log_goes_back_to_the_last_greasing_of_every_bearing_with_a_programme() {
    let log = log(&PLANT, SEED, START, DAYS);
    for pump in &PLANT.pumps {
        let with_programme = pump.bearings.iter().filter(|one| one.grease.is_some());
        let greased = log.greased.iter().filter(|(of, ..)| *of == pump.id);
        assert_eq!(greased.count(), with_programme.count(), "{}", pump.id);
        let mut turned = log.turned.iter().filter(|(of, ..)| *of == pump.id);
        assert!(turned.next().is_some(), "{}", pump.id);
    }
    let first = log.turned.iter().map(|(.., at)| at.utc_ms).min();
    for (pump, what, at) in &log.greased {
        assert!(
            Some(at.utc_ms) > first && at.utc_ms < START.utc_ms,
            "{pump} {what:?}"
        );
    }
}

#[test]
fn photos_can_be_taken_in_and_are_marked() {
    let mut seen = 0;
    for visit in &*VISITS {
        if let Some(picture) = &visit.photo {
            assert!(picture.jpeg.len() < 60_000, "{} bytes", picture.jpeg.len());
            photo::take_in(&picture.jpeg).expect("a picture");
            assert!(!picture.marks.is_empty() && !picture.words.is_empty());
            assert!(visit.entries.iter().any(|(id, _)| *id == picture.check));
            seen += 1;
        }
    }
    assert!(seen >= 5, "{seen} photos");
}

#[test]
fn another_plant_with_hardly_any_limits_gets_a_history_too() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/plant");
    let plant = plant_folder(&folder).expect("no fault");
    let mut entries = 0;
    for visit in history(&plant, SEED, START, 40) {
        let pump = plant.pump(&visit.pump).expect("a pump of the plant");
        for (id, entered) in &visit.entries {
            let check = find(pump, visit.running, *id).expect("a check of the pump");
            assert_eq!(
                accept(&check.kind, entered.clone()),
                Ok(entered.clone()),
                "{id}"
            );
            entries += 1;
        }
    }
    assert!(entries > 100, "{entries}");
}

#[test]
fn a_gland_gone_dry_stops_the_pump_at_the_end() {
    let stops: BTreeSet<_> = judged()
        .into_iter()
        .filter(|(_, _, verdict)| *verdict == Verdict::StopPump)
        .map(|(visit, id, _)| format!("{} {id}", visit.pump))
        .collect();
    assert_eq!(
        stops,
        BTreeSet::from(["ST-106 leak_off@seal_de".to_owned()])
    );
}
