//! The computer's camera, by the Linux kernel's video interface.
//!
//! Written against the kernel's media documentation and compiled in every check, but not tried on a device: where it
//! was written there is none. What is tested is what it is made of: the layouts of pixels ([`super::pixels`]), the
//! watch ([`super::live`]) and the search for cameras in made-up folders.

use crate::say;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::time::Duration;
use std::{env, fs, thread};

use linuxvideo::format::{PixFormat, PixelFormat};
use linuxvideo::stream::ReadStream;
use linuxvideo::{BufType, CapabilityFlags, Device};

use super::pixels::{Format, Layout, PixelError};
use super::{CameraError, Frame, FrameSource};

/// Names the camera to use, in whole or in part, where there are several.
pub const CHOICE: &str = "LANTERN_RING_CAMERA";

/// The size asked for, px; the driver gives the nearest it has. A tag at arm's length has enough pixels a module in it.
const SIZE: (u32, u32) = (1280, 720);

/// Layouts that can be read, the one that gives most frames a second over USB first.
const LAYOUTS: [(PixelFormat, Layout); 5] = [
    (PixelFormat::MJPG, Layout::Mjpeg),
    (PixelFormat::JPEG, Layout::Mjpeg),
    (PixelFormat::YUYV, Layout::Yuyv),
    (PixelFormat::from_fourcc(*b"NV12"), Layout::Nv12),
    (PixelFormat::from_fourcc(*b"GREY"), Layout::Grey),
];

/// Waiting for a frame is done in naps, so that a camera that gives none is noticed.
const NAP: Duration = Duration::from_millis(4);
const MOST_NAPS: u32 = 1250;

/// Whether there is a camera. One that may not be used counts: opening it then says so.
pub fn is_there() -> bool {
    !cameras(Path::new("/sys/class/video4linux"), Path::new("/dev")).is_empty()
}

/// Opens the camera that the environment variable [`CHOICE`] names, or the first.
///
/// # Errors
/// Where there is none, it is in use or may not be used, or gives no layout that is known here.
pub fn open() -> Result<Box<dyn FrameSource>, CameraError> {
    let wanted = env::var(CHOICE).ok().filter(|name| !name.is_empty());
    Ok(Box::new(DesktopCamera::open(wanted.as_deref())?))
}

/// A camera giving frames.
pub struct DesktopCamera {
    name: String,
    format: Format,
    stream: Option<ReadStream>,
}

impl DesktopCamera {
    /// The first camera whose name holds `wanted`; without it the first.
    ///
    /// # Errors
    /// As for [`open`].
    pub fn open(wanted: Option<&str>) -> Result<Self, CameraError> {
        let cameras = cameras(Path::new("/sys/class/video4linux"), Path::new("/dev"));
        let chosen = cameras
            .into_iter()
            .find(|camera| wanted.is_none_or(|wanted| camera.name.contains(wanted)));
        let Some(Camera { name, node }) = chosen else {
            return Err(CameraError::NoCamera {
                wanted: wanted.map_or(
                    say!("no camera … was found" => "at all").to_owned(),
                    |name| say!("no camera … was found" => "named '{name}'", name),
                ),
            });
        };
        let failed = |source| CameraError::Device {
            camera: name.clone(),
            source,
        };
        let device = Device::open(&node).map_err(failed)?;
        let pixels = readable(&device).ok_or_else(|| CameraError::Layout {
            camera: name.clone(),
            layout: offered(&device),
        })?;
        let capture = device
            .video_capture(PixFormat::new(SIZE.0, SIZE.1, pixels))
            .map_err(failed)?;
        // The driver may have changed everything that was asked for.
        let given = capture.format();
        let layout = layout_of(given.pixel_format()).ok_or_else(|| CameraError::Layout {
            camera: name.clone(),
            layout: given.pixel_format().to_string(),
        })?;
        let format = Format {
            layout,
            width: given.width(),
            height: given.height(),
            stride: given.bytes_per_line(),
        };
        let stream = Some(capture.into_stream().map_err(failed)?);
        Ok(Self {
            name,
            format,
            stream,
        })
    }
}

impl FrameSource for DesktopCamera {
    fn next_frame(&mut self) -> Result<Option<Frame>, CameraError> {
        let Some(stream) = &mut self.stream else {
            return Ok(None);
        };
        let bytes = match next_bytes(stream) {
            Ok(bytes) => bytes.ok_or(PixelError::Damaged)?,
            Err(error) => {
                self.stop();
                return Err(match error.kind() {
                    ErrorKind::TimedOut => CameraError::NoFrames,
                    _ => CameraError::Device {
                        camera: self.name.clone(),
                        source: error,
                    },
                });
            }
        };
        let (luma, preview) = self.format.picture(&bytes)?;
        Ok(Some(Frame {
            luma,
            preview,
            origin: self.name.clone(),
        }))
    }

