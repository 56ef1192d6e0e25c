//! One finding with all that is known about it.

use super::{
    EntryRow as Row, FactRow, Finding as Bridge, Page, PhotoRow,
    desk::{self, Desk, Topic},
    diagnosis, hand,
    photo::window_marks,
    picture, plot, remedy,
    summary::{Small, made_small, small_photos},
    trend,
    words::{band, capital, do_first, history, mark, mark_of, model, value, when},
};
use crate::{
    app::{App, AppError, Followed, FoundBy, RemediesOf},
    check::words,
    judge,
    plant::{CheckId, Limits, Pump, PumpId, Seal},
    record::Stamp,
    report, say,
    store::{EntryRow, FindingRow, PhotosOf},
};
use slint::ComponentHandle;
use uuid::Uuid;

/// Entries in the history and its plot.
const HISTORY: u32 = 400;

/// Rows of the history's table.
const HISTORY_ROWS: usize = 60;

/// Long side of a photo on the page, px.
const PHOTO_LONG_SIDE: u32 = 900;

/// What the page shows.
pub struct Shown {
    pump: PumpId,
    check: CheckId,
    visit: Uuid,
}

struct Answer {
    /// The finding, or none where a single entry is shown.
    finding: Option<FindingRow>,
    /// The same with what was said of it, and what it likely comes from.
    followed: Option<Followed>,
    cause: Option<String>,
    latest: EntryRow,
    entries: Vec<EntryRow>,
    history: Vec<EntryRow>,
    photos: Vec<Small>,
    /// None where the pump has left the register since.
    pump: Option<Pump>,
    limits: Option<Limits>,
    trend_words: String,
    done: Vec<String>,
    now: Stamp,
}

/// Connects the page.
pub fn attach(desk: &Desk) {
    let page = desk.window().global::<Bridge>();
    page.on_open_trend(|| {
        desk::with(|desk| {
            let shown = desk.state.borrow();
            let of = shown.finding.as_ref();
            if let Some((pump, check)) = of.map(|of| (of.pump.clone(), of.check)) {
                drop(shown);
                trend::open(desk, pump, check);
            }
        });
    });
    page.on_open_diagnosis(|| {
        desk::with(|desk| {
            let visit = desk.state.borrow().finding.as_ref().map(|of| of.visit);
            if let Some(visit) = visit {
                diagnosis::open(desk, visit);
            }
        });
    });
}

/// Opens a finding by its identity.
pub fn open(desk: &Desk, id: &str) {
    let Ok(id) = id.parse::<Uuid>() else { return };
    desk.ask(
        Topic::Finding,
        move |app| {
            let of = app.finding(id)?;
            if let FoundBy::Hand(_) = &of.what {
                return Ok(Found::ByHand(Box::new(ask_by_hand(app, of)?)));
            }
            Ok(Found::ByEntry(ask(app, Some(of), None)?.map(Box::new)))
        },
        |desk, found| match found {
            Found::ByHand(answer) => show_by_hand(desk, *answer),
            Found::ByEntry(answer) => show(desk, answer.map(|answer| *answer)),
        },
    );
}

/// What was asked for.
enum Found {
    ByHand(Box<ByHand>),
    ByEntry(Option<Box<Answer>>),
}

/// A finding that somebody opened by hand.
struct ByHand {
    of: Followed,
    photos: Vec<Small>,
    pump: Option<Pump>,
    cause: Option<String>,
    done: Vec<String>,
    now: Stamp,
}

fn ask_by_hand(app: &mut App, of: Followed) -> Result<ByHand, AppError> {
    let now = app.now();
    let rows = app.photos_of_finding(&of)?;
    Ok(ByHand {
        photos: made_small(app, rows, PHOTO_LONG_SIDE)?,
        pump: app.register()?.plant().pump(of.pump()).cloned(),
        cause: app.likely_cause(&of)?,
        done: done_about(app, of.finding(), now)?,
        of,
        now,
    })
}

/// What was put right about a finding, a line each.
fn done_about(app: &mut App, finding: Uuid, now: Stamp) -> Result<Vec<String>, AppError> {
    let done = app.remedies_now(RemediesOf::Finding(finding))?;
    Ok(done
        .iter()
        .map(|done| remedy::in_one_line(done, now))
        .collect())
}

