//! Merging never loses and never doubles: any order, repetition and split of the records gives the same store.

mod store_merge_support;
mod store_support;

use lantern_ring::{
    check::{Entered, RunningState},
    judge::Verdict,
    plant::{CheckId, Place, PumpId},
    record::{Body, Deed, EntryMade, Hash, Origin, PhotoTaken, RunningSeen, Sealed, TagAdopted},
    remedy::{GreaseGiven, Remedy},
    store::{EnteredWhat, NewReceipt, Store, Taken},
};
use proptest::prelude::*;
use rusqlite::{Connection, types::Value};
use std::{
    collections::{BTreeMap, HashMap, HashSet},
    path::Path,
    sync::atomic::AtomicBool,
};
use store_merge_support::*;
use store_support::*;
use uuid::Uuid;

const SHOWN: &[&str] = &[
    "entry",
    "withdrawal",
    "latest",
    "visit",
    "visit_end",
    "running_seen",
    "photo_use",
    "adopted_tag",
    "pack_taken",
    "deed",
    "walk",
    "turn",
    "remedy",
    "tally",
];

/// Every row of these tables, in an order of its own.
fn dump(path: &Path, tables: &[&str]) -> Vec<Vec<Value>> {
    let conn = Connection::open(path).expect("readable");
    let mut rows = Vec::new();
    for table in tables {
        let mut statement = conn
            .prepare(&format!("SELECT * FROM {table} ORDER BY 1, 2"))
            .unwrap();
        let columns = statement.column_count();
        let read = statement
            .query_map([], |row| (0..columns).map(|i| row.get(i)).collect())
            .unwrap();
        rows.extend(read.collect::<Result<Vec<Vec<Value>>, _>>().unwrap());
    }
    rows
}

/// One thing a device records: which kind, at which pump, how late, and which earlier record it names.
type Act = (u8, u8, u8, u8);

/// What one device recorded; amendments and withdrawals may name records of any device.
fn journal_of(device: u128, deeds: &[Act], ids: &[u128]) -> Vec<Sealed> {
    deeds
        .iter()
        .enumerate()
        .map(|(i, &(kind, place, hours, names))| {
            let seq = i as u64 + 1;
            let at = ["P-1", "P-2"][usize::from(place % 2)];
            let check = [leak(), heat()][usize::from(place / 2 % 2)];
            let visit = Uuid::from_u128(u128::from(names % 3));
            let named = Uuid::from_u128(ids[usize::from(names) % ids.len()]);
            let hours = i64::from(hours % 4);
            let drops = u32::from(names) * 40;
            let body = match kind % 18 {
                0 => opened(visit, at),
                1 => closed(visit),
                2 => amended(named, entry(visit, at, check, hours, drops)),
                3 => withdrawn(named),
                4 => made(passed_over(visit, at, check, hours)),
                5 => Body::TagAdopted(TagAdopted {
                    pump: pump(at),
                    code: format!("C{}", names % 2),
                }),
                6 => Body::RunningSeen(RunningSeen {
                    visit,
                    running: [RunningState::Standby, RunningState::OutOfService]
                        [usize::from(place % 2)],
                }),
                7 => Body::PhotoTaken(PhotoTaken {
                    visit,
                    pump: pump(at),
                    check: Some(check),
                    finding: None,
                    photo: Hash::of(&[names]),
                    taken_at: None,
                    marks: Vec::new(),
                    words: "a leak".into(),
                }),
                8 => made(unjudged(visit, at, check, hours, drops)),
                9 => amended(named, unjudged(visit, at, check, hours, drops)),
                10 => withdrawn(named),
                11 => Body::Done(Deed::RoundEnded { run: visit }),
                12 => Body::Done(Deed::FindingClosed {
                    finding: named,
                    pump: pump(at),
                    made_good: "new packing".into(),
                }),
                13 => Body::Done(Deed::RoundBegun {
                    run: visit,
                    round: ["morning", "night"][usize::from(place % 2)]
                        .parse()
                        .unwrap(),
                }),
                14 => Body::Done(Deed::PumpTurned {
                    pump: pump(at),
                    runs: names % 2 == 0,
                    turned_at: stamp(hours - 1),
                }),
                15 => Body::Done(Deed::Remedied {
                    remedy: visit,
                    pump: pump(at),
                    visit: None,
                    finding: None,
                    what: put_right(names),
                    done_at: stamp(hours - i64::from(place % 3)),
                }),
                16 if names % 4 == 0 => Body::Done(Deed::RemedyWithdrawn {
                    remedy: visit,
                    pump: pump(at),
                }),
                _ => made(entry(visit, at, check, hours, drops)),
            };
            foreign(device, seq, device * 1000 + u128::from(seq), hours, body)
        })
        .collect()
}

