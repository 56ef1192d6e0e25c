//! The desktop entry: the window, or one headless command.

use clap::Parser;
use lantern_ring::{
    headless::{self, Arguments, Face},
    language,
};
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    if let Some(language) = arguments.language {
        language::speak(language);
    }
    let opened = match arguments.face {
        Face::Task(task) => return headless::run(task),
        Face::Open(task) => headless::open(&task.store),
        Face::Demo(task) => headless::open_demo(&task),
    };
    match opened {
        Ok(app) => show(app),
        Err(refusal) => headless::refuse(&refusal),
    }
}

#[cfg(feature = "window")]
fn show(app: lantern_ring::app::App) -> ExitCode {
    match lantern_ring::platform::desktop::run(app) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("lantern-ring: {error}");
            ExitCode::FAILURE
        }
    }
}

#[cfg(not(feature = "window"))]
fn show(_app: lantern_ring::app::App) -> ExitCode {
    eprintln!("lantern-ring: this build has no window; see --help for the commands");
    ExitCode::FAILURE
}
