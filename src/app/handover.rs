//! The sheet for the next shift: what was done, found and put right, what is still open, and what was not checked.

use super::{App, AppError, HandFinding, StopStanding, Walk};
use crate::{
    check::{Entered, words},
    plant::{PumpId, Verdict},
    record::{Deed, Stamp},
    report,
    store::{DeedRow, DeedsOf, EntryRow, FindingRow, FindingsOf, VisitRow},
};
use std::collections::BTreeMap;
use uuid::Uuid;

/// Visits, entries and deeds of one handover that are looked through: ten times a busy day's.
const MOST: u32 = 50_000;

/// What a handover is about.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HandoverOf {
    /// From this time on, milliseconds since 1970 UTC.
    pub from_ms: i64,
    /// To before this time.
    pub to_ms: i64,
    /// Only what this operator signed.
    pub by: Option<String>,
}

/// The sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Handover {
    /// What it is about.
    pub of: HandoverOf,
    /// Visits made, the earliest first.
    pub visits: Vec<VisitRow>,
    /// Entries made, passed-over checks not among them.
    pub entries: usize,
    /// Entries out of limits, of each check of each pump the last, the worst first.
    pub found: Vec<EntryRow>,
    /// Findings closed, with what made each good.
    pub made_good: Vec<DeedRow>,
    /// Findings that entries opened and that are still so.
    pub open: Vec<FindingRow>,
    /// Findings opened by hand that nobody has closed.
    pub open_by_hand: Vec<HandFinding>,
    /// Checks passed over, each with its reason.
    pub not_checked: Vec<EntryRow>,
    /// Walks begun in this time.
    pub walks: Vec<Walk>,
    /// Pumps started and stopped.
    pub turned: Vec<Turned>,
}

/// A pump that was started or stopped.
#[derive(Clone, Debug, PartialEq)]
pub struct Turned {
    /// Which pump.
    pub pump: PumpId,
    /// It was started; else stopped.
    pub runs: bool,
    /// When.
    pub at: Stamp,
}

impl App {
    /// The handover of a span of time.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn handover(&self, of: HandoverOf) -> Result<Handover, AppError> {
        let by_whom = |by: &str| of.by.as_deref().is_none_or(|only| only == by);
        let within = |ms: i64| (of.from_ms..of.to_ms).contains(&ms);
        let read = self.store.read();
        let mut visits = read.visits(MOST)?;
        visits.retain(|visit| within(visit.opened.utc_ms) && by_whom(&visit.by));
        visits.reverse();
        let mut entries = read.newest_entries(None, MOST)?;
        entries.retain(|row| within(row.entry.seen_at.utc_ms) && by_whom(&row.by));
        let (passed_over, made): (Vec<_>, Vec<_>) = entries
            .into_iter()
            .partition(|row| matches!(row.entry.entered, Entered::NotChecked { .. }));
        let mut deeds = read.deeds(DeedsOf::Between(of.from_ms, of.to_ms), MOST)?;
        deeds.retain(|row| by_whom(&row.by));
        deeds.reverse();
        Ok(Handover {
            entries: made.len(),
            found: out_of_limits(made),
            not_checked: passed_over.into_iter().rev().collect(),
            open: self.open_findings(FindingsOf::Everything)?,
            open_by_hand: self.all_open_by_hand()?,
            walks: self.walks_of(&deeds)?,
            turned: turned(&deeds),
            made_good: deeds
                .into_iter()
                .filter(|row| matches!(row.deed, Deed::FindingClosed { .. }))
                .collect(),
            visits,
            of,
        })
    }

    fn all_open_by_hand(&self) -> Result<Vec<HandFinding>, AppError> {
        let opened = self
            .store
            .read()
            .deeds(DeedsOf::Kind("finding_opened"), MOST)?;
        let mut pumps: Vec<PumpId> = opened
            .iter()
            .filter_map(|row| row.deed.pump().cloned())
            .collect();
        pumps.sort();
        pumps.dedup();
        let mut open = Vec::new();
        for pump in pumps {
            open.extend(self.hand_findings(&pump, true)?);
        }
        Ok(open)
    }

    fn walks_of(&self, deeds: &[DeedRow]) -> Result<Vec<Walk>, AppError> {
        let runs = deeds.iter().filter_map(|row| match row.deed {
            Deed::RoundBegun { run, .. } => Some(run),
            _ => None,
        });
        runs.map(|run: Uuid| self.walk(run)).collect()
    }
}

