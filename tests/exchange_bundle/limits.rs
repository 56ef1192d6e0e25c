//! Bundles made to exhaust: refused early, having read and kept little.

use super::{
    crafted::{Crafted, Entry, crc32},
    support::*,
};
use lantern_ring::{
    exchange::{self, Refused, Staging},
    record::{Hash, Sealed},
};
use serde_json::json;
use std::{
    io::{self, Cursor, Read, Seek, SeekFrom, Write},
    ops::ControlFlow,
    time::{Duration, Instant},
};
use zip::{ZipArchive, ZipWriter, write::SimpleFileOptions};

const GIB: u64 = 1 << 30;

/// A file that counts what is read of it.
struct Counted<'a> {
    file: Cursor<&'a [u8]>,
    read: &'a mut u64,
}

impl Read for Counted<'_> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let read = self.file.read(into)?;
        *self.read += read as u64;
        Ok(read)
    }
}

impl Seek for Counted<'_> {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.file.seek(to)
    }
}

/// A GiB of line feeds, deflated: 1 MiB.
fn packed_gib() -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    zip.start_file("bomb", SimpleFileOptions::default())
        .unwrap();
    let chunk = vec![b'\n'; 1 << 20];
    for _ in 0..GIB >> 20 {
        zip.write_all(&chunk).unwrap();
    }
    let mut archive: ZipArchive<_> = zip.finish_into_readable().unwrap();
    let mut packed = Vec::new();
    archive
        .by_index_raw(0)
        .unwrap()
        .read_to_end(&mut packed)
        .unwrap();
    packed
}

fn with_bomb(packed: &[u8], unpacked: u64) -> Vec<u8> {
    let mut crafted = Crafted::of(&small_bundle());
    let mut bomb = Entry::stored(b"records.jsonl", packed);
    bomb.method = 8;
    bomb.unpacked = unpacked as u32;
    crafted.entries[1] = bomb;
    crafted.set_manifest(|manifest| manifest["records"]["bytes"] = json!(unpacked));
    crafted.build()
}

#[test]
fn a_gigabyte_bomb_is_refused_by_its_headers() {
    let packed = packed_gib();
    println!("1 GiB packed to {} bytes", packed.len());
    let bomb = with_bomb(&packed, GIB);
    let (mut read, begun) = (0, Instant::now());
    let refused = unpack(Counted {
        file: Cursor::new(&bomb),
        read: &mut read,
    });
    assert!(
        matches!(refused, Err(Refused::Swells { .. })),
        "{refused:?}"
    );
    assert!(read < 2_000, "{read} bytes read");
    assert!(begun.elapsed() < Duration::from_secs(1));
}

#[test]
fn a_gigabyte_bomb_that_lies_is_unpacked_no_further_than_it_says() {
    let packed = packed_gib();
    for said in [1, 600, 60_000, packed.len() as u64 * exchange::RATIO] {
        let (mut read, mut unpacked, bomb) = (0, 0, with_bomb(&packed, said));
        let file = Counted {
            file: Cursor::new(&bomb),
            read: &mut read,
        };
        let begun = Instant::now();
        let refused = unpack_into(file, Memory::default(), |progress| {
            unpacked = progress.done;
            ControlFlow::Continue(())
        });
        let words = refused.unwrap_err().to_string();
        println!(
            "said {said}: {read} bytes read, {unpacked} unpacked, {:?}: {words}",
            begun.elapsed()
        );
        assert!(unpacked <= said + 1_000, "{unpacked} bytes unpacked");
        assert!(read < 20_000 + said / 500, "{read} bytes read");
    }
}

#[test]
fn content_that_goes_on_behind_its_size_is_refused() {
    let (records, photos) = small();
    let bundle = write(1, &records, &photos).unwrap().0;
    let content = Crafted::of(&bundle).entries[1].content.clone();
    let mut archive = ZipArchive::new(Cursor::new(&bundle)).unwrap();
    let mut packed = Vec::new();
    archive
        .by_index_raw(1)
        .unwrap()
        .read_to_end(&mut packed)
        .unwrap();

    for short in 1..3 {
        let kept = &content[..content.len() - short];
        let mut crafted = Crafted::of(&bundle);
        crafted.set_records(kept);
        let entry = &mut crafted.entries[1];
        entry.method = 8;
        entry.packed = packed.len() as u32;
        entry.content = packed.clone();
        entry.crc32 = crc32(kept);
        let refused = unpack_bytes(&crafted.build()).unwrap_err();
        assert!(
            matches!(
                refused,
                Refused::Damaged { .. } | Refused::SizeDiffers { .. }
            ),
            "{refused:?}"
        );
    }
}

