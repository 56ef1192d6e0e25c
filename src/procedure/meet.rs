//! One run that was gone on with on several devices.

use super::{CannotReplay, Event, Plan, Refused, Run, What};
use std::{collections::VecDeque, sync::Arc};

/// A run as all devices together have it.
#[derive(Clone, Debug, PartialEq)]
pub struct Met {
    /// The run.
    pub run: Run,
    /// What was done on one device while another had done otherwise: kept, and changes nothing in the run.
    pub aside: Vec<Aside>,
}

/// Something done that found no place in the run.
#[derive(Clone, Debug, PartialEq)]
pub struct Aside {
    /// What was done.
    pub event: Event,
    /// Why it changes nothing.
    pub why: Refused,
}

/// Brings together what was done on several devices, each in its own order.
///
/// The earliest by the clocks goes first; what follows from something another device did waits for that, however far the
/// clocks are apart. The first to pass a step has passed it. What was done by somebody who had not heard that the run was
/// broken off was done all the same, so that breaking off comes last. What finds no place is set aside, never lost.
///
/// # Errors
/// A plan that can't be used.
pub fn meet(
    plan: Arc<Plan>,
    devices: impl IntoIterator<Item = Vec<Event>>,
) -> Result<Met, CannotReplay> {
    let mut queues: Vec<VecDeque<Dated>> = devices.into_iter().map(dated).collect();
    let mut meeting = Meeting {
        run: Run::of(Arc::clone(&plan))?,
        plan,
        taken: Vec::new(),
        aside: Vec::new(),
    };
    while let Some(first) = earliest(&queues, |_| true) {
        let fits = |event: &Event| !meeting.is_too_early(event);
        // Where all of them follow from something that has not come, the earliest is set aside.
        let device = earliest(&queues, fits).unwrap_or(first);
        if let Some(next) = queues[device].pop_front() {
            meeting.take(device, next.event);
        }
    }
    Ok(Met {
        run: meeting.run,
        aside: meeting.aside,
    })
}

struct Dated {
    /// By the device's clock, and never before what the device did before it.
    not_before_ms: i64,
    event: Event,
}

fn dated(events: Vec<Event>) -> VecDeque<Dated> {
    let mut latest = i64::MIN;
    let dated = events.into_iter().map(|event| {
        latest = latest.max(event.at_ms);
        Dated {
            not_before_ms: latest,
            event,
        }
    });
    dated.collect()
}

/// The device whose next event is the earliest of those that fit.
fn earliest(queues: &[VecDeque<Dated>], fits: impl Fn(&Event) -> bool) -> Option<usize> {
    let heads = queues.iter().enumerate();
    heads
        .filter_map(|(device, queue)| Some((device, queue.front()?)))
        .filter(|(_, head)| fits(&head.event))
        .min_by_key(|(device, head)| {
            let breaks_off = matches!(head.event.what, What::Aborted { .. });
            (breaks_off, head.not_before_ms, *device)
        })
        .map(|(device, _)| device)
}

struct Meeting {
    plan: Arc<Plan>,
    run: Run,
    /// What made the run, each with its device.
    taken: Vec<(usize, Event)>,
    aside: Vec<Aside>,
}

impl Meeting {
    /// It follows from something that has not been taken yet.
    fn is_too_early(&self, event: &Event) -> bool {
        match self.run.take(event.clone()) {
            Err(Refused::NotThisStep { now, given }) => given > now,
            Err(Refused::NotBegun | Refused::StepsLeft { .. } | Refused::WaitNotBegun(_)) => true,
            _ => false,
        }
    }

    fn take(&mut self, device: usize, event: Event) {
        match self.run.take(event.clone()) {
            Ok(run) => {
                self.run = run;
                self.taken.push((device, event));
            }
            Err(why @ Refused::HasStopped { step, .. }) => self.pass(device, event, step, why),
            Err(why) => self.aside.push(Aside { event, why }),
        }
    }

    /// A step was passed on one device while an entry on another, which that one did not know of, had stopped the run
    /// there. What was done after it was done all the same: the entry is set aside, and told.
    fn pass(&mut self, device: usize, event: Event, step: usize, why: Refused) {
        let stops_there = |(by, taken): &(usize, Event)| {
            let here = matches!(taken.what, What::StepDone { step: at, .. } if at == step);
            here && *by != device
        };
        let (tries, mut others): (Vec<_>, Vec<_>) =
            self.taken.iter().cloned().partition(stops_there);
        others.push((device, event.clone()));
        let events = others.iter().map(|(_, event)| event.clone());
        match Run::replay(Arc::clone(&self.plan), events) {
            Ok(run) => {
                self.run = run;
                self.taken = others;
                for (by, entry) in tries {
                    self.take(by, entry);
                }
            }
            Err(_) => self.aside.push(Aside { event, why }),
        }
    }
}
