//! What can be written on the command line. The help texts teach; keep them true.

mod procedure;
mod remedies;

pub use procedure::{ProcedureDo, ProcedureTask, Procedures};
pub use remedies::{OneGland, OnePump, Remedies, RemedyTask, TakeBack};

use crate::{
    check::RunningState,
    judge::Verdict,
    language::Language,
    plant::{CheckId, RoundId},
    record::Still,
    report::Format,
};
use clap::{Args, Parser, Subcommand};
use std::path::PathBuf;
use uuid::Uuid;

/// Rounds for the people who look after centrifugal pumps.
///
/// `demo` and `open` show the window. The other commands do the same work without one: a plant folder becomes a
/// store, tags are drawn and read, entries are recorded and judged, a bundle goes to the planner, who imports it.
#[derive(Debug, Parser)]
#[command(name = "lantern-ring", version, after_help = EXAMPLES)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub face: Face,
    /// Speak this language where entries are judged and handed over: en, de or es.
    #[arg(long, global = true, value_name = "CODE")]
    pub language: Option<Language>,
}

const EXAMPLES: &str = "\
A whole job, from a plant folder to the planner's list:

  lantern-ring make-store demo-plant operator.lantern
  lantern-ring tags operator.lantern tags
  lantern-ring read --store operator.lantern tags/ST-101.png
  lantern-ring checks operator.lantern ST-101
  lantern-ring record operator.lantern entries.jsonl --by 'Shift A'
  lantern-ring bundle operator.lantern monday.lrbundle
  lantern-ring make-store demo-plant planner.lantern
  lantern-ring import planner.lantern monday.lrbundle
  lantern-ring findings planner.lantern --format csv

'lantern-ring record --help' shows an entries file. A store is one file, used by one Lantern Ring at a time.

Exit codes: 0 done; 1 refused, and nothing changed; 2 the command line was not understood; 3 done, but something is \
wrong with what was looked at: an entry out of limits, a picture without a pump, a file not taken in, a damaged record.";

/// The window, or one task without it.
#[derive(Debug, Subcommand)]
pub enum Face {
    /// Open the window on the demo plant, making its store first if it is not there.
    Demo(Demo),
    /// Open the window on a store.
    Open(OneStore),
    /// A task without the window.
    #[command(flatten)]
    Task(Task),
}

/// A task without the window.
#[derive(Debug, Subcommand)]
pub enum Task {
    /// Make a store from a plant folder.
    MakeStore(MakeStore),
    /// Make the demo: a planner's store with generated history, and the two devices' bundles.
    MakeDemo(MakeDemo),
    /// Take a changed plant folder into a store.
    TakePlant(MakeStore),
    /// List a store's pumps: number, short id, name, service.
    Pumps(OneStore),
    /// Draw a tag for every pump, PNG and SVG.
    Tags(Tags),
    /// Read the codes in pictures, and say which pump they stand for.
    Read(Read),
    /// List a pump's checks in walking order, then those made on request.
    Checks(Checks),
    /// Record entries from a JSON Lines file, judging each.
    Record(Record),
    /// Write a bundle for the planner: everything recorded since the last one.
    Bundle(Bundle),
    /// Take bundles in; a second time changes nothing.
    Import(Import),
    /// List findings, opened by entries and by hand, the newest first.
    Findings(Findings),
    /// List entries, the newest first.
    Entries(Listing),
    /// Check a store's whole content against its hashes.
    Verify(OneStore),
    /// List the rounds: what is due first, how far each is
    Rounds(OneStore),
    /// Begin, lay aside, take over or end a round, or pass over a stop
    Round(RoundTask),
    /// Open a finding by hand, say how one stands, or close it
    Finding(FindingTask),
    /// List a pump's procedures and its last runs, or every run under way
    Procedures(Procedures),
    /// Begin a procedure, go through its steps, or break it off
    Procedure(ProcedureTask),
    /// Write the sheet for the next shift
    Handover(HandoverTask),
    /// Write down what was put right, and see what proves it
    Remedy(RemedyTask),
    /// Take back what was written down as put right by mistake
    TakeBackRemedy(TakeBack),
    /// List what was put right, with what proved it, what was done last first
    Remedies(Remedies),
    /// List what was put right within a day and is not proved yet: how long to wait, which check to make
    Waits(OneStore),
    /// Say how a gland has answered to its nuts, and what to turn
    Gland(OneGland),
    /// Say which bearing is to be greased when, how much and how often by its size, and how much oil is used
    Lubrication(OnePump),
    /// Say how long pumps ran, and which of a pair is ahead
    Hours(HoursTask),
    /// List what is due by running hours and by the calendar, and what bearings want by their size
    Due(OneStore),
    /// Work out what a visit's entries come to: leak-off, head, suction margin, flow, power
    WorkOut(OneVisit),
    /// Say which causes fit a visit's entries, and which check tells them apart
    Causes(OneVisit),
    /// Say how a check's readings go, and how long they have to a limit
    Trend(OneCheck),
    /// Make a store's tables anew from its journal.
    Rebuild(OneStore),
    /// Copy a store to a new file, to keep elsewhere.
    Backup(Backup),
}

