//! First actions at the rest of the pump: oil skid, suction and discharge, motor, and what is seen and heard.

use super::{ANY, BACK_OF_HAND, HOT, LINE, NEAR_SHAFT, RUNNING, row};
use crate::{
    judge::first_action::{
        Row,
        Trouble::{Felt, High, Low, Said},
    },
    plant::CheckKind as K,
    word,
};

pub(super) const ROWS: &[Row] = &[
    // Common practice, no source.
    row(
        &[K::FeedOilPressure],
        &[Low],
        ANY,
        word!("Look at the reservoir level and the filter drop and tell the shift supervisor."),
        None,
    ),
    row(
        &[K::FeedOilFilterDrop],
        &[High],
        ANY,
        word!("Change over to the clean filter by your plant's procedure, where there are two."),
        LINE,
    ),
    row(
        &[K::FeedOilTemperature],
        &[High],
        ANY,
        word!(
            "Look whether cooling water flows; if that does not mend it, tell the shift supervisor."
        ),
        HOT,
    ),
    row(
        &[K::CoolingWater],
        &[Said(&["weak", "hot_return", "none"])],
        ANY,
        word!(
            "Look whether the water's valves stand as marked and read the oil temperature; if that does not mend it, tell the shift supervisor."
        ),
        HOT,
    ),
    // Cavitation follows a low suction pressure or level (DOE-HDBK-1018, MIL-HDBK-1164 6.4.2.2).
    row(
        &[K::SuctionPressure],
        &[Low],
        ANY,
        word!(
            "Look at the level on the suction side, the suction valve and the strainer, and listen for crackling; if that does not mend it, tell the shift supervisor."
        ),
        LINE,
    ),
    // A pump that moves nothing heats what is in it (DOE-HDBK-1018, centrifugal pump protection; from memory).
    row(
        &[K::Flow],
        &[Low],
        ANY,
        word!(
            "Look whether the valves stand open, and read discharge pressure and amps; where nothing flows, stop the pump by your plant's procedure and tell the shift supervisor."
        ),
        LINE,
    ),
    row(
        &[K::SuctionLevel],
        &[Low],
        ANY,
        word!("Tell the control room that the level is low and listen for crackling."),
        None,
    ),
    row(
        &[K::SuctionLevel],
        &[High],
        ANY,
        word!("Tell the control room that the level is high."),
        None,
    ),
    row(
        &[K::DischargePressure],
        &[Low],
        ANY,
        word!(
            "Look at suction pressure and level, and whether a valve or the other pump has been moved; if that does not mend it, tell the shift supervisor."
        ),
        None,
    ),
    // Run against a closed discharge a pump overheats (NAVFAC MO-209 page mo2090104).
    row(
        &[K::DischargePressure],
        &[High],
        ANY,
        word!(
            "Look whether the discharge valve stands open: a pump against a shut valve overheats; if that does not mend it, tell the shift supervisor."
        ),
        HOT,
    ),
    // Clean-out at a set drop, before it runs away (strainer makers' pages).
    row(
        &[K::StrainerDrop],
        &[High],
        ANY,
        word!(
            "Change over or clean the strainer by your plant's procedure before the drop runs away."
        ),
        LINE,
    ),
    // Running far out on its curve overloads the motor (trade page on runout).
    row(
        &[K::MotorCurrent],
        &[High],
        ANY,
        word!(
            "Look whether the discharge stands wider open or the gland tighter than usual, and tell the shift supervisor."
        ),
        None,
    ),
    row(
        &[K::MotorCurrent],
        &[Low],
        ANY,
        word!(
            "Look at both gauges and listen: the pump may be short of liquid or shut in; if that does not mend it, tell the shift supervisor."
        ),
        None,
    ),
    // Steady crackle at the suction: cavitation (MIL-HDBK-1164 6.4.2.1).
    row(
        &[K::Noise],
        &[Said(&["crackle"])],
        ANY,
        word!(
            "Look at the suction gauge, level and strainer: crackling is the sound of too little at the suction; if that does not mend it, tell the shift supervisor."
        ),
        LINE,
    ),
    row(
        &[K::Noise],
        &[Said(&["squeal"])],
        ANY,
        word!("Look at leak-off and gland heat: a dry or tight gland squeals."),
        NEAR_SHAFT,
    )
    .at_gland(),
    row(
        &[K::Noise],
        &[Said(&["knock"])],
        ANY,
        word!("Feel both bearings and tell the shift supervisor; have the spare made ready."),
        BACK_OF_HAND,
    ),
    row(
        &[K::Surroundings],
        &[Said(&["spray"])],
        ANY,
        word!("Step back, close the place off, and tell the shift supervisor."),
        Some(word!("Keep out of the spray, and keep others out of it.")),
    ),
    row(
        &[K::Surroundings],
        &[Said(&["smell"])],
        ANY,
        word!("Step back upwind and tell the shift supervisor."),
        Some(word!(
            "Go near again only as your plant's procedure has it."
        )),
    ),
    row(
        &[K::Surroundings],
        &[Said(&["leak"])],
        ANY,
        word!("Photograph where it comes from and tell the shift supervisor."),
        Some(word!("Stay out of the liquid.")),
    ),
    row(
        &[K::CouplingGuard],
        &[Said(&["no"])],
        ANY,
        word!(
            "Keep people away and tell the shift supervisor: the pump must not run with an open coupling."
        ),
        Some(word!("Reach for nothing near the coupling.")),
    ),
    row(
        &[K::Foundation],
        &[Said(&["loose_bolt"])],
        ANY,
        word!("Feel the vibration and tell the shift supervisor."),
        RUNNING,
    ),
    row(
        &[K::LinedUp],
        &[Said(&["no"])],
        ANY,
        word!(
            "Set the valves as your plant's procedure has them for standby, or tell the shift supervisor."
        ),
        Some(word!("A pump on standby can start at any time.")),
    ),
    row(
        &[K::Primed],
        &[Said(&["no"])],
        ANY,
        word!(
            "Prime and vent it by your plant's procedure, and tell the shift supervisor that the spare is not ready."
        ),
        Some(word!("What leaves a vent can be hot or hazardous.")),
    ),
    // What the troubles behind these answers can do: MIL-HDBK-1164 and DOE-HDBK-1018/1-93, pumps (both read in copies);
    // the words are common practice, no source.
    row(
        &[K::Rotation],
        &[Said(&["no"])],
        ANY,
        word!(
            "Keep away, and have the pump stopped by your plant's procedure: turning the wrong way can unscrew an impeller."
        ),
        None,
    ),
    row(
        &[K::Coupling],
        &[Said(&["loose"])],
        ANY,
        word!("Keep away, and have the pump stopped by your plant's procedure: parts can fly."),
        None,
    ),
    row(
        &[K::PhaseCurrents],
        &[Said(&["one_missing"])],
        ANY,
        word!(
            "Have the pump stopped by your plant's procedure, and a licensed electrician called."
        ),
        None,
    ),
    row(
        &[K::Delivery],
        &[Said(&["lost", "never"])],
        ANY,
        word!(
            "Look at suction level, valves and strainer; if it does not deliver within a minute, stop the pump by your plant's procedure, for it runs dry."
        ),
        LINE,
    ),
    row(
        &[K::CasingHeat],
        &[High, Felt],
        ANY,
        word!(
            "Keep away and open nothing; look whether a valve is shut, and tell the control room at once."
        ),
        HOT,
    ),
    row(
        &[K::ValvePosition],
        &[Said(&["shut"])],
        ANY,
        word!(
            "Tell the control room at once: a pump that runs against a shut valve overheats and can burst; turn the valve only by your plant's procedure."
        ),
        LINE,
    ),
];
