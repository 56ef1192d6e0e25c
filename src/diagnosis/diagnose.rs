//! Which causes fit, in order, and why.

use super::evidence::{AtPart, Known};
use super::telling::{self, Telling};
use super::{Build, Evidence, Knowledge, Sign, Trouble, Weight};
use crate::{formula::Formula, language, say, word};

/// How causes are ordered.
pub const RANKING: Formula = Formula {
    name: word!("signs for and against each trouble, weighed by strength class"),
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
            Self::Proved => say!("seen to be there"),
            Self::FitsWell => say!("fits well"),
            Self::Fits => say!("fits"),
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
    /// The other answer of the same reading that was seen, where that is why the sign is absent.
    pub instead: Option<Sign>,
    /// Source of sign and trouble going together.
    pub source: &'k str,
}

impl Spoken<'_> {
    /// In words, for example "no leak-off" or "gland not hot".
    pub fn words(&self) -> &'static str {
        match self.told() {
            (seen, true) => seen.words(),
            (missed, false) => missed.absent_words(),
        }
    }

    /// The sign that is told of, and whether it is told as there.
    fn told(&self) -> (Sign, bool) {
        match self.instead {
            Some(seen) if !self.present => (seen, true),
            _ => (self.sign, self.present),
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
    /// It is possible too, but adds nothing to the others: see [`Diagnosis::shown`].
    pub is_folded: bool,
    /// The bearing or seal that shows it most, where it is one's.
    pub part: Option<AtPart>,
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
    /// Many causes fit, and even the first rests on one sign that many troubles show.
    pub is_too_little: bool,
    /// Causes ruled out that something else speaks for.
    pub ruled_out: Vec<RuledOut<'k>>,
    /// What to check next.
    pub telling: Telling<'k>,
    /// Pairs among the first four causes in question that no check left tells apart.
    pub alike: Vec<[&'k Trouble; 2]>,
    /// Signs told to be both present and absent, and so left out: look again.
    pub contradicted: Vec<Sign>,
}

impl<'k> Diagnosis<'k> {
    /// The causes to show first-hand, best first.
    ///
    /// A cause is folded away where a trouble that is seen to be there accounts for every sign it rests on, where it
    /// rests on one sign that many troubles show, while the first rests on more, where the first stands so far before it
    /// that it is out of question, and from the fifth on. Where even the first rests on one such sign, nothing stands
    /// out: the three commonest are shown, and the rest folded. A cause that nothing speaks for but signs that many
    /// machines show without it, as a motor's hum, is folded away always, so that none may be left. Our judgement, no
    /// source.
    pub fn shown(&self) -> impl Iterator<Item = &Cause<'k>> {
        self.fitting.iter().filter(|cause| !cause.is_folded)
    }

    /// The causes that are possible too.
    pub fn also_possible(&self) -> impl Iterator<Item = &Cause<'k>> {
        self.fitting.iter().filter(|cause| cause.is_folded)
    }

    /// The causes that are possible too, in words; empty where there are none. Nobody reads on for long in the rain.
    pub fn also_words(&self) -> String {
        const MOST_NAMED: usize = 5;
        let also: Vec<&str> = self
            .also_possible()
            .map(|cause| language::word(&cause.trouble.words))
            .collect();
        let named = also.len().min(MOST_NAMED);
        let words = also[..named].join("; ");
        match also.len() - named {
            0 => words,
            1 => say!("{causes}; one more fits less", causes = words),
            more => say!("{causes}; {more} more fit less", causes = words, more),
        }
    }

    /// The first line of the page.
    pub fn summary(&self) -> String {
        let Some(first) = self.shown().next() else {
            return say!("Nothing fits yet.").to_owned();
        };
        let cause = language::word(&first.trouble.words);
        let (shown, folded) = (self.shown().count(), self.also_possible().count());
        if self.is_too_little {
            return say!(
                "Too little to tell yet: {causes} causes fit.",
                causes = shown + folded
            );
        }
        let first = match (shown, first.standing) {
            (1, Standing::Proved) => say!("Seen to be there: {cause}.", cause),
            (1, _) if folded == 0 => say!("Only one fits: {cause}.", cause),
            (1, _) => say!("First: {cause}.", cause),
            _ => say!("First of {shown}: {cause}.", shown, cause),
        };
        match folded {
            0 => first,
            1 => format!("{first} {}", say!("One more is possible.")),
            _ => format!("{first} {}", say!("{folded} more are possible.", folded)),
        }
    }
}

