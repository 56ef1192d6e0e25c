//! What gauges, amps and the curve tell of flow and power, and what contradicts itself.

use lantern_ring::hydraulics::gauges::*;

fn exact(value: f64) -> Uncertain {
    Uncertain::exact(value).unwrap()
}

fn known(value: f64, half_width: f64) -> Uncertain {
    Uncertain::new(value, half_width).unwrap()
}

#[track_caller]
fn near(found: f64, wanted: f64, within: f64) {
    assert!(
        (found - wanted).abs() <= within,
        "found {found}, wanted {wanted} within {within}"
    );
}

fn curve(points: &[(f64, f64)]) -> Curve {
    let point = |&(flow_m3_s, head_m): &(f64, f64)| CurvePoint {
        flow_m3_s,
        head_m,
        npsh_required_m: Some(2.0 + 50.0 * flow_m3_s),
        shaft_power_w: Some(6_000.0 + 2e5 * flow_m3_s),
    };
    Curve::new(points.iter().map(point).collect(), 2_900.0).unwrap()
}

fn steep() -> Curve {
    curve(&[(0.0, 50.0), (0.01, 46.0), (0.02, 38.0), (0.03, 26.0)])
}

fn flat() -> Curve {
    curve(&[(0.0, 42.0), (0.01, 41.8), (0.02, 41.0), (0.03, 38.0)])
}

#[test]
fn a_head_on_a_steep_curve_tells_the_flow_with_its_interval() {
    let found = steep().flow_from_head(known(38.0, 1.0));
    let FlowFromHead::Found {
        flow_m3_s,
        lowest_m3_s,
        highest_m3_s,
        may_be_beyond_end,
    } = found
    else {
        panic!("{found:?}")
    };
    near(flow_m3_s, 0.02, 1e-9);
    assert!(lowest_m3_s < 0.02 && highest_m3_s > 0.02 && !may_be_beyond_end);
    near(
        steep().head_m(exact(lowest_m3_s)).unwrap().value(),
        39.0,
        1e-9,
    );
    near(
        steep().head_m(exact(highest_m3_s)).unwrap().value(),
        37.0,
        1e-9,
    );
    let flow = found.flow_m3_s().unwrap();
    assert!(flow.lower() <= lowest_m3_s && flow.upper() >= highest_m3_s);
}

#[test]
fn a_flat_curve_does_not_tell_the_flow() {
    let found = flat().flow_from_head(known(41.5, 0.6));
    assert!(
        matches!(found, FlowFromHead::TooFlat { share, lowest_m3_s, .. } if share > WIDEST_TELLING_SHARE && lowest_m3_s == 0.0),
        "{found:?}"
    );
    assert_eq!(found.flow_m3_s(), None);
    assert!(found.sentence().contains("too flat"));
}

#[test]
fn a_head_above_shut_off_or_below_the_end_is_said_to_be() {
    let found = steep().flow_from_head(known(53.0, 1.0));
    assert_eq!(found, FlowFromHead::AboveCurve { by_m: 3.0 });
    let found = steep().flow_from_head(known(20.0, 1.0));
    assert_eq!(found, FlowFromHead::OffTheEnd { by_m: 6.0 });
    // Within its uncertainty of shut-off it is a flow near none, not a contradiction.
    let found = steep().flow_from_head(known(50.5, 1.0));
    assert!(
        matches!(found, FlowFromHead::Found { flow_m3_s: 0.0, .. }),
        "{found:?}"
    );
}

#[test]
fn a_head_near_the_curves_end_is_no_whole_interval() {
    let found = steep().flow_from_head(known(26.5, 1.0));
    assert!(
        matches!(
            found,
            FlowFromHead::Found {
                may_be_beyond_end: true,
                highest_m3_s: 0.03,
                ..
            }
        ),
        "{found:?}"
    );
    assert_eq!(found.flow_m3_s(), None);
}

