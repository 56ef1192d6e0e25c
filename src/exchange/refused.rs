//! Why a bundle is not taken in.

use crate::{
    photo::PhotoError,
    plant::PlantId,
    record::{BadRecord, Hash},
    say,
};
use std::io;
use uuid::Uuid;

/// Why a bundle is not taken in. Nothing of it was kept.
#[derive(Debug, thiserror::Error)]
pub enum Refused {
    /// The file is something else.
    #[error("{}", say!(
        "this file is not a Lantern Ring bundle: choose a file whose name ends in .lrbundle"
    ))]
    NotABundle,
    /// The end of the file is not where a bundle ends.
    #[error("{}", say!(
        "the bundle is cut short, or something was added behind its end: copy it again, or ask the device to send it again"
    ))]
    CutShort,
    /// More than a bundle may hold.
    #[error("{}", say!(
        "the bundle is too large: {what} comes to {found}, and at most {most} is taken in. Ask the device to send its records in several bundles",
        what,
        found,
        most
    ))]
    TooMuch {
        /// What there is too much of.
        what: String,
        /// How much there is, or where reading stopped.
        found: u64,
        /// How much is allowed.
        most: u64,
    },
    /// A member unpacks to far more than its packed size.
    #[error("{}", say!(
        "the bundle is not safe to unpack: '{member}' swells from {packed} to {unpacked} bytes or more, over {times} times. It does not come from Lantern Ring: do not use it, and tell whoever gave it to you",
        member,
        packed,
        unpacked,
        times = super::RATIO
    ))]
    Swells {
        /// Which member.
        member: String,
        /// Its size in the file, bytes.
        packed: u64,
        /// Its size unpacked, bytes.
        unpacked: u64,
    },
    /// The container is put together as Lantern Ring never does.
    #[error("{}", say!(
        "the bundle was packed, or packed again, by something else than Lantern Ring: {what}. Ask for the file as the device sent it",
        what
    ))]
    Packing {
        /// What is wrong.
        what: String,
    },
    /// A member is encrypted by the container's own means.
    #[error("{}", say!(
        "the bundle is locked with a password ('{member}'): ask for the file as the device sent it",
        member
    ))]
    Locked {
        /// Which member.
        member: String,
    },
    /// A member whose name no bundle has.
    #[error("{}", say!(
        "the bundle holds a file that does not belong in one: '{name}'. Do not unpack it by other means; ask the device to send the bundle again",
        name
    ))]
    Stranger {
        /// Its name, made safe to show.
        name: String,
    },
    /// A member is there twice.
    #[error("{}", say!("the bundle holds '{name}' twice: ask the device to send it again", name))]
    Doubled {
        /// Its name.
        name: String,
    },
    /// A member is not there.
    #[error("{}", say!("the bundle lacks '{name}': ask the device to send it again", name))]
    Missing {
        /// Its name.
        name: String,
    },
    /// A photo that the manifest does not list.
    #[error("{}", say!(
        "the bundle holds '{name}', which its own list does not have: ask the device to send it again",
        name
    ))]
    NotListed {
        /// Its name.
        name: String,
    },
    /// A size is not what it was said to be.
    #[error("{}", say!(
        "'{member}' in the bundle has another size than said ({said} bytes): ask the device to send it again",
        member,
        said
    ))]
    SizeDiffers {
        /// Which member.
        member: String,
        /// Its size as said, bytes.
        said: u64,
    },
    /// Content does not unpack, fails its check sum, or goes on behind its size.
    #[error("{}", say!(
        "'{member}' in the bundle is damaged (its check sum or size is wrong): copy it again, or ask the device to send it again",
        member
    ))]
    Damaged {
        /// Which member.
        member: String,
    },
    /// Content has another SHA-256 than said.
    #[error("{}", say!(
        "'{member}' in the bundle is not what the device packed (its SHA-256 differs): ask the device to send it again",
        member
    ))]
    HashDiffers {
        /// Which member.
        member: String,
    },
    /// The manifest is not one.
    #[error("{}", say!(
        "the bundle's manifest can't be used: {what}. Ask the device to send it again",
        what
    ))]
    BadManifest {
        /// What is wrong.
        what: String,
    },
    /// Made by a newer version.
    #[error("{}", say!(
        "made by a newer version ({found}); this one reads up to {most}: update Lantern Ring on this computer",
        found,
        most = super::VERSION
    ))]
    Newer {
        /// The bundle's version.
        found: u64,
    },
    /// Carries a signature or encryption, which this version can't check.
    #[error("{}", say!(
        "the bundle carries {what}, which this version can't check: update Lantern Ring on this computer",
        what
    ))]
    NotYet {
        /// The manifest's field.
        what: &'static str,
    },
    /// From another plant.
    #[error("{}", say!(
        "the bundle is from the plant '{theirs}', and this is '{ours}': take it in where '{theirs}' is kept",
        theirs,
        ours
    ))]
    OtherPlant {
        /// The bundle's plant.
        theirs: PlantId,
        /// The plant asked for.
        ours: PlantId,
    },
    /// A line is no record.
    #[error("{}", say!(
        "line {line} of the bundle's records can't be read: {source}. If the device has a newer Lantern Ring, update it on this computer; else ask the device to send the bundle again",
        line,
        source
    ))]
    BadRecord {
        /// Which line, from 1.
        line: u64,
        /// What is wrong.
        source: BadRecord,
    },
    /// A record of another device.
    #[error("{}", say!(
        "line {line} of the bundle's records was written by another device: ask that device for its own bundle, and this one to send again",
        line
    ))]
    OtherOrigin {
        /// Which line, from 1.
        line: u64,
    },
    /// A record's number does not follow the one before.
    #[error("{}", say!(
        "line {line} of the bundle's records is number {found} where {expected} follows: a record is missing, doubled or out of order. Ask the device to send it again",
        line,
        found,
        expected
    ))]
    OutOfOrder {
        /// Which line, from 1.
        line: u64,
        /// The number that follows.
        expected: u64,
        /// The number there.
        found: u64,
    },
    /// Two records with one id.
    #[error("{}", say!(
        "line {line} of the bundle's records has the id {id} that an earlier line has: ask the device to send it again",
        line,
        id
    ))]
    DoubledId {
        /// Which line, from 1.
        line: u64,
        /// The id.
        id: Uuid,
    },
    /// Fewer or more records than said.
    #[error("{}", say!(
        "the bundle says {said} records and holds {found}: ask the device to send it again",
        said,
        found
    ))]
    CountDiffers {
        /// As said.
        said: u64,
        /// As counted.
        found: u64,
    },
    /// A record names a photo that is neither there nor listed as absent.
    #[error("{}", say!(
        "line {line} of the bundle's records names the photo {photo}, which the bundle lacks: ask the device to send it again",
        line,
        photo
    ))]
    PhotoMissing {
        /// Which line, from 1.
        line: u64,
        /// Which photo.
        photo: Hash,
    },
    /// No record names a photo that the manifest lists.
    #[error("{}", say!(
        "the bundle lists the photo {photo}, which no record names: ask the device to send it again",
        photo
    ))]
    PhotoUnnamed {
        /// Which photo.
        photo: Hash,
    },
    /// A photo is not a picture as Lantern Ring stores it.
    #[error("{}", say!("a photo in the bundle can't be used. {why}", why = _0))]
    BadPhoto(#[source] PhotoError),
    /// Stopped on request.
    #[error("{}", say!("taking in was stopped; nothing was taken in"))]
    Stopped,
    /// The file can't be read, by no fault of the bundle.
    #[error("{}", say!(
        "the bundle can't be read from where it lies ({why}): copy it to this computer and try again",
        why = _0
    ))]
    Unreadable(#[source] io::Error),
    /// No room, or no right to write, where it is unpacked.
    #[error("{}", say!(
        "the bundle can't be unpacked here ({why}): make room on this computer and try again",
        why = _0
    ))]
    NotStaged(#[source] io::Error),
}
