//! The words people read, compared with the text kept beside this test. Whoever changes a word
//! changes that file too, and sees it in the review.

use lantern_ring::{
    check::{Caution, EntryKind, FeelScale, RunningState, usual_kind, words},
    plant::{CheckId, CheckKind, Place},
};
use std::fmt::Write;

const KEPT: &str = include_str!("data/judging/words.txt");

#[test]
fn the_words_for_people_are_as_kept() {
    let now = all_words();
    for (line, (now, kept)) in now.lines().zip(KEPT.lines()).enumerate() {
        assert_eq!(now, kept, "line {}", line + 1);
    }
    assert_eq!(now, KEPT);
}

#[test]
fn every_choice_has_words() {
    for &kind in CheckKind::ALL {
        if let EntryKind::Choice(choices) = usual_kind(kind) {
            for choice in choices {
                assert!(
                    words::choice(kind, choice.key).is_some(),
                    "{} {}",
                    kind.key(),
                    choice.key
                );
            }
        }
    }
}

#[test]
fn every_caution_and_instruction_is_one_sentence() {
    let cautions = Caution::ALL.iter().map(|caution| caution.sentence());
    let instructions = CheckKind::ALL.iter().map(|&kind| words::how_to(kind));
    for sentence in cautions.chain(instructions) {
        assert!(
            sentence.ends_with('.') && sentence.matches(". ").count() == 0,
            "{sentence}"
        );
    }
}

fn all_words() -> String {
    let mut text = String::new();
    for &kind in CheckKind::ALL {
        check_words(&mut text, kind);
    }
    for scale in [FeelScale::Heat, FeelScale::Vibration] {
        writeln!(text, "{scale:?}").unwrap();
        for (number, step) in words::feel_steps(scale).iter().enumerate() {
            writeln!(text, "  {number} {}: {}", step.word, step.sign).unwrap();
        }
    }
    for &place in Place::ALL {
        writeln!(text, "{}: {}", place.key(), words::short_place(place)).unwrap();
    }
    for state in [
        RunningState::Running,
        RunningState::Standby,
        RunningState::OutOfService,
    ] {
        writeln!(text, "{state:?}: {}", words::running_state(state)).unwrap();
    }
    for caution in Caution::ALL {
        writeln!(text, "{caution:?}: {}", caution.sentence()).unwrap();
    }
    text
}

fn check_words(text: &mut String, kind: CheckKind) {
    writeln!(text, "{}", kind.key()).unwrap();
    for &place in places(kind) {
        writeln!(text, "  {}", words::title(CheckId::new(kind, place))).unwrap();
    }
    writeln!(text, "  {}", words::how_to(kind)).unwrap();
    match usual_kind(kind) {
        EntryKind::Choice(choices) => {
            for choice in choices {
                let words = words::choice(kind, choice.key).unwrap();
                writeln!(
                    text,
                    "  {} = {words} ({})",
                    choice.key,
                    choice.usual.words()
                )
                .unwrap();
            }
        }
        EntryKind::YesNo { .. } => {
            writeln!(text, "  yes = {}", words::yes_no(kind, true)).unwrap();
            writeln!(text, "  no = {}", words::yes_no(kind, false)).unwrap();
        }
        _ => {}
    }
}

fn places(kind: CheckKind) -> &'static [Place] {
    use CheckKind as K;
    match kind {
        K::LeakOff
        | K::GlandHeat
        | K::GlandSquare
        | K::LanternRingPressure
        | K::SealLeak
        | K::SealFeedFlow
        | K::SealFeedPressure
        | K::StaticLeak
        | K::GlandAir
        | K::LeakOffSides => &[Place::SealDe, Place::SealNde],
        K::OilLook => &[
            Place::PumpDe,
            Place::PumpNde,
            Place::DriverDe,
            Place::DriverNde,
            Place::OilSkid,
        ],
        K::BearingHeat
        | K::BearingTemperature
        | K::BearingVibration
        | K::VibrationVelocity
        | K::OilLevel
        | K::OilerLevel
        | K::GreaseCup
        | K::GreaseLook => &[
            Place::PumpDe,
            Place::PumpNde,
            Place::DriverDe,
            Place::DriverNde,
        ],
        K::FeedOilPressure
        | K::FeedOilTemperature
        | K::FeedOilFilterDrop
        | K::FeedOilReservoir
        | K::CoolingWater
        | K::OilHeater => &[Place::OilSkid],
        K::SuctionPressure | K::SuctionLevel | K::LiquidTemperature | K::SuctionSurface => {
            &[Place::Suction]
        }
        K::DischargePressure | K::Flow => &[Place::Discharge],
        K::StrainerDrop | K::GaugeSwing | K::ValvePosition => &[Place::Suction, Place::Discharge],
        K::MotorCurrent
        | K::DriverTripped
        | K::CurrentSwing
        | K::Rotation
        | K::ShaftSpeed
        | K::PhaseCurrents => &[Place::Driver],
        K::Surroundings
        | K::Noise
        | K::CouplingGuard
        | K::Foundation
        | K::LinedUp
        | K::Primed
        | K::VentTest
        | K::CasingHeat
        | K::Coupling
        | K::Delivery
        | K::JustStarted
        | K::AfterWork
        | K::AfterGreasing
        | K::AmbientTemperature
        | K::Remark => &[Place::Pump],
    }
}
