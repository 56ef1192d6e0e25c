//! A pump with entries, in few words, for the tests of what they come to together.
#![allow(dead_code)] // Each test file uses its own part of this.

use lantern_ring::{
    check::{Entered, EntryKind, RunningState, list, on_request, usual_kind},
    evaluation::{Care, Done, Evaluation, Outcome, Reading, Seen, Situation, Worked, evaluate},
    judge::judge,
    plant::{CheckId, Place, Plant},
    statistics::feel::{Calibration, FeelError},
};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// When the visits of these tests are.
pub const NOW_MS: i64 = 1_790_000_000_000;
pub const DAY_MS: f64 = 86_400_000.0;

/// An overhung packed water pump with both gauges, a flow meter, a thermometer in the suction and a curve. Gauges,
/// heights, bores and motor are those of the worked examples `computed-gauge-20C-0m` and `motor-3ph-1` in
/// `tests/data/reference/pump_worked_examples.json`; the curve is invented.
pub fn water_pump() -> Value {
    json!({
        "id": "P-1", "name": "Test pump", "area": "test",
        "tag": "01890a5d-ac96-774b-bcce-b302099a8057",
        "service": "test", "liquid": "water", "liquid_temperature_c": 20.0,
        "arrangement": "end_suction",
        "driver": {
            "power_kw": 18.5, "voltage_v": 400.0, "full_load_amps": 28.5, "speed_rpm": 1480.0,
            "power_factor": 0.86, "efficiency": 0.912
        },
        "seal": {"kind": "packed", "rings": 5, "shaft_diameter_mm": 50.0, "lantern_ring": "outside"},
        "bearings": [
            {"place": "pump_de", "lubrication": "oil_bath", "thermometer": true},
            {"place": "pump_nde", "lubrication": "grease_fitting"},
            {"place": "driver_de", "lubrication": "grease_fitting"}
        ],
        "strainers": [{"place": "suction"}],
        "gauges": [
            {"place": "suction", "elevation_m": -0.3, "scale_low_bar": -1.0, "scale_high_bar": 1.5},
            {"place": "discharge", "elevation_m": 0.6, "scale_low_bar": 0.0, "scale_high_bar": 10.0}
        ],
        "suction": {"kind": "flooded", "head_m": 3.0},
        "priming": "flooded_suction",
        "discharge_valve_at_start": "shut",
        "hydraulics": {
            "reckoned_as": {"kind": "water"},
            "suction_bore_mm": 150.0, "discharge_bore_mm": 100.0, "suction_loss_m": 0.5,
            "flow_meter": true, "thermometer": true,
            "curve": {"speed_rpm": 1480.0, "basis": "invented", "points": [
                {"flow_m3_h": 0.0, "head_m": 52.0, "npsh_required_m": 2.0},
                {"flow_m3_h": 54.0, "head_m": 49.0, "npsh_required_m": 2.2},
                {"flow_m3_h": 108.0, "head_m": 41.0, "npsh_required_m": 3.0},
                {"flow_m3_h": 150.0, "head_m": 28.0, "npsh_required_m": 4.5}
            ]}
        }
    })
}

/// Usual limits of that pump.
pub fn usual_limits() -> Value {
    json!([
        ["leak_off@seal_de", "drops/min", {"low_act": 2.0, "low_watch": 10.0, "target": 30.0, "high_watch": 60.0, "high_act": 120.0}],
        ["suction_pressure@suction", "bar", {"low_watch": 0.1, "high_watch": 0.8}],
        ["discharge_pressure@discharge", "bar", {"low_watch": 3.6, "high_watch": 4.8}],
        ["strainer_drop@suction", "bar", {"high_watch": 0.3, "high_act": 0.5}],
        ["flow@discharge", "m3/h", {"low_watch": 80.0, "target": 108.0, "high_watch": 130.0}],
        ["motor_current@driver", "A", {"target": 25.0, "high_watch": 28.5}],
        ["bearing_temperature@pump_de", "degC", {"high_watch": 75.0, "high_act": 90.0}],
        ["lantern_ring_pressure@seal_de", "bar", {"low_watch": 1.0}],
        ["liquid_temperature@suction", "degC", {"high_watch": 60.0}]
    ])
}

/// What is known at one pump.
#[derive(Clone)]
pub struct Case {
    pub plant: Plant,
    pub running: RunningState,
    pub seen: Vec<Seen>,
    pub left_open: Vec<Seen>,
    pub before: BTreeMap<CheckId, Vec<Reading>>,
    pub care: BTreeMap<Place, Care>,
    pub done: Vec<Done>,
    pub hand: Option<Result<Calibration, FeelError>>,
}

