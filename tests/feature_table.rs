//! The README's table of what can be checked and put right: every check and remedy there is, its page, and a pump of
//! the demo plant that has it.

use lantern_ring::{
    check::{self, Check, EntryKind, RunningState, words},
    plant::{CheckKind, Plant, Pump},
    remedy::{name as remedy_name, possible},
    sys::plant_folder,
};
use std::{collections::BTreeMap, fs, path::Path};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn demo_plant() -> Plant {
    plant_folder(&root().join("demo-plant")).unwrap()
}

fn checks(pump: &Pump) -> impl Iterator<Item = Check> {
    [RunningState::Running, RunningState::Standby]
        .into_iter()
        .flat_map(|state| {
            let on_request = check::on_request(pump, state);
            check::list(pump, state).into_iter().chain(on_request)
        })
}

fn page(kind: EntryKind) -> &'static str {
    match kind {
        EntryKind::Number { .. } => "number, on keypad or tape",
        EntryKind::Count => "drops tapped, or a stream into a cup",
        EntryKind::Level => "level in the glass",
        EntryKind::Feel(_) => "feel, by steps",
        EntryKind::Choice(_) => "one of several",
        EntryKind::YesNo { .. } => "yes or no",
        EntryKind::Words => "own words",
    }
}

/// The checks by the page they are entered on, each with the first pump that has it.
fn check_rows(plant: &Plant) -> Vec<String> {
    let mut of_page: BTreeMap<&str, BTreeMap<CheckKind, &Pump>> = BTreeMap::new();
    for pump in &plant.pumps {
        for check in checks(pump) {
            let of_kind = of_page.entry(page(check.kind)).or_default();
            of_kind.entry(check.id.kind).or_insert(pump);
        }
    }
    of_page
        .into_iter()
        .map(|(page, kinds)| {
            let named = kinds
                .iter()
                .map(|(kind, pump)| format!("{} ({})", words::name(*kind), pump.id));
            format!(
                "| Entry: {page} | {} |",
                named.collect::<Vec<_>>().join(", ")
            )
        })
        .collect()
}

/// The remedies, all of one page, each with the first pump that has it.
fn remedy_row(plant: &Plant) -> String {
    let mut first: Vec<(&str, &Pump)> = Vec::new();
    for pump in &plant.pumps {
        for remedy in possible(pump) {
            let name = remedy_name(&remedy);
            if first.iter().all(|(known, _)| *known != name) {
                first.push((name, pump));
            }
        }
    }
    let named = first
        .iter()
        .map(|(name, pump)| format!("{name} ({})", pump.id));
    format!(
        "| Put something right | {} |",
        named.collect::<Vec<_>>().join(", ")
    )
}

#[test]
fn the_readme_names_every_check_and_remedy_with_its_page_and_a_pump_that_has_it() {
    let plant = demo_plant();
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    let mut rows = check_rows(&plant);
    rows.push(remedy_row(&plant));
    let missing: Vec<_> = rows.iter().filter(|row| !readme.contains(*row)).collect();
    assert!(missing.is_empty(), "README.md lacks:\n{}", rows.join("\n"));
}

#[test]
fn the_demo_plant_has_a_pump_for_every_check_there_is() {
    let plant = demo_plant();
    let reached: Vec<_> = plant
        .pumps
        .iter()
        .flat_map(checks)
        .map(|check| check.id.kind)
        .collect();
    let absent: Vec<_> = CheckKind::ALL
        .iter()
        .filter(|kind| !reached.contains(kind))
        .collect();
    assert!(absent.is_empty(), "no pump has {absent:?}");
}
