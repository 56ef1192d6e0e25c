//! A plant goes into JSON and comes back as it was, to the last bit of its numbers.

use lantern_ring::{
    hydraulics::liquid::Liquid,
    plant::{
        Area, Arrangement, Bearing, BearingSize, CheckId, CheckKind, CurvePoint, Dirt, Driver,
        FastestChange, Gauge, GreaseProgramme, Hydraulics, LanternRingFeed, Limits, Lubrication,
        Moisture, OilSkid, Place, Plant, Priming, Pump, PumpCurve, Rolling, Round, Seal, SealFeed,
        Spare, SpareRole, Strainer, SuctionSource, Unit, ValveAtStart, Verdict,
    },
};
use proptest::{collection, option, prelude::*, sample::select};
use uuid::Uuid;

fn words() -> impl Strategy<Value = String> {
    "[A-Za-zÄöß0-9 %°,\"\\\\/]{1,30}".prop_map(|text| format!("a{text}"))
}

fn driver() -> impl Strategy<Value = Driver> {
    (
        1e-3..2e4_f64,
        1.0..1.5e4_f64,
        1e-3..5e3_f64,
        1.0..2e4_f64,
        (1e-3..1.0_f64, 1e-3..1.0_f64, any::<bool>()),
    )
        .prop_map(
            |(kw, volts, amps, rpm, (pf, efficiency, variable_speed))| Driver {
                power_kw: kw,
                voltage_v: volts,
                full_load_amps: amps,
                speed_rpm: rpm,
                power_factor: Some(pf),
                efficiency: Some(efficiency),
                variable_speed,
            },
        )
}

fn seal() -> impl Strategy<Value = Seal> {
    let feed = (1e-3..500.0_f64, 1e-3..100.0_f64).prop_map(|(flow_l_min, pressure_bar)| SealFeed {
        flow_l_min,
        pressure_bar,
    });
    let lantern_ring = select(vec![
        LanternRingFeed::None,
        LanternRingFeed::OwnLiquid,
        LanternRingFeed::Outside,
    ]);
    prop_oneof![
        (1..=20_u8, 1.0..500.0_f64, lantern_ring).prop_map(
            |(rings, shaft_diameter_mm, lantern_ring)| Seal::Packed {
                rings,
                shaft_diameter_mm,
                lantern_ring,
            }
        ),
        (words(), option::of(feed)).prop_map(|(plan, feed)| Seal::Mechanical { plan, feed }),
    ]
}

fn suction() -> impl Strategy<Value = (SuctionSource, Priming)> {
    prop_oneof![
        (
            0.0..100.0_f64,
            option::of((0.0..5.0_f64, 0.1..5.0_f64)),
            option::of(-1.0..10.0_f64),
            any::<bool>()
        )
            .prop_map(|(head_m, glass, gas_pressure_bar, closed)| {
                let priming = if closed {
                    Priming::ClosedVent
                } else {
                    Priming::FloodedSuction
                };
                let suction = SuctionSource::Flooded {
                    head_m,
                    level_glass: glass.is_some(),
                    glass_from_to_m: glass.map(|(from_m, span_m)| [from_m, from_m + span_m]),
                    gas_pressure_bar,
                };
                (suction, priming)
            }),
        (0.0..10.0_f64).prop_map(|lift_m| (SuctionSource::Lift { lift_m }, Priming::Vacuum)),
        Just((SuctionSource::Submerged, Priming::Submerged)),
    ]
}

fn oil() -> impl Strategy<Value = (Option<String>, Option<f64>)> {
    (option::of(words()), option::of(1.0..1000.0_f64))
}

fn grease() -> impl Strategy<Value = GreaseProgramme> {
    let given = (
        0.1..500.0_f64,
        option::of(0.1..10.0_f64),
        option::of(0.1..10.0_f64),
    );
    let every = (option::of(1.0..50_000.0_f64), option::of(1.0..1500.0_f64));
    (words(), given, every).prop_map(|(grade, given, every)| GreaseProgramme {
        grade,
        grams: given.0,
        per_stroke_grams: given.1,
        per_turn_grams: given.2,
        every_running_hours: every.0,
        every_days: every.1,
    })
}

/// A size of a bearing, with what is around it.
fn size() -> impl Strategy<Value = (Option<BearingSize>, Option<Dirt>, Option<Moisture>)> {
    let rolling = select(vec![
        Rolling::Ball,
        Rolling::Cylindrical,
        Rolling::TaperedOrSpherical,
    ]);
    let size = (3.0..1e3_f64, 1.0..1e3_f64, 1.0..1e3_f64, rolling).prop_map(
        |(bore_mm, more_mm, width_mm, rolling)| BearingSize {
            bore_mm,
            outside_mm: bore_mm + more_mm,
            width_mm,
            rolling,
        },
    );
    let dirt = select(vec![Dirt::Light, Dirt::Heavy, Dirt::HeavyAbrasive]);
    let moisture = select(vec![Moisture::Dry, Moisture::Condensing, Moisture::Wet]);
    (option::of(size), option::of(dirt), option::of(moisture))
}

