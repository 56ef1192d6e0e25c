//! Which causes fit what is known at a pump, and the check that tells them apart.

use super::{Situation, hydraulic::Hydraulics, signs};
use crate::{
    check::Check,
    diagnosis::{AtPart, Build, Diagnosis, Evidence, Feature, Knowledge, Sign},
    plant::{CheckId, CheckKind as K, LanternRingFeed, Place, Pump, Seal, SuctionSource},
    say,
};

/// From this vapour pressure on a liquid can boil at the suction: three tenths of the air's pressure, water of 69 °C.
/// Common practice, no source.
const NEAR_BOILING_PA: f64 = 30_000.0;
/// The same where the register says nothing to reckon vapour pressure with.
const NEAR_BOILING_C: f64 = 60.0;

/// What is wrong here: the causes that fit, and what to look at next.
#[derive(Clone, Debug, PartialEq)]
pub struct Causes {
    /// What is known, each with where it came from.
    pub evidence: Vec<Evidence>,
    /// What it comes to.
    pub diagnosis: Diagnosis<'static>,
    /// The checks of this pump that the telling checks are, the most telling first.
    pub look_next: Vec<CheckId>,
}

impl Causes {
    /// How much of the evidence is of earlier visits, in words; empty where none is.
    pub fn before_words(&self) -> String {
        match self.evidence.iter().filter(|told| told.earlier).count() {
            0 => String::new(),
            1 => say!("1 sign is of an earlier visit: nobody has looked again.").to_owned(),
            many => say!(
                "{count} signs are of earlier visits: nobody has looked again.",
                count = many
            ),
        }
    }
}

/// What fits the situation; `None` where nothing at all is known, or the program's own knowledge can't be read.
pub(super) fn causes(
    at: &Situation<'_>,
    hydraulics: &Hydraulics,
    of_trends: Vec<Evidence>,
) -> Option<Causes> {
    let mut evidence = either(signs::evidence(at, hydraulics), of_trends);
    evidence.extend(signs::before(at, &evidence));
    if evidence.is_empty() {
        return None;
    }
    let knowledge = Knowledge::built_in().ok()?;
    let checks = at.checks();
    let troubled = troubled_places(at, &evidence);
    // What was not checked, and why, is not asked for again.
    let is_left = |check: CheckId| at.seen.iter().all(|seen| seen.check != check);
    let here = |sign: Sign| check_here(&checks, sign, &troubled, &is_left);
    let can_see = |sign: Sign| here(sign).is_some();
    let diagnosis = knowledge.diagnose(&build(at.pump), &evidence, &can_see);
    let mut look_next: Vec<CheckId> = Vec::new();
    for check in telling_signs(&diagnosis).into_iter().filter_map(here) {
        if !look_next.contains(&check) {
            look_next.push(check);
        }
    }
    Some(Causes {
        evidence,
        diagnosis,
        look_next,
    })
}

/// What entries and what trends show. Either makes a sign present: a reservoir in limits that falls is one that falls,
/// and of several bearings one that gets warmer is enough.
fn either(entries: Vec<Evidence>, trends: Vec<Evidence>) -> Vec<Evidence> {
    let mut evidence = entries;
    evidence.extend(trends);
    let is_of_trend = |sign: Sign| [Sign::BearingRising, Sign::ReservoirLow].contains(&sign);
    let present: Vec<Sign> = evidence
        .iter()
        .filter(|told| told.present && is_of_trend(told.sign))
        .map(|told| told.sign)
        .collect();
    evidence.retain(|told| told.present || !present.contains(&told.sign));
    evidence
}

fn telling_signs(diagnosis: &Diagnosis<'_>) -> Vec<Sign> {
    use crate::diagnosis::Telling;
    match &diagnosis.telling {
        Telling::Checks(checks) => checks
            .iter()
            .filter_map(|check| Some(check.answers.first()?.sign))
            .collect(),
        Telling::Proof { sign, .. } => vec![*sign],
        Telling::OneStandsOut | Telling::NothingFits | Telling::CannotTell(_) => Vec::new(),
    }
}

/// The bearings and the shaft's seals where something is out of limits, or drifts there.
fn troubled_places(at: &Situation<'_>, evidence: &[Evidence]) -> Vec<Place> {
    let entries = at
        .seen
        .iter()
        .filter(|seen| seen.judgement.verdict.is_out_of_limits());
    let drifting = evidence
        .iter()
        .filter(|told| told.present)
        .filter_map(|told| match told.part? {
            AtPart::Bearing { number, .. } => Some(at.pump.bearings.get(number)?.place),
            AtPart::Seal { number } => at.pump.seal_places().get(number).copied(),
        });
    entries
        .map(|seen| seen.check.place)
        .chain(drifting)
        .filter(|place| part(*place).is_some())
        .collect()
}

