//! The container's skeleton, proved before anything is unpacked.
//!
//! A ZIP file says everything twice, and readers differ in which they believe. Here both must agree
//! and every byte of the file must belong to exactly one member or directory entry, so that no two
//! readers can see different bundles. Layout from PKWARE's APPNOTE 6.3 sections 4.3.7, 4.3.12, 4.3.16.

use super::{
    FILE_BYTES, MANIFEST_BYTES, PHOTO_BYTES, PHOTOS, RATIO, RECORDS_BYTES, Refused,
    manifest::at_most,
};
use crate::record::Hash;
use crate::say;
use std::{
    collections::HashSet,
    fmt,
    io::{self, Read, Seek, SeekFrom},
};

const LOCAL: [u8; 4] = *b"PK\x03\x04";
const CENTRAL: [u8; 4] = *b"PK\x01\x02";
const END: [u8; 4] = *b"PK\x05\x06";
const LOCAL_BYTES: usize = 30;
const CENTRAL_BYTES: usize = 46;
const END_BYTES: u64 = 22;
const MOST_MEMBERS: u64 = PHOTOS as u64 + 2;
/// Room for [`MOST_MEMBERS`] entries three times over, so that a strange name is still told as such.
const MOST_DIRECTORY_BYTES: u64 = 4 << 20;

const STORED: u16 = 0;
const DEFLATED: u16 = 8;
const FLAG_ENCRYPTED: u16 = 1;
/// Flags that change nothing here: how hard deflate tried (1, 2), names in UTF-8 (11).
const FLAGS_HARMLESS: u16 = 1 << 1 | 1 << 2 | 1 << 11;
const MADE_ON_UNIX: u8 = 3;
const UNIX_KIND: u32 = 0o170_000;
const UNIX_PLAIN_FILE: u32 = 0o100_000;

/// What a member is, by its name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Name {
    Manifest,
    Records,
    Photo(Hash),
}

impl Name {
    fn read(bytes: &[u8]) -> Option<Self> {
        match bytes {
            b"manifest.json" => return Some(Name::Manifest),
            b"records.jsonl" => return Some(Name::Records),
            _ => {}
        }
        let text = std::str::from_utf8(bytes).ok()?;
        let hex = text.strip_prefix("photos/")?.strip_suffix(".jpg")?;
        let name = Name::Photo(hex.parse().ok()?);
        (name.to_string() == text).then_some(name)
    }
}

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Name::Manifest => f.write_str("manifest.json"),
            Name::Records => f.write_str("records.jsonl"),
            Name::Photo(hash) => write!(f, "photos/{hash}.jpg"),
        }
    }
}

/// A member whose headers agree.
#[derive(Clone, Copy, Debug)]
pub(super) struct Member {
    pub(super) name: Name,
    /// Bytes in the file.
    pub(super) packed: u64,
    /// Bytes unpacked, as the headers say.
    pub(super) unpacked: u64,
}

/// What both headers of a member say of it.
#[derive(PartialEq)]
struct Said {
    flags: u16,
    method: u16,
    crc32: u32,
    packed: u32,
    unpacked: u32,
    name_bytes: u16,
    extra_bytes: u16,
}

impl Said {
    /// From the fields that local and central headers have in the same order.
    fn read(header: &[u8]) -> Self {
        Self {
            flags: u16_at(header, 0),
            method: u16_at(header, 2),
            crc32: u32_at(header, 8),
            packed: u32_at(header, 12),
            unpacked: u32_at(header, 16),
            name_bytes: u16_at(header, 20),
            extra_bytes: u16_at(header, 22),
        }
    }
}

/// Proves the skeleton; gives the members in their order, the manifest and the records first.
pub(super) fn survey(file: &mut (impl Read + Seek)) -> Result<Vec<Member>, Refused> {
    let size = file.seek(SeekFrom::End(0)).map_err(Refused::Unreadable)?;
    at_most(say!("the file, in bytes,"), size, FILE_BYTES)?;
    check_beginning(file)?;
    let (count, start) = read_end(file, size)?;
    let length = size - END_BYTES - start;
    at_most(
        say!("the directory, in bytes,"),
        length,
        MOST_DIRECTORY_BYTES,
    )?;
    let mut directory = vec![0; length as usize];
    read_at(file, start, &mut directory)?;
    let members = read_members(file, &directory, count, start)?;
    check_order(&members)?;
    Ok(members)
}

