//! Which causes fit, in order, and why.

use super::evidence::Known;
use super::telling::{self, Telling};
use super::{Build, Evidence, Knowledge, Sign, Trouble, Weight};
use crate::formula::Formula;

/// How causes are ordered.
pub const RANKING: Formula = Formula {
    name: "signs for and against each trouble, weighed by strength class",
    source: "signs: as named at each; strength classes: common practice, no source",
};

/// How well a cause fits what is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// A sign shows the trouble itself.
    Proved,
    /// Strong signs for it outweigh what speaks against it.
    FitsWell,
    /// More speaks for it than against it.
    Fits,
}

impl Standing {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Proved => "seen to be there",
            Self::FitsWell => "fits well",
            Self::Fits => "fits",
        }
    }
}

/// One sign as it speaks about one trouble.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spoken<'k> {
    /// The sign.
    pub sign: Sign,
    /// Present or absent.
    pub present: bool,
    /// How strongly it speaks.
    pub weight: Weight,
    /// Where the evidence came from.
    pub origins: Vec<String>,
    /// Source of sign and trouble going together.
    pub source: &'k str,
}

impl Spoken<'_> {
    /// In words, for example "no leak-off" or "not so: gland hot".
    pub fn words(&self) -> String {
        if self.present {
            self.sign.words().to_owned()
        } else {
            format!("not so: {}", self.sign.words())
        }
    }
}

/// A cause that fits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cause<'k> {
    /// What it is and what to do.
    pub trouble: &'k Trouble,
    /// How well it fits.
    pub standing: Standing,
    /// What speaks for it, strongest first.
    pub speaks_for: Vec<Spoken<'k>>,
    /// What speaks against it, strongest first.
    pub speaks_against: Vec<Spoken<'k>>,
}

/// A cause that cannot be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RuledOut<'k> {
    /// What it would be.
    pub trouble: &'k Trouble,
    /// What rules it out.
    pub by: Vec<Spoken<'k>>,
}

/// What the evidence comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnosis<'k> {
    /// Causes that fit, best first; empty where nothing fits yet.
    pub fitting: Vec<Cause<'k>>,
    /// Causes ruled out that something else speaks for.
    pub ruled_out: Vec<RuledOut<'k>>,
    /// What to check next.
    pub telling: Telling<'k>,
    /// Pairs among the first four causes in question that no check left tells apart.
    pub alike: Vec<[&'k Trouble; 2]>,
    /// Signs told to be both present and absent, and so left out: look again.
    pub contradicted: Vec<Sign>,
}

impl Diagnosis<'_> {
    /// The first line of the page.
    pub fn summary(&self) -> String {
        match self.fitting.as_slice() {
            [] => "Nothing fits yet.".to_owned(),
            [only] => format!("Only one fits: {}.", only.trouble.words),
            [first, rest @ ..] => format!("First of {}: {}.", rest.len() + 1, first.trouble.words),
        }
    }
}

/// A trouble being weighed.
pub(super) struct Weighed<'k> {
    pub place: usize,
    pub trouble: &'k Trouble,
    pub points: i32,
    /// What would speak against it were the signs for it absent: the lower, the more they belong to it.
    missed_points: i32,
    spoken: Vec<Spoken<'k>>,
}

impl<'k> Weighed<'k> {
    fn of(knowledge: &'k Knowledge, place: usize, known: &Known) -> Self {
        let rows = knowledge.rows_of(place);
        let speaks_for = |sign: &Sign| rows.get(sign).is_some_and(|row| row.if_present.is_for());
        // No flow instead of little is no word against a trouble that shows by either.
        let shows_otherwise = |sign: Sign| {
            let seen = known.signs.iter().filter(|(_, (present, _))| *present);
            seen.map(|(other, _)| other)
                .any(|other| other.excludes(sign) && speaks_for(other))
        };
        let mut spoken: Vec<Spoken> = Vec::new();
        for (&sign, (present, origins)) in &known.signs {
            let Some(row) = rows.get(&sign) else { continue };
            let weight = if *present {
                row.if_present
            } else {
                row.if_absent
            };
            if weight == Weight::Silent || (!present && shows_otherwise(sign)) {
                continue;
            }
            spoken.push(Spoken {
                sign,
                present: *present,
                weight,
                origins: origins.clone(),
                source: &row.source,
            });
        }
        spoken.sort_by_key(|s| (-s.weight.points().abs(), s.sign));
        let seen_for = spoken.iter().filter(|s| s.present && s.weight.is_for());
        Self {
            place,
            trouble: &knowledge.troubles()[place],
            missed_points: seen_for
                .filter_map(|s| rows.get(&s.sign))
                .map(|row| row.if_absent.points().min(0))
                .sum(),
            points: spoken.iter().map(|s| s.weight.points()).sum(),
            spoken,
        }
    }

