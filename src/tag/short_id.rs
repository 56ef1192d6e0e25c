//! Short ids: a few characters under the code, for keying in with gloves or a wedge scanner when
//! the code itself cannot be read.
//!
//! A short id follows from the tag's identifier alone (SHA-256, five bits of each byte written as
//! one symbol of Crockford's base 32), so
//! a label printed today stays right whatever pumps are added later. Its last character is the
//! check character of ISO/IEC 7064 MOD 37,36. Ids whose check character would be I, L, O or U
//! are passed over, so no character of a short id can be taken for another and O and I may be
//! keyed for 0 and 1.

use crate::say;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use sha2::{Digest, Sha256};
use thiserror::Error;

use super::payload::TagId;
use super::{base32, check_character};

/// Characters before the check character: as few as are unambiguous in the plant.
const LENGTHS: std::ops::RangeInclusive<usize> = 6..=8;

/// A short id that passed its check character, shown as `7K3M9P-X`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ShortId {
    body: String,
    check: char,
}

impl ShortId {
    fn of(tag: TagId, length: usize) -> Self {
        let mut round = 0_u32;
        loop {
            let hash = Sha256::new()
                .chain_update(tag.uuid().as_bytes())
                .chain_update(round.to_be_bytes())
                .finalize();
            let body: String = hash
                .iter()
                .take(length)
                .map(|&b| base32::symbol(b))
                .collect();
            if let Some(check) = check_character::of(&body).filter(|&c| base32::is_symbol(c)) {
                return Self { body, check };
            }
            round = round.wrapping_add(1);
        }
    }

    /// The short id an operator keyed in. Case, white space and dashes do not matter; O stands
    /// for 0, I and L for 1.
    pub fn parse(keyed: &str) -> Result<Self, KeyingError> {
        let mut symbols = Vec::new();
        for character in keyed.chars().filter(|c| !c.is_whitespace() && *c != '-') {
            let symbol = fold(character);
            if !base32::is_symbol(symbol) {
                return Err(KeyingError::NotUsed {
                    character,
                    place: symbols.len() + 1,
                });
            }
            symbols.push(symbol);
        }
        let length = symbols.len();
        let Some(check) = symbols.pop().filter(|_| LENGTHS.contains(&symbols.len())) else {
            return Err(KeyingError::WrongLength { length });
        };
        let id = Self {
            body: symbols.into_iter().collect(),
            check,
        };
        if check_character::of(&id.body) != Some(check) {
            return Err(KeyingError::WrongCheck {
                keyed: id.to_string(),
                suspect: None,
            });
        }
        Ok(id)
    }

    fn symbols(&self) -> impl Iterator<Item = char> {
        self.body.chars().chain([self.check])
    }
}

impl fmt::Display for ShortId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}", self.body, self.check)
    }
}

fn fold(character: char) -> char {
    match character.to_ascii_uppercase() {
        'O' => '0',
        'I' | 'L' => '1',
        other => other,
    }
}

/// The character of a keyed short id that is probably the wrong one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Suspect {
    /// Its place, the first being 1.
    pub place: usize,
    /// What was keyed there.
    pub character: char,
}

/// Why a keyed short id led to no tag.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum KeyingError {
    /// Too few or too many characters.
    #[error("{}", say!(
        "A short id has {least} to {most} characters and {length} were keyed. Key it again as printed under the code, the character after the dash too.",
        least = LENGTHS.start() + 1,
        most = LENGTHS.end() + 1,
        length
    ))]
    WrongLength {
        /// Characters keyed, without white space and dashes.
        length: usize,
    },
    /// A character no short id has.
    #[error("{}", say!(
        "Character {place} ('{character}') is never part of a short id. Look at it on the label and key the id again.",
        place,
        character = character.escape_debug()
    ))]
    NotUsed {
        /// The character as keyed.
        character: char,
        /// Its place, the first being 1.
        place: usize,
    },
    /// The check character does not fit the rest.
    #[error("{}", say!(
        "{keyed} is not right: {which}. Key it again as printed under the code.",
        keyed,
        which = where_wrong(*suspect)
    ))]
    WrongCheck {
        /// The id as it was understood.
        keyed: String,
        /// The character that is probably wrong, where one stands out.
        suspect: Option<Suspect>,
    },
    /// A sound id, but of no tag known here.
    #[error("{}", say!(
        "{id} is a sound short id, but no pump of the loaded pack has it. Load the newest pack, or ask the planner which plant the tag belongs to.",
        id
    ))]
    Unknown {
        /// The id as it was understood.
        id: ShortId,
    },
    /// Several tags share it: an old label that has been overtaken.
    #[error("{}", say!(
        "{id} stands for more than one pump. Scan the code instead, and ask the planner for a new label with a longer id.",
        id
    ))]
    Ambiguous {
        /// The id as it was understood.
        id: ShortId,
    },
}

