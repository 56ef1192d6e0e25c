//! Nothing sends a hand to a gland whose liquid burns or harms.
//!
//! The limit of touch, 55 °C for ten seconds on metal: ECMA-287, read at second hand.

mod judging_support;

use judging_support::{before, limits, number};
use lantern_ring::{
    app::{App, CloseVisit, Enter, OpenVisit, Withdraw},
    check::{Entered, RunningState, gland_may_be_touched},
    judge::{Hands, Verdict, again, first_action, sentence},
    plant::{CheckKind, Limits, Plant, Pump, Unit},
    record::{HowFound, Stamp},
    sys::{StillWorld, plant_folder},
};
use serde_json::json;
use std::path::Path;
use uuid::Uuid;

fn demo() -> Plant {
    plant_folder(&Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-plant")).expect("the demo plant")
}

/// A packed pump of the demo with another liquid.
fn packed(liquid_temperature_c: f64, hazard: Option<&str>) -> Pump {
    let demo = demo();
    let pump = demo.pumps.iter().find(|pump| pump.id.as_str() == "ST-101");
    Pump {
        liquid_temperature_c,
        hazard: hazard.map(str::to_owned),
        ..pump.expect("a packed pump").clone()
    }
}

/// Every trouble whose mending by hand is done at the gland or its feed.
fn troubles() -> Vec<(CheckKind, Entered, Limits)> {
    let band = json!({"low_act": 5.0, "low_watch": 10.0, "high_watch": 40.0, "high_act": 80.0});
    let count = |drops| Entered::Count {
        drops,
        seconds: 60.0,
    };
    let leak_off = limits("leak_off@seal_de", Unit::DropsPerMin, band);
    let heat = limits("gland_heat@seal_de", Unit::Step, json!({"high_act": 2}));
    let word = limits("gland_square@seal_de", Unit::Step, json!({}));
    let feed = limits(
        "lantern_ring_pressure@seal_de",
        Unit::Bar,
        json!({"low_act": 1.0, "high_act": 3.0}),
    );
    let bar = |value| number(value, Unit::Bar);
    let squeal = Entered::Choice {
        key: "squeal".to_owned(),
    };
    let mut troubles: Vec<_> = [2, 7, 60, 90]
        .map(|drops| (CheckKind::LeakOff, count(drops), leak_off.clone()))
        .into();
    troubles.extend([
        (CheckKind::GlandHeat, Entered::Feel { step: 4 }, heat),
        (
            CheckKind::GlandSquare,
            Entered::YesNo { yes: false },
            word.clone(),
        ),
        (CheckKind::LanternRingPressure, bar(0.5), feed.clone()),
        (CheckKind::LanternRingPressure, bar(3.5), feed),
        (CheckKind::Noise, squeal, word),
    ]);
    troubles
}

#[test]
fn hot_and_hazardous_glands_are_told_of_and_harmless_ones_may_be_eased() {
    for (pump, by_hand) in [
        (packed(20.0, None), true),
        (packed(54.9, None), true),
        (packed(55.0, None), false),
        (packed(132.0, None), false),
        (packed(20.0, Some("caustic")), false),
        (packed(90.0, Some("caustic")), false),
    ] {
        let hands = Hands::at_gland(!gland_may_be_touched(&pump), None);
        for (check, entered, limits) in troubles() {
            let judged = again(check, &entered, Some(&limits), None);
            let first = first_action(check, &entered, &judged, hands).expect("something to do");
            let case = format!(
                "{} °C, {:?}: {check:?}",
                pump.liquid_temperature_c, pump.hazard
            );
            if by_hand {
                assert_ne!(first.action, "Tell the shift supervisor.", "{case}");
            } else {
                assert_eq!(first.action, "Tell the shift supervisor.", "{case}");
                assert!(
                    first.caution.expect("a caution").contains("look only"),
                    "{case}"
                );
            }
            let told = sentence(check, &entered, &judged, Some(&limits), None, hands);
            assert!(told.ends_with(&first.words()), "{case}: {told}");
        }
    }
}

#[test]
fn what_needs_no_hand_at_the_gland_stays_as_it_is() {
    let leak = limits(
        "seal_leak@seal_de",
        Unit::DropsPerMin,
        json!({"high_act": 1.0}),
    );
    let entered = Entered::Count {
        drops: 30,
        seconds: 60.0,
    };
    let earlier = before(20.0, Unit::DropsPerMin, 8.0);
    let judged = again(CheckKind::SealLeak, &entered, Some(&leak), Some(&earlier));
    let told = |hands| first_action(CheckKind::SealLeak, &entered, &judged, hands);
    assert_eq!(told(Hands::OffGland), told(Hands::Free));
    assert!(
        told(Hands::OffHotGland)
            .expect("something to do")
            .action
            .contains("photograph")
    );
}

/// A visit to a pump of the demo.
struct AtThePump {
    app: App,
    visit: Uuid,
    _folder: tempfile::TempDir,
}

impl AtThePump {
    fn of(pump: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let now = Stamp {
            utc_ms: 1_790_000_000_000,
            offset_min: 60,
        };
        let path = folder.path().join("a.lantern");
        let mut app =
            App::create(&path, demo(), Box::new(StillWorld::at(now, 1))).expect("a store");
        let opened = OpenVisit {
            pump: pump.parse().expect("a pump id"),
            running: RunningState::Running,
            found: HowFound::Chosen,
            round: None,
        };
        let visit = app.perform(opened).expect("a visit");
        Self {
            app,
            visit,
            _folder: folder,
        }
    }

    fn enter(&mut self, check: &str, entered: Entered) -> Uuid {
        let entry = Enter {
            visit: self.visit,
            check: check.parse().expect("a check"),
            entered,
        };
        self.app.perform(entry).expect("an entry").record
    }

    fn count(&mut self, drops: u32) -> Uuid {
        let seconds = 60.0;
        self.enter("leak_off@seal_de", Entered::Count { drops, seconds })
    }

    fn feel(&mut self, step: u8) -> Uuid {
        self.enter("gland_heat@seal_de", Entered::Feel { step })
    }

    fn told(&self, record: Uuid) -> String {
        self.app.sentence(record).expect("a sentence")
    }
}

/// A low leak-off entered at this pump of the demo: the stored record as JSON, and its sentence.
fn low_leak_off(pump: &str, drops: u32) -> (serde_json::Value, String) {
    let mut at = AtThePump::of(pump);
    let record = at.count(drops);
    let rows = at.app.entries(None, 10).expect("the entries");
    let stored = serde_json::to_value(&rows[0].entry).expect("JSON");
    (stored, at.told(record))
}

const HOT_GLAND: &str = "The gland is hot: tighten nothing and touch no hot metal. Tell the shift supervisor; if the gland smokes or stays as hot, stop the pump by your plant's procedure.";

#[test]
fn a_leak_off_sends_nobody_to_tighten_a_gland_felt_hot_in_the_same_visit() {
    // "Very hot", to about 65 °C; from "too hot to touch" on no nut is turned at all.
    for (step, tightens, eases) in [
        (1, true, true),
        (3, false, true),
        (4, false, false),
        (5, false, false),
    ] {
        for heat_first in [true, false] {
            for (drops, nuts, goes) in [(200, "Tighten each", tightens), (3, "Ease each", eases)] {
                let mut at = AtThePump::of("ST-101");
                let counted = if heat_first {
                    at.feel(step);
                    at.count(drops)
                } else {
                    let counted = at.count(drops);
                    assert!(at.told(counted).contains(nuts), "nobody has felt it yet");
                    at.feel(step);
                    counted
                };
                let told = at.told(counted);
                assert_eq!(told.contains(nuts), goes, "{step}, {drops}: {told}");
                assert_eq!(told.contains(HOT_GLAND), !goes, "{step}, {drops}: {told}");
            }
        }
    }
}

#[test]
fn another_glands_heat_another_visits_and_one_taken_back_keep_nobody_off() {
    let mut at = AtThePump::of("ST-101");
    let heat = at.feel(4);
    let counted = at.count(200);
    assert!(at.told(counted).contains(HOT_GLAND));
    at.app
        .perform(Withdraw { record: heat })
        .expect("taken back");
    assert!(at.told(counted).contains("Tighten each"));
    at.feel(4);
    at.app
        .perform(CloseVisit { visit: at.visit })
        .expect("closed");
    let opened = OpenVisit {
        pump: "ST-101".parse().expect("a pump id"),
        running: RunningState::Running,
        found: HowFound::Chosen,
        round: None,
    };
    at.visit = at.app.perform(opened).expect("a visit");
    let later = at.count(200);
    assert!(at.told(later).contains("Tighten each"));
    assert!(at.told(counted).contains(HOT_GLAND), "in its own visit");
}

#[test]
fn a_heat_that_the_plants_limits_call_an_act_keeps_hands_off_the_nuts() {
    let felt = Entered::Feel { step: 2 };
    let hands = |verdict| Hands::at_gland(false, Some((&felt, verdict)));
    assert_eq!(hands(Verdict::InLimits), Hands::Free);
    assert_eq!(hands(Verdict::Watch), Hands::NoTightening);
    assert_eq!(hands(Verdict::Act), Hands::OffHotGland);
    assert_eq!(
        Hands::at_gland(true, Some((&felt, Verdict::Act))),
        Hands::OffGland
    );
}

#[test]
fn the_record_keeps_whether_hands_had_to_stay_off_and_its_sentence_follows() {
    let (stored, told) = low_leak_off("CD-308", 35);
    assert_eq!(stored["hands_off"], json!(true));
    assert!(
        told.contains("Tell the shift supervisor. Hot or hazardous"),
        "{told}"
    );
    assert!(!told.contains("Ease"), "{told}");

    let (stored, told) = low_leak_off("ST-101", 10);
    assert!(stored.get("hands_off").is_none(), "{stored}");
    assert!(told.contains("Ease each gland nut one flat"), "{told}");
}
