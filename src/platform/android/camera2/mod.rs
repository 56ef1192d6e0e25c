//! The phone's camera by the NDK's C functions: grey frames, JPEG stills, the lamp.
//!
//! Knows nothing of the rest of the program, so that the same source runs on any computer against stand-ins of those
//! functions. Source: the NDK's reference, "Camera" and "Media" (`ACamera*`, `AImage*`, API 24 and later).
#![allow(unsafe_code)]

mod images;
mod owned;
mod traits;

pub use images::Grey;
pub use owned::Trouble;

use images::{Ears, Outlet, on_device_error, on_device_gone, on_frame, on_still};
use ndk_sys::*;
use owned::{Owned, done};
use std::{
    ffi::{CStr, CString, c_void},
    ptr,
    sync::mpsc::Receiver,
    time::Duration,
};
use traits::{CONTINUOUS, Traits, turns};

#[cfg(target_os = "android")]
#[link(name = "camera2ndk")]
#[link(name = "mediandk")]
unsafe extern "C" {}

/// What is asked of the camera.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// Size of the frames, px; the nearest there is, is used.
    pub frame: (u32, u32),
    /// Most pixels of a still; none for no stills.
    pub still: Option<u32>,
    /// How far the screen's picture is turned from the device's upright, quarter turns.
    pub screen_turns: u32,
}

/// The camera on the back, giving frames. Dropped, it is closed.
///
/// Fields are dropped in their order: the session before what it draws on, all before the device and its manager.
pub struct Camera {
    session: Owned<ACameraCaptureSession>,
    request: Owned<ACaptureRequest>,
    still_request: Option<Owned<ACaptureRequest>>,
    _outputs: Owned<ACaptureSessionOutputContainer>,
    frames: Outlet<Grey>,
    stills: Option<Outlet<Vec<u8>>>,
    _device: Owned<ACameraDevice>,
    lost: Receiver<Result<(), Trouble>>,
    _ears: Box<Ears<()>>,
    _manager: Owned<ACameraManager>,
    has_lamp: bool,
    turns: u32,
}

// All of the NDK's camera functions may be called from any thread; this value is used by one at a time.
unsafe impl Send for Camera {}

impl Camera {
    /// Opens the camera on the back and has it give frames.
    ///
    /// # Errors
    /// Where there is none, it may not be used, or another app has it.
    pub fn open(wanted: Wanted) -> Result<Self, Trouble> {
        let manager = manager()?;
        let (id, traits) = back_camera(&manager)?;
        let frame_size = traits.frame_size(wanted.frame).ok_or(Trouble::NoSize)?;
        let (ears, lost) = Ears::new();
        let device = open_device(&manager, &id, &ears)?;
        let frames = Outlet::new(
            frame_size,
            AIMAGE_FORMATS::AIMAGE_FORMAT_YUV_420_888,
            on_frame,
        )?;
        let stills = match wanted.still {
            Some(most) => {
                let size = traits.still_size(most).ok_or(Trouble::NoSize)?;
                let format = AIMAGE_FORMATS::AIMAGE_FORMAT_JPEG;
                Some(Outlet::new(size, format, on_still)?)
            }
            None => None,
        };
        let outputs = Owned::new(
            "a list of outputs",
            |it| unsafe { ACaptureSessionOutputContainer_free(it) },
            |it| unsafe { ACaptureSessionOutputContainer_create(it).0 },
        )?;
        let all = std::iter::once(&frames.output).chain(stills.as_ref().map(|own| &own.output));
        for output in all {
            done("an output", unsafe {
                ACaptureSessionOutputContainer_add(outputs.it, output.it).0
            })?;
        }
        let turns = turns(traits.sensor_degrees, wanted.screen_turns);
        let preview = ACameraDevice_request_template::TEMPLATE_PREVIEW;
        let request = new_request(&device, preview, &frames.target, &traits)?;
        let still_request = match &stills {
            Some(stills) => {
                let still = ACameraDevice_request_template::TEMPLATE_STILL_CAPTURE;
                let request = new_request(&device, still, &stills.target, &traits)?;
                let degrees = [turns as i32 * 90];
                done("the picture's upright", unsafe {
                    let tag = acamera_metadata_tag::ACAMERA_JPEG_ORIENTATION.0;
                    ACaptureRequest_setEntry_i32(request.it, tag, 1, degrees.as_ptr()).0
                })?;
                Some(request)
            }
            None => None,
        };
        let session = new_session(&device, &outputs)?;
        let camera = Self {
            session,
            request,
            still_request,
            _outputs: outputs,
            frames,
            stills,
            _device: device,
            lost,
            _ears: ears,
            _manager: manager,
            has_lamp: traits.has_lamp,
            turns,
        };
        camera.repeat()?;
        Ok(camera)
    }

    /// Quarter turns clockwise that put a frame upright on the screen.
    pub fn turns(&self) -> u32 {
        self.turns
    }

    /// The next frame.
    ///
    /// # Errors
    /// Where none comes within the time, or the camera was taken away.
    pub fn frame(&self, patience: Duration) -> Result<Grey, Trouble> {
        self.or_lost(self.frames.next(patience))
    }

    /// Takes a picture: a JPEG that says which way is up.
    ///
    /// # Errors
    /// Where none comes within the time, or the camera was opened without stills.
    pub fn still(&self, patience: Duration) -> Result<Vec<u8>, Trouble> {
        let (Some(stills), Some(request)) = (&self.stills, &self.still_request) else {
            return Err(Trouble::NoSize);
        };
        let mut request = request.it;
        done("a picture", unsafe {
            let none = ptr::null_mut();
            ACameraCaptureSession_capture(self.session.it, none, 1, &mut request, ptr::null_mut()).0
        })?;
        self.or_lost(stills.next(patience))
    }

