//! Visits, corrections and findings through the one door.

mod app_support;

use app_support::{create, stamp, world};
use lantern_ring::{
    app::{
        Amend, App, AppError, Arrive, Enter, EntryTaken, SeeRunning, SetOperator, TakePlant,
        Withdraw,
    },
    check::{Entered, RunningState},
    judge::Verdict,
    plant::{CheckId, PumpId},
    record::HowFound,
    sys::StillWorld,
};
use tempfile::TempDir;
use uuid::Uuid;

struct Desk {
    app: App,
    world: StillWorld,
    _folder: TempDir,
}

fn desk() -> Desk {
    let folder = tempfile::tempdir().unwrap();
    let world = world(0, 1);
    let mut app = create(&folder.path().join("device.lantern"), world.clone());
    app.perform(SetOperator("Shift A".to_owned())).unwrap();
    Desk {
        app,
        world,
        _folder: folder,
    }
}

fn pump() -> PumpId {
    "ST-104A".parse().unwrap()
}

fn leak_off() -> CheckId {
    "leak_off@seal_de".parse().unwrap()
}

/// A device whose clock ran forty days ahead wrote an entry: nothing fell "in under a minute" since then.
#[test]
fn an_entry_is_not_compared_with_one_from_days_ahead() {
    let mut d = desk();
    let (good, bad) = d.good_and_bad();
    d.world.set_now(stamp(40 * 24));
    let ahead = d.arrive();
    assert!(d.count(ahead, bad).judgement.verdict.is_out_of_limits());
    d.world.set_now(stamp(0));
    let visit = d.arrive();
    let taken = d.count(visit, good);
    assert_eq!(
        taken.judgement.verdict,
        Verdict::InLimits,
        "{:?}",
        taken.judgement
    );
}

impl Desk {
    fn arrive(&mut self) -> Uuid {
        self.app
            .perform(Arrive {
                pump: pump(),
                found: HowFound::Scanned,
                round: None,
            })
            .unwrap()
    }

    fn count(&mut self, visit: Uuid, drops: u32) -> EntryTaken {
        let entered = Entered::Count {
            drops,
            seconds: 60.0,
        };
        self.app
            .perform(Enter {
                visit,
                check: leak_off(),
                entered,
            })
            .unwrap()
    }

    /// Drops in a minute that are just in limits, and just out of them.
    fn both_sides_of_the_bound(&self) -> (u32, u32) {
        let register = self.app.register().unwrap();
        let limits = register.plant().limits_of(&pump(), leak_off()).unwrap();
        let bound = limits.high_watch.unwrap() as u32;
        (bound - 3, bound + 3)
    }

    /// Drops in a minute that are in limits, and that are far out of them.
    fn good_and_bad(&self) -> (u32, u32) {
        let register = self.app.register().unwrap();
        let limits = register.plant().limits_of(&pump(), leak_off()).unwrap();
        let drops = |value: Option<f64>| value.unwrap() as u32;
        (drops(limits.low_watch) + 1, drops(limits.high_act) * 2)
    }
}

#[test]
fn coming_back_within_the_shift_goes_on_with_the_visit() {
    let mut desk = desk();
    let first = desk.arrive();
    desk.world.set_now(stamp(3));
    assert_eq!(desk.arrive(), first);
}

#[test]
fn a_visit_left_open_is_closed_when_the_next_shift_or_another_operator_comes() {
    let mut desk = desk();
    let first = desk.arrive();
    desk.world.set_now(stamp(13));
    let second = desk.arrive();
    assert_ne!(second, first);
    desk.app.perform(SetOperator("Shift B".to_owned())).unwrap();
    let third = desk.arrive();
    assert_ne!(third, second);
    let closed = |visit| {
        desk.app
            .store()
            .read()
            .visit(visit)
            .unwrap()
            .unwrap()
            .closed
            .is_some()
    };
    assert!(closed(first) && closed(second) && !closed(third));
}

