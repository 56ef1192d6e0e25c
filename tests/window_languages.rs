//! The window in the other languages: chosen and kept, with their decimal sign, and without English left over.

#![cfg(feature = "window")]

mod pictures_history;
mod window_support;

use lantern_ring::{
    check,
    language::{self, Language},
    plant::{CheckKind, Plant, PumpId},
    view::{Diagnosis, Entry, Incoming, Page, Remedy, Running, Side, Visit},
};
use pictures_history::{
    camera::{Camera, Variant, variant},
    walked,
};
use slint::{ComponentHandle, Model};
use std::{collections::BTreeSet, path::Path};
use tempfile::TempDir;
use window_support::{Bench, demo_plant, files};

/// Words of English sentences that neither German nor Spanish has.
const ENGLISH: [&str; 24] = [
    "the", "of", "and", "not", "is", "are", "with", "for", "this", "to", "at", "by", "from",
    "been", "what", "when", "which", "it", "be", "or", "on", "since", "each", "than",
];

const SMALL: Variant = variant("german-small", (360.0, 640.0), false, 1.0);
const LARGE_TEXT: Variant = variant("german-small-large-text", (360.0, 640.0), false, 1.5);
const SPANISH: Variant = variant("spanish-small", (360.0, 640.0), false, 1.0);
const DESKTOP: Variant = variant("spanish-desktop", (1280.0, 800.0), true, 1.0);

/// What the language spoken now says for these English words.
fn said(english: &str) -> String {
    language::word(english).to_owned()
}

/// Looks at pages for English that is left over.
struct Reader<'a> {
    camera: Camera<'a>,
    /// What the plant's own people wrote; the longest first, so that the whole goes before its parts.
    own_words: Vec<String>,
    left: BTreeSet<String>,
}

impl<'a> Reader<'a> {
    fn new(bench: &'a Bench, variant: &'a Variant, own_words: &[String]) -> Self {
        Self {
            camera: Camera::new(bench, variant),
            own_words: own_words.to_vec(),
            left: BTreeSet::new(),
        }
    }

    /// Takes a picture of the page and reads all its labels, those below the edge as well.
    fn read(&mut self, name: &str) {
        self.camera.take(name);
        self.camera.take_long(&format!("{name}-whole"), 4.0);
        for told in self.camera.told_long(4.0) {
            let mut rest = told.clone();
            for own in &self.own_words {
                rest = rest.replace(own, "");
            }
            let mut words = rest.split(|letter: char| !letter.is_alphabetic());
            if words.any(|word| ENGLISH.contains(&word.to_lowercase().as_str())) {
                self.left.insert(format!("{name}: {told}"));
            }
        }
    }
}

fn own_words(plant: &Plant) -> Vec<String> {
    fn strings(value: &serde_json::Value, found: &mut Vec<String>) {
        match value {
            serde_json::Value::String(text) if text.contains(' ') => found.push(text.clone()),
            serde_json::Value::Array(items) => items.iter().for_each(|item| strings(item, found)),
            serde_json::Value::Object(fields) => {
                fields.values().for_each(|field| strings(field, found));
            }
            _ => {}
        }
    }
    // What operators of the generated history wrote.
    let mut found: Vec<String> = ["scaffold in the way", "Gland dry, smells of hot packing."]
        .map(str::to_owned)
        .into();
    strings(&serde_json::to_value(plant).expect("json"), &mut found);
    // As a sentence begins and ends on the screen.
    let bare = found
        .iter()
        .map(|text| text.trim_end_matches('.').to_owned());
    let mut all: Vec<_> = bare.collect();
    let capital = |text: &String| {
        let mut letters = text.chars();
        let first: String = letters
            .next()
            .into_iter()
            .flat_map(char::to_uppercase)
            .collect();
        first + letters.as_str()
    };
    all.extend(all.iter().map(capital).collect::<Vec<_>>());
    all.sort_by_key(|text| std::cmp::Reverse(text.len()));
    all
}

/// Opens the first check of this kind.
fn open(bench: &Bench, kind: CheckKind) {
    let visit = bench.desk.window().global::<Visit>();
    let checks = visit.get_checks();
    let title = check::words::name(kind);
    let row = checks.iter().find(|row| row.title == title);
    visit.invoke_open_check(row.expect("the check").index);
    bench.settle();
    let saved = bench.desk.window().global::<Entry>().get_saved();
    // A small window shows the cautions first where they leave no room.
    if !saved && bench.has_button(&said("Go on")) {
        bench.press(&said("Go on"));
    }
}

