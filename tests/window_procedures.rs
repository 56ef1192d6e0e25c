//! Procedures worked through the window: a change over that holds, one that fails, an app killed in the middle.

#![cfg(feature = "window")]

mod procedure_support;
mod window_support;

use i_slint_backend_testing::AccessibleRole;
use lantern_ring::{
    app::{App, BeginProcedure, GoOn, ProcedureRun, SetOperator, Whereabouts},
    plant::PumpId,
    procedure::{Asks, Ending, How},
    record::Deed,
    store::DeedsOf,
    sys::StillWorld,
    view::{self, Entry, Nav, Page, Run},
};
use slint::ComponentHandle;
use std::path::{Path, PathBuf};
use tempfile::TempDir;
use uuid::Uuid;
use window_support::{Bench, MORNING, demo_plant, files};

const A: &str = "RW-101A";
const B: &str = "RW-101B";

fn pump(id: &str) -> PumpId {
    id.parse().expect("a pump")
}

/// The same store without its window, to go over steps that are not what is looked at.
struct Between {
    app: App,
    world: StillWorld,
    store: PathBuf,
}

impl Between {
    fn new(folder: &Path) -> Self {
        let store = folder.join("operator.lantern");
        let world = StillWorld::at(MORNING, 1);
        let mut app = App::create(&store, demo_plant(), Box::new(world.clone())).expect("a store");
        app.perform(SetOperator("Jun Vale".to_owned()))
            .expect("a name");
        Self { app, world, store }
    }

    /// After the window was closed, or killed: nothing is kept but the store.
    fn after(bench: Bench) -> Self {
        let (store, world) = (bench.store.clone(), bench.world.clone());
        let app = bench.close();
        Self { app, world, store }
    }

    fn window(self) -> Bench {
        let Self { app, world, store } = self;
        drop(app);
        Bench::at(&store, world)
    }

    fn begin(&mut self, procedure: &str, at: &str, partner: Option<&str>) {
        let begin = BeginProcedure {
            procedure: procedure.to_owned(),
            pump: pump(at),
            partner: partner.map(pump),
        };
        self.app.perform(begin).expect("begun");
    }

    fn run(&self) -> ProcedureRun {
        let mut runs = self.app.runs_at(&pump(A), 1).expect("runs");
        runs.pop().expect("a run")
    }

    fn walk_to(&mut self, id: &str) {
        self.walk_until(|at| at == id);
    }

    /// To the first step of a check of this kind.
    fn walk_to_check(&mut self, kind: &str) {
        self.walk_until(|at| at.contains(kind));
    }

    fn walk_until(&mut self, is_there: impl Fn(&str) -> bool) {
        loop {
            let run = self.run();
            if is_there(&run.run.step().expect("a step").1.id) {
                return;
            }
            for what in procedure_support::good(&run.run) {
                self.wait_out(run.id);
                let go_on = GoOn { run: run.id, what };
                self.app.perform(go_on).expect("a good step");
            }
        }
    }

    fn wait_out(&mut self, run: Uuid) {
        let run = self.app.procedure_run(run).expect("the run").run;
        let now_ms = self.app.now().utc_ms;
        if let Some(Asks::Wait(deadline_ms)) = run.now(now_ms).map(|now| now.asks) {
            self.world.pass((deadline_ms - now_ms).max(0));
        }
    }

    /// The number that was noted before the change over, as it is keyed in.
    fn pressure_before(&self) -> f64 {
        let run = self.run().run;
        let noted = run.passed().find(|(step, _)| step.id == "pressure-before");
        match &noted.expect("noted").1.how {
            How::Entered { entered, .. } => entered.measured().expect("a number").0,
            other => panic!("{other:?}"),
        }
    }

    fn turned(&self, id: &str) -> Vec<bool> {
        let deeds = self
            .app
            .store()
            .read()
            .deeds(DeedsOf::Pump(&pump(id)), 1_000);
        let turned = deeds
            .expect("deeds")
            .into_iter()
            .filter_map(|row| match row.deed {
                Deed::PumpTurned { runs, .. } => Some(runs),
                _ => None,
            });
        turned.collect()
    }
}

/// Number and words of the step on the screen.
fn step(bench: &Bench) -> (i32, String) {
    let run = bench.desk.window().global::<Run>();
    (run.get_number(), run.get_words().into())
}

fn key_in(bench: &Bench, number: f64) {
    // Cautions are read before.
    if bench.has_button("Go on") {
        bench.press("Go on");
    }
    bench.key_in(&format!("{number}"));
    bench.press("Enter");
}

