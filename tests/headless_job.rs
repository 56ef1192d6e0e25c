//! The whole job by the commands alone: from a plant folder to the planner's lists.
//!
//! What is entered in the tables of `tests/data/headless` was worked out by hand from the demo plant's limits; the
//! plant is invented, so these check the way through, not the trade.

mod headless_support;

use headless_support::{Content, Row, content, line, make_store, program, run, run_with, table};
use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::Path,
    process::Stdio,
    time::Instant,
};

/// One of them packed, the other with a mechanical seal.
const PUMPS: [&str; 2] = ["ST-101", "CH-501A"];

/// The table's rows by how often their check came before: no check twice in one list.
fn rounds(pump: &str) -> Vec<Vec<Row>> {
    let mut rounds: Vec<Vec<Row>> = Vec::new();
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    for row in table(pump) {
        let times = seen.entry(row.check.clone()).or_default();
        if rounds.len() == *times {
            rounds.push(Vec::new());
        }
        rounds[*times].push(row);
        *times += 1;
    }
    rounds
}

fn photo() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/photo/gps.jpg");
    path.to_str().unwrap().to_owned()
}

/// Checks the answer to an entries file row by row.
fn assert_judged(out: &str, pump: &str, rows: &[Row]) {
    let told: Vec<Vec<&str>> = out.lines().map(|line| line.split('\t').collect()).collect();
    assert_eq!(told.len(), rows.len(), "{out}");
    for (told, row) in told.iter().zip(rows) {
        let expected = [pump, row.check.as_str(), row.verdict.as_str()];
        assert_eq!(told[1..4], expected, "{} came to {told:?}", row.entered);
        assert!(told[4].len() > 5, "{told:?} has no sentence");
    }
}

#[test]
fn every_check_is_judged_at_its_bounds_and_one_step_to_either_side() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    for pump in PUMPS {
        for (number, rows) in rounds(pump).into_iter().enumerate() {
            // A store of its own, so that nothing is judged by its change since the round before.
            let store = format!("{pump}-{number}.lantern");
            make_store(folder, &store);
            let lines: Vec<_> = rows.iter().map(|row| line(pump, row)).collect();
            let ran = run_with(
                folder,
                &["record", &store, "-", "--by", "T. Tester"],
                &lines.join("\n"),
            );
            let out_of_limits = |row: &Row| ["watch", "act", "stop_pump"].contains(&&*row.verdict);
            let code = if rows.iter().any(out_of_limits) { 3 } else { 0 };
            assert_judged(&ran.ended(code).out, pump, &rows);
        }
    }
}

#[test]
fn the_tables_have_every_check_the_program_lists() {
    let folder = tempfile::tempdir().unwrap();
    make_store(folder.path(), "a.lantern");
    for pump in PUMPS {
        let ran = run(
            folder.path(),
            &["checks", "a.lantern", pump, "--running", "running"],
        );
        let listed: BTreeSet<String> = ran
            .ended(0)
            .out
            .lines()
            .take_while(|line| !line.starts_with("On request"))
            .filter_map(|line| line.split_once('\t'))
            .map(|(check, _)| check.to_owned())
            .collect();
        let tried: BTreeSet<String> = table(pump).into_iter().map(|row| row.check).collect();
        assert_eq!(listed, tried);
    }
}

/// An operator's shift at both pumps: found by their tags' pictures, one entry a check, a marked photo.
fn walk(folder: &Path, store: &str) {
    make_store(folder, store);
    run(folder, &["tags", store, "tags"]).ended(0);
    let mut lines = Vec::new();
    for pump in PUMPS {
        let picture = format!("tags/{pump}.png");
        let found = run(folder, &["read", "--store", store, &picture]).ended(0);
        assert_eq!(found.out, format!("{picture}\tPump {pump}.\n"));
        let text = run(folder, &["read", &picture]).ended(0).out;
        let tag = text.trim_end().split_once('\t').unwrap().1.to_owned();
        for row in rounds(pump).remove(0) {
            let by_tag = line(pump, &row)
                .replace(&format!(r#""pump":"{pump}""#), &format!(r#""tag":"{tag}""#));
            lines.push(by_tag);
        }
        lines.push(
            format!(
                r#"{{"pump":"{pump}","photo":"{}","words":"drips to the left","marks":[
               {{"mark":"circle","centre":{{"x":0.4,"y":0.5}},"radius":0.1}}]}}"#,
                photo()
            )
            .replace('\n', ""),
        );
    }
    fs::write(folder.join("entries.jsonl"), lines.join("\n")).unwrap();
    let by = ["record", store, "entries.jsonl", "--by", "Shift A"];
    let ran = run(folder, &by).ended(3);
    assert_eq!(ran.out.lines().count(), lines.len());
}

