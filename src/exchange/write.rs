//! Writing a bundle.

use super::{
    BundleInfo, FILE_BYTES, LINE_BYTES, Manifest, PHOTO_BYTES, PHOTOS, PhotoListed, RATIO, RECORDS,
    RECORDS_BYTES, RecordsListed, container::Name,
};
use crate::record::{Body, Hash, Origin, Sealed};
use crate::say;
use sha2::{Digest, Sha256};
use std::{
    collections::BTreeSet,
    io::{self, Cursor, Seek, Write},
};
use zip::{
    CompressionMethod, DateTime, System, ZipArchive, ZipWriter,
    result::{ZipError, ZipResult},
    write::SimpleFileOptions,
};

/// Why a bundle was not written. What is in `out` by then is no bundle.
#[derive(Debug, thiserror::Error)]
pub enum NotWritten<E> {
    /// No records were given.
    #[error("{}", say!("there is nothing to send: everything recorded is in an earlier bundle"))]
    Nothing,
    /// More than a bundle may hold.
    #[error("{}", say!(
        "too much for one bundle: {what} comes to {found}, and at most {most} is allowed. Send the older records in a bundle of their own first",
        what,
        found,
        most
    ))]
    TooMuch {
        /// What there is too much of.
        what: &'static str,
        /// How much there is, or where writing stopped.
        found: u64,
        /// How much is allowed.
        most: u64,
    },
    /// A record of another device.
    #[error("{}", say!(
        "record {seq} of device {device} is not this device's own: check the store with 'verify'",
        seq,
        device = origin.0
    ))]
    OtherOrigin {
        /// The record's device.
        origin: Origin,
        /// The record's number.
        seq: u64,
    },
    /// A record does not follow the one before.
    #[error("{}", say!(
        "record {found} came where {expected} follows: check the store with 'verify'",
        found,
        expected
    ))]
    OutOfOrder {
        /// The number that follows.
        expected: u64,
        /// The number there.
        found: u64,
    },
    /// A photo changed between two looks at it.
    #[error("{}", say!(
        "the photo {photo} changed while the bundle was being made: make it again",
        photo = _0
    ))]
    PhotoChanged(Hash),
    /// Records or photos can't be read from where they are kept.
    #[error(transparent)]
    Source(E),
    /// The file can't be written.
    #[error("{}", say!(
        "the bundle can't be written ({why}): make room or choose another place, and try again",
        why = _0
    ))]
    File(#[source] io::Error),
}

impl<E> From<ZipError> for NotWritten<E> {
    fn from(error: ZipError) -> Self {
        NotWritten::File(error.into())
    }
}

/// Writes a bundle of these records, which must be the device's own and follow each other without a gap.
///
/// `photo` is asked for each photo the records name, twice; a photo that it does not have, or whose bytes
/// do not have the hash that names it, is listed as absent. The same input makes the same bytes. The records
/// are held packed in memory, about a tenth of their size, since the manifest in front of them tells their hash.
/// `out` is neither flushed nor synced to disk.
///
/// # Errors
/// A [`NotWritten`]; `out` then holds no bundle.
pub fn write_bundle<E>(
    out: impl Write + Seek,
    info: &BundleInfo,
    records: impl IntoIterator<Item = Result<Sealed, E>>,
    mut photo: impl FnMut(Hash) -> Result<Option<Vec<u8>>, E>,
) -> Result<Manifest, NotWritten<E>> {
    let packed = pack_records(info.origin, records)?;
    let mut present = Vec::new();
    let mut absent = Vec::new();
    for name in &packed.photos {
        match genuine(&mut photo, *name)? {
            Some(jpeg) => present.push(PhotoListed {
                sha256: *name,
                bytes: jpeg.len() as u64,
            }),
            None => absent.push(*name),
        }
    }
    check_size(&packed, &present)?;

    let manifest = info.manifest(packed.listed, present, absent);
    let mut zip = ZipWriter::new(out);
    zip.start_file(Name::Manifest, options(CompressionMethod::Stored))?;
    serde_json::to_writer(&mut zip, &manifest).map_err(|error| NotWritten::File(error.into()))?;
    let mut records = packed.archive;
    zip.raw_copy_file(records.by_index(0)?)?;
    for listed in &manifest.photos {
        let changed = || NotWritten::PhotoChanged(listed.sha256);
        let jpeg = genuine(&mut photo, listed.sha256)?.ok_or_else(changed)?;
        zip.start_file(
            Name::Photo(listed.sha256),
            options(CompressionMethod::Stored),
        )?;
        zip.write_all(&jpeg).map_err(NotWritten::File)?;
    }
    zip.finish()?;
    Ok(manifest)
}