impl Case {
    /// The water pump with these changes, `null` taking a field out.
    pub fn with(changes: Value) -> Self {
        let mut pump = water_pump();
        change(&mut pump, &changes);
        Self::of(pump, usual_limits(), json!({}))
    }

    pub fn usual() -> Self {
        Self::with(json!({}))
    }

    /// A pump with limits, and the plant with changes.
    pub fn of(pump: Value, limits: Value, plant_changes: Value) -> Self {
        let rows = limits.as_array().expect("rows of limits").iter();
        let limits: Vec<Value> = rows
            .map(|row| {
                let mut limits = json!({
                    "pump": pump["id"], "check": row[0], "version": 1, "unit": row[1], "basis": "test"
                });
                change(&mut limits, &row[2]);
                limits
            })
            .collect();
        let mut plant = json!({
            "id": "test", "name": "Test plant", "version": 1, "tag_host": "TAGS.EXAMPLE",
            "altitude_m": 0.0, "areas": [{"id": "test", "name": "Test"}], "pumps": [pump],
            "limits": limits, "rounds": []
        });
        change(&mut plant, &plant_changes);
        Self {
            plant: serde_json::from_value(plant).expect("a plant"),
            running: RunningState::Running,
            seen: Vec::new(),
            left_open: Vec::new(),
            before: BTreeMap::new(),
            care: BTreeMap::new(),
            done: Vec::new(),
            hand: None,
        }
    }

    /// How a check of this pump is entered.
    pub fn kind(&self, check: CheckId) -> EntryKind {
        let pump = &self.plant.pumps[0];
        let mut checks = list(pump, self.running);
        checks.extend(on_request(pump, self.running));
        let here = checks.iter().find(|here| here.id == check);
        here.map_or(usual_kind(check.kind), |here| here.kind)
    }

    /// With an entry, judged as the app judges it.
    pub fn enter(mut self, check: &str, entered: Value) -> Self {
        let check: CheckId = check.parse().expect("a check");
        let entered: Entered = serde_json::from_value(entered).expect("an entry");
        let limits = self.plant.limits_of(&self.plant.pumps[0].id, check);
        self.seen.push(Seen {
            check,
            judgement: judge(&self.kind(check), &entered, limits, None),
            limits: limits.cloned(),
            entered,
            at_ms: NOW_MS,
        });
        self
    }

    /// With an entry of an earlier visit, so many days ago, that was out of limits and not looked at again.
    pub fn left_open(self, days_ago: f64, check: &str, entered: Value) -> Self {
        let mut with = self.enter(check, entered);
        let mut seen = with.seen.pop().expect("the entry");
        seen.at_ms = NOW_MS - (days_ago * DAY_MS) as i64;
        with.left_open.push(seen);
        with
    }

    /// With readings before, each so many days ago.
    pub fn earlier(
        mut self,
        check: &str,
        readings: impl IntoIterator<Item = (f64, Value)>,
    ) -> Self {
        let readings = readings.into_iter().map(|(days_ago, entered)| Reading {
            at_ms: NOW_MS - (days_ago * DAY_MS) as i64,
            running: Some(RunningState::Running),
            entered: serde_json::from_value(entered).expect("an entry"),
            ambient_c: None,
        });
        let check = check.parse().expect("a check");
        self.before.entry(check).or_default().extend(readings);
        self
    }

    /// With something put right so many days ago.
    pub fn put_right(mut self, days_ago: f64, what: Value) -> Self {
        self.done.push(Done {
            at_ms: NOW_MS - (days_ago * DAY_MS) as i64,
            what: serde_json::from_value(what).expect("a remedy"),
            answers: None,
        });
        self
    }

    /// The whole pump as in the worked example: 0.35 and 4.2 bar, 20 °C, 108 m³/h, full-load amps.
    pub fn worked_example(self) -> Self {
        self.enter("suction_pressure@suction", number(0.35, "bar"))
            .enter("discharge_pressure@discharge", number(4.2, "bar"))
            .enter("liquid_temperature@suction", number(20.0, "degC"))
            .enter("flow@discharge", number(108.0, "m3/h"))
            .enter("motor_current@driver", number(28.5, "A"))
    }