fn put_right(which: u8) -> Remedy {
    let greased = |place| Remedy::Grease {
        place,
        amount: GreaseGiven::Strokes { strokes: 8.0 },
        grade: "Grease 2".to_owned(),
    };
    match which % 3 {
        0 => Remedy::Vent,
        1 => greased(Place::PumpDe),
        _ => greased(Place::PumpNde),
    }
}

fn journals() -> impl Strategy<Value = Vec<Sealed>> {
    let deeds = || prop::collection::vec(any::<Act>(), 1..12);
    (deeds(), deeds(), deeds()).prop_map(|(a, b, c)| {
        let ids: Vec<u128> = [(1, a.len()), (2, b.len()), (3, c.len())]
            .into_iter()
            .flat_map(|(device, n)| (1..=n as u128).map(move |seq| device * 1000 + seq))
            .collect();
        [(1, a), (2, b), (3, c)]
            .into_iter()
            .flat_map(|(device, deeds)| journal_of(device, &deeds, &ids))
            .collect()
    })
}

/// The records in another order, some of them twice.
fn shuffled(records: Vec<Sealed>) -> impl Strategy<Value = (Vec<Sealed>, Vec<Sealed>)> {
    let n = records.len();
    let again = prop::collection::vec(0..n, 0..n);
    (Just(records), again).prop_flat_map(|(records, again)| {
        let mut all = records.clone();
        all.extend(again.into_iter().map(|i| records[i].clone()));
        (Just(records), Just(all).prop_shuffle())
    })
}

