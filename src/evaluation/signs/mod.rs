//! From entries, verdicts, trends and hydraulics to the signs that causes are told by.

mod before;
mod head;
mod table;
mod valve;

use super::{Seen, Situation, hydraulic::Hydraulics};
use crate::{
    check::Entered,
    diagnosis::{AtPart, Evidence, Feature, Sign},
    hydraulics::gauges::{FlowFromHead, Implausible},
    judge::{self, Reason},
    plant::{Bearing, CheckId, CheckKind as K, Limits, Lubrication, Place, Pump, Unit},
    remedy::{Remedy, gland::SMOKES_FROM_STEP},
    say,
};
pub(super) use before::before;
use table::{By, SHOWN, Shown};

/// Everything the situation says about signs, each with where it came from.
pub(super) fn evidence(at: &Situation<'_>, hydraulics: &Hydraulics) -> Vec<Evidence> {
    let mut told = Told {
        at,
        evidence: Vec::new(),
    };
    for shown in SHOWN {
        told.by_entries(shown);
    }
    told.pressures();
    told.current();
    told.flow(hydraulics);
    told.leak_off();
    told.seal_leak();
    told.felt();
    told.greased();
    told.speed();
    told.discharge_valve();
    told.reckoned(hydraulics);
    told.head_by_flow(hydraulics);
    told.evidence
}

/// The bearing or seal at this place of the pump or its driver, where there is one.
pub(super) fn at_part(pump: &Pump, place: Place) -> Option<AtPart> {
    let mut seals = pump.seal_places().iter();
    if let Some(number) = seals.position(|seal| *seal == place) {
        return Some(AtPart::Seal { number });
    }
    let number = pump.bearings.iter().position(|at| at.place == place)?;
    let lubricated = lubricated(&pump.bearings[number]);
    Some(AtPart::Bearing { number, lubricated })
}

/// What a bearing is lubricated with, where anybody can see it.
pub(super) fn lubricated(bearing: &Bearing) -> Option<Feature> {
    match bearing.lubrication {
        Lubrication::GreaseFitting | Lubrication::GreaseCup => Some(Feature::Grease),
        Lubrication::OilBath | Lubrication::BottleOiler => Some(Feature::Oil),
        Lubrication::ForcedFeed => Some(Feature::ForcedFeed),
        Lubrication::Sealed => None,
    }
}

struct Told<'a> {
    at: &'a Situation<'a>,
    evidence: Vec<Evidence>,
}

