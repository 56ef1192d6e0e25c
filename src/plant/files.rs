//! A plant from the text of its files.
//!
//! `plant.toml` holds the plant itself and its areas; `pumps/*.toml` hold `[[pump]]` tables,
//! `limits/*.toml` hold `[[limits]]`, `rounds/*.toml` hold `[[round]]` and `procedures/*.toml`
//! hold `[[procedure]]`. Field names are those of [`Plant`] and its parts.

use super::{
    Area, FastestChange, Limits, Plant, PlantFault, PlantId, Pump, Round, Unit,
    examine::{self, Part},
};
use crate::{procedure::Procedure, say};
use serde::{Deserialize, de::DeserializeOwned};
use toml::{Table, Value};

/// `plant.toml`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Head {
    id: PlantId,
    name: String,
    version: u32,
    tag_host: String,
    altitude_m: f64,
    #[serde(default)]
    drops_per_ml: Option<f64>,
    #[serde(default)]
    npsh_margin_m: Option<f64>,
    #[serde(default)]
    units: Vec<Unit>,
    areas: Vec<Area>,
}

/// What could be read, each thing with the file it came from.
#[derive(Default)]
struct Reading {
    head: Option<Head>,
    pumps: Vec<Pump>,
    pump_files: Vec<String>,
    limits: Vec<Limits>,
    limits_files: Vec<String>,
    rounds: Vec<Round>,
    round_files: Vec<String>,
    procedures: Vec<Procedure>,
    procedure_files: Vec<String>,
    faults: Vec<PlantFault>,
}

/// Puts a plant together from its files: pairs of path inside the plant folder (with `/`) and text, in any order.
///
/// Pumps, limits, rounds and procedures keep the order of file names, then of tables.
///
/// # Errors
/// Every fault found, in the files and between them.
pub fn assemble(files: &[(String, String)]) -> Result<Plant, Vec<PlantFault>> {
    let mut files: Vec<_> = files.iter().collect();
    files.sort();
    let mut reading = Reading::default();
    for (name, text) in files {
        reading.take(name, text);
    }
    reading.finish()
}

impl Reading {
    fn take(&mut self, file: &str, text: &str) {
        let table = match text.parse::<Table>() {
            Ok(table) => table,
            Err(error) => {
                self.faults.push(bad_toml(file, text, &error));
                return;
            }
        };
        match file.split_once('/') {
            None if file == "plant.toml" => self.take_head(file, table),
            Some(("pumps", _)) => {
                let read = tables(file, table, "pump", &mut self.faults);
                self.pump_files.resize(self.pumps.len() + read.len(), file.to_owned());
                self.pumps.extend(read);
            }
            Some(("limits", _)) => {
                let read = tables(file, table, "limits", &mut self.faults);
                self.limits_files.resize(self.limits.len() + read.len(), file.to_owned());
                self.limits.extend(read);
            }
            Some(("rounds", _)) => {
                let read = tables(file, table, "round", &mut self.faults);
                self.round_files.resize(self.rounds.len() + read.len(), file.to_owned());
                self.rounds.extend(read);
            }
            Some(("procedures", _)) => {
                let read = tables(file, table, "procedure", &mut self.faults);
                self.procedure_files.resize(self.procedures.len() + read.len(), file.to_owned());
                self.procedures.extend(read);
            }
            _ => self.faults.push(PlantFault::of_file(
                file,
                say!("is no file of a plant folder: put it in pumps/, limits/, rounds/ or procedures/, or take it out"),
            )),
        }
    }

    fn take_head(&mut self, file: &str, table: Table) {
        match serde_path_to_error::deserialize(Value::Table(table)) {
            Ok(head) => self.head = Some(head),
            Err(error) => self.faults.push(bad_field(file, None, None, &error)),
        }
    }

