//! Entries from a JSON Lines file: all lines can be taken, or none is.

use super::{Ended, Refusal, args, open};
use crate::{
    app::{App, AttachPhoto, CloseVisit, Enter, Found, OpenVisit, SetOperator},
    check::{Entered, RunningState},
    judge::Verdict,
    plant::{CheckId, PumpId},
    record::{HowFound, Mark},
};
use serde::Deserialize;
use std::{
    fs,
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
    words: String,
}

/// A line that has been looked through.
struct Ready {
    pump: PumpId,
    found: HowFound,
    running: RunningState,
    what: What,
}

enum What {
    Entry(CheckId, Entered),
    Photo {
        check: Option<CheckId>,
        picture: Vec<u8>,
        marks: Vec<Mark>,
        words: String,
    },
}

pub fn record(task: &args::Record, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let text = read_text(&task.file)?;
    let mut app = open(&task.store)?;
    let folder = task.file.parent().unwrap_or(Path::new("."));
    let ready = look_through(&app, &text, folder)?;
    app.perform(SetOperator(task.by.clone()))?;
    let mut ended = Ended::Well;
    let mut visit: Option<(Uuid, PumpId, RunningState)> = None;
    for line in ready {
        let here = (&line.pump, line.running);
        let open_visit = visit.take();
        let current = match open_visit {
            Some((id, pump, running)) if (&pump, running) == here => id,
            other => {
                if let Some((id, ..)) = other {
                    app.perform(CloseVisit { visit: id })?;
                }
                begin(&mut app, &line)?
            }
        };
        visit = Some((current, line.pump.clone(), line.running));
        if enter(&mut app, current, line, out)? >= Verdict::Watch {
            ended = Ended::WithFaults;
        }
    }
    if let Some((id, ..)) = visit {
        app.perform(CloseVisit { visit: id })?;
    }
    Ok(ended)
}

fn read_text(path: &Path) -> Result<String, Refusal> {
    let mut text = String::new();
    let read = if path == Path::new("-") {
        io::stdin().take(MOST_BYTES).read_to_string(&mut text)
    } else {
        fs::File::open(path).and_then(|file| file.take(MOST_BYTES).read_to_string(&mut text))
    };
    read.map_err(|error| Refusal::file(path, error))?;
    Ok(text)
}

fn look_through(app: &App, text: &str, folder: &Path) -> Result<Vec<Ready>, Refusal> {
    let mut ready = Vec::new();
    let mut faults = Vec::new();
    for (index, line) in text
        .lines()
        .enumerate()
        .filter(|(_, line)| !line.trim().is_empty())
    {
        match ready_line(app, line, folder) {
            Ok(line) => ready.push(line),
            Err(what) => faults.push(format!("line {}: {what}", index + 1)),
        }
    }
    if faults.is_empty() {
        Ok(ready)
    } else {
        Err(Refusal::Lines(faults))
    }
}

fn ready_line(app: &App, text: &str, folder: &Path) -> Result<Ready, String> {
    let line: Line = serde_json::from_str(text).map_err(|error| error.to_string())?;
    let (pump, found) = match (line.pump, line.tag) {
        (Some(pump), None) => (pump, HowFound::Chosen),
        (None, Some(tag)) => match app.register().map_err(|e| e.to_string())?.find_keyed(&tag) {
            Found::Pump(pump) | Found::ByAdoptedCode(pump) => (pump, HowFound::Scanned),
            Found::ByShortId(pump) => (pump, HowFound::ShortId),
            other => return Err(other.to_string()),
        },
        _ => return Err("give either \"pump\" or \"tag\"".to_owned()),
    };
    let running = match line.running {
        Some(running) => running,
        None => app.likely_running(&pump).map_err(|e| e.to_string())?,
    };
    let what = match (line.check, line.entered, line.photo) {
        (Some(check), Some(entered), None) => {
            app.examine(&pump, running, check, entered.clone())
                .map_err(|e| e.to_string())?;
            What::Entry(check, entered)
        }
        (check, None, Some(photo)) => {
            let path = folder.join(&photo);
            let picture =
                fs::read(&path).map_err(|error| format!("{}: {error}", path.display()))?;
            app.examine_photo(&pump, running, check, &picture, &line.marks)
                .map_err(|e| e.to_string())?;
            What::Photo {
                check,
                picture,
                marks: line.marks,
                words: line.words,
            }
        }
        _ => {
            return Err(
                "give \"check\" with \"entered\", or \"photo\" with or without \"check\""
                    .to_owned(),
            );
        }
    };
    Ok(Ready {
        pump,
        found,
        running,
        what,
    })
}

fn begin(app: &mut App, line: &Ready) -> Result<Uuid, Refusal> {
    let Ready {
        pump,
        running,
        found,
        ..
    } = line;
    Ok(app.perform(OpenVisit {
        pump: pump.clone(),
        running: *running,
        found: *found,
        round: None,
    })?)
}

fn enter(app: &mut App, visit: Uuid, line: Ready, out: &mut dyn Write) -> Result<Verdict, Refusal> {
    let pump = line.pump;
    match line.what {
        What::Entry(check, entered) => {
            let taken = app.perform(Enter {
                visit,
                check,
                entered,
            })?;
            let verdict = taken.judgement.verdict;
            let sentence = app.sentence(taken.record)?;
            writeln!(
                out,
                "{}\t{pump}\t{check}\t{}\t{sentence}",
                taken.record,
                verdict.words()
            )?;
            Ok(verdict)
        }
        What::Photo {
            check,
            picture,
            marks,
            words,
        } => {
            let record = app.perform(AttachPhoto {
                visit,
                check,
                picture,
                marks,
                words,
            })?;
            writeln!(out, "{record}\t{pump}\tphoto")?;
            Ok(Verdict::NotJudged)
        }
    }
}
