//! A handover is equal to what was recorded: whatever is done in whatever order, each thing stands in its part of the
//! sheet and nowhere else, and nothing stands there that was not done.

mod app_support;

use app_support::{HOUR_MS, create, stamp, world};
use lantern_ring::{
    app::{
        App, Arrive, BeginRound, CloseFinding, CloseVisit, EndRound, Enter, Handover, HandoverOf,
        OpenFinding, SeeFinding, SetOperator, SkipStop, StopStanding, Withdraw,
    },
    check::Entered,
    judge::Verdict,
    plant::{CheckId, PumpId},
    record::{HowFound, Still},
    sys::StillWorld,
};
use proptest::prelude::*;
use std::collections::BTreeMap;
use uuid::Uuid;

const PUMPS: [&str; 3] = ["ST-104A", "ST-106", "ST-108"];
const SHIFTS: [&str; 2] = ["Shift A", "Shift B"];

/// One thing somebody does; the numbers choose among what there is.
#[derive(Clone, Debug)]
enum Act {
    Wait { hours: i64 },
    Sign { who: usize },
    Count { pump: usize, drops: u32 },
    PassOver { pump: usize },
    TakeBack { which: usize },
    Open { pump: usize },
    See { which: usize },
    Close { which: usize },
    Begin,
    Skip { stop: usize },
    End,
}

fn act() -> impl Strategy<Value = Act> {
    prop_oneof![
        2 => (1i64..5).prop_map(|hours| Act::Wait { hours }),
        1 => (0usize..2).prop_map(|who| Act::Sign { who }),
        // Below, within and above what every packing needs.
        6 => (0usize..3, prop::sample::select(vec![0u32, 25, 400]))
            .prop_map(|(pump, drops)| Act::Count { pump, drops }),
        2 => (0usize..3).prop_map(|pump| Act::PassOver { pump }),
        1 => any::<usize>().prop_map(|which| Act::TakeBack { which }),
        2 => (0usize..3).prop_map(|pump| Act::Open { pump }),
        1 => any::<usize>().prop_map(|which| Act::See { which }),
        2 => any::<usize>().prop_map(|which| Act::Close { which }),
        1 => Just(Act::Begin),
        1 => any::<usize>().prop_map(|stop| Act::Skip { stop }),
        1 => Just(Act::End),
    ]
}

/// What the test itself noted of an entry.
#[derive(Clone, Debug)]
struct Noted {
    record: Uuid,
    pump: PumpId,
    check: CheckId,
    at_ms: i64,
    by: String,
    /// `None` where the check was passed over.
    verdict: Option<Verdict>,
    taken_back: bool,
}

/// A finding opened by hand, as the test noted it.
#[derive(Clone, Debug)]
struct Told {
    finding: Uuid,
    words: String,
    opened_ms: i64,
    opened_by: String,
    closed: Option<(String, i64, String)>,
    seen: Vec<(String, i64, String)>,
}

struct Shift {
    app: App,
    world: StillWorld,
    _folder: tempfile::TempDir,
    now_ms: i64,
    by: String,
    said: usize,
    entries: Vec<Noted>,
    findings: Vec<Told>,
    skipped: Vec<String>,
    visits: Vec<(Uuid, i64, String)>,
}

