//! What can be seen, heard, felt, read or worked out at a pump that points to a trouble.

use super::Feature::{self, *};
use serde::{Deserialize, Serialize};

macro_rules! signs {
    ($($(#[$doc:meta])* $item:ident $key:literal $check:literal $reading:literal [$($needs:ident),*] $words:literal $not_so:literal;)*) => {
        /// A sign. Each says when it counts as present and when as absent; what was not looked at is unknown, and
        /// an unknown sign is simply not given as evidence.
        ///
        /// "Usual" is this pump's own usual value at this running state: its limits, its baseline or its curve,
        /// whichever the plant has. Where an entry is one choice of several that can be there together (noise, look of
        /// oil or grease), the choice makes its own sign present and says nothing of the others; only the choice that
        /// all is well makes them absent.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub enum Sign {
            $($(#[$doc])* #[serde(rename = $key)] $item,)*
        }

        impl Sign {
            /// Every one of them.
            pub const ALL: &[Sign] = &[$(Sign::$item,)*];

            /// As it is written in files.
            pub fn key(self) -> &'static str {
                match self { $(Sign::$item => $key,)* }
            }

            /// In plain words, for the middle of a sentence.
            pub fn words(self) -> &'static str {
                match self { $(Sign::$item => $words,)* }
            }

            /// Its absence in plain words, for the middle of a sentence.
            pub fn absent_words(self) -> &'static str {
                match self { $(Sign::$item => $not_so,)* }
            }

            /// The check that shows it best, as `kind@place`; `None` where only a question can tell.
            ///
            /// A sign of a bearing or a seal names the drive end; it may be seen at any bearing or seal of the pump.
            pub fn check(self) -> Option<&'static str> {
                let check = match self { $(Sign::$item => $check,)* };
                (!check.is_empty()).then_some(check)
            }

            /// Signs of one reading exclude each other: a gauge cannot be low and high at once.
            fn reading(self) -> &'static str {
                match self { $(Sign::$item => $reading,)* }
            }

            /// The pump needs one of these for the sign to be there to see; none named means every pump.
            fn needs(self) -> &'static [Feature] {
                match self { $(Sign::$item => &[$($needs),*],)* }
            }
        }
    };
}

