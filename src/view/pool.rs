//! A stream caught in a cup: how much, in how long.

use super::{
    Entry, Session,
    desk::{self, Desk},
};
use crate::{
    check::{self, Entered},
    evaluation::{number, stream_so_far},
    plant::Unit,
    say,
};
use slint::{ComponentHandle, Timer, TimerMode};
use std::time::Duration;

/// How often the running clock is shown anew.
const TICK: Duration = Duration::from_millis(250);

/// The clock beside the cup.
#[derive(Default)]
pub struct Pool {
    started: Option<Duration>,
    /// What it wrote last: another text was typed over it.
    written: String,
    timer: Option<Timer>,
}

/// Drops are counted, or a stream is caught, from here on.
pub fn choose(desk: &Desk, pooling: bool) {
    clear(desk);
    let entry = desk.window().global::<Entry>();
    entry.set_error("".into());
    entry.set_pooling(pooling);
}

/// Nothing caught; drops are counted.
pub fn clear(desk: &Desk) {
    desk.state.borrow_mut().entry.pool = Pool::default();
    let entry = desk.window().global::<Entry>();
    entry.set_pooling(false);
    entry.set_pool_volume("".into());
    entry.set_pool_seconds("".into());
    show(desk);
}

/// Puts back what was saved.
pub fn put_back(desk: &Desk, millilitres: f64, seconds: f64) {
    let entry = desk.window().global::<Entry>();
    entry.set_pooling(true);
    entry.set_pool_volume(text(desk, millilitres).into());
    entry.set_pool_seconds(text(desk, seconds).into());
    show(desk);
}

/// Something was typed. Seconds typed while the clock runs stand in its place.
pub fn typed(desk: &Desk) {
    let entry = desk.window().global::<Entry>();
    entry.set_error("".into());
    {
        let pool = &mut desk.state.borrow_mut().entry.pool;
        if pool.started.is_some() && entry.get_pool_seconds() != pool.written.as_str() {
            *pool = Pool::default();
        }
    }
    show(desk);
}

/// Starts the clock anew, or stops it.
pub fn clock(desk: &Desk) {
    desk.window().global::<Entry>().set_error("".into());
    if desk.state.borrow().entry.pool.started.is_some() {
        stop(desk);
    } else {
        {
            let timer = Timer::default();
            timer.start(TimerMode::Repeated, TICK, || desk::with(tick));
            let pool = &mut desk.state.borrow_mut().entry.pool;
            pool.started = Some(desk.clock());
            pool.timer = Some(timer);
        }
        tick(desk);
    }
}

/// Stops the clock, if it runs; it then shows tenths of a second.
pub fn stop(desk: &Desk) {
    let started = std::mem::take(&mut desk.state.borrow_mut().entry.pool).started;
    if let Some(started) = started {
        let seconds = desk.clock().saturating_sub(started).as_secs_f64();
        let entry = desk.window().global::<Entry>();
        entry.set_pool_seconds(text(desk, (seconds * 10.0).round() / 10.0).into());
        show(desk);
    }
}

fn tick(desk: &Desk) {
    let entry = desk.window().global::<Entry>();
    {
        let pool = &mut desk.state.borrow_mut().entry.pool;
        let Some(started) = pool.started else { return };
        pool.written = desk.clock().saturating_sub(started).as_secs().to_string();
        entry.set_pool_seconds(pool.written.as_str().into());
    }
    show(desk);
}

/// A number as the plant writes it.
fn text(desk: &Desk, value: f64) -> String {
    let sign = desk.window().global::<Session>().get_decimal_sign();
    value.to_string().replace('.', &sign)
}

/// What was caught as an entry.
///
/// # Errors
/// Which of the two numbers can't be taken, and why.
pub fn entered(desk: &Desk) -> Result<Entered, String> {
    let entry = desk.window().global::<Entry>();
    let number = |what: &str, text: &str| {
        check::parse_number(text).map_err(|error| format!("{what}: {error}"))
    };
    Ok(Entered::Stream {
        millilitres: number(say!("In the cup"), &entry.get_pool_volume())?,
        seconds: number(say!("of seconds" => "After"), &entry.get_pool_seconds())?,
        // The door puts in the plant's convention.
        drops_per_ml: None,
    })
}

fn show(desk: &Desk) {
    let entry = desk.window().global::<Entry>();
    let state = desk.state.borrow();
    entry.set_pool_clock_runs(state.entry.pool.started.is_some());
    let caught = check::parse_number(&entry.get_pool_volume())
        .ok()
        .zip(check::parse_number(&entry.get_pool_seconds()).ok());
    let so_far = caught.and_then(|(millilitres, seconds)| {
        let so_far = stream_so_far(millilitres, seconds).ok()?;
        Some((millilitres, seconds, so_far))
    });
    let Some((millilitres, seconds, so_far)) = so_far else {
        entry.set_pool_words("".into());
        entry.set_pool_interval("".into());
        entry.set_pool_drops("".into());
        return;
    };
    let (low, high) = so_far.interval_ml_per_min;
    let width = (high - low) / 2.0;
    entry.set_pool_words(format!("{} mL/min", number(so_far.ml_per_min, width)).into());
    entry.set_pool_interval(
        say!(
            "{low} to {high}, from the marks of the cup",
            low = number(low, width),
            high = number(high, width)
        )
        .into(),
    );
    let drops_per_ml = state.checklist.as_ref().and_then(|list| list.drops_per_ml);
    let as_drops = Entered::Stream {
        millilitres,
        seconds,
        drops_per_ml,
    };
    let drops = match (as_drops.measured(), drops_per_ml) {
        (Some((per_min, Unit::DropsPerMin)), Some(drops_per_ml)) => say!(
            "{rate} drops/min at {drops_per_ml} to the mL",
            rate = number(per_min, width * drops_per_ml),
            drops_per_ml
        ),
        _ => say!(
            "The plant states no drops to the mL, so it can't be held against limits in drops."
        )
        .to_owned(),
    };
    entry.set_pool_drops(drops.into());
}
