//! A window that is ended where the operator was, and comes back there: what a phone does with apps nobody looks at.

#![cfg(feature = "window")]

mod window_support;

use lantern_ring::{
    app::{App, HalfCount, KeptPage, Whereabouts},
    check::Entered,
    plant::{CheckId, CheckKind, Place, PumpId},
    sys::StillWorld,
    view::{self, Entry, Hand, Nav, Page, Session, Verdict, Visit},
};
use slint::ComponentHandle;
use std::path::Path;
use tempfile::TempDir;
use window_support::{Bench, MORNING, cases::pump_with_most_to_check, demo_plant, files};

fn at_a_packed_pump(folder: &Path) -> (Bench, PumpId) {
    let plant = demo_plant();
    let pump = pump_with_most_to_check(&plant, true);
    let bench = Bench::signed(folder, "phone", plant.clone(), 1);
    bench.give(&files::code(
        folder,
        "tag.png",
        &files::tag_text(&plant, &pump),
    ));
    (bench, pump)
}

/// Ends the window and opens another on the same store, which is told what the system kept.
fn ended_and_back(bench: Bench) -> Bench {
    let kept = view::place(&bench.desk).to_bytes().expect("it can be kept");
    let store = bench.store.clone();
    drop(bench.close());
    let bench = Bench::open(&store, 2);
    let place = Whereabouts::from_bytes(&kept).expect("it can be read");
    view::return_to(&bench.desk, place);
    bench.settle();
    bench
}

fn page(bench: &Bench) -> Page {
    bench.desk.window().global::<Nav>().get_page()
}