/// The demo's window.
#[derive(Debug, Args)]
pub struct Demo {
    /// Plant folder of the demo.
    #[arg(long, default_value = "demo-plant")]
    pub plant: PathBuf,
    /// Folder the demo's store and bundles are made in.
    #[arg(long, default_value = "target/demo")]
    pub folder: PathBuf,
}

/// One store.
#[derive(Debug, Args)]
pub struct OneStore {
    /// The store.
    pub store: PathBuf,
}

/// A plant folder and a store.
#[derive(Debug, Args)]
pub struct MakeStore {
    /// Folder with plant.toml, pumps/, limits/, rounds/ and procedures/.
    pub plant: PathBuf,
    /// The store.
    pub store: PathBuf,
}

/// The demo's files.
#[derive(Debug, Args)]
pub struct MakeDemo {
    /// Plant folder of the demo.
    pub plant: PathBuf,
    /// Folder to write into.
    pub out: PathBuf,
    /// Days of history.
    #[arg(long, default_value_t = super::DEMO_DAYS)]
    pub days: u32,
    /// Seed of the generator: the same seed gives the same history.
    #[arg(long, default_value_t = super::DEMO_SEED)]
    pub seed: u64,
}

/// Tags of a store's plant.
#[derive(Debug, Args)]
pub struct Tags {
    /// The store.
    pub store: PathBuf,
    /// Folder to write PUMP.png, PUMP.svg and tags.tsv into.
    pub out: PathBuf,
    /// Pixels a module; 12 prints 1 mm modules at 300 dpi.
    #[arg(long, default_value_t = 12, value_parser = clap::value_parser!(u32).range(1..=64))]
    pub module_px: u32,
}

/// Pictures with codes.
#[derive(Debug, Args)]
pub struct Read {
    /// The store whose pumps are looked for; without it the codes' texts are printed.
    #[arg(long)]
    pub store: Option<PathBuf>,
    /// Pictures, or folders of pictures.
    #[arg(required = true)]
    pub pictures: Vec<PathBuf>,
}

/// A pump's checks.
#[derive(Debug, Args)]
pub struct Checks {
    /// The store.
    pub store: PathBuf,
    /// The pump: its number, its short id or the text of its tag.
    pub pump: String,
    /// What the pump is doing: running, standby or out-of-service; without it, as at its last visit.
    #[arg(long, value_parser = running)]
    pub running: Option<RunningState>,
}

/// Entries to record.
#[derive(Debug, Args)]
#[command(after_help = ENTRIES)]
pub struct Record {
    /// The store.
    pub store: PathBuf,
    /// The JSON Lines file; - for standard input.
    pub file: PathBuf,
    /// Who signs.
    #[arg(long)]
    pub by: String,
    /// Go on in this visit, which must be open: only entries of its pump are taken.
    #[arg(long)]
    pub visit: Option<Uuid>,
    /// Leave the last visit open, so that it can be gone on with.
    #[arg(long)]
    pub stay: bool,
}

