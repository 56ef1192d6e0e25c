//! Stand-ins of the NDK's camera functions: a camera on the front ("1") and one on the back ("0"). Rows are padded;
//! pictures come on threads of their own. Everything made is counted, and must be given back.
#![allow(non_snake_case, clippy::missing_safety_doc)]

mod images;

use images::Reader;
use ndk_sys::*;
use std::{
    ffi::{CStr, c_char, c_int, c_void},
    mem, ptr,
    sync::Mutex,
    thread,
};

/// What the world is like.
pub struct World {
    pub log: Vec<String>,
    /// Things made and not given back.
    pub live: i32,
    pub cameras: Vec<&'static CStr>,
    pub opens: camera_status_t,
    pub has_lamp: u8,
    pub sensor_degrees: i32,
    /// Frames come.
    pub gives: bool,
    device: Option<(usize, usize)>,
}

pub static WORLD: Mutex<World> = Mutex::new(World {
    log: Vec::new(),
    live: 0,
    cameras: Vec::new(),
    opens: OK,
    has_lamp: 1,
    sensor_degrees: 90,
    gives: true,
    device: None,
});

const OK: camera_status_t = camera_status_t::ACAMERA_OK;

const YUV: i32 = AIMAGE_FORMATS::AIMAGE_FORMAT_YUV_420_888.0 as i32;
const JPEG: i32 = AIMAGE_FORMATS::AIMAGE_FORMAT_JPEG.0 as i32;

/// Format, width, height, and whether it is for input.
static STREAMS: [i32; 28] = [
    YUV, 1920, 1080, 0, YUV, 1280, 720, 0, YUV, 64, 48, 0, YUV, 66, 48, 1, JPEG, 8000, 6000, 0,
    JPEG, 4000, 3000, 0, JPEG, 640, 480, 0,
];
static BACK: [u8; 1] = [1];
static FRONT: [u8; 1] = [0];
static FOCUS: [u8; 3] = [0, 1, 4];
static LAMP: [u8; 1] = [1];
static NO_LAMP: [u8; 1] = [0];
static QUARTER: [i32; 1] = [90];
static NONE: [i32; 1] = [0];

pub fn log(line: String) {
    WORLD.lock().unwrap().log.push(line);
}

fn made<T>() -> *mut T {
    WORLD.lock().unwrap().live += 1;
    Box::into_raw(Box::new(0u64)).cast()
}

fn given_back<T>(it: *mut T) {
    assert!(!it.is_null());
    WORLD.lock().unwrap().live -= 1;
    drop(unsafe { Box::from_raw(it.cast::<u64>()) });
}

/// The camera is taken away, as another app does.
pub fn take_away() {
    let (callback, context) = WORLD.lock().unwrap().device.unwrap();
    let callback: unsafe extern "C" fn(*mut c_void, *mut ACameraDevice) =
        unsafe { mem::transmute(callback) };
    unsafe { callback(context as *mut c_void, ptr::null_mut()) };
}

#[unsafe(no_mangle)]
extern "C" fn ACameraManager_create() -> *mut ACameraManager {
    made()
}
#[unsafe(no_mangle)]
extern "C" fn ACameraManager_delete(it: *mut ACameraManager) {
    given_back(it)
}

struct Ids {
    list: ACameraIdList,
    _ids: Vec<*const c_char>,
}

