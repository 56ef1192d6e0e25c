//! What a bundle says of itself.

use super::{FORMAT, PHOTO_BYTES, PHOTOS, RECORDS, RECORDS_BYTES, Refused, VERSION};
use crate::{
    plant::PlantId,
    record::{Hash, Origin, Stamp},
    say,
};
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// Longest device name or signature, bytes.
const TEXT_BYTES: usize = 200;
/// Highest record number: what a signed 64-bit integer holds.
const MOST_SEQ: u64 = i64::MAX as u64;

/// What a bundle says of itself: its `manifest.json`. Fields as in the [module](super)'s table.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Manifest {
    /// [`FORMAT`].
    pub format: String,
    /// [`VERSION`].
    pub version: u32,
    /// Plant the records are of.
    pub plant: PlantId,
    /// Version of the plant's files that the device worked by.
    pub plant_version: u32,
    /// The device, origin of every record.
    pub origin: Origin,
    /// The device's name.
    pub device: String,
    /// When made, by the device's clock.
    pub made_at: Stamp,
    /// Who made it.
    pub made_by: String,
    /// The records.
    pub records: RecordsListed,
    /// The photos, rising by hash.
    pub photos: Vec<PhotoListed>,
    /// Photos that records name and the device no longer had, rising.
    pub photos_absent: Vec<Hash>,
    /// Place for a signature; null.
    pub signature: Option<Value>,
    /// Place for how it is encrypted; null.
    pub encryption: Option<Value>,
}

/// The records of a bundle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecordsListed {
    /// How many; 1 to [`RECORDS`].
    pub count: u64,
    /// Number of the first.
    pub first_seq: u64,
    /// Number of the last.
    pub last_seq: u64,
    /// Size of `records.jsonl` unpacked, bytes.
    pub bytes: u64,
    /// Its SHA-256.
    pub sha256: Hash,
}

/// A photo of a bundle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PhotoListed {
    /// Its name.
    pub sha256: Hash,
    /// Its size, bytes.
    pub bytes: u64,
}

/// What the device tells about itself when it makes a bundle.
#[derive(Clone, Debug, PartialEq)]
pub struct BundleInfo {
    /// Plant the records are of.
    pub plant: PlantId,
    /// Version of the plant's files that the device works by.
    pub plant_version: u32,
    /// The device.
    pub origin: Origin,
    /// Its name; control characters are left out and what is over 200 bytes is cut.
    pub device: String,
    /// Now.
    pub made_at: Stamp,
    /// Who makes it; as `device`.
    pub made_by: String,
}

impl BundleInfo {
    pub(super) fn manifest(
        &self,
        records: RecordsListed,
        photos: Vec<PhotoListed>,
        photos_absent: Vec<Hash>,
    ) -> Manifest {
        Manifest {
            format: FORMAT.to_owned(),
            version: VERSION,
            plant: self.plant.clone(),
            plant_version: self.plant_version,
            origin: self.origin,
            device: presentable(&self.device),
            made_at: self.made_at,
            made_by: presentable(&self.made_by),
            records,
            photos,
            photos_absent,
            signature: None,
            encryption: None,
        }
    }
}

/// What every version's manifest has, so that a newer one is told apart from a broken one.
#[derive(Deserialize)]
struct Head {
    format: String,
    version: u64,
}

impl Manifest {
    /// Reads untrusted bytes.
    pub(super) fn read(bytes: &[u8]) -> Result<Self, Refused> {
        let unreadable = |error: serde_json::Error| bad(error.to_string());
        let head: Head = serde_json::from_slice(bytes).map_err(unreadable)?;
        if head.format != FORMAT {
            return Err(Refused::NotABundle);
        }
        if head.version > u64::from(VERSION) {
            return Err(Refused::Newer {
                found: head.version,
            });
        }
        let manifest: Self = serde_json::from_slice(bytes).map_err(unreadable)?;
        manifest.check()?;
        Ok(manifest)
    }

    /// Asks that the bundle be of this plant.
    ///
    /// # Errors
    /// `OtherPlant` if it is of another.
    pub fn expect_plant(&self, ours: &PlantId) -> Result<(), Refused> {
        if self.plant == *ours {
            return Ok(());
        }
        Err(Refused::OtherPlant {
            theirs: self.plant.clone(),
            ours: ours.clone(),
        })
    }

    fn check(&self) -> Result<(), Refused> {
        if self.version != VERSION {
            return Err(bad(say!(
                "there is no version {version}",
                version = self.version
            )));
        }
        if self.signature.is_some() {
            return Err(Refused::NotYet {
                what: say!("a bundle carries" => "signature"),
            });
        }
        if self.encryption.is_some() {
            return Err(Refused::NotYet {
                what: say!("a bundle carries" => "encryption"),
            });
        }
        for (field, text) in [("device", &self.device), ("made_by", &self.made_by)] {
            if presentable(text) != *text {
                return Err(bad(say!("'{field}' is no name", field)));
            }
        }
        self.check_records()?;
        self.check_photos()
    }

    fn check_records(&self) -> Result<(), Refused> {
        let records = &self.records;
        at_most(say!("the number of records"), records.count, RECORDS)?;
        at_most(
            say!("records.jsonl, in bytes,"),
            records.bytes,
            RECORDS_BYTES,
        )?;
        let span = records.last_seq.checked_sub(records.first_seq);
        let fits = records.first_seq > 0
            && records.last_seq <= MOST_SEQ
            && span.is_some_and(|span| span + 1 == records.count);
        if !fits {
            return Err(bad(say!(
                "it says {count} records from number {first} to {last}",
                count = records.count,
                first = records.first_seq,
                last = records.last_seq
            )));
        }
        Ok(())
    }

    fn check_photos(&self) -> Result<(), Refused> {
        let photos = self.photos.len() + self.photos_absent.len();
        at_most(say!("the number of photos"), photos as u64, PHOTOS as u64)?;
        let rising = self.photos.is_sorted_by(|a, b| a.sha256 < b.sha256)
            && self.photos_absent.is_sorted_by(|a, b| a < b);
        if !rising {
            return Err(bad(say!("its photos are doubled or out of order")));
        }
        if let Some(both) = self.photos_absent.iter().find(|hash| self.lists(**hash)) {
            return Err(bad(say!(
                "the photo {photo} is both there and absent",
                photo = both
            )));
        }
        for photo in &self.photos {
            at_most(say!("a photo, in bytes,"), photo.bytes, PHOTO_BYTES)?;
        }
        Ok(())
    }

    /// Whether a photo is listed as being in the bundle.
    pub fn lists(&self, photo: Hash) -> bool {
        self.photos
            .binary_search_by_key(&photo, |listed| listed.sha256)
            .is_ok()
    }

    /// Whether a photo is listed as one the device no longer had.
    pub fn lists_absent(&self, photo: Hash) -> bool {
        self.photos_absent.binary_search(&photo).is_ok()
    }
}

pub(super) fn at_most(what: &str, found: u64, most: u64) -> Result<(), Refused> {
    if found <= most {
        return Ok(());
    }
    Err(Refused::TooMuch {
        what: what.to_owned(),
        found,
        most,
    })
}

fn bad(what: impl Into<String>) -> Refused {
    Refused::BadManifest { what: what.into() }
}

/// A name that can stand on one line.
fn presentable(text: &str) -> String {
    let mut text: String = text.chars().filter(|c| !c.is_control()).collect();
    text.truncate(text.floor_char_boundary(TEXT_BYTES));
    text
}
