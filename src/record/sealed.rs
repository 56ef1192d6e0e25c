//! A record with its canonical bytes and their hash.

use super::Record;
use crate::say;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::{fmt, io, str::FromStr};

/// A SHA-256, written as 64 hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Hash(pub [u8; 32]);

/// A record that can't be taken as one.
#[derive(Debug, thiserror::Error)]
pub enum BadRecord {
    /// The bytes are no record.
    #[error("{}", say!("this is no record of a kind this version knows: {why}", why = _0))]
    Unreadable(#[from] serde_json::Error),
    /// The bytes are a record, but not in the one form its hash is taken of.
    #[error("{}", say!("record {record} is not written in its canonical form", record = _0))]
    NotCanonical(uuid::Uuid),
    /// A hash is not 64 hexadecimal digits.
    #[error("{}", say!("'{text}' is no SHA-256: it must be 64 hexadecimal digits, letters small", text = _0))]
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

/// Takes the hash of bytes as they come.
#[derive(Clone, Debug, Default)]
pub struct Hasher(Sha256);

impl Hasher {
    /// The hash of all bytes written so far.
    pub fn finish(self) -> Hash {
        Hash(self.0.finalize().into())
    }
}

impl io::Write for Hasher {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.update(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
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
        if text.len() != 64 || !text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f')) {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        check::Entered,
        judge::{Judgement, Reason, Verdict},
        plant::{CheckId, CheckKind, Place, Unit},
        record::{Body, EntryMade, Origin, Stamp, VisitClosed},
    };
    use proptest::prelude::*;
    use uuid::Uuid;

    const ORIGIN: Origin = Origin(Uuid::from_u128(1));

    fn record(by: &str, body: Body) -> Record {
        Record {
            origin: ORIGIN,
            seq: 3,
            id: Uuid::from_u128(2),
            at: Stamp {
                utc_ms: 1_772_431_200_000,
                offset_min: -90,
            },
            by: by.to_owned(),
            body,
        }
    }

    fn closed() -> Body {
        Body::VisitClosed(VisitClosed {
            visit: Uuid::from_u128(4),
        })
    }

    /// Source: FIPS 180-4 example, SHA-256 of "abc" (NIST, Cryptographic Standards and Guidelines, SHA256.pdf).
    #[test]
    fn a_hash_is_sha_256() {
        let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(Hash::of(b"abc").to_string(), abc);
        assert_eq!(abc.parse::<Hash>().unwrap(), Hash::of(b"abc"));
        for bad in ["", "ba78", &"g".repeat(64), &"é".repeat(32)] {
            assert!(bad.parse::<Hash>().is_err(), "{bad}");
        }
    }

    /// The form is pinned: stores and bundles that are out there were hashed in it.
    #[test]
    fn the_canonical_form_stays_as_it_is() {
        let sealed = Sealed::new(record("Å. Tester", closed())).unwrap();
        let expected = concat!(
            r#"{"origin":"00000000-0000-0000-0000-000000000001","seq":3,"#,
            r#""id":"00000000-0000-0000-0000-000000000002","#,
            r#""at":{"utc_ms":1772431200000,"offset_min":-90},"by":"Å. Tester","#,
            r#""body":{"kind":"visit_closed","visit":"00000000-0000-0000-0000-000000000004"}}"#
        );
        assert_eq!(std::str::from_utf8(sealed.bytes()).unwrap(), expected);
        assert_eq!(sealed.record().body.kind(), "visit_closed");
    }

    #[test]
    fn another_way_to_write_the_same_record_is_refused() {
        let canonical = Sealed::new(record("T", closed())).unwrap();
        let text = String::from_utf8(canonical.bytes().to_vec()).unwrap();
        for other in [
            text.replace("\"seq\":3", "\"seq\": 3"),
            text.replace("\"by\":\"T\"", "\"by\":\"\\u0054\""),
            text.replace(
                "00000000-0000-0000-0000-000000000004",
                "00000000000000000000000000000004",
            ),
            text.clone() + "\n",
        ] {
            let refused = Sealed::from_bytes(other.clone().into_bytes());
            assert!(
                matches!(refused, Err(BadRecord::NotCanonical(_))),
                "{other}"
            );
        }
        for not_one in [
            text.replace("\"seq\":3", "\"seq\":3,\"more\":1"),
            text.replace("visit_closed", "visit_moved"),
            text.replace("\"seq\":3", "\"seq\":-3"),
            text[..text.len() - 1].to_owned(),
        ] {
            let refused = Sealed::from_bytes(not_one.clone().into_bytes());
            assert!(
                matches!(refused, Err(BadRecord::Unreadable(_))),
                "{not_one}"
            );
        }
    }

    fn reading(value: f64) -> Body {
        Body::EntryMade(Box::new(EntryMade {
            visit: Uuid::from_u128(4),
            pump: "P-1".parse().unwrap(),
            check: CheckId::new(CheckKind::SuctionPressure, Place::Suction),
            running: None,
            seen_at: Stamp {
                utc_ms: 0,
                offset_min: 0,
            },
            entered: Entered::Number {
                value,
                unit: Unit::Bar,
            },
            limits: None,
            previous: None,
            judgement: Judgement {
                verdict: Verdict::Watch,
                reasons: vec![Reason::Above {
                    verdict: Verdict::Watch,
                    bound: value,
                }],
            },
            hands_off: false,
            finding: None,
        }))
    }

    #[test]
    fn a_number_that_is_none_can_not_be_sealed() {
        for value in [f64::NAN, f64::INFINITY] {
            assert!(Sealed::new(record("T", reading(value))).is_err());
        }
    }

    proptest! {
        /// Numbers to the last bit, and any words.
        #[test]
        fn what_is_sealed_reads_back_the_same(value in any::<f64>().prop_filter("finite", |v| v.is_finite()), by in any::<String>()) {
            let sealed = Sealed::new(record(&by, reading(value))).unwrap();
            prop_assert_eq!(&Sealed::from_bytes(sealed.bytes().to_vec()).unwrap(), &sealed);
            let Body::EntryMade(entry) = &sealed.record().body else { unreachable!() };
            let (read, _) = entry.entered.measured().unwrap();
            prop_assert_eq!(read.to_bits(), value.to_bits());
        }
    }
}
