//! Liquids and the air's pressure against published and independently computed values, with their sources beside them.
//!
//! The water releases' verification values are tested beside the formulas themselves, in `src/hydraulics/liquid/water.rs`:
//! most of them lie beyond the range that the liquid answers for.

mod atmosphere;
mod files;
mod laws;
mod mixtures;
mod pure;
mod refusals;
mod support;
mod water;
