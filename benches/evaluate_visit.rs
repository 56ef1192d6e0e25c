//! How long one visit's full evaluation takes: every check entered, leak-off, hydraulics, trends and causes.
//!
//! `cargo bench --no-default-features --bench evaluate_visit`. First pure, with 120 readings before of each check, care
//! that is behind, grease and venting among them, and a hand that was tried; then
//! through the door, on a store with as much history at that pump, hands tried against thermometers among it. Square
//! roots of the same run are the measure of the machine.

use lantern_ring::{
    app::{App, Arrive, CloseVisit, Enter, SetOperator},
    check::{Check, Entered, EntryKind, FeelScale, RunningState, accept, list, on_request, words},
    evaluation::{Care, Done, Reading, Seen, Situation, evaluate},
    judge::judge,
    plant::{Place, Plant, PlantFault, Pump, PumpId},
    record::{HowFound, Stamp},
    remedy::{GreaseGiven, Remedy},
    statistics::feel::{Calibration, FeelError, FeltAndMeasured, calibrate},
    sys::{StillWorld, plant_folder},
};
use std::{
    collections::BTreeMap,
    error::Error,
    hint::black_box,
    path::Path,
    time::{Duration, Instant},
};

const ROUNDS: usize = 200;
/// Two months of two rounds a day.
const VISITS_BEFORE: i64 = 120;
const TWELVE_HOURS_MS: i64 = 12 * 3_600_000;
const BEGUN_MS: i64 = 1_700_000_000_000;
/// A multistage pump with forced-feed oil, and a packed one with two glands.
const PUMPS: [&str; 2] = ["BF-301A", "RW-101A"];

type Outcome<T> = Result<T, Box<dyn Error>>;

fn main() -> Outcome<()> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-plant");
    let plant = read(&folder)?;
    measure("a million square roots", || {
        Ok((1..=1_000_000).map(|n| f64::from(n).sqrt()).sum::<f64>() > 0.0)
    })?;
    for id in PUMPS {
        let pump = plant.pump(&id.parse()?).ok_or("no such pump")?;
        let situation = situation(&plant, pump)?;
        let (checks, before) = (situation.seen.len(), VISITS_BEFORE);
        measure(&format!("{id}: {checks} checks, {before} before"), || {
            let evaluation = evaluate(black_box(&situation));
            let mut trends = evaluation.trends.values();
            let remedies_show = trends.any(|trend| !trend.remedies.is_empty());
            Ok(remedies_show && evaluation.trends.len() > 5 && evaluation.causes.is_some())
        })?;
    }
    through_the_door(&folder)
}

/// The same through the door: the store's history read, judged entries in it.
fn through_the_door(folder: &Path) -> Outcome<()> {
    let dir = tempfile::tempdir()?;
    let world = StillWorld::at(at(0), 1);
    let path = dir.path().join("bench.lantern");
    let mut app = App::create(&path, read(folder)?, Box::new(world.clone()))?;
    app.perform(SetOperator("B. Bench".to_owned()))?;
    for id in PUMPS {
        let pump: PumpId = id.parse()?;
        let checks = checks(app.register()?.pump(&pump)?);
        let mut visit = None;
        for turn in 0..=VISITS_BEFORE {
            world.set_now(at(turn));
            let found = HowFound::Scanned;
            let round = None;
            let pump = pump.clone();
            let this = app.perform(Arrive { pump, found, round })?;
            let entries = checks.iter().map(|check| Enter {
                visit: this,
                check: check.id,
                entered: entry(check, turn),
            });
            app.together(|app| -> Outcome<()> {
                for entry in entries {
                    app.perform(entry)?;
                }
                app.perform(CloseVisit { visit: this })?;
                Ok(())
            })?;
            visit = Some(this);
        }
        let visit = visit.ok_or("no visit was made")?;
        let checks = checks.len();
        measure(&format!("{id}: {checks} checks, from the store"), || {
            Ok(app.evaluation(visit)?.causes.is_some())
        })?;
    }
    Ok(())
}

fn read(folder: &Path) -> Outcome<Plant> {
    let faults_in_words = |faults: Vec<PlantFault>| {
        let words: Vec<_> = faults.iter().map(ToString::to_string).collect();
        words.join("\n")
    };
    Ok(plant_folder(folder).map_err(faults_in_words)?)
}

fn at(turn: i64) -> Stamp {
    Stamp {
        utc_ms: BEGUN_MS + turn * TWELVE_HOURS_MS,
        offset_min: 0,
    }
}

fn checks(pump: &Pump) -> Vec<Check> {
    let mut checks = list(pump, RunningState::Running);
    checks.extend(on_request(pump, RunningState::Running));
    checks
}

