//! The main job through the window, worked by accessible labels alone: from a printed tag to the planner's finding.

#![cfg(feature = "window")]

mod window_support;

use i_slint_backend_testing::AccessibleRole;
use lantern_ring::{
    app::App,
    check::Entered,
    plant::{CheckId, CheckKind, Limits, Place, Plant, PumpId},
    record::{Body, Hash, Mark, Sealed},
    store::{PhotoRow, PhotosOf},
    view,
};
use std::path::Path;
use tempfile::TempDir;
use window_support::{Bench, cases::pump_with_most_to_check, demo_plant, files};

/// The demo plant with leak-off limits of the test's own at its packed pump with the most to check.
fn plant_and_packed_pump() -> (Plant, PumpId) {
    let mut plant = demo_plant();
    let pump = pump_with_most_to_check(&plant, true);
    let leak_off = CheckId::new(CheckKind::LeakOff, Place::SealDe);
    plant
        .limits
        .retain(|limits| (&limits.pump, limits.check) != (&pump, leak_off));
    plant.limits.push(
        serde_json::from_value::<Limits>(serde_json::json!({
            "pump": pump.as_str(), "check": leak_off.to_string(), "version": 1, "unit": "drops/min",
            "low_act": 5, "low_watch": 10, "target": 25, "high_watch": 40, "high_act": 80,
            "basis": "made up for the test",
        }))
        .expect("limits"),
    );
    assert!(plant.check().is_empty());
    (plant, pump)
}

fn at_the_pump(folder: &Path, plant: &Plant, pump: &PumpId) -> Bench {
    let bench = Bench::signed(folder, "operator", plant.clone(), 1);
    bench.give(&files::code(
        folder,
        "tag.png",
        &files::tag_text(plant, pump),
    ));
    bench
}

fn open_leak_off(bench: &Bench) {
    bench.press_place("Leak-off, packing drive end");
    bench.must_show("Count");
}

fn records(app: &App) -> Vec<Vec<u8>> {
    let reader = app.store().read();
    let of_each = reader.origins().expect("origins").into_iter().map(|row| {
        let records = reader.records_of(row.origin, 1, 10_000).expect("records");
        records
            .iter()
            .map(Sealed::bytes)
            .map(<[u8]>::to_vec)
            .collect::<Vec<_>>()
    });
    of_each.flatten().collect()
}

#[test]
fn whoever_opens_the_window_first_signs_before_anything_else() {
    let folder = TempDir::new().expect("a folder");
    let bench = Bench::new(folder.path(), "new", demo_plant(), 1);
    bench.must_show("Setup");
    assert!(!bench.has_button("Back"), "there is nothing to go back to");
    bench.write("Your name", "  ");
    bench.press("Begin");
    bench.must_show("A name to sign with has 1 to 60 characters");
    bench.write("Your name", "Jun Vale");
    bench.press("Begin");
    bench.must_show("Kestrel Ness board mill");
    bench.must_show("Jun Vale");
    let app = bench.close();
    assert_eq!(app.operator(), "Jun Vale");
}

#[test]
fn a_short_id_is_keyed_in_and_its_last_character_can_be_taken_off() {
    let folder = TempDir::new().expect("a folder");
    let (plant, pump) = plant_and_packed_pump();
    let bench = Bench::signed(folder.path(), "operator", plant.clone(), 1);
    let app = bench.close();
    let register = app.register().expect("a plant");
    let printed = register.short_id(plant.pump(&pump).expect("the pump"));
    let short_id: String = printed.expect("a short id").to_string();
    drop(app);

    let bench = Bench::open(&folder.path().join("operator.lantern"), 2);
    bench.press("Key in the short id");
    for key in "X7".chars() {
        bench.press(&key.to_string());
    }
    bench.must_show("Short id X7");
    bench.press("Delete last character");
    bench.must_show("Short id X");
    bench.press("Delete last character");
    for key in short_id.chars().filter(|key| key.is_alphanumeric()) {
        bench.press(&key.to_string());
    }
    bench.press("Open pump");
    bench.must_show(pump.as_str());
    assert!(bench.has_button("First check"));
}

#[test]
fn a_short_id_keyed_wrong_on_the_first_page_says_so() {
    let folder = TempDir::new().expect("a folder");
    let (plant, _) = plant_and_packed_pump();
    let bench = Bench::signed(folder.path(), "operator", plant, 1);
    bench.type_line("NOSUCHID");
    bench.must_show("Scan again");
    bench.must_show("short id");
}