fn bearings() -> impl Strategy<Value = Vec<Bearing>> {
    let lubrication = select(vec![
        Lubrication::GreaseFitting,
        Lubrication::GreaseCup,
        Lubrication::OilBath,
        Lubrication::BottleOiler,
        Lubrication::ForcedFeed,
        Lubrication::Sealed,
    ]);
    let kept = (lubrication, oil(), option::of(grease()), size());
    collection::vec((kept, any::<bool>(), any::<bool>()), 0..=4).prop_map(|bearings| {
        let places = [
            Place::PumpDe,
            Place::PumpNde,
            Place::DriverDe,
            Place::DriverNde,
        ];
        let of = |(place, (kept, thermometer, vibration_stud))| {
            let (lubrication, (oil_grade, bottle_ml), grease, (size, dirt, moisture)) = kept;
            Bearing {
                place,
                lubrication,
                thermometer,
                vibration_stud,
                oil_grade,
                bottle_ml,
                grease,
                size,
                dirt,
                moisture,
            }
        };
        places.into_iter().zip(bearings).map(of).collect()
    })
}

fn gauges() -> impl Strategy<Value = Vec<Gauge>> {
    let gauge = (
        -40.0..40.0_f64,
        -1.0..10.0_f64,
        1e-3..100.0_f64,
        option::of(0.1..4.0_f64),
    );
    collection::vec(gauge, 0..=2).prop_map(|gauges| {
        let of = |(place, (elevation_m, low, span, accuracy_class))| Gauge {
            place,
            elevation_m,
            scale_low_bar: low,
            scale_high_bar: low + span,
            accuracy_class,
        };
        let places = [Place::Suction, Place::Discharge];
        places.into_iter().zip(gauges).map(of).collect()
    })
}

fn hydraulics() -> impl Strategy<Value = Hydraulics> {
    let point = (
        1e-3..50.0_f64,
        0.0..200.0_f64,
        option::of(0.0..20.0_f64),
        option::of(0.0..900.0_f64),
    );
    let points = collection::vec(point, 2..6).prop_map(|rows| {
        let mut flow_m3_h = 0.0;
        let of = |(more, head_m, npsh_required_m, shaft_power_kw)| {
            flow_m3_h += more;
            CurvePoint {
                flow_m3_h,
                head_m,
                npsh_required_m,
                shaft_power_kw,
            }
        };
        rows.into_iter().map(of).collect()
    });
    let curve =
        (100.0..4e3_f64, words(), points).prop_map(|(speed_rpm, basis, points)| PumpCurve {
            speed_rpm,
            basis,
            points,
        });
    (
        option::of(10.0..900.0_f64),
        option::of(0.0..9.0_f64),
        any::<bool>(),
        option::of(curve),
    )
        .prop_map(|(bore_mm, suction_loss_m, fitted, curve)| Hydraulics {
            reckoned_as: Liquid::Water,
            suction_bore_mm: bore_mm,
            discharge_bore_mm: bore_mm,
            suction_loss_m,
            flow_meter: fitted,
            thermometer: !fitted,
            curve,
        })
}

fn pump(index: usize) -> impl Strategy<Value = Pump> {
    let arrangement = select(vec![
        Arrangement::EndSuction,
        Arrangement::BetweenBearings,
        Arrangement::Multistage,
        Arrangement::VerticalSump,
    ]);
    let valve = select(vec![
        ValveAtStart::Open,
        ValveAtStart::Cracked,
        ValveAtStart::Shut,
    ]);
    (
        (words(), words(), words(), option::of(words())),
        (-60.0..400.0_f64, any::<u128>(), any::<bool>(), valve),
        (arrangement, driver(), seal(), bearings()),
        (gauges(), suction(), any::<bool>(), any::<bool>()),
        option::of(hydraulics()),
    )
        .prop_map(move |(texts, own, build, around, hydraulics)| {
            let (name, service, liquid, hazard) = texts;
            let (liquid_temperature_c, tag, strainer, discharge_valve_at_start) = own;
            let (arrangement, driver, seal, bearings) = build;
            let (gauges, (suction, priming), cooler, filter_gauge) = around;
            let fed = bearings
                .iter()
                .any(|bearing| bearing.lubrication == Lubrication::ForcedFeed);
            Pump {
                id: format!("P-{index}").parse().expect("id"),
                name,
                area: "a".parse().expect("id"),
                tag: Uuid::from_u128(tag | 1),
                service,
                liquid,
                liquid_temperature_c,
                hazard,
                arrangement,
                air_thermometer: cooler,
                driver,
                spare: Some(Spare {
                    group: "g".into(),
                    role: if strainer {
                        SpareRole::Duty
                    } else {
                        SpareRole::Standby
                    },
                }),
                seal,
                bearings,
                oil_skid: fed.then_some(OilSkid {
                    cooler,
                    filter_gauge,
                    heater: filter_gauge,
                }),
                strainers: if strainer {
                    vec![Strainer {
                        place: Place::Suction,
                    }]
                } else {
                    Vec::new()
                },
                gauges,
                suction,
                priming,
                discharge_valve_at_start,
                hydraulics,
            }
        })
}

