//! What to mind before something is done, and what to say of it afterwards.

use super::{App, AppError, RemedyRow};
use crate::{
    plant::{Pump, PumpId},
    remedy::{
        CannotTell, Remedy, cautions,
        gland::{large_step, standing, uneven},
        grease::{GivenBefore, grams, grease_warnings},
        oil,
    },
    say,
};
use uuid::Uuid;

/// What to mind about something that is to be done, or was.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ToMind {
    /// What to mind while doing it, in sentences.
    pub cautions: Vec<&'static str>,
    /// What is not right about it, in sentences.
    pub warnings: Vec<String>,
    /// What a bearing to be greased wants by its size, in sentences, where the register has its size.
    pub by_size: Option<String>,
}

impl App {
    /// What to mind about a remedy at a pump, were it done now.
    ///
    /// # Errors
    /// What can't be done at this pump, or is not to be done now, with why.
    pub fn to_mind(&mut self, pump: &PumpId, what: &Remedy) -> Result<ToMind, AppError> {
        let now_ms = self.now().utc_ms;
        self.to_mind_at(pump, what, now_ms)
    }

    pub(super) fn to_mind_at(
        &self,
        pump: &PumpId,
        what: &Remedy,
        at_ms: i64,
    ) -> Result<ToMind, AppError> {
        let register = self.register()?;
        let pump = register.pump(pump)?;
        what.check(pump)?;
        self.may_turn(pump, what, at_ms)?;
        Ok(ToMind {
            cautions: cautions(what, pump),
            warnings: self.warnings(pump, what, at_ms, None)?,
            by_size: match what {
                Remedy::Grease { place, .. } => self.advice_by_size(pump, *place, at_ms)?,
                _ => None,
            },
        })
    }

    /// What was not right about something that is written down, by what was done before it; nothing at a pump that has
    /// left the register.
    pub(in crate::app) fn warnings_about(&self, row: &RemedyRow) -> Result<Vec<String>, AppError> {
        let register = self.register()?;
        match register.plant().pump(&row.pump) {
            Some(pump) => self.warnings(pump, &row.what, row.done_at.utc_ms, Some(row.remedy)),
            None => Ok(Vec::new()),
        }
    }

    /// `written` is its identity where it is among what was done already.
    fn warnings(
        &self,
        pump: &Pump,
        what: &Remedy,
        at_ms: i64,
        written: Option<Uuid>,
    ) -> Result<Vec<String>, AppError> {
        let is_earlier =
            |row: &RemedyRow| Some(row.remedy) != written && row.done_at.utc_ms <= at_ms;
        match what {
            Remedy::GlandNuts { place, flats, .. } => {
                let mut before = self.turned_at(&pump.id, *place)?;
                before.retain(is_earlier);
                let all = before.iter().map(|row| &row.what).chain([what]);
                let stands = standing(all, *place);
                let unevenly = stands.as_ref().and_then(uneven);
                let large = large_step(flats).map(str::to_owned);
                Ok(unevenly.into_iter().chain(large).collect())
            }
            Remedy::TopUp { place, grade, .. } => {
                let wrong = oil::grade(pump, *place, grade).warning();
                // Of what is written down it is told with the pump's use.
                let rising = match written {
                    Some(_) => None,
                    None => self.oil_use_rises(pump, *place, what, at_ms)?,
                };
                Ok(wrong.into_iter().chain(rising).collect())
            }
            Remedy::Grease { .. } => {
                let mut before = self.remedies_at(&pump.id)?;
                before.retain(is_earlier);
                self.about_grease(pump, what, at_ms, &before)
            }
            _ => Ok(Vec::new()),
        }
    }

    fn about_grease(
        &self,
        pump: &Pump,
        what: &Remedy,
        at_ms: i64,
        done: &[RemedyRow],
    ) -> Result<Vec<String>, AppError> {
        let Remedy::Grease {
            place,
            amount,
            grade,
        } = what
        else {
            return Ok(Vec::new());
        };
        let programme = pump
            .bearing(*place)
            .and_then(|bearing| bearing.grease.as_ref());
        let Some(programme) = programme else {
            let none = say!(
                "The register has no grease for this bearing: look at the cartridge's label and ask before greasing."
            );
            return Ok(vec![none.to_owned()]);
        };
        let mut before = Vec::new();
        for row in done {
            if let Remedy::Grease {
                place: at, amount, ..
            } = &row.what
                && at == place
                && let Ok(grams) = grams(*amount, programme)
            {
                before.push(GivenBefore {
                    at_ms: row.done_at.utc_ms,
                    grams,
                });
            }
        }
        let events = self.run_events(&pump.id)?;
        Ok(
            match grease_warnings(*amount, grade, at_ms, programme, &before, &events) {
                Ok(warnings) => warnings.iter().map(ToString::to_string).collect(),
                Err(why) => vec![about(&why)],
            },
        )
    }
}

/// Why it can't be told whether it was the right amount.
fn about(why: &CannotTell) -> String {
    say!(
        "Whether that is the right amount can't be told: {why}.",
        why
    )
}
