//! Each pump gets its own procedures, and in them its own steps.

use super::PLANT;
use crate::procedure_support::{assemble, plan_of, procedures_text};
use lantern_ring::{
    plant::{Priming, Pump, Seal, ValveAtStart},
    procedure::{CannotBegin, Kind, Plan, PlannedStep, Task, ValvePosition, choose, partners},
};

fn steps(kind: Kind, this: &str, other: Option<&str>) -> Vec<PlannedStep> {
    plan_of(&PLANT, kind, this, other).steps.clone()
}

fn position<'a>(steps: &'a [PlannedStep], id: &str) -> Option<&'a Task> {
    steps
        .iter()
        .find(|step| last_of(step) == id)
        .map(|step| &step.task)
}

/// The step's id without those of the steps that run it, and without its check.
fn last_of(step: &PlannedStep) -> &str {
    let own = step.id.split(':').next().unwrap_or_default();
    own.rsplit('/').next().unwrap_or_default()
}

fn at(steps: &[PlannedStep], id: &str) -> usize {
    let found = steps.iter().position(|step| last_of(step) == id);
    found.unwrap_or_else(|| panic!("no step {id}"))
}

#[test]
fn every_pump_has_a_start_and_a_stop_and_its_own_way_of_priming() {
    let procedures = &PLANT.procedures;
    for pump in &PLANT.pumps {
        let of = |kind| {
            choose(kind, pump, procedures)
                .map(|one| one.id.as_str())
                .ok()
        };
        assert_eq!(
            (of(Kind::Start), of(Kind::Stop)),
            (Some("start"), Some("stop"))
        );
        let priming = match pump.priming {
            Priming::FloodedSuction => Some("prime_flooded"),
            Priming::Vacuum => Some("prime_vacuum"),
            Priming::ClosedVent => Some("prime_closed_vent"),
            // Its casing hangs in the liquid: there is nothing to fill.
            Priming::Submerged => None,
        };
        assert_eq!(of(Kind::Prime), priming, "{}", pump.id);
        assert_eq!(
            of(Kind::ChangeOver).is_some(),
            pump.spare.is_some(),
            "{}",
            pump.id
        );
    }
}

/// Common practice, no source: auxiliary systems first, suction before the start, then by the pump's rule, then the look round.
#[test]
fn a_start_goes_from_auxiliaries_over_suction_and_discharge_rule_to_the_look_round() {
    for pump in &PLANT.pumps {
        let steps = steps(Kind::Start, pump.id.as_str(), None);
        let started = at(&steps, "started");
        let last_auxiliary = ["oil-pump", "oil", "cooling", "bearing-oil", "seal-feed"]
            .into_iter()
            .filter_map(|id| steps.iter().rposition(|step| last_of(step) == id))
            .max();
        let suction = ["suction-level", "suction-pressure", "suction-asked"]
            .into_iter()
            .filter_map(|id| steps.iter().position(|step| last_of(step) == id))
            .collect::<Vec<_>>();
        assert_eq!(suction.len(), 1, "{}: one look at the suction", pump.id);
        assert!(at(&steps, "permission") < started);
        assert!(
            last_auxiliary.is_none_or(|last| last < suction[0]),
            "{}",
            pump.id
        );
        assert!(suction[0] < at(&steps, "primed") && at(&steps, "primed") < started);
        let after = ["current", "noise", "leaks", "bearings"];
        assert!(
            after.into_iter().all(|id| at(&steps, id) > started),
            "{}",
            pump.id
        );
        assert!(pump.gauges.is_empty() || at(&steps, "pressures") > started);

        let rule = match pump.discharge_valve_at_start {
            ValveAtStart::Open => ValvePosition::Open,
            ValveAtStart::Cracked => ValvePosition::Cracked,
            ValveAtStart::Shut => ValvePosition::Shut,
        };
        assert_eq!(
            position(&steps, "discharge-valve"),
            Some(&Task::Valve { position: rule }),
            "{}",
            pump.id
        );
    }
}

#[test]
fn what_a_pump_is_not_built_to_have_is_left_out() {
    let has = |steps: &[PlannedStep], id: &str| {
        steps.iter().any(|step| {
            step.id
                .rsplit('/')
                .next()
                .is_some_and(|own| own.starts_with(id))
        })
    };
    let boiler_feed = steps(Kind::Start, "BF-301A", None);
    let sump = steps(Kind::Start, "EF-401A", None);
    for id in ["oil-pump", "oil:feed_oil_pressure", "cooling:", "speed-low"] {
        assert!(has(&boiler_feed, id) && !has(&sump, id), "{id}");
    }
    assert!(has(&steps(Kind::Start, "CH-501A", None), "not-for-long"));
    assert!(!has(&sump, "not-for-long"));
    assert!(has(&sump, "packing:leak_off@seal_de") && !has(&sump, "seal:seal_leak"));
    // Warming through only for what is hot.
    assert!(has(&steps(Kind::Prime, "BF-301A", None), "warming"));
    assert!(!has(&steps(Kind::Prime, "CH-501A", None), "warming"));
}

