//! What a bearing is filled or greased with.

use super::Log;
use crate::{
    plant::{Bearing, BearingSize, GreaseProgramme, Lubrication},
    say,
};

pub fn examine(bearings: &[Bearing], log: &mut Log<'_>) {
    for (index, bearing) in bearings.iter().enumerate() {
        let field = |name: &str| format!("bearings[{index}].{name}");
        let kept_by = bearing.lubrication;
        if let Some(grade) = &bearing.oil_grade {
            log.text(&field("oil_grade"), grade, 60);
            if greased(kept_by) || kept_by == Lubrication::Sealed {
                log.field(
                    &field("oil_grade"),
                    say!("is given, and the bearing holds no oil; take it out or mend its lubrication"),
                );
            }
        }
        if let Some(bottle_ml) = bearing.bottle_ml {
            log.above_zero(&field("bottle_ml"), bottle_ml, 5_000.0);
            if kept_by != Lubrication::BottleOiler {
                log.field(
                    &field("bottle_ml"),
                    say!("is given, and the bearing has no bottle oiler; take it out or mend its lubrication"),
                );
            }
        }
        if let Some(programme) = &bearing.grease {
            if !greased(kept_by) {
                log.field(
                    &field("grease"),
                    say!("is given, and the bearing is not greased; take it out or mend its lubrication"),
                );
            }
            grease(programme, &field("grease"), log);
        }
        if let Some(size) = &bearing.size {
            if !greased(kept_by) {
                log.field(
                    &field("size"),
                    say!("is given, and nothing is reckoned from the size of a bearing that is not greased; take it out or mend its lubrication"),
                );
            }
            sized(size, &field("size"), log);
        } else {
            let around = [
                ("dirt", bearing.dirt.is_some()),
                ("moisture", bearing.moisture.is_some()),
            ];
            for (name, _) in around.into_iter().filter(|(_, given)| *given) {
                log.field(
                    &field(name),
                    say!("is given, and nothing is reckoned from it without the bearing's size; give its size too, or take it out"),
                );
            }
        }
    }
    oil_of_the_skid(bearings, log);
}

fn greased(lubrication: Lubrication) -> bool {
    matches!(
        lubrication,
        Lubrication::GreaseFitting | Lubrication::GreaseCup
    )
}

fn grease(programme: &GreaseProgramme, field: &str, log: &mut Log<'_>) {
    log.text(&format!("{field}.grade"), &programme.grade, 60);
    log.above_zero(&format!("{field}.grams"), programme.grams, 5_000.0);
    for (name, value, highest) in [
        ("per_stroke_grams", programme.per_stroke_grams, 50.0),
        ("per_turn_grams", programme.per_turn_grams, 50.0),
        (
            "every_running_hours",
            programme.every_running_hours,
            100_000.0,
        ),
        ("every_days", programme.every_days, 3_660.0),
    ] {
        if let Some(value) = value {
            log.above_zero(&format!("{field}.{name}"), value, highest);
        }
    }
    if programme.every_running_hours.is_none() && programme.every_days.is_none() {
        log.field(
            field,
            say!("does not say how often; give every_running_hours, every_days or both"),
        );
    }
}

fn sized(size: &BearingSize, field: &str, log: &mut Log<'_>) {
    let inner = |name: &str| format!("{field}.{name}");
    log.within(&inner("bore_mm"), size.bore_mm, BearingSize::BORE_MM);
    log.within(
        &inner("outside_mm"),
        size.outside_mm,
        BearingSize::OUTSIDE_MM,
    );
    log.within(&inner("width_mm"), size.width_mm, BearingSize::WIDTH_MM);
    if size.outside_mm <= size.bore_mm {
        log.field(
            &inner("outside_mm"),
            say!(
                "must be above bore_mm ({bore}), is {outside}; look whether the two were changed over",
                bore = size.bore_mm,
                outside = size.outside_mm
            ),
        );
    }
}

/// One skid holds one oil.
fn oil_of_the_skid(bearings: &[Bearing], log: &mut Log<'_>) {
    let mut fed = bearings.iter().enumerate().filter_map(|(index, bearing)| {
        let grade = bearing.oil_grade.as_ref()?;
        (bearing.lubrication == Lubrication::ForcedFeed).then_some((index, grade))
    });
    let Some((_, first)) = fed.next() else {
        return;
    };
    for (index, grade) in fed.filter(|(_, grade)| *grade != first) {
        log.field(
            &format!("bearings[{index}].oil_grade"),
            say!(
                "is '{grade}', and another bearing of the same skid has '{first}'; one skid holds one oil",
                grade, first
            ),
        );
    }
}