fn where_wrong(suspect: Option<Suspect>) -> String {
    match suspect {
        Some(Suspect { place, character }) => {
            say!(
                "character {place} ('{character}') looks wrong",
                place,
                character
            )
        }
        None => say!("one of its characters is wrong or two have changed places").to_owned(),
    }
}

/// Why the short ids of a set of tags could not be laid out.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum ShortIdsError {
    /// One tag is in the set twice.
    #[error("{}", say!(
        "tag {tag} is given to two pumps: give one of them a new tag, then print its label again",
        tag
    ))]
    Doubled {
        /// The tag in question.
        tag: TagId,
    },
    /// Even the longest short id of this tag is another's too.
    #[error("{}", say!(
        "tag {tag} shares all its short ids with other tags: give its pump a new tag, then print its label again",
        tag
    ))]
    Collision {
        /// The tag in question.
        tag: TagId,
    },
}

/// The short ids of all the tags of a plant, each unambiguous among them.
#[derive(Clone, Debug, Default)]
pub struct ShortIds {
    printed: BTreeMap<TagId, ShortId>,
    tags: BTreeMap<ShortId, Owner>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Owner {
    One(TagId),
    Several,
}

impl ShortIds {
    /// Lays out the short ids of `tags`: the shortest length at which a tag's id is its own.
    pub fn new(tags: impl IntoIterator<Item = TagId>) -> Result<Self, ShortIdsError> {
        let mut all = BTreeSet::new();
        let mut owners = BTreeMap::new();
        for tag in tags {
            if !all.insert(tag) {
                return Err(ShortIdsError::Doubled { tag });
            }
            for length in LENGTHS {
                owners
                    .entry(ShortId::of(tag, length))
                    .and_modify(|owner| *owner = Owner::Several)
                    .or_insert(Owner::One(tag));
            }
        }
        let mut printed = BTreeMap::new();
        for tag in all {
            let own = LENGTHS
                .map(|length| ShortId::of(tag, length))
                .find(|id| owners.get(id) == Some(&Owner::One(tag)))
                .ok_or(ShortIdsError::Collision { tag })?;
            printed.insert(tag, own);
        }
        Ok(Self {
            printed,
            tags: owners,
        })
    }

    /// The short id to print on the label of `tag`; none if the tag is not in the set.
    pub fn printed(&self, tag: TagId) -> Option<&ShortId> {
        self.printed.get(&tag)
    }

    /// The tag whose short id was keyed in. Never a guess: where the check character does not
    /// fit, the error at most points at the character to look at again.
    pub fn find(&self, keyed: &str) -> Result<TagId, KeyingError> {
        let id = ShortId::parse(keyed).map_err(|error| self.with_suspect(error))?;
        match self.tags.get(&id) {
            Some(Owner::One(tag)) => Ok(*tag),
            Some(Owner::Several) => Err(KeyingError::Ambiguous { id }),
            None => Err(KeyingError::Unknown { id }),
        }
    }

    fn with_suspect(&self, error: KeyingError) -> KeyingError {
        match error {
            KeyingError::WrongCheck { keyed, .. } => {
                let suspect = self.suspect(&keyed);
                KeyingError::WrongCheck { keyed, suspect }
            }
            other => other,
        }
    }