#[test]
fn a_scanner_that_works_as_a_keyboard_opens_the_pump() {
    let folder = TempDir::new().expect("a folder");
    let (plant, pump) = plant_and_packed_pump();
    let bench = Bench::signed(folder.path(), "operator", plant.clone(), 1);
    bench.type_line(&files::tag_text(&plant, &pump));
    bench.must_show(pump.as_str());
    assert!(bench.has_button("First check"));
}

#[test]
fn the_last_entry_is_taken_back_and_a_wrong_one_put_right() {
    let folder = TempDir::new().expect("a folder");
    let (plant, pump) = plant_and_packed_pump();
    let bench = at_the_pump(folder.path(), &plant, &pump);
    open_leak_off(&bench);
    bench.count(4, 60);
    bench.press("Save");
    bench.must_show("Leak-off 4 drops/min. This pump needs 10 to 40.");
    bench.press("Correct");
    bench.count(14, 60);
    bench.press("Save correction");
    assert!(bench.find(AccessibleRole::Text, "in limits").is_some());
    bench.press("Back");
    bench.must_show("1 of ");
    bench.press("Take back: Leak-off, packing drive end: 14 drops/min");
    bench.must_show("Taken back.");
    // What was corrected holds again; taken back too, nothing was entered.
    bench.press("Take back: Leak-off, packing drive end: 4 drops/min");
    bench.must_show("0 of ");
    assert!(bench.has_button("First check"));

    let app = bench.close();
    let kinds: Vec<_> = records(&app)
        .iter()
        .map(|bytes| Sealed::from_bytes(bytes.clone()).expect("a record"))
        .map(|sealed| match &sealed.record().body {
            Body::EntryMade(_) => "made",
            Body::EntryAmended(_) => "amended",
            Body::EntryWithdrawn(_) => "withdrawn",
            _ => "other",
        })
        .filter(|kind| *kind != "other")
        .collect();
    assert_eq!(
        kinds,
        ["made", "amended", "withdrawn", "withdrawn"],
        "nothing is erased"
    );
}

#[test]
fn a_check_left_out_keeps_its_reason_and_the_rest_is_left_out_on_closing() {
    let folder = TempDir::new().expect("a folder");
    let (plant, pump) = plant_and_packed_pump();
    let bench = at_the_pump(folder.path(), &plant, &pump);
    open_leak_off(&bench);
    bench.press("Not checked");
    bench.choose("no access");
    bench.must_show("not checked: no access");
    bench.press("Back");
    bench.press("Finish");
    bench.must_show("Still missing");
    bench.press("Close visit");
    bench.must_show("Why were the rest not checked?");
    bench.write("Another reason, in your own words", "called to the intake");
    bench.press("Leave out for this reason");
    bench.must_show("Visit closed.");

    let app = bench.close();
    let visit = app
        .store()
        .read()
        .visits_to(&pump, 1)
        .expect("visits")
        .remove(0);
    let entries = app
        .store()
        .read()
        .entries_of_visit(visit.visit)
        .expect("entries");
    let reasons: Vec<_> = entries
        .iter()
        .map(|row| reason(&row.entry.entered))
        .collect();
    assert_eq!(reasons.iter().filter(|why| *why == "no access").count(), 1);
    assert!(
        reasons
            .iter()
            .all(|why| why == "no access" || why == "called to the intake")
    );
}

fn reason(entered: &Entered) -> String {
    match entered {
        Entered::NotChecked { reason } => reason.clone(),
        other => format!("{other:?}"),
    }
}

/// A leak with a marked photo, the rest left out, the visit closed, a bundle written.
fn a_leak_with_a_photo(bench: &Bench, folder: &Path) {
    open_leak_off(bench);
    bench.count(4, 60);
    bench.press("Save");
    assert!(bench.find(AccessibleRole::Text, "act").is_some());
    bench.press("Photo");
    bench.give(&files::photo(folder, "leak.png"));
    bench.choose("Arrow");
    bench.draw_over(&bench.picture(), (0.2, 0.8), (0.4, 0.5));
    bench.choose("Circle");
    bench.draw_over(&bench.picture(), (0.5, 0.5), (0.7, 0.5));
    bench.choose("Note");
    bench.write(
        "Words of the note, then touch the place",
        "dry since the start",
    );
    bench.draw_over(&bench.picture(), (0.6, 0.3), (0.6, 0.3));
    bench.draw_over(&bench.picture(), (0.1, 0.1), (0.1, 0.1));
    bench.must_show_label(AccessibleRole::Image, "Photo with 4 marks");
    bench.press("Undo");
    bench.must_show_label(AccessibleRole::Image, "Photo with 3 marks");
    bench.choose("Arrow");
    bench.write("What the picture shows", "Gland of the stuffing box");
    bench.press("Save photo");
    bench.must_show("1 photo attached");
    bench.press("Back");
    bench.press("Finish");
    bench.press("Close visit");
    bench.choose("no time");
    bench.must_show("Visit closed.");
}