    fn stop(&mut self) {
        self.stream = None;
    }
}

/// The bytes of the next frame; none of one the driver calls damaged. Copied, so that the driver has its buffer back
/// while they are worked on.
fn next_bytes(stream: &mut ReadStream) -> io::Result<Option<Vec<u8>>> {
    let mut naps = 0;
    while stream.will_block()? {
        if naps == MOST_NAPS {
            return Err(ErrorKind::TimedOut.into());
        }
        naps += 1;
        thread::sleep(NAP);
    }
    stream.dequeue(|frame| Ok((!frame.is_error()).then(|| frame.to_vec())))
}

/// A camera and where to open it.
#[derive(Debug, PartialEq, Eq)]
struct Camera {
    name: String,
    node: PathBuf,
}

/// The cameras that the system lists in the folder `listed`, in the order of their numbers, their device files being in
/// `nodes`.
fn cameras(listed: &Path, nodes: &Path) -> Vec<Camera> {
    let Ok(entries) = fs::read_dir(listed) else {
        return Vec::new();
    };
    let mut found: Vec<(u32, Camera)> = entries
        .flatten()
        .filter_map(|entry| {
            let file = entry.file_name();
            let number = file.to_str()?.strip_prefix("video")?.parse().ok()?;
            let name = fs::read(entry.path().join("name")).ok()?;
            let node = nodes.join(&file);
            let name = String::from_utf8_lossy(&name).trim().to_owned();
            is_camera(&node).then_some((number, Camera { name, node }))
        })
        .collect();
    found.sort_by_key(|(number, _)| *number);
    found.into_iter().map(|(_, camera)| camera).collect()
}

/// Whether it gives pictures that can be read. A camera has further files, for metadata, that give none; one that may
/// not be opened can't be asked and is taken for a camera.
fn is_camera(node: &Path) -> bool {
    let device = match Device::open(node) {
        Ok(device) => device,
        Err(error) => return error.kind() == ErrorKind::PermissionDenied,
    };
    let needed = CapabilityFlags::VIDEO_CAPTURE | CapabilityFlags::STREAMING;
    device
        .capabilities()
        .is_ok_and(|able| able.device_capabilities().contains(needed))
        && readable(&device).is_some()
}

fn readable(device: &Device) -> Option<PixelFormat> {
    let offered: Vec<_> = formats(device).collect();
    LAYOUTS
        .iter()
        .map(|(pixels, _)| *pixels)
        .find(|pixels| offered.contains(pixels))
}

fn offered(device: &Device) -> String {
    let names: Vec<_> = formats(device).map(|pixels| pixels.to_string()).collect();
    names.join(", ")
}

fn formats(device: &Device) -> impl Iterator<Item = PixelFormat> {
    device
        .formats(BufType::VIDEO_CAPTURE)
        .map_while(Result::ok)
        .map(|format| format.pixel_format())
}

fn layout_of(pixels: PixelFormat) -> Option<Layout> {
    LAYOUTS
        .iter()
        .find(|(known, _)| *known == pixels)
        .map(|(_, layout)| *layout)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_camera_is_not_taken_for_one() {
        let folder = tempfile::tempdir().unwrap();
        for device in ["video0", "video10", "radio0"] {
            let listed = folder.path().join(device);
            fs::create_dir(&listed).unwrap();
            fs::write(listed.join("name"), "Made-up camera\n").unwrap();
        }
        let nodes = tempfile::tempdir().unwrap();
        fs::write(nodes.path().join("video0"), "a file is no device").unwrap();
        assert_eq!(cameras(folder.path(), nodes.path()), []);
        assert_eq!(cameras(&folder.path().join("none"), nodes.path()), []);
    }

    #[test]
    fn a_camera_that_is_not_there_is_told_by_the_name_asked_for() {
        let error = DesktopCamera::open(Some("no camera bears this name"));
        let words = error.err().unwrap().to_string();
        assert!(words.contains("no camera bears this name"), "{words}");
    }

    #[test]
    fn every_known_layout_is_found_by_its_letters() {
        for (pixels, layout) in LAYOUTS {
            assert_eq!(layout_of(pixels), Some(layout));
        }
        assert_eq!(layout_of(PixelFormat::UVC), None);
    }
}
