//! How long the store takes to open a pump, to mark the home list, to keep an entry and to prove all its content, on
//! years of history.
//!
//! `cargo bench --no-default-features --bench open_pump`. `LANTERN_RING_BENCH_YEARS` sets how many years of weekly visits the 500 pumps
//! have, 1 where it is not set; 10 need some minutes and 5 GB in the temporary folder. A `SELECT 1` of the same run
//! is the measure of the machine.

use lantern_ring::{
    check::{Entered, RunningState},
    judge::{Judgement, Reason, Verdict},
    plant::{CheckId, CheckKind, Limits, Place, PumpId, Unit},
    record::{Body, EntryMade, HowFound, Stamp, VisitClosed, VisitOpened},
    store::{FindingsOf, Store},
    sys::{StillWorld, World},
};
use std::{
    env,
    error::Error,
    fs,
    sync::atomic::AtomicBool,
    time::{Duration, Instant},
};
use uuid::Uuid;

const PUMPS: usize = 500;
const WEEK_MS: i64 = 7 * 24 * 3_600_000;
const ROUNDS: usize = 300;
const CHECKS: [(CheckKind, Place); 12] = [
    (CheckKind::Surroundings, Place::Pump),
    (CheckKind::Noise, Place::Pump),
    (CheckKind::LeakOff, Place::SealDe),
    (CheckKind::LeakOff, Place::SealNde),
    (CheckKind::GlandHeat, Place::SealDe),
    (CheckKind::BearingTemperature, Place::PumpDe),
    (CheckKind::BearingTemperature, Place::PumpNde),
    (CheckKind::VibrationVelocity, Place::PumpDe),
    (CheckKind::OilLevel, Place::PumpDe),
    (CheckKind::SuctionPressure, Place::Suction),
    (CheckKind::DischargePressure, Place::Discharge),
    (CheckKind::MotorCurrent, Place::Driver),
];

type Outcome<T> = Result<T, Box<dyn Error>>;

fn main() -> Outcome<()> {
    let years: i64 = match env::var("LANTERN_RING_BENCH_YEARS") {
        Ok(years) => years.parse()?,
        Err(_) => 1,
    };
    let dir = tempfile::tempdir()?;
    let path = dir.path().join("bench.lantern");
    let mut world = StillWorld::at(at(0), 1);
    let pumps = (1..=PUMPS)
        .map(|n| format!("P-{n:03}").parse())
        .collect::<Result<Vec<PumpId>, _>>()?;

    let begun = Instant::now();
    let mut store = Store::create(&path, &mut world)?;
    for week in 0..years * 52 {
        add_week(&mut store, &mut world, &pumps, week)?;
    }
    store.checkpoint()?;
    let records = store
        .read()
        .origins()?
        .first()
        .map_or(0, |own| own.highest_seq);
    println!(
        "{years} year(s), {PUMPS} pumps: {records} records, {} MB, written in {:.0?}",
        fs::metadata(&path)?.len() / 1_000_000,
        begun.elapsed()
    );
    drop(store);

    let begun = Instant::now();
    let mut store = Store::open(&path)?;
    println!("{:<34}{:>10.2?}", "store opened", begun.elapsed());
    let begun = Instant::now();
    let first = store.read().latest_entries(&pumps[7])?.len();
    println!("{:<34}{:>10.2?}", "first pump opened", begun.elapsed());
    assert_eq!(first, CHECKS.len());

    let plain = rusqlite::Connection::open_in_memory()?;
    measure("SELECT 1", |_| {
        let one: i64 = plain
            .prepare_cached("SELECT 1")?
            .query_row([], |row| row.get(0))?;
        Ok(usize::from(one == 1))
    })?;
    let read = store.read();
    let pump = |round: usize| &pumps[round * 37 % PUMPS];
    measure("latest entries of a pump", |round| {
        Ok(read.latest_entries(pump(round))?.len())
    })?;
    measure("history of a check, newest 10", |round| {
        Ok(read.history(pump(round), check(round), 10)?.len())
    })?;
    measure("marks of all pumps", |_| Ok(read.pump_marks()?.len()))?;
    measure("newest 20 visits", |_| Ok(read.visits(20)?.len()))?;
    measure("findings of a pump", |round| {
        let of = FindingsOf::Pump(pump(round));
        Ok(read.findings(of, Verdict::Watch, 50)?.len() + 1)
    })?;
    measure("newest 50 findings of all", |_| {
        Ok(read
            .findings(FindingsOf::Everything, Verdict::Watch, 50)?
            .len())
    })?;
    measure("open findings of a pump", |round| {
        let of = FindingsOf::Pump(pump(round));
        Ok(read.open_findings(of)?.len() + 1)
    })?;
    measure("open findings of all", |_| {
        Ok(read.open_findings(FindingsOf::Everything)?.len())
    })?;
    measure("own open visit", |_| {
        Ok(usize::from(read.own_open_visits(1)?.is_empty()))
    })?;
    let visit = world.new_id();
    measure("an entry kept", |round| {
        let mut batch = store.write()?;
        let entry = entry(visit, pump(round), check(round), years * 52, round);
        batch.append(&mut world, "B. Bench", Body::EntryMade(Box::new(entry)))?;
        batch.commit()?;
        Ok(1)
    })?;
    let begun = Instant::now();
    store.rebuild()?;
    println!("{:<34}{:>10.2?}", "rebuilt", begun.elapsed());
    let begun = Instant::now();
    let report = store.verify(&mut |_| (), &AtomicBool::new(false))?;
    println!("{:<34}{:>10.2?}", "verified", begun.elapsed());
    assert!(report.is_clean());
    Ok(())
}

