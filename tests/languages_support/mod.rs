//! Every English message of the tree, read from its sources, and what a language's file says for it.

use rspolib::POFile;
use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::{Path, PathBuf},
};

/// A message as a language's file knows it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Message {
    /// What tells it from the same English elsewhere; mostly empty.
    pub context: String,
    /// English, for one where it counts.
    pub english: String,
    /// English for several; empty where it counts nothing.
    pub several: String,
}

/// What a language says: one text, or one for each of its plural forms.
pub type Said = BTreeMap<Message, Vec<String>>;

/// All messages of the tree.
pub fn messages() -> BTreeSet<Message> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = BTreeSet::new();
    let sources = files_below(&root.join("src"), "rs").into_iter();
    // The macro itself is no message.
    for path in sources.filter(|path| !path.starts_with(root.join("src/language"))) {
        let text = without_tests(&fs::read_to_string(&path).unwrap());
        for opening in ["say!(", "word!("] {
            found.extend(after_each(&text, opening));
        }
    }
    for path in files_below(&root.join("ui"), "slint") {
        // A mock is drawn while a page is being made, and ships with nothing.
        let name = path.file_name().unwrap().to_string_lossy();
        if !name.starts_with("mock") {
            found.extend(after_each(&fs::read_to_string(&path).unwrap(), "@tr("));
        }
    }
    found.extend(troubles(&root.join("src/diagnosis/troubles.toml")));
    found
}

/// What a language says.
pub fn said(code: &str) -> Said {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let path = root
        .join("lang")
        .join(code)
        .join("LC_MESSAGES/lantern-ring.po");
    let file: POFile = rspolib::pofile(path.as_path()).unwrap();
    let entries = file.entries.into_iter();
    entries
        .map(|entry| {
            let message = Message {
                context: entry.msgctxt.unwrap_or_default(),
                english: entry.msgid,
                several: entry.msgid_plural.unwrap_or_default(),
            };
            let one = entry.msgstr.into_iter();
            (message, one.chain(entry.msgstr_plural).collect())
        })
        .collect()
}

fn files_below(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files_below(&path, ending));
        } else if path.extension().is_some_and(|own| own == ending) {
            found.push(path);
        }
    }
    found
}

fn without_tests(text: &str) -> String {
    let shipped = text
        .split("#[cfg(test)]\nmod tests {")
        .next()
        .unwrap_or(text);
    let lines = shipped.lines();
    lines
        .filter(|line| !line.trim_start().starts_with("//"))
        .flat_map(|line| [line, "\n"])
        .collect()
}

/// The message that begins each call: `"English"`, `"context" => "English"` or `"one" | "several"`.
fn after_each(text: &str, opening: &str) -> Vec<Message> {
    let mut found = Vec::new();
    for (at, _) in text.match_indices(opening) {
        let Some((first, rest)) = literal(&text[at + opening.len()..]) else {
            continue;
        };
        let (context, english, rest) = match rest.trim_start().strip_prefix("=>") {
            Some(rest) => {
                let (english, rest) = literal(rest).unwrap();
                (first, english, rest)
            }
            None => (String::new(), first, rest),
        };
        let several = rest.trim_start().strip_prefix('|').and_then(literal);
        found.push(Message {
            context,
            english,
            several: several.map(|(several, _)| several).unwrap_or_default(),
        });
    }
    found
}

/// A string literal at the beginning, as it is meant, and what follows it.
fn literal(text: &str) -> Option<(String, &str)> {
    let mut rest = text.trim_start().strip_prefix('"')?.chars();
    let mut meant = String::new();
    loop {
        match rest.next()? {
            '"' => return Some((meant, rest.as_str())),
            '\\' => match rest.next()? {
                '\n' => rest = rest.as_str().trim_start().chars(),
                'n' => meant.push('\n'),
                'u' => {
                    let (code, after) = rest.as_str().strip_prefix('{')?.split_once('}')?;
                    meant.extend(char::from_u32(u32::from_str_radix(code, 16).ok()?));
                    rest = after.chars();
                }
                other => meant.push(other),
            },
            other => meant.push(other),
        }
    }
}

fn troubles(path: &Path) -> Vec<Message> {
    let file: toml::Table = fs::read_to_string(path).unwrap().parse().unwrap();
    let troubles = file["trouble"].as_array().unwrap();
    let fields = ["words", "first_action", "stop_when", "caution"];
    troubles
        .iter()
        .flat_map(|trouble| fields.iter().filter_map(|field| trouble.get(field)))
        .map(|english| Message {
            context: String::new(),
            english: english.as_str().unwrap().to_owned(),
            several: String::new(),
        })
        .collect()
}

/// The `{places}` of a text, in order of their names.
pub fn places(text: &str) -> Vec<&str> {
    let opened = text.split('{').skip(1);
    let mut places: Vec<_> = opened.filter_map(|after| after.split('}').next()).collect();
    places.sort_unstable();
    places
}
