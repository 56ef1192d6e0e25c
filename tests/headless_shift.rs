//! A shift by the commands: a round walked, a finding followed, and a handover that says what was recorded.

mod headless_support;

use headless_support::{make_store, run, run_with};
use std::path::Path;

const ENTRIES: &str = r#"{"pump":"ST-104A","running":"running","check":"leak_off@seal_de","entered":{"kind":"count","drops":180,"seconds":60}}
{"pump":"ST-104A","check":"gland_heat@seal_de","entered":{"kind":"not_checked","reason":"scaffold in the way"}}
{"pump":"ST-106","running":"running","check":"noise@pump","entered":{"kind":"choice","key":"steady"}}
"#;

fn shift(folder: &Path) {
    make_store(folder, "s.lantern");
    let round = |words: &[&str]| {
        let mut all = vec!["round", "s.lantern", "stock", "--by", "Shift A"];
        all.extend(words);
        run(folder, &all)
    };
    round(&["begin"]).ended(0);
    run_with(
        folder,
        &["record", "s.lantern", "-", "--by", "Shift A"],
        ENTRIES,
    )
    .ended(3);
    round(&["skip", "ST-101", "isolated"]).ended(0);
    round(&["end"]).refused(&[
        "nobody was at ST-104B, ST-108, ST-112",
        "at ST-106",
        "checks are missing",
    ]);
    let over = round(&["end", "--rest", "called to the boiler"])
        .ended(0)
        .out;
    for line in [
        "ended, 0 of 6 stops left, Shift A",
        "ST-101\trunning\tpassed over: isolated\tShift A",
        "ST-104A\tGland heat, packing drive end\tscaffold in the way",
        "ST-108\tthe whole stop\tcalled to the boiler",
    ] {
        assert!(over.lines().any(|told| told == line), "{over}");
    }
}

#[test]
fn a_stop_somebody_is_at_is_still_left() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    make_store(folder, "s.lantern");
    let begin = ["round", "s.lantern", "stock", "--by", "Shift A", "begin"];
    run(folder, &begin).ended(0);
    let record = ["record", "s.lantern", "-", "--by", "Shift A", "--stay"];
    let warm = r#"{"pump":"ST-101","running":"running","check":"gland_heat@seal_de","entered":{"kind":"feel","step":1}}"#;
    run_with(folder, &record, warm).ended(0);
    let told = run(folder, &begin).ended(0).out;
    assert!(
        told.starts_with("under way, 6 of 6 stops left, Shift A\n")
            && told.contains("ST-101\trunning\tbeing visited"),
        "{told}"
    );
}

fn part<'a>(sheet: &'a str, heading: &str) -> Vec<&'a str> {
    let below = sheet
        .split(&format!("\n{heading}\n"))
        .nth(1)
        .unwrap_or_default();
    below
        .lines()
        .take_while(|line| !line.is_empty())
        .map(str::trim)
        .collect()
}

