//! How far from boiling the liquid is in the suction, and how far things may go.

use super::{FLOW, LEVEL, LIQUID, M3_H, SUCTION, Work, metres};
use crate::{
    evaluation::{
        Worked,
        readings::LiquidNow,
        worked::{number, with_interval},
    },
    hydraulics::{
        gauges::{
            CannotCompute, HIGHEST_TEMPERATURE, HighestTemperature, KeptMargin,
            LOWEST_SUCTION_PRESSURE, NPSH_AVAILABLE, NPSH_MARGIN, SuctionGauge, SuctionLevel,
            Uncertain, WhenUnknown, highest_temperature, lowest_suction_gauge_pressure_pa,
            npsh_available_from_gauge, npsh_available_from_level, npsh_margin,
        },
        liquid::Quantity,
    },
    judge::Verdict,
    plant::{CheckId, Place},
};

const BAR_PA: f64 = 1e5;

impl Work<'_> {
    pub(super) fn npsh(&mut self, liquid: &LiquidNow) {
        let Some(atmosphere_pa) = self.readings.atmosphere_pa() else {
            let why = "The air's pressure is not known at this altitude. Have the planner check the plant's altitude.";
            self.lines
                .push(Worked::cannot("NPSH available", why, None).of([SUCTION]));
            return;
        };
        let (available, of) = match self.npsh_available(liquid, atmosphere_pa) {
            Ok(available) => available,
            Err(why) => {
                let enter = self.suction_entry_missing();
                self.lines.push(
                    Worked::cannot("NPSH available", why, enter).of([SUCTION, LEVEL, LIQUID]),
                );
                return;
            }
        };
        self.numbers.npsh_available_m = Some(available);
        let line = Worked::is(
            "NPSH available",
            with_interval(available, 1.0, "m"),
            NPSH_AVAILABLE,
        )
        .of([of, LIQUID])
        .row("Air's pressure", with_interval(atmosphere_pa, 1e3, "kPa"))
        .row(
            "Vapour pressure",
            with_interval(liquid.pumped.vapour_pressure_pa, 1e3, "kPa"),
        );
        let mut line = self.liquid_rows(line, liquid);
        if available.value() <= 0.0 {
            line = line.judged(Verdict::Act);
        }
        self.lines.push(line);
        if let Some(flow_m3_s) = self.numbers.flow_m3_s() {
            self.npsh_margin(available, flow_m3_s, liquid, atmosphere_pa);
        }
    }

    /// By the gauge where it was read, else by the level.
    fn npsh_available(
        &self,
        liquid: &LiquidNow,
        atmosphere_pa: Uncertain,
    ) -> Result<(Uncertain, CheckId), CannotCompute> {
        let gauge = self.suction_gauge(atmosphere_pa)?;
        if gauge.gauge_pressure_pa.is_some() {
            let known = npsh_available_from_gauge(&gauge, &liquid.pumped, WhenUnknown::LeaveOut)?;
            return Ok((known.npsh_available_m, SUCTION));
        }
        let level = SuctionLevel {
            level_m: self.readings.level_m()?,
            gas_gauge_pressure_pa: self.readings.gas_gauge_pressure_pa()?,
            atmosphere_pa,
            suction_loss_m: self.readings.suction_loss_m()?,
        };
        Ok((npsh_available_from_level(&level, &liquid.pumped)?, LEVEL))
    }

    fn suction_gauge(&self, atmosphere_pa: Uncertain) -> Result<SuctionGauge, CannotCompute> {
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

    /// The entry that would tell of the suction: its gauge where it has one, else its level.
    fn suction_entry_missing(&self) -> Option<CheckId> {
        let fitted = self.at.pump.gauge(Place::Suction).is_some();
        let wanted = if fitted { SUCTION } else { LEVEL };
        self.at.entry(wanted).is_none().then_some(wanted)
    }

    fn npsh_margin(
        &mut self,
        available: Uncertain,
        flow_m3_s: Uncertain,
        liquid: &LiquidNow,
        atmosphere_pa: Uncertain,
    ) {
        const NAME: &str = "NPSH margin";
        let Some(curve) = &self.numbers.curve else {
            return;
        };
        let margin = match npsh_margin(available, curve, flow_m3_s) {
            Ok(margin) => margin,
            Err(why) => {
                self.lines
                    .push(Worked::cannot(NAME, why, None).of([SUCTION, LEVEL]));
                return;
            }
        };
        let kept_m = self.numbers.margin_kept_m;
        let verdict = match margin.margin_m.value() {
            none if none <= 0.0 => Verdict::Act,
            small if small < kept_m => Verdict::Watch,
            _ => Verdict::InLimits,
        };
        let mut line = Worked::is(NAME, with_interval(margin.margin_m, 1.0, "m"), NPSH_MARGIN)
            .judged(verdict)
            .of([SUCTION, LEVEL, LIQUID, FLOW])
            .row("NPSH available", with_interval(available, 1.0, "m"))
            .row(
                "NPSH required",
                with_interval(margin.npsh_required_m, 1.0, "m"),
            )
            .row("Flow", with_interval(flow_m3_s, M3_H, "m³/h"))
            .row("To be kept", metres(kept_m));
        if let Some(ratio) = margin.ratio {
            line = line.row("Ratio", with_interval(ratio, 1.0, "times"));
        }
        if self.at.plant.npsh_margin_m.is_none() {
            line = line.caution("The plant has set no margin to keep; half a metre is taken.");
        }
        self.lines.push(line);
        let required = margin.npsh_required_m;
        self.numbers.npsh = Some(margin);
        if let Err(why) = self.how_far(required, liquid, atmosphere_pa) {
            self.lines
                .push(Worked::cannot("Lowest suction pressure", why, None).of([SUCTION]));
        }
    }

    /// The lowest suction pressure and the highest temperature that keep the plant's margin.
    fn how_far(
        &mut self,
        required: Uncertain,
        liquid: &LiquidNow,
        atmosphere_pa: Uncertain,
    ) -> Result<(), CannotCompute> {
        if self.at.pump.gauge(Place::Suction).is_none() {
            return Ok(());
        }
        let needed_m = KeptMargin::new(self.numbers.margin_kept_m, 1.0)?.npsh_needed_m(required)?;
        let gauge = self.suction_gauge(atmosphere_pa)?;
        let lowest = lowest_suction_gauge_pressure_pa(
            &gauge,
            &liquid.pumped,
            needed_m,
            WhenUnknown::LeaveOut,
        )?;
        let careful = number(lowest.upper() / BAR_PA, lowest.half_width() / BAR_PA);
        self.lines.push(
            Worked::is(
                "Lowest suction pressure",
                format!(
                    "{} bar; {careful} to be sure",
                    number(lowest.value() / BAR_PA, lowest.half_width() / BAR_PA)
                ),
                LOWEST_SUCTION_PRESSURE,
            )
            .of([SUCTION])
            .row("At", format!("{} °C", number(liquid.temperature_c, 0.5)))
            .row("NPSH needed", with_interval(needed_m, 1.0, "m")),
        );
        self.highest_temperature(&gauge, needed_m, liquid)
    }

    fn highest_temperature(
        &mut self,
        gauge: &SuctionGauge,
        needed_m: Uncertain,
        liquid: &LiquidNow,
    ) -> Result<(), CannotCompute> {
        if gauge.gauge_pressure_pa.is_none() {
            return Ok(());
        }
        let reckoned_as = self.readings.known.reckoned_as;
        let (Ok(pressures), Ok(densities)) = (
            reckoned_as.range(Quantity::SaturationPressure),
            reckoned_as.range(Quantity::Density),
        ) else {
            return Ok(());
        };
        let to_c = pressures.1.min(densities.1);
        if to_c <= liquid.temperature_c {
            return Ok(());
        }
        let range = (liquid.temperature_c, to_c);
        let highest = highest_temperature(gauge, needed_m, range, true, |at_c| {
            self.readings.liquid_exactly_at(at_c)
        })?;
        let words = match highest {
            HighestTemperature::At(at_c) => format!("{} °C, to be sure", number(at_c, 0.5)),
            HighestTemperature::BeyondRange => format!("over {} °C", number(to_c, 0.5)),
            HighestTemperature::AlreadyShort => "the margin is not surely kept now".to_owned(),
        };
        self.lines.push(
            Worked::is("Highest temperature", words, HIGHEST_TEMPERATURE)
                .of([SUCTION, LIQUID])
                .row("NPSH needed", with_interval(needed_m, 1.0, "m"))
                .caution("At today's suction pressure and flow."),
        );
        Ok(())
    }
}
