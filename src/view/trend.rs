//! How the readings of one check go.

use super::{
    Page, PlotPoint, PlotRemedy, Trend as Bridge, TrendDrawing,
    desk::{Desk, Topic},
    plot::{Frame, span},
    tape,
    words::{band, capital, day, history, model, sentence, when},
    working,
};
use crate::{
    app::{App, AppError},
    check::words,
    evaluation::Trend,
    judge,
    plant::{CheckId, Limits, PumpId},
    record::Stamp,
    report::counted,
    say,
    store::EntryRow,
};
use slint::ComponentHandle;

/// Rows of the table.
const HISTORY_ROWS: u32 = 60;
/// Readings drawn one by one.
const MOST_DOTS: usize = 60;
/// What is drawn reaches back so far, and further where fewer readings than can be dots lie in it.
const DRAWN_MS: i64 = 91 * DAY_MS;
/// A line is drawn on into the future by no more than the weeks it was drawn through.
const AHEAD_MS: i64 = 28 * DAY_MS;
/// What is usual is told from as many weeks.
const USUAL_MS: i64 = 28 * DAY_MS;
const DAY_MS: i64 = 86_400_000;

/// The box of the paths.
const WIDTH: f64 = 1000.0;
const HEIGHT: f64 = 300.0;

struct Answer {
    pump: PumpId,
    check: CheckId,
    pump_name: String,
    trend: Option<Trend>,
    limits: Option<Limits>,
    history: Vec<EntryRow>,
    now: Stamp,
}

/// Opens the page.
pub fn open(desk: &Desk, pump: PumpId, check: CheckId) {
    desk.ask(
        Topic::Trend,
        move |app| ask(app, pump, check),
        |desk, answer| {
            show(desk, &answer);
            desk.go(Page::Trend);
        },
    );
}

fn ask(app: &mut App, pump: PumpId, check: CheckId) -> Result<Answer, AppError> {
    let trend = app.trend(&pump, check)?;
    let register = app.register()?;
    Ok(Answer {
        pump_name: register.pump(&pump)?.name.clone(),
        limits: register.plant().limits_of(&pump, check).cloned(),
        history: app.store().read().history(&pump, check, HISTORY_ROWS)?,
        now: app.now(),
        trend,
        pump,
        check,
    })
}

fn show(desk: &Desk, answer: &Answer) {
    let page = desk.window().global::<Bridge>();
    let (limits, now) = (answer.limits.as_ref(), answer.now);
    page.set_pump_id(answer.pump.as_str().into());
    page.set_pump_name(answer.pump_name.as_str().into());
    page.set_title(words::title(answer.check).into());
    page.set_band(band(limits, 1.0));
    let band_words = limits.and_then(|limits| judge::band(answer.check.kind, limits));
    page.set_band_words(band_words.unwrap_or_default().into());
    page.set_history(model(history(&answer.history, now)));
    page.set_has_drawing(false);
    let Some(trend) = &answer.trend else {
        page.set_words(say!("There are no numbers to tell a trend by.").into());
        page.set_limit_words("".into());
        page.set_basis_words("".into());
        page.set_worked(model(Vec::new()));
        return;
    };
    page.set_words(capital(&trend.words).into());
    page.set_limit_words(sentence(&trend.limit_words));
    page.set_basis_words(basis(trend, now).into());
    page.set_worked(model(working::lines(
        &trend.worked,
        desk.state.borrow().checklist.as_ref(),
    )));
    page.set_unit(trend.unit.symbol().into());
    if let Some((drawing, decimals)) = draw(trend, limits, now) {
        page.set_drawing(drawing);
        page.set_decimals(decimals);
        page.set_has_drawing(true);
    }
}

fn basis(trend: &Trend, now: Stamp) -> String {
    let all = trend.points.len();
    let Some((first_ms, _)) = trend.points.first() else {
        return String::new();
    };
    let from = day(at(*first_ms, now), now);
    let readings = counted(all as u64, say!("reading"), say!("readings"));
    match all - drawn(trend, now).len() {
        0 => say!("{readings} since {day}", readings, day = from),
        _ => say!(
            "{readings} since {day}; those of the last 13 weeks are drawn",
            readings,
            day = from
        ),
    }
}

/// The readings that are drawn, oldest first.
fn drawn(trend: &Trend, now: Stamp) -> &[(i64, f64)] {
    let points = &trend.points;
    let lately = points.partition_point(|(at_ms, _)| *at_ms < now.utc_ms - DRAWN_MS);
    &points[lately.min(points.len().saturating_sub(MOST_DOTS))..]
}

fn at(utc_ms: i64, now: Stamp) -> Stamp {
    Stamp {
        utc_ms,
        offset_min: now.offset_min,
    }
}

