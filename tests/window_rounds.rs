//! A round walked through the window, and findings followed, by accessible labels alone.

#![cfg(feature = "window")]

mod window_support;

use lantern_ring::{
    app::{App, BeginRound, FoundBy, Listed, SetOperator, Stage, StopStanding, Walk, Whereabouts},
    judge::Verdict,
    plant::{PumpId, RoundId},
    record::Still,
    sys::StillWorld,
    view,
};
use std::path::Path;
use tempfile::TempDir;
use window_support::{Bench, MORNING, demo_plant, files};

fn stock() -> RoundId {
    "stock".parse().expect("a round of the demo plant")
}

fn bench(folder: &Path) -> Bench {
    Bench::signed(folder, "operator", demo_plant(), 1)
}

fn open_stock(bench: &Bench) {
    bench.press("All rounds");
    bench.press_beginning("Stock preparation round");
}

fn go_to(bench: &Bench, pump: &str) {
    bench.press_beginning(&format!("Next stop: {pump}"));
}

/// Leaves the pump; what was not entered is left out for want of time.
fn leave(bench: &Bench) {
    bench.press("Finish");
    bench.press("Close visit");
    bench.choose("no time");
    bench.must_show("Visit closed.");
}

fn count_leak_off(bench: &Bench, drops: u32) {
    bench.press_place("Leak-off, packing drive end");
    bench.count(drops, 60);
    bench.press("Save");
    bench.press("Back");
}

fn scan(bench: &Bench, folder: &Path, pump: &str) {
    let pump: PumpId = pump.parse().expect("a pump of the demo plant");
    let tag = files::tag_text(&demo_plant(), &pump);
    bench.give(&files::code(folder, "tag.png", &tag));
}

/// Ends the window and opens another on the same store, which is told what the system kept.
fn ended_and_back(bench: Bench) -> Bench {
    let kept = view::place(&bench.desk).to_bytes().expect("it can be kept");
    let (store, world) = (bench.store.clone(), bench.world.clone());
    drop(bench.close());
    let bench = Bench::at(&store, world);
    let place = Whereabouts::from_bytes(&kept).expect("it can be read");
    view::return_to(&bench.desk, place);
    bench.settle();
    bench
}

fn last_walk(app: &mut App) -> Walk {
    let rounds = app.rounds_now().expect("rounds");
    let now = rounds.into_iter().find(|now| now.round == stock());
    let now = now.expect("the round");
    match (now.under_way, now.last_ended) {
        (Some(walk), _) => walk,
        (None, Some(ended)) => app.walk(ended).expect("a walk"),
        (None, None) => panic!("never walked"),
    }
}

#[test]
fn a_whole_round_is_walked_with_two_pumps_in_trouble() {
    let folder = TempDir::new().expect("a folder");
    let bench = bench(folder.path());
    open_stock(&bench);
    bench.press("Begin the round");
    bench.must_show("0 of 6 stops made");
    go_to(&bench, "ST-101");
    leave(&bench);
    // Loose packing.
    go_to(&bench, "ST-104A");
    count_leak_off(&bench, 200);
    leave(&bench);
    bench.press("Pass over ST-104B");
    bench.must_show("Why is ST-104B passed over?");
    bench.choose("no access");
    bench.must_show("2 of 6 stops made");
    bench.press_below("Lay the round aside");
    bench.press("Go on with the round");
    // Packing running dry; scanned out of turn, which counts as well.
    scan(&bench, folder.path(), "ST-112");
    leave(&bench);
    bench.must_show("3 of 6 stops made");
    go_to(&bench, "ST-106");
    count_leak_off(&bench, 2);
    leave(&bench);
    go_to(&bench, "ST-108");
    bench.press("New finding");
    let save = bench.button("Save finding");
    assert_eq!(save.accessible_enabled(), Some(false), "how bad, and what?");
    bench.choose("act");
    bench.choose("guard loose");
    bench.press("Save finding");
    bench.must_show("Finding saved.");
    leave(&bench);
    bench.must_show("5 of 6 stops made");
    bench.press_below("End the round");
    bench.must_show("Not checked");
    bench.scroll_to("ST-104B: the whole stop");
    bench.must_show("ST-104B: the whole stop");
    bench.must_show("no access");

    let mut app = bench.close();
    let walk = last_walk(&mut app);
    assert_eq!((walk.stage, walk.made()), (Stage::Ended, 5));
    let skipped = StopStanding::Skipped {
        reason: "no access".to_owned(),
        by: "Jun Vale".to_owned(),
    };
    assert_eq!(walk.stops[2].standing, skipped);
    assert!(walk.left_out().iter().all(|left| left.why.is_some()));
    let open = app.followed(&Listed {
        pump: None,
        open_only: true,
        most: 10,
    });
    let open = open.expect("findings");
    let mut at: Vec<_> = open.iter().map(|of| of.pump().as_str()).collect();
    at.sort_unstable();
    assert_eq!(at, ["ST-104A", "ST-106", "ST-108"]);
}

#[test]
fn the_rest_of_a_round_is_ended_only_with_a_reason() {
    let folder = TempDir::new().expect("a folder");
    let bench = bench(folder.path());
    open_stock(&bench);
    bench.press("Begin the round");
    bench.press_below("End the round");
    bench.must_show("Why was the rest not made?");
    bench.must_show("ST-101: the whole stop");
    bench.press("Back to the round");
    bench.press_below("End the round");
    bench.write("Another reason, in your own words", "called to the boiler");
    bench.press("End for this reason");
    bench.must_show("called to the boiler");
    let mut app = bench.close();
    let walk = last_walk(&mut app);
    assert_eq!((walk.stage, walk.made()), (Stage::Ended, 0));
}

