//! What can be seen, heard, felt, read or worked out at a pump that points to a trouble.

use super::Feature::{self, *};
use crate::{language, word};
use serde::{Deserialize, Serialize};

macro_rules! signs {
    ($($(#[$doc:meta])* $item:ident $key:literal $check:literal $reading:literal [$($needs:ident),*]
        word!($words:literal) word!($not_so:literal);)*) => {
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
                language::word(self.english())
            }

            /// The same in English, to be compared with other words of the knowledge.
            pub(super) fn english(self) -> &'static str {
                match self { $(Sign::$item => word!($words),)* }
            }

            /// Its absence in plain words, for the middle of a sentence.
            pub fn absent_words(self) -> &'static str {
                let english = match self { $(Sign::$item => word!($not_so),)* };
                language::word(english)
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
    DischargeLow "discharge_low" "discharge_pressure@discharge" "discharge" [] word!("discharge pressure below usual")
        word!("discharge pressure not low");
    /// Present: discharge pressure no higher than suction pressure, or than the air's. Absent: higher than both.
    DischargeNone "discharge_none" "discharge_pressure@discharge" "discharge" [] word!("no discharge pressure")
        word!("there is discharge pressure");
    /// Present: discharge pressure as usual. Absent: below, above or none.
    DischargeUsual "discharge_usual" "discharge_pressure@discharge" "discharge" [] word!("discharge pressure as usual")
        word!("discharge pressure not as usual");
    /// Present: discharge pressure above usual, up to shut-off. Absent: usual or below.
    DischargeHigh "discharge_high" "discharge_pressure@discharge" "discharge" [] word!("discharge pressure above usual")
        word!("discharge pressure not high");
    /// Present: total head above the curve's shut-off head by more than the gauges' error. Absent: not above.
    DischargeAboveShutOff "discharge_above_shut_off" "discharge_pressure@discharge" "discharge" [] word!("head above the pump's shut-off head")
        word!("head not above shut-off");
    /// Present: the discharge needle swings. Absent: it stands or trembles as usual.
    DischargeSwinging "discharge_swinging" "gauge_swing@discharge" "" [] word!("discharge needle swings")
        word!("discharge needle stands still");
    /// Present: suction pressure below usual (vacuum deeper than usual on a lift). Absent: usual or above.
    SuctionLow "suction_low" "suction_pressure@suction" "suction" [] word!("suction pressure below usual")
        word!("suction pressure not low");
    /// Present: suction pressure above usual. Absent: usual or below.
    SuctionHigh "suction_high" "suction_pressure@suction" "suction" [] word!("suction pressure above usual")
        word!("suction pressure not high");
    /// Present: pressure at the suction flange and at the gland is above that of the air. Absent: below it.
    SuctionAboveAtmosphere "suction_above_atmosphere" "suction_pressure@suction" "" [] word!("suction pressure above that of the air")
        word!("suction pressure not above that of the air");
    /// Present: the suction needle swings. Absent: it stands or trembles as usual.
    SuctionSwinging "suction_swinging" "gauge_swing@suction" "" [] word!("suction needle swings")
        word!("suction needle stands still");
    /// Present: level in the sump or tank below its lowest usual. Absent: at or above it.
    LevelLow "level_low" "suction_level@suction" "" [] word!("suction level low")
        word!("suction level not low");
    /// Present: the surface above the inlet turns without an air core. Absent: calm, or an air core.
    SurfaceSwirl "surface_swirl" "suction_surface@suction" "surface" [] word!("surface turns above the inlet")
        word!("surface does not turn");
    /// Present: a funnel with air going down in it stands above the inlet. Absent: calm, or only turning.
    SurfaceAirCore "surface_air_core" "suction_surface@suction" "surface" [] word!("air core above the inlet")
        word!("no air core above the inlet");

    /// Present: motor current below usual. Absent: usual or above.
    AmpsLow "amps_low" "motor_current@driver" "amps" [] word!("motor current below usual")
        word!("motor current not low");
    /// Present: motor current above usual or above full load. Absent: usual or below.
    AmpsHigh "amps_high" "motor_current@driver" "amps" [] word!("motor current above usual")
        word!("motor current not high");
    /// Present: the ammeter swings. Absent: it stands.
    AmpsSwinging "amps_swinging" "current_swing@driver" "" [] word!("motor current swings")
        word!("motor current steady");
    /// Present: one phase carries nothing or next to nothing. Absent: all three carry.
    PhaseMissing "phase_missing" "phase_currents@driver" "phases" [] word!("one phase carries nothing")
        word!("every phase carries");
    /// Present: the phases differ by more than the plant allows, all carrying. Absent: even, or one missing.
    PhasesUneven "phases_uneven" "phase_currents@driver" "phases" [] word!("phase currents uneven")
        word!("phase currents not uneven");
    /// Present: the driver tripped on overload since the last visit. Absent: it did not.
    DriverTripped "driver_tripped" "driver_tripped@driver" "" [] word!("driver tripped on overload")
        word!("driver has not tripped");

    /// Present: flow below usual but not nothing. Absent: usual or above, or none.
    FlowLow "flow_low" "flow@discharge" "flow" [] word!("flow below usual")
        word!("flow not low");
    /// Present: nothing flows while it runs. Absent: something flows.
    FlowNone "flow_none" "flow@discharge" "flow" [] word!("no flow")
        word!("liquid flows");
    /// Present: flow above usual, or far right on the pump's curve. Absent: neither.
    FlowHigh "flow_high" "flow@discharge" "flow" [] word!("flow far right on the curve")
        word!("flow not high");
    /// Present: head at the measured flow on the curve within the gauges' error. Absent: off it.
    HeadOnCurve "head_on_curve" "flow@discharge" "head" [] word!("head on the pump's curve")
        word!("head off the pump's curve");
    /// Present: head below the curve by about the same share at every flow seen. Absent: on it, or not evenly.
    HeadBelowEvenly "head_below_evenly" "flow@discharge" "head" [] word!("head below the curve at every flow")
        word!("head not below the curve at every flow");
    /// Present: head near the curve at low flow, far below it at high flow. Absent: not so.
    HeadFallsWithFlow "head_falls_with_flow" "flow@discharge" "head" [] word!("head falls away from the curve with flow")
        word!("head does not fall away with flow");

    /// Present: crackling, gravel, rocks in the pump. Absent: the noise was judged and is not so.
    NoiseGravel "noise_gravel" "noise@pump" "" [] word!("crackles like gravel")
        word!("no crackling");
    /// Present: hissing of air drawn in. Absent: listened for and not heard.
    NoiseHiss "noise_hiss" "noise@pump" "" [] word!("air hisses")
        word!("no air hisses");
    /// Present: rumbling or grinding from a bearing, louder than usual. Absent: the noise was judged and is not so.
    NoiseRumble "noise_rumble" "noise@pump" "" [] word!("a bearing rumbles")
        word!("no bearing rumbles");
    /// Present: squeal or screech. Absent: the noise was judged and is not so.
    NoiseSqueal "noise_squeal" "noise@pump" "" [] word!("it squeals")
        word!("no squeal");
    /// Present: knocking or rubbing. Absent: the noise was judged and is not so.
    NoiseKnock "noise_knock" "noise@pump" "" [] word!("it knocks or rubs")
        word!("no knocking or rubbing");
    /// Present: the motor hums more than usual. Absent: the noise was judged and is not so.
    NoiseHum "noise_hum" "noise@pump" "" [] word!("the motor hums")
        word!("the motor does not hum");
    /// Present: vibration above usual by hand or meter, at any bearing. Absent: usual.
    VibrationHigh "vibration_high" "bearing_vibration@pump_de" "" [] word!("vibration above usual")
        word!("vibration as usual");

    /// Present: the casing is plainly hotter than the liquid that comes in. Absent: about as warm.
    CasingHot "casing_hot" "casing_heat@pump" "" [] word!("casing hotter than the liquid that comes in")
        word!("casing no hotter than the liquid that comes in");
    /// Present: the vent gives solid liquid at once. Absent: it does not.
    VentLiquid "vent_liquid" "vent_test@pump" "vent" [Flooded, Lift] word!("the vent gives solid liquid")
        word!("the vent gives no solid liquid");
    /// Present: the vent gives liquid with bubbles in it. Absent: it does not.
    VentBubbles "vent_bubbles" "vent_test@pump" "vent" [Flooded, Lift] word!("the vent gives liquid with bubbles")
        word!("no bubbles at the vent");
    /// Present: the vent blows air, or draws it in. Absent: it does not.
    VentAir "vent_air" "vent_test@pump" "vent" [Flooded, Lift] word!("the vent gives air")
        word!("no air at the vent");
    /// Present: the vent gives vapour of the liquid. Absent: it does not.
    VentVapour "vent_vapour" "vent_test@pump" "vent" [Flooded, Lift] word!("the vent gives vapour")
        word!("no vapour at the vent");
    /// Present: it was started without having been filled and vented. Absent: it was filled and vented.
    CasingNotFilled "casing_not_filled" "primed@pump" "" [Flooded, Lift] word!("not filled and vented before the start")
        word!("filled and vented before the start");

    /// Present: liquid at the suction hotter than usual. Absent: usual or cooler.
    LiquidHot "liquid_hot" "liquid_temperature@suction" "" [] word!("liquid hotter than usual")
        word!("liquid not hotter than usual");
    /// Present: margin of NPSH below the plant's, not below nothing. Absent: the plant's margin is kept, or none left.
    NpshSmall "npsh_small" "liquid_temperature@suction" "npsh" [] word!("NPSH margin below the plant's")
        word!("NPSH margin not below the plant's");
    /// Present: NPSH available below that required. Absent: above it.
    NpshNegative "npsh_negative" "liquid_temperature@suction" "npsh" [] word!("NPSH available below that required")
        word!("NPSH available above that required");

    /// Present: the suction valve is not fully open. Absent: it is.
    SuctionValvePart "suction_valve_part" "valve_position@suction" "" [] word!("suction valve not fully open")
        word!("suction valve fully open");
    /// Present: the discharge valve is open in part, against its usual. Absent: as usual, or shut.
    DischargeValvePart "discharge_valve_part" "valve_position@discharge" "discharge_valve" [] word!("discharge valve less open than usual")
        word!("discharge valve as open as usual");
    /// Present: the discharge valve is shut while it runs. Absent: not shut.
    DischargeValveShut "discharge_valve_shut" "valve_position@discharge" "discharge_valve" [] word!("discharge valve shut")
        word!("discharge valve not shut");
    /// Present: drop over the suction strainer above its watch limit. Absent: below it.
    StrainerDropHigh "strainer_drop_high" "strainer_drop@suction" "" [SuctionStrainer] word!("drop over the suction strainer high")
        word!("drop over the suction strainer not high");
    /// Present: drop over the discharge filter above its watch limit. Absent: below it.
    FilterDropHigh "filter_drop_high" "strainer_drop@discharge" "" [DischargeFilter] word!("drop over the discharge filter high")
        word!("drop over the discharge filter not high");
    /// Present: the shaft turns against the arrow. Absent: with it.
    RotationWrong "rotation_wrong" "rotation@driver" "" [] word!("turns the wrong way")
        word!("turns the right way");
    /// Present: shaft speed below that set, beyond the meter's error. Absent: as set or above.
    SpeedLow "speed_low" "shaft_speed@driver" "speed" [] word!("shaft speed low")
        word!("shaft speed not low");
    /// Present: shaft speed above that set, beyond the meter's error. Absent: as set or below.
    SpeedHigh "speed_high" "shaft_speed@driver" "speed" [] word!("shaft speed high")
        word!("shaft speed not high");

    /// Present: it was started within the last hour or so. Absent: it has run longer.
    JustStarted "just_started" "just_started@pump" "" [] word!("just started")
        word!("has run for more than an hour");
    /// Present: it has not delivered since the start. Absent: it has.
    NeverDelivered "never_delivered" "delivery@pump" "delivery" [] word!("has not delivered since the start")
        word!("has delivered since the start");
    /// Present: it delivered after the start and lost it. Absent: it still delivers, or never did.
    DeliveredThenLost "delivered_then_lost" "delivery@pump" "delivery" [] word!("delivered, then lost it")
        word!("has not lost its delivery");
    /// Present: the trouble comes and goes within minutes. Absent: it stays.
    ComesAndGoes "comes_and_goes" "delivery@pump" "" [] word!("comes and goes")
        word!("does not come and go");
    /// Present: first run after work on pump, motor, cable or pipes. Absent: it has run well since.
    AfterMaintenance "after_maintenance" "after_work@pump" "" [] word!("first run after work on it")
        word!("has run since work on it");

    /// Present: not a drop leaves the gland while it runs. Absent: drops leave.
    LeakOffNone "leak_off_none" "leak_off@seal_de" "leak_off" [Packed] word!("no leak-off")
        word!("drops leave the gland");
    /// Present: leak-off below its low watch limit, not nothing. Absent: in or above the band, or none.
    LeakOffLow "leak_off_low" "leak_off@seal_de" "leak_off" [Packed] word!("leak-off below its band")
        word!("leak-off not below its band");
    /// Present: leak-off above its high watch limit. Absent: in or below the band.
    LeakOffHigh "leak_off_high" "leak_off@seal_de" "leak_off" [Packed] word!("leak-off above its band")
        word!("leak-off not above its band");
    /// Present: the leak-off comes from one side of the gland. Absent: all round.
    LeakOffOneSided "leak_off_one_sided" "leak_off_sides@seal_de" "" [Packed] word!("leak-off on one side")
        word!("leak-off all round the gland");
    /// Present: the gland is hot to the hand, smoking or not. Absent: cool, or warm as usual.
    GlandHot "gland_hot" "gland_heat@seal_de" "" [Packed] word!("gland hot")
        word!("gland not hot");
    /// Present: the gland smokes, smells burnt, or is so hot that it is felt a hand's breadth away. Absent: it does not.
    GlandSmoking "gland_smoking" "gland_heat@seal_de" "" [Packed] word!("gland scorches or smokes")
        word!("gland neither scorches nor smokes");
    /// Present: the gland stands askew to the shaft. Absent: square.
    GlandCocked "gland_cocked" "gland_square@seal_de" "" [Packed] word!("gland askew")
        word!("gland square");
    /// Present: pressure at the lantern ring below its watch limit or below that in the box. Absent: right.
    LanternLow "lantern_low" "lantern_ring_pressure@seal_de" "" [LanternRing] word!("lantern ring pressure low")
        word!("lantern ring pressure not low");
    /// Present: a film of soapy water or a strip of paper is drawn in at the gland. Absent: it is not.
    GlandAir "gland_air" "gland_air@seal_de" "" [Packed] word!("air drawn in at the gland")
        word!("no air drawn in at the gland");
    /// Present: a mechanical seal drips more than its limit. Absent: it does not, or it streams.
    SealDrips "seal_drips" "seal_leak@seal_de" "seal_leak" [Mechanical] word!("mechanical seal drips")
        word!("mechanical seal does not drip");
    /// Present: a mechanical seal streams or sprays. Absent: it does not.
    SealStreams "seal_streams" "seal_leak@seal_de" "seal_leak" [Mechanical] word!("mechanical seal streams")
        word!("mechanical seal does not stream");
    /// Present: flow of the liquid fed to the seal below its limit. Absent: right.
    SealFeedFlowLow "seal_feed_flow_low" "seal_feed_flow@seal_de" "" [SealFeed] word!("seal feed flow low")
        word!("seal feed flow not low");
    /// Present: pressure of the liquid fed to the seal below its limit. Absent: right.
    SealFeedPressureLow "seal_feed_pressure_low" "seal_feed_pressure@seal_de" "" [SealFeed] word!("seal feed pressure low")
        word!("seal feed pressure not low");

    /// Present: a bearing housing above its watch limit or too hot for the hand. Absent: usual.
    BearingHot "bearing_hot" "bearing_heat@pump_de" "" [] word!("bearing hot")
        word!("no bearing above its limit");
    /// Present: the trend of a bearing's temperature rises over weeks. Absent: there are values and no such trend.
    BearingRising "bearing_rising" "bearing_temperature@pump_de" "" [] word!("bearing warmer from week to week")
        word!("no bearing warmer from week to week");
    /// Present: it became hot within hours of greasing. Absent: it was greased and did not.
    HotAfterGreasing "hot_after_greasing" "after_greasing@pump" "" [Grease] word!("hot since it was greased")
        word!("not hot since it was greased");
    /// Present: oil below the mark of the sight glass or oiler. Absent: at or above it.
    OilLow "oil_low" "oil_level@pump_de" "" [Oil] word!("bearing oil low")
        word!("bearing oil not low");
    /// Present: oil dark or smelling burnt. Absent: it was looked at and is not so.
    OilDark "oil_dark" "oil_look@pump_de" "" [Oil] word!("bearing oil dark")
        word!("bearing oil not dark");
    /// Present: oil milky. Absent: it was looked at and is not so.
    OilMilky "oil_milky" "oil_look@pump_de" "" [Oil] word!("bearing oil milky")
        word!("bearing oil not milky");
    /// Present: oil foams. Absent: it was looked at and does not.
    OilFoam "oil_foam" "oil_look@pump_de" "" [Oil] word!("bearing oil foams")
        word!("bearing oil does not foam");
    /// Present: metal glitters in the oil. Absent: it was looked at and is not so.
    OilGlitter "oil_glitter" "oil_look@pump_de" "" [Oil] word!("metal glitters in the oil")
        word!("no metal in the oil");
    /// Present: no turn left on the grease cup. Absent: turns left.
    GreaseCupEmpty "grease_cup_empty" "grease_cup@pump_de" "" [Grease] word!("grease cup empty")
        word!("grease cup not empty");
    /// Present: grease pushed out at the housing. Absent: it was looked at and is not so.
    GreasePushedOut "grease_pushed_out" "grease_look@pump_de" "" [Grease] word!("grease pushed out")
        word!("no grease pushed out");
    /// Present: grease dry and hard. Absent: it was looked at and is not so.
    GreaseDry "grease_dry" "grease_look@pump_de" "" [Grease] word!("grease dry")
        word!("grease not dry");
    /// Present: grease whitish. Absent: it was looked at and is not so.
    GreaseWhitish "grease_whitish" "grease_look@pump_de" "" [Grease] word!("grease whitish")
        word!("grease not whitish");

    /// Present: oil reservoir below its mark or falling from visit to visit. Absent: neither.
    ReservoirLow "reservoir_low" "feed_oil_reservoir@oil_skid" "" [ForcedFeed] word!("oil reservoir low or falling")
        word!("oil reservoir neither low nor falling");
    /// Present: pressure of the forced-feed oil below its limit. Absent: right.
    OilPressureLow "oil_pressure_low" "feed_oil_pressure@oil_skid" "" [ForcedFeed] word!("feed oil pressure low")
        word!("feed oil pressure not low");
    /// Present: forced-feed oil above its temperature limit. Absent: not above.
    OilTempHigh "oil_temp_high" "feed_oil_temperature@oil_skid" "oil_temperature" [ForcedFeed] word!("feed oil too hot")
        word!("feed oil not too hot");
    /// Present: forced-feed oil below its temperature limit. Absent: not below.
    OilTempLow "oil_temp_low" "feed_oil_temperature@oil_skid" "oil_temperature" [ForcedFeed] word!("feed oil too cold")
        word!("feed oil not too cold");
    /// Present: drop over the oil filter above its limit. Absent: not above.
    OilFilterDropHigh "oil_filter_drop_high" "feed_oil_filter_drop@oil_skid" "" [OilFilter] word!("drop over the oil filter high")
        word!("drop over the oil filter not high");
    /// Present: little or no cooling water to the oil cooler. Absent: it flows.
    CoolingWaterNone "cooling_water_none" "cooling_water@oil_skid" "cooling_water" [Cooler] word!("little or no cooling water")
        word!("cooling water flows");
    /// Present: cooling water comes back hot. Absent: it does not, or none flows.
    CoolingWaterHot "cooling_water_hot" "cooling_water@oil_skid" "cooling_water" [Cooler] word!("cooling water comes back hot")
        word!("cooling water does not come back hot");
    /// Present: cooling water runs full and comes back cold. Absent: it does not.
    CoolingWaterFull "cooling_water_full" "cooling_water@oil_skid" "cooling_water" [Cooler] word!("cooling water runs full and cold")
        word!("cooling water not full and cold");

    /// Present: a foundation bolt is loose or grout cracked. Absent: sound.
    FoundationLoose "foundation_loose" "foundation@pump" "" [] word!("foundation loose")
        word!("foundation sound");
    /// Present: coupling worn: dust, crumbs, torn elements, seen with the pump stopped or through the guard. Absent: good.
    CouplingWorn "coupling_worn" "coupling@pump" "coupling" [] word!("coupling worn")
        word!("coupling not worn");
    /// Present: coupling loose, slipping or come apart. Absent: it drives.
    CouplingLoose "coupling_loose" "coupling@pump" "coupling" [] word!("coupling loose")
        word!("coupling drives");
}

impl Sign {
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