    /// The one character in which `keyed` differs from exactly one known short id.
    fn suspect(&self, keyed: &str) -> Option<Suspect> {
        let keyed: Vec<char> = keyed.chars().filter(|c| *c != '-').collect();
        let mut near = self
            .printed
            .values()
            .filter_map(|id| only_difference(id, &keyed));
        let first = near.next();
        first.filter(|_| near.next().is_none())
    }
}

fn only_difference(id: &ShortId, keyed: &[char]) -> Option<Suspect> {
    if id.symbols().count() != keyed.len() {
        return None;
    }
    let mut wrong = id
        .symbols()
        .zip(keyed)
        .enumerate()
        .filter(|(_, (right, keyed))| right != *keyed)
        .map(|(index, (_, &character))| Suspect {
            place: index + 1,
            character,
        });
    let first = wrong.next();
    first.filter(|_| wrong.next().is_none())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::collections::HashMap;
    use uuid::Uuid;

    fn tag(number: u128) -> TagId {
        TagId::new(Uuid::from_u128(number))
    }

    /// Two tags whose shortest ids are the same, found by trying one number after another.
    fn two_that_collide() -> (TagId, TagId) {
        let mut seen = HashMap::new();
        (0..)
            .map(tag)
            .find_map(|new| Some((seen.insert(ShortId::of(new, 6), new)?, new)))
            .unwrap()
    }

    #[test]
    fn a_short_id_has_six_characters_a_dash_and_a_check_character() {
        let ids = ShortIds::new([tag(1), tag(2)]).unwrap();
        let printed = ids.printed(tag(1)).unwrap().to_string();
        assert_eq!(printed.len(), 8);
        assert_eq!(printed.find('-'), Some(6));
    }

    #[test]
    fn five_hundred_pumps_each_get_their_own_short_id() {
        let tags: Vec<TagId> = (0..500).map(tag).collect();
        let ids = ShortIds::new(tags.iter().copied()).unwrap();
        for tag in tags {
            assert_eq!(ids.find(&ids.printed(tag).unwrap().to_string()), Ok(tag));
        }
    }

    #[test]
    fn keying_forgives_case_spaces_dashes_and_letters_that_look_like_digits() {
        let ids = ShortIds::new((0..200).map(tag)).unwrap();
        for number in 0..200 {
            let printed = ids.printed(tag(number)).unwrap().to_string();
            let sloppy = printed.to_lowercase().replace('0', "o").replace('1', "l");
            let spaced = format!(" {} - {} ", &sloppy[..3], &sloppy[3..]);
            assert_eq!(ids.find(&spaced), Ok(tag(number)));
        }
    }

    #[test]
    fn a_wrong_character_is_pointed_at_and_opens_nothing() {
        let ids = ShortIds::new([tag(1), tag(2), tag(3)]).unwrap();
        let printed = ids.printed(tag(2)).unwrap().to_string();
        let wrong = if printed.as_bytes()[2] == b'7' {
            "8"
        } else {
            "7"
        };
        let mut keyed = printed;
        keyed.replace_range(2..=2, wrong);
        let error = ids.find(&keyed).unwrap_err();
        let suspect = Suspect {
            place: 3,
            character: wrong.chars().next().unwrap(),
        };
        assert_eq!(
            error,
            KeyingError::WrongCheck {
                keyed,
                suspect: Some(suspect)
            }
        );
        let sentence = format!("character 3 ('{wrong}') looks wrong. Key it again");
        assert!(error.to_string().contains(&sentence), "{error}");
    }

    #[test]
    fn keying_too_little_or_a_character_never_used_is_told() {
        let ids = ShortIds::new([tag(1)]).unwrap();
        assert_eq!(ids.find(" "), Err(KeyingError::WrongLength { length: 0 }));
        assert_eq!(ids.find("ABC"), Err(KeyingError::WrongLength { length: 3 }));
        let length = 30;
        assert_eq!(
            ids.find(&"A".repeat(length)),
            Err(KeyingError::WrongLength { length })
        );
        assert_eq!(
            ids.find("AB?"),
            Err(KeyingError::NotUsed {
                character: '?',
                place: 3
            })
        );
        assert_eq!(
            ids.find("ABU"),
            Err(KeyingError::NotUsed {
                character: 'U',
                place: 3
            })
        );
    }

    #[test]
    fn a_sound_id_of_another_plant_is_unknown_here() {
        let ids = ShortIds::new([tag(1)]).unwrap();
        let id = ShortId::of(tag(2), 6);
        assert_eq!(ids.find(&id.to_string()), Err(KeyingError::Unknown { id }));
    }

    #[test]
    fn tags_that_collide_get_longer_ids_and_the_old_id_opens_neither() {
        let (first, second) = two_that_collide();
        let ids = ShortIds::new([first, second]).unwrap();
        for tag in [first, second] {
            let printed = ids.printed(tag).unwrap().to_string();
            assert_eq!(printed.len(), 9);
            assert_eq!(ids.find(&printed), Ok(tag));
        }
        let id = ShortId::of(first, 6);
        assert_eq!(
            ids.find(&id.to_string()),
            Err(KeyingError::Ambiguous { id })
        );
    }

    #[test]
    fn one_tag_on_two_pumps_is_refused() {
        let doubled = ShortIds::new([tag(1), tag(2), tag(1)]).unwrap_err();
        assert_eq!(doubled, ShortIdsError::Doubled { tag: tag(1) });
    }

    proptest! {
        #[test]
        fn every_single_wrong_character_is_caught(
            number: u128, place in 0_usize..7, wrong in "[0-9A-HJKMNP-TV-Z]"
        ) {
            let id = ShortId::of(tag(number), 6);
            let mut keyed: String = id.symbols().collect();
            keyed.replace_range(place..=place, &wrong);
            prop_assume!(!id.symbols().eq(keyed.chars()));
            let caught = matches!(ShortId::parse(&keyed), Err(KeyingError::WrongCheck { .. }));
            prop_assert!(caught);
        }

        #[test]
        fn any_keying_at_all_is_taken_calmly(keyed: String) {
            let _ = ShortId::parse(&keyed).map_err(|error| error.to_string());
        }
    }
}
