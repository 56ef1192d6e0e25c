//! Stores and bundles as files.

use super::{Ended, Refusal, args, open};
use crate::app::{Import, MakeBundle, Progress, Rebuild};
use std::io::Write;

pub fn bundle(task: &args::Bundle, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    let made = app.perform(MakeBundle {
        path: task.file.clone(),
        everything: task.everything,
    })?;
    writeln!(
        out,
        "{}: {} records, {} photos, {} bytes",
        made.path.display(),
        made.records,
        made.photos,
        made.bytes
    )?;
    if made.left > 0 {
        writeln!(
            out,
            "{} records are left for another bundle: run this again with another name",
            made.left
        )?;
    }
    Ok(Ended::Well)
}

/// Takes in what can be taken; a refused file does not keep the others out.
pub fn import(task: &args::Import, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    let mut refused = None;
    for path in &task.files {
        match app.perform(Import {
            path: path.clone(),
            progress: Progress::default(),
        }) {
            Ok(imported) => writeln!(out, "{}: {imported}", path.display())?,
            Err(error) if task.files.len() == 1 => return Err(error.into()),
            Err(error) => {
                writeln!(out, "{}: refused: {error}", path.display())?;
                refused = Some(());
            }
        }
    }
    Ok(if refused.is_some() {
        Ended::WithFaults
    } else {
        Ended::Well
    })
}

pub fn verify(task: &args::OneStore, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let report = open(&task.store)?.verify(&Progress::default())?;
    for fault in &report.faults {
        writeln!(out, "{fault}")?;
    }
    let faults = report.faults.len() as u64 + report.more_faults;
    let verdict = if report.is_clean() {
        "all as written".to_owned()
    } else {
        format!("{faults} faults")
    };
    writeln!(
        out,
        "{} records, {} photos: {verdict}",
        report.records, report.photos
    )?;
    Ok(if report.is_clean() {
        Ended::Well
    } else {
        Ended::WithFaults
    })
}

pub fn rebuild(task: &args::OneStore, out: &mut dyn Write) -> Result<Ended, Refusal> {
    open(&task.store)?.perform(Rebuild)?;
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
        "{}: copied to {}",
        task.store.display(),
        task.to.display()
    )?;
    Ok(Ended::Well)
}
