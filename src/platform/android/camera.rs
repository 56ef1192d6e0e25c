//! The phone's camera as the window knows it.

use super::{
    ACTIVITY,
    camera2::{self, Camera, Trouble, Wanted},
    java::{Activity, JavaError, Permission},
};
use crate::{
    camera::{CameraError, Device, Frame, FrameSource, pixels::upright},
    say,
};
use std::{
    io,
    sync::atomic::{AtomicBool, Ordering},
    thread,
    time::Duration,
};

/// The camera on the back.
pub const PHONE: Device = Device {
    is_there: camera2::is_there,
    open,
    still: Some(still),
    set_lamp: Some(set_lamp),
};

/// The size asked for, px: a tag at arm's length has enough pixels a module in it.
const FRAME: (u32, u32) = (1280, 720);

/// Most pixels of a still: more only takes time, for pictures are made small when they are taken in.
const MOST_STILL: u32 = 13_000_000;

/// Frames a still is preceded by, so that the exposure and the focus are found.
const FRAMES_TO_SETTLE: u32 = 20;

const PATIENCE: Duration = Duration::from_secs(5);

/// How often the operator's answer is looked for, and how long.
const NAP: Duration = Duration::from_millis(100);
const MOST_NAPS: u32 = 1200;

/// The lamp shall be lit. Kept here, for a device is known by functions alone.
static LAMP: AtomicBool = AtomicBool::new(false);

fn set_lamp(on: bool) {
    LAMP.store(on, Ordering::Release);
}

fn open() -> Result<Box<dyn FrameSource>, CameraError> {
    Ok(Box::new(Frames {
        camera: Some(opened(None)?),
        lit: false,
    }))
}

/// A JPEG that says which way is up.
fn still() -> Result<Vec<u8>, CameraError> {
    let camera = opened(Some(MOST_STILL))?;
    for _ in 0..FRAMES_TO_SETTLE {
        camera.frame(PATIENCE).map_err(told)?;
    }
    camera.still(PATIENCE).map_err(told)
}

fn opened(still: Option<u32>) -> Result<Camera, CameraError> {
    let activity = ACTIVITY.get().ok_or(CameraError::NoFrames)?;
    allowed(*activity)
        .map_err(|error| CameraError::Device {
            camera: say!("the camera '…'" => "of this device").to_owned(),
            source: io::Error::other(error),
        })?
        .then_some(())
        .ok_or(CameraError::NotAllowed)?;
    // A system that does not say is taken to be upright.
    let screen_turns = activity.quarter_turns().unwrap_or(0).rem_euclid(4) as u32;
    let wanted = Wanted {
        frame: FRAME,
        still,
        screen_turns,
    };
    Camera::open(wanted).map_err(told)
}

/// Asks the operator where nobody has answered yet, and waits for the answer.
fn allowed(activity: Activity) -> Result<bool, JavaError> {
    if activity.camera_permission()? == Permission::Allowed {
        return Ok(true);
    }
    activity.ask_for_camera()?;
    for _ in 0..MOST_NAPS {
        match activity.camera_permission()? {
            Permission::Open => thread::sleep(NAP),
            answered => return Ok(answered == Permission::Allowed),
        }
    }
    Ok(false)
}

fn told(trouble: Trouble) -> CameraError {
    match trouble {
        Trouble::None => CameraError::NoCamera {
            wanted: say!("no camera … was found" => "on the back").to_owned(),
        },
        Trouble::NotAllowed => CameraError::NotAllowed,
        Trouble::Late => CameraError::NoFrames,
        other => CameraError::Device {
            camera: say!("the camera '…'" => "of this device").to_owned(),
            source: io::Error::other(why(other)),
        },
    }
}

/// What keeps the camera from use; what a system refuses is named as the system's makers do.
fn why(trouble: Trouble) -> String {
    match trouble {
        Trouble::Lost => say!("another app has taken it").to_owned(),
        Trouble::NoSize => say!("it gives no pictures of a size that can be used").to_owned(),
        other => other.to_string(),
    }
}

struct Frames {
    camera: Option<Camera>,
    lit: bool,
}

impl FrameSource for Frames {
    fn next_frame(&mut self) -> Result<Option<Frame>, CameraError> {
        let Some(camera) = &self.camera else {
            return Ok(None);
        };
        let light = LAMP.load(Ordering::Acquire);
        if light != self.lit {
            self.lit = light;
            camera.set_lamp(light).map_err(told)?;
        }
        let grey = camera.frame(PATIENCE).map_err(told)?;
        let luma = upright(grey.width, grey.height, grey.pixels, camera.turns())?;
        Ok(Some(Frame {
            luma,
            preview: None,
            origin: "the device's camera".to_owned(),
        }))
    }

    fn stop(&mut self) {
        self.camera = None;
    }
}