    pub fn evaluate(&self) -> Evaluation {
        evaluate(&Situation {
            plant: &self.plant,
            pump: &self.plant.pumps[0],
            running: self.running,
            seen: self.seen.clone(),
            left_open: self.left_open.clone(),
            before: self.before.clone(),
            care: self.care.clone(),
            done: self.done.clone(),
            hand: self.hand.clone(),
            ambient_c: None,
            now_ms: NOW_MS,
        })
    }
}

fn change(value: &mut Value, changes: &Value) {
    for (field, new) in changes.as_object().expect("an object of fields") {
        match (new, value.as_object_mut()) {
            (Value::Null, Some(object)) => {
                object.remove(field);
            }
            // Of another kind it is another thing.
            (Value::Object(new), Some(object))
                if !new.contains_key("kind") && object.get(field).is_some_and(Value::is_object) =>
            {
                change(&mut object[field], &changes[field]);
            }
            _ => value[field] = new.clone(),
        }
    }
}

pub fn number(value: f64, unit: &str) -> Value {
    json!({"kind": "number", "value": value, "unit": unit})
}

pub fn count(drops: u32, seconds: f64) -> Value {
    json!({"kind": "count", "drops": drops, "seconds": seconds})
}

pub fn choice(key: &str) -> Value {
    json!({"kind": "choice", "key": key})
}

pub fn yes_no(yes: bool) -> Value {
    json!({"kind": "yes_no", "yes": yes})
}

pub fn feel(step: u8) -> Value {
    json!({"kind": "feel", "step": step})
}

/// The line of this name.
#[track_caller]
pub fn line<'a>(evaluation: &'a Evaluation, name: &str) -> &'a Worked {
    let lines: Vec<_> = evaluation.worked.iter().map(Worked::line).collect();
    let found = evaluation.worked.iter().find(|line| line.name == name);
    found.unwrap_or_else(|| panic!("no '{name}' in {lines:#?}"))
}

/// The result of this name, in words.
#[track_caller]
pub fn result<'a>(evaluation: &'a Evaluation, name: &str) -> &'a str {
    match &line(evaluation, name).outcome {
        Outcome::Is { words, .. } => words,
        Outcome::Cannot { why, .. } => panic!("no result of '{name}': {why}"),
    }
}

/// Why there is no result of this name, and the check that would allow it.
#[track_caller]
pub fn refusal(evaluation: &Evaluation, name: &str) -> (String, Option<String>) {
    match &line(evaluation, name).outcome {
        Outcome::Is { words, .. } => panic!("'{name}' came to {words}"),
        Outcome::Cannot { why, enter } => (why.clone(), enter.map(|check| check.to_string())),
    }
}

/// The value of a row of a line's working.
#[track_caller]
pub fn row<'a>(line: &'a Worked, name: &str) -> &'a str {
    let found = line.rows.iter().find(|(row, _)| row == name);
    found.map_or_else(
        || panic!("no row '{name}' in {:#?}", line.rows),
        |(_, value)| value,
    )
}

/// Everything an evaluation tells in words.
pub fn texts(evaluation: &Evaluation) -> Vec<String> {
    let mut texts: Vec<String> = evaluation.stop().map(str::to_owned).into_iter().collect();
    let of_trends = evaluation.trends.values().flat_map(|trend| &trend.worked);
    for line in evaluation.worked.iter().chain(of_trends) {
        texts.push(line.line());
        let rows = line.rows.iter();
        texts.extend(rows.map(|(name, value)| format!("{name}: {value}")));
        texts.extend(line.cautions.clone());
    }
    for trend in evaluation.trends.values() {
        texts.extend([trend.words.clone(), trend.limit_words.clone()]);
    }
    if let Some(causes) = &evaluation.causes {
        texts.extend(causes.evidence.iter().map(|told| told.origin.clone()));
        texts.push(causes.diagnosis.summary());
        texts.push(causes.diagnosis.telling.words());
        let ruled_out = causes.diagnosis.ruled_out.iter();
        texts.extend(ruled_out.flat_map(|out| out.by.iter().map(|by| by.words().to_owned())));
        for cause in &causes.diagnosis.fitting {
            let spoken = cause.speaks_for.iter().chain(&cause.speaks_against);
            texts.extend(spoken.map(|spoken| spoken.words().to_owned()));
        }
    }
    texts
}

/// The numbers in words, in their order.
pub fn numbers(words: &str) -> Vec<f64> {
    words
        .split_whitespace()
        .filter_map(|word| word.trim_end_matches([',', ';']).parse().ok())
        .collect()
}
