//! How far from boiling the liquid is in the suction.

use super::{DISCHARGE, FLOW, LEVEL, LIQUID, SUCTION, Work, in_words, told_by_property};
use crate::{
    evaluation::{
        Worked,
        readings::{LiquidNow, SuctionLiquid, SurfaceHeight},
        worked::{number, told_by, with_interval},
    },
    hydraulics::{
        atmosphere::STANDARD_ATMOSPHERE,
        gauges::{
            CannotCompute, FlowFromHead, NPSH_AVAILABLE, NPSH_MARGIN, PumpedLiquid,
            STANDARD_GRAVITY_M_S2, SuctionGauge, SuctionLevel, Uncertain, WhenUnknown,
            npsh_available_from_gauge, npsh_available_from_level, npsh_margin,
        },
        liquid::Quantity,
    },
    judge::Verdict,
    language,
    plant::{CheckId, Place, SuctionSource},
    say,
};

/// What NPSH available is told by, as it was read there.
#[derive(Clone, Copy)]
pub(super) enum ToldBy {
    Gauge(SuctionGauge),
    Level(SuctionLevel),
}

impl ToldBy {
    pub fn check(&self) -> CheckId {
        match self {
            Self::Gauge(_) => SUCTION,
            Self::Level(_) => LEVEL,
        }
    }

    pub fn npsh_available_m(&self, liquid: &PumpedLiquid) -> Result<Uncertain, CannotCompute> {
        match self {
            Self::Gauge(gauge) => npsh_available_from_gauge(gauge, liquid, WhenUnknown::LeaveOut)
                .map(|known| known.npsh_available_m),
            Self::Level(level) => npsh_available_from_level(level, liquid),
        }
    }
}

/// NPSH available, and what it was told by.
struct Available {
    npsh_m: Uncertain,
    told_by: ToldBy,
    /// Name and value of what only one of the two ways has.
    row: (&'static str, String),
    was_read: bool,
}

impl Work<'_> {
    /// Without the liquid's vapour pressure there is no NPSH, while head, flow and power need none of it.
    pub(super) fn npsh(&mut self, now: &LiquidNow) {
        match self.readings.in_suction(*now) {
            Ok(liquid) => self.npsh_of(&liquid),
            Err(why) => {
                let why = self.no_vapour_pressure(now, &why);
                let enter = self.missing(&[LIQUID]);
                let line = Worked::cannot(say!("NPSH available"), why, enter);
                self.lines.push(line.of([SUCTION, LEVEL, LIQUID]));
            }
        }
    }

    /// Why the liquid's boiling is not known while its density is. A liquid may well be that cold: nobody is asked to
    /// enter another temperature.
    fn no_vapour_pressure(&self, now: &LiquidNow, why: &CannotCompute) -> String {
        let liquid = self.readings.known.reckoned_as;
        match liquid.range(Quantity::SaturationPressure) {
            Ok((low, high)) if !(low..=high).contains(&now.temperature_c) => say!(
                "NPSH available cannot be computed at {now} °C: the vapour pressure of {liquid} is known from {low} to {high} °C only. Head, flow and power do without it.",
                now = number(now.temperature_c, 0.5),
                liquid,
                low = number(low, 0.5),
                high = number(high, 0.5)
            ),
            _ => why.to_string(),
        }
    }

    fn npsh_of(&mut self, liquid: &SuctionLiquid) {
        let Some(atmosphere_pa) = self.readings.atmosphere_pa() else {
            let why = say!(
                "The air's pressure is not known at this altitude. Have the planner check the plant's altitude."
            );
            self.lines
                .push(Worked::cannot(say!("NPSH available"), why, None).of([SUCTION]));
            return;
        };
        let available = match self.npsh_available(liquid, atmosphere_pa) {
            Ok(available) => available,
            Err(why) => {
                let enter = self.missing_at_suction();
                self.lines.push(
                    Worked::cannot(say!("NPSH available"), why, enter).of([SUCTION, LEVEL, LIQUID]),
                );
                return;
            }
        };
        let npsh_m = available.npsh_m;
        self.numbers.npsh_available_m = Some(npsh_m);
        self.numbers.suction_was_read = available.was_read;
        let told_by = available.told_by;
        let mut line = self
            .available_line(available, liquid, atmosphere_pa)
            .row(say!("Vapour pressure by"), told_by_property(liquid.vapour));
        if matches!(told_by, ToldBy::Gauge(_)) {
            line = self.gauge_row(line, say!("Suction gauge"), Place::Suction);
        }
        self.lines.push(line);
        self.npsh_margin(npsh_m);
        if let Some(required_m) = self.numbers.npsh.map(|margin| margin.npsh_required_m) {
            self.how_far(required_m, liquid, (told_by, atmosphere_pa));
        }
    }

