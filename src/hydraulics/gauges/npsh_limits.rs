//! How far suction pressure may fall and temperature may rise before the plant's NPSH margin is lost.

use super::{
    STANDARD_GRAVITY_M_S2 as G,
    error::{CannotCompute, finite, within},
    head::WhenUnknown,
    npsh::{
        PumpedLiquid, SuctionGauge, SuctionSpeed, absolute, checked_atmosphere, checked_liquid,
    },
    uncertain::Uncertain,
};
use crate::{formula::Formula, word};

/// How the lowest suction pressure is reckoned.
pub const LOWEST_SUCTION_PRESSURE: Formula = Formula {
    name: word!("p_gauge = ρ·g·(NPSH needed − z − v²/(2·g)) + p_vap − p_atm"),
    source: "NPSH available solved for the gauge; Crane TP-410, example 7.32",
};

/// How the highest temperature is reckoned.
pub const HIGHEST_TEMPERATURE: Formula = Formula {
    name: word!("NPSHa(t) = NPSH needed, solved for t by halving the range"),
    source: "NPSH available with the liquid's saturation pressure and density at t; Crane TP-410, example 7.32",
};

/// The margin over NPSH required that a plant keeps: both hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KeptMargin {
    at_least_m: f64,
    at_least_ratio: f64,
}

impl KeptMargin {
    /// At least so many metres over NPSH required (zero or more) and at least so many times it (one or more).
    ///
    /// # Errors
    /// `NotFinite`, `OutOfRange`.
    pub fn new(at_least_m: f64, at_least_ratio: f64) -> Result<Self, CannotCompute> {
        const REMEDY: &str = word!("Have the planner set the margin this plant keeps.");
        Ok(Self {
            at_least_m: within(
                word!("The NPSH margin (m)"),
                at_least_m,
                (0.0, f64::MAX),
                REMEDY,
            )?,
            at_least_ratio: within(
                word!("The NPSH margin ratio"),
                at_least_ratio,
                (1.0, f64::MAX),
                REMEDY,
            )?,
        })
    }

    /// The NPSH available that keeps the margin, m.
    ///
    /// # Errors
    /// `NotFinite` where it is beyond numbers.
    pub fn npsh_needed_m(&self, npsh_required_m: Uncertain) -> Result<Uncertain, CannotCompute> {
        Uncertain::combine(word!("NPSH needed"), [npsh_required_m], |[required]| {
            (required + self.at_least_m).max(required * self.at_least_ratio)
        })
    }
}

/// How far up a temperature may go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HighestTemperature {
    /// Up to here, °C.
    At(f64),
    /// Further than was looked.
    BeyondRange,
    /// The margin is short already at the temperature it was asked from.
    AlreadyShort,
}

/// The suction gauge pressure below which the margin is lost at today's temperature, Pa gauge.
///
/// What the gauge shows now is not used. Keep to [`Uncertain::upper`] to be on the safe side.
///
/// # Errors
/// `NoAbsolutePressure` where any pressure the gauge can show would do, as with a gauge far above
/// the pump; as [`super::npsh_available_from_gauge`] otherwise.
pub fn lowest_suction_gauge_pressure_pa(
    suction: &SuctionGauge,
    liquid: &PumpedLiquid,
    npsh_needed_m: Uncertain,
    when_unknown: WhenUnknown,
) -> Result<Uncertain, CannotCompute> {
    let atmosphere_pa = checked_atmosphere(suction.atmosphere_pa)?;
    let liquid = checked_liquid(liquid)?;
    let elevation_m = finite(word!("The suction gauge's height"), suction.elevation_m)?;
    let speed = SuctionSpeed::of(suction, when_unknown)?;
    let lowest_pa = Uncertain::combine(
        word!("The lowest suction pressure"),
        [
            npsh_needed_m,
            atmosphere_pa,
            liquid.vapour_pressure_pa,
            liquid.density_kg_m3,
            speed.flow_m3_s,
        ],
        |[needed, atmosphere, vapour, density, flow]| {
            density * G * (needed - elevation_m - speed.velocity_head_m(flow)) + vapour - atmosphere
        },
    )?;
    absolute(
        word!("that would just keep the margin at the suction gauge"),
        lowest_pa.value() + atmosphere_pa.value(),
    )?;
    Ok(lowest_pa)
}

/// The temperature above which the margin is lost while all else at the suction stays as it is.
///
/// Looked for from today's temperature `from_c` up to `to_c`, °C. `npsh_available_at` gives NPSH available at a
/// temperature, by gauge or by level, m. With `cautious` the lower end of the interval of NPSH available less NPSH
/// needed must stay above zero, else its value. NPSH available may rise a little with temperature before it falls (the
/// liquid gets lighter), but then falls for good, so that there is one crossing. NPSH required is taken as it is in
/// cold water, which is on the safe side.
///
/// # Errors
/// `OutOfRange` where `to_c` is not above `from_c`; what `npsh_available_at` refuses.
pub fn highest_temperature(
    npsh_needed_m: Uncertain,
    (from_c, to_c): (f64, f64),
    cautious: bool,
    npsh_available_at: impl Fn(f64) -> Result<Uncertain, CannotCompute>,
) -> Result<HighestTemperature, CannotCompute> {
    within(
        word!("The liquid's temperature (°C)"),
        from_c,
        (ABSOLUTE_ZERO_C, f64::MAX),
        word!("Read it again."),
    )?;
    within(
        word!("The highest temperature to look at (°C)"),
        to_c,
        (from_c, f64::MAX),
        word!(
            "Check the liquid's temperature: it is above the range its properties are known for."
        ),
    )?;
    let holds_at = |temperature_c: f64| {
        let surplus_m = Uncertain::combine(
            word!("NPSH over what is needed"),
            [npsh_available_at(temperature_c)?, npsh_needed_m],
            |[available, needed]| available - needed,
        )?;
        Ok::<_, CannotCompute>(if cautious {
            surplus_m.lower() >= 0.0
        } else {
            surplus_m.value() >= 0.0
        })
    };
    if !holds_at(from_c)? {
        return Ok(HighestTemperature::AlreadyShort);
    }
    if holds_at(to_c)? {
        return Ok(HighestTemperature::BeyondRange);
    }
    let (mut holds_c, mut lost_c) = (from_c, to_c);
    for _ in 0..HALVINGS {
        let middle_c = holds_c + (lost_c - holds_c) / 2.0;
        if holds_at(middle_c)? {
            holds_c = middle_c;
        } else {
            lost_c = middle_c;
        }
    }
    Ok(HighestTemperature::At(holds_c))
}

const ABSOLUTE_ZERO_C: f64 = -273.15;

/// Enough to find the temperature in a range of 1000 °C to a millionth of a degree.
const HALVINGS: usize = 30;
