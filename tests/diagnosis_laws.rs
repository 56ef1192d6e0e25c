//! Laws of the diagnosis, for every build and all evidence.

use lantern_ring::diagnosis::{Build, Diagnosis, Evidence, Feature, Knowledge, Sign, Telling};
use proptest::{prelude::*, sample::select};

const FEATURES: [Feature; 16] = [
    Feature::Packed,
    Feature::LanternRing,
    Feature::Mechanical,
    Feature::SealFeed,
    Feature::Oil,
    Feature::Grease,
    Feature::ForcedFeed,
    Feature::Cooler,
    Feature::OilHeater,
    Feature::OilFilter,
    Feature::Flooded,
    Feature::Lift,
    Feature::Sump,
    Feature::HotLiquid,
    Feature::SuctionStrainer,
    Feature::DischargeFilter,
];

fn builds() -> impl Strategy<Value = Build> {
    prop::collection::vec(select(&FEATURES[..]), 1..10).prop_map(Build::new)
}

/// Evidence that may repeat itself and may contradict itself, some of it from an earlier visit.
fn evidence() -> impl Strategy<Value = Vec<Evidence>> {
    let one = (
        select(Sign::ALL),
        any::<bool>(),
        select(vec!["entry", "trend", "gauges"]),
        prop::bool::weighted(0.25),
    );
    prop::collection::vec(one, 0..14).prop_map(|all| {
        all.into_iter()
            .map(|(sign, present, origin, earlier)| Evidence {
                sign,
                present,
                origin: origin.to_owned(),
                part: None,
                earlier,
            })
            .collect()
    })
}

fn diagnose(build: &Build, evidence: &[Evidence]) -> Diagnosis<'static> {
    let knowledge = Knowledge::built_in().expect("the built-in knowledge reads");
    knowledge.diagnose(build, evidence, &|_| true)
}

fn keys(diagnosis: &Diagnosis) -> Vec<String> {
    let fitting = diagnosis.fitting.iter();
    fitting.map(|cause| cause.trouble.key.clone()).collect()
}

