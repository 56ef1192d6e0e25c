//! What a greased bearing wants by its size, as a line with its working.

use super::{Worked, ago, worked::told_by};
use crate::{
    check::words,
    language,
    plant::{Bearing, Dirt, GreaseProgramme, Moisture, Pump, Rolling},
    remedy::grease_by_size::{BySize, GREASE_INTERVAL, GREASE_QUANTITY, Shaft, by_size},
    say,
};

/// A number that was read, and when.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadAt {
    /// What.
    pub value: f64,
    /// When, milliseconds since 1970 UTC.
    pub at_ms: i64,
}

/// What was read last of a bearing.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BearingRead {
    /// By its thermometer, °C.
    pub temperature_c: Option<ReadAt>,
    /// By a meter, mm/s RMS.
    pub vibration_mm_s: Option<ReadAt>,
}

/// What a bearing wants by its size; `None` where it is not greased or the register doesn't say its size.
pub fn wanted_by_size(pump: &Pump, bearing: &Bearing, read: &BearingRead) -> Option<BySize> {
    let value = |read: Option<ReadAt>| read.map(|read| read.value);
    by_size(
        pump,
        bearing,
        value(read.temperature_c),
        value(read.vibration_mm_s),
    )
}

/// The same as a line: how much and how often, from what, with the planner's note where the programme is far from it.
pub fn grease_by_size(
    pump: &Pump,
    bearing: &Bearing,
    read: &BearingRead,
    now_ms: i64,
) -> Option<Worked> {
    let found = wanted_by_size(pump, bearing, read)?;
    let name = say!(
        "Grease by size, {place}",
        place = words::short_place(bearing.place)
    );
    let mut line = match found.words() {
        Ok(words) => Worked::is(&name, words, GREASE_INTERVAL),
        Err(why) => Worked::cannot(&name, why, None),
    };
    line = line.row(say!("Programme"), programme(bearing.grease.as_ref()));
    line = with_inputs(line, &found, bearing, read, now_ms)
        .row(say!("Amount by"), told_by(GREASE_QUANTITY));
    Some(match found.note(bearing.grease.as_ref()) {
        Some(note) => line.caution(note),
        None => line,
    })
}

fn with_inputs(
    line: Worked,
    found: &BySize,
    bearing: &Bearing,
    read: &BearingRead,
    now_ms: i64,
) -> Worked {
    let size = &found.size;
    let factors = found.surroundings.factors();
    line.row(
        say!("Bore, outside diameter, width"),
        say!(
            "{bore} × {outside} × {width} mm",
            bore = size.bore_mm,
            outside = size.outside_mm,
            width = size.width_mm
        ),
    )
    .row(
        say!("Shaft speed"),
        say!("{rpm} rpm, the driver's rated one", rpm = found.speed_rpm),
    )
    .row(
        say!("Kind of bearing"),
        with_factor(rolling(size.rolling), factors.rolling),
    )
    .row(
        say!("Temperature"),
        with_factor(
            &temperature(read.temperature_c, now_ms),
            factors.temperature,
        ),
    )
    .row(
        say!("Vibration"),
        with_factor(
            &vibration(found, read.vibration_mm_s, now_ms),
            factors.vibration,
        ),
    )
    .row(
        say!("Dirt"),
        with_factor(
            &taken(bearing.dirt, found.surroundings.dirt, dirt),
            factors.dirt,
        ),
    )
    .row(
        say!("Moisture"),
        with_factor(
            &taken(bearing.moisture, found.surroundings.moisture, moisture),
            factors.moisture,
        ),
    )
    .row(
        say!("Shaft"),
        with_factor(shaft(found.surroundings.shaft), factors.shaft),
    )
    .row(
        say!("K, the product"),
        language::number(rounded(factors.product(), 1e6)),
    )
}

fn with_factor(what: &str, factor: f64) -> String {
    say!("{what}, factor {factor}", what, factor)
}

/// To so many parts of one; without the last binary digits of a product or a conversion.
fn rounded(value: f64, parts: f64) -> f64 {
    (value * parts).round() / parts
}

fn temperature(read: Option<ReadAt>, now_ms: i64) -> String {
    match read {
        Some(read) => say!(
            "{celsius} °C, read {ago} ago",
            celsius = rounded(read.value, 10.0),
            ago = ago(now_ms - read.at_ms)
        ),
        None => say!("taken as below 65 °C, as no thermometer was read").to_owned(),
    }
}

fn vibration(found: &BySize, read: Option<ReadAt>, now_ms: i64) -> String {
    match read.zip(found.surroundings.vibration_mm_s) {
        Some((read, peak)) => say!(
            "{rms} mm/s RMS, read {ago} ago; {peak} mm/s peak, √2 times that, as of a pure tone",
            rms = rounded(read.value, 100.0),
            ago = ago(now_ms - read.at_ms),
            peak = rounded(peak, 10.0)
        ),
        None => say!("taken as below 5 mm/s peak, as it was not metered").to_owned(),
    }
}

/// What the register says, or what is taken where it doesn't.
fn taken<T>(given: Option<T>, used: T, in_words: fn(T) -> &'static str) -> String {
    let words = in_words(used);
    match given {
        Some(_) => words.to_owned(),
        None => say!("taken as {words}, as the register doesn't say", words),
    }
}

fn rolling(rolling: Rolling) -> &'static str {
    match rolling {
        Rolling::Ball => say!("balls"),
        Rolling::Cylindrical => say!("cylindrical rollers or needles"),
        Rolling::TaperedOrSpherical => say!("tapered or spherical rollers"),
    }
}

fn dirt(dirt: Dirt) -> &'static str {
    match dirt {
        Dirt::Light => say!("clean or light dust that does not harm"),
        Dirt::Heavy => say!("much dust that does not harm"),
        Dirt::LightAbrasive => say!("light dust that grinds"),
        Dirt::HeavyAbrasive => say!("much dust that grinds"),
    }
}

fn moisture(moisture: Moisture) -> &'static str {
    match moisture {
        Moisture::Dry => say!("below 80 % humidity"),
        Moisture::Damp => say!("80 to 90 % humidity"),
        Moisture::Condensing => say!("water that condenses now and then"),
        Moisture::Wet => say!("water on the housing"),
    }
}

fn shaft(shaft: Shaft) -> &'static str {
    match shaft {
        Shaft::Horizontal => say!("of a shaft" => "level"),
        Shaft::Inclined => say!("of a shaft" => "at 45 degrees"),
        Shaft::Vertical => say!("of a shaft" => "upright"),
    }
}

fn programme(programme: Option<&GreaseProgramme>) -> String {
    let Some(programme) = programme else {
        return say!("none in the register").to_owned();
    };
    let (grams, grade) = (programme.grams, &programme.grade);
    match (programme.every_running_hours, programme.every_days) {
        (Some(hours), Some(days)) => say!(
            "{grams} g of {grade} every {hours} running hours or {days} days",
            grams,
            grade,
            hours,
            days
        ),
        (Some(hours), None) => say!(
            "{grams} g of {grade} every {hours} running hours",
            grams,
            grade,
            hours
        ),
        (None, Some(days)) => say!("{grams} g of {grade} every {days} days", grams, grade, days),
        (None, None) => say!("{grams} g of {grade}", grams, grade),
    }
}
