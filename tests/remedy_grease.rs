//! Grease by formula, and against its programme.

mod remedy_support;

use lantern_ring::{
    plant::{Dirt, GreaseProgramme, Moisture, Place, Rolling},
    remedy::{
        CannotTell, GreaseGiven,
        grease::{GivenBefore, GreaseWarning, grams, grease_warnings, wanted},
        grease_by_size::{Shaft, Surroundings, grease_interval_h, grease_quantity_g},
        hours::Ran,
    },
};
use remedy_support::{DAY_MS, at, pump};

const MILD: Surroundings = Surroundings {
    temperature_c: Some(60.0),
    vibration_mm_s: Some(2.0),
    dirt: Dirt::Light,
    moisture: Moisture::Dry,
    shaft: Shaft::Horizontal,
    rolling: Rolling::Ball,
};

/// `tests/data/reference/grease_relubrication.json`, with its source. Its column in ounces is not covered: the
/// project keeps grams; nor is n·dm, which nothing here is reckoned from.
#[test]
fn quantity_and_interval_are_those_of_the_published_formula() {
    let text = include_str!("data/reference/grease_relubrication.json");
    let rows: serde_json::Value = serde_json::from_str(text).unwrap();
    let rows = rows["vectors"].as_array().unwrap();
    assert_eq!(rows.len(), 4);
    for row in rows {
        let of = |name: &str| row[name].as_f64().unwrap();
        let rolling = match of("K") {
            10.0 => Rolling::Ball,
            5.0 => Rolling::Cylindrical,
            1.0 => Rolling::TaperedOrSpherical,
            other => panic!("K {other}"),
        };
        let grams = grease_quantity_g(of("D_mm"), of("B_mm")).unwrap();
        assert!((grams - of("grease_g")).abs() < 1e-9, "{row}");
        let hours = grease_interval_h(of("d_mm"), of("n_rpm"), &Surroundings { rolling, ..MILD });
        assert!(
            (hours.unwrap() / of("interval_h") - 1.0).abs() < 1e-12,
            "{row}"
        );
    }
}

/// Factors as the same file's `_source` has them; for water on the housing its 0.1, see the code.
#[test]
fn each_factor_shortens_the_interval_as_published() {
    let hours = |of: Surroundings| grease_interval_h(50.0, 2950.0, &of).unwrap();
    for (of, factor) in [
        (
            Surroundings {
                temperature_c: Some(70.0),
                ..MILD
            },
            0.5,
        ),
        (
            Surroundings {
                temperature_c: Some(85.0),
                ..MILD
            },
            0.2,
        ),
        (
            Surroundings {
                temperature_c: Some(100.0),
                ..MILD
            },
            0.1,
        ),
        (
            Surroundings {
                dirt: Dirt::Heavy,
                ..MILD
            },
            0.7,
        ),
        (
            Surroundings {
                dirt: Dirt::LightAbrasive,
                ..MILD
            },
            0.4,
        ),
        (
            Surroundings {
                dirt: Dirt::HeavyAbrasive,
                ..MILD
            },
            0.2,
        ),
        (
            Surroundings {
                moisture: Moisture::Damp,
                ..MILD
            },
            0.7,
        ),
        (
            Surroundings {
                moisture: Moisture::Condensing,
                ..MILD
            },
            0.4,
        ),
        (
            Surroundings {
                moisture: Moisture::Wet,
                ..MILD
            },
            0.1,
        ),
        (
            Surroundings {
                vibration_mm_s: Some(7.0),
                ..MILD
            },
            0.6,
        ),
        (
            Surroundings {
                vibration_mm_s: Some(12.0),
                ..MILD
            },
            0.3,
        ),
        (
            Surroundings {
                shaft: Shaft::Inclined,
                ..MILD
            },
            0.5,
        ),
        (
            Surroundings {
                shaft: Shaft::Vertical,
                ..MILD
            },
            0.3,
        ),
    ] {
        assert!((hours(of) / hours(MILD) - factor).abs() < 1e-12, "{of:?}");
    }
}

/// "Negative T means the formula does not apply": the same file.
#[test]
fn where_the_formula_does_not_apply_it_says_so() {
    assert_eq!(
        grease_interval_h(400.0, 2950.0, &MILD),
        Err(CannotTell::FormulaDoesNotApply)
    );
    for bore_mm in [0.0, -50.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(
            grease_interval_h(bore_mm, 1480.0, &MILD),
            Err(CannotTell::Number { .. })
        ));
        assert!(grease_quantity_g(bore_mm, 20.0).is_err());
    }
    let hot = Surroundings {
        temperature_c: Some(f64::NAN),
        ..MILD
    };
    assert!(grease_interval_h(50.0, 1480.0, &hot).is_err());
}

fn programme() -> GreaseProgramme {
    GreaseProgramme {
        grade: "Lithium complex, NLGI 2".to_owned(),
        grams: 24.0,
        per_stroke_grams: Some(1.2),
        per_turn_grams: None,
        every_running_hours: Some(4000.0),
        every_days: Some(365.0),
    }
}

fn strokes(strokes: f64) -> GreaseGiven {
    GreaseGiven::Strokes { strokes }
}

