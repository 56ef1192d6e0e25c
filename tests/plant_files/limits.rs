//! Faults in limits.

use crate::files::{faults_with, good_files, one_fault};
use lantern_ring::plant::files::assemble;

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
    one_fault(
        "limits/stock.toml",
        "high_act = 82\n",
        "high_act = 82\nfastest_change = { by = 8, per_hours = 8, at_most = 7 }\n",
        "limits/stock.toml: pump ST-104A: field `bearing_temperature@pump_de.fastest_change.at_most`: must not be below by, 8, is 7",
    );
    assert_eq!(
        faults_with_more_limits("noise@pump", "choices = { knock = \"alarm\" }"),
        [
            "limits/stock.toml: pump ST-104A: field `noise@pump.choices.knock`: unknown variant `alarm`, expected one of `not_judged`, `in_limits`, `watch`, `act`, `stop_pump`"
        ]
    );
    assert_eq!(
        faults_with_more_limits("noise@pump", "choices = { knock = \"not_judged\" }"),
        [
            "limits/stock.toml: pump ST-104A: field `noise@pump.choices.knock`: must come to something: in_limits, watch, act or stop_pump"
        ]
    );
}

#[test]
fn a_fastest_change_has_an_end_even_where_its_file_names_none() {
    for (written, at_most) in [("", 24.0), (", at_most = 30", 30.0)] {
        let mut files = good_files();
        let limits = files
            .iter_mut()
            .find(|(name, _)| name == "limits/stock.toml");
        let text = &mut limits.expect("file").1;
        let change =
            format!("high_act = 82\nfastest_change = {{ by = 8, per_hours = 8{written} }}\n");
        *text = text.replace("high_act = 82\n", &change);
        let plant = assemble(&files).expect("a plant");
        let mut changes = plant
            .limits
            .iter()
            .filter_map(|limits| limits.fastest_change);
        assert_eq!(changes.next().expect("a change").at_most, Some(at_most));
    }
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
        "limits/stock.toml: pump ST-104A: field `seal_leak@seal_de`: this pump is not built so that it has this check; it has leak_off@seal_de, gland_square@seal_de, lantern_ring_pressure@seal_de, gland_air@seal_de, leak_off_sides@seal_de, static_leak@seal_de",
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
            "limits/stock.toml: pump ST-104A: field `noise@pump.choices.bang`: is no answer to this check; it has steady, louder, crackle, squeal, knock, rumble, hiss, hum",
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
