//! Which procedure is for a pump, and which pumps stand in for it.

use super::{Kind, Procedure};
use crate::{
    plant::{Plant, Pump, PumpId},
    say,
};

/// No procedure of this kind is for this pump.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", say!("there is no {kind} procedure for pump {pump}; work by your plant's own, and ask the planner to put one into procedures/", kind = kind.words(), pump))]
pub struct NoneFits {
    /// The kind wanted.
    pub kind: Kind,
    /// The pump.
    pub pump: PumpId,
}

impl Procedure {
    /// It is for this pump. A change over is only for pumps that have a stand-in.
    pub fn suits(&self, pump: &Pump) -> bool {
        (self.kind != Kind::ChangeOver || pump.spare.is_some()) && self.suits.suits(pump)
    }
}

/// The procedure of this kind for this pump: of those that suit it the narrowest, one that names the pump first; of
/// equals the first.
///
/// # Errors
/// None suits.
pub fn choose<'a>(
    kind: Kind,
    pump: &Pump,
    procedures: &'a [Procedure],
) -> Result<&'a Procedure, NoneFits> {
    procedures
        .iter()
        .rev()
        .filter(|procedure| procedure.kind == kind && procedure.suits(pump))
        .max_by_key(|procedure| procedure.suits.narrowness())
        .ok_or_else(|| NoneFits {
            kind,
            pump: pump.id.clone(),
        })
}

/// The other pumps of this pump's spare group, in register order.
pub fn partners<'a>(plant: &'a Plant, pump: &'a Pump) -> impl Iterator<Item = &'a Pump> {
    plant
        .pumps
        .iter()
        .filter(move |other| other.id != pump.id && stand_in(pump, other))
}

/// The two are of one spare group.
pub(super) fn stand_in(pump: &Pump, other: &Pump) -> bool {
    match (&pump.spare, &other.spare) {
        (Some(one), Some(two)) => one.group == two.group,
        _ => false,
    }
}
