//! Oil topped up and grease given: against the register, what is due, how much is used.

mod app_support;
mod put_right_support;

use lantern_ring::{
    app::{CloseVisit, HandoverOf},
    plant::Place,
    remedy::{GreaseGiven, OilGiven, Remedy},
};
use put_right_support::{Device, device, pump};

#[test]
fn a_wrong_oil_and_an_oil_nobody_registered_are_warned_of() {
    let mut d = device();
    let oil = |grade: &str| Remedy::TopUp {
        place: Place::PumpDe,
        amount: OilGiven::Bottle { percent: 40.0 },
        grade: grade.to_owned(),
    };
    let (_, right) = d.put_right("ST-108", oil("iso vg 68 MINERAL oil")).unwrap();
    assert!(right.is_empty(), "{right:?}");
    let (_, wrong) = d.put_right("ST-108", oil("ISO VG 46")).unwrap();
    assert!(
        wrong[0].starts_with("Wrong oil: the register has ISO VG 68 mineral oil, not ISO VG 46."),
        "{wrong:?}"
    );
    let why = d.refused("ST-108", oil("   "));
    assert!(why.contains("the oil's grade is empty"), "{why}");
}

/// The programme of CW-310A's motor: 30 g, 1.2 g a stroke, every 8000 running hours.
#[test]
fn too_much_grease_and_grease_too_soon_are_warned_of() {
    let mut d = device();
    let grease = |strokes| Remedy::Grease {
        place: Place::DriverDe,
        amount: GreaseGiven::Strokes { strokes },
        grade: "polyurea NLGI 2".to_owned(),
    };
    let (_, much) = d.put_right("CW-310A", grease(45.0)).unwrap();
    assert!(
        much[0].starts_with("54 g is more than the programme's 30 g"),
        "{much:?}"
    );
    d.minutes(60 * 24);
    let (_, soon) = d.put_right("CW-310A", grease(25.0)).unwrap();
    assert!(
        soon[0].starts_with("Too soon: 54 g were given 24 hours before"),
        "{soon:?}"
    );
    // The sheet for the next shift says of each what was said when it was done.
    let handover = d.app.handover(HandoverOf {
        from_ms: 0,
        to_ms: i64::MAX,
        ..HandoverOf::default()
    });
    let handover = handover.unwrap();
    let said: Vec<_> = handover
        .remedies
        .iter()
        .map(|now| &handover.warnings[&now.row.remedy])
        .collect();
    assert_eq!(said, [&much, &soon]);
    let sheet = handover.sheet().text();
    assert!(
        sheet.contains(much[0].as_str()) && sheet.contains(soon[0].as_str()),
        "{sheet}"
    );
    let due = d.app.grease_due(&pump("CW-310A")).unwrap().unwrap();
    let of_motor = due
        .iter()
        .find(|due| due.job.what == "Grease, Driver DE")
        .unwrap();
    assert!(
        of_motor.words.contains("(every 8000)"),
        "{}",
        of_motor.words
    );
    let nan = d.refused("CW-310A", grease(f64::NAN));
    assert!(nan.contains("can't be; enter more than 0"), "{nan}");
}

#[test]
fn oil_used_is_told_by_running_hour_and_its_rise_is_warned_of() {
    let mut d = device();
    let fill = |percent| Remedy::TopUp {
        place: Place::PumpDe,
        amount: OilGiven::Bottle { percent },
        grade: "ISO VG 68 mineral oil".to_owned(),
    };
    let used = |d: &Device| {
        d.app
            .oil_use(&pump("ST-108"), Place::PumpDe)
            .unwrap()
            .map(|used| used.words())
    };
    assert!(
        used(&d)
            .unwrap_err()
            .to_string()
            .contains("it takes 2 times")
    );
    // 60 mL of the 120 in 100 hours, seen running twice a day.
    let mut warned = Vec::new();
    for percent in [50.0, 50.0, 50.0, 90.0] {
        for _ in 0..10 {
            let visit = d.arrive("ST-108");
            d.app.perform(CloseVisit { visit }).unwrap();
            d.minutes(600);
        }
        let (_, warnings) = d.put_right("ST-108", fill(percent)).unwrap();
        warned.push(warnings);
    }
    assert!(warned[..3].iter().all(Vec::is_empty), "{warned:?}");
    assert!(
        warned[3][0].starts_with("It uses more oil than before: 1.08 mL per running hour"),
        "{warned:?}"
    );
    let words = used(&d).unwrap();
    assert!(words.contains("from 4 top-ups"), "{words}");
}
