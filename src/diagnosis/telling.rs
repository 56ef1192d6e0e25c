//! The check that tells the causes apart.

use super::diagnose::Weighed;
use super::evidence::Known;
use super::{Knowledge, Sign, Trouble, Weight};
use crate::{formula::Formula, language, say, word};

/// How the telling check is chosen.
pub const TELLING: Formula = Formula {
    name: word!("expected gain of information over the causes in question, by strength class"),
    source: "D. V. Lindley, On a measure of the information provided by an experiment, 1956 (from memory); shares expected: common practice, no source",
};

/// Causes this many points below the first, or more, are no longer in question.
const OUT_OF_QUESTION_POINTS: i32 = 7;
/// So many points more double a cause's stake: signs go together, so each tells less than it would alone.
const POINTS_TO_DOUBLE: f64 = 2.0;
/// Stake of a cause as a share of the one ranked just before it at the same points: the list is commonest first.
const NEXT_RANK_STAKE: f64 = 0.85;
/// Most causes looked at together.
const MOST_IN_QUESTION: usize = 8;
/// Below this a check is not worth the walk, bit.
const LEAST_GAIN_BIT: f64 = 0.02;
/// Most checks named.
const MOST_CHECKS: usize = 3;
/// Two causes expected to give answers this much alike are not told apart by them.
const ALIKE_SHARE: f64 = 0.15;
/// Pairs are looked for among so many causes: further down they matter little.
const MOST_IN_PAIRS: usize = 4;
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
        let (sign, other) = (self.sign.words(), language::word(&self.rather_than.words));
        if self.sign.english() == self.speaks_for.words {
            say!(
                "\"{sign}\" would be the answer, rather than {other}",
                sign,
                other
            )
        } else {
            let cause = language::word(&self.speaks_for.words);
            say!(
                "\"{sign}\" would speak for {cause} rather than {other}",
                sign,
                cause,
                other
            )
        }
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
    /// These checks tell the causes apart: at most three, the most telling first.
    Checks(Vec<TellingCheck<'k>>),
    /// One cause stands far before all others; this check would show it to be there.
    Proof {
        /// The cause.
        of: &'k Trouble,
        /// The sign that shows it.
        sign: Sign,
    },
    /// All in question are seen to be there, or one stands far before all others and has no check that would show it.
    OneStandsOut,
    /// Nothing fits, so nothing is to be told apart.
    NothingFits,
    /// These are left, and no check left tells them apart.
    CannotTell(Vec<&'k Trouble>),
}

impl Telling<'_> {
    /// The telling check, by the sign that would tell most; `None` where none is left.
    pub fn sign(&self) -> Option<Sign> {
        match self {
            Self::Checks(checks) => Some(checks.first()?.answers.first()?.sign),
            Self::Proof { sign, .. } => Some(*sign),
            _ => None,
        }
    }

    /// The reason in words.
    pub fn words(&self) -> String {
        match self {
            Self::Checks(checks) => {
                let answers = checks
                    .iter()
                    .take(1)
                    .flat_map(|check| &check.answers)
                    .take(2);
                let answers: Vec<_> = answers.map(Answer::words).collect();
                format!("{}.", answers.join("; "))
            }
            Self::Proof { of, sign } => {
                let cause = language::word(&of.words);
                say!(
                    "\"{sign}\" would show it: {cause}.",
                    sign = sign.words(),
                    cause
                )
            }
            Self::OneStandsOut => say!("No check is needed to tell causes apart.").to_owned(),
            Self::NothingFits => say!("Enter more checks.").to_owned(),
            Self::CannotTell(left) => {
                let left: Vec<_> = left
                    .iter()
                    .map(|trouble| language::word(&trouble.words))
                    .collect();
                say!(
                    "No check left tells these apart: {causes}.",
                    causes = left.join("; ")
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
    let readings = readings_left(known, can_see);
    match causes.as_slice() {
        [] if fitting.is_empty() => return Telling::NothingFits,
        [] => return Telling::OneStandsOut,
        [only] => return proof(knowledge, only.weighed, &readings),
        _ => {}
    }
    let mut found: Vec<(f64, Vec<Answer>)> = readings
        .iter()
        .map(|signs| (gain_bit(knowledge, &causes, signs), signs))
        .filter(|(gain, _)| *gain >= LEAST_GAIN_BIT)
        .map(|(gain, signs)| (gain, answers(knowledge, &causes, signs)))
        .filter(|(_, answers)| !answers.is_empty())
        .collect();
    found.sort_by(|(a, _), (b, _)| b.total_cmp(a));
    let mut checks: Vec<TellingCheck> = Vec::new();
    for (_, answers) in found {
        let check = answers[0].sign.check();
        let again = check.is_some() && checks.iter().any(|other| other.check == check);
        if !again && checks.len() < MOST_CHECKS {
            checks.push(TellingCheck { check, answers });
        }
    }
    if checks.is_empty() {
        return Telling::CannotTell(causes.iter().map(|cause| cause.weighed.trouble).collect());
    }
    Telling::Checks(checks)
}

/// Pairs among the first causes in question that no check left tells apart.
pub(super) fn alike<'k>(
    knowledge: &'k Knowledge,
    fitting: &[Weighed<'k>],
    known: &Known,
    can_see: &dyn Fn(Sign) -> bool,
) -> Vec<[&'k Trouble; 2]> {
    let mut causes = in_question(fitting);
    causes.truncate(MOST_IN_PAIRS);
    let readings = readings_left(known, can_see);
    let told_apart = |a: &InQuestion, b: &InQuestion| {
        readings.iter().any(|signs| {
            let (a, b) = (shares(knowledge, a, signs), shares(knowledge, b, signs));
            a.iter().zip(b).any(|(a, b)| (a - b).abs() >= ALIKE_SHARE)
        })
    };
    let mut pairs = Vec::new();
    for (place, a) in causes.iter().enumerate() {
        for b in &causes[place + 1..] {
            if !told_apart(a, b) {
                pairs.push([a.weighed.trouble, b.weighed.trouble]);
            }
        }
    }
    pairs
}

/// The first check left that would show the only cause in question to be there.
fn proof<'k>(knowledge: &'k Knowledge, only: &Weighed<'k>, readings: &[Vec<Sign>]) -> Telling<'k> {
    let rows = knowledge.rows_of(only.place);
    let shows = |sign: &&Sign| {
        rows.get(sign)
            .is_some_and(|row| row.if_present == Weight::Proves)
    };
    match readings.iter().flatten().find(shows) {
        Some(&sign) if !only.has(Weight::Proves) => Telling::Proof {
            of: only.trouble,
            sign,
        },
        _ => Telling::OneStandsOut,
    }
}

/// It is not so far behind the first that it is out of question.
pub(super) fn is_in_question(weighed: &Weighed<'_>, most_points: i32) -> bool {
    weighed.points > most_points - OUT_OF_QUESTION_POINTS
}

/// What is seen to be there is no question any more.
fn in_question<'w, 'k>(fitting: &'w [Weighed<'k>]) -> Vec<InQuestion<'w, 'k>> {
    let most = fitting.iter().map(|w| w.points).max().unwrap_or_default();
    let mut causes: Vec<_> = fitting
        .iter()
        .filter(|w| is_in_question(w, most) && !w.has(Weight::Proves))
        .filter(|w| !fitting.iter().any(|seen| w.is_accounted_for_by(seen)))
        .take(MOST_IN_QUESTION)
        .zip(0..)
        .map(|(weighed, rank)| InQuestion {
            weighed,
            stake: (f64::from(weighed.points - most) / POINTS_TO_DOUBLE).exp2()
                * NEXT_RANK_STAKE.powi(rank),
        })
        .collect();
    let total: f64 = causes.iter().map(|cause| cause.stake).sum();
    for cause in &mut causes {
        cause.stake /= total;
    }
    causes
}

/// The signs of each reading of the checks not yet made, together.
fn readings_left(known: &Known, can_see: &dyn Fn(Sign) -> bool) -> Vec<Vec<Sign>> {
    let mut readings: Vec<Vec<Sign>> = Vec::new();
    for &sign in Sign::ALL {
        if known.is_made(sign) || !can_see(sign) {
            continue;
        }
        match readings.iter_mut().find(|signs| signs[0].excludes(sign)) {
            Some(signs) => signs.push(sign),
            None => readings.push(vec![sign]),
        }
    }
    readings
}

/// Shares expected of a reading's answers on pumps with this cause: each sign, and last none of them.
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

/// Expected gain of information from a reading, bit: about which of the causes it is, and about whether it is the first,
/// which is what would be acted on.
fn gain_bit(knowledge: &Knowledge, causes: &[InQuestion], signs: &[Sign]) -> f64 {
    let joint: Vec<Vec<f64>> = causes
        .iter()
        .map(|cause| {
            let shares = shares(knowledge, cause, signs);
            shares.iter().map(|share| cause.stake * share).collect()
        })
        .collect();
    let (first, rest) = joint.split_at(1);
    let rest = (0..=signs.len())
        .map(|answer| rest.iter().map(|cause| cause[answer]).sum())
        .collect();
    information_bit(&joint) + information_bit(&[first.concat(), rest])
}

/// What answers tell about causes, bit, from the share of each answer with each cause; the shares add up to one and none
/// is nothing.
fn information_bit(joint: &[Vec<f64>]) -> f64 {
    let overall: Vec<f64> = (0..joint[0].len())
        .map(|answer| joint.iter().map(|cause| cause[answer]).sum())
        .collect();
    let told = |cause: &Vec<f64>| -> f64 {
        let stake: f64 = cause.iter().sum();
        let parts = cause.iter().zip(&overall);
        parts
            .map(|(share, overall)| share * (share / (stake * overall)).log2())
            .sum()
    };
    joint.iter().map(told).sum()
}

/// What each sign of a reading would say, most telling first.
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
        let says_so = rows_speak_for(knowledge, &causes[most], sign);
        let clearly_less = |cause: &usize| says_so && share(*cause) * 1.5 < share(most);
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

/// The sign speaks for the cause.
fn rows_speak_for(knowledge: &Knowledge, cause: &InQuestion, sign: Sign) -> bool {
    knowledge
        .rows_of(cause.weighed.place)
        .get(&sign)
        .is_some_and(|row| row.if_present.is_for())
}