    /// Turns the lamp on or off; nothing where there is none.
    ///
    /// # Errors
    /// Where the system refuses.
    pub fn set_lamp(&self, on: bool) -> Result<(), Trouble> {
        if !self.has_lamp {
            return Ok(());
        }
        let mode = if on {
            acamera_metadata_enum_acamera_flash_mode::ACAMERA_FLASH_MODE_TORCH
        } else {
            acamera_metadata_enum_acamera_flash_mode::ACAMERA_FLASH_MODE_OFF
        };
        let tag = acamera_metadata_tag::ACAMERA_FLASH_MODE;
        set_u8(&self.request, tag, mode.0 as u8)?;
        self.repeat()
    }

    fn repeat(&self) -> Result<(), Trouble> {
        let mut request = self.request.it;
        done("frames", unsafe {
            let none = ptr::null_mut();
            let session = self.session.it;
            ACameraCaptureSession_setRepeatingRequest(
                session,
                none,
                1,
                &mut request,
                ptr::null_mut(),
            )
            .0
        })
    }

    /// A camera that was taken away says so once; nothing comes of it afterwards.
    fn or_lost<T>(&self, got: Result<T, Trouble>) -> Result<T, Trouble> {
        got.map_err(|trouble| match self.lost.try_recv() {
            Ok(Err(lost)) => lost,
            _ => trouble,
        })
    }
}

fn manager() -> Result<Owned<ACameraManager>, Trouble> {
    Owned::new(
        "the cameras",
        |it| unsafe { ACameraManager_delete(it) },
        |it| {
            *it = unsafe { ACameraManager_create() };
            0
        },
    )
}

/// Whether there is a camera on the back.
pub fn is_there() -> bool {
    manager().and_then(|manager| back_camera(&manager)).is_ok()
}

fn back_camera(manager: &Owned<ACameraManager>) -> Result<(CString, Traits), Trouble> {
    let list = Owned::new(
        "the list of cameras",
        |it| unsafe { ACameraManager_deleteCameraIdList(it) },
        |it| unsafe { ACameraManager_getCameraIdList(manager.it, it).0 },
    )?;
    // An empty list may come without an array.
    let (first, count) = unsafe { ((*list.it).cameraIds, (*list.it).numCameras) };
    for index in 0..usize::try_from(count).unwrap_or(0) {
        let id = unsafe { CStr::from_ptr(*first.add(index)) };
        // One that can't be asked is not the one.
        if let Ok(traits) = Traits::of(manager, id)
            && traits.is_on_the_back
        {
            return Ok((id.to_owned(), traits));
        }
    }
    Err(Trouble::None)
}

fn open_device(
    manager: &Owned<ACameraManager>,
    id: &CStr,
    ears: &Ears<()>,
) -> Result<Owned<ACameraDevice>, Trouble> {
    let mut callbacks = ACameraDevice_StateCallbacks {
        context: ears.context(),
        onDisconnected: Some(on_device_gone),
        onError: Some(on_device_error),
    };
    Owned::new(
        "the camera",
        |it| unsafe {
            // It is gone afterwards whatever it says.
            ACameraDevice_close(it);
        },
        |it| unsafe { ACameraManager_openCamera(manager.it, id.as_ptr(), &mut callbacks, it).0 },
    )
}

fn new_request(
    device: &Owned<ACameraDevice>,
    template: ACameraDevice_request_template,
    target: &Owned<ACameraOutputTarget>,
    traits: &Traits,
) -> Result<Owned<ACaptureRequest>, Trouble> {
    let request = Owned::new(
        "a request",
        |it| unsafe { ACaptureRequest_free(it) },
        |it| unsafe { ACameraDevice_createCaptureRequest(device.it, template, it).0 },
    )?;
    done("a target", unsafe {
        ACaptureRequest_addTarget(request.it, target.it).0
    })?;
    if traits.focuses_by_itself {
        let tag = acamera_metadata_tag::ACAMERA_CONTROL_AF_MODE;
        set_u8(&request, tag, CONTINUOUS.0 as u8)?;
    }
    Ok(request)
}

unsafe extern "C" fn on_session(_: *mut c_void, _: *mut ACameraCaptureSession) {}

fn set_u8(
    request: &Owned<ACaptureRequest>,
    tag: acamera_metadata_tag,
    value: u8,
) -> Result<(), Trouble> {
    done("a setting", unsafe {
        ACaptureRequest_setEntry_u8(request.it, tag.0, 1, &value).0
    })
}

fn new_session(
    device: &Owned<ACameraDevice>,
    outputs: &Owned<ACaptureSessionOutputContainer>,
) -> Result<Owned<ACameraCaptureSession>, Trouble> {
    let callbacks = ACameraCaptureSession_stateCallbacks {
        context: ptr::null_mut(),
        onClosed: Some(on_session),
        onReady: Some(on_session),
        onActive: Some(on_session),
    };
    Owned::new(
        "a session",
        |it| unsafe {
            // Refused where nothing repeats; closing is what counts.
            ACameraCaptureSession_stopRepeating(it);
            ACameraCaptureSession_close(it);
        },
        |it| unsafe { ACameraDevice_createCaptureSession(device.it, outputs.it, &callbacks, it).0 },
    )
}