/// Takes the records in, so many to a batch.
fn take_all(store: &mut Store, records: &[Sealed], to_a_batch: usize) {
    let mut new = 0;
    for (i, part) in records.chunks(to_a_batch).enumerate() {
        let mut batch = store.write().expect("a batch");
        let receipt = batch
            .put_receipt(&NewReceipt {
                sha256: Hash::of(format!("{i}").as_bytes()),
                file_name: format!("{i}.lrbundle"),
                origin: None,
                at: stamp(9),
            })
            .expect("a receipt");
        for record in part {
            match batch.take_in(record, receipt).expect("taken") {
                Taken::New => new += 1,
                Taken::Known => {}
                Taken::SetAside(why) => panic!("set aside: {why:?}"),
            }
        }
        batch.commit().expect("kept");
    }
    let kept: u64 = store
        .read()
        .origins()
        .unwrap()
        .iter()
        .map(|device| device.highest_seq)
        .sum();
    assert_eq!(kept, new);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn any_order_repetition_and_split_gives_the_same_tables(
        (records, mixed) in journals().prop_flat_map(shuffled),
        to_a_batch in 1usize..9,
    ) {
        let mut one = new_store(1);
        take_all(&mut one.store, &records, records.len());
        let mut other = new_store(2);
        take_all(&mut other.store, &mixed, to_a_batch);
        let report = other.store.verify(&mut |_| (), &AtomicBool::new(false)).unwrap();
        prop_assert!(report.is_clean(), "{:?}", report.faults);
        drop((one.store, other.store));
        prop_assert_eq!(dump(&one.path, SHOWN), dump(&other.path, SHOWN));
        prop_assert_eq!(dump(&one.path, &["journal"]), dump(&other.path, &["journal"]));
    }

    #[test]
    fn rebuild_gives_the_same_tables(records in journals()) {
        let mut t = new_store(1);
        take_all(&mut t.store, &records, 5);
        drop(t.store);
        let before = dump(&t.path, SHOWN);
        let mut store = Store::open(&t.path).unwrap();
        store.rebuild().unwrap();
        drop(store);
        prop_assert_eq!(dump(&t.path, SHOWN), before);
    }

    /// From the definitions alone, over the plain list of records.
    #[test]
    fn what_is_shown_is_what_its_definition_says(records in journals()) {
        let mut t = new_store(1);
        take_all(&mut t.store, &records, 7);
        let read = t.store.read();
        let model = Model::of(&records);
        for entry in &model.entries {
            prop_assert_eq!(read.is_effective(entry.id).unwrap(), model.is_effective(entry), "{:?}", entry);
        }
        for at in [pump("P-1"), pump("P-2")] {
            for check in [leak(), heat()] {
                let latest = read.latest_entry(&at, check).unwrap();
                prop_assert_eq!(latest.map(|row| row.record), model.latest(&at, check));
            }
        }
        for visit in read.visits(100).unwrap() {
            let seen = model.running.get(&visit.visit).copied();
            prop_assert_eq!(visit.running, seen.unwrap_or(RunningState::Running));
        }
    }

    /// What is asked without reading records whole is what the records say.
    #[test]
    fn what_is_kept_beforehand_is_what_all_records_give((records, mixed) in journals().prop_flat_map(shuffled)) {
        let mut t = new_store(1);
        take_all(&mut t.store, &mixed, 4);
        let read = t.store.read();
        for at in [pump("P-1"), pump("P-2")] {
            prop_assert_eq!(remedies_kept(read, &at), remedies_given(&records, &at));
            let turns = read.turns(&at, 100).unwrap();
            prop_assert_eq!(turns, turns_given(&records, &at));
            let seen = read.sightings(&at, i64::MIN, 100).unwrap();
            let seen: Vec<_> = seen.iter().map(|seen| (seen.opened_ms, seen.closed_ms, seen.running)).collect();
            let visits = read.visits_to(&at, 100).unwrap();
            let visits: Vec<_> = visits
                .iter()
                .map(|visit| (visit.opened.utc_ms, visit.closed.map(|at| at.utc_ms), visit.running))
                .collect();
            prop_assert_eq!(seen, visits);
            for near in records.iter().map(nearby) {
                let mut all = read.history(&at, leak(), 5).unwrap();
                all.retain(|row| is_near(row.entry.seen_at.utc_ms, (row.origin, row.seq), near));
                prop_assert_eq!(read.history_near(&at, leak(), near, 5).unwrap(), all);
            }
        }
        for visit in (0..3).map(Uuid::from_u128) {
            let kept = read.entered_in(visit).unwrap();
            let kept: Vec<_> = kept.into_iter().map(|row| (row.record, row.check, row.what)).collect();
            let whole = read.entries_of_visit(visit).unwrap();
            let whole: Vec<_> = whole.into_iter().map(|row| {
                let what = match row.entry.entered {
                    Entered::NotChecked { .. } => EnteredWhat::PassedOver,
                    Entered::Words { .. } => EnteredWhat::Remark,
                    _ => EnteredWhat::Found,
                };
                (row.record, row.entry.check, what)
            }).collect();
            prop_assert_eq!(kept, whole);
        }
        let walks = read.walks_begun(100).unwrap();
        let walks: Vec<_> = walks.into_iter().map(|walk| (walk.round.to_string(), walk.run)).collect();
        prop_assert_eq!(walks, walks_given(&records));
        for record in records.iter().map(Sealed::record) {
            let mut counts: BTreeMap<String, u64> = BTreeMap::new();
            for other in records.iter().map(Sealed::record) {
                if other.origin == record.origin && other.seq > record.seq {
                    *counts.entry(other.body.kind().to_owned()).or_default() += 1;
                }
            }
            prop_assert_eq!(read.counts_after(record.origin, record.seq).unwrap(), counts);
        }
    }
}

