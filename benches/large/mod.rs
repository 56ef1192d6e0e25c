//! A plant of 500 pumps with years of rounds, made up, and how long things take on it.
#![allow(dead_code, reason = "each benchmark uses its part")]

use lantern_ring::{
    app::App,
    check::{self, Entered, RunningState},
    judge::{self, Verdict},
    plant::{GreaseProgramme, Lubrication, Plant, Pump, Round, Spare, SpareRole, Unit},
    record::{Body, Deed, EntryMade, HowFound, Stamp, VisitClosed, VisitOpened},
    remedy::{GreaseGiven, Remedy},
    store::{Batch, Store},
    sys::{StillWorld, World, plant_folder},
};
use std::{
    env,
    error::Error,
    fs,
    path::Path,
    time::{Duration, Instant},
};
use tempfile::TempDir;
use uuid::Uuid;

pub const PUMPS: usize = 500;
/// Rounds of the plant, each past as many pumps.
pub const ROUNDS: usize = 10;
const STOPS: usize = PUMPS / ROUNDS;
/// Checks entered at a visit.
const ENTRIES: usize = 12;
const MINUTE_MS: i64 = 60_000;
const WEEK_MS: i64 = 7 * 24 * 60 * MINUTE_MS;
/// From the beginning of a week to when the last of its rounds was walked.
const WALKED_MS: i64 = (ROUNDS * (STOPS + 1)) as i64 * MINUTE_MS;
/// Times each thing is measured.
pub const TIMES: usize = 96;
const BY: &str = "B. Bench";

pub type Outcome<T> = Result<T, Box<dyn Error>>;

/// A store with the plant's history in it; in a folder that goes with it, unless it is kept.
pub struct Written {
    pub app: App,
    _folder: Option<TempDir>,
}

/// Writes the history of as many years as `LANTERN_RING_BENCH_YEARS` says and opens the store; `None` where the program
/// is only tried: `cargo test --benches` wants to know no more than that it builds. In the folder that
/// `LANTERN_RING_BENCH_KEEP` names it is written once and opened from then on.
pub fn written() -> Outcome<Option<Written>> {
    if env::args().any(|argument| argument == "--test") {
        return Ok(None);
    }
    let years: i64 = match env::var("LANTERN_RING_BENCH_YEARS") {
        Ok(years) => years.parse()?,
        Err(_) => 1,
    };
    let (path, folder) = match env::var_os("LANTERN_RING_BENCH_KEEP") {
        Some(kept) => (Path::new(&kept).join(format!("{years}.lantern")), None),
        None => {
            let folder = tempfile::tempdir()?;
            (folder.path().join("bench.lantern"), Some(folder))
        }
    };
    if !path.exists() {
        write_to(&path, years)?;
    }
    let begun = Instant::now();
    let world = StillWorld::at(at(years * 52 - 1), 2);
    world.pass(WALKED_MS);
    let app = App::open(&path, Box::new(world))?;
    let records: u64 = app
        .store()
        .read()
        .origins()?
        .iter()
        .map(|row| row.highest_seq)
        .sum();
    println!(
        "{years} year(s), {PUMPS} pumps: {records} records, {} MB, opened in {:.1?}",
        fs::metadata(&path)?.len() / 1_000_000,
        begun.elapsed()
    );
    Ok(Some(Written {
        app,
        _folder: folder,
    }))
}

/// What was written by half is not taken for the whole.
fn write_to(path: &Path, years: i64) -> Outcome<()> {
    let begun = Instant::now();
    let half = path.with_extension("half");
    let mut world = StillWorld::at(at(0), 1);
    drop(App::create(&half, plant()?, Box::new(world.clone()))?);
    write_history(&half, &mut world, years)?;
    fs::rename(&half, path)?;
    println!("written in {:.0?}", begun.elapsed());
    Ok(())
}