impl Shift {
    fn begin() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let world = world(0, 7);
        let mut app = create(&folder.path().join("s.lantern"), world.clone());
        app.perform(SetOperator(SHIFTS[0].to_owned())).unwrap();
        Self {
            app,
            world,
            _folder: folder,
            now_ms: stamp(0).utc_ms,
            by: SHIFTS[0].to_owned(),
            said: 0,
            entries: Vec::new(),
            findings: Vec::new(),
            skipped: Vec::new(),
            visits: Vec::new(),
        }
    }

    /// Words that are said once only.
    fn words(&mut self, what: &str) -> String {
        self.said += 1;
        format!("{what} no. {}", self.said)
    }

    fn do_it(&mut self, act: &Act) {
        // Two things never happen in one millisecond here: the test knows their order by the clock.
        self.pass(1000);
        match act {
            Act::Wait { hours } => self.pass(hours * HOUR_MS),
            Act::Sign { who } => {
                self.by = SHIFTS[*who].to_owned();
                let name = self.by.clone();
                self.app.perform(SetOperator(name)).unwrap();
            }
            Act::Count { pump, drops } => {
                let drops = *drops;
                self.enter(
                    *pump,
                    Entered::Count {
                        drops,
                        seconds: 60.0,
                    },
                );
            }
            Act::PassOver { pump } => {
                let reason = self.words("scaffold");
                self.enter(*pump, Entered::NotChecked { reason });
            }
            Act::TakeBack { which } => {
                let holding = self.entries.iter_mut().filter(|noted| !noted.taken_back);
                let mut holding: Vec<_> = holding.collect();
                if !holding.is_empty() {
                    let at = which % holding.len();
                    holding[at].taken_back = true;
                    let record = holding[at].record;
                    self.app.perform(Withdraw { record }).unwrap();
                }
            }
            Act::Open { pump } => self.open(*pump),
            Act::See { which } => self.see(*which),
            Act::Close { which } => self.close(*which),
            Act::Begin => {
                self.app.perform(BeginRound(stock())).unwrap();
            }
            Act::Skip { stop } => self.skip(*stop),
            Act::End => self.end(),
        }
    }

    fn pass(&mut self, ms: i64) {
        self.now_ms += ms;
        self.world.pass(ms);
    }

    fn enter(&mut self, pump: usize, entered: Entered) {
        let pump: PumpId = PUMPS[pump].parse().unwrap();
        let check: CheckId = "leak_off@seal_de".parse().unwrap();
        let not_checked = matches!(entered, Entered::NotChecked { .. });
        let (found, round) = (HowFound::Scanned, None);
        let arrive = Arrive {
            pump: pump.clone(),
            found,
            round,
        };
        let visit = self.app.perform(arrive).unwrap();
        if self.visits.iter().all(|(known, ..)| *known != visit) {
            self.visits.push((visit, self.now_ms, self.by.clone()));
        }
        let taken = self
            .app
            .perform(Enter {
                visit,
                check,
                entered,
            })
            .unwrap();
        self.app.perform(CloseVisit { visit }).unwrap();
        self.entries.push(Noted {
            record: taken.record,
            pump,
            check,
            at_ms: self.now_ms,
            by: self.by.clone(),
            verdict: (!not_checked).then_some(taken.judgement.verdict),
            taken_back: false,
        });
    }

    fn open(&mut self, pump: usize) {
        let words = self.words("rattle");
        let finding = self
            .app
            .perform(OpenFinding {
                pump: PUMPS[pump].parse().unwrap(),
                visit: None,
                severity: Verdict::Act,
                words: words.clone(),
                cause: None,
            })
            .unwrap();
        self.findings.push(Told {
            finding,
            words,
            opened_ms: self.now_ms,
            opened_by: self.by.clone(),
            closed: None,
            seen: Vec::new(),
        });
    }

    fn see(&mut self, which: usize) {
        let words = self.words("looked");
        let count = self.findings.len();
        if count > 0 {
            let finding = self.findings[which % count].finding;
            let still = Still::Worse;
            let said = words.clone();
            let see = SeeFinding {
                finding,
                still,
                words,
            };
            self.app.perform(see).unwrap();
            let (at, by) = (self.now_ms, self.by.clone());
            self.findings[which % count].seen.push((said, at, by));
        }
    }

    fn close(&mut self, which: usize) {
        let made_good = self.words("bolt");
        let open = self
            .findings
            .iter_mut()
            .filter(|told| told.closed.is_none());
        let mut open: Vec<_> = open.collect();
        if !open.is_empty() {
            let at = which % open.len();
            open[at].closed = Some((made_good.clone(), self.now_ms, self.by.clone()));
            let finding = open[at].finding;
            self.app
                .perform(CloseFinding { finding, made_good })
                .unwrap();
        }
    }

    fn skip(&mut self, stop: usize) {
        let Ok(walk) = self.app.walk_under_way(&stock()) else {
            return;
        };
        let open: Vec<PumpId> = walk.open_stops().cloned().collect();
        if !open.is_empty() {
            let (run, pump) = (walk.run, open[stop % open.len()].clone());
            let reason = self.words("isolated");
            self.skipped.push(reason.clone());
            self.app.perform(SkipStop { run, pump, reason }).unwrap();
        }
    }

    fn end(&mut self) {
        if let Ok(walk) = self.app.walk_under_way(&stock()) {
            let rest = Some("called away".to_owned());
            let run = walk.run;
            self.app.perform(EndRound { run, rest }).unwrap();
        }
    }

    fn handover(&mut self, from_ms: i64, by: Option<&str>) -> Handover {
        let of = HandoverOf {
            from_ms,
            to_ms: self.now_ms + 1,
            by: by.map(str::to_owned),
            walk: None,
        };
        self.app.handover(of).unwrap()
    }

    /// The entries of the span that hold, in order.
    fn holding(&self, from_ms: i64, by: Option<&str>) -> Vec<&Noted> {
        let all = self.entries.iter().filter(|noted| !noted.taken_back);
        let within = all.filter(|noted| noted.at_ms >= from_ms);
        within
            .filter(|noted| by.is_none_or(|by| by == noted.by))
            .collect()
    }

    /// The judged entry of the same check before this one.
    fn before(&self, of: &Noted) -> Option<&Noted> {
        let mut same = self.entries.iter().filter(|noted| {
            !noted.taken_back
                && noted.verdict.is_some()
                && noted.pump == of.pump
                && noted.check == of.check
        });
        same.rfind(|noted| noted.at_ms < of.at_ms)
    }
}

