//! What the window's adapters share: the window, the worker, and what is being looked at.

use super::{
    AppWindow, MessageKind, Nav, Page, Session,
    outside::{Nothing, Outside},
    worker::{Job, Reply, Worker},
};
use crate::{
    app::{App, AppError, CheckState, Checklist},
    evaluation::Evaluation,
};
use slint::{ComponentHandle, Timer};
use std::{
    cell::{Cell, RefCell},
    collections::HashMap,
    path::PathBuf,
    rc::Rc,
    time::Duration,
};

thread_local! {
    // Replies come from another thread and can't carry the window's own references.
    static DESK: RefCell<Option<Rc<Desk>>> = const { RefCell::new(None) };
}

/// What a reply is for. A newer question of the same topic makes the older reply stale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Topic {
    /// The home list.
    Home,
    /// The rounds.
    Rounds,
    /// A scan.
    Scan,
    /// The camera being started.
    Camera,
    /// The visit and what hangs on it.
    Visit,
    /// The entry's history.
    Entry,
    /// How the readings before the entry go.
    EntryTrend,
    /// What the visit's entries come to together.
    Working,
    /// A check's trend.
    Trend,
    /// The causes that fit.
    Diagnosis,
    /// A pump's procedures.
    Procedures,
    /// A procedure under way.
    Run,
    /// The time, for a wait.
    RunClock,
    /// What is put right, or waited for.
    Remedy,
    /// What to mind about it.
    RemedyAdvice,
    /// How its gland stands.
    RemedyGland,
    /// The time, for a wait.
    RemedyClock,
    /// What is waited for at any pump.
    Waits,
    /// What an entry proves.
    Proof,
    /// A photo.
    Photo,
    /// The sheet for the next shift.
    Handover,
    /// What is due.
    Due,
    /// What waits to be sent.
    Send,
    /// The planner's lists.
    Incoming,
    /// A finding.
    Finding,
    /// Who, where, how it looks.
    Session,
    /// The system's looks.
    Looks,
}

/// What is being looked at.
#[derive(Default)]
pub struct State {
    /// The round being looked at.
    pub walking: Option<super::rounds::Shown>,
    /// The finding being closed.
    pub closing: Option<uuid::Uuid>,
    /// The open visit.
    pub checklist: Option<Checklist>,
    /// What its entries come to together; none while that is being worked out.
    pub evaluation: Option<Evaluation>,
    /// The check being entered.
    pub entry: super::entry::Draft,
    /// The photo being marked.
    pub photo: super::photo::Draft,
    /// The camera.
    pub live: super::live::Live,
    /// The codes to choose from.
    pub codes: Vec<String>,
    /// The entries of the planner's list, as shown.
    pub arrivals: Vec<crate::store::EntryRow>,
    /// The planner's lists before search and filter.
    pub incoming: Option<Rc<super::incoming::Answer>>,
    /// Bundles being taken in.
    pub taking_in: super::taking_in::TakingIn,
    /// The finding being looked at.
    pub finding: Option<super::finding::Shown>,
    /// The visit whose causes are being looked at.
    pub diagnosis: Option<super::diagnosis::Shown>,
    /// The sheet for the next shift.
    pub handover: super::handover::Draft,
    /// The procedures being looked at.
    pub procedures: Option<super::procedures::Shown>,
    /// The run of a procedure on the screen.
    pub run: Option<super::run::Shown>,
    /// What is being put right.
    pub remedy: super::remedy::Draft,
    /// The bundle made last.
    pub last_bundle: Option<PathBuf>,
    /// The file dialog.
    pub asked: super::dialog::Asked,
}

impl State {
    /// The check being entered, at a step of a procedure or in a visit.
    pub fn check(&self) -> Option<&CheckState> {
        if let Some(run) = &self.run {
            return run.check();
        }
        self.checklist.as_ref()?.check(self.entry.check?)
    }
}

/// The window with its worker.
pub struct Desk {
    window: AppWindow,
    worker: Worker,
    clock: Box<dyn Fn() -> Duration>,
    generations: RefCell<HashMap<Topic, u64>>,
    message_count: Cell<u64>,
    outside: RefCell<Rc<dyn Outside>>,
    /// What is being looked at.
    pub state: RefCell<State>,
}

/// Runs something with the desk of this thread, if there is one.
pub fn with(reply: impl FnOnce(&Desk)) {
    let desk = DESK.with(|desk| desk.borrow().clone());
    if let Some(desk) = desk {
        reply(&desk);
    }
}

impl Desk {
    /// Lays out the desk of this thread.
    pub fn lay(window: AppWindow, worker: Worker, clock: Box<dyn Fn() -> Duration>) -> Rc<Self> {
        let desk = Rc::new(Self {
            window,
            worker,
            clock,
            generations: RefCell::default(),
            message_count: Cell::default(),
            outside: RefCell::new(Rc::new(Nothing)),
            state: RefCell::default(),
        });
        DESK.with(|own| own.replace(Some(desk.clone())));
        desk
    }

