//! The rounds, and the one being walked.

use super::{
    LeftRow, Page, RoundNowRow, Rounds, StopKind, StopRow, WalkStage,
    desk::{self, Desk, Topic},
    home, visit,
    words::{capital, model, when},
};
use crate::{
    app::{
        App, AppError, BeginRound, EndRound, Left, PauseRound, Register, ResumeRound, RoundNow,
        SkipStop, Stage, Stop, StopStanding, Walk,
    },
    check::words,
    plant::{PumpId, RoundId},
    record::{HowFound, Stamp},
    report::counted,
    say,
};
use slint::ComponentHandle;
use std::sync::Arc;
use uuid::Uuid;

/// The round being looked at.
#[derive(Clone)]
pub struct Shown {
    round: RoundId,
    run: Option<Uuid>,
    stops: Vec<PumpId>,
}

/// The rounds as they stand.
pub struct Answer {
    rounds: Vec<RoundNow>,
    /// The walk that was just ended here.
    ended: Option<Walk>,
    register: Arc<Register>,
    operator: String,
    now: Stamp,
}

/// Connects the pages.
pub fn attach(desk: &Desk) {
    let page = desk.window().global::<Rounds>();
    page.on_open(|id| desk::with(|desk| open(desk, &id)));
    page.on_begin(|| {
        desk::with(|desk| {
            act(desk, |app, shown| {
                app.perform(BeginRound(shown.round)).map(|_| None)
            });
        });
    });
    page.on_resume(|| desk::with(|desk| on_walk(desk, |app, run| app.perform(ResumeRound(run)))));
    page.on_lay_aside(|| {
        desk::with(|desk| on_walk(desk, |app, run| app.perform(PauseRound(run))));
    });
    page.on_open_stop(|index| desk::with(|desk| open_stop(desk, index)));
    page.on_pass_over(|index, reason| {
        desk::with(|desk| {
            let Some(pump) = stop_at(desk, index) else {
                return;
            };
            let reason = reason.to_string();
            on_walk(desk, move |app, run| {
                app.perform(SkipStop { run, pump, reason })
            });
        });
    });
    page.on_end(|reason| {
        desk::with(|desk| {
            let rest = (!reason.is_empty()).then(|| reason.to_string());
            act(desk, move |app, shown| {
                let run = shown.run.ok_or(AppError::NoWalk(shown.round))?;
                app.perform(EndRound { run, rest })?;
                Ok(Some(app.walk(run)?))
            });
        });
    });
}

/// Reads the rounds.
pub fn ask(app: &mut App) -> Result<Answer, AppError> {
    Ok(Answer {
        rounds: app.rounds_now()?,
        ended: None,
        register: app.register()?,
        operator: app.operator().to_owned(),
        now: app.now(),
    })
}

/// Opens a round.
fn open(desk: &Desk, id: &str) {
    let Ok(round) = id.parse::<RoundId>() else {
        return;
    };
    desk.ask(Topic::Rounds, ask, move |desk, answer| {
        go_to(desk, &round, &answer);
    });
}

/// Goes to a round, if it is still there.
pub fn go_to(desk: &Desk, round: &RoundId, answer: &Answer) {
    show_list(desk, answer);
    show(desk, round, answer);
    if current(desk).is_some() {
        desk.go(Page::Round);
    }
}

/// The round being looked at.
pub fn current(desk: &Desk) -> Option<RoundId> {
    let state = desk.state.borrow();
    state.walking.as_ref().map(|shown| shown.round.clone())
}

/// Shows what has become of the round being looked at, if one is.
pub fn refresh(desk: &Desk) {
    desk.ask(Topic::Rounds, ask, |desk, answer| {
        show_list(desk, &answer);
        let shown = desk.state.borrow().walking.clone();
        if let Some(shown) = shown {
            show(desk, &shown.round, &answer);
        }
    });
}

/// Does something with the round being looked at, and shows what has become of it.
fn act(
    desk: &Desk,
    what: impl FnOnce(&mut App, Shown) -> Result<Option<Walk>, AppError> + Send + 'static,
) {
    let Some(shown) = desk.state.borrow().walking.clone() else {
        return;
    };
    let round = shown.round.clone();
    desk.perform(
        move |app| {
            let ended = what(app, shown)?;
            Ok(Answer { ended, ..ask(app)? })
        },
        move |desk, answer| {
            show_list(desk, &answer);
            show(desk, &round, &answer);
            home::refresh(desk);
        },
        |desk, error| desk.fail(&error),
    );
}

