//! What the checks of each kind of lubrication mean together.

mod remedy_support;

use lantern_ring::{
    check::{Entered, RunningState, list},
    plant::{Lubrication, Place, Unit, Verdict},
    remedy::lubrication::{
        BearingSeen, FeedSeen, Heater, Meaning, Side, bearing_together, feed_together, side,
    },
    statistics::trend::Reach,
};
use remedy_support::{limits, pump};

const LOW: Option<Side> = Some(Side::Low);
const WITHIN: Option<Side> = Some(Side::Within);
const HIGH: Option<Side> = Some(Side::High);

fn whats(meanings: &[Meaning]) -> Vec<&str> {
    meanings
        .iter()
        .map(|meaning| meaning.what.as_str())
        .collect()
}

/// One meaning, beginning so.
fn only(meanings: Vec<Meaning>, begins: &str) -> Meaning {
    assert_eq!(meanings.len(), 1, "{:?}", whats(&meanings));
    assert!(meanings[0].what.starts_with(begins), "{}", meanings[0].what);
    meanings.into_iter().next().unwrap()
}

fn ahead(days: f64) -> Reach {
    Reach::Ahead {
        days,
        earliest_days: days / 2.0,
        latest_days: Some(days * 2.0),
        observed_days: 28.0,
        is_beyond_evidence: false,
    }
}

#[test]
fn nothing_wrong_means_nothing() {
    assert_eq!(feed_together(&FeedSeen::default()), []);
    let well = FeedSeen {
        temperature: WITHIN,
        cooling_water: Some("flowing"),
        heater: Some(Heater::On),
        pressure: WITHIN,
        filter_drop: WITHIN,
        reservoir: WITHIN,
        look: Some("clear"),
        ..FeedSeen::default()
    };
    assert_eq!(feed_together(&well), []);
    for kind in [
        Lubrication::OilBath,
        Lubrication::BottleOiler,
        Lubrication::GreaseCup,
        Lubrication::Sealed,
    ] {
        assert_eq!(
            bearing_together(kind, Place::PumpDe, &BearingSeen::default()),
            []
        );
    }
}

/// Common practice, no source: which of water, heater and cooler makes the oil hot or cold.
#[test]
fn oil_temperature_is_told_with_water_and_heater() {
    let of = |temperature, cooling_water, heater| {
        feed_together(&FeedSeen {
            temperature,
            cooling_water,
            heater,
            ..FeedSeen::default()
        })
    };
    only(
        of(HIGH, Some("none"), None),
        "The oil is hot and cooling water is short",
    );
    only(
        of(HIGH, Some("hot_return"), None),
        "The oil is hot and the water comes back hot",
    );
    only(
        of(HIGH, Some("flowing"), Some(Heater::On)),
        "The oil is hot and its heater heats",
    );
    only(
        of(HIGH, Some("flowing"), Some(Heater::Off)),
        "The oil is hot though water flows",
    );
    only(
        of(LOW, Some("flowing"), Some(Heater::Off)),
        "The oil is cold and its heater is off",
    );
    // Water gathers in a housing cooled too much: NAVFAC MO-209 item (f).
    let cooled = only(
        of(LOW, Some("flowing"), None),
        "The oil is cold with the water flowing",
    );
    assert!(cooled.action.contains("less water"));
    only(
        of(WITHIN, Some("weak"), None),
        "Cooling water is short; the oil has not warmed yet",
    );
}

#[test]
fn the_filters_drop_is_told_with_pressure_temperature_and_days_left() {
    let full = FeedSeen {
        filter_drop: HIGH,
        temperature: WITHIN,
        ..FeedSeen::default()
    };
    only(
        feed_together(&full),
        "The filter's drop is high: its element is full",
    );
    let starves = FeedSeen {
        pressure: LOW,
        ..full.clone()
    };
    only(
        feed_together(&starves),
        "The oil pressure is low behind a filter",
    );
    let cold = FeedSeen {
        temperature: LOW,
        ..full
    };
    let told = feed_together(&cold);
    assert!(
        whats(&told)
            .iter()
            .any(|what| what.starts_with("The filter's drop is high with cold oil"))
    );
    assert!(told.iter().all(|meaning| meaning.verdict == Verdict::Watch));
    let reach = ahead(12.0);
    let rising = FeedSeen {
        filter_drop: WITHIN,
        filter_reach: Some(&reach),
        ..FeedSeen::default()
    };
    let told = only(
        feed_together(&rising),
        "The filter's drop rises to its limit",
    );
    assert_eq!(
        told.what,
        "The filter's drop rises to its limit in about 12 days (6 to 24)."
    );
    let still = Reach::NoTrend {
        level: 0.5,
        p_two_sided: 0.6,
        is_past: false,
    };
    let still = FeedSeen {
        filter_drop: WITHIN,
        filter_reach: Some(&still),
        ..FeedSeen::default()
    };
    assert_eq!(feed_together(&still), []);
}

