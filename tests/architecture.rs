//! The tree keeps its own rules: who may know whom, where the world is touched, how long a file may be.

use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
};

/// Which modules of the crate each module may name. A new module must be given its place here.
const MAY_KNOW: &[(&str, &[&str])] = &[
    // A plant names the checks and holds the procedures, and has both looked at when it is examined.
    ("plant", &["check", "hydraulics", "procedure"]),
    ("check", &["plant"]),
    ("judge", &["plant", "check"]),
    ("formula", &[]),
    // What all may know: everything speaks to people.
    ("language", &[]),
    ("statistics", &["formula"]),
    ("hydraulics", &["formula"]),
    ("diagnosis", &["formula"]),
    ("procedure", &["plant", "check", "judge"]),
    (
        "evaluation",
        &[
            "plant",
            "check",
            "judge",
            "formula",
            "statistics",
            "hydraulics",
            "diagnosis",
            "remedy",
        ],
    ),
    ("remedy", &["plant", "check", "statistics", "formula"]),
    (
        "record",
        &["plant", "check", "judge", "procedure", "remedy"],
    ),
    ("tag", &[]),
    ("camera", &["tag"]),
    ("photo", &["record"]),
    ("sys", &["record", "plant"]),
    ("store", &["plant", "check", "judge", "record", "sys"]),
    ("exchange", &["plant", "record", "photo", "sys"]),
    ("demo", &["plant", "check", "judge", "record", "remedy"]),
    (
        "report",
        &["plant", "check", "judge", "record", "store", "photo"],
    ),
    (
        "app",
        &[
            "plant",
            "check",
            "judge",
            "record",
            "tag",
            "photo",
            "sys",
            "store",
            "exchange",
            "report",
            "evaluation",
            "statistics",
            "procedure",
            "remedy",
        ],
    ),
    (
        "headless",
        &[
            "plant",
            "check",
            "judge",
            "record",
            "tag",
            "camera",
            "photo",
            "sys",
            "store",
            "report",
            "demo",
            "app",
            "exchange",
            "evaluation",
            "remedy",
            "procedure",
        ],
    ),
    (
        "view",
        &[
            "plant",
            "check",
            "judge",
            "record",
            "tag",
            "camera",
            "photo",
            "sys",
            "store",
            "report",
            "app",
            "exchange",
            "evaluation",
            "diagnosis",
            "remedy",
            "procedure",
        ],
    ),
    // Beside the program's entry: it knows the window and what it brings to it.
    (
        "platform",
        &["view", "app", "camera", "exchange", "sys", "tag"],
    ),
];

/// Outside crates that only some places may name.
const ONLY_IN: &[(&str, &[&str])] = &[
    ("slint::", &["src/view", "src/platform", "src/main.rs"]),
    ("rusqlite::", &["src/store"]),
    ("zip::", &["src/exchange"]),
    ("rxing::", &["src/tag"]),
    ("krilla::", &["src/report/handover/pdf"]),
    ("ttf_parser::", &["src/report/handover/pdf"]),
    ("sys_locale::", &["src/platform"]),
    ("rfd::", &["src/platform"]),
    // The system's own functions, for which the compiler can't vouch.
    ("unsafe", &["src/platform/android"]),
    ("allow(unsafe_code)", &["src/platform/android"]),
    ("jni::", &["src/platform/android"]),
    ("ndk::", &["src/platform/android"]),
    ("ndk_sys::", &["src/platform/android"]),
    ("android_activity::", &["src/platform/android"]),
    ("clap::", &["src/headless", "src/main.rs"]),
    // The clock and the file system's changing side are touched in one place and injected elsewhere.
    ("SystemTime::now", &["src/sys"]),
    ("Utc::now", &["src/sys"]),
    ("Local::now", &["src/sys"]),
    ("fs::write", &["src/sys"]),
    ("fs::rename", &["src/sys"]),
    ("fs::create_dir", &["src/sys"]),
    ("fs::remove", &["src/sys"]),
    ("File::create", &["src/sys"]),
    ("OpenOptions", &["src/sys"]),
    // A panic at the pump loses what was being entered.
    (".unwrap()", &[]),
    (".expect(", &[]),
    ("panic!(", &[]),
    ("todo!(", &[]),
    ("unimplemented!(", &[]),
    ("unreachable!(", &[]),
];

