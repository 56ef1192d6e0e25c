//! Laws of judging, for every entry and every band.

use lantern_ring::{
    check::{ENOUGH_DROPS, Entered, EntryKind, MIN_COUNT_S, accept, usual_kind, words},
    judge::{Hands, Judgement, Previous, Verdict, again, judge, sentence},
    plant::{CheckId, CheckKind, FastestChange, Limits, Place, Unit},
};
use proptest::{prelude::*, sample::select};
use uuid::Uuid;

const PRESSURES: [Unit; 3] = [Unit::Bar, Unit::KPa, Unit::Psi];

fn no_limits_yet(check: CheckId, unit: Unit) -> Limits {
    Limits {
        pump: "P-1".parse().expect("an id"),
        check,
        version: 1,
        unit,
        low_stop: None,
        low_act: None,
        low_watch: None,
        target: None,
        high_watch: None,
        high_act: None,
        high_stop: None,
        fastest_change: None,
        choices: Default::default(),
        basis: "test".to_owned(),
    }
}

fn pressure_check() -> CheckId {
    CheckId::new(CheckKind::DischargePressure, Place::Discharge)
}

/// Bounds that rise from low stop to high stop, each there or not.
fn bands(check: CheckId, unit: Unit, from: f64, to: f64) -> impl Strategy<Value = Limits> {
    let bounds = prop::collection::vec(from..to, 7);
    let there = prop::collection::vec(any::<bool>(), 7);
    (bounds, there).prop_map(move |(mut bounds, there)| {
        bounds.sort_by(f64::total_cmp);
        let bound = |i: usize| there[i].then_some(bounds[i]);
        Limits {
            low_stop: bound(0),
            low_act: bound(1),
            low_watch: bound(2),
            target: Some(bounds[3]),
            high_watch: bound(4),
            high_act: bound(5),
            high_stop: bound(6),
            ..no_limits_yet(check, unit)
        }
    })
}

fn any_check() -> impl Strategy<Value = CheckId> {
    (select(CheckKind::ALL), select(Place::ALL)).prop_map(|(kind, place)| CheckId::new(kind, place))
}

/// An entry the check takes, or that somebody could not make.
fn good_entry(kind: CheckKind) -> BoxedStrategy<Entered> {
    let made = match usual_kind(kind) {
        EntryKind::Number {
            unit,
            lowest,
            highest,
        } => {
            let units: Vec<_> = Unit::ALL
                .iter()
                .copied()
                .filter(|other| other.quantity() == unit.quantity())
                .collect();
            (lowest..=highest, select(units))
                .prop_map(move |(value, shown)| Entered::Number {
                    value: unit.convert(value, shown).expect("the same quantity"),
                    unit: shown,
                })
                .boxed()
        }
        EntryKind::Count => prop_oneof![
            // As many as one can count in the least of these times, and as few as are enough in the others.
            (0..=600_u32, MIN_COUNT_S..1e5),
            (ENOUGH_DROPS..=20, 1.0..MIN_COUNT_S)
        ]
        .prop_map(|(drops, seconds)| Entered::Count { drops, seconds })
        .boxed(),
        EntryKind::Level => (0.0..=100.0)
            .prop_map(|percent| Entered::Level { percent })
            .boxed(),
        EntryKind::Feel(scale) => (0..words::feel_steps(scale).len())
            .prop_map(|step| Entered::Feel { step: step as u8 })
            .boxed(),
        EntryKind::Choice(choices) => select(choices)
            .prop_map(|choice| Entered::Choice {
                key: choice.key.to_owned(),
            })
            .boxed(),
        EntryKind::YesNo { .. } => any::<bool>().prop_map(|yes| Entered::YesNo { yes }).boxed(),
        EntryKind::Words => "[a-zé] [a-z ]{0,40}"
            .prop_map(|text| Entered::Words { text })
            .boxed(),
    };
    let skipped = "[a-z] [a-z ]{0,40}".prop_map(|reason| Entered::NotChecked { reason });
    prop_oneof![9 => made, 1 => skipped].boxed()
}

/// Anything at all, also what no check would take.
fn any_entry() -> impl Strategy<Value = Entered> {
    prop_oneof![
        (any::<f64>(), select(Unit::ALL)).prop_map(|(value, unit)| Entered::Number { value, unit }),
        (any::<u32>(), any::<f64>()).prop_map(|(drops, seconds)| Entered::Count { drops, seconds }),
        any::<f64>().prop_map(|percent| Entered::Level { percent }),
        any::<u8>().prop_map(|step| Entered::Feel { step }),
        ".{0,12}".prop_map(|key| Entered::Choice { key }),
        any::<bool>().prop_map(|yes| Entered::YesNo { yes }),
        ".*".prop_map(|text| Entered::Words { text }),
        ".*".prop_map(|reason| Entered::NotChecked { reason }),
    ]
}

