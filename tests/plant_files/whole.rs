//! Faults between parts, and all of them at once.

use crate::files::{faults_with, good_files, good_plant, one_fault};
use lantern_ring::plant::{Plant, files::assemble};
use proptest::{prelude::*, sample::Index};

#[test]
fn the_plain_files_make_a_plant() {
    let plant = good_plant();
    assert_eq!(
        (plant.pumps.len(), plant.limits.len(), plant.rounds.len()),
        (2, 2, 1)
    );
}

#[test]
fn bad_toml_names_the_line() {
    let told = faults_with(
        "pumps/stock.toml",
        "name = \"Machine chest pump A\"",
        "name = ",
    );
    assert_eq!(told.len(), 1);
    assert!(
        told[0].starts_with("pumps/stock.toml: is no readable TOML: line 3: "),
        "{}",
        told[0]
    );
}

#[test]
fn ids_given_twice_are_told() {
    let twice = |told: &str| told.contains("is given twice");
    let pump = faults_with("pumps/stock.toml", "id = \"ST-104B\"", "id = \"st-104a\"");
    assert!(
        pump.iter()
            .any(|t| twice(t) && t.starts_with("pumps/stock.toml: pump st-104a: field `id`")),
        "{pump:?}"
    );
    one_fault(
        "pumps/stock.toml",
        "tag = \"8c3b4c0e-55d0-4c2b-9f0e-0d4f4a5b1c02\"",
        "tag = \"8c3b4c0e-55d0-4c2b-9f0e-0d4f4a5b1c01\"",
        "pumps/stock.toml: pump ST-104B: field `tag`: is the tag of pump ST-104A too; give this pump a new one",
    );
    one_fault(
        "plant.toml",
        "{ id = \"stock\", name = \"Stock preparation\" },",
        "{ id = \"stock\", name = \"Stock preparation\" }, { id = \"stock\", name = \"Again\" },",
        "plant.toml: field `areas[1].id`: the area id 'stock' is given twice; keep one",
    );
    one_fault(
        "limits/stock.toml",
        "check = \"bearing_temperature@pump_de\"\nversion = 1\nunit = \"degC\"",
        "check = \"leak_off@seal_de\"\nversion = 1\nunit = \"drops/min\"",
        "limits/stock.toml: pump ST-104A: field `leak_off@seal_de`: has limits twice; keep one table for a pump and check",
    );
    one_fault(
        "rounds/all.toml",
        "\"ST-104B\"]",
        "\"ST-104B\", \"ST-104A\"]",
        "rounds/all.toml: field `all.stops[2]`: pump ST-104A is on this round already; keep one stop",
    );
    let round =
        "\n[[round]]\nid = \"all\"\nname = \"Again\"\nevery_hours = 8\nstops = [\"ST-104A\"]\n";
    one_fault(
        "rounds/all.toml",
        "\"ST-104B\"]\n",
        &format!("\"ST-104B\"]\n{round}"),
        "rounds/all.toml: field `all.id`: is given twice; each round needs its own",
    );
}

#[test]
fn what_points_nowhere_is_told() {
    one_fault(
        "limits/stock.toml",
        "pump = \"ST-104A\"",
        "pump = \"ST-105A\"",
        "limits/stock.toml: pump ST-105A: field `leak_off@seal_de`: there is no pump of this id in pumps/; mend the id or add the pump",
    );
    one_fault(
        "rounds/all.toml",
        "\"ST-104B\"",
        "\"ST-104C\"",
        "rounds/all.toml: field `all.stops[1]`: there is no pump ST-104C in pumps/",
    );
    one_fault(
        "pumps/stock.toml",
        "area = \"stock\"",
        "area = \"attic\"",
        "pumps/stock.toml: pump ST-104A: field `area`: the area 'attic' is not one of the plant's areas in plant.toml",
    );
    let told = faults_with(
        "pumps/stock.toml",
        "group = \"machine-chest\", role = \"standby\"",
        "group = \"other\", role = \"standby\"",
    );
    assert_eq!(
        told,
        [
            "pumps/stock.toml: pump ST-104A: field `spare.group`: the group 'machine-chest' has only this pump; a spare group needs two",
            "pumps/stock.toml: pump ST-104B: field `spare.group`: the group 'other' has only this pump; a spare group needs two",
        ]
    );
}

