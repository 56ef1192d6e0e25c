//! Reading an untrusted bundle.

use super::{
    LINE_BYTES, Refused, Staging,
    container::{self, Member, Name},
    manifest::{Manifest, at_most},
};
use crate::{
    photo::PhotoError,
    record::{Body, Hash, Sealed},
    say,
};
use sha2::{Digest, Sha256};
use std::{
    collections::{HashMap, HashSet},
    io::{self, Read, Seek},
    ops::ControlFlow,
};
use uuid::Uuid;
use zip::{ZipArchive, result::ZipError};

const CHUNK_BYTES: u64 = 1 << 16;

/// How far unpacking is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Bytes unpacked and checked.
    pub done: u64,
    /// Bytes to unpack.
    pub total: u64,
}

/// Whether these bytes are the picture of this name.
pub type PhotoCheck = dyn Fn(&[u8], &Hash) -> Result<(), PhotoError>;

/// What [`unpack`] needs from others.
pub struct Checks<'a> {
    /// Whether a photo is a picture as this program stores it: [`crate::photo::verify_stored`].
    pub photo: &'a PhotoCheck,
    /// Told how far it is, several times a second; may break off.
    pub watch: &'a mut dyn FnMut(Progress) -> ControlFlow<()>,
}

/// A bundle that passed every check a bundle can be put to by itself.
#[derive(Debug)]
pub struct Unpacked<S> {
    /// What it says of itself, proved.
    pub manifest: Manifest,
    /// Its records and photos.
    pub staged: S,
}

/// Proves a bundle and stages what is in it. Where it is refused, `staging` is dropped with all that was staged.
///
/// # Errors
/// A [`Refused`] that says what is wrong and what to do.
pub fn unpack<S: Staging>(
    mut file: impl Read + Seek,
    mut staging: S,
    checks: Checks<'_>,
) -> Result<Unpacked<S>, Refused> {
    let members = container::survey(&mut file)?;
    let mut unpacking = Unpacking {
        archive: ZipArchive::new(&mut file).map_err(|error| unreadable("manifest.json", error))?,
        progress: Progress {
            done: 0,
            total: members.iter().map(|member| member.unpacked).sum(),
        },
        watch: checks.watch,
    };
    let [manifest, records, photos @ ..] = &members[..] else {
        return Err(Refused::CutShort);
    };
    let manifest = Manifest::read(&unpacking.whole(manifest)?)?;
    match_members(&manifest, records, photos)?;
    unpacking.records(records, &manifest, &mut staging)?;
    for member in photos {
        unpacking.photo(member, checks.photo, &mut staging)?;
    }
    Ok(Unpacked {
        manifest,
        staged: staging,
    })
}

/// The members must be those that the manifest lists, at the sizes it lists.
fn match_members(manifest: &Manifest, records: &Member, photos: &[Member]) -> Result<(), Refused> {
    same_size(records, manifest.records.bytes)?;
    let mut unlisted: HashMap<_, _> = photos.iter().map(|photo| (photo.name, photo)).collect();
    for listed in &manifest.photos {
        let name = Name::Photo(listed.sha256);
        let member = unlisted.remove(&name).ok_or_else(|| Refused::Missing {
            name: name.to_string(),
        })?;
        same_size(member, listed.bytes)?;
    }
    match unlisted.keys().next() {
        Some(name) => Err(Refused::NotListed {
            name: name.to_string(),
        }),
        None => Ok(()),
    }
}

fn same_size(member: &Member, listed: u64) -> Result<(), Refused> {
    if member.unpacked == listed {
        return Ok(());
    }
    Err(Refused::SizeDiffers {
        member: member.name.to_string(),
        said: listed,
    })
}

struct Unpacking<'a, R> {
    archive: ZipArchive<R>,
    progress: Progress,
    watch: &'a mut dyn FnMut(Progress) -> ControlFlow<()>,
}

impl<R: Read + Seek> Unpacking<'_, R> {
    /// Gives a member's content to `take` in chunks, and holds it to its size. Its check sum is the archive's part.
    fn stream(
        &mut self,
        member: &Member,
        mut take: impl FnMut(&[u8]) -> Result<(), Refused>,
    ) -> Result<(), Refused> {
        let name = member.name.to_string();
        let mut content = self
            .archive
            .by_name(&name)
            .map_err(|error| unreadable(&name, error))?;
        let differs = || Refused::SizeDiffers {
            member: name.clone(),
            said: member.unpacked,
        };
        let mut chunk = vec![0; CHUNK_BYTES.min(member.unpacked + 1) as usize];
        let mut left = member.unpacked;
        loop {
            let read = match content.read(&mut chunk) {
                Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
                read => read.map_err(|error| unreadable(&name, error.into()))?,
            };
            left = left.checked_sub(read as u64).ok_or_else(differs)?;
            if read == 0 {
                break;
            }
            take(&chunk[..read])?;
            self.progress.done += read as u64;
            if (self.watch)(self.progress).is_break() {
                return Err(Refused::Stopped);
            }
        }
        if left == 0 { Ok(()) } else { Err(differs()) }
    }

    /// A member whose size the survey found small enough to hold.
    fn whole(&mut self, member: &Member) -> Result<Vec<u8>, Refused> {
        let mut content = Vec::new();
        self.stream(member, |chunk| {
            content.extend_from_slice(chunk);
            Ok(())
        })?;
        Ok(content)
    }

    fn records(
        &mut self,
        member: &Member,
        manifest: &Manifest,
        staging: &mut impl Staging,
    ) -> Result<(), Refused> {
        let mut sha256 = Sha256::new();
        let mut lines = Lines::default();
        let mut proof = RecordsProof::new(manifest);
        let mut wrong = None;
        self.stream(member, |chunk| {
            sha256.update(chunk);
            if wrong.is_some() {
                return Ok(());
            }
            let taken = lines.take(chunk, |line| {
                let record = proof.next(line)?;
                staging.put_record(&record).map_err(Refused::NotStaged)
            });
            match taken {
                Err(Refused::NotStaged(error)) => Err(Refused::NotStaged(error)),
                // Read on: a bad line is most often a damaged file, and that is what should be told then.
                taken => {
                    wrong = taken.err();
                    Ok(())
                }
            }
        })?;
        if Hash(sha256.finalize().into()) != manifest.records.sha256 {
            return Err(Refused::HashDiffers {
                member: member.name.to_string(),
            });
        }
        if let Some(wrong) = wrong {
            return Err(wrong);
        }
        lines.end()?;
        proof.end()
    }

    fn photo(
        &mut self,
        member: &Member,
        check: &PhotoCheck,
        staging: &mut impl Staging,
    ) -> Result<(), Refused> {
        let Name::Photo(photo) = member.name else {
            return Err(Refused::Stranger {
                name: member.name.to_string(),
            });
        };
        let jpeg = self.whole(member)?;
        if Hash::of(&jpeg) != photo {
            return Err(Refused::HashDiffers {
                member: member.name.to_string(),
            });
        }
        check(&jpeg, &photo).map_err(Refused::BadPhoto)?;
        staging.put_photo(photo, &jpeg).map_err(Refused::NotStaged)
    }
}

