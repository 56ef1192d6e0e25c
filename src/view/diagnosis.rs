//! What is wrong at one pump.

use super::{
    CauseRow, Diagnosis as Bridge, EvidenceRow, Nav, Page, RuledOutRow, Side,
    desk::{self, Desk, Topic},
    entry, visit,
    words::{capital, model, when},
};
use crate::{
    app::{App, AppError},
    check::words,
    diagnosis::{Cause, Diagnosis, RANKING, Spoken, Standing, Weight},
    evaluation::{Advice, Causes, Evaluation, Worked},
    language,
    plant::CheckId,
    record::Stamp,
    say,
    store::VisitRow,
};
use slint::ComponentHandle;
use uuid::Uuid;

/// What the page shows.
#[derive(Clone, Copy)]
pub struct Shown {
    visit: Uuid,
    /// The check that tells the causes apart.
    telling: Option<CheckId>,
}

struct Answer {
    visit: VisitRow,
    pump_name: String,
    hazard: Option<String>,
    evaluation: Evaluation,
    now: Stamp,
}

/// Connects the page.
pub fn attach(desk: &Desk) {
    let page = desk.window().global::<Bridge>();
    page.on_open_telling(|| desk::with(open_telling));
}

/// Opens the page on a visit.
pub fn open(desk: &Desk, visit: Uuid) {
    desk.ask(
        Topic::Diagnosis,
        move |app| ask(app, visit),
        |desk, answer| {
            show(desk, &answer);
            desk.go(Page::Diagnosis);
        },
    );
}

/// Opens the page on the visit being looked at.
pub fn open_here(desk: &Desk) {
    if let Some(visit) = visit::current(desk) {
        open(desk, visit);
    }
}

/// Shows the page anew where it is on the screen with a visit that changed.
pub fn refresh(desk: &Desk, visit: Uuid) {
    let shown = desk.state.borrow().diagnosis.map(|shown| shown.visit);
    let on_screen = desk.window().global::<Nav>().get_page() == Page::Diagnosis;
    if on_screen && shown == Some(visit) {
        desk.ask(
            Topic::Diagnosis,
            move |app| ask(app, visit),
            |desk, answer| show(desk, &answer),
        );
    }
}

fn ask(app: &mut App, visit: Uuid) -> Result<Answer, AppError> {
    let evaluation = app.evaluation(visit)?;
    let row = app.store().read().visit(visit)?;
    let visit = row.ok_or(AppError::UnknownVisit(visit))?;
    let register = app.register()?;
    let pump = register.pump(&visit.pump)?;
    Ok(Answer {
        pump_name: pump.name.clone(),
        hazard: pump.hazard.clone(),
        visit,
        evaluation,
        now: app.now(),
    })
}

fn show(desk: &Desk, answer: &Answer) {
    let page = desk.window().global::<Bridge>();
    page.set_pump_id(answer.visit.pump.as_str().into());
    page.set_pump_name(answer.pump_name.as_str().into());
    let causes = answer.evaluation.causes.as_ref();
    let diagnosis = causes.map(|causes| &causes.diagnosis);
    let advice = |cause: &Cause<'_>| answer.evaluation.advice(cause);
    let fitting: Vec<_> = diagnosis.iter().flat_map(|known| known.shown()).collect();
    page.set_causes(model(
        fitting
            .iter()
            .copied()
            .zip('A'..)
            .map(|(cause, letter)| cause_row(cause, letter, advice(cause)))
            .collect(),
    ));
    page.set_more_words(diagnosis.map(more_words).unwrap_or_default().into());
    let ruled_out = diagnosis.map_or(&[][..], |diagnosis| &diagnosis.ruled_out);
    page.set_ruled_out(model(
        ruled_out
            .iter()
            .map(|cause| RuledOutRow {
                title: capital(language::word(&cause.trouble.words)).into(),
                by: said(&cause.by).into(),
            })
            .collect(),
    ));
    let first = fitting.first().map(|cause| advice(cause));
    let is_settled = diagnosis.is_some_and(|known| {
        let is_seen = fitting
            .iter()
            .all(|cause| cause.standing == Standing::Proved);
        known.fitting.len() == 1 || (fitting.len() == 1 && is_seen)
    });
    let if_first = |words: &str| match is_settled {
        true => words.to_owned(),
        false => say!("If it is A: {words}", words),
    };
    let first_action = first.as_ref().and_then(|first| first.first.as_deref());
    // What can't all be so is to be read again before anything is done about what seems to be wrong.
    let worked = answer.evaluation.worked.iter();
    let contradictions = worked.filter(|line| line.is_contradiction());
    let do_first: Vec<String> = contradictions
        .map(Worked::line)
        .chain(first_action.map(if_first))
        .collect();
    page.set_first_action(do_first.join(" ").into());
    let stop_when = first.as_ref().and_then(|first| first.stop_when.as_deref());
    let stop_words = answer.evaluation.stop().map(str::to_owned);
    page.set_stop_words(
        stop_words
            .or_else(|| stop_when.map(if_first))
            .unwrap_or_default()
            .into(),
    );
    let cautions = answer
        .hazard
        .iter()
        .chain(first.as_ref().map(|first| &first.caution));
    page.set_caution(
        cautions
            .map(String::as_str)
            .collect::<Vec<_>>()
            .join(" ")
            .into(),
    );
    page.set_basis_words(basis(answer).into());
    show_telling(desk, &answer.visit, causes);
}

