//! A whole plant, whatever is entered at its pumps: everything worked out reads as a sentence, in the app and on
//! standard output.
//!
//! What a sentence must not have in it is common sense, no source.

mod app_support;
mod evaluation_support;
mod headless_support;

use app_support::{create, stamp, world};
use evaluation_support::texts;
use headless_support::run;
use lantern_ring::{
    app::{App, CloseVisit, Enter, OpenVisit, SeeRunning, SetOperator},
    check::{Check, Entered, EntryKind, RunningState, list, on_request, words},
    plant::{CheckId, Plant, Unit},
    record::HowFound,
    sys::StillWorld,
};
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use uuid::Uuid;

/// Visits to each pump.
const VISITS: i64 = 7;
/// Hours from a visit to the next.
const APART_H: i64 = 31;

/// Numbers without a pattern, the same for a seed: splitmix64, Steele and others 2014 (from memory).
struct Chance(u64);

impl Chance {
    fn below(&mut self, end: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % end as u64) as usize
    }

    fn share(&mut self) -> f64 {
        self.below(10_001) as f64 / 10_000.0
    }
}

/// Something that can be entered for a check: now and then at the very end of its instrument, or in another unit.
fn entered(check: &Check, chance: &mut Chance) -> Entered {
    match check.kind {
        EntryKind::Number {
            unit,
            lowest,
            highest,
        } => {
            let share = match chance.below(6) {
                0 => 0.0,
                1 => 1.0,
                _ => chance.share(),
            };
            let value = lowest + share * (highest - lowest);
            let alike: Vec<Unit> = Unit::ALL
                .iter()
                .copied()
                .filter(|other| unit.convert(value, *other).is_some())
                // A pump's flow in millilitres is longer than anybody would write.
                .filter(|other| *other != Unit::MlPerMin)
                .collect();
            let other = alike[chance.below(alike.len())];
            let value = unit.convert(value, other).expect("the same quantity");
            Entered::Number { value, unit: other }
        }
        EntryKind::Count if chance.below(3) == 0 => Entered::Stream {
            millilitres: 200.0 * chance.share(),
            seconds: 10.0 + 100.0 * chance.share(),
            drops_per_ml: None,
        },
        EntryKind::Count => Entered::Count {
            drops: chance.below(200) as u32,
            seconds: 60.0 + 60.0 * chance.share(),
        },
        EntryKind::Level => Entered::Level {
            percent: 100.0 * chance.share(),
        },
        EntryKind::Feel(scale) => Entered::Feel {
            step: chance.below(words::feel_steps(scale).len()) as u8,
        },
        EntryKind::Choice(choices) => Entered::Choice {
            key: choices[chance.below(choices.len())].key.to_owned(),
        },
        EntryKind::YesNo { .. } => Entered::YesNo {
            yes: chance.below(2) == 0,
        },
        EntryKind::Words => Entered::Words {
            text: "Looked at.".to_owned(),
        },
    }
}

/// What is wrong with a text as a sentence of the tool.
fn wrong_with(text: &str) -> Option<String> {
    let text = text.trim();
    let alike = |word: &str| word.to_lowercase();
    let split = |c: char| !c.is_alphanumeric();
    let mut before = "";
    for word in text.split(split) {
        if ["NaN", "inf", "Infinity", "None", "Some", "null"].contains(&word) {
            return Some(format!("'{word}' in it"));
        }
        // "2 A a day" is no stutter.
        let is_word = word.chars().any(char::is_alphabetic) && word.chars().count() > 1;
        if is_word && alike(word) == alike(before) {
            return Some(format!("'{word}' twice"));
        }
        let digits = word.chars().filter(char::is_ascii_digit).count();
        if digits == word.len() && digits > 7 {
            return Some(format!("'{word}' is longer than anybody reads"));
        }
        before = word;
    }
    for bad in [
        "  ", "{", "}", " .", " ,", "..", ": :", ";;", "-0 ", "()", ":.",
    ] {
        if text.contains(bad) {
            return Some(format!("'{bad}' in it"));
        }
    }
    let (name, rest) = text.split_once(": ")?;
    let stutters = rest.to_lowercase().starts_with(&name.to_lowercase());
    stutters.then(|| format!("'{name}' twice"))
}