fn at(week: i64) -> Stamp {
    Stamp {
        utc_ms: 1_400_000_000_000 + week * WEEK_MS,
        offset_min: 0,
    }
}

fn check(n: usize) -> CheckId {
    let (kind, place) = CHECKS[n % CHECKS.len()];
    CheckId::new(kind, place)
}

/// One visit to each pump, all in one batch.
fn add_week(store: &mut Store, world: &mut StillWorld, pumps: &[PumpId], week: i64) -> Outcome<()> {
    let mut batch = store.write()?;
    for (n, pump) in pumps.iter().enumerate() {
        let mut now = at(week);
        now.utc_ms += 60_000 * n as i64;
        world.set_now(now);
        let visit = world.new_id();
        let opened = VisitOpened {
            visit,
            pump: pump.clone(),
            running: RunningState::Running,
            found: HowFound::Scanned,
            round: None,
        };
        batch.append(world, "B. Bench", Body::VisitOpened(opened))?;
        for i in 0..CHECKS.len() {
            let mut entry = entry(visit, pump, check(i), week, n * CHECKS.len() + i);
            entry.seen_at = now;
            batch.append(world, "B. Bench", Body::EntryMade(Box::new(entry)))?;
        }
        batch.append(world, "B. Bench", Body::VisitClosed(VisitClosed { visit }))?;
    }
    Ok(batch.commit()?)
}

/// An invented entry; one in fifty is out of limits and carries a finding of its pump, check and quarter year.
fn entry(visit: Uuid, pump: &PumpId, check: CheckId, week: i64, n: usize) -> EntryMade {
    let out = (n as i64 * 7 + week) % 50 == 0;
    let value = if out { 71.5 } else { 48.25 };
    let verdict = if out {
        Verdict::Watch
    } else {
        Verdict::InLimits
    };
    EntryMade {
        visit,
        pump: pump.clone(),
        check,
        running: None,
        seen_at: at(week),
        entered: Entered::Number {
            value,
            unit: Unit::Celsius,
        },
        limits: Some(Limits {
            pump: pump.clone(),
            check,
            version: 1,
            unit: Unit::Celsius,
            low_stop: None,
            low_act: None,
            low_watch: None,
            target: None,
            high_watch: Some(70.0),
            high_act: Some(85.0),
            high_stop: Some(95.0),
            fastest_change: None,
            choices: Default::default(),
            basis: "invented for the benchmark".into(),
        }),
        previous: None,
        judgement: Judgement {
            verdict,
            reasons: vec![if out {
                Reason::Above {
                    verdict,
                    bound: 70.0,
                }
            } else {
                Reason::InLimits
            }],
        },
        hands_off: false,
        finding: out.then(|| Uuid::from_u64_pair(n as u64, (week / 13) as u64)),
    }
}

/// Median and 95th percentile of so many rounds; every round must find something.
fn measure(what: &str, mut work: impl FnMut(usize) -> Outcome<usize>) -> Outcome<()> {
    let mut times = Vec::with_capacity(ROUNDS);
    for round in 0..ROUNDS {
        let begun = Instant::now();
        let found = work(round)?;
        times.push(begun.elapsed());
        assert!(found > 0, "{what} found nothing");
    }
    times.sort_unstable();
    let percentile = |percent: usize| -> Duration { times[(ROUNDS - 1) * percent / 100] };
    println!(
        "{what:<34}{:>10.2?} median {:>10.2?} p95",
        percentile(50),
        percentile(95)
    );
    Ok(())
}
