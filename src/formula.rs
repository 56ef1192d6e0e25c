//! What a computed result names as its ground.

/// A published way of reckoning, shown where a result's working is unfolded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Formula {
    /// Its name in the field, with the relation itself where it is short.
    pub name: &'static str,
    /// The publication it was taken from, or "common practice, no source".
    pub source: &'static str,
}
