//! What was done, as it is written down.

use super::{Draft, wait};
use crate::{
    app::{AppError, GlandNow, PutRight},
    check::words::short_place,
    plant::{Lubrication, Place, Pump, PumpId},
    remedy::{
        GreaseGiven, OilGiven, Remedy, StrainerWork, Turn, WaterChange, cautions,
        gland::Suggestion, grease, name, oil,
    },
    say,
    view::{
        Remedy as Bridge, RemedyFace, RemedyStage,
        desk::{self, Desk, Topic},
        home, visit,
        words::{model, sentence},
    },
};
use slint::{ComponentHandle, SharedString};

/// Flats that can be given to a nut at once.
const MOST_FLATS: u8 = crate::remedy::MOST_FLATS;

pub fn attach(desk: &Desk) {
    let page = desk.window().global::<Bridge>();
    page.on_set_nuts(|nuts| change(|draft| set_nuts(draft, nuts)));
    page.on_set_tightens(|tightens| change(|draft| set_turn(draft, tightens)));
    page.on_set_alike(|alike| change(|draft| set_alike(draft, alike)));
    page.on_turn(|nut, by| change(|draft| turn(draft, nut, by)));
    page.on_set_unit(|unit| change(|draft| set_unit(draft, unit)));
    page.on_more(|| change(|draft| step(draft, 1.0)));
    page.on_less(|| change(|draft| step(draft, -1.0)));
    page.on_grade_changed(|grade| change(|draft| set_grade(draft, &grade)));
    page.on_set_choice(|choice| change(|draft| set_choice(draft, choice)));
    page.on_save(|| desk::with(save));
}

/// Opens the form on what was chosen.
pub fn open(desk: &Desk) {
    let page = desk.window().global::<Bridge>();
    page.set_error("".into());
    page.set_warnings(model(Vec::new()));
    page.set_leave_words("".into());
    page.set_advice_words("".into());
    page.set_size_words("".into());
    page.set_words("".into());
    page.set_stage(RemedyStage::Form);
    show(desk);
    ask_gland(desk);
}

fn change(set: impl FnOnce(&mut Draft)) {
    desk::with(|desk| {
        set(&mut desk.state.borrow_mut().remedy);
        desk.window().global::<Bridge>().set_error("".into());
        show(desk);
    });
}

fn show(desk: &Desk) {
    let page = desk.window().global::<Bridge>();
    {
        let state = desk.state.borrow();
        let draft = &state.remedy;
        let (Some(what), Some(list)) = (&draft.what, &state.checklist) else {
            return;
        };
        let place = short_place(what.place());
        page.set_title(match what.place() {
            Place::Pump => name(what).into(),
            _ => format!("{}, {place}", name(what)).into(),
        });
        let minded = cautions(what, &list.pump)
            .into_iter()
            .map(SharedString::from);
        page.set_cautions(model(minded.collect()));
        page.set_alike(draft.alike);
        show_face(&page, &list.pump, what);
        match what {
            Remedy::TopUp { place, .. } => page.set_advice_words(registered_oil(list, *place)),
            Remedy::Grease { place, .. } => page.set_advice_words(programme(list, *place)),
            _ => {}
        }
    }
    ask_warnings(desk);
}

fn registered_oil(list: &crate::app::Checklist, place: Place) -> SharedString {
    match oil::registered_oil(&list.pump, place) {
        Some(oil) => say!("The register has {oil}.", oil).into(),
        None => say!("The register has no oil for this place.").into(),
    }
}

fn programme(list: &crate::app::Checklist, place: Place) -> SharedString {
    let bearing = list.pump.bearing(place);
    let Some(programme) = bearing.and_then(|bearing| bearing.grease.as_ref()) else {
        return say!("The register has no grease for this bearing.").into();
    };
    let (grams, grade) = (programme.grams, &programme.grade);
    let words = match grease::wanted(programme) {
        None => say!("The programme has {grams} g of {grade}.", grams, grade),
        Some(due) => say!(
            "The programme has {grams} g of {grade}, that is {amount}.",
            grams,
            grade,
            amount = given(due)
        ),
    };
    words.into()
}

fn given(amount: GreaseGiven) -> String {
    match amount {
        GreaseGiven::Strokes { strokes: 1.0 } => say!("1 stroke").to_owned(),
        GreaseGiven::Strokes { strokes } => say!("{strokes} strokes", strokes),
        GreaseGiven::Turns { turns: 1.0 } => say!("1 turn").to_owned(),
        GreaseGiven::Turns { turns } => say!("{turns} turns", turns),
    }
}

