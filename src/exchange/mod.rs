//! Bundles: writing, reading untrusted ones, planning a merge.
//!
//! # The bundle, version 1
//!
//! A bundle carries what one device recorded, pictures included, to the planner. File name
//! extension `.lrbundle`, media type `application/vnd.lantern-ring.bundle+zip` (ours, unregistered).
//!
//! ## Container
//!
//! A ZIP file as ISO/IEC 21320-1 allows it (stored or deflated, neither encrypted nor split,
//! names in ASCII), narrowed so that every byte is accounted for:
//!
//! | member, in this order | method | content |
//! | --- | --- | --- |
//! | `manifest.json` | stored | JSON, see below. First, so that `lantern-ring bundle` can be read near the file's beginning |
//! | `records.jsonl` | deflated or stored | one record a line in its canonical bytes (see [`crate::record`]), each line ended by a line feed |
//! | `photos/<64 hex>.jpg`, none or more | stored | a picture as [`crate::photo`] stores it, named by the SHA-256 of its bytes in lower case |
//!
//! No other member, no folder entries, none twice. Members lie end to end from byte 0; the central
//! directory follows, in the same order, then the end record as the last 22 bytes. No extra fields,
//! comments, data descriptors, ZIP64 structures, links. Local and central headers agree.
//! [`write_bundle`] makes the same bytes from the same input: times in the container are 1980-01-01.
//!
//! ## Manifest
//!
//! All fields are present, in this order when written; a field not listed here is refused.
//!
//! | field | what it holds |
//! | --- | --- |
//! | `format` | `lantern-ring bundle` |
//! | `version` | `1` |
//! | `plant`, `plant_version` | plant id; version of the plant's files the device worked by |
//! | `origin` | the device's UUID, the origin of every record in the bundle |
//! | `device` | the device's name, for people; at most 200 bytes, no control characters |
//! | `made_at` | `utc_ms`: ms since 1970-01-01T00:00:00Z, `offset_min`: minutes local time was ahead; by the device's clock |
//! | `made_by` | who made it, as the operator signs; as `device` |
//! | `records` | `count`, `first_seq`, `last_seq`, `bytes` and `sha256` of `records.jsonl` unpacked |
//! | `photos` | for each photo member `sha256` and `bytes`, rising by `sha256` |
//! | `photos_absent` | SHA-256 of photos that records name and the device had lost or found damaged, rising |
//! | `signature`, `encryption` | null. Places for later; a bundle with something there is refused, never half understood |
//!
//! ## Records
//!
//! Only the device's own: each has the manifest's `origin`. Their numbers run from `first_seq` to
//! `last_seq` without a gap, so a lost line can't go unseen; at least one record. Each photo member is
//! named by a record, and each photo that a record names is a member or listed as absent.
//!
//! ## Caps
//!
//! Checked on the headers and again on what is really read, while it is read:
//!
//! | what | at most |
//! | --- | --- |
//! | the file | 2 GiB ([`FILE_BYTES`]) |
//! | records | 1 000 000 ([`RECORDS`]) |
//! | photos, present and absent | 10 000 ([`PHOTOS`]) |
//! | `manifest.json` | 2 MiB ([`MANIFEST_BYTES`]) |
//! | `records.jsonl` unpacked | 1 GiB ([`RECORDS_BYTES`]) |
//! | a record | 1 MiB ([`LINE_BYTES`]) |
//! | a photo | 6 000 000 bytes ([`PHOTO_BYTES`]) |
//! | unpacked to packed size of a member | 100 to 1 ([`RATIO`]) |
//!
//! ## Taking in
//!
//! [`unpack()`] proves a bundle into a [`Staging`] or says in a [`Refused`] what is wrong; [`plan()`]
//! compares what is staged with what is [`Known`]; then one transaction (not here) follows the plan.
//! A bundle of a newer version is refused, and one of another plant
//! ([`Manifest::expect_plant`]).

mod container;
mod manifest;
mod plan;
mod refused;
mod staging;
mod unpack;
mod write;

pub use manifest::{BundleInfo, Manifest, PhotoListed, RecordsListed};
pub use plan::{Fate, Known, MergePlan, NotPlanned, Why, plan};
pub use refused::Refused;
pub use staging::Staging;
pub use unpack::{Checks, PhotoCheck, Progress, Unpacked, unpack};
pub use write::{NotWritten, write_bundle};

/// File name extension of a bundle, without the dot.
pub const EXTENSION: &str = "lrbundle";
/// What `format` says in every version's manifest.
pub const FORMAT: &str = "lantern-ring bundle";
/// The bundle version written here, and the newest one read.
pub const VERSION: u32 = 1;

/// Largest bundle file, bytes: 2 GiB, half of where ZIP needs its 64-bit form.
pub const FILE_BYTES: u64 = 2 << 30;
/// Most records in a bundle.
pub const RECORDS: u64 = 1_000_000;
/// Most photos in a bundle, present and absent together.
pub const PHOTOS: usize = 10_000;
/// Largest manifest, bytes: twice what [`PHOTOS`] photos need.
pub const MANIFEST_BYTES: u64 = 2 << 20;
/// Largest `records.jsonl` unpacked, bytes: 1 GiB.
pub const RECORDS_BYTES: u64 = 1 << 30;
/// Longest record, bytes: 1 MiB.
pub const LINE_BYTES: usize = 1 << 20;
/// Largest photo, bytes: 6 000 000.
pub const PHOTO_BYTES: u64 = crate::photo::MOST_STORED_BYTES as u64;
/// A member unpacks to at most this many times its packed size. Records come to 5 to 30.
pub const RATIO: u64 = 100;
