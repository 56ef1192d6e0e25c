//! Numbers as the language spoken now writes them.

use super::{Language, spoken};
use std::fmt::Display;

/// What stands before the decimals: `.` or `,`.
pub fn decimal_sign() -> char {
    match spoken() {
        Language::English => '.',
        Language::German | Language::Spanish => ',',
    }
}

/// A number, formed already, with the language's decimal sign.
pub fn number(formed: impl Display) -> String {
    let text = formed.to_string();
    match decimal_sign() {
        '.' => text,
        sign => text.replace('.', sign.encode_utf8(&mut [0; 4])),
    }
}

/// The same for a text that may be a number or not.
pub(super) fn if_number(text: String) -> String {
    if text.contains('.') && text.parse::<f64>().is_ok() {
        number(text)
    } else {
        text
    }
}
