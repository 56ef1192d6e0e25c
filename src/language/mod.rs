//! The language people are spoken to in.
//!
//! English is written where it is used, with [`say!`](crate::say) in place of a literal or of `format!`; the other
//! languages come from `lang/`, one file each for these words and for the window's. One language is spoken at a time in
//! the whole program, as on one screen: [`speak()`] sets it. What is recorded, exported and read back is never translated.

mod catalogue;
mod numbers;

pub use numbers::{decimal_sign, number};

use std::{
    fmt::Display,
    str::FromStr,
    sync::atomic::{AtomicU8, Ordering},
};

/// A language with all words.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Language {
    /// As written in the source.
    #[default]
    English,
    /// German.
    German,
    /// Spanish.
    Spanish,
}

/// No language has this code.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("there are no words for '{0}'; give en, de or es")]
pub struct UnknownLanguage(String);

impl FromStr for Language {
    type Err = UnknownLanguage;

    fn from_str(locale: &str) -> Result<Language, UnknownLanguage> {
        Language::of_locale(locale).ok_or_else(|| UnknownLanguage(locale.to_owned()))
    }
}

static SPOKEN: AtomicU8 = AtomicU8::new(0);

impl Language {
    /// Every language there is, English first.
    pub const ALL: [Language; 3] = [Language::English, Language::German, Language::Spanish];

    /// Its ISO 639-1 code, which is also its folder in `lang/`.
    pub fn code(self) -> &'static str {
        match self {
            Language::English => "en",
            Language::German => "de",
            Language::Spanish => "es",
        }
    }

    /// What its speakers call it.
    pub fn own_name(self) -> &'static str {
        match self {
            Language::English => "English",
            Language::German => "Deutsch",
            Language::Spanish => "Español",
        }
    }

    /// The language of a locale such as `de`, `de-CH` or `de_DE.UTF-8`; none where there are no words for it.
    pub fn of_locale(locale: &str) -> Option<Language> {
        let code = locale.split(['-', '_', '.']).next()?;
        Language::ALL
            .into_iter()
            .find(|language| language.code().eq_ignore_ascii_case(code))
    }
}

/// Speaks this language from now on, everywhere in the program.
pub fn speak(language: Language) {
    SPOKEN.store(language as u8, Ordering::Relaxed);
}

/// The language spoken now.
pub fn spoken() -> Language {
    let index = usize::from(SPOKEN.load(Ordering::Relaxed));
    Language::ALL.get(index).copied().unwrap_or_default()
}

/// English words in the language spoken now; as they are where it has none.
///
/// For words that stand in a table or a file of the project, marked there by [`word!`](crate::word).
pub fn word(english: &str) -> &str {
    translated("", english).unwrap_or(english)
}

/// What the language spoken now says for these English words in this context (mostly none), if it is not English.
pub fn translated(context: &str, english: &str) -> Option<&'static str> {
    catalogue::find(spoken(), context, english)
}

/// A translated sentence with what belongs in its `{places}`; numbers get the language's decimal sign.
pub fn fill(sentence: &str, parts: &[(&str, &dyn Display)]) -> String {
    let mut filled = String::with_capacity(sentence.len() + 16 * parts.len());
    let mut rest = sentence;
    while let Some((before, after)) = rest.split_once('{') {
        filled.push_str(before);
        let Some((place, after)) = after.split_once('}') else {
            filled.push('{');
            rest = after;
            continue;
        };
        if let Some((_, part)) = parts.iter().find(|(name, _)| *name == place) {
            filled.push_str(&numbers::if_number(part.to_string()));
        }
        rest = after;
    }
    filled.push_str(rest);
    filled
}

/// Whether every `{place}` of a sentence is a plain name among these, so that another language can fill it too.
///
/// [`say!`](crate::say) asks it while it is compiled.
pub const fn places_are_named(sentence: &str, names: &[&str]) -> bool {
    let bytes = sentence.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        if bytes[at] == b'{' {
            let begin = at + 1;
            while at < bytes.len() && bytes[at] != b'}' {
                at += 1;
            }
            if !is_among(bytes, begin, at, names) {
                return false;
            }
        }
        at += 1;
    }
    true
}

