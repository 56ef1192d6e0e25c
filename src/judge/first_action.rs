//! What an operator does first.
//!
//! Plain operator actions only: nothing that opens the pump, needs a permit or a licence.

use super::{Judgement, Reason, Verdict};
use crate::{check::Entered, plant::CheckKind};

/// What an operator does first about an entry out of limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FirstAction {
    /// What to do.
    pub action: &'static str,
    /// What to mind while doing it.
    pub caution: Option<&'static str>,
}

/// What went wrong, as far as the first action depends on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Trouble<'a> {
    /// Below a bound.
    Low,
    /// Above a bound.
    High,
    /// Changed too fast.
    Fast,
    /// A choice or answer, by its key.
    Said(&'a str),
    /// A step of feeling, without bands.
    Felt,
}

const AT_SHAFT: Option<&str> = Some(
    "Keep clear of the turning shaft; where your plant leaves glands to the fitters, tell them instead.",
);
const HOT: Option<&str> = Some("Do not touch what may be hot.");
const LINE: Option<&str> = Some("Open nothing under pressure.");
const KEEP_AWAY: Option<&str> = Some("Keep away from the spray and others out of it.");

/// The pump is to be stopped; nothing else comes first, whatever the check.
const STOP: FirstAction = FirstAction {
    action: "Stop the pump by your plant's procedure and tell the shift supervisor.",
    caution: None,
};

/// Nothing an operator can mend at the pump, or nothing known.
const TELL: FirstAction = FirstAction {
    action: "Tell the shift supervisor.",
    caution: None,
};

const LOOK_AGAIN: FirstAction = FirstAction {
    action: "Look again on the next round.",
    caution: None,
};

/// A reading that jumped.
const READ_AGAIN: FirstAction = FirstAction {
    action: "Read it once more; if it stays, look again within the hour.",
    caution: None,
};

/// What to do first about an entry; `None` where it is in limits or not judged.
pub fn first_action(
    check: CheckKind,
    entered: &Entered,
    judgement: &Judgement,
) -> Option<FirstAction> {
    let weightiest = judgement.reasons.first()?;
    match judgement.verdict {
        Verdict::NotJudged | Verdict::InLimits => None,
        Verdict::StopPump => Some(STOP),
        verdict => Some(
            known(check, trouble(weightiest, entered), verdict).unwrap_or(match verdict {
                Verdict::Act => TELL,
                _ => LOOK_AGAIN,
            }),
        ),
    }
}

fn trouble<'a>(reason: &Reason, entered: &'a Entered) -> Trouble<'a> {
    match (reason, entered) {
        (Reason::Below { .. }, _) => Trouble::Low,
        (Reason::Above { .. }, _) => Trouble::High,
        (Reason::TooFast { .. }, _) => Trouble::Fast,
        (_, Entered::Choice { key }) => Trouble::Said(key),
        (_, Entered::YesNo { yes: true }) => Trouble::Said("yes"),
        (_, Entered::YesNo { yes: false }) => Trouble::Said("no"),
        _ => Trouble::Felt,
    }
}

