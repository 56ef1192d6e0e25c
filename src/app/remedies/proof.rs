//! The checks that prove a remedy: how long to wait for each, and how it compares once it was made.

use super::{App, AppError, RemediesOf, RemedyRow};
use crate::{
    check::{self, Entered, RunningState, words::short_title},
    judge::Verdict,
    plant::{CheckId, Pump},
    remedy::{
        CannotTell, Proof, Remedy, Wait, begins_anew,
        compared::{Compared, compared},
        proof_of, proved_words, shows_in,
    },
    say,
    store::{EntryRow, Nearby, RemediesWhich},
};
use uuid::Uuid;

/// A proof nobody made within a day is asked for no more, and an entry of more than a day before says nothing of how it
/// stood. Common practice, no source.
const WITHIN_MS: i64 = 24 * 3_600_000;
/// Entries of a check that are looked through for those before and after a remedy.
const LOOK_BACK: u32 = 200;
/// What is written down within so long of its being done was written down at once: the device's own order then says
/// what came before it, whatever its clock does.
const AT_ONCE_MS: i64 = 1_000;
const MS_PER_MIN: f64 = 60_000.0;

/// Something that was put right, with what proves it.
#[derive(Clone, Debug, PartialEq)]
pub struct RemedyNow {
    /// What was put right.
    pub row: RemedyRow,
    /// The checks that show whether it did it, those to be made first in front.
    pub proofs: Vec<ProofNow>,
}

impl RemedyNow {
    /// A check is still waited for, or is to be made now.
    pub fn is_open(&self) -> bool {
        self.proofs.iter().any(ProofNow::is_open)
    }

    /// What proved it, in sentences that name each check, and which check is still to be made; that nothing proved it yet;
    /// empty where no check can.
    pub fn proved_words(&self) -> String {
        let made = self.proofs.iter().filter_map(ProofNow::made);
        let mut words: Vec<String> = made.map(ProofMade::words_with_check).collect();
        if words.is_empty() && !self.proofs.is_empty() {
            return say!("Not proved yet.").to_owned();
        }
        let open = self.proofs.iter().filter(|proof| proof.is_open());
        let open: Vec<String> = open.map(|proof| short_title(proof.proof.check)).collect();
        if !open.is_empty() {
            words.push(say!(
                "Still to be made: {checks}.",
                checks = open.join("; ")
            ));
        }
        words.join(" ")
    }

    /// The check to be made next.
    pub fn next(&self) -> Option<&ProofNow> {
        self.proofs.iter().find(|proof| proof.is_open())
    }
}

/// A check that shows whether a remedy did it.
#[derive(Clone, Debug, PartialEq)]
pub struct ProofNow {
    /// Which check, and after how long.
    pub proof: Proof,
    /// When the wait for it is over, milliseconds since 1970 UTC.
    pub due_ms: i64,
    /// What was found before.
    pub before: Option<EntryRow>,
    /// How it stands.
    pub standing: ProofStanding,
    /// It was made before the wait was over, and so proves nothing yet.
    pub too_early: Option<Box<ProofMade>>,
}

/// How a proof stands.
#[derive(Clone, Debug, PartialEq)]
pub enum ProofStanding {
    /// So many minutes are left.
    Waiting(f64),
    /// It is to be made now.
    Due,
    /// The clock stands before the remedy, so that it can't tell how long is left: wait by another clock.
    ClockSetBack,
    /// It was made.
    Made(Box<ProofMade>),
    /// Something else was done there first, or a day has passed: it will not be made any more.
    Passed,
}

/// A proof that was made.
#[derive(Clone, Debug, PartialEq)]
pub struct ProofMade {
    /// The entry.
    pub entry: EntryRow,
    /// What the entry before came to, where there is one of a day before.
    pub before: Option<Verdict>,
    /// Set beside the entry before; `None` where there is none of a day before.
    pub compared: Option<Result<Compared, CannotTell>>,
}

impl ProofNow {
    /// What it was made with, once it was.
    pub fn made(&self) -> Option<&ProofMade> {
        match &self.standing {
            ProofStanding::Made(made) => Some(made),
            _ => None,
        }
    }

    /// It is waited for, or to be made now.
    pub fn is_open(&self) -> bool {
        matches!(
            self.standing,
            ProofStanding::Waiting(_) | ProofStanding::Due | ProofStanding::ClockSetBack
        )
    }
}

impl ProofMade {
    /// How it compares and what it comes to, in sentences.
    pub fn words(&self) -> String {
        let comes_to = proved_words(self.before, self.entry.entry.judgement.verdict);
        match &self.compared {
            Some(Ok(compared)) => format!("{} {comes_to}", compared.words),
            Some(Err(why)) => {
                say!("It can't be compared: {why}. {comes_to}", why, comes_to)
            }
            None => comes_to.to_owned(),
        }
    }

    /// The same where nothing around it says which check it was.
    fn words_with_check(&self) -> String {
        let words = self.words();
        match &self.compared {
            // These begin with the check.
            Some(Ok(_)) => words,
            _ => format!("{}: {words}", short_title(self.entry.entry.check)),
        }
    }

