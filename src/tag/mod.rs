//! Tags: what a tag says, its short id, drawing its code and reading codes from pixels.
//!
//! - [`payload`]: the identification link in the code, and what a scanned text turns out to be
//! - [`short_id`]: the few characters an operator can key in when the code cannot be read
//! - [`draw`]: a tag as PNG or as a label in SVG
//! - [`luma`]: grey pixels, the one thing drawing, cameras and reading share
//! - [`read`]: codes from pixels, for live frames and for still images
//!
//! Nothing here knows of pumps: a tag is an identifier and no more, so a label never goes stale
//! when a pump is renamed or its limits change.

mod base32;
mod check_character;
pub mod draw;
pub mod luma;
pub mod payload;
pub mod read;
pub mod short_id;

pub use luma::Luma;
pub use payload::{Host, Reading, TagId};
pub use short_id::{ShortId, ShortIds};
