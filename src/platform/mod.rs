//! What differs by system: the program's entry on it, its file dialogs, its camera, its files.
//!
//! The only place where code that the compiler can't vouch for (`unsafe`) may stand: the calls into Android.

/// Ending of a store's file name.
#[cfg(any(feature = "window", test))]
const STORE_EXTENSION: &str = "lantern";

#[cfg(any(all(target_os = "android", feature = "window"), test))]
mod arriving;

#[cfg(all(target_os = "android", feature = "window"))]
mod android;

#[cfg(all(not(target_os = "android"), feature = "window"))]
pub mod desktop;
