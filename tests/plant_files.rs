//! What is wrong in a plant's files is told with file, pump, field and what would be right.

use lantern_ring::{
    plant::{Plant, files::assemble},
    sys::plant_folder,
};
use proptest::{prelude::*, sample::Index};
use std::{fs, path::Path};

fn good_files() -> Vec<(String, String)> {
    [
        "plant.toml",
        "pumps/stock.toml",
        "limits/stock.toml",
        "rounds/all.toml",
    ]
    .map(|name| {
        let path = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("tests/data/plant")
            .join(name);
        (
            name.to_owned(),
            fs::read_to_string(path).expect("test data"),
        )
    })
    .into()
}

fn good_plant() -> Plant {
    assemble(&good_files()).expect("no fault")
}

/// The faults after one change to one file.
fn faults_with(file: &str, from: &str, to: &str) -> Vec<String> {
    let mut files = good_files();
    let text = &mut files
        .iter_mut()
        .find(|(name, _)| name == file)
        .expect("file")
        .1;
    assert!(text.contains(from), "the test data has no '{from}'");
    *text = text.replacen(from, to, 1);
    let faults = assemble(&files).expect_err("it must be refused");
    faults.iter().map(ToString::to_string).collect()
}

/// The faults after one more table of limits for ST-104A.
fn faults_with_more_limits(check: &str, rest: &str) -> Vec<String> {
    let mut files = good_files();
    let limits = files
        .iter_mut()
        .find(|(name, _)| name == "limits/stock.toml");
    limits.expect("file").1.push_str(&format!(
        "\n[[limits]]\npump = \"ST-104A\"\ncheck = \"{check}\"\nversion = 1\nunit = \"step\"\nbasis = \"Invented.\"\n{rest}\n"
    ));
    let faults = assemble(&files).expect_err("it must be refused");
    faults.iter().map(ToString::to_string).collect()
}

#[track_caller]
fn one_fault(file: &str, from: &str, to: &str, told: &str) {
    assert_eq!(faults_with(file, from, to), [told]);
}

#[test]
fn the_plain_files_make_a_plant() {
    let plant = good_plant();
    assert_eq!(
        (plant.pumps.len(), plant.limits.len(), plant.rounds.len()),
        (2, 2, 1)
    );
}

#[test]
fn a_wrong_number_names_file_pump_and_field() {
    one_fault(
        "pumps/stock.toml",
        "speed_rpm = 1480",
        "speed_rpm = -1480",
        "pumps/stock.toml: pump ST-104A: field `driver.speed_rpm`: must be above 0, is -1480",
    );
    one_fault(
        "pumps/stock.toml",
        "efficiency = 0.95",
        "efficiency = 95",
        "pumps/stock.toml: pump ST-104A: field `driver.efficiency`: must be at most 1, is 95",
    );
    one_fault(
        "pumps/stock.toml",
        "full_load_amps = 132",
        "full_load_amps = nan",
        "pumps/stock.toml: pump ST-104A: field `driver.full_load_amps`: must be a finite number, is NaN",
    );
    one_fault(
        "pumps/stock.toml",
        "rings = 5",
        "rings = 0",
        "pumps/stock.toml: pump ST-104A: field `seal.rings`: must be 1 to 20, is 0",
    );
    one_fault(
        "pumps/stock.toml",
        "shaft_diameter_mm = 60",
        "shaft_diameter_mm = inf",
        "pumps/stock.toml: pump ST-104A: field `seal.shaft_diameter_mm`: must be a finite number, is inf",
    );
}

