//! The demo plant: it loads without a fault, and its numbers hang together.

use lantern_ring::{
    check::{self, EntryKind, RunningState},
    plant::{Arrangement, Lubrication, Plant, Priming, Pump, Seal, SpareRole, SuctionSource, Unit},
    sys::plant_folder,
};
use std::{collections::BTreeSet, path::Path};

fn demo_plant() -> Plant {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-plant");
    plant_folder(&folder).unwrap_or_else(|faults| {
        let lines: Vec<_> = faults.iter().map(ToString::to_string).collect();
        panic!("{}", lines.join("\n"))
    })
}

#[test]
fn the_demo_plant_loads_without_a_fault() {
    let plant = demo_plant();
    assert_eq!(plant.id.as_str(), "kestrel-ness");
    assert_eq!(plant.tag_host, "TAGS.KESTREL-NESS.EXAMPLE");
    assert!(plant.pumps.len() >= 24, "{} pumps", plant.pumps.len());
    assert!(plant.areas.len() >= 5, "{} areas", plant.areas.len());
}

#[test]
fn every_kind_of_pump_the_job_speaks_of_is_there() {
    let plant = demo_plant();
    let has = |what: &str, is: &dyn Fn(&Pump) -> bool| {
        assert!(plant.pumps.iter().any(is), "no {what}");
    };
    has("packed pump", &|p| matches!(p.seal, Seal::Packed { .. }));
    has("mechanical seal with feed", &|p| {
        matches!(&p.seal, Seal::Mechanical { feed: Some(_), .. })
    });
    has("hot multistage pump with cooler and filter gauge", &|p| {
        p.arrangement == Arrangement::Multistage
            && p.liquid_temperature_c > 120.0
            && p.oil_skid
                .is_some_and(|skid| skid.cooler && skid.filter_gauge)
    });
    has("condensate pump near boiling", &|p| {
        p.liquid.contains("condensate") && p.liquid_temperature_c > 90.0
    });
    has("intake primed by vacuum", &|p| {
        p.priming == Priming::Vacuum && matches!(p.suction, SuctionSource::Lift { .. })
    });
    has("sump pump", &|p| p.arrangement == Arrangement::VerticalSump);
    has("hazardous liquid behind a closed vent", &|p| {
        p.hazard.is_some() && p.priming == Priming::ClosedVent && p.liquid.contains("hydroxide")
    });
    has("standby pump", &|p| {
        p.spare
            .as_ref()
            .is_some_and(|spare| spare.role == SpareRole::Standby)
    });
    has("variable speed", &|p| p.driver.variable_speed);
    for lubrication in [
        Lubrication::GreaseFitting,
        Lubrication::GreaseCup,
        Lubrication::OilBath,
        Lubrication::BottleOiler,
        Lubrication::ForcedFeed,
        Lubrication::Sealed,
    ] {
        has(&format!("{lubrication:?} bearing"), &|p| {
            p.bearings.iter().any(|b| b.lubrication == lubrication)
        });
    }
}

/// Source: three-phase input kW = √3·V·I·pf/1000, US DOE motor load fact sheet; so the
/// full-load current of a motor is I = P/(√3·V·pf·η).
#[test]
fn motor_currents_agree_with_power_voltage_power_factor_and_efficiency() {
    for pump in demo_plant().pumps {
        let d = pump.driver;
        let shares = d.power_factor.expect("on the plate") * d.efficiency.expect("on the plate");
        let amps = d.power_kw * 1e3 / (3_f64.sqrt() * d.voltage_v * shares);
        let off = (d.full_load_amps - amps).abs() / amps;
        assert!(
            off <= 0.05,
            "{}: nameplate {} A, formula {amps:.1} A",
            pump.id,
            d.full_load_amps
        );
    }
}

/// Source: the 50 Hz synchronous speeds 3000, 1500 and 1000 rpm; slip of a loaded motor of this size up to 5 % (common practice, no source).
#[test]
fn motors_turn_a_little_slower_than_their_field() {
    for pump in demo_plant().pumps {
        let rpm = pump.driver.speed_rpm;
        let slip = [3000.0, 1500.0, 1000.0]
            .map(|field| (field - rpm) / field)
            .into_iter()
            .find(|slip| (0.0..0.05).contains(slip));
        assert!(slip.is_some(), "{}: {rpm} rpm", pump.id);
    }
}

#[test]
fn the_rounds_pass_every_pump() {
    let plant = demo_plant();
    let passed: BTreeSet<_> = plant.rounds.iter().flat_map(|round| &round.stops).collect();
    let all: BTreeSet<_> = plant.pumps.iter().map(|pump| &pump.id).collect();
    assert!(plant.rounds.len() >= 3);
    assert_eq!(passed, all);
}

#[test]
fn every_basis_names_a_publication_or_says_it_is_invented() {
    for limits in demo_plant().limits {
        let basis = &limits.basis;
        let says = ["invented for the demo", "manual", "ISO 10816-7", "API"];
        assert!(
            says.iter().any(|word| basis.contains(word)),
            "{} {}: {basis}",
            limits.pump,
            limits.check
        );
    }
}

