//! Net positive suction head: what is available, and the margin over what the pump needs.

use super::{
    STANDARD_GRAVITY_M_S2 as G,
    curve::Curve,
    error::{CannotCompute, finite, positive, present, within},
    head::{
        VelocityHead, WhenUnknown, checked_bore, checked_density, left_out_or_refused,
        velocity_head_m,
    },
    uncertain::Uncertain,
};
use crate::{formula::Formula, word};

/// How NPSH available is reckoned.
pub const NPSH_AVAILABLE: Formula = Formula {
    name: word!(
        "NPSHa = (p_gauge + p_atm − p_vap)/(ρ·g) + z + v²/(2·g); from a level: (p_gas + p_atm − p_vap)/(ρ·g) + z_level − h_loss"
    ),
    source: "Crane TP-410, example 7.32; ISO 9906:2012, definition of NPSH (clause from memory)",
};

/// How the margin is reckoned.
pub const NPSH_MARGIN: Formula = Formula {
    name: word!("margin = NPSHa − NPSHr; ratio = NPSHa/NPSHr"),
    source: "ANSI/HI 9.6.1, NPSH margin and margin ratio (from memory)",
};

/// The pumped liquid at its temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PumpedLiquid {
    /// Density, kg/m³.
    pub density_kg_m3: Uncertain,
    /// Vapour pressure, Pa absolute.
    pub vapour_pressure_pa: Uncertain,
}

/// The suction gauge and what surrounds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SuctionGauge {
    /// What it shows, Pa gauge; negative for a vacuum.
    pub gauge_pressure_pa: Option<Uncertain>,
    /// Height of its centre above the pump's datum, m.
    pub elevation_m: f64,
    /// Atmospheric pressure at the site, Pa absolute.
    pub atmosphere_pa: Uncertain,
    /// Flow, m³/s.
    pub flow_m3_s: Option<Uncertain>,
    /// Inside diameter of the pipe at the gauge's tapping, m.
    pub bore_m: Option<f64>,
}

/// A tank or sump the pump takes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SuctionLevel {
    /// Height of the liquid above the pump's datum, m; negative for a suction lift.
    pub level_m: Option<Uncertain>,
    /// Pressure of the gas on the liquid, Pa gauge; zero for an open tank.
    pub gas_gauge_pressure_pa: Uncertain,
    /// Atmospheric pressure at the site, Pa absolute.
    pub atmosphere_pa: Uncertain,
    /// Head lost between tank and pump at the present flow, m: pipe, fittings, strainer, entrance.
    pub suction_loss_m: Option<Uncertain>,
}

/// NPSH available and what is in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NpshAvailable {
    /// Head over the liquid's boiling, m of liquid. Zero or less: the liquid boils before the impeller.
    pub npsh_available_m: Uncertain,
    /// Velocity head at the gauge. Left out, the true figure is a little higher: on the safe side.
    pub velocity: VelocityHead,
}

/// NPSH available against what the pump needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NpshMargin {
    /// NPSH required on the pump's curve at the present flow, m.
    pub npsh_required_m: Uncertain,
    /// Available less required, m.
    pub margin_m: Uncertain,
    /// Available over required; none where the required is too poorly known to divide by.
    pub ratio: Option<Uncertain>,
}

/// NPSH available from the suction gauge.
///
/// # Errors
/// `Missing` for the gauge, or with [`WhenUnknown::Refuse`] for flow or bore; `NoAbsolutePressure` where
/// the gauge would stand at or below perfect vacuum; `NotPositive`, `OutOfRange` for what cannot be.
pub fn npsh_available_from_gauge(
    suction: &SuctionGauge,
    liquid: &PumpedLiquid,
    when_unknown: WhenUnknown,
) -> Result<NpshAvailable, CannotCompute> {
    let gauge_pressure_pa = present(
        suction.gauge_pressure_pa,
        word!("NPSH available from the gauge"),
        word!("the suction gauge"),
        word!("Enter its reading, or enter the level in the suction tank."),
    )?;
    let atmosphere_pa = checked_atmosphere(suction.atmosphere_pa)?;
    absolute(
        word!("at the suction gauge"),
        gauge_pressure_pa.value() + atmosphere_pa.value(),
    )?;
    let liquid = checked_liquid(liquid)?;
    let elevation_m = finite(word!("The suction gauge's height"), suction.elevation_m)?;
    let speed = SuctionSpeed::of(suction, when_unknown)?;
    let npsh_available_m = Uncertain::combine(
        word!("NPSH available"),
        [
            gauge_pressure_pa,
            atmosphere_pa,
            liquid.vapour_pressure_pa,
            liquid.density_kg_m3,
            speed.flow_m3_s,
        ],
        |[gauge, atmosphere, vapour, density, flow]| {
            (gauge + atmosphere - vapour) / (density * G)
                + elevation_m
                + speed.velocity_head_m(flow)
        },
    )?;
    Ok(NpshAvailable {
        npsh_available_m,
        velocity: speed.in_words(),
    })
}

