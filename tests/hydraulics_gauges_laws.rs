//! Laws that hold whatever the readings are.

use lantern_ring::hydraulics::gauges::*;
use proptest::prelude::*;

const G: f64 = STANDARD_GRAVITY_M_S2;

fn exact(value: f64) -> Uncertain {
    Uncertain::exact(value).unwrap()
}

fn near(found: f64, wanted: f64, relative: f64) -> bool {
    (found - wanted).abs() <= relative * wanted.abs().max(1.0)
}

#[derive(Clone, Copy, Debug)]
struct Pump {
    suction_pa: f64,
    discharge_pa: f64,
    suction_m: f64,
    discharge_m: f64,
    density: f64,
    vapour_pa: f64,
    flow: f64,
    suction_bore: f64,
    discharge_bore: f64,
    /// Half width of both gauges, Pa.
    gauge_pa: f64,
}

prop_compose! {
    fn pump()(
        suction_pa in -6e4..5e5, rise_pa in 1e4..2e6, suction_m in -3.0..3.0, discharge_m in -3.0..3.0,
        density in 500.0..1_500.0, vapour_pa in 0.0..9e4, flow in 0.0..0.1,
        suction_bore in 0.05..0.4, discharge_bore in 0.05..0.4, gauge_pa in 0.0..2e4,
    ) -> Pump {
        Pump {
            suction_pa, discharge_pa: suction_pa + rise_pa, suction_m, discharge_m, density, vapour_pa, flow,
            suction_bore, discharge_bore, gauge_pa,
        }
    }
}

impl Pump {
    fn reading(&self, pa: f64, elevation_m: f64) -> Option<Reading> {
        Some(Reading {
            gauge_pressure_pa: Uncertain::new(pa, self.gauge_pa).unwrap(),
            elevation_m,
        })
    }

    fn head(&self) -> Uncertain {
        let gauges = Gauges {
            suction: self.reading(self.suction_pa, self.suction_m),
            discharge: self.reading(self.discharge_pa, self.discharge_m),
        };
        let pipes = PipeFlow {
            flow_m3_s: Some(exact(self.flow)),
            suction_bore_m: Some(self.suction_bore),
            discharge_bore_m: Some(self.discharge_bore),
        };
        total_head(&gauges, exact(self.density), &pipes, WhenUnknown::Refuse)
            .unwrap()
            .total_head_m
    }

    fn suction(&self) -> SuctionGauge {
        SuctionGauge {
            gauge_pressure_pa: Some(Uncertain::new(self.suction_pa, self.gauge_pa).unwrap()),
            elevation_m: self.suction_m,
            atmosphere_pa: exact(101_325.0),
            flow_m3_s: Some(exact(self.flow)),
            bore_m: Some(self.suction_bore),
        }
    }

    fn liquid(&self) -> PumpedLiquid {
        PumpedLiquid {
            density_kg_m3: exact(self.density),
            vapour_pressure_pa: exact(self.vapour_pa),
        }
    }

    fn npsh(&self) -> Uncertain {
        npsh_available_from_gauge(&self.suction(), &self.liquid(), WhenUnknown::Refuse)
            .unwrap()
            .npsh_available_m
    }
}

/// Feet of head as a calculator in US units has it: psi × 144 over lb/ft³, feet, and v²/2g by v = Q/A.
fn head_ft(pascals: f64, density: f64, metres: f64, flow: f64, bore: f64) -> f64 {
    let psi = pascals / 6_894.757_293_168_361;
    let lb_ft3 = density / 16.018_463_373_960_14;
    let gpm = flow / 6.309_019_64e-5;
    let bore_in = bore / 0.0254;
    // 0.3208 gpm/in² to ft/s exactly: 231 in³ per gallon over 60 s and 12 in.
    let velocity_ft_s =
        gpm * 231.0 / 60.0 / 12.0 / (std::f64::consts::PI / 4.0 * bore_in * bore_in);
    psi * 144.0 / lb_ft3 + metres / 0.3048 + velocity_ft_s.powi(2) / (2.0 * 32.174_048_556)
}