#[test]
fn a_hazardous_pump_is_named_with_its_hazard_at_every_step() {
    let plan = plan_of(&PLANT, Kind::Prime, "CH-501A", None);
    let hazard = plan.this.hazard.as_deref().expect("hazard");
    assert!(hazard.contains("burns eyes and skin"));
    let all = plan
        .steps
        .iter()
        .all(|step| plan.pump(step).hazard.is_some());
    assert!(all);
}

#[test]
fn holds_cautions_and_proofs_must_be_done_everywhere() {
    let procedures = &PLANT.procedures;
    for pump in &PLANT.pumps {
        for procedure in procedures.iter().filter(|one| one.suits(pump)) {
            let other = partners(&PLANT, pump).next().map(|other| &other.id);
            let plan = Plan::of(procedure, &PLANT, &pump.id, other).expect("plan");
            for step in &plan.steps {
                let never = matches!(step.task, Task::Hold | Task::Warn | Task::Prove { .. });
                let never = never || step.then.is_some();
                assert!(!never || step.must, "{}", step.id);
            }
        }
    }
}

#[test]
fn a_change_over_needs_a_pump_that_stands_in() {
    let procedures = &PLANT.procedures;
    let change_over = procedures
        .iter()
        .find(|one| one.kind == Kind::ChangeOver)
        .expect("one");
    let begin = |this: &str, other: Option<&str>| {
        let other = other.map(|other| other.parse().expect("id"));
        let this = this.parse().expect("id");
        Plan::of(change_over, &PLANT, &this, other.as_ref())
    };
    assert!(begin("RW-101A", Some("RW-101B")).is_ok());
    assert!(begin("RW-101B", Some("RW-101A")).is_ok());
    assert!(matches!(
        begin("RW-101A", None),
        Err(CannotBegin::NoOther { .. })
    ));
    assert!(matches!(
        begin("RW-101A", Some("RW-101A")),
        Err(CannotBegin::NotAStandIn { .. })
    ));
    assert!(matches!(
        begin("RW-101A", Some("EF-401B")),
        Err(CannotBegin::NotAStandIn { .. })
    ));
    assert!(matches!(
        begin("RW-110", None),
        Err(CannotBegin::NotForThisPump { .. })
    ));
    assert!(matches!(begin("RW-999", None), Err(CannotBegin::NoPump(_))));
}

#[test]
fn a_plants_own_procedure_for_named_pumps_goes_before_the_general_one() {
    let own = r#"
[[procedure]]
id = "start_caustic"
kind = "start"
name = "Start of the caustic pumps"
version = 1
basis = "The plant's own, invented for this test."
for = { pumps = ["CH-501A", "CH-501B"] }

[[procedure.step]]
id = "permission"
hold = "Ask the control room."

[[procedure.step]]
id = "started"
do = "Have it started."
then = "runs"
"#;
    let mut files = procedures_text();
    files.push(("procedures/own.toml".to_owned(), own.to_owned()));
    let procedures = assemble(&files).expect("no fault");
    let chosen = |id: &str| {
        let pump = PLANT.pump(&id.parse().expect("id")).expect("pump");
        choose(Kind::Start, pump, &procedures)
            .expect("one")
            .id
            .clone()
    };
    assert_eq!(chosen("CH-501A"), "start_caustic");
    assert_eq!(chosen("CH-504"), "start");
}

#[test]
fn a_pump_no_procedure_is_for_is_told() {
    let sump: Vec<&Pump> = PLANT
        .pumps
        .iter()
        .filter(|pump| pump.priming == Priming::Submerged)
        .collect();
    let error = choose(Kind::Prime, sump[0], &PLANT.procedures).expect_err("none");
    assert!(
        error
            .to_string()
            .contains("there is no prime procedure for pump"),
        "{error}"
    );
}

/// What a step says in all its places.
fn said(step: &PlannedStep) -> String {
    let beside = [&step.caution, &step.otherwise].map(|one| one.as_deref().unwrap_or_default());
    format!("{} {} {}", step.words, beside[0], beside[1])
}

#[test]
fn only_packing_is_let_leak_at_first_and_a_leaking_seal_stops_the_start() {
    for pump in &PLANT.pumps {
        let steps = steps(Kind::Start, pump.id.as_str(), None);
        let packed = matches!(pump.seal, Seal::Packed { .. });
        let let_leak = steps.iter().any(|step| said(step).contains("leak freely"));
        assert_eq!(let_leak, packed, "{}", pump.id);
        let stops = |step: &PlannedStep| matches!(step.task, Task::Enter { stops: true, .. });
        let seals = steps.iter().filter(|step| last_of(step) == "seal");
        let seals: Vec<bool> = seals.map(stops).collect();
        let places = if packed { 0 } else { pump.seal_places().len() };
        assert_eq!(seals, vec![true; places], "{}", pump.id);
    }
}

/// Its steps stand beside the number of either pump in turn, so that "this pump" would name the wrong one.
#[test]
fn a_change_over_names_the_old_and_the_new_pump() {
    let steps = steps(Kind::ChangeOver, "CH-501A", Some("CH-501B"));
    let own = steps.iter().filter(|step| !step.id.contains('/'));
    for step in own.filter(|step| step.pump.as_str() == "CH-501B") {
        let said = said(step);
        assert!(
            !said.contains("this pump") && !said.contains("other pump"),
            "{said}"
        );
    }
    let held = &steps[at(&steps, "held")];
    assert!(said(held).contains("keep the old pump running"));
}
