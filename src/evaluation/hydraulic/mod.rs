//! What the gauges mean: head, suction margin, flow, power, and what of it cannot be.

mod how_far;
mod power;
mod suction;

use super::{
    Outcome, Situation, Worked,
    readings::{LiquidNow, Readings, USUAL_CLASS},
    worked::{between, number, told_by, with_interval},
};
use crate::{
    hydraulics::gauges::{
        AFFINITY_LAWS, CURVE, CannotCompute, Curve, FLOW_FROM_HEAD, Facts, FlowFromHead, Gauges,
        INSTRUMENT_CLASS, Implausible, NpshMargin, PLAUSIBILITY, PipeFlow, Reading, TOTAL_HEAD,
        TotalHead, UNCERTAINTY, Uncertain, WORN_PUMP_CAUTION, WhenUnknown, implausible, total_head,
    },
    hydraulics::liquid::Property,
    judge::Verdict,
    language,
    plant::{CheckId, CheckKind, Place},
    say,
};

const M3_H: f64 = 1.0 / 3_600.0;
const BAR_PA: f64 = 1e5;
/// The margin kept where the plant has set none. Common practice, no source.
const USUAL_MARGIN_M: f64 = 0.5;

const SUCTION: CheckId = CheckId::new(CheckKind::SuctionPressure, Place::Suction);
const DISCHARGE: CheckId = CheckId::new(CheckKind::DischargePressure, Place::Discharge);
const LIQUID: CheckId = CheckId::new(CheckKind::LiquidTemperature, Place::Suction);
const LEVEL: CheckId = CheckId::new(CheckKind::SuctionLevel, Place::Suction);
const FLOW: CheckId = CheckId::new(CheckKind::Flow, Place::Discharge);
const AMPS: CheckId = CheckId::new(CheckKind::MotorCurrent, Place::Driver);
const SPEED: CheckId = CheckId::new(CheckKind::ShaftSpeed, Place::Driver);

/// What was worked out as numbers, for those that reckon on from it.
#[derive(Clone, Debug, Default)]
pub(super) struct Hydraulics {
    pub total_head_m: Option<Uncertain>,
    pub curve: Option<Curve>,
    pub flow_by_meter_m3_s: Option<Uncertain>,
    pub from_head: Option<FlowFromHead>,
    pub npsh_available_m: Option<Uncertain>,
    /// The gauge or the level at the suction was read, not taken from the register.
    pub suction_was_read: bool,
    pub npsh: Option<NpshMargin>,
    pub margin_kept_m: f64,
    pub implausible: Vec<Implausible>,
}

impl Hydraulics {
    /// The flow by the meter, or else as the curve tells it.
    pub fn flow_m3_s(&self) -> Option<Uncertain> {
        self.flow_by_meter_m3_s
            .or_else(|| self.from_head.as_ref()?.flow_m3_s())
    }

    /// The same in words, and what told it. By the curve with the curve's own interval, which is longer on one side;
    /// what is reckoned on from it takes the longer side both ways.
    fn flow_words(&self) -> Option<String> {
        match (self.flow_by_meter_m3_s, &self.from_head) {
            (Some(flow), _) => {
                let flow = with_interval(flow, M3_H, "m³/h");
                Some(say!("{flow}; by the meter", flow))
            }
            (None, Some(told)) => Some(say!("{flow}; by the curve", flow = by_curve(told)?)),
            (None, None) => None,
        }
    }
}

/// Everything the gauges of a running pump tell.
pub(super) fn work_out(at: &Situation<'_>) -> (Hydraulics, Vec<Worked>) {
    let Some(readings) = Readings::of(at) else {
        return (Hydraulics::default(), without_register(at));
    };
    // Who felt a bearing is not told which gauges nobody read.
    let of_gauges = [SUCTION, DISCHARGE, LIQUID, LEVEL, FLOW, AMPS, SPEED];
    if of_gauges.into_iter().all(|check| at.entry(check).is_none()) {
        return (Hydraulics::default(), Vec::new());
    }
    let curve = readings.curve();
    let mut work = Work {
        at,
        readings,
        checks: at.checks().iter().map(|check| check.id).collect(),
        numbers: Hydraulics {
            margin_kept_m: at.plant.npsh_margin_m.unwrap_or(USUAL_MARGIN_M),
            curve: curve.as_ref().ok().cloned(),
            ..Hydraulics::default()
        },
        curve,
        lines: Vec::new(),
    };
    work.all();
    (work.numbers, work.lines)
}