proptest! {
    #[test]
    fn head_and_npsh_are_the_same_in_us_units(pump in pump()) {
        let suction_ft = head_ft(pump.suction_pa, pump.density, pump.suction_m, pump.flow, pump.suction_bore);
        let discharge_ft = head_ft(pump.discharge_pa, pump.density, pump.discharge_m, pump.flow, pump.discharge_bore);
        let wanted_m = (discharge_ft - suction_ft) * 0.3048;
        // Both velocity heads may be far larger than their difference.
        let largest_m = suction_ft.abs().max(discharge_ft.abs()) * 0.3048;
        prop_assert!((pump.head().value() - wanted_m).abs() <= 1e-7 * largest_m.max(1.0));
        let over_vapour_ft = head_ft(101_325.0 - pump.vapour_pa, pump.density, 0.0, 0.0, 1.0);
        prop_assert!(near(pump.npsh().value(), (suction_ft + over_vapour_ft) * 0.3048, 1e-7));
    }

    #[test]
    fn raising_both_gauges_with_their_readings_changes_no_head(pump in pump(), up_m in -2.0..2.0) {
        let lost_pa = pump.density * G * up_m;
        prop_assume!(pump.suction_pa - lost_pa > -1e5);
        let raised = Pump {
            suction_pa: pump.suction_pa - lost_pa, suction_m: pump.suction_m + up_m,
            ..pump
        };
        prop_assert!(near(raised.head().value(), pump.head().value(), 1e-9));
        prop_assert!(near(raised.npsh().value(), pump.npsh().value(), 1e-9));
        let both_higher = Pump {
            suction_m: pump.suction_m + up_m, discharge_m: pump.discharge_m + up_m,
            ..pump
        };
        prop_assert!(near(both_higher.head().value(), pump.head().value(), 1e-9));
    }

    #[test]
    fn a_coarser_class_never_narrows_any_interval(pump in pump(), coarser in 1.0..5.0, span_pa in 1e5..2e6) {
        let at_class = |class| Pump { gauge_pa: Scale::new(0.0, span_pa, class).unwrap().limit_of_error(), ..pump };
        let (fine, coarse) = (at_class(1.0), at_class(coarser));
        prop_assert!(fine.head().half_width() > 0.0);
        // Rounding of large velocity heads allowed for.
        prop_assert!(coarse.head().half_width() >= fine.head().half_width() * (1.0 - 1e-6));
        prop_assert!(coarse.npsh().half_width() >= fine.npsh().half_width() * (1.0 - 1e-6));
        let reading = |class| Scale::new(0.0, span_pa, class).unwrap().read(span_pa / 2.0).unwrap();
        prop_assert!(reading(coarser).half_width() >= reading(1.0).half_width());
    }

    #[test]
    fn at_the_lowest_suction_pressure_there_is_just_the_head_needed(pump in pump(), needed_m in 1.0..12.0) {
        let lowest = lowest_suction_gauge_pressure_pa(
            &pump.suction(), &pump.liquid(), exact(needed_m), WhenUnknown::Refuse,
        );
        match lowest {
            Ok(lowest_pa) => {
                let at_lowest = Pump { suction_pa: lowest_pa.value(), ..pump };
                prop_assert!(near(at_lowest.npsh().value(), needed_m, 1e-8));
            }
            Err(why) => prop_assert!(matches!(why, CannotCompute::NoAbsolutePressure { .. }), "{why}"),
        }
    }
}

prop_compose! {
    /// Falling curves of two to seven points.
    fn falling_curve()(
        steps in prop::collection::vec((0.002..0.02, 0.3..15.0), 1..7), end_head in 1.0..20.0,
    ) -> Curve {
        let head = end_head + steps.iter().map(|(_, fall)| fall).sum::<f64>();
        let mut at = (0.0, head);
        let mut points = vec![at];
        for (along, fall) in steps {
            at = (at.0 + along, at.1 - fall);
            points.push(at);
        }
        let point = |(flow_m3_s, head_m)| CurvePoint {
            flow_m3_s, head_m, npsh_required_m: Some(1.0 + 100.0 * flow_m3_s), shaft_power_w: None,
        };
        Curve::new(points.into_iter().map(point).collect(), 1_480.0).unwrap()
    }
}