#[test]
fn both_flows_of_a_drooping_curve_are_in_the_interval() {
    let drooping = curve(&[(0.0, 40.0), (0.005, 41.0), (0.02, 36.0), (0.04, 20.0)]);
    assert_eq!(drooping.highest_head_m(), 41.0);
    let found = drooping.flow_from_head(known(40.5, 0.1));
    let FlowFromHead::Found {
        lowest_m3_s,
        highest_m3_s,
        ..
    } = found
    else {
        panic!("{found:?}")
    };
    assert!(lowest_m3_s < 0.005 && highest_m3_s > 0.005);
    for flow in [lowest_m3_s, highest_m3_s] {
        near(drooping.head_m(exact(flow)).unwrap().value(), 40.4, 1e-9);
    }
    // Under the shut-off head only the right flow is left.
    let found = drooping.flow_from_head(known(36.0, 0.5));
    assert!(
        matches!(found, FlowFromHead::Found { lowest_m3_s, .. } if lowest_m3_s > 0.015),
        "{found:?}"
    );
}

#[test]
fn a_curve_at_another_speed_follows_the_affinity_laws() {
    // Exponents: DOE-HDBK-1012/3-92 for flow, head, power; 1.5 to a lower and 2 to a higher speed for NPSH required:
    // D. B. Andrews, newsletter of March 2007.
    let half = steep().at_speed(1_450.0).unwrap();
    let (was, is) = (steep().points()[2], half.points()[2]);
    near(is.flow_m3_s, was.flow_m3_s / 2.0, 1e-12);
    near(is.head_m, was.head_m / 4.0, 1e-12);
    near(
        is.shaft_power_w.unwrap(),
        was.shaft_power_w.unwrap() / 8.0,
        1e-9,
    );
    near(
        is.npsh_required_m.unwrap(),
        was.npsh_required_m.unwrap() / 2.0_f64.powf(1.5),
        1e-12,
    );
    let double = steep().at_speed(5_800.0).unwrap();
    near(
        double.points()[2].npsh_required_m.unwrap(),
        was.npsh_required_m.unwrap() * 4.0,
        1e-12,
    );
    assert!(steep().at_speed(0.0).is_err());
}

fn motor() -> MotorReading {
    MotorReading {
        current_a: Some(exact(28.5)),
        voltage_v: Some(exact(400.0)),
        power_factor: Some(PowerFactor::Measured(exact(0.86))),
        efficiency: Some(exact(0.912)),
    }
}

#[test]
fn amps_without_the_rest_name_what_is_missing() {
    let missing = |motor: MotorReading| motor_power(&motor).unwrap_err().to_string();
    assert_eq!(
        missing(MotorReading {
            power_factor: None,
            ..motor()
        }),
        "Shaft power from amps cannot be computed without the power factor. Enter it from the motor's plate."
    );
    assert!(
        missing(MotorReading {
            current_a: None,
            ..motor()
        })
        .contains("the motor's current")
    );
    assert!(
        missing(MotorReading {
            voltage_v: None,
            ..motor()
        })
        .contains("the voltage between lines")
    );
    assert!(
        missing(MotorReading {
            efficiency: None,
            ..motor()
        })
        .contains("the motor's efficiency")
    );
    let percent = MotorReading {
        efficiency: Some(exact(91.2)),
        ..motor()
    };
    assert!(missing(percent).contains("Enter 0.86 for 86 %."));
    assert!(
        motor_power(&MotorReading {
            current_a: Some(exact(0.0)),
            ..motor()
        })
        .is_err()
    );
}

#[test]
fn the_plates_power_factor_at_part_load_gives_bounds_that_hold_published_ones() {
    // Usual power factors by load, lower and upper ends of the ranges printed at industrialmonitordirect.com,
    // "AC induction motor power factor: load vs no load analysis". Efficiency is taken as steady.
    let loads = [0.75, 0.5, 0.25];
    for (full, at_loads) in [(0.80, [0.72, 0.60, 0.40]), (0.88, [0.82, 0.72, 0.55])] {
        let full_load_current_a = 100.0;
        for (load, power_factor) in loads.into_iter().zip(at_loads) {
            let current_a = full_load_current_a * load * full / power_factor;
            let reading = MotorReading {
                current_a: Some(exact(current_a)),
                power_factor: Some(PowerFactor::AtFullLoad {
                    power_factor: exact(full),
                    full_load_current_a,
                }),
                efficiency: Some(exact(0.9)),
                ..motor()
            };
            let found = motor_power(&reading).unwrap();
            let true_w = 3.0_f64.sqrt() * 400.0 * current_a * power_factor;
            let held = found.input_w;
            assert!(
                (held.lower()..=held.upper()).contains(&true_w),
                "{load}: {held:?} {true_w}"
            );
            let wanted = if load < 0.5 {
                AmpsCaution::BelowHalfLoad
            } else {
                AmpsCaution::PartLoad
            };
            assert_eq!(found.caution, Some(wanted), "{load} of {full}");
        }
    }
}