/// The signs of trouble among those that speak for it.
fn accounted_for(spoken: &[Spoken<'_>]) -> impl Iterator<Item = Sign> {
    spoken
        .iter()
        .filter(|s| s.present && s.weight.is_for() && !s.sign.is_circumstance())
        .map(|s| s.sign)
}

/// A trouble being weighed.
pub(super) struct Weighed<'k> {
    pub place: usize,
    pub trouble: &'k Trouble,
    pub points: i32,
    /// What would speak against it were the signs for it absent: the lower, the more they belong to it.
    missed_points: i32,
    /// It begins only with something that nobody has told.
    lacks_beginning: bool,
    /// Nothing speaks for it but signs that many machines show without it.
    rests_on_common_signs: bool,
    /// The bearing or seal it was weighed at.
    part: Option<AtPart>,
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
            let weight = match known.earlier.contains(&sign) {
                true => weight.if_earlier(),
                false => weight,
            };
            if weight == Weight::Silent || (!present && shows_otherwise(sign)) {
                continue;
            }
            let mut seen = known.signs.iter().filter(|(_, (present, _))| *present);
            let instead = seen.find(|(other, _)| !present && other.excludes(sign));
            spoken.push(Spoken {
                sign,
                instead: instead.map(|(&other, _)| other),
                present: *present,
                weight,
                origins: origins.clone(),
                source: &row.source,
            });
        }
        spoken.sort_by_key(|s| (-s.weight.points().abs(), s.sign));
        let trouble = &knowledge.troubles()[place];
        let rests_on_common_signs = accounted_for(&spoken).next().is_some()
            && accounted_for(&spoken).all(|sign| trouble.common_signs.contains(&sign));
        if rests_on_common_signs {
            for sign in spoken.iter_mut().filter(|s| s.weight.is_for()) {
                sign.weight = Weight::For;
            }
        }
        let points: i32 = spoken.iter().map(|s| s.weight.points()).sum();
        let is_told = |sign: &Sign| known.signs.get(sign).is_some_and(|(present, _)| *present);
        let seen_for = spoken.iter().filter(|s| s.present && s.weight.is_for());
        Self {
            place,
            trouble,
            lacks_beginning: !trouble.begins_with.is_empty()
                && !trouble.begins_with.iter().any(is_told),
            missed_points: seen_for
                .filter_map(|s| rows.get(&s.sign))
                .map(|row| row.if_absent.points().min(0))
                .sum(),
            points: match rests_on_common_signs {
                true => points.min(Weight::For.points()),
                false => points,
            },
            rests_on_common_signs,
            part: None,
            spoken,
        }
    }

    fn at(self, part: AtPart) -> Self {
        let part = Some(part);
        Self { part, ..self }
    }

    pub fn has(&self, weight: Weight) -> bool {
        self.spoken.iter().any(|s| s.weight == weight)
    }

    /// The signs of trouble that it accounts for.
    fn accounts_for(&self) -> impl Iterator<Item = Sign> {
        accounted_for(&self.spoken)
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

    /// All that speaks for it is one sign that many troubles show.
    fn rests_on_one_weak_sign(&self) -> bool {
        let is_strong = |s: &Spoken| [Weight::Proves, Weight::StronglyFor].contains(&s.weight);
        self.accounts_for().count() <= 1 && !self.spoken.iter().any(is_strong)
    }

    fn into_cause(self, is_folded: bool) -> Cause<'k> {
        let standing = if self.has(Weight::Proves) {
            Standing::Proved
        } else if self.points >= 4 && self.has(Weight::StronglyFor) {
            Standing::FitsWell
        } else {
            Standing::Fits
        };
        // One answer can speak by being there and by being there instead of another: it is told once, the stronger.
        let mut told = std::collections::BTreeSet::new();
        let mut spoken = self.spoken;
        spoken.retain(|s| told.insert((s.weight.is_for(), s.told())));
        let (speaks_for, speaks_against) = spoken.into_iter().partition(|s| s.weight.is_for());
        Cause {
            trouble: self.trouble,
            standing,
            speaks_for,
            speaks_against,
            is_folded,
            part: self.part,
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

/// What is known of each bearing and seal that something was seen at: nothing that was seen at another of its like.
fn by_part(evidence: &[Evidence]) -> Vec<(AtPart, Known)> {
    let mut parts: Vec<AtPart> = evidence.iter().filter_map(|told| told.part).collect();
    parts.sort();
    parts.dedup();
    let of_each = parts.into_iter().map(|part| {
        let here = |told: &&Evidence| told.part.is_none_or(|other| !other.is_like(part));
        (part, Known::from_evidence(evidence.iter().filter(here)))
    });
    of_each.collect()
}

/// What is known but for what was seen at a bearing.
fn at_no_bearing(evidence: &[Evidence]) -> Known {
    let here = |told: &&Evidence| !told.part.is_some_and(AtPart::is_bearing);
    Known::from_evidence(evidence.iter().filter(here))
}

/// Which of the causes that fit, best first, are folded away; see [`Diagnosis::shown`].
fn folded(fitting: &[Weighed<'_>], is_too_little: bool) -> Vec<bool> {
    const MOST_SHOWN: usize = 4;
    const MOST_OF_ONE_SIGN: usize = 3;
    let most = fitting.iter().map(|w| w.points).max().unwrap_or_default();
    let is_folded = |(place, weighed): (usize, &Weighed<'_>)| {
        if weighed.rests_on_common_signs {
            return true;
        }
        if place == 0 || weighed.has(Weight::Proves) {
            return false;
        }
        let adds_nothing = fitting.iter().any(|seen| weighed.is_accounted_for_by(seen));
        let is_weak = if is_too_little {
            place >= MOST_OF_ONE_SIGN
        } else {
            weighed.rests_on_one_weak_sign() || place >= MOST_SHOWN
        };
        let is_out = !telling::is_in_question(weighed, most);
        adds_nothing || is_weak || is_out || weighed.lacks_beginning
    };
    fitting.iter().enumerate().map(is_folded).collect()
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
        let at_no_bearing = at_no_bearing(evidence);
        let by_part = by_part(evidence);
        let possible = (0..self.troubles().len())
            .filter(|&place| self.troubles()[place].can_be_on(build))
            .map(|place| {
                let trouble = &self.troubles()[place];
                let here = by_part.iter().filter(|(part, _)| part.can_have(trouble));
                here.map(|(part, known)| Weighed::of(self, place, known).at(*part))
                    .max_by_key(|w| (!w.has(Weight::RulesOut), w.points))
                    .unwrap_or_else(|| match trouble.of_one_bearing {
                        true => Weighed::of(self, place, &at_no_bearing),
                        false => Weighed::of(self, place, &known),
                    })
            });
        let (ruled_out, left): (Vec<_>, Vec<_>) =
            possible.partition(|weighed| weighed.has(Weight::RulesOut));
        let mut fitting: Vec<Weighed> = left.into_iter().filter(Weighed::fits).collect();
        fitting.sort_by_key(|w| {
            let is_seen = w.has(Weight::Proves);
            (
                -w.points,
                !is_seen,
                w.lacks_beginning,
                w.rests_on_common_signs,
                w.missed_points,
                w.place,
            )
        });
        let can_see = |sign: Sign| sign.can_be_on(build) && can_see(sign);
        let telling = match telling::choose(self, &fitting, &known, &can_see) {
            // What is held back stands out by no more than a common sign.
            Telling::OneStandsOut if fitting.iter().all(|w| w.rests_on_common_signs) => {
                Telling::NothingFits
            }
            telling => telling,
        };
        let alike = telling::alike(self, &fitting, &known, &can_see);
        let is_too_little = fitting.len() > 1 && fitting[0].rests_on_one_weak_sign();
        let folded = folded(&fitting, is_too_little);
        Diagnosis {
            fitting: fitting
                .into_iter()
                .zip(folded)
                .map(|(weighed, is_folded)| weighed.into_cause(is_folded))
                .collect(),
            is_too_little,
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