/// NPSH available from the level in the tank or sump.
///
/// # Errors
/// `Missing` for the level or the suction loss; `NoAbsolutePressure` for the gas on the liquid;
/// `NotPositive`, `OutOfRange` for what cannot be.
pub fn npsh_available_from_level(
    suction: &SuctionLevel,
    liquid: &PumpedLiquid,
) -> Result<Uncertain, CannotCompute> {
    const RESULT: &str = word!("NPSH available from the level");
    let level_m = present(
        suction.level_m,
        RESULT,
        word!("the level in the suction tank"),
        word!("Enter it, or enter the suction gauge."),
    )?;
    let suction_loss_m = present(
        suction.suction_loss_m,
        RESULT,
        word!("the head lost in the suction pipe"),
        word!("Have the planner enter it for this pump, or enter the suction gauge."),
    )?;
    within(
        word!("The head lost in the suction pipe (m)"),
        suction_loss_m.value(),
        (0.0, f64::MAX),
        word!("A pipe only ever loses head: enter the loss without a minus sign."),
    )?;
    let atmosphere_pa = checked_atmosphere(suction.atmosphere_pa)?;
    absolute(
        word!("on the liquid in the suction tank"),
        suction.gas_gauge_pressure_pa.value() + atmosphere_pa.value(),
    )?;
    let liquid = checked_liquid(liquid)?;
    Uncertain::combine(
        word!("NPSH available"),
        [
            suction.gas_gauge_pressure_pa,
            atmosphere_pa,
            liquid.vapour_pressure_pa,
            liquid.density_kg_m3,
            level_m,
            suction_loss_m,
        ],
        |[gas, atmosphere, vapour, density, level, loss]| {
            (gas + atmosphere - vapour) / (density * G) + level - loss
        },
    )
}

/// The margin of NPSH available over NPSH required at this flow.
///
/// # Errors
/// `Missing` where the curve has no NPSH required, `OffTheCurve` for a flow beyond it.
pub fn npsh_margin(
    npsh_available_m: Uncertain,
    curve: &Curve,
    flow_m3_s: Uncertain,
) -> Result<NpshMargin, CannotCompute> {
    let npsh_required_m = curve.npsh_required_m(flow_m3_s)?;
    let both = [npsh_available_m, npsh_required_m];
    Ok(NpshMargin {
        npsh_required_m,
        margin_m: Uncertain::combine(word!("The NPSH margin"), both, |[a, r]| a - r)?,
        ratio: (npsh_required_m.lower() > 0.0)
            .then(|| Uncertain::combine(word!("The NPSH ratio"), both, |[a, r]| a / r))
            .transpose()?,
    })
}

/// Flow and bore at the suction gauge, as far as they are known.
pub(super) struct SuctionSpeed {
    /// The flow; zero where velocity head is left out.
    pub(super) flow_m3_s: Uncertain,
    bore_m: Result<f64, &'static str>,
}

impl SuctionSpeed {
    pub(super) fn of(
        suction: &SuctionGauge,
        when_unknown: WhenUnknown,
    ) -> Result<Self, CannotCompute> {
        let bore_m = suction.bore_m.map(checked_bore).transpose()?;
        let missing = match (suction.flow_m3_s, bore_m) {
            (Some(flow_m3_s), Some(bore_m)) => {
                return Ok(Self {
                    flow_m3_s,
                    bore_m: Ok(bore_m),
                });
            }
            (None, _) => word!("the flow"),
            (_, None) => word!("the bore of the suction pipe"),
        };
        let missing = left_out_or_refused(
            word!("NPSH available with velocity head"),
            missing,
            when_unknown,
        )?;
        Ok(Self {
            flow_m3_s: Uncertain::exact(0.0)?,
            bore_m: Err(missing),
        })
    }

    pub(super) fn velocity_head_m(&self, flow_m3_s: f64) -> f64 {
        self.bore_m
            .map_or(0.0, |bore_m| velocity_head_m(flow_m3_s, bore_m))
    }

    fn in_words(&self) -> VelocityHead {
        match self.bore_m {
            Ok(_) => VelocityHead::Included {
                metres: self.velocity_head_m(self.flow_m3_s.value()),
            },
            Err(missing) => VelocityHead::LeftOut { missing },
        }
    }
}

pub(super) fn checked_atmosphere(atmosphere_pa: Uncertain) -> Result<Uncertain, CannotCompute> {
    positive(
        word!("The site's atmospheric pressure (Pa absolute)"),
        atmosphere_pa.value(),
        word!("Check the site's altitude in the register."),
    )?;
    Ok(atmosphere_pa)
}

pub(super) fn checked_liquid(liquid: &PumpedLiquid) -> Result<PumpedLiquid, CannotCompute> {
    checked_density(liquid.density_kg_m3)?;
    within(
        word!("The liquid's vapour pressure (Pa absolute)"),
        liquid.vapour_pressure_pa.value(),
        (0.0, f64::MAX),
        word!(
            "Vapour pressure is absolute and never negative: check the liquid and its temperature."
        ),
    )?;
    Ok(*liquid)
}

/// Refuses a pressure at or below perfect vacuum.
pub(super) fn absolute(place: &'static str, pressure_pa: f64) -> Result<(), CannotCompute> {
    if finite(word!("The absolute pressure"), pressure_pa)? > 0.0 {
        Ok(())
    } else {
        Err(CannotCompute::NoAbsolutePressure { place, pressure_pa })
    }
}