/// What stands where the register says nothing to reckon with, and somebody read what would tell head and margin.
fn without_register(at: &Situation<'_>) -> Vec<Worked> {
    let of_gauges = [SUCTION, DISCHARGE, FLOW];
    if of_gauges.into_iter().all(|check| at.entry(check).is_none()) {
        return Vec::new();
    }
    let why = say!(
        "Head, suction margin and flow cannot be computed: the register says nothing of this pump's hydraulics. Have the planner enter its liquid, the bores of its pipes and its curve."
    );
    let line = Worked::cannot(say!("Head, suction margin and flow"), why, None);
    vec![line.of(of_gauges)]
}

struct Work<'a> {
    at: &'a Situation<'a>,
    readings: Readings<'a>,
    /// The checks this pump has as it runs now: no other is ever asked for.
    checks: Vec<CheckId>,
    /// The pump's curve at its speed, or why there is none.
    curve: Result<Curve, String>,
    numbers: Hydraulics,
    lines: Vec<Worked>,
}

impl Work<'_> {
    fn all(&mut self) {
        match self.readings.flow_by_meter_m3_s() {
            Ok(flow) => self.numbers.flow_by_meter_m3_s = flow,
            Err(why) => self
                .lines
                .push(Worked::cannot(say!("Flow"), why, self.here(FLOW)).of([FLOW])),
        }
        match self.readings.liquid() {
            Ok(liquid) => {
                self.head_and_flow(&liquid);
                self.npsh(&liquid);
                self.power(Some(&liquid));
            }
            Err(why) => {
                let line = Worked::cannot(say!("The liquid"), why, self.here(LIQUID));
                self.lines.push(line.of([SUCTION, DISCHARGE, LIQUID]));
                self.power(None);
            }
        }
        self.contradictions();
    }

    /// The check, where this pump has it.
    fn here(&self, check: CheckId) -> Option<CheckId> {
        self.checks.contains(&check).then_some(check)
    }

    /// The first of these that this pump has and that was not entered.
    fn missing(&self, checks: &[CheckId]) -> Option<CheckId> {
        let mut left = checks.iter().copied();
        left.find(|check| self.checks.contains(check) && self.at.entry(*check).is_none())
    }

    /// Both gauges are fitted, so that head can be had of them.
    fn has_both_gauges(&self) -> bool {
        let pump = self.at.pump;
        pump.gauge(Place::Suction).is_some() && pump.gauge(Place::Discharge).is_some()
    }

    fn head_and_flow(&mut self, liquid: &LiquidNow) {
        if !self.has_both_gauges() {
            let why = say!(
                "Total head needs a gauge on either side of the pump, and this one has not both. Have the planner see whether one can be fitted."
            );
            self.lines
                .push(Worked::cannot(say!("Total head"), why, None).of([SUCTION, DISCHARGE]));
            return;
        }
        // A flow told from the head without velocity head is near enough to reckon that small part with.
        let without = self.total_head(liquid, None);
        let by_meter = self.numbers.flow_by_meter_m3_s;
        let flow = by_meter.or_else(|| {
            let (curve, head) = (self.curve.as_ref().ok()?, without.as_ref().ok()?);
            curve.flow_from_head(head.total_head_m).flow_m3_s()
        });
        match self.total_head(liquid, flow) {
            Ok(head) => {
                self.numbers.total_head_m = Some(head.total_head_m);
                self.lines.push(self.head_line(&head, liquid));
                self.flow_line(head.total_head_m, liquid);
            }
            Err(why) => {
                let missing = self.missing(&[SUCTION, DISCHARGE]);
                self.lines.push(
                    Worked::cannot(say!("Total head"), why, missing).of([SUCTION, DISCHARGE]),
                );
            }
        }
    }

    fn total_head(
        &self,
        liquid: &LiquidNow,
        flow_m3_s: Option<Uncertain>,
    ) -> Result<TotalHead, CannotCompute> {
        let gauges = Gauges {
            suction: self.readings.suction()?,
            discharge: self.readings.discharge()?,
        };
        let pipes = PipeFlow {
            flow_m3_s,
            suction_bore_m: self.readings.suction_bore_m(),
            discharge_bore_m: self.readings.discharge_bore_m(),
        };
        total_head(&gauges, liquid.density_kg_m3, &pipes, WhenUnknown::LeaveOut)
    }

    fn head_line(&self, head: &TotalHead, liquid: &LiquidNow) -> Worked {
        let words = with_interval(head.total_head_m, 1.0, "m");
        let line = Worked::is(say!("Total head"), words, TOTAL_HEAD).of([SUCTION, DISCHARGE]);
        let line = self.gauge_row(line, say!("Suction gauge"), Place::Suction);
        let line = self.gauge_row(line, say!("Discharge gauge"), Place::Discharge);
        let line = self
            .liquid_rows(line, liquid)
            .row(say!("From the gauges' difference"), metres(head.pressure_m))
            .row(say!("From their heights"), metres(head.elevation_m))
            .row(say!("Velocity head"), head.velocity.to_string())
            .row(say!("Gauges"), told_by(INSTRUMENT_CLASS))
            .row(say!("Intervals"), told_by(UNCERTAINTY));
        let known = self.readings.known;
        if known.suction_bore_mm.is_some() && known.discharge_bore_mm.is_some() {
            return line;
        }
        line.caution(say!(
            "Velocity head is left out. Have the planner enter the inside diameter of both pipes where the gauges are tapped."
        ))
    }

    /// What a gauge showed, and how well it shows it.
    pub(super) fn gauge_row(&self, line: Worked, name: &str, place: Place) -> Worked {
        let reading = match place {
            Place::Suction => self.readings.suction(),
            _ => self.readings.discharge(),
        };
        let (Ok(Some(reading)), Some(gauge)) = (reading, self.at.pump.gauge(place)) else {
            return line;
        };
        let shown = with_interval(reading.gauge_pressure_pa, BAR_PA, "bar");
        let words = match gauge.accuracy_class {
            Some(class) => say!("{shown}; class {class}", shown, class),
            None => say!(
                "{shown}; class {class} taken, the register gives none",
                shown,
                class = USUAL_CLASS
            ),
        };
        line.row(name, words)
    }

    fn liquid_rows(&self, line: Worked, liquid: &LiquidNow) -> Worked {
        let degrees = number(liquid.temperature_c, 0.5);
        let temperature = if liquid.was_read {
            say!("{degrees} °C, read", degrees)
        } else {
            say!("{degrees} °C, its usual one by the register", degrees)
        };
        line.row(
            say!("Liquid"),
            say!(
                "{liquid}, reckoned as {model}",
                liquid = self.at.pump.liquid,
                model = self.readings.known.reckoned_as
            ),
        )
        .row(say!("Temperature"), temperature)
        .row(
            say!("Density"),
            with_interval(liquid.density_kg_m3, 1.0, "kg/m³"),
        )
        .row(say!("Density by"), told_by_property(liquid.density))
    }

    /// Why there is no curve, and the entry that would give one.
    fn without_curve(&self, name: &str, why: &str) -> Worked {
        let is_in_register = self.readings.known.curve.is_some();
        let speed = is_in_register.then(|| self.here(SPEED)).flatten();
        Worked::cannot(name, why, speed)
    }

    fn flow_line(&mut self, head_m: Uncertain, liquid: &LiquidNow) {
        let name = say!("Flow by the curve");
        let curve = match &self.curve {
            Ok(curve) => curve,
            Err(why) => {
                let line = self.without_curve(name, why);
                self.lines.push(line.of([DISCHARGE]));
                return;
            }
        };
        let told = curve.flow_from_head(head_m);
        let line = match told {
            FlowFromHead::Found { .. } => {
                let words = by_curve(&told).unwrap_or_default();
                Worked::is(name, words, FLOW_FROM_HEAD)
                    .caution(told.sentence())
                    .caution(language::word(WORN_PUMP_CAUTION))
            }
            FlowFromHead::TooFlat { .. } => {
                Worked::cannot(name, self.or_by_meter(&told), self.missing(&[FLOW]))
            }
            FlowFromHead::AboveCurve { .. } => Worked::is(
                name,
                say!("head above the curve").to_owned(),
                FLOW_FROM_HEAD,
            )
            .judged(Verdict::Watch)
            .caution(told.sentence()),
            FlowFromHead::OffTheEnd { .. } => Worked::is(
                name,
                say!("beyond the curve's end").to_owned(),
                FLOW_FROM_HEAD,
            )
            .judged(Verdict::Watch)
            .caution(self.or_by_meter(&told)),
        };
        let line = thick(line, liquid)
            .of([DISCHARGE, FLOW])
            .row(say!("Total head"), with_interval(head_m, 1.0, "m"))
            .row(
                say!("Curve at"),
                say!("{speed} rpm", speed = number(curve.speed_rpm(), 0.0)),
            )
            .row(say!("Curve"), told_by(CURVE));
        let is_of_another_speed = self.readings.speed_rpm().is_some();
        let line = match is_of_another_speed {
            true => line.row(say!("Curve at this speed"), told_by(AFFINITY_LAWS)),
            false => line,
        };
        self.lines.push(line);
        self.numbers.from_head = Some(told);
    }

    /// What the head tells of the flow, and the meter where it could be read instead.
    fn or_by_meter(&self, told: &FlowFromHead) -> String {
        let mut words = told.sentence().to_owned();
        if self.missing(&[FLOW]).is_some() {
            words = format!("{words} {}", say!("Read the flow meter."));
        }
        words
    }

    fn implausible(
        &self,
        shaft_power_w: Option<Uncertain>,
        pump_efficiency: Option<Uncertain>,
    ) -> Vec<Implausible> {
        let pressure = |reading: Result<Option<_>, CannotCompute>| {
            reading
                .ok()
                .flatten()
                .map(|reading: Reading| reading.gauge_pressure_pa)
        };
        let from_head = self.numbers.from_head.as_ref();
        let facts = Facts {
            suction_gauge_pressure_pa: pressure(self.readings.suction()),
            discharge_gauge_pressure_pa: pressure(self.readings.discharge()),
            atmosphere_pa: self.readings.atmosphere_pa(),
            total_head_m: self.numbers.total_head_m,
            highest_head_m: self.numbers.curve.as_ref().map(Curve::highest_head_m),
            npsh_available_m: self.numbers.npsh_available_m,
            shaft_power_w,
            rated_power_w: Some(self.at.pump.driver.power_kw * 1e3),
            pump_efficiency,
            flow_from_head_m3_s: from_head.and_then(FlowFromHead::flow_m3_s),
            lowest_flow_from_head_m3_s: from_head.and_then(FlowFromHead::lowest_m3_s),
            flow_by_meter_m3_s: self.numbers.flow_by_meter_m3_s,
        };
        implausible(&facts).unwrap_or_default()
    }

    /// What of the readings cannot be, each as a line of its own.
    fn contradictions(&mut self) {
        if self.numbers.implausible.is_empty() {
            self.numbers.implausible = self.implausible(None, None);
        }
        for what in self.numbers.implausible.clone() {
            let of = match what {
                Implausible::SuctionBelowVacuum | Implausible::BoilsInSuction => vec![SUCTION],
                Implausible::DischargeBelowVacuum => vec![DISCHARGE],
                Implausible::PowerAboveNameplate => vec![AMPS],
                Implausible::FlowsDisagree | Implausible::HeadOfAFlowWithoutFlow => {
                    vec![FLOW, DISCHARGE]
                }
                Implausible::EfficiencyOverOne => vec![AMPS, FLOW, DISCHARGE],
                Implausible::SuctionAboveDischarge | Implausible::HeadAboveShutOff => {
                    vec![SUCTION, DISCHARGE]
                }
            };
            self.lines.push(Worked {
                name: say!("Look again").to_owned(),
                outcome: Outcome::Is {
                    words: what.sentence().to_owned(),
                    verdict: Some(Verdict::Watch),
                },
                rows: Vec::new(),
                formula: Some(PLAUSIBILITY),
                cautions: vec![what.look_next().to_owned()],
                of,
            });
        }
    }
}

