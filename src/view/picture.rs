//! Pictures from bytes to the window: the pump's spots, photos, luma frames.

use super::{
    Arrangement as Drawn, Lubrication as Shown, Place as Spotted, PumpBuild, SealKind,
    SuctionSource as Source,
};
use crate::plant::{
    Arrangement, CheckKind, LanternRingFeed, Lubrication, Place, Priming, Pump, Seal, SuctionSource,
};
use image::RgbImage;
use slint::{Image, Rgb8Pixel, SharedPixelBuffer};

/// A picture for the window.
pub fn image_of(picture: &RgbImage) -> Image {
    Image::from_rgb8(SharedPixelBuffer::<Rgb8Pixel>::clone_from_slice(
        picture.as_raw(),
        picture.width(),
        picture.height(),
    ))
}

/// What the pump picture is drawn from.
pub fn build_of(pump: &Pump) -> PumpBuild {
    let lubrication = |place: Place| {
        let bearing = pump.bearings.iter().find(|bearing| bearing.place == place);
        match bearing.map(|bearing| bearing.lubrication) {
            None | Some(Lubrication::Sealed) => Shown::Sealed,
            Some(Lubrication::GreaseFitting) => Shown::GreaseFitting,
            Some(Lubrication::GreaseCup) => Shown::GreaseCup,
            Some(Lubrication::OilBath) => Shown::OilBath,
            Some(Lubrication::BottleOiler) => Shown::BottleOiler,
            Some(Lubrication::ForcedFeed) => Shown::ForcedFeed,
        }
    };
    let (seal, seal_feed) = match &pump.seal {
        Seal::Packed { lantern_ring, .. } => {
            (SealKind::Packed, *lantern_ring != LanternRingFeed::None)
        }
        Seal::Mechanical { feed, .. } => (SealKind::Mechanical, feed.is_some()),
    };
    let submerged = matches!(pump.suction, SuctionSource::Submerged);
    PumpBuild {
        arrangement: match pump.arrangement {
            Arrangement::EndSuction => Drawn::EndSuction,
            Arrangement::BetweenBearings => Drawn::BetweenBearings,
            Arrangement::Multistage => Drawn::Multistage,
            Arrangement::VerticalSump => Drawn::VerticalSump,
        },
        seal,
        seal_feed,
        pump_de: lubrication(Place::PumpDe),
        pump_nde: lubrication(Place::PumpNde),
        driver_de: lubrication(Place::DriverDe),
        driver_nde: lubrication(Place::DriverNde),
        suction: match pump.suction {
            SuctionSource::Flooded { .. } => Source::Flooded,
            SuctionSource::Lift { .. } => Source::Lift,
            SuctionSource::Submerged => Source::Submerged,
        },
        suction_strainer: pump.has_strainer(Place::Suction),
        discharge_strainer: pump.has_strainer(Place::Discharge),
        suction_gauge: pump.gauge(Place::Suction).is_some(),
        discharge_gauge: pump.gauge(Place::Discharge).is_some(),
        suction_valve: !submerged,
        discharge_valve: true,
        vent: pump.priming != Priming::Submerged,
    }
}

/// Where on the picture a check is made.
pub fn spot_of(kind: CheckKind, place: Place) -> Spotted {
    use CheckKind as K;
    match (kind, place) {
        (K::Surroundings | K::AmbientTemperature | K::Remark, _) => Spotted::Surroundings,
        (
            K::Noise
            | K::CasingHeat
            | K::Delivery
            | K::JustStarted
            | K::AfterWork
            | K::AfterGreasing,
            _,
        ) => Spotted::Casing,
        (K::Foundation, _) => Spotted::Foundation,
        (
            K::MotorCurrent
            | K::CurrentSwing
            | K::PhaseCurrents
            | K::Rotation
            | K::ShaftSpeed
            | K::DriverTripped,
            _,
        ) => Spotted::Motor,
        (K::CouplingGuard | K::Coupling, _) => Spotted::Coupling,
        (K::LanternRingPressure | K::SealFeedFlow | K::SealFeedPressure, _) => Spotted::SealFeed,
        (
            K::LeakOff
            | K::LeakOffSides
            | K::GlandHeat
            | K::GlandSquare
            | K::GlandAir
            | K::SealLeak
            | K::StaticLeak,
            seal,
        ) => match seal {
            Place::SealNde => Spotted::SealNde,
            _ => Spotted::SealDe,
        },
        (K::Primed | K::VentTest, _) => Spotted::Vent,
        (K::ValvePosition, Place::Suction) => Spotted::SuctionValve,
        (K::LinedUp | K::ValvePosition, _) => Spotted::DischargeValve,
        (K::SuctionLevel | K::SuctionSurface, _) => Spotted::SuctionSource,
        (K::GaugeSwing, Place::Suction) => Spotted::SuctionGauge,
        (K::SuctionPressure | K::LiquidTemperature, _) => Spotted::SuctionGauge,
        (K::DischargePressure | K::GaugeSwing | K::Flow, _) => Spotted::DischargeGauge,
        (K::StrainerDrop, Place::Discharge) => Spotted::DischargeStrainer,
        (K::StrainerDrop, _) => Spotted::SuctionStrainer,
        (
            K::FeedOilPressure
            | K::FeedOilTemperature
            | K::FeedOilFilterDrop
            | K::FeedOilReservoir
            | K::CoolingWater
            | K::OilHeater,
            _,
        ) => Spotted::OilSkid,
        (K::OilLevel | K::OilerLevel | K::OilLook | K::GreaseCup | K::GreaseLook, place) => {
            match place {
                Place::PumpNde => Spotted::PumpNdeLubrication,
                Place::DriverDe => Spotted::DriverDeLubrication,
                Place::DriverNde => Spotted::DriverNdeLubrication,
                Place::OilSkid => Spotted::OilSkid,
                _ => Spotted::PumpDeLubrication,
            }
        }
        (
            K::BearingHeat | K::BearingTemperature | K::BearingVibration | K::VibrationVelocity,
            place,
        ) => match place {
            Place::PumpNde => Spotted::PumpNdeBearing,
            Place::DriverDe => Spotted::DriverDeBearing,
            Place::DriverNde => Spotted::DriverNdeBearing,
            _ => Spotted::PumpDeBearing,
        },
    }
}
