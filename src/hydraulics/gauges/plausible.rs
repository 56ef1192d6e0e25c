//! What the readings of a running pump cannot be, and where to look next.

use super::{error::CannotCompute, uncertain::Uncertain};
use crate::{formula::Formula, say, word};

/// When readings are said to contradict each other.
pub const PLAUSIBILITY: Formula = Formula {
    name: word!("a contradiction larger than the 95 % uncertainty of what it rests on"),
    source: "what cannot be: mechanics and the pump's own curve and plate; uncertainty by JCGM 100:2008 (GUM), 5.1.2 (clause from memory)",
};

/// What is known of a running pump; what is not is left out of the examination.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Facts {
    /// Suction gauge, Pa gauge.
    pub suction_gauge_pressure_pa: Option<Uncertain>,
    /// Discharge gauge, Pa gauge.
    pub discharge_gauge_pressure_pa: Option<Uncertain>,
    /// Atmospheric pressure at the site, Pa absolute.
    pub atmosphere_pa: Option<Uncertain>,
    /// Total head from the gauges, m.
    pub total_head_m: Option<Uncertain>,
    /// Highest head of the pump's curve at its speed, m ([`super::Curve::highest_head_m`]).
    pub highest_head_m: Option<f64>,
    /// NPSH available, m.
    pub npsh_available_m: Option<Uncertain>,
    /// Power at the shaft, W.
    pub shaft_power_w: Option<Uncertain>,
    /// The motor's rated power, W.
    pub rated_power_w: Option<f64>,
    /// The pump's efficiency, 0 to 1.
    pub pump_efficiency: Option<Uncertain>,
    /// Flow told from head on the curve, m³/s.
    pub flow_from_head_m3_s: Option<Uncertain>,
    /// Lowest flow the head allows on the curve, m³/s, also where the curve is too flat to tell one flow
    /// ([`super::FlowFromHead::lowest_m3_s`]).
    pub lowest_flow_from_head_m3_s: Option<f64>,
    /// Flow by a meter, m³/s.
    pub flow_by_meter_m3_s: Option<Uncertain>,
}

/// Something that cannot be so, or should not be, in a running pump.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Implausible {
    /// Suction pressure at or below perfect vacuum.
    SuctionBelowVacuum,
    /// Discharge pressure at or below perfect vacuum.
    DischargeBelowVacuum,
    /// Suction above discharge by more than the gauges' uncertainty.
    SuctionAboveDischarge,
    /// More head than the curve's highest, by more than its uncertainty.
    HeadAboveShutOff,
    /// No head over boiling left at the suction.
    BoilsInSuction,
    /// More power than on the motor's plate, by more than its uncertainty.
    PowerAboveNameplate,
    /// Efficiency over 1, by more than its uncertainty.
    EfficiencyOverOne,
    /// Meter and curve tell different flows, by more than both uncertainties.
    FlowsDisagree,
    /// No flow by the meter, at a head that the curve has only where something flows.
    HeadOfAFlowWithoutFlow,
}

impl Implausible {
    /// What is so, as a sentence.
    pub fn sentence(self) -> &'static str {
        match self {
            Self::SuctionBelowVacuum => {
                say!("The suction gauge comes to zero absolute pressure or less, which cannot be.")
            }
            Self::DischargeBelowVacuum => {
                say!(
                    "The discharge gauge comes to zero absolute pressure or less, which cannot be."
                )
            }
            Self::SuctionAboveDischarge => {
                say!(
                    "The suction gauge shows more than the discharge gauge, which a running pump does not do."
                )
            }
            Self::HeadAboveShutOff => {
                say!("The gauges come to more head than this pump can make on its curve.")
            }
            Self::BoilsInSuction => {
                say!("By the readings, the liquid boils before it reaches the impeller.")
            }
            Self::PowerAboveNameplate => say!("The motor gives more power than its plate allows."),
            Self::EfficiencyOverOne => {
                say!("The liquid gets more power than the motor gives, which cannot be.")
            }
            Self::FlowsDisagree => {
                say!("The flow meter and the pump's curve tell different flows.")
            }
            Self::HeadOfAFlowWithoutFlow => {
                say!(
                    "The meter shows no flow, but the gauges come to a head at which this pump delivers: the flow meter or a gauge shows wrong, or the pump makes less head than its curve."
                )
            }
        }
    }

    /// What to look at next.
    pub fn look_next(self) -> &'static str {
        match self {
            Self::SuctionBelowVacuum => {
                say!(
                    "Read the suction gauge again with its isolating cock open, and check its unit and its zero."
                )
            }
            Self::DischargeBelowVacuum => {
                say!(
                    "Read the discharge gauge again with its isolating cock open, and check its unit and its zero."
                )
            }
            Self::SuctionAboveDischarge => {
                say!(
                    "Read both gauges again with their isolating cocks open, and check that the entries are not swapped. If it stays so: is the pump running, and turning the right way?"
                )
            }
            Self::HeadAboveShutOff => {
                say!(
                    "Read both gauges again with their isolating cocks open. If it stays so, check the speed, the liquid's density, and which curve and impeller are entered."
                )
            }
            Self::BoilsInSuction => {
                say!(
                    "Read suction pressure and temperature again. If it stays so, look for a plugged strainer, a throttled suction valve or a low level, listen for cavitation, and follow the plant's procedure for a pump losing suction."
                )
            }
            Self::PowerAboveNameplate => {
                say!(
                    "Read amps again and tell the control room. A radial-flow pump with very low head runs far right on its curve and can overload its motor: look at head and flow; look too for a bearing or packing that drags. Leave anything electrical to a licensed electrician."
                )
            }
            Self::EfficiencyOverOne => {
                say!(
                    "Read flow, both gauges and amps again, close together in time. Check the units, the flow meter's zero, and the voltage and power factor used."
                )
            }
            Self::FlowsDisagree => {
                say!(
                    "Read both gauges and the meter again. With a curve flow above the meter's, look for wear or recirculation through a bypass; with one below, check the meter and the speed."
                )
            }
            Self::HeadOfAFlowWithoutFlow => {
                say!(
                    "Read the meter and both gauges again with their isolating cocks open, and see whether the discharge valve is open. If it stays so, look for air in the pump and for wear. A pump that moves nothing gets hot: don't leave it running."
                )
            }
        }
    }
}

