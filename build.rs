//! Reads the languages' words for the library, and compiles the window's Slint files with them.

use std::{env, fmt::Write, fs, path::Path};

/// The languages beside English: the name of its table, and its folder in `lang/`.
const LANGUAGES: [(&str, &str); 2] = [("GERMAN", "de"), ("SPANISH", "es")];

fn main() {
    if let Err(problem) = words() {
        eprintln!("{problem}");
        std::process::exit(1);
    }
    #[cfg(feature = "window")]
    window();
}

/// Writes a table a language: context, English, and what the language says, in the order that finds them fast.
fn words() -> Result<(), String> {
    let mut code = String::new();
    for (table, folder) in LANGUAGES {
        let path = format!("lang/{folder}/LC_MESSAGES/lantern-ring.po");
        println!("cargo::rerun-if-changed={path}");
        let file = rspolib::pofile(Path::new(&path)).map_err(|why| format!("{path}: {why}"))?;
        let mut rows: Vec<_> = file
            .entries
            .iter()
            .filter(|entry| entry.msgid_plural.is_none() && !entry.obsolete)
            .filter_map(|entry| {
                let said = entry.msgstr.as_ref().filter(|said| !said.is_empty())?;
                Some((
                    entry.msgctxt.as_deref().unwrap_or_default(),
                    entry.msgid.as_str(),
                    said.as_str(),
                ))
            })
            .collect();
        rows.sort_unstable();
        writeln!(code, "static {table}: &Words = &{rows:?};").map_err(|why| why.to_string())?;
    }
    let out = env::var("OUT_DIR").map_err(|why| why.to_string())?;
    fs::write(Path::new(&out).join("words.rs"), code).map_err(|why| why.to_string())
}

#[cfg(feature = "window")]
fn window() {
    println!("cargo::rerun-if-changed=build.rs");
    let debug = env::var("PROFILE").is_ok_and(|profile| profile == "debug");
    let configuration = slint_build::CompilerConfiguration::new()
        .with_style("fluent".into())
        .with_bundled_translations("lang")
        .with_default_translation_context(slint_build::DefaultTranslationContext::None)
        .with_debug_info(debug);
    if let Err(error) = slint_build::compile_with_config("ui/app.slint", configuration) {
        eprintln!("{error}");
        std::process::exit(1);
    }
}
