//! The phone's camera against stand-ins of the system's C functions. One test at a time: the stand-ins are one world.

mod camera_stand_in;

use android_check::camera2::{self, Camera, Trouble, Wanted};
use camera_stand_in::{WORLD, take_away};
use ndk_sys::camera_status_t;
use std::{
    sync::{Mutex, MutexGuard},
    time::Duration,
};

static ONE: Mutex<()> = Mutex::new(());

const SOON: Duration = Duration::from_millis(500);

const SMALL: Wanted = Wanted {
    frame: (60, 50),
    still: None,
    screen_turns: 0,
};

/// A world with both cameras, and nobody else in it.
fn begin() -> MutexGuard<'static, ()> {
    let guard = ONE.lock().unwrap_or_else(|poisoned| poisoned.into_inner());
    let mut world = WORLD.lock().unwrap();
    world.log.clear();
    world.live = 0;
    world.cameras = vec![c"1", c"0"];
    world.opens = camera_status_t::ACAMERA_OK;
    world.has_lamp = 1;
    world.sensor_degrees = 90;
    world.gives = true;
    drop(world);
    guard
}

fn log() -> Vec<String> {
    std::mem::take(&mut WORLD.lock().unwrap().log)
}

fn nothing_is_left() {
    assert_eq!(WORLD.lock().unwrap().live, 0, "made and not given back");
}

#[test]
fn a_frame_of_the_back_camera_comes_without_the_padding_of_its_rows_and_all_is_given_back() {
    let _one = begin();
    let camera = Camera::open(SMALL).unwrap();
    let grey = camera.frame(SOON).unwrap();
    assert_eq!(
        (grey.width, grey.height, grey.pixels.len()),
        (64, 48, 64 * 48)
    );
    let as_drawn = |(at, pixel): (usize, &u8)| *pixel == ((at % 64) ^ (at / 64)) as u8;
    assert!(grey.pixels.iter().enumerate().all(as_drawn));
    drop(camera);
    let order = [
        "open 0",
        "reader 0x23 64 x 48",
        "add an output",
        "request 1",
        "set focus 4",
        "repeat",
        "stop",
        "close the session",
        "close the camera",
    ];
    assert_eq!(log(), order);
    nothing_is_left();
}

#[test]
fn frames_are_of_the_size_nearest_to_the_one_asked_for() {
    let _one = begin();
    for (wanted, given) in [
        ((1280, 720), "reader 0x23 1280 x 720"),
        ((4000, 4000), "reader 0x23 1920 x 1080"),
        ((0, 0), "reader 0x23 64 x 48"),
    ] {
        drop(
            Camera::open(Wanted {
                frame: wanted,
                ..SMALL
            })
            .unwrap(),
        );
        assert!(log().contains(&given.to_owned()), "{wanted:?}");
    }
    nothing_is_left();
}

#[test]
fn a_still_is_the_largest_that_is_not_too_large_and_says_which_way_is_up() {
    let _one = begin();
    for (most, size, screen_turns, turn) in [
        (13_000_000, "reader 0x100 4000 x 3000", 0, "turn 90"),
        (100, "reader 0x100 640 x 480", 1, "turn 0"),
        (u32::MAX, "reader 0x100 8000 x 6000", 3, "turn 180"),
    ] {
        let wanted = Wanted {
            still: Some(most),
            screen_turns,
            ..SMALL
        };
        let camera = Camera::open(wanted).unwrap();
        camera.frame(SOON).unwrap();
        assert_eq!(camera.still(SOON).unwrap(), b"a jpeg");
        drop(camera);
        let log = log();
        assert!(log.contains(&size.to_owned()), "{log:?}");
        assert!(log.contains(&turn.to_owned()), "{log:?}");
        assert!(log.contains(&"capture".to_owned()), "{log:?}");
    }
    nothing_is_left();
}

#[test]
fn a_frame_is_turned_by_what_the_sensor_and_the_screen_are_turned() {
    let _one = begin();
    for (sensor, screen, turns) in [
        (90, 0, 1),
        (90, 1, 0),
        (90, 2, 3),
        (90, 3, 2),
        (0, 0, 0),
        (0, 1, 3),
    ] {
        WORLD.lock().unwrap().sensor_degrees = sensor;
        let camera = Camera::open(Wanted {
            screen_turns: screen,
            ..SMALL
        })
        .unwrap();
        assert_eq!(camera.turns(), turns, "sensor {sensor}, screen {screen}");
    }
    nothing_is_left();
}

#[test]
fn the_lamp_is_lit_where_there_is_one() {
    let _one = begin();
    let camera = Camera::open(SMALL).unwrap();
    log();
    camera.set_lamp(true).unwrap();
    camera.set_lamp(false).unwrap();
    assert_eq!(log(), ["set lamp 2", "repeat", "set lamp 0", "repeat"]);
    drop(camera);
    WORLD.lock().unwrap().has_lamp = 0;
    let camera = Camera::open(SMALL).unwrap();
    log();
    camera.set_lamp(true).unwrap();
    assert!(log().is_empty());
    drop(camera);
    nothing_is_left();
}

#[test]
fn why_there_is_no_picture_is_told_and_all_is_given_back() {
    let _one = begin();
    for (status, trouble) in [
        (
            camera_status_t::ACAMERA_ERROR_PERMISSION_DENIED,
            Trouble::NotAllowed,
        ),
        (camera_status_t::ACAMERA_ERROR_CAMERA_IN_USE, Trouble::Lost),
        (
            camera_status_t::ACAMERA_ERROR_CAMERA_SERVICE,
            Trouble::Refused {
                step: "the camera",
                code: camera_status_t::ACAMERA_ERROR_CAMERA_SERVICE.0,
            },
        ),
    ] {
        WORLD.lock().unwrap().opens = status;
        assert_eq!(Camera::open(SMALL).err(), Some(trouble));
        nothing_is_left();
    }
    WORLD.lock().unwrap().opens = camera_status_t::ACAMERA_OK;
    WORLD.lock().unwrap().gives = false;
    let camera = Camera::open(SMALL).unwrap();
    let short = Duration::from_millis(10);
    assert_eq!(camera.frame(short), Err(Trouble::Late));
    take_away();
    assert_eq!(camera.frame(short), Err(Trouble::Lost));
    assert_eq!(
        camera.still(short),
        Err(Trouble::NoSize),
        "opened without stills"
    );
    drop(camera);
    nothing_is_left();
}

#[test]
fn a_device_without_a_camera_on_its_back_has_none() {
    let _one = begin();
    assert!(camera2::is_there());
    for cameras in [vec![], vec![c"1"]] {
        WORLD.lock().unwrap().cameras = cameras;
        assert!(!camera2::is_there());
        assert_eq!(Camera::open(SMALL).err(), Some(Trouble::None));
    }
    nothing_is_left();
}