#[test]
fn a_slip_put_right_goes_on_with_the_finding_it_seemed_to_end() {
    let mut desk = desk();
    let (good, bad) = desk.both_sides_of_the_bound();
    let visit = desk.arrive();
    let finding = desk.count(visit, bad).finding.unwrap();
    // A day after and a little less, so that the slip is no change too fast.
    desk.world.set_now(stamp(24));
    let slip = desk.count(visit, good);
    assert_eq!(slip.finding, None);
    let entered = Entered::Count {
        drops: bad,
        seconds: 60.0,
    };
    let right = desk
        .app
        .perform(Amend {
            record: slip.record,
            entered,
        })
        .unwrap();
    assert_eq!(right.finding, Some(finding));
}

#[test]
fn a_correction_is_judged_by_the_limits_that_held_when_it_was_seen() {
    let mut desk = desk();
    let (good, _) = desk.good_and_bad();
    let visit = desk.arrive();
    let entry = desk.count(visit, good);
    let mut plant = desk.app.register().unwrap().plant().clone();
    plant.version += 1;
    let limits = plant
        .limits
        .iter_mut()
        .find(|l| l.pump == pump() && l.check == leak_off())
        .unwrap();
    limits.version += 1;
    limits.low_watch = Some(f64::from(good) + 5.0);
    limits.target = None;
    desk.app.perform(TakePlant(plant)).unwrap();
    let entered = Entered::Count {
        drops: good + 1,
        seconds: 60.0,
    };
    let corrected = desk
        .app
        .perform(Amend {
            record: entry.record,
            entered,
        })
        .unwrap();
    assert_eq!(corrected.judgement.verdict, Verdict::InLimits);
    let next = desk.count(visit, good + 1);
    assert_eq!(
        next.judgement.verdict,
        Verdict::Watch,
        "a new entry is judged by the new limits"
    );
}

#[test]
fn what_was_entered_stays_in_sight_when_the_pump_turns_out_to_stand() {
    let mut desk = desk();
    let (good, _) = desk.good_and_bad();
    let visit = desk.arrive();
    let entry = desk.count(visit, good);
    desk.app
        .perform(SeeRunning {
            visit,
            running: RunningState::Standby,
        })
        .unwrap();
    let list = desk.app.checklist(visit).unwrap();
    let kept = list
        .checks
        .iter()
        .find(|state| state.check.id == leak_off())
        .unwrap();
    assert_eq!(kept.entry.as_ref().unwrap().record, entry.record);
    let entered = Entered::Count {
        drops: good + 1,
        seconds: 60.0,
    };
    let corrected = desk
        .app
        .perform(Amend {
            record: entry.record,
            entered,
        })
        .unwrap();
    desk.app
        .perform(Withdraw {
            record: corrected.record,
        })
        .unwrap();
}

#[test]
fn a_typed_pump_number_is_no_proof_of_presence() {
    let desk = desk();
    let register = desk.app.register().unwrap();
    let found = register.find_keyed("st-104a");
    assert_eq!(found, lantern_ring::app::Found::ByNumber(pump()));
}

#[test]
fn no_cup_is_held_under_a_seal_whose_liquid_burns_or_harms() {
    let mut d = desk();
    let mut caught = |pump: &str, check: &str| {
        let arrive = Arrive {
            pump: pump.parse().unwrap(),
            found: HowFound::Scanned,
            round: None,
        };
        let visit = d.app.perform(arrive).unwrap();
        let enter = Enter {
            visit,
            check: check.parse().unwrap(),
            entered: Entered::Stream {
                millilitres: 30.0,
                seconds: 20.0,
                drops_per_ml: None,
            },
        };
        let taken = d.app.perform(enter).map(|_| ());
        let list = d.app.checklist(visit).unwrap();
        let of_cup = list
            .checks
            .iter()
            .find(|state| state.check.id.to_string() == check);
        (taken, of_cup.unwrap().hands_off)
    };
    // Caustic, and boiler feed water.
    for pump in ["CH-501A", "BF-301A"] {
        let (taken, hands_off) = caught(pump, "seal_leak@seal_de");
        assert!(
            matches!(taken, Err(AppError::HoldNoCup)),
            "{pump}: {taken:?}"
        );
        assert!(hands_off);
    }
    let (taken, hands_off) = caught("ST-104A", "leak_off@seal_de");
    assert!(taken.is_ok() && !hands_off);
}
