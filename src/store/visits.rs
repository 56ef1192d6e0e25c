//! Asking for the visits of a walk.

use super::{
    EnteredRow, EnteredWhat, Reader, Result, SpanOfVisits, StoreError, VisitRow, codec::Col,
    query::parsed,
};
use crate::plant::{PumpId, RoundId};
use uuid::Uuid;

/// Visits of one walk to one pump, or all in its span: nobody is anywhere this often.
const MOST_VISITS: u32 = 10_000;

pub(super) const HIDDEN: &str = "v.origin = ?1 AND v.seq > ?2 AND v.seq < ?3 AND v.opened_ms < ?4";

/// As the entries of a visit are listed: each device's in its own order.
const ENTERED: &str = "SELECT record, check_id, entered FROM effective_entry WHERE visit = ?1
    ORDER BY min(seen_ms) OVER (PARTITION BY root_origin), root_origin, root_seq, seq, origin";

impl Reader<'_> {
    /// The visits to a pump in a span of time, newest first.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn visits_to_within(&self, pump: &PumpId, span: &SpanOfVisits) -> Result<Vec<VisitRow>> {
        self.visits_where(
            "v.pump = ?1 AND v.opened_ms BETWEEN ?2 AND ?3",
            MOST_VISITS,
            &[&pump.as_str(), &span.from_ms, &span.to_ms],
        )
    }

    /// The visits that the span's device wrote between its records, and that its clock puts before the span.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn visits_hidden(&self, span: &SpanOfVisits) -> Result<Vec<VisitRow>> {
        self.visits_where(
            HIDDEN,
            MOST_VISITS,
            &[
                &Col(span.origin),
                &Col(span.after_seq),
                &Col(span.before_seq),
                &span.from_ms,
            ],
        )
    }

    /// For which checks something was entered in a visit that holds, in the order of [`Reader::entries_of_visit`].
    ///
    /// # Errors
    /// `Damaged`.
    pub fn entered_in(&self, visit: Uuid) -> Result<Vec<EnteredRow>> {
        let mut entered = self.conn.prepare_cached(ENTERED)?;
        let rows = entered.query_and_then([Col(visit)], |row| {
            Ok(EnteredRow {
                record: row.get::<_, Col<Uuid>>(0)?.0,
                check: parsed(row, 1)?,
                what: match row.get(2)? {
                    0 => EnteredWhat::PassedOver,
                    1 => EnteredWhat::Remark,
                    2 => EnteredWhat::Found,
                    other => {
                        let why = format!("an entry of visit {visit} is of no known kind: {other}");
                        return Err(StoreError::Damaged(why));
                    }
                },
            })
        })?;
        rows.collect()
    }

    /// The visits in a span of time that were made on a round, the earliest first.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn visits_of_round(&self, round: &RoundId, span: &SpanOfVisits) -> Result<Vec<VisitRow>> {
        let mut visits = self.visits_where(
            "v.opened_ms BETWEEN ?1 AND ?2",
            MOST_VISITS,
            &[&span.from_ms, &span.to_ms],
        )?;
        visits.retain(|visit| visit.round.as_ref() == Some(round));
        visits.reverse();
        Ok(visits)
    }
}