fn list(folder: &Path, store: &str, what: &str, format: &str) -> String {
    run(folder, &[what, store, "--format", format]).ended(0).out
}

#[test]
fn what_an_operator_records_is_the_same_at_the_planners() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    walk(folder, "operator.lantern");
    run(folder, &["bundle", "operator.lantern", "one.lrbundle"]).ended(0);
    run(folder, &["bundle", "operator.lantern", "two.lrbundle"]).refused(&["--everything"]);
    make_store(folder, "planner.lantern");
    let taken = run(folder, &["import", "planner.lantern", "one.lrbundle"]).ended(0);
    assert!(taken.out.contains("1 new photo"), "{taken:?}");

    let at_operator = content(&folder.join("operator.lantern"));
    let at_planner = content(&folder.join("planner.lantern"));
    let (origin, records) = at_operator.records.iter().next().unwrap();
    assert_eq!(at_planner.records.get(origin), Some(records));
    assert_eq!(at_planner.photos, at_operator.photos);
    assert_eq!(at_planner.photos.len(), 1, "the same picture is kept once");
    for what in ["findings", "entries"] {
        for format in ["text", "json", "csv"] {
            let here = list(folder, "operator.lantern", what, format);
            assert_eq!(list(folder, "planner.lantern", what, format), here);
            assert!(here.lines().count() > 10, "{here}");
        }
    }

    let twice = run(folder, &["import", "planner.lantern", "one.lrbundle"]).ended(0);
    assert!(twice.out.contains("taken in before"), "{twice:?}");
    let again = ["bundle", "operator.lantern", "all.lrbundle", "--everything"];
    run(folder, &again).ended(0);
    let known = run(folder, &["import", "planner.lantern", "all.lrbundle"]).ended(0);
    assert!(known.out.contains(": 0 new records"), "{known:?}");
    assert_eq!(content(&folder.join("planner.lantern")), at_planner);

    let before = list(folder, "planner.lantern", "findings", "json");
    run(folder, &["rebuild", "planner.lantern"]).ended(0);
    assert_eq!(list(folder, "planner.lantern", "findings", "json"), before);
    for store in ["operator.lantern", "planner.lantern"] {
        let verified = run(folder, &["verify", store]).ended(0);
        assert!(verified.out.contains("all as written"), "{verified:?}");
    }
}

#[test]
fn the_lists_can_be_read_by_other_tools() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    walk(folder, "a.lantern");
    let expected: usize = PUMPS.map(|pump| rounds(pump)[0].len()).iter().sum();
    let entries = list(folder, "a.lantern", "entries", "json");
    let entries: Vec<serde_json::Value> = serde_json::from_str(&entries).unwrap();
    assert_eq!(entries.len(), expected);

    let table = list(folder, "a.lantern", "entries", "csv");
    let mut table = csv::Reader::from_reader(table.as_bytes());
    let columns = table.headers().unwrap().clone();
    let column = |name: &str| columns.iter().position(|column| column == name).unwrap();
    let rows: Vec<_> = table.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), expected);
    for (row, entry) in rows.iter().zip(&entries) {
        for name in ["record", "pump", "check", "verdict", "by", "sentence"] {
            assert_eq!(entry[name], row[column(name)]);
        }
        let value = row[column("value")].parse::<f64>().ok();
        assert_eq!(entry["value"].as_f64(), value);
        let entered: serde_json::Value = serde_json::from_str(&row[column("entered")]).unwrap();
        assert!(entered["kind"].is_string());
    }

    let few = ["entries", "a.lantern", "--most", "3", "--format", "csv"];
    let few = run(folder, &few).ended(0);
    assert_eq!(few.out.lines().count(), 1 + 3);
    assert!(few.err.contains("only the newest 3"), "{few:?}");

    let findings = list(folder, "a.lantern", "findings", "json");
    let findings: Vec<serde_json::Value> = serde_json::from_str(&findings).unwrap();
    let wrong = PUMPS.iter().flat_map(|pump| rounds(pump).remove(0));
    let wrong = wrong.filter(|row| !["in_limits", "not_judged"].contains(&&*row.verdict));
    assert_eq!(findings.len(), wrong.count());
    assert!(findings.iter().all(|finding| finding["open"] == true));
}

