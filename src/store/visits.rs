//! Asking for the visits of a walk.

use super::{Reader, Result, SpanOfVisits, VisitRow, codec::Col};
use crate::plant::{PumpId, RoundId};

/// Visits of one walk to one pump, or all in its span: nobody is anywhere this often.
const MOST_VISITS: u32 = 10_000;

const HIDDEN: &str = "v.record IN (SELECT id FROM journal
    WHERE origin = ?1 AND seq > ?2 AND seq < ?3 AND kind = 'visit_opened' AND utc_ms < ?4)";

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