/// Source of the bounds: reference rows of pump maker's manual OM-02816 (71 °C and 82 °C), API 612 as
/// quoted (oil drain at most 80 °C), ISO 10816-7:2009 category II (from memory), and the rotary pump maker's service manual F.6 (10 drops/h).
#[test]
fn limits_with_a_published_basis_hold_the_published_numbers() {
    let plant = demo_plant();
    let bound = |pump: &str, check: &str| {
        let pump = pump.parse().expect("pump id");
        let check = check.parse().expect("check id");
        plant.limits_of(&pump, check).expect("limits").clone()
    };
    let bearing = bound("ST-104A", "bearing_temperature@pump_de");
    assert_eq!(
        (bearing.high_watch, bearing.high_act),
        (Some(71.0), Some(82.0))
    );
    let fahrenheit = |value: f64| Unit::Fahrenheit.convert(value, Unit::Celsius);
    let near = |celsius: Option<f64>, printed: f64| {
        (celsius.expect("set") - fahrenheit(printed).expect("temperature")).abs() < 0.6
    };
    assert!(near(bearing.high_watch, 160.0) && near(bearing.high_act, 180.0));
    assert_eq!(
        bound("BF-301A", "bearing_temperature@pump_de").high_act,
        Some(80.0)
    );
    let vibration = bound("ST-104A", "vibration_velocity@pump_de");
    assert_eq!(
        (
            vibration.high_watch,
            vibration.high_act,
            vibration.high_stop
        ),
        (Some(3.2), Some(5.1), Some(8.5))
    );
    let caustic = bound("CH-501A", "seal_leak@seal_de");
    assert!((caustic.high_stop.expect("set") * 60.0 - 10.0).abs() < 0.5);
}

/// Source: the rule of thumb 8 to 10 drops/min for each inch of shaft (service firm's page on repacking; a 3 inch shaft gives 24 to 30).
#[test]
fn packed_stock_pumps_aim_where_the_rule_of_thumb_does() {
    let plant = demo_plant();
    let mut seen = 0;
    for limits in &plant.limits {
        if !limits.basis.contains("Rule of thumb 8 to 10") {
            continue;
        }
        let pump = plant.pump(&limits.pump).expect("its pump");
        let Seal::Packed {
            shaft_diameter_mm, ..
        } = pump.seal
        else {
            panic!("{} is not packed", pump.id);
        };
        let inches = shaft_diameter_mm / 25.4;
        let target = limits.target.expect("a target");
        assert!(
            (8.0 * inches..=10.0 * inches).contains(&target),
            "{}: {target}",
            pump.id
        );
        seen += 1;
    }
    assert!(seen >= 8, "{seen}");
}

/// Source: hydrostatic head, p = ρ·g·h, with g = 9.81 m/s² and water's density; 0.1 bar is left for friction and the gauge's height.
#[test]
fn suction_gauges_aim_at_what_the_height_of_water_gives() {
    let plant = demo_plant();
    let mut seen = 0;
    for pump in plant
        .pumps
        .iter()
        .filter(|pump| pump.liquid.contains("water") && pump.liquid_temperature_c < 60.0)
    {
        let head_m = match pump.suction {
            SuctionSource::Flooded { head_m, .. } => head_m,
            SuctionSource::Lift { lift_m } => -lift_m,
            SuctionSource::Submerged => continue,
        };
        let check = "suction_pressure@suction".parse().expect("check id");
        let Some(limits) = plant.limits_of(&pump.id, check) else {
            continue;
        };
        let bar = 998.0 * 9.81 * head_m / 1e5;
        let target = limits.target.expect("a target");
        assert!(
            (bar - target).abs() <= 0.15,
            "{}: {bar:.2} bar of water, target {target}",
            pump.id
        );
        seen += 1;
    }
    assert!(seen >= 8, "{seen}");
}

#[test]
fn the_demo_plant_comes_back_from_json_as_it_was() {
    let plant = demo_plant();
    let json = plant.to_json().expect("no number is infinite");
    let back = Plant::from_json(&json).expect("no fault");
    assert_eq!(back, plant);
    assert_eq!(back.to_json().expect("JSON"), json);
}

#[test]
fn most_checks_that_are_measured_have_limits() {
    let plant = demo_plant();
    let (mut measured, mut limited) = (0, 0);
    for pump in &plant.pumps {
        for check in check::list(pump, RunningState::Running) {
            if matches!(
                check.kind,
                EntryKind::Number { .. } | EntryKind::Count | EntryKind::Level | EntryKind::Feel(_)
            ) {
                measured += 1;
                limited += usize::from(plant.limits_of(&pump.id, check.id).is_some());
            }
        }
    }
    assert!(limited * 10 >= measured * 9, "{limited} of {measured}");
}

/// Source of the 1.86 bar: water boils at 132 °C under 2.87 bar absolute (IAPWS-IF97), 1.86 bar over the standard atmosphere.
#[test]
fn the_boiler_feed_pumps_stop_before_their_water_boils_in_the_suction() {
    let plant = demo_plant();
    let check = "suction_pressure@suction".parse().expect("check id");
    for pump in ["BF-301A", "BF-301B"] {
        let pump = pump.parse().expect("pump id");
        let stop = plant
            .limits_of(&pump, check)
            .and_then(|limits| limits.low_stop);
        assert!(stop.is_some_and(|bar| bar > 1.86), "{stop:?}");
    }
}