#[test]
fn a_count_that_was_cut_off_comes_back_stopped_and_goes_on() {
    let folder = TempDir::new().expect("a folder");
    let (bench, pump) = at_a_packed_pump(folder.path());
    bench.press_place("Leak-off, packing drive end");
    let entry =
        |bench: &Bench, work: &dyn Fn(&Entry<'_>)| work(&bench.desk.window().global::<Entry>());
    // The first tap starts the clock.
    for _ in 0..8 {
        entry(&bench, &|entry| entry.invoke_count_tap());
    }
    bench.pass(21);
    view::looked_away(&bench.desk);
    bench.pass(3600);
    let place = view::place(&bench.desk);
    assert_eq!(place.page, KeptPage::Entry);
    let half = HalfCount {
        drops: 7,
        seconds: 21.0,
    };
    assert_eq!(place.count, Some(half));

    let bench = ended_and_back(bench);
    assert_eq!(page(&bench), Page::Entry);
    let shown = bench.desk.window().global::<Visit>().get_pump_id();
    assert_eq!(shown, pump.as_str());
    entry(&bench, &|entry| {
        assert_eq!((entry.get_drops(), entry.get_seconds()), (7, 21));
        entry.invoke_count_on();
    });
    bench.pass(9);
    entry(&bench, &|entry| {
        entry.invoke_count_tap();
        entry.invoke_save();
    });
    bench.settle();
    let app = bench.close();
    let visit = app.open_visit().expect("read").expect("an open visit");
    let list = app.checklist(visit.visit).expect("its checks");
    let leak_off = CheckId::new(CheckKind::LeakOff, Place::SealDe);
    let state = list.checks.iter().find(|state| state.check.id == leak_off);
    let entered = state
        .and_then(|state| state.entry.as_ref())
        .map(|entry| entry.entry.entered.clone());
    let counted = Entered::Count {
        drops: 8,
        seconds: 30.0,
    };
    assert_eq!(entered, Some(counted));
}

#[test]
fn what_was_being_keyed_in_comes_back() {
    let folder = TempDir::new().expect("a folder");
    let (bench, _) = at_a_packed_pump(folder.path());
    bench.press_place("Discharge pressure");
    let entry = bench.desk.window().global::<Entry>();
    entry.set_typed("4,7".into());
    entry.invoke_typed_changed("4,7".into());
    let title = entry.get_title();
    drop(entry);
    let bench = ended_and_back(bench);
    let entry = bench.desk.window().global::<Entry>();
    assert_eq!(
        (entry.get_title(), entry.get_typed()),
        (title, "4,7".into())
    );
    assert!(entry.get_has_value() && (entry.get_value() - 4.7).abs() < 1e-6);
}

#[test]
fn a_finding_being_written_comes_back() {
    let folder = TempDir::new().expect("a folder");
    let (bench, _) = at_a_packed_pump(folder.path());
    let hand = |bench: &Bench| {
        let hand = bench.desk.window().global::<Hand>();
        (hand.get_severity(), hand.get_words(), hand.get_cause())
    };
    bench.press_below("New finding");
    let page_of = bench.desk.window().global::<Hand>();
    page_of.set_severity(Verdict::Act);
    page_of.set_words("guard rattles".into());
    page_of.set_cause("a bolt is gone".into());
    drop(page_of);

    let bench = ended_and_back(bench);
    assert_eq!(page(&bench), Page::Hand);
    let written = (
        Verdict::Act,
        "guard rattles".into(),
        "a bolt is gone".into(),
    );
    assert_eq!(hand(&bench), written);
    bench.press("Save finding");
    assert_eq!(page(&bench), Page::Visit);
    bench.must_show("Finding saved.");
}

#[test]
fn a_visit_that_is_closed_is_not_opened_again() {
    let folder = TempDir::new().expect("a folder");
    let (bench, _) = at_a_packed_pump(folder.path());
    let mut place = view::place(&bench.desk);
    assert_eq!(place.page, KeptPage::Visit);
    place.visit = Some(uuid::Uuid::from_u128(1));
    let store = bench.store.clone();
    drop(bench.close());
    let bench = Bench::open(&store, 2);
    view::return_to(&bench.desk, place);
    bench.settle();
    assert_eq!(page(&bench), Page::Home);
}

#[test]
fn a_device_without_a_plant_asks_for_one_and_takes_a_copy_of_a_store() {
    let folder = TempDir::new().expect("a folder");
    let of = |name: &str| folder.path().join(name);
    let office = Bench::signed(folder.path(), "office", demo_plant(), 1);
    office.close().backup(&of("copy.lantern")).expect("a copy");

    let bench = Bench::without_plant(&of("waiting.lantern"), 2);
    bench.must_show("No plant yet");
    assert!(!bench.has_button("Begin"));
    view::take_store(&bench.desk, of("copy.lantern"));
    bench.settle();
    assert!(
        bench
            .desk
            .window()
            .global::<Session>()
            .get_message()
            .is_empty()
    );
    bench.must_show("Your name");
    bench.write("Your name", "Jun Vale");
    bench.press("Begin");
    bench.must_show("Kestrel Ness board mill");
    let path = of(view::OWN_STORE);
    // The waiting one is left, and empty.
    drop(bench.close());
    let app = App::open(&path, Box::new(StillWorld::at(MORNING, 3))).expect("the copy");
    assert_eq!(app.operator(), "Jun Vale");
}

#[test]
fn the_systems_looks_hold_until_the_operator_chooses_others() {
    let folder = TempDir::new().expect("a folder");
    let bench = Bench::signed(folder.path(), "phone", demo_plant(), 1);
    let shown = |bench: &Bench| {
        let session = bench.desk.window().global::<Session>();
        (session.get_dark(), session.get_text_scale())
    };
    let looks = |dark, text_scale| view::Looks { dark, text_scale };
    view::system_looks(&bench.desk, looks(true, 1.3));
    assert_eq!(shown(&bench), (true, 1.3));
    view::system_looks(&bench.desk, looks(true, 2.0));
    assert_eq!(
        shown(&bench),
        (true, 1.5),
        "as large as the screens are made for"
    );
    let session = bench.desk.window().global::<Session>();
    session.set_dark(false);
    session.invoke_set_dark(false);
    drop(session);
    view::system_looks(&bench.desk, looks(true, 1.0));
    assert_eq!(shown(&bench), (false, 1.0));
}
