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
    round(&["end"]).refused(&["nobody was at ST-104B, ST-108, ST-112"]);
    round(&["end", "--rest", "called to the boiler"]).ended(0);
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
            "Round stock: ended, 2 of 6 stops made, Shift A"
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
    assert_eq!(part(&sheet, "Put right"), ["ST-108: Bolt tightened."]);
    let still_open = part(&sheet, "Still open");
    assert_eq!(still_open.len(), 2, "{still_open:?}");
    assert!(
        still_open[1].starts_with("ST-112: Drain pipe rusted. Open since "),
        "{}",
        still_open[1]
    );
    let not_checked = part(&sheet, "Not checked");
    assert_eq!(not_checked.len(), 5, "{not_checked:?}");
    for words in [
        "ST-101, stop of round stock: isolated",
        "ST-112, stop of round stock: called to the boiler",
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
    .refused(&["attic is not in this plant"]);
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
