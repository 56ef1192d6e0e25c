//! What entries come to together, as lines that unfold.

use super::{
    Visit, Worked as Line, WorkingRow,
    desk::{Desk, Topic},
    diagnosis, entry, visit,
    words::{model, sentence},
};
use crate::{
    app::Checklist,
    check::words,
    evaluation::{Evaluation, Outcome, Worked},
    judge::Verdict,
    language,
};
use slint::ComponentHandle;

/// Works out anew what the visit being looked at comes to, and shows it wherever it is on the screen.
pub fn refresh(desk: &Desk) {
    desk.state.borrow_mut().evaluation = None;
    let Some(visit) = visit::current(desk) else {
        return;
    };
    desk.ask(
        Topic::Working,
        move |app| app.evaluation(visit),
        move |desk, evaluation| {
            if visit::current(desk) == Some(visit) {
                show_on_visit(desk, &evaluation);
                desk.state.borrow_mut().evaluation = Some(evaluation);
                entry::show_worked(desk);
                diagnosis::refresh(desk, visit);
            }
        },
    );
}

fn show_on_visit(desk: &Desk, evaluation: &Evaluation) {
    let state = desk.state.borrow();
    let Some(list) = &state.checklist else { return };
    let page = desk.window().global::<Visit>();
    page.set_worked(model(lines(&evaluation.worked, Some(list))));
    let out_of_limits = list.checks.iter().any(|state| {
        let entry = state.entry.as_ref();
        entry.is_some_and(|row| row.entry.judgement.verdict.is_out_of_limits())
    });
    let causes = evaluation.causes.as_ref();
    // What drifts, or what gauges come to, can be wrong with every entry in limits.
    let fits = causes.is_some_and(|causes| causes.diagnosis.shown().next().is_some());
    page.set_has_diagnosis(out_of_limits || fits || !list.open_findings.is_empty());
    let words = causes.map(|causes| causes.diagnosis.summary());
    page.set_diagnosis_words(words.unwrap_or_default().into());
}

/// Results as lines. Checks that would allow one open only where they are on this list.
pub fn lines(worked: &[Worked], list: Option<&Checklist>) -> Vec<Line> {
    worked.iter().map(|worked| line(worked, list)).collect()
}

/// One result as a line.
pub fn line(worked: &Worked, list: Option<&Checklist>) -> Line {
    let formula = worked.formula;
    let rows = worked.rows.iter().map(|(name, value)| WorkingRow {
        name: name.into(),
        value: value.into(),
    });
    let mut line = Line {
        name: worked.name.as_str().into(),
        allow_check: -1,
        rows: model(rows.collect()),
        formula: formula
            .map(|formula| language::word(formula.name).into())
            .unwrap_or_default(),
        source: formula
            .map(|formula| formula.source.into())
            .unwrap_or_default(),
        cautions: model(worked.cautions.iter().map(Into::into).collect()),
        ..Line::default()
    };
    match &worked.outcome {
        Outcome::Is { words, verdict } => {
            line.value = words.into();
            line.has_verdict = verdict.is_some();
            line.verdict = super::words::mark(verdict.unwrap_or(Verdict::NotJudged));
        }
        Outcome::Cannot { why, enter } => {
            line.cannot = sentence(why);
            let index = enter.and_then(|check| visit::index_of(list?, check));
            line.allow_check = index.unwrap_or(-1);
            line.allow_title = enter
                .map(|check| words::title(check).into())
                .unwrap_or_default();
        }
    }
    line
}
