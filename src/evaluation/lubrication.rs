//! What the entries of each bearing and of the oil skid mean together.

use super::{Situation, Trend, Worked};
use crate::{
    check::{Entered, words},
    formula::Formula,
    judge,
    plant::{
        Bearing, CheckId,
        CheckKind::{
            self, BearingHeat, BearingTemperature, CoolingWater, FeedOilFilterDrop,
            FeedOilPressure, FeedOilReservoir, FeedOilTemperature, GreaseCup, GreaseLook,
            OilHeater, OilLevel, OilLook, OilerLevel,
        },
        Lubrication, Place,
    },
    remedy::lubrication::{
        BearingSeen, FeedSeen, Heater, Meaning, Side, bearing_together, feed_together, side,
    },
    say,
    statistics::trend::{self, Reach},
    word,
};
use std::collections::BTreeMap;

/// How entries are read together.
pub const LUBRICATION_TOGETHER: Formula = Formula {
    name: word!(
        "a bearing's level or grease, look and temperature read together; a skid's temperature with water and heater, pressure with filter, level with all of them"
    ),
    source: "NAVFAC MO-209 5.2(b)(5) (whitish grease), page mo2090101 item (f) (housings cooled too much); MIL-HDBK-1164 Table 17 (too much lubricant); else common practice, no source",
};

/// What is known of a place's care besides its entries.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Care {
    /// It surely uses more oil per running hour than it did.
    pub uses_more_oil: bool,
    /// Running hours since it was greased.
    pub greased_h_ago: Option<f64>,
    /// Its greasing is overdue.
    pub grease_overdue: bool,
}

/// A line for each thing that the entries mean together; none where nothing is wrong. What to do is left out where the
/// pump `is_to_stop`: nobody is sent to a bearing then.
pub(super) fn work_out(
    at: &Situation<'_>,
    trends: &BTreeMap<CheckId, Trend>,
    is_to_stop: bool,
) -> Vec<Worked> {
    let bearings = at.pump.bearings.iter();
    let of_bearings = bearings.flat_map(|bearing| of_bearing(at, bearing));
    of_bearings
        .chain(of_skid(at, trends))
        .map(|meaning| line(at, meaning, is_to_stop))
        .collect()
}

fn of_bearing(at: &Situation<'_>, bearing: &Bearing) -> Vec<Meaning> {
    let place = bearing.place;
    let entered = Entries { at, place };
    let level = match bearing.lubrication {
        Lubrication::BottleOiler => OilerLevel,
        _ => OilLevel,
    };
    let look = match bearing.lubrication {
        Lubrication::OilBath | Lubrication::BottleOiler => OilLook,
        _ => GreaseLook,
    };
    let by_thermometer = entered.side(BearingTemperature);
    let care = at.care.get(&place).copied().unwrap_or_default();
    let seen = BearingSeen {
        level: entered.side(level),
        look: entered.key(look),
        cup: entered.key(GreaseCup),
        heat: by_thermometer.or_else(|| entered.side(BearingHeat)),
        uses_more: care.uses_more_oil && entered.is_made(level),
        greased_h_ago: care.greased_h_ago,
        grease_overdue: care.grease_overdue,
        thermometer: by_thermometer.is_some(),
    };
    bearing_together(bearing.lubrication, place, &seen)
}

fn of_skid(at: &Situation<'_>, trends: &BTreeMap<CheckId, Trend>) -> Vec<Meaning> {
    if at.pump.oil_skid.is_none() {
        return Vec::new();
    }
    let place = Place::OilSkid;
    let entered = Entries { at, place };
    let reach = |kind: CheckKind, bad: trend::Side| -> Option<&Reach> {
        let trend = trends.get(&CheckId::new(kind, place))?;
        trend.nearest_ahead(bad)
    };
    feed_together(&FeedSeen {
        temperature: entered.side(FeedOilTemperature),
        cooling_water: entered.key(CoolingWater),
        heater: match entered.key(OilHeater) {
            Some("on") => Some(Heater::On),
            Some("off") => Some(Heater::Off),
            _ => None,
        },
        pressure: entered.side(FeedOilPressure),
        filter_drop: entered.side(FeedOilFilterDrop),
        filter_reach: reach(FeedOilFilterDrop, trend::Side::Above),
        reservoir: entered.side(FeedOilReservoir),
        reservoir_reach: reach(FeedOilReservoir, trend::Side::Below),
        look: entered.key(OilLook),
    })
}

/// The entries of one place.
struct Entries<'a> {
    at: &'a Situation<'a>,
    place: Place,
}

impl<'a> Entries<'a> {
    fn entered(&self, kind: CheckKind) -> Option<&'a super::Seen> {
        self.at.entry(CheckId::new(kind, self.place))
    }

    fn is_made(&self, kind: CheckKind) -> bool {
        self.entered(kind).is_some()
    }

    fn side(&self, kind: CheckKind) -> Option<Side> {
        let seen = self.entered(kind)?;
        side(&seen.entered, seen.limits.as_ref())
    }

    fn key(&self, kind: CheckKind) -> Option<&'a str> {
        match &self.entered(kind)?.entered {
            Entered::Choice { key } => Some(key),
            _ => None,
        }
    }
}

/// What was seen, what it means and what to do, shown where each of its checks is entered.
fn line(at: &Situation<'_>, meaning: Meaning, is_to_stop: bool) -> Worked {
    let place = meaning.of.first().map_or(Place::Pump, |check| check.place);
    let mut line = Worked::is(
        &say!("Lubrication, {place}", place = words::short_place(place)),
        match is_to_stop {
            true => meaning.what.clone(),
            false => format!("{} {}", meaning.what, meaning.action),
        },
        LUBRICATION_TOGETHER,
    )
    .judged(meaning.verdict)
    .of(meaning.of.iter().copied());
    for check in meaning.of {
        if let Some(seen) = at.entry(check) {
            let found = judge::found(check.kind, &seen.entered, seen.limits.as_ref());
            // The line says where already.
            line = line.row(words::name(check.kind), found);
        }
    }
    line
}
