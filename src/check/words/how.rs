//! How to make a check, in one sentence.

use crate::plant::CheckKind;

/// How to make the check, in one plain sentence.
pub fn how_to(kind: CheckKind) -> &'static str {
    match kind {
        CheckKind::Surroundings => {
            "From a few steps away, look for what drips, lies, sprays or steams, and notice any smell."
        }
        CheckKind::Noise => {
            "Stand still beside the pump and listen for what is not its usual sound."
        }
        CheckKind::LeakOff => {
            "Watch the drops that leave the gland and tap once for each until the count is enough."
        }
        CheckKind::GlandHeat => {
            "Bring the back of the hand near the gland, clear of the shaft, and touch it only if that is bearable."
        }
        CheckKind::GlandSquare => {
            "Look whether the gap between gland and stuffing box is the same all round."
        }
        CheckKind::LanternRingPressure => "Read the gauge on the line that feeds the lantern ring.",
        CheckKind::SealLeak => {
            "Watch the seal and its drain and tap once for each drop; a dry seal is a count of none over a minute."
        }
        CheckKind::SealFeedFlow => "Read the flow meter on the line that feeds the seal.",
        CheckKind::SealFeedPressure => "Read the gauge on the line that feeds the seal.",
        CheckKind::StaticLeak => {
            "Watch the standing pump's gland or seal for a minute and tap once for each drop."
        }
        CheckKind::BearingHeat => {
            "Bring the back of the hand near the housing over the bearing and touch it only if that is bearable."
        }
        CheckKind::BearingTemperature => "Read the thermometer of this bearing.",
        CheckKind::BearingVibration => {
            "Rest two fingertips on the housing over the bearing, at the same spot each time."
        }
        CheckKind::VibrationVelocity => {
            "Set the meter on the stud, wait until the figure is steady, and read velocity, RMS."
        }
        CheckKind::OilLevel => "With your eye level with the glass, read where the oil stands.",
        CheckKind::OilerLevel => {
            "Look how full the bottle is, and that its stem stands upright and fast."
        }
        CheckKind::OilLook => {
            "Look through the oil against the light for water, foam, dirt or glitter."
        }
        CheckKind::GreaseCup => "Look how far the cap is screwed down and how many turns are left.",
        CheckKind::GreaseLook => {
            "Look at the grease where it leaves the housing, and that the fitting is clean."
        }
        CheckKind::FeedOilPressure => "Read the oil pressure after the filter.",
        CheckKind::FeedOilTemperature => "Read the oil temperature after the cooler.",
        CheckKind::FeedOilFilterDrop => "Read the drop over the oil filter.",
        CheckKind::FeedOilReservoir => "Read the level glass of the oil reservoir.",
        CheckKind::CoolingWater => {
            "Look at the sight flow or the open drain of the oil cooler's water."
        }
        CheckKind::OilHeater => "Look at the lamp of the oil reservoir's heater.",
        CheckKind::SuctionPressure => {
            "Read the suction gauge from straight in front, midway if the pointer swings."
        }
        CheckKind::DischargePressure => {
            "Read the discharge gauge from straight in front, midway if the pointer swings."
        }
        CheckKind::StrainerDrop => {
            "Read the pressure before and after the strainer and enter the difference."
        }
        CheckKind::MotorCurrent => "Read the ammeter fitted for this motor.",
        CheckKind::SuctionLevel => {
            "Read how high the liquid stands between the lowest and the highest mark of its glass, board or gauge."
        }
        CheckKind::CouplingGuard => "Look that the guard is there, whole, and bolted fast.",
        CheckKind::Foundation => {
            "Look along the baseplate for loose or missing bolts and for cracks in the grout."
        }
        CheckKind::LinedUp => {
            "Follow the pipes and look that each valve stands as the plant's procedure has it for a standby start."
        }
        CheckKind::Primed => {
            "Look for liquid without bubbles at the vent's sight glass or as the plant's procedure has it."
        }
        CheckKind::Flow => "Read the flow meter of this pump's line.",
        CheckKind::LiquidTemperature => "Read the thermometer in the suction line.",
        CheckKind::GaugeSwing => {
            "Watch the gauge's pointer for half a minute, its cock opened no further than usual."
        }
        CheckKind::CurrentSwing => "Watch the pointer of the fitted ammeter for half a minute.",
        CheckKind::VentTest => {
            "Where your plant's procedure lets you, open the vent a little and see what comes: liquid, bubbles, air or vapour."
        }
        CheckKind::ValvePosition => {
            "Look at the valve's stem or pointer; turn nothing without leave."
        }
        CheckKind::Rotation => {
            "Look from behind the guard which way the shaft turns against the arrow on the casing."
        }
        CheckKind::ShaftSpeed => {
            "Read the speed at the drive's display or with a light tachometer."
        }
        CheckKind::CasingHeat => {
            "Bring the back of the hand near the casing and touch it only if that is bearable."
        }
        CheckKind::SuctionSurface => {
            "From behind the rail, look at the liquid over the suction for a swirl."
        }
        CheckKind::GlandAir => {
            "Listen at the gland for a hiss and look whether its wet edge is drawn inward."
        }
        CheckKind::LeakOffSides => {
            "Look, hands off, whether the drops leave all round the shaft or from one side of the gland."
        }
        CheckKind::Coupling => {
            "Look through the guard, nothing opened, for dust, loose parts or play."
        }
        CheckKind::PhaseCurrents => {
            "Ask a licensed electrician, or read the fitted meters of the three phases."
        }
        CheckKind::Delivery => {
            "See by gauge, meter or the tank it fills whether liquid goes out since the pump was started."
        }
        CheckKind::JustStarted => "Ask or remember whether it was started within the last hour.",
        CheckKind::AfterWork => {
            "Ask whether pump, motor, cable or pipes were worked on just before this run."
        }
        CheckKind::AfterGreasing => {
            "Ask whether the bearing was greased within the hours before it became hot."
        }
        CheckKind::DriverTripped => {
            "Ask whether the motor tripped on overload since the last visit."
        }
        CheckKind::Remark => "Write what the next person should know.",
    }
}
