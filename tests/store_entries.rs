//! What the store shows of what was written in it.

mod store_support;

use lantern_ring::{
    check::RunningState,
    judge::Verdict,
    record::{Body, Hash, PhotoTaken, RunningSeen, TagAdopted},
    store::{FindingsOf, NewReceipt, PhotosOf, Picture, Span, Store, StoreError},
};
use store_support::*;
use uuid::Uuid;

const VISIT: Uuid = Uuid::from_u128(7);

#[test]
fn records_are_numbered_from_one_and_read_back_as_they_were_written() {
    let mut t = new_store(1);
    let first = t.append(opened(VISIT, "P-1"));
    let second = t.append(made(entry(VISIT, "P-1", leak(), 1, 40)));
    assert_eq!((first.record().seq, second.record().seq), (1, 2));
    let origin = t.store.origin();
    assert_eq!(first.record().origin, origin);
    let read = t.store.read();
    assert_eq!(
        read.records_of(origin, 1, 10).unwrap(),
        [first.clone(), second.clone()]
    );
    let part = |from, limit| read.records_of(origin, from, limit).unwrap();
    assert_eq!(part(2, 10), part(1, 2)[1..]);
    assert_eq!(part(1, 1), part(1, 2)[..1]);
    assert_eq!(read.known(origin, 2).unwrap(), Some(second.hash()));
    assert_eq!(read.known(origin, 3).unwrap(), None);
    assert_eq!(
        read.known_id(first.record().id).unwrap(),
        Some(first.hash())
    );
}

#[test]
fn what_was_kept_is_there_when_the_store_is_opened_again() {
    let mut t = new_store(1);
    t.append(opened(VISIT, "P-1"));
    let kept = t.append(made(entry(VISIT, "P-1", leak(), 1, 40)));
    let origin = t.store.origin();
    drop(t.store);
    let store = Store::open(&t.path).unwrap();
    assert_eq!(store.origin(), origin);
    let latest = store.read().latest_entry(&pump("P-1"), leak()).unwrap();
    assert_eq!(latest.unwrap().record, kept.record().id);
}

#[test]
fn a_batch_that_is_dropped_leaves_nothing() {
    let mut t = new_store(1);
    let mut batch = t.store.write().unwrap();
    add(&mut batch, &mut t.world, opened(VISIT, "P-1"));
    assert_eq!(batch.read().visits(5).unwrap().len(), 1);
    drop(batch);
    assert!(t.store.read().visits(5).unwrap().is_empty());
    assert!(t.store.read().origins().unwrap().is_empty());
    assert_eq!(t.append(opened(VISIT, "P-1")).record().seq, 1);
}

#[test]
fn a_store_closed_in_the_middle_of_a_batch_keeps_nothing_of_it() {
    let mut t = new_store(1);
    t.append(opened(VISIT, "P-1"));
    let mut batch = t.store.write().unwrap();
    add(
        &mut batch,
        &mut t.world,
        made(entry(VISIT, "P-1", leak(), 1, 40)),
    );
    std::mem::forget(batch);
    drop(t.store);
    let store = Store::open(&t.path).unwrap();
    assert_eq!(store.read().origins().unwrap()[0].highest_seq, 1);
    assert!(store.read().entries_of_visit(VISIT).unwrap().is_empty());
}

#[test]
fn after_a_step_that_failed_the_batch_can_not_be_kept() {
    let mut t = new_store(1);
    let mut batch = t.store.write().unwrap();
    add(&mut batch, &mut t.world, opened(VISIT, "P-1"));
    let picture = Picture {
        bytes: b"picture".to_vec(),
        width_px: 4,
        height_px: 3,
    };
    let error = batch.put_photo(Hash::of(b"other"), &picture).unwrap_err();
    assert!(matches!(error, StoreError::HashMismatch(_)), "{error}");
    assert!(matches!(
        batch.commit().unwrap_err(),
        StoreError::BatchFailed
    ));
    assert!(t.store.read().visits(5).unwrap().is_empty());
}