const ENTRIES: &str = r#"One entry a line; lines of one pump in a row make one visit. All lines are taken, or none:

  {"pump":"ST-101","running":"running","check":"leak_off@seal_de","entered":{"kind":"count","drops":24,"seconds":60}}
  {"pump":"ST-101","check":"leak_off@seal_de","entered":{"kind":"stream","millilitres":3,"seconds":90}}
  {"pump":"ST-101","check":"gland_heat@seal_de","entered":{"kind":"feel","step":1}}
  {"pump":"ST-101","check":"discharge_pressure@discharge","entered":{"kind":"number","value":2.3,"unit":"bar"}}
  {"pump":"ST-101","check":"oiler_level@pump_de","entered":{"kind":"level","percent":60}}
  {"pump":"ST-101","check":"oil_look@pump_de","entered":{"kind":"not_checked","reason":"guarded"}}
  {"pump":"ST-101","check":"leak_off@seal_de","photo":"leak.jpg","words":"left"}

'lantern-ring checks' lists a pump's checks and what can stand for "entered". A leak that runs too fast to count is caught in a cup, a stream; it is judged in drops where the plant states how many it takes as one mL. In place of "pump", "tag" takes the text of a scanned tag or a short id. Without "running" (running, standby, out_of_service) it is as at the last visit. A photo's path starts at the entries file's folder; "marks" and "words" may go with it.

Each entry taken is told in a line: record, pump, check, verdict, a sentence and the visit, with tabs between. What a visit's entries come to together, 'causes' says, with the check to look at next: record with --stay, then go on with --visit and the visit that was told, so that the new entry is weighed with those before. The exit code is 3 where one is out of limits."#;

fn running(text: &str) -> Result<RunningState, String> {
    match text.replace('_', "-").as_str() {
        "running" => Ok(RunningState::Running),
        "standby" => Ok(RunningState::Standby),
        "out-of-service" => Ok(RunningState::OutOfService),
        _ => Err("write running, standby or out-of-service".to_owned()),
    }
}

/// A bundle to write.
#[derive(Debug, Args)]
pub struct Bundle {
    /// The store.
    pub store: PathBuf,
    /// The file to write, usually with the ending .lrbundle.
    pub file: PathBuf,
    /// Everything this device ever recorded, not only what is new since the last bundle.
    #[arg(long)]
    pub everything: bool,
}

/// Bundles to take in.
#[derive(Debug, Args)]
pub struct Import {
    /// The store.
    pub store: PathBuf,
    /// The bundles.
    #[arg(required = true)]
    pub files: Vec<PathBuf>,
}

/// A list to write.
#[derive(Debug, Args)]
pub struct Listing {
    /// The store.
    pub store: PathBuf,
    /// Only of this pump: its number, its short id or the text of its tag.
    #[arg(long)]
    pub pump: Option<String>,
    /// How it is written: text, json or csv.
    #[arg(long, default_value = "text")]
    pub format: Format,
    /// At most so many, the newest.
    #[arg(long, default_value_t = 1000)]
    pub most: u32,
}

/// Findings to list.
#[derive(Debug, Args)]
pub struct Findings {
    /// The list.
    #[command(flatten)]
    pub list: Listing,
    /// Only those that are still so.
    #[arg(long)]
    pub open: bool,
    /// Only this one, as text with its likely cause and all that was said of it.
    #[arg(long, conflicts_with_all = ["open", "pump"])]
    pub finding: Option<Uuid>,
}

/// A copy to make.
#[derive(Debug, Args)]
#[command(after_help = "\
The copy opens like any store, and can be gone on with where the first one is lost: from the first thing written in it \
on it counts as a device of its own, for two stores that write under one name would contradict each other. 'bundle' \
then also carries what the first one had not sent yet.")]
pub struct Backup {
    /// The store.
    pub store: PathBuf,
    /// The new file.
    pub to: PathBuf,
}

/// A visit to a pump.
#[derive(Debug, Args)]
pub struct OneVisit {
    /// The store.
    pub store: PathBuf,
    /// The pump: its number, its short id or its tag's text.
    pub pump: String,
    /// The visit; without it the pump's last one.
    #[arg(long)]
    pub visit: Option<Uuid>,
    /// Show the working too: inputs, formula, source.
    #[arg(long)]
    pub working: bool,
}

