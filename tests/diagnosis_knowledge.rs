//! The knowledge files: every row parses, is sourced, and says what the published tables say.

use lantern_ring::diagnosis::{Knowledge, KnowledgeError, Sign, Weight};
use serde::Deserialize;
use std::collections::BTreeSet;

fn built_in() -> &'static Knowledge {
    Knowledge::built_in().unwrap()
}

/// The troubles that must at least be covered.
const MUST_COVER: [&str; 38] = [
    "not_primed",
    "air_partly",
    "air_bound",
    "air_packing",
    "air_suction_leak",
    "vortex",
    "vapour_low_suction",
    "vapour_hot",
    "cavitation",
    "suction_strainer",
    "discharge_filter",
    "discharge_valve",
    "dead_headed",
    "runout",
    "worn_clearances",
    "wrong_rotation",
    "speed_low",
    "packing_tight",
    "packing_worn",
    "gland_cocked",
    "lantern_feed_lost",
    "seal_damaged",
    "seal_feed_wrong",
    "bearing_short_oil",
    "bearing_short_grease",
    "over_greased",
    "oil_water",
    "oil_aged",
    "bearing_worn",
    "misalignment",
    "bent_shaft",
    "unbalance",
    "loose_foundation",
    "feed_pump",
    "feed_reservoir",
    "feed_filter",
    "motor_overloaded",
    "single_phasing",
];

#[test]
fn every_trouble_asked_for_is_there_with_its_words() {
    let troubles = built_in().troubles();
    for key in MUST_COVER
        .iter()
        .chain(&["cooler_hot", "cooler_cold", "oil_heater"])
    {
        assert!(troubles.iter().any(|t| t.key == *key), "{key} is missing");
    }
    for t in troubles {
        for text in [&t.words, &t.first_action, &t.stop_when, &t.caution] {
            assert!(!text.is_empty(), "{} lacks words", t.key);
        }
    }
}

#[test]
fn every_row_names_a_source_and_says_something() {
    for row in built_in().rows() {
        let says = [row.if_present, row.if_absent] != [Weight::Silent, Weight::Silent];
        assert!(says, "{} x {:?} says nothing", row.trouble, row.sign);
        let plain = ["common practice, no source", "from memory"].contains(&row.source.as_str());
        let has_section = row.source.split_once([',', '/', ' ']).is_some();
        assert!(
            plain || has_section,
            "{} x {:?}: {}",
            row.trouble,
            row.sign,
            row.source
        );
    }
}

#[test]
fn every_trouble_has_two_signs_for_it_and_every_sign_speaks_of_a_trouble() {
    let signs: BTreeSet<Sign> = built_in().rows().map(|row| row.sign).collect();
    let unsaid: Vec<_> = Sign::ALL.iter().filter(|s| !signs.contains(s)).collect();
    assert!(unsaid.is_empty(), "{unsaid:?}");
    for t in built_in().troubles() {
        let speaks = |w: Weight| matches!(w, Weight::Proves | Weight::StronglyFor | Weight::For);
        let rows = built_in().rows().filter(|row| row.trouble == t.key);
        let signs_for = rows.filter(|row| speaks(row.if_present)).count();
        assert!(signs_for >= 2, "{} has {signs_for} signs for it", t.key);
    }
}

#[test]
fn about_half_of_the_rows_are_published() {
    let rows: Vec<_> = built_in().rows().collect();
    let count = |source: &str| rows.iter().filter(|r| r.source == source).count();
    let (practice, memory) = (count("common practice, no source"), count("from memory"));
    println!(
        "{} rows: {practice} common practice, {memory} from memory",
        rows.len()
    );
    assert!(rows.len() - practice - memory > 200);
}

#[derive(Deserialize)]
struct Published {
    symptom: String,
    cause: String,
    source: String,
    sign: String,
    trouble: String,
    not_covered_because: String,
}

fn published() -> Vec<Published> {
    csv::Reader::from_reader(include_str!("data/reference/symptom_causes.csv").as_bytes())
        .deserialize()
        .collect::<Result<_, _>>()
        .unwrap()
}

#[test]
fn what_published_tables_say_goes_together_does_so_here() {
    for p in published()
        .iter()
        .filter(|p| p.not_covered_because.is_empty())
    {
        let row = built_in()
            .rows()
            .find(|row| row.trouble == p.trouble && row.sign.key() == p.sign);
        let speaks = row.is_some_and(|row| {
            matches!(
                row.if_present,
                Weight::Proves | Weight::StronglyFor | Weight::For
            )
        });
        assert!(speaks, "{}: {} with {}", p.source, p.symptom, p.cause);
    }
}

#[test]
fn fifty_six_of_eighty_four_published_rows_are_covered_and_the_rest_say_why_not() {
    let rows = published();
    let (covered, left): (Vec<_>, Vec<_>) =
        rows.iter().partition(|p| p.not_covered_because.is_empty());
    let not_centrifugal = left
        .iter()
        .filter(|p| p.not_covered_because.ends_with("not a centrifugal pump"));
    assert_eq!(
        (covered.len(), rows.len(), not_centrifugal.count()),
        (56, 84, 18)
    );
}

#[test]
fn a_faulty_row_is_refused_with_its_line() {
    let troubles =
        "[[trouble]]\nkey='a'\nwords='a'\nfirst_action='b'\nstop_when='c'\ncaution='d'\n";
    let heading = "trouble,sign,if_present,if_absent,source\n";
    for (row, says) in [
        ("b,amps_low,for,-,from memory", "no trouble 'b'"),
        ("a,amps_odd,for,-,from memory", "amps_odd"),
        ("a,amps_low,perhaps,-,from memory", "perhaps"),
        ("a,amps_low,for,-, ", "no source"),
        ("a,amps_low,for,-,x\na,amps_low,for,-,x", "twice"),
    ] {
        let error = Knowledge::read(troubles, &format!("{heading}{row}")).unwrap_err();
        assert!(matches!(error, KnowledgeError::Row { .. }));
        let words = error.to_string();
        assert!(words.contains("line ") && words.contains(says), "{words}");
    }
    let twice = troubles.repeat(2);
    assert!(
        Knowledge::read(&twice, heading)
            .unwrap_err()
            .to_string()
            .contains("'a'")
    );
}

#[test]
fn keys_of_signs_are_told_apart_and_read_back() {
    for &sign in Sign::ALL {
        let key = serde_json::Value::from(sign.key());
        assert_eq!(serde_json::from_value::<Sign>(key).ok(), Some(sign));
        assert!(!sign.words().is_empty());
    }
}
