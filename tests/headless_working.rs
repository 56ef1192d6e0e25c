//! `work-out`, `causes` and `trend` on the demo, and recording what they are told from.
//!
//! The demo's history is invented: its stories say what must come out. The stream's rates were worked out by hand.

mod headless_support;

use headless_support::{Ran, make_store, plant, run, run_with};
use std::{
    path::Path,
    sync::OnceLock,
    time::{SystemTime, UNIX_EPOCH},
};
use tempfile::TempDir;

const STORE: &str = "demo/kestrel-ness.lantern";

/// The demo with all its history, made once; these tests only read it.
fn demo() -> &'static Path {
    static DEMO: OnceLock<TempDir> = OnceLock::new();
    let folder = DEMO.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        run(
            folder.path(),
            &["make-demo", plant().to_str().unwrap(), "demo"],
        )
        .ended(0);
        let bundles = [
            "demo/device-1-latest.lrbundle",
            "demo/device-2-latest.lrbundle",
        ];
        run(folder.path(), &["import", STORE, bundles[0], bundles[1]]).ended(0);
        folder
    });
    folder.path()
}

/// A store is used by one program at a time: what these tests ask of the demo, they ask one after another.
fn ask(words: &[&str]) -> Ran {
    static ONE_AT_A_TIME: std::sync::Mutex<()> = std::sync::Mutex::new(());
    let folder = demo();
    let _guard = ONE_AT_A_TIME.lock();
    run(folder, words).ended(0)
}

#[test]
fn work_out_tells_a_visits_results_and_on_demand_their_working() {
    let short = ask(&["work-out", STORE, "ST-104A"]).out;
    for name in [
        "Rate counted: ",
        "Total head: ",
        "Flow by the curve: ",
        "NPSH margin: ",
        "Highest temperature: ",
    ] {
        assert!(short.contains(name), "no '{name}' in {short}");
    }
    assert!(
        short.contains("Leak-off, packing drive end: Rate counted: "),
        "{short}"
    );
    assert!(!short.contains("    By: "), "{short}");
    let long = ask(&["work-out", STORE, "ST-104A", "--working"]).out;
    for row in [
        "    By: H = (p₂ − p₁)/(ρ·g)",
        "    From: F. Garwood",
        "    Liquid: stock, 3.2 %, reckoned as water",
    ] {
        assert!(long.contains(row), "no '{row}' in {long}");
    }
}

#[test]
fn causes_name_the_trouble_of_the_demos_stories() {
    for (pump, trouble) in [
        ("ST-104A", "packing loose or worn"),
        ("BF-301A", "oil filter plugged"),
    ] {
        let told = ask(&["causes", STORE, pump]).out;
        let first = told.lines().next().unwrap();
        assert!(first.contains(trouble), "{told}");
        for part in ["    for: ", "    first: ", "    Stop if ", "    mind: "] {
            assert!(told.contains(part), "no '{part}' in {told}");
        }
        assert!(!told.contains("    from: "), "{told}");
        let from = told
            .lines()
            .find(|line| line.starts_with("    for: "))
            .unwrap();
        assert!(
            from.ends_with(")"),
            "every sign says where it came from: {from}"
        );
    }
    let with_sources = ask(&["causes", STORE, "ST-104A", "--working"]).out;
    assert!(with_sources.contains("        source: "), "{with_sources}");
}

/// A trend as it stood when the demo's history ended: it is of the last weeks, and tests are run later.
fn trend(pump: &str, check: &str) -> String {
    const ENDED_S: u64 = 1_795_478_400; // 2026-11-24 00:00 UTC
    let now = SystemTime::now().duration_since(UNIX_EPOCH).unwrap();
    let days_ago = now.as_secs().saturating_sub(ENDED_S) / 86_400;
    let days_ago = days_ago.to_string();
    let words = [
        "trend",
        STORE,
        pump,
        check,
        "--working",
        "--days-ago",
        &days_ago,
    ];
    ask(&words).out
}

#[test]
fn trend_tells_how_a_checks_readings_go() {
    let told = trend("BF-301A", "feed_oil_filter_drop@oil_skid");
    let first = told.lines().next().unwrap();
    assert!(
        first.starts_with("Oil filter drop, oil skid: Rising "),
        "{told}"
    );
    assert!(told.contains("Theil") && told.contains("Mann"), "{told}");
    let words = ask(&["trend", STORE, "BF-301A", "noise@pump"]).out;
    assert_eq!(words, "Noise: there are no numbers to tell a trend by.\n");
}

