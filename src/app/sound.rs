//! Whether records from outside are what this program would have written: what they say is shown to people and drawn,
//! so it is held to what the door lets in.

use super::AppError;
use crate::{
    check::{self, BadEntry, MAX_WORDS_CHARS},
    judge,
    photo::marks::{self, MarkError},
    plant::LimitsOutOfOrder,
    record::{Body, Deed, EntryAmended, EntryMade, PhotoTaken, Record, Stamp},
    remedy::BadRemedy,
    say,
    store::Reader,
};
use std::collections::HashMap;
use uuid::Uuid;

/// Longest name that signs, characters.
pub(super) const LONGEST_NAME: usize = 60;
/// Longest code that may stand for a pump, bytes: a QR code holds at most 4,296 characters, what stands for one pump is
/// far shorter.
pub(super) const LONGEST_CODE: usize = 500;
/// Longest time of a camera as text, characters: ISO 8601 takes 35 at most.
const LONGEST_CAMERA_TIME: usize = 40;
/// Corrections of one entry in one bundle, by way of each other: nobody puts an entry right this often, and each costs
/// as much as there are before it.
const MOST_CORRECTIONS: u32 = 100;
/// The first and the last millisecond that ISO 8601 writes with a year of four digits.
const CALENDAR_MS: std::ops::RangeInclusive<i64> = -62_135_596_800_000..=253_402_300_799_999;
/// No place is as far from UTC as a day.
const DAY_MIN: u16 = 24 * 60;

/// What is wrong with a record, as the end of a sentence about it.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Unsound {
    /// Its time is none.
    #[error("{}", say!("has a time that no calendar has"))]
    NoTime,
    /// It is signed by nobody, or at too great length.
    #[error("{}", say!(
        "is signed with no name or with one of over {most} characters",
        most = LONGEST_NAME
    ))]
    Name,
    /// Its words or its code are too long.
    #[error("{}", say!("has a text of {chars} characters where {most} fit", chars, most))]
    TooLong {
        /// How long.
        chars: usize,
        /// How long it may be.
        most: usize,
    },
    /// Words that were left out.
    #[error("{}", say!("says why or what in no words"))]
    NoWords,
    /// A code without characters.
    #[error("{}", say!("adopts an empty code"))]
    NoCode,
    /// Marks that would not be drawn.
    #[error("{}", say!("marks a photo as can't be drawn: {why}", why = _0))]
    Marks(#[from] MarkError),
    /// An entry that can't be.
    #[error("{}", say!("holds an entry that can't be made: {why}", why = _0))]
    Entry(#[from] BadEntry),
    /// Limits of something else.
    #[error("{}", say!("judges an entry by the limits of another pump or check"))]
    OtherLimits,
    /// Limits that contradict themselves.
    #[error("{}", say!("judges an entry by limits in the wrong order: {why}", why = _0))]
    Limits(#[from] LimitsOutOfOrder),
    /// An entry before it that comes after it.
    #[error("{}", say!("compares an entry with one that comes after it"))]
    Previous,
    /// Another verdict than its own grounds give.
    #[error("{}", say!(
        "says '{said}' of an entry that comes to '{comes_to}' by its own limits, or gives other reasons",
        said,
        comes_to
    ))]
    OtherVerdict {
        /// As said.
        said: &'static str,
        /// As judged again.
        comes_to: &'static str,
    },
    /// A procedure that can't be gone on with.
    #[error("{}", say!("holds a procedure that can't be used: {why}", why = _0))]
    Procedure(String),
    /// A finding in limits, or none out of them.
    #[error("{}", say!("has a finding for an entry in limits, or none for one out of limits"))]
    Finding,
    /// A remedy that nobody can have done.
    #[error("{}", say!(
        "says that something was put right in a way that can't be: {why}",
        why = _0
    ))]
    Remedy(#[from] BadRemedy),
    /// A correction of something else.
    #[error("{}", say!(
        "puts right an entry of another visit, pump, check or time, or something that is no entry"
    ))]
    OtherEntry,
    /// More corrections than anybody makes.
    #[error("{}", say!("puts one entry right for the {count}th time", count = MOST_CORRECTIONS))]
    TooManyCorrections,
}

/// Looks at the records of one bundle, one after the other.
#[derive(Default)]
pub(super) struct Soundness {
    /// For each correction the entry at the beginning of its chain, as far as it lies in the bundle.
    roots: HashMap<Uuid, Uuid>,
    corrections: HashMap<Uuid, u32>,
}

impl Soundness {
    /// Looks at a record; `before` has those that came before it.
    pub(super) fn check(&mut self, record: &Record, before: &Reader<'_>) -> Result<(), AppError> {
        let unsound = |why| AppError::Unsound {
            seq: record.seq,
            why,
        };
        alone(record).map_err(unsound)?;
        if let Body::EntryAmended(amended) = &record.body {
            if !fits(amended, record.id, before)? {
                return Err(unsound(Unsound::OtherEntry));
            }
            self.count(record.id, amended.amends).map_err(unsound)?;
        }
        Ok(())
    }

