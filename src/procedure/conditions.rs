//! How a pump must be built for a procedure or a step to be for it.

use crate::{
    check::{self, Check, RunningState, words},
    plant::{CheckId, Priming, Pump, PumpId, Seal, SpareRole, SuctionSource, ValveAtStart},
    say,
};
use serde::{Deserialize, Serialize};

/// Conditions on a pump's build; all that are given must be met.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Conditions {
    /// How the shaft is sealed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seal: Option<SealIs>,
    /// Where the liquid comes from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub suction: Option<SuctionIs>,
    /// How it is primed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub priming: Option<Priming>,
    /// How the discharge valve stands at start.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub discharge_valve_at_start: Option<ValveAtStart>,
    /// The register names a hazard, or does not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hazardous: Option<bool>,
    /// It has an oil skid, or has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub forced_feed: Option<bool>,
    /// Its speed can be varied, or can't.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub variable_speed: Option<bool>,
    /// Its part in a spare group.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spare: Option<SpareIs>,
    /// Its liquid is usually hotter than this, °C.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub liquid_above_c: Option<f64>,
    /// Its liquid is usually this hot or cooler, °C.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub liquid_up_to_c: Option<f64>,
    /// It has all of these checks.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub has: Vec<CheckId>,
    /// It has none of these checks.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub lacks: Vec<CheckId>,
    /// It is one of these pumps.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pumps: Vec<PumpId>,
}

/// How the shaft is sealed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SealIs {
    /// Stuffing box with packing.
    Packed,
    /// Mechanical seal.
    Mechanical,
}

/// Where the liquid comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SuctionIs {
    /// From above the pump.
    Flooded,
    /// From below the pump.
    Lift,
    /// The casing hangs in it.
    Submerged,
}

/// A pump's part in a spare group.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SpareIs {
    /// Runs as a rule.
    Duty,
    /// Stands ready as a rule.
    Standby,
    /// No pump stands in for it.
    None,
}

impl Conditions {
    /// No condition is given.
    pub fn says_nothing(&self) -> bool {
        *self == Self::default()
    }

    /// The pump meets every condition.
    pub fn suits(&self, pump: &Pump) -> bool {
        self.unmet(pump).is_empty()
    }

    /// The conditions that the pump does not meet, each so that it ends the sentence "it is for pumps …".
    pub fn unmet(&self, pump: &Pump) -> Vec<String> {
        let mut unmet = Vec::new();
        let mut want = |met: bool, words: &dyn Fn() -> String| {
            if !met {
                unmet.push(words());
            }
        };
        let whether = |wanted: Option<bool>, with: &str, without: &str| {
            let words = if wanted == Some(true) { with } else { without };
            words.to_owned()
        };
        want(met(self.seal, seal_of(pump)), &|| {
            words_of(self.seal, SealIs::words)
        });
        want(met(self.suction, suction_of(pump)), &|| {
            words_of(self.suction, SuctionIs::words)
        });
        want(met(self.priming, pump.priming), &|| {
            words_of(self.priming, priming_words)
        });
        let at_start = self.discharge_valve_at_start;
        want(met(at_start, pump.discharge_valve_at_start), &|| {
            words_of(at_start, valve_words)
        });
        want(met(self.hazardous, pump.hazard.is_some()), &|| {
            whether(
                self.hazardous,
                say!("with a hazardous liquid"),
                say!("without a hazardous liquid"),
            )
        });
        want(met(self.forced_feed, pump.oil_skid.is_some()), &|| {
            whether(
                self.forced_feed,
                say!("with an oil skid"),
                say!("without an oil skid"),
            )
        });
        want(
            met(self.variable_speed, pump.driver.variable_speed),
            &|| {
                whether(
                    self.variable_speed,
                    say!("of variable speed"),
                    say!("of fixed speed"),
                )
            },
        );
        want(met(self.spare, spare_of(pump)), &|| {
            words_of(self.spare, SpareIs::words)
        });
        let liquid_c = pump.liquid_temperature_c;
        let (above, up_to) = (self.liquid_above_c, self.liquid_up_to_c);
        want(above.is_none_or(|bound| liquid_c > bound), &|| {
            words_of(above, |c| say!("whose liquid is hotter than {c} °C", c))
        });
        want(up_to.is_none_or(|bound| liquid_c <= bound), &|| {
            words_of(up_to, |c| say!("whose liquid is {c} °C or cooler", c))
        });
        self.unmet_checks(pump, &mut unmet);
        if !self.pumps.is_empty() && !self.pumps.contains(&pump.id) {
            let pumps: Vec<_> = self.pumps.iter().map(ToString::to_string).collect();
            unmet.push(say!("of the numbers {pumps}", pumps = pumps.join(", ")));
        }
        unmet
    }

