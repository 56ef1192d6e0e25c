//! What a computed result names as its ground.

/// A published way of reckoning, shown where a result's working is unfolded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Formula {
    /// Its name in the field, with the relation itself where it is short: marked by [`word!`](crate::word) and shown by
    /// [`language::word`](crate::language::word).
    pub name: &'static str,
    /// The publication it was taken from, as it is cited, or "common practice, no source".
    pub source: &'static str,
}