/// A flow found on the curve, with its interval.
fn by_curve(told: &FlowFromHead) -> Option<String> {
    let &FlowFromHead::Found {
        flow_m3_s,
        lowest_m3_s,
        highest_m3_s,
        ..
    } = told
    else {
        return None;
    };
    let interval = (lowest_m3_s / M3_H, highest_m3_s / M3_H);
    Some(between(flow_m3_s / M3_H, interval, "m³/h"))
}

/// The formula of a liquid's property with its source, and what is simplified in it.
fn told_by_property(property: Property) -> String {
    let formula = told_by(property.formula);
    match property.approximate {
        Some(approximate) => {
            let approximation = language::word(approximate);
            say!(
                "{formula}. An approximation: {approximation}.",
                formula,
                approximation
            )
        }
        None => formula,
    }
}

/// The liquid's viscosity beside what is told by a curve made with water.
fn thick(line: Worked, liquid: &LiquidNow) -> Worked {
    /// From so many mm²/s on a pump makes less head than with water. Common practice, no source.
    const THICK_MM2_S: f64 = 20.0;
    let Some(viscosity) = liquid.viscosity else {
        return line;
    };
    let mm2_s = 1e6 * viscosity.value / liquid.density_kg_m3.value();
    let words = format!("{} mm²/s", number(mm2_s, 0.0));
    let line = line
        .row(say!("Viscosity"), words)
        .row(say!("Viscosity by"), told_by_property(viscosity));
    if mm2_s < THICK_MM2_S {
        return line;
    }
    line.caution(say!(
        "The liquid is thicker than water, with which curves are made: the pump makes less head than its curve, and a flow told by it is too high."
    ))
}

fn metres(value_m: f64) -> String {
    format!("{} m", number(value_m, 0.05))
}

/// Why not, with flows in the unit they are read in.
fn in_words(why: &CannotCompute) -> String {
    match *why {
        CannotCompute::OffTheCurve {
            flow_m3_s,
            first_m3_s,
            last_m3_s,
        } => {
            let shown = |flow: f64| number(flow / M3_H, 0.0);
            say!(
                "The curve runs from {first} to {last} m³/h and says nothing at {flow} m³/h. Check the flow, or have the planner enter more of the maker's curve.",
                first = shown(first_m3_s),
                last = shown(last_m3_s),
                flow = shown(flow_m3_s)
            )
        }
        _ => why.to_string(),
    }
}
