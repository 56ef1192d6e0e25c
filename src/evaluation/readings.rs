//! A pump's readings as the hydraulics want them: SI, each with how well it is known.

use super::Situation;
use crate::{
    hydraulics::{
        atmosphere::atmospheric_pressure_pa,
        gauges::{
            CannotCompute, Curve, CurvePoint, FlowMeter, FlowMeterError, PumpedLiquid, Reading,
            Scale, Uncertain,
        },
        liquid::{LiquidError, Property},
    },
    plant::{CheckKind, Gauge, Hydraulics, Place, SuctionSource, Unit},
    say,
};

/// Accuracy class where the register gives none: 1.6 of EN 837-1, the usual one of plant gauges. Common practice, no
/// source.
pub(super) const USUAL_CLASS: f64 = 1.6;
/// Fitted ammeters: class 2.5 of the scale, taken as one and a half times full load. Common practice, no source.
const AMMETER_CLASS: f64 = 2.5;
const AMMETER_FULL_SCALE: f64 = 1.5;
/// A plant flow meter reads within 2 % of what flows. Common practice, no source.
const FLOW_METER_PERCENT: f64 = 2.0;
/// A thermometer in the suction line reads within 1 °C, and a usual temperature is meant within 3 °C. Common practice,
/// no source.
const THERMOMETER_C: f64 = 1.0;
const USUAL_TEMPERATURE_C: f64 = 3.0;
/// Weather moves the air's pressure by about 2 kPa either way. Common practice, no source.
const WEATHER_PA: f64 = 2_000.0;
/// The gas over a closed tank keeps its usual gauge pressure within 5 %. Common practice, no source.
const GAS_PRESSURE_SHARE: f64 = 0.05;
/// A level is read off a glass within 3 % of its height. Common practice, no source.
const GLASS_READ_WITHIN: f64 = 0.03;
/// A usual lift is meant within a quarter of a metre; the loss of a suction line within a third of it. Common practice,
/// no source.
const USUAL_LIFT_M: f64 = 0.25;
const LOSS_SHARE: f64 = 1.0 / 3.0;
/// A plate's power factor and efficiency hold within 3 %, and line voltage within 5 %. Common practice, no source.
const PLATE_SHARE: f64 = 0.03;
const VOLTAGE_SHARE: f64 = 0.05;
/// Density differs by 1 % from that of the liquid it is reckoned as. Common practice, no source.
const DENSITY_SHARE: f64 = 0.01;

const BAR_PA: f64 = 1e5;
const SECONDS_AN_HOUR: f64 = 3_600.0;

/// The readings of one situation.
pub(super) struct Readings<'a> {
    at: &'a Situation<'a>,
    pub known: &'a Hydraulics,
}

/// Where the surface the pump takes from stands.
#[derive(Clone, Copy)]
pub(super) struct SurfaceHeight {
    /// Height above the pump's centre line, m; negative below.
    pub height_m: Uncertain,
    /// It was read, not taken from the register.
    pub was_read: bool,
}

/// The liquid at its temperature in the pump: what head, flow and power ask of it.
#[derive(Clone, Copy)]
pub(super) struct LiquidNow {
    pub temperature_c: f64,
    /// It was read, not taken from the register.
    pub was_read: bool,
    pub density_kg_m3: Uncertain,
    /// What density rests on.
    pub density: Property,
    /// Dynamic viscosity, Pa·s; `None` where its formula does not reach.
    pub viscosity: Option<Property>,
}

/// The liquid with its vapour pressure: what the suction asks of it.
#[derive(Clone, Copy)]
pub(super) struct SuctionLiquid {
    pub now: LiquidNow,
    pub pumped: PumpedLiquid,
    /// What vapour pressure rests on.
    pub vapour: Property,
}

impl<'a> Readings<'a> {
    /// The readings, where the register says enough of the pump to reckon with them.
    pub fn of(at: &'a Situation<'a>) -> Option<Self> {
        let known = at.pump.hydraulics.as_ref()?;
        Some(Self { at, known })
    }

    /// A gauge that is fitted, and what was read off it.
    ///
    /// # Errors
    /// A reading off its scale.
    pub fn gauge(&self, kind: CheckKind, place: Place) -> Result<Option<Reading>, CannotCompute> {
        let Some(gauge) = self.at.pump.gauge(place) else {
            return Ok(None);
        };
        let Some(bar) = self.at.number(kind, place, Unit::Bar) else {
            return Ok(None);
        };
        Ok(Some(Reading {
            gauge_pressure_pa: pressure_pa(gauge, bar)?,
            elevation_m: gauge.elevation_m,
        }))
    }

    pub fn suction(&self) -> Result<Option<Reading>, CannotCompute> {
        self.gauge(CheckKind::SuctionPressure, Place::Suction)
    }