#[test]
fn a_wrong_word_or_a_missing_field_is_told_with_its_path() {
    one_fault(
        "pumps/stock.toml",
        "lubrication = \"oil_bath\"",
        "lubrication = \"oil\"",
        "pumps/stock.toml: pump ST-104A: field `bearings[0].lubrication`: unknown variant `oil`, expected one of `grease_fitting`, `grease_cup`, `oil_bath`, `bottle_oiler`, `forced_feed`, `sealed`",
    );
    one_fault(
        "pumps/stock.toml",
        "liquid = \"stock, 3 %\"\n",
        "",
        "pumps/stock.toml: pump ST-104A: missing field `liquid`",
    );
    one_fault(
        "pumps/stock.toml",
        "power_kw = 75",
        "power_kw = \"75\"",
        "pumps/stock.toml: pump ST-104A: field `driver.power_kw`: invalid type: string \"75\", expected f64",
    );
    one_fault(
        "pumps/stock.toml",
        "id = \"ST-104A\"",
        "id = \"ST/104A\"",
        "pumps/stock.toml: pump ST/104A: field `id`: the pump id 'ST/104A' can't be used: 1 to 24 letters, digits and dashes, starting with a letter or digit",
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
fn limits_in_the_wrong_order_or_of_nothing_are_told() {
    one_fault(
        "limits/stock.toml",
        "high_watch = 71",
        "high_watch = 91",
        "limits/stock.toml: pump ST-104A: field `bearing_temperature@pump_de`: high_watch (91) must not be above high_act (82)",
    );
    one_fault(
        "limits/stock.toml",
        "high_watch = 71\nhigh_act = 82\n",
        "",
        "limits/stock.toml: pump ST-104A: field `bearing_temperature@pump_de`: sets no limit: give a low or high bound, a fastest_change or choices",
    );
    one_fault(
        "limits/stock.toml",
        "low_watch = 10",
        "low_watch = -10",
        "limits/stock.toml: pump ST-104A: field `leak_off@seal_de.low_watch`: must not be below 0 drops/min, is -10",
    );
    one_fault(
        "limits/stock.toml",
        "high_act = 82\n",
        "high_act = 82\nfastest_change = { by = 0, per_hours = 8 }\n",
        "limits/stock.toml: pump ST-104A: field `bearing_temperature@pump_de.fastest_change.by`: must be above 0, is 0",
    );
    assert_eq!(
        faults_with_more_limits("noise@pump", "choices = { knock = \"alarm\" }"),
        [
            "limits/stock.toml: pump ST-104A: field `noise@pump.choices.knock`: must be one of in_limits, watch, act, stop_pump, is 'alarm'"
        ]
    );
}

#[test]
fn limits_that_do_not_fit_the_check_are_told() {
    one_fault(
        "limits/stock.toml",
        "unit = \"degC\"",
        "unit = \"bar\"",
        "limits/stock.toml: pump ST-104A: field `bearing_temperature@pump_de.unit`: bar does not measure what this check is entered in; use degC or a unit like it",
    );
    one_fault(
        "limits/stock.toml",
        "leak_off@seal_de",
        "seal_leak@seal_de",
        "limits/stock.toml: pump ST-104A: field `seal_leak@seal_de`: this pump is not built so that it has this check; it has leak_off@seal_de, gland_square@seal_de, lantern_ring_pressure@seal_de, static_leak@seal_de",
    );
    let extra = faults_with_more_limits;
    assert_eq!(
        extra("noise@pump", "high_watch = 2"),
        [
            "limits/stock.toml: pump ST-104A: field `noise@pump`: is answered in words, so bounds mean nothing here; use choices",
        ]
    );
    assert_eq!(
        extra("noise@pump", "choices = { bang = \"act\" }"),
        [
            "limits/stock.toml: pump ST-104A: field `noise@pump.choices.bang`: is no answer to this check; it has steady, louder, crackle, squeal, knock",
        ]
    );
    assert_eq!(
        extra("gland_square@seal_de", "choices = { maybe = \"act\" }"),
        [
            "limits/stock.toml: pump ST-104A: field `gland_square@seal_de.choices.maybe`: is no answer to this check; it has yes, no",
        ]
    );
    assert_eq!(
        extra("bearing_heat@driver_de", "high_watch = 2.5\nhigh_act = 7"),
        [
            "limits/stock.toml: pump ST-104A: field `bearing_heat@driver_de.high_watch`: must be a whole step from 0 to 5, is 2.5",
            "limits/stock.toml: pump ST-104A: field `bearing_heat@driver_de.high_act`: must be a whole step from 0 to 5, is 7",
        ]
    );
    assert_eq!(
        extra(
            "bearing_heat@driver_de",
            "high_watch = 2\nchoices = { hot = \"act\" }"
        ),
        [
            "limits/stock.toml: pump ST-104A: field `bearing_heat@driver_de.choices.hot`: this check is not answered in words; use bounds",
        ]
    );
    assert_eq!(
        extra("remark@pump", "high_watch = 2"),
        [
            "limits/stock.toml: pump ST-104A: field `remark@pump`: is entered in own words, which are not judged; take these limits out",
        ]
    );
    assert!(
        extra("cooling_water@oil_skid", "choices = { none = \"act\" }")[0]
            .ends_with("mend the check or the pump")
    );
}

#[test]
fn an_unknown_unit_or_check_names_the_known_ones() {
    let unit = faults_with("limits/stock.toml", "unit = \"degC\"", "unit = \"celsius\"");
    assert!(unit[0].starts_with("limits/stock.toml: pump ST-104A: field `bearing_temperature@pump_de.unit`: unknown variant `celsius`, expected one of `bar`"), "{}", unit[0]);
    let check = faults_with(
        "limits/stock.toml",
        "check = \"bearing_temperature@pump_de\"",
        "check = \"heat\"",
    );
    assert!(
        check[0].contains("the check 'heat' is not known; write kind@place"),
        "{}",
        check[0]
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
fn parts_at_the_wrong_place_are_told() {
    one_fault(
        "pumps/stock.toml",
        "{ place = \"driver_de\"",
        "{ place = \"suction\"",
        "pumps/stock.toml: pump ST-104A: field `bearings[1].place`: must be pump_de or pump_nde or driver_de or driver_nde, is suction",
    );
    one_fault(
        "pumps/stock.toml",
        "{ place = \"driver_de\"",
        "{ place = \"pump_de\"",
        "pumps/stock.toml: pump ST-104A: field `bearings[1].place`: pump_de is given twice; keep one",
    );
    one_fault(
        "pumps/stock.toml",
        "strainers = [{ place = \"suction\" }]",
        "strainers = [{ place = \"pump\" }]",
        "pumps/stock.toml: pump ST-104A: field `strainers[0].place`: must be suction or discharge, is pump",
    );
    one_fault(
        "pumps/stock.toml",
        "{ place = \"discharge\", elevation_m",
        "{ place = \"driver\", elevation_m",
        "pumps/stock.toml: pump ST-104A: field `gauges[1].place`: must be suction or discharge, is driver",
    );
    one_fault(
        "pumps/stock.toml",
        "scale_high_bar = 3",
        "scale_high_bar = -1",
        "pumps/stock.toml: pump ST-104A: field `gauges[0].scale_high_bar`: must be above scale_low_bar (-1), is -1",
    );
    one_fault(
        "pumps/stock.toml",
        "lubrication = \"oil_bath\"",
        "lubrication = \"forced_feed\"",
        "pumps/stock.toml: pump ST-104A: field `oil_skid`: is missing, and a bearing has forced feed; describe the skid",
    );
    one_fault(
        "pumps/stock.toml",
        "priming = \"flooded_suction\"",
        "priming = \"vacuum\"",
        "pumps/stock.toml: pump ST-104A: field `priming`: does not fit the suction: flooded goes with flooded_suction or closed_vent, lift with vacuum, submerged with submerged",
    );
}

/// Source of the 10.35 m: standard atmosphere 101 325 Pa over the weight of water.
#[test]
fn no_pump_lifts_water_from_deeper_than_the_atmosphere_pushes_it() {
    let told = faults_with(
        "pumps/stock.toml",
        "suction = { kind = \"flooded\", head_m = 4 }\npriming = \"flooded_suction\"",
        "suction = { kind = \"lift\", lift_m = 11 }\npriming = \"vacuum\"",
    );
    assert_eq!(
        told,
        ["pumps/stock.toml: pump ST-104A: field `suction.lift_m`: must be 0 to 10.35, is 11"]
    );
}

#[test]
fn empty_and_over_long_words_are_told() {
    one_fault(
        "pumps/stock.toml",
        "name = \"Machine chest pump A\"",
        "name = \" \"",
        "pumps/stock.toml: pump ST-104A: field `name`: must not be empty",
    );
    one_fault(
        "pumps/stock.toml",
        "hazard = \"Wet floor.\"",
        &format!("hazard = \"{}\"", "x".repeat(201)),
        "pumps/stock.toml: pump ST-104A: field `hazard`: must be at most 200 characters, is 201",
    );
    one_fault(
        "limits/stock.toml",
        "basis = \"Invented for this test.\"",
        "basis = \"\"",
        "limits/stock.toml: pump ST-104A: field `leak_off@seal_de.basis`: must not be empty",
    );
    one_fault(
        "plant.toml",
        "tag_host = \"TAGS.TEST.EXAMPLE\"",
        "tag_host = \"tags test\"",
        "plant.toml: field `tag_host`: must be a host name of capital letters, digits, dots and dashes, at most 60 long, is 'tags test'",
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
            "notes/x.toml: is no file of a plant folder: put it in pumps/, limits/ or rounds/, or take it out",
            "pumps/y.toml: has a 'pumps' in it; only [[pump]] tables belong here",
            "pumps/y.toml: has no [[pump]] table in it",
        ]
    );
}

#[test]
fn a_folder_is_read_and_an_over_large_or_unreadable_file_is_told() {
    let folder = tempfile::tempdir().expect("folder");
    for (name, text) in good_files() {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().expect("parent")).expect("folder");
        fs::write(path, text).expect("file");
    }
    assert_eq!(plant_folder(folder.path()).expect("no fault"), good_plant());

    fs::write(
        folder.path().join("pumps/huge.toml"),
        vec![b'#'; 4 * 1024 * 1024 + 1],
    )
    .expect("file");
    fs::write(folder.path().join("rounds/latin.toml"), b"# caf\xe9").expect("file");
    let told: Vec<_> = plant_folder(folder.path())
        .expect_err("refused")
        .iter()
        .map(ToString::to_string)
        .collect();
    assert_eq!(
        told,
        [
            "pumps/huge.toml: is too large: at most 4194304 bytes; split it into several files",
            "rounds/latin.toml: is no UTF-8 text: byte 5 can't be read; save it as UTF-8",
        ]
    );

    let nowhere = plant_folder(&folder.path().join("nowhere")).expect_err("refused");
    assert!(
        nowhere[0].to_string().contains("is no folder"),
        "{}",
        nowhere[0]
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

#[test]
fn a_folder_named_like_a_file_is_told() {
    let folder = tempfile::tempdir().expect("folder");
    fs::create_dir_all(folder.path().join("pumps/odd.toml")).expect("folder");
    let faults = plant_folder(folder.path()).expect_err("refused");
    assert_eq!(
        faults[0].to_string(),
        "pumps/odd.toml: is no plain file; take it out"
    );
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
