//! Bad input through the window: each is answered by a sentence, and nothing is lost.

#![cfg(feature = "window")]

#[cfg(target_os = "linux")]
mod full_disk_support;
mod window_support;

use i_slint_backend_testing::AccessibleRole;
use lantern_ring::{
    check::{self, RunningState},
    plant::{CheckKind, Plant, PumpId},
    store::PhotosOf,
    view::{Entry, Nav, Page, Visit},
};
use slint::ComponentHandle;
use std::path::Path;
use tempfile::TempDir;
use window_support::{Bench, cases::pump_with_most_to_check, demo_plant, files};

fn bench_and_pump(folder: &Path) -> (Bench, Plant, PumpId) {
    let plant = demo_plant();
    let pump = pump_with_most_to_check(&plant, true);
    let bench = Bench::signed(folder, "operator", plant.clone(), 1);
    (bench, plant, pump)
}

fn page(bench: &Bench) -> Page {
    bench.desk.window().global::<Nav>().get_page()
}

#[test]
fn a_picture_that_leads_to_no_pump_is_answered_by_a_sentence() {
    let folder = TempDir::new().expect("a folder");
    let at = folder.path();
    let (bench, plant, pump) = bench_and_pump(at);
    let own = files::tag_text(&plant, &pump);
    let png = std::fs::read(files::code(at, "whole.png", &own)).expect("a file");
    let other_plant = own.replace("KESTREL-NESS", "GANNET-SKERRY");
    let (before, check_character) = own.split_at(own.len() - 1);
    let wrong = if check_character == "A" { "B" } else { "A" };
    // A PNG of 60,000 by 60,000 pixels by its header, and nothing behind it.
    let mut huge = png.clone();
    huge[16..24].copy_from_slice(&[0, 0, 0xEA, 0x60, 0, 0, 0xEA, 0x60]);
    for (file, words) in [
        (files::put(at, "text.png", b"no picture at all"), "picture"),
        (files::put(at, "cut.png", &png[..png.len() / 3]), "picture"),
        (files::put(at, "huge.png", &huge), "picture"),
        (files::put(at, "empty.png", b""), "picture"),
        (files::blank(at, "blank.png"), "code"),
        (at.join("gone.png"), "gone.png"),
        (
            files::code(at, "plant.png", &other_plant),
            "TAGS.GANNET-SKERRY.EXAMPLE",
        ),
        (
            files::code(at, "wrong.png", &format!("{before}{wrong}")),
            "again",
        ),
    ] {
        bench.give(&file);
        assert_eq!(page(&bench), Page::Scan, "{}", file.display());
        bench.must_show(words);
        assert!(bench.has_button("Scan again"));
        bench.press("Scan again");
    }
    // And the very next tag is read.
    bench.give(&files::code(at, "tag.png", &own));
    assert_eq!(page(&bench), Page::Visit);
}

#[test]
fn a_foreign_code_is_shown_and_opens_a_pump_only_once_somebody_said_which() {
    let folder = TempDir::new().expect("a folder");
    let (bench, _, pump) = bench_and_pump(folder.path());
    let code = files::code(folder.path(), "nameplate.png", "SERIAL 0042-17");
    bench.give(&code);
    bench.must_show("SERIAL 0042-17");
    bench.press_beginning("Take this code as a pump's tag");
    bench.write("Search the pump", pump.as_str());
    bench.press_beginning(&format!("{pump} "));
    bench.must_show("Say yes only if you stand at the pump");
    assert_eq!(page(&bench), Page::Scan);
    bench.press("Leave it");
    bench.give(&code);
    assert_eq!(page(&bench), Page::Scan, "nothing was adopted yet");
    bench.press_beginning("Take this code as a pump's tag");
    bench.write("Search the pump", pump.as_str());
    bench.press_beginning(&format!("{pump} "));
    bench.press(&format!("Yes, it is {pump}"));
    assert_eq!(page(&bench), Page::Visit);
    bench.press("Back");
    bench.give(&code);
    assert_eq!(page(&bench), Page::Visit, "from now on it opens the pump");
}

#[test]
fn of_several_codes_in_one_picture_somebody_chooses() {
    let folder = TempDir::new().expect("a folder");
    let (bench, plant, pump) = bench_and_pump(folder.path());
    let own = files::tag_text(&plant, &pump);
    bench.give(&files::two_codes(
        folder.path(),
        "two.png",
        [&own, "SERIAL 0042-17"],
    ));
    assert_eq!(page(&bench), Page::Scan);
    bench.must_show("SERIAL 0042-17");
    bench.press_beginning(&own);
    assert_eq!(page(&bench), Page::Visit);
    bench.must_show(pump.as_str());
}

