//! What can be written about procedures.

use crate::check::Entered;
use clap::{Args, Subcommand};
use std::path::PathBuf;
use uuid::Uuid;

/// Procedures of a pump, or the runs under way.
#[derive(Debug, Args)]
pub struct Procedures {
    /// The store.
    pub store: PathBuf,
    /// The pump: its number, its short id or its tag's text; without it, the runs under way anywhere.
    pub pump: Option<String>,
}

/// A procedure at a pump.
#[derive(Debug, Args)]
#[command(after_help = PROCEDURE)]
pub struct ProcedureTask {
    /// The store.
    pub store: PathBuf,
    /// The pump: its number, its short id or its tag's text.
    pub pump: String,
    /// What to do.
    #[command(subcommand)]
    pub what: ProcedureDo,
}

const PROCEDURE: &str = r#"A run is gone through step by step; every command says which step is to be done then and what it asks for:

  lantern-ring procedures s.lantern RW-101A
  lantern-ring procedure s.lantern RW-101A begin start --by 'Shift A'
  lantern-ring procedure s.lantern RW-101A step --by 'Shift A'
  lantern-ring procedure s.lantern RW-101A permit 'Control room, K. Brand' --by 'Shift A'
  lantern-ring procedure s.lantern RW-101A step yes --by 'Shift A'
  lantern-ring procedure s.lantern RW-101A step '{"kind":"number","value":2.3,"unit":"bar"}' --by 'Shift A'
  lantern-ring procedure s.lantern RW-101A finish --by 'Shift A'

Your plant's procedure rules: where a list here and your plant's procedures, permits and isolation rules differ, theirs hold. Nothing here starts, stops or opens anything.

The exit code is 3 where an entry has stopped the run at its step."#;

/// Who signs.
#[derive(Debug, Args)]
pub struct Signed {
    /// Who signs.
    #[arg(long)]
    pub by: String,
}

/// What is done with a procedure; all but `begin` and `show` with the one under way at the pump.
#[derive(Debug, Subcommand)]
pub enum ProcedureDo {
    /// Begin one
    Begin {
        /// The procedure, as 'procedures' lists it.
        procedure: String,
        /// The pump that stands in, where the procedure takes two.
        #[arg(long)]
        with: Option<String>,
        /// Who signs.
        #[command(flatten)]
        signed: Signed,
    },
    /// Do the step there is now: say it is done, acknowledge it, or enter what it asks for; ends a wait that is over
    Step {
        /// What is entered: an answer or a valve's position as it is, anything else as an entries file has it.
        #[arg(value_parser = entered)]
        entered: Option<Entered>,
        /// Who signs.
        #[command(flatten)]
        signed: Signed,
    },
    /// Leave the step out
    Skip {
        /// Why.
        reason: String,
        /// Who signs.
        #[command(flatten)]
        signed: Signed,
    },
    /// Say who gave permission
    Permit {
        /// Who gave it.
        given_by: String,
        /// Who signs.
        #[command(flatten)]
        signed: Signed,
    },
    /// Begin the wait of the step, or end it before it is over
    Wait {
        /// End it now; why.
        #[arg(long)]
        end: Option<String>,
        /// Who signs.
        #[command(flatten)]
        signed: Signed,
    },
    /// Break it off
    Abort {
        /// Why.
        reason: String,
        /// Who signs.
        #[command(flatten)]
        signed: Signed,
    },
    /// End it, once every step lies behind
    Finish {
        /// Who signs.
        #[command(flatten)]
        signed: Signed,
    },
    /// Show all that was done in a run: the one under way, else the last
    Show {
        /// Another run, as 'procedures' lists it.
        #[arg(long)]
        run: Option<Uuid>,
    },
}

/// An answer, or an entry as an entries file has it.
fn entered(text: &str) -> Result<Entered, String> {
    if text.trim_start().starts_with('{') {
        serde_json::from_str(text).map_err(|error| error.to_string())
    } else {
        Ok(Entered::Choice {
            key: text.to_owned(),
        })
    }
}
