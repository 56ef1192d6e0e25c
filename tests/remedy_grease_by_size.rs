//! Grease by a bearing's size beside its programme. What the formula itself gives is tested against its reference rows
//! in `remedy_grease.rs`; sizes are boundary dimensions of ISO 15, from memory.

mod remedy_support;

use lantern_ring::{
    plant::{Arrangement, Bearing, BearingSize, Dirt, Lubrication, Moisture, Place, Pump, Rolling},
    remedy::{
        CannotTell,
        grease_by_size::{BySize, Shaft, by_size},
    },
};
use proptest::{option, prelude::*, sample::select};
use remedy_support::pump;
use std::sync::LazyLock;

/// 6315: 75 × 160 × 37, the reference's second row with its 1480 rpm.
const SIZE_6315: BearingSize = BearingSize {
    bore_mm: 75.0,
    outside_mm: 160.0,
    width_mm: 37.0,
    rolling: Rolling::Ball,
};

/// A pump whose motor has the size at its drive end, and a programme of 30 g every 8000 running hours.
fn sized(size: BearingSize) -> (Pump, Bearing) {
    static DEMO: LazyLock<Pump> = LazyLock::new(|| pump("CW-310A"));
    let mut pump = DEMO.clone();
    pump.driver.speed_rpm = 1480.0;
    let mut bearing = pump.bearing(Place::DriverDe).unwrap().clone();
    bearing.size = Some(size);
    (pump, bearing)
}

fn found(pump: &Pump, bearing: &Bearing) -> BySize {
    by_size(pump, bearing, None, None).unwrap()
}

#[test]
fn amount_and_interval_are_those_of_the_reference_in_as_many_figures_as_the_rule_has() {
    let (pump, bearing) = sized(SIZE_6315);
    let found = found(&pump, &bearing);
    assert_eq!(
        found.words().unwrap(),
        "about 29.6 g every 7900 running hours"
    );
    assert_eq!(
        found.advice(bearing.grease.as_ref()),
        "By the bearing's size: about 29.6 g every 7900 running hours. That is a planner's first figure: give what the programme has."
    );
    assert!(found.advice(None).ends_with("ask before greasing."));
    assert_eq!(found.note(bearing.grease.as_ref()), None);
}

#[test]
fn nothing_is_told_of_a_bearing_without_a_size_or_without_grease() {
    let (pump, mut bearing) = sized(SIZE_6315);
    bearing.lubrication = Lubrication::OilBath;
    assert_eq!(by_size(&pump, &bearing, None, None), None);
    bearing.lubrication = Lubrication::GreaseCup;
    assert!(by_size(&pump, &bearing, None, None).is_some());
    bearing.size = None;
    assert_eq!(by_size(&pump, &bearing, None, None), None);
}

/// Factors of the reference: 65 to 80 °C 0.5, 5 to 10 mm/s peak 0.6, upright 0.3. 4 mm/s RMS are 5.7 peak of a pure
/// tone.
#[test]
fn what_was_read_and_how_the_pump_is_built_shorten_the_interval() {
    let (mut pump, mut bearing) = sized(SIZE_6315);
    let hours = |found: &BySize| found.interval_h.clone().unwrap();
    let mild = hours(&found(&pump, &bearing));
    let share = |of: Option<BySize>| hours(&of.unwrap()) / mild;
    let close = |share: f64, factor: f64| assert!((share - factor).abs() < 1e-12, "{share}");
    close(share(by_size(&pump, &bearing, Some(71.0), None)), 0.5);
    close(share(by_size(&pump, &bearing, None, Some(3.0))), 1.0);
    close(share(by_size(&pump, &bearing, None, Some(4.0))), 0.6);
    bearing.dirt = Some(Dirt::Heavy);
    bearing.moisture = Some(Moisture::Condensing);
    close(share(Some(found(&pump, &bearing))), 0.7 * 0.4);
    pump.arrangement = Arrangement::VerticalSump;
    let upright = found(&pump, &bearing);
    assert_eq!(upright.surroundings.shaft, Shaft::Vertical);
    close(share(Some(upright)), 0.7 * 0.4 * 0.3);
}

/// The rule would have a bearing that is warm from too much grease given more of it: common practice, no source, is to
/// find the cause first.
#[test]
fn the_planners_note_of_a_warm_bearing_asks_for_the_cause_first() {
    let (pump, bearing) = sized(SIZE_6315);
    let note = |celsius| {
        let found = by_size(&pump, &bearing, Some(celsius), None).unwrap();
        found.note(bearing.grease.as_ref())
    };
    let warm = note(85.0).unwrap();
    assert!(
        warm.contains(
            "about every 1600. The bearing is warm: find out why before it gets more grease"
        ),
        "{warm}"
    );
    assert_eq!(note(64.0), None);
}

