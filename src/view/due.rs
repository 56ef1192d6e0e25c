//! What is due by running hours and by the calendar.

use super::{
    Due as Bridge, DueRow, GroupRow, Worked as Line,
    desk::{self, Desk, Topic},
    visit,
    words::{mark, model},
    working,
};
use crate::{
    app::{DueNow, GreaseBySize, GroupHours, PumpDue},
    check::words::short_place,
    plant::PumpId,
    record::HowFound,
    say,
};
use slint::ComponentHandle;

/// Connects the page.
pub fn attach(desk: &Desk) {
    let page = desk.window().global::<Bridge>();
    page.on_open_pump(|id| {
        if let Ok(pump) = id.parse::<PumpId>() {
            desk::with(|desk| visit::open(desk, pump, HowFound::Chosen));
        }
    });
}

/// Fills the page anew.
pub fn refresh(desk: &Desk) {
    desk.ask(Topic::Due, |app| app.due(), |desk, due| show(desk, &due));
}

fn show(desk: &Desk, due: &DueNow) {
    let page = desk.window().global::<Bridge>();
    page.set_jobs(model(due.jobs.iter().map(job_row).collect()));
    page.set_groups(model(due.groups.iter().map(group_row).collect()));
    page.set_by_size_words(by_size_words(&due.by_size).into());
    page.set_by_size(model(due.by_size.iter().map(by_size_line).collect()));
    page.set_nothing_words(say!("The register has no greasing programme for any pump.").into());
}

fn job_row(job: &PumpDue) -> DueRow {
    let (what, words) = match &job.due {
        Ok(due) => (due.job.what.clone(), due.words.clone()),
        Err(why) => (say!("Greasing").to_owned(), why.to_string()),
    };
    DueRow {
        pump: job.pump.as_str().into(),
        verdict: mark(job.verdict()),
        job: what.into(),
        words: words.into(),
    }
}

fn by_size_words(found: &[GreaseBySize]) -> String {
    match found.iter().filter(|one| one.is_noted()).count() {
        0 => say!("None is far from its programme").to_owned(),
        1 => say!("1 with a note for the planner").to_owned(),
        noted => say!("{noted} with a note for the planner", noted),
    }
}

/// Named by its pump and place: what it is stands above all of them.
fn by_size_line(found: &GreaseBySize) -> Line {
    let (pump, place) = (&found.pump, short_place(found.place));
    Line {
        name: if found.is_noted() {
            say!("{pump}  {place}, with a note for the planner", pump, place).into()
        } else {
            format!("{pump}  {place}").into()
        },
        ..working::line(&found.worked, None)
    }
}

fn group_row(group: &GroupHours) -> GroupRow {
    let hours = group.hours().into_iter().map(Into::into);
    GroupRow {
        name: say!(
            "{group}, over {days} days",
            group = group.group,
            days = format!("{:.0}", group.days)
        )
        .into(),
        verdict: mark(group.verdict()),
        hours: model(hours.collect()),
        words: group.words().into(),
    }
}
