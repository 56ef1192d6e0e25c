//! What a visit in the store comes to: its history, and the hand that felt.

mod app_support;

use app_support::{create, stamp, world};
use lantern_ring::{
    app::{App, AppError, Arrive, CloseVisit, Enter, SeeRunning, SetOperator},
    check::{Entered, RunningState},
    evaluation::{Evaluation, Outcome, Worked},
    plant::{PumpId, Unit},
    record::HowFound,
    statistics::feel::FEEL_TO_CELSIUS,
    sys::StillWorld,
};
use uuid::Uuid;

struct Desk {
    app: App,
    world: StillWorld,
    hours: i64,
    _folder: tempfile::TempDir,
}

fn desk() -> Desk {
    let folder = tempfile::tempdir().unwrap();
    let world = world(0, 1);
    let app = create(&folder.path().join("device.lantern"), world.clone());
    Desk {
        app,
        world,
        hours: 0,
        _folder: folder,
    }
}

fn pump() -> PumpId {
    "BF-301A".parse().unwrap()
}

fn felt(step: u8) -> (&'static str, Entered) {
    ("bearing_heat@pump_de", Entered::Feel { step })
}

fn read(value: f64) -> (&'static str, Entered) {
    let unit = Unit::Celsius;
    (
        "bearing_temperature@pump_de",
        Entered::Number { value, unit },
    )
}

impl Desk {
    /// One visit, twelve hours after the one before.
    fn visit(&mut self, by: &str, entries: &[(&str, Entered)]) -> Uuid {
        self.visit_while(RunningState::Running, by, entries)
    }

    fn visit_while(
        &mut self,
        running: RunningState,
        by: &str,
        entries: &[(&str, Entered)],
    ) -> Uuid {
        self.hours += 12;
        self.world.set_now(stamp(self.hours));
        self.app.perform(SetOperator(by.to_owned())).unwrap();
        let arrive = Arrive {
            pump: pump(),
            found: HowFound::Scanned,
            round: None,
        };
        let visit = self.app.perform(arrive).unwrap();
        self.app.perform(SeeRunning { visit, running }).unwrap();
        for (check, entered) in entries {
            let enter = Enter {
                visit,
                check: check.parse().unwrap(),
                entered: entered.clone(),
            };
            self.app.perform(enter).unwrap();
        }
        self.app.perform(CloseVisit { visit }).unwrap();
        visit
    }
}

fn hand(evaluation: &Evaluation) -> Option<&Worked> {
    let mut lines = evaluation.worked.iter();
    lines.find(|line| line.name == "What this hand calls so")
}

#[test]
fn what_was_felt_is_worth_degrees_to_the_hand_that_was_tried_against_the_thermometer() {
    let mut desk = desk();
    for turn in 0..12 {
        let off = f64::from(turn % 3) - 1.0;
        desk.visit("A. Alpha", &[felt(1), read(41.0 + off)]);
        desk.visit("A. Alpha", &[felt(3), read(61.0 + off)]);
    }
    let visit = desk.visit("A. Alpha", &[felt(3)]);
    let evaluation = desk.app.evaluation(visit).unwrap();
    // By hand: twelve readings of 60, 61 and 62 °C have the mean 61. Without one of the outer ones the mean is a
    // eleventh farther from it, so the pairs are off by up to 12/11 = 1.09 °C, and of 24 the outermost bound 90 %.
    let line = hand(&evaluation).expect("a hand that was tried");
    assert_eq!(
        line.line(),
        "What this hand calls so: 61.0 °C, 59.9 to 62.1"
    );
    assert_eq!(line.formula, Some(FEEL_TO_CELSIUS));
    assert_eq!(line.of, ["bearing_heat@pump_de".parse().unwrap()]);
    let rows: Vec<(&str, &str)> = line
        .rows
        .iter()
        .map(|(name, value)| (&**name, &**value))
        .collect();
    assert_eq!(
        rows,
        [
            ("Pairs felt and read, this step", "12"),
            ("Pairs in all", "24"),
            ("Confidence", "90 %")
        ]
    );
    assert!(line.cautions[0].contains("no thermometer"));

    // A step that was never tried is worth nothing, and another's hand is not this one.
    let visit = desk.visit("A. Alpha", &[felt(2)]);
    let evaluation = desk.app.evaluation(visit).unwrap();
    let Outcome::Cannot { why, .. } = &hand(&evaluation).unwrap().outcome else {
        panic!("{evaluation:?}");
    };
    assert!(why.contains("Feel and read together"), "{why}");
    let visit = desk.visit("B. Beta", &[felt(3)]);
    assert_eq!(hand(&desk.app.evaluation(visit).unwrap()), None);
}

