//! Stores from plant folders.

use super::{Ended, Refusal, args};
use crate::{
    app::{App, TakePlant},
    report::counted,
    sys::{RealWorld, plant_folder},
};
use std::io::Write;

pub fn make_store(task: &args::MakeStore, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let plant = plant_folder(&task.plant).map_err(Refusal::Plant)?;
    let (name, pumps) = (plant.name.clone(), plant.pumps.len() as u64);
    App::create(&task.store, plant, Box::new(RealWorld))?;
    writeln!(
        out,
        "{}: store of {name} with {}",
        task.store.display(),
        counted(pumps, "pump", "pumps")
    )?;
    Ok(Ended::Well)
}

pub fn take_plant(task: &args::MakeStore, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let plant = plant_folder(&task.plant).map_err(Refusal::Plant)?;
    let mut app = super::open(&task.store)?;
    let register = app.perform(TakePlant(plant))?;
    let plant = register.plant();
    writeln!(
        out,
        "{}: {} version {} taken in",
        task.store.display(),
        plant.name,
        plant.version
    )?;
    Ok(Ended::Well)
}
