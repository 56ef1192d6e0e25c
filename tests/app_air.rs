//! The air's temperature stands beside every reading made near it within the hour: the pump's own, or that of a
//! thermometer that hangs in its area.
//!
//! The weather and the readings are invented.

mod app_support;

use app_support::{HOUR_MS, create_of, demo_plant, stamp, world};
use lantern_ring::{
    app::{App, Arrive, CloseVisit, Enter, SetOperator},
    check::{Check, Entered, RunningState, list, on_request},
    evaluation::{Outcome, Trend, Worked},
    plant::{CheckId, PumpId, Unit},
    record::{HowFound, Stamp},
    sys::StillWorld,
};
use uuid::Uuid;

const BEARING: &str = "bearing_temperature@pump_de";
const AIR: &str = "ambient_temperature@pump";
const FEED_PUMP: &str = "BF-301A";
/// Its area's thermometer hangs here.
const BESIDE: &str = "CD-308";
/// In another area.
const ELSEWHERE: &str = "RW-110";

struct Desk {
    app: App,
    world: StillWorld,
    _folder: tempfile::TempDir,
}

/// The demo plant, with a thermometer for the air at this pump.
fn desk(thermometer_at: &str) -> Desk {
    let folder = tempfile::tempdir().unwrap();
    let mut plant = demo_plant();
    for pump in &mut plant.pumps {
        pump.air_thermometer = pump.id.as_str() == thermometer_at;
    }
    let world = world(0, 1);
    let path = folder.path().join("device.lantern");
    let mut app = create_of(&path, plant, world.clone());
    app.perform(SetOperator("Ines".to_owned())).unwrap();
    Desk {
        app,
        world,
        _folder: folder,
    }
}

fn celsius(value: f64) -> Entered {
    let unit = Unit::Celsius;
    Entered::Number { value, unit }
}

impl Desk {
    fn visit(&mut self, at: Stamp, pump: &str, entries: &[(&str, f64)]) -> Uuid {
        self.world.set_now(at);
        let arrive = Arrive {
            pump: pump.parse().unwrap(),
            found: HowFound::Scanned,
            round: None,
        };
        let visit = self.app.perform(arrive).unwrap();
        for (check, value) in entries {
            let enter = Enter {
                visit,
                check: check.parse().unwrap(),
                entered: celsius(*value),
            };
            self.app.perform(enter).unwrap();
        }
        self.app.perform(CloseVisit { visit }).unwrap();
        visit
    }

    /// Forty-five days: the air read at one pump, and half an hour later the bearing of the feed pump, which goes with it.
    /// The last visit to the
    /// feed pump.
    fn weeks(&mut self, air_read_at: &str) -> Uuid {
        let mut last = Uuid::nil();
        for day in 0..45 {
            let air_c = (day * 7 % 23) as f64;
            let morning = stamp(day * 24);
            let later = Stamp {
                utc_ms: morning.utc_ms + HOUR_MS / 2,
                ..morning
            };
            self.visit(morning, air_read_at, &[(AIR, air_c)]);
            let scatter = (day * 5 % 7) as f64 / 10.0;
            last = self.visit(later, FEED_PUMP, &[(BEARING, 45.0 + 0.5 * air_c + scatter)]);
        }
        last
    }

    fn usual_at_this_air(&mut self) -> Option<Outcome> {
        let pump: PumpId = FEED_PUMP.parse().unwrap();
        let check: CheckId = BEARING.parse().unwrap();
        let trend = self.app.trend(&pump, check).unwrap().unwrap();
        let mut lines = trend.worked.into_iter();
        let line = lines.find(|line| line.name == "Usual at this air temperature");
        line.map(|line| line.outcome)
    }
}

#[test]
fn the_thermometer_of_an_area_stands_for_all_its_pumps() {
    let mut desk = desk(BESIDE);
    desk.weeks(BESIDE);
    let outcome = desk.usual_at_this_air();
    // The last day's air is 44 · 7 mod 23 = 9 °C: 45 + 0.5 · 9 = 49.5, and 0.3 in the middle of the scatter.
    let Some(Outcome::Is { words, .. }) = outcome else {
        panic!("{outcome:?}");
    };
    assert!(words.starts_with("49.80 °C at 9 °C of air"), "{words}");
}

#[test]
fn a_visit_and_its_line_beside_the_entry_say_what_the_trend_page_says() {
    let mut desk = desk(BESIDE);
    let last = desk.weeks(BESIDE);
    let pump: PumpId = FEED_PUMP.parse().unwrap();
    let check: CheckId = BEARING.parse().unwrap();
    let of_page = desk.app.trend(&pump, check).unwrap().unwrap();
    let of_visit = desk
        .app
        .evaluation(last)
        .unwrap()
        .trends
        .remove(&check)
        .unwrap();
    let about_air = |trend: &Trend| -> Vec<_> {
        let lines = trend.worked.iter();
        lines
            .filter(|line| line.name.contains(" air"))
            .map(Worked::line)
            .collect()
    };
    assert_eq!(about_air(&of_visit), about_air(&of_page));
    assert_eq!(
        about_air(&of_page).len(),
        2,
        "usual, and the trend without it"
    );
    assert_eq!(desk.app.trend_words(&pump, check).unwrap(), of_page.words);
}

#[test]
fn a_thermometer_in_another_area_says_nothing_here() {
    let mut desk = desk(ELSEWHERE);
    desk.weeks(ELSEWHERE);
    assert_eq!(desk.usual_at_this_air(), None);
}

#[test]
fn air_read_at_the_pump_itself_needs_no_thermometer_in_the_register() {
    let mut desk = desk(ELSEWHERE);
    desk.weeks(FEED_PUMP);
    let outcome = desk.usual_at_this_air();
    assert!(matches!(outcome, Some(Outcome::Is { .. })), "{outcome:?}");
}

#[test]
fn air_is_asked_for_on_the_walk_where_its_thermometer_hangs_and_on_request_elsewhere() {
    let desk = desk(BESIDE);
    let register = desk.app.register().unwrap();
    let asked = |pump: &str, running: RunningState| {
        let pump = register.pump(&pump.parse().unwrap()).unwrap();
        let is_air = |checks: Vec<Check>| checks.iter().any(|check| check.id.to_string() == AIR);
        (
            is_air(list(pump, running)),
            is_air(on_request(pump, running)),
        )
    };
    assert_eq!(asked(BESIDE, RunningState::Running), (true, false));
    assert_eq!(asked(BESIDE, RunningState::Standby), (true, false));
    assert_eq!(asked(BESIDE, RunningState::OutOfService), (false, false));
    assert_eq!(asked(FEED_PUMP, RunningState::Running), (false, true));
    // It has no thermometer and no oil skid.
    assert_eq!(asked("EF-401A", RunningState::Running), (false, false));
}
