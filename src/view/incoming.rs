//! The planner's first page: bundles in, what came, open findings.

use super::{
    ArrivalRow, Incoming, ReceiptRow,
    desk::{self, Desk, Topic},
    dialog, finding, hand, taking_in,
    words::{mark_of, model, sentence, value, when},
};
use crate::{
    app::{App, AppError, Followed, Listed, Register},
    check::{Entered, words},
    judge::Verdict,
    record::Stamp,
    report::counted,
    say,
    store::{EntryRow, ReceiptRow as Receipt},
};
use slint::ComponentHandle;
use std::{cmp::Reverse, rc::Rc, sync::Arc};

/// Findings and arrivals shown at most; the search narrows them.
const MOST_ROWS: usize = 2000;

const MS_PER_MIN: i64 = 60_000;

/// What came in last and what is open, before search and filter.
pub struct Answer {
    register: Arc<Register>,
    receipts: Vec<Receipt>,
    arrivals: Vec<EntryRow>,
    findings: Vec<Followed>,
    now: Stamp,
}

/// Connects the page.
pub fn attach(desk: &Desk) {
    let incoming = desk.window().global::<Incoming>();
    incoming.on_import_file(|| desk::with(|desk| dialog::open_bundles(desk, taking_in::add)));
    incoming.on_filter_changed(|| desk::with(show));
    incoming.on_search_edited(|_| desk::with(show));
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

/// Fills the page anew.
pub fn refresh(desk: &Desk) {
    desk.ask(Topic::Incoming, ask, |desk, answer| {
        desk.state.borrow_mut().incoming = Some(Rc::new(answer));
        show(desk);
    });
}

fn ask(app: &mut App) -> Result<Answer, AppError> {
    let now = app.now();
    let reader = app.store().read();
    let receipts = reader.receipts()?;
    let mut arrivals = Vec::new();
    for receipt in of_the_last_day(&receipts) {
        arrivals.extend(reader.entries_of_receipt(receipt.id)?);
    }
    arrivals.sort_by(|one: &EntryRow, other| {
        let key = |row: &EntryRow| (row.entry.pump.clone(), row.entry.seen_at.utc_ms);
        key(one).cmp(&key(other))
    });
    let findings = app.followed(&Listed {
        pump: None,
        open_only: true,
        most: u32::MAX,
    })?;
    Ok(Answer {
        register: app.register()?,
        receipts,
        arrivals,
        findings,
        now,
    })
}

/// The files taken in on the day of the last, the newest first as the store gives them.
fn of_the_last_day(receipts: &[Receipt]) -> impl Iterator<Item = &Receipt> {
    let day = |receipt: &Receipt| {
        let local_ms = receipt.file.at.utc_ms + i64::from(receipt.file.at.offset_min) * MS_PER_MIN;
        local_ms.div_euclid(24 * 60 * MS_PER_MIN)
    };
    let last = receipts.first().map(day);
    receipts
        .iter()
        .take_while(move |one| Some(day(one)) == last)
}

fn show(desk: &Desk) {
    let Some(answer) = desk.state.borrow().incoming.clone() else {
        return;
    };
    let incoming = desk.window().global::<Incoming>();
    let now = answer.now;
    let plant = answer.register.plant();
    let search = incoming.get_search().to_lowercase();
    let fits = |text: &str| {
        let text = text.to_lowercase();
        search.split_whitespace().all(|word| text.contains(word))
    };
    let refused = desk.state.borrow().taking_in.refused().to_vec();
    let refused = refused.into_iter().map(refused_row);
    let taken = answer
        .receipts
        .iter()
        .map(|receipt| receipt_row(receipt, now));
    incoming.set_receipts(model(refused.chain(taken).collect()));
    let total: u64 = answer
        .receipts
        .iter()
        .map(|receipt| receipt.counts.new)
        .sum();
    let words = match answer.receipts.len() {
        0 => String::new(),
        1 => say!("1 bundle taken in, {records} records", records = total),
        many => say!(
            "{count} bundles taken in, {records} records",
            count = many,
            records = total
        ),
    };
    incoming.set_words(words.into());

    let name = |pump: &crate::plant::PumpId| plant.pump(pump).map_or("", |pump| pump.name.as_str());
    let is_shown = shown_verdicts(&incoming);
    let left_out_shown = incoming.get_show_not_checked();
    let is_arrival_shown = |entry: &EntryRow| match entry.entry.entered {
        Entered::NotChecked { .. } => left_out_shown,
        // Somebody wrote words because nothing else said it: they are not hidden with what is good.
        Entered::Words { .. } if entry.entry.judgement.verdict == Verdict::NotJudged => true,
        _ => is_shown(entry.entry.judgement.verdict),
    };
    let arrivals = answer.arrivals.iter().filter(|entry| {
        let words = || {
            format!(
                "{} {} {}",
                entry.entry.pump,
                name(&entry.entry.pump),
                words::title(entry.entry.check)
            )
        };
        is_arrival_shown(entry) && fits(&words())
    });
    let arrivals: Vec<EntryRow> = arrivals.take(MOST_ROWS).cloned().collect();
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

    let findings = answer.findings.iter().filter(|of| {
        let what = match of.by_entry() {
            Some(row) => words::title(row.check),
            None => of.sentence(),
        };
        is_shown(of.severity()) && fits(&format!("{} {} {what}", of.pump(), name(of.pump())))
    });
    let mut findings: Vec<&Followed> = findings.collect();
    findings.sort_by_key(|of| Reverse((of.severity(), of.latest().utc_ms)));
    findings.truncate(MOST_ROWS);
    let words = match findings.len() {
        1 => say!("1 open finding").to_owned(),
        count => say!("{count} open findings", count),
    };
    incoming.set_findings_words(words.into());
    let rows = findings
        .iter()
        .map(|of| hand::row(of, name(of.pump()), now));
    incoming.set_findings(model(rows.collect()));
}

fn shown_verdicts(incoming: &Incoming<'_>) -> impl Fn(Verdict) -> bool + use<> {
    let (stop, act, watch, good) = (
        incoming.get_show_stop_pump(),
        incoming.get_show_act(),
        incoming.get_show_watch(),
        incoming.get_show_in_limits(),
    );
    move |verdict| match verdict {
        Verdict::StopPump => stop,
        Verdict::Act => act,
        Verdict::Watch => watch,
        Verdict::InLimits | Verdict::NotJudged => good,
    }
}

fn refused_row(refused: taking_in::Refused) -> ReceiptRow {
    ReceiptRow {
        file: refused.file.into(),
        words: sentence(&refused.why),
        refused: true,
        ..ReceiptRow::default()
    }
}

fn receipt_row(receipt: &Receipt, now: Stamp) -> ReceiptRow {
    let counts = receipt.counts;
    let aside = match counts.set_aside {
        0 => String::new(),
        count => format!(", {}", say!("{count} set aside", count)),
    };
    ReceiptRow {
        file: receipt.file.file_name.as_str().into(),
        sub: say!("taken in {time}", time = when(receipt.file.at, now)).into(),
        words: (say!(
            "{new} new, {known} already here, {photos}",
            new = counts.new,
            known = counts.known,
            photos = counted(
                counts.photos,
                say!("counted" => "photo"),
                say!("counted" => "photos")
            )
        ) + &aside)
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
        pump: name.into(),
        first_of_pump,
        title: words::title(entry.entry.check).into(),
        value: value(entry).into(),
        verdict: mark_of(Some(entry)),
        sub: format!("{} · {}", when(entry.entry.seen_at, now), entry.by).into(),
        finding_id: entry
            .entry
            .finding
            .map(|finding| finding.to_string())
            .unwrap_or_default()
            .into(),
    }
}