signs! {
    /// Present: discharge pressure below usual but plainly there. Absent: usual or above, or none.
    DischargeLow "discharge_low" "discharge_pressure@discharge" "discharge" [] "discharge pressure below usual"
        "discharge pressure not low";
    /// Present: discharge pressure no higher than suction pressure, or than the air's. Absent: higher than both.
    DischargeNone "discharge_none" "discharge_pressure@discharge" "discharge" [] "no discharge pressure"
        "there is discharge pressure";
    /// Present: discharge pressure as usual. Absent: below, above or none.
    DischargeUsual "discharge_usual" "discharge_pressure@discharge" "discharge" [] "discharge pressure as usual"
        "discharge pressure not as usual";
    /// Present: discharge pressure above usual, up to shut-off. Absent: usual or below.
    DischargeHigh "discharge_high" "discharge_pressure@discharge" "discharge" [] "discharge pressure above usual"
        "discharge pressure not high";
    /// Present: total head above the curve's shut-off head by more than the gauges' error. Absent: not above.
    DischargeAboveShutOff "discharge_above_shut_off" "discharge_pressure@discharge" "discharge" [] "head above the pump's shut-off head"
        "head not above shut-off";
    /// Present: the discharge needle swings. Absent: it stands or trembles as usual.
    DischargeSwinging "discharge_swinging" "gauge_swing@discharge" "" [] "discharge needle swings"
        "discharge needle stands still";
    /// Present: suction pressure below usual (vacuum deeper than usual on a lift). Absent: usual or above.
    SuctionLow "suction_low" "suction_pressure@suction" "suction" [] "suction pressure below usual"
        "suction pressure not low";
    /// Present: suction pressure above usual. Absent: usual or below.
    SuctionHigh "suction_high" "suction_pressure@suction" "suction" [] "suction pressure above usual"
        "suction pressure not high";
    /// Present: pressure at the suction flange and at the gland is above that of the air. Absent: below it.
    SuctionAboveAtmosphere "suction_above_atmosphere" "suction_pressure@suction" "" [] "suction pressure above that of the air"
        "suction pressure not above that of the air";
    /// Present: the suction needle swings. Absent: it stands or trembles as usual.
    SuctionSwinging "suction_swinging" "gauge_swing@suction" "" [] "suction needle swings"
        "suction needle stands still";
    /// Present: level in the sump or tank below its lowest usual. Absent: at or above it.
    LevelLow "level_low" "suction_level@suction" "" [] "suction level low"
        "suction level not low";
    /// Present: the surface above the inlet turns without an air core. Absent: calm, or an air core.
    SurfaceSwirl "surface_swirl" "suction_surface@suction" "surface" [] "surface turns above the inlet"
        "surface does not turn";
    /// Present: a funnel with air going down in it stands above the inlet. Absent: calm, or only turning.
    SurfaceAirCore "surface_air_core" "suction_surface@suction" "surface" [] "air core above the inlet"
        "no air core above the inlet";

    /// Present: motor current below usual. Absent: usual or above.
    AmpsLow "amps_low" "motor_current@driver" "amps" [] "motor current below usual"
        "motor current not low";
    /// Present: motor current above usual or above full load. Absent: usual or below.
    AmpsHigh "amps_high" "motor_current@driver" "amps" [] "motor current above usual"
        "motor current not high";
    /// Present: the ammeter swings. Absent: it stands.
    AmpsSwinging "amps_swinging" "current_swing@driver" "" [] "motor current swings"
        "motor current steady";
    /// Present: one phase carries nothing or next to nothing. Absent: all three carry.
    PhaseMissing "phase_missing" "phase_currents@driver" "phases" [] "one phase carries nothing"
        "every phase carries";
    /// Present: the phases differ by more than the plant allows, all carrying. Absent: even, or one missing.
    PhasesUneven "phases_uneven" "phase_currents@driver" "phases" [] "phase currents uneven"
        "phase currents not uneven";
    /// Present: the driver tripped on overload since the last visit. Absent: it did not.
    DriverTripped "driver_tripped" "driver_tripped@driver" "" [] "driver tripped on overload"
        "driver has not tripped";

    /// Present: flow below usual but not nothing. Absent: usual or above, or none.
    FlowLow "flow_low" "flow@discharge" "flow" [] "flow below usual"
        "flow not low";
    /// Present: nothing flows while it runs. Absent: something flows.
    FlowNone "flow_none" "flow@discharge" "flow" [] "no flow"
        "liquid flows";
    /// Present: flow above usual, or far right on the pump's curve. Absent: neither.
    FlowHigh "flow_high" "flow@discharge" "flow" [] "flow far right on the curve"
        "flow not high";
    /// Present: head at the measured flow on the curve within the gauges' error. Absent: off it.
    HeadOnCurve "head_on_curve" "flow@discharge" "head" [] "head on the pump's curve"
        "head off the pump's curve";
    /// Present: head below the curve by about the same share at every flow seen. Absent: on it, or not evenly.
    HeadBelowEvenly "head_below_evenly" "flow@discharge" "head" [] "head below the curve at every flow"
        "head not below the curve at every flow";
    /// Present: head near the curve at low flow, far below it at high flow. Absent: not so.
    HeadFallsWithFlow "head_falls_with_flow" "flow@discharge" "head" [] "head falls away from the curve with flow"
        "head does not fall away with flow";

    /// Present: crackling, gravel, rocks in the pump. Absent: the noise was judged and is not so.
    NoiseGravel "noise_gravel" "noise@pump" "" [] "crackles like gravel"
        "no crackling";
    /// Present: hissing of air drawn in. Absent: listened for and not heard.
    NoiseHiss "noise_hiss" "noise@pump" "" [] "air hisses"
        "no air hisses";
    /// Present: rumbling or grinding from a bearing, louder than usual. Absent: the noise was judged and is not so.
    NoiseRumble "noise_rumble" "noise@pump" "" [] "a bearing rumbles"
        "no bearing rumbles";
    /// Present: squeal or screech. Absent: the noise was judged and is not so.
    NoiseSqueal "noise_squeal" "noise@pump" "" [] "it squeals"
        "no squeal";
    /// Present: knocking or rubbing. Absent: the noise was judged and is not so.
    NoiseKnock "noise_knock" "noise@pump" "" [] "it knocks or rubs"
        "no knocking or rubbing";
    /// Present: the motor hums more than usual. Absent: the noise was judged and is not so.
    NoiseHum "noise_hum" "noise@pump" "" [] "the motor hums"
        "the motor does not hum";
    /// Present: vibration above usual by hand or meter, at any bearing. Absent: usual.
    VibrationHigh "vibration_high" "bearing_vibration@pump_de" "" [] "vibration above usual"
        "vibration as usual";

    /// Present: the casing is plainly hotter than the liquid that comes in. Absent: about as warm.
    CasingHot "casing_hot" "casing_heat@pump" "" [] "casing hotter than the liquid that comes in"
        "casing no hotter than the liquid that comes in";
    /// Present: the vent gives solid liquid at once. Absent: it does not.
    VentLiquid "vent_liquid" "vent_test@pump" "vent" [Flooded, Lift] "the vent gives solid liquid"
        "the vent gives no solid liquid";
    /// Present: the vent gives liquid with bubbles in it. Absent: it does not.
    VentBubbles "vent_bubbles" "vent_test@pump" "vent" [Flooded, Lift] "the vent gives liquid with bubbles"
        "no bubbles at the vent";
    /// Present: the vent blows air, or draws it in. Absent: it does not.
    VentAir "vent_air" "vent_test@pump" "vent" [Flooded, Lift] "the vent gives air"
        "no air at the vent";
    /// Present: the vent gives vapour of the liquid. Absent: it does not.
    VentVapour "vent_vapour" "vent_test@pump" "vent" [Flooded, Lift] "the vent gives vapour"
        "no vapour at the vent";
    /// Present: it was started without having been filled and vented. Absent: it was filled and vented.
    CasingNotFilled "casing_not_filled" "primed@pump" "" [Flooded, Lift] "not filled and vented before the start"
        "filled and vented before the start";

    /// Present: liquid at the suction hotter than usual. Absent: usual or cooler.
    LiquidHot "liquid_hot" "liquid_temperature@suction" "" [] "liquid hotter than usual"
        "liquid not hotter than usual";
    /// Present: margin of NPSH below the plant's, not below nothing. Absent: the plant's margin is kept, or none left.
    NpshSmall "npsh_small" "liquid_temperature@suction" "npsh" [] "NPSH margin below the plant's"
        "NPSH margin not below the plant's";
    /// Present: NPSH available below that required. Absent: above it.
    NpshNegative "npsh_negative" "liquid_temperature@suction" "npsh" [] "NPSH available below that required"
        "NPSH available above that required";

    /// Present: the suction valve is not fully open. Absent: it is.
    SuctionValvePart "suction_valve_part" "valve_position@suction" "" [] "suction valve not fully open"
        "suction valve fully open";
    /// Present: the discharge valve is open in part, against its usual. Absent: as usual, or shut.
    DischargeValvePart "discharge_valve_part" "valve_position@discharge" "discharge_valve" [] "discharge valve less open than usual"
        "discharge valve as open as usual";
    /// Present: the discharge valve is shut while it runs. Absent: not shut.
    DischargeValveShut "discharge_valve_shut" "valve_position@discharge" "discharge_valve" [] "discharge valve shut"
        "discharge valve not shut";
    /// Present: drop over the suction strainer above its watch limit. Absent: below it.
    StrainerDropHigh "strainer_drop_high" "strainer_drop@suction" "" [SuctionStrainer] "drop over the suction strainer high"
        "drop over the suction strainer not high";
    /// Present: drop over the discharge filter above its watch limit. Absent: below it.
    FilterDropHigh "filter_drop_high" "strainer_drop@discharge" "" [DischargeFilter] "drop over the discharge filter high"
        "drop over the discharge filter not high";
    /// Present: the shaft turns against the arrow. Absent: with it.
    RotationWrong "rotation_wrong" "rotation@driver" "" [] "turns the wrong way"
        "turns the right way";
    /// Present: shaft speed below that set, beyond the meter's error. Absent: as set or above.
    SpeedLow "speed_low" "shaft_speed@driver" "speed" [] "shaft speed low"
        "shaft speed not low";
    /// Present: shaft speed above that set, beyond the meter's error. Absent: as set or below.
    SpeedHigh "speed_high" "shaft_speed@driver" "speed" [] "shaft speed high"
        "shaft speed not high";

    /// Present: it was started within the last hour or so. Absent: it has run longer.
    JustStarted "just_started" "just_started@pump" "" [] "just started"
        "has run for more than an hour";
    /// Present: it has not delivered since the start. Absent: it has.
    NeverDelivered "never_delivered" "delivery@pump" "delivery" [] "has not delivered since the start"
        "has delivered since the start";
    /// Present: it delivered after the start and lost it. Absent: it still delivers, or never did.
    DeliveredThenLost "delivered_then_lost" "delivery@pump" "delivery" [] "delivered, then lost it"
        "has not lost its delivery";
    /// Present: the trouble comes and goes within minutes. Absent: it stays.
    ComesAndGoes "comes_and_goes" "delivery@pump" "" [] "comes and goes"
        "does not come and go";
    /// Present: first run after work on pump, motor, cable or pipes. Absent: it has run well since.
    AfterMaintenance "after_maintenance" "after_work@pump" "" [] "first run after work on it"
        "has run since work on it";

    /// Present: not a drop leaves the gland while it runs. Absent: drops leave.
    LeakOffNone "leak_off_none" "leak_off@seal_de" "leak_off" [Packed] "no leak-off"
        "drops leave the gland";
    /// Present: leak-off below its low watch limit, not nothing. Absent: in or above the band, or none.
    LeakOffLow "leak_off_low" "leak_off@seal_de" "leak_off" [Packed] "leak-off below its band"
        "leak-off not below its band";
    /// Present: leak-off above its high watch limit. Absent: in or below the band.
    LeakOffHigh "leak_off_high" "leak_off@seal_de" "leak_off" [Packed] "leak-off above its band"
        "leak-off not above its band";
    /// Present: the leak-off comes from one side of the gland. Absent: all round.
    LeakOffOneSided "leak_off_one_sided" "leak_off_sides@seal_de" "" [Packed] "leak-off on one side"
        "leak-off all round the gland";
    /// Present: the gland is hot to the hand, smoking or not. Absent: cool, or warm as usual.
    GlandHot "gland_hot" "gland_heat@seal_de" "" [Packed] "gland hot"
        "gland not hot";
    /// Present: the gland smokes, smells burnt, or is so hot that it is felt a hand's breadth away. Absent: it does not.
    GlandSmoking "gland_smoking" "gland_heat@seal_de" "" [Packed] "gland scorches or smokes"
        "gland neither scorches nor smokes";
    /// Present: the gland stands askew to the shaft. Absent: square.
    GlandCocked "gland_cocked" "gland_square@seal_de" "" [Packed] "gland askew"
        "gland square";
    /// Present: pressure at the lantern ring below its watch limit or below that in the box. Absent: right.
    LanternLow "lantern_low" "lantern_ring_pressure@seal_de" "" [LanternRing] "lantern ring pressure low"
        "lantern ring pressure not low";
    /// Present: a film of soapy water or a strip of paper is drawn in at the gland. Absent: it is not.
    GlandAir "gland_air" "gland_air@seal_de" "" [Packed] "air drawn in at the gland"
        "no air drawn in at the gland";
    /// Present: a mechanical seal drips more than its limit. Absent: it does not, or it streams.
    SealDrips "seal_drips" "seal_leak@seal_de" "seal_leak" [Mechanical] "mechanical seal drips"
        "mechanical seal does not drip";
    /// Present: a mechanical seal streams or sprays. Absent: it does not.
    SealStreams "seal_streams" "seal_leak@seal_de" "seal_leak" [Mechanical] "mechanical seal streams"
        "mechanical seal does not stream";
    /// Present: flow of the liquid fed to the seal below its limit. Absent: right.
    SealFeedFlowLow "seal_feed_flow_low" "seal_feed_flow@seal_de" "" [SealFeed] "seal feed flow low"
        "seal feed flow not low";
    /// Present: pressure of the liquid fed to the seal below its limit. Absent: right.
    SealFeedPressureLow "seal_feed_pressure_low" "seal_feed_pressure@seal_de" "" [SealFeed] "seal feed pressure low"
        "seal feed pressure not low";

    /// Present: a bearing housing above its watch limit or too hot for the hand. Absent: usual.
    BearingHot "bearing_hot" "bearing_heat@pump_de" "" [] "bearing hot"
        "no bearing above its limit";
    /// Present: the trend of a bearing's temperature rises over weeks. Absent: there are values and no such trend.
    BearingRising "bearing_rising" "bearing_temperature@pump_de" "" [] "bearing warmer from week to week"
        "no bearing warmer from week to week";
    /// Present: it became hot within hours of greasing. Absent: it was greased and did not.
    HotAfterGreasing "hot_after_greasing" "after_greasing@pump" "" [Grease] "hot since it was greased"
        "not hot since it was greased";
    /// Present: oil below the mark of the sight glass or oiler. Absent: at or above it.
    OilLow "oil_low" "oil_level@pump_de" "" [Oil] "bearing oil low"
        "bearing oil not low";
    /// Present: oil dark or smelling burnt. Absent: it was looked at and is not so.
    OilDark "oil_dark" "oil_look@pump_de" "" [Oil] "bearing oil dark"
        "bearing oil not dark";
    /// Present: oil milky. Absent: it was looked at and is not so.
    OilMilky "oil_milky" "oil_look@pump_de" "" [Oil] "bearing oil milky"
        "bearing oil not milky";
    /// Present: oil foams. Absent: it was looked at and does not.
    OilFoam "oil_foam" "oil_look@pump_de" "" [Oil] "bearing oil foams"
        "bearing oil does not foam";
    /// Present: metal glitters in the oil. Absent: it was looked at and is not so.
    OilGlitter "oil_glitter" "oil_look@pump_de" "" [Oil] "metal glitters in the oil"
        "no metal in the oil";
    /// Present: no turn left on the grease cup. Absent: turns left.
    GreaseCupEmpty "grease_cup_empty" "grease_cup@pump_de" "" [Grease] "grease cup empty"
        "grease cup not empty";
    /// Present: grease pushed out at the housing. Absent: it was looked at and is not so.
    GreasePushedOut "grease_pushed_out" "grease_look@pump_de" "" [Grease] "grease pushed out"
        "no grease pushed out";
    /// Present: grease dry and hard. Absent: it was looked at and is not so.
    GreaseDry "grease_dry" "grease_look@pump_de" "" [Grease] "grease dry"
        "grease not dry";
    /// Present: grease whitish. Absent: it was looked at and is not so.
    GreaseWhitish "grease_whitish" "grease_look@pump_de" "" [Grease] "grease whitish"
        "grease not whitish";

    /// Present: oil reservoir below its mark or falling from visit to visit. Absent: neither.
    ReservoirLow "reservoir_low" "feed_oil_reservoir@oil_skid" "" [ForcedFeed] "oil reservoir low or falling"
        "oil reservoir neither low nor falling";
    /// Present: pressure of the forced-feed oil below its limit. Absent: right.
    OilPressureLow "oil_pressure_low" "feed_oil_pressure@oil_skid" "" [ForcedFeed] "feed oil pressure low"
        "feed oil pressure not low";
    /// Present: forced-feed oil above its temperature limit. Absent: not above.
    OilTempHigh "oil_temp_high" "feed_oil_temperature@oil_skid" "oil_temperature" [ForcedFeed] "feed oil too hot"
        "feed oil not too hot";
    /// Present: forced-feed oil below its temperature limit. Absent: not below.
    OilTempLow "oil_temp_low" "feed_oil_temperature@oil_skid" "oil_temperature" [ForcedFeed] "feed oil too cold"
        "feed oil not too cold";
    /// Present: drop over the oil filter above its limit. Absent: not above.
    OilFilterDropHigh "oil_filter_drop_high" "feed_oil_filter_drop@oil_skid" "" [OilFilter] "drop over the oil filter high"
        "drop over the oil filter not high";
    /// Present: little or no cooling water to the oil cooler. Absent: it flows.
    CoolingWaterNone "cooling_water_none" "cooling_water@oil_skid" "cooling_water" [Cooler] "little or no cooling water"
        "cooling water flows";
    /// Present: cooling water comes back hot. Absent: it does not, or none flows.
    CoolingWaterHot "cooling_water_hot" "cooling_water@oil_skid" "cooling_water" [Cooler] "cooling water comes back hot"
        "cooling water does not come back hot";
    /// Present: cooling water runs full and comes back cold. Absent: it does not.
    CoolingWaterFull "cooling_water_full" "cooling_water@oil_skid" "cooling_water" [Cooler] "cooling water runs full and cold"
        "cooling water not full and cold";

    /// Present: a foundation bolt is loose or grout cracked. Absent: sound.
    FoundationLoose "foundation_loose" "foundation@pump" "" [] "foundation loose"
        "foundation sound";
    /// Present: coupling worn: dust, crumbs, torn elements, seen with the pump stopped or through the guard. Absent: good.
    CouplingWorn "coupling_worn" "coupling@pump" "coupling" [] "coupling worn"
        "coupling not worn";
    /// Present: coupling loose, slipping or come apart. Absent: it drives.
    CouplingLoose "coupling_loose" "coupling@pump" "coupling" [] "coupling loose"
        "coupling drives";
}

impl Sign {
    /// The sign of this key.
    pub fn from_key(key: &str) -> Option<Sign> {
        Self::ALL.iter().copied().find(|sign| sign.key() == key)
    }

    /// It is no trouble in itself, only when the trouble came: alone it makes no cause fit.
    pub fn is_circumstance(self) -> bool {
        matches!(self, Sign::JustStarted | Sign::AfterMaintenance)
    }

    /// Both cannot be present: they are different answers of one reading.
    pub fn excludes(self, other: Sign) -> bool {
        self != other && !self.reading().is_empty() && self.reading() == other.reading()
    }

    /// Both are shown by the same check; a sign that only a question can tell stands alone.
    pub fn same_check(self, other: Sign) -> bool {
        self == other || (self.check().is_some() && self.check() == other.check())
    }

    /// A pump of this build can show it.
    pub fn can_be_on(self, build: &super::Build) -> bool {
        self.needs().is_empty() || self.needs().iter().any(|&feature| build.has(feature))
    }
}
