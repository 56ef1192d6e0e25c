//! A handover in the words of a page.

use super::{
    super::{HandFinding, RemedyNow, Stop, StopStanding, Walk},
    FindingSaid, Handover,
    turned::{Ended, ProcedureGone},
};
use crate::{
    check::words,
    judge,
    record::{Deed, Stamp},
    report::{
        clock_time, counted,
        handover::{Line, Part, Photo, Sheet},
    },
    say,
    store::{EntryRow, PhotoRow},
};
use std::collections::BTreeSet;

impl Handover {
    /// The page.
    pub fn sheet(&self) -> Sheet {
        let part = |heading, lines| Part { heading, lines };
        Sheet {
            plant: self.plant.clone(),
            about: self.about(),
            from: self.stamp(self.of.from_ms),
            to: self.stamp(self.of.to_ms),
            written: self.written,
            written_by: self.written_by.clone(),
            parts: vec![
                part(say!("Done"), self.done()),
                part(say!("Found"), self.found_lines()),
                part(say!("Put right"), self.put_right()),
                part(say!("Still open"), self.still_open()),
                part(say!("Not checked"), self.not_checked_lines()),
                part(say!("Changed over, started, stopped"), self.turned_lines()),
            ],
        }
    }

    /// In the time of the place where it is written.
    fn stamp(&self, utc_ms: i64) -> Stamp {
        Stamp {
            utc_ms,
            offset_min: self.written.offset_min,
        }
    }

    fn about(&self) -> String {
        let what = match (self.of.walk, self.walks.first()) {
            (Some(_), Some(walk)) => say!("Round: {round}", round = self.round(walk)),
            _ => say!("Shift").to_owned(),
        };
        match &self.of.by {
            Some(by) => say!("{what}, what {by} signed", what, by),
            None => what,
        }
    }

    /// The round's name; its id where it has left the plant since.
    fn round<'a>(&'a self, walk: &'a Walk) -> &'a str {
        let name = self.rounds.get(&walk.round);
        name.map_or(walk.round.as_str(), String::as_str)
    }

    fn done(&self) -> Vec<Line> {
        let pumps: BTreeSet<_> = self.visits.iter().map(|visit| &visit.pump).collect();
        let mut lines = vec![Line::of(say!(
            "{visits} to {pumps}, {entries}",
            visits = counted(
                self.visits.len() as u64,
                say!("counted" => "visit"),
                say!("counted" => "visits")
            ),
            pumps = counted(pumps.len() as u64, say!("pump"), say!("pumps")),
            entries = counted(
                self.entries,
                say!("counted" => "entry"),
                say!("counted" => "entries")
            ),
        ))];
        lines.extend(self.walks.iter().map(|walk| self.walk_line(walk)));
        let unbound = self.photos.iter().filter(|row| row.taken.check.is_none());
        lines.extend(unbound.map(|row| {
            let said = match row.taken.words.as_str() {
                "" => say!("photo taken"),
                words => words,
            };
            Line::of(format!("{}: {said}", row.taken.pump)).with(vec![photo(row)])
        }));
        lines
    }

    fn walk_line(&self, walk: &Walk) -> Line {
        Line::of(say!(
            "{round}: {stage}, {made} of {stops} made, {by}",
            round = self.round(walk),
            stage = walk.stage.words(),
            made = walk.made(),
            stops = counted(walk.stops.len() as u64, say!("stop"), say!("stops")),
            by = walk.by,
        ))
    }

    fn found_lines(&self) -> Vec<Line> {
        let by_entry = self
            .found
            .iter()
            .map(|row| entry_line(row).with(self.photos_of_entry(row)));
        let by_hand = self.found_by_hand.iter().map(hand_line);
        let again = self.seen_again.iter().filter_map(seen_again_line);
        by_entry.chain(by_hand).chain(again).collect()
    }