proptest! {
    #[test]
    fn a_curve_passes_through_its_points_and_only_falls(curve in falling_curve()) {
        for point in curve.points() {
            let head = curve.head_m(exact(point.flow_m3_s)).unwrap().value();
            prop_assert!(near(head, point.head_m, 1e-12));
        }
        let (first, end) = curve.flow_range_m3_s();
        let heads: Vec<f64> = (0..=200)
            .map(|i| curve.head_m(exact((first + (end - first) * f64::from(i) / 200.0).min(end))).unwrap().value())
            .collect();
        prop_assert!(heads.windows(2).all(|pair| pair[1] <= pair[0] + 1e-12));
    }

    #[test]
    fn flow_from_head_turns_head_from_flow_around(curve in falling_curve(), share in 0.0..1.0) {
        let flow = curve.flow_range_m3_s().1 * share;
        let head = curve.head_m(exact(flow)).unwrap();
        let FlowFromHead::Found { flow_m3_s, .. } = curve.flow_from_head(head) else {
            return Err(TestCaseError::fail("no flow"));
        };
        // Where the curve is level, many flows have nearly one head: the head must come back, whatever the flow.
        let back = curve.head_m(exact(flow_m3_s)).unwrap();
        prop_assert!(near(back.value(), head.value(), 1e-9));
        if curve.head_m(Uncertain::new(flow, 1.0).unwrap()).unwrap().half_width() > 10.0 {
            prop_assert!((flow_m3_s - flow).abs() < 1e-6, "{flow_m3_s} {flow}");
        }
    }

    #[test]
    fn the_interval_of_a_flow_holds_the_flow_and_widens_with_the_heads(
        curve in falling_curve(), share in 0.0..1.0, half in 0.01..2.0, more in 1.0..3.0,
    ) {
        let flow = curve.flow_range_m3_s().1 * share;
        let head_m = curve.head_m(exact(flow)).unwrap().value();
        let interval = |half_width| match curve.flow_from_head(Uncertain::new(head_m, half_width).unwrap()) {
            FlowFromHead::Found { lowest_m3_s, highest_m3_s, .. }
            | FlowFromHead::TooFlat { lowest_m3_s, highest_m3_s, .. } => (lowest_m3_s, highest_m3_s),
            other => panic!("{other:?}"),
        };
        let (narrow, wide) = (interval(half), interval(half * more));
        prop_assert!(narrow.0 <= flow + 1e-12 && flow <= narrow.1 + 1e-12);
        prop_assert!(wide.0 <= narrow.0 + 1e-12 && narrow.1 <= wide.1 + 1e-12);
    }

    #[test]
    fn a_curve_taken_to_another_speed_and_back_is_the_same(curve in falling_curve(), rpm in 500.0..3_600.0) {
        let back = curve.at_speed(rpm).unwrap().at_speed(curve.speed_rpm()).unwrap();
        for (was, is) in curve.points().iter().zip(back.points()) {
            prop_assert!(near(is.flow_m3_s, was.flow_m3_s, 1e-9) && near(is.head_m, was.head_m, 1e-9));
        }
    }

    #[test]
    fn no_input_brings_out_a_number_that_is_none(n in prop::array::uniform6(any::<f64>()), w in any::<f64>()) {
        let uncertain = |x: f64| Uncertain::new(x, w.abs()).or_else(|_| Uncertain::exact(x)).ok();
        let reading = |x, elevation_m| uncertain(x).map(|gauge_pressure_pa| Reading { gauge_pressure_pa, elevation_m });
        let mut found = Vec::new();
        let pipes = PipeFlow { flow_m3_s: uncertain(n[4]), suction_bore_m: Some(n[5]), discharge_bore_m: Some(w) };
        let gauges = Gauges { suction: reading(n[0], n[1]), discharge: reading(n[2], n[3]) };
        if let Some(density) = uncertain(n[5])
            && let Ok(head) = total_head(&gauges, density, &pipes, WhenUnknown::LeaveOut)
        {
            found.push(head.total_head_m);
            found.push(exact(head.pressure_m));
            found.push(exact(head.elevation_m));
        }
        if let (Some(atmosphere_pa), Some(vapour_pressure_pa), Some(density_kg_m3)) =
            (uncertain(n[0]), uncertain(n[1]), uncertain(n[2]))
        {
            let liquid = PumpedLiquid { density_kg_m3, vapour_pressure_pa };
            let suction = SuctionGauge {
                gauge_pressure_pa: uncertain(n[3]), elevation_m: n[4], atmosphere_pa,
                flow_m3_s: uncertain(n[5]), bore_m: Some(w),
            };
            found.extend(
                npsh_available_from_gauge(&suction, &liquid, WhenUnknown::LeaveOut).map(|it| it.npsh_available_m),
            );
            found.extend(lowest_suction_gauge_pressure_pa(&suction, &liquid, density_kg_m3, WhenUnknown::LeaveOut));
            found.extend(hydraulic_power_w(atmosphere_pa, vapour_pressure_pa, density_kg_m3));
            found.extend(pump_efficiency(atmosphere_pa, vapour_pressure_pa));
            let motor = MotorReading {
                current_a: Some(atmosphere_pa), voltage_v: Some(vapour_pressure_pa),
                power_factor: Some(PowerFactor::AtFullLoad { power_factor: exact(0.86), full_load_current_a: n[5] }),
                efficiency: Some(exact(0.9)),
            };
            found.extend(motor_power(&motor).map(|power| power.shaft_w));
        }
        prop_assert!(found.iter().all(|it| it.value().is_finite() && it.half_width().is_finite() && it.half_width() >= 0.0));
    }

    #[test]
    fn no_points_bring_out_a_number_that_is_none(
        points in prop::collection::vec((any::<f64>(), any::<f64>()), 2..4), head in any::<f64>(), flow in any::<f64>(),
    ) {
        let point = |&(flow_m3_s, head_m): &(f64, f64)| CurvePoint {
            flow_m3_s: flow_m3_s.abs(), head_m: head_m.abs(), npsh_required_m: None, shaft_power_w: None,
        };
        let mut points: Vec<CurvePoint> = points.iter().map(point).collect();
        points.sort_by(|a, b| a.flow_m3_s.total_cmp(&b.flow_m3_s));
        // Heads put in falling order, so that many get past the examination.
        let mut heads: Vec<f64> = points.iter().map(|point| point.head_m).collect();
        heads.sort_by(|a, b| b.total_cmp(a));
        for (point, head_m) in points.iter_mut().zip(heads) {
            point.head_m = head_m;
        }
        let Ok(curve) = Curve::new(points, 2_900.0) else { return Ok(()) };
        if let (Ok(head), Ok(flow)) = (Uncertain::exact(head), Uncertain::exact(flow)) {
            let numbers = match curve.flow_from_head(head) {
                FlowFromHead::Found { flow_m3_s, lowest_m3_s, highest_m3_s, .. } =>
                    vec![flow_m3_s, lowest_m3_s, highest_m3_s],
                FlowFromHead::TooFlat { lowest_m3_s, highest_m3_s, share } => vec![lowest_m3_s, highest_m3_s, share],
                FlowFromHead::AboveCurve { by_m } | FlowFromHead::OffTheEnd { by_m } => vec![by_m],
            };
            prop_assert!(numbers.iter().all(|number| number.is_finite()), "{numbers:?}");
            if let Ok(head) = curve.head_m(flow) {
                prop_assert!(head.value().is_finite());
            }
        }
        let middle = curve.points()[0].flow_m3_s / 2.0 + curve.points()[1].flow_m3_s / 2.0;
        if let Ok(head) = curve.head_m(exact(middle)) {
            prop_assert!(head.value().is_finite());
        }
    }
}
