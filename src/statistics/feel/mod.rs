//! Entries felt by hand: ordered steps, and what they are worth in degrees.
