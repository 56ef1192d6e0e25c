//! Pictures of every screen in every state that matters, in the folder `pictures`, to be looked at by people:
//! `cargo test --test pictures`.

#![cfg(feature = "window")]

mod pictures_history;
mod window_support;

use lantern_ring::{
    check::{self, EntryKind, RunningState},
    plant::{CheckKind, Plant, PumpId},
    view::{
        Diagnosis, Entry, Finding, Home, Incoming, MessageKind, Page, Photo, Remedy, Running, Side,
        Visit,
    },
};
use pictures_history::{
    camera::{Camera, VARIANTS},
    walked,
};
use slint::{ComponentHandle, Model};
use std::{fs, path::Path};
use tempfile::TempDir;
use window_support::{Bench, demo_plant, files};

fn packed_pump(plant: &Plant) -> PumpId {
    window_support::cases::pump_with_most_to_check(plant, true)
}

/// The pump is seen to be running; the choice may lie below the edge of a small window.
fn run(bench: &Bench) {
    let visit = bench.desk.window().global::<Visit>();
    visit.invoke_set_running(Running::Running);
    bench.settle();
}

/// Opens the first check of the visit that is entered in this way.
fn open_first(bench: &Bench, plant: &Plant, pump: &PumpId, is: impl Fn(&check::Check) -> bool) {
    let checks = check::list(plant.pump(pump).expect("the pump"), RunningState::Running);
    let index = checks.iter().position(is).expect("a check of this kind");
    let visit = bench.desk.window().global::<Visit>();
    visit.invoke_open_check(i32::try_from(index).expect("few checks"));
    bench.settle();
}

fn operator_screens(camera: &Camera<'_>, plant: &Plant, folder: &Path) {
    let bench = camera.bench;
    bench.nav().set_side(Side::Operator);
    camera.go(Page::Home);
    camera.take("home");
    bench.press_below("All rounds");
    camera.take("rounds");
    bench.press_beginning("Stock preparation round");
    camera.take("round");
    camera.go(Page::Home);
    bench.write("Search pumps", "nothing like it");
    camera.take("home-search-fits-nothing");
    bench.write("Search pumps", "");
    camera.go(Page::Scan);
    camera.take("scan");
    bench.press_below("Key in the short id");
    bench.press_below("7");
    bench.press_below("K");
    camera.take("scan-short-id");
    camera.go(Page::Home);
    for (name, file) in [
        (
            "scan-foreign",
            files::code(folder, "foreign.png", "SERIAL 0042-17"),
        ),
        (
            "scan-several",
            files::two_codes(folder, "two.png", ["SERIAL 0042-17", "LOT 9"]),
        ),
        ("scan-nothing", files::blank(folder, "blank.png")),
        (
            "scan-no-picture",
            files::put(folder, "no.png", b"no picture"),
        ),
    ] {
        bench.give(&file);
        camera.take(name);
    }
    bench.give(&files::code(folder, "foreign.png", "SERIAL 0042-17"));
    bench.press_beginning("Take this code");
    camera.take("scan-adopt");
    camera.go(Page::Home);

    let hazardous = plant.pumps.iter().find(|pump| pump.hazard.is_some());
    let hazardous = hazardous.expect("a hazardous liquid").id.clone();
    bench.give(&files::code(
        folder,
        "tag.png",
        &files::tag_text(plant, &hazardous),
    ));
    camera.take("visit-hazard");
    bench.desk.window().global::<Visit>().invoke_open_check(0);
    camera.take("entry-hazard");

    let pump = packed_pump(plant);
    bench.give(&files::code(
        folder,
        "tag.png",
        &files::tag_text(plant, &pump),
    ));
    run(bench);
    entry_screens(camera, plant, &pump);
    photo_screens(camera, folder);
    procedure_screens(camera, plant, folder);
    bench.give(&files::code(
        folder,
        "tag.png",
        &files::tag_text(plant, &pump),
    ));
    bench.desk.window().global::<Visit>().invoke_finish();
    camera.take("summary");
    if camera.is_phone() {
        bench.press_below("Close visit");
        camera.take("summary-leaving-out");
    }
    camera.go(Page::Home);
    camera.take("home-with-open-visit");
    camera.go(Page::Handover);
    camera.take("handover");
    camera.go(Page::Home);
    camera.go(Page::Due);
    camera.take("due");
    camera.go(Page::Home);
    camera.go(Page::Send);
    camera.take("send");
    camera.go(Page::Setup);
    camera.take("setup");
    camera.go(Page::About);
    camera.take("about");
    camera.go(Page::Home);
}

