//! What gauges tell of a pump, and what is said where they cannot.

use lantern_ring::hydraulics::{
    gauges::*,
    liquid::{Liquid, LiquidKind},
};

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

fn reference(name: &str) -> csv::Reader<std::fs::File> {
    let path = format!("{}/tests/data/reference/{name}", env!("CARGO_MANIFEST_DIR"));
    csv::Reader::from_path(path).unwrap()
}

/// A curve made up for these tests.
fn curve() -> Curve {
    let point = |(flow_m3_s, head_m, npsh)| CurvePoint {
        flow_m3_s,
        head_m,
        npsh_required_m: Some(npsh),
        shaft_power_w: None,
    };
    let points = [
        (0.0, 42.0, 1.8),
        (0.01, 41.5, 1.9),
        (0.018, 40.0, 2.2),
        (0.03, 35.5, 3.1),
        (0.042, 27.0, 4.9),
        (0.05, 19.0, 7.0),
    ];
    Curve::new(points.map(point).to_vec(), 2_900.0).unwrap()
}

fn bare_point(flow_m3_s: f64, head_m: f64) -> CurvePoint {
    CurvePoint {
        flow_m3_s,
        head_m,
        npsh_required_m: None,
        shaft_power_w: None,
    }
}

fn bare_curve(points: &[(f64, f64)]) -> Result<Curve, CurveFault> {
    Curve::new(
        points.iter().map(|&(q, h)| bare_point(q, h)).collect(),
        2_900.0,
    )
}

fn suction(gauge_pressure_pa: f64) -> SuctionGauge {
    SuctionGauge {
        gauge_pressure_pa: Some(exact(gauge_pressure_pa)),
        elevation_m: 0.0,
        atmosphere_pa: exact(101_325.0),
        flow_m3_s: None,
        bore_m: None,
    }
}

/// The highest temperature of water by a suction gauge.
fn highest_c(
    suction: &SuctionGauge,
    needed: Uncertain,
    range: (f64, f64),
    cautious: bool,
) -> Result<HighestTemperature, CannotCompute> {
    highest_temperature(needed, range, cautious, |temperature_c| {
        let water =
            water_at(temperature_c).map_err(|why| CannotCompute::Liquid { temperature_c, why })?;
        let by_gauge = npsh_available_from_gauge(suction, &water, WhenUnknown::LeaveOut)?;
        Ok(by_gauge.npsh_available_m)
    })
}

fn water_at(temperature_c: f64) -> Result<PumpedLiquid, String> {
    let water = Liquid::new(LiquidKind::Water, None).map_err(|e| e.to_string())?;
    let density = water
        .density_kg_m3(temperature_c)
        .map_err(|e| e.to_string())?;
    let vapour = water
        .saturation_pressure_pa(temperature_c)
        .map_err(|e| e.to_string())?;
    Ok(PumpedLiquid {
        density_kg_m3: exact(density.value),
        vapour_pressure_pa: exact(vapour.value),
    })
}

#[test]
fn terms_combine_as_in_the_guides_end_gauge_example() {
    // JCGM 100:2008, H.1 (from memory), in nm, K and 1/K: 50.000 838 mm with a standard uncertainty of 32 nm
    // (first order, 31.7 before rounding).
    let standard_nm = known(50_000_623.0, 25.0);
    let difference_nm = known(215.0, 9.7);
    let expansion = known(11.5e-6, 1.2e-6);
    let temperature_k = known(-0.1, 0.41);
    let expansion_difference = known(0.0, 0.58e-6);
    let temperature_difference_k = known(0.0, 0.029);
    let length_nm = Uncertain::combine(
        "The length",
        [
            standard_nm,
            difference_nm,
            expansion,
            temperature_k,
            expansion_difference,
            temperature_difference_k,
        ],
        |[ls, d, a, t, da, dt]| ls + d - ls * (da * t + a * dt),
    )
    .unwrap();
    near(length_nm.value(), 50_000_838.0, 0.5);
    near(length_nm.half_width(), 32.0, 0.5);
}

#[test]
fn the_interval_of_a_sum_of_gauges_holds_its_95_percent() {
    // Errors evenly spread within the class limit, as the guide's 4.3.7 takes them, on a grid.
    let one = Uncertain::within_limit(0.0, 1.0).unwrap();
    let sum = Uncertain::combine("The sum", [one; 2], |[a, b]| a + b).unwrap();
    let grid: Vec<f64> = (0..400)
        .map(|i| -1.0 + (f64::from(i) + 0.5) / 200.0)
        .collect();
    let held = grid
        .iter()
        .flat_map(|a| grid.iter().map(move |b| a + b))
        .filter(|error| error.abs() <= sum.half_width())
        .count();
    let share = held as f64 / (grid.len() * grid.len()) as f64;
    assert!((0.95..0.98).contains(&share), "{share}");
}

