//! Running hours, which pump of a pair is ahead, and what is due by hours or by the calendar.

use super::{App, AppError, GreaseBySize, hours::Ran};
use crate::{
    check::RunningState,
    plant::{PumpId, Verdict},
    record::Deed,
    remedy::{
        CannotTell,
        due::{Due, Standing, due},
        hours::{Evening, Member, RunningHours, WORTH_EVENING_H, even_out, running_hours},
    },
    say,
    store::DeedsOf,
};
use std::collections::BTreeSet;

/// Days over which the hours of a spare group are evened. Common practice, no source.
pub const EVENED_OVER_DAYS: u32 = 365;

/// Findings opened by hand that are looked through.
const MOST_DEEDS: u32 = 20_000;
const MS_PER_DAY: i64 = 86_400_000;

/// What is due in the plant, and which pumps are ahead of those that stand in for them.
#[derive(Clone, Debug, PartialEq)]
pub struct DueNow {
    /// Every job of every pump's programme, the most pressing first.
    pub jobs: Vec<PumpDue>,
    /// Every spare group, in the register's order.
    pub groups: Vec<GroupHours>,
    /// What every greased bearing of known size wants by it, those with a note for the planner first.
    pub by_size: Vec<GreaseBySize>,
}

/// A job at a pump and how it stands, or why that can't be told.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpDue {
    /// At which pump.
    pub pump: PumpId,
    /// How it stands.
    pub due: Result<Due, CannotTell>,
}

impl PumpDue {
    /// How pressing it is.
    pub fn verdict(&self) -> Verdict {
        match self.due.as_ref().map(|due| due.standing) {
            Ok(Standing::Overdue) => Verdict::Act,
            Ok(Standing::NotYet) => Verdict::InLimits,
            Ok(Standing::Soon | Standing::Perhaps | Standing::NeverDone | Standing::ClockWrong) => {
                Verdict::Watch
            }
            Err(_) => Verdict::NotJudged,
        }
    }

    /// "Grease, Pump DE: overdue by 200 running hours (every 4000)".
    pub fn words(&self) -> String {
        match &self.due {
            Ok(due) => format!("{}: {}", due.job.what, due.words),
            Err(why) => why.to_string(),
        }
    }
}

/// The hours of pumps that stand in for each other.
#[derive(Clone, Debug, PartialEq)]
pub struct GroupHours {
    /// The group's name.
    pub group: String,
    /// Days its hours are reckoned over: as many as all its pumps were seen, [`EVENED_OVER_DAYS`] at most.
    pub days: f64,
    /// Its pumps in the register's order.
    pub members: Vec<Member>,
    /// Those of them of whose running nothing was ever entered.
    pub unseen: Vec<PumpId>,
    /// What evening their hours comes to.
    pub evening: Result<Evening, CannotTell>,
}

impl GroupHours {
    /// How pressing it is.
    pub fn verdict(&self) -> Verdict {
        match self.evening {
            Ok(Evening::Leave) if self.is_known() => Verdict::InLimits,
            Ok(Evening::ChangeOver { .. }) => Verdict::Watch,
            Ok(Evening::Leave | Evening::NotKnown { .. }) | Err(_) => Verdict::NotJudged,
        }
    }

    fn is_known(&self) -> bool {
        self.unseen.is_empty() && self.members.iter().any(|member| member.runs)
    }

    /// A line for each pump: "ST-104A 4380 h, runs".
    pub fn hours(&self) -> Vec<String> {
        let line = |member: &Member| {
            if self.unseen.contains(&member.pump) {
                return say!("{pump} was not seen yet", pump = member.pump);
            }
            let (pump, hours) = (&member.pump, member.hours.words());
            if member.runs {
                say!("{pump} {hours}, runs", pump, hours)
            } else {
                say!("{pump} {hours}, stands", pump, hours)
            }
        };
        self.members.iter().map(line).collect()
    }

    /// What evening comes to, in sentences.
    pub fn words(&self) -> String {
        match &self.evening {
            Ok(Evening::Leave) if !self.unseen.is_empty() => {
                say!("Too little is known of their hours: enter starts, stops and visits.")
                    .to_owned()
            }
            Ok(Evening::Leave) if !self.is_known() => {
                say!("None of them runs, as it was entered last.").to_owned()
            }
            Ok(evening) => evening.words(),
            Err(why) => why.to_string(),
        }
    }
}

impl App {
    /// The hours a pump ran within so many days, or since it was first seen where that is later.
    ///
    /// # Errors
    /// Where the pump is not in the plant, or the store can't be read.
    pub fn running_hours(
        &mut self,
        pump: &PumpId,
        days: u32,
    ) -> Result<Result<RunningHours, CannotTell>, AppError> {
        let now_ms = self.now().utc_ms;
        self.register()?.pump(pump)?;
        let from_ms = now_ms - i64::from(days) * MS_PER_DAY;
        let events = self.run_events_since(pump, from_ms)?;
        let first_ms = events.iter().map(|event| event.at_ms).min();
        let from_ms = first_ms.map_or(from_ms, |first| first.max(from_ms));
        Ok(running_hours(&events, from_ms.min(now_ms), now_ms))
    }