    fn available_line(
        &self,
        available: Available,
        liquid: &SuctionLiquid,
        atmosphere_pa: Uncertain,
    ) -> Worked {
        let npsh_m = available.npsh_m;
        let boils_at_c = self.boils_at_c(npsh_m, liquid);
        let words = if surely_boils(npsh_m) {
            boiling(liquid, boils_at_c)
        } else {
            with_interval(npsh_m, 1.0, "m")
        };
        let (name, value) = available.row;
        let line = Worked::is(say!("NPSH available"), words, NPSH_AVAILABLE)
            .of([available.told_by.check(), LIQUID])
            .row(name, value)
            .row(
                say!("Air's pressure"),
                with_interval(atmosphere_pa, 1e3, "kPa"),
            )
            .row(say!("Air's pressure by"), told_by(STANDARD_ATMOSPHERE))
            .row(
                say!("Vapour pressure"),
                with_interval(liquid.pumped.vapour_pressure_pa, 1e3, "kPa"),
            );
        let mut line = self.liquid_rows(line, &liquid.now);
        if let Some(boils_at_c) = boils_at_c {
            line = line.row(
                say!("Would boil at"),
                format!("{} °C", number(boils_at_c, 0.5)),
            );
        }
        if !available.was_read {
            line = line.caution(say!(
                "Nothing was read at the suction: this is as it usually is, not as it is now."
            ));
        }
        if npsh_m.value() <= 0.0 {
            line = line.judged(Verdict::Act);
        }
        line
    }

    /// Temperature at which the liquid would boil at the suction now: there the head over boiling is used up. `None`
    /// where its boiling is not known so far.
    fn boils_at_c(&self, npsh_m: Uncertain, liquid: &SuctionLiquid) -> Option<f64> {
        let over_boiling_pa =
            npsh_m.value() * STANDARD_GRAVITY_M_S2 * liquid.pumped.density_kg_m3.value();
        let pressure_pa = liquid.pumped.vapour_pressure_pa.value() + over_boiling_pa;
        let reckoned_as = self.readings.known.reckoned_as;
        let boils = reckoned_as.saturation_temperature_c(pressure_pa).ok()?;
        Some(boils.value)
    }

    /// By the gauge where it was read, else by the level.
    fn npsh_available(
        &self,
        liquid: &SuctionLiquid,
        atmosphere_pa: Uncertain,
    ) -> Result<Available, String> {
        let gauge = self
            .suction_gauge(atmosphere_pa)
            .map_err(|why| why.to_string())?;
        if gauge.gauge_pressure_pa.is_some() {
            let known = npsh_available_from_gauge(&gauge, &liquid.pumped, WhenUnknown::LeaveOut)
                .map_err(|why| why.to_string())?;
            return Ok(Available {
                npsh_m: known.npsh_available_m,
                told_by: ToldBy::Gauge(gauge),
                row: (say!("Velocity head"), known.velocity.to_string()),
                was_read: true,
            });
        }
        let height = self.readings.level().map_err(|why| why.to_string())?;
        let Some(height) = height else {
            return Err(self.no_suction_entry().to_owned());
        };
        self.by_level(height, liquid, atmosphere_pa)
            .map_err(|why| why.to_string())
    }

    fn by_level(
        &self,
        height: SurfaceHeight,
        liquid: &SuctionLiquid,
        atmosphere_pa: Uncertain,
    ) -> Result<Available, CannotCompute> {
        let level = SuctionLevel {
            level_m: Some(height.height_m),
            gas_gauge_pressure_pa: self.readings.gas_gauge_pressure_pa()?,
            atmosphere_pa,
            suction_loss_m: self.readings.suction_loss_m()?,
        };
        let metres = with_interval(height.height_m, 1.0, "m");
        let told = if height.was_read {
            say!("{metres}; read", metres)
        } else {
            say!("{metres}; its usual one by the register", metres)
        };
        Ok(Available {
            npsh_m: npsh_available_from_level(&level, &liquid.pumped)?,
            told_by: ToldBy::Level(level),
            row: (say!("Surface above the centre line"), told),
            was_read: height.was_read,
        })
    }

    /// The entry that would tell of the suction; a level only where its glass's marks have heights.
    fn missing_at_suction(&self) -> Option<CheckId> {
        let level_tells = matches!(
            self.at.pump.suction,
            SuctionSource::Flooded {
                glass_from_to_m: Some(_),
                ..
            }
        );
        let telling: &[CheckId] = if level_tells {
            &[SUCTION, LEVEL]
        } else {
            &[SUCTION]
        };
        self.missing(telling)
    }

