//! The planner's first page: bundles in, what came, open findings.

use super::{
    ArrivalRow, Incoming, Page, ReceiptRow, Session,
    desk::{self, Desk, Topic},
    dialog, finding,
    visit::finding_row,
    words::{mark_of, model, value, when},
};
use crate::{
    app::{App, AppError, Import, Imported, Progress, Register},
    check::{Entered, words},
    judge::Verdict,
    record::Stamp,
    store::{EntryRow, FindingRow as Finding, FindingsOf, ReceiptRow as Receipt},
};
use slint::{ComponentHandle, Timer, TimerMode};
use std::{cmp::Reverse, path::PathBuf, sync::Arc, time::Duration};

/// Findings and arrivals shown at most; the search narrows them.
const MOST_ROWS: usize = 2000;

struct Answer {
    register: Arc<Register>,
    receipts: Vec<Receipt>,
    arrivals: Vec<EntryRow>,
    findings: Vec<(Finding, usize)>,
    now: Stamp,
}

/// Connects the page.
pub fn attach(desk: &Desk) {
    let incoming = desk.window().global::<Incoming>();
    incoming.on_import_file(|| desk::with(|desk| dialog::open_bundle(desk, take_in)));
    incoming.on_filter_changed(|| desk::with(refresh));
    incoming.on_search_edited(|_| desk::with(refresh));
    incoming.on_open_finding(|id| desk::with(|desk| finding::open(desk, &id)));
    incoming.on_open_arrival(|index| {
        desk::with(|desk| {
            let entry = usize::try_from(index)
                .ok()
                .and_then(|i| desk.state.borrow().arrivals.get(i).cloned());
            if let Some(entry) = entry {
                finding::open_entry(desk, entry.record);
            }
        });
    });
}

/// Takes in a bundle: progress shown, can be cancelled.
pub fn take_in(desk: &Desk, path: PathBuf) {
    desk.go(Page::Incoming);
    let progress = Progress::default();
    begin(desk, &progress);
    let name = path
        .file_name()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned();
    let told = name.clone();
    desk.ask_or(
        Topic::Incoming,
        move |app| app.perform(Import { path, progress }),
        move |desk, imported: Imported| {
            end(desk);
            desk.say(&format!("{name}: {imported}."));
            refresh(desk);
        },
        move |desk, error| {
            end(desk);
            desk.fail(&format!("{told} was not taken in: {error}"));
            refresh(desk);
        },
    );
}

fn begin(desk: &Desk, progress: &Progress) {
    let session = desk.window().global::<Session>();
    session.set_busy_words("Taking in the bundle".into());
    session.set_busy_can_cancel(true);
    session.set_busy_progress(0.0);
    session.set_busy(true);
    let timer = Timer::default();
    let watched = progress.clone();
    timer.start(TimerMode::Repeated, Duration::from_millis(100), move || {
        desk::with(|desk| {
            desk.window()
                .global::<Session>()
                .set_busy_progress(watched.fraction())
        });
    });
    desk.state.borrow_mut().busy = Some((progress.clone(), timer));
}

fn end(desk: &Desk) {
    desk.window().global::<Session>().set_busy(false);
    desk.state.borrow_mut().busy = None;
}

/// Fills the page anew.
pub fn refresh(desk: &Desk) {
    desk.ask(Topic::Incoming, ask, show);
}

fn ask(app: &mut App) -> Result<Answer, AppError> {
    let now = app.now();
    let reader = app.store().read();
    let receipts = reader.receipts()?;
    let arrivals = match receipts.first() {
        Some(latest) => reader.entries_of_receipt(latest.id)?,
        None => Vec::new(),
    };
    let findings = app.open_findings(FindingsOf::Everything)?;
    let findings = app.with_photos(findings)?;
    Ok(Answer {
        register: app.register()?,
        receipts,
        arrivals,
        findings,
        now,
    })
}

