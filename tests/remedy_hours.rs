//! Running hours, evening out, and what is due.

mod remedy_support;

use lantern_ring::{
    plant::Place,
    remedy::{
        CannotTell,
        due::{Job, Standing, due, greasings},
        hours::{Evening, Member, Ran, RunEvent, RunningHours, Unknown, even_out, running_hours},
    },
};
use proptest::prelude::*;
use remedy_support::{DAY_MS, HOUR_MS, at};

fn hours(events: &[RunEvent], from_h: i64, to_h: i64) -> RunningHours {
    running_hours(events, from_h * HOUR_MS, to_h * HOUR_MS).unwrap()
}

fn whys(hours: &RunningHours) -> Vec<Unknown> {
    hours.gaps.iter().map(|gap| gap.why).collect()
}

#[test]
fn between_a_start_and_a_stop_it_ran() {
    let events = [
        at(10, Ran::Started),
        at(110, Ran::Stopped),
        at(200, Ran::Started),
        at(250, Ran::Stopped),
    ];
    let ran = hours(&events, 10, 250);
    assert_eq!((ran.low_h, ran.likely_h, ran.high_h), (150.0, 150.0, 150.0));
    assert_eq!(ran.gaps, []);
    assert_eq!(ran.words(), "150 h");
    // A part of the span.
    assert_eq!(hours(&events, 100, 220).low_h, 30.0);
    // In any order.
    let mixed = [events[2], events[0], events[3], events[1]];
    assert_eq!(hours(&mixed, 10, 250), ran);
}

#[test]
fn seen_running_then_standing_without_a_stop_leaves_the_hours_open() {
    let events = [
        at(0, Ran::Started),
        at(8, Ran::SeenRunning),
        at(16, Ran::SeenStanding),
        at(20, Ran::Started),
        at(24, Ran::Stopped),
    ];
    let ran = hours(&events, 0, 24);
    assert_eq!((ran.low_h, ran.likely_h, ran.high_h), (12.0, 16.0, 20.0));
    assert_eq!(whys(&ran), [Unknown::Changed]);
    assert_eq!(
        ran.words(),
        "12 to 20 h (not known: started or stopped without an entry)"
    );
}

#[test]
fn sightings_far_apart_say_nothing_of_the_time_between() {
    let near = [at(0, Ran::SeenRunning), at(24, Ran::SeenRunning)];
    assert_eq!(hours(&near, 0, 24).low_h, 24.0);
    let far = [at(0, Ran::SeenRunning), at(100, Ran::SeenRunning)];
    let ran = hours(&far, 0, 100);
    assert_eq!((ran.low_h, ran.likely_h, ran.high_h), (0.0, 100.0, 100.0));
    assert_eq!(whys(&ran), [Unknown::NotSeen]);
    let stood = [at(0, Ran::SeenStanding), at(100, Ran::SeenStanding)];
    let ran = hours(&stood, 0, 100);
    assert_eq!((ran.low_h, ran.likely_h, ran.high_h), (0.0, 0.0, 100.0));
    // An entered start reaches to the sighting that agrees with it.
    let started = [at(0, Ran::Started), at(100, Ran::SeenRunning)];
    assert_eq!(hours(&started, 0, 100).low_h, 100.0);
}

#[test]
fn before_the_first_entry_and_since_the_newest_nothing_is_sure() {
    let events = [at(10, Ran::Started), at(20, Ran::SeenRunning)];
    let ran = hours(&events, 0, 30);
    assert_eq!((ran.low_h, ran.likely_h, ran.high_h), (10.0, 20.0, 30.0));
    assert_eq!(whys(&ran), [Unknown::BeforeFirst, Unknown::SinceLast]);
    let ran = hours(&[], 0, 30);
    assert_eq!((ran.low_h, ran.high_h), (0.0, 30.0));
    assert_eq!(whys(&ran), [Unknown::BeforeFirst]);
}

#[test]
fn entries_that_contradict_each_other_leave_a_gap() {
    let twice = [
        at(0, Ran::Started),
        at(10, Ran::Started),
        at(20, Ran::Stopped),
    ];
    let ran = hours(&twice, 0, 20);
    assert_eq!((ran.low_h, ran.high_h), (10.0, 20.0));
    assert_eq!(whys(&ran), [Unknown::Changed]);
}

