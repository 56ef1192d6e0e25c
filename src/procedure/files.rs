//! Procedures from the text of their files: `procedures/*.toml` of a plant folder, each with `[[procedure]]` tables.

use super::{Procedure, examine::look};
use crate::plant::{
    Plant, PlantFault,
    files::{bad_toml, tables},
};
use toml::Table;

/// Reads the procedures of a plant: pairs of path inside the plant folder and text, in any order.
///
/// They keep the order of file names, then of tables.
///
/// # Errors
/// Every fault found: text that is no procedure, and what [`super::examine()`] finds where all could be read.
pub fn assemble(
    files: &[(String, String)],
    plant: &Plant,
) -> Result<Vec<Procedure>, Vec<PlantFault>> {
    let mut files: Vec<_> = files.iter().collect();
    files.sort();
    let mut procedures = Vec::new();
    let mut file_of = Vec::new();
    let mut faults = Vec::new();
    for (file, text) in files {
        match text.parse::<Table>() {
            Ok(table) => {
                let read: Vec<Procedure> = tables(file, table, "procedure", &mut faults);
                file_of.resize(procedures.len() + read.len(), file.as_str());
                procedures.extend(read);
            }
            Err(error) => faults.push(bad_toml(file, text, &error)),
        }
    }
    if faults.is_empty() {
        let found = look(&procedures, plant);
        faults.extend(found.into_iter().map(|found| {
            let file = file_of.get(found.procedure).copied();
            found.in_file(file.unwrap_or("procedures"))
        }));
    }
    if faults.is_empty() {
        Ok(procedures)
    } else {
        Err(faults)
    }
}
