//! Stores and bundles as files.

use super::{Ended, Refusal, args, open};
use crate::{
    app::{AppError, Import, MakeBundle, Progress},
    report::{counted, plain},
    store::Store,
};
use std::{io::Write, sync::atomic::AtomicBool};

pub fn bundle(task: &args::Bundle, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    if task.file.exists() {
        return Err(Refusal::Exists(task.file.clone()));
    }
    let made = app.perform(MakeBundle {
        path: task.file.clone(),
        everything: task.everything,
    })?;
    writeln!(
        out,
        "{}: {}, {}, {} bytes",
        made.path.display(),
        counted(made.records, "record", "records"),
        counted(made.photos as u64, "photo", "photos"),
        made.bytes
    )?;
    if made.left > 0 {
        writeln!(
            out,
            "{} left for another bundle: run this again with another name",
            counted(made.left, "record is", "records are")
        )?;
    }
    Ok(Ended::Well)
}

/// Takes in what can be taken; a refused file does not keep the others out.
pub fn import(task: &args::Import, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    let mut told = Vec::new();
    let mut refused = 0;
    for path in &task.files {
        let import = Import {
            path: path.clone(),
            progress: Progress::default(),
        };
        let what = app
            .perform(import)
            .map(|imported| imported.to_string())
            .unwrap_or_else(|error| {
                refused += 1;
                format!("refused: {error}")
            });
        told.push(format!("{}: {}", path.display(), plain(&what)));
    }
    if refused == task.files.len() {
        return Err(Refusal::Bundles(told));
    }
    // Only now: a reader who leaves must not keep the files after the first from being taken in.
    for line in &told {
        writeln!(out, "{line}")?;
    }
    Ok(if refused > 0 {
        Ended::WithFaults
    } else {
        Ended::Well
    })
}

/// Opens the store alone: its plant and its tables may be what is damaged.
pub fn verify(task: &args::OneStore, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let store = Store::open(&task.store).map_err(AppError::from)?;
    let report = store
        .verify(&mut |_| (), &AtomicBool::new(false))
        .map_err(AppError::from)?;
    for fault in &report.faults {
        writeln!(out, "{}", plain(&fault.to_string()))?;
    }
    let faults = report.faults.len() as u64 + report.more_faults;
    let verdict = if report.is_clean() {
        "all as written".to_owned()
    } else {
        format!(
            "{}; copy this file away as it is, and go on with a backup",
            counted(faults, "fault", "faults")
        )
    };
    writeln!(
        out,
        "{}, {}: {verdict}",
        counted(report.records, "record", "records"),
        counted(report.photos, "photo", "photos")
    )?;
    Ok(if report.is_clean() {
        Ended::Well
    } else {
        Ended::WithFaults
    })
}

/// Opens the store alone, as [`verify`] does.
pub fn rebuild(task: &args::OneStore, out: &mut dyn Write) -> Result<Ended, Refusal> {
    Store::open(&task.store)
        .and_then(|mut store| store.rebuild())
        .map_err(AppError::from)?;
    writeln!(
        out,
        "{}: tables made anew from the journal",
        task.store.display()
    )?;
    Ok(Ended::Well)
}

pub fn backup(task: &args::Backup, out: &mut dyn Write) -> Result<Ended, Refusal> {
    open(&task.store)?.backup(&task.to)?;
    writeln!(
        out,
        "{}: copied to {}; whatever is written in the copy, it writes under a name of its own",
        task.store.display(),
        task.to.display()
    )?;
    Ok(Ended::Well)
}