    /// The same of one made before the wait was over.
    pub fn words_too_early(&self) -> String {
        let again = say!("Made before the wait was over, so it proves nothing yet: make it again.");
        match &self.compared {
            Some(Ok(compared)) => format!("{} {again}", compared.words),
            _ => again.to_owned(),
        }
    }
}

impl RemedyRow {
    /// It was done after the entry was seen: by the device's own order where one device wrote both at once, else by the
    /// clocks.
    pub(super) fn is_after(&self, entry: &EntryRow) -> bool {
        let at_once = (0..AT_ONCE_MS).contains(&(self.at.utc_ms - self.done_at.utc_ms));
        if entry.origin == self.origin && entry.amends.is_none() && at_once {
            entry.seq < self.seq
        } else {
            entry.entry.seen_at.utc_ms <= self.done_at.utc_ms
        }
    }
}

/// A remedy between the ones next to it that show in the same check.
pub(super) struct AfterRemedy<'a> {
    pub before: Option<&'a RemedyRow>,
    pub this: &'a RemedyRow,
    pub next: Option<&'a RemedyRow>,
}

impl AfterRemedy<'_> {
    /// Of entries, the newest first, the last one before the remedy.
    pub fn entry_before<'e>(&self, entries: &'e [EntryRow]) -> Option<&'e EntryRow> {
        entries.iter().filter(|row| is_made(row)).find(|row| {
            self.this.is_after(row)
                && self.before.is_none_or(|before| !before.is_after(row))
                && self.this.done_at.utc_ms - row.entry.seen_at.utc_ms <= WITHIN_MS
        })
    }

    /// Of entries, the newest first, the first one after the wait. Against a clock that was set back nobody is told to
    /// have come too early.
    pub fn entry_after<'e>(
        &self,
        entries: &'e [EntryRow],
        wait_minutes: f64,
    ) -> Option<&'e EntryRow> {
        let waited = |row: &&EntryRow| !(0.0..wait_minutes).contains(&self.minutes_to(row));
        self.after(entries).rfind(waited)
    }

    /// Of entries, the newest first, the last one before the wait was over.
    pub fn entry_too_early<'e>(
        &self,
        entries: &'e [EntryRow],
        wait_minutes: f64,
    ) -> Option<&'e EntryRow> {
        let early = |row: &&EntryRow| (0.0..wait_minutes).contains(&self.minutes_to(row));
        self.after(entries).find(early)
    }

    fn after<'e>(&self, entries: &'e [EntryRow]) -> impl DoubleEndedIterator<Item = &'e EntryRow> {
        entries.iter().filter(|row| {
            is_made(row)
                && !self.this.is_after(row)
                && self.next.is_none_or(|next| next.is_after(row))
                && row.entry.seen_at.utc_ms - self.this.done_at.utc_ms <= WITHIN_MS
        })
    }

    fn minutes_to(&self, row: &EntryRow) -> f64 {
        (row.entry.seen_at.utc_ms - self.this.done_at.utc_ms) as f64 / MS_PER_MIN
    }
}

fn is_made(row: &EntryRow) -> bool {
    !matches!(row.entry.entered, Entered::NotChecked { .. })
}

impl App {
    /// Something that was put right, with what proves it as it stands now.
    ///
    /// # Errors
    /// Where it is not there, or the store can't be read.
    pub fn remedy_now(&mut self, remedy: Uuid) -> Result<RemedyNow, AppError> {
        let now_ms = self.now().utc_ms;
        let row = self.remedy(remedy)?;
        self.proved(row, now_ms)
    }

    /// The same of several, in the order they are listed.
    ///
    /// # Errors
    /// Where the visit or finding is not there, or the store can't be read.
    pub fn remedies_now(&mut self, of: RemediesOf<'_>) -> Result<Vec<RemedyNow>, AppError> {
        let now_ms = self.now().utc_ms;
        let rows = self.remedies_of(of)?;
        rows.into_iter()
            .map(|row| self.proved(row, now_ms))
            .collect()
    }

