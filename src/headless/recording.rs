//! Entries from a JSON Lines file: all lines are taken, or none is.

use super::{Ended, Refusal, args, open};
use crate::{
    app::{App, AppError, AttachPhoto, CloseVisit, Enter, Found, OpenVisit, SetOperator},
    check::{Entered, RunningState},
    judge::Verdict,
    photo,
    plant::{CheckId, PumpId},
    record::{HowFound, Mark},
    report,
};
use serde::Deserialize;
use std::{
    fs::File,
    io::{self, Read, Write},
    path::{Path, PathBuf},
};
use uuid::Uuid;

/// A million entries a file is far above any shift's; beyond it the file is no entries file.
const MOST_BYTES: u64 = 512 * 1024 * 1024;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    #[serde(default)]
    pump: Option<PumpId>,
    #[serde(default)]
    tag: Option<String>,
    #[serde(default)]
    running: Option<RunningState>,
    #[serde(default)]
    check: Option<CheckId>,
    #[serde(default)]
    entered: Option<Entered>,
    #[serde(default)]
    photo: Option<PathBuf>,
    #[serde(default)]
    marks: Vec<Mark>,
    #[serde(default)]
    words: Option<String>,
}

/// The visit the lines before have begun.
#[derive(Clone)]
struct Here {
    visit: Uuid,
    pump: PumpId,
    running: RunningState,
}

/// What came of a line.
struct Taken {
    row: String,
    verdict: Verdict,
}

/// Why a line was not taken.
enum Bad {
    /// It is wrong; those after it are still looked at.
    Line(String),
    /// The store is in trouble.
    Store(AppError),
}

impl From<AppError> for Bad {
    fn from(error: AppError) -> Self {
        match error {
            AppError::Store(_) => Bad::Store(error),
            wrong => Bad::Line(wrong.to_string()),
        }
    }
}

pub fn record(task: &args::Record, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let text = read_text(&task.file)?;
    if text.trim().is_empty() {
        return Err(Refusal::NoEntries(named(&task.file)));
    }
    let mut app = open(&task.store)?;
    let folder = task.file.parent().unwrap_or(Path::new("."));
    let taken = app.together(|app| {
        app.perform(SetOperator(task.by.clone()))?;
        let first = task.visit.map(|visit| here(app, visit)).transpose()?;
        take_all(app, &text, folder, first, task.stay)
    })?;
    for taken in &taken {
        writeln!(out, "{}", taken.row)?;
    }
    let worst = taken.iter().map(|taken| taken.verdict).max();
    Ok(if worst.is_some_and(Verdict::is_out_of_limits) {
        Ended::WithFaults
    } else {
        Ended::Well
    })
}

fn named(path: &Path) -> PathBuf {
    let standard_input = path == Path::new("-");
    PathBuf::from(if standard_input {
        Path::new("standard input")
    } else {
        path
    })
}

fn read_text(path: &Path) -> Result<String, Refusal> {
    let mut bytes = Vec::new();
    let read = if path == Path::new("-") {
        io::stdin().take(MOST_BYTES + 1).read_to_end(&mut bytes)
    } else {
        File::open(path).and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes))
    };
    read.map_err(|error| Refusal::file(&named(path), error))?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(Refusal::TooLarge {
            path: named(path),
            most: MOST_BYTES,
        });
    }
    String::from_utf8(bytes).map_err(|_| Refusal::NotText(named(path)))
}

/// Takes every line, each in a part of the transaction of its own: after a wrong line the next ones are still tried,
/// so that all faults are told at once.
fn take_all(
    app: &mut App,
    text: &str,
    folder: &Path,
    first: Option<Here>,
    stay: bool,
) -> Result<Vec<Taken>, Refusal> {
    let mut all = Vec::new();
    let mut faults = Vec::new();
    let only = first.as_ref().map(|here| here.pump.clone());
    let mut here = first;
    let lines = text.lines().enumerate();
    for (index, line) in lines.filter(|(_, line)| !line.trim().is_empty()) {
        match app.together(|app| take(app, (here.as_ref(), only.as_ref()), line, folder)) {
            Ok((now, taken)) => {
                here = Some(now);
                all.push(taken);
            }
            Err(Bad::Line(what)) => faults.push(format!("line {}: {what}", index + 1)),
            Err(Bad::Store(error)) => return Err(error.into()),
        }
    }
    if !faults.is_empty() {
        return Err(Refusal::Lines(faults));
    }
    if let Some(Here { visit, .. }) = here
        && !stay
    {
        app.perform(CloseVisit { visit })?;
    }
    Ok(all)
}

/// The visit to go on in.
fn here(app: &App, visit: Uuid) -> Result<Here, AppError> {
    let row = app.store().read().visit(visit)?;
    let row = row.ok_or(AppError::UnknownVisit(visit))?;
    if row.closed.is_some() {
        return Err(AppError::VisitOver(visit));
    }
    Ok(Here {
        visit,
        pump: row.pump,
        running: row.running,
    })
}

