//! Records of an invented plant, a staging in memory, and short ways to write and unpack.

use lantern_ring::{
    check::{Entered, RunningState},
    exchange::{
        self, BundleInfo, Checks, Manifest, NotWritten, Progress, Refused, Staging, Unpacked,
    },
    judge::{Judgement, Reason, Verdict},
    plant::Unit,
    record::{
        Body, EntryMade, Hash, HowFound, Origin, PhotoTaken, Record, Sealed, Stamp, VisitOpened,
    },
};
use std::{
    collections::BTreeMap,
    convert::Infallible,
    io::{self, Cursor, Read, Seek},
    ops::ControlFlow,
};
use uuid::Uuid;

pub const NOW: Stamp = Stamp {
    utc_ms: 1_780_000_000_000,
    offset_min: 60,
};

pub fn origin(device: u128) -> Origin {
    Origin(Uuid::from_u128(0xD0_0000 + device))
}

pub fn id(device: u128, seq: u64) -> Uuid {
    Uuid::from_u128(0x0198_0000_0000_7000_8000_0000_0000_0000 + (device << 40) + u128::from(seq))
}

pub fn info(device: u128) -> BundleInfo {
    BundleInfo {
        plant: "kestrel-ness".parse().unwrap(),
        plant_version: 3,
        origin: origin(device),
        device: "Wet end tablet".into(),
        made_at: NOW,
        made_by: "R. Vane".into(),
    }
}

pub fn record(device: u128, seq: u64, body: Body) -> Record {
    Record {
        origin: origin(device),
        seq,
        id: id(device, seq),
        at: Stamp {
            utc_ms: NOW.utc_ms - 1_000_000 + seq as i64,
            offset_min: 60,
        },
        by: "R. Vane".into(),
        body,
    }
}

pub fn sealed(device: u128, seq: u64, body: Body) -> Sealed {
    Sealed::new(record(device, seq, body)).unwrap()
}

pub fn visit(device: u128) -> Body {
    Body::VisitOpened(VisitOpened {
        visit: id(device, 900_000),
        pump: "ST-104A".parse().unwrap(),
        running: RunningState::Running,
        found: HowFound::Scanned,
        round: None,
    })
}

pub fn entry(device: u128, value: f64) -> Body {
    Body::EntryMade(Box::new(EntryMade {
        visit: id(device, 900_000),
        pump: "ST-104A".parse().unwrap(),
        check: "leak_off@seal_de".parse().unwrap(),
        running: None,
        seen_at: NOW,
        entered: Entered::Number {
            value,
            unit: Unit::Percent,
        },
        limits: None,
        previous: None,
        judgement: Judgement {
            verdict: Verdict::NotJudged,
            reasons: vec![Reason::NoLimits],
        },
        hands_off: false,
        finding: None,
    }))
}

pub fn photo_taken(device: u128, photo: Hash, words: &str) -> Body {
    Body::PhotoTaken(PhotoTaken {
        visit: id(device, 900_000),
        pump: "ST-104A".parse().unwrap(),
        check: None,
        finding: None,
        photo,
        taken_at: None,
        marks: Vec::new(),
        words: words.into(),
    })
}

pub type Photos = BTreeMap<Hash, Vec<u8>>;

pub fn photos(contents: impl IntoIterator<Item = Vec<u8>>) -> Photos {
    contents
        .into_iter()
        .map(|bytes| (Hash::of(&bytes), bytes))
        .collect()
}

/// A bundle of two entries and a photo: the smallest that has everything.
pub fn small() -> (Vec<Sealed>, Photos) {
    let photos = photos([b"not looked into by these tests".to_vec()]);
    let photo = *photos.keys().next().unwrap();
    let records = vec![
        sealed(1, 1, visit(1)),
        sealed(1, 2, entry(1, 12.5)),
        sealed(1, 3, photo_taken(1, photo, "drip at the gland")),
    ];
    (records, photos)
}

pub fn small_bundle() -> Vec<u8> {
    let (records, photos) = small();
    write(1, &records, &photos).unwrap().0
}

pub fn write(
    device: u128,
    records: &[Sealed],
    photos: &Photos,
) -> Result<(Vec<u8>, Manifest), NotWritten<Infallible>> {
    let mut out = Cursor::new(Vec::new());
    let manifest = exchange::write_bundle(
        &mut out,
        &info(device),
        records.iter().cloned().map(Ok),
        |photo| Ok(photos.get(&photo).cloned()),
    )?;
    Ok((out.into_inner(), manifest))
}

#[derive(Debug, Default, PartialEq)]
pub struct Memory {
    pub records: Vec<Sealed>,
    pub photos: Photos,
}

impl Staging for Memory {
    fn put_record(&mut self, record: &Sealed) -> io::Result<()> {
        self.records.push(record.clone());
        Ok(())
    }

    fn put_photo(&mut self, name: Hash, jpeg: &[u8]) -> io::Result<()> {
        self.photos.insert(name, jpeg.to_vec());
        Ok(())
    }

    fn records(&mut self) -> io::Result<impl Iterator<Item = io::Result<Sealed>>> {
        Ok(self.records.clone().into_iter().map(Ok))
    }

    fn photo(&self, name: Hash) -> io::Result<Vec<u8>> {
        self.photos
            .get(&name)
            .cloned()
            .ok_or_else(|| io::ErrorKind::NotFound.into())
    }
}

pub fn unpack(file: impl Read + Seek) -> Result<Unpacked<Memory>, Refused> {
    unpack_into(file, Memory::default(), |_| ControlFlow::Continue(()))
}

pub fn unpack_bytes(bytes: &[u8]) -> Result<Unpacked<Memory>, Refused> {
    unpack(Cursor::new(bytes))
}

pub fn unpack_into<S: Staging>(
    file: impl Read + Seek,
    staging: S,
    mut watch: impl FnMut(Progress) -> ControlFlow<()>,
) -> Result<Unpacked<S>, Refused> {
    exchange::unpack(
        file,
        staging,
        Checks {
            photo: &|_, _| Ok(()),
            watch: &mut watch,
        },
    )
}
