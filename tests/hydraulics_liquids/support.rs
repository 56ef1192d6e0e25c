//! Reference rows, and what is close to them.

use lantern_ring::hydraulics::liquid::{Liquid, LiquidKind, Property};
use std::collections::BTreeMap;

pub type Row = BTreeMap<String, String>;

/// The rows of a file in `tests/data/reference/`, by column.
pub fn rows(file: &str) -> Vec<Row> {
    let path = format!("{}/tests/data/reference/{file}", env!("CARGO_MANIFEST_DIR"));
    csv::Reader::from_path(path)
        .unwrap()
        .deserialize()
        .map(Result::unwrap)
        .collect()
}

/// A cell's number; nothing where the source has none.
pub fn number(row: &Row, column: &str) -> Option<f64> {
    let cell = &row[column];
    (!cell.is_empty()).then(|| cell.parse().unwrap())
}

/// A cell's number where there must be one.
pub fn given(row: &Row, column: &str) -> f64 {
    number(row, column).unwrap_or_else(|| panic!("no {column} in {row:?}"))
}

pub fn percent_off(computed: f64, source: f64) -> f64 {
    100.0 * ((computed - source) / source).abs()
}

/// Within half of the last of so many digits, at worst 5 × 10^-digits of the value.
#[track_caller]
pub fn to_digits(computed: f64, source: f64, digits: i32) {
    let off = percent_off(computed, source) / 100.0;
    assert!(
        off <= 5.05 * 10f64.powi(-digits),
        "{computed} is not {source} to {digits} digits"
    );
}

#[track_caller]
pub fn within_percent(computed: f64, source: f64, percent: f64) {
    let off = percent_off(computed, source);
    assert!(
        off <= percent,
        "{computed} is {off} % from {source}, allowed {percent} %"
    );
}

/// The largest difference seen, and the temperatures compared.
#[derive(Debug)]
pub struct Seen {
    pub percent: f64,
    pub from_c: f64,
    pub to_c: f64,
    pub count: usize,
}

impl Seen {
    pub fn none() -> Seen {
        Seen {
            percent: 0.0,
            from_c: f64::INFINITY,
            to_c: f64::NEG_INFINITY,
            count: 0,
        }
    }

    pub fn compare(&mut self, temperature_c: f64, computed: f64, source: f64) {
        self.percent = self.percent.max(percent_off(computed, source));
        self.from_c = self.from_c.min(temperature_c);
        self.to_c = self.to_c.max(temperature_c);
        self.count += 1;
    }

    /// The deviation a property states is what is seen here, rounded up by `rounding` at most.
    #[track_caller]
    pub fn is_stated_by(&self, property: &Property, rounding: f64) {
        let stated = property.deviation.unwrap();
        assert!(
            self.percent <= stated.percent && stated.percent <= self.percent + rounding,
            "{self:?} but {stated:?}"
        );
        assert_eq!(
            (self.from_c, self.to_c),
            (stated.from_c, stated.to_c),
            "{self:?} but {stated:?}"
        );
    }
}

/// The pure liquids of the reference files, by the names there.
pub fn pure_liquid(name: &str) -> Liquid {
    let kind = LiquidKind::ALL
        .iter()
        .find(|kind| kind.words() == name)
        .unwrap();
    Liquid::new(*kind, None).unwrap()
}

/// One liquid of every kind, mixtures at a middling concentration.
pub fn one_of_each() -> Vec<Liquid> {
    LiquidKind::ALL
        .iter()
        .map(|kind| Liquid::new(*kind, kind.concentration().map(|_| 35.0)).unwrap())
        .collect()
}
