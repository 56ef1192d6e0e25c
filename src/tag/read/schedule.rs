//! Which passes a live frame gets.

use super::{Code, Pass, Search, merge, quick};
use crate::tag::luma::Luma;

/// Spreads the heavier passes over the frames of a live camera: every frame is looked at as it
/// is, and if that finds nothing wanted, in one other way, the next in turn.
#[derive(Clone, Debug, Default)]
pub struct Schedule {
    turn: usize,
}

impl Schedule {
    /// The heavier passes in turn, those first that add most for their time (see
    /// [`Pass::FOR_STILLS`]). The last is for a maker's Data Matrix out of the aim.
    pub const HEAVIER: [(Pass, Search); 6] = [
        (Pass::Third, Search::Everywhere),
        (Pass::SpecksFilled, Search::AimedAt),
        (Pass::MiddleDoubled, Search::AimedAt),
        (Pass::Inverted, Search::AimedAt),
        (Pass::StretchedAndBlurred, Search::AimedAt),
        (Pass::AsIs, Search::Everywhere),
    ];

    /// A schedule at its beginning.
    pub fn new() -> Self {
        Self::default()
    }

    /// The codes in the next frame. `wanted` says which code ends the search, so that a maker's
    /// code on a nameplate does not keep a dirty tag beside it from its turn.
    pub fn frame(&mut self, luma: &Luma, wanted: impl Fn(&Code) -> bool) -> Vec<Code> {
        let mut found = quick(luma);
        if !found.iter().any(wanted) {
            let (pass, search) = self.next_heavier();
            merge(&mut found, pass.run(luma, search));
        }
        found
    }

    fn next_heavier(&mut self) -> (Pass, Search) {
        let next = Self::HEAVIER[self.turn % Self::HEAVIER.len()];
        self.turn = (self.turn + 1) % Self::HEAVIER.len();
        next
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_heavier_pass_has_its_turn() {
        let mut schedule = Schedule::new();
        let turns: BTreeSet<_> = Schedule::HEAVIER
            .iter()
            .map(|_| schedule.next_heavier())
            .collect();
        assert_eq!(turns.len(), Schedule::HEAVIER.len());
        assert_eq!(schedule.next_heavier(), Schedule::HEAVIER[0]);
    }
}
