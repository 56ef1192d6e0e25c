//! Rounds begun, taken over and ended in the history's last days.

use super::{DemoVisit, DemoWalk};
use crate::plant::{Plant, PumpId, Round};

/// In so many days at the end rounds are begun and ended; before, pumps were only visited.
pub(super) const DAYS: u32 = 14;

/// A walk that somebody else began and laid aside: round, days before the end, shift of the day.
const TAKEN_OVER: (&str, u32, u32) = ("stock", 1, 1);
/// A walk that nobody ends.
const LEFT_LYING: (&str, u32, u32) = ("boiler-house", 0, 1);
/// A walk with a stop passed over for a reason of its own.
const PASSED_OVER: (&str, u32, u32) = ("water", 0, 2);

/// Says of one shift's visits where walks begin and end.
pub(super) fn mark(plant: &Plant, visits: &mut [DemoVisit], days_left: u32, of_day: u32) {
    for round in &plant.rounds {
        let is = |walk: (&str, u32, u32)| walk == (round.id.as_str(), days_left, of_day);
        let on_it: Vec<usize> = (0..visits.len())
            .filter(|index| visits[*index].round == round.id)
            .collect();
        let (Some(&first), Some(&last)) = (on_it.first(), on_it.last()) else {
            continue;
        };
        let made: Vec<PumpId> = on_it
            .iter()
            .map(|index| visits[*index].pump.clone())
            .collect();
        visits[first].walk = Some(DemoWalk {
            begins: true,
            begun_by: is(TAKEN_OVER).then(|| "Shift C / O".to_owned()),
            ..DemoWalk::default()
        });
        let walk = visits[last].walk.get_or_insert_default();
        if is(PASSED_OVER) {
            walk.passes_over =
                first_not_made(round, &made).map(|pump| (pump, "Scaffold in the way.".to_owned()));
        }
        if !is(LEFT_LYING) {
            walk.ends = Some("Short look: not due at every stop this shift.".to_owned());
        }
    }
}

fn first_not_made(round: &Round, made: &[PumpId]) -> Option<PumpId> {
    let mut stops = round.stops.iter();
    stops.find(|stop| !made.contains(stop)).cloned()
}
