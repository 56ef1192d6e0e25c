//! Everything one trend page needs, at once.

use super::{
    Change, Limit, MannKendall, Reach, RobustLine, Series, Spread, TrendError, Window,
    change_after, check_enough, mann_kendall, reach, spread, theil_sen,
};
use crate::word;

/// What a trend page asks.
#[derive(Clone, Debug, PartialEq)]
pub struct Question<'a> {
    /// Which entries the line, the test and the days to the limits are taken from.
    pub window: Window,
    /// The limits to be reached, in any order.
    pub limits: &'a [Limit],
    /// Days of the remedies whose effect is asked.
    pub remedy_days: &'a [f64],
    /// Days before and after a remedy that are compared.
    pub remedy_window_days: f64,
    /// Of every interval and test.
    pub confidence: f64,
}

/// What a trend page shows. Each part says for itself why it cannot be had.
#[derive(Clone, Debug, PartialEq)]
pub struct Look {
    /// Entries in the window.
    pub entries: usize,
    /// Entries set aside because their time was after now.
    pub in_future: usize,
    /// Days from the window's first entry to its last.
    pub period_days: f64,
    /// The window's median and spread.
    pub usual: Spread,
    /// The window's robust line.
    pub line: Result<RobustLine, TrendError>,
    /// Whether there is a trend in the window.
    pub test: Result<MannKendall, TrendError>,
    /// For each limit asked, in that order.
    pub reaches: Vec<Result<Reach, TrendError>>,
    /// For each remedy asked, in that order. These look at the whole series, not only the window.
    pub changes: Vec<Result<Change, TrendError>>,
}

/// Everything one trend page needs of a series.
///
/// # Errors
/// [`TrendError::TooFew`] where the window holds no entry; [`TrendError::BadConfidence`].
pub fn look(series: &Series, question: &Question<'_>) -> Result<Look, TrendError> {
    let recent = series.within(question.window);
    check_enough(word!("A trend page"), recent.len(), 1)?;
    super::two_sided_z(question.confidence)?;
    let line = theil_sen(&recent, question.confidence);
    let test = mann_kendall(&recent);
    let reaches = question
        .limits
        .iter()
        .map(|limit| match (&line, &test) {
            (Ok(line), Ok(test)) => reach::reach(&recent, line, *test, *limit),
            (Err(error), _) | (_, Err(error)) => Err(error.clone()),
        })
        .collect();
    let changes = question
        .remedy_days
        .iter()
        .map(|day| {
            change_after(
                series,
                *day,
                question.remedy_window_days,
                question.confidence,
            )
        })
        .collect();
    Ok(Look {
        entries: recent.len(),
        in_future: recent.in_future(),
        period_days: recent.period_days(),
        usual: spread(&recent.values())?,
        line,
        test,
        reaches,
        changes,
    })
}
