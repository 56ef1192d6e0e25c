//! The table of first actions.

use super::{
    FirstAction, Row,
    Trouble::{self, Fell, Felt, High, Low, Rose, Said},
};
use crate::{
    judge::Verdict::{self, Act, Watch},
    plant::CheckKind::{self, self as K},
};

const AT_SHAFT: Option<&str> = Some(
    "Only where the liquid is neither hot nor hazardous and your plant leaves glands to operators; keep clear of the turning shaft.",
);
const AT_SEAL: Option<&str> = Some("Stay out of the line of a spray.");
const NEAR_SHAFT: Option<&str> = Some("Keep hands, sleeves and rag clear of the shaft.");
const HOT: Option<&str> = Some("Do not touch what may be hot.");
const BACK_OF_HAND: Option<&str> = Some("Bring the back of the hand near first.");
const LINE: Option<&str> = Some("Open nothing under pressure.");
const RUNNING: Option<&str> = Some("Tighten nothing while the pump runs.");

const ANY: &[Verdict] = &[Watch, Act];

const fn row(
    checks: &'static [CheckKind],
    troubles: &'static [Trouble],
    verdicts: &'static [Verdict],
    action: &'static str,
    caution: Option<&'static str>,
) -> Row {
    Row {
        checks,
        troubles,
        verdicts,
        first: FirstAction { action, caution },
        at_gland: false,
    }
}

