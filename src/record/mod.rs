//! The journal's immutable records.
