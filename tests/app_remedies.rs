//! What is put right: written down, refused, waited for, proved; on a device that sleeps, restarts or has its clock set.

mod app_support;
mod put_right_support;

use app_support::stamp;
use lantern_ring::{
    app::{
        App, AppError, CloseVisit, Enter, OpenFinding, ProofStanding, PutRight, RemediesOf,
        TakeBackRemedy,
    },
    judge::Verdict,
    plant::Place,
    record::Stamp,
    remedy::{Remedy, Turn, compared::Effect},
};
use put_right_support::{Device, LEAK_OFF, MINUTE_MS, check, count, device, nuts, pump};

/// The limits of ST-104A are 12 to 38 drops/min, those beyond to be acted on from 76 on.
#[test]
fn a_gland_taken_up_over_two_waits_ends_in_limits_and_says_what_changed() {
    let mut d = device();
    let visit = d.arrive("ST-104A");
    assert_eq!(d.enter(visit, LEAK_OFF, count(120)), Verdict::Act);
    let mut before = 120.0;
    for (after, verdict) in [(60, Verdict::Watch), (28, Verdict::InLimits)] {
        let (first, warnings) = d
            .put_right("ST-104A", nuts(Turn::Tighten, &[1, 1]))
            .unwrap();
        assert!(warnings.is_empty(), "{warnings:?}");
        assert_eq!(
            d.proof(first, LEAK_OFF).standing,
            ProofStanding::Waiting(10.0)
        );
        d.minutes(4);
        assert_eq!(
            d.proof(first, LEAK_OFF).standing,
            ProofStanding::Waiting(6.0)
        );
        assert_eq!(d.app.waits().unwrap()[0].row.remedy, first);
        d.minutes(6);
        assert_eq!(d.proof(first, LEAK_OFF).standing, ProofStanding::Due);
        assert_eq!(d.enter(visit, LEAK_OFF, count(after)), verdict);
        let ProofStanding::Made(made) = d.proof(first, LEAK_OFF).standing else {
            panic!("not made")
        };
        let compared = made.compared.clone().unwrap().unwrap();
        assert_eq!(compared.effect, Effect::Better);
        let said = format!("{before} drops/min before, {after} after");
        assert!(made.words().contains(&said), "{}", made.words());
        let all = d.app.remedy_now(first).unwrap().proved_words();
        let still = "Still to be made: Gland square, Seal DE; Gland heat";
        assert!(all.contains(&said) && all.contains(still), "{all}");
        before = f64::from(after);
    }
    let last = d
        .app
        .remedies_now(RemediesOf::Pump(&pump("ST-104A")))
        .unwrap();
    let newest = &last[0];
    let words: Vec<_> = newest
        .proofs
        .iter()
        .filter_map(|proof| match &proof.standing {
            ProofStanding::Made(made) => Some(made.words()),
            _ => None,
        })
        .collect();
    assert!(
        words[0].ends_with("In limits again: it did it."),
        "{words:?}"
    );
    let trend = d
        .app
        .trend(&pump("ST-104A"), check(LEAK_OFF))
        .unwrap()
        .unwrap();
    assert_eq!(trend.remedies.len(), 2, "both are marked");
}

#[test]
fn what_was_put_right_is_listed_by_pump_visit_finding_and_time() {
    let mut d = device();
    let visit = d.arrive("ST-104A");
    let entered = Enter {
        visit,
        check: check(LEAK_OFF),
        entered: count(120),
    };
    let finding = d.app.perform(entered).unwrap().finding.unwrap();
    d.minutes(1);
    let right = PutRight {
        pump: pump("ST-104A"),
        visit: Some(visit),
        finding: Some(finding),
        what: nuts(Turn::Tighten, &[1, 1]),
        done_at: None,
    };
    let taken = d.app.perform(right).unwrap();
    let of_pump = d
        .app
        .remedies_of(RemediesOf::Pump(&pump("ST-104A")))
        .unwrap();
    assert_eq!(of_pump.len(), 1);
    assert_eq!(of_pump[0].remedy, taken.remedy);
    assert_eq!(of_pump[0].by, "Shift A");
    assert_eq!(
        of_pump[0].words(),
        "Tightened each of 2 gland nuts 1 flat, Seal DE."
    );
    for of in [RemediesOf::Visit(visit), RemediesOf::Finding(finding)] {
        assert_eq!(d.app.remedies_of(of).unwrap(), of_pump);
    }
    let (from, to) = (stamp(0).utc_ms, stamp(1).utc_ms);
    assert_eq!(d.app.remedies_between(from, to).unwrap(), of_pump);
    assert!(d.app.remedies_between(to, to + 1).unwrap().is_empty());
    let other = d.app.remedies_of(RemediesOf::Pump(&pump("ST-106")));
    assert!(other.unwrap().is_empty());
}