    /// Clears the desk of this thread; replies under way go nowhere.
    pub fn clear() {
        DESK.with(|own| own.replace(None));
    }

    /// The window.
    pub fn window(&self) -> &AppWindow {
        &self.window
    }

    /// The system this runs on.
    pub fn outside(&self) -> Rc<dyn Outside> {
        self.outside.borrow().clone()
    }

    /// Says which system this runs on.
    pub fn set_outside(&self, outside: Rc<dyn Outside>) {
        let session = self.window.global::<Session>();
        session.set_can_share(outside.can_share());
        session.set_can_tick(outside.can_tick());
        session.set_has_folders(outside.has_folders());
        self.outside.replace(outside);
    }

    /// Time since some start, for counting.
    pub fn clock(&self) -> Duration {
        (self.clock)()
    }

    /// Asks the worker something; `show` gets the answer unless a newer question of the topic was asked meanwhile.
    /// A refusal becomes the message line.
    pub fn ask<T: Send + 'static>(
        &self,
        topic: Topic,
        job: impl FnOnce(&mut App) -> Result<T, AppError> + Send + 'static,
        show: impl FnOnce(&Desk, T) + Send + 'static,
    ) {
        self.ask_or(topic, job, show, |desk, error| desk.fail(&error));
    }

    /// Like [`Desk::ask`], with a place of its own for a refusal.
    pub fn ask_or<T: Send + 'static>(
        &self,
        topic: Topic,
        job: impl FnOnce(&mut App) -> Result<T, AppError> + Send + 'static,
        show: impl FnOnce(&Desk, T) + Send + 'static,
        refuse: impl FnOnce(&Desk, AppError) + Send + 'static,
    ) {
        let asked = self.next_generation(topic);
        let job: Job = Box::new(move |app| {
            let answer = job(app);
            let reply: Reply = Box::new(move |desk| match answer {
                _ if desk.generation(topic) != asked => {}
                Ok(answer) => show(desk, answer),
                Err(error) => refuse(desk, error),
            });
            reply
        });
        self.worker.hand(self, job);
    }

    /// Has the worker do something. Unlike an answer, what came of it is always told.
    pub fn perform<T: Send + 'static>(
        &self,
        job: impl FnOnce(&mut App) -> Result<T, AppError> + Send + 'static,
        show: impl FnOnce(&Desk, T) + Send + 'static,
        refuse: impl FnOnce(&Desk, AppError) + Send + 'static,
    ) {
        let job: Job = Box::new(move |app| {
            let came = job(app);
            let reply: Reply = Box::new(move |desk| match came {
                Ok(came) => show(desk, came),
                Err(error) => refuse(desk, error),
            });
            reply
        });
        self.worker.hand(self, job);
    }

    /// Does something that needs no door and takes a while, beside the window; `show` gets what came of it unless a
    /// newer question of the topic was asked meanwhile.
    pub fn aside<T: Send + 'static>(
        &self,
        topic: Topic,
        job: impl FnOnce() -> T + Send + 'static,
        show: impl FnOnce(&Desk, T) + Send + 'static,
    ) {
        let asked = self.next_generation(topic);
        self.worker.aside(self, job, move |desk, came| {
            if desk.generation(topic) == asked {
                show(desk, came);
            }
        });
    }

    /// Ends the worker once its last job is done.
    pub fn finish(self) {
        self.worker.finish();
    }

    fn next_generation(&self, topic: Topic) -> u64 {
        let mut generations = self.generations.borrow_mut();
        let generation = generations.entry(topic).or_default();
        *generation += 1;
        *generation
    }

    fn generation(&self, topic: Topic) -> u64 {
        self.generations
            .borrow()
            .get(&topic)
            .copied()
            .unwrap_or_default()
    }

    /// Shows a page.
    pub fn go(&self, page: Page) {
        self.window.global::<Nav>().invoke_go(page);
    }

    /// Says on the message line that something is done.
    pub fn say(&self, words: &str) {
        self.message(words, MessageKind::Done);
    }

    /// Says on the message line what went wrong.
    pub fn fail(&self, error: &dyn std::fmt::Display) {
        self.message(&super::words::sentence(error), MessageKind::Failed);
    }

    fn message(&self, words: &str, kind: MessageKind) {
        let session = self.window.global::<Session>();
        session.set_message(words.into());
        session.set_message_kind(kind);
        let count = self.message_count.get() + 1;
        self.message_count.set(count);
        // Long enough to read aloud; a failure stays until the next message.
        if kind != MessageKind::Failed {
            Timer::single_shot(Duration::from_secs(5), move || {
                with(|desk| {
                    if desk.message_count.get() == count {
                        desk.window.global::<Session>().set_message("".into());
                    }
                });
            });
        }
    }
}