fn show_face(page: &Bridge<'_>, pump: &Pump, what: &Remedy) {
    page.set_choices(model(Vec::new()));
    match what {
        Remedy::GlandNuts { turn, flats, .. } => {
            page.set_face(RemedyFace::Nuts);
            page.set_tightens(*turn == Turn::Tighten);
            page.set_nuts(model(flats.iter().map(|flats| i32::from(*flats)).collect()));
        }
        Remedy::TopUp {
            place,
            amount,
            grade,
        } => {
            page.set_face(RemedyFace::Amount);
            let (amount, unit) = match amount {
                OilGiven::Bottle { percent } => (say!("{percent} % of the bottle", percent), 0),
                OilGiven::Millilitres { ml } => (say!("{ml} mL", ml), 1),
            };
            page.set_amount(amount.into());
            page.set_unit(unit);
            let bearing = pump.bearing(*place);
            let by_bottle =
                bearing.map(|bearing| bearing.lubrication) == Some(Lubrication::BottleOiler);
            page.set_units(if by_bottle {
                words([say!("% of the bottle"), "mL"])
            } else {
                model(Vec::new())
            });
            page.set_grade(grade.as_str().into());
            page.set_grade_label(say!("Oil, as it stands on its drum").into());
        }
        Remedy::Grease { amount, grade, .. } => {
            page.set_face(RemedyFace::Amount);
            page.set_amount(given(*amount).into());
            page.set_units(model(Vec::new()));
            page.set_grade(grade.as_str().into());
            page.set_grade_label(say!("Grease, as it stands on its cartridge").into());
        }
        Remedy::Strainer { work, .. } => {
            page.set_face(RemedyFace::Options);
            page.set_choices(words([
                say!("of a strainer" => "Taken out and cleaned"),
                say!("of a strainer" => "Changed over to the clean one"),
            ]));
            page.set_choice(i32::from(*work == StrainerWork::Swapped));
        }
        Remedy::CoolingWater { change } => {
            page.set_face(RemedyFace::Options);
            page.set_choices(words([say!("More water"), say!("Less water")]));
            page.set_choice(i32::from(*change == WaterChange::Less));
        }
        Remedy::Vent | Remedy::FilterElement => page.set_face(RemedyFace::Options),
        Remedy::OwnWords { .. } => page.set_face(RemedyFace::Words),
    }
}

fn words<const N: usize>(of: [&str; N]) -> slint::ModelRc<SharedString> {
    model(of.into_iter().map(SharedString::from).collect())
}

fn set_nuts(draft: &mut Draft, nuts: i32) {
    if let Some(Remedy::GlandNuts { flats, .. }) = &mut draft.what
        && let Ok(nuts @ 2..=crate::remedy::MOST_NUTS) = usize::try_from(nuts)
    {
        let last = flats.last().copied().unwrap_or(1);
        flats.resize(nuts, last);
    }
}

fn set_turn(draft: &mut Draft, tightens: bool) {
    if let Some(Remedy::GlandNuts { turn, .. }) = &mut draft.what {
        *turn = if tightens { Turn::Tighten } else { Turn::Ease };
    }
}

fn set_alike(draft: &mut Draft, alike: bool) {
    draft.alike = alike;
    if let (true, Some(Remedy::GlandNuts { flats, .. })) = (alike, &mut draft.what) {
        let first = flats.first().copied().unwrap_or(1);
        flats.fill(first);
    }
}

fn turn(draft: &mut Draft, nut: i32, by: i32) {
    let alike = draft.alike;
    if let Some(Remedy::GlandNuts { flats, .. }) = &mut draft.what {
        let only = usize::try_from(nut).ok().filter(|_| !alike);
        for (index, flats) in flats.iter_mut().enumerate() {
            if only.is_none_or(|only| only == index) {
                let turned = i32::from(*flats).saturating_add(by);
                *flats = u8::try_from(turned).unwrap_or(0).min(MOST_FLATS);
            }
        }
    }
}

fn set_unit(draft: &mut Draft, unit: i32) {
    if let Some(Remedy::TopUp { amount, .. }) = &mut draft.what {
        *amount = match unit {
            0 => OilGiven::Bottle { percent: 50.0 },
            _ => OilGiven::Millilitres { ml: 50.0 },
        };
    }
}

/// One step more or less of what stands there; never down to nothing.
fn step(draft: &mut Draft, by: f64) {
    let stepped = |value: f64, size: f64, most: f64| (value + by * size).clamp(size, most);
    match &mut draft.what {
        Some(Remedy::TopUp { amount, .. }) => match amount {
            OilGiven::Bottle { percent } => *percent = stepped(*percent, 5.0, 100.0),
            OilGiven::Millilitres { ml } if *ml + by > 1_000.0 => {
                *ml = stepped(*ml, 500.0, 100_000.0);
            }
            OilGiven::Millilitres { ml } => *ml = stepped(*ml, 10.0, 1_000.0),
        },
        Some(Remedy::Grease { amount, .. }) => match amount {
            GreaseGiven::Strokes { strokes } => *strokes = stepped(*strokes, 1.0, 500.0),
            GreaseGiven::Turns { turns } => *turns = stepped(*turns, 0.5, 50.0),
        },
        _ => {}
    }
}