proptest! {
    #[test]
    fn the_order_of_evidence_changes_nothing(
        build in builds(),
        (evidence, shuffled) in evidence().prop_flat_map(|e| (Just(e.clone()), Just(e).prop_shuffle())),
    ) {
        prop_assert_eq!(diagnose(&build, &evidence), diagnose(&build, &shuffled));
    }

    #[test]
    fn repeating_evidence_changes_nothing(build in builds(), evidence in evidence(), times in 1usize..3) {
        let mut repeated = evidence.clone();
        for _ in 0..times {
            repeated.extend(evidence.clone());
        }
        prop_assert_eq!(diagnose(&build, &evidence), diagnose(&build, &repeated));
    }

    #[test]
    fn hearing_the_same_from_somewhere_else_changes_no_ranking(build in builds(), evidence in evidence()) {
        let mut twice = evidence.clone();
        twice.extend(evidence.iter().map(|e| Evidence { origin: "somebody else".to_owned(), ..e.clone() }));
        prop_assert_eq!(keys(&diagnose(&build, &evidence)), keys(&diagnose(&build, &twice)));
    }

    #[test]
    fn a_sign_nothing_is_known_of_changes_nothing_by_being_left_out_or_told_both_ways(
        build in builds(), evidence in evidence(), sign in select(Sign::ALL),
    ) {
        prop_assume!(evidence.iter().all(|e| e.sign != sign && !e.sign.excludes(sign)));
        let mut both = evidence.clone();
        both.push(Evidence::present(sign, "one entry"));
        both.push(Evidence::absent(sign, "another entry"));
        prop_assert_eq!(keys(&diagnose(&build, &evidence)), keys(&diagnose(&build, &both)));
        prop_assert!(diagnose(&build, &both).contradicted.contains(&sign));
    }

    #[test]
    fn what_is_ruled_out_never_fits(build in builds(), evidence in evidence()) {
        let diagnosis = diagnose(&build, &evidence);
        let fitting = keys(&diagnosis);
        for ruled_out in &diagnosis.ruled_out {
            prop_assert!(!ruled_out.by.is_empty());
            prop_assert!(!fitting.contains(&ruled_out.trouble.key));
        }
        for cause in &diagnosis.fitting {
            let all = cause.speaks_for.iter().chain(&cause.speaks_against);
            prop_assert!(all.into_iter().all(|s| s.weight != lantern_ring::diagnosis::Weight::RulesOut));
        }
    }

    #[test]
    fn what_the_build_cannot_have_is_not_named(build in builds(), evidence in evidence()) {
        let diagnosis = diagnose(&build, &evidence);
        for cause in &diagnosis.fitting {
            prop_assert!(cause.trouble.can_be_on(&build));
        }
        for ruled_out in &diagnosis.ruled_out {
            prop_assert!(ruled_out.trouble.can_be_on(&build));
        }
    }

    #[test]
    fn every_cause_that_fits_says_why(build in builds(), evidence in evidence()) {
        for cause in &diagnose(&build, &evidence).fitting {
            prop_assert!(!cause.speaks_for.is_empty());
            for spoken in cause.speaks_for.iter().chain(&cause.speaks_against) {
                prop_assert!(!spoken.origins.is_empty() && !spoken.source.is_empty());
            }
        }
    }

    #[test]
    fn a_telling_check_is_never_one_already_made_nor_one_the_pump_cannot_show(
        build in builds(), evidence in evidence(),
    ) {
        let diagnosis = diagnose(&build, &evidence);
        let mut named: Vec<Sign> = diagnosis.telling.sign().into_iter().collect();
        if let Telling::Checks(checks) = &diagnosis.telling {
            prop_assert!(!checks.is_empty() && checks.len() <= 3);
            named.extend(checks.iter().flat_map(|check| check.answers.iter().map(|a| a.sign)));
        }
        for sign in named {
            prop_assert!(sign.can_be_on(&build));
            let mut now = evidence.iter().filter(|e| !e.earlier);
            prop_assert!(!now.any(|e| e.sign.same_check(sign)), "{:?} was made", sign);
        }
    }

    #[test]
    fn only_checks_that_can_be_seen_are_proposed(build in builds(), evidence in evidence(), hidden in select(Sign::ALL)) {
        let knowledge = Knowledge::built_in().expect("the built-in knowledge reads");
        let diagnosis = knowledge.diagnose(&build, &evidence, &|sign| !sign.same_check(hidden));
        prop_assert!(diagnosis.telling.sign().is_none_or(|sign| !sign.same_check(hidden)));
    }

    #[test]
    fn one_more_sign_for_a_cause_never_lowers_it_below_a_cause_it_says_nothing_about(
        build in builds(), evidence in evidence(), sign in select(Sign::ALL),
    ) {
        prop_assume!(evidence.iter().all(|e| e.sign != sign && !e.sign.excludes(sign)));
        prop_assume!(Sign::ALL.iter().all(|other| !other.excludes(sign)));
        let before = diagnose(&build, &evidence);
        let mut more = evidence.clone();
        more.push(Evidence::present(sign, "entry"));
        let after = diagnose(&build, &more);
        let spoken_for = |d: &Diagnosis| -> Vec<(String, bool, bool)> {
            d.fitting.iter().map(|c| (
                c.trouble.key.clone(),
                c.speaks_for.iter().any(|s| s.sign == sign),
                c.speaks_against.iter().any(|s| s.sign == sign),
            )).collect()
        };
        let after = spoken_for(&after);
        for (place, cause) in before.fitting.iter().enumerate() {
            let below = &before.fitting[place + 1..];
            let Some(now) = after.iter().position(|(key, gains, _)| *gains && *key == cause.trouble.key) else { continue };
            for other in below {
                let silent = after.iter().position(|(key, gains, loses)| *key == other.trouble.key && !gains && !loses);
                prop_assert!(silent.is_none_or(|silent| now < silent));
            }
        }
    }
}

