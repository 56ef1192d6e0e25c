//! A plant from its folder on disk.

use crate::plant::{Plant, PlantFault, files::assemble};
use crate::say;
use std::{
    fs::{self, File},
    io::Read,
    path::Path,
};

/// Most files a plant folder may have.
const MOST_FILES: usize = 500;
/// Largest file, bytes.
const LARGEST_FILE: u64 = 4 * 1024 * 1024;
/// Folders inside a plant folder that are read.
const FOLDERS: [&str; 4] = ["pumps", "limits", "rounds", "procedures"];

/// Reads a plant from its folder: `plant.toml` and the `.toml` files in `pumps`, `limits`, `rounds` and `procedures`. Whatever else is there is left alone.
///
/// # Errors
/// Every fault found, in reading the files and in what they say.
pub fn plant_folder(folder: &Path) -> Result<Plant, Vec<PlantFault>> {
    if !folder.is_dir() {
        return Err(vec![PlantFault::of_file(
            &folder.display().to_string(),
            say!("is no folder; name the folder that holds plant.toml"),
        )]);
    }
    let mut faults = Vec::new();
    let mut names = Vec::new();
    if folder.join("plant.toml").exists() {
        names.push("plant.toml".to_owned());
    }
    for inner in FOLDERS {
        match toml_files_in(folder, inner) {
            Ok(more) => names.extend(more),
            Err(fault) => faults.push(fault),
        }
    }
    if names.len() > MOST_FILES {
        faults.push(PlantFault::of_file(
            &folder.display().to_string(),
            say!(
                "has {count} files; a plant has at most {most}",
                count = names.len(),
                most = MOST_FILES
            ),
        ));
        return Err(faults);
    }
    let mut files = Vec::new();
    for name in names {
        match read_capped(&folder.join(&name), &name) {
            Ok(text) => files.push((name, text)),
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() {
        assemble(&files)
    } else {
        Err(faults)
    }
}

/// Paths inside the plant folder, with `/`; none where the inner folder is not there.
fn toml_files_in(folder: &Path, inner: &str) -> Result<Vec<String>, PlantFault> {
    let path = folder.join(inner);
    if !path.exists() {
        return Ok(Vec::new());
    }
    let unreadable =
        |error: std::io::Error| PlantFault::of_file(inner, say!("can't be read: {error}", error));
    let mut names = Vec::new();
    for entry in fs::read_dir(path).map_err(unreadable)? {
        let name = entry.map_err(unreadable)?.file_name();
        let Some(name) = name.to_str() else {
            return Err(PlantFault::of_file(
                inner,
                say!(
                    "the file name {name} can't be read; rename the file",
                    name = format!("{name:?}")
                ),
            ));
        };
        if name.ends_with(".toml") {
            names.push(format!("{inner}/{name}"));
        }
    }
    Ok(names)
}

fn read_capped(path: &Path, name: &str) -> Result<String, PlantFault> {
    let fault = |what: String| PlantFault::of_file(name, what);
    if !path.is_file() {
        return Err(fault(say!("is no plain file; take it out").to_owned()));
    }
    let file = File::open(path).map_err(|error| fault(say!("can't be opened: {error}", error)))?;
    let mut bytes = Vec::new();
    file.take(LARGEST_FILE + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| fault(say!("can't be read: {error}", error)))?;
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(fault(say!(
            "is too large: at most {most} bytes; split it into several files",
            most = LARGEST_FILE
        )));
    }
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        fault(say!(
            "is no UTF-8 text: byte {at} can't be read; save it as UTF-8",
            at
        ))
    })
}
