//! How a pump is built. The build decides which checks it has.

use super::{AreaId, BearingSize, Dirt, Hydraulics, Moisture, Place, PumpId};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// One pump of the register.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pump {
    /// Number in the register.
    pub id: PumpId,
    /// Name as people say it.
    pub name: String,
    /// Area it stands in.
    pub area: AreaId,
    /// Identity in its printed tag; given once, never used again.
    pub tag: Uuid,
    /// What it does.
    pub service: String,
    /// What it pumps.
    pub liquid: String,
    /// Usual temperature of the liquid, °C.
    pub liquid_temperature_c: f64,
    /// What can hurt somebody here, in one sentence.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hazard: Option<String>,
    /// A thermometer that shows the air's temperature hangs here: for this pump and the others of its area.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub air_thermometer: bool,
    /// How the pump is arranged.
    pub arrangement: Arrangement,
    /// What drives it.
    pub driver: Driver,
    /// The pumps that stand in for each other.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spare: Option<Spare>,
    /// How the shaft is sealed.
    pub seal: Seal,
    /// Bearings, pump and driver.
    pub bearings: Vec<Bearing>,
    /// Forced-feed oil skid, where a bearing is fed by one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub oil_skid: Option<OilSkid>,
    /// Strainers, suction and discharge.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub strainers: Vec<Strainer>,
    /// Pressure gauges.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub gauges: Vec<Gauge>,
    /// Where it takes its liquid from.
    pub suction: SuctionSource,
    /// How it is primed.
    pub priming: Priming,
    /// How the discharge valve stands when it is started.
    pub discharge_valve_at_start: ValveAtStart,
    /// What head, suction margin, flow and power are reckoned from, as far as it is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hydraulics: Option<Hydraulics>,
}

/// How the pump is arranged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Arrangement {
    /// Impeller overhung, end suction: one stuffing box or seal.
    EndSuction,
    /// Impeller between bearings: two stuffing boxes or seals.
    BetweenBearings,
    /// Several stages between bearings: two stuffing boxes or seals.
    Multistage,
    /// Vertical, casing down in a sump: one stuffing box or seal at the top.
    VerticalSump,
}

/// The motor.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Driver {
    /// Rated power, kW.
    pub power_kw: f64,
    /// Voltage, V.
    pub voltage_v: f64,
    /// Full-load current, A.
    pub full_load_amps: f64,
    /// Rated speed, rpm.
    pub speed_rpm: f64,
    /// Power factor at full load, 0 to 1. Without it amps tell no power.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power_factor: Option<f64>,
    /// Efficiency at full load, 0 to 1; as the power factor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub efficiency: Option<f64>,
    /// Speed can be varied.
    #[serde(default)]
    pub variable_speed: bool,
}

/// A pump's part in a spare group.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spare {
    /// Name of the group; pumps of one group stand in for each other.
    pub group: String,
    /// Its usual part.
    pub role: SpareRole,
}

/// Part in a spare group.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SpareRole {
    /// Runs as a rule.
    Duty,
    /// Stands ready as a rule.
    Standby,
}

/// How the shaft is sealed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Seal {
    /// Stuffing box with packing.
    Packed {
        /// Rings of packing.
        rings: u8,
        /// Shaft or sleeve diameter at the packing, mm.
        shaft_diameter_mm: f64,
        /// What is fed to the lantern ring.
        lantern_ring: LanternRingFeed,
    },
    /// Mechanical seal.
    Mechanical {
        /// Flush or barrier plan in plain words.
        plan: String,
        /// Liquid fed from outside, where there is one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        feed: Option<SealFeed>,
    },
}

/// What is fed to the lantern ring.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LanternRingFeed {
    /// No lantern ring, or none fed.
    None,
    /// The pump's own liquid from its discharge.
    OwnLiquid,
    /// Clean water or oil from outside, with a gauge.
    Outside,
}

/// Liquid fed to a mechanical seal from outside.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SealFeed {
    /// Flow by design, L/min.
    pub flow_l_min: f64,
    /// Pressure by design, bar gauge.
    pub pressure_bar: f64,
}

/// One bearing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bearing {
    /// `pump_de`, `pump_nde`, `driver_de` or `driver_nde`.
    pub place: Place,
    /// How it is lubricated.
    pub lubrication: Lubrication,
    /// A thermometer or probe is fitted.
    #[serde(default)]
    pub thermometer: bool,
    /// A stud for a vibration meter is fitted.
    #[serde(default)]
    pub vibration_stud: bool,
    /// Oil it is filled with, as it stands on the drum; of a bearing with forced feed, that of the skid.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub oil_grade: Option<String>,
    /// What the bottle of its oiler holds, mL.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bottle_ml: Option<f64>,
    /// How it is greased.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grease: Option<GreaseProgramme>,
    /// Its size, of a greased bearing: what amount and interval by its size are reckoned from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<BearingSize>,
    /// How clean it is around a bearing of known size; light dust that does not harm is taken where it is not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dirt: Option<Dirt>,
    /// How damp it is around a bearing of known size; dry is taken where it is not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub moisture: Option<Moisture>,
}