/// Enters at random what a visit to a pump may hold; which checks were taken.
fn visit(app: &mut App, plant: &Plant, index: usize, chance: &mut Chance) -> (Uuid, Vec<CheckId>) {
    let pump = &plant.pumps[index];
    let running = match chance.below(8) {
        0 => RunningState::Standby,
        _ => RunningState::Running,
    };
    let open = OpenVisit {
        pump: pump.id.clone(),
        running,
        found: HowFound::Scanned,
        round: None,
    };
    let visit = app.perform(open).expect("a visit");
    app.perform(SeeRunning { visit, running }).expect("a state");
    let mut checks = list(pump, running);
    checks.extend(on_request(pump, running));
    let mut taken = Vec::new();
    // A whole walk now and then, else a few of its checks.
    let share = [1, 2, 5][chance.below(3)];
    for check in checks {
        if chance.below(share) != 0 {
            continue;
        }
        let enter = Enter {
            visit,
            check: check.id,
            entered: entered(&check, chance),
        };
        // What the app refuses is no entry: its sentences are tested where it refuses.
        if app.perform(enter).is_ok() {
            taken.push(check.id);
        }
    }
    app.perform(CloseVisit { visit }).expect("it closes");
    (visit, taken)
}

/// Where something was said, what is wrong with it, and the text.
type Faults = BTreeMap<String, String>;

fn look_at(text: &str, said_at: &str, faults: &mut Faults) {
    if let Some(wrong) = wrong_with(text) {
        // One of each kind is enough to mend it.
        faults
            .entry(wrong)
            .or_insert_with(|| format!("{said_at}: {text}"));
    }
}

fn fill(
    app: &mut App,
    at: &StillWorld,
    chance: &mut Chance,
    faults: &mut Faults,
) -> (usize, BTreeSet<(String, CheckId)>) {
    let plant = app.register().expect("a register").plant().clone();
    let by = SetOperator("A. Alpha".to_owned());
    app.perform(by).expect("an operator");
    let (mut looked_at, mut checks) = (0, BTreeSet::new());
    for turn in 0..VISITS {
        for index in 0..plant.pumps.len() {
            at.set_now(stamp(turn * APART_H));
            let (visit, taken) = visit(app, &plant, index, chance);
            let evaluation = app.evaluation(visit).expect("an evaluation");
            let texts = texts(&evaluation);
            looked_at += texts.len();
            for text in texts {
                look_at(&text, plant.pumps[index].id.as_str(), faults);
            }
            let numbered = taken
                .into_iter()
                .filter(|check| check.kind.key() != "remark");
            let of_pump = |check| (plant.pumps[index].id.to_string(), check);
            checks.extend(numbered.map(of_pump));
        }
    }
    (looked_at, checks)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1, max_shrink_iters: 0, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_entered_all_that_is_told_reads_as_sentences(seed in any::<u64>()) {
        let folder = tempfile::tempdir().expect("a folder");
        let at = world(0, seed);
        let store = "plant.lantern";
        let mut app = create(&folder.path().join(store), at.clone());
        let mut faults = Faults::new();
        let (looked_at, checks) = fill(&mut app, &at, &mut Chance(seed), &mut faults);
        prop_assert!(looked_at > 20_000, "only {looked_at} texts");
        drop(app);
        let mut asked: Vec<Vec<String>> = Vec::new();
        let mut pumps: Vec<&String> = checks.iter().map(|(pump, _)| pump).collect();
        pumps.dedup();
        for pump in pumps {
            let of_pump = ["work-out", "causes"];
            asked.extend(of_pump.map(|command| vec![command.to_owned(), store.to_owned(), pump.clone()]));
        }
        // Each is a run of the program: some checks are enough.
        for (pump, check) in checks.iter().step_by(9) {
            asked.push(vec!["trend".to_owned(), store.to_owned(), pump.clone(), check.to_string()]);
        }
        for mut words in asked {
            words.push("--working".to_owned());
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            let told = run(folder.path(), &words).ended(0);
            for line in told.out.lines() {
                look_at(line, words[0], &mut faults);
            }
        }
        prop_assert!(faults.is_empty(), "{:#?}", faults);
    }
}

#[test]
fn what_is_wrong_with_a_sentence_is_seen() {
    for bad in [
        "Total head: NaN m",
        "It is is so.",
        "Velocity head: Velocity head is in the result.",
        "At most  3 m",
        "{} m",
        "1234567890 m",
    ] {
        assert!(wrong_with(bad).is_some(), "{bad}");
    }
    for good in [
        "Total head: 24.1 m, 23.4 to 24.8",
        "From 3 to 4 m.",
        "10 to 10",
    ] {
        assert_eq!(wrong_with(good), None);
    }
}
