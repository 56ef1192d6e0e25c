//! What is known about a pump's signs.

use super::{Feature, Sign, Trouble};
use std::collections::{BTreeMap, BTreeSet};

/// A part that a sign was seen at, of which a pump may have several.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum AtPart {
    /// A bearing of the pump or its driver.
    Bearing {
        /// Which; any number that tells them apart.
        number: usize,
        /// How it is lubricated: oil, grease or forced feed; `None` where it is sealed.
        lubricated: Option<Feature>,
    },
    /// A gland or seal of the shaft.
    Seal {
        /// Which; any number that tells them apart.
        number: usize,
    },
}

impl AtPart {
    /// Such a part can have this trouble by itself.
    pub(super) fn can_have(self, trouble: &Trouble) -> bool {
        match self {
            AtPart::Bearing { lubricated, .. } => {
                let mut needed = trouble.needs.iter().chain(&trouble.needs_one);
                trouble.of_one_bearing && needed.any(|feature| Some(*feature) == lubricated)
            }
            AtPart::Seal { .. } => trouble.at_gland,
        }
    }

    pub(super) fn is_bearing(self) -> bool {
        matches!(self, AtPart::Bearing { .. })
    }

    /// Another of its like: what is seen at that one says nothing of this.
    pub(super) fn is_like(self, other: Self) -> bool {
        self != other && self.is_bearing() == other.is_bearing()
    }
}

/// One sign known to be present or absent.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Evidence {
    /// Which sign.
    pub sign: Sign,
    /// Present or absent.
    pub present: bool,
    /// Where it came from, in words: an entry, a trend, a computed result.
    pub origin: String,
    /// The bearing or seal it was seen at, where it was one.
    pub part: Option<AtPart>,
    /// It was seen in an earlier visit, and not looked at again. It counts only where nothing later tells of the sign.
    pub earlier: bool,
}

impl Evidence {
    /// The sign is present.
    pub fn present(sign: Sign, origin: impl Into<String>) -> Self {
        Self {
            sign,
            present: true,
            origin: origin.into(),
            part: None,
            earlier: false,
        }
    }

    /// The sign is absent.
    pub fn absent(sign: Sign, origin: impl Into<String>) -> Self {
        Self {
            sign,
            present: false,
            origin: origin.into(),
            part: None,
            earlier: false,
        }
    }

    /// The same, seen at a bearing or seal, where it was one.
    pub fn at(self, part: Option<AtPart>) -> Self {
        Self { part, ..self }
    }

    /// The same, seen in an earlier visit.
    pub fn seen_before(self) -> Self {
        Self {
            earlier: true,
            ..self
        }
    }
}

/// Evidence without repetition, in the order of the signs.
pub(super) struct Known {
    /// Present or absent, and where that came from.
    pub signs: BTreeMap<Sign, (bool, Vec<String>)>,
    /// Told both ways, and so left out.
    pub contradicted: Vec<Sign>,
    /// Told of bearings or seals, but not of each that something is wrong at.
    elsewhere: BTreeSet<Sign>,
    /// Told by an earlier visit alone.
    pub earlier: BTreeSet<Sign>,
}

impl Known {
    /// Sorts evidence out: a sign told both ways is left out; a sign present makes the other answers of its reading
    /// absent, unless they too are told to be present. What an earlier visit told counts where nothing later does.
    pub fn from_evidence<'e>(evidence: impl IntoIterator<Item = &'e Evidence>) -> Self {
        let evidence: Vec<&Evidence> = evidence.into_iter().collect();
        let (before, now): (Vec<&Evidence>, Vec<&Evidence>) =
            evidence.iter().copied().partition(|told| told.earlier);
        let (mut signs, contradicted) = sorted_out(&now);
        let mut earlier = BTreeSet::new();
        for (sign, told) in sorted_out(&before).0 {
            if !signs.contains_key(&sign) && !contradicted.contains(&sign) {
                earlier.insert(sign);
                signs.insert(sign, told);
            }
        }
        Self {
            signs,
            contradicted,
            elsewhere: elsewhere(&evidence),
            earlier,
        }
    }

    /// The check that shows this sign has been made, or its question answered; of bearings and seals, at each that
    /// something is wrong at: the oil of one tells nothing of another's. What an earlier visit made is to be made anew.
    pub fn is_made(&self, sign: Sign) -> bool {
        self.signs
            .keys()
            .chain(&self.contradicted)
            .filter(|known| !self.elsewhere.contains(known) && !self.earlier.contains(known))
            .any(|known| known.same_check(sign))
    }
}

/// Present or absent, and where that came from, by sign; and the signs told both ways.
type SortedOut = (BTreeMap<Sign, (bool, Vec<String>)>, Vec<Sign>);

fn sorted_out(evidence: &[&Evidence]) -> SortedOut {
    let mut told: BTreeMap<Sign, [BTreeSet<&str>; 2]> = BTreeMap::new();
    for item in evidence {
        told.entry(item.sign).or_default()[usize::from(item.present)].insert(&item.origin);
    }
    let mut signs: BTreeMap<Sign, (bool, Vec<String>)> = BTreeMap::new();
    let mut contradicted = Vec::new();
    for (&sign, [absent, present]) in &told {
        match (absent.is_empty(), present.is_empty()) {
            (false, false) => contradicted.push(sign),
            (_, no_present) => {
                let origins = if no_present { absent } else { present };
                let origins = origins.iter().map(|&origin| origin.to_owned()).collect();
                signs.insert(sign, (!no_present, origins));
            }
        }
    }
    let seen: Vec<(Sign, Vec<String>)> = signs
        .iter()
        .filter(|(_, (present, _))| *present)
        .map(|(&sign, (_, origins))| (sign, origins.clone()))
        .collect();
    for &sign in Sign::ALL {
        if told.contains_key(&sign) {
            continue;
        }
        let mut origins: Vec<String> = seen
            .iter()
            .filter(|(other, _)| other.excludes(sign))
            .flat_map(|(_, origins)| origins.clone())
            .collect();
        if !origins.is_empty() {
            origins.sort();
            origins.dedup();
            signs.insert(sign, (false, origins));
        }
    }
    (signs, contradicted)
}

/// The signs told of bearings or seals, but not of each that something is wrong at.
fn elsewhere(evidence: &[&Evidence]) -> BTreeSet<Sign> {
    let mut at: BTreeMap<Sign, BTreeSet<Option<AtPart>>> = BTreeMap::new();
    let mut in_trouble: BTreeSet<AtPart> = BTreeSet::new();
    for item in evidence {
        at.entry(item.sign).or_default().insert(item.part);
        in_trouble.extend(item.part.filter(|_| item.present));
    }
    at.retain(|_, parts| {
        let mut others = in_trouble
            .iter()
            .filter(|part| !parts.contains(&Some(**part)));
        let is_of_its_like =
            |other: &AtPart| parts.iter().flatten().any(|part| part.is_like(*other));
        !parts.contains(&None) && others.any(is_of_its_like)
    });
    at.into_keys().collect()
}
