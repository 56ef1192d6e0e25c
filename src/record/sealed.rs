//! A record with its canonical bytes and their hash.

use super::Record;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::{fmt, str::FromStr};

/// A SHA-256, written as 64 hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Hash(pub [u8; 32]);

/// A record that can't be taken as one.
#[derive(Debug, thiserror::Error)]
pub enum BadRecord {
    /// The bytes are no record.
    #[error("this is no record of a kind this version knows: {0}")]
    Unreadable(#[from] serde_json::Error),
    /// The bytes are a record, but not in the one form its hash is taken of.
    #[error("record {0} is not written in its canonical form")]
    NotCanonical(uuid::Uuid),
    /// A hash is not 64 hexadecimal digits.
    #[error("'{0}' is no SHA-256: it must be 64 hexadecimal digits")]
    BadHash(String),
}

/// A record with its canonical bytes and their hash; the three always agree.
#[derive(Clone, Debug, PartialEq)]
pub struct Sealed {
    record: Record,
    bytes: Vec<u8>,
    hash: Hash,
}

impl Hash {
    /// The hash of these bytes.
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }
}

impl Sealed {
    /// Seals a record.
    ///
    /// # Errors
    /// `Unreadable` where a number in the record can't be written (not finite).
    pub fn new(record: Record) -> Result<Self, BadRecord> {
        let bytes = serde_json::to_vec(&record)?;
        Self::from_bytes(bytes)
    }

    /// Takes canonical bytes from a store or a bundle.
    ///
    /// # Errors
    /// `Unreadable` where they are no record, `NotCanonical` where they would be written otherwise.
    pub fn from_bytes(bytes: Vec<u8>) -> Result<Self, BadRecord> {
        let record: Record = serde_json::from_slice(&bytes)?;
        if serde_json::to_vec(&record)? != bytes {
            return Err(BadRecord::NotCanonical(record.id));
        }
        let hash = Hash::of(&bytes);
        Ok(Self {
            record,
            bytes,
            hash,
        })
    }

    /// The record.
    pub fn record(&self) -> &Record {
        &self.record
    }

    /// Its canonical bytes.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// Their SHA-256.
    pub fn hash(&self) -> Hash {
        self.hash
    }
}

impl fmt::Display for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Hash({self})")
    }
}

impl FromStr for Hash {
    type Err = BadRecord;
    fn from_str(text: &str) -> Result<Self, BadRecord> {
        let bad = || BadRecord::BadHash(text.to_owned());
        if text.len() != 64 || !text.bytes().all(|b| b.is_ascii_hexdigit()) {
            return Err(bad());
        }
        let mut bytes = [0; 32];
        for (i, byte) in bytes.iter_mut().enumerate() {
            *byte = u8::from_str_radix(&text[2 * i..2 * i + 2], 16).map_err(|_| bad())?;
        }
        Ok(Self(bytes))
    }
}

impl TryFrom<String> for Hash {
    type Error = BadRecord;
    fn try_from(text: String) -> Result<Self, BadRecord> {
        text.parse()
    }
}

impl From<Hash> for String {
    fn from(hash: Hash) -> String {
        hash.to_string()
    }
}
