//! Procedures' files are read, what is wrong in them is told, and each pump gets its own steps.

#[path = "procedure_files/plans.rs"]
mod plans;
mod procedure_support;

use lantern_ring::{
    plant::{Plant, PlantFault},
    procedure::{Procedure, examine},
};
use procedure_support::{assemble, demo_plant, procedures_text};
use proptest::{prelude::*, sample::Index};
use std::sync::LazyLock;

static PLANT: LazyLock<Plant> = LazyLock::new(demo_plant);

fn told(faults: &[PlantFault]) -> Vec<String> {
    faults.iter().map(ToString::to_string).collect()
}

/// The demo's files with one place changed, each place given with the file's name.
fn with(file: &str, from: &str, to: &str) -> Vec<(String, String)> {
    let mut files = procedures_text();
    let name = format!("procedures/{file}.toml");
    let (_, text) = files
        .iter_mut()
        .find(|(one, _)| *one == name)
        .expect("file");
    assert!(text.contains(from), "{file} has no {from}");
    *text = text.replacen(from, to, 1);
    files
}

/// The faults of the demo's files with one place changed.
fn faults_with(file: &str, from: &str, to: &str) -> Vec<String> {
    told(&assemble(&with(file, from, to)).expect_err("it must be refused"))
}

fn one_fault(file: &str, from: &str, to: &str, fault: &str) {
    assert_eq!(faults_with(file, from, to), [fault]);
}

#[test]
fn the_demo_plants_procedures_have_no_fault_and_every_kind_is_there() {
    let procedures = &PLANT.procedures;
    assert_eq!(examine(&PLANT), []);
    let ids: Vec<_> = procedures.iter().map(|one| one.id.as_str()).collect();
    let all = [
        "change_over",
        "prime_closed_vent",
        "prime_flooded",
        "prime_vacuum",
        "start",
        "start_up",
        "look_round",
        "stop",
    ];
    assert_eq!(ids, all);
}

#[test]
fn a_step_that_is_none_or_several_is_told() {
    let file = "procedures/start.toml: field `start_up.step[1]`: ";
    for (to, what) in [
        (
            "words = \"x\"",
            "step 'permission' says nothing to do; give it one of do, check, every, reading, ask, hold, valve, wait_s, warn, prove or run",
        ),
        (
            "warn = \"x\"\nhold = \"x\"",
            "step 'permission' has `hold` and `warn`; keep one and make a step of each of the others",
        ),
        (
            "valve = \"x\"",
            "step 'permission' has no `position`; say open, cracked, shut or as_at_start",
        ),
        (
            "ask = \"x\"",
            "step 'permission' has no `good`; say which answers let the run go on",
        ),
        (
            "reading = \"x\"\nunit = \"bar\"",
            "step 'permission' has no `scale`; give the gauge's lowest and highest mark",
        ),
        (
            "prove = \"motor_current@driver\"\nagainst = \"x\"",
            "step 'permission' has no `least_share`; say how little is still good: least_share or most_drop",
        ),
        (
            "wait_s = 0\nwords = \"x\"",
            "step 'permission': `wait_s` must be 1 to 43200 seconds, is 0",
        ),
        (
            "do = \"x\"\nstops = false",
            "step 'permission': `stops` means nothing beside `do`; take it out",
        ),
    ] {
        let hold = "hold = \"Ask the control room whether this pump may be started now, and whether anybody works at it or where it delivers to.\"";
        one_fault("start", hold, to, &format!("{file}{what}"));
    }
}