fn warned(given: f64, grade: &str, before: &[GivenBefore]) -> Vec<GreaseWarning> {
    let events = [at(0, Ran::Started), at(365 * 24, Ran::Stopped)];
    grease_warnings(
        strokes(given),
        grade,
        200 * DAY_MS,
        &programme(),
        before,
        &events,
    )
    .unwrap()
}

#[test]
fn strokes_are_weighed_against_the_programme() {
    let grade = "lithium-complex NLGI 2";
    assert_eq!(wanted(&programme()), Some(strokes(20.0)));
    assert_eq!(warned(20.0, grade, &[]), []);
    assert_eq!(warned(24.0, grade, &[]), [], "a fifth more does no harm");
    let much = warned(40.0, grade, &[]);
    assert!(matches!(much[..], [GreaseWarning::TooMuch { .. }]));
    assert!(
        much[0]
            .to_string()
            .starts_with("48 g is more than the programme's 24 g."),
        "{}",
        much[0]
    );
    let little = warned(5.0, grade, &[]);
    assert!(matches!(little[..], [GreaseWarning::TooLittle { .. }]));
}

/// First suspect too much lubricant where a bearing is hot: MIL-HDBK-1164 Table 17.
#[test]
fn greasing_again_too_soon_is_warned_of() {
    let before = |days_ago: i64, grams| GivenBefore {
        at_ms: (200 - days_ago) * DAY_MS,
        grams,
    };
    let grade = "Lithium complex NLGI 2";
    let told = warned(20.0, grade, &[before(10, 24.0)]);
    assert!(matches!(told[..], [GreaseWarning::TooSoon { .. }]));
    assert!(
        told[0]
            .to_string()
            .starts_with("Too soon: 24 g were given 10 days before"),
        "{}",
        told[0]
    );
    let both = warned(40.0, grade, &[before(10, 24.0), before(1, 12.0)]);
    assert!(
        matches!(
            both[..],
            [
                GreaseWarning::TooMuch { .. },
                GreaseWarning::TooSoon { times: 2, .. }
            ]
        ),
        "{both:?}"
    );
    assert!(
        both[1]
            .to_string()
            .starts_with("Too soon: 36 g were given in 2 greasings, the last 24 hours before"),
        "{}",
        both[1]
    );
    let at_once = warned(20.0, grade, &[before(0, 24.0)]);
    assert!(
        at_once[0].to_string().contains("less than an hour before"),
        "{}",
        at_once[0]
    );
    // 100 days of running are 2400 h, over half of 4000.
    assert_eq!(warned(20.0, grade, &[before(100, 24.0)]), []);
    // In two halves it is one greasing.
    assert_eq!(warned(10.0, grade, &[before(0, 12.0)]), []);
    // Later ones say nothing of this one.
    assert_eq!(warned(20.0, grade, &[before(-5, 24.0)]), []);
}

#[test]
fn where_it_is_not_known_whether_the_pump_ran_nobody_is_warned_for_nothing() {
    let before = [GivenBefore {
        at_ms: 0,
        grams: 24.0,
    }];
    let told = |events: &[_]| {
        grease_warnings(
            strokes(20.0),
            "lithium complex nlgi 2",
            100 * DAY_MS,
            &programme(),
            &before,
            events,
        )
    };
    assert_eq!(told(&[]), Ok(vec![]));
    let stood = [at(0, Ran::Stopped), at(100 * 24, Ran::SeenStanding)];
    assert!(matches!(
        told(&stood).unwrap()[..],
        [GreaseWarning::TooSoon { .. }]
    ));
}

#[test]
fn a_wrong_grease_is_warned_of() {
    let told = warned(20.0, "Polyurea NLGI 2", &[]);
    assert_eq!(
        told[0].to_string(),
        "Wrong grease: the register has Lithium complex, NLGI 2, not Polyurea NLGI 2. Greases of two kinds can run out together: give no more, and tell the shift supervisor."
    );
}

#[test]
fn a_programme_without_the_weight_of_a_stroke_says_what_is_missing() {
    let bare = GreaseProgramme {
        per_stroke_grams: None,
        ..programme()
    };
    let told = grams(strokes(3.0), &bare).unwrap_err();
    assert!(told.to_string().contains("`per_stroke_grams`"), "{told}");
    assert_eq!(wanted(&bare), None);
    let broken = GreaseProgramme {
        per_stroke_grams: Some(f64::INFINITY),
        ..programme()
    };
    assert!(grams(strokes(3.0), &broken).is_err());
}

#[test]
fn every_programme_of_the_demo_can_be_followed_to_the_stroke() {
    let mut followed = 0;
    for pump in remedy_support::demo().pumps {
        for programme in pump
            .bearings
            .iter()
            .filter_map(|bearing| bearing.grease.as_ref())
        {
            let given = wanted(programme).unwrap();
            assert_eq!(
                grease_warnings(given, &programme.grade, 0, programme, &[], &[]),
                Ok(vec![]),
                "{}",
                pump.id
            );
            followed += 1;
        }
    }
    assert!(followed > 20, "{followed} programmes");
    assert!(
        pump("CH-507")
            .bearing(Place::PumpDe)
            .unwrap()
            .grease
            .is_some()
    );
}
