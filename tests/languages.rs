//! The other languages say all that English says.

mod languages_support;

use languages_support::{Message, messages, places, said};
use lantern_ring::language::Language;
use std::collections::BTreeSet;

fn others() -> impl Iterator<Item = Language> {
    let all = Language::ALL.into_iter();
    all.filter(|language| *language != Language::English)
}

fn shown(message: &Message) -> String {
    let context = match message.context.as_str() {
        "" => String::new(),
        context => format!("msgctxt {context:?}\n"),
    };
    let several = match message.several.as_str() {
        "" => "msgstr \"\"".to_owned(),
        several => format!("msgid_plural {several:?}\nmsgstr[0] \"\"\nmsgstr[1] \"\""),
    };
    format!("\n{context}msgid {:?}\n{several}\n", message.english)
}

#[test]
fn every_message_is_said_in_every_language() {
    for language in others() {
        let said = said(language.code());
        let missing: String = messages()
            .iter()
            .filter(|message| {
                let forms = if message.several.is_empty() { 1 } else { 2 };
                said.get(message).is_none_or(|said| {
                    said.len() != forms || said.iter().any(|form| form.trim().is_empty())
                })
            })
            .map(shown)
            .collect();
        assert!(missing.is_empty(), "{language:?} lacks:\n{missing}");
    }
}

#[test]
fn no_language_keeps_what_is_said_no_more() {
    let messages = messages();
    for language in others() {
        let said: BTreeSet<_> = said(language.code()).into_keys().collect();
        let stale: String = said.difference(&messages).map(shown).collect();
        assert!(stale.is_empty(), "{language:?} keeps:\n{stale}");
    }
}

#[test]
fn every_place_of_a_message_is_there_in_every_language() {
    let mut faults = Vec::new();
    for language in others() {
        for (message, forms) in said(language.code()) {
            let one = places(&message.english);
            let several = places(&message.several);
            for form in &forms {
                let own = places(form);
                if own != one && (message.several.is_empty() || own != several) {
                    faults.push(format!("{language:?}: {:?} as {form:?}", message.english));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn what_a_sentence_ends_with_it_ends_with_in_every_language() {
    let ends = ['.', ':', '?', '…', '!'];
    let mut faults = Vec::new();
    for language in others() {
        // Months are cut short with a stop in one language and without in another.
        let said = said(language.code()).into_iter();
        for (message, forms) in said.filter(|(message, _)| message.context != "month") {
            let end = |text: &str| {
                text.trim_end()
                    .chars()
                    .last()
                    .filter(|end| ends.contains(end))
            };
            faults.extend(
                forms
                    .iter()
                    .filter(|form| end(form) != end(&message.english))
                    .map(|form| format!("{language:?}: {:?} as {form:?}", message.english)),
            );
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