fn set_grade(draft: &mut Draft, given: &str) {
    if let Some(Remedy::TopUp { grade, .. } | Remedy::Grease { grade, .. }) = &mut draft.what {
        given.clone_into(grade);
    }
}

fn set_choice(draft: &mut Draft, choice: i32) {
    match &mut draft.what {
        Some(Remedy::Strainer { work, .. }) => {
            *work = [StrainerWork::Cleaned, StrainerWork::Swapped][usize::from(choice == 1)];
        }
        Some(Remedy::CoolingWater { change }) => {
            *change = [WaterChange::More, WaterChange::Less][usize::from(choice == 1)];
        }
        _ => {}
    }
}

/// What is not right about what stands on the screen, told before it is done.
fn ask_warnings(desk: &Desk) {
    let Some((pump, what)) = pump_and_what(desk) else {
        return;
    };
    // Words that are not written yet are not complained of.
    if matches!(&what, Remedy::OwnWords { .. }) {
        return;
    }
    desk.ask_or(
        Topic::RemedyAdvice,
        move |app| app.to_mind(&pump, &what),
        |desk, to_mind| {
            let warnings = to_mind.warnings.iter().map(SharedString::from);
            let page = desk.window().global::<Bridge>();
            page.set_warnings(model(warnings.collect()));
            page.set_size_words(to_mind.by_size.unwrap_or_default().into());
        },
        |desk, why| {
            let page = desk.window().global::<Bridge>();
            // What may not be tightened may yet be eased: the way is still to be chosen.
            page.set_warnings(model(vec![sentence(&why)]));
        },
    );
}

/// How the gland has answered, what to turn, and whether it is to be left alone.
fn ask_gland(desk: &Desk) {
    let Some((pump, Remedy::GlandNuts { place, .. })) = pump_and_what(desk) else {
        return;
    };
    desk.ask(
        Topic::RemedyGland,
        move |app| app.gland(&pump, place),
        |desk, gland| show_gland(desk, &gland),
    );
}

fn show_gland(desk: &Desk, gland: &GlandNow) {
    let page = desk.window().global::<Bridge>();
    let rule = gland
        .stop_rule
        .map(|rule| format!("{} {}", rule.because, rule.first));
    page.set_leave_words(gland.leave.clone().unwrap_or_default().into());
    let advice = match rule {
        Some(rule) => format!(
            "{rule} {}",
            gland
                .stop_rule
                .and_then(|rule| rule.stop_if)
                .unwrap_or_default()
        ),
        None => gland.words(),
    };
    page.set_advice_words(advice.into());
    let eases = gland.never_tighten.is_some()
        || matches!(
            gland.suggestion,
            Ok(Suggestion::OneFlat {
                turn: Turn::Ease,
                ..
            } | Suggestion::LessThanAFlat {
                turn: Turn::Ease,
                ..
            })
        );
    change(|draft| set_turn(draft, !eases));
}

fn pump_and_what(desk: &Desk) -> Option<(PumpId, Remedy)> {
    let state = desk.state.borrow();
    Some((state.remedy.pump.clone()?, state.remedy.what.clone()?))
}

fn save(desk: &Desk) {
    let page = desk.window().global::<Bridge>();
    let right = {
        let mut state = desk.state.borrow_mut();
        let draft = &mut state.remedy;
        set_grade(draft, &page.get_grade());
        if let Some(Remedy::OwnWords { text }) = &mut draft.what {
            *text = page.get_words().into();
        }
        let (Some(pump), Some(what)) = (draft.pump.clone(), draft.what.clone()) else {
            return;
        };
        // A second tap on the same button is nothing done twice.
        if std::mem::replace(&mut draft.saving, true) {
            return;
        }
        PutRight {
            pump,
            visit: draft.visit,
            finding: draft.finding,
            what,
            done_at: None,
        }
    };
    let visit = right.visit;
    desk.perform(
        move |app| {
            let taken = app.perform(right)?;
            let looked = visit.map(|visit| visit::look(app, visit)).transpose()?;
            Ok((taken, looked))
        },
        |desk, (taken, looked)| {
            desk.state.borrow_mut().remedy.saving = false;
            if let Some(looked) = looked {
                visit::show(desk, looked);
            }
            let warnings = taken.warnings.iter().map(SharedString::from);
            desk.window()
                .global::<Bridge>()
                .set_warnings(model(warnings.collect()));
            wait::open(desk, taken.remedy);
            home::refresh(desk);
        },
        |desk, error: AppError| {
            desk.state.borrow_mut().remedy.saving = false;
            desk.window().global::<Bridge>().set_error(sentence(&error));
        },
    );
}
