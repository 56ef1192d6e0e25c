//! The one door for change.