#[test]
fn every_fault_is_told_not_only_the_first() {
    let mut files = good_files();
    for (name, text) in &mut files {
        if name == "pumps/stock.toml" {
            *text = text
                .replace("speed_rpm = 1480", "speed_rpm = 0")
                .replace("rings = 5", "rings = 99");
        }
        if name == "limits/stock.toml" {
            *text = text.replace("high_watch = 71", "high_watch = 91");
        }
        if name == "rounds/all.toml" {
            *text = text.replace("every_hours = 8", "every_hours = -8");
        }
    }
    let faults = assemble(&files).expect_err("it must be refused");
    let fields: Vec<_> = faults
        .iter()
        .filter_map(|fault| fault.field.as_deref())
        .collect();
    assert_eq!(
        fields,
        [
            "driver.speed_rpm",
            "seal.rings",
            "driver.speed_rpm",
            "seal.rings",
            "bearing_temperature@pump_de",
            "all.every_hours"
        ]
    );
}

#[test]
fn an_unreadable_pump_does_not_make_its_limits_look_lost() {
    let told = faults_with("pumps/stock.toml", "area = \"stock\"\n", "");
    assert_eq!(
        told,
        ["pumps/stock.toml: pump ST-104A: missing field `area`"]
    );
}

#[test]
fn a_folder_without_its_plant_file_is_told() {
    let files: Vec<_> = good_files()
        .into_iter()
        .filter(|(name, _)| name != "plant.toml")
        .collect();
    let faults = assemble(&files).expect_err("it must be refused");
    assert!(
        faults[0].to_string().starts_with("plant.toml: is missing"),
        "{}",
        faults[0]
    );
}

#[test]
fn strange_files_and_tables_are_told() {
    let mut files = good_files();
    files.push(("notes/x.toml".into(), String::new()));
    files.push(("pumps/y.toml".into(), "[[pumps]]\nid = \"A\"\n".into()));
    let told: Vec<_> = assemble(&files)
        .expect_err("refused")
        .iter()
        .map(ToString::to_string)
        .collect();
    assert_eq!(
        told,
        [
            "notes/x.toml: is no file of a plant folder: put it in pumps/, limits/, rounds/ or procedures/, or take it out",
            "pumps/y.toml: has a 'pumps' in it; only [[pump]] tables belong here",
            "pumps/y.toml: has no [[pump]] table in it",
        ]
    );
}

#[test]
fn a_plant_that_came_as_json_is_checked_the_same_way() {
    let mut plant = good_plant();
    plant.pumps[0].driver.speed_rpm = -1480.0;
    plant.rounds[0].stops.push("ST-999".parse().expect("id"));
    let json = plant.to_json().expect("JSON");
    let told: Vec<_> = Plant::from_json(&json)
        .expect_err("refused")
        .iter()
        .map(ToString::to_string)
        .collect();
    assert_eq!(
        told,
        [
            "plant: pump ST-104A: field `driver.speed_rpm`: must be above 0, is -1480",
            "plant: field `all.stops[2]`: there is no pump ST-999 in pumps/",
        ]
    );
}

#[test]
fn files_from_a_windows_editor_read_the_same() {
    let files: Vec<_> = good_files()
        .into_iter()
        .map(|(name, text)| (name, format!("\u{feff}{}", text.replace('\n', "\r\n"))))
        .collect();
    assert_eq!(assemble(&files).expect("no fault"), good_plant());
}

proptest! {
    /// Whatever one slip does to a file, the answer is a plant that passes its own check or faults in words.
    #[test]
    fn a_slip_anywhere_is_told_or_does_no_harm(which: Index, place: Index, typed in "\\PC?", cut in 0..4_usize) {
        let mut files = good_files();
        let (_, text) = &mut files[which.index(4)];
        let chars: Vec<char> = text.chars().collect();
        let at = place.index(chars.len());
        let rest = chars.get(at + cut..).unwrap_or_default();
        *text = chars[..at].iter().copied().chain(typed.chars()).chain(rest.iter().copied()).collect();
        match assemble(&files) {
            Ok(plant) => prop_assert_eq!(plant.check(), []),
            Err(faults) => {
                prop_assert!(!faults.is_empty());
                for fault in faults {
                    prop_assert!(fault.to_string().len() < 2_000 && fault.what.len() > 5, "{}", fault);
                }
            }
        }
    }
}