impl Told<'_> {
    fn say(&mut self, sign: Sign, present: bool, origin: impl Into<String>) {
        self.say_at(None, sign, present, origin);
    }

    fn say_at(
        &mut self,
        place: Option<Place>,
        sign: Sign,
        present: bool,
        origin: impl Into<String>,
    ) {
        let told = if present {
            Evidence::present(sign, origin)
        } else {
            Evidence::absent(sign, origin)
        };
        let part = place.and_then(|place| at_part(self.at.pump, place));
        self.evidence.push(told.at(part));
    }

    /// A sign at several places is present where one shows it, and absent where all were looked at and none does.
    fn by_entries(&mut self, &Shown(sign, kinds, place, ref by): &Shown) {
        let mut present = Vec::new();
        let mut absent = Vec::new();
        for seen in &self.at.seen {
            let here = kinds.contains(&seen.check.kind)
                && place.is_none_or(|place| seen.check.place == place);
            match here.then(|| shows(by, seen)) {
                Some(Some(true)) => present.push((seen.check.place, origin(seen))),
                Some(Some(false)) if answers_all(seen) => {
                    absent.push((seen.check.place, origin(seen)))
                }
                _ => {}
            }
        }
        let (is_present, origins) = if present.is_empty() {
            (false, absent)
        } else {
            (true, present)
        };
        for (place, origin) in origins {
            self.say_at(Some(place), sign, is_present, origin);
        }
    }

    /// No more pressure out than in, or than the air's, is no pressure at all; less than usual is another sign.
    fn pressures(&mut self) {
        let suction = CheckId::new(K::SuctionPressure, Place::Suction);
        let in_bar = self.at.number(suction.kind, suction.place, Unit::Bar);
        if let (Some(seen), Some(in_bar)) = (self.at.entry(suction), in_bar) {
            self.say(Sign::SuctionAboveAtmosphere, in_bar > 0.0, origin(seen));
        }
        let discharge = CheckId::new(K::DischargePressure, Place::Discharge);
        let out_bar = self.at.number(discharge.kind, discharge.place, Unit::Bar);
        let (Some(seen), Some(out_bar)) = (self.at.entry(discharge), out_bar) else {
            return;
        };
        let none = out_bar <= in_bar.unwrap_or(0.0).max(0.0);
        self.say(Sign::DischargeNone, none, origin(seen));
        let (below, above) = (shows(&By::Below, seen), shows(&By::Above, seen));
        if let Some(below) = below {
            self.say(Sign::DischargeLow, below && !none, origin(seen));
        }
        if let (Some(below), Some(above)) = (below, above) {
            self.say(
                Sign::DischargeUsual,
                !below && !above && !none,
                origin(seen),
            );
        }
    }

    /// Limits of amps seldom have a low bound, so that less than five sixths of the usual counts as low too, but at a
    /// speed that varies. Common practice, no source. More than full load is high whatever the limits.
    fn current(&mut self) {
        const LOW_SHARE: f64 = 5.0 / 6.0;
        let check = CheckId::new(K::MotorCurrent, Place::Driver);
        let amps = self.at.number(check.kind, check.place, Unit::Ampere);
        let (Some(seen), Some(amps)) = (self.at.entry(check), amps) else {
            return;
        };
        let full_load_a = self.at.pump.driver.full_load_amps;
        if amps > full_load_a {
            let amps = super::number(full_load_a, 0.0);
            let words = format!("{} {}", origin(seen), say!("Full load is {amps} A.", amps));
            self.say(Sign::AmpsHigh, true, words);
        } else if let Some(above) = shows(&By::Above, seen) {
            self.say(Sign::AmpsHigh, above, origin(seen));
        }
        let below = shows(&By::Below, seen);
        let at_one_speed = !self.at.pump.driver.variable_speed;
        match self.usual(seen, Unit::Ampere) {
            Some(usual) if at_one_speed => {
                let low = below == Some(true) || amps < LOW_SHARE * usual;
                let usual = say!("Usual is {amps} A.", amps = super::number(usual, 0.0));
                let words = format!("{} {usual}", origin(seen));
                self.say(Sign::AmpsLow, low, words);
            }
            _ => {
                if let Some(below) = below {
                    self.say(Sign::AmpsLow, below, origin(seen));
                }
            }
        }
    }

    /// What is usual for an entry, in this unit: its limits' target, or else the median of what was read before.
    fn usual(&self, seen: &super::Seen, unit: Unit) -> Option<f64> {
        let target = seen.limits.as_ref().and_then(|limits| {
            let target = limits.target?;
            limits.unit.convert(target, unit)
        });
        target.or_else(|| super::usual(self.at, seen.check, unit))
    }

    /// A flow under a hundredth of the usual is none.
    fn flow(&mut self, hydraulics: &Hydraulics) {
        const NONE_SHARE: f64 = 0.01;
        /// The last tenth of a curve is far right on it. Common practice, no source.
        const FAR_RIGHT_SHARE: f64 = 0.9;
        let check = CheckId::new(K::Flow, Place::Discharge);
        let flow = self.at.number(check.kind, check.place, Unit::M3PerH);
        let (Some(seen), Some(flow_m3_h)) = (self.at.entry(check), flow) else {
            return;
        };
        let usual = self.usual(seen, Unit::M3PerH);
        let none = flow_m3_h <= usual.unwrap_or(0.0) * NONE_SHARE;
        self.say(Sign::FlowNone, none, origin(seen));
        match shows(&By::Below, seen) {
            Some(below) => self.say(Sign::FlowLow, below && !none, origin(seen)),
            None if none => self.say(Sign::FlowLow, false, origin(seen)),
            None => {}
        }
        let far_right = hydraulics.curve.as_ref().is_some_and(|curve| {
            let (from, to) = curve.flow_range_m3_s();
            flow_m3_h / 3_600.0 > from + FAR_RIGHT_SHARE * (to - from)
        });
        match shows(&By::Above, seen) {
            Some(above) => self.say(Sign::FlowHigh, above || far_right, origin(seen)),
            None if far_right => self.say(Sign::FlowHigh, true, origin(seen)),
            None => {}
        }
    }

    fn leak_off(&mut self) {
        let glands = self.at.seen.iter().filter(|s| s.check.kind == K::LeakOff);
        let mut rows = Vec::new();
        for seen in glands {
            let Some((rate, _)) = seen.entered.measured() else {
                continue;
            };
            let below = shows(&By::Below, seen);
            let above = shows(&By::Above, seen);
            rows.push((rate == 0.0, below, above, seen));
        }
        let signs = [Sign::LeakOffNone, Sign::LeakOffLow, Sign::LeakOffHigh];
        for (index, sign) in signs.into_iter().enumerate() {
            let of_row = |&(none, below, above, _): &(bool, Option<bool>, Option<bool>, &Seen)| {
                match index {
                    0 => Some(none),
                    1 => below.map(|below| below && !none),
                    _ => above,
                }
            };
            let any = rows.iter().any(|row| of_row(row) == Some(true));
            for row in &rows {
                if of_row(row) == Some(any) {
                    self.say_at(Some(row.3.check.place), sign, any, origin(row.3));
                }
            }
        }
    }

    /// Drops that come one a second or faster are a stream (common practice, no source), and so is what had to be
    /// caught in a cup, even where the plant has no convention to judge it by.
    fn seal_leak(&mut self) {
        const STREAM_PER_MIN: f64 = 60.0;
        let seals = self.at.seen.iter().filter(|s| s.check.kind == K::SealLeak);
        let told: Vec<_> = seals
            .filter_map(|seen| {
                let (rate, unit) = seen.entered.measured()?;
                let caught = matches!(seen.entered, Entered::Stream { .. });
                let runs =
                    rate > 0.0 && (caught || unit == Unit::DropsPerMin && rate >= STREAM_PER_MIN);
                let above = match shows(&By::Above, seen) {
                    None if caught => runs,
                    judged => judged?,
                };
                Some((above && !runs, above && runs, origin(seen)))
            })
            .collect();
        let any_drips = told.iter().any(|row| row.0);
        let any_streams = told.iter().any(|row| row.1);
        for (drips, streams, origin) in told {
            if drips == any_drips {
                self.say(Sign::SealDrips, any_drips, origin.clone());
            }
            if streams == any_streams {
                self.say(Sign::SealStreams, any_streams, origin);
            }
        }
    }

    /// Heat by hand: a gland that scorches smokes; a casing is plainly hotter than a liquid that would not burn.
    fn felt(&mut self) {
        /// "Hot", over about 43 °C.
        const HOT_FROM: u8 = 2;
        /// A liquid warmer than this makes a casing hot by itself; from memory ISO 13732-1, touch without end.
        const WARM_LIQUID_C: f64 = 40.0;
        let mut say = Vec::new();
        let liquid_c = self
            .at
            .number(K::LiquidTemperature, Place::Suction, Unit::Celsius)
            .unwrap_or(self.at.pump.liquid_temperature_c);
        for seen in &self.at.seen {
            match (seen.check.kind, &seen.entered) {
                (K::GlandHeat, Entered::Feel { step }) => {
                    say.push((Sign::GlandSmoking, *step >= SMOKES_FROM_STEP, seen));
                }
                (K::CasingHeat, Entered::Feel { step }) if liquid_c < WARM_LIQUID_C => {
                    say.push((Sign::CasingHot, *step >= HOT_FROM, seen));
                }
                _ => {}
            }
        }
        let smokes = say.iter().any(|row| row.0 == Sign::GlandSmoking && row.1);
        for (sign, present, seen) in say {
            // One gland that smokes is the sign; another that does not is no answer to it.
            if sign != Sign::GlandSmoking || present == smokes {
                self.say_at(Some(seen.check.place), sign, present, origin(seen));
            }
        }
    }

    /// A bearing found hot that was greased not long before is hot since its greasing, unless somebody answered that
    /// question. One that was greased and stays in limits tells nothing of another that is hot.
    fn greased(&mut self) {
        /// Grease that was too much is worked out or the bearing is ruined by then. Common practice, no source.
        const SHOWS_FOR_MS: i64 = 3 * 86_400_000;
        let asked = CheckId::new(K::AfterGreasing, Place::Pump);
        if self.at.entry(asked).is_some() {
            return;
        }
        let bearings = [K::BearingTemperature, K::BearingHeat];
        let hot = self.at.seen.iter().filter(|seen| {
            bearings.contains(&seen.check.kind) && shows(&By::Above, seen) == Some(true)
        });
        let mut told = Vec::new();
        for seen in hot {
            let of_bearing = self.at.done.iter().filter(|done| {
                matches!(done.what, Remedy::Grease { place, .. } if place == seen.check.place)
            });
            let ago_ms = of_bearing.map(|done| seen.at_ms - done.at_ms);
            let lately = ago_ms.filter(|ms| (0..=SHOWS_FOR_MS).contains(ms)).min();
            told.extend(lately.map(|ms| {
                let greased = say!("Greased {time} before.", time = super::ago(ms));
                (seen.check.place, format!("{} {greased}", origin(seen)))
            }));
        }
        for (place, words) in told {
            self.say_at(Some(place), Sign::HotAfterGreasing, true, words);
        }
    }

    /// Speed off what the plate says, beyond slip and a tachometer's error. Common practice, no source.
    fn speed(&mut self) {
        const OFF_SHARE: f64 = 0.03;
        let check = CheckId::new(K::ShaftSpeed, Place::Driver);
        let Some(seen) = self.at.entry(check) else {
            return;
        };
        if self.at.pump.driver.variable_speed {
            return;
        }
        let Some(rpm) = self.at.number(check.kind, check.place, Unit::Rpm) else {
            return;
        };
        let rated = self.at.pump.driver.speed_rpm;
        let plate = say!(
            "Its plate says {speed} rpm.",
            speed = super::number(rated, 0.0)
        );
        let origin = format!("{} {plate}", origin(seen));
        self.say(
            Sign::SpeedLow,
            rpm < rated * (1.0 - OFF_SHARE),
            origin.clone(),
        );
        self.say(Sign::SpeedHigh, rpm > rated * (1.0 + OFF_SHARE), origin);
    }

    /// What only the hydraulics tell.
    fn reckoned(&mut self, hydraulics: &Hydraulics) {
        if let (Some(head), Some(curve)) = (hydraulics.total_head_m, &hydraulics.curve) {
            let above = matches!(hydraulics.from_head, Some(FlowFromHead::AboveCurve { .. }))
                || hydraulics
                    .implausible
                    .contains(&Implausible::HeadAboveShutOff);
            let metres = super::number(head.value(), head.half_width());
            let words = say!("Total head {metres} m.", metres);
            self.say(Sign::DischargeAboveShutOff, above, words.clone());
            if let Some(flow) = hydraulics.flow_by_meter_m3_s
                && let Ok(on_curve) = curve.head_m(flow)
            {
                let apart_m = (head.value() - on_curve.value()).abs();
                let known_to_m = head.half_width() + on_curve.half_width();
                let metres = super::number(on_curve.value(), on_curve.half_width());
                let on_curve = say!("On the curve at this flow it is {metres} m.", metres);
                let words = format!("{words} {on_curve}");
                self.say(Sign::HeadOnCurve, apart_m <= known_to_m, words);
            }
        }
        let available = hydraulics.npsh_available_m;
        let boils = available.is_some_and(|available| available.value() <= 0.0);
        let none_left = say!("No head over boiling is left at the suction.");
        if let Some(npsh) = &hydraulics.npsh {
            let margin = npsh.margin_m;
            let words = if boils {
                none_left.to_owned()
            } else {
                say!(
                    "NPSH margin {margin} m, to be kept {kept} m.",
                    margin = super::number(margin.value(), margin.half_width()),
                    kept = hydraulics.margin_kept_m
                )
            };
            let kept_m = hydraulics.margin_kept_m;
            let negative = margin.value() <= 0.0;
            let small = margin.value() < kept_m;
            // Enough is only what is surely so, by what was read.
            let surely_over =
                |bound_m: f64| hydraulics.suction_was_read && margin.lower() >= bound_m;
            if negative || surely_over(0.0) {
                self.say(Sign::NpshNegative, negative, words.clone());
            }
            if small || surely_over(kept_m) {
                self.say(Sign::NpshSmall, small && !negative, words);
            }
        } else if boils {
            self.say(Sign::NpshNegative, true, none_left);
        }
    }
}