fn procedure_screens(camera: &Camera<'_>, plant: &Plant, folder: &Path) {
    let bench = camera.bench;
    let pump = "RW-101A".parse().expect("a pump of a pair");
    let tag = files::tag_text(plant, &pump);
    bench.give(&files::code(folder, "tag.png", &tag));
    bench.press_below("Procedures");
    camera.take("procedures");
    bench.press_below("Change over");
    camera.take("procedure-chosen");
    bench.press_below("Begin");
    camera.take("procedure-warning");
    bench.press_below("Understood");
    bench.scroll_to("Name of who gave it");
    bench.write("Name of who gave it", "K. Brand");
    camera.take("procedure-permission");
    bench.press_below("Permission given");
    camera.take("procedure-question");
    bench.choose("No");
    bench.press_below("Confirm");
    camera.take("procedure-stopped");
    bench.choose("Yes");
    bench.press_below("Confirm");
    camera.take("procedure-entry");
    camera.go(Page::Home);
    camera.take("home-with-procedure");
    bench.press_beginning("Go on: Change over");
    bench.press_below("Break off…");
    camera.take("procedure-why");
    bench.choose("not needed any more");
    camera.take("procedure-over");
    camera.go(Page::Home);
}

fn entry_screens(camera: &Camera<'_>, plant: &Plant, pump: &PumpId) {
    let bench = camera.bench;
    let entry = || bench.desk.window().global::<Entry>();
    let kind = |kind: CheckKind| move |check: &check::Check| check.id.kind == kind;
    open_first(bench, plant, pump, kind(CheckKind::SuctionPressure));
    camera.take("entry-number-empty");
    entry().invoke_save();
    camera.take("entry-number-nothing-entered");
    entry().set_typed("1.2".into());
    entry().invoke_typed_changed("1.2".into());
    camera.take("entry-number");
    if camera.is_phone() && bench.has_button("Use the gauge") {
        bench.press_below("Use the gauge");
        camera.take("entry-gauge");
    }
    open_first(bench, plant, pump, kind(CheckKind::OilLevel));
    go_on(camera);
    camera.take("entry-level-empty");
    entry().invoke_set_level(0.45);
    camera.take("entry-level");
    open_first(bench, plant, pump, kind(CheckKind::Noise));
    entry().invoke_choose_choice(1);
    camera.take("entry-choice");
    bench.press_below("Not checked");
    camera.take("entry-leaving-out");
    open_first(bench, plant, pump, kind(CheckKind::CouplingGuard));
    camera.take("entry-yes-no");
    open_first(bench, plant, pump, kind(CheckKind::Remark));
    camera.take("entry-words");
    open_first(bench, plant, pump, kind(CheckKind::LeakOff));
    if !entry().get_saved() {
        camera.take("entry-count");
        bench.count(4, 60);
        entry().invoke_save();
    }
    camera.take("entry-result");
    entry().invoke_correct();
    camera.take("entry-count-correcting");
    go_on(camera);
    entry().invoke_count_tap();
    bench.pass(1);
    for _ in 0..3 {
        entry().invoke_count_tap();
    }
    bench.pass(11);
    camera.take("entry-counting");
    bench.pass(140);
    camera.take("entry-counting-enough");
    entry().invoke_count_stop();
    camera.take("entry-counted-enough");
    computed_screens(camera, plant, pump);
    remedy_screens(camera, pump);
    camera.go(Page::Visit);
    camera.take("visit");
    let feels = plant.pumps.iter().find(|pump| {
        check::list(pump, RunningState::Running)
            .iter()
            .any(|check| matches!(check.kind, EntryKind::Feel(check::FeelScale::Heat)))
    });
    let feels = feels.expect("a pump to be felt").id.clone();
    bench
        .desk
        .window()
        .global::<Home>()
        .invoke_open_pump(feels.as_str().into());
    bench.settle();
    run(bench);
    open_first(bench, plant, &feels, |check| {
        matches!(check.kind, EntryKind::Feel(_))
    });
    entry().invoke_choose_feel(3);
    camera.take("entry-feel");
    bench
        .desk
        .window()
        .global::<Home>()
        .invoke_open_pump(pump.as_str().into());
    bench.settle();
}

/// What entries come to: a stream, workings, causes, trends.
fn computed_screens(camera: &Camera<'_>, plant: &Plant, pump: &PumpId) {
    let bench = camera.bench;
    let entry = || bench.desk.window().global::<Entry>();
    let diagnosis = || bench.desk.window().global::<Diagnosis>();
    let leak_off = |check: &check::Check| check.id.kind == CheckKind::LeakOff;
    open_first(bench, plant, pump, leak_off);
    entry().invoke_correct();
    entry().set_pooling(true);
    entry().invoke_pooling_changed(true);
    go_on(camera);
    camera.take("entry-stream-empty");
    entry().set_pool_volume("9".into());
    entry().invoke_pool_typed();
    entry().invoke_pool_clock();
    bench.pass(20);
    camera.take("entry-stream");
    entry().set_pooling(false);
    entry().invoke_pooling_changed(false);
    bench.count(0, 60);
    entry().invoke_save();
    camera.unfold_long("entry-worked", "Rate counted, ");
    entry().invoke_open_diagnosis();
    camera.take("diagnosis");
    camera.unfold_long("diagnosis-unfolded", "A, ");
    diagnosis().invoke_open_telling();
    camera.take("entry-asked-for-besides");
    camera.go(Page::Visit);
    camera.unfold_long("visit-worked", "Worked out, ");
    open_first(bench, plant, pump, |check| {
        check.id.kind == CheckKind::BearingTemperature
    });
    entry().invoke_open_trend();
    camera.take("trend");
    camera.take_long("trend-whole", 3.0);
}