#[test]
fn the_example_in_the_help_is_taken_as_it_stands() {
    let folder = tempfile::tempdir().unwrap();
    let help = run(folder.path(), &["record", "--help"]).ended(0).out;
    let lines: Vec<_> = help.lines().map(str::trim).collect();
    let lines: Vec<_> = lines.iter().filter(|line| line.starts_with('{')).collect();
    assert_eq!(lines.len(), 7, "{help}");
    let text: String = lines.iter().map(|line| format!("{line}\n")).collect();
    fs::write(folder.path().join("entries.jsonl"), text).unwrap();
    fs::copy(photo(), folder.path().join("leak.jpg")).unwrap();
    make_store(folder.path(), "a.lantern");
    let by = ["record", "a.lantern", "entries.jsonl", "--by", "Shift A"];
    let ran = run(folder.path(), &by).ended(0);
    assert_eq!(ran.out.lines().count(), 7);
}

#[test]
fn a_damaged_store_is_told_by_its_record() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    walk(folder, "a.lantern");
    let path = folder.join("a.lantern");
    let mut bytes = fs::read(&path).unwrap();
    let words = b"\"text\":\"Seen to.\"";
    let places: Vec<usize> = (0..bytes.len() - words.len())
        .filter(|at| bytes[*at..].starts_with(words))
        .collect();
    assert!(!places.is_empty());
    places.iter().for_each(|at| bytes[at + 10] ^= 1);
    fs::write(&path, bytes).unwrap();
    let ran = run(folder, &["verify", "a.lantern"]).ended(3);
    assert!(ran.out.contains("is not what was written"), "{ran:?}");
    assert!(ran.out.starts_with("record "), "{ran:?}");
}

#[test]
fn a_backup_opens_and_writes_under_a_name_of_its_own() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    walk(folder, "a.lantern");
    run(folder, &["backup", "a.lantern", "b.lantern"]).ended(0);
    run(folder, &["backup", "a.lantern", "b.lantern"]).refused(&["b.lantern", "already there"]);
    let first = content(&folder.join("a.lantern"));
    assert_eq!(content(&folder.join("b.lantern")), first);
    let both = [("a.lantern", "first"), ("b.lantern", "second")];
    for (store, words) in both {
        let line = format!(
            r#"{{"pump":"ST-101","check":"remark@pump","entered":{{"kind":"words","text":"{words}"}}}}"#
        );
        run_with(folder, &["record", store, "-", "--by", "X"], &line).ended(0);
    }
    let origins = |content: &Content| content.records.len();
    assert_eq!(origins(&content(&folder.join("a.lantern"))), 1);
    assert_eq!(origins(&content(&folder.join("b.lantern"))), 2);
    run(folder, &["verify", "b.lantern"]).ended(0);
}

/// Also where the machine dies half way: with SIGKILL nothing of the program runs on.
#[cfg(unix)]
#[test]
fn a_file_of_entries_is_recorded_whole_or_not_at_all() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    const LINES: usize = 400;
    let line = r#"{"pump":"ST-101","check":"remark@pump","entered":{"kind":"words","text":"T"}}"#;
    fs::write(folder.join("many.jsonl"), [line; LINES].join("\n")).unwrap();
    let words = ["record", "a.lantern", "many.jsonl", "--by", "X"];
    make_store(folder, "a.lantern");
    let begun = Instant::now();
    run(folder, &words).ended(0);
    let whole = begun.elapsed();
    let (mut kept, mut killed) = (1, 0);
    for part in 1..=12 {
        let mut child = program(folder, &words)
            .stdout(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(whole * part / 10);
        child.kill().unwrap();
        killed += usize::from(child.wait().unwrap().code().is_none());
        let all = ["entries", "a.lantern", "--format", "csv", "--most", "99999"];
        let found = run(folder, &all).ended(0).out.lines().count() - 1;
        let whole_files = [kept, kept + 1].map(|files| files * LINES);
        assert!(
            whole_files.contains(&found),
            "{found} entries, not {whole_files:?}"
        );
        kept = found / LINES;
    }
    assert!(killed > 0, "no run was killed before its end");
    run(folder, &["verify", "a.lantern"]).ended(0);
}