fn show_by_hand(desk: &Desk, answer: ByHand) {
    let page = desk.window().global::<Bridge>();
    let ByHand { of, now, .. } = &answer;
    page.set_pump_id(of.pump().as_str().into());
    page.set_pump_name(name_of(answer.pump.as_ref()).into());
    page.set_title(say!("Found by hand").into());
    page.set_verdict(mark(of.severity()));
    page.set_sentence(capital(&of.sentence()).into());
    page.set_first_action("".into());
    page.set_since_words(say!("Since {time}", time = when(of.opened(), *now)).into());
    let by = match &of.what {
        FoundBy::Hand(hand) => hand.by.as_str(),
        FoundBy::Entry(row) => row.latest.by.as_str(),
    };
    page.set_by_words(by.into());
    let photos = answer.photos.iter();
    page.set_photos(model(photos.map(|small| photo_row(small, *now)).collect()));
    page.set_entries(model(Vec::new()));
    page.set_history(model(Vec::new()));
    page.set_has_plot(false);
    page.set_band_words("".into());
    page.set_trend_words("".into());
    page.set_has_diagnosis(false);
    page.set_done(model(answer.done.iter().map(Into::into).collect()));
    let facts = answer.pump.as_ref().map(|pump| facts(pump, None));
    page.set_pump_facts(model(facts.unwrap_or_default()));
    show_followed(&page, Some(of), answer.cause.as_deref(), *now);
    desk.state.borrow_mut().finding = None;
    desk.go(Page::Finding);
}

/// What is followed of a finding, whoever opened it.
fn show_followed(page: &Bridge<'_>, of: Option<&Followed>, cause: Option<&str>, now: Stamp) {
    let id = of.map(|of| of.finding().to_string());
    page.set_id(id.unwrap_or_default().into());
    page.set_by_hand(of.is_some_and(|of| of.by_entry().is_none()));
    page.set_is_open(of.is_some_and(Followed::is_open));
    page.set_cause_words(capital(cause.unwrap_or_default()).into());
    let notes = of.into_iter().flat_map(|of| of.notes.iter().rev());
    page.set_said(model(
        notes.map(|note| hand::said(note, now).into()).collect(),
    ));
}

fn name_of(pump: Option<&Pump>) -> &str {
    pump.map_or(say!("no longer in the register"), |pump| pump.name.as_str())
}

/// Opens the history of one entry's check, or its finding where it has one.
pub fn open_entry(desk: &Desk, record: Uuid) {
    desk.ask(
        Topic::Finding,
        move |app| {
            let entry = app
                .store()
                .read()
                .entry(record)?
                .ok_or(AppError::UnknownEntry(record))?;
            let finding = entry.entry.finding.map(|id| app.finding(id)).transpose()?;
            ask(app, finding, Some(entry))
        },
        show,
    );
}

fn ask(
    app: &mut App,
    followed: Option<Followed>,
    entry: Option<EntryRow>,
) -> Result<Option<Answer>, AppError> {
    let now = app.now();
    let cause = match &followed {
        Some(of) => app.likely_cause(of)?,
        None => None,
    };
    let finding = followed.as_ref().and_then(Followed::by_entry).cloned();
    let Some(latest) = finding
        .as_ref()
        .map(|finding| finding.latest.clone())
        .or(entry)
    else {
        return Ok(None);
    };
    let (pump, check) = (latest.entry.pump.clone(), latest.entry.check);
    let register = app.register()?;
    // The trend of a pump that has left the register is nobody's business any more.
    let trend_words = match register.plant().pump(&pump) {
        Some(_) => capital(&app.trend_words(&pump, check)?),
        None => String::new(),
    };
    let done = match &finding {
        Some(finding) => done_about(app, finding.finding, now)?,
        None => Vec::new(),
    };
    let reader = app.store().read();
    let entries = match &finding {
        Some(finding) => reader
            .entries_of_finding(finding.finding)?
            .into_iter()
            .rev()
            .collect(),
        None => vec![latest.clone()],
    };
    let photos = match &finding {
        Some(finding) => small_photos(app, PhotosOf::Finding(finding.finding), PHOTO_LONG_SIDE)?,
        None => photos_beside(app, &latest)?,
    };
    Ok(Some(Answer {
        entries,
        trend_words,
        done,
        history: reader.history(&pump, check, HISTORY)?,
        photos,
        limits: register.plant().limits_of(&pump, check).cloned(),
        pump: register.plant().pump(&pump).cloned(),
        finding,
        followed,
        cause,
        latest,
        now,
    }))
}

/// Photos of an entry that belongs to no finding: those of its visit for its check, or of the pump as a whole.
fn photos_beside(app: &App, entry: &EntryRow) -> Result<Vec<Small>, AppError> {
    let mut photos = small_photos(app, PhotosOf::Visit(entry.entry.visit), PHOTO_LONG_SIDE)?;
    photos.retain(|small| {
        small
            .row
            .taken
            .check
            .is_none_or(|check| check == entry.entry.check)
    });
    Ok(photos)
}

