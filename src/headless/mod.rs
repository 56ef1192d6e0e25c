//! The commands without a window: the same door, for scripts and terminals.
//!
//! Exit codes: 0 done, 1 refused (a sentence on standard error says why), 2 not understood, 3 done, and something is
//! wrong with what was looked at (`verify`, `read`, `record`) or with some of it (`import`).

mod args;
mod demo_making;
mod files;
mod hours;
mod lists;
mod procedures;
mod recording;
mod remedies;
mod shift;
mod store_making;
mod tags;
mod working;

pub use args::{Arguments, Face, Task};

use crate::{
    app::{App, AppError, Found, SheetNotWritten},
    camera::CameraError,
    plant::PlantFault,
    report::ReportError,
    sys::{RealWorld, plant_folder},
    tag::{draw::DrawError, read::ReadError},
};
use std::{
    io::{self, Write},
    path::{Path, PathBuf},
    process::ExitCode,
};

/// Days of the demo's history.
const DEMO_DAYS: u32 = 90;

/// Seed of the demo's history: the same seed gives the same history.
const DEMO_SEED: u64 = 1;

/// Why a command was refused.
#[derive(Debug, thiserror::Error)]
pub enum Refusal {
    /// The door refused.
    #[error(transparent)]
    App(#[from] AppError),
    /// The plant folder has faults.
    #[error("{}", lines(.0))]
    Plant(Vec<PlantFault>),
    /// The handover can't be written.
    #[error(transparent)]
    Handover(#[from] SheetNotWritten),
    /// A picture can't be read.
    #[error(transparent)]
    Picture(#[from] ReadError),
    /// A file of pictures can't be read.
    #[error(transparent)]
    Camera(#[from] CameraError),
    /// A tag can't be drawn.
    #[error(transparent)]
    Draw(#[from] DrawError),
    /// A list can't be written.
    #[error(transparent)]
    Report(#[from] ReportError),
    /// A file can't be read or written.
    #[error("{path}: {source}; look whether it is there and may be opened")]
    File {
        /// The file.
        path: String,
        /// What the system said.
        source: io::Error,
    },
    /// A file that is no text.
    #[error("{} is no text in UTF-8; give a file of entries, one a line", .0.display())]
    NotText(PathBuf),
    /// A file too large for what it shall be.
    #[error("{} is larger than any file of entries, {most} bytes; divide it", .path.display())]
    TooLarge {
        /// The file.
        path: PathBuf,
        /// Most bytes.
        most: u64,
    },
    /// An entries file without entries.
    #[error("{} holds no entries; nothing was recorded", .0.display())]
    NoEntries(PathBuf),
    /// Lines of an entries file that can't be taken.
    #[error("nothing was recorded; put these lines right and run it again:\n{}", told(.0))]
    Lines(Vec<String>),
    /// Bundles of which none could be taken in.
    #[error("{}", told(.0))]
    Bundles(Vec<String>),
    /// A text that stands for no pump.
    #[error("'{text}' is no pump's number in this plant; 'lantern-ring pumps' lists them. {why}")]
    NoPump {
        /// The text.
        text: String,
        /// What it leads to.
        why: Found,
    },
    /// A file that is there already.
    #[error("{} is already there and was left as it is; choose another name", .0.display())]
    Exists(PathBuf),
    /// A folder with something in it.
    #[error("the folder {} has something in it already; name another one, or remove it", .0.display())]
    FolderInUse(PathBuf),
    /// Standard output is closed.
    #[error("the output can't be written: {0}")]
    Output(#[from] io::Error),
}

/// Lines told one by one; the rest are counted.
const LINES_TOLD: usize = 100;

fn told(lines: &[String]) -> String {
    let mut told = lines[..lines.len().min(LINES_TOLD)].join("\n");
    if lines.len() > LINES_TOLD {
        told += &format!("\nand {} more", lines.len() - LINES_TOLD);
    }
    told
}

impl Refusal {
    fn file(path: &Path, source: io::Error) -> Self {
        Self::File {
            path: path.display().to_string(),
            source,
        }
    }

    /// Whoever read the output wanted no more of it.
    fn is_reader_gone(&self) -> bool {
        let error = match self {
            Refusal::Output(error) | Refusal::Report(ReportError::Output(error)) => error.kind(),
            _ => return false,
        };
        error == io::ErrorKind::BrokenPipe
    }
}

/// How a command that was not refused ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    /// All is well.
    Well,
    /// Done, and something is wrong with what was looked at.
    WithFaults,
}

fn lines(faults: &[PlantFault]) -> String {
    let lines: Vec<_> = faults.iter().map(ToString::to_string).collect();
    lines.join("\n")
}

/// Opens the demo's store, making it first where it is not there.
///
/// # Errors
/// Where the plant folder has faults or the store can't be made.
pub fn open_demo(task: &args::Demo) -> Result<App, Refusal> {
    let store = task.folder.join(demo_making::STORE);
    if !store.exists() {
        let mut out = io::stdout().lock();
        writeln!(out, "Making the demo's history; this takes some seconds.")?;
        let plant = plant_folder(&task.plant).map_err(Refusal::Plant)?;
        demo_making::make(&plant, &task.folder, DEMO_DAYS, DEMO_SEED, &mut out)?;
    }
    open(&store)
}

/// Opens a store for the window.
///
/// # Errors
/// Where it is none, is in use, or was written by a newer version.
pub fn open(store: &Path) -> Result<App, Refusal> {
    Ok(App::open(store, Box::new(RealWorld))?)
}

/// Tells a refusal and gives its exit code.
pub fn refuse(refusal: &Refusal) -> ExitCode {
    // Nothing is left to be done if even this can't be written.
    let _ = writeln!(io::stderr(), "lantern-ring: {refusal}");
    ExitCode::from(1)
}

/// Runs one task and says how it ended.
pub fn run(task: Task) -> ExitCode {
    let mut out = io::stdout().lock();
    match perform(task, &mut out)
        .and_then(|ended| out.flush().map(|()| ended).map_err(Refusal::from))
    {
        Ok(Ended::Well) => ExitCode::SUCCESS,
        Ok(Ended::WithFaults) => ExitCode::from(3),
        Err(refusal) if refusal.is_reader_gone() => ExitCode::SUCCESS,
        Err(refusal) => refuse(&refusal),
    }
}

/// Runs one task, writing what it has to say to `out`.
///
/// # Errors
/// Where it was refused; nothing has changed then.
pub fn perform(task: Task, out: &mut dyn Write) -> Result<Ended, Refusal> {
    match task {
        Task::MakeStore(task) => store_making::make_store(&task, out),
        Task::MakeDemo(task) => demo_making::make_demo(&task, out),
        Task::TakePlant(task) => store_making::take_plant(&task, out),
        Task::Pumps(task) => lists::pumps(&task, out),
        Task::Tags(task) => tags::draw(&task, out),
        Task::Read(task) => tags::read(&task, out),
        Task::Checks(task) => lists::checks(&task, out),
        Task::Record(task) => recording::record(&task, out),
        Task::Bundle(task) => files::bundle(&task, out),
        Task::Import(task) => files::import(&task, out),
        Task::Findings(task) => lists::findings(&task, out),
        Task::Entries(task) => lists::entries(&task, out),
        Task::Rounds(task) => shift::rounds(&task, out),
        Task::Round(task) => shift::round(&task, out),
        Task::Finding(task) => shift::finding(&task, out),
        Task::Procedures(task) => procedures::procedures(&task, out),
        Task::Procedure(task) => procedures::procedure(&task, out),
        Task::Handover(task) => shift::handover(&task, out),
        Task::Remedy(task) => remedies::remedy(&task, out),
        Task::TakeBackRemedy(task) => remedies::take_back(&task, out),
        Task::Remedies(task) => remedies::remedies(&task, out),
        Task::Waits(task) => remedies::waits(&task, out),
        Task::Gland(task) => remedies::gland(&task, out),
        Task::Lubrication(task) => remedies::lubrication(&task, out),
        Task::Hours(task) => hours::hours(&task, out),
        Task::Due(task) => hours::due(&task, out),
        Task::WorkOut(task) => working::work_out(&task, out),
        Task::Causes(task) => working::causes(&task, out),
        Task::Trend(task) => working::trend(&task, out),
        Task::Verify(task) => files::verify(&task, out),
        Task::Rebuild(task) => files::rebuild(&task, out),
        Task::Backup(task) => files::backup(&task, out),
    }
}
