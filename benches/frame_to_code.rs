//! From a camera frame in memory to the codes in it: how long each pass takes on a hit and on a
//! miss, and what each heavier pass reads that the quick one does not.
//!
//! `cargo bench --no-default-features --bench frame_to_code`
//!
//! Times are of this machine and its load; the ratios to the quick pass, measured in the same
//! run, carry over. The frames are made up, so the shares of tags read are for comparing passes
//! with each other and no more.

#[path = "../tests/tags_scene/mod.rs"]
mod tags_scene;

use std::collections::BTreeSet;
use std::hint::black_box;
use std::time::Instant;

use lantern_ring::tag::payload::payload;
use lantern_ring::tag::read::{Code, Pass, Schedule, Search, quick, still};
use lantern_ring::tag::{Host, Luma, TagId, draw};
use tags_scene::{Dice, Placed, Trouble, frame};
use uuid::Uuid;

const FRAME: (u32, u32) = (1280, 720);
const FRAMES_PER_KIND: usize = 24;
const REPEATS: usize = 40;

const KINDS: [&str; 10] = [
    "good",
    "tilted",
    "far",
    "blurred",
    "noisy",
    "dim",
    "shaded",
    "scratched",
    "inverted",
    "mixed",
];

fn main() {
    // `cargo test --benches` runs this too, and only wants to know that it builds.
    if std::env::args().any(|argument| argument == "--test") {
        return;
    }
    let text = payload(
        &Host::new("kestrel-ness.example").expect("a host name"),
        TagId::new(Uuid::from_u128(0x0190_f3a1_7c2e_7b4d_9a5f_3e6d_1c8b_2a47)),
    );
    let png = draw::png(&text, 4).expect("a drawable text");
    let tag = still::luma(&still::decode(&png).expect("a picture"));
    times(&tag, &text);
    reads(&tag, &text);
}

/// Median and 95th percentile, in milliseconds.
fn milliseconds(mut task: impl FnMut(usize)) -> (f64, f64) {
    task(0);
    let mut times: Vec<f64> = (0..REPEATS)
        .map(|i| {
            let start = Instant::now();
            task(i);
            start.elapsed().as_secs_f64() * 1000.0
        })
        .collect();
    times.sort_by(f64::total_cmp);
    (times[REPEATS / 2], times[REPEATS * 95 / 100])
}

const LOOKS: [(Pass, Search); 8] = [
    (Pass::AsIs, Search::AimedAt),
    (Pass::AsIs, Search::Everywhere),
    (Pass::Third, Search::Everywhere),
    (Pass::Inverted, Search::AimedAt),
    (Pass::StretchedAndBlurred, Search::AimedAt),
    (Pass::SpecksFilled, Search::AimedAt),
    (Pass::MiddleDoubled, Search::AimedAt),
    (Pass::Doubled, Search::AimedAt),
];

fn times(tag: &Luma, text: &str) {
    let mut dice = Dice(1);
    let hits: Vec<Luma> = (0..8).map(|_| scene(tag, "good", &mut dice)).collect();
    let misses: Vec<Luma> = (0..8).map(|_| without_code(3.0, &mut dice)).collect();
    let noisy: Vec<Luma> = (0..8).map(|_| without_code(8.0, &mut dice)).collect();
    println!("milliseconds on 1280x720, median, 95th percentile, ratio to the quick pass");
    println!(
        "{:32} {:^22} {:^22} {:^22}",
        "", "hit", "miss", "miss, much noise"
    );
    let columns = [&hits, &misses, &noisy];
    let mut quickest = None;
    for (pass, search) in LOOKS {
        let times = columns.map(|frames| {
            milliseconds(|i| drop(black_box(pass.run(&frames[i % frames.len()], search))))
        });
        line(
            &format!("{pass:?} {search:?}"),
            times,
            *quickest.get_or_insert(times),
        );
    }
    let mut schedule = Schedule::new();
    let times = columns.map(|frames| {
        milliseconds(|i| {
            drop(black_box(
                schedule.frame(&frames[i % frames.len()], |_| true),
            ))
        })
    });
    line("live frame", times, quickest.unwrap_or(times));
    let read = |codes: Vec<Code>| codes.iter().any(|code| code.text == text);
    let hit = hits.iter().filter(|frame| read(quick(frame))).count();
    let missed = misses
        .iter()
        .chain(&noisy)
        .filter(|frame| quick(frame).is_empty())
        .count();
    println!("of 8 hits {hit} hit, of 16 misses {missed} missed\n");
}

fn line(name: &str, times: [(f64, f64); 3], quickest: [(f64, f64); 3]) {
    print!("{name:32}");
    for ((median, p95), (quickest, _)) in times.into_iter().zip(quickest) {
        print!(" {median:7.1} {p95:7.1} {:6.2}", median / quickest);
    }
    println!();
}

/// A wall with dark and bright patches at an angle, as of pipes and plates.
fn without_code(noise: f32, dice: &mut Dice) -> Luma {
    let patches = Luma::from_fn(14, 9, |_, _| dice.between(0.0, 255.9) as u8);
    let turn = dice.between(-40.0, 40.0);
    let placed = Placed {
        code: &patches,
        middle: (640.0, 360.0),
        width: 1000.0,
        turn,
        tilt: 0.1,
    };
    frame(
        FRAME,
        &[placed],
        Trouble {
            noise,
            blur: 0.8,
            ..Trouble::NONE
        },
        dice,
    )
}