/// Any other file, and any other use of ZIP, is told apart from a bundle that went wrong.
fn check_beginning(file: &mut (impl Read + Seek)) -> Result<(), Refused> {
    const NAME: &[u8] = b"manifest.json";
    let mut beginning = [0; LOCAL_BYTES + NAME.len()];
    match read_at(file, 0, &mut beginning) {
        Err(Refused::CutShort) => return Err(Refused::NotABundle),
        read => read?,
    }
    if beginning[..4] == LOCAL && beginning[LOCAL_BYTES..] == *NAME {
        Ok(())
    } else {
        Err(Refused::NotABundle)
    }
}

/// Number of members and start of the directory, which ends where the end record begins.
fn read_end(file: &mut (impl Read + Seek), size: u64) -> Result<(u16, u64), Refused> {
    let end_at = size.checked_sub(END_BYTES).ok_or(Refused::CutShort)?;
    let mut end = [0; END_BYTES as usize];
    read_at(file, end_at, &mut end)?;
    if end[..4] != END || u16_at(&end, 20) != 0 {
        return Err(Refused::CutShort);
    }
    let (disk, directory_disk) = (u16_at(&end, 4), u16_at(&end, 6));
    let (count_here, count) = (u16_at(&end, 8), u16_at(&end, 10));
    let (length, start) = (u32_at(&end, 12), u32_at(&end, 16));
    if count == u16::MAX || length == u32::MAX || start == u32::MAX {
        return Err(packing(say!("it uses ZIP64")));
    }
    if disk != 0 || directory_disk != 0 || count_here != count {
        return Err(packing(say!("it is split in volumes")));
    }
    if u64::from(start) + u64::from(length) != end_at {
        return Err(packing(say!(
            "its directory does not end where the file does"
        )));
    }
    at_most(
        say!("the number of files in it"),
        u64::from(count),
        MOST_MEMBERS,
    )?;
    Ok((count, u64::from(start)))
}

fn read_members(
    file: &mut (impl Read + Seek),
    directory: &[u8],
    count: u16,
    start: u64,
) -> Result<Vec<Member>, Refused> {
    let mut members = Vec::with_capacity(usize::from(count));
    let mut seen = HashSet::new();
    let (mut rest, mut at) = (directory, 0);
    for _ in 0..count {
        let (header, name) = next_entry(&mut rest)?;
        let said = Said::read(&header[8..]);
        let member = check_central(header, name, &said)?;
        if !seen.insert(member.name) {
            return Err(Refused::Doubled {
                name: member.name.to_string(),
            });
        }
        if u64::from(u32_at(header, 42)) != at {
            return Err(packing(say!("its members do not lie end to end")));
        }
        at = check_local(file, at, name, &said)? + member.packed;
        members.push(member);
    }
    if !rest.is_empty() || at != start {
        return Err(packing(say!("there is something between its members")));
    }
    Ok(members)
}

/// Cuts one directory entry off: its header and its name.
fn next_entry<'a>(rest: &mut &'a [u8]) -> Result<(&'a [u8], &'a [u8]), Refused> {
    let broken = || packing(say!("its directory is broken"));
    let (header, behind) = rest.split_at_checked(CENTRAL_BYTES).ok_or_else(broken)?;
    if header[..4] != CENTRAL {
        return Err(broken());
    }
    let (extra, comment) = (u16_at(header, 30), u16_at(header, 32));
    let (name, behind) = behind
        .split_at_checked(usize::from(u16_at(header, 28)))
        .ok_or_else(broken)?;
    if extra != 0 || comment != 0 {
        return Err(packing(say!(
            "'{name}' has extra fields or a comment",
            name = shown(name)
        )));
    }
    *rest = behind;
    Ok((header, name))
}