#[test]
fn a_falling_reservoir_asks_for_the_cause_and_a_report() {
    let reach = ahead(5.0);
    let falling = FeedSeen {
        reservoir: WITHIN,
        reservoir_reach: Some(&reach),
        ..FeedSeen::default()
    };
    let told = only(
        feed_together(&falling),
        "The reservoir falls to its low limit in about 5 days",
    );
    assert!(told.action.starts_with("Find the cause and report it"));
    let low = only(
        feed_together(&FeedSeen {
            reservoir: LOW,
            ..FeedSeen::default()
        }),
        "The reservoir is low",
    );
    assert_eq!(low.action, told.action);
    let air = FeedSeen {
        reservoir: LOW,
        pressure: LOW,
        look: Some("foam"),
        ..FeedSeen::default()
    };
    let told = feed_together(&air);
    assert!(whats(&told).iter().any(|what| what.contains("draw air")));
    let water = FeedSeen {
        reservoir: HIGH,
        look: Some("milky"),
        ..FeedSeen::default()
    };
    only(
        feed_together(&water),
        "The oil is milky and the reservoir rises",
    );
}

/// First suspect too much lubricant: MIL-HDBK-1164 Table 17.
#[test]
fn level_look_use_and_heat_of_an_oiled_bearing_are_told_together() {
    let of = |kind, seen| bearing_together(kind, Place::PumpDe, &seen);
    let hot_low = BearingSeen {
        level: LOW,
        heat: HIGH,
        ..BearingSeen::default()
    };
    let told = only(
        of(Lubrication::OilBath, hot_low),
        "The bearing is hot and short of oil",
    );
    assert_eq!(told.verdict, Verdict::Act);
    let over = BearingSeen {
        level: HIGH,
        heat: HIGH,
        ..BearingSeen::default()
    };
    only(
        of(Lubrication::OilBath, over),
        "The bearing is hot and overfilled",
    );
    let starved = BearingSeen {
        level: WITHIN,
        heat: HIGH,
        ..BearingSeen::default()
    };
    only(
        of(Lubrication::BottleOiler, starved),
        "The bearing is hot though the bottle is full",
    );
    only(
        of(Lubrication::OilBath, starved),
        "The bearing is hot with its oil at the mark",
    );
    let uses = BearingSeen {
        level: WITHIN,
        uses_more: true,
        ..BearingSeen::default()
    };
    only(
        of(Lubrication::BottleOiler, uses),
        "It uses more oil per running hour",
    );
    let milky = BearingSeen {
        look: Some("milky"),
        ..BearingSeen::default()
    };
    only(of(Lubrication::OilBath, milky), "The oil is milky");
    let burnt = BearingSeen {
        look: Some("dark"),
        heat: HIGH,
        ..BearingSeen::default()
    };
    only(
        of(Lubrication::OilBath, burnt),
        "The oil is dark and the bearing hot",
    );
}