/// Cuts chunks into lines.
#[derive(Default)]
struct Lines {
    begun: Vec<u8>,
}

impl Lines {
    fn take(
        &mut self,
        chunk: &[u8],
        mut line: impl FnMut(Vec<u8>) -> Result<(), Refused>,
    ) -> Result<(), Refused> {
        for piece in chunk.split_inclusive(|byte| *byte == b'\n') {
            let (piece, ended) = match piece.strip_suffix(b"\n") {
                Some(piece) => (piece, true),
                None => (piece, false),
            };
            let length = (self.begun.len() + piece.len()) as u64;
            at_most(say!("a record, in bytes,"), length, LINE_BYTES as u64)?;
            self.begun.extend_from_slice(piece);
            if ended {
                line(std::mem::take(&mut self.begun))?;
            }
        }
        Ok(())
    }

    fn end(self) -> Result<(), Refused> {
        if self.begun.is_empty() {
            return Ok(());
        }
        Err(Refused::BadManifest {
            what: say!("its last record has no end").to_owned(),
        })
    }
}

/// What the records of a bundle must be, line by line.
struct RecordsProof<'a> {
    manifest: &'a Manifest,
    count: u64,
    ids: HashSet<Uuid>,
    photos: HashSet<Hash>,
}

impl<'a> RecordsProof<'a> {
    fn new(manifest: &'a Manifest) -> Self {
        Self {
            manifest,
            count: 0,
            ids: HashSet::new(),
            photos: HashSet::new(),
        }
    }

    fn next(&mut self, line_bytes: Vec<u8>) -> Result<Sealed, Refused> {
        let listed = &self.manifest.records;
        if self.count == listed.count {
            return Err(Refused::CountDiffers {
                said: listed.count,
                found: self.count + 1,
            });
        }
        let expected = listed.first_seq + self.count;
        self.count += 1;
        let line = self.count;
        let sealed =
            Sealed::from_bytes(line_bytes).map_err(|source| Refused::BadRecord { line, source })?;
        let record = sealed.record();
        if record.origin != self.manifest.origin {
            return Err(Refused::OtherOrigin { line });
        }
        if record.seq != expected {
            return Err(Refused::OutOfOrder {
                line,
                expected,
                found: record.seq,
            });
        }
        if !self.ids.insert(record.id) {
            return Err(Refused::DoubledId {
                line,
                id: record.id,
            });
        }
        self.name_photo(&record.body, line)?;
        Ok(sealed)
    }

    fn name_photo(&mut self, body: &Body, line: u64) -> Result<(), Refused> {
        let Body::PhotoTaken(taken) = body else {
            return Ok(());
        };
        let photo = taken.photo;
        if !self.manifest.lists(photo) && !self.manifest.lists_absent(photo) {
            return Err(Refused::PhotoMissing { line, photo });
        }
        self.photos.insert(photo);
        Ok(())
    }

    fn end(self) -> Result<(), Refused> {
        let said = self.manifest.records.count;
        if self.count != said {
            return Err(Refused::CountDiffers {
                said,
                found: self.count,
            });
        }
        let present = self.manifest.photos.iter().map(|photo| photo.sha256);
        let absent = self.manifest.photos_absent.iter().copied();
        match present
            .chain(absent)
            .find(|photo| !self.photos.contains(photo))
        {
            Some(photo) => Err(Refused::PhotoUnnamed { photo }),
            None => Ok(()),
        }
    }
}

/// Tells a damaged bundle from a disk that can't be read.
fn unreadable(member: &str, error: ZipError) -> Refused {
    use io::ErrorKind::{InvalidData, InvalidInput, UnexpectedEof};
    match error {
        ZipError::Io(error)
            if !matches!(error.kind(), InvalidData | InvalidInput | UnexpectedEof) =>
        {
            Refused::Unreadable(error)
        }
        _ => Refused::Damaged {
            member: member.to_owned(),
        },
    }
}