#[test]
fn an_input_used_twice_counts_once() {
    let pressure = known(3.0, 0.2);
    let nothing = Uncertain::combine("The difference", [pressure], |[p]| p - p).unwrap();
    assert_eq!(nothing.half_width(), 0.0);
}

#[test]
fn a_gauge_errs_by_its_class_of_the_span_at_every_point() {
    // A maker's testing instructions by EN 837: 0 to 10 bar of class 1.6 may err by 0.16 bar.
    let scale = Scale::new(0.0, 10.0, 1.6).unwrap();
    near(scale.limit_of_error(), 0.16, 1e-12);
    for reading in [0.0, 5.0, 10.0] {
        let half_width = scale.read(reading).unwrap().half_width();
        near(half_width, 0.16 * 2.0 / 3.0_f64.sqrt(), 1e-12);
    }
    // A scale that begins at a vacuum: the span counts, not its upper mark.
    near(
        Scale::new(-1.0, 5.0, 1.0).unwrap().limit_of_error(),
        0.06,
        1e-12,
    );
}

#[test]
fn a_pointer_beyond_its_scale_is_refused() {
    let scale = Scale::new(0.0, 10.0, 1.6).unwrap();
    assert!(matches!(
        scale.read(10.5),
        Err(CannotCompute::OutOfRange { .. })
    ));
    assert!(Scale::new(10.0, 10.0, 1.6).is_err());
    assert!(Scale::new(0.0, 10.0, 0.0).is_err());
    assert!(Scale::new(0.0, 10.0, 160.0).is_err());
}

#[test]
fn a_flow_meter_errs_by_its_scale_or_by_its_reading() {
    let meter = |error| FlowMeter {
        full_scale_m3_s: 0.05,
        error,
    };
    let half_width =
        |error, flow| meter(error).read(flow).unwrap().half_width() * 3.0_f64.sqrt() / 2.0;
    near(
        half_width(FlowMeterError::OfFullScalePercent(2.0), 0.01),
        1e-3,
        1e-12,
    );
    near(
        half_width(FlowMeterError::OfReadingPercent(2.0), 0.01),
        2e-4,
        1e-12,
    );
    assert!(
        meter(FlowMeterError::OfReadingPercent(2.0))
            .read(0.06)
            .is_err()
    );
    assert!(
        meter(FlowMeterError::OfReadingPercent(2.0))
            .read(-0.01)
            .is_err()
    );
}

#[test]
fn equal_bores_need_no_flow_and_unequal_ones_do() {
    let at = |pa| {
        Some(Reading {
            gauge_pressure_pa: exact(pa),
            elevation_m: 0.0,
        })
    };
    let gauges = Gauges {
        suction: at(2e4),
        discharge: at(4e5),
    };
    let pipes = |suction, discharge| PipeFlow {
        flow_m3_s: None,
        suction_bore_m: Some(suction),
        discharge_bore_m: Some(discharge),
    };
    let head = |pipes, when| total_head(&gauges, exact(998.0), &pipes, when);
    assert_eq!(
        head(pipes(0.1, 0.1), WhenUnknown::Refuse).unwrap().velocity,
        VelocityHead::Included { metres: 0.0 }
    );
    let left_out = head(pipes(0.15, 0.1), WhenUnknown::LeaveOut).unwrap();
    assert_eq!(
        left_out.velocity,
        VelocityHead::LeftOut {
            missing: "the flow"
        }
    );
    assert!(
        left_out
            .velocity
            .to_string()
            .contains("the flow is not known")
    );
    let refused = head(pipes(0.15, 0.1), WhenUnknown::Refuse).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "Total head with velocity head cannot be computed without the flow. Enter the flow from a meter and the bore of each pipe at its gauge."
    );
    let no_bore = PipeFlow {
        flow_m3_s: Some(exact(0.02)),
        ..PipeFlow::default()
    };
    assert!(matches!(
        head(no_bore, WhenUnknown::Refuse),
        Err(CannotCompute::Missing {
            missing: "the bore of the suction pipe",
            ..
        })
    ));
    assert!(head(pipes(0.0, 0.1), WhenUnknown::LeaveOut).is_err());
}