fn turned(deeds: &[DeedRow]) -> Vec<Turned> {
    let turned = deeds.iter().filter_map(|row| match &row.deed {
        Deed::PumpTurned {
            pump,
            runs,
            turned_at,
        } => Some(Turned {
            pump: pump.clone(),
            runs: *runs,
            at: *turned_at,
        }),
        _ => None,
    });
    turned.collect()
}

/// Of entries, the newest first, the last of each check that is out of limits; the worst first.
fn out_of_limits(made: Vec<EntryRow>) -> Vec<EntryRow> {
    let mut last = BTreeMap::new();
    for row in made {
        last.entry((row.entry.pump.clone(), row.entry.check))
            .or_insert(row);
    }
    let mut out: Vec<EntryRow> = last
        .into_values()
        .filter(|row| row.entry.judgement.verdict.is_out_of_limits())
        .collect();
    out.sort_by_key(|row| std::cmp::Reverse(row.entry.judgement.verdict));
    out
}

impl Handover {
    /// The sheet as lines of text, each heading with its own below it.
    pub fn text(&self) -> String {
        let mut sheet = Sheet::default();
        sheet.head(&self.of);
        let pumps: std::collections::BTreeSet<_> =
            self.visits.iter().map(|visit| &visit.pump).collect();
        sheet.part(
            "Done",
            [format!(
                "{} to {}, {}",
                report::counted(self.visits.len() as u64, "visit", "visits"),
                report::counted(pumps.len() as u64, "pump", "pumps"),
                report::counted(self.entries as u64, "entry", "entries")
            )],
        );
        sheet.part("Rounds", self.walks.iter().map(walk_words));
        sheet.part("Found", self.found.iter().map(entry_words));
        sheet.part("Put right", self.made_good.iter().map(deed_words));
        let by_entry = self.open.iter().map(|row| entry_words(&row.latest));
        let by_hand = self.open_by_hand.iter().map(|finding| {
            format!(
                "{}: {} ({})",
                finding.pump,
                report::plain(&finding.words),
                finding.severity.words()
            )
        });
        sheet.part("Still open", by_entry.chain(by_hand));
        sheet.part("Not checked", self.not_checked.iter().map(entry_words));
        if !self.turned.is_empty() {
            sheet.part(
                "Started and stopped",
                self.turned.iter().map(|turned| {
                    let did = if turned.runs { "started" } else { "stopped" };
                    format!("{} {did} {}", turned.pump, report::local_time(turned.at))
                }),
            );
        }
        sheet.text
    }
}

#[derive(Default)]
struct Sheet {
    text: String,
}

impl Sheet {
    fn head(&mut self, of: &HandoverOf) {
        let at = |utc_ms| {
            report::local_time(Stamp {
                utc_ms,
                offset_min: 0,
            })
        };
        self.text.push_str(&format!(
            "Handover, {} to {}\n",
            at(of.from_ms),
            at(of.to_ms)
        ));
        if let Some(by) = &of.by {
            self.text
                .push_str(&format!("What {} signed\n", report::plain(by)));
        }
    }

    fn part(&mut self, heading: &str, lines: impl IntoIterator<Item = String>) {
        self.text.push_str(&format!("\n{heading}\n"));
        let before = self.text.len();
        for line in lines {
            self.text.push_str(&format!("  {line}\n"));
        }
        if self.text.len() == before {
            self.text.push_str("  none\n");
        }
    }
}

fn entry_words(row: &EntryRow) -> String {
    let place = words::short_place(row.entry.check.place);
    let sentence = report::plain(&report::sentence(row));
    match row.entry.judgement.verdict {
        Verdict::NotJudged => format!("{} {place}: {sentence}", row.entry.pump),
        verdict => format!(
            "{} {place}: {sentence} ({})",
            row.entry.pump,
            verdict.words()
        ),
    }
}

fn deed_words(row: &DeedRow) -> String {
    let pump = row.deed.pump().map(ToString::to_string).unwrap_or_default();
    let words = report::plain(row.deed.text().unwrap_or_default());
    format!("{pump}: {words}")
}

fn walk_words(walk: &Walk) -> String {
    let made = walk
        .stops
        .iter()
        .filter(|stop| matches!(stop.standing, StopStanding::Visited { .. }));
    let stage = walk.stage.words();
    let mut words = format!(
        "{}: {stage}, {} of {} made, {}",
        walk.round,
        made.count(),
        report::counted(walk.stops.len() as u64, "stop", "stops"),
        report::plain(&walk.by)
    );
    for stop in &walk.stops {
        if let StopStanding::Skipped { reason, .. } = &stop.standing {
            words.push_str(&format!(
                "; {} not made: {}",
                stop.pump,
                report::plain(reason)
            ));
        }
    }
    words
}