    /// What is due now, and how even the hours of each spare group are.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn due(&mut self) -> Result<DueNow, AppError> {
        let now_ms = self.now().utc_ms;
        let register = self.register()?;
        let mut jobs = Vec::new();
        let mut by_size = Vec::new();
        let mut groups: Vec<(String, Vec<(PumpId, Ran)>)> = Vec::new();
        for pump in &register.plant().pumps {
            by_size.extend(self.grease_by_size_at(pump, now_ms)?);
            // What is known of a pump's running is asked once, for its programme and for its group.
            let asked = self.greasings(pump)?;
            let greased_ms = asked.iter().filter_map(|job| job.last_ms).min();
            let evened_ms = now_ms - i64::from(EVENED_OVER_DAYS) * MS_PER_DAY;
            let evened_ms = pump.spare.as_ref().map(|_| evened_ms);
            if asked.is_empty() && evened_ms.is_none() {
                continue;
            }
            let since_ms = [greased_ms, evened_ms].into_iter().flatten().min();
            let ran = self.ran_since(&pump.id, since_ms.unwrap_or(now_ms))?;
            let stand = |due| PumpDue {
                pump: pump.id.clone(),
                due,
            };
            match due(&asked, &ran.events, now_ms) {
                Ok(found) => jobs.extend(found.into_iter().map(|due| stand(Ok(due)))),
                Err(why) => jobs.push(stand(Err(why))),
            }
            let Some(spare) = &pump.spare else { continue };
            let member = (pump.id.clone(), ran);
            match groups.iter_mut().find(|(name, _)| *name == spare.group) {
                Some((_, members)) => members.push(member),
                None => groups.push((spare.group.clone(), vec![member])),
            }
        }
        jobs.sort_by(most_pressing_first);
        by_size.sort_by_key(|one| !one.is_noted());
        let stopped = self.pumps_to_be_stopped()?;
        let evened = groups
            .into_iter()
            .map(|(group, pumps)| group_hours(group, &pumps, &stopped, now_ms));
        Ok(DueNow {
            jobs,
            groups: evened.collect(),
            by_size,
        })
    }

    /// The pumps of which something still open says that they be stopped.
    fn pumps_to_be_stopped(&self) -> Result<BTreeSet<PumpId>, AppError> {
        let by_entry = self.store.read().pumps_found(Verdict::StopPump)?;
        let opened = self.store.read().deeds(DeedsOf::OpenFindings, MOST_DEEDS)?;
        let by_hand = opened.into_iter().filter_map(|row| match row.deed {
            Deed::FindingOpened {
                pump,
                severity: Verdict::StopPump,
                ..
            } => Some(pump),
            _ => None,
        });
        Ok(by_entry.into_iter().chain(by_hand).collect())
    }
}

/// What can't be told comes first: the register is to be put right.
fn most_pressing_first(one: &PumpDue, other: &PumpDue) -> std::cmp::Ordering {
    match (&one.due, &other.due) {
        (Ok(one), Ok(other)) => other
            .standing
            .cmp(&one.standing)
            .then(other.share_low.total_cmp(&one.share_low))
            .then(other.share_high.total_cmp(&one.share_high)),
        (one, other) => one.is_ok().cmp(&other.is_ok()),
    }
}

fn group_hours(
    group: String,
    pumps: &[(PumpId, Ran)],
    stopped: &BTreeSet<PumpId>,
    now_ms: i64,
) -> GroupHours {
    let a_year_ago = now_ms - i64::from(EVENED_OVER_DAYS) * MS_PER_DAY;
    // Of a pump nobody saw yet nothing is known: that is said, and its pair is reckoned over the whole span.
    let firsts = pumps.iter().filter_map(|(_, ran)| ran.first_ms());
    let from_ms = firsts.fold(a_year_ago, i64::max).min(now_ms);
    let members: Result<Vec<Member>, CannotTell> = pumps
        .iter()
        .map(|(pump, ran)| {
            Ok(Member {
                pump: pump.clone(),
                hours: running_hours(&ran.events, from_ms, now_ms)?,
                runs: ran.runs(),
                may_run: ran.newest != Some(RunningState::OutOfService) && !stopped.contains(pump),
            })
        })
        .collect();
    let (members, evening) = match members {
        Ok(members) => {
            let evening = even_out(&members, WORTH_EVENING_H);
            (members, evening)
        }
        Err(why) => (Vec::new(), Err(why)),
    };
    GroupHours {
        group,
        days: (now_ms - from_ms) as f64 / MS_PER_DAY as f64,
        unseen: pumps
            .iter()
            .filter(|(_, ran)| ran.events.is_empty())
            .map(|(pump, _)| pump.clone())
            .collect(),
        members,
        evening,
    }
}
