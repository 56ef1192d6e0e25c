//! Whether what is felt rises, and where it mostly lies.

use super::FeelError;
use crate::{
    formula::Formula,
    statistics::trend::{Direction, MannKendall, Series, TrendError, mann_kendall},
    word,
};

/// How a direction is found among steps.
pub const FEEL_DIRECTION: Formula = Formula {
    name: word!(
        "Mann–Kendall with ties, and gamma = (pairs risen − pairs fallen) / (pairs risen + pairs fallen)"
    ),
    source: "Kendall (1975), Rank Correlation Methods; Goodman and Kruskal (1954), JASA 49:732",
};

/// One entry felt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Felt {
    /// Days since any fixed day zero.
    pub at_day: f64,
    /// On the scale, counted from 0, the least.
    pub step: u8,
}

/// What a row of felt entries says.
#[derive(Clone, Debug, PartialEq)]
pub struct FeelLook {
    /// How many entries.
    pub entries: usize,
    /// Entries set aside because their time was after now.
    pub in_future: usize,
    /// How often each step of the scale was felt.
    pub counts: Vec<usize>,
    /// The same as shares of all, 0 to 1.
    pub shares: Vec<f64>,
    /// The step in the middle; of an even number the lower of the two.
    pub low_median_step: u8,
    /// The step in the middle; of an even number the higher of the two.
    pub high_median_step: u8,
    /// The test for a direction, with gamma; or why there is none.
    pub test: Result<MannKendall, TrendError>,
    /// The test's word at the confidence asked for.
    pub direction: Option<Direction>,
}

/// Looks at entries felt on a scale of so many steps, given in any order.
///
/// # Errors
/// [`FeelError::NoSuchStep`]; [`FeelError::Series`] for unusable times, a confidence not between 0 and 1, and where no
/// entry is left.
pub fn look_at_feel(
    felt: &[Felt],
    steps: u8,
    now_day: f64,
    confidence: f64,
) -> Result<FeelLook, FeelError> {
    if let Some(i) = felt.iter().position(|felt| felt.step >= steps) {
        return Err(FeelError::NoSuchStep {
            entry: i + 1,
            step: felt[i].step,
            steps,
        });
    }
    if !(confidence > 0.0 && confidence < 1.0) {
        return Err(TrendError::BadConfidence { confidence }.into());
    }
    let entries = felt.iter().map(|felt| (felt.at_day, f64::from(felt.step)));
    let series = Series::new(entries, now_day)?;
    let mut in_order: Vec<u8> = felt
        .iter()
        .filter(|felt| felt.at_day <= now_day)
        .map(|felt| felt.step)
        .collect();
    in_order.sort_unstable();
    let middle = |place: usize| in_order.get(place).copied();
    let all = in_order.len();
    let (Some(low_median_step), Some(high_median_step)) =
        (middle(all.saturating_sub(1) / 2), middle(all / 2))
    else {
        return Err(TrendError::TooFew {
            what: word!("A look at what was felt"),
            have: 0,
            need: 1,
        }
        .into());
    };
    let count = |step: u8| in_order.iter().filter(|felt| **felt == step).count();
    let counts: Vec<usize> = (0..steps).map(count).collect();
    let test = mann_kendall(&series);
    Ok(FeelLook {
        entries: all,
        in_future: series.in_future(),
        shares: counts.iter().map(|n| *n as f64 / all as f64).collect(),
        counts,
        low_median_step,
        high_median_step,
        direction: test.as_ref().ok().map(|test| test.direction(confidence)),
        test,
    })
}