#[test]
fn a_missing_gauge_is_named_with_the_entry_that_would_help() {
    let at = Some(Reading {
        gauge_pressure_pa: exact(4e5),
        elevation_m: 0.0,
    });
    let head = |suction, discharge| {
        let gauges = Gauges { suction, discharge };
        total_head(
            &gauges,
            exact(998.0),
            &PipeFlow::default(),
            WhenUnknown::LeaveOut,
        )
        .unwrap_err()
        .to_string()
    };
    assert!(head(None, at).contains("without the suction gauge. Enter its reading"));
    assert!(head(at, None).contains("without the discharge gauge. Enter its reading"));
    let no_gauge = SuctionGauge {
        gauge_pressure_pa: None,
        ..suction(0.0)
    };
    let water = water_at(20.0).unwrap();
    let refused = npsh_available_from_gauge(&no_gauge, &water, WhenUnknown::LeaveOut).unwrap_err();
    assert!(
        refused
            .to_string()
            .contains("enter the level in the suction tank")
    );
}

#[test]
fn no_pressure_is_at_or_below_perfect_vacuum() {
    let water = water_at(20.0).unwrap();
    for gauge in [-101_325.0, -2e5] {
        let refused =
            npsh_available_from_gauge(&suction(gauge), &water, WhenUnknown::LeaveOut).unwrap_err();
        assert!(matches!(refused, CannotCompute::NoAbsolutePressure { .. }));
    }
    let tank = SuctionLevel {
        level_m: Some(exact(2.0)),
        gas_gauge_pressure_pa: exact(-1.2e5),
        atmosphere_pa: exact(101_325.0),
        suction_loss_m: Some(exact(0.5)),
    };
    assert!(matches!(
        npsh_available_from_level(&tank, &water),
        Err(CannotCompute::NoAbsolutePressure { .. })
    ));
    let no_loss = SuctionLevel {
        suction_loss_m: None,
        ..tank
    };
    assert!(matches!(
        npsh_available_from_level(&no_loss, &water),
        Err(CannotCompute::Missing { .. })
    ));
}

#[test]
fn with_no_head_needed_the_highest_temperature_is_the_boiling_point() {
    // IAPWS-IF97: water under 101 325 Pa boils at 99.974 °C. Under 84 556 Pa (1 500 m) 95 °C, as a table of
    // boiling points by altitude prints (95 °C).
    for (atmosphere_pa, boils_c, within_c) in [(101_325.0, 99.974, 0.005), (84_556.0, 95.0, 0.3)] {
        let suction = SuctionGauge {
            atmosphere_pa: exact(atmosphere_pa),
            ..suction(0.0)
        };
        let found = highest_c(&suction, exact(0.0), (20.0, 150.0), false).unwrap();
        let HighestTemperature::At(found_c) = found else {
            panic!("{found:?}")
        };
        near(found_c, boils_c, within_c);
    }
}

#[test]
fn highest_temperature_and_lowest_pressure_are_two_sides_of_one_margin() {
    let needed = KeptMargin::new(0.6, 1.3)
        .unwrap()
        .npsh_needed_m(exact(3.0))
        .unwrap();
    near(needed.value(), 3.9, 1e-12);
    let suction = suction(3e4);
    let found = highest_c(&suction, needed, (20.0, 150.0), false).unwrap();
    let HighestTemperature::At(highest_c) = found else {
        panic!("{found:?}")
    };
    let lowest_pa = lowest_suction_gauge_pressure_pa(
        &suction,
        &water_at(highest_c).unwrap(),
        needed,
        WhenUnknown::LeaveOut,
    )
    .unwrap();
    near(lowest_pa.value(), 3e4, 1.0);
}

#[test]
fn the_cautious_temperature_is_lower_and_both_say_when_the_margin_is_short_already() {
    let find = |gauge, needed, cautious| {
        let suction = SuctionGauge {
            gauge_pressure_pa: Some(known(gauge, 5e3)),
            ..suction(0.0)
        };
        highest_c(&suction, exact(needed), (20.0, 150.0), cautious).unwrap()
    };
    let (HighestTemperature::At(plain), HighestTemperature::At(cautious)) =
        (find(3e4, 4.0, false), find(3e4, 4.0, true))
    else {
        panic!("no temperature")
    };
    assert!(cautious < plain - 0.5, "{cautious} {plain}");
    assert_eq!(find(3e4, 20.0, false), HighestTemperature::AlreadyShort);
    assert_eq!(find(2e6, 4.0, true), HighestTemperature::BeyondRange);
}