fn stock() -> lantern_ring::plant::RoundId {
    "stock".parse().unwrap()
}

fn lines(handover: &Handover, heading: &str) -> Vec<String> {
    let sheet = handover.sheet();
    let part = sheet.parts.into_iter().find(|part| part.heading == heading);
    let lines = part.unwrap().lines.into_iter();
    lines.map(|line| line.words).collect()
}

fn sorted<T: Ord>(items: impl IntoIterator<Item = T>) -> Vec<T> {
    let mut items: Vec<T> = items.into_iter().collect();
    items.sort();
    items
}

/// Of each check the last of these.
fn last_of_each<'n>(noted: impl IntoIterator<Item = &'n Noted>) -> Vec<Uuid> {
    let mut last = BTreeMap::new();
    for noted in noted {
        last.insert((noted.pump.clone(), noted.check), noted.record);
    }
    sorted(last.into_values())
}

fn is_out(noted: &Noted) -> bool {
    noted.verdict.is_some_and(Verdict::is_out_of_limits)
}

/// The handover of a span is what the test noted, part by part.
fn agrees(shift: &mut Shift, from_ms: i64, by: Option<&str>) {
    let handover = shift.handover(from_ms, by);
    let holding = shift.holding(from_ms, by);
    let within = |ms: i64, who: &str| ms >= from_ms && by.is_none_or(|by| by == who);

    let made = holding.iter().filter(|noted| noted.verdict.is_some());
    assert_eq!(handover.entries, made.count() as u64);
    let visits = shift.visits.iter().filter(|(_, ms, who)| within(*ms, who));
    assert_eq!(
        sorted(handover.visits.iter().map(|visit| visit.visit)),
        sorted(visits.map(|(visit, ..)| *visit))
    );
    let out = holding.iter().copied().filter(|noted| is_out(noted));
    assert_eq!(
        sorted(handover.found.iter().map(|row| row.record)),
        last_of_each(out)
    );
    let back = holding.iter().copied().filter(|noted| {
        noted.verdict == Some(Verdict::InLimits) && shift.before(noted).is_some_and(is_out)
    });
    assert_eq!(
        sorted(handover.back_in_limits.iter().map(|row| row.record)),
        last_of_each(back)
    );
    let passed = holding.iter().filter(|noted| noted.verdict.is_none());
    assert_eq!(
        sorted(handover.not_checked.iter().map(|row| row.record)),
        sorted(passed.map(|noted| noted.record))
    );
    let open_now = shift.entries.iter().filter(|noted| {
        let later = shift.entries.iter().any(|other| {
            !other.taken_back
                && other.verdict.is_some()
                && (&other.pump, other.check) == (&noted.pump, noted.check)
                && other.at_ms > noted.at_ms
        });
        !noted.taken_back && is_out(noted) && !later
    });
    assert_eq!(
        sorted(
            handover
                .open
                .iter()
                .map(|(finding, _)| finding.latest.record)
        ),
        sorted(open_now.map(|noted| noted.record))
    );
    by_hand_agrees(shift, &handover, within);
}