    pub fn has(&self, weight: Weight) -> bool {
        self.spoken.iter().any(|s| s.weight == weight)
    }

    /// The signs of trouble that it accounts for.
    fn accounts_for(&self) -> impl Iterator<Item = Sign> {
        self.spoken
            .iter()
            .filter(|s| s.present && s.weight.is_for() && !s.sign.is_circumstance())
            .map(|s| s.sign)
    }

    fn is_spoken_for(&self) -> bool {
        self.accounts_for().next().is_some()
    }

    fn fits(&self) -> bool {
        self.has(Weight::Proves) || (self.points > 0 && self.is_spoken_for())
    }

    /// Another trouble, seen to be there, accounts for every sign that this one accounts for.
    pub fn is_accounted_for_by(&self, other: &Self) -> bool {
        other.has(Weight::Proves)
            && !self.has(Weight::Proves)
            && self
                .accounts_for()
                .all(|sign| other.accounts_for().any(|o| o == sign))
    }

    fn into_cause(self) -> Cause<'k> {
        let standing = if self.has(Weight::Proves) {
            Standing::Proved
        } else if self.points >= 4 && self.has(Weight::StronglyFor) {
            Standing::FitsWell
        } else {
            Standing::Fits
        };
        let (speaks_for, speaks_against) = self.spoken.into_iter().partition(|s| s.weight.is_for());
        Cause {
            trouble: self.trouble,
            standing,
            speaks_for,
            speaks_against,
        }
    }

    fn into_ruled_out(self) -> RuledOut<'k> {
        let mut by = self.spoken;
        by.retain(|s| s.weight == Weight::RulesOut);
        RuledOut {
            trouble: self.trouble,
            by,
        }
    }
}

impl Knowledge {
    /// What the evidence comes to on a pump of this build.
    ///
    /// Order and repetition of evidence change nothing. `can_see` says which signs can be looked at on this pump now:
    /// only those are proposed as the telling check.
    pub fn diagnose(
        &self,
        build: &Build,
        evidence: &[Evidence],
        can_see: &dyn Fn(Sign) -> bool,
    ) -> Diagnosis<'_> {
        let known = Known::from_evidence(evidence);
        let possible = (0..self.troubles().len())
            .filter(|&place| self.troubles()[place].can_be_on(build))
            .map(|place| Weighed::of(self, place, &known));
        let (ruled_out, left): (Vec<_>, Vec<_>) =
            possible.partition(|weighed| weighed.has(Weight::RulesOut));
        let mut fitting: Vec<Weighed> = left.into_iter().filter(Weighed::fits).collect();
        fitting.sort_by_key(|w| (-w.points, !w.has(Weight::Proves), w.missed_points, w.place));
        let can_see = |sign: Sign| sign.can_be_on(build) && can_see(sign);
        let telling = telling::choose(self, &fitting, &known, &can_see);
        let alike = telling::alike(self, &fitting, &known, &can_see);
        Diagnosis {
            fitting: fitting.into_iter().map(Weighed::into_cause).collect(),
            ruled_out: ruled_out
                .into_iter()
                .filter(Weighed::is_spoken_for)
                .map(Weighed::into_ruled_out)
                .collect(),
            telling,
            alike,
            contradicted: known.contradicted,
        }
    }
}
