//! Where frames come from.
//!
//! A [`FrameSource`] gives one frame after another; the reading of tags does not care whether a
//! lens or a file is behind it. Device cameras are to be further implementations of the trait.

mod folder;

use image::RgbImage;
use thiserror::Error;

use crate::tag::Luma;
use crate::tag::luma::LumaError;
use crate::tag::read::ReadError;

pub use folder::FolderOfImages;

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
    #[error("'{path}' could not be read ({source}): check that it is there and may be opened")]
    File {
        /// The file or folder.
        path: String,
        /// What the system said.
        source: std::io::Error,
    },
    /// A folder has no pictures.
    #[error("the folder '{path}' holds no PNG, JPEG, WebP or BMP picture: choose another folder")]
    NoPictures {
        /// The folder.
        path: String,
    },
    /// A file is no picture that can be used.
    #[error("'{path}': {source}")]
    Picture {
        /// The file.
        path: String,
        /// What is wrong with it.
        source: ReadError,
    },
    /// The device gave a frame that is none.
    #[error(transparent)]
    Frame(#[from] LumaError),
}
