//! Power: what the liquid gets, what the motor gives, and the share between.

use super::{
    STANDARD_GRAVITY_M_S2 as G,
    error::{CannotCompute, positive, present, within},
    head::{checked_density, surely_positive},
    uncertain::Uncertain,
};
use crate::{formula::Formula, say, word};

/// How the power given to the liquid is reckoned.
pub const HYDRAULIC_POWER: Formula = Formula {
    name: word!("P_hydraulic = ρ·g·Q·H"),
    source: "Crane TP-410, examples 7.15 and 7.34 (in US units)",
};

/// How a motor's power is reckoned from amps.
pub const MOTOR_POWER: Formula = Formula {
    name: word!("P_shaft = √3·V·I·cos φ·η"),
    source: "US DOE Motor Challenge fact sheet DOE/GO-10097-517, three-phase input power",
};

/// What stands for the power factor below full load where it was not measured.
pub const PART_LOAD_POWER_FACTOR: Formula = Formula {
    name: word!(
        "cos φ between √(1 − (I₁·sin φ₁/I)²) and cos φ₁, where I₁ and cos φ₁ are at full load"
    ),
    source: "an induction motor's reactive current does not grow and its power factor does not rise as load falls from full load; bounds worked out here",
};

/// How a pump's efficiency is reckoned.
pub const PUMP_EFFICIENCY: Formula = Formula {
    name: word!("η = P_hydraulic/P_shaft"),
    source: "Crane TP-410, examples 7.15 and 7.34",
};

/// The power the pump gives the liquid, W.
///
/// Inputs are taken as independent. A flow told from the head on the curve falls as head rises, so that
/// the interval is then wider than it need be, never narrower.
///
/// # Errors
/// `NotPositive` for head or density, `OutOfRange` for a flow below zero.
pub fn hydraulic_power_w(
    flow_m3_s: Uncertain,
    total_head_m: Uncertain,
    density_kg_m3: Uncertain,
) -> Result<Uncertain, CannotCompute> {
    within(
        word!("The flow (m³/s)"),
        flow_m3_s.value(),
        (0.0, f64::MAX),
        word!("Read the flow meter again."),
    )?;
    positive(
        word!("The total head (m)"),
        total_head_m.value(),
        word!("Check that the pump runs and that the gauges are not mixed up."),
    )?;
    let density_kg_m3 = checked_density(density_kg_m3)?;
    Uncertain::combine(
        word!("Hydraulic power"),
        [flow_m3_s, total_head_m, density_kg_m3],
        |[flow, head, density]| density * G * flow * head,
    )
}

/// Where the power factor comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PowerFactor {
    /// Measured now, over 0 to 1.
    Measured(Uncertain),
    /// From the motor's plate, where it holds at full load only.
    AtFullLoad {
        /// Power factor at full load, over 0 to 1.
        power_factor: Uncertain,
        /// Full-load current on the plate, A.
        full_load_current_a: f64,
    },
}

/// What is known of a three-phase motor now.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MotorReading {
    /// Current in one line, A: the mean of the three where all were read.
    pub current_a: Option<Uncertain>,
    /// Voltage between two lines, V.
    pub voltage_v: Option<Uncertain>,
    /// Power factor.
    pub power_factor: Option<PowerFactor>,
    /// The motor's efficiency at this load, over 0 to 1. The plate's holds from full load to about half.
    pub efficiency: Option<Uncertain>,
}

/// What is to be said beside a power told from amps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AmpsCaution {
    /// Below full load with the plate's power factor.
    PartLoad,
    /// Below about half load with the plate's power factor.
    BelowHalfLoad,
    /// Above full-load current.
    AboveFullLoad,
}

impl AmpsCaution {
    /// The caution as a sentence.
    pub fn sentence(self) -> &'static str {
        match self {
            Self::PartLoad => {
                say!(
                    "The power factor on the plate holds at full load and falls below it, so that the power is known between bounds only. A measured power factor would narrow them; measuring is for a licensed electrician."
                )
            }
            // The half load of DOE/GO-10097-517, from memory.
            Self::BelowHalfLoad => {
                say!(
                    "Below about half load most of the current magnetises the motor and amps tell little about load. Go by head and flow, or have a licensed electrician measure the power."
                )
            }
            Self::AboveFullLoad => {
                say!(
                    "The current is above full load on the plate. Tell the control room, follow the plant's procedure, and leave anything electrical to a licensed electrician."
                )
            }
        }
    }
}

/// A motor's power from its amps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MotorPower {
    /// Electrical power taken, W.
    pub input_w: Uncertain,
    /// Power at the shaft, W.
    pub shaft_w: Uncertain,
    /// What is to be said with it.
    pub caution: Option<AmpsCaution>,
}