/// An entry as the definitions need it.
#[derive(Clone, Debug)]
struct Shown {
    id: Uuid,
    place: (Origin, u64),
    amends: Option<Uuid>,
    entry: EntryMade,
}

struct Model {
    entries: Vec<Shown>,
    withdrawn: HashSet<Uuid>,
    running: HashMap<Uuid, RunningState>,
}

impl Model {
    fn of(records: &[Sealed]) -> Self {
        let mut model = Self {
            entries: Vec::new(),
            withdrawn: HashSet::new(),
            running: HashMap::new(),
        };
        let mut last_seen: HashMap<(Uuid, Origin), (u64, i64, RunningState)> = HashMap::new();
        for record in records.iter().map(Sealed::record) {
            let mut add = |amends, entry: &EntryMade| {
                model.entries.push(Shown {
                    id: record.id,
                    place: (record.origin, record.seq),
                    amends,
                    entry: entry.clone(),
                });
            };
            match &record.body {
                Body::EntryMade(entry) => add(None, entry),
                Body::EntryAmended(amended) => add(Some(amended.amends), &amended.entry),
                Body::EntryWithdrawn(taken_back) => {
                    model.withdrawn.insert(taken_back.amends);
                }
                Body::RunningSeen(seen) => {
                    let now = (record.seq, record.at.utc_ms, seen.running);
                    let last = last_seen.entry((seen.visit, record.origin)).or_insert(now);
                    *last = if now.0 >= last.0 { now } else { *last };
                }
                _ => {}
            }
        }
        let mut newest: HashMap<Uuid, (i64, Origin)> = HashMap::new();
        for ((visit, origin), (_, at, running)) in last_seen {
            if newest
                .get(&visit)
                .is_none_or(|before| (at, origin) > *before)
            {
                newest.insert(visit, (at, origin));
                model.running.insert(visit, running);
            }
        }
        model
    }

    /// What an entry corrects, directly and by way of others, the nearest first, each once.
    fn corrects(&self, entry: &Shown) -> Vec<&Shown> {
        let mut chain: Vec<&Shown> = Vec::new();
        let mut at = entry.amends;
        while let Some(next) = at.and_then(|id| self.entries.iter().find(|entry| entry.id == id))
            && next.id != entry.id
            && chain.iter().all(|before| before.id != next.id)
        {
            chain.push(next);
            at = next.amends;
        }
        chain
    }

    fn is_effective(&self, entry: &Shown) -> bool {
        let mut holding = self
            .entries
            .iter()
            .filter(|other| !self.withdrawn.contains(&other.id));
        let replaced = holding.any(|other| {
            self.corrects(other)
                .iter()
                .any(|corrected| corrected.id == entry.id)
        });
        !replaced && !self.withdrawn.contains(&entry.id)
    }

    /// Where the chain of corrections begins; an entry's own place where it goes round in a circle.
    fn root(&self, entry: &Shown) -> (Origin, u64) {
        let first = self.corrects(entry).last().map_or(entry, |first| first);
        let goes_on = first
            .amends
            .is_some_and(|id| self.entries.iter().any(|entry| entry.id == id));
        if goes_on { entry.place } else { first.place }
    }

    fn latest(&self, pump: &PumpId, check: CheckId) -> Option<Uuid> {
        let mut last_of_device: HashMap<Origin, &Shown> = HashMap::new();
        let place = |shown: &Shown| (self.root(shown).1, shown.place.1, shown.place.0);
        for shown in &self.entries {
            let entry = &shown.entry;
            let counts = &entry.pump == pump
                && entry.check == check
                && entry.judgement.verdict != Verdict::NotJudged
                && self.is_effective(shown);
            if counts {
                let last = last_of_device.entry(self.root(shown).0).or_insert(shown);
                *last = if place(shown) > place(last) {
                    shown
                } else {
                    last
                };
            }
        }
        let newest = last_of_device
            .into_iter()
            .max_by_key(|(origin, shown)| (shown.entry.seen_at.utc_ms, *origin))?;
        Some(newest.1.id)
    }
}
