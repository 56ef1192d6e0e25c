//! What a plant is: areas, pumps and how they are built, limits, rounds, procedures.
//!
//! Pure data.

mod bearing_size;
mod check_id;
mod examine;
mod fault;
pub mod files;
mod hydraulics;
mod id;
mod json;
mod limits;
mod pump;
mod unit;
mod verdict;

pub use bearing_size::{BearingSize, Dirt, Moisture, Rolling};
pub use check_id::{CheckId, CheckKind, Place, UnknownCheck};
pub use fault::PlantFault;
pub use hydraulics::{CurvePoint, Hydraulics, PumpCurve};
pub use id::{AreaId, BadId, PlantId, PumpId, RoundId};
pub use limits::{FastestChange, Limits, LimitsOutOfOrder};
pub use pump::*;
pub use unit::{Quantity, Unit, UnknownUnit};
pub use verdict::Verdict;

use crate::{
    check::{Check, EntryKind},
    procedure::Procedure,
};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// Everything the planner keeps about a plant and sends to the devices.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plant {
    /// Short id, used in file names.
    pub id: PlantId,
    /// Name as people say it.
    pub name: String,
    /// Counts up each time the planner sends a changed plant.
    pub version: u32,
    /// Host in the plant's tag links, for example `TAGS.KESTREL-NESS.EXAMPLE`.
    pub tag_host: String,
    /// Site altitude above sea level, m.
    pub altitude_m: f64,
    /// Drops in a millilitre, where the plant has set a convention.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drops_per_ml: Option<f64>,
    /// Least NPSH available over NPSH required that the plant wants kept, m.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub npsh_margin_m: Option<f64>,
    /// Units the plant works in, at most one for a quantity. What has limits is asked in theirs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub units: Vec<Unit>,
    /// Areas in walking order.
    pub areas: Vec<Area>,
    /// Pumps in register order.
    pub pumps: Vec<Pump>,
    /// Limits, at most one for a pump and check.
    pub limits: Vec<Limits>,
    /// Rounds.
    pub rounds: Vec<Round>,
    /// Procedures; a plant sent before there were any has none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub procedures: Vec<Procedure>,
}

/// A part of the plant that is walked together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Area {
    /// Short id.
    pub id: AreaId,
    /// Name as people say it.
    pub name: String,
}

/// A walk past pumps.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Round {
    /// Short id.
    pub id: RoundId,
    /// Name as people say it.
    pub name: String,
    /// Hours from one round to the next.
    pub every_hours: f64,
    /// Hours before and after it is due within which it is in time; without them it is overdue at once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub window_hours: Option<f64>,
    /// Stops in walking order.
    pub stops: Vec<PumpId>,
}

impl Plant {
    /// The pump with this id.
    pub fn pump(&self, id: &PumpId) -> Option<&Pump> {
        self.pumps.iter().find(|pump| &pump.id == id)
    }

    /// The pump that carries this tag.
    pub fn pump_by_tag(&self, tag: Uuid) -> Option<&Pump> {
        self.pumps.iter().find(|pump| pump.tag == tag)
    }

    /// The area with this id.
    pub fn area(&self, id: &AreaId) -> Option<&Area> {
        self.areas.iter().find(|area| &area.id == id)
    }

    /// The round with this id.
    pub fn round(&self, id: &RoundId) -> Option<&Round> {
        self.rounds.iter().find(|round| &round.id == id)
    }

    /// The procedure with this id.
    pub fn procedure(&self, id: &str) -> Option<&Procedure> {
        self.procedures.iter().find(|procedure| procedure.id == id)
    }

    /// The unit the plant works in where another measures the same; that other where it names none.
    pub fn unit_for(&self, unit: Unit) -> Unit {
        let mut own = self.units.iter().copied();
        own.find(|own| own.quantity() == unit.quantity())
            .unwrap_or(unit)
    }

    /// A check as it is asked at a pump: a number in the unit of its limits, without any in the plant's.
    pub fn asked_at(&self, pump: &PumpId, mut check: Check) -> Check {
        let asked = match (self.limits_of(pump, check.id), check.kind) {
            (Some(limits), _) => Some(limits.unit),
            (None, EntryKind::Number { unit, .. }) => Some(self.unit_for(unit)),
            (None, _) => None,
        };
        if let Some(unit) = asked {
            check.kind = check.kind.asked_in(unit);
        }
        check
    }

    /// The limits of one check of one pump.
    pub fn limits_of(&self, pump: &PumpId, check: CheckId) -> Option<&Limits> {
        self.limits
            .iter()
            .find(|limits| limits.check == check && &limits.pump == pump)
    }
}
