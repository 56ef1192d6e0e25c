//! Each pump by itself; ids, tags and spare groups across the register.

use super::{Found, Log, Part, doubled, hydraulics, lubrication};
use crate::{
    plant::{Driver, Lubrication, Place, Plant, Priming, Pump, Seal, SuctionSource},
    say,
};
use std::collections::BTreeMap;

const BEARING_PLACES: [Place; 4] = [
    Place::PumpDe,
    Place::PumpNde,
    Place::DriverDe,
    Place::DriverNde,
];
const PIPE_PLACES: [Place; 2] = [Place::Suction, Place::Discharge];

/// Height of the water column that standard atmospheric pressure holds, m: 101 325 Pa / (998 kg/m³ × 9.80665 m/s²). No pump lifts from deeper.
const DEEPEST_LIFT_M: f64 = 10.35;

/// Below a perfect vacuum nothing can be read, bar gauge.
const PERFECT_VACUUM_BAR: f64 = -1.1;

pub fn examine(pumps: &[Pump], found: &mut Vec<Found>) {
    for (index, pump) in pumps.iter().enumerate() {
        let mut log = Log::of(Part::Pump(index), found).pump(&pump.id);
        words(pump, &mut log);
        driver(&pump.driver, &mut log);
        seal(&pump.seal, &mut log);
        bearings(pump, &mut log);
        lubrication::examine(&pump.bearings, &mut log);
        pipe_fittings(pump, &mut log);
        suction(pump, &mut log);
        if let Some(known) = &pump.hydraulics {
            hydraulics::examine(known, &mut log);
        }
    }
    for (index, _) in doubled(pumps.iter().map(|pump| pump.id.as_str())) {
        Log::of(Part::Pump(index), found)
            .pump(&pumps[index].id)
            .field("id", say!("is given twice; each pump needs its own"));
    }
    let tags: Vec<_> = pumps.iter().map(|pump| pump.tag.to_string()).collect();
    for (index, first) in doubled(tags.iter().map(String::as_str)) {
        Log::of(Part::Pump(index), found)
            .pump(&pumps[index].id)
            .field(
                "tag",
                say!(
                    "is the tag of pump {pump} too; give this pump a new one",
                    pump = pumps[first].id
                ),
            );
    }
}

pub fn references(plant: &Plant, found: &mut Vec<Found>) {
    let mut members: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (index, pump) in plant.pumps.iter().enumerate() {
        if plant.area(&pump.area).is_none() {
            Log::of(Part::Pump(index), found).pump(&pump.id).field(
                "area",
                say!(
                    "the area '{area}' is not one of the plant's areas in plant.toml",
                    area = pump.area
                ),
            );
        }
        if let Some(spare) = &pump.spare {
            members.entry(&spare.group).or_default().push(index);
        }
    }
    for (group, indices) in members {
        if let [only] = indices[..] {
            Log::of(Part::Pump(only), found)
                .pump(&plant.pumps[only].id)
                .field(
                    "spare.group",
                    say!(
                        "the group '{group}' has only this pump; a spare group needs two",
                        group
                    ),
                );
        }
    }
}

fn words(pump: &Pump, log: &mut Log<'_>) {
    log.text("name", &pump.name, 80);
    log.text("service", &pump.service, 120);
    log.text("liquid", &pump.liquid, 80);
    if let Some(hazard) = &pump.hazard {
        log.text("hazard", hazard, 200);
    }
    if let Some(spare) = &pump.spare {
        log.text("spare.group", &spare.group, 40);
    }
    if pump.tag.is_nil() {
        log.field(
            "tag",
            say!("must be an identity of its own, is all zeros; give it a random UUID"),
        );
    }
    log.within(
        "liquid_temperature_c",
        pump.liquid_temperature_c,
        -60.0..=400.0,
    );
}

fn driver(driver: &Driver, log: &mut Log<'_>) {
    log.above_zero("driver.power_kw", driver.power_kw, 30_000.0);
    log.above_zero("driver.voltage_v", driver.voltage_v, 15_000.0);
    log.above_zero("driver.full_load_amps", driver.full_load_amps, 10_000.0);
    log.above_zero("driver.speed_rpm", driver.speed_rpm, 30_000.0);
    for (field, share) in [
        ("driver.power_factor", driver.power_factor),
        ("driver.efficiency", driver.efficiency),
    ] {
        if let Some(share) = share {
            log.above_zero(field, share, 1.0);
        }
    }
}

