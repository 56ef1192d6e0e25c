//! Images from the system's threads to whoever waits for them.

use super::owned::{Owned, Trouble, done};
use ndk_sys::*;
use std::{
    ffi::{c_int, c_void},
    ptr, slice,
    sync::mpsc::{self, Receiver, SyncSender},
    time::Duration,
};

/// Images a reader holds at most: one being filled, one waiting, one being copied.
const MOST_IMAGES: i32 = 3;

/// The brightness of one frame, as the sensor lies.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Grey {
    /// Pixels in a row.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Row after row, without gaps.
    pub pixels: Vec<u8>,
}

/// What a reader's listener and the device's callbacks are given. They run on threads of the system.
pub(super) struct Ears<T> {
    tell: SyncSender<Result<T, Trouble>>,
}

impl<T> Ears<T> {
    pub(super) fn new() -> (Box<Self>, Receiver<Result<T, Trouble>>) {
        // Room for one: a second one waiting would only grow old.
        let (tell, told) = mpsc::sync_channel(1);
        (Box::new(Self { tell }), told)
    }

    pub(super) fn context(&self) -> *mut c_void {
        ptr::from_ref(self).cast_mut().cast()
    }
}

/// One reader of images with the surface the camera draws on.
///
/// Fields are dropped in their order: first what others hold on to.
pub(super) struct Outlet<T> {
    pub(super) target: Owned<ACameraOutputTarget>,
    pub(super) output: Owned<ACaptureSessionOutput>,
    _reader: Owned<AImageReader>,
    _ears: Box<Ears<T>>,
    images: Receiver<Result<T, Trouble>>,
}

type Listener = unsafe extern "C" fn(*mut c_void, *mut AImageReader);

impl<T> Outlet<T> {
    pub(super) fn new(
        size: (i32, i32),
        format: AIMAGE_FORMATS,
        listener: Listener,
    ) -> Result<Self, Trouble> {
        let (ears, images) = Ears::new();
        let reader = Owned::new("a reader", close_reader, |reader| unsafe {
            AImageReader_new(size.0, size.1, format.0 as i32, MOST_IMAGES, reader).0
        })?;
        let mut listening = AImageReader_ImageListener {
            context: ears.context(),
            onImageAvailable: Some(listener),
        };
        let mut window = ptr::null_mut();
        unsafe {
            done(
                "listening to a reader",
                AImageReader_setImageListener(reader.it, &mut listening).0,
            )?;
            // The reader's own: not to be given back.
            done(
                "a reader's surface",
                AImageReader_getWindow(reader.it, &mut window).0,
            )?;
        }
        let output = Owned::new(
            "an output",
            |it| unsafe { ACaptureSessionOutput_free(it) },
            |it| unsafe { ACaptureSessionOutput_create(window.cast(), it).0 },
        )?;
        let target = Owned::new(
            "a target",
            |it| unsafe { ACameraOutputTarget_free(it) },
            |it| unsafe { ACameraOutputTarget_create(window.cast(), it).0 },
        )?;
        Ok(Self {
            target,
            output,
            _reader: reader,
            _ears: ears,
            images,
        })
    }

    pub(super) fn next(&self, patience: Duration) -> Result<T, Trouble> {
        match self.images.recv_timeout(patience) {
            Ok(image) => image,
            Err(_) => Err(Trouble::Late),
        }
    }
}

fn close_reader(reader: *mut AImageReader) {
    unsafe {
        // Nobody may call the listener while what it is given goes away.
        AImageReader_setImageListener(reader, ptr::null_mut());
        AImageReader_delete(reader);
    }
}

/// Tells whoever waits, unless something waits there already.
unsafe fn tell<T>(context: *mut c_void, news: Result<T, Trouble>) {
    // What `Ears::context` gave, and it outlives every callback: it is dropped after who calls them.
    let ears = unsafe { &*context.cast::<Ears<T>>() };
    let _ = ears.tell.try_send(news);
}