#[test]
fn a_programme_more_than_twice_or_less_than_half_of_it_is_noted_for_the_planner() {
    let (pump, bearing) = sized(SIZE_6315);
    let programme = bearing.grease.clone().unwrap();
    let found = found(&pump, &bearing);
    let note = |grams, every_running_hours, every_days| {
        let mut programme = programme.clone();
        programme.grams = grams;
        programme.every_running_hours = every_running_hours;
        programme.every_days = every_days;
        found.note(Some(&programme))
    };
    // 29.6 g and 7922.8 hours, the reference's row.
    for (grams, hours) in [(59.0, 15_800.0), (15.0, 4_000.0)] {
        assert_eq!(note(grams, Some(hours), None), None);
    }
    let much = note(60.0, Some(8_000.0), None).unwrap();
    assert_eq!(
        much,
        "The programme has 60 g at a time; by its size the bearing takes about 29.6 g. For the planner: a proposal only, a first figure to be set right by how the grease looks."
    );
    assert!(
        note(14.0, Some(8_000.0), None)
            .unwrap()
            .starts_with("The programme has 14 g")
    );
    assert!(note(30.0, Some(16_000.0), None).unwrap().starts_with(
        "The programme has it every 16000 running hours; by its size it would be about every 7900."
    ));
    let both = note(60.0, Some(3_900.0), None).unwrap();
    assert!(
        both.contains("60 g at a time") && both.contains("every 3900 running hours"),
        "{both}"
    );
    // Days are those of a pump that always runs; what is up first counts.
    assert!(
        note(30.0, None, Some(30.0)).unwrap().starts_with(
            "The programme has it every 30 days, 720 running hours at most; by its size"
        )
    );
    assert_eq!(note(30.0, None, Some(365.0)), None);
    assert_eq!(note(30.0, Some(100_000.0), Some(365.0)), None);
    let none = found.note(None).unwrap();
    assert!(
        none.starts_with("The register has no greasing programme for this bearing; by its size it would be about 29.6 g every 7900 running hours. For the planner: a proposal only"),
        "{none}"
    );
}

/// "Negative T means the formula does not apply": the reference's readme. The amount stands all the same.
#[test]
fn where_the_interval_does_not_apply_that_is_told_in_words() {
    let (mut pump, bearing) = sized(BearingSize {
        bore_mm: 300.0,
        outside_mm: 460.0,
        width_mm: 74.0,
        rolling: Rolling::Ball,
    });
    pump.driver.speed_rpm = 2_950.0;
    let found = found(&pump, &bearing);
    assert_eq!(found.interval_h, Err(CannotTell::FormulaDoesNotApply));
    let words = found.words().unwrap();
    assert!(
        words.starts_with(
            "about 170 g; how often can't be told: the published interval does not apply"
        ),
        "{words}"
    );
    // Of the amount it can still be said that it is far from the programme's.
    assert!(
        found
            .note(bearing.grease.as_ref())
            .unwrap()
            .contains("30 g at a time")
    );
    // A thermometer that reads what no bearing has is told, too, and is no number.
    let broken = by_size(&pump, &bearing, Some(900.0), None).unwrap();
    assert!(
        broken
            .words()
            .unwrap()
            .contains("The bearing's temperature, °C, can't be reckoned with")
    );
}

proptest! {
    /// Whatever the register and the readings hold: a number above 0 or a reason, and words without NaN or infinity.
    #[test]
    fn no_nan_comes_out_of_any_size(
        sizes in (any::<f64>(), any::<f64>(), any::<f64>()),
        usual in (3.0..=1e3_f64, 5.0..=2e3_f64, 1.0..=1e3_f64),
        is_usual in any::<bool>(),
        rolling in select(vec![Rolling::Ball, Rolling::Cylindrical, Rolling::TaperedOrSpherical]),
        speed_rpm in prop_oneof![any::<f64>(), 1.0..=30_000.0_f64],
        read in (option::of(any::<f64>()), option::of(any::<f64>())),
    ) {
        let (bore_mm, outside_mm, width_mm) = if is_usual { usual } else { sizes };
        let (mut pump, bearing) = sized(BearingSize { bore_mm, outside_mm, width_mm, rolling });
        pump.driver.speed_rpm = speed_rpm;
        let found = by_size(&pump, &bearing, read.0, read.1).unwrap();
        for number in [&found.grams, &found.interval_h].into_iter().flatten() {
            prop_assert!(number.is_finite() && *number > 0.0, "{}", number);
        }
        let said = [
            found.words().unwrap_or_else(|why| why.to_string()),
            found.advice(bearing.grease.as_ref()),
            found.note(bearing.grease.as_ref()).unwrap_or_default(),
        ];
        for words in said {
            prop_assert!(!words.contains("NaN") && !words.contains("inf"), "{}", words);
        }
    }
}