fn operators_pages(reader: &mut Reader<'_>, plant: &Plant, folder: &Path, pump: &PumpId) {
    let bench = reader.camera.bench;
    bench.nav().set_side(Side::Operator);
    reader.camera.go(Page::Home);
    reader.read("home");
    bench.press(&said("All rounds"));
    reader.read("rounds");
    bench.press_beginning("Stock preparation round");
    reader.read("round");
    reader.camera.go(Page::Scan);
    reader.read("scan");
    let tag = files::tag_text(plant, pump);
    bench.give(&files::code(folder, "tag.png", &tag));
    let visit = || bench.desk.window().global::<Visit>();
    visit().invoke_set_running(Running::Running);
    bench.settle();
    reader.read("visit");
    let entry = || bench.desk.window().global::<Entry>();
    open(bench, CheckKind::SuctionPressure);
    reader.read("entry-number");
    entry().set_typed("0,2".into());
    entry().invoke_typed_changed("0,2".into());
    entry().invoke_save();
    reader.read("entry-number-saved");
    open(bench, CheckKind::Noise);
    entry().invoke_choose_choice(1);
    reader.read("entry-choice");
    entry().invoke_save();
    open(bench, CheckKind::LeakOff);
    if !entry().get_saved() {
        bench.count(2, 60);
        reader.read("entry-count");
        entry().invoke_save();
    }
    bench.settle();
    reader.read("entry-count-saved");
    entry().invoke_open_diagnosis();
    bench.settle();
    reader.read("diagnosis");
    bench
        .desk
        .window()
        .global::<Diagnosis>()
        .invoke_open_telling();
    bench.settle();
    reader.read("entry-told-apart");
    open(bench, CheckKind::BearingTemperature);
    entry().invoke_open_trend();
    bench.settle();
    reader.read("trend");
    reader.camera.go(Page::Visit);
    let remedy = || bench.desk.window().global::<Remedy>();
    remedy().invoke_open();
    bench.settle();
    reader.read("remedies");
    remedy().invoke_choose(0);
    bench.settle();
    reader.read("remedy");
    remedy().invoke_save();
    bench.settle();
    reader.read("remedy-wait");
    reader.camera.go(Page::Visit);
    visit().invoke_open_procedures();
    bench.settle();
    reader.read("procedures");
    visit().invoke_finish();
    bench.settle();
    reader.read("summary");
    for (page, name) in [
        (Page::Handover, "handover"),
        (Page::Due, "due"),
        (Page::Send, "send"),
        (Page::Setup, "setup"),
    ] {
        reader.camera.go(Page::Home);
        reader.camera.go(page);
        reader.read(name);
    }
    reader.camera.go(Page::Home);
}

fn planners_pages(reader: &mut Reader<'_>) {
    let bench = reader.camera.bench;
    bench.nav().set_side(Side::Planner);
    reader.camera.go(Page::Home);
    reader.camera.go(Page::Incoming);
    reader.read("incoming");
    let findings = bench.desk.window().global::<Incoming>().get_findings();
    let first = findings.row_data(0).expect("a finding");
    bench
        .desk
        .window()
        .global::<Incoming>()
        .invoke_open_finding(first.id);
    bench.settle();
    reader.read("finding");
    bench.nav().set_side(Side::Operator);
    reader.camera.go(Page::Home);
}

/// One window after another, as the language is the whole program's.
#[test]
fn every_page_speaks_the_language_chosen_and_no_english() {
    let folder = TempDir::new().expect("a folder");
    let plant = demo_plant();
    let own = own_words(&plant);
    let pump = window_support::cases::pump_with_most_to_check(&plant, true);
    let (app, _) = walked(folder.path(), &plant, &pump);
    drop(app);
    let store = folder.path().join("operator.lantern");

    let bench = Bench::open(&store, 6);
    bench.nav().invoke_go(Page::Setup);
    bench.settle();
    bench.choose("Deutsch");
    assert_eq!(language::spoken(), Language::German);
    bench.close();

    let mut left = BTreeSet::new();
    let bench = Bench::open(&store, 7);
    assert_eq!(language::spoken(), Language::German, "it was kept");
    bench.must_show(&said("All rounds"));
    for variant in [&SMALL, &LARGE_TEXT] {
        let mut reader = Reader::new(&bench, variant, &own);
        operators_pages(&mut reader, &plant, folder.path(), &pump);
        planners_pages(&mut reader);
        left.extend(reader.left);
    }
    bench.nav().invoke_go(Page::Setup);
    bench.settle();
    bench.choose("Español");
    for variant in [&SPANISH, &DESKTOP] {
        let mut reader = Reader::new(&bench, variant, &own);
        operators_pages(&mut reader, &plant, folder.path(), &pump);
        planners_pages(&mut reader);
        left.extend(reader.left);
    }
    language::speak(Language::English);
    let all: Vec<_> = left.into_iter().collect();
    assert!(all.is_empty(), "English is left:\n{}", all.join("\n"));
}
