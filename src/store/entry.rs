//! An entry as it is given back: what its record holds, and what stands beside it in its visit.

use super::{EntryRow, Reader, Result, query::another_kind};
use crate::{
    judge::Hands,
    plant::{CheckId, CheckKind},
    record::{Body, EntryMade, Record},
};

impl Reader<'_> {
    /// The entry that a record holds.
    pub(super) fn entry_row(&self, record: Record) -> Result<EntryRow> {
        let (amends, entry) = match record.body {
            Body::EntryMade(entry) => (None, *entry),
            Body::EntryAmended(amended) => (Some(amended.amends), amended.entry),
            _ => return Err(another_kind(&record)),
        };
        Ok(EntryRow {
            record: record.id,
            origin: record.origin,
            seq: record.seq,
            at: record.at,
            by: record.by,
            amends,
            hands: self.hands(&entry)?,
            entry,
        })
    }

    /// How far a hand may go at the gland that an entry is about.
    fn hands(&self, entry: &EntryMade) -> Result<Hands> {
        let CheckId { kind, place } = entry.check;
        let mut heat = None;
        if kind == CheckKind::LeakOff && entry.judgement.verdict.is_out_of_limits() {
            let felt = CheckId::new(CheckKind::GlandHeat, place);
            heat = self.entry_of_visit(entry.visit, felt)?.map(|row| row.entry);
        }
        let felt = heat
            .as_ref()
            .map(|heat| (&heat.entered, heat.judgement.verdict));
        Ok(Hands::at_gland(entry.hands_off, felt))
    }
}
