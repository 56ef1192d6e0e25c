//! Rounds begun, laid aside, taken over, ended; on one device and on two that meet.

mod rounds_support;

use lantern_ring::{
    app::{
        AppError, BeginRound, Due, EndRound, PauseRound, ResumeRound, SetOperator, SkipStop, Stage,
        StopStanding, TakePlant,
    },
    plant::PumpId,
};
use rounds_support::{
    Device,
    app_support::{HOUR_MS, stamp},
    device, stock,
};
use uuid::Uuid;

#[test]
fn a_round_is_due_within_its_window_and_overdue_after_it() {
    let mut d = device("Shift A", 1);
    let due = |d: &mut Device| d.of_stock().due;
    assert_eq!(due(&mut d), Due::NeverWalked);
    d.begin();
    // Every eight hours, an hour before and after it: the demo plant's own words.
    assert_eq!(due(&mut d), Due::In(8.0));
    d.world.pass(7 * HOUR_MS);
    assert_eq!(due(&mut d), Due::Now(1.0));
    d.world.pass(2 * HOUR_MS);
    assert_eq!(due(&mut d), Due::Now(-1.0));
    d.world.pass(1);
    assert!(due(&mut d).is_overdue());
    d.world.pass(2 * HOUR_MS - 1);
    assert_eq!(due(&mut d), Due::Overdue(3.0));
    assert_eq!(due(&mut d).words(), "overdue by 3 h");
}

#[test]
fn what_is_due_first_comes_first() {
    let mut d = device("Shift A", 1);
    d.begin();
    let rounds = d.app.rounds_now().unwrap();
    assert_eq!(
        rounds.last().unwrap().round,
        stock(),
        "the others were never walked"
    );
}

#[test]
fn a_pump_scanned_out_of_order_counts_and_so_does_one_scanned_on_no_round() {
    let mut d = device("Shift A", 1);
    let run = d.begin();
    let stops = d.stops();
    d.visit(&stops[3], Some(stock()));
    d.visit(&stops[1], None);
    assert_eq!(d.visited(run), 2);
    assert_eq!(d.walk(run).next(), Some(&stops[0]));
}

#[test]
fn a_visit_from_before_the_round_is_no_stop_of_it() {
    let mut d = device("Shift A", 1);
    let stops = d.stops();
    d.visit(&stops[0], None);
    let run = d.begin();
    assert_eq!(d.visited(run), 0);
}

#[test]
fn a_round_under_way_is_not_begun_twice() {
    let mut d = device("Shift A", 1);
    let run = d.begin();
    assert_eq!(d.begin(), run);
    d.app.perform(PauseRound(run)).unwrap();
    assert_eq!(d.begin(), run, "laid aside is not over");
}

#[test]
fn a_round_is_laid_aside_and_taken_over_by_who_goes_on() {
    let mut d = device("Shift A", 1);
    let run = d.begin();
    d.app.perform(PauseRound(run)).unwrap();
    assert_eq!(d.walk(run).stage, Stage::Paused);
    d.app.perform(SetOperator("Shift B".to_owned())).unwrap();
    d.app.perform(ResumeRound(run)).unwrap();
    let walk = d.walk(run);
    assert_eq!((walk.stage, walk.by.as_str()), (Stage::UnderWay, "Shift B"));
}

#[test]
fn a_stop_is_passed_over_only_with_a_reason_and_only_on_its_round() {
    let mut d = device("Shift A", 1);
    let run = d.begin();
    let stops = d.stops();
    let skip = |pump: &PumpId, reason: &str| SkipStop {
        run,
        pump: pump.clone(),
        reason: reason.to_owned(),
    };
    let refused = d.app.perform(skip(&stops[0], "  ")).unwrap_err();
    assert!(
        matches!(refused, AppError::BadReason { chars: 0, .. }),
        "{refused}"
    );
    let stranger: PumpId = "BF-301A".parse().unwrap();
    let refused = d.app.perform(skip(&stranger, "too far")).unwrap_err();
    assert!(matches!(refused, AppError::NotOnRound(_)), "{refused}");
    d.app
        .perform(skip(&stops[0], "scaffold in the way"))
        .unwrap();
    let walk = d.walk(run);
    let StopStanding::Skipped { reason, by } = &walk.stops[0].standing else {
        panic!("{:?}", walk.stops[0]);
    };
    assert_eq!(
        (reason.as_str(), by.as_str()),
        ("scaffold in the way", "Shift A")
    );
}

#[test]
fn who_is_there_after_all_makes_the_stop_whatever_was_said_before() {
    let mut d = device("Shift A", 1);
    let run = d.begin();
    let stops = d.stops();
    d.app
        .perform(SkipStop {
            run,
            pump: stops[0].clone(),
            reason: "no time".to_owned(),
        })
        .unwrap();
    d.visit(&stops[0], Some(stock()));
    assert_eq!(d.visited(run), 1);
}

