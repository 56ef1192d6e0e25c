//! Total head from two gauges.

use super::{
    STANDARD_GRAVITY_M_S2 as G,
    error::{CannotCompute, finite, positive, present},
    uncertain::Uncertain,
};
use crate::{formula::Formula, language, say, word};
use std::{f64::consts::PI, fmt};

/// How total head is reckoned.
pub const TOTAL_HEAD: Formula = Formula {
    name: word!("H = (p₂ − p₁)/(ρ·g) + (z₂ − z₁) + (v₂² − v₁²)/(2·g)"),
    source: "ISO 9906:2012, definition of pump total head (clause from memory); worked by L. Nelik, \"Important velocity head\", Pumps & Systems, August 2012",
};

/// What a pressure gauge shows and where it stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Pressure, Pa gauge; negative for a vacuum.
    pub gauge_pressure_pa: Uncertain,
    /// Height of the gauge's centre above the pump's datum, m; negative below.
    pub elevation_m: f64,
}

/// The two gauges of a pump.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gauges {
    /// At the suction nozzle.
    pub suction: Option<Reading>,
    /// At the discharge nozzle, before any valve.
    pub discharge: Option<Reading>,
}

/// What velocity head needs.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PipeFlow {
    /// Flow, m³/s.
    pub flow_m3_s: Option<Uncertain>,
    /// Inside diameter of the pipe at the suction gauge's tapping, m.
    pub suction_bore_m: Option<f64>,
    /// Inside diameter of the pipe at the discharge gauge's tapping, m.
    pub discharge_bore_m: Option<f64>,
}

/// What to do where velocity head cannot be computed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WhenUnknown {
    /// Leave it out and say so.
    LeaveOut,
    /// Refuse the result.
    Refuse,
}

/// The part of velocity head in a result; its `Display` is a sentence.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum VelocityHead {
    /// It is in the result.
    Included {
        /// Its part, m.
        metres: f64,
    },
    /// It is not, for want of an entry.
    LeftOut {
        /// What is missing.
        missing: &'static str,
    },
}

impl fmt::Display for VelocityHead {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Included { .. } => f.write_str(say!("in the result")),
            // v²/2g at 3 m/s is 0.46 m. The speeds: common practice, no source.
            Self::LeftOut { missing } => f.write_str(&say!(
                "left out, because {missing} is not known. At the usual 1 to 3 m/s in a pipe it is under half a metre; with narrow nozzles and a fast flow it can be a tenth of the head.",
                missing = language::word(missing)
            )),
        }
    }
}

/// Total head and what it is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TotalHead {
    /// The head the pump adds, m of the liquid being pumped.
    pub total_head_m: Uncertain,
    /// The part from the difference of pressures, m.
    pub pressure_m: f64,
    /// The part from the difference of the gauges' heights, m.
    pub elevation_m: f64,
    /// The part from the difference of speeds.
    pub velocity: VelocityHead,
}

/// The head a pump adds, from its suction and discharge gauges.
///
/// `density_kg_m3` is the pumped liquid's, at its temperature in the pump. Gauges and density are
/// taken as independent of each other and of the flow.
///
/// # Errors
/// `Missing` for a gauge, or with [`WhenUnknown::Refuse`] for the flow or a bore; `NotPositive` for a bore or density.
pub fn total_head(
    gauges: &Gauges,
    density_kg_m3: Uncertain,
    pipes: &PipeFlow,
    when_unknown: WhenUnknown,
) -> Result<TotalHead, CannotCompute> {
    const RESULT: &str = word!("Total head");
    let suction = present(
        gauges.suction,
        RESULT,
        word!("the suction gauge"),
        word!("Enter its reading."),
    )?;
    let discharge = present(
        gauges.discharge,
        RESULT,
        word!("the discharge gauge"),
        word!("Enter its reading."),
    )?;
    let density_kg_m3 = checked_density(density_kg_m3)?;
    let elevation_m = finite(
        word!("The difference of the gauges' heights"),
        discharge.elevation_m - suction.elevation_m,
    )?;
    let speeds = Speeds::known(pipes, when_unknown)?;
    let velocity_m = |flow: f64| speeds.map_or(0.0, |s| s.velocity_head_rise_m(flow));
    let flow_m3_s = match (speeds, pipes.flow_m3_s) {
        (Ok(_), Some(flow)) => flow,
        _ => Uncertain::exact(0.0)?,
    };
    let total_head_m = Uncertain::combine(
        RESULT,
        [
            discharge.gauge_pressure_pa,
            suction.gauge_pressure_pa,
            density_kg_m3,
            flow_m3_s,
        ],
        |[p2, p1, rho, flow]| (p2 - p1) / (rho * G) + elevation_m + velocity_m(flow),
    )?;
    let difference_pa = discharge.gauge_pressure_pa.value() - suction.gauge_pressure_pa.value();
    Ok(TotalHead {
        total_head_m,
        pressure_m: difference_pa / (density_kg_m3.value() * G),
        elevation_m,
        velocity: match speeds {
            Ok(speeds) => VelocityHead::Included {
                metres: speeds.velocity_head_rise_m(flow_m3_s.value()),
            },
            Err(missing) => VelocityHead::LeftOut { missing },
        },
    })
}

