//! Marks on a photo, drawn over it and never burned in.

use serde::{Deserialize, Serialize};

/// A point as fractions of the picture's width and height, 0 to 1 from the top left.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Point {
    /// Fraction of the width.
    pub x: f64,
    /// Fraction of the height.
    pub y: f64,
}

/// One mark.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "mark", rename_all = "snake_case", deny_unknown_fields)]
pub enum Mark {
    /// An arrow; `to` is its head.
    Arrow {
        /// Tail.
        from: Point,
        /// Head.
        to: Point,
    },
    /// A circle.
    Circle {
        /// Centre.
        centre: Point,
        /// Radius as a fraction of the picture's shorter side.
        radius: f64,
    },
    /// Words at a place.
    Note {
        /// Where.
        at: Point,
        /// The words.
        text: String,
    },
}