#[test]
fn history_is_newest_first_and_latest_is_its_first_that_was_checked() {
    let mut t = new_store(1);
    for (hours, drops) in [(1, 40), (2, 45), (3, 50)] {
        t.append(made(entry(VISIT, "P-1", leak(), hours, drops)));
    }
    t.append(made(entry(VISIT, "P-2", leak(), 9, 99)));
    t.append(made(passed_over(VISIT, "P-1", leak(), 4)));
    let read = t.store.read();
    let seen: Vec<_> = read
        .history(&pump("P-1"), leak(), 3)
        .unwrap()
        .into_iter()
        .map(|row| row.entry.seen_at)
        .collect();
    assert_eq!(seen, [stamp(4), stamp(3), stamp(2)]);
    let latest = read.latest_entry(&pump("P-1"), leak()).unwrap().unwrap();
    assert_eq!(latest.entry.seen_at, stamp(3));
    assert_eq!(read.latest_entry(&pump("P-1"), heat()).unwrap(), None);
    assert_eq!(read.latest_entries(&pump("P-1")).unwrap(), [latest]);
}

#[test]
fn a_correction_stands_in_for_what_it_corrects() {
    let mut t = new_store(1);
    let wrong = t.append(made(entry(VISIT, "P-1", leak(), 1, 400)));
    let right = t.append(amended(
        wrong.record().id,
        entry(VISIT, "P-1", leak(), 1, 40),
    ));
    let read = t.store.read();
    let shown = read.entries_of_visit(VISIT).unwrap();
    assert_eq!(shown.len(), 1);
    assert_eq!(shown[0].record, right.record().id);
    assert_eq!(shown[0].amends, Some(wrong.record().id));
    assert!(!read.is_effective(wrong.record().id).unwrap());
    assert!(read.entry(wrong.record().id).unwrap().is_some());
    assert!(
        read.findings(FindingsOf::Everything, Verdict::NotJudged, 10)
            .unwrap()
            .is_empty()
    );
}

#[test]
fn an_entry_taken_back_leaves_the_one_before_it_as_the_latest() {
    let mut t = new_store(1);
    let before = t.append(made(entry(VISIT, "P-1", leak(), 1, 40)));
    let undone = t.append(made(entry(VISIT, "P-1", leak(), 2, 400)));
    t.append(withdrawn(undone.record().id));
    let read = t.store.read();
    let latest = read.latest_entry(&pump("P-1"), leak()).unwrap().unwrap();
    assert_eq!(latest.record, before.record().id);
    assert_eq!(read.pump_marks().unwrap()[0].worst, Some(Verdict::InLimits));
}

#[test]
fn a_clock_set_back_does_not_hide_the_newer_entry() {
    let mut t = new_store(1);
    t.append(made(entry(VISIT, "P-1", leak(), 5, 300)));
    let good = t.append(made(entry(VISIT, "P-1", leak(), 1, 40)));
    let read = t.store.read();
    let latest = read.latest_entry(&pump("P-1"), leak()).unwrap().unwrap();
    assert_eq!(latest.record, good.record().id);
    assert!(
        read.open_findings(FindingsOf::Everything)
            .unwrap()
            .is_empty()
    );
    assert_eq!(read.pump_marks().unwrap()[0].worst, Some(Verdict::InLimits));
    let of_visit = read.entries_of_visit(VISIT).unwrap();
    assert_eq!(of_visit.last().unwrap().record, good.record().id);
}

#[test]
fn a_correction_of_an_old_entry_does_not_become_the_latest() {
    let mut t = new_store(1);
    let old = t.append(made(entry(VISIT, "P-1", leak(), 3, 300)));
    let new = t.append(made(entry(VISIT, "P-1", leak(), 2, 40)));
    t.append(amended(
        old.record().id,
        entry(VISIT, "P-1", leak(), 3, 250),
    ));
    let latest = t.store.read().latest_entry(&pump("P-1"), leak()).unwrap();
    assert_eq!(latest.unwrap().record, new.record().id);
}

#[test]
fn of_two_devices_the_entry_seen_last_is_the_latest() {
    let mut t = new_store(1);
    t.append(made(entry(VISIT, "P-1", leak(), 2, 40)));
    let mut batch = t.store.write().unwrap();
    let receipt = batch
        .put_receipt(&NewReceipt {
            sha256: Hash::of(b"a file"),
            file_name: "a.lrbundle".into(),
            origin: None,
            at: stamp(9),
        })
        .unwrap();
    for (seq, hours) in [(1, 1), (2, 3)] {
        let body = made(entry(VISIT, "P-1", leak(), hours, 70));
        batch
            .take_in(&foreign(5, seq, 50 + u128::from(seq), hours, body), receipt)
            .unwrap();
    }
    batch.commit().unwrap();
    let latest = t.store.read().latest_entry(&pump("P-1"), leak()).unwrap();
    assert_eq!(latest.unwrap().record, Uuid::from_u128(52));
}

