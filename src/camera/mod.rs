//! Where frames come from.