    fn photos_of_entry(&self, row: &EntryRow) -> Vec<Photo> {
        let of_it = self.photos.iter().filter(|photo| {
            photo.taken.visit == row.entry.visit && photo.taken.check == Some(row.entry.check)
        });
        of_it.map(photo).collect()
    }

    fn put_right(&self) -> Vec<Line> {
        let remedies = self.remedies.iter().map(|now| {
            let warnings = self.warnings.get(&now.row.remedy);
            remedy_line(now, warnings.map_or(&[], Vec::as_slice))
        });
        let closed = self.made_good.iter().map(made_good_line);
        let back = self
            .back_in_limits
            .iter()
            .map(|row| entry_line(row).with(self.photos_of_entry(row)));
        remedies.chain(closed).chain(back).collect()
    }

    fn still_open(&self) -> Vec<Line> {
        let by_entry = self.open.iter().map(|(finding, photos)| {
            let mut line = entry_line(&finding.latest);
            let since = clock_time(finding.first.entry.seen_at);
            line.words.push(' ');
            line.words.push_str(&say!("Open since {since}.", since));
            line.with(photos.iter().map(photo).collect())
        });
        let by_hand = self.open_by_hand.iter().map(|finding| {
            let mut line = hand_line(finding);
            let since = clock_time(finding.opened);
            line.words.push(' ');
            line.words.push_str(&match finding.last_seen() {
                None => say!("Open since {since}.", since),
                Some(still) => say!("Open since {since}, {seen}.", since, seen = still.words()),
            });
            line
        });
        by_entry.chain(by_hand).collect()
    }

    fn not_checked_lines(&self) -> Vec<Line> {
        let stops = self.walks.iter().flat_map(|walk| {
            walk.stops.iter().filter_map(|stop| match &stop.standing {
                StopStanding::Skipped { reason, .. } => Some(Line::of(say!(
                    "{pump}, stop of {round}: {reason}",
                    pump = stop.pump,
                    round = self.round(walk),
                    reason,
                ))),
                StopStanding::Open => Some(Line::of(say!(
                    "{pump}, stop of {round}: nobody was there yet",
                    pump = stop.pump,
                    round = self.round(walk),
                ))),
                StopStanding::BeingVisited { .. } | StopStanding::Visited { .. } => {
                    checks_left(stop, self.round(walk))
                }
            })
        });
        stops
            .chain(self.not_checked.iter().map(entry_line))
            .collect()
    }

    fn turned_lines(&self) -> Vec<Line> {
        let changed = self.changed_over.iter().map(|changed| {
            Line::of(say!(
                "Changed over from {stopped} to {started}, {time}",
                stopped = changed.from,
                started = changed.to,
                time = clock_time(changed.at),
            ))
        });
        let turned = self.turned.iter().map(|turned| {
            let (pump, time, by) = (&turned.pump, clock_time(turned.at), &turned.by);
            Line::of(if turned.runs {
                say!("{pump} started {time}, {by}", pump, time, by)
            } else {
                say!("{pump} stopped {time}, {by}", pump, time, by)
            })
        });
        changed
            .chain(turned)
            .chain(self.procedures.iter().map(procedure_line))
            .collect()
    }
}

fn photo(row: &PhotoRow) -> Photo {
    Photo {
        sha256: row.taken.photo,
        marks: row.taken.marks.clone(),
    }
}

/// "ST-104A Seal DE: Leak-off 180 drops/min. This pump needs 10 to 40."
fn entry_line(row: &EntryRow) -> Line {
    let entry = &row.entry;
    let place = words::short_place(entry.check.place);
    let found = judge::finding_words(
        entry.check.kind,
        &entry.entered,
        &entry.judgement,
        entry.limits.as_ref(),
    );
    let line = Line::of(format!("{} {place}: {found}", entry.pump));
    match entry.entered {
        crate::check::Entered::NotChecked { .. } => line,
        _ => line.judged(entry.judgement.verdict),
    }
}