#[test]
fn a_few_pairs_are_told_to_be_few() {
    let mut desk = desk();
    for _ in 0..3 {
        desk.visit("A. Alpha", &[felt(1), read(41.0)]);
    }
    let visit = desk.visit("A. Alpha", &[felt(1)]);
    let evaluation = desk.app.evaluation(visit).unwrap();
    let Outcome::Cannot { why, .. } = &hand(&evaluation).unwrap().outcome else {
        panic!("{evaluation:?}");
    };
    assert_eq!(
        why,
        "Feel against thermometer needs at least 19 pairs by one operator, in steps felt at least twice; there are 3. Take a thermometer along and make both entries."
    );
}

#[test]
fn a_visit_looks_back_but_not_ahead() {
    let mut desk = desk();
    for turn in 0..20 {
        desk.visit("A. Alpha", &[read(50.0 + f64::from(turn) / 2.0)]);
    }
    let visit = desk.visit("A. Alpha", &[read(60.0)]);
    let then = desk.app.evaluation(visit).unwrap();
    let trend = &then.trends[&"bearing_temperature@pump_de".parse().unwrap()];
    assert!(trend.rises() && trend.points.len() == 21, "{trend:?}");
    for _ in 0..5 {
        desk.visit("A. Alpha", &[read(30.0)]);
    }
    assert_eq!(
        desk.app.evaluation(visit).unwrap(),
        then,
        "what came later changes nothing"
    );
}

#[test]
fn a_visit_counts_what_an_earlier_one_left_open_as_it_stood_then() {
    let quiet = || {
        let key = "steady".to_owned();
        ("noise@pump", Entered::Choice { key })
    };
    let origins = |desk: &Desk, visit: Uuid| -> Vec<String> {
        let causes = desk.app.evaluation(visit).unwrap().causes;
        let evidence = causes.map(|causes| causes.evidence).unwrap_or_default();
        let before = evidence.into_iter().filter(|told| told.earlier);
        before.map(|told| told.origin).collect()
    };
    let mut desk = desk();
    let hot = desk.visit("A. Alpha", &[felt(4)]);
    assert_eq!(
        origins(&desk, hot),
        Vec::<String>::new(),
        "its own is of now"
    );
    let after = desk.visit("B. Beta", &[quiet()]);
    let told = origins(&desk, after);
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].starts_with("12 h ago: Bearing heat"), "{told:?}");
    // While it stands by, what was found as it ran says nothing.
    let key = "sound".to_owned();
    let sound = ("foundation@pump", Entered::Choice { key });
    let standing = desk.visit_while(RunningState::Standby, "A. Alpha", &[sound]);
    assert_eq!(origins(&desk, standing), Vec::<String>::new());
    // Felt again, it counts no longer; what was said then stays.
    let cool = desk.visit("A. Alpha", &[felt(0)]);
    assert_eq!(origins(&desk, cool), Vec::<String>::new());
    let later = desk.visit("A. Alpha", &[quiet()]);
    assert_eq!(origins(&desk, later), Vec::<String>::new());
    assert_eq!(origins(&desk, after), told);
}

#[test]
fn the_line_beside_an_entry_is_told_from_the_recent_readings_alone() {
    let mut desk = desk();
    let check = "bearing_temperature@pump_de".parse().unwrap();
    assert_eq!(desk.app.trend_words(&pump(), check).unwrap(), "");
    // Sixty days of two readings, falling at first and rising in the last four weeks.
    for turn in 0..120 {
        desk.visit(
            "A. Alpha",
            &[read(40.0 + f64::from((turn - 50_i32).abs()) / 4.0)],
        );
    }
    let words = desk.app.trend_words(&pump(), check).unwrap();
    let whole = desk.app.trend(&pump(), check).unwrap().expect("a trend");
    assert!(words.starts_with("Rising 0.5"), "{words}");
    assert_eq!(words, whole.words, "the trend page says the same");
}

#[test]
fn a_visit_that_is_not_there_is_told() {
    let desk = desk();
    let unknown = Uuid::from_u128(7);
    let refused = desk.app.evaluation(unknown).unwrap_err();
    assert!(
        matches!(refused, AppError::UnknownVisit(visit) if visit == unknown),
        "{refused}"
    );
}