/// The places that have the like checks of one kind of part: bearings, or the shaft's seals.
fn part(place: Place) -> Option<&'static [Place]> {
    const BEARINGS: [Place; 4] = [
        Place::PumpDe,
        Place::PumpNde,
        Place::DriverDe,
        Place::DriverNde,
    ];
    const SEALS: [Place; 2] = [Place::SealDe, Place::SealNde];
    let parts: [&'static [Place]; 2] = [&BEARINGS, &SEALS];
    parts.into_iter().find(|part| part.contains(&place))
}

/// The check of this pump, not yet made, that shows a sign: the one it names, else the like at another place or by
/// another instrument. Of a bearing or a seal it is the one that is in trouble: the oil of another tells nothing of it.
fn check_here(
    checks: &[Check],
    sign: Sign,
    troubled: &[Place],
    is_left: &impl Fn(CheckId) -> bool,
) -> Option<CheckId> {
    let named: CheckId = sign.check()?.parse().ok()?;
    let alike: &[K] = match named.kind {
        K::BearingHeat | K::BearingTemperature => &[K::BearingTemperature, K::BearingHeat],
        K::BearingVibration | K::VibrationVelocity => &[K::VibrationVelocity, K::BearingVibration],
        K::OilLevel | K::OilerLevel => &[K::OilLevel, K::OilerLevel],
        _ => &[],
    };
    let kinds = || std::iter::once(&named.kind).chain(alike);
    let there = |kind: K, place: Place| {
        let id = CheckId::new(kind, place);
        checks
            .iter()
            .map(|check| check.id)
            .find(|check| *check == id)
    };
    let of_its_part = |place: &&Place| part(**place) == part(named.place);
    let in_trouble: Vec<CheckId> = troubled
        .iter()
        .filter(of_its_part)
        .filter_map(|place| kinds().find_map(|kind| there(*kind, *place)))
        .collect();
    if part(named.place).is_some() && !in_trouble.is_empty() {
        return in_trouble.into_iter().find(|check| is_left(*check));
    }
    let by_kind = |kind: &K| {
        let fixed = [Place::Suction, Place::Discharge].contains(&named.place);
        let mut ids = checks.iter().map(|check| check.id);
        ids.find(|id| id.kind == *kind && (!fixed || id.place == named.place))
    };
    there(named.kind, named.place)
        .or_else(|| kinds().find_map(by_kind))
        .filter(|check| is_left(*check))
}

/// How the pump is built, as far as troubles go.
fn build(pump: &Pump) -> Build {
    let mut features = vec![match pump.suction {
        SuctionSource::Flooded { .. } => Feature::Flooded,
        SuctionSource::Lift { .. } => Feature::Lift,
        SuctionSource::Submerged => Feature::Sump,
    }];
    match &pump.seal {
        Seal::Packed { lantern_ring, .. } => {
            features.push(Feature::Packed);
            if *lantern_ring != LanternRingFeed::None {
                features.push(Feature::LanternRing);
            }
        }
        Seal::Mechanical { feed, .. } => {
            features.push(Feature::Mechanical);
            if feed.is_some() {
                features.push(Feature::SealFeed);
            }
        }
    }
    let bearings = pump.bearings.iter();
    features.extend(bearings.filter_map(signs::lubricated));
    if let Some(skid) = &pump.oil_skid {
        if skid.cooler {
            features.push(Feature::Cooler);
        }
        if skid.heater {
            features.push(Feature::OilHeater);
        }
        if skid.filter_gauge {
            features.push(Feature::OilFilter);
        }
    }
    if pump.has_strainer(Place::Suction) {
        features.push(Feature::SuctionStrainer);
    }
    if pump.has_strainer(Place::Discharge) {
        features.push(Feature::DischargeFilter);
    }
    if can_boil(pump) {
        features.push(Feature::HotLiquid);
    }
    Build::new(features)
}

fn can_boil(pump: &Pump) -> bool {
    let usual_c = pump.liquid_temperature_c;
    let vapour_pa = pump
        .hydraulics
        .as_ref()
        .and_then(|known| known.reckoned_as.saturation_pressure_pa(usual_c).ok());
    match vapour_pa {
        Some(vapour) => vapour.value >= NEAR_BOILING_PA,
        None => usual_c >= NEAR_BOILING_C,
    }
}