#[unsafe(no_mangle)]
unsafe extern "C" fn ACameraManager_getCameraIdList(
    _: *mut ACameraManager,
    out: *mut *mut ACameraIdList,
) -> camera_status_t {
    let mut ids: Vec<_> = WORLD
        .lock()
        .unwrap()
        .cameras
        .iter()
        .map(|id| id.as_ptr())
        .collect();
    let list = ACameraIdList {
        numCameras: ids.len() as c_int,
        cameraIds: ids.as_mut_ptr(),
    };
    let ids = Box::into_raw(Box::new(Ids { list, _ids: ids }));
    WORLD.lock().unwrap().live += 1;
    unsafe { *out = &raw mut (*ids).list };
    OK
}
#[unsafe(no_mangle)]
unsafe extern "C" fn ACameraManager_deleteCameraIdList(it: *mut ACameraIdList) {
    WORLD.lock().unwrap().live -= 1;
    // The list is the first field of what was made.
    drop(unsafe { Box::from_raw(it.byte_sub(mem::offset_of!(Ids, list)).cast::<Ids>()) });
}
#[unsafe(no_mangle)]
unsafe extern "C" fn ACameraManager_getCameraCharacteristics(
    _: *mut ACameraManager,
    id: *const c_char,
    out: *mut *mut ACameraMetadata,
) -> camera_status_t {
    WORLD.lock().unwrap().live += 1;
    let back = unsafe { CStr::from_ptr(id) } == c"0";
    unsafe { *out = Box::into_raw(Box::new(u64::from(back))).cast() };
    OK
}
#[unsafe(no_mangle)]
unsafe extern "C" fn ACameraMetadata_getConstEntry(
    all: *const ACameraMetadata,
    tag: u32,
    entry: *mut ACameraMetadata_const_entry,
) -> camera_status_t {
    let back = unsafe { *all.cast::<u64>() } == 1;
    let world = WORLD.lock().unwrap();
    let bytes = |values: &'static [u8]| unsafe {
        (*entry).type_ = ACAMERA_TYPE_BYTE as u8;
        (*entry).count = values.len() as u32;
        (*entry).data.u8_ = values.as_ptr();
    };
    let tag = acamera_metadata_tag(tag);
    if tag == acamera_metadata_tag::ACAMERA_LENS_FACING {
        bytes(if back { &BACK } else { &FRONT });
    } else if tag == acamera_metadata_tag::ACAMERA_FLASH_INFO_AVAILABLE {
        bytes(if world.has_lamp == 1 { &LAMP } else { &NO_LAMP });
    } else if tag == acamera_metadata_tag::ACAMERA_CONTROL_AF_AVAILABLE_MODES {
        bytes(&FOCUS);
    } else {
        let values: &'static [i32] = if tag == acamera_metadata_tag::ACAMERA_SENSOR_ORIENTATION {
            if world.sensor_degrees == 90 {
                &QUARTER
            } else {
                &NONE
            }
        } else {
            assert!(tag == acamera_metadata_tag::ACAMERA_SCALER_AVAILABLE_STREAM_CONFIGURATIONS);
            &STREAMS
        };
        unsafe {
            (*entry).type_ = ACAMERA_TYPE_INT32 as u8;
            (*entry).count = values.len() as u32;
            (*entry).data.i32_ = values.as_ptr();
        }
    }
    OK
}
#[unsafe(no_mangle)]
extern "C" fn ACameraMetadata_free(it: *mut ACameraMetadata) {
    given_back(it)
}
#[unsafe(no_mangle)]
unsafe extern "C" fn ACameraManager_openCamera(
    _: *mut ACameraManager,
    id: *const c_char,
    callbacks: *mut ACameraDevice_StateCallbacks,
    out: *mut *mut ACameraDevice,
) -> camera_status_t {
    let callbacks = unsafe { &*callbacks };
    assert!(callbacks.onError.is_some());
    log(format!(
        "open {}",
        unsafe { CStr::from_ptr(id) }.to_str().unwrap()
    ));
    let opens = WORLD.lock().unwrap().opens;
    if opens == OK {
        let gone = callbacks.onDisconnected.unwrap() as usize;
        WORLD.lock().unwrap().device = Some((gone, callbacks.context as usize));
        unsafe { *out = made() };
    }
    opens
}
#[unsafe(no_mangle)]
extern "C" fn ACameraDevice_close(it: *mut ACameraDevice) -> camera_status_t {
    log("close the camera".to_owned());
    given_back(it);
    OK
}

#[unsafe(no_mangle)]
unsafe extern "C" fn ACaptureSessionOutputContainer_create(
    out: *mut *mut ACaptureSessionOutputContainer,
) -> camera_status_t {
    unsafe { *out = made() };
    OK
}
#[unsafe(no_mangle)]
extern "C" fn ACaptureSessionOutputContainer_add(
    _: *mut ACaptureSessionOutputContainer,
    _: *const ACaptureSessionOutput,
) -> camera_status_t {
    log("add an output".to_owned());
    OK
}
#[unsafe(no_mangle)]
extern "C" fn ACaptureSessionOutputContainer_free(it: *mut ACaptureSessionOutputContainer) {
    given_back(it)
}
#[unsafe(no_mangle)]
unsafe extern "C" fn ACaptureSessionOutput_create(
    _: *mut ANativeWindow,
    out: *mut *mut ACaptureSessionOutput,
) -> camera_status_t {
    unsafe { *out = made() };
    OK
}
#[unsafe(no_mangle)]
extern "C" fn ACaptureSessionOutput_free(it: *mut ACaptureSessionOutput) {
    given_back(it)
}

