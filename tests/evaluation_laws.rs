//! Whatever is entered, no number that is none comes out, and no check is asked for that the pump has not.

mod evaluation_support;

use evaluation_support::{Case, NOW_MS, texts};
use lantern_ring::{
    check::{Check, Entered, RunningState, accept, list, on_request, usual_kind},
    evaluation::{Outcome, Reading, Trend},
    plant::Unit,
};
use proptest::prelude::*;
use serde_json::{Value, json};

/// Numbers of this text that are none, or that nobody could read.
fn bad_numbers(text: &str) -> Vec<&str> {
    let words = text.split(|c: char| !(c.is_alphanumeric() || c == '.'));
    words
        .filter(|word| {
            let spelt = ["nan", "inf", "infinity"].contains(&word.to_lowercase().as_str());
            let digits = word.chars().filter(char::is_ascii_digit).count();
            spelt || digits > 12
        })
        .collect()
}

fn numbers_of(trend: &Trend) -> Vec<f64> {
    let mut numbers: Vec<f64> = trend.points.iter().map(|(_, value)| *value).collect();
    if let Some(line) = trend.line {
        numbers.extend([
            line.slope_per_day,
            line.slope_low_per_day,
            line.slope_high_per_day,
        ]);
    }
    if let Some(usual) = trend.usual {
        numbers.extend([usual.centre, usual.sigma]);
    }
    numbers
}

/// Anything that is entered for a check, and that the app would take.
fn entry() -> impl Strategy<Value = Entered> {
    let value = prop_oneof![
        4 => -2.0..12.0,
        2 => -40.0..400.0,
        1 => Just(0.0),
        1 => Just(-0.0),
        1 => Just(f64::MIN_POSITIVE),
        1 => 0.0..5_000.0,
    ];
    let unit = prop::sample::select(vec![
        Unit::Bar,
        Unit::KPa,
        Unit::Psi,
        Unit::Celsius,
        Unit::Fahrenheit,
        Unit::MmPerS,
        Unit::LPerMin,
        Unit::M3PerH,
        Unit::Gpm,
        Unit::Ampere,
        Unit::Rpm,
    ]);
    let key = prop::sample::select(vec![
        "steady",
        "crackle",
        "squeal",
        "rumble",
        "swings",
        "air",
        "vapour",
        "liquid",
        "open",
        "shut",
        "part_open",
        "dark",
        "milky",
        "dry",
        "whitish",
        "pushed_out",
        "never",
        "lost",
        "yes",
        "no",
        "loose",
    ]);
    prop_oneof![
        6 => (value, unit).prop_map(|(value, unit)| Entered::Number { value, unit }),
        2 => (0_u32..2_000, 0.5_f64..600.0).prop_map(|(drops, seconds)| Entered::Count { drops, seconds }),
        1 => (0.0_f64..10_000.0, 10.0_f64..600.0, prop::option::of(prop::sample::select(vec![15.0, 16.0, 20.0]))).prop_map(
            |(millilitres, seconds, drops_per_ml)| Entered::Stream { millilitres, seconds, drops_per_ml }
        ),
        1 => (0.0_f64..=100.0).prop_map(|percent| Entered::Level { percent }),
        1 => (0_u8..6).prop_map(|step| Entered::Feel { step }),
        2 => key.prop_map(|key| Entered::Choice { key: key.to_owned() }),
        1 => any::<bool>().prop_map(|yes| Entered::YesNo { yes }),
        1 => Just(Entered::NotChecked { reason: "guarded".to_owned() }),
    ]
}

/// The water pump in another build.
fn build() -> impl Strategy<Value = Value> {
    prop::sample::select(vec![
        json!({}),
        json!({"gauges": []}),
        json!({"hydraulics": {"curve": null, "suction_bore_mm": null}}),
        json!({"driver": {"variable_speed": true}}),
        json!({"suction": {"kind": "lift", "lift_m": 6.0}, "priming": "vacuum"}),
        json!({"suction": {"kind": "flooded", "head_m": 3.0, "level_glass": true, "glass_from_to_m": [0.5, 4.0]}}),
        json!({"seal": {"kind": "mechanical", "plan": "own", "feed": {"flow_l_min": 8.0, "pressure_bar": 6.0}}}),
        json!({"liquid_temperature_c": 350.0}),
        json!({"gauges": [
            {"place": "suction", "elevation_m": 40.0, "scale_low_bar": -1.1, "scale_high_bar": 0.0},
            {"place": "discharge", "elevation_m": -40.0, "scale_low_bar": -1.1, "scale_high_bar": 1000.0}
        ]}),
    ])
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn no_text_and_no_number_is_ever_none(
        changes in build(),
        entries in prop::collection::vec((any::<prop::sample::Index>(), entry()), 0..40),
        earlier in prop::collection::vec((any::<prop::sample::Index>(), -10_000_i64..4_000_000, entry()), 0..150),
    ) {
        let mut case = Case::with(changes);
        let pump = case.plant.pumps[0].clone();
        let mut checks: Vec<Check> = list(&pump, RunningState::Running);
        checks.extend(on_request(&pump, RunningState::Running));
        for (index, entered) in entries {
            let check = index.get(&checks);
            if case.seen.iter().all(|seen| seen.check != check.id)
                && let Ok(entered) = accept(&check.kind, entered)
            {
                let entered = serde_json::to_value(entered).expect("an entry");
                case = case.enter(&check.id.to_string(), entered);
            }
        }
        for (index, minutes_ago, entered) in earlier {
            let check = index.get(&checks).id;
            if let Ok(entered) = accept(&usual_kind(check.kind), entered) {
                let at_ms = NOW_MS - minutes_ago * 60_000;
                case.before.entry(check).or_default().push(Reading { at_ms, running: None, entered, ambient_c: None });
            }
        }
        let evaluation = case.evaluate();
        for text in texts(&evaluation) {
            prop_assert!(bad_numbers(&text).is_empty(), "{}", text);
        }
        for trend in evaluation.trends.values() {
            prop_assert!(numbers_of(trend).iter().all(|number| number.is_finite()), "{:?}", trend);
        }
        for line in &evaluation.worked {
            if let Outcome::Cannot { enter: Some(check), .. } = line.outcome {
                prop_assert!(checks.iter().any(|here| here.id == check), "{:?} asks for a check it has not", line);
            }
        }
    }
}