fn on_walk(
    desk: &Desk,
    what: impl FnOnce(&mut App, Uuid) -> Result<(), AppError> + Send + 'static,
) {
    act(desk, move |app, shown| {
        let run = shown.run.ok_or(AppError::NoWalk(shown.round))?;
        what(app, run).map(|()| None)
    });
}

fn stop_at(desk: &Desk, index: i32) -> Option<PumpId> {
    let state = desk.state.borrow();
    let stops = &state.walking.as_ref()?.stops;
    stops.get(usize::try_from(index).ok()?).cloned()
}

fn open_stop(desk: &Desk, index: i32) {
    if let Some(pump) = stop_at(desk, index) {
        visit::open(desk, pump, HowFound::Chosen);
    }
}

/// Fills the list of rounds, and which of them is first.
pub fn show_list(desk: &Desk, answer: &Answer) {
    let page = desk.window().global::<Rounds>();
    page.set_rounds(model(answer.rounds.iter().map(row).collect()));
    let own = |now: &&RoundNow| {
        let walk = now.under_way.as_ref();
        walk.is_some_and(|walk| walk.stage == Stage::UnderWay && walk.by == answer.operator)
    };
    let first = answer.rounds.iter().find(own).or(answer.rounds.first());
    let first = first.map(|now| RoundNowRow {
        walk: now
            .under_way
            .as_ref()
            .map(left_short)
            .unwrap_or_default()
            .into(),
        ..row(now)
    });
    page.set_first(first.unwrap_or_default());
}

fn row(now: &RoundNow) -> RoundNowRow {
    let lying = now.left_lying.first().map(|walk| {
        let left = left_short(walk);
        say!("left lying by {name}, {left}", name = walk.by, left)
    });
    let under_way = now.under_way.as_ref().map(|walk| {
        let stage = walk.stage.words();
        format!("{stage}, {}, {}", left_short(walk), walk.by)
    });
    RoundNowRow {
        id: now.round.as_str().into(),
        name: now.name.as_str().into(),
        due: capital(&now.due.words()).into(),
        overdue: now.due.is_overdue(),
        walk: under_way.or(lying).unwrap_or_default().into(),
    }
}

fn left_short(walk: &Walk) -> String {
    say!(
        "{count} of {stops} left",
        count = walk.left(),
        stops = stops_counted(walk.stops.len())
    )
}

fn show(desk: &Desk, round: &RoundId, answer: &Answer) {
    let page = desk.window().global::<Rounds>();
    let Some(now) = answer.rounds.iter().find(|now| now.round == *round) else {
        // It has left the plant, and its last walk is ended.
        desk.state.borrow_mut().walking = None;
        if desk.window().global::<super::Nav>().get_page() == Page::Round {
            desk.go(Page::Rounds);
        }
        return;
    };
    page.set_id(now.round.as_str().into());
    page.set_name(now.name.as_str().into());
    page.set_due(capital(&now.due.words()).into());
    page.set_overdue(now.due.is_overdue());
    let lying = now.left_lying.first();
    let ended = answer.ended.as_ref().filter(|walk| walk.round == *round);
    let walk = now.under_way.as_ref().or(ended).or(lying);
    let stage = match walk {
        None => WalkStage::NotBegun,
        Some(walk) if walk.is_left_lying(answer.now) => WalkStage::LeftLying,
        Some(walk) => match walk.stage {
            Stage::Ended => WalkStage::Ended,
            Stage::Paused => WalkStage::LaidAside,
            Stage::UnderWay if walk.by == answer.operator => WalkStage::Own,
            Stage::UnderWay => WalkStage::Other,
        },
    };
    page.set_stage(stage);
    page.set_by_words(
        walk.map(|walk| by_words(walk, stage, answer.now))
            .unwrap_or_default()
            .into(),
    );
    page.set_left_out(model(ended.map(left_rows).unwrap_or_default()));
    let next = show_stops(desk, walk, round, answer);
    page.set_next(next);
    let unexplained: Vec<String> = walk
        .iter()
        .flat_map(|walk| &walk.stops)
        .filter(|stop| stop.is_unexplained())
        .map(missing_words)
        .collect();
    page.set_explained(unexplained.is_empty());
    page.set_unexplained_words(unexplained.join("; ").into());
}