    pub fn discharge(&self) -> Result<Option<Reading>, CannotCompute> {
        self.gauge(CheckKind::DischargePressure, Place::Discharge)
    }

    /// The liquid, at the temperature read or else at its usual one.
    ///
    /// # Errors
    /// A temperature its density is not known at.
    pub fn liquid(&self) -> Result<LiquidNow, CannotCompute> {
        let read = self
            .at
            .number(CheckKind::LiquidTemperature, Place::Suction, Unit::Celsius);
        let temperature_c = read.unwrap_or(self.at.pump.liquid_temperature_c);
        let liquid = self.known.reckoned_as;
        let density = liquid
            .density_kg_m3(temperature_c)
            .map_err(|why| unknown_liquid(temperature_c, &why))?;
        Ok(LiquidNow {
            temperature_c,
            was_read: read.is_some(),
            density_kg_m3: Uncertain::new(density.value, density.value * DENSITY_SHARE)?,
            density,
            viscosity: liquid.viscosity_pa_s(temperature_c).ok(),
        })
    }

    /// The same liquid with its vapour pressure, whose formula may reach less far than that of density.
    ///
    /// # Errors
    /// A temperature its vapour pressure is not known at.
    pub fn in_suction(&self, now: LiquidNow) -> Result<SuctionLiquid, CannotCompute> {
        let within_c = if now.was_read {
            THERMOMETER_C
        } else {
            USUAL_TEMPERATURE_C
        };
        let liquid = self.known.reckoned_as;
        let vapour = liquid
            .saturation_pressure_pa(now.temperature_c)
            .map_err(|why| unknown_liquid(now.temperature_c, &why))?;
        Ok(SuctionLiquid {
            now,
            pumped: PumpedLiquid {
                density_kg_m3: now.density_kg_m3,
                vapour_pressure_pa: self.vapour_pressure_pa(vapour, now.temperature_c, within_c)?,
            },
            vapour,
        })
    }

    /// The liquid at a temperature that is surely the one meant.
    ///
    /// # Errors
    /// A temperature its density or its vapour pressure is not known at.
    pub fn liquid_exactly_at(&self, temperature_c: f64) -> Result<PumpedLiquid, CannotCompute> {
        let liquid = self.known.reckoned_as;
        let unknown = |why| unknown_liquid(temperature_c, &why);
        let vapour = liquid
            .saturation_pressure_pa(temperature_c)
            .map_err(unknown)?;
        let density_kg_m3 = liquid.density_kg_m3(temperature_c).map_err(unknown)?.value;
        Ok(PumpedLiquid {
            density_kg_m3: Uncertain::new(density_kg_m3, density_kg_m3 * DENSITY_SHARE)?,
            vapour_pressure_pa: Uncertain::exact(vapour.value)?,
        })
    }

    /// Vapour pressure with how far it may be off, as the temperature may be by `within_c`.
    fn vapour_pressure_pa(
        &self,
        at: Property,
        temperature_c: f64,
        within_c: f64,
    ) -> Result<Uncertain, CannotCompute> {
        // At the end of a correlation's range one side has to do.
        let liquid = self.known.reckoned_as;
        let off_c = |by_c: f64| liquid.saturation_pressure_pa(temperature_c + by_c);
        let half_width_pa = [within_c, -within_c]
            .into_iter()
            .filter_map(|by_c| off_c(by_c).ok())
            .map(|there| (there.value - at.value).abs())
            .fold(0.0, f64::max);
        Uncertain::new(at.value, half_width_pa)
    }

    /// The air's pressure at the site, absolute; `None` above and below where the standard says it.
    pub fn atmosphere_pa(&self) -> Option<Uncertain> {
        let pa = atmospheric_pressure_pa(self.at.plant.altitude_m).ok()?;
        Uncertain::new(pa, WEATHER_PA).ok()
    }

    /// What the flow meter shows.
    pub fn flow_by_meter_m3_s(&self) -> Result<Option<Uncertain>, CannotCompute> {
        let read = self
            .at
            .number(CheckKind::Flow, Place::Discharge, Unit::M3PerH);
        let Some(flow_m3_s) = read.map(|m3_h| m3_h / SECONDS_AN_HOUR) else {
            return Ok(None);
        };
        let meter = FlowMeter {
            full_scale_m3_s: (flow_m3_s * 2.0).max(f64::MIN_POSITIVE),
            error: FlowMeterError::OfReadingPercent(FLOW_METER_PERCENT),
        };
        meter.read(flow_m3_s).map(Some)
    }

    pub fn suction_bore_m(&self) -> Option<f64> {
        self.known.suction_bore_mm.map(|mm| mm / 1e3)
    }

    pub fn discharge_bore_m(&self) -> Option<f64> {
        self.known.discharge_bore_mm.map(|mm| mm / 1e3)
    }

