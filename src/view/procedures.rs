//! The procedures of one pump.

use super::{
    OtherProcedure, Page, ProcedureRow, Procedures, RunRow,
    desk::{self, Desk, Topic},
    run, visit,
    words::{capital, model, sentence},
};
use crate::{
    app::{App, AppError, BeginProcedure, Needs, Offer, ProcedureRun},
    language,
    plant::PumpId,
    procedure::{PLANT_RULES, duration},
    record::Stamp,
    report::counted,
    say,
};
use slint::ComponentHandle;
use uuid::Uuid;

/// Past runs listed.
const RUNS_LISTED: usize = 10;

/// What the page shows.
pub struct Shown {
    pump: PumpId,
    /// Those for the pump, in the order shown.
    fitting: Vec<(Offer, Needs)>,
    /// Names of the pumps that can stand in.
    names: Vec<(PumpId, String)>,
    chosen: Option<usize>,
}

struct Answer {
    pump: PumpId,
    pump_name: String,
    offers: Vec<Offer>,
    partner_names: Vec<(PumpId, String)>,
    runs: Vec<ProcedureRun>,
    now: Stamp,
}

/// Connects the page.
pub fn attach(desk: &Desk) {
    let page = desk.window().global::<Procedures>();
    page.on_choose(|index| desk::with(|desk| choose(desk, usize::try_from(index).ok())));
    page.on_begin(|| desk::with(begin));
    page.on_open_run(|id| {
        if let Ok(id) = id.parse::<Uuid>() {
            desk::with(|desk| run::open(desk, id));
        }
    });
}

/// Opens the page on the pump of the visit being looked at.
pub fn open_here(desk: &Desk) {
    if let Some(pump) = visit::current_pump(desk) {
        ask(desk, pump, |desk| desk.go(Page::Procedures));
    }
}

/// Shows the page anew.
pub fn refresh(desk: &Desk) {
    let shown = desk
        .state
        .borrow()
        .procedures
        .as_ref()
        .map(|shown| shown.pump.clone());
    if let Some(pump) = shown {
        ask(desk, pump, |_| {});
    }
}

fn ask(desk: &Desk, pump: PumpId, then: impl FnOnce(&Desk) + Send + 'static) {
    desk.ask(
        Topic::Procedures,
        move |app| look(app, pump),
        move |desk, answer| {
            show(desk, answer);
            then(desk);
        },
    );
}

fn look(app: &mut App, pump: PumpId) -> Result<Answer, AppError> {
    let register = app.register()?;
    let name = |id: &PumpId| Some(register.plant().pump(id)?.name.clone());
    let offers = app.procedures_for(&pump)?;
    let partners = offers.iter().filter_map(|offer| offer.fits.as_ref().ok());
    let partner_names = partners
        .flat_map(|needs| &needs.partners)
        .map(|id| (id.clone(), name(id).unwrap_or_default()))
        .collect();
    Ok(Answer {
        pump_name: register.pump(&pump)?.name.clone(),
        partner_names,
        offers,
        runs: app.runs_at(&pump, RUNS_LISTED)?,
        now: app.now(),
        pump,
    })
}

fn show(desk: &Desk, answer: Answer) {
    let page = desk.window().global::<Procedures>();
    page.set_rules(language::word(PLANT_RULES).into());
    page.set_pump_id(answer.pump.as_str().into());
    page.set_pump_name(answer.pump_name.as_str().into());
    let (under_way, earlier): (Vec<_>, Vec<_>) =
        answer.runs.iter().partition(|run| run.is_under_way());
    let rows = |runs: Vec<&ProcedureRun>| {
        let rows = runs.into_iter().map(|run| row(run, answer.now));
        model(rows.collect())
    };
    page.set_under_way(rows(under_way));
    page.set_earlier(rows(earlier));
    let mut fitting = Vec::new();
    let mut others = Vec::new();
    for offer in answer.offers {
        match &offer.fits {
            Ok(needs) => fitting.push((offer.clone(), needs.clone())),
            Err(why) => others.push(OtherProcedure {
                name: offer.name.as_str().into(),
                why: why.to_string().into(),
            }),
        }
    }
    page.set_others(model(others));
    page.set_fitting(model(
        fitting
            .iter()
            .map(|(offer, needs)| ProcedureRow {
                name: offer.name.as_str().into(),
                needs: needs_words(needs).into(),
            })
            .collect(),
    ));
    desk.state.borrow_mut().procedures = Some(Shown {
        pump: answer.pump,
        fitting,
        names: answer.partner_names,
        chosen: None,
    });
    choose(desk, None);
}