fn situation<'a>(plant: &'a Plant, pump: &'a Pump) -> Outcome<Situation<'a>> {
    let checks = checks(pump);
    let seen = checks.iter().map(|check| {
        let entered = entry(check, VISITS_BEFORE);
        let limits = plant.limits_of(&pump.id, check.id);
        Seen {
            check: check.id,
            judgement: judge(&check.kind, &entered, limits, None),
            entered,
            limits: limits.cloned(),
            at_ms: at(VISITS_BEFORE).utc_ms,
        }
    });
    let before = checks.iter().map(|check| {
        let readings = (0..VISITS_BEFORE).map(|turn| Reading {
            at_ms: at(turn).utc_ms,
            running: Some(RunningState::Running),
            entered: entry(check, turn),
            ambient_c: Some(air_c(turn)),
        });
        (check.id, readings.collect())
    });
    Ok(Situation {
        plant,
        pump,
        running: RunningState::Running,
        seen: seen.collect(),
        left_open: Vec::new(),
        before: before.collect::<BTreeMap<_, Vec<_>>>(),
        care: care(pump),
        done: done(pump),
        hand: Some(hand()?),
        ambient_c: Some(air_c(VISITS_BEFORE)),
        now_ms: at(VISITS_BEFORE).utc_ms,
    })
}

/// Invented care of every bearing, behind in all that can be.
fn care(pump: &Pump) -> BTreeMap<Place, Care> {
    let behind = Care {
        uses_more_oil: true,
        greased_h_ago: Some(5_000.0),
        grease_overdue: true,
    };
    let bearings = pump.bearings.iter();
    bearings.map(|bearing| (bearing.place, behind)).collect()
}

/// What was put right: each bearing greased and the casing vented, a month and a fortnight ago.
fn done(pump: &Pump) -> Vec<Done> {
    let greased = pump.bearings.iter().map(|bearing| Remedy::Grease {
        place: bearing.place,
        amount: GreaseGiven::Strokes { strokes: 4.0 },
        grade: "an invented grease".to_owned(),
    });
    let each: Vec<Remedy> = greased.chain([Remedy::Vent]).collect();
    let of = |visits_ago: i64| {
        each.iter().cloned().map(move |what| Done {
            at_ms: at(VISITS_BEFORE - visits_ago).utc_ms + TWELVE_HOURS_MS / 2,
            what,
            answers: None,
        })
    };
    of(60).chain(of(28)).collect()
}

/// An invented hand, tried forty times against a thermometer.
fn hand() -> Outcome<Result<Calibration, FeelError>> {
    let steps = u8::try_from(words::feel_steps(FeelScale::Heat).len())?;
    let pairs = (0..40_u8).map(|turn| FeltAndMeasured {
        operator: (),
        step: turn % steps,
        celsius: 25.0 + 8.0 * f64::from(turn % steps) + f64::from(turn % 5),
    });
    let mut hands = calibrate(&pairs.collect::<Vec<_>>(), steps, 0.95)?;
    Ok(hands.remove(&()).ok_or("nobody's hand was tried")?)
}

/// Invented weather, °C.
fn air_c(turn: i64) -> f64 {
    15.0 + (turn * 5 % 13) as f64
}

/// An invented entry, that scatters and creeps up its scale.
fn entry(check: &Check, turn: i64) -> Entered {
    let scatter = (turn * 7 % 11) as f64 / 11.0;
    let share = 0.3 + 0.1 * scatter + 0.002 * turn as f64;
    let entered = match check.kind {
        EntryKind::Number {
            unit,
            lowest,
            highest,
        } => Entered::Number {
            value: lowest + share * (highest - lowest),
            unit,
        },
        EntryKind::Count => Entered::Count {
            drops: 20 + (turn * 7 % 11) as u32,
            seconds: 60.0,
        },
        EntryKind::Level => Entered::Level {
            percent: 100.0 * share,
        },
        EntryKind::Feel(_) => Entered::Feel {
            step: (turn % 3) as u8,
        },
        EntryKind::Choice(choices) => Entered::Choice {
            key: choices[turn as usize % choices.len()].key.to_owned(),
        },
        EntryKind::YesNo { good } => Entered::YesNo {
            yes: good ^ (turn % 5 == 0),
        },
        EntryKind::Words => Entered::Words {
            text: "nothing else".to_owned(),
        },
    };
    assert!(
        accept(&check.kind, entered.clone()).is_ok(),
        "{entered:?} can't be entered"
    );
    entered
}

/// Median and 95th percentile of so many rounds; every round must come to something.
fn measure(what: &str, mut work: impl FnMut() -> Outcome<bool>) -> Outcome<()> {
    let mut times = Vec::with_capacity(ROUNDS);
    for _ in 0..ROUNDS {
        let begun = Instant::now();
        let done = work()?;
        times.push(begun.elapsed());
        assert!(done, "{what} came to nothing");
    }
    times.sort_unstable();
    let percentile = |percent: usize| -> Duration { times[(ROUNDS - 1) * percent / 100] };
    println!(
        "{what:<40}{:>10.2?} median {:>10.2?} p95",
        percentile(50),
        percentile(95)
    );
    Ok(())
}