#[test]
fn a_wait_goes_on_in_a_program_begun_anew_and_is_over_after_a_sleep() {
    let Device {
        mut app,
        world,
        path,
        folder,
    } = device();
    let right = PutRight {
        pump: pump("ST-104A"),
        visit: None,
        finding: None,
        what: nuts(Turn::Ease, &[1, 1]),
        done_at: None,
    };
    let remedy = app.perform(right).unwrap().remedy;
    drop(app);
    world.pass(3 * MINUTE_MS);
    let app = App::open(&path, Box::new(world.clone())).unwrap();
    let mut d = Device {
        app,
        world,
        path,
        folder,
    };
    assert_eq!(
        d.proof(remedy, LEAK_OFF).standing,
        ProofStanding::Waiting(7.0)
    );
    assert_eq!(d.app.waits().unwrap().len(), 1);
    d.minutes(180);
    assert_eq!(
        d.proof(remedy, LEAK_OFF).standing,
        ProofStanding::Due,
        "time passed while the device slept"
    );
    d.minutes(24 * 60);
    assert_eq!(d.proof(remedy, LEAK_OFF).standing, ProofStanding::Passed);
    assert!(d.app.waits().unwrap().is_empty(), "after a day it is over");
}

#[test]
fn a_clock_set_back_is_told_and_the_recount_counts_all_the_same() {
    let mut d = device();
    let visit = d.arrive("ST-104A");
    d.enter(visit, LEAK_OFF, count(60));
    d.minutes(1);
    let (remedy, _) = d
        .put_right("ST-104A", nuts(Turn::Tighten, &[1, 1]))
        .unwrap();
    d.world.set_now(Stamp {
        utc_ms: stamp(0).utc_ms - 3_600_000,
        ..stamp(0)
    });
    assert_eq!(
        d.proof(remedy, LEAK_OFF).standing,
        ProofStanding::ClockSetBack
    );
    assert!(
        d.app.waits().unwrap()[0].is_open(),
        "it is still waited for"
    );
    d.enter(visit, LEAK_OFF, count(30));
    let proof = d.proof(remedy, LEAK_OFF);
    let ProofStanding::Made(made) = proof.standing else {
        panic!("{proof:?}")
    };
    assert_eq!(
        made.compared.clone().unwrap().unwrap().effect,
        Effect::Better
    );
    let told = made.words();
    assert!(told.contains("60 drops/min before, 30 after"), "{told}");
}

#[test]
fn a_count_too_early_is_shown_and_asked_for_again() {
    let mut d = device();
    let visit = d.arrive("ST-104A");
    d.enter(visit, LEAK_OFF, count(60));
    let (remedy, _) = d
        .put_right("ST-104A", nuts(Turn::Tighten, &[1, 1]))
        .unwrap();
    d.minutes(3);
    d.enter(visit, LEAK_OFF, count(30));
    let proof = d.proof(remedy, LEAK_OFF);
    assert_eq!(proof.standing, ProofStanding::Waiting(7.0));
    let early = proof.too_early.unwrap().words_too_early();
    assert!(
        early.contains("Made before the wait was over, so it proves nothing yet"),
        "{early}"
    );
    d.minutes(7);
    d.enter(visit, LEAK_OFF, count(33));
    let proof = d.proof(remedy, LEAK_OFF);
    assert!(proof.too_early.is_none());
    assert!(matches!(proof.standing, ProofStanding::Made(made)
        if made.entry.entry.entered == count(33)));
}