#[test]
fn a_line_without_end_is_refused_when_it_is_too_long() {
    let mut crafted = Crafted::of(&small_bundle());
    crafted.set_records(&vec![b' '; exchange::LINE_BYTES + 1]);
    let mut unpacked = 0;
    let refused = unpack_into(
        Cursor::new(crafted.build()),
        Memory::default(),
        |progress| {
            unpacked = progress.done;
            ControlFlow::Continue(())
        },
    );
    assert!(
        matches!(refused, Err(Refused::TooMuch { .. })),
        "{refused:?}"
    );
}

#[test]
fn what_is_over_a_cap_is_refused_by_its_headers() {
    let too_much = |crafted: &Crafted| {
        let refused = unpack_bytes(&crafted.build()).unwrap_err();
        assert!(matches!(refused, Refused::TooMuch { .. }), "{refused:?}");
        println!("{refused}");
    };
    let good = Crafted::of(&small_bundle());
    for (member, most) in [
        (0, exchange::MANIFEST_BYTES),
        (1, exchange::RECORDS_BYTES),
        (2, exchange::PHOTO_BYTES),
    ] {
        let mut large = good.clone();
        large.entries[member].packed = most as u32 + 1;
        large.entries[member].unpacked = most as u32 + 1;
        too_much(&large);
    }
    for (pointer, value) in [
        ("/records/count", json!(exchange::RECORDS + 1)),
        (
            "/photos",
            json!(vec![
                json!({"sha256": "0".repeat(64), "bytes": 1});
                exchange::PHOTOS + 1
            ]),
        ),
    ] {
        let mut large = good.clone();
        large.set_manifest(|manifest| *manifest.pointer_mut(pointer).unwrap() = value);
        too_much(&large);
    }
    let mut members = good.clone();
    for number in 0..exchange::PHOTOS as u32 {
        let name = format!("photos/{}.jpg", Hash::of(&number.to_le_bytes()));
        members.entries.push(Entry::stored(name.as_bytes(), b""));
    }
    too_much(&members);
}

/// A file of a size that no memory has.
struct Endless(u64);

impl Read for Endless {
    fn read(&mut self, _: &mut [u8]) -> io::Result<usize> {
        Err(io::Error::other("nothing of it should be read"))
    }
}

impl Seek for Endless {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        Ok(match to {
            SeekFrom::Start(at) => at,
            _ => self.0,
        })
    }
}

#[test]
fn a_file_over_the_cap_is_refused_unread() {
    let refused = unpack(Endless(exchange::FILE_BYTES + 1)).unwrap_err();
    assert!(matches!(refused, Refused::TooMuch { .. }), "{refused:?}");
    let unread = unpack(Endless(exchange::FILE_BYTES)).unwrap_err();
    assert!(matches!(unread, Refused::Unreadable(_)), "{unread:?}");
}

/// A staging on a full disk.
struct Full;

impl Staging for Full {
    fn put_record(&mut self, _: &Sealed) -> io::Result<()> {
        Err(io::ErrorKind::StorageFull.into())
    }

    fn put_photo(&mut self, _: Hash, _: &[u8]) -> io::Result<()> {
        Err(io::ErrorKind::StorageFull.into())
    }

    fn records(&mut self) -> io::Result<impl Iterator<Item = io::Result<Sealed>>> {
        Ok(std::iter::empty())
    }

    fn photo(&self, _: Hash) -> io::Result<Vec<u8>> {
        Err(io::ErrorKind::NotFound.into())
    }
}

#[test]
fn a_full_disk_is_not_taken_for_a_bad_bundle() {
    let refused = unpack_into(Cursor::new(small_bundle()), Full, |_| {
        ControlFlow::Continue(())
    });
    assert!(matches!(refused, Err(Refused::NotStaged(_))));
}

#[test]
fn a_bundle_with_the_most_photos_is_written_and_taken_in() {
    let photos = photos((0..exchange::PHOTOS as u32).map(|number| number.to_le_bytes().to_vec()));
    let records: Vec<_> = photos
        .keys()
        .zip(1..)
        .map(|(photo, seq)| sealed(1, seq, photo_taken(1, *photo, "")))
        .collect();
    let (bundle, _) = write(1, &records, &photos).unwrap();
    let unpacked = unpack_bytes(&bundle).unwrap();
    assert_eq!(unpacked.staged, Memory { records, photos });
}