#[test]
fn at_full_load_the_plates_power_factor_is_used_as_it_is() {
    let at = |amps| {
        motor_power(&MotorReading {
            current_a: Some(exact(amps)),
            power_factor: Some(PowerFactor::AtFullLoad {
                power_factor: exact(0.86),
                full_load_current_a: 28.5,
            }),
            ..motor()
        })
        .unwrap()
    };
    let measured = motor_power(&motor()).unwrap();
    assert_eq!(at(28.5).shaft_w, measured.shaft_w);
    assert_eq!((at(28.5).caution, measured.caution), (None, None));
    assert_eq!(at(30.0).caution, Some(AmpsCaution::AboveFullLoad));
}

#[test]
fn published_facts_of_motors_are_covered_or_listed_with_the_reason() {
    // First words of each row of motor_current_load_facts.csv, and where it stands here.
    let rows = [
        ("three phase input kW", None),
        (
            "load fraction from input power",
            Some(
                "the load share is taken from full-load amps, volts and power factor instead; it only chooses a caution",
            ),
        ),
        (
            "slip varies",
            Some("no check reads the shaft's speed closely enough for slip"),
        ),
        (
            "nameplate full-load speed tolerance",
            Some("slip method not used"),
        ),
        (
            "NEMA MG-1 slip tolerance",
            Some("slip method not used; contradicts the row before"),
        ),
        ("slip about proportional", Some("slip method not used")),
        ("amperage method is usable", None),
        ("runout", None),
        (
            "deadheaded",
            Some("evidence for diagnosis, not a computation; status is memory"),
        ),
        (
            "voltage off nominal",
            Some("volts are not read at the pump"),
        ),
    ];
    let path = format!(
        "{}/tests/data/reference/motor_current_load_facts.csv",
        env!("CARGO_MANIFEST_DIR")
    );
    let facts: Vec<String> = csv::Reader::from_path(path)
        .unwrap()
        .records()
        .map(|row| row.unwrap()[0].to_owned())
        .collect();
    assert_eq!(facts.len(), rows.len());
    for (fact, (begins, _)) in facts.iter().zip(rows) {
        assert!(fact.starts_with(begins), "{fact} / {begins}");
    }
    let covered = rows.iter().filter(|(_, why_not)| why_not.is_none()).count();
    assert_eq!((covered, rows.len() - covered), (3, 7));
    // The three covered: √3·V·I·cos φ is checked with the worked examples, the caution below half load above, and:
    assert!(
        Implausible::PowerAboveNameplate
            .look_next()
            .contains("very low head")
    );
}

#[test]
fn efficiency_carries_the_uncertainty_of_both_powers() {
    let hydraulic =
        hydraulic_power_w(known(0.02, 0.0004), known(40.0, 0.8), exact(1_000.0)).unwrap();
    near(
        hydraulic.half_width() / hydraulic.value(),
        0.02_f64.hypot(0.02),
        1e-9,
    );
    let efficiency = pump_efficiency(hydraulic, exact(11_000.0)).unwrap();
    near(
        efficiency.half_width() / efficiency.value(),
        0.02_f64.hypot(0.02),
        1e-9,
    );
    assert!(matches!(
        pump_efficiency(hydraulic, known(900.0, 1_000.0)),
        Err(CannotCompute::TooUncertain { .. })
    ));
    assert!(hydraulic_power_w(exact(-0.02), exact(40.0), exact(1_000.0)).is_err());
    assert!(hydraulic_power_w(exact(0.02), exact(-40.0), exact(1_000.0)).is_err());
    assert!(hydraulic_power_w(exact(0.02), exact(40.0), exact(0.0)).is_err());
}

