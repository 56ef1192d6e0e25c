//! Frames from picture files.

use std::collections::VecDeque;
use std::fs;
use std::path::{Path, PathBuf};

use super::{CameraError, Frame, FrameSource};
use crate::tag::read::still;

const EXTENSIONS: [&str; 5] = ["png", "jpg", "jpeg", "webp", "bmp"];

/// A picture file, or the pictures of a folder in the order of their names; each is a frame once.
#[derive(Debug)]
pub struct FolderOfImages {
    left: VecDeque<PathBuf>,
}

impl FolderOfImages {
    /// The pictures at `path`, a file or a folder. A file is taken whatever its name; of a
    /// folder only files named as PNG, JPEG, WebP or BMP pictures, not those of its subfolders.
    pub fn open(path: &Path) -> Result<Self, CameraError> {
        let failed = |source| CameraError::File {
            path: path.display().to_string(),
            source,
        };
        if !fs::metadata(path).map_err(failed)?.is_dir() {
            return Ok(Self {
                left: VecDeque::from([path.to_path_buf()]),
            });
        }
        let mut pictures = Vec::new();
        for entry in fs::read_dir(path).map_err(failed)? {
            let file = entry.map_err(failed)?.path();
            if file.is_file() && is_picture(&file) {
                pictures.push(file);
            }
        }
        if pictures.is_empty() {
            return Err(CameraError::NoPictures {
                path: path.display().to_string(),
            });
        }
        pictures.sort();
        Ok(Self {
            left: pictures.into(),
        })
    }

    /// Pictures not yet given out.
    pub fn left(&self) -> usize {
        self.left.len()
    }
}

fn is_picture(file: &Path) -> bool {
    let extension = file
        .extension()
        .and_then(|e| e.to_str())
        .map(str::to_ascii_lowercase);
    extension.is_some_and(|e| EXTENSIONS.contains(&e.as_str()))
}

impl FrameSource for FolderOfImages {
    fn next_frame(&mut self) -> Result<Option<Frame>, CameraError> {
        self.left.pop_front().map(|file| frame(&file)).transpose()
    }

    fn stop(&mut self) {
        self.left.clear();
    }
}

fn frame(file: &Path) -> Result<Frame, CameraError> {
    let path = file.display().to_string();
    let picture = still::open(file).map_err(|error| match error {
        still::OpenError::File(source) => CameraError::File {
            path: path.clone(),
            source,
        },
        still::OpenError::Picture(source) => CameraError::Picture {
            path: path.clone(),
            source,
        },
    })?;
    let luma = still::luma(&picture);
    Ok(Frame {
        luma,
        preview: Some(picture.into_rgb8()),
        origin: path,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tag::draw;
    use crate::tag::read;

    #[test]
    fn a_folder_gives_its_pictures_in_order_and_then_no_more() {
        let folder = tempfile::tempdir().unwrap();
        for (name, text) in [("b.png", "SECOND"), ("a.PNG", "FIRST"), ("c.png", "THIRD")] {
            fs::write(folder.path().join(name), draw::png(text, 4).unwrap()).unwrap();
        }
        fs::write(folder.path().join("notes.txt"), "not a picture").unwrap();
        let mut source = FolderOfImages::open(folder.path()).unwrap();
        for text in ["FIRST", "SECOND", "THIRD"] {
            let frame = source.next_frame().unwrap().unwrap();
            assert_eq!(read::quick(&frame.luma)[0].text, text);
            assert_eq!(frame.preview.unwrap().dimensions().0, frame.luma.width());
        }
        assert!(source.next_frame().unwrap().is_none());
    }

    #[test]
    fn a_broken_picture_is_told_by_name_and_the_next_one_still_comes() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("a.png"), "not a picture at all").unwrap();
        fs::write(folder.path().join("b.png"), draw::png("GOOD", 4).unwrap()).unwrap();
        let mut source = FolderOfImages::open(folder.path()).unwrap();
        let error = source.next_frame().unwrap_err();
        assert!(error.to_string().contains("a.png"), "{error}");
        assert!(source.next_frame().unwrap().is_some());
    }

    #[test]
    fn a_stopped_source_gives_no_more_frames() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("tag");
        fs::write(&file, draw::png("GOOD", 4).unwrap()).unwrap();
        let mut source = FolderOfImages::open(&file).unwrap();
        assert_eq!(source.left(), 1);
        source.stop();
        source.stop();
        assert!(source.next_frame().unwrap().is_none());
    }

    #[test]
    fn a_missing_path_and_an_empty_folder_are_told_apart() {
        let folder = tempfile::tempdir().unwrap();
        let missing = FolderOfImages::open(&folder.path().join("none"));
        assert!(matches!(missing, Err(CameraError::File { .. })));
        let empty = FolderOfImages::open(folder.path());
        assert!(matches!(empty, Err(CameraError::NoPictures { .. })));
    }
}