/// A check of a pump.
#[derive(Debug, Args)]
pub struct OneCheck {
    /// The store.
    pub store: PathBuf,
    /// The pump: its number, its short id or its tag's text.
    pub pump: String,
    /// The check, as 'checks' lists it, for example bearing_temperature@pump_de.
    pub check: CheckId,
    /// As it stood so many days ago.
    #[arg(long, default_value_t = 0)]
    pub days_ago: u32,
    /// Show the working too: inputs, formula, source.
    #[arg(long)]
    pub working: bool,
}

/// A round.
#[derive(Debug, Args)]
pub struct RoundTask {
    /// The store.
    pub store: PathBuf,
    /// The round, as 'rounds' lists it.
    pub round: RoundId,
    /// Who signs.
    #[arg(long)]
    pub by: String,
    /// What to do.
    #[command(subcommand)]
    pub what: RoundDo,
}

/// What is done with a round.
#[derive(Debug, Subcommand)]
pub enum RoundDo {
    /// Begin it, or see how far it is
    Begin,
    /// Lay it aside
    Pause,
    /// Go on with it, or take it over
    Resume,
    /// Pass over a stop
    Skip {
        /// The pump.
        pump: String,
        /// Why.
        reason: String,
    },
    /// End it
    End {
        /// Why the stops still open were not made.
        #[arg(long)]
        rest: Option<String>,
    },
}

/// A finding.
#[derive(Debug, Args)]
pub struct FindingTask {
    /// The store.
    pub store: PathBuf,
    /// Who signs.
    #[arg(long)]
    pub by: String,
    /// What to do.
    #[command(subcommand)]
    pub what: FindingDo,
}

/// What is done with a finding.
#[derive(Debug, Subcommand)]
pub enum FindingDo {
    /// Open one by hand
    Open {
        /// The pump.
        pump: String,
        /// How bad it is: watch, act or stop_pump.
        #[arg(value_parser = severity)]
        severity: Verdict,
        /// What it is.
        words: String,
        /// What it likely comes from.
        #[arg(long)]
        cause: Option<String>,
    },
    /// Keep a photo of one opened by hand
    Photo {
        /// The finding.
        finding: Uuid,
        /// The picture, JPEG or PNG.
        file: PathBuf,
        /// What it shows.
        #[arg(default_value = "")]
        words: String,
    },
    /// Say how one stands: same, worse, better or gone
    See {
        /// The finding, as 'finding open' printed it and 'findings' lists it last in its line.
        finding: Uuid,
        /// How it stands.
        #[arg(value_parser = still)]
        still: Still,
        /// What was seen or done.
        #[arg(default_value = "")]
        words: String,
    },
    /// Close one
    Close {
        /// The finding, as 'finding open' printed it and 'findings' lists it last in its line.
        finding: Uuid,
        /// What made it good.
        made_good: String,
    },
}

/// A handover.
#[derive(Debug, Args)]
pub struct HandoverTask {
    /// The store.
    pub store: PathBuf,
    /// How many hours back it reaches.
    #[arg(long, default_value_t = 12)]
    pub hours: u32,
    /// Only what this operator signed.
    #[arg(long)]
    pub by: Option<String>,
    /// Only this walk of a round, by its identity; its own time then counts.
    #[arg(long, conflicts_with = "hours")]
    pub walk: Option<Uuid>,
    /// Write it to this new file: a PDF where it ends in .pdf, text where in .txt.
    #[arg(long)]
    pub to: Option<PathBuf>,
}

/// Running hours.
#[derive(Debug, Args)]
pub struct HoursTask {
    /// The store.
    pub store: PathBuf,
    /// Only this pump: its number, short id or tag's text.
    #[arg(long)]
    pub pump: Option<String>,
    /// Over how many days back.
    #[arg(long, default_value_t = 365)]
    pub days: u32,
    /// Show the formula and its source too.
    #[arg(long)]
    pub working: bool,
}

fn severity(text: &str) -> Result<Verdict, String> {
    let known = [Verdict::Watch, Verdict::Act, Verdict::StopPump];
    known
        .into_iter()
        .find(|verdict| verdict.key() == text)
        .ok_or_else(|| "use watch, act or stop_pump".to_owned())
}

fn still(text: &str) -> Result<Still, String> {
    [Still::Same, Still::Worse, Still::Better, Still::Gone]
        .into_iter()
        .find(|still| still.key() == text)
        .ok_or_else(|| "use same, worse, better or gone".to_owned())
}