fn limits() -> impl Strategy<Value = Limits> {
    (
        collection::vec(0.0..1e3_f64, 7),
        collection::vec(any::<bool>(), 7),
        option::of((1e-9..1e3_f64, 1e-3..1e3_f64)),
        1..u32::MAX,
        words(),
    )
        .prop_map(|(mut numbers, set, change, version, basis)| {
            numbers.sort_by(f64::total_cmp);
            let bound = |at: usize| set[at].then_some(numbers[at]);
            Limits {
                pump: "P-0".parse().expect("id"),
                check: CheckId::new(CheckKind::Noise, Place::Pump),
                version,
                unit: Unit::Step,
                low_stop: bound(0),
                low_act: bound(1),
                low_watch: bound(2),
                target: bound(3),
                high_watch: bound(4),
                high_act: bound(5),
                high_stop: bound(6),
                fastest_change: change.map(|(by, per_hours)| FastestChange {
                    by,
                    per_hours,
                    at_most: None,
                }),
                choices: [("knock".to_owned(), Verdict::StopPump)].into(),
                basis,
            }
        })
}

fn plant() -> impl Strategy<Value = Plant> {
    (
        (
            words(),
            any::<u32>(),
            -500.0..6e3_f64,
            option::of(1.0..100.0_f64),
            option::of(0.0..5.0_f64),
            proptest::sample::select(vec![vec![], vec![Unit::Psi, Unit::Fahrenheit]]),
        ),
        (pump(0), pump(1)),
        limits(),
        (1e-3..8e3_f64, option::of(1e-3..8e3_f64)),
    )
        .prop_map(
            |(
                (name, version, altitude_m, drops_per_ml, npsh_margin_m, units),
                (one, two),
                limits,
                (every_hours, window_hours),
            )| {
                let stops = vec![two.id.clone(), one.id.clone()];
                Plant {
                    id: "test".parse().expect("id"),
                    name,
                    version: version.max(1),
                    tag_host: "TAGS.TEST.EXAMPLE".into(),
                    altitude_m,
                    drops_per_ml,
                    npsh_margin_m,
                    units,
                    areas: vec![Area {
                        id: "a".parse().expect("id"),
                        name: "A".into(),
                    }],
                    pumps: vec![one, two],
                    limits: vec![limits],
                    rounds: vec![Round {
                        id: "r".parse().expect("id"),
                        name: "R".into(),
                        every_hours,
                        window_hours,
                        stops,
                    }],
                    procedures: Vec::new(),
                }
            },
        )
}

proptest! {
    #[test]
    fn a_plant_comes_back_from_json_as_it_was(plant in plant()) {
        let json = plant.to_json().expect("finite numbers");
        let back: Plant = serde_json::from_slice(&json).expect("a plant");
        prop_assert_eq!(&back, &plant);
        prop_assert_eq!(back.to_json().expect("finite numbers"), json);
    }

    #[test]
    fn text_that_is_no_plant_never_makes_it_panic(text in "\\PC{0,200}") {
        prop_assert!(Plant::from_json(text.as_bytes()).is_err());
        let files = [("plant.toml".to_owned(), text.clone()), ("pumps/a.toml".to_owned(), text)];
        prop_assert!(lantern_ring::plant::files::assemble(&files).is_err());
    }
}

/// Plants written before bearings had a size: their bytes, and so the hashes over them, stay what they were.
#[test]
fn a_bearing_without_a_size_is_written_as_before_there_was_one() {
    let written = r#"{"place":"driver_de","lubrication":"grease_fitting","thermometer":false,"vibration_stud":false}"#;
    let bearing: Bearing = serde_json::from_str(written).unwrap();
    assert_eq!(bearing.size, None);
    assert_eq!(serde_json::to_string(&bearing).unwrap(), written);
}
