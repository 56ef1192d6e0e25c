//! One operator at one pump.

use super::{
    CheckRow, FindingRow, Page, Place as Spotted, Running, Spot, Verdict as Mark, Visit,
    desk::{self, Desk, Topic},
    diagnosis, entry, hand, home, photo, picture, procedures, summary,
    words::{mark, mark_of, model, value, when},
    working,
};
use crate::{
    app::{App, AppError, Arrive, Checklist, SeeRunning, Standing, Withdraw},
    check::{RunningState, words},
    plant::{CheckId, PumpId},
    record::{HowFound, Stamp},
    report, say,
    store::FindingRow as Finding,
};
use slint::ComponentHandle;
use uuid::Uuid;

/// Connects the page.
pub fn attach(desk: &Desk) {
    let visit = desk.window().global::<Visit>();
    visit.on_set_running(|running| desk::with(|desk| set_running(desk, running)));
    visit.on_open_check(|index| desk::with(|desk| entry::open(desk, index)));
    visit.on_open_spot(|spot| desk::with(|desk| open_spot(desk, spot)));
    visit.on_open_next(|| desk::with(open_next));
    visit.on_open_photo(|| desk::with(|desk| photo::open(desk, None)));
    visit.on_open_finding(|id| desk::with(|desk| super::finding::open(desk, &id)));
    visit.on_undo(|| desk::with(undo));
    visit.on_open_diagnosis(|| desk::with(diagnosis::open_here));
    visit.on_open_procedures(|| desk::with(procedures::open_here));
    visit.on_finish(|| desk::with(summary::open));
}

/// Opens a pump: goes on with its open visit, or begins one.
pub fn open(desk: &Desk, pump: PumpId, found: HowFound) {
    desk.perform(
        move |app| {
            // On whichever round under way passes this pump.
            let visit = app.perform(Arrive {
                pump,
                found,
                round: None,
            })?;
            look(app, visit)
        },
        |desk, looked| {
            show(desk, looked);
            desk.go(Page::Visit);
        },
        |desk, error| desk.fail(&error),
    );
}

/// Goes on with the open visit.
pub fn go_on(desk: &Desk) {
    desk.ask(
        Topic::Visit,
        |app| {
            app.open_visit()?
                .map(|visit| look(app, visit.visit))
                .transpose()
        },
        |desk, looked| {
            if let Some(looked) = looked {
                show(desk, looked);
                desk.go(Page::Visit);
            }
        },
    );
}

/// Shows the visit being looked at anew.
pub fn refresh(desk: &Desk) {
    if let Some(visit) = current(desk) {
        desk.ask(Topic::Visit, move |app| look(app, visit), show);
    }
}

/// The visit being looked at.
pub fn current(desk: &Desk) -> Option<Uuid> {
    desk.state
        .borrow()
        .checklist
        .as_ref()
        .map(|list| list.visit.visit)
}

/// The pump of the visit being looked at.
pub fn current_pump(desk: &Desk) -> Option<PumpId> {
    let state = desk.state.borrow();
    Some(state.checklist.as_ref()?.pump.id.clone())
}

/// A visit as it stands, what there is of procedures for its pump, and the time.
pub type Looked = (Checklist, String, Stamp);

/// Reads a visit.
pub fn look(app: &mut App, visit: Uuid) -> Result<Looked, AppError> {
    let list = app.checklist(visit)?;
    let procedures = procedures::in_one_line(app, &list.pump.id)?;
    Ok((list, procedures, app.now()))
}