#[test]
fn unknown_fields_checks_and_units_are_told_where_they_stand() {
    let known = faults_with(
        "start",
        "must = true\notherwise = \"No start",
        "mustt = true\notherwise = \"No start",
    );
    assert!(
        known[0]
            .starts_with("procedures/start.toml: field `start_up.step[3].mustt`: unknown field"),
        "{known:?}"
    );
    let check = faults_with("start", "coupling_guard@pump", "coupling_gard@pump");
    assert!(
        check[0].contains("start_up.step[3]")
            && check[0].contains("'coupling_gard@pump' is not known"),
        "{check:?}"
    );
    let unit = faults_with("prime_vacuum", "unit = \"bar\"", "unit = \"barg\"");
    assert!(
        unit[0].contains("prime_vacuum.step") && unit[0].contains("barg"),
        "{unit:?}"
    );
    let toml = faults_with("stop", "kind = \"stop\"", "kind = ");
    assert!(
        toml[0].starts_with("procedures/stop.toml: is no readable TOML: line "),
        "{toml:?}"
    );
}

#[test]
fn what_makes_no_sense_in_a_step_is_told() {
    one_fault(
        "change_over",
        "least_share = 0.95\nwords = \"It must",
        "least_share = -1.0\nwords = \"It must",
        "procedures/change_over.toml: field `change_over.held.least_share`: must be above 0 and at most 2, is -1",
    );
    one_fault(
        "change_over",
        "least_share = 0.95\nwords = \"It must",
        "least_share = nan\nwords = \"It must",
        "procedures/change_over.toml: field `change_over.held.least_share`: must be a finite number, is NaN",
    );
    one_fault(
        "prime_vacuum",
        "scale = [-1, 0]",
        "scale = [0, -1]",
        "procedures/prime_vacuum.toml: field `prime_vacuum.vacuum.scale`: must rise, is 0 to -1",
    );
    one_fault(
        "prime_vacuum",
        "good = [\"water only\"]",
        "good = [\"water\"]",
        "procedures/prime_vacuum.toml: field `prime_vacuum.sight-glass.good`: 'water' is none of the answers water only, water with bubbles, air",
    );
    one_fault(
        "stop",
        "id = \"oil-pump\"",
        "id = \"permission\"",
        "procedures/stop.toml: field `stop.permission.id`: is given twice; each step needs its own",
    );
    one_fault(
        "stop",
        "id = \"stop\"",
        "id = \"start\"",
        "procedures/stop.toml: field `start.id`: is given twice; each procedure needs its own",
    );
    one_fault(
        "stop",
        "hold = \"Ask the control room whether this pump may be stopped now.\"",
        "hold = \" \"",
        "procedures/stop.toml: field `stop.permission.hold`: must not be empty",
    );
}

#[test]
fn a_change_over_that_stops_the_old_pump_unproved_is_told() {
    let (_, text) = procedures_text()
        .into_iter()
        .find(|(name, _)| name.ends_with("change_over.toml"))
        .expect("file");
    let begin = text
        .find("[[procedure.step]]\nid = \"held\"")
        .expect("the proof");
    let end = text[begin..]
        .find("[[procedure.step]]\nid = \"other-current\"")
        .expect("the next");
    let proof = &text[begin..begin + end];
    assert_eq!(
        faults_with("change_over", proof, ""),
        [
            "procedures/change_over.toml: field `change_over.stop-this.run`: stops the old pump before it is proved that the other one holds; put a `prove` step without `when` before it"
        ]
    );
    let only_some = proof.replace(
        "on = \"other\"",
        "on = \"other\"\nwhen = { seal = \"packed\" }",
    );
    assert_eq!(faults_with("change_over", proof, &only_some).len(), 1);
}

