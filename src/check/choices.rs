//! The words to choose from, and what each usually comes to.
//!
//! No usual verdict is `stop pump`: that word weighs too much for a default and comes only
//! from a plant's own limits. What the troubles mean follows MIL-HDBK-1164 (cavitation noise,
//! 6.4.2), NAVFAC MO-209 (whitish grease is water past the seal, 5.2(b)(5)); their weights
//! are common practice, no source.

use super::kind::Choice;
use crate::plant::Verdict::{self, Act, InLimits, Watch};

const fn choice(key: &'static str, usual: Verdict) -> Choice {
    Choice { key, usual }
}

pub(super) const SURROUNDINGS: &[Choice] = &[
    choice("clean", InLimits),
    choice("damp", Watch),
    choice("leak", Act),
    choice("spray", Act),
    choice("smell", Act),
];

pub(super) const NOISE: &[Choice] = &[
    choice("steady", InLimits),
    choice("louder", Watch),
    choice("crackle", Act),
    choice("squeal", Act),
    choice("knock", Act),
    choice("rumble", Act),
    choice("hiss", Watch),
    choice("hum", Watch),
];

pub(super) const OIL_LOOK: &[Choice] = &[
    choice("clear", InLimits),
    choice("dark", Watch),
    choice("foam", Watch),
    choice("milky", Act),
    choice("glitter", Act),
];

pub(super) const GREASE_CUP: &[Choice] = &[
    choice("turns_left", InLimits),
    choice("last_turn", Watch),
    choice("empty", Act),
];

pub(super) const GREASE_LOOK: &[Choice] = &[
    choice("clean", InLimits),
    choice("dry", Watch),
    choice("dirty", Watch),
    choice("pushed_out", Watch),
    choice("whitish", Act),
];

pub(super) const COOLING_WATER: &[Choice] = &[
    choice("flowing", InLimits),
    choice("weak", Watch),
    choice("hot_return", Watch),
    // Too much water is a trouble only where it makes the oil too cold, which its own check tells.
    choice("cold_return", InLimits),
    choice("none", Act),
];

/// By itself a heater's state is neither good nor bad: it is told together with the oil's temperature.
pub(super) const OIL_HEATER: &[Choice] = &[choice("off", InLimits), choice("on", InLimits)];

pub(super) const FOUNDATION: &[Choice] = &[
    choice("sound", InLimits),
    choice("cracked", Watch),
    choice("loose_bolt", Act),
];

pub(super) const SWING: &[Choice] = &[
    choice("steady", InLimits),
    choice("swings", Watch),
    choice("swings_wildly", Act),
];

pub(super) const VENT_TEST: &[Choice] = &[
    choice("liquid", InLimits),
    choice("bubbles", Watch),
    choice("air", Act),
    choice("vapour", Act),
];

/// Asked of a pump that runs: many run throttled, none against a shut valve.
pub(super) const VALVE_POSITION: &[Choice] = &[
    choice("open", InLimits),
    choice("part_open", InLimits),
    choice("shut", Act),
];

/// Neither is wrong by itself: what leaks too much or too little is told by counting.
pub(super) const LEAK_OFF_SIDES: &[Choice] =
    &[choice("all_round", InLimits), choice("one_side", InLimits)];

pub(super) const SUCTION_SURFACE: &[Choice] = &[
    choice("calm", InLimits),
    choice("swirling", Watch),
    choice("air_core", Act),
];

pub(super) const COUPLING: &[Choice] = &[
    choice("good", InLimits),
    choice("worn", Watch),
    choice("loose", Act),
];

pub(super) const PHASE_CURRENTS: &[Choice] = &[
    choice("even", InLimits),
    choice("uneven", Watch),
    choice("one_missing", Act),
];

pub(super) const DELIVERY: &[Choice] = &[
    choice("steady", InLimits),
    choice("comes_and_goes", Watch),
    choice("lost", Act),
    choice("never", Act),
];

/// What happened before; neither answer is wrong by itself.
pub(super) const HAPPENED: &[Choice] = &[choice("no", InLimits), choice("yes", InLimits)];
