//! The operator's first page.

use super::{
    Home, PumpRow, RoundRow, Verdict as Mark,
    desk::{self, Desk, Topic},
    scan, visit,
    words::{ago, mark, model, when},
};
use crate::{
    app::{App, AppError, Register, Waiting},
    plant::{Pump, PumpId, Round, RoundId, SpareRole},
    record::{HowFound, Stamp},
    store::{PumpMark, VisitRow},
};
use slint::ComponentHandle;
use std::{collections::HashMap, sync::Arc};

struct Answer {
    register: Arc<Register>,
    marks: HashMap<PumpId, PumpMark>,
    open: Option<VisitRow>,
    waiting: Waiting,
    now: Stamp,
}

/// Connects the page.
pub fn attach(desk: &Desk) {
    let home = desk.window().global::<Home>();
    home.on_continue_visit(|| desk::with(visit::go_on));
    home.on_search_edited(|_| desk::with(refresh));
    home.on_choose_round(|id| {
        desk::with(|desk| {
            desk.state.borrow_mut().round = id.parse::<RoundId>().ok();
            refresh(desk);
        });
    });
    home.on_open_pump(|id| {
        if let Ok(pump) = id.parse::<PumpId>() {
            desk::with(|desk| visit::open(desk, pump, HowFound::Chosen));
        }
    });
    home.on_keyed(|text| desk::with(|desk| scan::keyed(desk, &printed(&text))));
}

/// A typed line without the keys that print nothing: a scanner holds Shift for each capital, and keys come as
/// characters of their own, control characters or of the private use area.
fn printed(line: &str) -> String {
    let is_key = |c: char| c.is_control() || ('\u{e000}'..='\u{f8ff}').contains(&c);
    line.chars().filter(|c| !is_key(*c)).collect()
}

/// Fills the page anew.
pub fn refresh(desk: &Desk) {
    desk.ask(Topic::Home, ask, show);
}

fn ask(app: &mut App) -> Result<Answer, AppError> {
    let marks = app.store().read().pump_marks()?;
    Ok(Answer {
        register: app.register()?,
        marks: marks
            .into_iter()
            .map(|mark| (mark.pump.clone(), mark))
            .collect(),
        open: app.open_visit()?,
        waiting: app.waiting()?,
        now: app.now(),
    })
}

fn show(desk: &Desk, answer: Answer) {
    let home = desk.window().global::<Home>();
    let plant = answer.register.plant();
    let round = desk
        .state
        .borrow()
        .round
        .as_ref()
        .and_then(|id| plant.round(id))
        .cloned();
    let rounds = plant
        .rounds
        .iter()
        .map(|round| round_row(round, &answer))
        .collect();
    home.set_rounds(model(rounds));
    home.set_round_id(round.as_ref().map_or("", |round| round.id.as_str()).into());
    home.set_round_name(
        round
            .as_ref()
            .map_or("All pumps", |round| round.name.as_str())
            .into(),
    );
    let search = home.get_search().to_lowercase();
    let pumps: Vec<&Pump> = match &round {
        Some(round) => round.stops.iter().filter_map(|id| plant.pump(id)).collect(),
        None => plant.pumps.iter().collect(),
    };
    let rows = pumps
        .iter()
        .filter(|pump| fits(pump, &search))
        .map(|pump| pump_row(pump, &answer))
        .collect();
    home.set_pumps(model(rows));
    let done = round.as_ref().map(|round| stops_done(round, &answer));
    home.set_progress_words(match (&round, done) {
        (Some(round), Some(done)) => format!("{done} of {} stops done", round.stops.len()).into(),
        _ => format!("{} pumps", plant.pumps.len()).into(),
    });
    show_open_visit(desk, &answer);
    let waiting = answer.waiting;
    home.set_waiting(
        i32::try_from(waiting.entries + waiting.corrections + waiting.photos).unwrap_or(i32::MAX),
    );
    home.set_waiting_words(super::send::waiting_words(&waiting).into());
}

fn show_open_visit(desk: &Desk, answer: &Answer) {
    let home = desk.window().global::<Home>();
    match &answer.open {
        Some(visit) => {
            home.set_open_visit(visit.pump.as_str().into());
            home.set_open_visit_words(
                format!(
                    "{}, begun {}",
                    match visit.entries {
                        1 => "1 check entered".to_owned(),
                        many => format!("{many} checks entered"),
                    },
                    when(visit.opened, answer.now)
                )
                .into(),
            );
        }
        None => home.set_open_visit("".into()),
    }
}

/// A pump fits a search when each of its words is in the pump's number, name, service, liquid or area.
fn fits(pump: &Pump, search: &str) -> bool {
    let text = format!(
        "{} {} {} {} {}",
        pump.id, pump.name, pump.service, pump.liquid, pump.area
    )
    .to_lowercase();
    search.split_whitespace().all(|word| text.contains(word))
}

fn pump_row(pump: &Pump, answer: &Answer) -> PumpRow {
    let found = answer.marks.get(&pump.id);
    let area = answer
        .register
        .plant()
        .area(&pump.area)
        .map_or("", |area| area.name.as_str());
    let role = pump.spare.as_ref().map_or("", |spare| match spare.role {
        SpareRole::Duty => "duty",
        SpareRole::Standby => "standby",
    });
    let sub: Vec<_> = [area, role]
        .into_iter()
        .filter(|text| !text.is_empty())
        .collect();
    PumpRow {
        id: pump.id.as_str().into(),
        name: pump.name.as_str().into(),
        area: area.into(),
        service: pump.service.as_str().into(),
        verdict: found
            .and_then(|found| found.worst)
            .map_or(Mark::NotEntered, mark),
        sub: sub.join(" · ").into(),
        last: found
            .and_then(|found| found.last_visit)
            .map(|visit| ago(visit, answer.now))
            .unwrap_or_default()
            .into(),
    }
}

fn round_row(round: &Round, answer: &Answer) -> RoundRow {
    RoundRow {
        id: round.id.as_str().into(),
        name: round.name.as_str().into(),
        due: format!("every {} h", round.every_hours).into(),
        done: i32::try_from(stops_done(round, answer)).unwrap_or(i32::MAX),
        total: i32::try_from(round.stops.len()).unwrap_or(i32::MAX),
    }
}

/// Stops visited within the round's own time.
fn stops_done(round: &Round, answer: &Answer) -> usize {
    let window_ms = (round.every_hours * 3_600_000.0) as i64;
    let is_done = |stop: &&PumpId| {
        let visited = answer
            .marks
            .get(stop)
            .and_then(|mark| mark.last_visit)
            .map(|visit| visit.utc_ms);
        visited.is_some_and(|at| answer.now.utc_ms.saturating_sub(at) < window_ms)
    };
    round.stops.iter().filter(is_done).count()
}