#[test]
fn of_two_turns_one_after_the_other_only_the_last_is_still_to_be_proved() {
    let mut d = device();
    let (first, _) = d
        .put_right("ST-104A", nuts(Turn::Tighten, &[1, 1]))
        .unwrap();
    d.minutes(2);
    let (second, _) = d
        .put_right("ST-104A", nuts(Turn::Tighten, &[1, 1]))
        .unwrap();
    assert_eq!(d.proof(first, LEAK_OFF).standing, ProofStanding::Passed);
    assert_eq!(
        d.proof(second, LEAK_OFF).standing,
        ProofStanding::Waiting(10.0)
    );
}

#[test]
fn what_belongs_elsewhere_or_to_a_time_to_come_is_refused() {
    let mut d = device();
    let elsewhere = d.arrive("ST-106");
    let opened = OpenFinding {
        pump: pump("ST-106"),
        visit: None,
        severity: Verdict::Watch,
        words: "Guard rattles.".to_owned(),
        cause: None,
    };
    let finding = d.app.perform(opened).unwrap();
    let right = PutRight {
        pump: pump("ST-104A"),
        visit: None,
        finding: None,
        what: Remedy::Vent,
        done_at: None,
    };
    for wrong in [
        PutRight {
            visit: Some(elsewhere),
            ..right.clone()
        },
        PutRight {
            finding: Some(finding),
            ..right.clone()
        },
    ] {
        let why = d.app.perform(wrong).unwrap_err();
        assert!(matches!(why, AppError::AtOtherPump(_)), "{why}");
    }
    let later = PutRight {
        done_at: Some(stamp(5)),
        ..right.clone()
    };
    let why = d.app.perform(later).unwrap_err();
    assert!(matches!(why, AppError::DoneLater), "{why}");
    d.app.perform(CloseVisit { visit: elsewhere }).unwrap();
    let over = PutRight {
        pump: pump("ST-106"),
        visit: Some(elsewhere),
        ..right
    };
    let why = d.app.perform(over).unwrap_err();
    assert!(matches!(why, AppError::VisitOver(_)), "{why}");
}

#[test]
fn what_was_written_down_by_mistake_is_taken_back_and_counts_no_more() {
    let mut d = device();
    let (remedy, _) = d
        .put_right("ST-104A", nuts(Turn::Tighten, &[1, 0]))
        .unwrap();
    d.app.perform(TakeBackRemedy(remedy)).unwrap();
    assert!(d.app.waits().unwrap().is_empty());
    let rows = d.app.remedies_of(RemediesOf::Pump(&pump("ST-104A")));
    assert!(rows.unwrap().is_empty());
    let (from, to) = (stamp(0).utc_ms, stamp(1).utc_ms);
    assert!(d.app.remedies_between(from, to).unwrap().is_empty());
    let gland = d.app.gland(&pump("ST-104A"), Place::SealDe).unwrap();
    assert_eq!(gland.standing, None);
    let again = d.app.perform(TakeBackRemedy(remedy)).unwrap_err();
    assert!(matches!(again, AppError::UnknownRemedy(_)), "{again}");
}

#[test]
fn own_words_are_proved_by_the_check_they_were_an_answer_to() {
    let mut d = device();
    let visit = d.arrive("WE-207A");
    let leak = check("seal_leak@seal_de");
    let entered = Enter {
        visit,
        check: leak,
        entered: count(60),
    };
    let finding = d.app.perform(entered).unwrap().finding;
    assert!(finding.is_some());
    let right = PutRight {
        pump: pump("WE-207A"),
        visit: Some(visit),
        finding,
        what: Remedy::OwnWords {
            text: "Fitters changed the seal.".to_owned(),
        },
        done_at: None,
    };
    d.minutes(1);
    let remedy = d.app.perform(right).unwrap().remedy;
    let proof = d.proof(remedy, "seal_leak@seal_de");
    assert_eq!(proof.standing, ProofStanding::Due);
    d.minutes(5);
    d.enter(visit, "seal_leak@seal_de", count(0));
    assert!(matches!(
        d.proof(remedy, "seal_leak@seal_de").standing,
        ProofStanding::Made(_)
    ));
}
