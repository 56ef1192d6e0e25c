//! Lantern Ring: rounds for the people who look after centrifugal pumps.
//!
//! The crate in layers, lower ones knowing nothing of higher ones:
//!
//! - [`language`]: the words of English and the other languages, and which is spoken
//! - the trade, pure: [`plant`], [`check`], [`judge`], [`hydraulics`], [`statistics`], [`diagnosis`], [`procedure`],
//!   [`remedy`], and [`formula`] for what they name as their ground
//! - [`record`]: what is written down, and never changed
//! - [`store`], [`exchange`], [`photo`], [`tag`], [`camera`], [`report`]: keeping, carrying, seeing
//! - [`app`]: the one door for change
//! - [`headless`] and `view` (feature `window`): the faces, commands and window
//! - [`platform`]: what differs by system
//! - [`sys`]: the clock, ids and files, injected everywhere
#![deny(missing_docs)]
#![deny(unsafe_code)]

pub mod app;
pub mod camera;
pub mod check;
pub mod demo;
pub mod diagnosis;
pub mod evaluation;
pub mod exchange;
pub mod formula;
pub mod headless;
pub mod hydraulics;
pub mod judge;
pub mod language;
pub mod photo;
pub mod plant;
pub mod platform;
pub mod procedure;
pub mod record;
pub mod remedy;
pub mod report;
pub mod statistics;
pub mod store;
pub mod sys;
pub mod tag;
#[cfg(feature = "window")]
pub mod view;