#[test]
fn a_bearing_that_warms_with_a_warm_spell_is_told_from_one_that_warms_by_itself() {
    let told = trend("RW-101A", "bearing_temperature@pump_de");
    let first = told.lines().next().unwrap();
    assert!(
        first.starts_with("Bearing temperature, pump drive end: Rising ")
            && first.ends_with("; without the air's part no trend shown"),
        "{told}"
    );
    assert!(told.contains("Usual at this air temperature: "), "{told}");
    let told = trend("CW-310A", "bearing_temperature@driver_de");
    assert!(!told.contains(" air"), "no air was read there: {told}");
}

#[test]
fn a_trend_as_it_stood_knows_nothing_that_was_read_since() {
    let long_ago = [
        "trend",
        STORE,
        "BF-301A",
        "feed_oil_filter_drop@oil_skid",
        "--days-ago",
        "20000",
    ];
    let told = ask(&long_ago).out;
    assert!(told.contains("no numbers"), "{told}");
}

#[test]
fn a_pump_or_check_that_is_not_there_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    make_store(folder.path(), "a.lantern");
    for command in ["work-out", "causes"] {
        run(folder.path(), &[command, "a.lantern", "ST-999"]).refused(&["ST-999", "pumps"]);
        let never = run(folder.path(), &[command, "a.lantern", "ST-101"]).ended(0);
        assert_eq!(never.out, "ST-101 was never visited.\n");
        let visit = "00000000-0000-4000-8000-000000000007";
        run(
            folder.path(),
            &[command, "a.lantern", "ST-101", "--visit", visit],
        )
        .refused(&["visit"]);
    }
    let unknown = run(folder.path(), &["trend", "a.lantern", "ST-101", "leakoff"]).ended(2);
    assert!(unknown.err.contains("kind@place"), "{unknown:?}");
}

#[test]
fn the_checks_on_request_are_listed_under_a_heading_of_their_own() {
    let folder = tempfile::tempdir().unwrap();
    make_store(folder.path(), "a.lantern");
    let of = |running: &str| {
        run(
            folder.path(),
            &["checks", "a.lantern", "ST-104A", "--running", running],
        )
        .ended(0)
        .out
    };
    let running = of("running");
    let (walk, request) = running
        .split_once("On request, to tell troubles apart:\n")
        .expect("a heading");
    assert!(
        walk.contains("leak_off@seal_de\t") && walk.contains(r#""kind":"stream","millilitres":V"#)
    );
    assert!(
        !walk.contains("vent_test@pump") && request.contains("vent_test@pump\t"),
        "{running}"
    );
    assert!(!of("standby").contains("On request"));
}

#[test]
fn a_stream_and_checks_on_request_are_recorded_and_worked_out() {
    let folder = tempfile::tempdir().unwrap();
    make_store(folder.path(), "a.lantern");
    let lines = [
        r#"{"pump":"ST-104A","running":"running","check":"leak_off@seal_de","entered":{"kind":"stream","millilitres":40,"seconds":30}}"#,
        r#"{"pump":"ST-104A","check":"valve_position@discharge","entered":{"kind":"choice","key":"open"}}"#,
        r#"{"pump":"ST-104A","check":"gauge_swing@discharge","entered":{"kind":"choice","key":"steady"}}"#,
    ];
    let by = ["record", "a.lantern", "-", "--by", "T. Tester"];
    let ran = run_with(folder.path(), &by, &lines.join("\n")).ended(3);
    assert_eq!(ran.out.lines().count(), 3);
    // 40 mL in 30 s are 80 mL/min, read within 5 %; by the plant's 20 drops to the mL 1 600 drops/min.
    assert!(
        ran.out.lines().next().unwrap().contains(
            "Leak-off 80 mL/min. That is 1600 drops/min at 20 to the mL. This pump needs "
        ),
        "{ran:?}"
    );
    let out = run(
        folder.path(),
        &["work-out", "a.lantern", "ST-104A", "--working"],
    )
    .ended(0)
    .out;
    assert!(out.contains("Stream caught: 80 mL/min, 76 to 84"), "{out}");
    assert!(
        out.contains("    As drops: 1600 drops/min, 20 to the mL"),
        "{out}"
    );
    let causes = run(folder.path(), &["causes", "a.lantern", "ST-104A"])
        .ended(0)
        .out;
    assert!(causes.contains("leak-off above its band"), "{causes}");

    let too_short = lines[0].replace(r#""seconds":30"#, r#""seconds":3"#);
    let refused = run_with(folder.path(), &by, &too_short);
    refused.refused(&["line 1", "10 s or more"]);
}

#[test]
fn help_shows_a_stream() {
    let folder = tempfile::tempdir().unwrap();
    let help = run(folder.path(), &["record", "--help"]).ended(0).out;
    assert!(
        help.contains(r#"{"kind":"stream","millilitres":3,"seconds":90}"#),
        "{help}"
    );
}
