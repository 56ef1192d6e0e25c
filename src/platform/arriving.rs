//! Names of files that other apps hand over: they may say anything.

use super::STORE_EXTENSION;
use crate::exchange::EXTENSION;

/// Longest name kept, characters.
const LONGEST: usize = 80;

/// What a file that came is, as far as its name tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A store, as a backup gives it.
    Store,
    /// A bundle.
    Bundle,
    /// Anything else: it is taken for a picture, and looked at.
    Other,
}

/// What it is.
pub fn kind(name: &str) -> Kind {
    let ending = name.rsplit_once('.').map_or("", |(_, ending)| ending);
    if ending.eq_ignore_ascii_case(STORE_EXTENSION) {
        Kind::Store
    } else if ending.eq_ignore_ascii_case(EXTENSION) {
        Kind::Bundle
    } else {
        Kind::Other
    }
}

/// A name that stays in the folder it is put in, and can be read.
///
/// Letters, digits, spaces and `. _ - ( )` stay; all else becomes `_`. A name of nothing but dots and spaces becomes
/// `file`.
pub fn safe_name(name: &str) -> String {
    let kept = |c: char| c.is_alphanumeric() || " ._-()".contains(c);
    let chars: Vec<char> = name
        .chars()
        .map(|c| if kept(c) { c } else { '_' })
        .collect();
    // The ending says what it is: of a long name the beginning goes.
    let chars = &chars[chars.len().saturating_sub(LONGEST)..];
    let name: String = chars.iter().collect();
    let name = name.trim_start_matches(['.', ' ']).trim_end();
    if name.is_empty() {
        "file".to_owned()
    } else {
        name.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::path::{Component, Path};

    #[test]
    fn what_a_file_is_is_told_by_its_ending() {
        assert_eq!(kind("mill-2026-09-01.lrbundle"), Kind::Bundle);
        assert_eq!(kind("MILL.LRBUNDLE"), Kind::Bundle);
        assert_eq!(kind("mill.lantern"), Kind::Store);
        for other in ["tag.jpg", "lrbundle", "", "a.lrbundle.png"] {
            assert_eq!(kind(other), Kind::Other, "{other}");
        }
    }

    #[test]
    fn ordinary_names_stay_as_they_are() {
        for name in ["mill-2026-09-01.lrbundle", "Bild (2).jpg", "Pumpe_Süd.png"] {
            assert_eq!(safe_name(name), name);
        }
        assert_eq!(safe_name("../../databases/x"), "_.._databases_x");
        assert_eq!(safe_name("/data/user/0/keys"), "_data_user_0_keys");
        assert_eq!(safe_name(".hidden"), "hidden");
        for nothing in ["", ".", "..", " . "] {
            assert_eq!(safe_name(nothing), "file");
        }
    }

    proptest! {
        #[test]
        fn a_name_is_always_one_of_a_file_in_the_folder(name in any::<String>()) {
            let safe = safe_name(&name);
            let parts: Vec<_> = Path::new(&safe).components().collect();
            prop_assert_eq!(parts.len(), 1);
            prop_assert!(matches!(parts[0], Component::Normal(_)));
            prop_assert!(safe.chars().count() <= LONGEST);
            prop_assert!(!safe.starts_with('.'));
        }

        #[test]
        fn a_long_name_keeps_what_it_is(name in "[a-z]{80,200}") {
            prop_assert_eq!(kind(&safe_name(&format!("{name}.lrbundle"))), Kind::Bundle);
        }
    }
}
