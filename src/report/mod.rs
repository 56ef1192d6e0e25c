//! Lists and sheets for people and other tools.