#[test]
fn taking_back_a_correction_brings_back_what_it_corrected() {
    let mut t = new_store(1);
    let made_first = t
        .append(made(entry(VISIT, "P-1", leak(), 1, 40)))
        .record()
        .id;
    let amend = |t: &mut TempStore, wrong, drops| {
        let right = entry(VISIT, "P-1", leak(), 1, drops);
        t.append(amended(wrong, right)).record().id
    };
    let first = amend(&mut t, made_first, 70);
    let second = amend(&mut t, first, 95);
    let shown = |t: &TempStore| -> Vec<Uuid> {
        let read = t.store.read();
        let rows = read.entries_of_visit(VISIT).unwrap();
        let latest = read.latest_entry(&pump("P-1"), leak()).unwrap();
        assert_eq!(
            latest.map(|row| row.record),
            rows.first().map(|row| row.record)
        );
        rows.into_iter().map(|row| row.record).collect()
    };
    assert_eq!(shown(&t), [second]);
    t.append(withdrawn(first));
    assert_eq!(
        shown(&t),
        [second],
        "the correction of a correction taken back still holds"
    );
    t.append(withdrawn(second));
    assert_eq!(shown(&t), [made_first]);
    let third = amend(&mut t, made_first, 50);
    assert_eq!(shown(&t), [third]);
    t.append(withdrawn(third));
    t.append(withdrawn(made_first));
    assert!(shown(&t).is_empty());
}

#[test]
fn an_entry_that_was_not_judged_neither_ends_a_finding_nor_clears_the_mark() {
    let mut t = new_store(1);
    t.append(made(entry(VISIT, "P-1", leak(), 1, 300)));
    t.append(made(unjudged(VISIT, "P-1", leak(), 2, 40)));
    t.append(made(passed_over(VISIT, "P-1", leak(), 3)));
    let read = t.store.read();
    assert_eq!(read.pump_marks().unwrap()[0].worst, Some(Verdict::StopPump));
    let open = read.open_findings(FindingsOf::Everything).unwrap();
    assert_eq!(open.len(), 1);
    assert_eq!((open[0].entries, open[0].is_open()), (1, true));
    let latest = read.latest_entry(&pump("P-1"), leak()).unwrap().unwrap();
    assert_eq!(latest.entry.finding, Some(open[0].finding));
    assert_eq!(read.history(&pump("P-1"), leak(), 9).unwrap().len(), 3);
    // Nor does it stand before what is out of limits in what a span tells.
    let span = Span {
        from_ms: 0,
        to_ms: i64::MAX,
        by: None,
    };
    let told = read.told_within(span, 9).unwrap();
    let told: Vec<_> = told.iter().map(|row| row.seq).collect();
    assert_eq!(told, [1, 3]);
    assert_eq!(read.count_within(span).unwrap(), 3);
}

#[test]
fn open_findings_are_those_of_the_list_that_are_still_so() {
    let mut t = new_store(1);
    for (at, drops) in [("P-1", 70), ("P-10", 300), ("P-100", 95)] {
        t.append(made(entry(VISIT, at, leak(), 1, drops)));
        t.append(made(entry(VISIT, at, leak(), 2, drops + 1)));
    }
    t.append(made(entry(VISIT, "P-10", leak(), 3, 40)));
    let read = t.store.read();
    let all = FindingsOf::Everything;
    let mut still = read.findings(all, Verdict::NotJudged, 10).unwrap();
    assert_eq!(still.len(), 3);
    still.retain(|finding| finding.is_open());
    assert_eq!(read.open_findings(all).unwrap(), still);
    assert_eq!(still.len(), 2);
    let (p1, p10) = (pump("P-1"), pump("P-10"));
    let count = |of| read.open_findings(of).unwrap().len();
    assert_eq!(count(FindingsOf::Pump(&p1)), 1);
    assert_eq!(count(FindingsOf::Pump(&p10)), 0);
    assert_eq!(count(FindingsOf::Visit(VISIT)), 2);
    assert_eq!(count(FindingsOf::Finding(still[0].finding)), 1);
}

