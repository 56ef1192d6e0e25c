//! How to make a check, in one sentence.

use crate::{plant::CheckKind, say};

/// How to make the check, in one plain sentence.
pub fn how_to(kind: CheckKind) -> &'static str {
    match kind {
        CheckKind::Surroundings => {
            say!(
                "From a few steps away, look for what drips, lies, sprays or steams, and notice any smell."
            )
        }
        CheckKind::Noise => {
            say!("Stand still beside the pump and listen for what is not its usual sound.")
        }
        CheckKind::LeakOff => {
            say!(
                "Watch the drops that leave the gland and tap once for each until the count is enough."
            )
        }
        CheckKind::GlandHeat => {
            say!(
                "Bring the back of the hand near the gland, clear of the shaft, and touch it only if that is bearable."
            )
        }
        CheckKind::GlandSquare => {
            say!("Look whether the gap between gland and stuffing box is the same all round.")
        }
        CheckKind::LanternRingPressure => {
            say!("Read the gauge on the line that feeds the lantern ring.")
        }
        CheckKind::SealLeak => {
            say!(
                "Watch the seal and its drain and tap once for each drop; a dry seal is a count of none over a minute."
            )
        }
        CheckKind::SealFeedFlow => say!("Read the flow meter on the line that feeds the seal."),
        CheckKind::SealFeedPressure => say!("Read the gauge on the line that feeds the seal."),
        CheckKind::StaticLeak => {
            say!("Watch the standing pump's gland or seal for a minute and tap once for each drop.")
        }
        CheckKind::BearingHeat => {
            say!(
                "Bring the back of the hand near the housing over the bearing and touch it only if that is bearable."
            )
        }
        CheckKind::BearingTemperature => say!("Read the thermometer of this bearing."),
        CheckKind::BearingVibration => {
            say!("Rest two fingertips on the housing over the bearing, at the same spot each time.")
        }
        CheckKind::VibrationVelocity => {
            say!(
                "Set the meter on the stud, wait until the figure is steady, and read velocity, RMS."
            )
        }
        CheckKind::OilLevel => {
            say!("With your eye level with the glass, read where the oil stands.")
        }
        CheckKind::OilerLevel => {
            say!("Look how full the bottle is, and that its stem stands upright and fast.")
        }
        CheckKind::OilLook => {
            say!("Look through the oil against the light for water, foam, dirt or glitter.")
        }
        CheckKind::GreaseCup => {
            say!("Look how far the cap is screwed down and how many turns are left.")
        }
        CheckKind::GreaseLook => {
            say!("Look at the grease where it leaves the housing, and that the fitting is clean.")
        }
        CheckKind::FeedOilPressure => say!("Read the oil pressure after the filter."),
        CheckKind::FeedOilTemperature => say!("Read the oil temperature after the cooler."),
        CheckKind::FeedOilFilterDrop => say!("Read the drop over the oil filter."),
        CheckKind::FeedOilReservoir => say!("Read the level glass of the oil reservoir."),
        CheckKind::CoolingWater => {
            say!("Look at the sight flow or the open drain of the oil cooler's water.")
        }
        CheckKind::OilHeater => say!("Look at the lamp of the oil reservoir's heater."),
        CheckKind::SuctionPressure => {
            say!("Read the suction gauge from straight in front, midway if the pointer swings.")
        }
        CheckKind::DischargePressure => {
            say!("Read the discharge gauge from straight in front, midway if the pointer swings.")
        }
        CheckKind::StrainerDrop => {
            say!("Read the pressure before and after the strainer and enter the difference.")
        }
        CheckKind::MotorCurrent => say!("Read the ammeter fitted for this motor."),
        CheckKind::SuctionLevel => {
            say!(
                "Read how high the liquid stands between the lowest and the highest mark of its glass, board or gauge."
            )
        }
        CheckKind::CouplingGuard => say!("Look that the guard is there, whole, and bolted fast."),
        CheckKind::Foundation => {
            say!("Look along the baseplate for loose or missing bolts and for cracks in the grout.")
        }
        CheckKind::LinedUp => {
            say!(
                "Follow the pipes and look that each valve stands as the plant's procedure has it for a standby start."
            )
        }
        CheckKind::Primed => {
            say!(
                "Look for liquid without bubbles at the vent's sight glass or as the plant's procedure has it."
            )
        }
        CheckKind::AmbientTemperature => {
            say!("Read the thermometer that hangs near the pump, out of the sun.")
        }
        CheckKind::Flow => say!("Read the flow meter of this pump's line."),
        CheckKind::LiquidTemperature => say!("Read the thermometer in the suction line."),
        CheckKind::GaugeSwing => {
            say!(
                "Watch the gauge's pointer for half a minute, its cock opened no further than usual."
            )
        }
        CheckKind::CurrentSwing => {
            say!("Watch the pointer of the fitted ammeter for half a minute.")
        }
        CheckKind::VentTest => {
            say!(
                "Where your plant's procedure lets you, open the vent a little and see what comes: liquid, bubbles, air or vapour."
            )
        }
        CheckKind::ValvePosition => {
            say!("Look at the valve's stem or pointer; turn nothing without leave.")
        }
        CheckKind::Rotation => {
            say!(
                "Look from behind the guard which way the shaft turns against the arrow on the casing."
            )
        }
        CheckKind::ShaftSpeed => {
            say!("Read the speed at the drive's display or with a light tachometer.")
        }
        CheckKind::CasingHeat => {
            say!(
                "Bring the back of the hand near the casing and touch it only if that is bearable."
            )
        }
        CheckKind::SuctionSurface => {
            say!("From behind the rail, look at the liquid over the suction for a swirl.")
        }
        CheckKind::GlandAir => {
            say!("Listen at the gland for a hiss and look whether its wet edge is drawn inward.")
        }
        CheckKind::LeakOffSides => {
            say!(
                "Look, hands off, whether the drops leave all round the shaft or from one side of the gland."
            )
        }
        CheckKind::Coupling => {
            say!("Look through the guard, nothing opened, for dust, loose parts or play.")
        }
        CheckKind::PhaseCurrents => {
            say!("Ask a licensed electrician, or read the fitted meters of the three phases.")
        }
        CheckKind::Delivery => {
            say!(
                "See by gauge, meter or the tank it fills whether liquid goes out since the pump was started."
            )
        }
        CheckKind::JustStarted => {
            say!("Ask or remember whether it was started within the last hour.")
        }
        CheckKind::AfterWork => {
            say!("Ask whether pump, motor, cable or pipes were worked on just before this run.")
        }
        CheckKind::AfterGreasing => {
            say!("Ask whether the bearing was greased within the hours before it became hot.")
        }
        CheckKind::DriverTripped => {
            say!("Ask whether the motor tripped on overload since the last visit.")
        }
        CheckKind::Remark => say!("Write what the next person should know."),
    }
}