/// A target keeps the reader it draws on.
#[unsafe(no_mangle)]
unsafe extern "C" fn ACameraOutputTarget_create(
    window: *mut ANativeWindow,
    out: *mut *mut ACameraOutputTarget,
) -> camera_status_t {
    WORLD.lock().unwrap().live += 1;
    unsafe { *out = Box::into_raw(Box::new(window as u64)).cast() };
    OK
}
#[unsafe(no_mangle)]
extern "C" fn ACameraOutputTarget_free(it: *mut ACameraOutputTarget) {
    given_back(it)
}
#[unsafe(no_mangle)]
unsafe extern "C" fn ACameraDevice_createCaptureRequest(
    _: *const ACameraDevice,
    template: ACameraDevice_request_template,
    out: *mut *mut ACaptureRequest,
) -> camera_status_t {
    log(format!("request {}", template.0));
    unsafe { *out = made() };
    OK
}
/// A request keeps the reader of its target.
#[unsafe(no_mangle)]
unsafe extern "C" fn ACaptureRequest_addTarget(
    request: *mut ACaptureRequest,
    target: *const ACameraOutputTarget,
) -> camera_status_t {
    unsafe { *request.cast::<u64>() = *target.cast::<u64>() };
    OK
}
#[unsafe(no_mangle)]
unsafe extern "C" fn ACaptureRequest_setEntry_u8(
    _: *mut ACaptureRequest,
    tag: u32,
    count: u32,
    data: *const u8,
) -> camera_status_t {
    assert_eq!(count, 1);
    let name = match acamera_metadata_tag(tag) {
        acamera_metadata_tag::ACAMERA_CONTROL_AF_MODE => "focus",
        acamera_metadata_tag::ACAMERA_FLASH_MODE => "lamp",
        _ => "unknown",
    };
    log(format!("set {name} {}", unsafe { *data }));
    OK
}
#[unsafe(no_mangle)]
unsafe extern "C" fn ACaptureRequest_setEntry_i32(
    _: *mut ACaptureRequest,
    tag: u32,
    count: u32,
    data: *const i32,
) -> camera_status_t {
    assert_eq!(count, 1);
    assert_eq!(tag, acamera_metadata_tag::ACAMERA_JPEG_ORIENTATION.0);
    log(format!("turn {}", unsafe { *data }));
    OK
}
#[unsafe(no_mangle)]
extern "C" fn ACaptureRequest_free(it: *mut ACaptureRequest) {
    given_back(it)
}
#[unsafe(no_mangle)]
unsafe extern "C" fn ACameraDevice_createCaptureSession(
    _: *mut ACameraDevice,
    _: *const ACaptureSessionOutputContainer,
    callbacks: *const ACameraCaptureSession_stateCallbacks,
    out: *mut *mut ACameraCaptureSession,
) -> camera_status_t {
    let callbacks = unsafe { &*callbacks };
    // The system calls all three without looking.
    assert!(callbacks.onClosed.is_some());
    assert!(callbacks.onReady.is_some() && callbacks.onActive.is_some());
    unsafe { *out = made() };
    OK
}

/// Has the reader behind a request hear of a picture, on another thread.
unsafe fn give(requests: *mut *mut ACaptureRequest) {
    if !WORLD.lock().unwrap().gives {
        return;
    }
    let reader = unsafe { *(*requests).cast::<u64>() } as usize;
    thread::spawn(move || {
        let it = unsafe { &*(reader as *const Reader) };
        let heard = it.listener.onImageAvailable.unwrap();
        unsafe { heard(it.listener.context, reader as *mut AImageReader) };
    })
    .join()
    .unwrap();
}

#[unsafe(no_mangle)]
unsafe extern "C" fn ACameraCaptureSession_setRepeatingRequest(
    _: *mut ACameraCaptureSession,
    _: *mut ACameraCaptureSession_captureCallbacks,
    count: c_int,
    requests: *mut *mut ACaptureRequest,
    _: *mut c_int,
) -> camera_status_t {
    assert_eq!(count, 1);
    log("repeat".to_owned());
    unsafe { give(requests) };
    OK
}
#[unsafe(no_mangle)]
unsafe extern "C" fn ACameraCaptureSession_capture(
    _: *mut ACameraCaptureSession,
    _: *mut ACameraCaptureSession_captureCallbacks,
    count: c_int,
    requests: *mut *mut ACaptureRequest,
    _: *mut c_int,
) -> camera_status_t {
    assert_eq!(count, 1);
    log("capture".to_owned());
    unsafe { give(requests) };
    OK
}
#[unsafe(no_mangle)]
extern "C" fn ACameraCaptureSession_stopRepeating(
    _: *mut ACameraCaptureSession,
) -> camera_status_t {
    log("stop".to_owned());
    OK
}
#[unsafe(no_mangle)]
extern "C" fn ACameraCaptureSession_close(it: *mut ACameraCaptureSession) {
    log("close the session".to_owned());
    given_back(it)
}