    pub fn suction_loss_m(&self) -> Result<Option<Uncertain>, CannotCompute> {
        let loss_m = self.known.suction_loss_m;
        loss_m
            .map(|loss_m| Uncertain::new(loss_m, loss_m * LOSS_SHARE))
            .transpose()
    }

    /// Height of the liquid above the pump's centre line: by the glass where it was read and its marks' heights are
    /// known, the usual one of a lift, whose level in per cent has no height.
    pub fn level(&self) -> Result<Option<SurfaceHeight>, CannotCompute> {
        let percent = self
            .at
            .number(CheckKind::SuctionLevel, Place::Suction, Unit::Percent);
        let (height_m, was_read) = match (self.at.pump.suction, percent) {
            (
                SuctionSource::Flooded {
                    glass_from_to_m: Some([from_m, to_m]),
                    ..
                },
                Some(percent),
            ) => {
                let span_m = to_m - from_m;
                let height_m = from_m + span_m * percent / 100.0;
                let limit_m = span_m.abs() * GLASS_READ_WITHIN;
                (Uncertain::within_limit(height_m, limit_m)?, true)
            }
            (SuctionSource::Lift { lift_m }, _) => (Uncertain::new(-lift_m, USUAL_LIFT_M)?, false),
            _ => return Ok(None),
        };
        Ok(Some(SurfaceHeight { height_m, was_read }))
    }

    /// Pressure of the gas over the liquid, as the register has it; none over an open tank.
    pub fn gas_gauge_pressure_pa(&self) -> Result<Uncertain, CannotCompute> {
        match self.at.pump.suction {
            SuctionSource::Flooded {
                gas_pressure_bar: Some(bar),
                ..
            } => Uncertain::new(bar * BAR_PA, bar.abs() * BAR_PA * GAS_PRESSURE_SHARE),
            _ => Uncertain::exact(0.0),
        }
    }

    /// The curve at the speed the pump runs at.
    ///
    /// # Errors
    /// Why there is none, in words: no curve in the register, or a variable speed nobody read.
    pub fn curve(&self) -> Result<Curve, String> {
        let given = self.known.curve.as_ref().ok_or(say!(
            "The register has no curve of this pump. Have the planner enter the maker's."
        ))?;
        let points = given.points.iter().map(|point| CurvePoint {
            flow_m3_s: point.flow_m3_h / SECONDS_AN_HOUR,
            head_m: point.head_m,
            npsh_required_m: point.npsh_required_m,
            shaft_power_w: point.shaft_power_kw.map(|kw| kw * 1e3),
        });
        let curve = Curve::new(points.collect(), given.speed_rpm).map_err(|why| why.to_string())?;
        match self.speed_rpm() {
            Some(rpm) => curve.at_speed(rpm).map_err(|why| why.to_string()),
            None if self.at.pump.driver.variable_speed => Err(
                say!("This pump's speed varies, and its curve holds for one speed. Enter the shaft speed.")
                    .to_owned(),
            ),
            None => Ok(curve),
        }
    }

    /// The shaft's speed, where it was read.
    pub fn speed_rpm(&self) -> Option<f64> {
        self.at
            .number(CheckKind::ShaftSpeed, Place::Driver, Unit::Rpm)
    }

    /// The motor's current, as the fitted ammeter shows it.
    pub fn current_a(&self) -> Result<Option<Uncertain>, CannotCompute> {
        let read = self
            .at
            .number(CheckKind::MotorCurrent, Place::Driver, Unit::Ampere);
        let Some(amps) = read else { return Ok(None) };
        let full_scale = (self.at.pump.driver.full_load_amps * AMMETER_FULL_SCALE).max(amps);
        Scale::new(0.0, full_scale, AMMETER_CLASS)?
            .read(amps)
            .map(Some)
    }
}

fn unknown_liquid(temperature_c: f64, why: &LiquidError) -> CannotCompute {
    CannotCompute::Liquid {
        temperature_c,
        why: why.to_string(),
    }
}

/// A gauge's reading with its class limit; read in bar, so that words of refusal are in what was entered.
fn pressure_pa(gauge: &Gauge, bar: f64) -> Result<Uncertain, CannotCompute> {
    Scale::new(
        gauge.scale_low_bar,
        gauge.scale_high_bar,
        gauge.accuracy_class.unwrap_or(USUAL_CLASS),
    )?
    .read(bar)?
    .scaled(BAR_PA)
}

/// A number off a motor's plate.
pub(super) fn from_plate(value: f64) -> Result<Uncertain, CannotCompute> {
    Uncertain::within_limit(value, (value * PLATE_SHARE).min(1.0 - value).max(0.0))
}

/// The voltage the motor is made for, as the line has it.
pub(super) fn line_voltage(volts: f64) -> Result<Uncertain, CannotCompute> {
    Uncertain::within_limit(volts, volts * VOLTAGE_SHARE)
}
