//! The sheet for the next shift: what was done, found and put right, what is still open, what was not checked and why.
//!
//! A [`Handover`] is what was recorded, nothing else; [`Handover::sheet`] puts it into the words of a page.

mod choose;
mod save;
mod sheet;
mod turned;

pub use choose::{HandoverChoices, SHIFT_HOURS, WalkBegun};
pub use save::SheetNotWritten;
pub use turned::{ChangedOver, ProcedureGone, Turned};

use super::{App, AppError, HandFinding, RemedyNow, StopStanding, Walk, followed};
use crate::{
    check::Entered,
    plant::{PumpId, Round, RoundId},
    record::{Deed, Stamp},
    store::{
        DeedRow, DeedsOf, EntryRow, FindingRow, FindingsOf, PhotoRow, PhotosOf, Span, VisitRow,
    },
};
use std::collections::{BTreeMap, BTreeSet};
use uuid::Uuid;

/// Visits, entries and deeds of one handover that are looked through: ten times a busy day's.
const MOST: u32 = 50_000;
/// A visit on another device belongs to a walk though its clock is this far off.
const CLOCKS_APART_MS: i64 = 5 * 60 * 1000;

/// What a handover is about.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HandoverOf {
    /// From this time on, milliseconds since 1970 UTC.
    pub from_ms: i64,
    /// To before this time.
    pub to_ms: i64,
    /// Only what this operator signed.
    pub by: Option<String>,
    /// Only this walk of a round; its own time then counts.
    pub walk: Option<Uuid>,
}

/// What was recorded.
#[derive(Clone, Debug, PartialEq)]
pub struct Handover {
    /// What it is about.
    pub of: HandoverOf,
    /// When it was made.
    pub written: Stamp,
    /// Who made it.
    pub written_by: String,
    /// The plant's name.
    pub plant: String,
    /// Visits made, the earliest first.
    pub visits: Vec<VisitRow>,
    /// Entries made, passed-over checks not among them.
    pub entries: u64,
    /// Entries out of limits, of each check of each pump the last, the worst first.
    pub found: Vec<EntryRow>,
    /// Findings opened by hand.
    pub found_by_hand: Vec<HandFinding>,
    /// Findings looked at again.
    pub seen_again: Vec<FindingSaid>,
    /// What was done about troubles, the earliest first, with what proves it by now.
    pub remedies: Vec<RemedyNow>,
    /// What was not right about them, by their identity.
    pub warnings: BTreeMap<Uuid, Vec<String>>,
    /// Entries that brought a check back into limits, of each check the last.
    pub back_in_limits: Vec<EntryRow>,
    /// Findings closed, with what made each good.
    pub made_good: Vec<FindingSaid>,
    /// Findings that entries opened and that are still so, each with its photos.
    pub open: Vec<(FindingRow, Vec<PhotoRow>)>,
    /// Findings opened by hand that nobody has closed.
    pub open_by_hand: Vec<HandFinding>,
    /// Checks passed over, each with its reason.
    pub not_checked: Vec<EntryRow>,
    /// Walks that were begun, gone on with or ended.
    pub walks: Vec<Walk>,
    /// The names of the plant's rounds.
    pub rounds: BTreeMap<RoundId, String>,
    /// Pumps that took each other's place.
    pub changed_over: Vec<ChangedOver>,
    /// Pumps started and stopped.
    pub turned: Vec<Turned>,
    /// Procedures begun or gone on with.
    pub procedures: Vec<ProcedureGone>,
    /// Photos taken in the visits.
    pub photos: Vec<PhotoRow>,
}

/// Something said of a finding.
#[derive(Clone, Debug, PartialEq)]
pub struct FindingSaid {
    /// What was said.
    pub row: DeedRow,
    /// Which finding: what somebody wrote, or the check that was out of limits; empty where it is not known here.
    pub finding: String,
}

/// The part of the plant and of time that a handover looks at.
struct Scope {
    of: HandoverOf,
    /// The walk, where it is about one.
    walk: Option<Walk>,
}

impl Scope {
    fn span(&self) -> Span<'_> {
        let apart = if self.walk.is_some() {
            CLOCKS_APART_MS
        } else {
            0
        };
        Span {
            from_ms: self.of.from_ms.saturating_sub(apart),
            to_ms: self.of.to_ms.saturating_add(apart),
            by: self.of.by.as_deref(),
        }
    }

    fn has_pump(&self, pump: &PumpId) -> bool {
        let walk = self.walk.as_ref();
        walk.is_none_or(|walk| walk.stops.iter().any(|stop| &stop.pump == pump))
    }

    fn has_deed(&self, row: &DeedRow) -> bool {
        if self.of.by.as_deref().is_some_and(|by| by != row.by) {
            return false;
        }
        let Some(walk) = &self.walk else { return true };
        match row.deed.pump() {
            Some(pump) => self.has_pump(pump),
            None => row.deed.subject() == Some(walk.run),
        }
    }
}