#[test]
fn a_span_that_ends_before_it_begins_blames_the_clock() {
    let told = running_hours(&[], 10, 5).unwrap_err();
    assert_eq!(told, CannotTell::SpanBackwards);
    assert!(told.to_string().contains("clock"));
    let whole = running_hours(&[at(0, Ran::Started)], i64::MIN, i64::MAX).unwrap();
    assert!(whole.high_h.is_finite());
}

fn member(pump: &str, low_h: f64, high_h: f64, runs: bool) -> Member {
    Member {
        pump: serde_json::from_value(pump.into()).unwrap(),
        hours: RunningHours {
            low_h,
            likely_h: (low_h + high_h) / 2.0,
            high_h,
            gaps: Vec::new(),
        },
        runs,
        may_run: true,
    }
}

#[test]
fn a_pump_surely_ahead_is_changed_over() {
    let duty = member("P-1A", 5000.0, 5100.0, true);
    let spare = member("P-1B", 1000.0, 1000.0, false);
    let told = even_out(&[duty.clone(), spare.clone()], 200.0).unwrap();
    assert_eq!(
        told.words(),
        "P-1A is ahead of P-1B by 4000 to 4100 h: change over to P-1B by your plant's procedure."
    );
    let kept_out = Member {
        may_run: false,
        ..spare.clone()
    };
    assert_eq!(
        even_out(&[duty.clone(), kept_out], 200.0),
        Ok(Evening::Leave)
    );
    let close = member("P-1B", 4900.0, 4900.0, false);
    assert_eq!(even_out(&[duty.clone(), close], 200.0), Ok(Evening::Leave));
    let unsure = member("P-1B", 0.0, 5000.0, false);
    assert!(matches!(
        even_out(&[duty.clone(), unsure], 200.0),
        Ok(Evening::NotKnown { .. })
    ));
    // The pump that runs has fewer hours already.
    let behind = member("P-1B", 9000.0, 9000.0, false);
    assert_eq!(even_out(&[duty, behind], 200.0), Ok(Evening::Leave));
    assert!(even_out(&[], f64::NAN).is_err());
}

fn job(
    what: &str,
    every_running_hours: Option<f64>,
    every_days: Option<f64>,
    last_h: Option<i64>,
) -> Job {
    Job {
        place: Place::PumpDe,
        what: what.to_owned(),
        every_running_hours,
        every_days,
        last_ms: last_h.map(|h| h * HOUR_MS),
    }
}

#[test]
fn what_is_overdue_comes_first() {
    let events = [at(0, Ran::Started), at(1000, Ran::Stopped)];
    let jobs = [
        job("not yet", Some(4000.0), None, Some(0)),
        job("never", None, Some(7.0), None),
        job("overdue by hours", Some(500.0), Some(365.0), Some(0)),
        job("overdue by days", Some(4000.0), Some(10.0), Some(0)),
        job("soon", Some(1050.0), None, Some(0)),
        job("clock", None, Some(7.0), Some(2000)),
    ];
    let found = due(&jobs, &events, 1000 * HOUR_MS).unwrap();
    let order: Vec<_> = found
        .iter()
        .map(|due| (due.job.what.as_str(), due.standing))
        .collect();
    assert_eq!(
        order,
        [
            ("overdue by days", Standing::Overdue),
            ("overdue by hours", Standing::Overdue),
            ("never", Standing::NeverDone),
            ("soon", Standing::Soon),
            ("not yet", Standing::NotYet),
            ("clock", Standing::ClockWrong),
        ]
    );
    assert_eq!(
        found[1].words,
        "overdue by 500 running hours (every 500); due in 323 days (every 365)"
    );
    assert_eq!(found[4].words, "due in 3000 running hours (every 4000)");
    assert!(found[5].words.contains("clock"));
}

#[test]
fn hours_that_are_not_known_make_it_perhaps_overdue() {
    let events = [
        at(0, Ran::Started),
        at(400, Ran::SeenRunning),
        at(600, Ran::SeenStanding),
        at(601, Ran::SeenStanding),
    ];
    let found = due(
        &[job("grease", Some(500.0), None, Some(0))],
        &events,
        601 * HOUR_MS,
    )
    .unwrap();
    assert_eq!(found[0].standing, Standing::Perhaps);
    assert_eq!(
        found[0].words,
        "400 to 600 of 500 running hours used up: perhaps overdue"
    );
}