fn show(desk: &Desk, answer: Answer) {
    let incoming = desk.window().global::<Incoming>();
    let now = answer.now;
    let plant = answer.register.plant();
    let search = incoming.get_search().to_lowercase();
    let fits = |text: &str| {
        let text = text.to_lowercase();
        search.split_whitespace().all(|word| text.contains(word))
    };
    incoming.set_receipts(model(
        answer
            .receipts
            .iter()
            .map(|receipt| receipt_row(receipt, now))
            .collect(),
    ));
    let total: u64 = answer
        .receipts
        .iter()
        .map(|receipt| receipt.counts.new)
        .sum();
    incoming.set_words(
        format!(
            "{} bundles taken in, {total} records",
            answer.receipts.len()
        )
        .into(),
    );

    let name = |pump: &crate::plant::PumpId| plant.pump(pump).map_or("", |pump| pump.name.as_str());
    let is_shown = shown_verdicts(&incoming);
    let mut arrivals = answer.arrivals;
    arrivals.retain(|entry| {
        let words = format!(
            "{} {} {}",
            entry.entry.pump,
            name(&entry.entry.pump),
            words::title(entry.entry.check)
        );
        is_shown(entry) && fits(&words)
    });
    arrivals.truncate(MOST_ROWS);
    let mut rows: Vec<ArrivalRow> = Vec::with_capacity(arrivals.len());
    for (index, entry) in arrivals.iter().enumerate() {
        let first = index == 0 || arrivals[index - 1].entry.pump != entry.entry.pump;
        rows.push(arrival_row(
            index,
            entry,
            first,
            name(&entry.entry.pump),
            now,
        ));
    }
    incoming.set_arrivals(model(rows));
    desk.state.borrow_mut().arrivals = arrivals;

    let mut findings = answer.findings;
    findings.retain(|(finding, _)| {
        is_shown(&finding.latest)
            && fits(&format!(
                "{} {} {}",
                finding.pump,
                name(&finding.pump),
                words::title(finding.check)
            ))
    });
    findings.sort_by_key(|(finding, _)| {
        let latest = &finding.latest.entry;
        Reverse((latest.judgement.verdict, latest.seen_at.utc_ms))
    });
    findings.truncate(MOST_ROWS);
    incoming.set_findings_words(format!("{} open findings", findings.len()).into());
    let rows = findings
        .iter()
        .map(|(finding, photos)| finding_row(finding, name(&finding.pump), *photos, now));
    incoming.set_findings(model(rows.collect()));
}

fn shown_verdicts(incoming: &Incoming<'_>) -> impl Fn(&EntryRow) -> bool + use<> {
    let (stop, act, watch) = (
        incoming.get_show_stop_pump(),
        incoming.get_show_act(),
        incoming.get_show_watch(),
    );
    let (good, left_out) = (
        incoming.get_show_in_limits(),
        incoming.get_show_not_checked(),
    );
    move |entry| match entry.entry.judgement.verdict {
        _ if matches!(entry.entry.entered, Entered::NotChecked { .. }) => left_out,
        Verdict::StopPump => stop,
        Verdict::Act => act,
        Verdict::Watch => watch,
        Verdict::InLimits | Verdict::NotJudged => good,
    }
}

fn receipt_row(receipt: &Receipt, now: Stamp) -> ReceiptRow {
    let counts = receipt.counts;
    let aside = match counts.set_aside {
        0 => String::new(),
        many => format!(", {many} set aside"),
    };
    ReceiptRow {
        file: receipt.file.file_name.as_str().into(),
        sub: format!("taken in {}", when(receipt.file.at, now)).into(),
        words: format!(
            "{} new, {} already here, {} photos{aside}",
            counts.new, counts.known, counts.photos
        )
        .into(),
        refused: false,
    }
}

fn arrival_row(
    index: usize,
    entry: &EntryRow,
    first_of_pump: bool,
    name: &str,
    now: Stamp,
) -> ArrivalRow {
    let pump = &entry.entry.pump;
    ArrivalRow {
        index: i32::try_from(index).unwrap_or(i32::MAX),
        pump_id: pump.as_str().into(),
        pump: format!("{pump} {name}").into(),
        first_of_pump,
        title: words::title(entry.entry.check).into(),
        value: value(entry).into(),
        verdict: mark_of(Some(entry)),
        sub: format!("{} · {}", when(entry.entry.seen_at, now), entry.by).into(),
        photos: 0,
        finding_id: entry
            .entry
            .finding
            .map(|finding| finding.to_string())
            .unwrap_or_default()
            .into(),
    }
}
