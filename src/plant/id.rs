//! Short ids that people read, type and find in file names.

use crate::{language, say, word};
use serde::{Deserialize, Serialize};
use std::{fmt, str::FromStr};

/// An id that can't be used, with the reason in words.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", say!(
    "the {what} id '{text}' can't be used: 1 to 24 letters, digits and dashes, starting with a letter or digit",
    what = language::word(what), text
))]
pub struct BadId {
    /// Which kind of id: plant, area, pump or round.
    pub what: &'static str,
    /// What was given.
    pub text: String,
}

fn is_good(text: &str) -> bool {
    (1..=24).contains(&text.len())
        && text.starts_with(|c: char| c.is_ascii_alphanumeric())
        && text.chars().all(|c| c.is_ascii_alphanumeric() || c == '-')
}

macro_rules! short_id {
    ($(#[$doc:meta])* $name:ident, $what:expr) => {
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(try_from = "String", into = "String")]
        pub struct $name(String);

        impl $name {
            /// The id as text.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl FromStr for $name {
            type Err = BadId;
            fn from_str(text: &str) -> Result<Self, BadId> {
                Self::try_from(text.to_owned())
            }
        }

        impl TryFrom<String> for $name {
            type Error = BadId;
            fn try_from(text: String) -> Result<Self, BadId> {
                if is_good(&text) {
                    Ok(Self(text))
                } else {
                    Err(BadId { what: $what, text })
                }
            }
        }

        impl From<$name> for String {
            fn from(id: $name) -> String {
                id.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}

short_id!(
    /// A plant's id, for example `kestrel-ness`.
    PlantId,
    word!("plant")
);
short_id!(
    /// An area's id, for example `stock`.
    AreaId,
    word!("area")
);
short_id!(
    /// A pump's number in the plant's register, for example `ST-104A`.
    PumpId,
    word!("pump")
);
short_id!(
    /// A round's id, for example `wet-end`.
    RoundId,
    word!("round")
);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_is_letters_digits_and_dashes() {
        for good in ["ST-104A", "7", "kestrel-ness"] {
            assert!(good.parse::<PumpId>().is_ok(), "{good}");
        }
        for bad in ["", "-1", "a b", "a/b", "..", "abcdefghijklmnopqrstuvwxy"] {
            assert!(bad.parse::<PumpId>().is_err(), "{bad}");
        }
    }
}
