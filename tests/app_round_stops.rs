//! When a stop of a round is made, what is missing there and why; and walks that nobody ended.

mod rounds_support;

use lantern_ring::{
    app::{Due, EndRound, Left, OpenVisit, ResumeRound, SkipStop, Stage, StopStanding},
    check::{Entered, EntryKind, RunningState},
    plant::{CheckId, PumpId},
    record::HowFound,
};
use rounds_support::{
    Device,
    app_support::{HOUR_MS, stamp},
    device, lamp_out, stock,
};
use uuid::Uuid;

fn skip(d: &mut Device, run: Uuid, pump: &PumpId, reason: &str) {
    d.app
        .perform(SkipStop {
            run,
            pump: pump.clone(),
            reason: reason.to_owned(),
        })
        .unwrap();
}

fn end(d: &mut Device, run: Uuid, rest: &str) {
    let rest = Some(rest.to_owned());
    d.app.perform(EndRound { run, rest }).unwrap();
}

/// The checks of a visit that a stop asks for.
fn asked(d: &Device, visit: Uuid) -> Vec<CheckId> {
    let list = d.app.checklist(visit).unwrap();
    let walk = list.checks.iter().take(list.walk);
    walk.filter(|state| state.check.kind != EntryKind::Words)
        .map(|state| state.check.id)
        .collect()
}

fn remark(d: &mut Device, visit: Uuid) {
    let check = "remark@pump".parse().unwrap();
    let text = "Looked in.".to_owned();
    d.enter(visit, check, Entered::Words { text });
}

#[test]
fn a_stop_is_being_visited_until_its_visit_has_all_it_asks_for_or_is_closed() {
    let mut d = device("Shift A", 1);
    let run = d.begin();
    let pump = d.stops()[0].clone();
    let visit = d.arrive(&pump, None);
    let checks = asked(&d, visit);
    for (entered, check) in checks.iter().enumerate() {
        let stop = d.stop(run, &pump);
        assert!(
            matches!(&stop.standing, StopStanding::BeingVisited { by, .. } if by == "Shift A"),
            "{stop:?}"
        );
        assert_eq!(stop.missing, checks[entered..]);
        d.enter(visit, *check, lamp_out());
    }
    let stop = d.stop(run, &pump);
    assert!(stop.is_made() && stop.missing.is_empty(), "{stop:?}");
    assert_eq!(stop.words(), "made");
    assert_eq!(stop.passed_over.len(), checks.len());
    assert_eq!(stop.passed_over[0].1, "lamp out");
}

#[test]
fn a_stop_left_early_is_made_and_says_what_is_missing() {
    let mut d = device("Shift A", 1);
    let run = d.begin();
    let pump = d.stops()[0].clone();
    d.visit(&pump, None);
    let stop = d.stop(run, &pump);
    assert!(stop.is_made());
    assert_eq!(stop.missing.len(), stop.asked - 1);
    assert_eq!(stop.words(), format!("made, 1 of {} checks", stop.asked));
}

#[test]
fn neither_a_remark_nor_a_visit_without_an_entry_makes_a_stop() {
    let mut d = device("Shift A", 1);
    let run = d.begin();
    let stops = d.stops();
    let visit = d.arrive(&stops[0], None);
    remark(&mut d, visit);
    d.leave(visit);
    let visit = d.arrive(&stops[1], None);
    d.leave(visit);
    assert_eq!(d.stop(run, &stops[0]).standing, StopStanding::Open);
    assert_eq!(d.stop(run, &stops[1]).standing, StopStanding::Open);
}

#[test]
fn each_stop_says_what_its_pump_is_doing() {
    let mut d = device("Shift A", 1);
    let run = d.begin();
    let standby: PumpId = "ST-104B".parse().unwrap();
    let before = d.stop(run, &standby);
    assert_eq!(before.running, RunningState::Standby, "by the register");
    d.app
        .perform(OpenVisit {
            pump: standby.clone(),
            running: RunningState::Running,
            found: HowFound::Scanned,
            round: None,
        })
        .unwrap();
    let after = d.stop(run, &standby);
    assert_eq!(after.running, RunningState::Running, "as it was seen");
    assert!(
        after.asked > before.asked,
        "a running pump has more to be looked at"
    );
}

#[test]
fn a_scan_on_no_round_is_made_on_the_round_under_way_that_passes_the_pump() {
    let mut d = device("Shift A", 1);
    let stops = d.stops();
    let round_of =
        |d: &Device, visit: Uuid| d.app.store().read().visit(visit).unwrap().unwrap().round;
    let visit = d.arrive(&stops[2], None);
    assert_eq!(round_of(&d, visit), None, "nobody has begun it");
    d.leave(visit);
    d.begin();
    let visit = d.arrive(&stops[4], None);
    assert_eq!(round_of(&d, visit), Some(stock()));
    let visit = d.arrive(&"BF-301A".parse().unwrap(), None);
    assert_eq!(round_of(&d, visit), None, "not a stop of it");
}

