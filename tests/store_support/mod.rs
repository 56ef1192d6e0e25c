//! Invented records for the store's tests.
#![allow(dead_code, reason = "each test uses its part")]

use lantern_ring::{
    check::{Entered, RunningState},
    judge::{Judgement, Reason, Verdict},
    plant::{CheckId, CheckKind, Limits, Place, PumpId, Unit},
    record::{
        Body, EntryAmended, EntryMade, EntryWithdrawn, HowFound, Origin, Record, Sealed, Stamp,
        VisitClosed, VisitOpened,
    },
    store::{Batch, Store},
    sys::{StillWorld, World},
};
use std::path::PathBuf;
use tempfile::TempDir;
use uuid::Uuid;

/// 2026-03-02T06:00:00Z.
pub const MORNING: i64 = 1_772_431_200_000;
pub const HOUR: i64 = 3_600_000;

pub fn stamp(hours: i64) -> Stamp {
    Stamp {
        utc_ms: MORNING + hours * HOUR,
        offset_min: 60,
    }
}

pub fn world(seed: u64) -> StillWorld {
    StillWorld::at(stamp(0), seed)
}

pub struct TempStore {
    pub dir: TempDir,
    pub path: PathBuf,
    pub store: Store,
    pub world: StillWorld,
}

pub fn new_store(seed: u64) -> TempStore {
    let dir = tempfile::tempdir().expect("a folder");
    let path = dir.path().join("a.lantern");
    let mut world = world(seed);
    let store = Store::create(&path, &mut world).expect("a store");
    TempStore {
        dir,
        path,
        store,
        world,
    }
}

pub fn pump(name: &str) -> PumpId {
    name.parse().expect("a pump id")
}

pub fn leak() -> CheckId {
    CheckId::new(CheckKind::LeakOff, Place::SealDe)
}

pub fn heat() -> CheckId {
    CheckId::new(CheckKind::BearingHeat, Place::PumpDe)
}

pub fn entry(visit: Uuid, at: &str, check: CheckId, hours: i64, drops: u32) -> EntryMade {
    let verdict = match drops {
        0..=60 => Verdict::InLimits,
        61..=90 => Verdict::Watch,
        91..=200 => Verdict::Act,
        _ => Verdict::StopPump,
    };
    EntryMade {
        visit,
        pump: pump(at),
        check,
        running: None,
        seen_at: stamp(hours),
        entered: Entered::Count {
            drops,
            seconds: 60.0,
        },
        limits: Some(Limits {
            pump: pump(at),
            check,
            version: 3,
            unit: Unit::DropsPerMin,
            low_stop: None,
            low_act: None,
            low_watch: Some(10.0),
            target: None,
            high_watch: Some(60.0),
            high_act: Some(90.0),
            high_stop: Some(200.0),
            fastest_change: None,
            choices: Default::default(),
            basis: "invented for the test".into(),
        }),
        previous: None,
        judgement: Judgement {
            verdict,
            reasons: vec![Reason::InLimits],
        },
        hands_off: false,
        finding: verdict
            .is_out_of_limits()
            .then(|| Uuid::from_u128(u128::from(pump(at).as_str().len() as u64) << 64 | 0xF1)),
    }
}

pub fn passed_over(visit: Uuid, at: &str, check: CheckId, hours: i64) -> EntryMade {
    let mut entry = entry(visit, at, check, hours, 0);
    entry.entered = Entered::NotChecked {
        reason: "no light".into(),
    };
    entry.judgement = Judgement {
        verdict: Verdict::NotJudged,
        reasons: vec![Reason::NothingToJudge],
    };
    entry
}

/// Counted, with nothing to judge it by.
pub fn unjudged(visit: Uuid, at: &str, check: CheckId, hours: i64, drops: u32) -> EntryMade {
    let mut entry = entry(visit, at, check, hours, drops);
    entry.limits = None;
    entry.finding = None;
    entry.judgement = Judgement {
        verdict: Verdict::NotJudged,
        reasons: vec![Reason::NoLimits],
    };
    entry
}

pub fn opened(visit: Uuid, at: &str) -> Body {
    Body::VisitOpened(VisitOpened {
        visit,
        pump: pump(at),
        running: RunningState::Running,
        found: HowFound::Scanned,
        round: None,
    })
}

pub fn closed(visit: Uuid) -> Body {
    Body::VisitClosed(VisitClosed { visit })
}

pub fn made(entry: EntryMade) -> Body {
    Body::EntryMade(Box::new(entry))
}

pub fn amended(amends: Uuid, entry: EntryMade) -> Body {
    Body::EntryAmended(Box::new(EntryAmended { amends, entry }))
}

pub fn withdrawn(amends: Uuid) -> Body {
    Body::EntryWithdrawn(EntryWithdrawn { amends })
}

/// A record of another device.
pub fn foreign(origin: u128, seq: u64, id: u128, hours: i64, body: Body) -> Sealed {
    Sealed::new(Record {
        origin: Origin(Uuid::from_u128(origin)),
        seq,
        id: Uuid::from_u128(id),
        at: stamp(hours),
        by: "R. Visitor".into(),
        body,
    })
    .expect("a record")
}

impl TempStore {
    /// Appends in a batch of its own.
    pub fn append(&mut self, body: Body) -> Sealed {
        let mut batch = self.store.write().expect("a batch");
        let sealed = add(&mut batch, &mut self.world, body);
        batch.commit().expect("kept");
        sealed
    }
}

pub fn add(batch: &mut Batch<'_>, world: &mut dyn World, body: Body) -> Sealed {
    batch.append(world, "T. Tester", body).expect("written")
}