struct Packed {
    listed: RecordsListed,
    photos: BTreeSet<Hash>,
    archive: ZipArchive<Cursor<Vec<u8>>>,
}

fn pack_records<E>(
    origin: Origin,
    records: impl IntoIterator<Item = Result<Sealed, E>>,
) -> Result<Packed, NotWritten<E>> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    zip.start_file(Name::Records, options(CompressionMethod::Deflated))?;
    let mut photos = BTreeSet::new();
    let mut sha256 = Sha256::new();
    let (mut first_seq, mut count, mut bytes) = (None, 0, 0);
    for sealed in records {
        let sealed = sealed.map_err(NotWritten::Source)?;
        let record = sealed.record();
        let expected = first_seq.get_or_insert(record.seq).saturating_add(count);
        check_place(origin, expected, record.origin, record.seq)?;
        if let Body::PhotoTaken(taken) = &record.body {
            photos.insert(taken.photo);
        }
        for piece in [sealed.bytes(), b"\n"] {
            sha256.update(piece);
            zip.write_all(piece).map_err(NotWritten::File)?;
            bytes += piece.len() as u64;
        }
        count += 1;
        let length = sealed.bytes().len() as u64;
        at_most(say!("one record, in bytes,"), length, LINE_BYTES as u64)?;
        at_most(say!("the number of records"), count, RECORDS)?;
        at_most(say!("all records, in bytes,"), bytes, RECORDS_BYTES)?;
        at_most(
            say!("the number of photos"),
            photos.len() as u64,
            PHOTOS as u64,
        )?;
    }
    let first_seq = first_seq.ok_or(NotWritten::Nothing)?;
    Ok(Packed {
        listed: RecordsListed {
            count,
            first_seq,
            last_seq: first_seq + count - 1,
            bytes,
            sha256: Hash(sha256.finalize().into()),
        },
        photos,
        archive: store_what_swells(zip.finish_into_readable()?)?,
    })
}

/// Records that repeat themselves far beyond the ordinary would be refused for swelling: they go unpacked.
fn store_what_swells(
    mut archive: ZipArchive<Cursor<Vec<u8>>>,
) -> ZipResult<ZipArchive<Cursor<Vec<u8>>>> {
    let mut records = archive.by_index(0)?;
    if records.size() <= records.compressed_size() * RATIO {
        drop(records);
        return Ok(archive);
    }
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    zip.start_file(Name::Records, options(CompressionMethod::Stored))?;
    io::copy(&mut records, &mut zip)?;
    zip.finish_into_readable()
}

fn check_place<E>(
    origin: Origin,
    expected: u64,
    found_origin: Origin,
    found: u64,
) -> Result<(), NotWritten<E>> {
    if found_origin != origin {
        return Err(NotWritten::OtherOrigin {
            origin: found_origin,
            seq: found,
        });
    }
    if found != expected || found == 0 {
        return Err(NotWritten::OutOfOrder {
            expected: expected.max(1),
            found,
        });
    }
    Ok(())
}

/// The photo's bytes, if they are there and are what their name says.
fn genuine<E>(
    photo: &mut impl FnMut(Hash) -> Result<Option<Vec<u8>>, E>,
    name: Hash,
) -> Result<Option<Vec<u8>>, NotWritten<E>> {
    let jpeg = photo(name).map_err(NotWritten::Source)?;
    let jpeg = jpeg.filter(|jpeg| Hash::of(jpeg) == name);
    if let Some(jpeg) = &jpeg {
        at_most(say!("a photo, in bytes,"), jpeg.len() as u64, PHOTO_BYTES)?;
    }
    Ok(jpeg)
}

/// The whole file must stay in its cap; what headers and manifest take is reckoned generously.
fn check_size<E>(packed: &Packed, present: &[PhotoListed]) -> Result<(), NotWritten<E>> {
    const FOR_EACH_MEMBER: u64 = 512;
    let records = packed.archive.central_directory_start();
    let photos: u64 = present.iter().map(|photo| photo.bytes).sum();
    let members = packed.photos.len() as u64 + 4;
    let total = records + photos + members * FOR_EACH_MEMBER;
    at_most(say!("the file, in bytes,"), total, FILE_BYTES)
}

fn at_most<E>(what: &'static str, found: u64, most: u64) -> Result<(), NotWritten<E>> {
    if found <= most {
        return Ok(());
    }
    Err(NotWritten::TooMuch { what, found, most })
}

/// Nothing in the container depends on when or where it is made.
fn options(method: CompressionMethod) -> SimpleFileOptions {
    SimpleFileOptions::default()
        .compression_method(method)
        .last_modified_time(DateTime::DEFAULT)
        .system(System::Unix)
        .unix_permissions(0o644)
}