#[test]
fn a_number_that_cannot_be_is_refused_and_stays_to_be_put_right() {
    let folder = TempDir::new().expect("a folder");
    let (bench, plant, pump) = bench_and_pump(folder.path());
    bench.give(&files::code(
        folder.path(),
        "tag.png",
        &files::tag_text(&plant, &pump),
    ));
    bench.choose("Running");
    let checks = check::list(plant.pump(&pump).expect("the pump"), RunningState::Running);
    let number = checks
        .iter()
        .position(|check| check.id.kind == CheckKind::DischargePressure);
    let visit = bench.desk.window().global::<Visit>();
    visit.invoke_open_check(i32::try_from(number.expect("a gauge")).expect("few checks"));
    bench.settle();
    bench.press("Save");
    bench.must_show("Nothing entered; key in the number, or say why it was not checked.");
    bench.key_in("99999");
    bench.press("Save");
    bench.must_show("is outside what the instrument can show");
    bench.must_show_label(AccessibleRole::Text, "99999 bar");
    bench.key_in("1.");
    bench.press("Save");
    bench.must_show("ends in its decimal sign");
    bench.key_in("1.234");
    bench.press("Save");
    bench.must_show("could be 1234 or 1 and a bit");
    bench.key_in("1.2");
    bench.press("Save");
    assert!(bench.has_button("Correct"), "it was taken");
}

#[test]
fn nothing_chosen_set_or_counted_is_said_and_not_saved() {
    let folder = TempDir::new().expect("a folder");
    let (bench, plant, pump) = bench_and_pump(folder.path());
    bench.give(&files::code(
        folder.path(),
        "tag.png",
        &files::tag_text(&plant, &pump),
    ));
    bench.choose("Running");
    bench.press_place("Noise");
    bench.press("Save");
    bench.must_show("Nothing chosen yet");
    bench.press("Back");
    bench.press_place("Suction level");
    bench.press("Save");
    bench.must_show("No level set yet");
    bench.press("Back");
    bench.must_show("0 of ");
}

#[test]
fn a_count_stopped_too_early_is_gone_on_with_until_it_is_enough() {
    let folder = TempDir::new().expect("a folder");
    let (bench, plant, pump) = bench_and_pump(folder.path());
    bench.give(&files::code(
        folder.path(),
        "tag.png",
        &files::tag_text(&plant, &pump),
    ));
    bench.choose("Running");
    bench.press_place("Leak-off, packing drive end");
    bench.count(4, 20);
    bench.must_show("Stopped before enough was counted.");
    bench.press("Save");
    bench.must_show("A count of 4 in 20 s says little");
    bench.pass(300);
    bench.press("Count on");
    bench.pass(10);
    bench.must_show("Enough: below the band.");
    bench.press("Stop counting");
    bench.press("Save");
    bench.must_show("Leak-off 8 drops/min.");
}

#[test]
fn a_photo_that_is_none_is_refused_and_the_one_before_it_kept() {
    let folder = TempDir::new().expect("a folder");
    let at = folder.path();
    let (bench, plant, pump) = bench_and_pump(at);
    bench.give(&files::code(at, "tag.png", &files::tag_text(&plant, &pump)));
    bench.press("Photo");
    let text = files::put(at, "notes.jpg", b"these are words");
    bench.give(&text);
    bench.must_show("picture");
    assert!(!bench.has_button("Save photo"));
    bench.give(&files::photo(at, "leak.png"));
    bench.choose("Circle");
    bench.draw_over(&bench.picture(), (0.5, 0.5), (0.7, 0.5));
    bench.give(&text);
    bench.must_show_label(AccessibleRole::Image, "Photo with 1 mark");
    bench.press("Save photo");
    bench.must_show("Photo saved.");
    let app = bench.close();
    let photos = app
        .store()
        .read()
        .photos(PhotosOf::Pump(&pump))
        .expect("photos");
    assert_eq!(photos.len(), 1);
    assert_eq!(photos[0].taken.marks.len(), 1);
}

#[test]
#[cfg(target_os = "linux")]
fn an_entry_that_finds_no_room_on_the_disk_says_so_and_stays_to_be_saved_once_there_is_room() {
    full_disk_support::on_a_small_disk(
        "an_entry_that_finds_no_room_on_the_disk_says_so_and_stays_to_be_saved_once_there_is_room",
        |disk| {
            let folder = TempDir::new().expect("a folder");
            let (bench, plant, pump) = bench_and_pump(disk.folder());
            bench.give(&files::code(
                folder.path(),
                "tag.png",
                &files::tag_text(&plant, &pump),
            ));
            bench.press_place("Discharge pressure");
            bench.key_in("2.3");
            disk.fill();
            bench.press("Save");
            bench.must_show("The disk is full, so this was not saved");
            let entry = bench.desk.window().global::<Entry>();
            assert_eq!(
                (entry.get_saved(), entry.get_typed()),
                (false, "2.3".into())
            );

            disk.free();
            bench.press("Save");
            assert!(entry.get_saved() && !bench.shows("The disk is full"));
        },
    );
}
