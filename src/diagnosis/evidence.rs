//! What is known about a pump's signs.

use super::{Feature, Sign, Trouble};
use std::collections::{BTreeMap, BTreeSet};

/// A bearing that a sign was seen at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct AtBearing {
    /// Which of the pump's and its driver's; any number that tells them apart.
    pub number: usize,
    /// How it is lubricated: oil, grease or forced feed; `None` where it is sealed.
    pub lubricated: Option<Feature>,
}

impl AtBearing {
    /// A bearing lubricated so can have this trouble.
    pub(super) fn can_have(self, trouble: &Trouble) -> bool {
        let mut needed = trouble.needs.iter().chain(&trouble.needs_one);
        needed.any(|feature| Some(*feature) == self.lubricated)
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
    /// The bearing it was seen at, where it was one.
    pub bearing: Option<AtBearing>,
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
            bearing: None,
            earlier: false,
        }
    }

    /// The sign is absent.
    pub fn absent(sign: Sign, origin: impl Into<String>) -> Self {
        Self {
            sign,
            present: false,
            origin: origin.into(),
            bearing: None,
            earlier: false,
        }
    }

    /// The same, seen at a bearing, where it was one.
    pub fn at(self, bearing: Option<AtBearing>) -> Self {
        Self { bearing, ..self }
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
    /// Told of bearings, but not of each that something is wrong at.
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

    /// The check that shows this sign has been made, or its question answered; of bearings, at each that something is
    /// wrong at: the oil of one tells nothing of another's. What an earlier visit made is to be made anew.
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

/// The signs told of bearings, but not of each that something is wrong at.
fn elsewhere(evidence: &[&Evidence]) -> BTreeSet<Sign> {
    let mut at: BTreeMap<Sign, BTreeSet<Option<AtBearing>>> = BTreeMap::new();
    let mut in_trouble: BTreeSet<Option<AtBearing>> = BTreeSet::new();
    for item in evidence {
        at.entry(item.sign).or_default().insert(item.bearing);
        if item.present && item.bearing.is_some() {
            in_trouble.insert(item.bearing);
        }
    }
    at.retain(|_, places| !places.contains(&None) && !places.is_superset(&in_trouble));
    at.into_keys().collect()
}
