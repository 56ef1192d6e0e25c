//! Which procedures are for a pump now, what each needs, and why the others are not.

use super::{App, AppError};
use crate::{
    plant::{Plant, Pump, PumpId},
    procedure::{CannotBegin, Kind, Plan, Procedure, Task, choose, partners},
    say,
};

/// A procedure as it is offered at a pump.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// Its id.
    pub procedure: String,
    /// What it is for.
    pub kind: Kind,
    /// Its name.
    pub name: String,
    /// Where its text comes from.
    pub basis: String,
    /// What it needs; else why it is not for this pump.
    pub fits: Result<Needs, NotHere>,
}

/// What a procedure needs before it can be begun, and how much it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Needs {
    /// The pumps that can stand in, of which one is chosen; empty where it takes one pump only.
    pub partners: Vec<PumpId>,
    /// How many steps it has; with a partner, those with the first.
    pub steps: usize,
    /// How many permissions it asks for.
    pub permissions: usize,
    /// How long its waits are together, s.
    pub waits_s: i64,
}

/// Why a procedure is not for a pump.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotHere {
    /// The pump is built otherwise.
    #[error("{}", say!("it is for pumps {pumps}", pumps = all_of(_0)))]
    BuiltOtherwise(Vec<String>),
    /// No pump stands in for it.
    #[error("{}", say!("no other pump stands in for this one"))]
    NoStandIn,
    /// Another one of its kind is meant for this pump more closely.
    #[error("{}", say!("'{name}' is the one for this pump", name = _0))]
    AnotherIsMeant(String),
    /// Its text can't be written out for this pump.
    #[error(transparent)]
    Cannot(#[from] CannotBegin),
}

impl App {
    /// The plant's procedures as they stand to a pump: those for it first, in the plant's order.
    ///
    /// # Errors
    /// Where the pump is not in the plant.
    pub fn procedures_for(&self, pump: &PumpId) -> Result<Vec<Offer>, AppError> {
        let register = self.register()?;
        let pump = register.pump(pump)?;
        let plant = register.plant();
        let own = |one: &&Procedure| one.kind != Kind::Part;
        let mut offers: Vec<Offer> = plant
            .procedures
            .iter()
            .filter(own)
            .map(|procedure| Offer {
                procedure: procedure.id.clone(),
                kind: procedure.kind,
                name: procedure.name.clone(),
                basis: procedure.basis.clone(),
                fits: needs(procedure, plant, pump),
            })
            .collect();
        offers.sort_by_key(|offer| offer.fits.is_err());
        Ok(offers)
    }
}

fn all_of(builds: &[String]) -> String {
    let builds = builds.iter().cloned();
    builds
        .reduce(|first, second| say!("{first} and {second}", first, second))
        .unwrap_or_default()
}

fn needs(procedure: &Procedure, plant: &Plant, pump: &Pump) -> Result<Needs, NotHere> {
    let unmet = procedure.suits.unmet(pump);
    if !unmet.is_empty() {
        return Err(NotHere::BuiltOtherwise(unmet));
    }
    let stand_ins: Vec<PumpId> = partners(plant, pump)
        .map(|other| other.id.clone())
        .collect();
    if procedure.kind == Kind::ChangeOver && stand_ins.is_empty() {
        return Err(NotHere::NoStandIn);
    }
    // A plant's own are offered side by side: they are for different things.
    if procedure.kind != Kind::Own
        && let Ok(meant) = choose(procedure.kind, pump, &plant.procedures)
        && meant.id != procedure.id
    {
        return Err(NotHere::AnotherIsMeant(meant.name.clone()));
    }
    let plan = match Plan::of(procedure, plant, &pump.id, None) {
        Err(CannotBegin::NoOther { .. }) => {
            let plan = Plan::of(procedure, plant, &pump.id, stand_ins.first())?;
            return Ok(needs_of(&plan, stand_ins));
        }
        plan => plan?,
    };
    Ok(needs_of(&plan, Vec::new()))
}

fn needs_of(plan: &Plan, partners: Vec<PumpId>) -> Needs {
    let waits = plan.steps.iter().map(|step| match step.task {
        Task::Wait { seconds } => i64::from(seconds),
        _ => 0,
    });
    let holds = plan.steps.iter().filter(|step| step.task == Task::Hold);
    Needs {
        partners,
        steps: plan.steps.len(),
        permissions: holds.count(),
        waits_s: waits.sum(),
    }
}