fn show(desk: &Desk, answer: Option<Answer>) {
    let Some(answer) = answer else { return };
    let page = desk.window().global::<Bridge>();
    let (latest, now) = (&answer.latest, answer.now);
    let kind = latest.entry.check.kind;
    let (of, cause) = (answer.followed.as_ref(), answer.cause.as_deref());
    show_followed(&page, of, cause, now);
    let id = answer
        .finding
        .as_ref()
        .map(|finding| finding.finding.to_string());
    page.set_id(id.unwrap_or_default().into());
    page.set_done(model(answer.done.iter().map(Into::into).collect()));
    page.set_pump_id(latest.entry.pump.as_str().into());
    page.set_pump_name(name_of(answer.pump.as_ref()).into());
    page.set_title(words::title(latest.entry.check).into());
    page.set_verdict(mark(latest.entry.judgement.verdict));
    page.set_sentence(
        judge::finding_words(
            kind,
            &latest.entry.entered,
            &latest.entry.judgement,
            latest.entry.limits.as_ref(),
        )
        .into(),
    );
    page.set_first_action(do_first(latest).into());
    page.set_since_words(
        answer
            .finding
            .as_ref()
            .map(|finding| since(finding, now))
            .unwrap_or_default()
            .into(),
    );
    page.set_by_words(latest.by.as_str().into());
    page.set_photos(model(
        answer
            .photos
            .iter()
            .map(|photo| photo_row(photo, now))
            .collect(),
    ));
    let rows = answer
        .entries
        .iter()
        .map(|entry| entry_row(entry, now))
        .collect();
    page.set_entries(model(rows));
    page.set_history(model(history(
        &answer.history[..answer.history.len().min(HISTORY_ROWS)],
        now,
    )));
    plot::show(&page, &answer.history, answer.limits.as_ref(), now);
    page.set_band(band(answer.limits.as_ref(), 1.0));
    page.set_band_words(
        answer
            .limits
            .as_ref()
            .and_then(|limits| judge::band(kind, limits))
            .unwrap_or_default()
            .into(),
    );
    let facts = answer
        .pump
        .as_ref()
        .map(|pump| facts(pump, answer.limits.as_ref()));
    page.set_pump_facts(model(facts.unwrap_or_default()));
    page.set_trend_words(answer.trend_words.as_str().into());
    let out_of_limits = latest.entry.judgement.verdict.is_out_of_limits();
    page.set_has_diagnosis(out_of_limits && answer.pump.is_some());
    desk.state.borrow_mut().finding = Some(Shown {
        pump: latest.entry.pump.clone(),
        check: latest.entry.check,
        visit: latest.entry.visit,
    });
    desk.go(Page::Finding);
}

fn since(finding: &FindingRow, now: Stamp) -> String {
    let time = when(finding.first.entry.seen_at, now);
    match finding.entries {
        1 => say!("Since {time}, seen once", time),
        count => say!("Since {time}, seen {count} times", time, count),
    }
}

fn photo_row(small: &Small, now: Stamp) -> PhotoRow {
    let size = small
        .picture
        .as_ref()
        .map_or((1, 1), image::RgbImage::dimensions);
    let words = match small.picture {
        Some(_) => small.row.taken.words.clone(),
        None => say!(
            "{words} (the picture itself has not come)",
            words = small.row.taken.words
        ),
    };
    PhotoRow {
        picture: small
            .picture
            .as_ref()
            .map(picture::image_of)
            .unwrap_or_default(),
        marks: model(window_marks(&small.row.taken.marks, size)),
        words: words.trim().into(),
        when: format!("{} · {}", when(small.row.at, now), small.row.by).into(),
    }
}

fn entry_row(entry: &EntryRow, now: Stamp) -> Row {
    Row {
        title: words::title(entry.entry.check).into(),
        value: value(entry).into(),
        verdict: mark_of(Some(entry)),
        sentence: report::sentence(entry).into(),
        when: when(entry.entry.seen_at, now).into(),
        by: entry.by.as_str().into(),
        ..Row::default()
    }
}

fn facts(pump: &Pump, limits: Option<&Limits>) -> Vec<FactRow> {
    let fact = |name: &str, value: String| FactRow {
        name: name.into(),
        value: value.into(),
    };
    let seal = match &pump.seal {
        Seal::Packed {
            rings,
            shaft_diameter_mm,
            ..
        } => say!(
            "packed, {rings} rings, shaft {diameter} mm",
            rings,
            diameter = shaft_diameter_mm
        ),
        Seal::Mechanical { plan, .. } => say!("mechanical, {plan}", plan),
    };
    let driver = &pump.driver;
    let mut facts = vec![
        fact(say!("of a pump" => "Service"), pump.service.clone()),
        fact(
            say!("Liquid"),
            say!(
                "{liquid}, usually {temperature} °C",
                liquid = pump.liquid,
                temperature = pump.liquid_temperature_c
            ),
        ),
        fact(say!("Seal"), seal),
        fact(
            say!("Driver"),
            say!(
                "{power} kW, {voltage} V, {current} A, {speed} rpm",
                power = driver.power_kw,
                voltage = driver.voltage_v,
                current = driver.full_load_amps,
                speed = driver.speed_rpm
            ),
        ),
    ];
    if let Some(limits) = limits {
        facts.push(fact(
            say!("Limits"),
            say!("version {number}", number = limits.version),
        ));
        facts.push(fact(say!("Basis of the limits"), limits.basis.clone()));
    }
    if let Some(hazard) = &pump.hazard {
        facts.push(fact(say!("Hazard"), hazard.clone()));
    }
    facts
}
