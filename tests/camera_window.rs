//! The window with a made-up camera: one test, for the event loop is one a process.
#![cfg(feature = "window")]

mod tags_scene;

use lantern_ring::{
    app::{App, SetOperator},
    camera::{CameraError, Device, Frame, FrameSource},
    record::Stamp,
    sys::{StillWorld, plant_folder},
    tag::{Host, Luma, TagId, draw, payload::payload, read::still},
    view::{self, Desk, Nav, Page, Photo, Scan, ScanOutcome, Visit, Worker},
};
use slint::{ComponentHandle, Timer, TimerMode};
use std::{
    cell::Cell,
    path::Path,
    rc::Rc,
    sync::{
        Mutex,
        atomic::{AtomicBool, AtomicU32, Ordering},
    },
    thread,
    time::{Duration, Instant},
};
use tags_scene::{Dice, Placed, Trouble, frame};

const SIZE: (u32, u32) = (1280, 720);
const PATIENCE: Duration = Duration::from_secs(60);

// A device is known by functions alone, so what it sees and what became of it are kept here.
static SCENE: Mutex<Option<Luma>> = Mutex::new(None);
static PLUGGED_IN: AtomicBool = AtomicBool::new(true);
static ALLOWED: AtomicBool = AtomicBool::new(true);
static IN_USE: AtomicU32 = AtomicU32::new(0);

struct MadeUp;

impl FrameSource for MadeUp {
    fn next_frame(&mut self) -> Result<Option<Frame>, CameraError> {
        thread::sleep(Duration::from_millis(33));
        let scene = SCENE.lock().unwrap().clone();
        Ok(scene.map(|luma| Frame {
            luma,
            preview: None,
            origin: "made up".into(),
        }))
    }

    fn stop(&mut self) {
        IN_USE.fetch_sub(1, Ordering::SeqCst);
    }
}

fn open() -> Result<Box<dyn FrameSource>, CameraError> {
    if !PLUGGED_IN.load(Ordering::SeqCst) {
        return Err(CameraError::NoCamera {
            wanted: "at all".into(),
        });
    }
    if !ALLOWED.load(Ordering::SeqCst) {
        return Err(CameraError::NotAllowed);
    }
    // The last use must have let go before.
    assert_eq!(IN_USE.fetch_add(1, Ordering::SeqCst), 0);
    Ok(Box::new(MadeUp))
}

const CAMERA: Device = Device {
    is_there: || PLUGGED_IN.load(Ordering::SeqCst),
    open,
    still: None,
    set_lamp: None,
};

/// Lets the window work until something holds.
fn until(what: &str, holds: impl Fn() -> bool + 'static) {
    let held = Rc::new(Cell::new(false));
    let (told, start) = (held.clone(), Instant::now());
    let timer = Timer::default();
    let over = Cell::new(false);
    timer.start(TimerMode::Repeated, Duration::from_millis(5), move || {
        // A second quit would end the next loop.
        if over.get() {
            return;
        }
        told.set(holds());
        over.set(told.get() || start.elapsed() > PATIENCE);
        if over.get() {
            slint::quit_event_loop().unwrap();
        }
    });
    slint::run_event_loop_until_quit().unwrap();
    assert!(held.get(), "not in time: {what}");
}

fn until_page(desk: &Rc<Desk>, page: Page) {
    let seen = desk.clone();
    until("the page", move || {
        seen.window().global::<Nav>().get_page() == page
    });
}

fn until_let_go() {
    until("the camera is let go", || {
        IN_USE.load(Ordering::SeqCst) == 0
    });
}

fn tag_in_view(text: &str) -> Luma {
    let code = still::luma(&still::decode(&draw::png(text, 4).unwrap()).unwrap());
    let placed = Placed {
        code: &code,
        middle: (600.0, 380.0),
        width: 260.0,
        turn: -15.0,
        tilt: 0.1,
    };
    let trouble = Trouble {
        blur: 1.0,
        ..Trouble::NONE
    };
    frame(SIZE, &[placed], trouble, &mut Dice(3))
}

fn look_at(scene: Option<Luma>) {
    *SCENE.lock().unwrap() = scene;
}