#[test]
fn a_change_over_is_begun_from_the_pumps_page_and_asks_for_each_thing_in_turn() {
    let folder = TempDir::new().expect("a folder");
    let plant = demo_plant();
    let bench = Bench::signed(folder.path(), "operator", plant.clone(), 1);
    bench.give(&files::code(
        folder.path(),
        "tag.png",
        &files::tag_text(&plant, &pump(A)),
    ));
    bench.press("Procedures");
    bench.press("Not for this pump");
    bench.must_show("Prime by flooded suction: it is for pumps primed by flooded suction.");
    bench.press("Change over");
    bench.must_show("Your plant's procedure rules.");
    bench.press("Begin");

    bench.must_show("Step 1 of ");
    bench.press("Understood");
    bench.must_show("Ask the control room whether the pumps may be changed over now");
    assert!(
        !bench.has_button("Skip this step…"),
        "a permission is never skipped"
    );
    bench.press("Permission given");
    bench.must_show("Say who gave the permission");
    bench.write("Name of who gave it", "K. Brand");
    bench.press("Permission given");
    bench.must_show("Permission by K. Brand");
    bench.press("Confirm");
    bench.must_show("Nothing chosen yet");
    bench.choose("No");
    bench.press("Confirm");
    bench.must_show("Stopped here. Answered no. Open the change over at the pump that runs.");
    bench.choose("Yes");
    bench.press("Confirm");
    bench.must_show("This is what the new pump will have to hold.");
    key_in(&bench, 2.3);

    let between = Between::after(bench);
    let run = between.run().run;
    assert_eq!(run.passed().count(), 4);
    assert_eq!(run.tries().len(), 1);
    let check = "discharge_pressure@discharge".parse().expect("a check");
    let entries = between.app.store().read().history(&pump(A), check, 5);
    assert_eq!(entries.expect("history").len(), 1, "it stands at the pump");
}

#[test]
fn a_change_over_that_holds_goes_to_its_end() {
    let folder = TempDir::new().expect("a folder");
    let mut between = Between::new(folder.path());
    between.begin("change_over", A, Some(B));
    between.walk_to("throttle");
    let pressure = between.pressure_before();
    let bench = between.window();
    bench.press("Go on: Change over, RW-101A with RW-101B");
    bench.must_show("Discharge valve: crack it, a little open.");
    bench.choose("It stands cracked, a little open");
    bench.press("Confirm");
    bench.press("Begin the wait of 2 min");
    bench.must_show_label(AccessibleRole::Button, "Wait, 2:00 left");
    bench.pass(75);
    bench.must_show_label(AccessibleRole::Button, "Wait, 0:45 left");
    bench.pass(45);
    bench.press("Waited, go on");
    bench.must_show_label(AccessibleRole::Text, "At pump RW-101B");
    bench.must_show("It must have held before the old pump is stopped.");
    bench.must_show("Before it was ");
    key_in(&bench, pressure);
    assert!(!bench.shows("Stopped here"));

    let mut between = Between::after(bench);
    between.walk_to("tell");
    let bench = between.window();
    bench.press("Go on: Change over, RW-101A with RW-101B");
    bench.press("Done");
    bench.must_show("Every step is done.");
    bench.press("Finish");
    bench.must_show("Finished by Jun Vale");
    bench.press("Close");
    assert!(!bench.has_button("Go on: Change over, RW-101A with RW-101B"));

    let between = Between::after(bench);
    assert!(matches!(
        between.run().run.ending(),
        Some(Ending::Finished(_))
    ));
    assert_eq!(
        (between.turned(A), between.turned(B)),
        (vec![false], vec![true])
    );
}

#[test]
fn a_change_over_whose_pressure_drops_is_stopped_with_what_to_do_and_broken_off_with_a_reason() {
    let folder = TempDir::new().expect("a folder");
    let mut between = Between::new(folder.path());
    between.begin("change_over", A, Some(B));
    between.walk_to("held");
    let low = (between.pressure_before() * 90.0).floor() / 100.0;
    let bench = between.window();
    bench.resize(360.0, 640.0);
    bench.press("Go on: Change over, RW-101A with RW-101B");
    key_in(&bench, low);
    bench.must_show("Stopped here. Read ");
    bench.must_show("keep the old pump running. Do not stop it.");
    assert!(
        !bench.has_button("Skip this step…"),
        "it can't be passed over"
    );
    bench.press("Enter it again");
    key_in(&bench, low);
    bench.must_show("Stopped here. Read ");
    bench.press_below("Break off…");
    bench.must_show("Leave the pumps as your plant's procedure has it.");
    bench.choose("it could not be put right");
    bench.must_show("Broken off by Jun Vale");
    bench.must_show("it could not be put right");
    bench.must_show("2 entries stopped it");

    let between = Between::after(bench);
    let run = between.run().run;
    assert!(matches!(run.ending(), Some(Ending::Aborted { .. })));
    assert_eq!(run.tries().len(), 2);
    assert_eq!(
        (between.turned(A), between.turned(B)),
        (vec![], vec![true]),
        "the old pump was not stopped"
    );
}