/// The table: check, trouble, verdict → what to do first.
fn known(check: CheckKind, trouble: Trouble<'_>, verdict: Verdict) -> Option<FirstAction> {
    use CheckKind as K;
    use Trouble::{Fast, Felt, High, Low, Said};
    use Verdict::{Act, Watch};
    let (action, caution) = match (check, trouble, verdict) {
        // Too tight overheats the packing and scores the shaft (NAVFAC MO-209 item (e)); small,
        // even turns and a wait before counting again are common practice, no source.
        (K::LeakOff, Low, Watch | Act) => (
            "Ease each gland nut one flat, wait 10 minutes, count again.",
            AT_SHAFT,
        ),
        // A leak wants taking up evenly before renewing (NAVFAC MO-209 5.2); one flat at a time is
        // common practice, no source.
        (K::LeakOff, High, Watch) => (
            "Tighten each gland nut one flat, evenly, wait 10 minutes, count again.",
            AT_SHAFT,
        ),
        (K::LeakOff, High, Act) => (
            "Tighten each gland nut one flat, evenly, wait 10 minutes, count again; if it does not fall, tell the shift supervisor that the packing is due.",
            AT_SHAFT,
        ),
        // "Hot and little leak: too tight" (TM 5-4210-233-14&P-2, p. 6-39).
        (K::GlandHeat, High | Felt | Fast, Watch | Act) => (
            "Count the leak-off; if it is low, ease each gland nut one flat, wait 10 minutes, feel again.",
            AT_SHAFT,
        ),
        // Uneven tightening scores the sleeve (NAVFAC MO-209 item (e)).
        (K::GlandSquare, Said("no"), _) => (
            "Ease the nut on the narrow side one flat at a time until the gland is square, wait 10 minutes, count the leak-off.",
            AT_SHAFT,
        ),
        // Common practice, no source: without feed the packing runs dry or draws air.
        (K::LanternRingPressure | K::SealFeedPressure | K::SealFeedFlow, Low, _) => (
            "Look whether the feed's valve stands as marked and its filter is clean, and set the feed back.",
            LINE,
        ),
        (K::LanternRingPressure | K::SealFeedPressure | K::SealFeedFlow, High, _) => (
            "Look whether somebody has moved the feed's valve, and set the feed back.",
            LINE,
        ),
        // A rotary pump maker's manual (F.6): over about 10 drops an hour, stop and repair. A seal
        // has nothing to tighten: common practice, no source.
        (K::SealLeak | K::StaticLeak, High, Watch) => (
            "Wipe nothing, tighten nothing; photograph where the drops come from and count again within the hour.",
            AT_SEAL,
        ),
        (K::SealLeak | K::StaticLeak, High, Act) => (
            "Tighten nothing; photograph where the drops come from and tell the shift supervisor.",
            AT_SEAL,
        ),
        // First suspect too much lubricant (MIL-HDBK-1164 Table 17); the thermometer because
        // judging by hand is inaccurate (OM-02816 p. C-4).
        (K::BearingHeat, High | Felt, Watch) => (
            "Measure it with a contact thermometer and look at oil or grease: too much heats as well as too little.",
            HOT,
        ),
        (K::BearingHeat, High | Felt, Act) => (
            "Measure it with a contact thermometer, look at oil or grease, and tell the shift supervisor.",
            HOT,
        ),
        (K::BearingTemperature, High, Watch) => (
            "Look at oil or grease, too much heats as well as too little, and read it again in 15 minutes.",
            HOT,
        ),
        (K::BearingTemperature, High, Act) => (
            "Look at oil or grease, read it again in 5 minutes, and tell the shift supervisor; have the spare made ready.",
            HOT,
        ),
        // A sudden rise warns of failure (OM-02816 p. C-4).
        (K::BearingTemperature, Fast, _) => (
            "A sudden rise warns of failure: read it again in 15 minutes and feel for vibration.",
            HOT,
        ),
        // Common practice, no source; cavitation shows as vibration (MIL-HDBK-1164 6.4.2.2).
        (K::BearingVibration | K::VibrationVelocity, High | Felt, Watch) => (
            "Listen for crackling, look at the suction gauge and the foundation bolts, and feel again on the next round.",
            Some("Tighten nothing while the pump runs."),
        ),
        (K::BearingVibration | K::VibrationVelocity, High | Felt, Act) => (
            "Look at the suction gauge and the foundation bolts and tell the shift supervisor; have the spare made ready.",
            Some("Tighten nothing while the pump runs."),
        ),
        // Oil bath band: between middle and top of the glass (trade article, see the level's
        // limits); topping up with the marked oil is common practice, no source.
        (K::OilLevel | K::OilerLevel | K::FeedOilReservoir, Low, _) => (
            "Top up with the oil named on the housing, to the mark and no higher, and look where the oil went.",
            Some("Keep sleeves and can clear of the shaft."),
        ),
        (K::OilLevel | K::FeedOilReservoir, High, _) => (
            "Look whether water has got in or somebody has overfilled, and tell the shift supervisor before draining any.",
            None,
        ),
        // Air moisture condenses in an overcooled housing (NAVFAC MO-209 item (f)).
        (K::OilLook, Said("milky"), _) => (
            "Water is in the oil: tell the shift supervisor, and look whether cooling or seal water gets at the bearing.",
            None,
        ),
        (K::OilLook, Said("glitter"), _) => (
            "Metal is in the oil: feel heat and vibration now and tell the shift supervisor.",
            HOT,
        ),
        (K::OilLook, Said("foam"), _) => ("Look at the level: too high a level foams.", None),
        (K::GreaseCup, Said("last_turn" | "empty"), _) => (
            "Fill the cup with the grease named on it and give it its turn.",
            Some("Keep hands and rag clear of the shaft."),
        ),
        // Too much lubricant is the first suspect of a hot bearing (MIL-HDBK-1164 Table 17).
        (K::GreaseLook, Said("pushed_out"), _) => (
            "Give no more grease and look whether the bearing is hot.",
            HOT,
        ),
        (K::GreaseLook, Said("dry" | "dirty"), _) => (
            "Clean the fitting and grease as the plant's programme has it, no more.",
            Some("Keep hands and rag clear of the shaft."),
        ),
        // Whitish grease: water past the seal (NAVFAC MO-209 5.2(b)(5)).
        (K::GreaseLook, Said("whitish"), _) => (
            "Water has got to the grease: look at leak-off and spray from the gland and tell the shift supervisor.",
            None,
        ),
        // Common practice, no source.
        (K::FeedOilPressure, Low, _) => (
            "Look at the reservoir level and the filter drop and tell the shift supervisor.",
            None,
        ),
        (K::FeedOilFilterDrop, High, _) => (
            "Change over to the clean filter by your plant's procedure, where there are two.",
            LINE,
        ),
        (K::FeedOilTemperature, High, _) => ("Look whether cooling water flows.", HOT),
        (K::CoolingWater, Said(_), _) => (
            "Look whether the water's valves stand as marked and read the oil temperature.",
            HOT,
        ),
        // Cavitation follows a low suction pressure or level (DOE-HDBK-1018, MIL-HDBK-1164 6.4.2.2).
        (K::SuctionPressure, Low, _) => (
            "Look at the level on the suction side, the suction valve and the strainer, and listen for crackling.",
            LINE,
        ),
        (K::SuctionLevel, Low, _) => (
            "Tell the control room that the level is low and listen for crackling.",
            None,
        ),
        (K::SuctionLevel, High, _) => ("Tell the control room that the level is high.", None),
        (K::DischargePressure, Low, _) => (
            "Look at suction pressure and level, and whether a valve or the other pump has been moved.",
            None,
        ),
        // Run against a closed discharge a pump overheats (NAVFAC MO-209 page mo2090104).
        (K::DischargePressure, High, _) => (
            "Look whether the discharge valve stands open: a pump against a shut valve overheats.",
            HOT,
        ),
        // Clean-out at a set drop, before it runs away (strainer makers' pages).
        (K::StrainerDrop, High, _) => (
            "Change over or clean the strainer by your plant's procedure before the drop runs away.",
            LINE,
        ),
        // Running far out on its curve overloads the motor (trade page on runout).
        (K::MotorCurrent, High, _) => (
            "Look whether the discharge stands wider open or the gland tighter than usual, and tell the shift supervisor.",
            None,
        ),
        (K::MotorCurrent, Low, _) => (
            "Look at both gauges and listen: the pump may be short of liquid or shut in.",
            None,
        ),
        // Steady crackle at the suction: cavitation (MIL-HDBK-1164 6.4.2.1).
        (K::Noise, Said("crackle"), _) => (
            "Look at the suction gauge, level and strainer: crackling is the sound of too little at the suction.",
            LINE,
        ),
        (K::Noise, Said("squeal"), _) => (
            "Look at leak-off and gland heat: a dry or tight gland squeals.",
            Some("Keep clear of the turning shaft."),
        ),
        (K::Noise, Said("knock"), _) => (
            "Feel both bearings and tell the shift supervisor; have the spare made ready.",
            HOT,
        ),
        (K::Surroundings, Said("spray"), _) => (
            "Step back, close the place off, and tell the shift supervisor.",
            KEEP_AWAY,
        ),
        (K::Surroundings, Said("smell"), _) => (
            "Step back against the wind and tell the shift supervisor.",
            Some("Go near again only as your plant's procedure has it."),
        ),
        (K::Surroundings, Said("leak"), _) => (
            "Photograph where it comes from and tell the shift supervisor.",
            Some("Stay out of the liquid."),
        ),
        (K::CouplingGuard, Said("no"), _) => (
            "Keep people away and tell the shift supervisor: the pump must not run with an open coupling.",
            Some("Reach for nothing near the coupling."),
        ),
        (K::Foundation, Said("loose_bolt"), _) => (
            "Feel the vibration and tell the shift supervisor.",
            Some("Tighten nothing while the pump runs."),
        ),
        (K::LinedUp, Said("no"), _) => (
            "Set the valves as your plant's procedure has them for standby, or tell the shift supervisor.",
            Some("A pump on standby can start at any time."),
        ),
        (K::Primed, Said("no"), _) => (
            "Prime and vent it by your plant's procedure, and tell the shift supervisor that the spare is not ready.",
            Some("What leaves a vent can be hot or hazardous."),
        ),
        (_, Fast, Watch) => return Some(READ_AGAIN),
        _ => return None,
    };
    Some(FirstAction { action, caution })
}

const AT_SEAL: Option<&str> = Some("Stay out of the line of a spray.");
