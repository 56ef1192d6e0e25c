//! The table of first actions.

mod around;
mod shaft;

use super::{FirstAction, Row, Trouble};
use crate::{
    judge::Verdict::{self, Act, Watch},
    plant::CheckKind,
    word,
};

/// Check, trouble, verdict → what to do first. The basis of each stands above it.
pub(super) const TABLE: [&[Row]; 2] = [shaft::ROWS, around::ROWS];

const AT_SHAFT: Option<&str> = Some(word!(
    "Only where the liquid is neither hot nor hazardous and your plant leaves glands to operators; keep clear of the turning shaft."
));
pub(super) const AT_SEAL: Option<&str> = Some(word!("Stay out of the line of a spray."));
const NEAR_SHAFT: Option<&str> = Some(word!("Keep hands, sleeves and rag clear of the shaft."));
const HOT: Option<&str> = Some(word!("Do not touch what may be hot."));
const BACK_OF_HAND: Option<&str> = Some(word!("Bring the back of the hand near first."));
const LINE: Option<&str> = Some(word!("Open nothing under pressure."));
const RUNNING: Option<&str> = Some(word!("Tighten nothing while the pump runs."));

const ANY: &[Verdict] = &[Watch, Act];

const fn row(
    checks: &'static [CheckKind],
    troubles: &'static [Trouble],
    verdicts: &'static [Verdict],
    action: &'static str,
    caution: Option<&'static str>,
) -> Row {
    Row {
        checks,
        troubles,
        verdicts,
        first: FirstAction { action, caution },
        at_gland: false,
        nuts: None,
    }
}