fn any_limits(check: CheckId) -> impl Strategy<Value = Limits> {
    let fastest = prop::option::of((0.0..20.0, 0.1..48.0));
    let choice = prop::option::of(select(Verdict::ALL));
    (select(Unit::ALL), fastest, choice).prop_flat_map(move |(unit, fastest, choice)| {
        bands(check, unit, -50.0, 150.0).prop_map(move |limits| Limits {
            fastest_change: fastest.map(|(by, per_hours)| FastestChange {
                by,
                per_hours,
                at_most: None,
            }),
            choices: choice
                .map(|verdict| ("leak".to_owned(), verdict))
                .into_iter()
                .collect(),
            ..limits
        })
    })
}

fn any_previous() -> impl Strategy<Value = Previous> {
    (-50.0..150.0, select(Unit::ALL), 0.0..1e4).prop_map(|(value, unit, hours_before)| Previous {
        record: Uuid::from_u128(7),
        value,
        unit,
        hours_before,
    })
}

fn any_case() -> impl Strategy<Value = (CheckId, Entered, Option<Limits>, Option<Previous>)> {
    any_check().prop_flat_map(|check| {
        (
            Just(check),
            prop_oneof![3 => good_entry(check.kind), 1 => any_entry()],
            prop::option::of(any_limits(check)),
            prop::option::of(any_previous()),
        )
    })
}

proptest! {
    #[test]
    fn further_from_the_target_is_never_better(
        limits in bands(pressure_check(), Unit::Bar, -1.0, 10.0),
        steps in (0.0..6.0_f64, 0.0..6.0_f64),
    ) {
        let verdict = |value| {
            let entered = Entered::Number { value, unit: Unit::Bar };
            again(CheckKind::DischargePressure, &entered, Some(&limits), None).verdict
        };
        let target = limits.target.expect("a target");
        let (near, far) = (steps.0.min(steps.1), steps.0.max(steps.1));
        prop_assert!(verdict(target + near) <= verdict(target + far));
        prop_assert!(verdict(target - near) <= verdict(target - far));
    }

    #[test]
    fn the_unit_of_an_entry_makes_no_difference(
        limits in bands(pressure_check(), Unit::Bar, -1.0, 10.0),
        value in -2.0..12.0,
        at_bound: prop::sample::Index,
        on_bound: bool,
    ) {
        let bounds: Vec<_> = limits.bounds().collect();
        let value = if on_bound { at_bound.get(&bounds).1 } else { value };
        let verdict = |unit: Unit| {
            let value = Unit::Bar.convert(value, unit).expect("pressures");
            again(CheckKind::DischargePressure, &Entered::Number { value, unit }, Some(&limits), None).verdict
        };
        let [bar, kpa, psi] = PRESSURES.map(verdict);
        prop_assert_eq!(bar, kpa);
        prop_assert_eq!(bar, psi);
    }

    #[test]
    fn every_input_has_a_verdict_that_is_its_weightiest_reason(
        (check, entered, limits, previous) in any_case(),
        hands in select(vec![Hands::Free, Hands::NoTightening, Hands::OffHotGland, Hands::OffGland]),
    ) {
        let judged = again(check.kind, &entered, limits.as_ref(), previous.as_ref());
        let verdicts: Vec<_> = judged.reasons.iter().map(|reason| reason.verdict()).collect();
        prop_assert_eq!(verdicts.first(), Some(&judged.verdict));
        prop_assert!(verdicts.is_sorted_by(|a, b| a >= b));
        let told = sentence(check.kind, &entered, &judged, limits.as_ref(), previous.as_ref(), hands);
        prop_assert!(told.starts_with(words::name(check.kind)));
    }

    #[test]
    fn without_limits_nothing_stops_a_pump((check, entered, _, previous) in any_case()) {
        let judged = again(check.kind, &entered, None, previous.as_ref());
        prop_assert!(judged.verdict < Verdict::StopPump);
    }

    #[test]
    fn what_a_check_takes_it_takes_again_unchanged(
        (check, entered) in any_check().prop_flat_map(|check| (Just(check), good_entry(check.kind)))
    ) {
        let kind = usual_kind(check.kind);
        let taken = accept(&kind, entered).expect("a good entry");
        prop_assert_eq!(accept(&kind, taken.clone()), Ok(taken));
    }

    #[test]
    fn a_refused_or_taken_entry_never_panics(check in any_check(), entered in any_entry()) {
        if let Ok(taken) = accept(&usual_kind(check.kind), entered) {
            prop_assert!(taken.measured().is_none_or(|(value, _)| value.is_finite()));
        }
    }

    #[test]
    fn a_stored_entry_judged_again_comes_to_the_same(
        (check, entered, limits, previous) in any_check().prop_flat_map(|check| (
            Just(check),
            good_entry(check.kind),
            prop::option::of(any_limits(check)),
            prop::option::of(any_previous()),
        ))
    ) {
        let judgement = judge(&usual_kind(check.kind), &entered, limits.as_ref(), previous.as_ref());
        let bytes = serde_json::to_vec(&(&entered, &limits, &previous, &judgement)).expect("bytes");
        let (entered, limits, previous, stored): (Entered, Option<Limits>, Option<Previous>, Judgement) =
            serde_json::from_slice(&bytes).expect("the same");
        prop_assert_eq!(&stored, &judgement);
        prop_assert_eq!(again(check.kind, &entered, limits.as_ref(), previous.as_ref()), stored);
    }
}
