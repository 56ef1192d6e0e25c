//! Stand-ins of the functions for images.

use super::{JPEG, WORLD, log};
use ndk_sys::*;
use std::{ffi::c_int, mem, ptr};

const MEDIA_OK: media_status_t = media_status_t::AMEDIA_OK;

pub struct Reader {
    width: i32,
    height: i32,
    format: i32,
    pub listener: AImageReader_ImageListener,
}

#[unsafe(no_mangle)]
unsafe extern "C" fn AImageReader_new(
    width: i32,
    height: i32,
    format: i32,
    most: i32,
    out: *mut *mut AImageReader,
) -> media_status_t {
    // acquireLatestImage needs room for two.
    assert!(most >= 2);
    log(format!("reader {format:#x} {width} x {height}"));
    WORLD.lock().unwrap().live += 1;
    let listener = unsafe { mem::zeroed() };
    let reader = Reader {
        width,
        height,
        format,
        listener,
    };
    unsafe { *out = Box::into_raw(Box::new(reader)).cast() };
    MEDIA_OK
}
#[unsafe(no_mangle)]
unsafe extern "C" fn AImageReader_setImageListener(
    reader: *mut AImageReader,
    listener: *mut AImageReader_ImageListener,
) -> media_status_t {
    let reader = unsafe { &mut *reader.cast::<Reader>() };
    reader.listener = if listener.is_null() {
        unsafe { mem::zeroed() }
    } else {
        unsafe { ptr::read(listener) }
    };
    MEDIA_OK
}
#[unsafe(no_mangle)]
unsafe extern "C" fn AImageReader_getWindow(
    reader: *mut AImageReader,
    out: *mut *mut ANativeWindow,
) -> media_status_t {
    unsafe { *out = reader.cast() };
    MEDIA_OK
}
#[unsafe(no_mangle)]
unsafe extern "C" fn AImageReader_delete(it: *mut AImageReader) {
    let reader = unsafe { Box::from_raw(it.cast::<Reader>()) };
    assert!(
        reader.listener.onImageAvailable.is_none(),
        "still listening"
    );
    WORLD.lock().unwrap().live -= 1;
}

struct Image {
    width: i32,
    height: i32,
    stride: i32,
    bytes: Vec<u8>,
}

#[unsafe(no_mangle)]
unsafe extern "C" fn AImageReader_acquireLatestImage(
    reader: *mut AImageReader,
    out: *mut *mut AImage,
) -> media_status_t {
    let reader = unsafe { &*reader.cast::<Reader>() };
    let (width, height) = (reader.width, reader.height);
    let stride = width + 16;
    let bytes = if reader.format == JPEG {
        b"a jpeg".to_vec()
    } else {
        let pixel = |x, y| if x < width { (x ^ y) as u8 } else { 0xEE };
        let rows = (0..height).flat_map(|y| (0..stride).map(move |x| pixel(x, y)));
        // The padding of the last row is not there.
        rows.take((stride * height - 16) as usize).collect()
    };
    WORLD.lock().unwrap().live += 1;
    let image = Image {
        width,
        height,
        stride,
        bytes,
    };
    unsafe { *out = Box::into_raw(Box::new(image)).cast() };
    MEDIA_OK
}
unsafe fn image<'a>(it: *const AImage) -> &'a mut Image {
    unsafe { &mut *it.cast_mut().cast::<Image>() }
}
#[unsafe(no_mangle)]
unsafe extern "C" fn AImage_getWidth(it: *const AImage, out: *mut i32) -> media_status_t {
    unsafe { *out = image(it).width };
    MEDIA_OK
}
#[unsafe(no_mangle)]
unsafe extern "C" fn AImage_getHeight(it: *const AImage, out: *mut i32) -> media_status_t {
    unsafe { *out = image(it).height };
    MEDIA_OK
}
#[unsafe(no_mangle)]
unsafe extern "C" fn AImage_getPlaneRowStride(
    it: *const AImage,
    plane: c_int,
    out: *mut i32,
) -> media_status_t {
    assert_eq!(plane, 0);
    unsafe { *out = image(it).stride };
    MEDIA_OK
}
#[unsafe(no_mangle)]
unsafe extern "C" fn AImage_getPlanePixelStride(
    _: *const AImage,
    plane: c_int,
    out: *mut i32,
) -> media_status_t {
    assert_eq!(plane, 0);
    unsafe { *out = 1 };
    MEDIA_OK
}
#[unsafe(no_mangle)]
unsafe extern "C" fn AImage_getPlaneData(
    it: *const AImage,
    plane: c_int,
    data: *mut *mut u8,
    length: *mut c_int,
) -> media_status_t {
    assert_eq!(plane, 0);
    let bytes = unsafe { &mut image(it).bytes };
    unsafe {
        *data = bytes.as_mut_ptr();
        *length = bytes.len() as c_int;
    }
    MEDIA_OK
}
#[unsafe(no_mangle)]
unsafe extern "C" fn AImage_delete(it: *mut AImage) {
    WORLD.lock().unwrap().live -= 1;
    drop(unsafe { Box::from_raw(it.cast::<Image>()) });
}
