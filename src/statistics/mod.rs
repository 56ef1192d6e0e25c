//! Counting, baselines and trends: what a row of entries says, and how surely.
//!
//! Pure arithmetic on plain numbers: times in hours, rates per minute where named so. Nothing here knows a pump.

pub mod charts;
pub mod counting;
pub mod feel;
pub(crate) mod ranks;
pub mod trend;
