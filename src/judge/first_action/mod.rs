//! What an operator does first.
//!
//! Plain operator actions only: nothing that opens the pump, needs a permit or a licence.

mod hands;
mod table;

pub use hands::Hands;

use super::{Judgement, Reason, Verdict};
use crate::{check::Entered, language, plant::CheckKind, word};

/// What an operator does first about an entry out of limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FirstAction {
    /// What to do.
    pub action: &'static str,
    /// What to mind while doing it.
    pub caution: Option<&'static str>,
}

/// What went wrong, as far as the first action depends on it.
#[derive(Clone, Copy, Debug)]
enum Trouble {
    /// Below a bound.
    Low,
    /// Above a bound.
    High,
    /// Rose faster than allowed.
    Rose,
    /// Fell faster than allowed.
    Fell,
    /// A step of feeling that has no bounds.
    Felt,
    /// One of these choices or answers.
    Said(&'static [&'static str]),
}

/// One row of the table.
struct Row {
    checks: &'static [CheckKind],
    troubles: &'static [Trouble],
    verdicts: &'static [Verdict],
    first: FirstAction,
    /// Doing it brings hands to the shaft's seal or its feed.
    at_gland: bool,
    /// Doing it turns the gland's nuts after its leak-off was counted.
    nuts: Option<Nuts>,
}

/// Which way a gland's nuts are turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Nuts {
    Eased,
    Tightened,
}

/// Nothing else comes first, whatever the check.
const STOP: FirstAction = plain(word!(
    "Stop the pump by your plant's procedure and tell the shift supervisor."
));
/// Nothing an operator can mend at the pump, or nothing known.
const TELL: FirstAction = plain(word!("Tell the shift supervisor."));
const HANDS_OFF: FirstAction = FirstAction {
    action: TELL.action,
    caution: Some(word!(
        "Hot or hazardous liquid: look only, keep hands off gland and feed, and stay out of the line of a spray."
    )),
};
/// In place of whatever turns the nuts of a gland that was felt hot. Common practice, no source.
const HOT_GLAND: FirstAction = FirstAction {
    action: word!(
        "The gland is hot: tighten nothing and touch no hot metal. Tell the shift supervisor; if the gland smokes or stays as hot, stop the pump by your plant's procedure."
    ),
    caution: table::AT_SEAL,
};
const LOOK_AGAIN: FirstAction = plain(word!("Look again on the next round."));
/// A reading that jumped may be a slip.
const READ_AGAIN: FirstAction = plain(word!(
    "Check it once more now; if it stays, look again within the hour."
));

const fn plain(action: &'static str) -> FirstAction {
    FirstAction {
        action,
        caution: None,
    }
}

impl FirstAction {
    /// The same in the language spoken now.
    fn spoken(self) -> Self {
        Self {
            action: language::word(self.action),
            caution: self.caution.map(language::word),
        }
    }

    /// What to do and what to mind, in sentences.
    pub fn words(&self) -> String {
        let mut words = self.action.to_owned();
        if let Some(caution) = self.caution {
            words.push(' ');
            words.push_str(caution);
        }
        words
    }
}

/// In place of whatever brings hands to a gland with hot or hazardous liquid.
pub fn keep_hands_off() -> FirstAction {
    HANDS_OFF.spoken()
}

/// What to do first about an entry; `None` where it is in limits or not judged.
///
/// It brings hands to the gland no further than [`Hands`] allows.
pub fn first_action(
    check: CheckKind,
    entered: &Entered,
    judgement: &Judgement,
    hands: Hands,
) -> Option<FirstAction> {
    let verdict = judgement.verdict;
    let weightiest = judgement.reasons.first()?;
    let first = match verdict {
        Verdict::NotJudged | Verdict::InLimits => return None,
        Verdict::StopPump => STOP,
        Verdict::Watch | Verdict::Act => {
            let mut rows = table::TABLE.into_iter().flatten();
            let row = rows.find(|row| row.fits(check, weightiest, entered, verdict));
            match row {
                Some(row) => row.within(hands),
                None => unknown(weightiest, verdict),
            }
        }
    };
    Some(first.spoken())
}

