//! The camera in the window: looking for tags, and taking photos. Whatever takes time is done on the camera's threads.

use super::{
    Page, Photo, Scan,
    desk::{self, Desk, Topic},
    photo, picture, scan,
    words::sentence,
};
use crate::{
    app::{Found, Register},
    camera::{
        CameraError, DEVICE, Device,
        live::{Open, Sight, Watch},
    },
    say, sys,
    tag::read::Code,
};
use image::{ImageFormat, RgbImage};
use slint::ComponentHandle;
use std::{io::Cursor, sync::Arc, thread};

/// The camera and what it is doing.
pub struct Live {
    camera: Option<Device>,
    /// The last use of the camera, under way or letting go of it.
    watch: Option<Watch>,
    /// Counts the uses; news of an earlier one comes too late.
    run: u64,
}

impl Default for Live {
    fn default() -> Self {
        Self {
            camera: DEVICE,
            watch: None,
            run: 0,
        }
    }
}

/// Connects the camera's callbacks of both pages.
pub fn attach(desk: &Desk) {
    let scan = desk.window().global::<Scan>();
    scan.on_start_camera(|| desk::with(start));
    scan.on_stop_camera(|| {
        desk::with(|desk| {
            stop(desk);
            desk.window().global::<Scan>().set_has_picture(false);
        });
    });
    scan.on_set_lamp(|on| desk::with(|desk| set_lamp(desk, on)));
    let photo = desk.window().global::<Photo>();
    photo.on_from_camera(|| desk::with(take_photo));
    look_for_camera(desk);
}

/// Uses this camera from now on.
pub fn set_camera(desk: &Desk, camera: Option<Device>) {
    stop(desk);
    desk.state.borrow_mut().live.camera = camera;
    look_for_camera(desk);
}

/// What another page means for the camera: it stops, and one plugged in meanwhile is found.
pub fn moved(desk: &Desk, to: Page) {
    stop(desk);
    if matches!(to, Page::Scan | Page::Photo) {
        look_for_camera(desk);
    }
}

/// Stops the camera without waiting for it.
pub fn stop(desk: &Desk) {
    {
        let live = &mut desk.state.borrow_mut().live;
        live.run += 1;
        if let Some(watch) = &live.watch {
            watch.stop();
        }
    }
    let scan = desk.window().global::<Scan>();
    scan.set_camera_running(false);
    if scan.get_lamp_on() {
        set_lamp(desk, false);
    }
}

fn set_lamp(desk: &Desk, on: bool) {
    let camera = desk.state.borrow().live.camera;
    if let Some(set_lamp) = camera.and_then(|camera| camera.set_lamp) {
        set_lamp(on);
        desk.window().global::<Scan>().set_lamp_on(on);
    }
}

fn look_for_camera(desk: &Desk) {
    let camera = desk.state.borrow().live.camera;
    let has_lamp = camera.is_some_and(|camera| camera.set_lamp.is_some());
    desk.window().global::<Scan>().set_has_lamp(has_lamp);
    let Some(camera) = camera else {
        return show_available(desk, false);
    };
    thread::spawn(move || {
        let there = (camera.is_there)();
        at_the_window(move |desk| show_available(desk, there));
    });
}

fn show_available(desk: &Desk, there: bool) {
    let window = desk.window();
    window.global::<Scan>().set_camera_available(there);
    window.global::<Photo>().set_camera_available(there);
}

fn start(desk: &Desk) {
    if desk.state.borrow().live.camera.is_none() {
        return;
    }
    scan::again(desk);
    let run = next_run(desk);
    desk.window().global::<Scan>().set_camera_running(true);
    desk.ask_or(
        Topic::Camera,
        |app| app.register(),
        move |desk, register| watch(desk, run, register),
        |desk, error| {
            stop(desk);
            scan::refuse(desk, &error.to_string());
        },
    );
}

fn watch(desk: &Desk, run: u64, register: Arc<Register>) {
    if desk.state.borrow().live.run != run {
        return;
    }
    use_camera(desk, |camera, free| {
        Watch::start(
            opened(camera, free),
            move |code| !matches!(register.find(&code.text), Found::Foreign(_)),
            move |sight| in_time(run, move |desk| show(desk, sight)),
            sys::monotonic,
        )
    });
}

fn take_photo(desk: &Desk) {
    let run = next_run(desk);
    desk.window().global::<Photo>().set_error("".into());
    let told = move |taken: Result<Vec<u8>, String>| {
        in_time(run, move |desk| match taken {
            Ok(bytes) => photo::take_bytes(desk, bytes),
            Err(words) => desk.window().global::<Photo>().set_error(sentence(&words)),
        });
    };
    use_camera(desk, |camera, free| match camera.still {
        Some(still) => Watch::once(
            move || {
                free();
                still()
            },
            move |taken| told(taken.map_err(|error| error.to_string())),
        ),
        None => Watch::still(opened(camera, free), move |taken| {
            told(taken.map_err(|error| error.to_string()).and_then(png));
        }),
    });
}

fn next_run(desk: &Desk) -> u64 {
    stop(desk);
    desk.state.borrow().live.run
}

/// Waits until the last use of the camera has let go of it.
type Free = Box<dyn FnOnce() + Send>;

fn opened(camera: Device, free: Free) -> Open {
    Box::new(move || {
        free();
        (camera.open)()
    })
}

/// Puts the camera to a use that waits first until it is free.
fn use_camera(desk: &Desk, work: impl FnOnce(Device, Free) -> Watch) {
    let live = &mut desk.state.borrow_mut().live;
    let Some(camera) = live.camera else {
        return;
    };
    let last = live.watch.take();
    let free = move || {
        if let Some(last) = last {
            last.finish();
        }
    };
    live.watch = Some(work(camera, Box::new(free)));
}

fn show(desk: &Desk, sight: Sight) {
    match sight {
        Sight::Preview(seen) => show_seen(desk, &seen),
        Sight::Codes(codes, seen) => {
            stop(desk);
            show_seen(desk, &seen);
            find(desk, codes);
        }
        Sight::Ended(error) => {
            stop(desk);
            desk.window().global::<Scan>().set_has_picture(false);
            scan::refuse(desk, &error.unwrap_or(CameraError::NoFrames).to_string());
        }
    }
}

fn show_seen(desk: &Desk, seen: &RgbImage) {
    let scan = desk.window().global::<Scan>();
    scan.set_picture(picture::image_of(seen));
    scan.set_has_picture(true);
}

fn find(desk: &Desk, codes: Vec<Code>) {
    desk.ask_or(
        Topic::Scan,
        move |app| Ok(app.register()?.find_codes(&codes)),
        scan::show,
        |desk, error| scan::refuse(desk, &error.to_string()),
    );
}

/// A picture as a file's bytes, nothing lost.
fn png(picture: RgbImage) -> Result<Vec<u8>, String> {
    let mut bytes = Cursor::new(Vec::new());
    picture
        .write_to(&mut bytes, ImageFormat::Png)
        .map_err(|error| {
            say!(
                "the camera's picture can't be kept ({why}): take it again",
                why = error
            )
        })?;
    Ok(bytes.into_inner())
}

/// Has the window do something, unless the camera was put to another use or stopped meanwhile.
fn in_time(run: u64, then: impl FnOnce(&Desk) + Send + 'static) {
    at_the_window(move |desk| {
        if desk.state.borrow().live.run == run {
            then(desk);
        }
    });
}

fn at_the_window(then: impl FnOnce(&Desk) + Send + 'static) {
    // Refused only when the window is gone; then nobody is left to be told.
    let _ = slint::invoke_from_event_loop(move || desk::with(then));
}