#[test]
fn what_no_pump_can_do_is_told_once_with_the_step() {
    let missing = faults_with(
        "start",
        "check = \"suction_level@suction\"\nwhen = { has = [\"suction_level@suction\"] }",
        "check = \"suction_level@suction\"",
    );
    assert_eq!(missing.len(), 1, "{missing:?}");
    assert!(
        missing[0].starts_with("procedures/start.toml: field `start_up.suction-level`: step 'suction-level' asks for suction_level@suction, which pump"),
        "{missing:?}"
    );
    let against = faults_with(
        "change_over",
        "against = \"pressure-before\"",
        "against = \"pressure\"",
    );
    assert!(
        against[0].contains("`change_over.held`")
            && against[0].contains("notes no reading before it"),
        "{against:?}"
    );
    let alike = faults_with(
        "change_over",
        "against = \"pressure-before\"",
        "against = \"current-before\"",
    );
    assert!(
        alike[0].contains("can't be set beside what 'current-before' notes"),
        "{alike:?}"
    );
    let ring = faults_with(
        "start",
        "id = \"rules\"\nwarn",
        "id = \"again\"\nrun = { id = \"start_up\" }\n\n[[procedure.step]]\nid = \"rules\"\nwarn",
    );
    assert!(
        ring[0].contains("runs procedure 'start_up' within itself"),
        "{ring:?}"
    );
    let gone = faults_with(
        "change_over",
        "run = { id = \"start_up\" }",
        "run = { id = \"start-up\" }",
    );
    assert!(
        gone[0].contains("runs procedure 'start-up', which is not in procedures/"),
        "{gone:?}"
    );
    let pump = faults_with(
        "prime_vacuum",
        "{ priming = \"vacuum\" }",
        "{ pumps = [\"RW-999\"] }",
    );
    assert!(
        pump[0].contains("`prime_vacuum.for.pumps[0]`: there is no pump RW-999 in pumps/"),
        "{pump:?}"
    );
    let rivals = faults_with(
        "prime_vacuum",
        "{ priming = \"vacuum\" }",
        "{ suction = \"flooded\" }",
    );
    assert!(
        rivals
            .iter()
            .any(|one| one.contains("narrow one of the two")),
        "{rivals:?}"
    );
    let alone = faults_with("stop", "id = \"tell\"", "id = \"tell\"\non = \"other\"");
    assert!(
        alone[0].contains("has none that stands in for it"),
        "{alone:?}"
    );
}

#[test]
fn procedures_keep_their_text_through_json() {
    let procedures = &PLANT.procedures;
    let json = serde_json::to_string(procedures).expect("JSON");
    let read: Vec<Procedure> = serde_json::from_str(&json).expect("procedures");
    assert_eq!(&read, procedures);
}

/// A file that would run 100 procedures 100 times each, and so on, all of them for nothing.
#[test]
fn procedures_that_run_each_other_without_end_are_told_soon() {
    let mut text = String::new();
    for level in 0..8 {
        text.push_str(&format!(
            "[[procedure]]\nid = \"level{level}\"\nkind = \"part\"\nname = \"x\"\nversion = 1\nbasis = \"test\"\n"
        ));
        for step in 0..100 {
            let runs = format!("run = {{ id = \"level{}\" }}", level + 1);
            let ends = "do = \"x\"\nwhen = { liquid_above_c = 999 }".to_owned();
            let action = if level < 7 { runs } else { ends };
            text.push_str(&format!("[[procedure.step]]\nid = \"s{step}\"\n{action}\n"));
        }
    }
    let faults = assemble(&[("procedures/x.toml".to_owned(), text)]).expect_err("refused");
    let faults = told(&faults);
    assert!(
        faults
            .iter()
            .any(|one| one.contains("comes to more than 200 steps; split it")),
        "{faults:?}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Whatever one slip does to a file, the answer is procedures without a fault or faults in words.
    #[test]
    fn a_slip_anywhere_is_told_or_does_no_harm(which: Index, place: Index, typed in "\\PC?", cut in 0..4_usize) {
        let mut files = procedures_text();
        let file = which.index(files.len());
        let (_, text) = &mut files[file];
        let chars: Vec<char> = text.chars().collect();
        let at = place.index(chars.len());
        let rest = chars.get(at + cut..).unwrap_or_default();
        *text = chars[..at].iter().copied().chain(typed.chars()).chain(rest.iter().copied()).collect();
        match assemble(&files) {
            Ok(procedures) => {
                let plant = Plant { procedures, ..PLANT.clone() };
                prop_assert_eq!(examine(&plant), []);
            }
            Err(faults) => {
                prop_assert!(!faults.is_empty());
                for fault in faults {
                    prop_assert!(fault.to_string().len() < 2_000 && fault.what.len() > 5, "{}", fault);
                }
            }
        }
    }
}
