//! The words of the other languages, as the build read them from `lang/`.

use super::Language;

/// Context, English, and what the language says; ordered by the first two.
type Words = [(&'static str, &'static str, &'static str)];

include!(concat!(env!("OUT_DIR"), "/words.rs"));

/// What a language says for English words in a context; nothing for English itself.
pub(super) fn find(language: Language, context: &str, english: &str) -> Option<&'static str> {
    let words = match language {
        Language::English => return None,
        Language::German => GERMAN,
        Language::Spanish => SPANISH,
    };
    let key = (context, english);
    let at = words
        .binary_search_by(|(its_context, its_english, _)| (*its_context, *its_english).cmp(&key))
        .ok()?;
    words.get(at).map(|(_, _, said)| *said)
}
