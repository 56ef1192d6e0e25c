//! Rounds by themselves, and against the register.

use super::{Found, Log, Part, doubled};
use crate::{
    plant::{Plant, Round},
    say,
};

pub fn examine(rounds: &[Round], found: &mut Vec<Found>) {
    for (index, round) in rounds.iter().enumerate() {
        let mut log = Log::of(Part::Round(index), found).table(&round.id);
        log.text("name", &round.name, 80);
        log.above_zero("every_hours", round.every_hours, 8_784.0);
        if let Some(window_hours) = round.window_hours {
            log.above_zero("window_hours", window_hours, round.every_hours / 2.0);
        }
        if round.stops.is_empty() {
            log.field("stops", say!("there must be at least one"));
        }
        for (stop, _) in doubled(round.stops.iter().map(|pump| pump.as_str())) {
            log.field(
                &format!("stops[{stop}]"),
                say!(
                    "pump {pump} is on this round already; keep one stop",
                    pump = round.stops[stop]
                ),
            );
        }
    }
    for (index, _) in doubled(rounds.iter().map(|round| round.id.as_str())) {
        Log::of(Part::Round(index), found)
            .table(&rounds[index].id)
            .field("id", say!("is given twice; each round needs its own"));
    }
}

pub fn references(plant: &Plant, found: &mut Vec<Found>) {
    for (index, round) in plant.rounds.iter().enumerate() {
        for (stop, pump) in round.stops.iter().enumerate() {
            if plant.pump(pump).is_none() {
                Log::of(Part::Round(index), found).table(&round.id).field(
                    &format!("stops[{stop}]"),
                    say!("there is no pump {pump} in pumps/", pump),
                );
            }
        }
    }
}
