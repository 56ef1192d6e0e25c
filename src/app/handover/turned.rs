//! Pumps started, stopped and changed over, and the procedures gone through.

use super::super::rounds;
use crate::{
    plant::{Plant, PumpId},
    procedure::What,
    record::{Deed, Stamp},
    say,
    store::DeedRow,
};

/// A start and a stop of two pumps of one spare group this near each other are one change over. Common practice, no
/// source.
const ONE_CHANGE_OVER_MS: i64 = 4 * 3_600_000;

/// A pump that was started or stopped.
#[derive(Clone, Debug, PartialEq)]
pub struct Turned {
    /// Which pump.
    pub pump: PumpId,
    /// It was started; else stopped.
    pub runs: bool,
    /// When.
    pub at: Stamp,
    /// Who wrote it down.
    pub by: String,
}

/// Two pumps of a spare group that took each other's place.
#[derive(Clone, Debug, PartialEq)]
pub struct ChangedOver {
    /// The pump that was stopped.
    pub from: PumpId,
    /// The pump that was started.
    pub to: PumpId,
    /// When the later of the two was done.
    pub at: Stamp,
}

/// A procedure that was begun or gone on with.
#[derive(Clone, Debug, PartialEq)]
pub struct ProcedureGone {
    /// Its name.
    pub name: String,
    /// At which pump.
    pub pump: PumpId,
    /// The pump that stands in for it, where it takes two.
    pub partner: Option<PumpId>,
    /// Who began it.
    pub by: String,
    /// When.
    pub begun: Stamp,
    /// How it ended, and when; `None` while it is under way.
    pub ended: Option<(Ended, Stamp)>,
    /// Steps left out: what each step was, and why.
    pub left_out: Vec<(String, String)>,
    /// Waits ended before they were over, likewise.
    pub waits_cut: Vec<(String, String)>,
}

/// How a procedure ended.
#[derive(Clone, Debug, PartialEq)]
pub enum Ended {
    /// All steps lie behind.
    Finished,
    /// It was broken off.
    BrokenOff {
        /// Why.
        reason: String,
    },
}

/// The starts and stops among deeds, in their order.
pub(super) fn turned(deeds: &[DeedRow]) -> Vec<Turned> {
    let turned = deeds.iter().filter_map(|row| match &row.deed {
        Deed::PumpTurned {
            pump,
            runs,
            turned_at,
        } => Some(Turned {
            pump: pump.clone(),
            runs: *runs,
            at: *turned_at,
            by: row.by.clone(),
        }),
        _ => None,
    });
    turned.collect()
}

/// The changes over among starts and stops: each stop with the nearest start of another pump of its spare group.
pub(super) fn changed_over(turned: &[Turned], plant: &Plant) -> Vec<ChangedOver> {
    let group = |pump: &PumpId| plant.pump(pump)?.spare.as_ref().map(|spare| &spare.group);
    let mut started: Vec<&Turned> = turned.iter().filter(|turned| turned.runs).collect();
    let mut changed = Vec::new();
    for stop in turned.iter().filter(|turned| !turned.runs) {
        let Some(of) = group(&stop.pump) else {
            continue;
        };
        let apart = |start: &Turned| (start.at.utc_ms - stop.at.utc_ms).abs();
        let nearest = started
            .iter()
            .enumerate()
            .filter(|(_, start)| start.pump != stop.pump && group(&start.pump) == Some(of))
            .filter(|(_, start)| apart(start) <= ONE_CHANGE_OVER_MS)
            .min_by_key(|(_, start)| apart(start))
            .map(|(index, _)| index);
        if let Some(index) = nearest {
            let start = started.remove(index);
            changed.push(ChangedOver {
                from: stop.pump.clone(),
                to: start.pump.clone(),
                at: stop.at.max(start.at),
            });
        }
    }
    changed
}

/// How a procedure's run went, from the deeds about it; `None` where its beginning is not among them.
pub(super) fn procedure_gone(mut deeds: Vec<DeedRow>) -> Option<ProcedureGone> {
    rounds::in_order(&mut deeds);
    let (row, pump, partner, plan) = deeds.iter().find_map(|row| match &row.deed {
        Deed::ProcedureBegun {
            pump,
            partner,
            plan,
            ..
        } => Some((row, pump, partner, plan)),
        _ => None,
    })?;
    let step_words = |number: usize| {
        let step = number.checked_sub(1).and_then(|at| plan.steps.get(at));
        step.map_or_else(|| say!("step {number}", number), |step| step.words.clone())
    };
    let mut gone = ProcedureGone {
        name: plan.name.clone(),
        pump: pump.clone(),
        partner: partner.clone(),
        by: row.by.clone(),
        begun: row.at,
        ended: None,
        left_out: Vec::new(),
        waits_cut: Vec::new(),
    };
    for row in &deeds {
        let Deed::ProcedureWent { what, .. } = &row.deed else {
            continue;
        };
        match what {
            What::StepSkipped { step, reason } => {
                gone.left_out.push((step_words(*step), reason.clone()));
            }
            What::WaitEnded { step, reason } => {
                gone.waits_cut.push((step_words(*step), reason.clone()));
            }
            // What is over stays over.
            What::Finished if gone.ended.is_none() => {
                gone.ended = Some((Ended::Finished, row.at));
            }
            What::Aborted { reason } if gone.ended.is_none() => {
                let reason = reason.clone();
                gone.ended = Some((Ended::BrokenOff { reason }, row.at));
            }
            _ => {}
        }
    }
    Some(gone)
}