/// Shows a visit as it stands.
pub fn show(desk: &Desk, (list, procedures, now): Looked) {
    let visit = desk.window().global::<Visit>();
    visit.set_procedures_words(procedures.into());
    let pump = &list.pump;
    visit.set_pump_id(pump.id.as_str().into());
    visit.set_pump_name(pump.name.as_str().into());
    visit.set_service(pump.service.as_str().into());
    visit.set_liquid(
        say!(
            "{liquid}, usually {temperature} °C",
            liquid = pump.liquid,
            temperature = pump.liquid_temperature_c
        )
        .into(),
    );
    visit.set_hazard(pump.hazard.as_deref().unwrap_or_default().into());
    visit.set_running(match list.visit.running {
        RunningState::Running => Running::Running,
        RunningState::Standby => Running::Standby,
        RunningState::OutOfService => Running::OutOfService,
    });
    visit.set_build(picture::build_of(pump));
    let spots = spots(&list);
    let mut rows = check_rows(&list, &spots);
    visit.set_more_checks(model(rows.split_off(list.checks.len())));
    visit.set_checks(model(rows));
    visit.set_spots(model(spots));
    let walk = list.checks.iter().take(list.walk);
    let done = walk
        .filter(|state| state.standing() != Standing::Missing)
        .count();
    visit.set_done(i32::try_from(done).unwrap_or(i32::MAX));
    visit.set_total(i32::try_from(list.walk).unwrap_or(i32::MAX));
    visit.set_progress_words(say!("{done} of {count} entered", done, count = list.walk).into());
    let findings = list.open_findings.iter();
    visit.set_findings(model(
        findings
            .map(|open| hand::row(open, &list.pump.name, now))
            .collect(),
    ));
    hand::show_asked(desk, &list, now);
    let undo = list
        .last_entry()
        .map(|entry| format!("{}: {}", words::title(entry.entry.check), value(entry)));
    visit.set_undo_words(undo.unwrap_or_default().into());
    if current(desk) != Some(list.visit.visit) {
        visit.set_worked(model(Vec::new()));
        visit.set_has_diagnosis(false);
        visit.set_diagnosis_words("".into());
    }
    desk.state.borrow_mut().checklist = Some(list);
    working::refresh(desk);
    super::remedy::refresh_waits(desk);
}

/// Where a check stands in the list that the window shows, those not made yet that can be asked for besides at its end.
pub fn index_of(list: &Checklist, check: CheckId) -> Option<i32> {
    let mut all = list.checks.iter().chain(&list.on_request);
    let index = all.position(|state| state.check.id == check)?;
    i32::try_from(index).ok()
}

/// The check that stands there.
pub fn check_at(list: &Checklist, index: i32) -> Option<CheckId> {
    let mut all = list.checks.iter().chain(&list.on_request);
    Some(all.nth(usize::try_from(index).ok()?)?.check.id)
}

/// A finding as a row.
pub fn finding_row(finding: &Finding, pump_name: &str, photos: usize, now: Stamp) -> FindingRow {
    let seen = match finding.entries {
        1 => say!("seen once").to_owned(),
        count => say!("seen {count} times", count),
    };
    let pictures = match photos {
        0 => String::new(),
        many => format!(
            " · {}",
            report::counted(
                many as u64,
                say!("counted" => "photo"),
                say!("counted" => "photos")
            )
        ),
    };
    FindingRow {
        id: finding.finding.to_string().into(),
        pump_id: finding.pump.as_str().into(),
        pump: pump_name.into(),
        title: words::title(finding.check).into(),
        sentence: report::sentence(&finding.latest).into(),
        verdict: mark(finding.latest.entry.judgement.verdict),
        when: format!(
            "{} · {seen}{pictures}",
            when(finding.latest.entry.seen_at, now)
        )
        .into(),
        by: finding.latest.by.as_str().into(),
        photos: i32::try_from(photos).unwrap_or(i32::MAX),
    }
}

/// One spot a place, in walking order, with the worst of its checks.
fn spots(list: &Checklist) -> Vec<Spot> {
    let mut spots: Vec<Spot> = Vec::new();
    for state in &list.checks {
        let place: Spotted = picture::spot_of(state.check.id.kind, state.check.id.place);
        let mark = mark_of(state.entry.as_ref());
        match spots.iter_mut().find(|spot| spot.place == place) {
            Some(spot) => {
                spot.checks += 1;
                spot.verdict = worse(spot.verdict, mark);
            }
            None => spots.push(Spot {
                index: i32::try_from(spots.len()).unwrap_or(i32::MAX),
                place,
                label: words::title(state.check.id).into(),
                verdict: mark,
                checks: 1,
            }),
        }
    }
    spots
}