#[test]
fn a_visit_begun_under_an_earlier_name_is_still_open() {
    let mut t = new_store(1);
    t.append(opened(VISIT, "P-1"));
    t.store.new_origin(&mut t.world).unwrap();
    let open = t.store.read().own_open_visits(9).unwrap();
    assert_eq!(open[0].visit, VISIT);
    let next = Uuid::from_u128(8);
    t.world.set_now(stamp(-1));
    t.append(opened(next, "P-2"));
    let open = t.store.read().own_open_visits(9).unwrap();
    let visits: Vec<_> = open.iter().map(|row| row.visit).collect();
    assert_eq!(
        visits,
        [next, VISIT],
        "the last begun first, whatever the clock said"
    );
}

#[test]
fn a_visit_is_open_until_it_is_closed() {
    let mut t = new_store(1);
    t.append(opened(VISIT, "P-1"));
    t.append(made(entry(VISIT, "P-1", leak(), 1, 70)));
    t.append(Body::RunningSeen(RunningSeen {
        visit: VISIT,
        running: RunningState::Standby,
    }));
    let open = t.store.read().own_open_visits(9).unwrap().remove(0);
    assert_eq!(open.visit, VISIT);
    assert_eq!((open.entries, open.worst), (1, Some(Verdict::Watch)));
    assert_eq!(open.running, RunningState::Standby);
    t.append(closed(VISIT));
    let read = t.store.read();
    assert!(read.own_open_visits(9).unwrap().is_empty());
    assert_eq!(read.visit(VISIT).unwrap().unwrap().closed, Some(stamp(0)));
    assert_eq!(read.visits_to(&pump("P-1"), 5).unwrap().len(), 1);
    assert!(read.visits_to(&pump("P-2"), 5).unwrap().is_empty());
}

#[test]
fn a_pumps_mark_is_the_worst_of_its_checks_now() {
    let mut t = new_store(1);
    t.append(opened(VISIT, "P-1"));
    t.append(made(entry(VISIT, "P-1", leak(), 1, 300)));
    t.append(made(entry(VISIT, "P-1", heat(), 1, 70)));
    t.append(opened(Uuid::from_u128(8), "P-3"));
    let marks = t.store.read().pump_marks().unwrap();
    let shown: Vec<_> = marks
        .iter()
        .map(|mark| (mark.pump.as_str(), mark.worst, mark.last_visit))
        .collect();
    assert_eq!(
        shown,
        [
            ("P-1", Some(Verdict::StopPump), Some(stamp(0))),
            ("P-3", None, Some(stamp(0)))
        ]
    );
    t.append(made(entry(VISIT, "P-1", leak(), 2, 40)));
    assert_eq!(
        t.store.read().pump_marks().unwrap()[0].worst,
        Some(Verdict::Watch)
    );
}

#[test]
fn a_finding_runs_from_its_first_entry_to_its_latest() {
    let mut t = new_store(1);
    for (hours, drops) in [(1, 70), (2, 300), (3, 95)] {
        t.append(made(entry(VISIT, "P-1", leak(), hours, drops)));
    }
    t.append(made(entry(VISIT, "P-10", leak(), 1, 70)));
    let read = t.store.read();
    let p1 = pump("P-1");
    let found = read
        .findings(FindingsOf::Pump(&p1), Verdict::NotJudged, 10)
        .unwrap();
    assert_eq!(found.len(), 1);
    let found = &found[0];
    assert_eq!((&found.pump, found.check), (&p1, leak()));
    assert_eq!(found.first.entry.seen_at, stamp(1));
    assert_eq!(found.latest.entry.judgement.verdict, Verdict::Act);
    assert_eq!((found.worst, found.entries), (Verdict::StopPump, 3));
    assert_eq!(found.check_now, Some(Verdict::Act));
    let count = |of, at_least| read.findings(of, at_least, 10).unwrap().len();
    assert_eq!(count(FindingsOf::Everything, Verdict::Watch), 2);
    assert_eq!(count(FindingsOf::Everything, Verdict::Act), 1);
    assert_eq!(count(FindingsOf::Visit(VISIT), Verdict::Watch), 2);
    assert_eq!(count(FindingsOf::Finding(found.finding), Verdict::Watch), 1);
    assert_eq!(read.entries_of_finding(found.finding).unwrap().len(), 3);
}

