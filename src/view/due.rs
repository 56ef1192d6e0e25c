//! What is due by running hours and by the calendar.

use super::{
    Due as Bridge, DueRow, GroupRow,
    desk::{self, Desk, Topic},
    visit,
    words::{mark, model},
};
use crate::{
    app::{DueNow, GroupHours, PumpDue},
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
