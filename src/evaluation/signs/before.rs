//! What an earlier visit found out of limits, where nobody has looked again.

use super::Hydraulics;
use crate::{
    diagnosis::Evidence,
    evaluation::{LEFT_OPEN_DAYS, Seen, Situation, ago},
    say,
};

const LEFT_OPEN_MS: i64 = LEFT_OPEN_DAYS as i64 * 86_400_000;

/// The signs that entries left open show to be there, with how long ago, where nothing of this visit tells of them.
pub(in crate::evaluation) fn before(at: &Situation<'_>, now: &[Evidence]) -> Vec<Evidence> {
    let mut told = Vec::new();
    for seen in at.left_open.iter().filter(|seen| still_says_so(at, seen)) {
        let time = ago(at.now_ms - seen.at_ms);
        let shown = super::evidence(&as_it_was(at, seen), &Hydraulics::default());
        let is_told = |sign: &Evidence| {
            let mut now = now.iter();
            now.any(|now| (now.sign, now.part) == (sign.sign, sign.part))
        };
        let shown = shown
            .into_iter()
            .filter(|sign| sign.present && !sign.sign.is_circumstance() && !is_told(sign));
        told.extend(shown.map(|sign| {
            let origin = say!("{time} ago: {entry}", time, entry = sign.origin);
            Evidence { origin, ..sign }.seen_before()
        }));
    }
    told
}

/// It is not too old, and nothing was put right since with which its readings begin anew.
fn still_says_so(at: &Situation<'_>, seen: &Seen) -> bool {
    let mut since = at.done.iter().filter(|done| done.at_ms > seen.at_ms);
    (0..=LEFT_OPEN_MS).contains(&(at.now_ms - seen.at_ms))
        && at.entry(seen.check).is_none()
        && !since.any(|done| done.begins_anew(seen.check))
}

/// The entry alone: what else was read then is looked at anew, or no longer says so.
fn as_it_was<'a>(at: &Situation<'a>, seen: &Seen) -> Situation<'a> {
    at.with_only(vec![seen.clone()], seen.at_ms)
}
