//! How the head lies to the curve at one flow and at another.

use super::Told;
use crate::{
    check::{Entered, RunningState},
    diagnosis::Sign,
    evaluation::{
        Seen, Situation,
        hydraulic::{self, Hydraulics},
        number,
    },
    judge,
    plant::{CheckId, CheckKind as K, Place},
    say,
    statistics::trend::median,
};

/// What a head and its flow are reckoned from.
const READ: [CheckId; 5] = [
    CheckId::new(K::SuctionPressure, Place::Suction),
    CheckId::new(K::DischargePressure, Place::Discharge),
    CheckId::new(K::Flow, Place::Discharge),
    CheckId::new(K::LiquidTemperature, Place::Suction),
    CheckId::new(K::ShaftSpeed, Place::Driver),
];
/// What was read within so long of a flow was read at the same visit.
const SAME_VISIT_MS: i64 = 3_600_000;
/// How far to look back: the pump was as worn as now.
const LOOK_BACK_MS: i64 = 28 * 86_400_000;
/// Most earlier flows looked at, the newest.
const MOST_FLOWS: usize = 30;
/// Fewest flows that say how head goes with flow.
const FEWEST_FLOWS: usize = 4;
/// The least flow is at most so much of the greatest. These four: common practice, no source.
const SPREAD_SHARE: f64 = 0.8;

/// One flow: how far the head lay below the curve.
struct OnCurve {
    flow_m3_s: f64,
    /// Share of the curve's head.
    below: f64,
    /// How well that is known.
    give_or_take: f64,
}

impl Told<'_> {
    /// Whether the head is off the curve by the same share at every flow, or falls away with flow. One flow tells neither.
    pub(super) fn head_by_flow(&mut self, now: &Hydraulics) {
        let mut points: Vec<OnCurve> = point(now).into_iter().collect();
        if points.is_empty() {
            return;
        }
        points.extend(self.earlier());
        points.sort_by(|a, b| a.flow_m3_s.total_cmp(&b.flow_m3_s));
        let [first, .., last] = points.as_slice() else {
            return;
        };
        if points.len() < FEWEST_FLOWS || first.flow_m3_s > SPREAD_SHARE * last.flow_m3_s {
            return;
        }
        let (low, high) = points.split_at(points.len() / 2);
        let (Some(at_low), Some(at_high)) = (middle(low), middle(high)) else {
            return;
        };
        let is_below = |there: &OnCurve| there.below > there.give_or_take;
        let falls = at_high.below - at_low.below > at_low.give_or_take.max(at_high.give_or_take);
        let percent = |there: &OnCurve| format!("{:.0}", 100.0 * there.below);
        let flow_m3_h = |there: &OnCurve| number(there.flow_m3_s * 3_600.0, 0.0);
        let words = say!(
            "Head below the curve: {percent} % about {flow} m³/h, {more_percent} % about {more_flow} m³/h.",
            percent = percent(&at_low),
            flow = flow_m3_h(&at_low),
            more_percent = percent(&at_high),
            more_flow = flow_m3_h(&at_high)
        );
        let evenly = is_below(&at_low) && is_below(&at_high) && !falls;
        self.say(Sign::HeadBelowEvenly, evenly, words.clone());
        self.say(Sign::HeadFallsWithFlow, falls && is_below(&at_high), words);
    }

    /// The flows read of late, each with the head of the same visit.
    fn earlier(&self) -> Vec<OnCurve> {
        let flow = CheckId::new(K::Flow, Place::Discharge);
        let readings = self.at.before.get(&flow).into_iter().flatten();
        let mut times: Vec<i64> = readings
            .map(|reading| reading.at_ms)
            .filter(|at_ms| *at_ms <= self.at.now_ms && self.at.now_ms - at_ms <= LOOK_BACK_MS)
            .collect();
        times.sort_unstable_by_key(|at_ms| std::cmp::Reverse(*at_ms));
        let newest = times.into_iter().take(MOST_FLOWS);
        newest.filter_map(|at_ms| self.as_it_was(at_ms)).collect()
    }

    fn as_it_was(&self, at_ms: i64) -> Option<OnCurve> {
        let seen = READ.iter().filter_map(|&check| {
            let readings = self.at.before.get(&check)?.iter();
            let then = readings
                .filter(|reading| (reading.at_ms - at_ms).abs() <= SAME_VISIT_MS)
                .min_by_key(|reading| (reading.at_ms - at_ms).abs())?;
            Some(seen(check, then.entered.clone(), then.at_ms))
        });
        let then = Situation {
            running: RunningState::Running,
            ..self.at.with_only(seen.collect(), at_ms)
        };
        point(&hydraulic::work_out(&then).0)
    }
}

fn seen(check: CheckId, entered: Entered, at_ms: i64) -> Seen {
    Seen {
        check,
        judgement: judge::again(check.kind, &entered, None, None),
        entered,
        limits: None,
        at_ms,
    }
}

/// The flow by the meter and the head, against the curve; `None` where one of the three is missing.
fn point(known: &Hydraulics) -> Option<OnCurve> {
    let (flow, head) = (known.flow_by_meter_m3_s?, known.total_head_m?);
    let on_curve = known.curve.as_ref()?.head_m(flow).ok()?;
    let share = |metres: f64| (on_curve.value() > 0.0).then_some(metres / on_curve.value());
    Some(OnCurve {
        flow_m3_s: flow.value(),
        below: share(on_curve.value() - head.value())?,
        give_or_take: share(on_curve.half_width() + head.half_width())?,
    })
}

/// The middle one of each number.
fn middle(points: &[OnCurve]) -> Option<OnCurve> {
    let of = |part: fn(&OnCurve) -> f64| median(&points.iter().map(part).collect::<Vec<_>>()).ok();
    Some(OnCurve {
        flow_m3_s: of(|point| point.flow_m3_s)?,
        below: of(|point| point.below)?,
        give_or_take: of(|point| point.give_or_take)?,
    })
}
