//! The phone: the program's entry there, and what the window asks of it.
//!
//! What can be tested on any computer lies in files that know nothing of a phone: [`super::arriving`], [`crate::app::Whereabouts`],
//! and, against stand-ins of the system (android/check), [`camera2`] and [`java`]. What is left here is short.
#![allow(unsafe_code)]

mod camera;
mod camera2;
mod files;
mod java;
#[cfg(feature = "android-check")]
mod software;

use crate::{
    app::{App, AppError, Whereabouts},
    say,
    sys::RealWorld,
    view::{self, Looks, WindowError},
};
use android_activity::{AndroidApp, MainEvent, PollEvent};
use files::Files;
use java::Activity;
use slint::platform::SetPlatformError;
use std::{cell::Cell, path::Path, process, rc::Rc, sync::OnceLock};

/// The activity of this process.
static ACTIVITY: OnceLock<Activity> = OnceLock::new();

/// Name of the store that waits for a plant, until there is [`view::OWN_STORE`].
const WAITING_STORE: &str = "waiting.lantern";

/// Why the program can't begin.
#[derive(Debug, thiserror::Error)]
enum NotBegun {
    #[error("{}", say!("the system gives this app no folder of its own: install it anew"))]
    NoFolder,
    #[error(transparent)]
    App(#[from] AppError),
    #[error("{}", say!(
        "the system's window can't be drawn on ({why}): restart the device",
        why = _0
    ))]
    Platform(#[from] SetPlatformError),
    #[error(transparent)]
    Window(#[from] WindowError),
}

/// The entry: called by `NativeActivity` on a thread of its own.
#[unsafe(no_mangle)]
fn android_main(system: AndroidApp) {
    // The system gives both for as long as the activity is there, and this function ends before it.
    let activity = unsafe { Activity::new(system.vm_as_ptr(), system.activity_as_ptr()) };
    let activity = *ACTIVITY.get_or_init(|| activity);
    if let Err(refused) = run(&system, activity) {
        // The dialog ends the activity; nothing better can be done where even that can't be shown.
        if activity.end_with(&refused.to_string()).is_ok() {
            wait_for_end(&system);
        }
    }
    // A process is one activity's: what lies in statics must not meet a second one.
    process::exit(0)
}

fn run(system: &AndroidApp, activity: Activity) -> Result<(), NotBegun> {
    let folder = system.internal_data_path().ok_or(NotBegun::NoFolder)?;
    let files = Files::new(activity, &folder);
    let ears = Ears {
        activity,
        files: files.clone(),
        has_returned: Cell::new(false),
    };
    listen(system, move |event| ears.hear(event))?;
    let app = open(&folder)?;
    super::speak_as_the_system();
    view::run(app, |desk| {
        desk.set_outside(Rc::new(files));
        view::set_camera(desk, Some(camera::PHONE));
        show_looks(activity);
    })?;
    Ok(())
}

fn open(folder: &Path) -> Result<App, AppError> {
    let own = folder.join(view::OWN_STORE);
    if own.exists() {
        App::open(&own, Box::new(RealWorld))
    } else {
        App::waiting_for_plant(&folder.join(WAITING_STORE), Box::new(RealWorld))
    }
}

/// Has Slint draw on the activity's window, and tell of its events.
#[cfg(not(feature = "android-check"))]
fn listen(
    system: &AndroidApp,
    heard: impl Fn(&PollEvent<'_>) + 'static,
) -> Result<(), SetPlatformError> {
    slint::android::init_with_event_listener(system.clone(), heard)
}

/// Has Slint draw on the activity's window, and tell of its events.
#[cfg(feature = "android-check")]
fn listen(
    system: &AndroidApp,
    heard: impl Fn(&PollEvent<'_>) + 'static,
) -> Result<(), SetPlatformError> {
    software::init(system.clone(), heard)
}

/// Hears what becomes of the activity, on the window's thread.
struct Ears {
    activity: Activity,
    files: Files,
    /// What the system kept is of use once: afterwards the window is where the operator left it.
    has_returned: Cell<bool>,
}

impl Ears {
    fn hear(&self, event: &PollEvent<'_>) {
        let PollEvent::Main(event) = event else {
            return;
        };
        match event {
            MainEvent::Resume { loader, .. } => {
                if !self.has_returned.replace(true) {
                    return_to(loader.load());
                }
                self.files.take_news();
            }
            MainEvent::SaveState { saver, .. } => view::with(|desk| {
                if let Some(bytes) = view::place(desk).to_bytes() {
                    saver.store(&bytes);
                }
            }),
            MainEvent::Pause => view::with(view::looked_away),
            MainEvent::Stop => view::with(view::hidden),
            MainEvent::ConfigChanged { .. } => show_looks(self.activity),
            _ => {}
        }
    }
}

fn return_to(kept: Option<Vec<u8>>) {
    if let Some(place) = kept.as_deref().and_then(Whereabouts::from_bytes) {
        view::with(|desk| view::return_to(desk, place));
    }
}

fn show_looks(activity: Activity) {
    // A system that does not say leaves them as they are.
    if let (Ok(dark), Ok(text_scale)) = (activity.is_dark(), activity.font_scale()) {
        view::with(|desk| view::system_looks(desk, Looks { dark, text_scale }));
    }
}

fn wait_for_end(system: &AndroidApp) {
    let mut over = false;
    while !over {
        system.poll_events(None, |event| {
            over = matches!(event, PollEvent::Main(MainEvent::Destroy));
        });
    }
}
