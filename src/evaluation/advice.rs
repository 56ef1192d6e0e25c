//! What to do about a cause at this pump, as it is now.

use super::{Evaluation, Seen, Situation};
use crate::{
    check::{gland_may_be_touched, words},
    diagnosis::{AtPart, Cause},
    judge::{self, Verdict},
    language,
    plant::{CheckId, CheckKind as K, Place, Seal},
    remedy::gland::{GlandSeen, NeverTighten, may_tighten, stop_rule},
};

/// What comes before whatever a cause alone would have one do.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Foremost {
    /// The pump is to be stopped: why, and what to do.
    pub stop: Option<String>,
    /// No hand goes to the gland.
    hands_off: bool,
    /// The glands that are not taken up, by their number.
    never_tighten: Vec<(usize, NeverTighten)>,
}

/// What to do about a cause, where the rest of the visit allows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Advice {
    /// What to do first; `None` where the pump is to be stopped, which is told before any cause.
    pub first: Option<String>,
    /// When to stop the pump for it; `None` where it is to be stopped already.
    pub stop_when: Option<String>,
    /// What can hurt.
    pub caution: String,
}

impl Foremost {
    pub fn of(at: &Situation<'_>) -> Self {
        Self {
            stop: by_an_entry(at).or_else(|| by_a_gland(at)),
            hands_off: !gland_may_be_touched(at.pump),
            never_tighten: glands(at, &at.left_open)
                .enumerate()
                .filter_map(|(number, (_, seen))| Some((number, may_tighten(&seen).err()?)))
                .collect(),
        }
    }
}

impl Evaluation {
    /// The pump is to be stopped: why, and what to do. It comes before whatever any cause would have one do.
    pub fn stop(&self) -> Option<&str> {
        self.foremost.stop.as_deref()
    }

    /// What to do about a cause. Nothing that an entry of the visit or the pump's liquid speaks against: where the pump
    /// is to be stopped, nothing else; no hand at a gland with hot or hazardous liquid; no gland taken up that is dry,
    /// hot or squeals.
    pub fn advice(&self, cause: &Cause<'_>) -> Advice {
        let (part, cause) = (cause.part, cause.trouble);
        let Foremost {
            stop,
            hands_off,
            never_tighten,
        } = &self.foremost;
        // What was seen at the other gland is no word against taking up this one.
        let never_tighten = never_tighten.iter().find(|(number, _)| match part {
            Some(AtPart::Seal { number: at }) => at == *number,
            _ => true,
        });
        let said = |english: &str| language::word(english).to_owned();
        let (first, caution) = match never_tighten {
            _ if *hands_off && cause.at_gland => {
                let first = judge::keep_hands_off();
                let caution = first
                    .caution
                    .map_or_else(|| said(&cause.caution), str::to_owned);
                (first.action.to_owned(), caution)
            }
            Some((_, never)) if cause.tightens => (never.to_string(), said(&cause.caution)),
            _ => (said(&cause.first_action), said(&cause.caution)),
        };
        let unless_stopped = |words: String| stop.is_none().then_some(words);
        Advice {
            first: unless_stopped(first),
            stop_when: unless_stopped(said(&cause.stop_when)),
            caution,
        }
    }
}

/// The first entry that stops the pump, in words with what to do.
fn by_an_entry(at: &Situation<'_>) -> Option<String> {
    let seen = at
        .seen
        .iter()
        .find(|seen| seen.judgement.verdict == Verdict::StopPump)?;
    let title = words::title(seen.check);
    let found = judge::found(seen.check.kind, &seen.entered, seen.limits.as_ref());
    // What stops a pump brings no hand anywhere.
    let (check, hands) = (seen.check.kind, judge::Hands::OffGland);
    let first = judge::first_action(check, &seen.entered, &seen.judgement, hands)?;
    Some(format!("{title}: {found}. {}", first.words()))
}

/// A gland that burns stops the pump, whatever its limits say.
fn by_a_gland(at: &Situation<'_>) -> Option<String> {
    glands(at, &[]).find_map(|(place, seen)| {
        let rule = stop_rule(&seen, at.pump)?;
        let title = words::title(CheckId::new(K::GlandHeat, place));
        (rule.verdict == Verdict::StopPump)
            .then(|| format!("{title}: {} {}", rule.because, rule.first))
    })
}

/// The glands of the pump, with what was seen of each, now or else `before`.
fn glands<'a>(
    at: &'a Situation<'_>,
    before: &'a [Seen],
) -> impl Iterator<Item = (Place, GlandSeen)> + 'a {
    let is_packed = matches!(at.pump.seal, Seal::Packed { .. });
    let places = at.pump.seal_places().iter().copied();
    places.filter(move |_| is_packed).map(|place| {
        let entered = |kind, place| {
            let check = CheckId::new(kind, place);
            let before = || before.iter().find(|seen| seen.check == check);
            Some(&at.entry(check).or_else(before)?.entered)
        };
        let seen = GlandSeen::of(
            entered(K::LeakOff, place),
            entered(K::GlandHeat, place),
            entered(K::Noise, Place::Pump),
        );
        (place, seen)
    })
}