#[test]
fn at_the_end_every_stop_and_check_not_made_has_its_reason() {
    let mut d = device("Shift A", 1);
    let run = d.begin();
    let stops = d.stops();
    d.visit(&stops[0], None);
    d.visit(&stops[1], None);
    skip(&mut d, run, &stops[1], "called away there");
    skip(&mut d, run, &stops[2], "scaffold in the way");
    end(&mut d, run, "shift over");
    let walk = d.walk(run);
    let left = walk.left_out();
    assert!(left.iter().all(|left| left.why.is_some()), "{left:?}");
    let of = |pump: &PumpId| -> Vec<(&str, bool)> {
        let of_it = left.iter().filter(|left| left.pump == pump);
        of_it
            .map(|left| (left.why.unwrap(), left.what == Left::Stop))
            .collect()
    };
    assert_eq!(of(&stops[0]), [("lamp out", false), ("shift over", false)]);
    assert_eq!(
        of(&stops[1]),
        [("lamp out", false), ("called away there", false)]
    );
    assert_eq!(of(&stops[2]), [("scaffold in the way", true)]);
    assert_eq!(of(&stops[3]), [("shift over", true)]);
    assert!(walk.stops.iter().all(|stop| !stop.is_unexplained()));
}

#[test]
fn a_walk_that_nobody_ended_is_left_lying_after_two_intervals_and_in_nobody_s_way() {
    let mut d = device("Shift A", 1);
    let forgotten = d.begin();
    d.world.pass(16 * HOUR_MS);
    assert_eq!(
        d.begin(),
        forgotten,
        "after two intervals of eight hours to the hour"
    );
    d.world.pass(1);
    let now = d.of_stock();
    assert!(now.under_way.is_none());
    assert_eq!(now.left_lying.len(), 1);
    let run = d.begin();
    assert_ne!(run, forgotten);
    let first = d.stops()[0].clone();
    d.visit(&first, None);
    let now = d.of_stock();
    assert_eq!(now.under_way.as_ref().unwrap().run, run);
    assert_eq!(now.left_lying[0].run, forgotten);
    assert_eq!(
        d.walk(forgotten).made(),
        0,
        "what came after it lay is not of it"
    );
    end(&mut d, forgotten, "nobody knows");
    assert!(d.of_stock().left_lying.is_empty());
    assert_eq!(d.walk(run).stage, Stage::UnderWay, "that is another walk");
}

#[test]
fn who_goes_on_with_a_walk_left_lying_takes_it_up_anew() {
    let mut d = device("Shift A", 1);
    let run = d.begin();
    d.world.pass(30 * HOUR_MS);
    assert_eq!(d.app.walk_under_way(&stock()).unwrap().run, run);
    d.app.perform(ResumeRound(run)).unwrap();
    let now = d.of_stock();
    assert_eq!(now.under_way.as_ref().unwrap().run, run);
    assert!(now.left_lying.is_empty());
}

#[test]
fn a_walk_begun_by_a_clock_far_ahead_does_not_stay_under_way_until_that_time_comes() {
    let mut d = device("Shift A", 1);
    d.world.set_now(stamp(24 * 365));
    d.begin();
    d.world.set_now(stamp(0));
    let now = d.of_stock();
    assert!(now.under_way.is_none() && now.left_lying.len() == 1);
    assert_eq!(now.due, Due::Now(0.0));
}

#[test]
fn two_who_began_one_round_without_knowing_of_each_other_are_on_one_walk_once_they_meet() {
    let (mut a, mut b) = (device("Shift A / K.", 1), device("Shift A / M.", 2));
    let first = a.begin();
    b.world.pass(HOUR_MS / 2);
    let second = b.begin();
    let stops = a.stops();
    a.visit(&stops[0], None);
    b.visit(&stops[1], None);
    a.send_to(&mut b);
    b.send_to(&mut a);
    for d in [&mut a, &mut b] {
        assert_eq!(
            d.of_stock().under_way.as_ref().unwrap().run,
            first,
            "the earlier, on either"
        );
        assert_eq!(d.walk(first).made(), 2);
    }
    end(&mut b, first, "shift over");
    for run in [first, second] {
        assert_eq!(b.walk(run).stage, Stage::Ended, "one round has one end");
    }
    assert!(b.of_stock().under_way.is_none());
    b.send_to(&mut a);
    assert_eq!(a.walk(first), b.walk(first));
    assert_eq!(a.walk(second), b.walk(second));
}

#[test]
fn a_busy_pump_s_stop_is_found_behind_any_number_of_later_visits() {
    let mut d = device("Shift A", 1);
    let run = d.begin();
    let pump = d.stops()[0].clone();
    d.visit(&pump, None);
    for _ in 0..30 {
        let visit = d.arrive(&pump, None);
        d.leave(visit);
    }
    assert!(d.stop(run, &pump).is_made());
}