/// One word of many was chosen: only the good one says that nothing else is so. A pump that crackles may rumble too.
fn answers_all(seen: &super::Seen) -> bool {
    match (seen.check.kind, &seen.entered) {
        (K::Noise | K::OilLook | K::GreaseLook, Entered::Choice { .. }) => {
            seen.judgement.verdict == judge::Verdict::InLimits
        }
        _ => true,
    }
}

/// Whether an entry shows it; `None` where it says nothing either way. A number is not beyond a bound only where its
/// limits have a bound on that side.
fn shows(by: &By, seen: &super::Seen) -> Option<bool> {
    let reasons = &seen.judgement.reasons;
    let compared = reasons.iter().any(|reason| {
        matches!(
            reason,
            Reason::InLimits | Reason::Above { .. } | Reason::Below { .. } | Reason::TooFast { .. }
        )
    });
    let bounded = |bounds: fn(&Limits) -> [Option<f64>; 3]| {
        let limits = seen.limits.as_ref();
        compared && limits.is_some_and(|limits| bounds(limits).iter().any(Option::is_some))
    };
    match (by, &seen.entered) {
        (By::Word(keys), Entered::Choice { key }) => Some(keys.contains(&key.as_str())),
        (By::Answer(answer), Entered::YesNo { yes }) => Some(yes == answer),
        (By::Above, Entered::Feel { .. }) => {
            let said = |r: &Reason| matches!(r, Reason::Above { .. } | Reason::Said { .. });
            let above = reasons.iter().any(said);
            (above || compared).then_some(above)
        }
        (By::Below, entered) if entered.measured().is_some() => {
            let below = reasons.iter().any(|r| matches!(r, Reason::Below { .. }));
            (below || bounded(|l| [l.low_watch, l.low_act, l.low_stop])).then_some(below)
        }
        (By::Above, entered) if entered.measured().is_some() => {
            let above = reasons.iter().any(|r| matches!(r, Reason::Above { .. }));
            (above || bounded(|l| [l.high_watch, l.high_act, l.high_stop])).then_some(above)
        }
        _ => None,
    }
}

/// The entry in words, as where a sign came from.
fn origin(seen: &super::Seen) -> String {
    let title = crate::check::words::title(seen.check);
    let found = judge::found(seen.check.kind, &seen.entered, seen.limits.as_ref());
    format!("{title}: {found}.")
}
