//! Numbers as people type them.

use crate::say;

/// More digits than any instrument shows, and as many as a double holds exactly.
const MOST_DIGITS: usize = 15;

/// A typed number that can't be taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BadNumber {
    /// Nothing at all.
    #[error("{}", say!("nothing entered; key in the number, or say why it was not checked"))]
    Empty,
    /// A sign or decimal sign without digits.
    #[error("{}", say!("{typed} has no digits; key in the number", typed = quoted(_0)))]
    NoDigits(String),
    /// Ends in its decimal sign.
    #[error("{}", say!(
        "{typed} ends in its decimal sign; key in the digits after it or take it out",
        typed = quoted(_0)
    ))]
    Unfinished(String),
    /// More than one decimal sign.
    #[error("{}", say!(
        "{typed} has more than one decimal sign; key in one number with one decimal sign and no sign between thousands",
        typed = quoted(_0)
    ))]
    TwoDecimalSigns(String),
    /// One number to some people, another to others.
    #[error("{}", say!(
        "{typed} could be {whole} or {whole_part} and a bit; key in {whole}, or {longer} for the other",
        typed = quoted(text), whole, whole_part, longer = format!("{text}0")
    ))]
    MayBeThousands {
        /// As it was typed.
        text: String,
        /// Its digits without the sign between them.
        whole: String,
        /// Its digits before the sign.
        whole_part: String,
    },
    /// Blank within the number.
    #[error("{}", say!("{typed} has a blank inside; key in one number without blanks", typed = quoted(_0)))]
    Blank(String),
    /// A sign that has no place in a number.
    #[error("{}", say!(
        "{typed} has a '{stray}' in it; use digits, one decimal sign (, or .) and a minus sign in front",
        typed = quoted(text), stray
    ))]
    Stray {
        /// As it was typed.
        text: String,
        /// The first sign that can't be there.
        stray: char,
    },
    /// More digits than can be kept.
    #[error("{}", say!("the number has more than {most} digits; key in what the instrument shows", most = MOST_DIGITS))]
    TooLong,
}

/// What was typed, so that no language changes its decimal sign.
fn quoted(typed: &str) -> String {
    format!("'{typed}'")
}

/// Reads a number as people type it: `,` and `.` both are decimal signs, `-` and `−` both minus.
///
/// It never guesses: `1,234` may be a thousand or one and a bit, so it is refused, while `12,5`,
/// `1,2345` and `0,125` can only be decimal.
///
/// # Errors
/// What is wrong with the text and what to key in instead.
pub fn parse_number(text: &str) -> Result<f64, BadNumber> {
    let text = text.trim();
    if text.is_empty() {
        return Err(BadNumber::Empty);
    }
    let (sign, unsigned) = match text.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => ("-", rest),
        None => ("", text.strip_prefix('+').unwrap_or(text)),
    };
    let (whole, decimals) = split(text, unsigned)?;
    let digits = whole.len() + decimals.map_or(0, str::len);
    if digits == 0 {
        return Err(BadNumber::NoDigits(text.to_owned()));
    }
    if digits > MOST_DIGITS {
        return Err(BadNumber::TooLong);
    }
    let Some(decimals) = decimals else {
        return number(sign, whole, "0");
    };
    if decimals.is_empty() {
        return Err(BadNumber::Unfinished(text.to_owned()));
    }
    if decimals.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0') {
        return Err(BadNumber::MayBeThousands {
            text: text.to_owned(),
            whole: format!("{sign}{whole}{decimals}"),
            whole_part: format!("{sign}{whole}"),
        });
    }
    number(sign, whole, decimals)
}