/// Fills the stops, and gives the place of the next one.
fn show_stops(desk: &Desk, walk: Option<&Walk>, round: &RoundId, answer: &Answer) -> i32 {
    let page = desk.window().global::<Rounds>();
    let plant = answer.register.plant();
    let next = walk.and_then(next_stop);
    let name = |pump: &PumpId| plant.pump(pump).map_or("", |pump| pump.name.as_str());
    let mut rows = Vec::new();
    let mut pumps = Vec::new();
    match walk {
        Some(walk) => {
            for (index, stop) in walk.stops.iter().enumerate() {
                rows.push(stop_row(index, stop, name(&stop.pump), next == Some(index)));
                pumps.push(stop.pump.clone());
            }
            let made = walk.made();
            let stops = stops_counted(walk.stops.len());
            page.set_progress_words(say!("{made} of {stops} made", made, stops).into());
        }
        None => {
            let stops = plant.round(round).map(|round| round.stops.as_slice());
            for (index, pump) in stops.unwrap_or_default().iter().enumerate() {
                rows.push(StopRow {
                    index: place(index),
                    pump_id: pump.as_str().into(),
                    name: name(pump).into(),
                    kind: StopKind::Open,
                    standing: say!("of a stop" => "Open").into(),
                    ..StopRow::default()
                });
                pumps.push(pump.clone());
            }
            page.set_progress_words(stops_counted(pumps.len()).into());
        }
    }
    page.set_stops(model(rows));
    desk.state.borrow_mut().walking = Some(Shown {
        round: round.clone(),
        run: walk.map(|walk| walk.run),
        stops: pumps,
    });
    next.map_or(-1, place)
}

fn stops_counted(count: usize) -> String {
    counted(count as u64, say!("stop"), say!("stops"))
}

fn checks_counted(count: usize) -> String {
    counted(count as u64, say!("check"), say!("checks"))
}

fn place(index: usize) -> i32 {
    i32::try_from(index).unwrap_or(i32::MAX)
}

/// The first stop that nobody was at, or else the first that somebody is at still.
fn next_stop(walk: &Walk) -> Option<usize> {
    let open = |stop: &Stop| stop.standing == StopStanding::Open;
    let begun = |stop: &Stop| matches!(stop.standing, StopStanding::BeingVisited { .. });
    let first = walk.stops.iter().position(open);
    first.or_else(|| walk.stops.iter().position(begun))
}

fn stop_row(index: usize, stop: &Stop, name: &str, is_next: bool) -> StopRow {
    let (kind, by) = match &stop.standing {
        StopStanding::Open if is_next => (StopKind::Next, ""),
        StopStanding::Open => (StopKind::Open, ""),
        StopStanding::BeingVisited { by, .. } => (StopKind::BeingVisited, by.as_str()),
        StopStanding::Visited { by, .. } => (StopKind::Made, by.as_str()),
        StopStanding::Skipped { by, .. } => (StopKind::PassedOver, by.as_str()),
    };
    let running = words::running_state(stop.running);
    let sub = match by {
        "" => running.to_owned(),
        by => format!("{running} · {by}"),
    };
    StopRow {
        index: place(index),
        pump_id: stop.pump.as_str().into(),
        name: name.into(),
        kind,
        standing: capital(&stop.words()).into(),
        sub: sub.into(),
    }
}

fn by_words(walk: &Walk, stage: WalkStage, now: Stamp) -> String {
    let since = when(walk.taken_up, now);
    match stage {
        WalkStage::LeftLying => say!(
            "{name} took it up {time} and never ended it. Go on with it, or end it and say why.",
            name = walk.by,
            time = since
        ),
        WalkStage::Ended => say!("Ended, {name}", name = walk.by),
        _ => say!(
            "{stage} since {time}, {name}",
            stage = capital(walk.stage.words()),
            time = since,
            name = walk.by
        ),
    }
}

fn missing_words(stop: &Stop) -> String {
    if stop.standing == StopStanding::Open {
        format!("{}: {}", stop.pump, say!("the whole stop"))
    } else {
        format!("{}: {}", stop.pump, checks_counted(stop.missing.len()))
    }
}

fn left_rows(walk: &Walk) -> Vec<LeftRow> {
    let left = walk.left_out();
    left.iter()
        .map(|left| {
            let what = match left.what {
                Left::Stop => say!("the whole stop").to_owned(),
                Left::Check(check) => words::title(check),
                Left::Rest(checks) => checks_counted(checks.len()),
            };
            LeftRow {
                what: format!("{}: {what}", left.pump).into(),
                why: left.why.unwrap_or(say!("no reason given")).into(),
            }
        })
        .collect()
}
