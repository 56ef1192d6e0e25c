//! A gland as it stands: its nuts, what was seen of it, how it has answered before, and what to turn now.

use super::{RemedyRow, proof::AfterRemedy};
use crate::{
    app::{App, AppError},
    check::{Entered, RunningState, gland_may_be_touched},
    judge::{self, Verdict},
    plant::{CheckId, CheckKind as K, Limits, Place, Pump, PumpId, Unit},
    remedy::{
        CannotTell, Remedy,
        gland::{
            Band, FlatsPair, GlandSeen, NeverTighten, Response, Standing, StopRule, Suggestion,
            may_tighten, response, standing, stop_rule, suggest, uneven,
        },
    },
    say,
    statistics::counting::Count,
    store::EntryRow,
};

/// What was seen of a gland longer ago says nothing of it now. Common practice, no source.
const SEEN_FOR_MS: i64 = 12 * 3_600_000;
/// Counts of a gland that are looked through for how it answers: a year of twice a day.
const MOST_COUNTS: u32 = 730;
/// Nuts of a gland nobody has turned yet. Common practice, no source.
const USUAL_NUTS: usize = 2;
/// Share of intervals that hold the gland's true response.
const CONFIDENCE: f64 = 0.9;

/// A gland as it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct GlandNow {
    /// Which.
    pub place: Place,
    /// Its nuts, by what was turned last; two where none was turned yet.
    pub nuts: usize,
    /// How they stand to each other.
    pub standing: Option<Standing>,
    /// What was seen of it lately.
    pub seen: GlandSeen,
    /// What a dry, hot or smoking gland comes to.
    pub stop_rule: Option<StopRule>,
    /// Why no nut is to be turned either way.
    pub leave: Option<String>,
    /// Why it is not to be tightened.
    pub never_tighten: Option<NeverTighten>,
    /// How it has answered to its nuts.
    pub response: Result<Response, CannotTell>,
    /// What to turn now.
    pub suggestion: Result<Suggestion, CannotTell>,
}

impl GlandNow {
    /// What to say of how its nuts stand; `None` where they stand evenly.
    pub fn uneven(&self) -> Option<String> {
        self.standing.as_ref().and_then(uneven)
    }

    /// The gland's own response and what to turn, in sentences.
    pub fn words(&self) -> String {
        let answered = match &self.response {
            Ok(response) => response.words(),
            Err(why) => sentence(why),
        };
        let turn = match (&self.leave, &self.suggestion) {
            (Some(why), _) => why.clone(),
            (None, Ok(suggestion)) => suggestion.words(),
            (None, Err(why)) => sentence(why),
        };
        format!("{turn} {answered}")
    }
}

fn sentence(why: &CannotTell) -> String {
    let text = why.to_string();
    let mut letters = text.chars();
    let first = letters.next().map(|letter| letter.to_uppercase());
    let words: String = first.into_iter().flatten().chain(letters).collect();
    format!("{}.", words.trim_end_matches('.'))
}

impl App {
    /// The gland at a place of a pump, as it stands now.
    ///
    /// # Errors
    /// Where the pump is not in the plant, or the store can't be read.
    pub fn gland(&mut self, pump: &PumpId, place: Place) -> Result<GlandNow, AppError> {
        let now_ms = self.now().utc_ms;
        let register = self.register()?;
        let pump = register.pump(pump)?;
        let rows = self.turned_at(&pump.id, place)?;
        let standing = standing(rows.iter().map(|row| &row.what), place);
        let nuts = standing.as_ref().map_or(USUAL_NUTS, |s| s.flats.len());
        let latest = self.store.read().latest_entries(&pump.id)?;
        let seen = gland_seen(&latest, place, now_ms);
        let response = self.response_of(&pump.id, place, &rows)?;
        // A count from before the nuts were turned says nothing of how they stand now.
        let counted = latest.iter().find(|row| row.entry.check == leak_off(place));
        let is_stale = rows
            .last()
            .zip(counted)
            .is_some_and(|(turned, counted)| turned.is_after(counted));
        let fresh = GlandSeen {
            count: seen.count.filter(|_| !is_stale),
            ..seen
        };
        let limits = register.plant().limits_of(&pump.id, leak_off(place));
        let suggestion = match limits.and_then(band) {
            None => Err(CannotTell::NotInRegister {
                what: say!("between which limits, low and high, this gland is to leak"),
                field: "low_watch and high_watch",
            }),
            Some(band) => suggest(&fresh, band, nuts, response.as_ref().ok(), pump),
        };
        Ok(GlandNow {
            place,
            nuts,
            standing,
            seen,
            stop_rule: stop_rule(&seen, pump),
            leave: self.leave_the_nuts(pump, &latest, now_ms)?,
            never_tighten: may_tighten(&seen).err(),
            response,
            suggestion,
        })
    }