/// Check, trouble, verdict → what to do first. The basis of each stands above it.
pub(super) const TABLE: &[Row] = &[
    // Too tight overheats the packing and scores the shaft (NAVFAC MO-209 item (e)); small,
    // even turns and a wait before counting again are common practice, no source.
    row(
        &[K::LeakOff],
        &[Low],
        ANY,
        "Ease each gland nut one flat, wait 10 minutes, count again.",
        AT_SHAFT,
    )
    .at_gland(),
    // A leak wants taking up evenly before renewing (NAVFAC MO-209 5.2); one flat at a time is
    // common practice, no source.
    row(
        &[K::LeakOff],
        &[High],
        &[Watch],
        "Tighten each gland nut one flat, evenly, wait 10 minutes, count again.",
        AT_SHAFT,
    )
    .at_gland(),
    row(
        &[K::LeakOff],
        &[High],
        &[Act],
        "Tighten each gland nut one flat, evenly, wait 10 minutes, count again; if it does not fall, tell the shift supervisor that the packing is due.",
        AT_SHAFT,
    )
    .at_gland(),
    // Whether nuts are eased says the leak-off; a hot gland with little of it is too tight (TM 5-4210-233-14&P-2,
    // p. 6-39).
    row(
        &[K::GlandHeat],
        &[High, Felt, Rose],
        &[Act],
        "Touch no hot metal and count the leak-off; if the gland smokes or stays as hot, stop the pump by your plant's procedure.",
        AT_SEAL,
    )
    .at_gland(),
    // "Hot and little leak: too tight" (TM 5-4210-233-14&P-2, p. 6-39).
    row(
        &[K::GlandHeat],
        &[High, Felt, Rose],
        &[Watch],
        "Count the leak-off; if it is low, ease each gland nut one flat, wait 10 minutes, feel again.",
        AT_SHAFT,
    )
    .at_gland(),
    // Uneven tightening scores the sleeve (NAVFAC MO-209 item (e)).
    row(
        &[K::GlandSquare],
        &[Said(&["no"])],
        ANY,
        "Ease the nut on the narrow side one flat at a time until the gland is square, wait 10 minutes, count the leak-off.",
        AT_SHAFT,
    )
    .at_gland(),
    // Common practice, no source: without feed the packing runs dry or draws air.
    row(
        &[K::LanternRingPressure, K::SealFeedPressure, K::SealFeedFlow],
        &[Low],
        ANY,
        "Look whether the feed's valve stands as marked and its filter is clean, and set the feed back; if that does not mend it, tell the shift supervisor.",
        LINE,
    )
    .at_gland(),
    row(
        &[K::LanternRingPressure, K::SealFeedPressure, K::SealFeedFlow],
        &[High],
        ANY,
        "Look whether somebody has moved the feed's valve, and set the feed back.",
        LINE,
    )
    .at_gland(),
    // A rotary pump maker's manual (F.6): over about 10 drops an hour, stop and repair. A seal
    // has nothing to tighten: common practice, no source.
    row(
        &[K::SealLeak, K::StaticLeak],
        &[High],
        &[Watch],
        "Wipe nothing, tighten nothing; photograph where the drops come from and count again within the hour.",
        AT_SEAL,
    ),
    row(
        &[K::SealLeak, K::StaticLeak],
        &[High],
        &[Act],
        "Tighten nothing; photograph where the drops come from and tell the shift supervisor.",
        AT_SEAL,
    ),
    // First suspect too much lubricant (MIL-HDBK-1164 Table 17); the thermometer because
    // judging by hand is inaccurate (OM-02816 p. C-4).
    row(
        &[K::BearingHeat],
        &[High, Felt],
        &[Watch],
        "Measure it with a contact thermometer and look at oil or grease: too much heats as well as too little.",
        HOT,
    ),
    row(
        &[K::BearingHeat],
        &[High, Felt],
        &[Act],
        "Measure it with a contact thermometer, look at oil or grease, and tell the shift supervisor.",
        HOT,
    ),
    row(
        &[K::BearingTemperature],
        &[High],
        &[Watch],
        "Look at oil or grease, too much heats as well as too little, and read it again in 15 minutes.",
        HOT,
    ),
    row(
        &[K::BearingTemperature],
        &[High],
        &[Act],
        "Look at oil or grease, read it again in 5 minutes, and tell the shift supervisor; have the spare made ready.",
        HOT,
    ),
    // A sudden rise warns of failure (OM-02816 p. C-4).
    row(
        &[K::BearingTemperature],
        &[Rose],
        ANY,
        "A sudden rise warns of failure: read it again in 15 minutes and feel for vibration.",
        BACK_OF_HAND,
    ),
    // Common practice, no source: less load, colder liquid or weather cool a bearing, and so does a probe that slipped.
    row(
        &[K::BearingTemperature],
        &[Fell],
        ANY,
        "Look whether the thermometer sits where it should and the pump still delivers, and read it again in 15 minutes.",
        HOT,
    ),
    // Common practice, no source; cavitation shows as vibration (MIL-HDBK-1164 6.4.2.2).
    row(
        &[K::BearingVibration, K::VibrationVelocity],
        &[High, Felt],
        &[Watch],
        "Listen for crackling, look at the suction gauge and the foundation bolts, and feel again on the next round.",
        RUNNING,
    ),
    row(
        &[K::BearingVibration, K::VibrationVelocity],
        &[High, Felt],
        &[Act],
        "Look at the suction gauge and the foundation bolts and tell the shift supervisor; have the spare made ready.",
        RUNNING,
    ),
    // Oil bath band: between middle and top of the glass (trade article, see the level's
    // limits); topping up with the marked oil is common practice, no source.
    row(
        &[K::OilLevel, K::OilerLevel, K::FeedOilReservoir],
        &[Low],
        ANY,
        "Top up with the oil named on the housing, to the mark and no higher, and look where the oil went; if that does not mend it, tell the shift supervisor.",
        NEAR_SHAFT,
    ),
    row(
        &[K::OilLevel, K::FeedOilReservoir],
        &[High],
        ANY,
        "Look whether water has got in or somebody has overfilled, and tell the shift supervisor before draining any.",
        None,
    ),
    // Air moisture condenses in an overcooled housing (NAVFAC MO-209 item (f)).
    row(
        &[K::OilLook],
        &[Said(&["milky"])],
        ANY,
        "Water is in the oil: tell the shift supervisor, and look whether cooling or seal water gets at the bearing.",
        None,
    ),
    row(
        &[K::OilLook],
        &[Said(&["glitter"])],
        ANY,
        "Metal is in the oil: feel heat and vibration now and tell the shift supervisor.",
        BACK_OF_HAND,
    ),
    row(
        &[K::OilLook],
        &[Said(&["foam"])],
        ANY,
        "Look at the level: too high a level foams.",
        None,
    ),
    row(
        &[K::GreaseCup],
        &[Said(&["last_turn", "empty"])],
        ANY,
        "Fill the cup with the grease named on it and give it its turn.",
        NEAR_SHAFT,
    ),
    // Too much lubricant is the first suspect of a hot bearing (MIL-HDBK-1164 Table 17).
    row(
        &[K::GreaseLook],
        &[Said(&["pushed_out"])],
        ANY,
        "Give no more grease and look whether the bearing is hot.",
        BACK_OF_HAND,
    ),
    row(
        &[K::GreaseLook],
        &[Said(&["dry", "dirty"])],
        ANY,
        "Clean the fitting and grease as the plant's programme has it, no more.",
        NEAR_SHAFT,
    ),
    // Whitish grease: water past the seal (NAVFAC MO-209 5.2(b)(5)).
    row(
        &[K::GreaseLook],
        &[Said(&["whitish"])],
        ANY,
        "Water has got to the grease: look at leak-off and spray from the gland and tell the shift supervisor.",
        None,
    ),
    // Common practice, no source.
    row(
        &[K::FeedOilPressure],
        &[Low],
        ANY,
        "Look at the reservoir level and the filter drop and tell the shift supervisor.",
        None,
    ),
    row(
        &[K::FeedOilFilterDrop],
        &[High],
        ANY,
        "Change over to the clean filter by your plant's procedure, where there are two.",
        LINE,
    ),
    row(
        &[K::FeedOilTemperature],
        &[High],
        ANY,
        "Look whether cooling water flows; if that does not mend it, tell the shift supervisor.",
        HOT,
    ),
    row(
        &[K::CoolingWater],
        &[Said(&["weak", "hot_return", "none"])],
        ANY,
        "Look whether the water's valves stand as marked and read the oil temperature; if that does not mend it, tell the shift supervisor.",
        HOT,
    ),
    // Cavitation follows a low suction pressure or level (DOE-HDBK-1018, MIL-HDBK-1164 6.4.2.2).
    row(
        &[K::SuctionPressure],
        &[Low],
        ANY,
        "Look at the level on the suction side, the suction valve and the strainer, and listen for crackling; if that does not mend it, tell the shift supervisor.",
        LINE,
    ),
    row(
        &[K::SuctionLevel],
        &[Low],
        ANY,
        "Tell the control room that the level is low and listen for crackling.",
        None,
    ),
    row(
        &[K::SuctionLevel],
        &[High],
        ANY,
        "Tell the control room that the level is high.",
        None,
    ),
    row(
        &[K::DischargePressure],
        &[Low],
        ANY,
        "Look at suction pressure and level, and whether a valve or the other pump has been moved; if that does not mend it, tell the shift supervisor.",
        None,
    ),
    // Run against a closed discharge a pump overheats (NAVFAC MO-209 page mo2090104).
    row(
        &[K::DischargePressure],
        &[High],
        ANY,
        "Look whether the discharge valve stands open: a pump against a shut valve overheats; if that does not mend it, tell the shift supervisor.",
        HOT,
    ),
    // Clean-out at a set drop, before it runs away (strainer makers' pages).
    row(
        &[K::StrainerDrop],
        &[High],
        ANY,
        "Change over or clean the strainer by your plant's procedure before the drop runs away.",
        LINE,
    ),
    // Running far out on its curve overloads the motor (trade page on runout).
    row(
        &[K::MotorCurrent],
        &[High],
        ANY,
        "Look whether the discharge stands wider open or the gland tighter than usual, and tell the shift supervisor.",
        None,
    ),
    row(
        &[K::MotorCurrent],
        &[Low],
        ANY,
        "Look at both gauges and listen: the pump may be short of liquid or shut in; if that does not mend it, tell the shift supervisor.",
        None,
    ),
    // Steady crackle at the suction: cavitation (MIL-HDBK-1164 6.4.2.1).
    row(
        &[K::Noise],
        &[Said(&["crackle"])],
        ANY,
        "Look at the suction gauge, level and strainer: crackling is the sound of too little at the suction; if that does not mend it, tell the shift supervisor.",
        LINE,
    ),
    row(
        &[K::Noise],
        &[Said(&["squeal"])],
        ANY,
        "Look at leak-off and gland heat: a dry or tight gland squeals.",
        NEAR_SHAFT,
    )
    .at_gland(),
    row(
        &[K::Noise],
        &[Said(&["knock"])],
        ANY,
        "Feel both bearings and tell the shift supervisor; have the spare made ready.",
        BACK_OF_HAND,
    ),
    row(
        &[K::Surroundings],
        &[Said(&["spray"])],
        ANY,
        "Step back, close the place off, and tell the shift supervisor.",
        Some("Keep out of the spray, and keep others out of it."),
    ),
    row(
        &[K::Surroundings],
        &[Said(&["smell"])],
        ANY,
        "Step back upwind and tell the shift supervisor.",
        Some("Go near again only as your plant's procedure has it."),
    ),
    row(
        &[K::Surroundings],
        &[Said(&["leak"])],
        ANY,
        "Photograph where it comes from and tell the shift supervisor.",
        Some("Stay out of the liquid."),
    ),
    row(
        &[K::CouplingGuard],
        &[Said(&["no"])],
        ANY,
        "Keep people away and tell the shift supervisor: the pump must not run with an open coupling.",
        Some("Reach for nothing near the coupling."),
    ),
    row(
        &[K::Foundation],
        &[Said(&["loose_bolt"])],
        ANY,
        "Feel the vibration and tell the shift supervisor.",
        RUNNING,
    ),
    row(
        &[K::LinedUp],
        &[Said(&["no"])],
        ANY,
        "Set the valves as your plant's procedure has them for standby, or tell the shift supervisor.",
        Some("A pump on standby can start at any time."),
    ),
    row(
        &[K::Primed],
        &[Said(&["no"])],
        ANY,
        "Prime and vent it by your plant's procedure, and tell the shift supervisor that the spare is not ready.",
        Some("What leaves a vent can be hot or hazardous."),
    ),
    // What the troubles behind these answers can do: MIL-HDBK-1164 and DOE-HDBK-1018/1-93, pumps (both read in copies);
    // the words are common practice, no source.
    row(
        &[K::Rotation],
        &[Said(&["no"])],
        ANY,
        "Keep away, and have the pump stopped by your plant's procedure: turning the wrong way can unscrew an impeller.",
        None,
    ),
    row(
        &[K::Coupling],
        &[Said(&["loose"])],
        ANY,
        "Keep away, and have the pump stopped by your plant's procedure: parts can fly.",
        None,
    ),
    row(
        &[K::PhaseCurrents],
        &[Said(&["one_missing"])],
        ANY,
        "Have the pump stopped by your plant's procedure, and a licensed electrician called.",
        None,
    ),
    row(
        &[K::Delivery],
        &[Said(&["lost", "never"])],
        ANY,
        "Look at suction level, valves and strainer; if it does not deliver within a minute, stop the pump by your plant's procedure, for it runs dry.",
        LINE,
    ),
    row(
        &[K::CasingHeat],
        &[High, Felt],
        ANY,
        "Keep away and open nothing; look whether a valve is shut, and tell the control room at once.",
        HOT,
    ),
    row(
        &[K::ValvePosition],
        &[Said(&["shut"])],
        ANY,
        "Tell the control room at once: a pump that runs against a shut valve overheats and can burst; turn the valve only by your plant's procedure.",
        LINE,
    ),
];
