//! The checks of a pump, in the order one walks round it.

use super::{
    Check, EntryKind, FeelScale, RunningState,
    caution::{caution, gland_may_be_touched},
    choices, instrument,
};
use crate::plant::{
    Bearing, CheckId, CheckKind, LanternRingFeed, Lubrication, Place, Pump, Seal, SuctionSource,
};

/// The checks of a pump in this state, in walking order.
///
/// Eyes and ears come first, from where it is still safe to turn back. Then along the shaft
/// once, from the casing to the far end of the motor, with all that is to be done at one place
/// done there: suction, discharge, non-drive end, drive end, coupling guard, driver. An overhung
/// pump's shaft leaves the casing at its one seal, with the bearings beyond; a pump between
/// bearings begins at its outer bearing. What stands beside the machine (ammeter, oil skid)
/// follows, the foundation is seen on the way back, and the remark comes when all has been seen.
pub fn list(pump: &Pump, running: RunningState) -> Vec<Check> {
    let mut walk = Walk {
        pump,
        running,
        checks: Vec::new(),
    };
    match running {
        RunningState::Running => walk.running(),
        RunningState::Standby => walk.standby(),
        RunningState::OutOfService => walk.see(CheckKind::Surroundings, Place::Pump),
    }
    walk.see(CheckKind::Remark, Place::Pump);
    walk.checks
}

/// The checks that no walk asks for: they tell troubles apart once something is wrong at a pump that runs.
pub fn on_request(pump: &Pump, running: RunningState) -> Vec<Check> {
    let mut walk = Walk {
        pump,
        running,
        checks: Vec::new(),
    };
    if running == RunningState::Running {
        walk.on_request();
    }
    walk.checks
}

/// How a kind of check is entered where no register is at hand.
///
/// Instruments then have the widest range; words, scales and answers are the same at every pump.
pub fn usual_kind(kind: CheckKind) -> EntryKind {
    match kind {
        CheckKind::Surroundings => EntryKind::Choice(choices::SURROUNDINGS),
        CheckKind::Noise => EntryKind::Choice(choices::NOISE),
        CheckKind::OilLook => EntryKind::Choice(choices::OIL_LOOK),
        CheckKind::GreaseCup => EntryKind::Choice(choices::GREASE_CUP),
        CheckKind::GreaseLook => EntryKind::Choice(choices::GREASE_LOOK),
        CheckKind::CoolingWater => EntryKind::Choice(choices::COOLING_WATER),
        CheckKind::OilHeater => EntryKind::Choice(choices::OIL_HEATER),
        CheckKind::Foundation => EntryKind::Choice(choices::FOUNDATION),
        CheckKind::GaugeSwing | CheckKind::CurrentSwing => EntryKind::Choice(choices::SWING),
        CheckKind::VentTest => EntryKind::Choice(choices::VENT_TEST),
        CheckKind::ValvePosition => EntryKind::Choice(choices::VALVE_POSITION),
        CheckKind::SuctionSurface => EntryKind::Choice(choices::SUCTION_SURFACE),
        CheckKind::LeakOffSides => EntryKind::Choice(choices::LEAK_OFF_SIDES),
        CheckKind::Delivery => EntryKind::Choice(choices::DELIVERY),
        CheckKind::JustStarted | CheckKind::AfterWork | CheckKind::AfterGreasing => {
            EntryKind::Choice(choices::HAPPENED)
        }
        CheckKind::Coupling => EntryKind::Choice(choices::COUPLING),
        CheckKind::PhaseCurrents => EntryKind::Choice(choices::PHASE_CURRENTS),
        CheckKind::LeakOff | CheckKind::SealLeak | CheckKind::StaticLeak => EntryKind::Count,
        CheckKind::GlandHeat | CheckKind::BearingHeat | CheckKind::CasingHeat => {
            EntryKind::Feel(FeelScale::Heat)
        }
        CheckKind::BearingVibration => EntryKind::Feel(FeelScale::Vibration),
        CheckKind::GlandSquare
        | CheckKind::CouplingGuard
        | CheckKind::LinedUp
        | CheckKind::Primed
        | CheckKind::Rotation => EntryKind::YesNo { good: true },
        CheckKind::GlandAir | CheckKind::DriverTripped => EntryKind::YesNo { good: false },
        CheckKind::OilLevel
        | CheckKind::OilerLevel
        | CheckKind::FeedOilReservoir
        | CheckKind::SuctionLevel => EntryKind::Level,
        CheckKind::LanternRingPressure | CheckKind::SealFeedPressure => instrument::FEED_GAUGE,
        CheckKind::SealFeedFlow => instrument::SEAL_FLOW_METER,
        CheckKind::BearingTemperature
        | CheckKind::FeedOilTemperature
        | CheckKind::LiquidTemperature => instrument::THERMOMETER,
        CheckKind::AmbientTemperature => instrument::AIR_THERMOMETER,
        CheckKind::Flow => instrument::FLOW_METER,
        CheckKind::ShaftSpeed => instrument::TACHOMETER,
        CheckKind::VibrationVelocity => instrument::VIBRATION_METER,
        CheckKind::FeedOilPressure | CheckKind::FeedOilFilterDrop => instrument::OIL_GAUGE,
        CheckKind::SuctionPressure | CheckKind::DischargePressure => instrument::ANY_GAUGE,
        CheckKind::StrainerDrop => instrument::ANY_DROP,
        CheckKind::MotorCurrent => instrument::ANY_AMMETER,
        CheckKind::Remark => EntryKind::Words,
    }
}

