//! A record that was told as kept survives the death of the process that kept it.
//!
//! The process is killed outright, as the system does with an app that uses too much memory. That the disk keeps what
//! it was told to keep when the battery goes is SQLite's and the disk's promise (`synchronous = FULL`), not tried here.

mod store_support;

use lantern_ring::{
    store::Store,
    sys::{RealWorld, World},
};
use rand::{RngExt, SeedableRng, rngs::StdRng};
use std::{
    collections::HashSet,
    env,
    io::{BufRead, BufReader, Write},
    path::Path,
    process::{Command, Stdio},
    sync::atomic::AtomicBool,
    thread,
    time::Duration,
};
use store_support::*;
use uuid::Uuid;

const KILLS: u32 = 200;
const STORE: &str = "LANTERN_RING_KILLED_STORE";

/// Not a test of its own: what the process does that is killed. It checkpoints often, so that it is killed in one too.
#[test]
fn writes_until_it_is_killed() {
    let Some(path) = env::var_os(STORE) else {
        return;
    };
    let mut world = RealWorld;
    let mut store = Store::open(Path::new(&path)).unwrap();
    let mut told = std::io::stdout();
    let visit = world.new_id();
    for drops in 0.. {
        let mut batch = store.write().unwrap();
        let body = made(entry(visit, "P-1", leak(), 1, drops % 250));
        let kept = batch.append(&mut world, "T. Tester", body).unwrap();
        batch.commit().unwrap();
        writeln!(told, "kept {}", kept.record().id).unwrap();
        told.flush().unwrap();
        if drops % 8 == 7 {
            store.checkpoint().unwrap();
        }
    }
}

/// Starts the writer, lets it write for so long, kills it; gives back what it had told.
fn write_and_kill(path: &Path, alive: Duration) -> Vec<Uuid> {
    let mut child = Command::new(env::current_exe().unwrap())
        .args(["--exact", "writes_until_it_is_killed", "--nocapture"])
        .env(STORE, path)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap());
    let mut told = Vec::new();
    let mut read_one = |told: &mut Vec<Uuid>| -> bool {
        let mut line = String::new();
        let read = lines.read_line(&mut line).unwrap();
        // A line cut off by the kill was not told.
        if let Some(id) = line
            .strip_suffix('\n')
            .and_then(|line| line.rsplit_once("kept "))
        {
            told.push(id.1.parse().unwrap());
        }
        read > 0
    };
    while told.is_empty() && read_one(&mut told) {}
    thread::sleep(alive);
    child.kill().unwrap();
    child.wait().unwrap();
    while read_one(&mut told) {}
    told
}

#[test]
fn every_record_told_as_kept_is_there_after_200_kills() {
    if env::var_os(STORE).is_some() {
        return;
    }
    let t = new_store(1);
    drop(t.store);
    let mut random = StdRng::seed_from_u64(200);
    let mut told = Vec::new();
    for kill in 1..=KILLS {
        let alive = Duration::from_micros(random.random_range(0..50_000));
        let now = write_and_kill(&t.path, alive);
        assert!(!now.is_empty(), "kill {kill}: nothing was written");
        told.extend(now);
        if kill % 50 == 0 {
            check(&t.path, &told);
        }
    }
    println!("{} records told as kept, {KILLS} kills", told.len());
}

fn check(path: &Path, told: &[Uuid]) {
    let store = Store::open(path).unwrap();
    let origin = store.origin();
    let mut there = HashSet::new();
    loop {
        let page = store
            .read()
            .records_of(origin, there.len() as u64 + 1, 1000)
            .unwrap();
        if page.is_empty() {
            break;
        }
        there.extend(page.iter().map(|sealed| sealed.record().id));
    }
    let lost = told.iter().filter(|id| !there.contains(id)).count();
    assert_eq!(lost, 0, "of {} records told as kept", told.len());
    let report = store.verify(&mut |_| (), &AtomicBool::new(false)).unwrap();
    assert!(report.is_clean(), "{:?}", report.faults);
}
