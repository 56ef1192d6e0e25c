//! Where frames come from.
//!
//! A [`FrameSource`] gives one frame after another; the reading of tags does not care whether a
//! lens or a file is behind it. [`live`] watches one for codes; [`DEVICE`] is the device's own camera, where this build
//! has one (feature `desktop-camera`).

#[cfg(all(feature = "desktop-camera", target_os = "linux"))]
pub mod desktop;
mod folder;
pub mod live;
pub mod pixels;

use crate::say;
use image::RgbImage;
use pixels::PixelError;
use thiserror::Error;

use crate::tag::Luma;
use crate::tag::read::ReadError;

pub use folder::FolderOfImages;

/// Takes one picture, as a file's bytes.
pub type Still = fn() -> Result<Vec<u8>, CameraError>;

/// The camera of the device this runs on.
#[derive(Clone, Copy, Debug)]
pub struct Device {
    /// Whether one is there now. It may take its time.
    pub is_there: fn() -> bool,
    /// Opens it. It may take its time.
    pub open: fn() -> Result<Box<dyn FrameSource>, CameraError>,
    /// Takes one picture, as a file's bytes, where the camera has a way of its own for it; else a frame is taken. It may
    /// take its time.
    pub still: Option<Still>,
    /// Turns its lamp on or off, where it has one.
    pub set_lamp: Option<fn(bool)>,
}

/// The device's camera; none in a build that knows of none.
#[cfg(all(feature = "desktop-camera", target_os = "linux"))]
pub const DEVICE: Option<Device> = Some(Device {
    is_there: desktop::is_there,
    open: desktop::open,
    still: None,
    set_lamp: None,
});

/// The device's camera; none in a build that knows of none.
#[cfg(not(all(feature = "desktop-camera", target_os = "linux")))]
pub const DEVICE: Option<Device> = None;

/// One picture from a source.
#[derive(Clone, Debug)]
pub struct Frame {
    /// The brightness, for reading codes.
    pub luma: Luma,
    /// The colours, for showing, where the source has them. Of the same size or smaller.
    pub preview: Option<RgbImage>,
    /// Where it is from, for messages: a file name or the camera's name.
    pub origin: String,
}

/// Something that gives frames.
pub trait FrameSource: Send {
    /// The next frame; none when there will be no more. An error is of one frame only: the next
    /// call goes on with the frame after it.
    fn next_frame(&mut self) -> Result<Option<Frame>, CameraError>;

    /// Lets go of the device or the files. There are no frames afterwards. Idempotent.
    fn stop(&mut self);
}

/// Why there was no frame.
#[derive(Debug, Error)]
pub enum CameraError {
    /// A file or folder could not be read.
    #[error("{}", say!(
        "'{path}' could not be read ({source}): check that it is there and may be opened",
        path,
        source
    ))]
    File {
        /// The file or folder.
        path: String,
        /// What the system said.
        source: std::io::Error,
    },
    /// A folder has no pictures.
    #[error("{}", say!(
        "the folder '{path}' holds no PNG, JPEG, WebP or BMP picture: choose another folder",
        path
    ))]
    NoPictures {
        /// The folder.
        path: String,
    },
    /// A file is no picture that can be used.
    #[error("{}", say!("'{path}': {source}", path, source))]
    Picture {
        /// The file.
        path: String,
        /// What is wrong with it.
        source: ReadError,
    },
    /// The device gave a frame that is none.
    #[error(transparent)]
    Frame(#[from] PixelError),
    /// No camera, or none of that name.
    #[error("{}", say!(
        "no camera {wanted} was found: plug one in, or open a picture file or key in the short id instead",
        wanted
    ))]
    NoCamera {
        /// "at all", or the name.
        wanted: String,
    },
    /// The camera can't be used, or no longer.
    #[error("{}", say!(
        "the camera '{camera}' can't be used ({source}): plug it in again, close other programs that use it and see that you may use it, or open a picture file instead",
        camera,
        source
    ))]
    Device {
        /// Its name.
        camera: String,
        /// What the system said.
        source: std::io::Error,
    },
    /// The operator has not allowed it.
    #[error("{}", say!(
        "the camera may not be used: allow it in the system's settings for this app, or key in the short id or open a picture file instead"
    ))]
    NotAllowed,
    /// The camera has no layout of pixels that is known here.
    #[error("{}", say!(
        "the camera '{camera}' gives its pictures as {layout}, which can't be read here: use another camera, or open a picture file instead",
        camera,
        layout
    ))]
    Layout {
        /// Its name.
        camera: String,
        /// The layout's four letters.
        layout: String,
    },
    /// The camera stopped giving frames, or gave none.
    #[error("{}", say!(
        "the camera gives no pictures: plug it in again, or open a picture file instead"
    ))]
    NoFrames,
}
