//! The check that tells the causes apart.

use super::diagnose::Weighed;
use super::evidence::Known;
use super::{Knowledge, Sign, Trouble, Weight};
use crate::formula::Formula;

/// How the telling check is chosen.
pub const TELLING: Formula = Formula {
    name: "expected gain of information over the causes in question, by strength class",
    source: "D. V. Lindley, On a measure of the information provided by an experiment, 1956 (from memory); shares expected: common practice, no source",
};

/// Causes this many points below the first, or more, are no longer in question.
const OUT_OF_QUESTION_POINTS: i32 = 5;
/// Most causes looked at together.
const MOST_IN_QUESTION: usize = 8;
/// Below this a check is not worth the walk, bit.
const LEAST_GAIN_BIT: f64 = 0.02;
/// Least share any answer keeps: no rule of thumb is that sure.
const LEAST_SHARE: f64 = 0.01;

/// What one answer of the telling check would say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer<'k> {
    /// The sign that would be seen.
    pub sign: Sign,
    /// The cause it would speak for most.
    pub speaks_for: &'k Trouble,
    /// The best of the causes it would speak for less.
    pub rather_than: &'k Trouble,
}

impl Answer<'_> {
    /// In words.
    pub fn words(&self) -> String {
        format!(
            "\"{}\" would speak for {} rather than {}",
            self.sign.words(),
            self.speaks_for.words,
            self.rather_than.words
        )
    }
}

/// A check not yet made that tells the causes apart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TellingCheck<'k> {
    /// The entry to open, as `kind@place`; `None`: a question to answer with yes or no.
    pub check: Option<&'static str>,
    /// What its answers would say, most telling first; never empty.
    pub answers: Vec<Answer<'k>>,
}

/// What to check next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Telling<'k> {
    /// This check tells best.
    Check(TellingCheck<'k>),
    /// Nothing fits, so nothing is to be told apart.
    NothingFits,
    /// One cause stands far enough before all others.
    OneStandsOut,
    /// These are left, and no check left tells them apart.
    CannotTell(Vec<&'k Trouble>),
}

impl Telling<'_> {
    /// In words.
    pub fn words(&self) -> String {
        match self {
            Self::Check(check) => {
                let answers: Vec<_> = check.answers.iter().map(Answer::words).collect();
                format!("{}.", answers.join("; "))
            }
            Self::NothingFits => "Enter more checks: nothing fits yet.".to_owned(),
            Self::OneStandsOut => "No further check is needed to tell causes apart.".to_owned(),
            Self::CannotTell(left) => {
                let left: Vec<_> = left.iter().map(|trouble| trouble.words.as_str()).collect();
                format!(
                    "No check left would tell these apart: {}.",
                    left.join("; ")
                )
            }
        }
    }
}

/// A cause in question, with its stake: the stakes add up to one.
struct InQuestion<'w, 'k> {
    weighed: &'w Weighed<'k>,
    stake: f64,
}

/// Chooses from the causes that fit, best first, and the signs that can be looked at.
pub(super) fn choose<'k>(
    knowledge: &'k Knowledge,
    fitting: &[Weighed<'k>],
    known: &Known,
    can_see: &dyn Fn(Sign) -> bool,
) -> Telling<'k> {
    let causes = in_question(fitting);
    match causes.len() {
        0 => return Telling::NothingFits,
        1 => return Telling::OneStandsOut,
        _ => {}
    }
    let mut best: Option<(f64, Vec<Answer>)> = None;
    for signs in checks_left(known, can_see) {
        let gain = gain_bit(knowledge, &causes, &signs);
        let better = best.as_ref().is_none_or(|(most, _)| gain > most + 1e-9);
        if gain >= LEAST_GAIN_BIT && better {
            let answers = answers(knowledge, &causes, &signs);
            if !answers.is_empty() {
                best = Some((gain, answers));
            }
        }
    }
    match best {
        Some((_, answers)) => Telling::Check(TellingCheck {
            check: answers.first().and_then(|answer| answer.sign.check()),
            answers,
        }),
        None => Telling::CannotTell(causes.iter().map(|cause| cause.weighed.trouble).collect()),
    }
}