    fn count(&mut self, record: Uuid, amends: Uuid) -> Result<(), Unsound> {
        let root = *self.roots.get(&amends).unwrap_or(&amends);
        self.roots.insert(record, root);
        let corrections = self.corrections.entry(root).or_default();
        *corrections += 1;
        if *corrections < MOST_CORRECTIONS {
            Ok(())
        } else {
            Err(Unsound::TooManyCorrections)
        }
    }
}

/// What can be said of a record without any other.
fn alone(record: &Record) -> Result<(), Unsound> {
    time(record.at)?;
    if !(1..=LONGEST_NAME).contains(&record.by.chars().count()) {
        return Err(Unsound::Name);
    }
    match &record.body {
        Body::EntryMade(made) => entry(made),
        Body::EntryAmended(amended) => entry(&amended.entry),
        Body::PhotoTaken(taken) => photo(taken),
        Body::TagAdopted(tag) if tag.code.trim().is_empty() => Err(Unsound::NoCode),
        Body::TagAdopted(tag) => at_most(tag.code.len(), LONGEST_CODE),
        Body::Done(deed) => self::deed(deed),
        Body::PackTaken(_)
        | Body::VisitOpened(_)
        | Body::RunningSeen(_)
        | Body::EntryWithdrawn(_)
        | Body::VisitClosed(_) => Ok(()),
    }
}

fn deed(deed: &Deed) -> Result<(), Unsound> {
    if let Deed::PumpTurned { turned_at, .. } = deed {
        time(*turned_at)?;
    }
    if let Deed::Remedied { what, done_at, .. } = deed {
        time(*done_at)?;
        what.check_amounts()?;
    }
    if let Deed::ProcedureBegun {
        pump,
        partner,
        plan,
        ..
    } = deed
    {
        let whole = plan.holds_together();
        whole.map_err(|why| Unsound::Procedure(why.to_string()))?;
        if plan.this.id != *pump || plan.other.as_ref().map(|other| &other.id) != partner.as_ref() {
            return Err(Unsound::Procedure(say!("it is for other pumps").to_owned()));
        }
    }
    if let Deed::FindingOpened { severity, .. } = deed
        && !severity.is_out_of_limits()
    {
        return Err(Unsound::Finding);
    }
    if let Deed::FindingOpened {
        cause: Some(cause), ..
    } = deed
    {
        at_most(cause.chars().count(), MAX_WORDS_CHARS)?;
    }
    let chars = deed.text().unwrap_or_default().chars().count();
    // Only how a finding stands can be said without words.
    let may_be_empty = matches!(deed, Deed::FindingSeen { .. }) || deed.text().is_none();
    if chars == 0 && !may_be_empty {
        return Err(Unsound::NoWords);
    }
    at_most(chars, MAX_WORDS_CHARS)
}

fn time(stamp: Stamp) -> Result<(), Unsound> {
    let known = CALENDAR_MS.contains(&stamp.utc_ms) && stamp.offset_min.unsigned_abs() < DAY_MIN;
    if known { Ok(()) } else { Err(Unsound::NoTime) }
}

fn at_most(chars: usize, most: usize) -> Result<(), Unsound> {
    if chars <= most {
        Ok(())
    } else {
        Err(Unsound::TooLong { chars, most })
    }
}

fn photo(taken: &PhotoTaken) -> Result<(), Unsound> {
    at_most(taken.words.chars().count(), MAX_WORDS_CHARS)?;
    let camera_time = taken.taken_at.as_deref().unwrap_or_default();
    at_most(camera_time.chars().count(), LONGEST_CAMERA_TIME)?;
    Ok(marks::check(&taken.marks)?)
}

fn entry(made: &EntryMade) -> Result<(), Unsound> {
    time(made.seen_at)?;
    // How this very pump is built may not be known here: the widest instrument of the check's kind is asked.
    check::accept(&check::usual_kind(made.check.kind), made.entered.clone())?;
    if let Some(limits) = &made.limits {
        if limits.pump != made.pump || limits.check != made.check {
            return Err(Unsound::OtherLimits);
        }
        limits.check_order()?;
    }
    if made
        .previous
        .as_ref()
        .is_some_and(|previous| previous.hours_before < 0.0)
    {
        return Err(Unsound::Previous);
    }
    // Nobody must be shown a verdict that the entry's own grounds don't give.
    let (limits, previous) = (made.limits.as_ref(), made.previous.as_ref());
    let again = judge::again(made.check.kind, &made.entered, limits, previous);
    if again != made.judgement {
        return Err(Unsound::OtherVerdict {
            said: made.judgement.verdict.words(),
            comes_to: again.verdict.words(),
        });
    }
    if made.finding.is_some() == again.verdict.is_out_of_limits() {
        Ok(())
    } else {
        Err(Unsound::Finding)
    }
}

/// The entry put right is the same visit's, pump's and check's, seen at the same time; as far as it is here.
fn fits(amended: &EntryAmended, record: Uuid, before: &Reader<'_>) -> Result<bool, AppError> {
    if amended.amends == record {
        return Ok(false);
    }
    let right = &amended.entry;
    let Some(row) = before.entry(amended.amends)? else {
        return Ok(before.record(amended.amends)?.is_none());
    };
    let wrong = row.entry;
    Ok((wrong.visit, wrong.pump, wrong.check, wrong.seen_at)
        == (right.visit, right.pump.clone(), right.check, right.seen_at))
}