fn seal(seal: &Seal, log: &mut Log<'_>) {
    match seal {
        Seal::Packed {
            rings,
            shaft_diameter_mm,
            ..
        } => {
            if !(1..=20).contains(rings) {
                log.field("seal.rings", say!("must be 1 to 20, is {rings}", rings));
            }
            log.above_zero("seal.shaft_diameter_mm", *shaft_diameter_mm, 1_000.0);
        }
        Seal::Mechanical { plan, feed } => {
            log.text("seal.plan", plan, 200);
            if let Some(feed) = feed {
                log.above_zero("seal.feed.flow_l_min", feed.flow_l_min, 1_000.0);
                log.above_zero("seal.feed.pressure_bar", feed.pressure_bar, 400.0);
            }
        }
    }
}

fn bearings(pump: &Pump, log: &mut Log<'_>) {
    let places: Vec<_> = pump.bearings.iter().map(|bearing| bearing.place).collect();
    places_fit("bearings", &places, &BEARING_PLACES, log);
    let fed = pump
        .bearings
        .iter()
        .any(|bearing| bearing.lubrication == Lubrication::ForcedFeed);
    if fed && pump.oil_skid.is_none() {
        log.field(
            "oil_skid",
            say!("is missing, and a bearing has forced feed; describe the skid"),
        );
    }
    if !fed && pump.oil_skid.is_some() {
        log.field(
            "oil_skid",
            say!("is described, and no bearing has forced feed; take it out or mend the bearings"),
        );
    }
}

fn pipe_fittings(pump: &Pump, log: &mut Log<'_>) {
    let strainers: Vec<_> = pump.strainers.iter().map(|s| s.place).collect();
    places_fit("strainers", &strainers, &PIPE_PLACES, log);
    let gauges: Vec<_> = pump.gauges.iter().map(|gauge| gauge.place).collect();
    places_fit("gauges", &gauges, &PIPE_PLACES, log);
    for (index, gauge) in pump.gauges.iter().enumerate() {
        let field = |name| format!("gauges[{index}].{name}");
        log.within(&field("elevation_m"), gauge.elevation_m, -50.0..=50.0);
        let (low, high) = (gauge.scale_low_bar, gauge.scale_high_bar);
        log.within(&field("scale_low_bar"), low, PERFECT_VACUUM_BAR..=1_000.0);
        log.within(&field("scale_high_bar"), high, PERFECT_VACUUM_BAR..=1_000.0);
        if let Some(class) = gauge.accuracy_class {
            log.within(&field("accuracy_class"), class, 0.05..=4.0);
        }
        if low >= high {
            log.field(
                &field("scale_high_bar"),
                say!("must be above scale_low_bar ({low}), is {high}", low, high),
            );
        }
    }
}

fn suction(pump: &Pump, log: &mut Log<'_>) {
    match pump.suction {
        SuctionSource::Flooded {
            head_m,
            glass_from_to_m,
            gas_pressure_bar,
            ..
        } => {
            log.within("suction.head_m", head_m, 0.0..=500.0);
            if let Some([from_m, to_m]) = glass_from_to_m {
                log.within("suction.glass_from_to_m", from_m, -20.0..=500.0);
                log.within("suction.glass_from_to_m", to_m, -20.0..=500.0);
                if from_m >= to_m {
                    log.field(
                        "suction.glass_from_to_m",
                        say!(
                            "the first must be below the second, is {from} and {to}",
                            from = from_m,
                            to = to_m
                        ),
                    );
                }
            }
            if let Some(bar) = gas_pressure_bar {
                log.within("suction.gas_pressure_bar", bar, PERFECT_VACUUM_BAR..=400.0);
            }
        }
        SuctionSource::Lift { lift_m } => {
            log.within("suction.lift_m", lift_m, 0.0..=DEEPEST_LIFT_M);
        }
        SuctionSource::Submerged => {}
    }
    let right = match pump.suction {
        SuctionSource::Flooded { .. } => {
            matches!(pump.priming, Priming::FloodedSuction | Priming::ClosedVent)
        }
        SuctionSource::Lift { .. } => pump.priming == Priming::Vacuum,
        SuctionSource::Submerged => pump.priming == Priming::Submerged,
    };
    if !right {
        log.field(
            "priming",
            say!("does not fit the suction: flooded goes with flooded_suction or closed_vent, lift with vacuum, submerged with submerged"),
        );
    }
}

/// Places are among the allowed ones, and none is given twice.
fn places_fit(field: &str, places: &[Place], allowed: &[Place], log: &mut Log<'_>) {
    for (index, place) in places.iter().enumerate() {
        let field = format!("{field}[{index}].place");
        if !allowed.contains(place) {
            let or = format!(" {} ", say!("between choices" => "or"));
            let allowed: Vec<_> = allowed.iter().map(|place| place.key()).collect();
            log.field(
                &field,
                say!(
                    "must be {places}, is {place}",
                    places = allowed.join(&or),
                    place = place.key()
                ),
            );
        } else if places[..index].contains(place) {
            log.field(
                &field,
                say!("{place} is given twice; keep one", place = place.key()),
            );
        }
    }
}