#[test]
fn the_registers_greasings_come_due_by_hours_and_days() {
    let cup = remedy_support::pump("CH-507");
    let jobs = greasings(&cup, |place| (place == Place::PumpDe).then_some(0));
    let found = due(&jobs, &[], 8 * DAY_MS).unwrap();
    let told: Vec<_> = found
        .iter()
        .map(|due| (due.job.what.as_str(), due.standing, due.words.as_str()))
        .collect();
    assert_eq!(
        told[0],
        (
            "Grease, Pump DE",
            Standing::Overdue,
            "overdue by 1 days (every 7)"
        )
    );
    assert_eq!(
        (told[1].0, told[1].1),
        ("Grease, Pump NDE", Standing::NeverDone)
    );
    assert_eq!(told.len(), 2, "sealed bearings are not greased");
}

#[test]
fn a_job_without_an_interval_says_what_the_planner_has_to_set() {
    let told = due(&[job("grease", None, None, Some(0))], &[], 0).unwrap_err();
    assert!(matches!(told, CannotTell::NotInRegister { .. }), "{told}");
    for every in [0.0, -1.0, f64::NAN] {
        let told = due(&[job("grease", Some(every), None, Some(0))], &[], 0);
        assert!(matches!(told, Err(CannotTell::Number { .. })), "{every}");
    }
}

fn events() -> impl Strategy<Value = Vec<RunEvent>> {
    let ran = prop_oneof![
        Just(Ran::Started),
        Just(Ran::Stopped),
        Just(Ran::SeenRunning),
        Just(Ran::SeenStanding)
    ];
    let event = (0..60 * DAY_MS, ran).prop_map(|(at_ms, ran)| RunEvent { at_ms, ran });
    proptest::collection::vec(event, 0..20)
}

proptest! {
    #[test]
    fn hours_of_adjacent_spans_add_up(events in events(), mut at in [0..70 * DAY_MS, 0..70 * DAY_MS, 0..70 * DAY_MS]) {
        at.sort_unstable();
        let of = |from, to| running_hours(&events, from, to).unwrap();
        let (one, next, both) = (of(at[0], at[1]), of(at[1], at[2]), of(at[0], at[2]));
        prop_assert!((one.low_h + next.low_h - both.low_h).abs() < 1e-6);
        prop_assert!((one.likely_h + next.likely_h - both.likely_h).abs() < 1e-6);
        prop_assert!((one.high_h + next.high_h - both.high_h).abs() < 1e-6);
    }

    #[test]
    fn low_is_at_most_likely_at_most_high_at_most_the_span(events in events(), from in 0..70 * DAY_MS, span in 0..70 * DAY_MS) {
        let ran = running_hours(&events, from, from + span).unwrap();
        let span_h = span as f64 / HOUR_MS as f64;
        prop_assert!(0.0 <= ran.low_h && ran.low_h <= ran.likely_h + 1e-9);
        prop_assert!(ran.likely_h <= ran.high_h + 1e-9 && ran.high_h <= span_h + 1e-6);
        let gaps_h: f64 = ran.gaps.iter().map(|gap| (gap.to_ms - gap.from_ms) as f64 / HOUR_MS as f64).sum();
        prop_assert!((ran.high_h - ran.low_h - gaps_h).abs() < 1e-6, "the gaps are what is not known");
    }

    #[test]
    fn what_is_due_does_not_depend_on_the_order_of_jobs(
        events in events(),
        every in proptest::collection::vec((1.0..2000.0_f64, 1.0..90.0_f64, 0..1440_i64), 1..8),
    ) {
        let mut jobs: Vec<_> = every
            .iter()
            .enumerate()
            .map(|(i, (h, d, last))| job(&i.to_string(), Some(*h), Some(*d), Some(*last)))
            .collect();
        let names = |jobs: &[Job]| -> Vec<String> {
            due(jobs, &events, 60 * DAY_MS).unwrap().into_iter().map(|due| due.job.what).collect()
        };
        let found = names(&jobs);
        jobs.reverse();
        prop_assert_eq!(names(&jobs), found);
        let standings: Vec<_> = due(&jobs, &events, 60 * DAY_MS).unwrap().iter().map(|due| due.standing).collect();
        prop_assert!(standings.is_sorted_by(|one, next| one >= next));
    }
}