/// The picture and the decimals of its numbers; none where fewer than two readings can be drawn.
fn draw(trend: &Trend, limits: Option<&Limits>, now: Stamp) -> Option<(TrendDrawing, i32)> {
    let readings = drawn(trend, now);
    let (from_ms, _) = *readings.first()?;
    if readings.len() < 2 {
        return None;
    }
    let ahead_ms = trend.line.map_or(0, |_| AHEAD_MS.min(now.utc_ms - from_ms));
    let to_ms = now.utc_ms + ahead_ms;
    let led_to = trend.line.map(|line| line.value_at(days(to_ms)));
    let values = readings.iter().map(|(_, value)| *value).chain(led_to);
    let (low, high) = span(
        values.chain(limits.into_iter().flat_map(nearest_bounds)),
        None,
    );
    let frame = Frame {
        from_ms,
        to_ms,
        low,
        high,
        width: WIDTH,
        height: HEIGHT,
    };
    let dots = if readings.len() <= MOST_DOTS {
        readings
    } else {
        &[]
    };
    let (usual, usual_edges) = usual(trend, &frame, now);
    let (projection, wedge) = projected(trend, &frame, now);
    let drawing = TrendDrawing {
        width: WIDTH as f32,
        height: HEIGHT as f32,
        low: low as f32,
        high: high as f32,
        readings: frame.line(&frame.thinned(readings)).into(),
        points: model(dots.iter().map(|dot| point(&frame, *dot)).collect()),
        usual: usual.into(),
        usual_edges: usual_edges.into(),
        projection: projection.into(),
        wedge: wedge.into(),
        now: frame.across(now.utc_ms) as f32,
        from_words: day(at(from_ms, now), now).into(),
        now_words: say!("today").into(),
        to_words: day(at(to_ms, now), now).into(),
        remedies: model(remedies(trend, &frame, now)),
    };
    let decimals = i32::try_from(tape::decimals_within(low, high)).unwrap_or(0);
    Some((drawing, decimals))
}

/// What was put right within the picture, lettered; the newest where there are more than letters.
fn remedies(trend: &Trend, frame: &Frame, now: Stamp) -> Vec<PlotRemedy> {
    const MOST: usize = 6;
    let within: Vec<_> = trend
        .remedies
        .iter()
        .filter(|mark| (frame.from_ms..=frame.to_ms).contains(&mark.at_ms))
        .collect();
    let newest = &within[within.len().saturating_sub(MOST)..];
    newest
        .iter()
        .zip('A'..)
        .map(|(mark, letter)| PlotRemedy {
            x: frame.across(mark.at_ms) as f32,
            letter: letter.to_string().into(),
            words: mark.words.as_str().into(),
            when: when(at(mark.at_ms, now), now).into(),
        })
        .collect()
}

/// The bounds next to the good values: with those beyond in the picture too, the readings would lie flat in it.
fn nearest_bounds(limits: &Limits) -> impl Iterator<Item = f64> {
    let low = limits.low_watch.or(limits.low_act).or(limits.low_stop);
    let high = limits.high_watch.or(limits.high_act).or(limits.high_stop);
    low.into_iter().chain(high)
}

fn days(ms: i64) -> f64 {
    ms as f64 / DAY_MS as f64
}

fn point(frame: &Frame, (at_ms, value): (i64, f64)) -> PlotPoint {
    PlotPoint {
        x: frame.across(at_ms) as f32,
        y: frame.down(value) as f32,
    }
}

/// What is usual of late, and its edges.
fn usual(trend: &Trend, frame: &Frame, now: Stamp) -> (String, String) {
    let Some(usual) = trend.usual else {
        return Default::default();
    };
    let from_ms = frame.from_ms.max(now.utc_ms - USUAL_MS);
    let level = |value: f64| {
        let value = value.clamp(frame.low, frame.high);
        frame.line(&[(from_ms, value), (now.utc_ms, value)])
    };
    let edges = if usual.sigma > 0.0 {
        level(usual.centre - usual.sigma) + &level(usual.centre + usual.sigma)
    } else {
        String::new()
    };
    (level(usual.centre), edges)
}

/// The line with where it leads, and within which lines that is sure.
fn projected(trend: &Trend, frame: &Frame, now: Stamp) -> (String, String) {
    let Some(line) = trend.line else {
        return Default::default();
    };
    let from_ms = frame.from_ms.max(now.utc_ms - AHEAD_MS);
    let inside = |value_at: &dyn Fn(f64) -> f64, from_ms: i64| {
        let ends = [from_ms, frame.to_ms].map(|ms| (ms, value_at(days(ms))));
        clipped(ends, frame.low, frame.high)
    };
    let projection = frame.line(&inside(&|day| line.value_at(day), from_ms));
    let mut outline = inside(&|day| line.ends_at(day).1, now.utc_ms);
    outline.extend(
        inside(&|day| line.ends_at(day).0, now.utc_ms)
            .into_iter()
            .rev(),
    );
    let wedge = frame.line(&outline) + "Z";
    (projection, wedge)
}

/// A straight line between two points, kept between two values: beyond them it runs along them.
fn clipped(ends: [(i64, f64); 2], low: f64, high: f64) -> Vec<(i64, f64)> {
    let [(from_ms, from), (to_ms, to)] = ends;
    let mut points = vec![(from_ms, from)];
    let mut crossings: Vec<f64> = [low, high]
        .into_iter()
        .map(|bound| (bound - from) / (to - from))
        .filter(|share| *share > 0.0 && *share < 1.0)
        .collect();
    crossings.sort_by(f64::total_cmp);
    points.extend(crossings.into_iter().map(|share| {
        let at_ms = from_ms + ((to_ms - from_ms) as f64 * share) as i64;
        (at_ms, from + (to - from) * share)
    }));
    points.push((to_ms, to));
    for point in &mut points {
        point.1 = point.1.clamp(low, high);
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_that_leaves_the_picture_runs_along_its_edge() {
        let points = clipped([(0, 5.0), (100, 15.0)], 0.0, 10.0);
        assert_eq!(points, [(0, 5.0), (50, 10.0), (100, 10.0)]);
    }

    #[test]
    fn a_line_within_the_picture_is_left_alone() {
        let ends = [(0, 5.0), (100, 7.0)];
        assert_eq!(clipped(ends, 0.0, 10.0), ends);
        let level = [(0, 5.0), (100, 5.0)];
        assert_eq!(clipped(level, 0.0, 10.0), level);
    }
}
