//! Base 32 as Douglas Crockford describes it (<https://www.crockford.com/base32.html>): ten
//! digits and the letters without I, L, O and U, so that nothing is taken for a digit.
//!
//! 128 bits take 26 symbols. As in the ULID specification (<https://github.com/ulid/spec>) the
//! two bits left over are zero and lead, so the first symbol is never above 7 and texts sort as
//! the numbers do.

const SYMBOLS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// Symbols in the text of 128 bits.
pub(super) const LENGTH_128: usize = 26;

/// The 26 symbols for `value`.
pub(super) fn encode_128(value: u128) -> String {
    (0..LENGTH_128)
        .rev()
        .map(|place| symbol((value >> (5 * place)) as u8))
        .collect()
}

/// The symbol for the lowest five bits of `value`.
pub(super) fn symbol(value: u8) -> char {
    char::from(SYMBOLS[usize::from(value & 0x1F)])
}

/// Whether `character` is one of the 32 symbols, in upper case.
pub(super) fn is_symbol(character: char) -> bool {
    value(character).is_some()
}

/// The number `text` stands for; none unless it is exactly 26 symbols in upper case that fit 128
/// bits.
pub(super) fn decode_128(text: &str) -> Option<u128> {
    if text.chars().count() != LENGTH_128 {
        return None;
    }
    let mut number = 0_u128;
    for character in text.chars() {
        if number >> (128 - 5) != 0 {
            return None;
        }
        number = number << 5 | u128::from(value(character)?);
    }
    Some(number)
}

fn value(character: char) -> Option<u8> {
    let position = SYMBOLS.iter().position(|&s| char::from(s) == character)?;
    u8::try_from(position).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use uuid::Uuid;

    /// Texts computed with the reference library python-ulid 4.1.0 (ULID and Crockford's base 32
    /// are the same text for the same 128 bits).
    const REFERENCE: [(&str, &str); 6] = [
        (
            "00000000-0000-0000-0000-000000000000",
            "00000000000000000000000000",
        ),
        (
            "ffffffff-ffff-ffff-ffff-ffffffffffff",
            "7ZZZZZZZZZZZZZZZZZZZZZZZZZ",
        ),
        (
            "0190f3a1-7c2e-7b4d-9a5f-3e6d1c8b2a47",
            "01J3ST2Z1EFD6SMQSYDME8PAJ7",
        ),
        (
            "db5b5fab-8f4d-3e27-dda1-494c73cf256d",
            "6VBDFTQ3TD7RKXV8A99HSWY9BD",
        ),
        (
            "73ab4876-7734-d7c1-c7fd-e805ec99108d",
            "3KND47CXSMTZ0WFZF80QP9J44D",
        ),
        (
            "01563e3a-b5d3-d676-4c61-efb99302bd5b",
            "01ARZ3NDEKTSV4RRFFQ69G5FAV",
        ),
    ];

    #[test]
    fn texts_equal_those_of_a_reference_library() {
        for (uuid, text) in REFERENCE {
            let number = Uuid::parse_str(uuid).unwrap().as_u128();
            assert_eq!(encode_128(number), text);
            assert_eq!(decode_128(text), Some(number));
        }
    }

    #[test]
    fn a_text_of_more_than_128_bits_is_refused() {
        assert_eq!(decode_128("80000000000000000000000000"), None);
    }

    #[test]
    fn letters_that_look_like_digits_are_no_symbols() {
        assert!("ILOU".chars().all(|letter| !is_symbol(letter)));
    }

    proptest! {
        #[test]
        fn every_number_comes_back(number: u128) {
            prop_assert_eq!(decode_128(&encode_128(number)), Some(number));
        }
    }
}
