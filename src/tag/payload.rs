//! What is in a tag's code: an identification link in the manner of IEC 61406-1, one URL for one
//! object in the world, never used again for another.
//!
//! `HTTPS://<HOST>/A/<26 symbols>-<check>`, all in capitals so that the QR code can use its
//! compact alphanumeric mode. The host is the plant's own; the link is resolved here and never
//! opened. The check character is that of ISO/IEC 7064 MOD 37,36 over the 26 symbols.

use crate::say;
use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};
use thiserror::Error;
use uuid::Uuid;

use super::{base32, check_character};

const SCHEME: &str = "HTTPS://";
const PATH: &str = "/A/";

/// The identifier in a tag: 128 bits, written as 26 capital symbols of Crockford's base 32.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(into = "String", try_from = "String")]
pub struct TagId(Uuid);

impl TagId {
    /// The identifier that is this UUID.
    pub const fn new(uuid: Uuid) -> Self {
        Self(uuid)
    }

    /// The UUID this identifier is.
    pub const fn uuid(self) -> Uuid {
        self.0
    }
}

impl fmt::Display for TagId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&base32::encode_128(self.0.as_u128()))
    }
}

/// A text that is not a tag identifier.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("{}", say!(
    "'{text}' is not a tag identifier: it takes 26 characters from 0-9 and A-Z without I, L, O and U, the first no higher than 7; copy it again from the tag list",
    text = _0
))]
pub struct TagIdError(String);

impl FromStr for TagId {
    type Err = TagIdError;

    fn from_str(text: &str) -> Result<Self, TagIdError> {
        base32::decode_128(&text.to_ascii_uppercase())
            .map(|number| Self(Uuid::from_u128(number)))
            .ok_or_else(|| TagIdError(text.to_owned()))
    }
}

impl TryFrom<String> for TagId {
    type Error = TagIdError;

    fn try_from(text: String) -> Result<Self, TagIdError> {
        text.parse()
    }
}

impl From<TagId> for String {
    fn from(id: TagId) -> Self {
        id.to_string()
    }
}

/// The plant's own host name, in capitals: what sets its tags apart from another plant's.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(into = "String", try_from = "String")]
pub struct Host(String);

impl Host {
    /// Longest host name in characters. Longer ones would need a QR code above version 6, with
    /// modules too small to read at arm's length from a label of the usual size.
    pub const MAX_LENGTH: usize = 45;

    /// The host named `name`, in whatever case, by the rules of RFC 1123: labels of letters,
    /// digits and inner hyphens, separated by dots.
    pub fn new(name: &str) -> Result<Self, HostError> {
        let name = name.trim().to_ascii_uppercase();
        if name.len() > Self::MAX_LENGTH {
            return Err(HostError::TooLong {
                length: name.len(),
                name,
            });
        }
        if !name.split('.').all(is_host_label) {
            return Err(HostError::NotAHost { name });
        }
        Ok(Self(name))
    }
}

fn is_host_label(label: &str) -> bool {
    (1..=63).contains(&label.len())
        && !label.starts_with('-')
        && !label.ends_with('-')
        && label
            .bytes()
            .all(|b| b.is_ascii_alphanumeric() || b == b'-')
}

impl fmt::Display for Host {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl TryFrom<String> for Host {
    type Error = HostError;

    fn try_from(name: String) -> Result<Self, HostError> {
        Self::new(&name)
    }
}

impl From<Host> for String {
    fn from(host: Host) -> Self {
        host.0
    }
}

/// A name that cannot be a plant's host.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum HostError {
    /// Not a host name at all.
    #[error("{}", say!(
        "the plant's host '{name}' is not a host name: use letters, digits, dots and inner hyphens, without a scheme or a path",
        name
    ))]
    NotAHost {
        /// The name as given, in capitals.
        name: String,
    },
    /// A host name that makes the code too dense.
    #[error("{}", say!(
        "the plant's host '{name}' has {length} characters; a tag that reads at arm's length takes at most {max}: use a shorter name",
        name,
        length,
        max = Host::MAX_LENGTH
    ))]
    TooLong {
        /// The name as given, in capitals.
        name: String,
        /// Its length in characters.
        length: usize,
    },
}