#[test]
fn a_tag_held_to_the_camera_opens_its_pump_and_the_camera_is_let_go_whenever_it_is_not_needed() {
    i_slint_backend_testing::init_integration_test_with_system_time();
    let folder = tempfile::tempdir().unwrap();
    let plant = plant_folder(&Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-plant")).unwrap();
    let pump = plant.pumps[0].clone();
    let host = Host::new(&plant.tag_host).unwrap();
    let world = StillWorld::at(
        Stamp {
            utc_ms: 1_790_575_200_000,
            offset_min: 60,
        },
        1,
    );
    let store = folder.path().join("camera.lantern");
    let mut app = App::create(&store, plant, Box::new(world)).unwrap();
    app.perform(SetOperator("Jun Vale".to_owned())).unwrap();
    let desk = view::open(Worker::thread(app), Box::new(|| Duration::ZERO)).unwrap();
    let scan = || desk.window().global::<Scan>();
    until_page(&desk, Page::Home);

    view::set_camera(&desk, None);
    assert!(!scan().get_camera_available());
    view::set_camera(&desk, Some(CAMERA));
    let seen = desk.clone();
    until("the camera is offered", move || {
        seen.window().global::<Scan>().get_camera_available()
    });

    // Nothing in view: what it sees is shown, and leaving the page stops it.
    look_at(Some(frame(SIZE, &[], Trouble::NONE, &mut Dice(1))));
    desk.go(Page::Scan);
    scan().invoke_start_camera();
    assert!(scan().get_camera_running());
    let seen = desk.clone();
    until("a picture is shown", move || {
        seen.window().global::<Scan>().get_has_picture()
    });
    desk.go(Page::Home);
    assert!(!scan().get_camera_running());
    until_let_go();

    // Stopped and started again at once: the second use waits for the first.
    desk.go(Page::Scan);
    scan().invoke_start_camera();
    until("it is in use", || IN_USE.load(Ordering::SeqCst) == 1);
    scan().invoke_stop_camera();
    assert!(!scan().get_camera_running() && !scan().get_has_picture());
    scan().invoke_start_camera();

    // The window goes out of sight at work, as when a phone is locked: the camera is let go, and can be started again.
    until("it is in use again", || IN_USE.load(Ordering::SeqCst) == 1);
    view::looked_away(&desk);
    view::hidden(&desk);
    assert!(!scan().get_camera_running());
    until_let_go();
    scan().invoke_start_camera();

    // A tag comes into view.
    look_at(Some(tag_in_view(&payload(&host, TagId::new(pump.tag)))));
    until_page(&desk, Page::Visit);
    let id = desk.window().global::<Visit>().get_pump_id();
    assert_eq!(id, pump.id.as_str());
    assert!(!scan().get_camera_running());
    until_let_go();

    // A code that is none of ours ends it too, with words and what can be done.
    look_at(Some(tag_in_view("MAKER 4711")));
    desk.go(Page::Scan);
    scan().invoke_start_camera();
    let seen = desk.clone();
    until("the foreign code is told", move || {
        seen.window().global::<Scan>().get_outcome() == ScanOutcome::Foreign
    });
    assert_eq!(scan().get_code(), "MAKER 4711");
    assert!(scan().get_has_picture() && !scan().get_camera_running());
    until_let_go();

    // A camera pulled out at work, and one that does not open: a sentence, and the page is there for other ways.
    for plugged_in in [true, false] {
        PLUGGED_IN.store(plugged_in, Ordering::SeqCst);
        look_at(None);
        scan().invoke_start_camera();
        let seen = desk.clone();
        until("the error is told", move || {
            seen.window().global::<Scan>().get_outcome() == ScanOutcome::Error
        });
        assert!(scan().get_words().contains("open a picture file"));
        assert!(!scan().get_camera_running());
        until_let_go();
    }

    // The operator does not allow it: that too leaves the other ways, for a tag and for a photo.
    PLUGGED_IN.store(true, Ordering::SeqCst);
    ALLOWED.store(false, Ordering::SeqCst);
    scan().invoke_start_camera();
    let seen = desk.clone();
    until("the refusal is told", move || {
        let scan = seen.window().global::<Scan>();
        scan.get_outcome() == ScanOutcome::Error && scan.get_words().contains("may not be used")
    });
    assert!(scan().get_words().contains("key in the short id"));
    desk.go(Page::Photo);
    desk.window().global::<Photo>().invoke_from_camera();
    let seen = desk.clone();
    until("the refusal is told of the photo", move || {
        let photo = seen.window().global::<Photo>();
        photo.get_error().contains("may not be used")
    });
    assert_eq!(IN_USE.load(Ordering::SeqCst), 0);
    ALLOWED.store(true, Ordering::SeqCst);
    PLUGGED_IN.store(false, Ordering::SeqCst);

    desk.go(Page::Home);
    desk.go(Page::Scan);
    let seen = desk.clone();
    until("it is no longer offered", move || {
        !seen.window().global::<Scan>().get_camera_available()
    });

    // A photo: of the camera's full size, and none for a page that was left before it came.
    PLUGGED_IN.store(true, Ordering::SeqCst);
    look_at(Some(frame(SIZE, &[], Trouble::NONE, &mut Dice(1))));
    let photo = || desk.window().global::<Photo>();
    desk.go(Page::Photo);
    photo().invoke_from_camera();
    until("it is in use", || IN_USE.load(Ordering::SeqCst) == 1);
    desk.go(Page::Home);
    until_let_go();
    assert!(!photo().get_has_picture());
    desk.go(Page::Photo);
    photo().invoke_from_camera();
    let seen = desk.clone();
    until("the photo is there", move || {
        seen.window().global::<Photo>().get_has_picture()
    });
    let shown = photo().get_picture().size();
    assert_eq!((shown.width, shown.height), (1200, 675));
    assert_eq!(photo().get_error(), "");
    until_let_go();

    Desk::clear();
}