/// What cannot be so among these facts of a running pump, worst misreading first; empty where all fits.
///
/// A contradiction is named only where it is larger than the uncertainty of what it rests on.
///
/// # Errors
/// `NotFinite` where a number among the facts is none.
pub fn implausible(facts: &Facts) -> Result<Vec<Implausible>, CannotCompute> {
    let bounds = [
        facts.highest_head_m,
        facts.rated_power_w,
        facts.lowest_flow_from_head_m3_s,
    ];
    for bound in bounds.into_iter().flatten() {
        super::error::finite(word!("A number of the pump's curve or plate"), bound)?;
    }
    let below_vacuum = |gauge: Option<Uncertain>| {
        both(gauge, facts.atmosphere_pa).is_some_and(|(p, atm)| p.value() + atm.value() <= 0.0)
    };
    let over = |value: Option<Uncertain>, bound: Option<f64>| {
        both(value, bound).is_some_and(|(value, bound)| value.lower() > bound)
    };
    let difference = |a: Option<Uncertain>, b: Option<Uncertain>| {
        both(a, b)
            .map(|(a, b)| Uncertain::combine(word!("The difference"), [a, b], |[a, b]| a - b))
            .transpose()
    };
    let suction_over_discharge = difference(
        facts.suction_gauge_pressure_pa,
        facts.discharge_gauge_pressure_pa,
    )?;
    let curve_over_meter = difference(facts.flow_from_head_m3_s, facts.flow_by_meter_m3_s)?;
    let none_but_should = both(facts.flow_by_meter_m3_s, facts.lowest_flow_from_head_m3_s)
        .is_some_and(|(meter, lowest)| meter.upper() <= 0.0 && lowest > 0.0);
    let examined = [
        (
            Implausible::SuctionBelowVacuum,
            below_vacuum(facts.suction_gauge_pressure_pa),
        ),
        (
            Implausible::DischargeBelowVacuum,
            below_vacuum(facts.discharge_gauge_pressure_pa),
        ),
        (
            Implausible::SuctionAboveDischarge,
            over(suction_over_discharge, Some(0.0)),
        ),
        (
            Implausible::HeadAboveShutOff,
            over(facts.total_head_m, facts.highest_head_m),
        ),
        (
            Implausible::BoilsInSuction,
            facts
                .npsh_available_m
                .is_some_and(|npsh| npsh.value() <= 0.0),
        ),
        (
            Implausible::PowerAboveNameplate,
            over(facts.shaft_power_w, facts.rated_power_w),
        ),
        (
            Implausible::EfficiencyOverOne,
            over(facts.pump_efficiency, Some(1.0)),
        ),
        (
            Implausible::FlowsDisagree,
            !none_but_should
                && curve_over_meter.is_some_and(|d| d.lower() > 0.0 || d.upper() < 0.0),
        ),
        (Implausible::HeadOfAFlowWithoutFlow, none_but_should),
    ];
    Ok(examined
        .into_iter()
        .filter_map(|(what, is_so)| is_so.then_some(what))
        .collect())
}

fn both<A, B>(a: Option<A>, b: Option<B>) -> Option<(A, B)> {
    Some((a?, b?))
}