fn in_question<'w, 'k>(fitting: &'w [Weighed<'k>]) -> Vec<InQuestion<'w, 'k>> {
    let most = fitting.iter().map(|w| w.points).max().unwrap_or_default();
    let mut causes: Vec<_> = fitting
        .iter()
        .filter(|w| w.points > most - OUT_OF_QUESTION_POINTS)
        .take(MOST_IN_QUESTION)
        .map(|weighed| InQuestion {
            weighed,
            stake: f64::from(weighed.points - most).exp2(),
        })
        .collect();
    let total: f64 = causes.iter().map(|cause| cause.stake).sum();
    for cause in &mut causes {
        cause.stake /= total;
    }
    causes
}

/// The signs of each check not yet made, together.
fn checks_left(known: &Known, can_see: &dyn Fn(Sign) -> bool) -> Vec<Vec<Sign>> {
    let mut checks: Vec<Vec<Sign>> = Vec::new();
    for &sign in Sign::ALL {
        if known.is_made(sign) || !can_see(sign) {
            continue;
        }
        match checks.iter_mut().find(|signs| signs[0].same_check(sign)) {
            Some(signs) => signs.push(sign),
            None => checks.push(vec![sign]),
        }
    }
    checks
}

/// Shares expected of a check's answers on pumps with this cause: each sign, and last none of them.
fn shares(knowledge: &Knowledge, cause: &InQuestion, signs: &[Sign]) -> Vec<f64> {
    let rows = knowledge.rows_of(cause.weighed.place);
    let mut shares: Vec<f64> = signs
        .iter()
        .map(|sign| {
            let share = rows.get(sign).map_or(Weight::UNSPOKEN_SHARE, |row| {
                Weight::expected_share(row.if_present, row.if_absent)
            });
            share.max(LEAST_SHARE)
        })
        .collect();
    let of_signs: f64 = shares.iter().sum();
    shares.push((1.0 - of_signs).max(LEAST_SHARE));
    let total: f64 = shares.iter().sum();
    for share in &mut shares {
        *share /= total;
    }
    shares
}

/// Expected gain of information from a check, bit.
fn gain_bit(knowledge: &Knowledge, causes: &[InQuestion], signs: &[Sign]) -> f64 {
    let expected: Vec<Vec<f64>> = causes
        .iter()
        .map(|cause| shares(knowledge, cause, signs))
        .collect();
    (0..=signs.len())
        .map(|answer| {
            let overall: f64 = causes
                .iter()
                .zip(&expected)
                .map(|(cause, shares)| cause.stake * shares[answer])
                .sum();
            causes
                .iter()
                .zip(&expected)
                .map(|(cause, shares)| {
                    cause.stake * shares[answer] * (shares[answer] / overall).log2()
                })
                .sum::<f64>()
        })
        .sum()
}

/// What each sign of a check would say, most telling first.
fn answers<'k>(
    knowledge: &'k Knowledge,
    causes: &[InQuestion<'_, 'k>],
    signs: &[Sign],
) -> Vec<Answer<'k>> {
    let expected: Vec<Vec<f64>> = causes
        .iter()
        .map(|cause| shares(knowledge, cause, signs))
        .collect();
    let mut found: Vec<(f64, Answer)> = Vec::new();
    for (place, &sign) in signs.iter().enumerate() {
        let share = |cause: usize| expected[cause][place];
        let Some(most) = (0..causes.len()).reduce(|a, b| if share(b) > share(a) { b } else { a })
        else {
            continue;
        };
        let clearly_less = |cause: &usize| share(*cause) * 1.5 < share(most);
        let Some(other) = (0..causes.len()).find(clearly_less) else {
            continue;
        };
        let difference = causes[most].stake.min(causes[other].stake) * (share(most) - share(other));
        let answer = Answer {
            sign,
            speaks_for: causes[most].weighed.trouble,
            rather_than: causes[other].weighed.trouble,
        };
        found.push((difference, answer));
    }
    found.sort_by(|(a, _), (b, _)| b.total_cmp(a));
    found.into_iter().map(|(_, answer)| answer).collect()
}