/// The digits before the decimal sign and, where there is one, after it.
fn split<'a>(text: &str, unsigned: &'a str) -> Result<(&'a str, Option<&'a str>), BadNumber> {
    let stray = |c: &char| !c.is_ascii_digit() && !matches!(c, '.' | ',');
    match unsigned.chars().find(stray) {
        Some(c) if c.is_whitespace() => return Err(BadNumber::Blank(text.to_owned())),
        Some(stray) => {
            return Err(BadNumber::Stray {
                text: text.to_owned(),
                stray,
            });
        }
        None => {}
    }
    let mut parts = unsigned.split(['.', ',']);
    let whole = parts.next().unwrap_or_default();
    let decimals = parts.next();
    match parts.next() {
        Some(_) => Err(BadNumber::TwoDecimalSigns(text.to_owned())),
        None => Ok((whole, decimals)),
    }
}

fn number(sign: &str, whole: &str, decimals: &str) -> Result<f64, BadNumber> {
    let text = format!("{sign}0{whole}.{decimals}");
    text.parse().map_err(|_| BadNumber::NoDigits(text.clone()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn comma_and_point_are_both_decimal_signs() {
        for (text, value) in [
            ("12.5", 12.5),
            ("12,5", 12.5),
            (" 7 ", 7.0),
            ("\u{a0}7\u{a0}", 7.0),
            ("-0,4", -0.4),
            ("\u{2212}0.4", -0.4),
            ("+3", 3.0),
            (",5", 0.5),
            ("0.125", 0.125),
            ("1.2345", 1.2345),
            ("1234.567", 1234.567),
            ("007", 7.0),
        ] {
            assert_eq!(parse_number(text), Ok(value), "{text:?}");
        }
    }

    #[test]
    fn what_can_be_read_two_ways_is_refused() {
        for text in ["1,234", "1.234", "-12,500", "999.000"] {
            assert!(
                matches!(parse_number(text), Err(BadNumber::MayBeThousands { .. })),
                "{text:?}"
            );
        }
        assert_eq!(
            parse_number("1,234").unwrap_err().to_string(),
            "'1,234' could be 1234 or 1 and a bit; key in 1234, or 1,2340 for the other"
        );
        assert_eq!(parse_number("1,2340"), Ok(1.234));
    }

    #[test]
    fn each_slip_has_its_own_words() {
        let words = |text| parse_number(text).unwrap_err().to_string();
        for text in ["", "   ", "\u{a0}"] {
            assert!(words(text).starts_with("nothing entered"), "{text:?}");
        }
        for text in ["1.2.3", "1,234.5", "1.234,5", "1,,5"] {
            assert!(words(text).contains("more than one decimal sign"), "{text}");
        }
        for text in ["-", "+", ".", "-,"] {
            assert!(words(text).contains("no digits"), "{text}");
        }
        for text in ["1 000", "- 5", "1\u{202f}000"] {
            assert!(words(text).contains("blank inside"), "{text}");
        }
        assert!(words("5.").contains("ends in its decimal sign"));
        for (text, stray) in [
            ("12bar", 'b'),
            ("1e5", 'e'),
            ("--5", '-'),
            ("1'000", '\''),
            ("NaN", 'N'),
            ("5-", '-'),
            ("٣", '٣'),
        ] {
            assert!(
                words(text).contains(&format!("a '{stray}' in it")),
                "{text}"
            );
        }
        assert!(words(&"9".repeat(16)).contains("more than 15 digits"));
    }

    proptest! {
        #[test]
        fn no_text_makes_it_panic(text in ".*") {
            if let Ok(value) = parse_number(&text) {
                prop_assert!(value.is_finite());
            }
        }

        #[test]
        fn almost_numbers_do_not_make_it_panic(text in "[-+−0-9., ]{0,30}") {
            if let Ok(value) = parse_number(&text) {
                prop_assert!(value.is_finite());
            }
        }

        #[test]
        fn a_number_written_out_reads_back(
            units in -999_999_999_i64..=999_999_999,
            decimals in prop::sample::select(vec![0_u32, 1, 2, 4, 5]),
            comma: bool,
        ) {
            let value = units as f64 / 10_f64.powi(decimals as i32);
            let mut text = format!("{value:.*}", decimals as usize);
            if comma {
                text = text.replace('.', ",");
            }
            prop_assert_eq!(parse_number(&text), Ok(value));
        }
    }
}
