//! How long the pages of a shift take to open on a plant of 500 pumps with ten years of rounds: home, a pump, a round,
//! the handover, what is due.
//!
//! `cargo bench --no-default-features --bench large_plant`. `LANTERN_RING_BENCH_YEARS` sets how many years of weekly
//! rounds there are, 1 where it is not set; 10 need some minutes and 6 GB in the temporary folder, or in the one that
//! `LANTERN_RING_BENCH_KEEP` names, where the store is written once.
//!
//! What is measured is what the door is asked for by each page, without drawing it. Times are of this machine and its
//! load; the ratios to a million square roots, measured in the same run, carry over. The plant and its history are made
//! up.

mod large;

use lantern_ring::{
    app::{App, HandoverOf},
    plant::PumpId,
    store::FindingsOf,
};
use large::{Outcome, PUMPS, ROUNDS, Times, times, written};
use std::{hint::black_box, time::Duration};

/// For each page.
const GOAL: Duration = Duration::from_millis(100);
const HOUR_MS: i64 = 3_600_000;

fn main() -> Outcome<()> {
    let Some(mut written) = written()? else {
        return Ok(());
    };
    println!("{:<44}{:>10}{:>10}{:>8}", "", "median", "p95", "ratio");
    let base = times(|round| Ok(square_roots(round) > 0.0))?;
    base.print("a million square roots", base.median);
    let told: Vec<(&str, Times)> = pages(&mut written.app)?;
    for (what, took) in &told {
        took.print(what, base.median);
    }
    for (what, took) in &told {
        let kept = if took.p95 <= GOAL { "kept" } else { "missed" };
        println!(
            "goal {GOAL:?} for {what}: {kept} at the 95th percentile, {:.1?}",
            took.p95
        );
    }
    Ok(())
}

fn square_roots(round: usize) -> f64 {
    let numbers = (0..1_000_000).map(|n| black_box(f64::from(n) + round as f64).sqrt());
    numbers.sum()
}

fn pages(app: &mut App) -> Outcome<Vec<(&'static str, Times)>> {
    let pump =
        |round: usize| -> Outcome<PumpId> { Ok(format!("P-{:03}", round * 37 % PUMPS).parse()?) };
    let mut told = Vec::new();
    told.push(("home", times(|_| home(app))?));
    let checklist = times(|round| {
        let visit = app.last_visit(&pump(round)?)?.ok_or("no visit")?;
        Ok(!app.checklist(visit.visit)?.checks.is_empty())
    })?;
    told.push(("a pump's checklist", checklist));
    let evaluation = times(|round| {
        let visit = app.last_visit(&pump(round)?)?.ok_or("no visit")?;
        Ok(!app.evaluation(visit.visit)?.trends.is_empty())
    })?;
    told.push(("what a visit's entries come to", evaluation));
    let findings = times(|round| {
        let pump = pump(round)?;
        let open = app.open_findings(FindingsOf::Pump(&pump))?;
        Ok(open.len() + app.hand_findings(&pump, true)?.len() < 100)
    })?;
    told.push(("a pump's open findings", findings));
    let rounds = times(|_| Ok(app.rounds_now()?.len() == ROUNDS))?;
    told.push(("rounds, what is due first", rounds));
    let walks = app.rounds_now()?;
    let walked = times(|round| {
        let run = walks[round % ROUNDS].last_ended.ok_or("never walked")?;
        Ok(!app.walk(run)?.stops.is_empty())
    })?;
    told.push(("a round's stops", walked));
    let to_ms = app.now().utc_ms;
    let shift = times(|_| {
        let of = HandoverOf {
            from_ms: to_ms - 12 * HOUR_MS,
            to_ms,
            ..HandoverOf::default()
        };
        let handover = app.handover(of)?;
        Ok(handover.visits.len() == PUMPS && !handover.sheet().text().is_empty())
    })?;
    told.push(("handover of a shift, 500 visits in it", shift));
    let of_round = times(|round| {
        let of = HandoverOf {
            walk: Some(walks[round % ROUNDS].last_ended.ok_or("never walked")?),
            ..HandoverOf::default()
        };
        Ok(!app.handover(of)?.sheet().text().is_empty())
    })?;
    told.push(("handover of a round", of_round));
    let due = times(|_| Ok(!app.due()?.jobs.is_empty()))?;
    told.push(("what is due, of 500 pumps", due));
    Ok(told)
}

/// What the first page asks for.
fn home(app: &mut App) -> Outcome<bool> {
    let marks = app.store().read().pump_marks()?;
    let rounds = app.rounds_now()?;
    black_box((app.open_visit()?, app.waiting()?, app.now()));
    black_box((app.runs_under_way()?, app.waits()?));
    Ok(marks.len() == PUMPS && rounds.len() == ROUNDS)
}