#[test]
fn photos_are_found_by_pump_visit_and_finding() {
    let mut t = new_store(1);
    let bytes = b"a picture".to_vec();
    let photo = Hash::of(&bytes);
    let finding = entry(VISIT, "P-1", leak(), 1, 70).finding.unwrap();
    t.append(made(entry(VISIT, "P-1", leak(), 1, 70)));
    let taken = |check| {
        Body::PhotoTaken(PhotoTaken {
            visit: VISIT,
            pump: pump("P-1"),
            check,
            finding: None,
            photo,
            taken_at: None,
            marks: Vec::new(),
            words: String::new(),
        })
    };
    t.append(taken(Some(leak())));
    let of_pump = t.append(taken(None));
    let count = |store: &Store, of| store.read().photos(of).unwrap().len();
    let p1 = pump("P-1");
    assert_eq!(count(&t.store, PhotosOf::Pump(&p1)), 2);
    assert_eq!(count(&t.store, PhotosOf::Visit(VISIT)), 2);
    assert_eq!(count(&t.store, PhotosOf::Finding(finding)), 1);
    assert!(!t.store.read().photos(PhotosOf::Finding(finding)).unwrap()[0].here);
    let picture = Picture {
        bytes,
        width_px: 4,
        height_px: 3,
    };
    let mut batch = t.store.write().unwrap();
    assert!(batch.put_photo(photo, &picture).unwrap());
    assert!(!batch.put_photo(photo, &picture).unwrap());
    batch.commit().unwrap();
    assert!(t.store.read().photos(PhotosOf::Finding(finding)).unwrap()[0].here);
    assert!(t.store.read().has_photo(photo).unwrap());
    assert_eq!(t.store.read().photo(photo).unwrap(), Some(picture));
    t.append(withdrawn(of_pump.record().id));
    assert_eq!(count(&t.store, PhotosOf::Visit(VISIT)), 1);
}

#[test]
fn a_code_adopted_for_two_pumps_is_told_with_both() {
    let mut t = new_store(1);
    for (hours, at) in [(0, "P-1"), (1, "P-2")] {
        t.world.set_now(stamp(hours));
        t.append(Body::TagAdopted(TagAdopted {
            pump: pump(at),
            code: "4006381333931".into(),
        }));
    }
    let tags = t.store.read().adopted_tags().unwrap();
    let pumps: Vec<_> = tags.iter().map(|tag| tag.pump.clone()).collect();
    assert_eq!(pumps, [pump("P-1"), pump("P-2")]);
}

#[test]
fn settings_are_read_back_and_changed() {
    let mut t = new_store(1);
    for value in ["light", "dark"] {
        let mut batch = t.store.write().unwrap();
        batch.set("theme", value).unwrap();
        batch.commit().unwrap();
    }
    assert_eq!(
        t.store.read().setting("theme").unwrap().as_deref(),
        Some("dark")
    );
    assert_eq!(t.store.read().setting("operator").unwrap(), None);
}

#[test]
fn past_readings_are_the_history_in_short() {
    let mut t = new_store(1);
    t.append(opened(VISIT, "P-1"));
    let first = t.append(made(entry(VISIT, "P-1", leak(), 1, 40)));
    t.append(made(passed_over(VISIT, "P-1", leak(), 2)));
    t.append(amended(
        first.record().id,
        entry(VISIT, "P-1", leak(), 1, 45),
    ));
    let read = t.store.read();
    let whole = read.history(&pump("P-1"), leak(), 10).unwrap();
    let short = read.past_readings(&pump("P-1"), leak(), 10).unwrap();
    assert_eq!(whole.len(), 2);
    for (whole, short) in whole.into_iter().zip(short) {
        assert_eq!(
            (short.record, short.visit),
            (whole.record, whole.entry.visit)
        );
        assert_eq!(short.running, whole.entry.running);
        assert_eq!(short.seen_at, whole.entry.seen_at);
        assert_eq!(short.entered, whole.entry.entered);
    }
}
