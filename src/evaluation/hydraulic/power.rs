//! What the motor gives, and what share of it the liquid gets.

use super::{AMPS, DISCHARGE, FLOW, Work};
use crate::{
    evaluation::{
        Worked,
        readings::{LiquidNow, from_plate, line_voltage},
        worked::{number, told_by, with_interval},
    },
    hydraulics::gauges::{
        CannotCompute, HYDRAULIC_POWER, MOTOR_POWER, MotorPower, MotorReading,
        PART_LOAD_POWER_FACTOR, PUMP_EFFICIENCY, PowerFactor, Uncertain, hydraulic_power_w,
        motor_power, pump_efficiency,
    },
    say,
};

/// Makers' curves are made with clean cold water: ISO 9906 (from memory).
const COLD_WATER_KG_M3: f64 = 998.2;

impl Work<'_> {
    /// Without the liquid's density there is power at the shaft all the same, but no efficiency.
    pub(super) fn power(&mut self, liquid: Option<&LiquidNow>) {
        let name = say!("Shaft power");
        let current_a = match self.readings.current_a() {
            Ok(Some(current_a)) => current_a,
            Ok(None) => return,
            Err(why) => {
                self.lines
                    .push(Worked::cannot(name, why, self.here(AMPS)).of([AMPS]));
                return;
            }
        };
        if self.at.pump.driver.variable_speed {
            let why = say!(
                "Behind a variable-speed drive the voltage follows the speed, so that amps and the plate's voltage give no power. Read the power off the drive's own display."
            );
            self.lines.push(Worked::cannot(name, why, None).of([AMPS]));
            return;
        }
        match self.motor_power(current_a) {
            Ok(power) => {
                let driver = &self.at.pump.driver;
                let mut line =
                    Worked::is(name, with_interval(power.shaft_w, 1e3, "kW"), MOTOR_POWER)
                        .of([AMPS])
                        .row(
                            say!("of a motor" => "Current"),
                            with_interval(current_a, 1.0, "A"),
                        )
                        .row(
                            say!("Full load"),
                            format!("{} A", number(driver.full_load_amps, 0.0)),
                        )
                        .row(say!("Input power"), with_interval(power.input_w, 1e3, "kW"))
                        .row(say!("Power factor"), told_by(PART_LOAD_POWER_FACTOR));
                if let Some(caution) = power.caution {
                    line = line.caution(caution.sentence());
                }
                if let Some(by_curve) = liquid.and_then(|liquid| self.power_by_curve(liquid)) {
                    line = against_curve(line, power.shaft_w, by_curve);
                }
                self.lines.push(line);
                let efficiency = liquid.and_then(|liquid| self.efficiency(&power, liquid));
                self.numbers.implausible = self.implausible(Some(power.shaft_w), efficiency);
            }
            Err(why) => self.lines.push(Worked::cannot(name, why, None).of([AMPS])),
        }
    }

    fn motor_power(&self, current_a: Uncertain) -> Result<MotorPower, CannotCompute> {
        let driver = &self.at.pump.driver;
        let plate = |share: Option<f64>| share.map(from_plate).transpose();
        motor_power(&MotorReading {
            current_a: Some(current_a),
            voltage_v: Some(line_voltage(driver.voltage_v)?),
            power_factor: plate(driver.power_factor)?.map(|power_factor| PowerFactor::AtFullLoad {
                power_factor,
                full_load_current_a: driver.full_load_amps,
            }),
            efficiency: plate(driver.efficiency)?,
        })
    }

    /// What the pump's curve has at the flow told, W, for this liquid.
    fn power_by_curve(&self, liquid: &LiquidNow) -> Option<Uncertain> {
        let (curve, flow) = self.curve.as_ref().ok().zip(self.numbers.flow_m3_s())?;
        let with_water = curve.shaft_power_w(flow).ok()?;
        let density = liquid.density_kg_m3.value();
        with_water.scaled(density / COLD_WATER_KG_M3).ok()
    }

    /// The pump's efficiency, where flow and head are known.
    fn efficiency(&mut self, power: &MotorPower, liquid: &LiquidNow) -> Option<Uncertain> {
        let name = say!("Pump efficiency");
        let density = liquid.density_kg_m3;
        let (flow, head) = self.numbers.flow_m3_s().zip(self.numbers.total_head_m)?;
        // A pump that moves nothing is not inefficient.
        if flow.value() <= 0.0 {
            return None;
        }
        let reckoned = hydraulic_power_w(flow, head, density)
            .and_then(|hydraulic| Ok((hydraulic, pump_efficiency(hydraulic, power.shaft_w)?)));
        let (line, efficiency) = match reckoned {
            Ok((hydraulic, share)) => {
                let words = with_interval(share, 0.01, "%");
                let line = Worked::is(name, words, PUMP_EFFICIENCY)
                    .row(say!("Hydraulic power"), with_interval(hydraulic, 1e3, "kW"))
                    .row(say!("Hydraulic power by"), told_by(HYDRAULIC_POWER))
                    .row(say!("Shaft power"), with_interval(power.shaft_w, 1e3, "kW"))
                    .row(say!("Flow"), self.numbers.flow_words().unwrap_or_default())
                    .row(say!("Total head"), with_interval(head, 1.0, "m"));
                (line, Some(share))
            }
            Err(why) => (Worked::cannot(name, why, None), None),
        };
        self.lines.push(line.of([AMPS, DISCHARGE, FLOW]));
        efficiency
    }
}

/// The line with what the curve has, and what it means where the motor surely gives more or less.
fn against_curve(line: Worked, shaft_w: Uncertain, by_curve: Uncertain) -> Worked {
    let line = line.row(
        say!("Its curve has at this flow"),
        with_interval(by_curve, 1e3, "kW"),
    );
    if shaft_w.lower() > by_curve.upper() {
        line.caution(say!(
            "Surely more than the pump's curve has at this flow: something rubs, the liquid is heavier or thicker, or flow or amps are read wrong."
        ))
    } else if shaft_w.upper() < by_curve.lower() {
        line.caution(say!(
            "Surely less than the pump's curve has at this flow: it turns slower, air is with the liquid, or flow or amps are read wrong."
        ))
    } else {
        line
    }
}