fn check_central(header: &[u8], name: &[u8], said: &Said) -> Result<Member, Refused> {
    if said.flags & FLAG_ENCRYPTED != 0 {
        return Err(Refused::Locked {
            member: shown(name),
        });
    }
    let known = Name::read(name).ok_or_else(|| Refused::Stranger { name: shown(name) })?;
    let kind = u32_at(header, 38) >> 16 & UNIX_KIND;
    if header[5] == MADE_ON_UNIX && kind != 0 && kind != UNIX_PLAIN_FILE {
        return Err(packing(say!(
            "'{name}' is a link or a folder",
            name = known
        )));
    }
    if said.flags & !FLAGS_HARMLESS != 0 || u16_at(header, 34) != 0 {
        return Err(packing(say!(
            "'{name}' uses what no bundle uses",
            name = known
        )));
    }
    let may_deflate = known == Name::Records;
    if said.method != STORED && !(may_deflate && said.method == DEFLATED) {
        return Err(packing(say!(
            "'{name}' is compressed by method {method}",
            name = known,
            method = said.method
        )));
    }
    check_sizes(known, said)
}

fn check_sizes(name: Name, said: &Said) -> Result<Member, Refused> {
    let (packed, unpacked) = (u64::from(said.packed), u64::from(said.unpacked));
    let most = match name {
        Name::Manifest => MANIFEST_BYTES,
        Name::Records => RECORDS_BYTES,
        Name::Photo(_) => PHOTO_BYTES,
    };
    at_most(&say!("'{name}', in bytes,", name), unpacked, most)?;
    if said.method == STORED && packed != unpacked {
        return Err(Refused::SizeDiffers {
            member: name.to_string(),
            said: unpacked,
        });
    }
    if unpacked > packed.saturating_mul(RATIO) {
        return Err(Refused::Swells {
            member: name.to_string(),
            packed,
            unpacked,
        });
    }
    Ok(Member {
        name,
        packed,
        unpacked,
    })
}

/// Checks the local header at this place against the central one; gives where the content begins.
fn check_local(
    file: &mut (impl Read + Seek),
    at: u64,
    name: &[u8],
    said: &Said,
) -> Result<u64, Refused> {
    let mut header = vec![0; LOCAL_BYTES + name.len()];
    read_at(file, at, &mut header)?;
    let (fixed, local_name) = header.split_at(LOCAL_BYTES);
    if fixed[..4] != LOCAL || Said::read(&fixed[6..]) != *said || local_name != name {
        return Err(packing(say!(
            "what it says of '{name}' at its end and at its beginning differs",
            name = shown(name)
        )));
    }
    Ok(at + header.len() as u64)
}

fn check_order(members: &[Member]) -> Result<(), Refused> {
    for (place, name) in [Name::Manifest, Name::Records].into_iter().enumerate() {
        match members.iter().position(|member| member.name == name) {
            Some(found) if found == place => {}
            Some(_) => return Err(packing(say!("'{name}' is not in its place", name))),
            None => {
                return Err(Refused::Missing {
                    name: name.to_string(),
                });
            }
        }
    }
    Ok(())
}

fn read_at(file: &mut (impl Read + Seek), at: u64, into: &mut [u8]) -> Result<(), Refused> {
    file.seek(SeekFrom::Start(at))
        .and_then(|_| file.read_exact(into))
        .map_err(|error| match error.kind() {
            io::ErrorKind::UnexpectedEof => Refused::CutShort,
            _ => Refused::Unreadable(error),
        })
}

fn packing(what: impl Into<String>) -> Refused {
    Refused::Packing { what: what.into() }
}

/// A name from outside, made safe to show: escaped, and not longer than a line.
fn shown(name: &[u8]) -> String {
    name.escape_ascii().to_string().chars().take(80).collect()
}

fn u16_at(bytes: &[u8], at: usize) -> u16 {
    u16::from_le_bytes([bytes[at], bytes[at + 1]])
}

fn u32_at(bytes: &[u8], at: usize) -> u32 {
    u32::from(u16_at(bytes, at)) | u32::from(u16_at(bytes, at + 2)) << 16
}
