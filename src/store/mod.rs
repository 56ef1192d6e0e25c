//! The SQLite store.
