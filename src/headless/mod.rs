//! The commands without a window: the same door, for scripts and terminals.
//!
//! Exit codes: 0 done, 1 refused (a sentence on standard error says why), 2 not understood,
//! 3 done, and something is wrong with what was looked at (`verify`, `read`, `record`).

mod args;
mod demo_making;
mod files;
mod lists;
mod recording;
mod store_making;
mod tags;

pub use args::{Arguments, Face, Task};

use crate::{
    app::{App, AppError},
    camera::CameraError,
    plant::PlantFault,
    report::ReportError,
    sys::{RealWorld, plant_folder},
    tag::{draw::DrawError, read::ReadError},
};
use std::{
    io::{self, Write},
    path::Path,
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
    /// Lines of an entries file that can't be taken.
    #[error("nothing was recorded; put these lines right and run it again:\n{}", .0.join("\n"))]
    Lines(Vec<String>),
    /// Standard output is closed.
    #[error("the output can't be written: {0}")]
    Output(#[from] io::Error),
    /// Not understood.
    #[error("{0}")]
    Usage(String),
}

impl Refusal {
    fn file(path: &Path, source: io::Error) -> Self {
        Self::File {
            path: path.display().to_string(),
            source,
        }
    }

    fn exit_code(&self) -> u8 {
        if matches!(self, Refusal::Usage(_)) {
            2
        } else {
            1
        }
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
    ExitCode::from(refusal.exit_code())
}

/// Runs one task and says how it ended.
pub fn run(task: Task) -> ExitCode {
    let mut out = io::stdout().lock();
    match perform(task, &mut out)
        .and_then(|ended| out.flush().map(|()| ended).map_err(Refusal::from))
    {
        Ok(Ended::Well) => ExitCode::SUCCESS,
        Ok(Ended::WithFaults) => ExitCode::from(3),
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
        Task::Tags(task) => tags::draw(&task, out),
        Task::Read(task) => tags::read(&task, out),
        Task::Checks(task) => lists::checks(&task, out),
        Task::Record(task) => recording::record(&task, out),
        Task::Bundle(task) => files::bundle(&task, out),
        Task::Import(task) => files::import(&task, out),
        Task::Findings(task) => lists::findings(&task, out),
        Task::Entries(task) => lists::entries(&task, out),
        Task::Verify(task) => files::verify(&task, out),
        Task::Rebuild(task) => files::rebuild(&task, out),
        Task::Backup(task) => files::backup(&task, out),
    }
}
