//! From a camera frame in memory to the checklist that is shown, on a store with years of history.
//!
//! `cargo bench --no-default-features --bench scan_to_checklist`. `LANTERN_RING_BENCH_YEARS` sets how many years of
//! weekly visits the 500 pumps have, 1 where it is not set; 10 need some minutes and some GB in the temporary folder.
//!
//! Times are of this machine and its load; the ratios to the quick pass on a frame without a code, measured in the
//! same run, carry over. The frames, the plant and its history are made up.

mod large;
#[path = "../tests/tags_scene/mod.rs"]
mod tags_scene;

use lantern_ring::{
    app::{App, Found, OpenVisit, Register},
    plant::Pump,
    record::HowFound,
    tag::{
        Luma, TagId, draw,
        payload::payload,
        read::{Code, Schedule, quick, still},
    },
};
use large::{Outcome, PUMPS, TIMES, Times, times, written};
use std::{
    hint::black_box,
    time::{Duration, Instant},
};
use tags_scene::{Dice, Placed, Trouble, frame};

const FRAME: (u32, u32) = (1280, 720);
const FRAMES: usize = 24;
/// A live camera gives thirty frames a second.
const FRAME_GOAL: Duration = Duration::from_millis(33);
/// From the frame with the code to the list.
const LIST_GOAL: Duration = Duration::from_millis(100);

fn main() -> Outcome<()> {
    let Some(mut written) = written()? else {
        return Ok(());
    };
    let app = &mut written.app;
    let register = app.register()?;
    let mut dice = Dice(1);
    let hits: Vec<(Luma, &Pump)> = (0..FRAMES)
        .map(|i| {
            let pump = &register.plant().pumps[i * 37 % PUMPS];
            Ok((scene(&register, pump, &mut dice)?, pump))
        })
        .collect::<Outcome<_>>()?;
    let misses: Vec<Luma> = (0..FRAMES).map(|_| without_code(&mut dice)).collect();

    println!("{:<44}{:>10}{:>10}{:>8}", "", "median", "p95", "ratio");
    let quick_miss = times(|round| Ok(quick(&misses[round % FRAMES]).is_empty()))?;
    let base = quick_miss.median;
    quick_miss.print("quick pass, miss", base);
    times(|round| Ok(!quick(&hits[round % FRAMES].0).is_empty()))?.print("quick pass, hit", base);
    for (pass, search) in Schedule::HEAVIER {
        for (word, frames) in [("miss", None), ("hit", Some(&hits))] {
            let took = times(|round| {
                let picture =
                    frames.map_or(&misses[round % FRAMES], |hits| &hits[round % FRAMES].0);
                black_box(pass.run(picture, search));
                Ok(true)
            })?;
            took.print(&format!("{pass:?} {search:?}, {word}"), base);
        }
    }
    let live = |picture: &Luma, schedule: &mut Schedule| {
        schedule.frame(picture, |code: &Code| is_a_pump(&register, code))
    };
    let mut schedule = Schedule::new();
    let hit = times(|round| Ok(!live(&hits[round % FRAMES].0, &mut schedule).is_empty()))?;
    hit.print("live frame, hit", base);
    let miss = times(|round| Ok(live(&misses[round % FRAMES], &mut schedule).is_empty()))?;
    miss.print("live frame, miss", base);

    let text = payload(register.host(), TagId::new(hits[0].1.tag));
    times(|_| Ok(matches!(register.find(&text), Found::Pump(_))))?
        .print("tag's text to pump", base);
    let mut lists = Vec::with_capacity(TIMES);
    let scanned = times(|round| {
        let (picture, pump) = &hits[round * 7 % FRAMES];
        let codes = live(picture, &mut Schedule::new());
        let begun = Instant::now();
        let shown = open(app, register.find_codes(&codes), pump);
        lists.push(begun.elapsed());
        shown
    })?;
    let listed = Times::of(lists);
    listed.print("hit to checklist, the visit kept on disk", base);
    scanned.print("frame in memory to checklist", base);

    let told = |what: &str, took: &Times, goal: Duration| {
        let kept = if took.p95 <= goal { "kept" } else { "missed" };
        println!(
            "goal {goal:?} for {what}: {kept} at the 95th percentile, {:.1?}",
            took.p95
        );
    };
    told("a live frame with a code", &hit, FRAME_GOAL);
    told("a live frame without one", &miss, FRAME_GOAL);
    told("the list after the hit", &listed, LIST_GOAL);
    Ok(())
}

/// Begins a visit at the pump and reads its checklist, as the window does.
fn open(app: &mut App, found: Found, expected: &Pump) -> Outcome<bool> {
    let Found::Pump(pump) = found else {
        return Ok(false);
    };
    if pump != expected.id {
        return Ok(false);
    }
    let visit = app.perform(OpenVisit {
        running: app.likely_running(&pump)?,
        pump,
        found: HowFound::Scanned,
        round: None,
    })?;
    Ok(!app.checklist(visit)?.checks.is_empty())
}

fn is_a_pump(register: &Register, code: &Code) -> bool {
    matches!(register.find(&code.text), Found::Pump(_))
}

/// A pump's tag as a camera sees it on a fair day.
fn scene(register: &Register, pump: &Pump, dice: &mut Dice) -> Outcome<Luma> {
    let text = payload(register.host(), TagId::new(pump.tag));
    let code = still::luma(&still::decode(&draw::png(&text, 4)?)?);
    let placed = Placed {
        code: &code,
        middle: (dice.between(400.0, 880.0), dice.between(250.0, 470.0)),
        width: dice.between(220.0, 380.0),
        turn: dice.between(-20.0, 20.0),
        tilt: 0.0,
    };
    let trouble = Trouble {
        noise: 3.0,
        ..Trouble::NONE
    };
    Ok(frame(FRAME, &[placed], trouble, dice))
}

/// A wall with dark and bright patches at an angle, as of pipes and plates.
fn without_code(dice: &mut Dice) -> Luma {
    let patches = Luma::from_fn(14, 9, |_, _| dice.between(0.0, 255.9) as u8);
    let placed = Placed {
        code: &patches,
        middle: (640.0, 360.0),
        width: 1000.0,
        turn: dice.between(-40.0, 40.0),
        tilt: 0.1,
    };
    let trouble = Trouble {
        noise: 3.0,
        blur: 0.8,
        ..Trouble::NONE
    };
    frame(FRAME, &[placed], trouble, dice)
}
