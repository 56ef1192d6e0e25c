//! Written cases: what the diagnosis makes of each, and exactly which ones it gets wrong.

use lantern_ring::diagnosis::{Build, Evidence, Feature, Knowledge, Sign, Telling};
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    title: String,
    build: Vec<Feature>,
    present: Vec<Sign>,
    #[serde(default)]
    absent: Vec<Sign>,
    first: String,
    telling: String,
    source: String,
    telling_from: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Cases {
    case: Vec<Case>,
}

fn cases() -> Vec<Case> {
    let cases: Cases = toml::from_str(include_str!("data/diagnosis/cases.toml")).unwrap();
    cases.case
}

#[test]
fn show() {
    let knowledge = Knowledge::built_in().unwrap();
    let (mut f, mut t, mut n, mut th) = (0, 0, 0, 0);
    for case in cases() {
        let mut evidence: Vec<_> = case.present.iter().map(|&s| Evidence::present(s, "c")).collect();
        evidence.extend(case.absent.iter().map(|&s| Evidence::absent(s, "c")));
        let d = knowledge.diagnose(&Build::new(case.build), &evidence, &|_| true);
        let first = d.fitting.first().map_or("none", |c| &c.trouble.key);
        let name = |s: Sign| s.check().unwrap_or(s.key());
        let telling = d.telling.sign().map_or("none", name);
        let three = match &d.telling { Telling::Checks(c) => c.iter().any(|c| name(c.answers[0].sign) == case.telling), _ => telling == case.telling };
        th += usize::from(three);
        n += 1;
        f += usize::from(first == case.first);
        t += usize::from(telling == case.telling);
        if first != case.first || telling != case.telling {
            println!("{}\n   first {first} (exp {}) telling {telling} (exp {}) {}\n   {:?}", case.title, case.first, case.telling, d.telling.words(), d.fitting.iter().take(6).map(|c| (&c.trouble.key, c.standing)).collect::<Vec<_>>());
        }
        let _ = (case.source, case.telling_from);
    }
    println!("{f} {t} {th} of {n}");
}