/// Too much grease: MIL-HDBK-1164 Table 17; whitish grease is water: NAVFAC MO-209 5.2(b)(5).
#[test]
fn a_hot_greased_bearing_is_told_by_when_it_was_greased() {
    let of = |seen| bearing_together(Lubrication::GreaseFitting, Place::DriverDe, &seen);
    let hot = BearingSeen {
        heat: HIGH,
        ..BearingSeen::default()
    };
    let told = only(
        of(BearingSeen {
            greased_h_ago: Some(3.0),
            ..hot
        }),
        "The bearing is warm within a day of greasing",
    );
    assert!(told.action.starts_with("Give no more"));
    let told = only(
        of(BearingSeen {
            look: Some("pushed_out"),
            ..hot
        }),
        "The bearing is hot and grease is pushed out",
    );
    assert!(told.action.starts_with("Give no more"));
    only(
        of(BearingSeen {
            look: Some("dry"),
            ..hot
        }),
        "The bearing is hot and short of grease",
    );
    only(
        of(BearingSeen {
            grease_overdue: true,
            ..hot
        }),
        "The bearing is hot and short of grease",
    );
    let told = only(
        of(BearingSeen {
            look: Some("clean"),
            ..hot
        }),
        "The bearing is hot with its grease as it should be",
    );
    assert!(told.action.starts_with("Give no grease for heat alone"));
    // Nobody looked at the grease, so nobody can say how it is.
    let told = only(of(hot), "The bearing is hot.");
    assert!(
        told.action.starts_with("Look at the grease"),
        "{}",
        told.action
    );
    let whitish = BearingSeen {
        look: Some("whitish"),
        ..BearingSeen::default()
    };
    only(of(whitish), "The grease is whitish: water");
    let empty = BearingSeen {
        cup: Some("empty"),
        ..BearingSeen::default()
    };
    only(
        bearing_together(Lubrication::GreaseCup, Place::PumpDe, &empty),
        "The grease cup is screwed down",
    );
}

#[test]
fn a_reading_stands_to_its_watch_limits() {
    let band = limits(
        "feed_oil_temperature@oil_skid",
        "degC",
        serde_json::json!({"low_watch": 35, "high_watch": 50}),
    );
    let at = |value, unit| side(&Entered::Number { value, unit }, Some(&band));
    assert_eq!(at(30.0, Unit::Celsius), LOW);
    assert_eq!(
        at(50.0, Unit::Celsius),
        WITHIN,
        "a bound is the last good value"
    );
    assert_eq!(at(140.0, Unit::Fahrenheit), HIGH);
    assert_eq!(at(1.0, Unit::Bar), None);
    assert_eq!(at(f64::NAN, Unit::Celsius), None);
    assert_eq!(side(&Entered::Level { percent: 20.0 }, None), None);
}

/// Every combination, for what no table of cases thinks of.
#[test]
fn every_meaning_is_a_sentence_of_checks_the_skid_has_with_the_weightiest_first() {
    let fed = pump("BF-301A");
    let has: Vec<_> = list(&fed, RunningState::Running)
        .into_iter()
        .map(|check| check.id)
        .collect();
    let sides = [None, LOW, WITHIN, HIGH];
    let reach = ahead(9.0);
    let mut seen_all = 0;
    for temperature in sides {
        for pressure in sides {
            for filter_drop in sides {
                for reservoir in sides {
                    for cooling_water in [
                        None,
                        Some("flowing"),
                        Some("weak"),
                        Some("hot_return"),
                        Some("none"),
                    ] {
                        for look in [
                            None,
                            Some("clear"),
                            Some("dark"),
                            Some("foam"),
                            Some("milky"),
                            Some("glitter"),
                        ] {
                            for heater in [None, Some(Heater::On), Some(Heater::Off)] {
                                let seen = FeedSeen {
                                    temperature,
                                    cooling_water,
                                    heater,
                                    pressure,
                                    filter_drop,
                                    filter_reach: Some(&reach),
                                    reservoir,
                                    reservoir_reach: Some(&reach),
                                    look,
                                };
                                let told = feed_together(&seen);
                                assert!(told.is_sorted_by(|one, next| one.verdict >= next.verdict));
                                for meaning in &told {
                                    assert!(meaning.verdict.is_out_of_limits());
                                    assert!(
                                        meaning.what.ends_with('.')
                                            && meaning.action.ends_with('.')
                                    );
                                    assert!(
                                        meaning.of.iter().all(|check| has.contains(check)),
                                        "{meaning:?}"
                                    );
                                }
                                let wrong = [temperature, pressure, filter_drop, reservoir]
                                    .iter()
                                    .any(|side| matches!(side, Some(Side::Low | Side::High)));
                                let harmless = pressure == HIGH || filter_drop == LOW;
                                assert!(!wrong || harmless || !told.is_empty(), "{seen:?}");
                                seen_all += 1;
                            }
                        }
                    }
                }
            }
        }
    }
    assert_eq!(seen_all, 4 * 4 * 4 * 4 * 5 * 6 * 3);
}