fn by_hand_agrees(shift: &Shift, handover: &Handover, within: impl Fn(i64, &str) -> bool) {
    let (found, right, open) = (
        lines(handover, "Found").join("\n"),
        lines(handover, "Put right").join("\n"),
        lines(handover, "Still open").join("\n"),
    );
    // The number at the end is whole: "no. 1" is not in "no. 12".
    let says = |text: &str, words: &str| {
        text.split(words)
            .skip(1)
            .any(|after| !after.starts_with(|c: char| c.is_ascii_digit()))
    };
    for told in &shift.findings {
        let opened = within(told.opened_ms, &told.opened_by);
        // What is said of a finding names it too.
        let seen = told.seen.iter().any(|(_, ms, who)| within(*ms, who));
        assert_eq!(
            says(&found, &told.words),
            opened || seen,
            "{told:?}\n{found}"
        );
        assert_eq!(
            says(&open, &told.words),
            told.closed.is_none(),
            "{told:?}\n{open}"
        );
        if let Some((made_good, ms, who)) = &told.closed {
            assert_eq!(says(&right, made_good), within(*ms, who), "{right}");
            assert_eq!(says(&right, &told.words), within(*ms, who), "{right}");
        }
        for (words, ms, who) in &told.seen {
            assert_eq!(says(&found, words), within(*ms, who), "{found}");
        }
    }
    let not_checked = lines(handover, "Not checked").join("\n");
    for walk in &handover.walks {
        for stop in &walk.stops {
            if let StopStanding::Skipped { reason, .. } = &stop.standing {
                assert!(says(&not_checked, reason), "{not_checked}");
            }
        }
    }
    for reason in &shift.skipped {
        // A stop passed over and made after all was made; the reason then stands for the checks still missing there.
        let stops = handover.walks.iter().flat_map(|walk| &walk.stops);
        let stands = stops
            .filter(|stop| stop.rest.as_ref() == Some(reason))
            .any(|stop| !stop.is_made() || !stop.missing.is_empty());
        assert_eq!(says(&not_checked, reason), stands, "{not_checked}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn a_handover_is_equal_to_what_was_recorded(acts in prop::collection::vec(act(), 1..60), back in 1i64..40) {
        let mut shift = Shift::begin();
        for act in &acts {
            shift.do_it(act);
        }
        let since = shift.now_ms - back * HOUR_MS;
        agrees(&mut shift, i64::MIN, None);
        agrees(&mut shift, since, None);
        agrees(&mut shift, since, Some(SHIFTS[1]));
    }
}

#[test]
fn a_handover_of_a_round_tells_of_its_stops_alone() {
    let mut shift = Shift::begin();
    shift.do_it(&Act::Count { pump: 1, drops: 0 });
    shift.do_it(&Act::Wait { hours: 3 });
    let run = shift.app.perform(BeginRound(stock())).unwrap();
    shift.do_it(&Act::Count {
        pump: 0,
        drops: 400,
    });
    shift.do_it(&Act::End);
    // After its end, and at a pump of another round.
    shift.do_it(&Act::Wait { hours: 1 });
    shift.do_it(&Act::Count { pump: 2, drops: 0 });
    let of = HandoverOf {
        walk: Some(run),
        ..HandoverOf::default()
    };
    let handover = shift.app.handover(of).unwrap();
    assert_eq!(handover.visits.len(), 1);
    assert_eq!(handover.found.len(), 1);
    assert_eq!(handover.found[0].entry.pump.as_str(), "ST-104A");
    let sheet = handover.sheet();
    assert_eq!(sheet.about, "Round: Stock preparation round");
    assert_eq!(sheet.to.utc_ms - sheet.from.utc_ms, 2001, "{sheet:?}");
    let not_checked = lines(&handover, "Not checked");
    assert_eq!(not_checked.len(), 6, "{not_checked:?}");
    assert!(not_checked[0].ends_with(": called away"), "{not_checked:?}");
    let rest = "ST-104A, stop of Stock preparation round: 25 of 26 checks not made: called away";
    assert_eq!(not_checked[1], rest);
}