    /// What was put right within a day and is not proved yet, what is to be made first first: the waits that go on,
    /// whichever device and program began them.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn waits(&mut self) -> Result<Vec<RemedyNow>, AppError> {
        let now_ms = self.now().utc_ms;
        let within_a_day = RemediesWhich::DoneSince(now_ms.saturating_sub(WITHIN_MS));
        let mut open = Vec::new();
        for row in self.remedies_which(within_a_day)? {
            let now = self.proved(row, now_ms)?;
            if now.is_open() {
                open.push(now);
            }
        }
        open.sort_by_key(|now| now.next().map(|proof| proof.due_ms));
        Ok(open)
    }

    /// What an entry proves, in sentences, and of which remedy; `None` where it was no proof of any.
    ///
    /// # Errors
    /// Where the entry is not there, or the store can't be read.
    pub fn proved_by(&mut self, record: Uuid) -> Result<Option<(Uuid, String)>, AppError> {
        let entry = self.store.read().entry(record)?;
        let entry = entry.ok_or(AppError::UnknownEntry(record))?.entry;
        let since_ms = entry.seen_at.utc_ms - WITHIN_MS;
        for row in self.remedies_at(&entry.pump)? {
            if row.done_at.utc_ms < since_ms {
                continue;
            }
            let now = self.remedy_now(row.remedy)?;
            let of_check = |proof: &&ProofNow| proof.proof.check == entry.check;
            let Some(proof) = now.proofs.iter().find(of_check) else {
                continue;
            };
            let is_it = |made: &&ProofMade| made.entry.record == record;
            if let Some(made) = proof.made().filter(is_it) {
                return Ok(Some((row.remedy, made.words())));
            }
            if let Some(early) = proof.too_early.as_deref().filter(is_it) {
                return Ok(Some((row.remedy, early.words_too_early())));
            }
        }
        Ok(None)
    }

    fn proved(&self, row: RemedyRow, now_ms: i64) -> Result<RemedyNow, AppError> {
        let register = self.register()?;
        let Ok(pump) = register.pump(&row.pump) else {
            // A pump that has left the plant is asked nothing any more.
            let proofs = Vec::new();
            return Ok(RemedyNow { row, proofs });
        };
        let all = self.remedies_at(&row.pump)?;
        let proofs = self
            .asked(&row, pump)?
            .into_iter()
            .map(|proof| self.stands(&row, &all, proof, now_ms))
            .collect::<Result<_, _>>()?;
        Ok(RemedyNow { row, proofs })
    }

    /// The proofs that can be made while the pump does what it does.
    fn asked(&self, row: &RemedyRow, pump: &Pump) -> Result<Vec<Proof>, AppError> {
        let mut proofs = proof_of(&row.what, pump);
        if matches!(row.what, Remedy::OwnWords { .. })
            && let Some(check) = self.check_answered(row)?
        {
            proofs.push(Proof {
                check,
                after_minutes: 0.0,
            });
        }
        let running = match row.visit {
            Some(visit) => self.visit(visit)?.running,
            None => self.likely_running(&pump.id)?,
        };
        let here = checks_of(pump, running);
        if proofs.iter().any(|proof| here.contains(&proof.check)) {
            proofs.retain(|proof| here.contains(&proof.check));
        }
        Ok(proofs)
    }

    fn stands(
        &self,
        row: &RemedyRow,
        all: &[RemedyRow],
        proof: Proof,
        now_ms: i64,
    ) -> Result<ProofNow, AppError> {
        let done_ms = row.done_at.utc_ms;
        let near = Nearby {
            from_ms: done_ms.saturating_sub(WITHIN_MS),
            to_ms: done_ms.saturating_add(WITHIN_MS),
            origin: row.origin,
            seq: row.seq,
        };
        let read = self.store.read();
        let entries = read.history_near(&row.pump, proof.check, near, LOOK_BACK)?;
        let alike = |other: &&RemedyRow| {
            shows_in(&other.what, proof.check) || begins_anew(&other.what, proof.check)
        };
        // What was done last comes first.
        let place = all.iter().position(|other| other.remedy == row.remedy);
        let place = place.unwrap_or_default();
        let between = AfterRemedy {
            before: all.iter().skip(place + 1).find(alike),
            this: row,
            next: all.iter().take(place).rfind(alike),
        };
        let before = between.entry_before(&entries);
        let made = |entry: &EntryRow| Box::new(made(proof.check, before, entry));
        let after = between.entry_after(&entries, proof.after_minutes);
        let too_early = between.entry_too_early(&entries, proof.after_minutes);
        let standing = match (after, proof.wait(done_ms, now_ms)) {
            (Some(entry), _) => ProofStanding::Made(made(entry)),
            (None, _) if between.next.is_some() || now_ms - done_ms > WITHIN_MS => {
                ProofStanding::Passed
            }
            (None, Wait::Over) => ProofStanding::Due,
            (None, Wait::Minutes(left)) => ProofStanding::Waiting(left),
            (None, Wait::ClockSetBack) => ProofStanding::ClockSetBack,
        };
        Ok(ProofNow {
            due_ms: done_ms + (proof.after_minutes * MS_PER_MIN) as i64,
            too_early: too_early.filter(|_| after.is_none()).map(made),
            before: before.cloned(),
            proof,
            standing,
        })
    }
}

fn made(check: CheckId, before: Option<&EntryRow>, after: &EntryRow) -> ProofMade {
    let limits = after.entry.limits.as_ref();
    ProofMade {
        before: before.map(|row| row.entry.judgement.verdict),
        compared: before
            .map(|before| compared(check, &before.entry.entered, &after.entry.entered, limits)),
        entry: after.clone(),
    }
}

fn checks_of(pump: &Pump, running: RunningState) -> Vec<CheckId> {
    let asked = check::on_request(pump, running);
    let all = check::list(pump, running).into_iter().chain(asked);
    all.map(|check| check.id).collect()
}
