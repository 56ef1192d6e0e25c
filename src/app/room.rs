//! How much of what waits fits into one bundle; the rest goes into the next.

use crate::{
    exchange,
    record::{Body, Hash, Sealed},
    store::{Reader, StoreError},
};
use std::collections::HashSet;

/// Kept free in a bundle's file for its manifest, its directory and what packing adds, bytes.
const FREE_BYTES: u64 = 32 << 20;

/// What one bundle has room for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Room {
    /// Records.
    pub records: u64,
    /// Records unpacked, bytes.
    pub record_bytes: u64,
    /// Photos, those that are lost among them.
    pub photos: usize,
    /// Records and photos together, bytes.
    pub bytes: u64,
}

impl Room {
    /// Nowhere over what a bundle may hold; records far below it, so that none takes minutes.
    pub(super) const BUNDLE: Self = Self {
        records: 200_000,
        record_bytes: exchange::RECORDS_BYTES,
        photos: exchange::PHOTOS,
        bytes: exchange::FILE_BYTES - FREE_BYTES,
    };

    /// The records from the first on that fit, with the photos that they name. The first always does.
    pub(super) fn fill(
        self,
        reader: Reader<'_>,
        records: impl Iterator<Item = Result<Sealed, StoreError>>,
    ) -> impl Iterator<Item = Result<Sealed, StoreError>> {
        let mut filled = Filled::default();
        records.map_while(move |sealed| {
            let fitting = sealed.and_then(|sealed| {
                let fits = filled.take(&sealed, self, reader)?;
                Ok(fits.then_some(sealed))
            });
            fitting.transpose()
        })
    }
}

#[derive(Default)]
struct Filled {
    records: u64,
    record_bytes: u64,
    photos: HashSet<Hash>,
    photo_bytes: u64,
}

impl Filled {
    fn take(
        &mut self,
        sealed: &Sealed,
        room: Room,
        reader: Reader<'_>,
    ) -> Result<bool, StoreError> {
        self.records += 1;
        self.record_bytes += sealed.bytes().len() as u64 + 1;
        if let Body::PhotoTaken(taken) = &sealed.record().body
            && self.photos.insert(taken.photo)
        {
            self.photo_bytes += reader.photo_bytes(taken.photo)?.unwrap_or(0);
        }
        let fits = self.records <= room.records
            && self.photos.len() <= room.photos
            && self.record_bytes <= room.record_bytes
            && self.record_bytes + self.photo_bytes <= room.bytes;
        Ok(self.records == 1 || fits)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        record::{PhotoTaken, Stamp},
        store::{Picture, Store},
        sys::StillWorld,
    };
    use uuid::Uuid;

    const WIDE: Room = Room {
        records: 100,
        record_bytes: 1_000_000,
        photos: 100,
        bytes: 1_000_000,
    };

    /// A store with five photos of 1000 bytes, each named by two records.
    fn store(dir: &std::path::Path) -> Store {
        let now = Stamp {
            utc_ms: 0,
            offset_min: 0,
        };
        let mut world = StillWorld::at(now, 1);
        let mut store = Store::create(&dir.join("a.lantern"), &mut world).unwrap();
        let mut batch = store.write().unwrap();
        for n in 0..10 {
            let bytes = vec![n / 2; 1000];
            let photo = Hash::of(&bytes);
            let picture = Picture {
                bytes,
                width_px: 1,
                height_px: 1,
            };
            batch.put_photo(photo, &picture).unwrap();
            let taken = PhotoTaken {
                visit: Uuid::from_u128(1),
                pump: "P-1".parse().unwrap(),
                check: None,
                finding: None,
                photo,
                taken_at: None,
                marks: Vec::new(),
                words: String::new(),
            };
            batch
                .append(&mut world, "T. Tester", Body::PhotoTaken(taken))
                .unwrap();
        }
        batch.commit().unwrap();
        store
    }

    #[test]
    fn a_bundle_takes_as_many_records_as_fit_with_their_photos_and_at_least_one() {
        let dir = tempfile::tempdir().unwrap();
        let store = store(dir.path());
        let all = store.read().records_of(store.origin(), 1, 100).unwrap();
        let line = all[0].bytes().len() as u64 + 1;
        let fitting = |room: Room| {
            let records = all.iter().cloned().map(Ok);
            room.fill(store.read(), records).map(Result::unwrap).count()
        };
        assert_eq!(fitting(WIDE), 10);
        assert_eq!(fitting(Room { records: 7, ..WIDE }), 7);
        assert_eq!(
            fitting(Room { photos: 3, ..WIDE }),
            6,
            "a photo counts once"
        );
        let record_bytes = 4 * line;
        assert_eq!(
            fitting(Room {
                record_bytes,
                ..WIDE
            }),
            4
        );
        let bytes = 4 * line + 2 * 1000;
        assert_eq!(fitting(Room { bytes, ..WIDE }), 4);
        assert_eq!(
            fitting(Room {
                bytes: bytes - 1,
                ..WIDE
            }),
            3
        );
        assert_eq!(fitting(Room { bytes: 1, ..WIDE }), 1);
    }

    #[test]
    fn what_can_not_be_read_is_told_and_not_taken_for_the_end() {
        let dir = tempfile::tempdir().unwrap();
        let store = store(dir.path());
        let failing = std::iter::once(Err(StoreError::InUse));
        let told: Vec<_> = WIDE.fill(store.read(), failing).collect();
        assert!(matches!(told[..], [Err(StoreError::InUse)]));
    }
}
