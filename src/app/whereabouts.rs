//! Where the operator was, for a system that ends programs nobody looks at and expects them to come back as they were.
//!
//! What was saved is in the store. This is what was not yet: a page, a line being keyed in, a count being made.

use crate::plant::{CheckId, RoundId, Verdict};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// Form of the bytes; another form is not read.
const FORM: u32 = 1;

/// Most bytes of a place: a system may refuse, or end, a program that hands over much.
const MOST_BYTES: usize = 16 << 10;

/// Longest line and words kept, characters.
const LONGEST_TEXT: usize = 2000;

/// The longest count that is put back, s: what was begun a day ago is no count.
const LONGEST_COUNT_S: f64 = 86_400.0;

/// A page one can come back to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum KeptPage {
    /// The side's first page.
    #[default]
    Top,
    /// On a round.
    Round,
    /// Looking for a tag.
    Scan,
    /// At a pump.
    Visit,
    /// At one check of it.
    Entry,
    /// Writing a finding at a pump.
    Hand,
    /// At a step of a procedure.
    Run,
    /// Sending.
    Send,
    /// Who works here.
    Setup,
}

/// A count that was under way. It comes back stopped: nobody looked meanwhile.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HalfCount {
    /// Drops counted.
    pub drops: u32,
    /// Time they were counted in, s.
    pub seconds: f64,
}

/// A step of a procedure under way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AtStep {
    /// Which run.
    pub run: Uuid,
    /// Number of the step, from 1; beyond the last where all were done. What was being entered is of this step alone.
    pub step: usize,
}

/// A finding that was being written.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HalfFinding {
    /// How bad it is.
    pub severity: Verdict,
    /// Its words.
    pub words: String,
    /// What may have caused it.
    pub cause: String,
}

/// Where the operator was. What else shall come back is a field more with `#[serde(default)]` and a [`KeptPage`] more:
/// what was kept before is read all the same.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Whereabouts {
    /// Which page.
    pub page: KeptPage,
    /// Which round, for its page and for a visit or a scan made on it.
    #[serde(default)]
    pub round: Option<RoundId>,
    /// Which visit, for the pages of one.
    pub visit: Option<Uuid>,
    /// Which check, for its page.
    pub check: Option<CheckId>,
    /// Which procedure under way, for its page.
    #[serde(default)]
    pub run: Option<AtStep>,
    /// What stood on the keypad's line.
    #[serde(default)]
    pub typed: String,
    /// What was being written; at a step that asks for permission, who gave it.
    #[serde(default)]
    pub words: String,
    /// A finding being written.
    #[serde(default)]
    pub finding: Option<HalfFinding>,
    /// Drops being counted.
    pub count: Option<HalfCount>,
}

#[derive(Serialize, Deserialize)]
struct Kept {
    form: u32,
    place: Whereabouts,
}

impl Whereabouts {
    /// As bytes for the system to keep; none where there is too much or nothing that can be written.
    pub fn to_bytes(&self) -> Option<Vec<u8>> {
        let kept = Kept {
            form: FORM,
            place: self.clone(),
        };
        let bytes = serde_json::to_vec(&kept).ok()?;
        // What can't be read back is not worth keeping.
        Self::from_bytes(&bytes).map(|_| bytes)
    }

    /// From the bytes a system kept; none for what no version of this form wrote.
    pub fn from_bytes(bytes: &[u8]) -> Option<Self> {
        if bytes.len() > MOST_BYTES {
            return None;
        }
        let kept: Kept = serde_json::from_slice(bytes).ok()?;
        (kept.form == FORM && kept.place.is_sound()).then_some(kept.place)
    }

    fn is_sound(&self) -> bool {
        let fits = |text: &str| text.chars().count() <= LONGEST_TEXT;
        let counts = |count: HalfCount| (0.0..=LONGEST_COUNT_S).contains(&count.seconds);
        let half = |half: &HalfFinding| fits(&half.words) && fits(&half.cause);
        fits(&self.typed)
            && fits(&self.words)
            && self.finding.as_ref().is_none_or(half)
            && self.count.is_none_or(counts)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn at_a_count() -> Whereabouts {
        Whereabouts {
            page: KeptPage::Entry,
            round: None,
            visit: Some(Uuid::from_u128(7)),
            check: Some("leak_off@seal_de".parse().unwrap()),
            run: None,
            typed: String::new(),
            words: "drip is milky".to_owned(),
            finding: None,
            count: Some(HalfCount {
                drops: 17,
                seconds: 21.4,
            }),
        }
    }

    #[test]
    fn a_half_made_count_comes_back_as_it_was() {
        let place = at_a_count();
        let bytes = place.to_bytes().unwrap();
        assert_eq!(Whereabouts::from_bytes(&bytes), Some(place));
    }

    #[test]
    fn a_step_of_a_procedure_comes_back_and_what_was_kept_before_there_were_any_is_read() {
        let place = Whereabouts {
            page: KeptPage::Run,
            run: Some(AtStep {
                run: Uuid::from_u128(8),
                step: 4,
            }),
            ..at_a_count()
        };
        let bytes = place.to_bytes().unwrap();
        assert_eq!(Whereabouts::from_bytes(&bytes), Some(place));
        let mut before = String::from_utf8(at_a_count().to_bytes().unwrap()).unwrap();
        for newer in ["round", "run", "finding"] {
            let field = format!("\"{newer}\":null,");
            assert!(before.contains(&field), "{before}");
            before = before.replace(&field, "");
        }
        assert_eq!(
            Whereabouts::from_bytes(before.as_bytes()),
            Some(at_a_count())
        );
    }

    #[test]
    fn what_nobody_of_this_form_wrote_is_no_place() {
        let bytes = at_a_count().to_bytes().unwrap();
        let text = String::from_utf8(bytes.clone()).unwrap();
        for wrong in [
            String::new(),
            "{}".to_owned(),
            text.replace("\"form\":1", "\"form\":2"),
            text.replace("21.4", "-1.0"),
            text.replace("21.4", "1e300"),
            text.replace("\"drops\"", "\"taps\""),
            text[..text.len() - 1].to_owned(),
        ] {
            assert_ne!(wrong, text);
            assert_eq!(Whereabouts::from_bytes(wrong.as_bytes()), None, "{wrong}");
        }
    }

    #[test]
    fn a_place_too_large_for_a_system_is_not_kept() {
        let place = Whereabouts {
            words: "x".repeat(LONGEST_TEXT + 1),
            ..Whereabouts::default()
        };
        assert_eq!(place.to_bytes(), None);
        let not_a_time = Whereabouts {
            count: Some(HalfCount {
                drops: 1,
                seconds: f64::NAN,
            }),
            ..Whereabouts::default()
        };
        assert_eq!(not_a_time.to_bytes(), None);
    }

    proptest! {
        #[test]
        fn whatever_is_kept_comes_back(
            drops in any::<u32>(), seconds in 0.0..LONGEST_COUNT_S, typed in ".{0,40}", words in ".{0,200}",
        ) {
            let count = Some(HalfCount { drops, seconds });
            let place = Whereabouts { typed, words, count, ..at_a_count() };
            let bytes = place.to_bytes().unwrap();
            prop_assert_eq!(Whereabouts::from_bytes(&bytes), Some(place));
        }

        #[test]
        fn any_bytes_are_a_place_or_none(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
            let _ = Whereabouts::from_bytes(&bytes);
        }
    }
}
