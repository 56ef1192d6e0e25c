//! Looks for what is wrong in a plant: each part by itself, then the parts against each other.

mod hydraulics;
mod limits;
mod lubrication;
mod pump;
mod round;

use super::{Plant, PlantFault, PumpId, Unit};
use crate::{procedure, say};
use std::{collections::HashMap, fmt::Display, ops::RangeInclusive};

/// The part of a plant a fault is in, so that its file can be named.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// The plant itself and its areas.
    Plant,
    /// The pump at this index.
    Pump(usize),
    /// The limits at this index.
    Limits(usize),
    /// The round at this index.
    Round(usize),
    /// The procedure at this index.
    Procedure(usize),
}

/// Something wrong, before its file is known.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub part: Part,
    pump: Option<String>,
    field: Option<String>,
    what: String,
}

impl Found {
    /// The fault, in this file.
    pub fn in_file(self, file: &str) -> PlantFault {
        PlantFault {
            file: file.to_owned(),
            pump: self.pump,
            field: self.field,
            what: self.what,
        }
    }
}

/// What is wrong in each part by itself, and ids given twice.
pub(super) fn parts(plant: &Plant) -> Vec<Found> {
    let mut found = Vec::new();
    plant_itself(plant, &mut found);
    pump::examine(&plant.pumps, &mut found);
    limits::examine(&plant.limits, &mut found);
    round::examine(&plant.rounds, &mut found);
    found
}

/// What is wrong between parts. To be asked only where every part could be read: an unread one would be missed everywhere.
pub(super) fn references(plant: &Plant) -> Vec<Found> {
    let mut found = Vec::new();
    if plant.areas.is_empty() {
        Log::of(Part::Plant, &mut found).field("areas", say!("there must be at least one"));
    }
    if plant.pumps.is_empty() {
        Log::of(Part::Plant, &mut found).whole(say!("there must be at least one pump in pumps/"));
    }
    pump::references(plant, &mut found);
    limits::references(plant, &mut found);
    round::references(plant, &mut found);
    let of_procedures = procedure::examine(plant).into_iter().map(|fault| Found {
        part: Part::Procedure(fault.procedure),
        pump: None,
        field: Some(fault.field),
        what: fault.what,
    });
    found.extend(of_procedures);
    found
}

fn plant_itself(plant: &Plant, found: &mut Vec<Found>) {
    let mut log = Log::of(Part::Plant, found);
    log.text("name", &plant.name, 80);
    log.version(plant.version);
    if !is_host(&plant.tag_host) {
        log.field(
            "tag_host",
            say!(
                "must be a host name of capital letters, digits, dots and dashes, at most 60 long, is '{host}'",
                host = plant.tag_host
            ),
        );
    }
    log.within("altitude_m", plant.altitude_m, -500.0..=6000.0);
    if let Some(drops) = plant.drops_per_ml {
        log.within("drops_per_ml", drops, 1.0..=100.0);
    }
    if let Some(margin) = plant.npsh_margin_m {
        log.within("npsh_margin_m", margin, 0.0..=20.0);
    }
    for (index, unit) in plant.units.iter().enumerate() {
        let mut before = plant.units[..index].iter();
        let same = |other: &&Unit| other.quantity() == unit.quantity();
        if let Some(first) = before.find(same) {
            log.field(
                &format!("units[{index}]"),
                say!(
                    "'{first}' and '{unit}' measure the same; keep the one the plant works in",
                    first,
                    unit
                ),
            );
        }
    }
    for (index, area) in plant.areas.iter().enumerate() {
        log.text(&format!("areas[{index}].name"), &area.name, 80);
    }
    let ids = plant.areas.iter().map(|area| area.id.as_str());
    for (index, first) in doubled(ids) {
        log.field(
            &format!("areas[{index}].id"),
            say!(
                "the area id '{area}' is given twice; keep one",
                area = plant.areas[first].id
            ),
        );
    }
}

fn is_host(text: &str) -> bool {
    // 45 characters leave the tag's code at a size that prints well; tags refuse longer ones too.
    (1..=45).contains(&text.len())
        && text.split('.').all(|label| {
            !label.is_empty()
                && !label.starts_with('-')
                && !label.ends_with('-')
                && label
                    .bytes()
                    .all(|b| b.is_ascii_uppercase() || b.is_ascii_digit() || b == b'-')
        })
}

/// Indices of keys that came before, each with the index of the first. Case makes no difference: people and file systems mix it up.
fn doubled<'a>(keys: impl Iterator<Item = &'a str>) -> Vec<(usize, usize)> {
    let mut first = HashMap::new();
    keys.enumerate()
        .filter_map(|(index, key)| {
            let earlier = *first.entry(key.to_ascii_lowercase()).or_insert(index);
            (earlier != index).then_some((index, earlier))
        })
        .collect()
}

/// Writes down what is wrong in one part.
struct Log<'a> {
    part: Part,
    pump: Option<String>,
    within: Option<String>,
    found: &'a mut Vec<Found>,
}

impl<'a> Log<'a> {
    fn of(part: Part, found: &'a mut Vec<Found>) -> Self {
        Self {
            part,
            pump: None,
            within: None,
            found,
        }
    }

    fn pump(self, pump: &PumpId) -> Self {
        Self {
            pump: Some(pump.to_string()),
            ..self
        }
    }

    /// Names the table that fields are in, where it is not the pump itself.
    fn table(self, name: impl Display) -> Self {
        Self {
            within: Some(name.to_string()),
            ..self
        }
    }

    fn push(&mut self, field: Option<String>, what: String) {
        self.found.push(Found {
            part: self.part,
            pump: self.pump.clone(),
            field,
            what,
        });
    }

    fn whole(&mut self, what: impl Into<String>) {
        self.push(self.within.clone(), what.into());
    }

    fn field(&mut self, field: &str, what: impl Into<String>) {
        let path = match &self.within {
            Some(table) => format!("{table}.{field}"),
            None => field.to_owned(),
        };
        self.push(Some(path), what.into());
    }

    /// A text that people read: not empty, not over-long, on one line.
    fn text(&mut self, field: &str, text: &str, longest: usize) {
        let length = text.chars().count();
        if text.trim().is_empty() {
            self.field(field, say!("must not be empty"));
        } else if length > longest {
            self.field(
                field,
                say!(
                    "must be at most {longest} characters, is {length}",
                    longest,
                    length
                ),
            );
        } else if text.chars().any(char::is_control) {
            self.field(
                field,
                say!("must be on one line, without tabs or control characters"),
            );
        }
    }

    /// A finite number; `false` where it is not.
    fn finite(&mut self, field: &str, value: f64) -> bool {
        if !value.is_finite() {
            self.field(field, say!("must be a finite number, is {value}", value));
        }
        value.is_finite()
    }

    fn within(&mut self, field: &str, value: f64, range: RangeInclusive<f64>) {
        if self.finite(field, value) && !range.contains(&value) {
            let (low, high) = (range.start(), range.end());
            self.field(
                field,
                say!("must be {low} to {high}, is {value}", low, high, value),
            );
        }
    }

    fn above_zero(&mut self, field: &str, value: f64, highest: f64) {
        if !self.finite(field, value) {
            return;
        }
        if value <= 0.0 {
            self.field(field, say!("must be above 0, is {value}", value));
        } else if value > highest {
            self.field(
                field,
                say!("must be at most {highest}, is {value}", highest, value),
            );
        }
    }

    fn version(&mut self, version: u32) {
        if version == 0 {
            self.field("version", say!("must be 1 or more, is 0"));
        }
    }
}