fn hand_line(finding: &HandFinding) -> Line {
    Line::of(format!("{}: {}", finding.pump, finding.words)).judged(finding.severity)
}

/// "ST-106: Guard bolt missing. Looked at again, worse: two bolts now. 2026-03-02 06:10, Shift A"
fn seen_again_line(said: &FindingSaid) -> Option<Line> {
    let Deed::FindingSeen { still, words, .. } = &said.row.deed else {
        return None;
    };
    let stands = still.words();
    Some(said_line(
        said,
        &if words.is_empty() {
            say!("Looked at again, {stands}", stands)
        } else {
            say!("Looked at again, {stands}: {words}", stands, words)
        },
    ))
}

/// "ST-106: Guard bolt missing. Made good: new bolts. 2026-03-02 06:10, Shift A"
fn made_good_line(said: &FindingSaid) -> Line {
    let words = said.row.deed.text().unwrap_or_default();
    said_line(said, &say!("Made good: {words}", words))
}

fn said_line(said: &FindingSaid, words: &str) -> Line {
    let row = &said.row;
    let pump = row.deed.pump().map(ToString::to_string).unwrap_or_default();
    let sentences = [said.finding.as_str(), words].map(|words| words.trim_end_matches('.'));
    let mut line = format!("{pump}:");
    for sentence in sentences.iter().filter(|words| !words.is_empty()) {
        line.push_str(&format!(" {sentence}."));
    }
    line.push_str(&format!(" {}, {}", clock_time(row.at), row.by));
    Line::of(line)
}

/// What was put right and what proved it; what was not proved is said to be unproved.
fn remedy_line(now: &RemedyNow, warnings: &[String]) -> Line {
    let row = &now.row;
    let mut words = format!(
        "{}: {}. {}, {}.",
        row.pump,
        row.words().trim_end_matches('.'),
        clock_time(row.done_at),
        row.by
    );
    let proved = now.proved_words();
    for sentence in warnings.iter().chain([&proved]) {
        words.push(' ');
        words.push_str(sentence);
    }
    Line::of(words.trim_end().trim_end_matches('.'))
}

/// What was left of a stop that was made, or is being made.
fn checks_left(stop: &Stop, round: &str) -> Option<Line> {
    if stop.missing.is_empty() {
        return None;
    }
    Some(Line::of(say!(
        "{pump}, stop of {round}: {left} of {checks} not made: {why}",
        pump = stop.pump,
        round,
        left = stop.missing.len(),
        checks = counted(
            stop.asked as u64,
            say!("of so many" => "check"),
            say!("of so many" => "checks")
        ),
        why = stop.rest.as_deref().unwrap_or(say!("no reason given")),
    )))
}

fn procedure_line(gone: &ProcedureGone) -> Line {
    let pumps = match &gone.partner {
        Some(partner) => say!("{pump} with {partner}", pump = gone.pump, partner),
        None => gone.pump.to_string(),
    };
    let mut words = say!(
        "{pumps}: {procedure}, begun {time} by {by}",
        pumps,
        procedure = gone.name,
        time = clock_time(gone.begun),
        by = gone.by,
    );
    words.push_str(", ");
    words.push_str(&match &gone.ended {
        None => say!("of a procedure" => "under way").to_owned(),
        Some((Ended::Finished, at)) => say!("finished {time}", time = clock_time(*at)),
        Some((Ended::BrokenOff { reason }, at)) => {
            say!(
                "broken off {time}: {reason}",
                time = clock_time(*at),
                reason
            )
        }
    });
    for (step, why) in &gone.left_out {
        let step = step.trim_end_matches('.');
        words.push_str("; ");
        words.push_str(&say!("left out: {step} ({why})", step, why));
    }
    for (step, why) in &gone.waits_cut {
        let step = step.trim_end_matches('.');
        words.push_str("; ");
        words.push_str(&say!("not waited to the end: {step} ({why})", step, why));
    }
    Line::of(words)
}
