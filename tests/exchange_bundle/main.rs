//! Bundles: what is written reads back, what is wrong is refused, merging neither loses nor doubles.

mod crafted;
mod flips;
mod hostile;
mod limits;
mod merge;
mod outside;
mod round_trip;
mod support;
