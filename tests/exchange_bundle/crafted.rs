//! ZIP files put together field by field, so that each can lie.

use lantern_ring::record::Hash;
use serde_json::Value;
use std::io::{Cursor, Read};
use zip::ZipArchive;

/// A member as its headers describe it.
#[derive(Clone, Debug)]
pub struct Entry {
    pub name: Vec<u8>,
    pub flags: u16,
    pub method: u16,
    pub crc32: u32,
    pub packed: u32,
    pub unpacked: u32,
    pub made_by: u16,
    pub attributes: u32,
    pub extra: Vec<u8>,
    pub content: Vec<u8>,
}

impl Entry {
    pub fn stored(name: &[u8], content: &[u8]) -> Self {
        Self {
            name: name.to_vec(),
            flags: 0,
            method: 0,
            crc32: crc32(content),
            packed: content.len() as u32,
            unpacked: content.len() as u32,
            made_by: 3 << 8 | 20,
            attributes: 0o100_644 << 16,
            extra: Vec::new(),
            content: content.to_vec(),
        }
    }

    fn fields(&self) -> Vec<u8> {
        let mut out = Vec::new();
        out.extend(20_u16.to_le_bytes());
        out.extend(self.flags.to_le_bytes());
        out.extend(self.method.to_le_bytes());
        out.extend([0, 0, 0x21, 0]);
        out.extend(self.crc32.to_le_bytes());
        out.extend(self.packed.to_le_bytes());
        out.extend(self.unpacked.to_le_bytes());
        out.extend((self.name.len() as u16).to_le_bytes());
        out.extend((self.extra.len() as u16).to_le_bytes());
        out
    }

    fn local(&self) -> Vec<u8> {
        [
            &b"PK\x03\x04"[..],
            &self.fields(),
            &self.name,
            &self.extra,
            &self.content,
        ]
        .concat()
    }

    fn central(&self, at: u32) -> Vec<u8> {
        let mut out = b"PK\x01\x02".to_vec();
        out.extend(self.made_by.to_le_bytes());
        out.extend(self.fields());
        out.extend([0; 6]);
        out.extend(self.attributes.to_le_bytes());
        out.extend(at.to_le_bytes());
        out.extend(&self.name);
        out.extend(&self.extra);
        out
    }
}

/// A bundle taken apart, to be put together again with something wrong.
#[derive(Clone, Debug)]
pub struct Crafted {
    pub entries: Vec<Entry>,
}

impl Crafted {
    /// Takes a good bundle apart; all members become stored ones.
    pub fn of(bundle: &[u8]) -> Self {
        let mut archive = ZipArchive::new(Cursor::new(bundle)).unwrap();
        let mut entries = Vec::new();
        for place in 0..archive.len() {
            let mut member = archive.by_index(place).unwrap();
            let name = member.name_raw().to_vec();
            let mut content = Vec::new();
            member.read_to_end(&mut content).unwrap();
            entries.push(Entry::stored(&name, &content));
        }
        Self { entries }
    }

    pub fn manifest(&self) -> Value {
        serde_json::from_slice(&self.entries[0].content).unwrap()
    }

    pub fn set_manifest(&mut self, change: impl FnOnce(&mut Value)) {
        let mut manifest = self.manifest();
        change(&mut manifest);
        let content = serde_json::to_vec(&manifest).unwrap();
        self.entries[0] = Entry::stored(b"manifest.json", &content);
    }

    pub fn lines(&self) -> Vec<String> {
        let text = String::from_utf8(self.entries[1].content.clone()).unwrap();
        text.lines().map(str::to_owned).collect()
    }

    /// Sets the records, with size and hash in the manifest to match, so that only the content is wrong.
    pub fn set_records(&mut self, content: &[u8]) {
        self.entries[1] = Entry::stored(b"records.jsonl", content);
        self.set_manifest(|manifest| {
            manifest["records"]["bytes"] = content.len().into();
            manifest["records"]["sha256"] = Hash::of(content).to_string().into();
        });
    }

    pub fn set_lines(&mut self, lines: &[String]) {
        let content: String = lines.iter().map(|line| format!("{line}\n")).collect();
        self.set_records(content.as_bytes());
    }

    pub fn build(&self) -> Vec<u8> {
        self.build_with(|entry| entry.local())
    }

    /// Builds with the local header and content of each member as `local` has them.
    pub fn build_lying(&self, local: impl Fn(Entry) -> Entry) -> Vec<u8> {
        self.build_with(|entry| local(entry.clone()).local())
    }

    fn build_with(&self, local: impl Fn(&Entry) -> Vec<u8>) -> Vec<u8> {
        let mut out = Vec::new();
        let mut directory = Vec::new();
        for entry in &self.entries {
            directory.extend(entry.central(out.len() as u32));
            out.extend(local(entry));
        }
        let start = out.len() as u32;
        out.extend(&directory);
        out.extend(end(
            self.entries.len() as u16,
            directory.len() as u32,
            start,
        ));
        out
    }
}

/// The end record.
pub fn end(count: u16, directory_bytes: u32, start: u32) -> Vec<u8> {
    let mut out = b"PK\x05\x06\0\0\0\0".to_vec();
    out.extend(count.to_le_bytes());
    out.extend(count.to_le_bytes());
    out.extend(directory_bytes.to_le_bytes());
    out.extend(start.to_le_bytes());
    out.extend([0, 0]);
    out
}

/// CRC-32 as ZIP has it (ISO 3309, reflected polynomial 0xEDB88320), bit by bit.
pub fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| {
            crc >> 1 ^ (0xEDB8_8320 & 0_u32.wrapping_sub(crc & 1))
        })
    })
}

#[test]
fn the_check_sum_is_the_standard_one() {
    // Check value of CRC-32/ISO-HDLC in the published catalogue of parametrised CRC algorithms.
    assert_eq!(crc32(b"123456789"), 0xCBF4_3926);
}

#[test]
fn a_crafted_bundle_with_nothing_wrong_is_taken() {
    let crafted = Crafted::of(&super::support::small_bundle());
    super::support::unpack_bytes(&crafted.build()).unwrap();
}
