//! What can go wrong at the door.

use super::Unsound;
use crate::{
    check::{BadEntry, RunningState, words},
    exchange,
    photo::{PhotoError, marks::MarkError},
    plant::{CheckId, PlantFault, PlantId, PumpId, RoundId},
    procedure::{CannotBegin, CannotReplay, Refused},
    remedy::BadRemedy,
    say,
    store::StoreError,
    tag::{payload::HostError, short_id::ShortIdsError},
};
use std::{
    io,
    path::{Path, PathBuf},
};
use uuid::Uuid;

/// Why a command or question was refused. Nothing has changed then.
#[derive(Debug, thiserror::Error)]
pub enum AppError {
    /// The store refused.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The entry can't be what was found.
    #[error(transparent)]
    BadEntry(#[from] BadEntry),
    /// A mark on a picture can't be used.
    #[error(transparent)]
    Marks(#[from] MarkError),
    /// The picture can't be used.
    #[error(transparent)]
    Photo(#[from] PhotoError),
    /// The bundle was refused.
    #[error(transparent)]
    Bundle(#[from] exchange::Refused),
    /// A record in the bundle is not one that this program would have written.
    #[error("{}", say!(
        "the bundle was not taken in: its record {seq} {why}. Update Lantern Ring here and on the device and send everything again; if it is refused again, keep the file and tell whoever looks after the devices",
        seq,
        why
    ))]
    Unsound {
        /// The record's number.
        seq: u64,
        /// What is wrong.
        why: Unsound,
    },
    /// The bundle could not be written.
    #[error(transparent)]
    BundleNotWritten(#[from] exchange::NotWritten<StoreError>),
    /// The folder for unpacking failed.
    #[error("{}", say!(
        "the bundle can't be unpacked beside the store ({why}); look whether the disk has room, then take it in again",
        why = _0
    ))]
    Staging(#[source] io::Error),
    /// The plant's faults.
    #[error("{}", say!("the plant can't be taken:\n{faults}", faults = lines(_0)))]
    BadPlant(Vec<PlantFault>),
    /// The plant's tag host can't be printed.
    #[error(transparent)]
    Host(#[from] HostError),
    /// Two pumps can't be told apart by their tags.
    #[error(transparent)]
    Tags(#[from] ShortIdsError),
    /// No plant yet.
    #[error("{}", say!(
        "this store holds no plant yet: make one from a plant folder with 'lantern-ring make-store'"
    ))]
    NoPlant,
    /// A plant that is here already, or older.
    #[error("{}", say!(
        "{name} is here in version {here}, and that file has version {there}: ask the planner for a copy of the changed store",
        name,
        here,
        there
    ))]
    PlantNotNewer {
        /// The plant's name.
        name: String,
        /// The version here.
        here: u32,
        /// The version offered.
        there: u32,
    },
    /// The store's plant can't be read.
    #[error("{}", say!(
        "the plant in this store can't be read ({why}): take the plant in again",
        why = _0
    ))]
    PackUnreadable(serde_json::Error),
    /// A plant of another id.
    #[error("{}", say!(
        "this store is of plant {here}; a plant {there} needs a store of its own",
        here,
        there
    ))]
    OtherPlant {
        /// The store's plant.
        here: PlantId,
        /// The plant offered.
        there: PlantId,
    },
    /// A name that can't sign.
    #[error("{}", say!("a name to sign with has 1 to 60 characters"))]
    BadOperator,
    /// A pump that is not in the plant.
    #[error("{}", say!(
        "pump {pump} is not in this plant: look at the number again, or ask the planner for the newest plant",
        pump = _0
    ))]
    UnknownPump(PumpId),
    /// A check this pump never has.
    #[error("{}", say!(
        "pump {pump} has no check {check}, whatever it is doing: 'lantern-ring checks' lists those it has, with their places",
        pump,
        check
    ))]
    UnknownCheck {
        /// The pump.
        pump: PumpId,
        /// The check.
        check: CheckId,
    },
    /// A check this pump doesn't have as it is now.
    #[error("{}", say!(
        "pump {pump} has the check {check} only while {states}, and this visit has it {now}: say what the pump is doing first",
        pump,
        check,
        states = states(only_while),
        now = words::running_state(*running)
    ))]
    NotInThisState {
        /// The pump.
        pump: PumpId,
        /// The check.
        check: CheckId,
        /// What the visit says the pump is doing.
        running: RunningState,
        /// The states in which it has the check.
        only_while: Vec<RunningState>,
    },
    /// A visit that is not there.
    #[error("{}", say!("there is no visit {visit} in this store: open the pump again", visit = _0))]
    UnknownVisit(Uuid),
    /// A visit that is over.
    #[error("{}", say!("this visit is over: open the pump again to enter more"))]
    VisitOver(Uuid),
    /// An entry that is not there, or no longer.
    #[error("{}", say!(
        "that entry is not here or was put right or taken back already: open the pump again to see what holds"
    ))]
    UnknownEntry(Uuid),
    /// A finding that is not there.
    #[error("{}", say!(
        "there is no finding {finding} in this store; go back and read the list anew",
        finding = _0
    ))]
    UnknownFinding(Uuid),
    /// A round that is not in the plant.
    #[error("{}", say!(
        "there is no round {round} in this plant; its rounds are {rounds}",
        round,
        rounds = known_rounds(known)
    ))]
    UnknownRound {
        /// As it was named.
        round: RoundId,
        /// Those there are.
        known: Vec<RoundId>,
    },
    /// A walk that is not there.
    #[error("{}", say!(
        "there is no walk {walk} of a round in this store: begin the round",
        walk = _0
    ))]
    UnknownWalk(Uuid),
    /// A round nobody is on.
    #[error("{}", say!("nobody is on the round {round}: begin it first", round = _0))]
    NoWalk(RoundId),
    /// A round that is over.
    #[error("{}", say!("this round is over: begin it anew to walk it again"))]
    RoundOver,
    /// A pump that is no stop of the round.
    #[error("{}", say!(
        "pump {pump} is no stop of this round, so there is nothing to pass over",
        pump = _0
    ))]
    NotOnRound(PumpId),
    /// Stops nobody was at, and checks nobody made.
    #[error("{}", say!("{what}: go there, or say why not", what = unexplained(stops, checks)))]
    Unexplained {
        /// Pumps nobody was at.
        stops: Vec<PumpId>,
        /// Pumps where so many checks are missing.
        checks: Vec<(PumpId, usize)>,
    },
    /// No reason, or too long a one.
    #[error("{}", say!("say it in 1 to {most} characters; these were {chars}", most, chars))]
    BadReason {
        /// How many there were.
        chars: usize,
        /// How many fit.
        most: usize,
    },
    /// A finding that no word closes.
    #[error("{}", say!(
        "an entry opened this finding: make the check again, and the first entry in limits ends it"
    ))]
    OpenedByEntry,
    /// A remedy that can't have been done so.
    #[error(transparent)]
    BadRemedy(#[from] BadRemedy),
    /// A gland whose nuts are to be left alone.
    #[error("{}", say!(
        "{reason} Leave the gland nuts as they are; if they were turned all the same, write down in own words by whom and how far",
        reason = _0
    ))]
    LeaveTheNuts(String),
    /// A cup is to be held under hot or hazardous liquid.
    #[error("{}", say!(
        "hold no cup there: the liquid is hot or hazardous. Count the drops from where you stand, or enter that it can't be counted and why, and tell the shift supervisor"
    ))]
    HoldNoCup,
    /// A remedy in another pump's visit, or for another pump's finding.
    #[error("{}", say!(
        "that visit or finding is of pump {pump}: write down what was done at the pump it was done at",
        pump = _0
    ))]
    AtOtherPump(PumpId),
    /// A remedy done at a time that has not come.
    #[error("{}", say!(
        "that is said to have been done at a time that has not come: look at the device's clock, and say when it was"
    ))]
    DoneLater,
    /// A remedy that is not there, or no longer.
    #[error("{}", say!(
        "there is no such thing put right in this store, or it was taken back: read the list anew"
    ))]
    UnknownRemedy(Uuid),
    /// A photo of a finding that an entry opened.
    #[error("{}", say!("an entry opened this finding: photograph its check in the visit"))]
    PhotoOfEntry,
    /// A photo of nowhere.
    #[error("{}", say!(
        "no visit is open at pump {pump} that the photo could belong to: go to the pump first",
        pump = _0
    ))]
    NoVisitForPhoto(PumpId),
    /// A finding that is none.
    #[error("{}", say!(
        "say how bad it is: to be watched, to be acted on, or to stop the pump for"
    ))]
    NoSeverity,
    /// A procedure that can't be begun there.
    #[error(transparent)]
    CannotBegin(#[from] CannotBegin),
    /// Something that can't be done in a procedure's run now.
    #[error(transparent)]
    Procedure(#[from] Refused),
    /// A run whose records make none.
    #[error(transparent)]
    CannotReplay(#[from] CannotReplay),
    /// A procedure that is not in the plant.
    #[error("{}", say!(
        "there is no procedure '{procedure}' in this plant: look at the pump's list again",
        procedure = _0
    ))]
    UnknownProcedure(String),
    /// A run that is not there.
    #[error("{}", say!(
        "there is no run {run} of a procedure in this store: begin the procedure",
        run = _0
    ))]
    UnknownRun(Uuid),
    /// No run at a pump.
    #[error("{}", say!("no procedure was begun at pump {pump}: begin one", pump = _0))]
    NoRun(PumpId),
    /// Another run at the same pump.
    #[error("{}", say!(
        "'{name}' is under way at pump {pump}, begun by {by}: go on with it, or break it off with a reason, before another is begun there",
        name,
        pump,
        by
    ))]
    UnderWay {
        /// The procedure under way.
        name: String,
        /// The pump of it that is wanted.
        pump: PumpId,
        /// Who began it.
        by: String,
    },
    /// A code that can't be adopted.
    #[error("{}", say!("the code '{code}' can't stand for pump {pump}: {why}", code, pump, why))]
    NotAdopted {
        /// The pump.
        pump: PumpId,
        /// The code.
        code: String,
        /// Why not.
        why: String,
    },
    /// A file that is no bundle is in the way.
    #[error("{}", say!(
        "{file} is there already and is no bundle, so it was left as it is; choose another name",
        file = _0.display()
    ))]
    NotOverwritten(PathBuf),
    /// Nothing to send.
    #[error("{}", say!(
        "nothing has been recorded since the last bundle; to send everything again, ask for everything (--everything)"
    ))]
    NothingToSend,
    /// A bundle that can't be read.
    #[error("{}", say!(
        "the file can't be read ({why}); look at its name, and whether it may be opened, and take it in again",
        why = _0
    ))]
    BundleNotRead(#[source] io::Error),
    /// A file that can't be written.
    #[error("{}", say!(
        "{path}: {source}; look whether the folder is there, can be written and has room",
        path = path.display(),
        source
    ))]
    File {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

impl AppError {
    pub(crate) fn file(path: &Path, source: io::Error) -> Self {
        Self::File {
            path: path.to_owned(),
            source,
        }
    }
}

fn known_rounds(rounds: &[RoundId]) -> String {
    let names: Vec<_> = rounds.iter().map(ToString::to_string).collect();
    match names[..] {
        [] => say!("of rounds" => "none").to_owned(),
        _ => names.join(", "),
    }
}

fn unexplained(stops: &[PumpId], checks: &[(PumpId, usize)]) -> String {
    let names: Vec<_> = stops.iter().map(ToString::to_string).collect();
    let mut parts = Vec::new();
    if !names.is_empty() {
        parts.push(say!("nobody was at {pumps}", pumps = names.join(", ")));
    }
    let missing = checks.iter().map(|(pump, count)| match count {
        1 => say!("at {pump} 1 check is missing", pump),
        _ => say!("at {pump} {count} checks are missing", pump, count),
    });
    parts.extend(missing);
    parts.join("; ")
}

fn states(states: &[RunningState]) -> String {
    let names = states
        .iter()
        .map(|state| words::running_state(*state).to_owned());
    names
        .reduce(|first, second| say!("{first} or {second}", first, second))
        .unwrap_or_default()
}

fn lines(faults: &[PlantFault]) -> String {
    let lines: Vec<_> = faults.iter().map(ToString::to_string).collect();
    lines.join("\n")
}
