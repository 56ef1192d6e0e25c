//! The plant as the door looks things up in it.

use super::AppError;
use crate::{
    plant::{Plant, Pump, PumpId},
    store::AdoptedTagRow,
    tag::{Host, ShortId, ShortIds, TagId},
};
use std::collections::HashMap;
use uuid::Uuid;

/// A plant with its look-ups.
pub struct Register {
    plant: Plant,
    host: Host,
    short_ids: ShortIds,
    by_id: HashMap<PumpId, usize>,
    by_tag: HashMap<Uuid, usize>,
    adopted: HashMap<String, Vec<PumpId>>,
}

impl Register {
    /// Lays out the look-ups.
    ///
    /// # Errors
    /// Where the plant's tag host can't be printed or its tags can't be told apart.
    pub fn new(plant: Plant, adopted: Vec<AdoptedTagRow>) -> Result<Self, AppError> {
        let host = Host::new(&plant.tag_host)?;
        let short_ids = ShortIds::new(plant.pumps.iter().map(|pump| TagId::new(pump.tag)))?;
        let index = |pump: (usize, &Pump)| (pump.1.id.clone(), pump.0);
        let by_id = plant.pumps.iter().enumerate().map(index).collect();
        let by_tag = plant
            .pumps
            .iter()
            .enumerate()
            .map(|(i, pump)| (pump.tag, i))
            .collect();
        let mut register = Self {
            plant,
            host,
            short_ids,
            by_id,
            by_tag,
            adopted: HashMap::new(),
        };
        register.set_adopted(adopted);
        Ok(register)
    }

    /// The plant.
    pub fn plant(&self) -> &Plant {
        &self.plant
    }

    /// Host of the plant's tag links.
    pub fn host(&self) -> &Host {
        &self.host
    }

    /// Short ids of the plant's tags.
    pub fn short_ids(&self) -> &ShortIds {
        &self.short_ids
    }

    /// The short id printed on a pump's label.
    pub fn short_id(&self, pump: &Pump) -> Option<&ShortId> {
        self.short_ids.printed(TagId::new(pump.tag))
    }

    /// A pump by its number.
    ///
    /// # Errors
    /// Where the plant has none of this number.
    pub fn pump(&self, id: &PumpId) -> Result<&Pump, AppError> {
        self.by_id
            .get(id)
            .map(|&i| &self.plant.pumps[i])
            .ok_or_else(|| AppError::UnknownPump(id.clone()))
    }

    /// A pump by its tag.
    pub fn pump_by_tag(&self, tag: TagId) -> Option<&Pump> {
        self.by_tag.get(&tag.uuid()).map(|&i| &self.plant.pumps[i])
    }

    /// The pumps an adopted code stands for. More than one where two devices adopted it for different pumps.
    pub fn pumps_by_adopted(&self, code: &str) -> &[PumpId] {
        self.adopted.get(code).map_or(&[], Vec::as_slice)
    }

    fn set_adopted(&mut self, adopted: Vec<AdoptedTagRow>) {
        for tag in adopted {
            let pumps = self.adopted.entry(tag.code).or_default();
            if self.by_id.contains_key(&tag.pump) && !pumps.contains(&tag.pump) {
                pumps.push(tag.pump);
            }
        }
    }
}