fn sound() -> Facts {
    Facts {
        suction_gauge_pressure_pa: Some(known(3e4, 5e3)),
        discharge_gauge_pressure_pa: Some(known(4.2e5, 1e4)),
        atmosphere_pa: Some(exact(101_325.0)),
        total_head_m: Some(known(40.0, 1.5)),
        highest_head_m: Some(50.0),
        npsh_available_m: Some(known(9.0, 0.5)),
        shaft_power_w: Some(known(11_000.0, 800.0)),
        rated_power_w: Some(15_000.0),
        pump_efficiency: Some(known(0.7, 0.06)),
        flow_from_head_m3_s: Some(known(0.019, 0.001)),
        lowest_flow_from_head_m3_s: Some(0.018),
        flow_by_meter_m3_s: Some(known(0.0195, 0.0005)),
    }
}

#[test]
fn sound_readings_contradict_nothing() {
    assert_eq!(implausible(&sound()).unwrap(), []);
    assert_eq!(implausible(&Facts::default()).unwrap(), []);
}

#[test]
fn each_contradiction_is_found_alone() {
    let cases = [
        (
            Facts {
                suction_gauge_pressure_pa: Some(exact(-1.1e5)),
                ..sound()
            },
            Implausible::SuctionBelowVacuum,
        ),
        (
            Facts {
                suction_gauge_pressure_pa: Some(exact(5e5)),
                ..sound()
            },
            Implausible::SuctionAboveDischarge,
        ),
        (
            Facts {
                total_head_m: Some(known(53.0, 1.5)),
                ..sound()
            },
            Implausible::HeadAboveShutOff,
        ),
        (
            Facts {
                npsh_available_m: Some(exact(-0.2)),
                ..sound()
            },
            Implausible::BoilsInSuction,
        ),
        (
            Facts {
                shaft_power_w: Some(known(17_000.0, 800.0)),
                ..sound()
            },
            Implausible::PowerAboveNameplate,
        ),
        (
            Facts {
                pump_efficiency: Some(known(1.2, 0.1)),
                ..sound()
            },
            Implausible::EfficiencyOverOne,
        ),
        (
            Facts {
                flow_by_meter_m3_s: Some(known(0.012, 0.0005)),
                ..sound()
            },
            Implausible::FlowsDisagree,
        ),
        (
            Facts {
                flow_by_meter_m3_s: Some(exact(0.0)),
                ..sound()
            },
            Implausible::HeadOfAFlowWithoutFlow,
        ),
        // A flat curve tells no one flow, but that there is one.
        (
            Facts {
                flow_from_head_m3_s: None,
                flow_by_meter_m3_s: Some(exact(0.0)),
                ..sound()
            },
            Implausible::HeadOfAFlowWithoutFlow,
        ),
    ];
    for (facts, wanted) in cases {
        assert_eq!(implausible(&facts).unwrap(), [wanted]);
        assert!(wanted.look_next().starts_with("Read "), "{wanted:?}");
        assert!(wanted.sentence().ends_with('.'));
    }
    let both = Facts {
        discharge_gauge_pressure_pa: Some(exact(-1.1e5)),
        ..sound()
    };
    assert_eq!(
        implausible(&both).unwrap(),
        [
            Implausible::DischargeBelowVacuum,
            Implausible::SuctionAboveDischarge
        ]
    );
}

#[test]
fn what_uncertainty_explains_is_no_contradiction() {
    let facts = Facts {
        suction_gauge_pressure_pa: Some(known(4.25e5, 5e3)),
        total_head_m: Some(known(51.0, 1.5)),
        shaft_power_w: Some(known(15_500.0, 800.0)),
        pump_efficiency: Some(known(1.03, 0.06)),
        ..sound()
    };
    assert_eq!(implausible(&facts).unwrap(), []);
    // At shut-off's head nothing may flow.
    let shut_off = Facts {
        flow_from_head_m3_s: None,
        lowest_flow_from_head_m3_s: Some(0.0),
        flow_by_meter_m3_s: Some(exact(0.0)),
        ..sound()
    };
    assert_eq!(implausible(&shut_off).unwrap(), []);
}