/// How much grease a bearing gets, and how often: by running hours, by days, or by whichever is up first.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GreaseProgramme {
    /// Grease as it stands on the cartridge.
    pub grade: String,
    /// How much at a time, g.
    pub grams: f64,
    /// What one stroke of the plant's gun gives, g.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub per_stroke_grams: Option<f64>,
    /// What one turn of the grease cup gives, g.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub per_turn_grams: Option<f64>,
    /// Running hours from one greasing to the next.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub every_running_hours: Option<f64>,
    /// Days from one greasing to the next.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub every_days: Option<f64>,
}

/// How a bearing is lubricated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Lubrication {
    /// Grease through a fitting.
    GreaseFitting,
    /// Grease cup turned by hand.
    GreaseCup,
    /// Oil bath with sight glass.
    OilBath,
    /// Bottle oiler.
    BottleOiler,
    /// Oil fed by a skid.
    ForcedFeed,
    /// Greased for life or by somebody else; nothing to see.
    Sealed,
}

/// The forced-feed oil skid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OilSkid {
    /// Water cooler fitted.
    #[serde(default)]
    pub cooler: bool,
    /// Gauge over the oil filter fitted.
    #[serde(default)]
    pub filter_gauge: bool,
    /// Heater fitted in the reservoir.
    #[serde(default)]
    pub heater: bool,
}

/// A strainer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Strainer {
    /// `suction` or `discharge`.
    pub place: Place,
}

/// A pressure gauge.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gauge {
    /// `suction` or `discharge`.
    pub place: Place,
    /// Height of the gauge above the pump's centre line, m.
    pub elevation_m: f64,
    /// Lowest mark on the scale, bar.
    pub scale_low_bar: f64,
    /// Highest mark on the scale, bar.
    pub scale_high_bar: f64,
    /// Accuracy class by EN 837-1: largest error, per cent of the scale's span. Where it is not given, class 1.6 is
    /// taken, the usual one of plant gauges.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub accuracy_class: Option<f64>,
}

/// Where the pump takes its liquid from.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum SuctionSource {
    /// A tank or vessel above the pump.
    Flooded {
        /// Usual height of liquid above the centre line, m.
        head_m: f64,
        /// The level can be read at the pump.
        #[serde(default)]
        level_glass: bool,
        /// Heights of the glass's lowest and highest mark above the centre line, m.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        glass_from_to_m: Option<[f64; 2]>,
        /// Pressure of the gas over the liquid, bar gauge, where the vessel is closed; it stands open otherwise.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        gas_pressure_bar: Option<f64>,
    },
    /// Liquid below the pump.
    Lift {
        /// Usual depth of liquid below the centre line, m.
        lift_m: f64,
    },
    /// The casing hangs in the liquid.
    Submerged,
}

/// How the pump is primed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Priming {
    /// Liquid runs in by itself, air leaves by the vent.
    FloodedSuction,
    /// Air is drawn off by vacuum.
    Vacuum,
    /// Liquid runs in, air leaves through a closed vent line.
    ClosedVent,
    /// The casing is always under liquid.
    Submerged,
}

/// How the discharge valve stands at start.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ValveAtStart {
    /// Open.
    Open,
    /// Cracked: a little open.
    Cracked,
    /// Shut.
    Shut,
}

impl Pump {
    /// Places of its stuffing boxes or seals.
    pub fn seal_places(&self) -> &'static [Place] {
        match self.arrangement {
            Arrangement::BetweenBearings | Arrangement::Multistage => {
                &[Place::SealDe, Place::SealNde]
            }
            Arrangement::EndSuction | Arrangement::VerticalSump => &[Place::SealDe],
        }
    }

    /// It has a stuffing box with packing at this place.
    pub fn is_packed_at(&self, place: Place) -> bool {
        matches!(self.seal, Seal::Packed { .. }) && self.seal_places().contains(&place)
    }

    /// It has a strainer at this place.
    pub fn has_strainer(&self, place: Place) -> bool {
        self.strainers
            .iter()
            .any(|strainer| strainer.place == place)
    }

    /// The bearing at this place.
    pub fn bearing(&self, place: Place) -> Option<&Bearing> {
        self.bearings.iter().find(|bearing| bearing.place == place)
    }

    /// The gauge at this place.
    pub fn gauge(&self, place: Place) -> Option<&Gauge> {
        self.gauges.iter().find(|gauge| gauge.place == place)
    }
}