/// The mark a spot shows for two checks: what is out of limits first, then what is still to do.
fn worse(one: Mark, other: Mark) -> Mark {
    let weight = |mark: Mark| match mark {
        Mark::StopPump => 6,
        Mark::Act => 5,
        Mark::Watch => 4,
        Mark::NotEntered => 3,
        Mark::NotChecked => 2,
        Mark::NotJudged => 1,
        Mark::InLimits => 0,
    };
    if weight(other) > weight(one) {
        other
    } else {
        one
    }
}

/// The walk's checks, then those on request.
fn check_rows(list: &Checklist, spots: &[Spot]) -> Vec<CheckRow> {
    let row = |(index, state): (usize, &crate::app::CheckState)| {
        let place = picture::spot_of(state.check.id.kind, state.check.id.place);
        let spot = spots.iter().find(|spot| spot.place == place);
        CheckRow {
            index: i32::try_from(index).unwrap_or(i32::MAX),
            title: words::name(state.check.id.kind).into(),
            place_words: words::short_place(state.check.id.place).into(),
            value: state.entry.as_ref().map(value).unwrap_or_default().into(),
            verdict: mark_of(state.entry.as_ref()),
            has_caution: state.check.caution.is_some(),
            spot: spot.map_or(-1, |spot| spot.index),
        }
    };
    let all = list.checks.iter().chain(&list.on_request);
    all.enumerate().map(row).collect()
}

fn open_spot(desk: &Desk, spot: i32) {
    let check = {
        let state = desk.state.borrow();
        let Some(list) = &state.checklist else { return };
        let spots = spots(list);
        let Some(spot) = spots.iter().find(|own| own.index == spot) else {
            return;
        };
        let here = |check: &crate::app::CheckState| {
            picture::spot_of(check.check.id.kind, check.check.id.place) == spot.place
        };
        let mut checks = list.checks.iter().filter(|check| here(check));
        let missing = |check: &&crate::app::CheckState| check.standing() == Standing::Missing;
        let check = checks.clone().find(missing).or_else(|| checks.next());
        check.map(|check| check.check.id)
    };
    if let Some(check) = check {
        entry::open_check(desk, check);
    }
}

/// Opens the first check not yet entered, or the summary where there is none.
pub fn open_next(desk: &Desk) {
    let next = {
        let state = desk.state.borrow();
        let list = state.checklist.as_ref();
        list.and_then(|list| Some(list.checks.get(list.next_missing()?)?.check.id))
    };
    match next {
        Some(check) => entry::open_check(desk, check),
        None => summary::open(desk),
    }
}

fn set_running(desk: &Desk, running: Running) {
    let Some(visit) = current(desk) else { return };
    let running = match running {
        Running::Running => RunningState::Running,
        Running::Standby => RunningState::Standby,
        Running::OutOfService => RunningState::OutOfService,
    };
    desk.perform(
        move |app| {
            app.perform(SeeRunning { visit, running })?;
            look(app, visit)
        },
        show,
        |desk, error| desk.fail(&error),
    );
}

fn undo(desk: &Desk) {
    let last = desk
        .state
        .borrow()
        .checklist
        .as_ref()
        .and_then(|list| Some((list.visit.visit, list.last_entry()?.record)));
    let Some((visit, record)) = last else { return };
    desk.perform(
        move |app| {
            app.perform(Withdraw { record })?;
            look(app, visit)
        },
        |desk, looked| {
            show(desk, looked);
            entry::reopen_taken_back(desk);
            desk.say(say!("Taken back."));
            home::refresh(desk);
        },
        |desk, error| desk.fail(&error),
    );
}
