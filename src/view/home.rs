//! The operator's first page.

use super::{
    Home, PumpRow, Verdict as Mark,
    desk::{self, Desk, Topic},
    procedures, rounds, run, scan, visit,
    words::{ago, mark, model, when},
};
use crate::{
    app::{App, AppError, ProcedureRun, Register, Waiting},
    plant::{Pump, PumpId, SpareRole},
    record::{HowFound, Stamp},
    say,
    store::{PumpMark, VisitRow},
};
use slint::ComponentHandle;
use std::{collections::HashMap, sync::Arc};
use uuid::Uuid;

/// Procedures under way that are shown; more at one time would leave no room for the pumps.
const RUNS_SHOWN: usize = 2;

struct Answer {
    register: Arc<Register>,
    marks: HashMap<PumpId, PumpMark>,
    open: Option<VisitRow>,
    rounds: rounds::Answer,
    waiting: Waiting,
    runs: Vec<ProcedureRun>,
    now: Stamp,
}

/// Connects the page.
pub fn attach(desk: &Desk) {
    let home = desk.window().global::<Home>();
    home.on_continue_visit(|| desk::with(visit::go_on));
    home.on_search_edited(|_| desk::with(refresh));
    home.on_open_pump(|id| {
        if let Ok(pump) = id.parse::<PumpId>() {
            desk::with(|desk| visit::open(desk, pump, HowFound::Chosen));
        }
    });
    home.on_open_run(|id| {
        if let Ok(id) = id.parse::<Uuid>() {
            desk::with(|desk| run::open(desk, id));
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
    super::remedy::refresh_waits(desk);
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
        rounds: rounds::ask(app)?,
        waiting: app.waiting()?,
        runs: app.runs_under_way()?,
        now: app.now(),
    })
}

fn show(desk: &Desk, answer: Answer) {
    let home = desk.window().global::<Home>();
    let plant = answer.register.plant();
    let search = home.get_search().to_lowercase();
    let pumps = plant.pumps.iter();
    let rows = pumps
        .filter(|pump| fits(pump, &search))
        .map(|pump| pump_row(pump, &answer))
        .collect();
    home.set_pumps(model(rows));
    rounds::show_list(desk, &answer.rounds);
    show_open_visit(desk, &answer);
    let runs = answer.runs.iter().take(RUNS_SHOWN);
    let runs = runs.map(|run| procedures::row(run, answer.now));
    home.set_runs(model(runs.collect()));
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
                match (visit.entries, when(visit.opened, answer.now)) {
                    (1, time) => say!("1 check entered, begun {time}", time),
                    (count, time) => say!("{count} checks entered, begun {time}", count, time),
                }
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
        SpareRole::Duty => say!("of a pump" => "duty"),
        SpareRole::Standby => say!("of a pump" => "standby"),
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
