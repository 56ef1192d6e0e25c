//! First actions at the shaft: seals, bearings, and what they are lubricated with.

use super::{ANY, AT_SEAL, AT_SHAFT, BACK_OF_HAND, HOT, LINE, NEAR_SHAFT, RUNNING, row};
use crate::{
    judge::{
        Verdict::{Act, Watch},
        first_action::{
            Nuts, Row,
            Trouble::{Fell, Felt, High, Low, Rose, Said},
        },
    },
    plant::CheckKind as K,
    word,
};

pub(super) const ROWS: &[Row] = &[
    // Too tight overheats the packing and scores the shaft (NAVFAC MO-209 item (e)); small,
    // even turns and a wait before counting again are common practice, no source.
    row(
        &[K::LeakOff],
        &[Low],
        ANY,
        word!("Ease each gland nut one flat, wait 10 minutes, count again."),
        AT_SHAFT,
    )
    .turns(Nuts::Eased),
    // A leak wants taking up evenly before renewing (NAVFAC MO-209 5.2); one flat at a time is
    // common practice, no source.
    row(
        &[K::LeakOff],
        &[High],
        &[Watch],
        word!("Tighten each gland nut one flat, evenly, wait 10 minutes, count again."),
        AT_SHAFT,
    )
    .turns(Nuts::Tightened),
    row(
        &[K::LeakOff],
        &[High],
        &[Act],
        word!("Tighten each gland nut one flat, evenly, wait 10 minutes, count again; if it does not fall, tell the shift supervisor that the packing is due."),
        AT_SHAFT,
    )
    .turns(Nuts::Tightened),
    // Whether nuts are eased says the leak-off; a hot gland with little of it is too tight (TM 5-4210-233-14&P-2,
    // p. 6-39).
    row(
        &[K::GlandHeat],
        &[High, Felt, Rose],
        &[Act],
        word!("Touch no hot metal and count the leak-off; if the gland smokes or stays as hot, stop the pump by your plant's procedure."),
        AT_SEAL,
    )
    .at_gland(),
    // "Hot and little leak: too tight" (TM 5-4210-233-14&P-2, p. 6-39).
    row(
        &[K::GlandHeat],
        &[High, Felt, Rose],
        &[Watch],
        word!("Count the leak-off; if it is low, ease each gland nut one flat, wait 10 minutes, feel again."),
        AT_SHAFT,
    )
    .at_gland(),
    // Uneven tightening scores the sleeve (NAVFAC MO-209 item (e)).
    row(
        &[K::GlandSquare],
        &[Said(&["no"])],
        ANY,
        word!("Ease the nut on the narrow side one flat at a time until the gland is square, wait 10 minutes, count the leak-off."),
        AT_SHAFT,
    )
    .at_gland(),
    // Common practice, no source: without feed the packing runs dry or draws air.
    row(
        &[K::LanternRingPressure, K::SealFeedPressure, K::SealFeedFlow],
        &[Low],
        ANY,
        word!("Look whether the feed's valve stands as marked and its filter is clean, and set the feed back; if that does not mend it, tell the shift supervisor."),
        LINE,
    )
    .at_gland(),
    row(
        &[K::LanternRingPressure, K::SealFeedPressure, K::SealFeedFlow],
        &[High],
        ANY,
        word!("Look whether somebody has moved the feed's valve, and set the feed back."),
        LINE,
    )
    .at_gland(),
    // A rotary pump maker's manual (F.6): over about 10 drops an hour, stop and repair. A seal
    // has nothing to tighten: common practice, no source.
    row(
        &[K::SealLeak, K::StaticLeak],
        &[High],
        &[Watch],
        word!("Wipe nothing, tighten nothing; photograph where the drops come from and count again within the hour."),
        AT_SEAL,
    ),
    row(
        &[K::SealLeak, K::StaticLeak],
        &[High],
        &[Act],
        word!("Tighten nothing; photograph where the drops come from and tell the shift supervisor."),
        AT_SEAL,
    ),
    // First suspect too much lubricant (MIL-HDBK-1164 Table 17); the thermometer because
    // judging by hand is inaccurate (OM-02816 p. C-4).
    row(
        &[K::BearingHeat],
        &[High, Felt],
        &[Watch],
        word!("Measure it with a contact thermometer and look at oil or grease: too much heats as well as too little."),
        HOT,
    ),
    row(
        &[K::BearingHeat],
        &[High, Felt],
        &[Act],
        word!("Measure it with a contact thermometer, look at oil or grease, and tell the shift supervisor."),
        HOT,
    ),
    row(
        &[K::BearingTemperature],
        &[High],
        &[Watch],
        word!("Look at oil or grease, too much heats as well as too little, and read it again in 15 minutes."),
        HOT,
    ),
    row(
        &[K::BearingTemperature],
        &[High],
        &[Act],
        word!("Look at oil or grease, read it again in 5 minutes, and tell the shift supervisor; have the spare made ready."),
        HOT,
    ),
    // A sudden rise warns of failure (OM-02816 p. C-4).
    row(
        &[K::BearingTemperature],
        &[Rose],
        ANY,
        word!("A sudden rise warns of failure: read it again in 15 minutes and feel for vibration."),
        BACK_OF_HAND,
    ),
    // Common practice, no source: less load, colder liquid or weather cool a bearing, and so does a probe that slipped.
    row(
        &[K::BearingTemperature],
        &[Fell],
        ANY,
        word!("Look whether the thermometer sits where it should and the pump still delivers, and read it again in 15 minutes."),
        HOT,
    ),
    // Common practice, no source; cavitation shows as vibration (MIL-HDBK-1164 6.4.2.2).
    row(
        &[K::BearingVibration, K::VibrationVelocity],
        &[High, Felt],
        &[Watch],
        word!("Listen for crackling, look at the suction gauge and the foundation bolts, and feel again on the next round."),
        RUNNING,
    ),
    row(
        &[K::BearingVibration, K::VibrationVelocity],
        &[High, Felt],
        &[Act],
        word!("Look at the suction gauge and the foundation bolts and tell the shift supervisor; have the spare made ready."),
        RUNNING,
    ),
    // Oil bath band: between middle and top of the glass (trade article, see the level's
    // limits); topping up with the marked oil is common practice, no source.
    row(
        &[K::OilLevel, K::OilerLevel, K::FeedOilReservoir],
        &[Low],
        ANY,
        word!("Top up with the oil named on the housing, to the mark and no higher, and look where the oil went; if that does not mend it, tell the shift supervisor."),
        NEAR_SHAFT,
    ),
    row(
        &[K::OilLevel, K::FeedOilReservoir],
        &[High],
        ANY,
        word!("Look whether water has got in or somebody has overfilled, and tell the shift supervisor before draining any."),
        None,
    ),
    // Air moisture condenses in an overcooled housing (NAVFAC MO-209 item (f)).
    row(
        &[K::OilLook],
        &[Said(&["milky"])],
        ANY,
        word!("Water is in the oil: tell the shift supervisor, and look whether cooling or seal water gets at the bearing."),
        None,
    ),
    row(
        &[K::OilLook],
        &[Said(&["glitter"])],
        ANY,
        word!("Metal is in the oil: feel heat and vibration now and tell the shift supervisor."),
        BACK_OF_HAND,
    ),
    row(
        &[K::OilLook],
        &[Said(&["foam"])],
        ANY,
        word!("Look at the level: too high a level foams."),
        None,
    ),
    row(
        &[K::GreaseCup],
        &[Said(&["last_turn", "empty"])],
        ANY,
        word!("Fill the cup with the grease named on it and give it its turn."),
        NEAR_SHAFT,
    ),
    // Too much lubricant is the first suspect of a hot bearing (MIL-HDBK-1164 Table 17).
    row(
        &[K::GreaseLook],
        &[Said(&["pushed_out"])],
        ANY,
        word!("Give no more grease and look whether the bearing is hot."),
        BACK_OF_HAND,
    ),
    row(
        &[K::GreaseLook],
        &[Said(&["dry", "dirty"])],
        ANY,
        word!("Clean the fitting and grease as the plant's programme has it, no more."),
        NEAR_SHAFT,
    ),
    // Whitish grease: water past the seal (NAVFAC MO-209 5.2(b)(5)).
    row(
        &[K::GreaseLook],
        &[Said(&["whitish"])],
        ANY,
        word!("Water has got to the grease: look at leak-off and spray from the gland and tell the shift supervisor."),
        None,
    ),
];
