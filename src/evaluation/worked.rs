//! A result with its working, or why there is none.

use super::hand::HAND_AND_THERMOMETER;
use crate::{
    formula::Formula,
    hydraulics::gauges::{PLAUSIBILITY, Uncertain},
    judge::Verdict,
    language,
    plant::CheckId,
    say,
};

/// One thing worked out from a pump's entries.
#[derive(Clone, Debug, PartialEq)]
pub struct Worked {
    /// What it is, for example "Total head".
    pub name: String,
    /// What it came to.
    pub outcome: Outcome,
    /// What went in and what came out in between, in the order of the working: name and value.
    pub rows: Vec<(String, String)>,
    /// By what it was reckoned.
    pub formula: Option<Formula>,
    /// What to mind about it, one sentence each.
    pub cautions: Vec<String>,
    /// The checks whose entries it was made from: it is shown where they are entered.
    pub of: Vec<CheckId>,
}

/// What something worked out came to.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// A result.
    Is {
        /// In words, with its interval: "24.1 m, 23.4 to 24.8".
        words: String,
        /// What it comes to, where it is judged.
        verdict: Option<Verdict>,
    },
    /// It can't be worked out.
    Cannot {
        /// Why, and what would allow it.
        why: String,
        /// The check that would allow it, where it is one.
        enter: Option<CheckId>,
    },
}

impl Worked {
    /// A result with nothing else said yet.
    pub(super) fn is(name: &str, words: String, formula: Formula) -> Self {
        Self {
            name: name.to_owned(),
            outcome: Outcome::Is {
                words,
                verdict: None,
            },
            rows: Vec::new(),
            formula: Some(formula),
            cautions: Vec::new(),
            of: Vec::new(),
        }
    }

    /// No result.
    pub(super) fn cannot(name: &str, why: impl ToString, enter: Option<CheckId>) -> Self {
        Self {
            name: name.to_owned(),
            outcome: Outcome::Cannot {
                why: why.to_string(),
                enter,
            },
            rows: Vec::new(),
            formula: None,
            cautions: Vec::new(),
            of: Vec::new(),
        }
    }

    pub(super) fn of(mut self, checks: impl IntoIterator<Item = CheckId>) -> Self {
        self.of.extend(checks);
        self
    }

    pub(super) fn row(mut self, name: &str, value: impl Into<String>) -> Self {
        self.rows.push((name.to_owned(), value.into()));
        self
    }

    pub(super) fn caution(mut self, words: impl Into<String>) -> Self {
        self.cautions.push(words.into());
        self
    }

    pub(super) fn judged(mut self, as_verdict: Verdict) -> Self {
        if let Outcome::Is { verdict, .. } = &mut self.outcome {
            *verdict = Some(as_verdict);
        }
        self
    }

    /// It says that what was entered can't all be so.
    pub fn is_contradiction(&self) -> bool {
        self.formula
            .is_some_and(|by| by == PLAUSIBILITY || by == HAND_AND_THERMOMETER)
    }

    /// The result in one line: "Total head 24.1 m, 23.4 to 24.8", or why there is none.
    pub fn line(&self) -> String {
        match &self.outcome {
            Outcome::Is { words, .. } => format!("{}: {words}", self.name),
            Outcome::Cannot { why, .. } if why.starts_with(&self.name) => why.clone(),
            Outcome::Cannot { why, .. } => format!("{}: {why}", self.name),
        }
    }
}

/// A number to as many decimals as `width`, its uncertainty, leaves meaningful: one figure of the width, two where it
/// begins with a one or a two. Three figures where there is no width.
pub fn number(value: f64, width: f64) -> String {
    let finest = if width > 0.0 {
        width
    } else {
        value.abs() / 30.0
    };
    let decimals = if finest > 0.0 {
        (-(finest / 3.0).log10().floor()).clamp(0.0, 4.0) as usize
    } else {
        0
    };
    let text = format!("{value:.decimals$}");
    // Nobody reads a gauge at minus nothing.
    let digits = text.trim_start_matches('-');
    if digits.bytes().all(|b| matches!(b, b'0' | b'.')) {
        language::number(digits)
    } else {
        language::number(text)
    }
}

/// A chance as people read it; a very small one without its digits.
pub(super) fn chance(p: f64) -> String {
    if p < 0.001 {
        say!("under 1 in 1000").to_owned()
    } else {
        say!("{times} in 100", times = number(p * 100.0, p * 100.0))
    }
}

/// A value with its unit and the two ends of its interval: "12 drops/min, 8 to 17".
pub(super) fn between(value: f64, (low, high): (f64, f64), unit: &str) -> String {
    let width = (high - low) / 2.0;
    say!(
        "{value} {unit}, {low} to {high}",
        value = number(value, width),
        unit,
        low = number(low, width),
        high = number(high, width)
    )
}

/// A value with its unit and its interval: "24.1 m, 23.4 to 24.8". `per` turns SI into the unit shown.
pub(super) fn with_interval(value: Uncertain, per: f64, unit: &str) -> String {
    let (middle, half) = (value.value() / per, value.half_width() / per);
    let text = number(middle, half);
    if half > 0.0 {
        let (low, high) = (number(middle - half, half), number(middle + half, half));
        say!(
            "{value} {unit}, {low} to {high}",
            value = text,
            unit,
            low,
            high
        )
    } else {
        format!("{text} {unit}")
    }
}

/// A formula that stands beside a line's own.
pub(super) fn told_by(formula: Formula) -> String {
    format!("{}; {}", language::word(formula.name), formula.source)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_shows_no_more_than_is_known() {
        for (value, width, shown) in [
            (24.137, 0.7, "24.1"),
            (24.137, 0.04, "24.14"),
            (1.84, 1.4, "1.8"),
            (1234.0, 30.0, "1234"),
            (0.0, 0.0, "0"),
            (-0.001, 0.4, "0.0"),
            (98.7, 0.0, "99"),
            (4.36, 0.0, "4.36"),
        ] {
            assert_eq!(number(value, width), shown);
        }
    }
}