impl App {
    /// The handover of a span of time, or of one walk of a round.
    ///
    /// # Errors
    /// Where the walk is not there, or the store can't be read.
    pub fn handover(&mut self, of: HandoverOf) -> Result<Handover, AppError> {
        let written = self.now();
        let register = self.register()?;
        let scope = self.scope(of, written)?;
        let visits = self.visits_of(&scope)?;
        let made_in: BTreeSet<Uuid> = visits.iter().map(|visit| visit.visit).collect();
        let belongs = |row: &EntryRow| scope.walk.is_none() || made_in.contains(&row.entry.visit);
        let read = self.store.read();
        let mut told = read.told_within(scope.span(), MOST)?;
        told.retain(belongs);
        let mut back_in_limits = read.put_right_within(scope.span(), MOST)?;
        back_in_limits.retain(belongs);
        let (not_checked, told): (Vec<_>, Vec<_>) = told
            .into_iter()
            .partition(|row| matches!(row.entry.entered, Entered::NotChecked { .. }));
        let all = match scope.walk {
            None => read.count_within(scope.span())?,
            Some(_) => visits.iter().map(|visit| u64::from(visit.entries)).sum(),
        };
        let mut deeds = read.deeds(DeedsOf::Between(scope.of.from_ms, scope.of.to_ms), MOST)?;
        deeds.retain(|row| scope.has_deed(row));
        deeds.reverse();
        let turned = turned::turned(&deeds);
        let of_kind = |is: fn(&Deed) -> bool| -> Vec<DeedRow> {
            let rows = deeds.iter().filter(|row| is(&row.deed));
            rows.cloned().collect()
        };
        let remedies = self.proved_of(&deeds)?;
        let mut warnings = BTreeMap::new();
        for now in &remedies {
            warnings.insert(now.row.remedy, self.warnings_about(&now.row)?);
        }
        Ok(Handover {
            entries: all.saturating_sub(not_checked.len() as u64),
            found: worst_first(last_of_each(told)),
            found_by_hand: self.opened_within(&deeds)?,
            seen_again: self.said_of(of_kind(|deed| matches!(deed, Deed::FindingSeen { .. })))?,
            remedies,
            warnings,
            back_in_limits: last_of_each(back_in_limits),
            made_good: self.said_of(of_kind(|deed| matches!(deed, Deed::FindingClosed { .. })))?,
            open: self.open_within(&scope)?,
            open_by_hand: self.all_open_by_hand(&scope)?,
            not_checked,
            walks: self.walks_of(&deeds, &scope)?,
            rounds: named(&register.plant().rounds),
            changed_over: turned::changed_over(&turned, register.plant()),
            turned,
            procedures: self.procedures_of(&deeds)?,
            photos: self.photos_of(&visits)?,
            plant: register.plant().name.clone(),
            written,
            written_by: self.operator.clone(),
            visits,
            of: scope.of,
        })
    }

    /// What these deeds say, with the finding each is about.
    fn said_of(&self, deeds: Vec<DeedRow>) -> Result<Vec<FindingSaid>, AppError> {
        let said = deeds.into_iter().map(|row| {
            let finding = match row.deed.subject().map(|finding| self.finding(finding)) {
                Some(Ok(followed)) => followed.name(),
                // It was opened on a device whose own records have not come yet.
                None | Some(Err(AppError::UnknownFinding(_))) => String::new(),
                Some(Err(error)) => return Err(error),
            };
            Ok(FindingSaid { row, finding })
        });
        said.collect()
    }

    /// What these deeds put right and holds, the earliest first, with what proves it by now.
    fn proved_of(&mut self, deeds: &[DeedRow]) -> Result<Vec<RemedyNow>, AppError> {
        let done = deeds.iter().filter_map(|row| match row.deed {
            Deed::Remedied { remedy, .. } => Some(remedy),
            _ => None,
        });
        let mut proved = Vec::new();
        for remedy in done {
            match self.remedy_now(remedy) {
                Ok(now) => proved.push(now),
                // It was taken back.
                Err(AppError::UnknownRemedy(_)) => {}
                Err(why) => return Err(why),
            }
        }
        Ok(proved)
    }

    fn scope(&self, of: HandoverOf, now: Stamp) -> Result<Scope, AppError> {
        let Some(run) = of.walk else {
            return Ok(Scope { of, walk: None });
        };
        let walk = self.walk(run)?;
        let ended_ms = walk.ended.unwrap_or(now).utc_ms;
        Ok(Scope {
            of: HandoverOf {
                from_ms: walk.begun.utc_ms,
                // What was written down within that very millisecond belongs to it.
                to_ms: ended_ms.saturating_add(1),
                ..of
            },
            walk: Some(walk),
        })
    }

    fn visits_of(&self, scope: &Scope) -> Result<Vec<VisitRow>, AppError> {
        let Some(walk) = &scope.walk else {
            return Ok(self.store.read().visits_within(scope.span(), MOST)?);
        };
        let made = walk.stops.iter().filter_map(|stop| match stop.standing {
            StopStanding::Visited { visit, .. } | StopStanding::BeingVisited { visit, .. } => {
                Some(visit)
            }
            _ => None,
        });
        let mut visits = made
            .map(|visit| self.visit(visit))
            .collect::<Result<Vec<_>, _>>()?;
        visits.retain(|visit| scope.of.by.as_ref().is_none_or(|by| by == &visit.by));
        visits.sort_by_key(|visit| (visit.opened.utc_ms, visit.seq));
        Ok(visits)
    }

