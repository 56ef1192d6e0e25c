//! What the window asks of the system around it: the feel of a tap, a screen that stays on, files handed over.

#![cfg(feature = "window")]

mod window_support;

use lantern_ring::{
    app::{App, Preference},
    plant::Plant,
    sys::StillWorld,
    view::{
        self, Desk, Entry, Nav, Page, Session,
        outside::{Choice, Outside},
    },
};
use slint::ComponentHandle;
use std::{
    cell::{Cell, RefCell},
    path::{Path, PathBuf},
    rc::Rc,
};
use tempfile::TempDir;
use window_support::{Bench, MORNING, cases::pump_with_most_to_check, demo_plant, files};

/// A phone that keeps what goes out in a folder of its own and writes down what it is asked.
#[derive(Default)]
struct Phone {
    outgoing: PathBuf,
    ticks: Cell<u32>,
    awake: Cell<bool>,
    shared: RefCell<Vec<PathBuf>>,
    copied: RefCell<Vec<PathBuf>>,
}

impl Outside for Phone {
    fn choose(&self, desk: &Desk, choice: Choice, number: i32) {
        if let Choice::Place(name) = choice {
            view::chosen(desk, number, vec![self.outgoing.join(name)]);
        }
    }

    fn can_share(&self) -> bool {
        true
    }

    fn share(&self, _: &Desk, file: &Path) {
        self.shared.borrow_mut().push(file.to_owned());
    }

    fn save_copy(&self, _: &Desk, file: &Path) {
        self.copied.borrow_mut().push(file.to_owned());
    }

    fn can_tick(&self) -> bool {
        true
    }

    fn tick(&self) {
        self.ticks.set(self.ticks.get() + 1);
    }

    fn keep_awake(&self, awake: bool) {
        self.awake.set(awake);
    }
}

/// At a packed pump, on a phone.
fn at_a_pump(folder: &Path) -> (Bench, Rc<Phone>) {
    let plant = demo_plant();
    let pump = pump_with_most_to_check(&plant, true);
    let bench = Bench::signed(folder, "phone", plant.clone(), 1);
    bench.resize(360.0, 640.0);
    let phone = Rc::new(Phone {
        outgoing: folder.to_owned(),
        ..Phone::default()
    });
    bench.desk.set_outside(phone.clone());
    let text = files::tag_text(&plant, &pump);
    bench.give(&files::code(folder, "tag.png", &text));
    (bench, phone)
}

#[test]
fn each_tap_that_counts_is_felt() {
    let folder = TempDir::new().expect("a folder");
    let (bench, phone) = at_a_pump(folder.path());
    bench.press_place("Leak-off, packing drive end");
    assert_eq!(phone.ticks.get(), 0);
    for taps in 1..=3 {
        bench.desk.window().global::<Entry>().invoke_count_tap();
        assert_eq!(phone.ticks.get(), taps);
    }
}

#[test]
fn a_drop_is_counted_in_silence_where_that_was_chosen() {
    let folder = TempDir::new().expect("a folder");
    let (bench, phone) = at_a_pump(folder.path());
    bench.desk.window().global::<Nav>().invoke_go(Page::Setup);
    bench.settle();
    bench.choose("Silent");
    bench.desk.window().global::<Nav>().invoke_go(Page::Visit);
    bench.settle();
    bench.press_place("Leak-off, packing drive end");
    bench.desk.window().global::<Entry>().invoke_count_tap();
    assert_eq!(phone.ticks.get(), 0);
    let app = bench.close();
    assert_eq!(
        app.preference(Preference::Tick).expect("kept"),
        Some("false".to_owned())
    );
}

#[test]
fn the_screen_stays_on_at_a_pump_and_goes_off_elsewhere() {
    let folder = TempDir::new().expect("a folder");
    let (bench, phone) = at_a_pump(folder.path());
    let go = |page| bench.desk.window().global::<Nav>().invoke_go(page);
    assert!(phone.awake.get(), "the pump's list of checks");
    for page in [
        Page::Entry,
        Page::Trend,
        Page::Diagnosis,
        Page::Photo,
        Page::Summary,
        Page::Remedy,
        Page::Hand,
        Page::Procedures,
        Page::Run,
    ] {
        go(page);
        assert!(phone.awake.get(), "{page:?}");
    }
    for page in [Page::Home, Page::Send, Page::Setup] {
        go(Page::Visit);
        go(page);
        assert!(!phone.awake.get(), "{page:?}");
    }
}

#[test]
fn a_bundle_is_handed_to_other_apps_and_copied_to_where_it_is_wanted() {
    let folder = TempDir::new().expect("a folder");
    let (bench, phone) = at_a_pump(folder.path());
    bench.desk.window().global::<Nav>().invoke_go(Page::Send);
    bench.settle();
    assert!(!bench.has_button("Share the bundle"), "none is made yet");
    bench.press("Make a bundle");
    bench.settle();
    let made = phone.shared.borrow().clone();
    assert_eq!(made.len(), 1, "offered as soon as it is written");
    assert!(made[0].is_file());
    bench.press("Share the bundle");
    bench.press("Save a copy of the bundle");
    assert_eq!(
        *phone.shared.borrow(),
        [made.clone(), made.clone()].concat()
    );
    assert_eq!(*phone.copied.borrow(), made);
}

#[test]
fn a_changed_plant_comes_as_a_copy_of_a_store_and_an_old_one_is_refused() {
    let folder = TempDir::new().expect("a folder");
    let office = |version| {
        let store = folder.path().join(format!("office-{version}.lantern"));
        let plant = Plant {
            version,
            ..demo_plant()
        };
        let world = StillWorld::at(MORNING, version.into());
        drop(App::create(&store, plant, Box::new(world)).expect("a store"));
        store
    };
    let here = demo_plant().version;
    let (same, newer) = (office(here), office(here + 1));
    let (bench, _) = at_a_pump(folder.path());
    let said = |bench: &Bench| bench.desk.window().global::<Session>().get_message();

    view::take_store(&bench.desk, newer);
    bench.settle();
    let taken = format!("version {}, is taken in", here + 1);
    assert!(said(&bench).contains(&taken), "{}", said(&bench));
    view::take_store(&bench.desk, same);
    bench.settle();
    let refused = format!("is here in version {}", here + 1);
    assert!(said(&bench).contains(&refused), "{}", said(&bench));
}