/// The text for the code of tag `id` in the plant of `host`.
pub fn payload(host: &Host, id: TagId) -> String {
    let id = id.to_string();
    // Base 32 symbols are all within the check character's alphabet, so there is always one.
    let check = check_character::of(&id)
        .map(String::from)
        .unwrap_or_default();
    format!("{SCHEME}{host}{PATH}{id}-{check}")
}

/// What a scanned or keyed-in text turned out to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reading {
    /// A tag of this plant.
    Ours(TagId),
    /// A sound tag, but of another plant.
    OtherPlant {
        /// The other plant's host.
        host: Host,
        /// The identifier in the tag.
        id: TagId,
    },
    /// This plant's form, but the identifier is not whole or its check character does not fit.
    BadCheck {
        /// The text as read, without surrounding white space.
        text: String,
    },
    /// Anything else, such as the maker's own code on a nameplate.
    Foreign(String),
}

impl Reading {
    /// Tells what `text` is for the plant whose host is `own`. Case and surrounding white space
    /// do not matter.
    pub fn of(text: &str, own: &Host) -> Self {
        let text = text.trim();
        let capitals = text.to_ascii_uppercase();
        let foreign = || Self::Foreign(text.to_owned());
        let Some((host, tail)) = capitals
            .strip_prefix(SCHEME)
            .and_then(|rest| rest.split_once(PATH))
        else {
            return foreign();
        };
        let Ok(host) = Host::new(host) else {
            return foreign();
        };
        match (checked_id(tail), host == *own) {
            (Some(id), true) => Self::Ours(id),
            (Some(id), false) => Self::OtherPlant { host, id },
            (None, true) => Self::BadCheck {
                text: text.to_owned(),
            },
            (None, false) => foreign(),
        }
    }
}

fn checked_id(tail: &str) -> Option<TagId> {
    let (id, check) = tail.split_once('-')?;
    let expected = check_character::of(id)?;
    let fits = check.chars().eq([expected]);
    fits.then(|| id.parse().ok()).flatten()
}