/// What turns a flow into the rise of velocity head: the two bores.
#[derive(Clone, Copy)]
struct Speeds {
    suction_bore_m: f64,
    discharge_bore_m: f64,
}

impl Speeds {
    /// The bores where everything needed is known, else what is missing, or a refusal.
    ///
    /// Equal bores make no rise whatever the flow, so that it need not be known.
    fn known(
        pipes: &PipeFlow,
        when_unknown: WhenUnknown,
    ) -> Result<Result<Self, &'static str>, CannotCompute> {
        for bore_m in [pipes.suction_bore_m, pipes.discharge_bore_m]
            .into_iter()
            .flatten()
        {
            checked_bore(bore_m)?;
        }
        let missing = match (
            pipes.suction_bore_m,
            pipes.discharge_bore_m,
            pipes.flow_m3_s,
        ) {
            (None, _, _) => word!("the bore of the suction pipe"),
            (_, None, _) => word!("the bore of the discharge pipe"),
            (Some(suction), Some(discharge), None) if suction != discharge => word!("the flow"),
            (Some(suction_bore_m), Some(discharge_bore_m), _) => {
                return Ok(Ok(Self {
                    suction_bore_m,
                    discharge_bore_m,
                }));
            }
        };
        left_out_or_refused(
            word!("Total head with velocity head"),
            missing,
            when_unknown,
        )
        .map(Err)
    }

    fn velocity_head_rise_m(self, flow_m3_s: f64) -> f64 {
        velocity_head_m(flow_m3_s, self.discharge_bore_m)
            - velocity_head_m(flow_m3_s, self.suction_bore_m)
    }
}

/// Passes on what is missing, or refuses for want of it.
pub(super) fn left_out_or_refused(
    result: &'static str,
    missing: &'static str,
    when_unknown: WhenUnknown,
) -> Result<&'static str, CannotCompute> {
    match when_unknown {
        WhenUnknown::LeaveOut => Ok(missing),
        WhenUnknown::Refuse => Err(CannotCompute::Missing {
            result,
            missing,
            remedy: word!("Enter the flow from a meter and the bore of each pipe at its gauge."),
        }),
    }
}

/// v²/2g of a flow through a round bore, m.
pub(super) fn velocity_head_m(flow_m3_s: f64, bore_m: f64) -> f64 {
    let velocity_m_s = flow_m3_s / (PI / 4.0 * bore_m * bore_m);
    velocity_m_s * velocity_m_s / (2.0 * G)
}

pub(super) fn checked_bore(bore_m: f64) -> Result<f64, CannotCompute> {
    positive(
        word!("The bore of the pipe (m)"),
        bore_m,
        word!("Enter the inside diameter of the pipe where the gauge is tapped."),
    )
}

/// A density that is surely more than zero, so that it can be divided by.
pub(super) fn checked_density(density_kg_m3: Uncertain) -> Result<Uncertain, CannotCompute> {
    positive(
        word!("The liquid's density (kg/m³)"),
        density_kg_m3.value(),
        word!("Check which liquid the pump is entered with."),
    )?;
    surely_positive(word!("The liquid's density"), density_kg_m3)
}

/// A value whose whole interval is more than zero, so that it can be divided by.
pub(super) fn surely_positive(
    quantity: &'static str,
    value: Uncertain,
) -> Result<Uncertain, CannotCompute> {
    if value.lower() > 0.0 {
        Ok(value)
    } else {
        Err(CannotCompute::TooUncertain { quantity })
    }
}
