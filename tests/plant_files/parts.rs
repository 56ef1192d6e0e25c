//! Faults in one pump or in the plant itself.

use crate::files::{faults_with, one_fault};
use lantern_ring::plant::{Dirt, Moisture, Rolling};

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
fn oil_and_grease_fit_how_a_bearing_is_lubricated() {
    const BATH: &str = "{ place = \"pump_de\", lubrication = \"oil_bath\", thermometer = true }";
    const FITTING: &str = "{ place = \"driver_de\", lubrication = \"grease_fitting\" }";
    let told = |old: &str, more: &str, says: &str| {
        let new = format!("{}, {more} }}", old.trim_end_matches(" }"));
        let index = usize::from(old == FITTING);
        let says = format!("pumps/stock.toml: pump ST-104A: field `bearings[{index}].{says}");
        one_fault("pumps/stock.toml", old, &new, &says);
    };
    told(BATH, "oil_grade = \" \"", "oil_grade`: must not be empty");
    told(
        FITTING,
        "oil_grade = \"ISO VG 46\"",
        "oil_grade`: is given, and the bearing holds no oil; take it out or mend its lubrication",
    );
    told(
        BATH,
        "bottle_ml = 120",
        "bottle_ml`: is given, and the bearing has no bottle oiler; take it out or mend its lubrication",
    );
    told(
        BATH,
        "grease = { grade = \"NLGI 2\", grams = 20, every_days = 90 }",
        "grease`: is given, and the bearing is not greased; take it out or mend its lubrication",
    );
    told(
        FITTING,
        "grease = { grade = \"NLGI 2\", grams = 20 }",
        "grease`: does not say how often; give every_running_hours, every_days or both",
    );
    told(
        FITTING,
        "grease = { grade = \"NLGI 2\", grams = -20, every_days = 90 }",
        "grease.grams`: must be above 0, is -20",
    );
    told(
        FITTING,
        "grease = { grade = \"NLGI 2\", grams = 20, every_days = 90, per_stroke_grams = 0 }",
        "grease.per_stroke_grams`: must be above 0, is 0",
    );
}

#[test]
fn the_size_of_a_bearing_is_one_that_a_greased_bearing_can_have() {
    const BATH: &str = "{ place = \"pump_de\", lubrication = \"oil_bath\", thermometer = true }";
    const FITTING: &str = "{ place = \"driver_de\", lubrication = \"grease_fitting\" }";
    let size = |bore: &str, outside: &str, width: &str| {
        format!(
            "size = {{ bore_mm = {bore}, outside_mm = {outside}, width_mm = {width}, rolling = \"ball\" }}"
        )
    };
    let told = |old: &str, more: &str, says: &[&str]| {
        let new = format!("{}, {more} }}", old.trim_end_matches(" }"));
        let index = usize::from(old == FITTING);
        let says: Vec<String> = says
            .iter()
            .map(|says| format!("pumps/stock.toml: pump ST-104A: field `bearings[{index}].{says}"))
            .collect();
        assert_eq!(faults_with("pumps/stock.toml", old, &new), says);
    };
    told(
        BATH,
        &size("40", "80", "18"),
        &[
            "size`: is given, and nothing is reckoned from the size of a bearing that is not greased; take it out or mend its lubrication",
        ],
    );
    told(
        FITTING,
        &size("80", "40", "18"),
        &[
            "size.outside_mm`: must be above bore_mm (80), is 40; look whether the two were changed over",
        ],
    );
    told(
        FITTING,
        &size("2", "3000", "0"),
        &[
            "size.bore_mm`: must be 3 to 1000, is 2",
            "size.outside_mm`: must be 5 to 2000, is 3000",
            "size.width_mm`: must be 1 to 1000, is 0",
        ],
    );
    told(
        FITTING,
        &size("40", "80", "nan"),
        &["size.width_mm`: must be a finite number, is NaN"],
    );
    told(
        FITTING,
        "dirt = \"heavy\", moisture = \"wet\"",
        &[
            "dirt`: is given, and nothing is reckoned from it without the bearing's size; give its size too, or take it out",
            "moisture`: is given, and nothing is reckoned from it without the bearing's size; give its size too, or take it out",
        ],
    );
}

#[test]
fn a_bearing_with_its_size_and_what_is_around_it_is_read() {
    let mut files = crate::files::good_files();
    for (name, text) in &mut files {
        if name == "pumps/stock.toml" {
            *text = text.replacen(
                "{ place = \"driver_de\", lubrication = \"grease_fitting\" }",
                "{ place = \"driver_de\", lubrication = \"grease_fitting\", dirt = \"light_abrasive\", moisture = \"damp\", size = { bore_mm = 60, outside_mm = 130, width_mm = 31, rolling = \"tapered_or_spherical\" } }",
                1,
            );
        }
    }
    let plant = lantern_ring::plant::files::assemble(&files).expect("no fault");
    let bearing = &plant.pumps[0].bearings[1];
    let size = bearing.size.expect("a size");
    assert_eq!(
        (size.bore_mm, size.outside_mm, size.width_mm),
        (60.0, 130.0, 31.0)
    );
    assert_eq!(size.rolling, Rolling::TaperedOrSpherical);
    assert_eq!(
        (bearing.dirt, bearing.moisture),
        (Some(Dirt::LightAbrasive), Some(Moisture::Damp))
    );
}