fn take(
    app: &mut App,
    (here, only): (Option<&Here>, Option<&PumpId>),
    text: &str,
    folder: &Path,
) -> Result<(Here, Taken), Bad> {
    // A list would be read as the fields in their order.
    if !text.trim_start().starts_with('{') {
        let what = "an entry stands between { and }; see 'lantern-ring record --help'";
        return Err(Bad::Line(what.to_owned()));
    }
    let line: Line = serde_json::from_str(text).map_err(|error| Bad::Line(in_line(&error)))?;
    let (pump, found) = pump_of(app, &line)?;
    if let Some(only) = only.filter(|only| **only != pump) {
        return Err(Bad::Line(format!(
            "the visit to go on in is at pump {only}, not at {pump}: record this one without --visit"
        )));
    }
    let running = match line.running {
        Some(running) => running,
        None => app.likely_running(&pump)?,
    };
    let here = match here {
        Some(here) if (&here.pump, here.running) == (&pump, running) => here.clone(),
        other => {
            if let Some(&Here { visit, .. }) = other {
                app.perform(CloseVisit { visit })?;
            }
            let visit = app.perform(OpenVisit {
                pump: pump.clone(),
                running,
                found,
                round: None,
            })?;
            Here {
                visit,
                pump,
                running,
            }
        }
    };
    let taken = match line {
        Line {
            check: Some(check),
            entered: Some(entered),
            photo: None,
            words: None,
            ..
        } => enter(app, &here, check, entered)?,
        Line {
            check,
            entered: None,
            photo: Some(photo),
            marks,
            words,
            ..
        } => {
            let picture = read_photo(&folder.join(photo))?;
            let record = app.perform(AttachPhoto {
                visit: here.visit,
                check,
                picture,
                marks,
                words: words.unwrap_or_default(),
            })?;
            let check = check.map(|check| check.to_string()).unwrap_or_default();
            Taken {
                row: format!("{record}\t{}\t{check}\tphoto\t\t{}", here.pump, here.visit),
                verdict: Verdict::NotJudged,
            }
        }
        _ => {
            let what = "give \"check\" with \"entered\", or \"photo\" with or without \"check\", \"marks\" and \"words\"";
            return Err(Bad::Line(what.to_owned()));
        }
    };
    Ok((here, taken))
}

/// The reader counts lines of its own text, which is always the first here.
fn in_line(error: &serde_json::Error) -> String {
    let text = error.to_string();
    let place = format!(" at line {} column {}", error.line(), error.column());
    let what = text
        .strip_suffix(&place)
        .unwrap_or(&text)
        .replace("expected f64", "expected a number")
        .replace("expected u32", "expected a whole number");
    format!(
        "{what} (character {}); see 'lantern-ring record --help'",
        error.column()
    )
}

fn pump_of(app: &App, line: &Line) -> Result<(PumpId, HowFound), Bad> {
    match (&line.pump, &line.tag) {
        (Some(pump), None) => Ok((pump.clone(), HowFound::Chosen)),
        (None, Some(tag)) => match app.register()?.find_keyed(tag) {
            Found::ByNumber(pump) => Ok((pump, HowFound::Chosen)),
            Found::Pump(pump) | Found::ByAdoptedCode(pump) => Ok((pump, HowFound::Scanned)),
            Found::ByShortId(pump) => Ok((pump, HowFound::ShortId)),
            other => Err(Bad::Line(other.to_string())),
        },
        _ => Err(Bad::Line("give either \"pump\" or \"tag\"".to_owned())),
    }
}

fn read_photo(path: &Path) -> Result<Vec<u8>, Bad> {
    bytes_of(path).map_err(|error| {
        let path = path.display();
        Bad::Line(format!(
            "the photo {path} can't be read ({error}); its path starts at the entries file's folder"
        ))
    })
}

/// The bytes of a picture.
pub(super) fn picture(path: &Path) -> Result<Vec<u8>, Refusal> {
    bytes_of(path).map_err(|error| Refusal::file(path, error))
}

fn bytes_of(path: &Path) -> io::Result<Vec<u8>> {
    let mut picture = Vec::new();
    // One byte more than is taken, so that a larger file is told as such.
    let most = photo::MOST_BYTES as u64 + 1;
    File::open(path)?.take(most).read_to_end(&mut picture)?;
    Ok(picture)
}

fn enter(app: &mut App, here: &Here, check: CheckId, entered: Entered) -> Result<Taken, Bad> {
    let taken = app.perform(Enter {
        visit: here.visit,
        check,
        entered,
    })?;
    let verdict = taken.judgement.verdict;
    let sentence = report::plain(&app.sentence(taken.record)?);
    Ok(Taken {
        row: format!(
            "{}\t{}\t{check}\t{}\t{sentence}\t{}",
            taken.record,
            here.pump,
            verdict.key(),
            here.visit
        ),
        verdict,
    })
}