/// The demo plant's pumps over and over, each with a number and a tag of its own; in rounds of fifty, in pairs, and
/// greased by a programme.
pub fn plant() -> Outcome<Plant> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-plant");
    let mut plant = plant_folder(&folder).map_err(|faults| format!("{faults:?}"))?;
    let (pumps, limits) = (plant.pumps.clone(), plant.limits.clone());
    let model_round = plant.rounds.first().cloned().ok_or("the demo has rounds")?;
    plant.rounds.clear();
    plant.pumps.clear();
    plant.limits.clear();
    for n in 0..PUMPS {
        let model = &pumps[n / 2 % pumps.len()];
        let mut pump = model.clone();
        pump.id = format!("P-{n:03}").parse()?;
        pump.tag = tag(n);
        pump.spare = Some(Spare {
            group: format!("pair-{}", n / 2),
            role: if n % 2 == 0 {
                SpareRole::Duty
            } else {
                SpareRole::Standby
            },
        });
        for bearing in &mut pump.bearings {
            if bearing.lubrication == Lubrication::GreaseFitting {
                bearing.grease = Some(programme());
            }
        }
        let own = limits.iter().filter(|limits| limits.pump == model.id);
        plant.limits.extend(own.cloned().map(|mut limits| {
            limits.pump = pump.id.clone();
            limits
        }));
        plant.pumps.push(pump);
    }
    for n in 0..ROUNDS {
        let stops = &plant.pumps[n * STOPS..(n + 1) * STOPS];
        plant.rounds.push(Round {
            id: format!("round-{n}").parse()?,
            name: format!("Round {n}"),
            stops: stops.iter().map(|pump| pump.id.clone()).collect(),
            ..model_round.clone()
        });
    }
    Ok(plant)
}

fn programme() -> GreaseProgramme {
    GreaseProgramme {
        grade: "Grease 2".to_owned(),
        grams: 20.0,
        per_stroke_grams: Some(2.0),
        per_turn_grams: None,
        every_running_hours: Some(4_000.0),
        every_days: Some(365.0),
    }
}

/// A UUIDv7 made of the number alone, spread so that the short ids differ.
fn tag(n: usize) -> Uuid {
    let mut world = StillWorld::at(at(0), n as u64);
    world.new_id()
}

/// The beginning of a week.
pub fn at(week: i64) -> Stamp {
    Stamp {
        utc_ms: 1_400_000_000_000 + week * WEEK_MS,
        offset_min: 0,
    }
}

/// Every round once a week, with a visit to each of its pumps; every quarter the pumps of a pair change over, every half
/// year they are greased, every year somebody finds something by hand. Gives the number of records. The world is left a
/// minute after the last of them.
pub fn write_history(path: &Path, world: &mut StillWorld, years: i64) -> Outcome<u64> {
    let app = App::open(path, Box::new(world.clone()))?;
    let register = app.register()?;
    drop(app);
    let mut store = Store::open(path)?;
    for week in 0..years * 52 {
        let mut batch = store.write()?;
        world.set_now(at(week));
        for round in &register.plant().rounds {
            walk(&mut batch, world, register.plant(), round, week)?;
        }
        batch.commit()?;
    }
    let origins = store.read().origins()?;
    let records: u64 = origins.iter().map(|row| row.highest_seq).sum();
    // The planner has had all but the last week's.
    let sent = records - records / (years * 52).unsigned_abs();
    let mut batch = store.write()?;
    for own in &origins {
        batch.set(&format!("sent_up_to {}", own.origin.0), &sent.to_string())?;
    }
    batch.commit()?;
    store.checkpoint()?;
    Ok(records)
}

fn walk(
    batch: &mut Batch<'_>,
    world: &mut StillWorld,
    plant: &Plant,
    round: &Round,
    week: i64,
) -> Outcome<()> {
    let run = world.new_id();
    let begun = Deed::RoundBegun {
        run,
        round: round.id.clone(),
    };
    batch.append(world, BY, Body::Done(begun))?;
    for id in &round.stops {
        let pump = plant.pump(id).ok_or("a round's pump")?;
        let n: i64 = id.as_str()[2..].parse()?;
        world.pass(MINUTE_MS);
        let now = world.now();
        let visit = world.new_id();
        for body in visit_of(plant, pump, visit, now, week, n) {
            batch.append(world, BY, body)?;
        }
        for deed in deeds_of(world, pump, now, week, n) {
            batch.append(world, BY, Body::Done(deed))?;
        }
    }
    world.pass(MINUTE_MS);
    batch.append(world, BY, Body::Done(Deed::RoundEnded { run }))?;
    Ok(())
}

/// The first of a pair runs in even quarters, the second in odd ones.
fn runs(week: i64, n: i64) -> bool {
    (week / 13 + n) % 2 == 0
}