#[test]
fn a_liquid_that_is_not_known_at_a_temperature_says_so() {
    let refused = highest_c(&suction(3e4), exact(4.0), (20.0, 900.0), false).unwrap_err();
    assert!(
        matches!(
            refused,
            CannotCompute::Liquid {
                temperature_c: 900.0,
                ..
            }
        ),
        "{refused}"
    );
    assert!(highest_c(&suction(3e4), exact(4.0), (80.0, 20.0), false).is_err());
}

#[test]
fn the_margin_is_what_is_available_over_what_the_curve_asks() {
    let margin = npsh_margin(known(5.0, 0.3), &curve(), known(0.03, 0.001)).unwrap();
    // 100 s/m²: the slope of the same curve by an outside library, in monotone_cubic.csv.
    near(margin.npsh_required_m.value(), 3.1, 1e-12);
    near(margin.npsh_required_m.half_width(), 100.0 * 0.001, 1e-9);
    near(margin.margin_m.value(), 1.9, 1e-12);
    near(margin.margin_m.half_width(), 0.3_f64.hypot(0.1), 1e-9);
    near(margin.ratio.unwrap().value(), 5.0 / 3.1, 1e-12);
    let bare = bare_curve(&[(0.0, 40.0), (0.05, 20.0)]).unwrap();
    let refused = npsh_margin(exact(5.0), &bare, exact(0.03)).unwrap_err();
    assert!(
        refused
            .to_string()
            .contains("two or more points of the pump's curve")
    );
}

#[test]
fn the_curve_between_its_points_is_as_an_outside_library_draws_it() {
    let curve = curve();
    let mut rows = 0;
    for row in reference("monotone_cubic.csv").records() {
        let row = row.unwrap();
        let number = |i: usize| row[i].parse::<f64>().unwrap();
        let flow = known(number(1), 1e-3);
        let found = match &row[0] {
            "head" => curve.head_m(flow),
            "npsh" => curve.npsh_required_m(flow),
            other => panic!("no line {other}"),
        }
        .unwrap();
        near(found.value(), number(2), 1e-12 * number(2));
        near(found.half_width(), number(3).abs() * 1e-3, 1e-9);
        rows += 1;
    }
    assert_eq!(rows, 18);
}

#[test]
fn a_curve_that_cannot_be_names_its_point() {
    let fault = |points: &[(f64, f64)]| bare_curve(points).unwrap_err();
    assert_eq!(fault(&[(0.0, 40.0)]), CurveFault::TooFewPoints { count: 1 });
    assert_eq!(
        fault(&[(0.0, 40.0), (0.02, 38.0), (0.02, 35.0)]),
        CurveFault::FlowNotRising { point: 3 }
    );
    assert_eq!(
        fault(&[(0.0, 40.0), (0.02, 35.0), (0.03, 36.0), (0.04, 30.0)]),
        CurveFault::HeadNotFalling { point: 3 }
    );
    assert_eq!(
        fault(&[(0.0, 40.0), (0.02, 41.0)]),
        CurveFault::HeadNotFalling { point: 2 }
    );
    assert_eq!(
        fault(&[(0.0, 30.0), (0.02, 41.0), (0.03, 20.0)]),
        CurveFault::RisesTooFar { point: 2 }
    );
    assert!(matches!(
        fault(&[(0.0, 40.0), (0.02, f64::NAN)]),
        CurveFault::CannotBe {
            point: 2,
            quantity: "head",
            ..
        }
    ));
    assert!(matches!(
        fault(&[(-0.01, 40.0), (0.02, 30.0)]),
        CurveFault::CannotBe {
            point: 1,
            quantity: "flow",
            ..
        }
    ));
    let mut once = vec![bare_point(0.0, 40.0), bare_point(0.02, 30.0)];
    once[0].npsh_required_m = Some(2.0);
    assert_eq!(
        Curve::new(once, 2_900.0),
        Err(CurveFault::GivenOnce {
            quantity: "NPSH required"
        })
    );
    let two = vec![bare_point(0.0, 40.0), bare_point(0.02, 30.0)];
    assert_eq!(
        Curve::new(two, 0.0),
        Err(CurveFault::Speed { speed_rpm: 0.0 })
    );
}

#[test]
fn a_flow_beyond_the_curve_is_refused() {
    assert!(matches!(
        curve().head_m(exact(0.051)),
        Err(CannotCompute::OffTheCurve { .. })
    ));
}
