//! How far the suction's pressure may fall and the liquid may warm before the plant's margin is lost.

use super::{BAR_PA, LEVEL, LIQUID, SUCTION, Work, suction::ToldBy};
use crate::{
    evaluation::{
        Worked,
        readings::SuctionLiquid,
        worked::{number, with_interval},
    },
    hydraulics::{
        gauges::{
            CannotCompute, HIGHEST_TEMPERATURE, HighestTemperature, KeptMargin,
            LOWEST_SUCTION_PRESSURE, SuctionGauge, Uncertain, WhenUnknown, highest_temperature,
            lowest_suction_gauge_pressure_pa,
        },
        liquid::Quantity,
    },
    plant::Place,
    say,
};

impl Work<'_> {
    /// The lowest suction pressure and the highest temperature that keep the plant's margin.
    pub(super) fn how_far(
        &mut self,
        required_m: Uncertain,
        liquid: &SuctionLiquid,
        (told_by, atmosphere_pa): (ToldBy, Uncertain),
    ) {
        let needed_m = KeptMargin::new(self.numbers.margin_kept_m, 1.0)
            .and_then(|kept| kept.npsh_needed_m(required_m));
        let lines = match needed_m {
            Ok(needed_m) => [
                self.lowest_pressure(needed_m, liquid, atmosphere_pa),
                self.highest_temperature(&told_by, needed_m, liquid),
            ],
            Err(why) => [say!("Lowest suction pressure"), say!("Highest temperature")]
                .map(|name| Worked::cannot(name, &why, None).of([told_by.check()])),
        };
        self.lines.extend(lines);
    }

    fn lowest_pressure(
        &self,
        needed_m: Uncertain,
        liquid: &SuctionLiquid,
        atmosphere_pa: Uncertain,
    ) -> Worked {
        let name = say!("Lowest suction pressure");
        if self.at.pump.gauge(Place::Suction).is_none() {
            let why = say!(
                "Lowest suction pressure cannot be given: this pump has no suction gauge to keep it by. Have the planner see whether one can be fitted."
            );
            return Worked::cannot(name, why, None).of([LEVEL, LIQUID]);
        }
        match self.suction_gauge(atmosphere_pa) {
            Ok(gauge) => lowest_pressure(&gauge, needed_m, liquid),
            Err(why) => Worked::cannot(name, why, None).of([SUCTION]),
        }
    }

    fn highest_temperature(
        &self,
        told_by: &ToldBy,
        needed_m: Uncertain,
        liquid: &SuctionLiquid,
    ) -> Worked {
        let name = say!("Highest temperature");
        let of = [told_by.check(), LIQUID];
        let (words, to_c) = match self.highest_in_words(told_by, needed_m, liquid) {
            Ok(found) => found,
            Err(why) => return Worked::cannot(name, why, None).of(of),
        };
        let line = Worked::is(name, words, HIGHEST_TEMPERATURE)
            .of(of)
            .row(say!("NPSH needed"), with_interval(needed_m, 1.0, "m"))
            .row(say!("Looked up to"), format!("{} °C", number(to_c, 0.5)));
        let line = match told_by {
            ToldBy::Gauge(_) => line.caution(say!("At today's suction pressure and flow.")),
            ToldBy::Level(_) => line.caution(say!(
                "At this level and today's flow; the pressure over the liquid and the suction pipe's loss are the register's."
            )),
        };
        if self.numbers.suction_was_read {
            return line;
        }
        line.caution(say!(
            "Nothing was read at the suction: this is as it usually is, not as it is now."
        ))
    }

    /// The highest temperature, and up to where it was looked for, °C.
    fn highest_in_words(
        &self,
        told_by: &ToldBy,
        needed_m: Uncertain,
        liquid: &SuctionLiquid,
    ) -> Result<(String, f64), String> {
        let now_c = liquid.now.temperature_c;
        let reckoned_as = self.readings.known.reckoned_as;
        let up_to = |quantity| {
            let range = reckoned_as.range(quantity);
            range.map(|(_, to_c)| to_c).map_err(|why| why.to_string())
        };
        let to_c = up_to(Quantity::SaturationPressure)?.min(up_to(Quantity::Density)?);
        if to_c <= now_c {
            return Err(say!(
                "Highest temperature cannot be given: the liquid has {now} °C, and warmer than {last} °C its density and vapour pressure are not known.",
                now = number(now_c, 0.5),
                last = number(to_c, 0.5)
            ));
        }
        let highest = |to_be_sure| {
            highest_temperature(needed_m, (now_c, to_c), to_be_sure, |at_c| {
                told_by.npsh_available_m(&self.readings.liquid_exactly_at(at_c)?)
            })
            .map_err(|why| why.to_string())
        };
        Ok((highest_words(highest(false)?, highest(true)?, to_c), to_c))
    }
}

/// The highest temperature as it most likely is, and as it surely is.
fn highest_words(likely: HighestTemperature, sure: HighestTemperature, to_c: f64) -> String {
    let degrees = |celsius: f64| number(celsius, 0.5);
    let likely = match likely {
        HighestTemperature::At(likely_c) => {
            say!("{degrees} °C", degrees = degrees(likely_c))
        }
        HighestTemperature::BeyondRange => say!("over {degrees} °C", degrees = degrees(to_c)),
        HighestTemperature::AlreadyShort => return say!("the margin is not kept now").to_owned(),
    };
    match sure {
        HighestTemperature::At(sure_c) => {
            say!(
                "{likely}; {surely} °C to be sure",
                likely,
                surely = degrees(sure_c)
            )
        }
        HighestTemperature::BeyondRange => likely,
        HighestTemperature::AlreadyShort => {
            say!("{likely}, but the margin is not surely kept now", likely)
        }
    }
}

fn lowest_pressure(gauge: &SuctionGauge, needed_m: Uncertain, liquid: &SuctionLiquid) -> Worked {
    let name = say!("Lowest suction pressure");
    let lowest =
        lowest_suction_gauge_pressure_pa(gauge, &liquid.pumped, needed_m, WhenUnknown::LeaveOut);
    let line = match lowest {
        Ok(lowest_pa) => {
            let shown = |pa: f64| number(pa / BAR_PA, lowest_pa.half_width() / BAR_PA);
            let words = say!(
                "{lowest} bar; {surely} to be sure",
                lowest = shown(lowest_pa.value()),
                surely = shown(lowest_pa.upper())
            );
            Worked::is(name, words, LOWEST_SUCTION_PRESSURE)
                .row(
                    say!("of a temperature" => "At"),
                    format!("{} °C", number(liquid.now.temperature_c, 0.5)),
                )
                .row(say!("NPSH needed"), with_interval(needed_m, 1.0, "m"))
        }
        Err(CannotCompute::NoAbsolutePressure { .. }) => {
            let words = say!("any this gauge can show").to_owned();
            Worked::is(name, words, LOWEST_SUCTION_PRESSURE)
                .row(say!("of a temperature" => "At"), format!("{} °C", number(liquid.now.temperature_c, 0.5)))
                .row(say!("NPSH needed"), with_interval(needed_m, 1.0, "m"))
                .caution(say!("The gauge stands so high above the pump that the liquid between keeps the margin."))
        }
        Err(why) => Worked::cannot(name, why, None),
    };
    line.of([SUCTION])
}