#[test]
fn what_the_operator_found_reaches_the_planner_whole() {
    let folder = TempDir::new().expect("a folder");
    let (plant, pump) = plant_and_packed_pump();
    let bench = at_the_pump(folder.path(), &plant, &pump);
    a_leak_with_a_photo(&bench, folder.path());
    bench.press("Send");
    bench.must_show("1 visit, ");
    let bundle = folder.path().join("round.lrbundle");
    view::send_to(&bench.desk, bundle.clone());
    bench.settle();
    bench.must_show("Bundle written.");
    bench.must_show("Everything is in a bundle.");
    let sent = bench.close();

    let planner = Bench::signed(folder.path(), "planner", plant.clone(), 9);
    planner.press("Setup and about");
    planner.choose("Planner");
    planner.press("Keep");
    planner.must_show("Nothing has come in yet.");
    planner.give(&bundle);
    planner.must_show("round.lrbundle: ");
    planner.must_show("1 open finding");
    planner.give(&bundle);
    planner.must_show("this file was taken in before; nothing changed");

    planner.press_beginning(&format!("{pump} Leak-off, "));
    planner.must_show("Leak-off 4 drops/min. This pump needs 10 to 40.");
    planner.must_show("seen once");
    planner.must_show_label(AccessibleRole::Image, "Photo with 3 marks");
    planner.scroll_to("Gland of the stuffing box");
    planner.must_show("Gland of the stuffing box");
    planner.must_show("dry since the start");
    planner.must_show("4 drops/min");
    planner.must_show("Jun Vale");
    planner.must_show("made up for the test");

    let received = planner.close();
    let (sent_records, received_records) = (records(&sent), records(&received));
    let missing = sent_records
        .iter()
        .filter(|bytes| !received_records.contains(bytes))
        .count();
    assert_eq!(missing, 0, "every record came over byte for byte");
    let photos = |app: &App| {
        let reader = app.store().read();
        let rows = reader.photos(PhotosOf::Pump(&pump)).expect("photos");
        let photo = |row: PhotoRow| {
            let bytes = reader
                .photo(row.taken.photo)
                .expect("readable")
                .expect("here")
                .bytes;
            (row.taken, bytes)
        };
        rows.into_iter().map(photo).collect::<Vec<_>>()
    };
    let sent_photos = photos(&sent);
    assert_eq!(sent_photos, photos(&received));
    let (taken, bytes) = &sent_photos[0];
    assert_eq!(Hash::of(bytes), taken.photo);
    assert!(matches!(
        &taken.marks[..],
        [Mark::Arrow { .. }, Mark::Circle { .. }, Mark::Note { text, .. }] if text == "dry since the start"
    ));
}

#[test]
fn many_bundles_given_at_once_are_all_taken_in_and_the_refused_ones_named() {
    let folder = TempDir::new().expect("a folder");
    let (plant, pump) = plant_and_packed_pump();
    let bench = at_the_pump(folder.path(), &plant, &pump);
    a_leak_with_a_photo(&bench, folder.path());
    let good = folder.path().join("good.lrbundle");
    view::send_to(&bench.desk, good.clone());
    drop(bench.close());
    let bytes = std::fs::read(&good).expect("the bundle");
    let short = files::put(folder.path(), "short.lrbundle", &bytes[..bytes.len() / 2]);

    let planner = Bench::signed(folder.path(), "planner", plant, 9);
    let copy = files::put(folder.path(), "copy.lrbundle", &bytes);
    view::take_in(&planner.desk, vec![short, good, copy]);
    planner.settle();
    planner.must_show("2 bundles taken in, 1 refused: the list of bundles says why.");
    planner.must_show("short.lrbundle: refused. ");
    planner.must_show("good.lrbundle: ");
    let app = planner.close();
    assert!(
        app.verify(&Default::default())
            .expect("a report")
            .is_clean()
    );
}