const LONGEST_FILE: usize = 500;

fn files_below(folder: &str, ending: &str) -> Vec<(PathBuf, String)> {
    fn walk(folder: &Path, ending: &str, found: &mut Vec<(PathBuf, String)>) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                walk(&path, ending, found);
            } else if path.extension().is_some_and(|e| e == ending) {
                found.push((path.clone(), fs::read_to_string(&path).unwrap()));
            }
        }
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = Vec::new();
    walk(&root.join(folder), ending, &mut found);
    for (path, _) in &mut found {
        *path = path.strip_prefix(root).unwrap().to_owned();
    }
    assert!(!found.is_empty(), "no .{ending} file below {folder}");
    found
}

/// The lines that ship: no tests, no comments.
fn shipped(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.lines()
        .enumerate()
        .take_while(|(_, line)| !line.trim_start().starts_with("#[cfg(test)]"))
        .filter(|(_, line)| !line.trim_start().starts_with("//"))
        .map(|(i, line)| (i + 1, line))
}

fn is_test_file(path: &Path) -> bool {
    path.file_name().is_some_and(|name| name == "tests.rs")
        || path.components().any(|c| c.as_os_str() == "tests")
}

fn module_of(path: &Path) -> Option<String> {
    let below = path.strip_prefix("src").ok()?;
    let first = below.components().next()?.as_os_str().to_str()?;
    let name = first.trim_end_matches(".rs");
    (name != "lib" && name != "main").then(|| name.to_owned())
}

/// Names of the crate's own modules that a line speaks of: `crate::store` and the heads of `use crate::{…}`.
fn named_modules(text: &str) -> Vec<(usize, String)> {
    let mut named = Vec::new();
    let mut depth = None;
    for (number, line) in shipped(text) {
        for part in line.split("crate::").skip(1) {
            let name: String = part
                .chars()
                .take_while(|c| c.is_alphanumeric() || *c == '_')
                .collect();
            if !name.is_empty() {
                named.push((number, name));
            }
        }
        let mut rest = line;
        if depth.is_none()
            && let Some(at) = line.find("use crate::{")
        {
            rest = &line[at + "use crate::".len()..];
            depth = Some(0);
        }
        if let Some(level) = depth {
            let (heads, level) = heads_of(rest, level);
            named.extend(heads.into_iter().map(|head| (number, head)));
            depth = (level > 0).then_some(level);
        }
    }
    named
}

/// The names at depth one of a `{…}` list, and the depth at the line's end.
fn heads_of(line: &str, mut level: i32) -> (Vec<String>, i32) {
    let mut heads = Vec::new();
    let mut name = String::new();
    let mut taking = level == 1;
    for c in line.chars() {
        match c {
            '{' => level += 1,
            '}' => level -= 1,
            _ => {}
        }
        if level == 1 && (c == '{' || c == ',' || c == '}') {
            taking = true;
        } else if taking && (c.is_alphanumeric() || c == '_') {
            name.push(c);
            continue;
        } else if taking && !name.is_empty() {
            taking = false;
        }
        if !name.is_empty() {
            heads.push(std::mem::take(&mut name));
        }
        if level == 0 {
            break;
        }
    }
    if !name.is_empty() {
        heads.push(name);
    }
    (heads, level)
}

fn report(faults: Vec<String>) {
    assert!(faults.is_empty(), "\n{}\n", faults.join("\n"));
}

