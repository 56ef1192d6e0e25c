//! Grey pixels.

use crate::say;
use thiserror::Error;

/// A picture as brightness alone: one byte for each pixel, 0 black, row by row from the top left,
/// no padding.
#[derive(Clone, PartialEq, Eq)]
pub struct Luma {
    width: u32,
    height: u32,
    data: Vec<u8>,
}

/// Pixels that do not make up the picture they claim to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[error("{}", say!(
    "the camera gave {bytes} bytes for a frame of {width} by {height} pixels, which needs {width} times {height}: restart the camera, or choose a picture file instead",
    bytes,
    width,
    height
))]
pub struct LumaError {
    width: u32,
    height: u32,
    bytes: usize,
}

impl Luma {
    /// The picture of `width` by `height` pixels in `data`. Both at least 1.
    pub fn new(width: u32, height: u32, data: Vec<u8>) -> Result<Self, LumaError> {
        let pixels = u64::from(width) * u64::from(height);
        if pixels == 0 || pixels != data.len() as u64 {
            return Err(LumaError {
                width,
                height,
                bytes: data.len(),
            });
        }
        Ok(Self {
            width,
            height,
            data,
        })
    }

    /// The picture of `width` by `height` pixels (at least 1 each) whose brightness at column
    /// `x` and row `y` is `at(x, y)`.
    pub fn from_fn(width: u32, height: u32, mut at: impl FnMut(u32, u32) -> u8) -> Self {
        let (width, height) = (width.max(1), height.max(1));
        let mut data = Vec::with_capacity(width as usize * height as usize);
        for y in 0..height {
            data.extend((0..width).map(|x| at(x, y)));
        }
        Self {
            width,
            height,
            data,
        }
    }

    /// Pixels in a row.
    pub const fn width(&self) -> u32 {
        self.width
    }

    /// Rows.
    pub const fn height(&self) -> u32 {
        self.height
    }

    /// The pixels, row by row.
    pub fn data(&self) -> &[u8] {
        &self.data
    }

    /// Number of pixels.
    pub fn pixels(&self) -> usize {
        self.data.len()
    }

    /// Row `y`; empty below the last.
    pub fn row(&self, y: u32) -> &[u8] {
        let width = self.width as usize;
        self.data
            .chunks_exact(width)
            .nth(y as usize)
            .unwrap_or_default()
    }

    /// Brightness at column `x` and row `y`, the edge pixels going on for ever outside.
    pub fn at(&self, x: i64, y: i64) -> u8 {
        let x = x.clamp(0, i64::from(self.width) - 1);
        let y = y.clamp(0, i64::from(self.height) - 1);
        let index = y * i64::from(self.width) + x;
        usize::try_from(index)
            .ok()
            .and_then(|i| self.data.get(i))
            .copied()
            .unwrap_or_default()
    }

    /// The picture of `width` by `height` pixels in `data`, which the caller made to fit.
    pub(super) fn made_to_fit(width: u32, height: u32, data: Vec<u8>) -> Self {
        debug_assert_eq!(u64::from(width) * u64::from(height), data.len() as u64);
        Self {
            width,
            height,
            data,
        }
    }

    pub(super) fn map(&self, change: impl Fn(u8) -> u8) -> Self {
        let data = self.data.iter().map(|&value| change(value)).collect();
        Self::made_to_fit(self.width, self.height, data)
    }
}

impl std::fmt::Debug for Luma {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Luma({} x {})", self.width, self.height)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pixels_that_do_not_fill_the_frame_are_refused() {
        assert!(Luma::new(3, 2, vec![0; 6]).is_ok());
        assert!(Luma::new(3, 2, vec![0; 5]).is_err());
        assert!(Luma::new(0, 2, vec![]).is_err());
        assert!(Luma::new(u32::MAX, u32::MAX, vec![0; 1]).is_err());
    }

    #[test]
    fn the_edge_goes_on_outside() {
        let luma = Luma::from_fn(3, 2, |x, y| (10 * y + x) as u8);
        assert_eq!(luma.at(-5, 0), 0);
        assert_eq!(luma.at(9, 9), 12);
        assert_eq!(luma.row(1), [10, 11, 12]);
        assert!(luma.row(2).is_empty());
    }
}