    fn open_within(&self, scope: &Scope) -> Result<Vec<(FindingRow, Vec<PhotoRow>)>, AppError> {
        let read = self.store.read();
        let mut open = match &scope.walk {
            None => read.open_findings(FindingsOf::Everything)?,
            Some(walk) => {
                let mut open = Vec::new();
                for stop in &walk.stops {
                    open.extend(read.open_findings(FindingsOf::Pump(&stop.pump))?);
                }
                open
            }
        };
        open.sort_by_key(|finding| std::cmp::Reverse(finding.latest.entry.judgement.verdict));
        let with_photos = open.into_iter().map(|finding| {
            let photos = read.photos(PhotosOf::Finding(finding.finding))?;
            Ok((finding, photos))
        });
        with_photos.collect()
    }

    fn all_open_by_hand(&self, scope: &Scope) -> Result<Vec<HandFinding>, AppError> {
        let opened = self.store.read().deeds(DeedsOf::OpenFindings, MOST)?;
        let opened: Vec<_> = opened
            .into_iter()
            .filter(|row| row.deed.pump().is_some_and(|pump| scope.has_pump(pump)))
            .collect();
        let mut open = self.opened_within(&opened)?;
        open.retain(HandFinding::is_open);
        open.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
        Ok(open)
    }

    /// The findings that these deeds open, as they stand now.
    fn opened_within(&self, deeds: &[DeedRow]) -> Result<Vec<HandFinding>, AppError> {
        let mut found = Vec::new();
        for row in deeds {
            if let Deed::FindingOpened { finding, .. } = row.deed {
                let about_it = self.store.read().deeds(DeedsOf::Subject(finding), MOST)?;
                found.extend(followed::opened_by_hand(&about_it));
            }
        }
        Ok(found)
    }

    fn walks_of(&self, deeds: &[DeedRow], scope: &Scope) -> Result<Vec<Walk>, AppError> {
        if let Some(walk) = &scope.walk {
            return Ok(vec![walk.clone()]);
        }
        let mut runs: Vec<Uuid> = Vec::new();
        for row in deeds {
            let run = match row.deed {
                Deed::RoundBegun { run, .. }
                | Deed::RoundPaused { run }
                | Deed::RoundResumed { run }
                | Deed::StopSkipped { run, .. }
                | Deed::RoundEnded { run } => run,
                _ => continue,
            };
            if !runs.contains(&run) {
                runs.push(run);
            }
        }
        let mut walks = Vec::new();
        for run in runs {
            match self.walk(run) {
                Ok(walk) => walks.push(walk),
                // Begun on a device whose own records have not come yet.
                Err(AppError::UnknownWalk(_)) => {}
                Err(error) => return Err(error),
            }
        }
        Ok(walks)
    }

    fn procedures_of(&self, deeds: &[DeedRow]) -> Result<Vec<ProcedureGone>, AppError> {
        let mut runs: Vec<Uuid> = Vec::new();
        for row in deeds {
            if let Deed::ProcedureBegun { run, .. } | Deed::ProcedureWent { run, .. } = row.deed
                && !runs.contains(&run)
            {
                runs.push(run);
            }
        }
        let mut gone = Vec::new();
        for run in runs {
            let about_it = self.store.read().deeds(DeedsOf::Subject(run), MOST)?;
            gone.extend(turned::procedure_gone(about_it));
        }
        Ok(gone)
    }

    fn photos_of(&self, visits: &[VisitRow]) -> Result<Vec<PhotoRow>, AppError> {
        let mut photos = Vec::new();
        for visit in visits {
            let mut of_visit = self.store.read().photos(PhotosOf::Visit(visit.visit))?;
            of_visit.reverse();
            photos.extend(of_visit);
        }
        Ok(photos)
    }
}

fn named(rounds: &[Round]) -> BTreeMap<RoundId, String> {
    let rounds = rounds.iter();
    rounds
        .map(|round| (round.id.clone(), round.name.clone()))
        .collect()
}

/// Of entries, the earliest first, the last of each check, in the order they were seen.
fn last_of_each(rows: Vec<EntryRow>) -> Vec<EntryRow> {
    let mut last = BTreeMap::new();
    for row in rows {
        last.insert((row.entry.pump.clone(), row.entry.check), row);
    }
    let mut rows: Vec<EntryRow> = last.into_values().collect();
    rows.sort_by_key(|row| (row.entry.seen_at.utc_ms, row.seq));
    rows
}

fn worst_first(mut rows: Vec<EntryRow>) -> Vec<EntryRow> {
    rows.retain(|row| row.entry.judgement.verdict.is_out_of_limits());
    rows.sort_by_key(|row| std::cmp::Reverse(row.entry.judgement.verdict));
    rows
}