/// A walk round one pump, with the checks met so far.
struct Walk<'a> {
    pump: &'a Pump,
    running: RunningState,
    checks: Vec<Check>,
}

impl Walk<'_> {
    fn running(&mut self) {
        self.see(CheckKind::Surroundings, Place::Pump);
        self.see(CheckKind::Noise, Place::Pump);
        self.air();
        self.suction_level();
        let fitted = self.pump.hydraulics.as_ref();
        if fitted.is_some_and(|fitted| fitted.thermometer) {
            self.see(CheckKind::LiquidTemperature, Place::Suction);
        }
        self.gauge_and_strainer(CheckKind::SuctionPressure, Place::Suction);
        self.gauge_and_strainer(CheckKind::DischargePressure, Place::Discharge);
        if fitted.is_some_and(|fitted| fitted.flow_meter) {
            self.see(CheckKind::Flow, Place::Discharge);
        }
        self.ends(Self::turning_seal, Self::turning_bearing);
        self.see(CheckKind::CouplingGuard, Place::Pump);
        self.turning_bearing(Place::DriverDe);
        self.turning_bearing(Place::DriverNde);
        self.see(CheckKind::MotorCurrent, Place::Driver);
        self.running_oil_skid();
        self.see(CheckKind::Foundation, Place::Pump);
    }

    /// In walking order too, from the suction to the motor. Nothing here is vented, turned or opened for a hazardous
    /// liquid.
    fn on_request(&mut self) {
        if !matches!(
            self.pump.suction,
            SuctionSource::Flooded {
                level_glass: false,
                ..
            }
        ) {
            self.see(CheckKind::SuctionSurface, Place::Suction);
        }
        for place in [Place::Suction, Place::Discharge] {
            self.see(CheckKind::ValvePosition, place);
            if self.pump.gauge(place).is_some() {
                self.see(CheckKind::GaugeSwing, place);
            }
        }
        if self.pump.hazard.is_none() {
            self.see(CheckKind::VentTest, Place::Pump);
        }
        self.see(CheckKind::CasingHeat, Place::Pump);
        // What a thermometer shows is told from the air's warmth only where that is known.
        let read = self.pump.bearings.iter().any(|bearing| bearing.thermometer);
        if !self.pump.air_thermometer && (read || self.pump.oil_skid.is_some()) {
            self.see(CheckKind::AmbientTemperature, Place::Pump);
        }
        // Felt where it is also read, a bearing teaches what the hand's words are worth.
        for bearing in self.pump.bearings.iter().filter(|b| b.thermometer) {
            self.see(CheckKind::BearingHeat, bearing.place);
        }
        if matches!(self.pump.seal, Seal::Packed { .. }) {
            for &place in self.pump.seal_places() {
                self.see(CheckKind::GlandAir, place);
                self.see(CheckKind::LeakOffSides, place);
            }
        }
        let greased = |bearing: &Bearing| {
            matches!(
                bearing.lubrication,
                Lubrication::GreaseCup | Lubrication::GreaseFitting
            )
        };
        if self.pump.bearings.iter().any(greased) {
            self.see(CheckKind::AfterGreasing, Place::Pump);
        }
        for kind in [
            CheckKind::Delivery,
            CheckKind::JustStarted,
            CheckKind::AfterWork,
            CheckKind::Coupling,
        ] {
            self.see(kind, Place::Pump);
        }
        self.see(CheckKind::DriverTripped, Place::Driver);
        self.see(CheckKind::Rotation, Place::Driver);
        self.see(CheckKind::ShaftSpeed, Place::Driver);
        self.see(CheckKind::CurrentSwing, Place::Driver);
        self.see(CheckKind::PhaseCurrents, Place::Driver);
    }

    /// Nothing that only a turning pump shows: no heat, vibration, current, pressures or leak-off.
    /// Seal and lantern-ring feeds too are left out: some plants keep them on at standby, some
    /// shut them, and a band for the running pump would judge both alike.
    fn standby(&mut self) {
        self.see(CheckKind::Surroundings, Place::Pump);
        self.air();
        self.suction_level();
        self.see(CheckKind::LinedUp, Place::Pump);
        self.see(CheckKind::Primed, Place::Pump);
        self.ends(
            |walk, place| walk.see(CheckKind::StaticLeak, place),
            Self::lubrication,
        );
        self.see(CheckKind::CouplingGuard, Place::Pump);
        self.lubrication(Place::DriverDe);
        self.lubrication(Place::DriverNde);
        if self.pump.oil_skid.is_some() {
            self.see(CheckKind::FeedOilReservoir, Place::OilSkid);
        }
        self.see(CheckKind::Foundation, Place::Pump);
    }

    /// The pump's seals and bearings as they lie along the shaft towards the driver.
    fn ends(&mut self, seal: fn(&mut Self, Place), bearing: fn(&mut Self, Place)) {
        if self.pump.seal_places().len() == 2 {
            bearing(self, Place::PumpNde);
            seal(self, Place::SealNde);
            seal(self, Place::SealDe);
        } else {
            seal(self, Place::SealDe);
            bearing(self, Place::PumpNde);
        }
        bearing(self, Place::PumpDe);
    }

    /// Read at a standby pump too, where the thermometer of its area may hang.
    fn air(&mut self) {
        if self.pump.air_thermometer {
            self.see(CheckKind::AmbientTemperature, Place::Pump);
        }
    }

    fn suction_level(&mut self) {
        let can_be_seen = match self.pump.suction {
            SuctionSource::Flooded { level_glass, .. } => level_glass,
            SuctionSource::Lift { .. } | SuctionSource::Submerged => true,
        };
        if can_be_seen {
            self.see(CheckKind::SuctionLevel, Place::Suction);
        }
    }

    /// A drop needs a strainer to drop over and a gauge to read it with.
    fn gauge_and_strainer(&mut self, pressure: CheckKind, place: Place) {
        let Some(&gauge) = self.pump.gauge(place) else {
            return;
        };
        self.read(pressure, place, instrument::gauge(&gauge));
        if self.pump.has_strainer(place) {
            self.read(CheckKind::StrainerDrop, place, instrument::drop_by(&gauge));
        }
    }

    fn turning_seal(&mut self, place: Place) {
        match self.pump.seal {
            Seal::Packed { lantern_ring, .. } => {
                self.see(CheckKind::LeakOff, place);
                if gland_may_be_touched(self.pump) {
                    self.see(CheckKind::GlandHeat, place);
                }
                self.see(CheckKind::GlandSquare, place);
                if lantern_ring == LanternRingFeed::Outside {
                    self.see(CheckKind::LanternRingPressure, place);
                }
            }
            Seal::Mechanical { feed, .. } => {
                self.see(CheckKind::SealLeak, place);
                if feed.is_some() {
                    self.see(CheckKind::SealFeedFlow, place);
                    self.see(CheckKind::SealFeedPressure, place);
                }
            }
        }
    }

    /// Instruments where they are fitted, the hand where not; then what lubricates the bearing.
    fn turning_bearing(&mut self, place: Place) {
        let Some(bearing) = self.pump.bearing(place) else {
            return;
        };
        let heat = if bearing.thermometer {
            CheckKind::BearingTemperature
        } else {
            CheckKind::BearingHeat
        };
        let vibration = if bearing.vibration_stud {
            CheckKind::VibrationVelocity
        } else {
            CheckKind::BearingVibration
        };
        self.see(heat, place);
        self.see(vibration, place);
        self.lubrication(place);
    }

    fn lubrication(&mut self, place: Place) {
        let Some(bearing) = self.pump.bearing(place) else {
            return;
        };
        let kinds: &[CheckKind] = match bearing.lubrication {
            Lubrication::GreaseFitting => &[CheckKind::GreaseLook],
            Lubrication::GreaseCup => &[CheckKind::GreaseCup, CheckKind::GreaseLook],
            Lubrication::OilBath => &[CheckKind::OilLevel, CheckKind::OilLook],
            Lubrication::BottleOiler => &[CheckKind::OilerLevel, CheckKind::OilLook],
            // The skid's checks stand for every bearing it feeds; a sealed bearing shows nothing.
            Lubrication::ForcedFeed | Lubrication::Sealed => &[],
        };
        for &kind in kinds {
            self.see(kind, place);
        }
    }

    fn running_oil_skid(&mut self) {
        let Some(skid) = self.pump.oil_skid else {
            return;
        };
        self.see(CheckKind::FeedOilReservoir, Place::OilSkid);
        self.see(CheckKind::OilLook, Place::OilSkid);
        self.see(CheckKind::FeedOilPressure, Place::OilSkid);
        if skid.filter_gauge {
            self.see(CheckKind::FeedOilFilterDrop, Place::OilSkid);
        }
        self.see(CheckKind::FeedOilTemperature, Place::OilSkid);
        if skid.cooler {
            self.see(CheckKind::CoolingWater, Place::OilSkid);
        }
        if skid.heater {
            self.see(CheckKind::OilHeater, Place::OilSkid);
        }
    }

    fn see(&mut self, kind: CheckKind, place: Place) {
        let entry = match kind {
            CheckKind::MotorCurrent => instrument::ammeter(self.pump.driver.full_load_amps),
            _ => usual_kind(kind),
        };
        self.read(kind, place, entry);
    }

    fn read(&mut self, kind: CheckKind, place: Place, entry: EntryKind) {
        self.checks.push(Check {
            id: CheckId::new(kind, place),
            kind: entry,
            caution: caution(kind, self.pump, self.running).map(|caution| caution.sentence()),
        });
    }
}
