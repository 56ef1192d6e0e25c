//! What differs by system: the program's entry on it, its file dialogs, its camera, its files.
//!
//! The only place where code that the compiler can't vouch for (`unsafe`) may stand: the calls into Android.

#[cfg(feature = "window")]
use crate::language::{self, Language};

/// Ending of a store's file name.
#[cfg(any(feature = "window", test))]
const STORE_EXTENSION: &str = "lantern";

#[cfg(any(all(target_os = "android", feature = "window"), test))]
mod arriving;

/// Speaks the system's language, as far as there are words for it, until the operator chooses another.
#[cfg(feature = "window")]
fn speak_as_the_system() {
    let locale = sys_locale::get_locale();
    if let Some(language) = locale.as_deref().and_then(Language::of_locale) {
        language::speak(language);
    }
}

#[cfg(all(target_os = "android", feature = "window"))]
mod android;

#[cfg(all(not(target_os = "android"), feature = "window"))]
pub mod desktop;