fn unknown(reason: &Reason, verdict: Verdict) -> FirstAction {
    match (reason, verdict) {
        (_, Verdict::Act) => TELL,
        (Reason::TooFast { .. }, _) => READ_AGAIN,
        _ => LOOK_AGAIN,
    }
}

impl Row {
    const fn at_gland(self) -> Self {
        Self {
            at_gland: true,
            ..self
        }
    }

    const fn turns(self, nuts: Nuts) -> Self {
        Self {
            nuts: Some(nuts),
            ..self.at_gland()
        }
    }

    fn within(&self, hands: Hands) -> FirstAction {
        match hands {
            Hands::OffGland if self.at_gland => HANDS_OFF,
            Hands::OffHotGland if self.nuts.is_some() => HOT_GLAND,
            Hands::NoTightening if self.nuts == Some(Nuts::Tightened) => HOT_GLAND,
            _ => self.first,
        }
    }

    fn fits(&self, check: CheckKind, reason: &Reason, entered: &Entered, verdict: Verdict) -> bool {
        self.checks.contains(&check)
            && self.verdicts.contains(&verdict)
            && self
                .troubles
                .iter()
                .any(|trouble| trouble.is(reason, entered))
    }
}

impl Trouble {
    fn is(self, reason: &Reason, entered: &Entered) -> bool {
        match (self, reason) {
            (Trouble::Low, Reason::Below { .. }) | (Trouble::High, Reason::Above { .. }) => true,
            (Trouble::Rose, Reason::TooFast { change, .. }) => *change > 0.0,
            (Trouble::Fell, Reason::TooFast { change, .. }) => *change < 0.0,
            (Trouble::Felt, Reason::Said { .. }) => matches!(entered, Entered::Feel { .. }),
            (Trouble::Said(keys), Reason::Said { .. }) => match entered {
                Entered::Choice { key } => keys.contains(&key.as_str()),
                Entered::YesNo { yes } => keys.contains(&if *yes { "yes" } else { "no" }),
                _ => false,
            },
            _ => false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        check::{EntryKind, usual_kind},
        judge::again,
    };

    #[test]
    fn no_two_rows_of_the_table_answer_for_the_same_trouble() {
        let mut seen = std::collections::BTreeSet::new();
        for row in table::TABLE.into_iter().flatten() {
            for check in row.checks {
                for verdict in row.verdicts {
                    for trouble in row.troubles {
                        let keys: &[&str] = match trouble {
                            Trouble::Said(keys) => keys,
                            _ => &[""],
                        };
                        let name = match trouble {
                            Trouble::Said(_) => "said".to_owned(),
                            other => format!("{other:?}"),
                        };
                        for key in keys {
                            let answer = (*check, *verdict, name.clone(), *key);
                            assert!(seen.insert(answer.clone()), "{answer:?}");
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn every_key_in_the_table_is_one_its_check_has() {
        for row in table::TABLE.into_iter().flatten() {
            for trouble in row.troubles {
                let Trouble::Said(keys) = trouble else {
                    continue;
                };
                for &check in row.checks {
                    for key in *keys {
                        let known = match usual_kind(check) {
                            EntryKind::Choice(choices) => choices.iter().any(|c| c.key == *key),
                            EntryKind::YesNo { .. } => matches!(*key, "yes" | "no"),
                            _ => false,
                        };
                        assert!(known, "{check:?} {key}");
                    }
                }
            }
        }
    }

    #[test]
    fn something_is_to_be_done_exactly_where_a_choice_is_out_of_limits() {
        for &check in CheckKind::ALL {
            if let EntryKind::Choice(choices) = usual_kind(check) {
                for choice in choices {
                    let entered = Entered::Choice {
                        key: choice.key.to_owned(),
                    };
                    let judged = again(check, &entered, None, None);
                    assert_eq!(
                        first_action(check, &entered, &judged, Hands::Free).is_some(),
                        choice.usual.is_out_of_limits(),
                        "{check:?} {}",
                        choice.key
                    );
                }
            }
        }
    }
}
