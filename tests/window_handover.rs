//! The sheet for the next shift and what is due, through the window by what it tells: equal to what was recorded.

#![cfg(feature = "window")]

mod window_support;

use lantern_ring::{
    app::{App, Arrive, CloseVisit, Enter, HandoverOf, OpenFinding, SetOperator},
    check::Entered,
    judge::Verdict,
    plant::{GreaseProgramme, Place, Plant, PumpId},
    record::HowFound,
    report::handover::Sheet,
    sys::StillWorld,
    view,
};
use std::path::{Path, PathBuf};
use tempfile::TempDir;
use window_support::{Bench, MORNING, demo_plant};

/// As wide as a phone and as a desktop, and so high that all of a page is on the screen: what is scrolled away is not told.
const PHONE: (f32, f32) = (360.0, 4000.0);
const DESKTOP: (f32, f32) = (1280.0, 4000.0);

fn pump(name: &str) -> PumpId {
    name.parse().expect("a pump")
}

/// A store in which two shifts worked this morning: one found a leak and passed a check over, the other found by hand.
fn worked(folder: &Path, plant: Plant) -> PathBuf {
    let store = folder.join("s.lantern");
    let world = StillWorld::at(MORNING, 3);
    let mut app = App::create(&store, plant, Box::new(world.clone())).expect("a store");
    let sign =
        |app: &mut App, name: &str| app.perform(SetOperator(name.to_owned())).expect("a name");
    sign(&mut app, "Shift A / R.");
    let visit = app
        .perform(Arrive {
            pump: pump("ST-104A"),
            found: HowFound::Scanned,
            round: None,
        })
        .expect("a visit");
    let mut enter = |check: &str, entered| {
        let check = check.parse().expect("a check");
        let entry = Enter {
            visit,
            check,
            entered,
        };
        app.perform(entry).expect("an entry");
    };
    let drops = 400;
    let seconds = 60.0;
    enter("leak_off@seal_de", Entered::Count { drops, seconds });
    let reason = "scaffold in the way".to_owned();
    enter("gland_heat@seal_de", Entered::NotChecked { reason });
    app.perform(CloseVisit { visit }).expect("closed");
    world.pass(3_600_000);
    sign(&mut app, "Shift B / K.");
    app.perform(OpenFinding {
        pump: pump("ST-108"),
        visit: None,
        severity: Verdict::Watch,
        words: "Guard rattles.".to_owned(),
        cause: None,
    })
    .expect("a finding");
    store
}

/// What the door itself says of the last hours, an hour after the bench's morning.
fn expected(store: &Path, hours: u32, by: Option<&str>) -> Sheet {
    let world = StillWorld::at(MORNING, 9);
    world.pass(7_200_000);
    let mut app = App::open(store, Box::new(world)).expect("the store");
    let of = HandoverOf {
        by: by.map(str::to_owned),
        ..HandoverOf::last_hours(app.now(), hours)
    };
    app.handover(of).expect("a handover").sheet()
}

#[track_caller]
fn must_show_all(bench: &Bench, sheet: &Sheet) {
    for line in sheet.head() {
        bench.must_show(&line);
    }
    for part in &sheet.parts {
        bench.must_show(part.heading);
        for line in &part.lines {
            bench.must_show(&line.text());
        }
    }
}

fn opened(store: &Path, (width, height): (f32, f32)) -> Bench {
    let bench = Bench::open(store, 5);
    bench.world.pass(7_200_000);
    bench.resize(width, height);
    bench.press("Handover");
    bench
}

#[test]
fn the_handover_on_the_screen_is_what_was_recorded_on_a_phone_and_on_a_desktop() {
    for size in [PHONE, DESKTOP] {
        let folder = TempDir::new().expect("a folder");
        let store = worked(folder.path(), demo_plant());
        let all = expected(&store, 12, None);
        let leak = "ST-104A Seal DE: Leak-off 400 drops/min.";
        assert!(all.text().contains(leak), "{}", all.text());
        let bench = opened(&store, size);
        must_show_all(&bench, &all);
        bench.must_show("Guard rattles.");
        bench.must_show("scaffold in the way");
    }
}

#[test]
fn a_handover_of_one_operator_leaves_out_what_the_others_found() {
    let folder = TempDir::new().expect("a folder");
    let store = worked(folder.path(), demo_plant());
    let only = expected(&store, 12, Some("Shift B / K."));
    let bench = opened(&store, DESKTOP);
    bench.press("About: Last 12 h");
    bench.choose("Shift B / K.");
    must_show_all(&bench, &only);
    bench.must_show("0 visits to 0 pumps, 0 entries");
    assert!(!bench.shows("scaffold in the way"));
}

#[test]
fn the_file_saved_is_the_sheet_shown() {
    let folder = TempDir::new().expect("a folder");
    let store = worked(folder.path(), demo_plant());
    let all = expected(&store, 12, None);
    let bench = opened(&store, PHONE);
    assert!(bench.has_button("Save PDF") && bench.has_button("Save text"));
    let text = folder.path().join("h.txt");
    view::save_handover(&bench.desk, text.clone());
    bench.must_show(&format!("Saved as {}.", text.display()));
    let saved = std::fs::read_to_string(&text).expect("written");
    let told = |text: &str| text.lines().skip(1).map(str::to_owned).collect::<Vec<_>>();
    assert_eq!(told(&saved), told(&all.text()));
    let pdf = folder.path().join("h.pdf");
    view::save_handover(&bench.desk, pdf.clone());
    let bytes = std::fs::read(&pdf).expect("written");
    assert!(bytes.starts_with(b"%PDF-"));
    view::save_handover(&bench.desk, folder.path().join("h.lantern"));
    bench.must_show("give it a name that ends in .pdf or .txt");
}

#[test]
fn what_is_due_is_reached_from_home_and_opens_its_pump() {
    let mut plant = demo_plant();
    for one in &mut plant.pumps {
        for bearing in &mut one.bearings {
            let here = one.id.as_str() == "ST-108" && bearing.place == Place::DriverDe;
            bearing.grease = here.then(|| GreaseProgramme {
                grade: "Grease 2".to_owned(),
                grams: 20.0,
                per_stroke_grams: Some(2.0),
                per_turn_grams: None,
                every_running_hours: Some(1_000.0),
                every_days: None,
            });
        }
    }
    for size in [PHONE, DESKTOP] {
        let folder = TempDir::new().expect("a folder");
        let store = worked(folder.path(), plant.clone());
        let bench = Bench::open(&store, 6);
        bench.resize(size.0, size.1);
        bench.press("Due");
        bench.must_show("machine-chest");
        bench.press_beginning("ST-108, Grease, Driver DE, nobody entered that it was ever done");
        bench.must_show("ST-108");
        assert!(!bench.shows("Hours of duty and standby"));
    }
}