#[test]
fn the_reading_of_use_lines_finds_every_head() {
    let text = "use crate::{\n    plant::{Pump, PumpId},\n    check, judge::Verdict,\n};\nfn f(s: &crate::store::Store) {}\n";
    let names: Vec<_> = named_modules(text)
        .into_iter()
        .map(|(_, name)| name)
        .collect();
    assert_eq!(names, ["plant", "check", "judge", "store"]);
}

#[test]
fn every_module_knows_only_what_lies_below_it() {
    let rules: BTreeMap<_, _> = MAY_KNOW.iter().copied().collect();
    let mut faults = Vec::new();
    for (path, text) in files_below("src", "rs") {
        let Some(module) = module_of(&path) else {
            continue;
        };
        let Some(allowed) = rules.get(module.as_str()) else {
            faults.push(format!(
                "{}: the module {module} has no place in MAY_KNOW",
                path.display()
            ));
            continue;
        };
        for (line, named) in named_modules(&text) {
            let known_module = rules.contains_key(named.as_str());
            let may = named == "language" || allowed.contains(&named.as_str());
            if known_module && named != module && !may {
                faults.push(format!(
                    "{}:{line}: {module} must not know {named}",
                    path.display()
                ));
            }
        }
    }
    report(faults);
}

#[test]
fn outside_crates_and_the_world_are_touched_only_in_their_places() {
    let mut faults = Vec::new();
    for (path, text) in files_below("src", "rs") {
        if is_test_file(&path) {
            continue;
        }
        for (number, line) in shipped(&text) {
            for (word, places) in ONLY_IN {
                let forbids = *word == "unsafe" && line.contains("deny(unsafe_code)");
                if line.contains(word)
                    && !forbids
                    && !places.iter().any(|place| path.starts_with(place))
                {
                    faults.push(format!(
                        "{}:{number}: '{word}' is not allowed here: {}",
                        path.display(),
                        line.trim()
                    ));
                }
            }
        }
    }
    report(faults);
}

#[test]
fn files_stay_short() {
    let mut faults = Vec::new();
    for (folder, ending) in [
        ("src", "rs"),
        ("android", "rs"),
        ("android", "java"),
        ("tests", "rs"),
        ("ui", "slint"),
        ("benches", "rs"),
    ] {
        for (path, text) in files_below(folder, ending) {
            let lines = text.lines().count();
            if lines > LONGEST_FILE {
                faults.push(format!(
                    "{}: {lines} lines; at most {LONGEST_FILE}",
                    path.display()
                ));
            }
        }
    }
    report(faults);
}

#[test]
fn colours_are_written_in_the_theme_alone() {
    let mut faults = Vec::new();
    for (path, text) in files_below("ui", "slint") {
        if path.ends_with("theme.slint") {
            continue;
        }
        for (number, line) in text.lines().enumerate() {
            let code = line.split("//").next().unwrap_or_default();
            let has_colour = code.split('#').skip(1).any(|after| {
                let digits = after.chars().take_while(char::is_ascii_hexdigit).count();
                matches!(digits, 3 | 4 | 6 | 8)
            });
            if has_colour {
                faults.push(format!(
                    "{}:{}: a colour outside the theme: {}",
                    path.display(),
                    number + 1,
                    line.trim()
                ));
            }
        }
    }
    report(faults);
}

#[test]
fn the_top_level_holds_only_what_the_layout_says() {
    const ALLOWED: &[&str] = &[
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE-MIT",
        "LICENSE-APACHE",
        "build.rs",
        "ui",
        "src",
        "android",
        "tests",
        "demo-plant",
        "benches",
        "lang",
        ".git",
        ".gitignore",
        ".ci",
        "target",
        "pictures",
        "rustfmt.toml",
        "clippy.toml",
    ];
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let strangers: Vec<_> = fs::read_dir(root)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| !ALLOWED.contains(&name.as_str()))
        .collect();
    assert!(strangers.is_empty(), "not in the layout: {strangers:?}");
}