/// Of the entries that have limits one in some fifty is out of them, and belongs to the finding of its pump and quarter year.
fn visit_of(plant: &Plant, pump: &Pump, visit: Uuid, now: Stamp, week: i64, n: i64) -> Vec<Body> {
    let running = if runs(week, n) {
        RunningState::Running
    } else {
        RunningState::Standby
    };
    let mut bodies = vec![Body::VisitOpened(VisitOpened {
        visit,
        pump: pump.id.clone(),
        running,
        found: HowFound::Scanned,
        round: None,
    })];
    let checks = check::list(pump, RunningState::Running);
    for (i, check) in checks.iter().take(ENTRIES).enumerate() {
        let limits = plant.limits_of(&pump.id, check.id).cloned();
        let usual = limits.as_ref().and_then(|limits| limits.target);
        let unit = limits.as_ref().map_or(Unit::Percent, |limits| limits.unit);
        let entered = Entered::Number {
            value: usual.unwrap_or(48.25),
            unit,
        };
        let mut judgement = judge::judge(&check.kind, &entered, limits.as_ref(), None);
        let judged = judgement.verdict != Verdict::NotJudged;
        let out = judged && ((week + n) * 7 + i as i64) % 50 == 0;
        if out {
            judgement.verdict = Verdict::Watch;
        }
        let finding = Uuid::from_u64_pair(pump.tag.as_u64_pair().1, ((week + n) / 13) as u64);
        bodies.push(Body::EntryMade(Box::new(EntryMade {
            visit,
            pump: pump.id.clone(),
            check: check.id,
            running: Some(running),
            seen_at: now,
            entered,
            limits,
            previous: None,
            judgement,
            finding: out.then_some(finding),
            hands_off: false,
        })));
    }
    bodies.push(Body::VisitClosed(VisitClosed { visit }));
    bodies
}

fn deeds_of(world: &mut StillWorld, pump: &Pump, now: Stamp, week: i64, n: i64) -> Vec<Deed> {
    let mut deeds = Vec::new();
    if week > 0 && runs(week, n) != runs(week - 1, n) {
        deeds.push(Deed::PumpTurned {
            pump: pump.id.clone(),
            runs: runs(week, n),
            turned_at: now,
        });
    }
    if (week + n) % 26 == 0 {
        let greased = pump.bearings.iter().filter(|one| one.grease.is_some());
        deeds.extend(greased.map(|bearing| Deed::Remedied {
            remedy: world.new_id(),
            pump: pump.id.clone(),
            visit: None,
            finding: None,
            what: Remedy::Grease {
                place: bearing.place,
                amount: GreaseGiven::Strokes { strokes: 10.0 },
                grade: "Grease 2".to_owned(),
            },
            done_at: now,
        }));
    }
    if (week + n) % 52 == 0 {
        let finding = world.new_id();
        deeds.push(Deed::FindingOpened {
            finding,
            pump: pump.id.clone(),
            visit: None,
            severity: Verdict::Watch,
            words: "Guard rattles.".to_owned(),
            cause: None,
        });
        // One in ten is left open.
        if (week / 52 + n) % 10 != 0 {
            deeds.push(Deed::FindingClosed {
                finding,
                pump: pump.id.clone(),
                made_good: "Bolt tightened.".to_owned(),
            });
        }
    }
    deeds
}

/// How long something took, over many rounds.
pub struct Times {
    pub median: Duration,
    pub p95: Duration,
}

impl Times {
    pub fn of(mut all: Vec<Duration>) -> Self {
        all.sort_unstable();
        let last = all.len().saturating_sub(1);
        Self {
            median: all[last / 2],
            p95: all[last * 95 / 100],
        }
    }

    pub fn print(&self, what: &str, base: Duration) {
        let ms = |took: Duration| took.as_secs_f64() * 1000.0;
        let ratio = self.median.as_secs_f64() / base.as_secs_f64();
        println!(
            "{what:<44}{:>7.2} ms{:>7.2} ms{ratio:>8.3}",
            ms(self.median),
            ms(self.p95)
        );
    }
}

/// Every time must give what it is expected to.
pub fn times(mut work: impl FnMut(usize) -> Outcome<bool>) -> Outcome<Times> {
    let mut all = Vec::with_capacity(TIMES);
    for round in 0..TIMES {
        let begun = Instant::now();
        let right = work(round)?;
        all.push(begun.elapsed());
        if !right {
            return Err(format!("round {round} gave something else than expected").into());
        }
    }
    Ok(Times::of(all))
}