    /// What would tell of the suction, where neither gauge nor level did.
    fn no_suction_entry(&self) -> &'static str {
        if self.at.pump.gauge(Place::Suction).is_some() {
            return say!(
                "NPSH available cannot be computed without the suction gauge. Enter its reading."
            );
        }
        match self.at.pump.suction {
            SuctionSource::Flooded {
                level_glass: true,
                glass_from_to_m: Some(_),
                ..
            } => {
                say!(
                    "NPSH available cannot be computed without the level in the suction tank. Enter it."
                )
            }
            SuctionSource::Flooded {
                level_glass: true, ..
            } => {
                say!(
                    "NPSH available cannot be computed from the level: the register has no heights of the glass's marks. Have the planner enter them."
                )
            }
            SuctionSource::Flooded { .. } => {
                say!(
                    "NPSH available cannot be computed: this pump has neither a suction gauge nor a level glass. Have the planner see whether one can be fitted."
                )
            }
            SuctionSource::Lift { .. } | SuctionSource::Submerged => {
                say!(
                    "NPSH available cannot be computed: the register has no height of the liquid over a casing that hangs in it."
                )
            }
        }
    }

    pub(super) fn suction_gauge(
        &self,
        atmosphere_pa: Uncertain,
    ) -> Result<SuctionGauge, CannotCompute> {
        let reading = self.readings.suction()?;
        let fitted = self.at.pump.gauge(Place::Suction);
        Ok(SuctionGauge {
            gauge_pressure_pa: reading.map(|reading| reading.gauge_pressure_pa),
            elevation_m: fitted.map_or(0.0, |gauge| gauge.elevation_m),
            atmosphere_pa,
            flow_m3_s: self.numbers.flow_m3_s(),
            bore_m: self.readings.suction_bore_m(),
        })
    }

    /// No margin, for want of the flow: why nothing told it, and what of this pump can still be read.
    fn without_flow(&self, name: &str) -> Worked {
        let head_told = self.numbers.from_head.as_ref();
        let meter = self.missing(&[FLOW]);
        let gauge = match self.has_both_gauges() {
            true => self.missing(&[SUCTION, DISCHARGE]),
            false => None,
        };
        let mut sentences = vec![say!("NPSH margin cannot be computed without the flow.")];
        sentences.extend(head_told.map(FlowFromHead::sentence));
        sentences.extend(match (meter, gauge) {
            (Some(_), Some(_)) => Some(say!(
                "Read the flow meter, or both gauges where the curve is steep enough to tell."
            )),
            (Some(_), None) => Some(say!("Read the flow meter.")),
            (None, Some(_)) => Some(say!("Read both gauges.")),
            (None, None) if self.here(FLOW).is_none() && !self.has_both_gauges() => Some(say!(
                "This pump has no flow meter, and not a gauge on either side. Have the planner see whether one can be fitted."
            )),
            (None, None) => None,
        });
        Worked::cannot(name, sentences.join(" "), meter.or(gauge))
    }

    fn npsh_margin(&mut self, available: Uncertain) {
        let name = say!("NPSH margin");
        let margin = match (&self.curve, self.numbers.flow_m3_s()) {
            (Err(why), _) => Err(self.without_curve(name, why)),
            (_, None) => Err(self.without_flow(name)),
            (Ok(curve), Some(flow)) => npsh_margin(available, curve, flow)
                .map_err(|why| Worked::cannot(name, in_words(&why), None)),
        };
        let margin = match margin {
            Ok(known) => known,
            Err(line) => {
                self.lines.push(line.of([SUCTION, LEVEL]));
                return;
            }
        };
        let kept_m = self.numbers.margin_kept_m;
        let verdict = match margin.margin_m.value() {
            none if none <= 0.0 => Verdict::Act,
            small if small < kept_m => Verdict::Watch,
            _ => Verdict::InLimits,
        };
        let (words, available_words) = if surely_boils(available) {
            let none = say!("none: the liquid is above its boiling point");
            (none.to_owned(), none.to_owned())
        } else {
            let margin_words = with_interval(margin.margin_m, 1.0, "m");
            (margin_words, with_interval(available, 1.0, "m"))
        };
        let mut line = Worked::is(name, words, NPSH_MARGIN)
            .judged(verdict)
            .of([SUCTION, LEVEL, LIQUID, FLOW])
            .row(say!("NPSH available"), available_words)
            .row(
                say!("NPSH required"),
                with_interval(margin.npsh_required_m, 1.0, "m"),
            )
            .row(say!("Flow"), self.numbers.flow_words().unwrap_or_default())
            .row(
                say!("To be kept"),
                format!("{} m", language::number(kept_m)),
            );
        if let Some(ratio) = margin.ratio.filter(|_| !surely_boils(available)) {
            line = line.row(
                say!("Ratio"),
                with_interval(ratio, 1.0, say!("of a ratio" => "times")),
            );
        }
        if self.at.plant.npsh_margin_m.is_none() {
            line = line.caution(say!(
                "The plant has set no margin to keep; half a metre is taken."
            ));
        }
        self.lines.push(line);
        self.numbers.npsh = Some(margin);
    }
}

/// The liquid boils at the suction, however far off its figures may be: a height below nothing helps nobody then.
fn surely_boils(npsh_m: Uncertain) -> bool {
    npsh_m.upper() < 0.0
}

/// That the liquid boils at the suction, and from how warm on, where that is known.
fn boiling(liquid: &SuctionLiquid, boils_at_c: Option<f64>) -> String {
    let now = number(liquid.now.temperature_c, 0.5);
    match boils_at_c {
        Some(boils_at_c) => say!(
            "none: at {now} °C the liquid is above its boiling point, {boils} °C at this suction pressure",
            now,
            boils = number(boils_at_c, 0.5)
        ),
        None => say!(
            "none: at {now} °C the liquid is above its boiling point at this suction pressure",
            now
        ),
    }
}