#[test]
fn a_round_under_way_with_somebody_else_is_taken_over() {
    let folder = TempDir::new().expect("a folder");
    let store = folder.path().join("operator.lantern");
    let world = StillWorld::at(MORNING, 1);
    let mut app = App::create(&store, demo_plant(), Box::new(world)).expect("a store");
    app.perform(SetOperator("Shift A / K.".to_owned()))
        .expect("a name");
    app.perform(BeginRound(stock())).expect("a round");
    app.perform(SetOperator("Jun Vale".to_owned()))
        .expect("a name");
    drop(app);
    let bench = Bench::open(&store, 2);
    open_stock(&bench);
    bench.must_show("Shift A / K.");
    bench.press("Take over the round");
    bench.must_show("Jun Vale");
    bench.press_below("Lay the round aside");
    bench.must_show("Laid aside since");
    let mut app = bench.close();
    assert_eq!(last_walk(&mut app).by, "Jun Vale");
}

#[test]
fn a_walk_that_nobody_ended_is_told_and_keeps_nobody_from_beginning_anew() {
    let folder = TempDir::new().expect("a folder");
    let bench = bench(folder.path());
    open_stock(&bench);
    bench.press("Begin the round");
    bench.press("Back");
    bench.press("Back");
    bench.pass(17 * 3600);
    open_stock(&bench);
    bench.must_show("never ended it");
    bench.press("End the one left lying");
    bench.choose("no time");
    open_stock_again(&bench);
    bench.press("Begin the round");
    bench.must_show("0 of 6 stops made");
    let mut app = bench.close();
    let walk = last_walk(&mut app);
    assert_eq!(
        (walk.stage, walk.by.as_str()),
        (Stage::UnderWay, "Jun Vale")
    );
}

fn open_stock_again(bench: &Bench) {
    bench.press("Back");
    bench.press_beginning("Stock preparation round");
}

#[test]
fn a_finding_by_hand_is_asked_about_at_each_visit_until_it_is_closed() {
    let folder = TempDir::new().expect("a folder");
    let at = folder.path();
    let bench = bench(at);
    scan(&bench, at, "ST-108");
    bench.press("New finding");
    bench.choose("watch");
    bench.scroll_to("Or in your own words");
    bench.write("Or in your own words", "Guard rattles.");
    bench.press("Save finding");
    assert!(
        !bench.has_button("Worse"),
        "nothing is asked of what was just found"
    );
    leave(&bench);

    bench.pass(8 * 3600);
    scan(&bench, at, "ST-108");
    bench.must_show("Guard rattles.");
    bench.press("Worse");
    assert!(!bench.has_button("Worse"), "it is asked once a visit");
    leave(&bench);

    bench.pass(8 * 3600);
    scan(&bench, at, "ST-108");
    bench.press("Gone");
    bench.must_show("What made it good?");
    bench.choose("tightened");
    bench.must_show("Finding closed.");
    bench.must_show("New finding");

    let app = bench.close();
    let all = app.followed(&Listed {
        pump: None,
        open_only: false,
        most: 10,
    });
    let all = all.expect("findings");
    assert_eq!((all.len(), all[0].is_open()), (1, false));
    let FoundBy::Hand(hand) = &all[0].what else {
        panic!("{all:?}");
    };
    assert_eq!(hand.severity, Verdict::Watch);
    let said: Vec<_> = hand
        .notes
        .iter()
        .map(|note| (note.still, note.words.as_str()))
        .collect();
    assert_eq!(said, [(Some(Still::Worse), ""), (None, "tightened")]);
}

#[test]
fn the_planner_sees_a_finding_by_hand_follows_it_and_closes_it() {
    let folder = TempDir::new().expect("a folder");
    let at = folder.path();
    let bench = bench(at);
    scan(&bench, at, "ST-108");
    bench.press("New finding");
    bench.choose("act");
    bench.choose("rusted through");
    bench.scroll_to("Likely cause, if you know it");
    bench.write("Likely cause, if you know it", "drips from the walkway");
    bench.press("Save finding");
    leave(&bench);
    bench.press("Setup and about");
    bench.choose("Planner");
    bench.press("Keep");
    bench.press_beginning("ST-108");
    bench.must_show("Found by hand");
    bench.must_show("Likely cause: Drips from the walkway");
    bench.press("Still so");
    bench.must_show("Still so (Jun Vale");
    bench.press("Close the finding");
    bench.choose("part renewed");
    bench.must_show("Finding closed.");
    bench.must_show("0 open findings");
    bench.close();
}

#[test]
fn an_app_the_system_ended_between_two_stops_comes_back_to_the_round_and_at_a_stop_on_it() {
    let folder = TempDir::new().expect("a folder");
    let bench = bench(folder.path());
    open_stock(&bench);
    bench.press("Begin the round");
    let bench = ended_and_back(bench);
    bench.must_show("0 of 6 stops made");

    go_to(&bench, "ST-101");
    let bench = ended_and_back(bench);
    leave(&bench);
    bench.must_show("1 of 6 stops made");
}