impl fmt::Display for Reading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sentence = match self {
            Self::Ours(id) => say!("A tag of this plant: {id}.", id),
            Self::OtherPlant { host, .. } => say!(
                "This is a tag of another plant ({host}). Check that you are at the right pump and have the right pack loaded.",
                host
            ),
            Self::BadCheck { .. } => say!(
                "The tag was not read whole: its check character does not fit. Wipe the label and scan it again, or key in the short id under the code."
            )
            .to_owned(),
            Self::Foreign(text) => say!(
                "This code is not one of this plant's tags. It says: {text}",
                text = text.escape_debug()
            ),
        };
        f.write_str(&sentence)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn own() -> Host {
        Host::new("tags.kestrel-ness.example").unwrap()
    }

    fn id() -> TagId {
        TagId::new(Uuid::parse_str("0190f3a1-7c2e-7b4d-9a5f-3e6d1c8b2a47").unwrap())
    }

    #[test]
    fn a_payload_is_a_link_in_capitals_with_a_check_character() {
        // The check character computed with python-stdnum 2.2 (iso7064.mod_37_36).
        assert_eq!(
            payload(&own(), id()),
            "HTTPS://TAGS.KESTREL-NESS.EXAMPLE/A/01J3ST2Z1EFD6SMQSYDME8PAJ7-X"
        );
    }

    #[test]
    fn a_payload_stays_within_the_alphanumeric_mode_of_qr_codes() {
        // ISO/IEC 18004, table of the alphanumeric mode's 45 characters.
        let allowed = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";
        assert!(payload(&own(), id()).chars().all(|c| allowed.contains(c)));
    }

    #[test]
    fn a_tag_of_this_plant_is_known_in_any_case_and_with_white_space() {
        let text = payload(&own(), id());
        for text in [text.clone(), text.to_lowercase(), format!("  {text}\r\n")] {
            assert_eq!(Reading::of(&text, &own()), Reading::Ours(id()));
        }
    }

    #[test]
    fn a_tag_of_another_plant_is_told_apart() {
        let host = Host::new("tags.other-mill.example").unwrap();
        let reading = Reading::of(&payload(&host, id()), &own());
        assert_eq!(reading, Reading::OtherPlant { host, id: id() });
    }

    #[test]
    fn a_wrong_check_character_is_not_taken_for_a_tag() {
        let text = payload(&own(), id()).replace("J7-", "J8-");
        assert_eq!(Reading::of(&text, &own()), Reading::BadCheck { text });
    }

    #[test]
    fn a_tag_cut_short_is_a_bad_check() {
        let whole = payload(&own(), id());
        for end in whole.len() - 27..whole.len() {
            let text = whole[..end].to_owned();
            assert_eq!(Reading::of(&text, &own()), Reading::BadCheck { text });
        }
    }

    #[test]
    fn other_texts_are_foreign_and_kept_as_they_are() {
        for text in [
            "",
            "SN 4711-B",
            "https://tags.kestrel-ness.example/manual.pdf",
            "https:///A/01J3ST2Z1EFD6SMQSYDME8PAJ7-X",
            "http://tags.kestrel-ness.example/A/01J3ST2Z1EFD6SMQSYDME8PAJ7-X",
            "HTTPS://TAGS.OTHER-MILL.EXAMPLE/A/01J3ST2Z1EFD6SMQSYDME8PAJ7-5",
            "ünïcödé \u{1d} ☃",
        ] {
            assert_eq!(Reading::of(text, &own()), Reading::Foreign(text.to_owned()));
        }
    }

    #[test]
    fn a_host_must_be_a_host_name_short_enough_for_the_label() {
        assert!(matches!(
            Host::new("https://a.example"),
            Err(HostError::NotAHost { .. })
        ));
        assert!(matches!(Host::new("a..b"), Err(HostError::NotAHost { .. })));
        assert!(matches!(Host::new(""), Err(HostError::NotAHost { .. })));
        assert!(matches!(
            Host::new(&"a".repeat(46)),
            Err(HostError::TooLong { length: 46, .. })
        ));
    }

    #[test]
    fn an_identifier_is_stored_as_its_26_characters() {
        let json = serde_json::to_string(&id()).unwrap();
        assert_eq!(json, "\"01J3ST2Z1EFD6SMQSYDME8PAJ7\"");
        assert_eq!(serde_json::from_str::<TagId>(&json).unwrap(), id());
        let error = serde_json::from_str::<TagId>("\"01J3\"").unwrap_err();
        assert!(error.to_string().contains("'01J3' is not a tag identifier"));
    }

    proptest! {
        #[test]
        fn every_identifier_comes_back(number: u128) {
            let id = TagId::new(Uuid::from_u128(number));
            prop_assert_eq!(Reading::of(&payload(&own(), id), &own()), Reading::Ours(id));
        }

        #[test]
        fn no_single_wrong_character_opens_another_pump(
            number: u128, place in 0_usize..26, wrong in "[0-9A-Z]"
        ) {
            let id = TagId::new(Uuid::from_u128(number));
            let good = payload(&own(), id);
            let place = good.len() - 28 + place;
            let mut text = good.clone();
            text.replace_range(place..=place, &wrong);
            prop_assume!(text != good);
            prop_assert_eq!(Reading::of(&text, &own()), Reading::BadCheck { text });
        }

        #[test]
        fn any_text_at_all_is_taken_calmly(text: String) {
            let _ = Reading::of(&text, &own()).to_string();
        }
    }
}
