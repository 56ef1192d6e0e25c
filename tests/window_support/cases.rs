//! What to enter for a check, and what it must come to: at each bound and one step to either side.

use lantern_ring::{
    check::{self, Check, Entered, EntryKind, RunningState, words},
    judge::Verdict,
    plant::{CheckKind, Limits, Plant, Pump, PumpId, Seal, Unit},
};
use serde_json::json;

/// How something is put in by hand.
#[derive(Clone, Debug)]
pub enum Hand {
    /// On the keypad or the keyboard.
    Key(String),
    /// By taps within a minute.
    Taps(u32),
    /// By moving the level in the glass.
    Level(u32),
    /// By tapping these words.
    Choose(String),
    /// By writing.
    Write(String),
}

/// Something to enter and what it must come to.
#[derive(Clone, Debug)]
pub struct Case {
    pub by: Hand,
    pub entered: Entered,
    pub verdict: Verdict,
}

/// The pump of this kind of seal with the most to check.
pub fn pump_with_most_to_check(plant: &Plant, packed: bool) -> PumpId {
    let of_kind = plant
        .pumps
        .iter()
        .filter(|pump| matches!(pump.seal, Seal::Packed { .. }) == packed);
    of_kind
        .max_by_key(|pump| check::list(pump, RunningState::Running).len())
        .map(|pump| pump.id.clone())
        .expect("a pump of this kind")
}

/// The demo plant with limits of the test's own for this pump: all six bounds wherever there is a number.
pub fn with_all_bounds(mut plant: Plant, pump: &PumpId) -> Plant {
    plant.limits.retain(|limits| limits.pump != *pump);
    let own = plant.pump(pump).expect("a pump of the plant").clone();
    for check in check::list(&own, RunningState::Running) {
        plant.limits.extend(all_bounds(&own, &check));
    }
    let faults = plant.check();
    assert!(faults.is_empty(), "{faults:?}");
    plant
}

fn all_bounds(pump: &Pump, check: &Check) -> Option<Limits> {
    let (unit, bounds) = match check.kind {
        EntryKind::Number {
            unit,
            lowest,
            highest,
        } => (unit, spread(lowest, highest)),
        EntryKind::Count => (Unit::DropsPerMin, [6.0, 12.0, 18.0, 30.0, 36.0, 42.0]),
        EntryKind::Level => (Unit::Percent, [10.0, 20.0, 30.0, 70.0, 80.0, 90.0]),
        _ => return None,
    };
    let limits = json!({
        "pump": pump.id.as_str(), "check": check.id.to_string(), "version": 3, "unit": unit.key(),
        "low_stop": bounds[0], "low_act": bounds[1], "low_watch": bounds[2],
        "high_watch": bounds[3], "high_act": bounds[4], "high_stop": bounds[5],
        "basis": "made up for the test",
    });
    Some(serde_json::from_value(limits).expect("limits"))
}

/// Six bounds over an instrument's range, on round numbers that can be keyed in.
fn spread(lowest: f64, highest: f64) -> [f64; 6] {
    let round = |value: f64| {
        if highest - lowest >= 40.0 {
            value.round()
        } else {
            (value * 10.0).round() / 10.0
        }
    };
    [1.0, 2.0, 3.0, 5.0, 6.0, 7.0].map(|part| round(lowest + (highest - lowest) * part / 8.0))
}

/// What the bounds of [`with_all_bounds`] make of a number. A bound is the last good value.
fn verdict_by(limits: &Limits, value: f64) -> Verdict {
    let below = |bound: Option<f64>| bound.is_some_and(|bound| value < bound);
    let above = |bound: Option<f64>| bound.is_some_and(|bound| value > bound);
    if below(limits.low_stop) || above(limits.high_stop) {
        Verdict::StopPump
    } else if below(limits.low_act) || above(limits.high_act) {
        Verdict::Act
    } else if below(limits.low_watch) || above(limits.high_watch) {
        Verdict::Watch
    } else {
        Verdict::InLimits
    }
}

/// What to enter for a check: for a number each bound and one step to either side, else every answer there is.
/// `decimals`: the keypad takes a decimal sign here.
pub fn cases(check: &Check, limits: Option<&Limits>, decimals: bool) -> Vec<Case> {
    let kind = check.id.kind;
    let by_number = |step: f64, hand: &dyn Fn(f64) -> (Hand, Entered)| {
        let limits = limits.expect("limits for every number");
        let around = limits
            .bounds()
            .flat_map(|(_, bound)| [bound - step, bound, bound + step]);
        let case = |value: f64| {
            // Away with what adding leaves behind the last digit keyed in.
            let value = (value * 1000.0).round() / 1000.0;
            let (by, entered) = hand(value);
            Case {
                by,
                entered,
                verdict: verdict_by(limits, value),
            }
        };
        around.map(case).collect::<Vec<_>>()
    };
    match check.kind {
        EntryKind::Number { unit, .. } => by_number(if decimals { 0.1 } else { 1.0 }, &|value| {
            (
                Hand::Key(value.to_string()),
                Entered::Number { value, unit },
            )
        }),
        EntryKind::Count => by_number(1.0, &|value| {
            let drops = value as u32;
            let seconds = 60.0;
            (Hand::Taps(drops), Entered::Count { drops, seconds })
        }),
        EntryKind::Level => by_number(5.0, &|percent| {
            (Hand::Level(percent as u32), Entered::Level { percent })
        }),
        EntryKind::Feel(scale) => {
            let steps = words::feel_steps(scale).into_iter().enumerate();
            let case = |(index, step): (usize, words::FeelStep)| Case {
                by: Hand::Choose(format!("{}: {}", step.word, step.sign)),
                entered: Entered::Feel {
                    step: u8::try_from(index).expect("few steps"),
                },
                verdict: usual_feel(scale, index),
            };
            steps.map(case).collect()
        }
        EntryKind::Choice(choices) => {
            let case = |choice: &check::Choice| Case {
                by: Hand::Choose(
                    words::choice(kind, choice.key)
                        .expect("words for every choice")
                        .to_owned(),
                ),
                entered: Entered::Choice {
                    key: choice.key.to_owned(),
                },
                verdict: choice.usual,
            };
            choices.iter().map(case).collect()
        }
        EntryKind::YesNo { good } => [true, false]
            .map(|yes| Case {
                by: Hand::Choose(words::yes_no(kind, yes).to_owned()),
                entered: Entered::YesNo { yes },
                verdict: if yes == good {
                    Verdict::InLimits
                } else {
                    Verdict::Act
                },
            })
            .to_vec(),
        EntryKind::Words => {
            assert_eq!(kind, CheckKind::Remark);
            let text = "Gland follower near the end of its thread".to_owned();
            vec![Case {
                by: Hand::Write(text.clone()),
                entered: Entered::Words { text },
                verdict: Verdict::NotJudged,
            }]
        }
    }
}

/// What a feel comes to without limits of its own: heat from the fifth step on, vibration from the third.
fn usual_feel(scale: check::FeelScale, step: usize) -> Verdict {
    let watch = match scale {
        check::FeelScale::Heat => 4,
        check::FeelScale::Vibration => 2,
    };
    match step {
        _ if step < watch => Verdict::InLimits,
        _ if step == watch => Verdict::Watch,
        _ => Verdict::Act,
    }
}