#[test]
fn a_handover_says_what_was_recorded() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    shift(folder);
    let open = [
        "finding",
        "s.lantern",
        "--by",
        "Shift A",
        "open",
        "ST-108",
        "watch",
        "Guard rattles.",
    ];
    let first = run(folder, &open).ended(0).out;
    let open = [
        "finding",
        "s.lantern",
        "--by",
        "Shift A",
        "open",
        "ST-112",
        "act",
        "Drain pipe rusted.",
    ];
    run(folder, &open).ended(0);
    let close = [
        "finding",
        "s.lantern",
        "--by",
        "Shift B",
        "close",
        first.trim(),
        "Bolt tightened.",
    ];
    run(folder, &close).ended(0);
    let sheet = run(folder, &["handover", "s.lantern"]).ended(0).out;
    assert_eq!(
        part(&sheet, "Done"),
        [
            "2 visits to 2 pumps, 2 entries",
            "Stock preparation round: ended, 2 of 6 stops made, Shift A"
        ]
    );
    let found = part(&sheet, "Found");
    assert_eq!(found.len(), 3, "{found:?}");
    assert!(
        found[0].starts_with("ST-104A Seal DE: Leak-off 180 drops/min."),
        "{}",
        found[0]
    );
    assert_eq!(found[1], "ST-108: Guard rattles. (watch)");
    let put_right = part(&sheet, "Put right");
    assert_eq!(put_right.len(), 1, "{put_right:?}");
    let made_good = "ST-108: Guard rattles. Made good: Bolt tightened. ";
    assert!(
        put_right[0].starts_with(made_good) && put_right[0].ends_with(", Shift B"),
        "{put_right:?}"
    );
    let still_open = part(&sheet, "Still open");
    assert_eq!(still_open.len(), 2, "{still_open:?}");
    assert!(
        still_open[1].starts_with("ST-112: Drain pipe rusted. Open since "),
        "{}",
        still_open[1]
    );
    let not_checked = part(&sheet, "Not checked");
    assert_eq!(not_checked.len(), 7, "{not_checked:?}");
    for words in [
        "ST-104A, stop of Stock preparation round: 24 of 26 checks not made: called to the boiler",
        "ST-101, stop of Stock preparation round: isolated",
        "ST-112, stop of Stock preparation round: called to the boiler",
        "ST-104A Seal DE: Gland heat not checked: scaffold in the way.",
    ] {
        assert!(not_checked.contains(&words), "{not_checked:?}");
    }
    assert_eq!(part(&sheet, "Changed over, started, stopped"), ["none"]);
}

#[test]
fn a_handover_of_one_operator_leaves_out_the_others() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    shift(folder);
    let sheet = run(folder, &["handover", "s.lantern", "--by", "Shift B"])
        .ended(0)
        .out;
    assert_eq!(part(&sheet, "Done"), ["0 visits to 0 pumps, 0 entries"]);
    assert_eq!(part(&sheet, "Found"), ["none"]);
}

#[test]
fn the_rounds_are_listed_with_what_is_due_first() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    shift(folder);
    let list = run(folder, &["rounds", "s.lantern"]).ended(0).out;
    let last = list.lines().last().unwrap();
    assert!(
        last.starts_with("stock\t") && last.contains("due in"),
        "{list}"
    );
    assert_eq!(list.matches("never walked").count(), 4);
}

#[test]
fn what_can_not_be_done_is_said_and_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    make_store(folder, "s.lantern");
    run(
        folder,
        &["round", "s.lantern", "stock", "--by", "Shift A", "pause"],
    )
    .refused(&["nobody is on the round stock", "begin it first"]);
    run(
        folder,
        &["round", "s.lantern", "attic", "--by", "Shift A", "begin"],
    )
    .refused(&["there is no round attic", "water, stock, wet-end"]);
    let nowhere = "01a21431-2332-7268-802b-3d85ac8b265a";
    run(
        folder,
        &[
            "finding",
            "s.lantern",
            "--by",
            "Shift A",
            "close",
            nowhere,
            "done",
        ],
    )
    .refused(&["there is no finding"]);
}

#[test]
fn findings_of_either_kind_are_listed_with_their_ids_and_asked_about_before_the_checks() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    shift(folder);
    let open = [
        "finding",
        "s.lantern",
        "--by",
        "Shift A",
        "open",
        "ST-104A",
        "watch",
        "Guard rattles.",
        "--cause",
        "Loose bolt.",
    ];
    let by_hand = run(folder, &open).ended(0).out.trim().to_owned();
    let see = [
        "finding",
        "s.lantern",
        "--by",
        "Shift B",
        "see",
        &by_hand,
        "worse",
        "Louder.",
    ];
    run(folder, &see).ended(0);
    let list = run(folder, &["findings", "s.lantern", "--open"])
        .ended(0)
        .out;
    assert_eq!(list.lines().count(), 2, "{list}");
    let told = list.lines().find(|line| line.ends_with(&by_hand)).unwrap();
    for words in [
        "ST-104A  watch  by hand",
        "Guard rattles.",
        "worse: Louder. (Shift B",
    ] {
        assert!(told.contains(words), "{told}");
    }
    let csv = run(folder, &["findings", "s.lantern", "--format", "csv"])
        .ended(0)
        .out;
    assert!(csv.contains("ST-104A,hand,,watch,watch,true,"), "{csv}");
    let one = run(folder, &["findings", "s.lantern", "--finding", &by_hand])
        .ended(0)
        .out;
    assert!(one.contains("Likely cause: Loose bolt."), "{one}");
    let checks = run(folder, &["checks", "s.lantern", "ST-104A"])
        .ended(0)
        .out;
    let asked: Vec<_> = checks
        .lines()
        .filter(|line| line.starts_with("Still so? worse? gone?"))
        .collect();
    assert_eq!(asked.len(), 2, "{checks}");
    assert!(
        asked[0].contains("leak_off@seal_de") && asked[1].contains("Guard"),
        "the worst first"
    );
}