fn scene(tag: &Luma, kind: &str, dice: &mut Dice) -> Luma {
    let all = kind == "mixed";
    let is = |name: &str| all || kind == name;
    let mut placed = Placed {
        code: tag,
        middle: (dice.between(400.0, 880.0), dice.between(250.0, 470.0)),
        width: dice.between(220.0, 380.0),
        turn: dice.between(-20.0, 20.0),
        tilt: 0.0,
    };
    let mut trouble = Trouble {
        noise: 3.0,
        ..Trouble::NONE
    };
    if kind == "far" {
        placed.width = dice.between(70.0, 120.0);
    }
    if is("tilted") {
        placed.tilt = dice.between(0.3, if all { 0.4 } else { 1.0 });
    }
    if is("blurred") {
        trouble.blur = placed.width / 45.0 * dice.between(0.3, if all { 0.45 } else { 0.65 });
    }
    if is("noisy") {
        trouble.noise = dice.between(10.0, if all { 16.0 } else { 60.0 });
    }
    if kind == "dim" {
        (trouble.black, trouble.white) = (12.0, dice.between(22.0, 60.0));
        trouble.noise = dice.between(3.0, 10.0);
    }
    if is("shaded") {
        trouble.shade = dice.between(0.3, if all { 0.6 } else { 0.97 });
    }
    if is("scratched") {
        trouble.scratches = if all { 2.0 } else { dice.between(4.0, 40.0) } as u32;
    }
    trouble.inverted = kind == "inverted";
    frame(FRAME, &[placed], trouble, dice)
}

/// Of the frames of each kind, how many each pass reads, and in which order the heavier passes
/// should come: each next one adds most to those before it for the time it takes on a miss.
fn reads(tag: &Luma, text: &str) {
    let mut dice = Dice(2);
    print!("read of {FRAMES_PER_KIND:3} frames  ");
    KINDS.iter().for_each(|kind| print!("{kind:>10}"));
    println!("       all");
    let frames: Vec<Luma> = KINDS
        .iter()
        .flat_map(|kind| std::iter::repeat_n(kind, FRAMES_PER_KIND))
        .map(|kind| scene(tag, kind, &mut dice))
        .collect();
    let mut results = Vec::new();
    for pass in Pass::FOR_STILLS {
        let start = Instant::now();
        let read = |frame: &Luma| {
            pass.run(frame, Search::AimedAt)
                .iter()
                .any(|code| code.text == text)
        };
        let hits: BTreeSet<usize> = (0..frames.len()).filter(|&i| read(&frames[i])).collect();
        let cost = start.elapsed().as_secs_f64() * 1000.0 / frames.len() as f64;
        report(&format!("{pass:?}"), &hits);
        results.push((pass, hits, cost));
    }
    println!("\nin the order that adds most per millisecond:");
    let mut known: BTreeSet<usize> = BTreeSet::new();
    while !results.is_empty() {
        let worth = |(pass, hits, cost): &(Pass, BTreeSet<usize>, f64)| match pass {
            Pass::AsIs => f64::INFINITY,
            _ => hits.difference(&known).count() as f64 / cost,
        };
        results.sort_by(|a, b| worth(b).total_cmp(&worth(a)));
        let (pass, hits, cost) = results.remove(0);
        let added = hits.difference(&known).count();
        known.extend(hits);
        println!(
            "{:20} adds {added:3} at {cost:5.1} ms a frame",
            format!("{pass:?}")
        );
    }
    report("all together", &known);
    println!();
    live(&frames, text);
}

/// How many live frames of one unchanging scene the schedule needs, and how long it is at them.
fn live(frames: &[Luma], text: &str) {
    let turn = Schedule::HEAVIER.len();
    let mut needed = Vec::new();
    let mut times = Vec::new();
    for frame in frames {
        let mut schedule = Schedule::new();
        let ours = |code: &Code| code.text == text;
        let start = Instant::now();
        let hit = (1..=turn).find(|_| schedule.frame(frame, ours).iter().any(ours));
        if let Some(hit) = hit {
            needed.push(hit);
            times.push(start.elapsed().as_secs_f64() * 1000.0);
        }
    }
    times.sort_by(f64::total_cmp);
    let at = |share: usize| {
        times
            .get(times.len() * share / 100)
            .copied()
            .unwrap_or(f64::NAN)
    };
    print!(
        "live schedule: {} of {} scenes read; by frame",
        needed.len(),
        frames.len()
    );
    for frame in 1..=turn {
        print!(
            "  {frame}: {}",
            needed.iter().filter(|&&n| n == frame).count()
        );
    }
    println!(
        "; ms to the hit: median {:.1}, 95th percentile {:.1}",
        at(50),
        at(95)
    );
}

fn report(name: &str, hits: &BTreeSet<usize>) {
    print!("{name:20} ");
    for kind in 0..KINDS.len() {
        print!(
            "{:10}",
            hits.iter()
                .filter(|&&i| i / FRAMES_PER_KIND == kind)
                .count()
        );
    }
    println!("{:10}", hits.len());
}