#[test]
fn a_killed_app_comes_back_to_the_same_step_of_a_procedure() {
    let folder = TempDir::new().expect("a folder");
    let mut between = Between::new(folder.path());
    between.begin("start", A, None);
    between.walk_to("up/least-flow");
    let bench = between.window();
    bench.press_beginning("Go on: Start, RW-101A");
    bench.must_show("Where it has a line for least flow");
    bench.press("Skip this step…");
    bench.choose("there is none here");
    bench.must_show("Skipped: there is none here");
    let before = step(&bench);
    let bench = Between::after(bench).window();
    bench.press_beginning("Go on: Start, RW-101A");
    assert_eq!(step(&bench), before);

    // Also in the middle of a wait, which goes on while nothing runs.
    let mut between = Between::after(bench);
    between.walk_to("up/settling");
    let bench = between.window();
    bench.press_beginning("Go on: Start, RW-101A");
    bench.press("Begin the wait of 2 min");
    bench.pass(30);
    let between = Between::after(bench);
    between.world.pass(60_000);
    let bench = between.window();
    bench.press_beginning("Go on: Start, RW-101A");
    bench.must_show_label(AccessibleRole::Button, "Wait, 0:30 left");
    bench.press("End the wait early…");
    bench.choose("steady already");
    bench.must_show("Wait ended early: steady already");
}

/// Ends the window and opens another on the same store, which is told what the system kept. `meanwhile` is done between.
fn ended_and_back(bench: Bench, meanwhile: impl FnOnce(&mut Between)) -> Bench {
    let kept = view::place(&bench.desk).to_bytes().expect("it can be kept");
    let mut between = Between::after(bench);
    meanwhile(&mut between);
    let bench = between.window();
    let place = Whereabouts::from_bytes(&kept).expect("it can be read");
    view::return_to(&bench.desk, place);
    bench.settle();
    bench
}

fn page(bench: &Bench) -> Page {
    bench.desk.window().global::<Nav>().get_page()
}

#[test]
fn an_app_the_system_ended_comes_back_to_the_steps_page_with_what_was_being_entered() {
    let folder = TempDir::new().expect("a folder");
    let mut between = Between::new(folder.path());
    between.begin("change_over", A, Some(B));
    between.walk_to("permission");
    let bench = between.window();
    bench.press("Go on: Change over, RW-101A with RW-101B");
    bench.write("Name of who gave it", "K. Brand");
    let before = step(&bench);

    let bench = ended_and_back(bench, |_| ());
    assert_eq!((page(&bench), step(&bench)), (Page::Run, before));
    bench.press("Permission given");
    bench.must_show("Permission by K. Brand");
    bench.choose("Yes");
    bench.press("Confirm");
    if bench.has_button("Go on") {
        bench.press("Go on");
    }
    bench.key_in("2.3");
    let before = step(&bench);

    let bench = ended_and_back(bench, |_| ());
    assert_eq!((page(&bench), step(&bench)), (Page::Run, before));
    let typed = bench.desk.window().global::<Entry>().get_typed();
    assert_eq!(typed, "2.3");
    if bench.has_button("Go on") {
        bench.press("Go on");
    }
    bench.press("Enter");
    bench.must_show("2.3 bar");

    let between = Between::after(bench);
    let run = between.run().run;
    assert_eq!(run.passed().count(), 4, "and nothing was taken down twice");
}

#[test]
fn a_count_at_a_step_comes_back_stopped() {
    let folder = TempDir::new().expect("a folder");
    let mut between = Between::new(folder.path());
    between.begin("start", A, None);
    between.walk_to_check("leak_off");
    let bench = between.window();
    bench.press_beginning("Go on: Start, RW-101A");
    let count = |bench: &Bench| {
        let entry = bench.desk.window().global::<Entry>();
        (entry.get_drops(), entry.get_seconds())
    };
    for _ in 0..8 {
        bench.desk.window().global::<Entry>().invoke_count_tap();
    }
    bench.pass(21);
    view::looked_away(&bench.desk);

    let bench = ended_and_back(bench, |between| between.world.pass(3_600_000));
    assert_eq!((page(&bench), count(&bench)), (Page::Run, (7, 21)));
}

#[test]
fn what_was_being_entered_at_a_step_is_not_put_to_another_and_a_run_that_is_not_there_is_not_opened()
 {
    let folder = TempDir::new().expect("a folder");
    let mut between = Between::new(folder.path());
    between.begin("change_over", A, Some(B));
    between.walk_to("pressure-before");
    let bench = between.window();
    bench.press("Go on: Change over, RW-101A with RW-101B");
    if bench.has_button("Go on") {
        bench.press("Go on");
    }
    bench.key_in("2.3");
    let bench = ended_and_back(bench, |between| between.walk_to("current-before"));
    assert_eq!(page(&bench), Page::Run);
    let typed = bench.desk.window().global::<Entry>().get_typed();
    assert_eq!(typed, "", "it was the pressure");

    let mut place = view::place(&bench.desk);
    let at = place.run.as_mut().expect("a run");
    at.run = Uuid::from_u128(1);
    let bench = Between::after(bench).window();
    view::return_to(&bench.desk, place);
    bench.settle();
    assert_eq!(page(&bench), Page::Home);
}