    fn finish(mut self) -> Result<Plant, Vec<PlantFault>> {
        let Some(head) = self.head.take() else {
            if !self.faults.iter().any(|fault| fault.file == "plant.toml") {
                self.faults.push(PlantFault::of_file(
                    "plant.toml",
                    say!("is missing; it holds the plant's id, name, version, tag_host, altitude_m and areas"),
                ));
            }
            return Err(self.faults);
        };
        for change in self
            .limits
            .iter_mut()
            .filter_map(|one| one.fastest_change.as_mut())
        {
            let usual = FastestChange::USUAL_TIMES * change.by;
            change.at_most = change.at_most.or(usual.is_finite().then_some(usual));
        }
        let plant = Plant {
            id: head.id,
            name: head.name,
            version: head.version,
            tag_host: head.tag_host,
            altitude_m: head.altitude_m,
            drops_per_ml: head.drops_per_ml,
            npsh_margin_m: head.npsh_margin_m,
            units: head.units,
            areas: head.areas,
            pumps: std::mem::take(&mut self.pumps),
            limits: std::mem::take(&mut self.limits),
            rounds: std::mem::take(&mut self.rounds),
            procedures: std::mem::take(&mut self.procedures),
        };
        let all_read = self.faults.is_empty();
        let mut found = examine::parts(&plant);
        if all_read {
            found.extend(examine::references(&plant));
        }
        for found in found {
            let file = self.file_of(found.part).to_owned();
            self.faults.push(found.in_file(&file));
        }
        if self.faults.is_empty() {
            Ok(plant)
        } else {
            Err(self.faults)
        }
    }

    fn file_of(&self, part: Part) -> &str {
        let file = match part {
            Part::Plant => None,
            Part::Pump(index) => self.pump_files.get(index),
            Part::Limits(index) => self.limits_files.get(index),
            Part::Round(index) => self.round_files.get(index),
            Part::Procedure(index) => self.procedure_files.get(index),
        };
        file.map_or("plant.toml", String::as_str)
    }
}

/// The tables of this name in a file of a plant folder, those that can be read; the others are told as faults.
fn tables<T: DeserializeOwned>(
    file: &str,
    mut table: Table,
    name: &str,
    faults: &mut Vec<PlantFault>,
) -> Vec<T> {
    let list = table.remove(name);
    for other in table.keys() {
        faults.push(PlantFault::of_file(
            file,
            say!(
                "has a '{other}' in it; only [[{name}]] tables belong here",
                other,
                name
            ),
        ));
    }
    let Some(Value::Array(list)) = list else {
        faults.push(PlantFault::of_file(
            file,
            say!("has no [[{name}]] table in it", name),
        ));
        return Vec::new();
    };
    let mut read = Vec::new();
    for value in list {
        let text = |key| Some(value.get(key)?.as_str()?.to_owned());
        let (pump, within) = match name {
            "pump" => (text("id"), None),
            "limits" => (text("pump"), text("check")),
            _ => (None, text("id")),
        };
        match serde_path_to_error::deserialize(value) {
            Ok(one) => read.push(one),
            Err(error) => faults.push(bad_field(file, pump, within, &error)),
        }
    }
    read
}

fn bad_field(
    file: &str,
    pump: Option<String>,
    within: Option<String>,
    error: &serde_path_to_error::Error<toml::de::Error>,
) -> PlantFault {
    let path = Some(error.path().to_string()).filter(|path| path != ".");
    let field = match (within, path) {
        (Some(within), Some(path)) => Some(format!("{within}.{path}")),
        (within, path) => within.or(path),
    };
    PlantFault {
        file: file.to_owned(),
        pump,
        field,
        what: one_line(error.inner().message()),
    }
}

fn bad_toml(file: &str, text: &str, error: &toml::de::Error) -> PlantFault {
    let what = one_line(error.message());
    let what = match error.span().and_then(|span| text.get(..span.start)) {
        Some(before) => say!(
            "line {line}: {what}",
            line = before.matches('\n').count() + 1,
            what
        ),
        None => what,
    };
    PlantFault::of_file(file, say!("is no readable TOML: {what}", what))
}

fn one_line(text: &str) -> String {
    text.lines().map(str::trim).collect::<Vec<_>>().join(" ")
}