const fn is_among(bytes: &[u8], begin: usize, end: usize, names: &[&str]) -> bool {
    let mut which = 0;
    while which < names.len() {
        let name = names[which].as_bytes();
        let mut same = name.len() == end - begin;
        let mut at = 0;
        while same && at < name.len() {
            same = name[at] == bytes[begin + at];
            at += 1;
        }
        if same {
            return true;
        }
        which += 1;
    }
    false
}

/// Words for people, in the language spoken now.
///
/// `say!("Not checked")` gives a `&'static str`; `say!("{pump} runs since {time}.", pump, time = when(stamp))` a `String`.
/// Every place in the sentence is a name given after it; a number is formed before (`time = number(…)`). Where the same
/// English means two things, a context tells them apart: `say!("of a valve" => "open")`.
#[macro_export]
macro_rules! say {
    ($english:literal $(,)?) => {
        $crate::say!("" => $english)
    };
    ($english:literal, $($parts:tt)+) => {
        $crate::say!("" => $english, $($parts)+)
    };
    ($context:literal => $english:literal $(,)?) => {{
        const ENGLISH: &str = $english;
        $crate::language::translated($context, ENGLISH).unwrap_or(ENGLISH)
    }};
    ($context:literal => $english:literal, $($name:ident $(= $value:expr)?),+ $(,)?) => {{
        const {
            assert!(
                $crate::language::places_are_named($english, &[$(stringify!($name)),+]),
                "each place in braces is a plain name given after the sentence"
            );
        }
        match $crate::language::translated($context, $english) {
            None => format!($english, $($name = $crate::say!(@part $name $(= $value)?)),+),
            Some(other) => $crate::language::fill(
                other,
                &[$((stringify!($name), &$crate::say!(@part $name $(= $value)?) as &dyn std::fmt::Display)),+],
            ),
        }
    }};
    (@part $name:ident) => {
        $name
    };
    (@part $name:ident = $value:expr) => {
        $value
    };
}

/// Marks English words in a table that are translated where they are shown, by [`language::word`](crate::language::word).
#[macro_export]
macro_rules! word {
    ($english:literal) => {
        $english
    };
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_without_another_language_is_as_it_was_written() {
        let rate = 12.5;
        assert_eq!(
            say!("Leak-off {rate} of {most}.", rate, most = 40),
            "Leak-off 12.5 of 40."
        );
        assert_eq!(say!("Not checked"), "Not checked");
        assert_eq!(say!("of a valve" => "open"), "open");
    }

    #[test]
    fn places_are_filled_in_the_order_the_other_language_has() {
        assert_eq!(
            fill("{b} nach {a}, {b}", &[("a", &"eins"), ("b", &2)]),
            "2 nach eins, 2"
        );
        assert_eq!(fill("ohne", &[("a", &1)]), "ohne");
        assert_eq!(fill("offen {a", &[("a", &1)]), "offen {a");
    }

    #[test]
    fn only_plain_names_that_are_given_may_be_places() {
        assert!(places_are_named("{a} and {b_2}", &["a", "b_2"]));
        assert!(!places_are_named("{a:.1}", &["a"]));
        assert!(!places_are_named("{}", &["a"]));
        assert!(!places_are_named("{c}", &["a"]));
    }

    #[test]
    fn a_locale_names_its_language() {
        assert_eq!(Language::of_locale("de_AT.UTF-8"), Some(Language::German));
        assert_eq!(Language::of_locale("es-MX"), Some(Language::Spanish));
        assert_eq!(Language::of_locale("EN"), Some(Language::English));
        assert_eq!(Language::of_locale("fi-FI"), None);
        assert_eq!(Language::of_locale("C"), None);
    }
}
