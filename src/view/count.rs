//! Counting drops: taps over time.

use super::{
    CountState, Entry, Session,
    desk::{self, Desk},
};
use crate::{
    app::HalfCount,
    check::{self, Entered, EntryKind},
    evaluation::{CountSoFar, count_so_far, guide, number},
    plant::Limits,
    say,
};
use slint::{ComponentHandle, Timer, TimerMode};
use std::time::Duration;

/// How often the rate is shown anew.
const TICK: Duration = Duration::from_millis(250);

/// A count under way or stopped. The first tap starts the clock and is the first drop: from then on n further taps
/// in t seconds are n drops in t seconds.
#[derive(Default)]
pub struct Count {
    drops: u32,
    /// What was counted before the window was last closed.
    before: Duration,
    started: Option<Duration>,
    stopped: Option<Duration>,
    timer: Option<Timer>,
}

impl Count {
    fn seconds(&self, now: Duration) -> f64 {
        let end = self.stopped.unwrap_or(now);
        self.started.map_or(0.0, |start| {
            (self.before + end.saturating_sub(start)).as_secs_f64()
        })
    }

    fn up_to(&self, now: Duration) -> Entered {
        Entered::Count {
            drops: self.drops,
            // Taps are no finer than a tenth of a second.
            seconds: (self.seconds(now) * 10.0).round().max(1.0) / 10.0,
        }
    }

    /// Enough is counted for the entry to be taken.
    fn is_enough(&self, now: Duration) -> bool {
        self.started.is_some() && check::accept(&EntryKind::Count, self.up_to(now)).is_ok()
    }

    /// The count as an entry.
    ///
    /// # Errors
    /// What to do where nothing was counted.
    pub fn entered(&self) -> Result<Entered, String> {
        match (self.started, self.stopped) {
            (Some(_), Some(stop)) if self.seconds(stop) > 0.0 => Ok(self.up_to(stop)),
            _ => Err(say!("Nothing counted yet: tap once to start the clock, then once for each drop. No drop at all within the time is a count of 0: tap to start, wait, and save.").to_owned()),
        }
    }
}

/// One drop fell; the first tap only starts the clock.
pub fn tap(desk: &Desk) {
    let now = desk.clock();
    {
        let count = &mut desk.state.borrow_mut().entry.count;
        if count.stopped.is_some() {
            return;
        }
        if count.started.is_some() {
            count.drops = count.drops.saturating_add(1);
        } else {
            count.started = Some(now);
            count.timer = Some(ticking());
        }
    }
    if desk.window().global::<Session>().get_ticks() {
        desk.outside().tick();
    }
    desk.window().global::<Entry>().set_error("".into());
    show(desk);
}

/// Stops the clock.
pub fn stop(desk: &Desk) {
    let now = desk.clock();
    {
        let count = &mut desk.state.borrow_mut().entry.count;
        if count.started.is_some() && count.stopped.is_none() {
            count.stopped = Some(now);
        }
        count.timer = None;
    }
    show(desk);
}

fn ticking() -> Timer {
    let timer = Timer::default();
    timer.start(TimerMode::Repeated, TICK, || desk::with(show));
    timer
}

/// Goes on with a stopped count. The time between belongs to neither part: nobody looked.
pub fn go_on(desk: &Desk) {
    let now = desk.clock();
    {
        let count = &mut desk.state.borrow_mut().entry.count;
        let (Some(start), Some(stop)) = (count.started, count.stopped.take()) else {
            return;
        };
        count.started = Some(start + now.saturating_sub(stop));
        count.timer = Some(ticking());
    }
    desk.window().global::<Entry>().set_error("".into());
    show(desk);
}

/// The count as it stands, for a window that may be closed; none where nothing was counted.
pub fn half(desk: &Desk) -> Option<HalfCount> {
    let count = &desk.state.borrow().entry.count;
    count.started.map(|_| HalfCount {
        drops: count.drops,
        seconds: count.seconds(desk.clock()),
    })
}

/// Puts a count back as it stood, stopped.
pub fn put_back(desk: &Desk, half: HalfCount) {
    let Ok(before) = Duration::try_from_secs_f64(half.seconds) else {
        return;
    };
    let now = Some(desk.clock());
    desk.state.borrow_mut().entry.count = Count {
        drops: half.drops,
        before,
        started: now,
        stopped: now,
        timer: None,
    };
    show(desk);
}

/// Away with the count, to count again.
pub fn reset(desk: &Desk) {
    desk.window().global::<Entry>().set_error("".into());
    clear(desk);
}

/// Nothing counted.
pub fn clear(desk: &Desk) {
    desk.state.borrow_mut().entry.count = Count::default();
    show(desk);
}

fn show(desk: &Desk) {
    let entry = desk.window().global::<Entry>();
    let state = desk.state.borrow();
    let count = &state.entry.count;
    let seconds = count.seconds(desk.clock());
    entry.set_count_enough(count.is_enough(desk.clock()));
    entry.set_count_state(match (count.started, count.stopped) {
        (None, _) => CountState::Waiting,
        (Some(_), None) => CountState::Counting,
        (Some(_), Some(_)) => CountState::Stopped,
    });
    entry.set_drops(i32::try_from(count.drops).unwrap_or(i32::MAX));
    entry.set_seconds(seconds as i32);
    let limits = state.check().and_then(|check| check.limits.as_ref());
    show_rate(&entry, so_far(count.drops, seconds, limits));
}

/// What the count comes to; in its first second nobody can read it.
fn so_far(drops: u32, seconds: f64, limits: Option<&Limits>) -> Option<CountSoFar> {
    if seconds < 1.0 {
        return None;
    }
    count_so_far(drops, seconds, limits).ok()
}

fn show_rate(entry: &Entry<'_>, so_far: Option<CountSoFar>) {
    entry.set_has_rate(so_far.is_some());
    entry.set_count_decided(so_far.as_ref().is_some_and(CountSoFar::is_settled));
    let guide = so_far.as_ref().and_then(|so_far| so_far.answer).map(guide);
    entry.set_count_guide(guide.unwrap_or_default().into());
    let Some(so_far) = so_far else {
        entry.set_rate_words("".into());
        entry.set_rate_interval("".into());
        return;
    };
    let (low, high) = so_far.interval_per_min;
    let width = (high - low) / 2.0;
    entry.set_rate(so_far.per_min as f32);
    entry.set_rate_low(low as f32);
    entry.set_rate_high(high as f32);
    let rate = number(so_far.per_min, width);
    let (low, high) = (number(low, width), number(high, width));
    entry.set_rate_words(say!("{rate} drops/min", rate).into());
    entry.set_rate_interval(say!("{low} to {high}", low, high).into());
}