    /// Why the nuts of a pump's glands are to be left alone: its liquid burns or harms, or an entry or a gland that burns
    /// says to stop it and it still runs.
    fn leave_the_nuts(
        &self,
        pump: &Pump,
        latest: &[EntryRow],
        now_ms: i64,
    ) -> Result<Option<String>, AppError> {
        if !gland_may_be_touched(pump) {
            let hands_off = say!(
                "Hot or hazardous liquid: hands off the gland; only those your plant's procedure names turn its nuts."
            );
            return Ok(Some(hands_off.to_owned()));
        }
        if self.likely_running(&pump.id)? != RunningState::Running {
            return Ok(None);
        }
        let mut rules = pump
            .seal_places()
            .iter()
            .filter_map(|place| stop_rule(&gland_seen(latest, *place, now_ms), pump));
        if let Some(burns) = rules.find(|rule| rule.verdict == Verdict::StopPump) {
            return Ok(Some(format!("{} {}", burns.because, burns.first)));
        }
        let stops = latest
            .iter()
            .find(|row| row.entry.judgement.verdict == Verdict::StopPump);
        Ok(stops.map(|row| {
            let made = &row.entry;
            let found = judge::found(made.check.kind, &made.entered, made.limits.as_ref());
            let title = crate::check::words::short_title(row.entry.check);
            say!(
                "{title}: {found}. Stop the pump by your plant's procedure.",
                title,
                found
            )
        }))
    }

    /// Refuses nuts that are not to be turned.
    pub(super) fn may_turn(&self, pump: &Pump, what: &Remedy, now_ms: i64) -> Result<(), AppError> {
        let Remedy::GlandNuts { place, turn, .. } = what else {
            return Ok(());
        };
        let latest = self.store.read().latest_entries(&pump.id)?;
        if let Some(why) = self.leave_the_nuts(pump, &latest, now_ms)? {
            return Err(AppError::LeaveTheNuts(why));
        }
        if *turn == crate::remedy::Turn::Tighten
            && let Err(why) = may_tighten(&gland_seen(&latest, *place, now_ms))
        {
            return Err(AppError::LeaveTheNuts(why.to_string()));
        }
        Ok(())
    }

    /// The times the nuts at a place were turned, the earliest first.
    pub(super) fn turned_at(
        &self,
        pump: &PumpId,
        place: Place,
    ) -> Result<Vec<RemedyRow>, AppError> {
        let mut rows = self.remedies_at(pump)?;
        rows.retain(|row| matches!(row.what, Remedy::GlandNuts { place: at, .. } if at == place));
        rows.reverse();
        Ok(rows)
    }

    fn response_of(
        &self,
        pump: &PumpId,
        place: Place,
        turned: &[RemedyRow],
    ) -> Result<Result<Response, CannotTell>, AppError> {
        let reader = self.store.read();
        let counts = reader.history(pump, leak_off(place), MOST_COUNTS)?;
        let mut pairs = Vec::new();
        for (index, row) in turned.iter().enumerate() {
            let Remedy::GlandNuts { turn, flats, .. } = &row.what else {
                continue;
            };
            let before = index.checked_sub(1).and_then(|before| turned.get(before));
            let between = AfterRemedy {
                before,
                this: row,
                next: turned.get(index + 1),
            };
            let (Some(before), Some(after)) = (
                between.entry_before(&counts).and_then(count_of),
                between
                    .entry_after(&counts, crate::remedy::gland::WAIT_MIN)
                    .and_then(count_of),
            ) else {
                continue;
            };
            let sum: i32 = flats.iter().map(|flats| i32::from(*flats)).sum();
            pairs.push(FlatsPair {
                before,
                flats: turn.sign() * sum,
                after,
            });
        }
        Ok(response(&pairs, CONFIDENCE))
    }
}

fn leak_off(place: Place) -> CheckId {
    CheckId::new(K::LeakOff, place)
}

fn count_of(row: &EntryRow) -> Option<Count> {
    match row.entry.entered {
        Entered::Count { drops, seconds } => Some(Count { drops, seconds }),
        _ => None,
    }
}

/// What was seen of a gland, from what its pump's checks come to now.
fn gland_seen(latest: &[EntryRow], place: Place, now_ms: i64) -> GlandSeen {
    let lately = |check: CheckId| {
        latest.iter().find(|row| {
            row.entry.check == check && now_ms - row.entry.seen_at.utc_ms <= SEEN_FOR_MS
        })
    };
    let entered = |check: CheckId| lately(check).map(|row| &row.entry.entered);
    GlandSeen::of(
        entered(leak_off(place)),
        entered(CheckId::new(K::GlandHeat, place)),
        entered(CheckId::new(K::Noise, Place::Pump)),
    )
}

/// The band of a gland's limits, in drops per minute, where they have one.
fn band(limits: &Limits) -> Option<Band> {
    let per_min = |value: f64| limits.unit.convert(value, Unit::DropsPerMin);
    Some(Band {
        low_per_min: per_min(limits.low_watch.or(limits.low_act).or(limits.low_stop)?)?,
        high_per_min: per_min(limits.high_watch.or(limits.high_act).or(limits.high_stop)?)?,
        target_per_min: limits.target.and_then(per_min),
    })
}