    fn unmet_checks(&self, pump: &Pump, unmet: &mut Vec<String>) {
        if self.has.is_empty() && self.lacks.is_empty() {
            return;
        }
        let checks = checks_of(pump);
        let has = |id: &&CheckId| checks.iter().any(|check| check.id == **id);
        for id in self.has.iter().filter(|id| !has(id)) {
            unmet.push(say!(
                "that have the check {check}",
                check = words::title(*id)
            ));
        }
        for id in self.lacks.iter().filter(has) {
            unmet.push(say!("without the check {check}", check = words::title(*id)));
        }
    }

    /// How narrow it is: pumps named by their ids first, then the number of conditions.
    pub(super) fn narrowness(&self) -> (bool, usize) {
        let given = [
            self.seal.is_some(),
            self.suction.is_some(),
            self.priming.is_some(),
            self.discharge_valve_at_start.is_some(),
            self.hazardous.is_some(),
            self.forced_feed.is_some(),
            self.variable_speed.is_some(),
            self.spare.is_some(),
            self.liquid_above_c.is_some(),
            self.liquid_up_to_c.is_some(),
        ];
        let given = given.into_iter().filter(|given| *given).count();
        (
            !self.pumps.is_empty(),
            given + self.has.len() + self.lacks.len(),
        )
    }
}

fn words_of<T>(wanted: Option<T>, words: impl Fn(T) -> String) -> String {
    wanted.map(words).unwrap_or_default()
}

fn priming_words(priming: Priming) -> String {
    match priming {
        Priming::FloodedSuction => say!("primed by flooded suction"),
        Priming::Vacuum => say!("primed by vacuum"),
        Priming::ClosedVent => say!("primed through a closed vent"),
        Priming::Submerged => say!("that always stand under their liquid"),
    }
    .to_owned()
}

fn valve_words(rule: ValveAtStart) -> String {
    match rule {
        ValveAtStart::Open => say!("started with their discharge valve open"),
        ValveAtStart::Cracked => say!("started with their discharge valve cracked"),
        ValveAtStart::Shut => say!("started with their discharge valve shut"),
    }
    .to_owned()
}

impl SealIs {
    fn words(self) -> String {
        match self {
            SealIs::Packed => say!("with packing"),
            SealIs::Mechanical => say!("with a mechanical seal"),
        }
        .to_owned()
    }
}

impl SuctionIs {
    fn words(self) -> String {
        match self {
            SuctionIs::Flooded => say!("that draw from above"),
            SuctionIs::Lift => say!("that draw from below"),
            SuctionIs::Submerged => say!("that hang in their liquid"),
        }
        .to_owned()
    }
}

impl SpareIs {
    fn words(self) -> String {
        match self {
            SpareIs::Duty => say!("that run as a rule"),
            SpareIs::Standby => say!("that stand by as a rule"),
            SpareIs::None => say!("that no other stands in for"),
        }
        .to_owned()
    }
}

fn met<T: PartialEq>(wanted: Option<T>, is: T) -> bool {
    wanted.is_none_or(|wanted| wanted == is)
}

fn seal_of(pump: &Pump) -> SealIs {
    match pump.seal {
        Seal::Packed { .. } => SealIs::Packed,
        Seal::Mechanical { .. } => SealIs::Mechanical,
    }
}

fn suction_of(pump: &Pump) -> SuctionIs {
    match pump.suction {
        SuctionSource::Flooded { .. } => SuctionIs::Flooded,
        SuctionSource::Lift { .. } => SuctionIs::Lift,
        SuctionSource::Submerged => SuctionIs::Submerged,
    }
}

fn spare_of(pump: &Pump) -> SpareIs {
    match pump.spare.as_ref().map(|spare| spare.role) {
        Some(SpareRole::Duty) => SpareIs::Duty,
        Some(SpareRole::Standby) => SpareIs::Standby,
        None => SpareIs::None,
    }
}

/// The checks a walk asks for at this pump, running or standing by. The running ones come first.
pub(super) fn checks_of(pump: &Pump) -> Vec<Check> {
    let mut checks = check::list(pump, RunningState::Running);
    for check in check::list(pump, RunningState::Standby) {
        if !checks.iter().any(|known| known.id == check.id) {
            checks.push(check);
        }
    }
    checks
}

/// The check of this pump, also one that no walk asks for.
pub(super) fn check_of(pump: &Pump, id: CheckId) -> Option<Check> {
    checks_of(pump)
        .into_iter()
        .chain(check::on_request(pump, RunningState::Running))
        .find(|check| check.id == id)
}