#[test]
fn a_visit_is_gone_on_with_so_that_the_next_entry_is_weighed_with_those_before() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    make_store(folder, "s.lantern");
    let entry = |pump: &str, check: &str, entered: &str| {
        format!(r#"{{"pump":"{pump}","running":"running","check":"{check}","entered":{entered}}}"#)
    };
    let high = entry(
        "ST-104A",
        "leak_off@seal_de",
        r#"{"kind":"count","drops":180,"seconds":60}"#,
    );
    let record = ["record", "s.lantern", "-", "--by", "Shift A"];
    let first = run_with(folder, &[&record[..], &["--stay"]].concat(), &high)
        .ended(3)
        .out;
    let visit = first.trim_end().rsplit('\t').next().unwrap();
    let heat = entry(
        "ST-104A",
        "gland_heat@seal_de",
        r#"{"kind":"feel","step":4}"#,
    );
    let go_on = [&record[..], &["--visit", visit]].concat();
    let elsewhere = entry(
        "ST-106",
        "noise@pump",
        r#"{"kind":"choice","key":"steady"}"#,
    );
    run_with(folder, &go_on, &elsewhere).refused(&["at pump ST-104A, not at ST-106"]);
    let second = run_with(folder, &go_on, &heat).ended(3).out;
    assert!(second.trim_end().ends_with(visit), "{second}");
    let causes = run(
        folder,
        &["causes", "s.lantern", "ST-104A", "--visit", visit],
    )
    .ended(0)
    .out;
    assert!(
        causes.contains("(Leak-off") && causes.contains("(Gland heat"),
        "{causes}"
    );
    run_with(folder, &go_on, &heat).refused(&["this visit is over"]);
}

#[test]
fn what_a_pump_never_has_is_told_from_what_it_has_in_another_state() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    make_store(folder, "s.lantern");
    let record = |line: &str| {
        run_with(
            folder,
            &["record", "s.lantern", "-", "--by", "Shift A"],
            line,
        )
    };
    record(r#"{"pump":"ST-104A","running":"standby","check":"noise@pump","entered":{"kind":"choice","key":"steady"}}"#)
        .refused(&["only while running", "has it standby"]);
    record(r#"{"pump":"ST-104A","check":"feed_oil_pressure@oil_skid","entered":{"kind":"number","value":2,"unit":"bar"}}"#)
        .refused(&["has no check feed_oil_pressure@oil_skid", "whatever it is doing"]);
    record(r#"{"pump":"ST-104A","running":"running","check":"shaft_speed@driver","entered":{"kind":"number","value":0,"unit":"rpm"}}"#)
        .refused(&["line 1"]);
    run(
        folder,
        &[
            "trend",
            "s.lantern",
            "ST-104A",
            "feed_oil_pressure@oil_skid",
        ],
    )
    .refused(&["has no check feed_oil_pressure@oil_skid"]);
}

#[test]
fn an_entry_is_listed_with_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    shift(folder);
    let list = run(folder, &["entries", "s.lantern", "--pump", "ST-104A"])
        .ended(0)
        .out;
    assert!(
        list.contains("ST-104A  Seal DE  act") || list.contains("ST-104A  Seal DE  stop_pump"),
        "{list}"
    );
}