fn needs_words(needs: &Needs) -> String {
    let count = |many: usize, one: &str, more: &str| counted(many as u64, one, more);
    let mut words = vec![count(needs.steps, say!("step"), say!("steps"))];
    if needs.permissions > 0 {
        let asked = (say!("permission"), say!("permissions"));
        words.push(count(needs.permissions, asked.0, asked.1));
    }
    if needs.waits_s > 0 {
        words.push(say!("waits of {time}", time = duration(needs.waits_s)));
    }
    if !needs.partners.is_empty() {
        words.push(say!("a pump that takes over").to_owned());
    }
    words.join(", ")
}

/// A run in a list.
pub fn row(run: &ProcedureRun, now: Stamp) -> RunRow {
    let plan = run.run.plan();
    RunRow {
        id: run.id.to_string().into(),
        title: format!("{}, {}", plan.name, run::pumps(plan)).into(),
        words: run::in_short(run, now).into(),
    }
}

/// What there is for a pump, in one line for its visit.
pub fn in_one_line(app: &App, pump: &PumpId) -> Result<String, AppError> {
    let under_way = app.runs_under_way()?;
    if let Some(run) = under_way.iter().find(|run| run.is_at(pump)) {
        let step = run::step_words(run);
        return Ok(say!(
            "Under way: {procedure}, {step}",
            procedure = run.run.plan().name,
            step
        ));
    }
    let offers = app.procedures_for(pump)?;
    let fitting = offers.iter().filter(|offer| offer.fits.is_ok());
    let names: Vec<_> = fitting.map(|offer| offer.name.as_str()).collect();
    Ok(match names[..] {
        [] if offers.is_empty() => String::new(),
        [] => say!("of procedures" => "None is for this pump").to_owned(),
        _ => names.join(", "),
    })
}

fn choose(desk: &Desk, index: Option<usize>) {
    let page = desk.window().global::<Procedures>();
    page.set_error("".into());
    let mut state = desk.state.borrow_mut();
    let Some(shown) = state.procedures.as_mut() else {
        return;
    };
    shown.chosen = index.filter(|index| *index < shown.fitting.len());
    let chosen = shown.chosen.and_then(|index| shown.fitting.get(index));
    let partners: Vec<_> = chosen
        .map_or(&[][..], |(_, needs)| &needs.partners)
        .to_vec();
    let named = |id: &PumpId| {
        let name = shown.names.iter().find(|(known, _)| known == id);
        format!("{id}  {}", name.map_or("", |(_, name)| name.as_str()))
    };
    page.set_basis(chosen.map_or("", |(offer, _)| offer.basis.as_str()).into());
    page.set_partners(model(partners.iter().map(|id| named(id).into()).collect()));
    // Where there is one only, nothing is left to choose.
    page.set_partner(if partners.len() == 1 { 0 } else { -1 });
    let index = shown.chosen.and_then(|index| i32::try_from(index).ok());
    drop(state);
    page.set_chosen(index.unwrap_or(-1));
}

fn begin(desk: &Desk) {
    let page = desk.window().global::<Procedures>();
    let begin = {
        let state = desk.state.borrow();
        let Some(shown) = &state.procedures else {
            return;
        };
        let Some((offer, needs)) = shown.chosen.and_then(|index| shown.fitting.get(index)) else {
            return;
        };
        let partner = usize::try_from(page.get_partner()).ok();
        let partner = partner.and_then(|index| needs.partners.get(index)).cloned();
        if partner.is_none() && !needs.partners.is_empty() {
            page.set_error(say!("Choose the pump that takes over first.").into());
            return;
        }
        BeginProcedure {
            procedure: offer.procedure.clone(),
            pump: shown.pump.clone(),
            partner,
        }
    };
    desk.perform(
        move |app| {
            let run = app.perform(begin)?;
            run::look(app, run)
        },
        |desk, looked| {
            choose(desk, None);
            run::show(desk, looked);
            desk.go(Page::Run);
        },
        |desk, error| {
            let page = desk.window().global::<Procedures>();
            page.set_error(sentence(&error));
        },
    );
}

/// The words with a capital and a full stop.
pub fn full(words: &str) -> String {
    let words = capital(words);
    if words.ends_with(['.', '!', '?']) {
        words
    } else {
        format!("{words}.")
    }
}