#[test]
fn no_evidence_fits_nothing_and_says_so() {
    let diagnosis = diagnose(&Build::new([Feature::Packed, Feature::Lift]), &[]);
    assert!(diagnosis.fitting.is_empty() && diagnosis.ruled_out.is_empty());
    assert_eq!(diagnosis.telling, Telling::NothingFits);
    assert_eq!(diagnosis.summary(), "Nothing fits yet.");
}

#[test]
fn having_just_been_started_is_no_trouble() {
    let evidence = [
        Evidence::present(Sign::JustStarted, "visit"),
        Evidence::present(Sign::AfterMaintenance, "visit"),
    ];
    let diagnosis = diagnose(&Build::new([Feature::Packed, Feature::Lift]), &evidence);
    assert!(diagnosis.fitting.is_empty());
}

#[test]
fn causes_no_check_left_tells_apart_are_named_as_such() {
    let knowledge = Knowledge::built_in().expect("the built-in knowledge reads");
    let build = Build::new([Feature::Mechanical, Feature::Flooded]);
    let evidence = [Evidence::present(Sign::DischargeHigh, "gauge")];
    let diagnosis = knowledge.diagnose(&build, &evidence, &|_| false);
    let Telling::CannotTell(left) = &diagnosis.telling else {
        panic!("{:?}", diagnosis.telling);
    };
    let left: Vec<_> = left.iter().map(|trouble| trouble.key.as_str()).collect();
    assert!(
        left.starts_with(&["discharge_valve", "dead_headed"]),
        "{left:?}"
    );
}

#[test]
fn two_causes_are_called_alike_only_while_no_check_left_tells_them_apart() {
    let knowledge = Knowledge::built_in().expect("the built-in knowledge reads");
    let build = Build::new([Feature::Mechanical, Feature::Flooded]);
    let evidence = [Evidence::present(Sign::DischargeHigh, "gauge")];
    let pair = |can_see: &dyn Fn(Sign) -> bool| {
        let diagnosis = knowledge.diagnose(&build, &evidence, can_see);
        let pairs = diagnosis.alike.iter();
        pairs
            .map(|pair| pair.map(|t| t.key.as_str()))
            .any(|pair| pair == ["discharge_valve", "dead_headed"])
    };
    assert!(pair(&|_| false));
    assert!(!pair(&|sign| sign == Sign::DischargeValveShut));
}

#[test]
fn no_word_shown_has_a_percentage() {
    let build = Build::new([Feature::Packed, Feature::Lift, Feature::Oil]);
    let evidence = [
        Evidence::present(Sign::FlowLow, "flow meter"),
        Evidence::present(Sign::DischargeSwinging, "gauge"),
    ];
    let diagnosis = diagnose(&build, &evidence);
    let shown = format!(
        "{diagnosis:?} {} {}",
        diagnosis.summary(),
        diagnosis.telling.words()
    );
    assert!(!diagnosis.fitting.is_empty());
    assert!(!shown.contains('%') && !shown.contains("probab"), "{shown}");
}

#[test]
fn a_visit_is_diagnosed_in_milliseconds_even_unoptimised() {
    let build = Build::new(FEATURES);
    let evidence: Vec<_> = Sign::ALL
        .iter()
        .step_by(4)
        .map(|&sign| Evidence::present(sign, "entry"))
        .collect();
    // The quickest of many: the rest waited for other work of the machine.
    let once = |_| {
        let started = std::time::Instant::now();
        std::hint::black_box(diagnose(&build, &evidence));
        started.elapsed()
    };
    let each = (0..100).map(once).min().unwrap_or_default();
    println!("{each:?} with {} signs", evidence.len());
    assert!(each < std::time::Duration::from_millis(10), "{each:?}");
}