fn cause_row(cause: &Cause<'_>, letter: char, advice: Advice) -> CauseRow {
    CauseRow {
        letter: letter.to_string().into(),
        title: capital(language::word(&cause.trouble.words)).into(),
        standing: cause.standing.words().into(),
        speaks_for: model(cause.speaks_for.iter().map(evidence_row).collect()),
        speaks_against: model(cause.speaks_against.iter().map(evidence_row).collect()),
        first_action: advice.first.unwrap_or_default().into(),
        stop_words: advice.stop_when.unwrap_or_default().into(),
    }
}

fn evidence_row(spoken: &Spoken<'_>) -> EvidenceRow {
    let strength = match spoken.weight {
        Weight::Proves => say!("of a sign" => "shows it"),
        Weight::StronglyFor | Weight::StronglyAgainst => say!("of a sign" => "strong"),
        Weight::For | Weight::Against => say!("of a sign" => "some"),
        Weight::Silent => "",
        Weight::RulesOut => say!("of a sign" => "rules it out"),
    };
    EvidenceRow {
        words: capital(spoken.words()).into(),
        strength: strength.into(),
        source: say!(
            "{origins} Known from: {source}",
            origins = spoken.origins.join(" "),
            source = spoken.source
        )
        .into(),
    }
}

fn said(by: &[Spoken<'_>]) -> String {
    let one = |spoken: &Spoken<'_>| format!("{} ({})", spoken.words(), spoken.origins.join(" "));
    by.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// What stands below the causes: which are possible too, what no check tells apart, what was told both ways.
fn more_words(diagnosis: &Diagnosis<'_>) -> String {
    let mut words = Vec::new();
    let also = diagnosis.also_words();
    if !also.is_empty() {
        words.push(say!("Also possible: {causes}.", causes = also));
    }
    if !diagnosis.fitting.is_empty() && diagnosis.telling.sign().is_none() {
        words.push(diagnosis.telling.words());
    }
    for sign in &diagnosis.contradicted {
        words.push(say!(
            "Told both ways and so left out: {sign}. Look again.",
            sign = sign.words()
        ));
    }
    words.join(" ")
}

fn basis(answer: &Answer) -> String {
    let Some(causes) = &answer.evaluation.causes else {
        return String::new();
    };
    let signs = match causes.evidence.iter().filter(|told| !told.earlier).count() {
        1 => say!("1 sign").to_owned(),
        many => say!("{count} signs", count = many),
    };
    let basis = say!(
        "From {signs} in the entries of the visit begun {time}. Ordered by {rule}.",
        signs,
        time = when(answer.visit.opened, answer.now),
        rule = language::word(RANKING.name)
    );
    let before = causes.before_words();
    format!("{basis} {before}").trim_end().to_owned()
}

/// The check that tells the causes apart; where nothing fits, the next one not entered. It opens where its pump is
/// being visited.
fn show_telling(desk: &Desk, visit: &VisitRow, causes: Option<&Causes>) {
    let page = desk.window().global::<Bridge>();
    let telling = causes.and_then(|causes| causes.look_next.first().copied());
    let can_open = {
        let state = desk.state.borrow();
        let is_operator = desk.window().global::<Nav>().get_side() == Side::Operator;
        let here = state
            .checklist
            .as_ref()
            .filter(|list| is_operator && list.pump.id == visit.pump);
        let missing = here.and_then(|list| Some(list.checks.get(list.next_missing()?)?.check.id));
        page.set_nothing_words(nothing_words(causes, missing).into());
        match telling {
            Some(check) => here.is_some_and(|list| list.check(check).is_some()),
            None => missing.is_some(),
        }
    };
    page.set_telling(telling.map(words::title).unwrap_or_default().into());
    let reason = causes.map(|causes| causes.diagnosis.telling.words());
    page.set_telling_reason(capital(&reason.unwrap_or_default()).into());
    page.set_telling_opens(can_open);
    desk.state.borrow_mut().diagnosis = Some(Shown {
        visit: visit.visit,
        telling,
    });
}

fn nothing_words(causes: Option<&Causes>, missing: Option<CheckId>) -> String {
    let why = match causes {
        None => say!("Nothing was entered that causes could be told by."),
        Some(_) => say!("What was entered fits none of the known causes."),
    };
    match missing {
        Some(check) => say!(
            "{why} Enter more checks; the next is {check}.",
            why,
            check = words::title(check)
        ),
        None => why.to_owned(),
    }
}

fn open_telling(desk: &Desk) {
    let telling = desk
        .state
        .borrow()
        .diagnosis
        .and_then(|shown| shown.telling);
    match telling {
        Some(check) => entry::open_check(desk, check),
        None => visit::open_next(desk),
    }
}