#[test]
fn a_round_ends_with_every_stop_made_or_explained() {
    let mut d = device("Shift A", 1);
    let run = d.begin();
    let stops = d.stops();
    d.visit(&stops[0], Some(stock()));
    let refused = d.app.perform(EndRound { run, rest: None }).unwrap_err();
    let AppError::Unexplained {
        stops: open,
        checks,
    } = &refused
    else {
        panic!("{refused}");
    };
    assert_eq!(open[..], stops[1..]);
    let missing = d.stop(run, &stops[0]).missing.len();
    assert_eq!(checks[..], [(stops[0].clone(), missing)]);
    assert_eq!(d.walk(run).stage, Stage::UnderWay, "nothing was written");
    assert!(refused.to_string().contains("are missing"), "{refused}");
    let rest = Some("called to the boiler".to_owned());
    d.app.perform(EndRound { run, rest }).unwrap();
    let walk = d.walk(run);
    assert_eq!((walk.stage, walk.open_stops().count()), (Stage::Ended, 0));
    let refused = d.app.perform(PauseRound(run)).unwrap_err();
    assert!(matches!(refused, AppError::RoundOver), "{refused}");
    d.visit(&stops[2], None);
    assert_eq!(d.visited(run), 1, "what comes after its end is not of it");
    assert_ne!(d.begin(), run, "the next walk is another");
}

#[test]
fn a_clock_set_back_during_a_round_turns_nothing_round() {
    let mut d = device("Shift A", 1);
    let run = d.begin();
    let stops = d.stops();
    d.world.set_now(stamp(-48));
    d.visit(&stops[0], Some(stock()));
    assert_eq!(
        d.visited(run),
        1,
        "the device's own order counts, not its clock"
    );
    d.app.perform(PauseRound(run)).unwrap();
    d.world.set_now(stamp(-72));
    d.app.perform(ResumeRound(run)).unwrap();
    assert_eq!(d.walk(run).stage, Stage::UnderWay);
}

#[test]
fn two_people_on_one_round_on_two_devices_make_it_together() {
    let mut planner = device("Planner", 9);
    let (mut a, mut b) = (device("Shift A / K.", 1), device("Shift A / M.", 2));
    let run = a.begin();
    a.send_to(&mut b);
    let stops = a.stops();
    assert_eq!(b.begin(), run, "the round under way is known there");
    a.visit(&stops[0], Some(stock()));
    b.visit(&stops[1], Some(stock()));
    b.app
        .perform(EndRound {
            run,
            rest: Some("shift over".to_owned()),
        })
        .unwrap();
    a.send_to(&mut planner);
    b.send_to(&mut planner);
    b.send_to(&mut a);
    let (at_planner, at_a) = (planner.walk(run), a.walk(run));
    assert_eq!(at_planner, at_a, "any order gives the same");
    assert_eq!(planner.visited(run), 2);
    assert_eq!(at_planner.stage, Stage::Ended);
}

#[test]
fn a_round_deleted_from_the_plant_while_under_way_can_be_ended() {
    let mut d = device("Shift A", 1);
    let run = d.begin();
    let stops = d.stops();
    d.visit(&stops[0], Some(stock()));
    let mut plant = d.app.register().unwrap().plant().clone();
    plant.version += 1;
    plant.rounds.retain(|round| round.id != stock());
    d.app.perform(TakePlant(plant)).unwrap();
    let walk = d.walk(run);
    assert_eq!(
        (walk.stage, walk.made()),
        (Stage::UnderWay, 1),
        "the stop made is known"
    );
    let now = d.of_stock();
    assert_eq!(now.due, Due::NotInPlant, "it is still told of");
    assert!(now.under_way.as_ref().is_some());
    let rest = Some("round given up".to_owned());
    d.app.perform(EndRound { run, rest }).unwrap();
    assert_eq!(d.walk(run).stage, Stage::Ended);
    let rounds = d.app.rounds_now().unwrap();
    assert!(rounds.iter().all(|now| now.round != stock()));
    let refused = d.app.perform(BeginRound(stock())).unwrap_err();
    let words = "its rounds are water, wet-end, boiler-house, chemicals";
    assert!(refused.to_string().contains(words), "{refused}");
}

#[test]
fn a_pump_taken_out_of_the_round_is_no_longer_waited_for() {
    let mut d = device("Shift A", 1);
    let run = d.begin();
    let gone = d.stops()[0].clone();
    let mut plant = d.app.register().unwrap().plant().clone();
    plant.version += 1;
    for round in &mut plant.rounds {
        round.stops.retain(|stop| *stop != gone);
    }
    d.app.perform(TakePlant(plant)).unwrap();
    assert!(d.walk(run).stops.iter().all(|stop| stop.pump != gone));
}

#[test]
fn a_walk_that_nobody_began_is_told() {
    let d = device("Shift A", 1);
    let refused = d.app.walk(Uuid::from_u128(5)).unwrap_err();
    assert!(refused.to_string().contains("begin the round"), "{refused}");
}