pub(super) unsafe extern "C" fn on_device_gone(context: *mut c_void, _: *mut ACameraDevice) {
    unsafe { tell::<()>(context, Err(Trouble::Lost)) }
}

pub(super) unsafe extern "C" fn on_device_error(
    context: *mut c_void,
    _: *mut ACameraDevice,
    code: c_int,
) {
    let step = "to go on";
    unsafe { tell::<()>(context, Err(Trouble::Refused { step, code })) }
}

pub(super) unsafe extern "C" fn on_frame(context: *mut c_void, reader: *mut AImageReader) {
    if let Some(image) = unsafe { latest(reader) } {
        unsafe { tell(context, grey(&image)) }
    }
}

pub(super) unsafe extern "C" fn on_still(context: *mut c_void, reader: *mut AImageReader) {
    if let Some(image) = unsafe { latest(reader) } {
        unsafe { tell(context, plane(&image).map(<[u8]>::to_vec)) }
    }
}

/// The newest image; none where another call has taken it.
unsafe fn latest(reader: *mut AImageReader) -> Option<Owned<AImage>> {
    Owned::new(
        "an image",
        |it| unsafe { AImage_delete(it) },
        |it| unsafe { AImageReader_acquireLatestImage(reader, it).0 },
    )
    .ok()
}

/// The bytes of an image's first plane: the brightness of YUV_420_888, all of a JPEG.
fn plane(image: &Owned<AImage>) -> Result<&[u8], Trouble> {
    let (mut bytes, mut length) = (ptr::null_mut(), 0);
    done("an image's bytes", unsafe {
        AImage_getPlaneData(image.it, 0, &mut bytes, &mut length).0
    })?;
    match usize::try_from(length) {
        // They belong to the image and are there as long as it is.
        Ok(length) if !bytes.is_null() => Ok(unsafe { slice::from_raw_parts(bytes, length) }),
        _ => Err(Trouble::Late),
    }
}

fn grey(image: &Owned<AImage>) -> Result<Grey, Trouble> {
    let ask = |step, ask: unsafe extern "C" fn(*const AImage, *mut i32) -> media_status_t| {
        let mut number = 0;
        done(step, unsafe { ask(image.it, &mut number).0 })?;
        u32::try_from(number).map_err(|_| Trouble::NoSize)
    };
    let ask_plane =
        |step, ask: unsafe extern "C" fn(*const AImage, c_int, *mut i32) -> media_status_t| {
            let mut number = 0;
            done(step, unsafe { ask(image.it, 0, &mut number).0 })?;
            usize::try_from(number).map_err(|_| Trouble::NoSize)
        };
    let (width, height) = (
        ask("a width", AImage_getWidth)?,
        ask("a height", AImage_getHeight)?,
    );
    let (row, pixel) = (
        ask_plane("a row's length", AImage_getPlaneRowStride)?,
        ask_plane("a pixel's length", AImage_getPlanePixelStride)?,
    );
    without_gaps(plane(image)?, (width, height), (row, pixel)).ok_or(Trouble::NoSize)
}

/// The pixels of a plane whose rows lie `row` bytes and whose pixels lie `pixel` bytes apart; none where the bytes don't
/// hold them. The last row may end with its last pixel.
fn without_gaps(
    bytes: &[u8],
    (width, height): (u32, u32),
    (row, pixel): (usize, usize),
) -> Option<Grey> {
    let (columns, rows) = (usize::try_from(width).ok()?, usize::try_from(height).ok()?);
    let in_row = columns.checked_sub(1)?.checked_mul(pixel)?.checked_add(1)?;
    let mut pixels = Vec::with_capacity(columns.checked_mul(rows)?);
    for y in 0..rows {
        let start = y.checked_mul(row)?;
        let line = bytes.get(start..start.checked_add(in_row)?)?;
        pixels.extend(line.iter().step_by(pixel.max(1)));
    }
    (pixels.len() == columns * rows).then_some(Grey {
        width,
        height,
        pixels,
    })
}