/// Something put right: what can be, the gland's nuts alike and one by one, the wait, and where it goes on.
fn remedy_screens(camera: &Camera<'_>, pump: &PumpId) {
    let window = camera.bench.desk.window();
    let remedy = || window.global::<Remedy>();
    let open = |pump: &str| {
        window.global::<Home>().invoke_open_pump(pump.into());
        camera.bench.settle();
        run(camera.bench);
    };
    // At a packing that ran dry, as this pump's has by now, no nuts are drawn. This one leaks too much.
    open("ST-104A");
    remedy().invoke_open();
    camera.take("remedy-choose");
    remedy().invoke_choose(0);
    camera.take("remedy-nuts");
    remedy().invoke_set_nuts(6);
    remedy().invoke_set_alike(false);
    remedy().invoke_turn(1, -1);
    camera.take_long("remedy-nuts-uneven", 2.0);
    remedy().invoke_back();
    remedy().invoke_choose(1);
    camera.take("remedy-oil");
    remedy().invoke_back();
    remedy().invoke_choose(0);
    remedy().invoke_save();
    camera.take("remedy-wait");
    open(pump.as_str());
}

/// A small window shows the cautions first where they leave no room.
fn go_on(camera: &Camera<'_>) {
    if camera.bench.has_button("Go on") {
        camera.take("entry-read-first");
        camera.bench.press_below("Go on");
    }
}

fn photo_screens(camera: &Camera<'_>, folder: &Path) {
    let bench = camera.bench;
    bench.desk.window().global::<Visit>().invoke_open_photo();
    camera.take("photo-empty");
    bench.give(&files::put(folder, "text.jpg", b"no picture"));
    camera.take("photo-no-picture");
    bench.give(&files::photo(folder, "leak.png"));
    bench.choose("Arrow");
    bench.draw_over(&bench.picture(), (0.2, 0.8), (0.4, 0.5));
    bench.choose("Circle");
    bench.draw_over(&bench.picture(), (0.5, 0.5), (0.65, 0.5));
    bench.choose("Note");
    bench.write(
        "Words of the note, then touch the place",
        "wet since the start",
    );
    bench.draw_over(&bench.picture(), (0.3, 0.25), (0.3, 0.25));
    camera.take("photo-marked");
    bench.desk.window().global::<Photo>().invoke_discard();
}

fn planner_screens(camera: &Camera<'_>, bundle: &Path, folder: &Path) {
    let bench = camera.bench;
    bench.nav().set_side(Side::Planner);
    camera.go(Page::Home);
    camera.go(Page::Incoming);
    camera.take("incoming-message");
    bench.session().set_message("".into());
    camera.take("incoming-findings");
    if camera.is_phone() {
        bench.choose("Came in");
        camera.take("incoming-arrivals");
        bench.choose("Bundles");
        camera.take("incoming-bundles");
        bench.choose("Findings");
    }
    let findings = bench.desk.window().global::<Incoming>().get_findings();
    let with_photo = findings.iter().find(|finding| finding.photos > 0);
    let plain = findings.iter().find(|finding| finding.photos == 0);
    for (name, finding) in [("finding-photo", with_photo), ("finding-plain", plain)] {
        let finding = finding.unwrap_or_else(|| panic!("the history holds a {name}"));
        let incoming = bench.desk.window().global::<Incoming>();
        incoming.invoke_open_finding(finding.id);
        camera.take(name);
        if name == "finding-plain" {
            bench
                .desk
                .window()
                .global::<Finding>()
                .invoke_open_diagnosis();
            camera.take("diagnosis-planner");
        }
        camera.go(Page::Incoming);
    }
    bench.give(&files::put(
        folder,
        "cut.lrbundle",
        &fs::read(bundle).expect("bundle")[..4000],
    ));
    camera.take("incoming-refused");
    bench.session().set_message("".into());
    bench.session().set_message_kind(MessageKind::Note);
}

#[test]
fn every_screen_is_drawn() {
    let folder = TempDir::new().expect("a folder");
    let plant = demo_plant();
    let (app, bundle) = walked(folder.path(), &plant, &packed_pump(&plant));
    let store = folder.path().join("operator.lantern");
    drop(app);
    let bench = Bench::open(&store, 6);
    for variant in &VARIANTS {
        operator_screens(&Camera::new(&bench, variant), &plant, folder.path());
    }
    drop(bench.close());

    let bench = Bench::signed(folder.path(), "planner", plant, 7);
    bench.give(&bundle);
    for variant in &VARIANTS {
        planner_screens(&Camera::new(&bench, variant), &bundle, folder.path());
    }
}