/// A three-phase motor's power from amps, volts, power factor and efficiency.
///
/// With the plate's power factor and a current below full load, the true power factor lies between the
/// bounds of [`PART_LOAD_POWER_FACTOR`]; their middle is used and their distance goes into the uncertainty.
/// Amps alone tell nothing of power: every one of the four is needed.
///
/// # Errors
/// `Missing` naming what is; `NotPositive`, `OutOfRange` for what cannot be.
pub fn motor_power(motor: &MotorReading) -> Result<MotorPower, CannotCompute> {
    const RESULT: &str = word!("Shaft power from amps");
    const PLATE: &str = word!("Enter it from the motor's plate.");
    let current_a = positive_entry(present(
        motor.current_a,
        RESULT,
        word!("the motor's current"),
        word!("Enter the amps."),
    )?)?;
    let voltage_v = positive_entry(present(
        motor.voltage_v,
        RESULT,
        word!("the voltage between lines"),
        PLATE,
    )?)?;
    let efficiency = share(
        word!("The motor's efficiency"),
        present(
            motor.efficiency,
            RESULT,
            word!("the motor's efficiency"),
            PLATE,
        )?,
    )?;
    let power_factor = present(motor.power_factor, RESULT, word!("the power factor"), PLATE)?;
    let (full_load, full_load_current_a) = match power_factor {
        // No current is below zero, so that a measured power factor is used as it is.
        PowerFactor::Measured(measured) => (measured, 0.0),
        PowerFactor::AtFullLoad {
            power_factor,
            full_load_current_a,
        } => (
            power_factor,
            positive(
                word!("The full-load current (A)"),
                full_load_current_a,
                word!("Enter it from the motor's plate."),
            )?,
        ),
    };
    let full_load = share(word!("The power factor"), full_load)?;
    // Where between its bounds the power factor stands: −1 at the lower, 1 at the upper.
    let between = Uncertain::new(0.0, 1.0)?;
    let input = |[volts, amps, factor, between]: [f64; 4]| {
        let (low, high) = power_factor_bounds(amps, factor, full_load_current_a);
        let power_factor = (low + high) / 2.0 + between * (high - low) / 2.0;
        3.0_f64.sqrt() * volts * amps * power_factor
    };
    let [volts, amps, factor] = [voltage_v, current_a, full_load];
    let input_w = Uncertain::combine(word!("Input power"), [volts, amps, factor, between], input)?;
    let shaft_w = Uncertain::combine(
        word!("Shaft power"),
        [volts, amps, factor, between, efficiency],
        |[v, i, f, b, efficiency]| input([v, i, f, b]) * efficiency,
    )?;
    let full_load_w = 3.0_f64.sqrt() * volts.value() * full_load_current_a * factor.value();
    Ok(MotorPower {
        input_w,
        shaft_w,
        caution: match power_factor {
            PowerFactor::Measured(_) => None,
            _ if amps.value() > full_load_current_a => Some(AmpsCaution::AboveFullLoad),
            _ if input_w.value() < full_load_w / 2.0 => Some(AmpsCaution::BelowHalfLoad),
            _ if amps.value() < full_load_current_a => Some(AmpsCaution::PartLoad),
            _ => None,
        },
    })
}

/// Bounds of the power factor at this current, from that at full load.
///
/// Reactive current is at most what it is at full load; the power factor is at most what it is there.
fn power_factor_bounds(current_a: f64, at_full_load: f64, full_load_current_a: f64) -> (f64, f64) {
    if current_a >= full_load_current_a {
        return (at_full_load, at_full_load);
    }
    let at_full_load_squared = (at_full_load * at_full_load).min(1.0);
    let reactive_share = (full_load_current_a / current_a).powi(2) * (1.0 - at_full_load_squared);
    let lowest = (1.0 - reactive_share).max(0.0).sqrt();
    (lowest.min(at_full_load), at_full_load)
}

/// The pump's efficiency, 0 to 1; above 1 the readings contradict each other ([`super::implausible`]).
///
/// # Errors
/// `NotPositive`, `TooUncertain` for the shaft power.
pub fn pump_efficiency(
    hydraulic_power_w: Uncertain,
    shaft_power_w: Uncertain,
) -> Result<Uncertain, CannotCompute> {
    positive(
        word!("The shaft power (W)"),
        shaft_power_w.value(),
        word!("Check that the motor runs."),
    )?;
    let shaft_power_w = surely_positive(word!("The shaft power"), shaft_power_w)?;
    Uncertain::combine(
        word!("The pump's efficiency"),
        [hydraulic_power_w, shaft_power_w],
        |[hydraulic, shaft]| hydraulic / shaft,
    )
}

fn positive_entry(entry: Uncertain) -> Result<Uncertain, CannotCompute> {
    positive(
        word!("The motor's current or voltage"),
        entry.value(),
        word!("Check that the motor runs, and read again."),
    )?;
    surely_positive(word!("The motor's current or voltage"), entry)
}

fn share(quantity: &'static str, value: Uncertain) -> Result<Uncertain, CannotCompute> {
    const REMEDY: &str = word!("Enter 0.86 for 86 %.");
    positive(quantity, value.value(), REMEDY)?;
    within(quantity, value.value(), (0.0, 1.0), REMEDY)?;
    Ok(value)
}
