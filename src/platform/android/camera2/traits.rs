//! What a camera says of itself.

use super::owned::{Owned, Trouble};
use ndk_sys::*;
use std::{ffi::CStr, mem, slice};

pub(super) const CONTINUOUS: acamera_metadata_enum_acamera_control_af_mode =
    acamera_metadata_enum_acamera_control_af_mode::ACAMERA_CONTROL_AF_MODE_CONTINUOUS_PICTURE;

/// What a camera says of itself.
pub(super) struct Traits {
    pub(super) is_on_the_back: bool,
    pub(super) has_lamp: bool,
    pub(super) focuses_by_itself: bool,
    /// Clockwise turn that puts what the sensor sees upright on a device held upright, degrees.
    pub(super) sensor_degrees: i32,
    /// Four numbers each: format, width, height, and whether it is for input.
    streams: Vec<i32>,
}

impl Traits {
    pub(super) fn of(manager: &Owned<ACameraManager>, id: &CStr) -> Result<Self, Trouble> {
        let all = Owned::new(
            "what a camera can",
            |it| unsafe { ACameraMetadata_free(it) },
            |it| unsafe { ACameraManager_getCameraCharacteristics(manager.it, id.as_ptr(), it).0 },
        )?;
        let back = acamera_metadata_enum_acamera_lens_facing::ACAMERA_LENS_FACING_BACK.0 as u8;
        let bytes = |tag| bytes(&all, tag);
        let facing = bytes(acamera_metadata_tag::ACAMERA_LENS_FACING);
        let lamp = bytes(acamera_metadata_tag::ACAMERA_FLASH_INFO_AVAILABLE);
        let focus = bytes(acamera_metadata_tag::ACAMERA_CONTROL_AF_AVAILABLE_MODES);
        let turned = numbers(&all, acamera_metadata_tag::ACAMERA_SENSOR_ORIENTATION);
        let streams = acamera_metadata_tag::ACAMERA_SCALER_AVAILABLE_STREAM_CONFIGURATIONS;
        Ok(Self {
            is_on_the_back: facing.first() == Some(&back),
            has_lamp: lamp.first() == Some(&1),
            focuses_by_itself: focus.contains(&(CONTINUOUS.0 as u8)),
            sensor_degrees: turned.first().copied().unwrap_or(0),
            streams: numbers(&all, streams),
        })
    }

    fn sizes(&self, format: AIMAGE_FORMATS) -> impl Iterator<Item = (i32, i32)> {
        self.streams
            .chunks_exact(4)
            .filter(move |stream| stream[0] == format.0 as i32 && stream[3] == 0)
            .map(|stream| (stream[1], stream[2]))
            .filter(|(width, height)| *width > 0 && *height > 0)
    }

    /// The size of frames nearest to the one wanted.
    pub(super) fn frame_size(&self, wanted: (u32, u32)) -> Option<(i32, i32)> {
        let away = |have: i32, want: u32| (i64::from(have) - i64::from(want)).abs();
        self.sizes(AIMAGE_FORMATS::AIMAGE_FORMAT_YUV_420_888)
            .min_by_key(|(width, height)| away(*width, wanted.0) + away(*height, wanted.1))
    }

    /// The largest still of at most so many pixels, or the smallest there is.
    pub(super) fn still_size(&self, most: u32) -> Option<(i32, i32)> {
        let pixels = |(width, height): &(i32, i32)| i64::from(*width) * i64::from(*height);
        let sizes = || self.sizes(AIMAGE_FORMATS::AIMAGE_FORMAT_JPEG);
        sizes()
            .filter(|size| pixels(size) <= i64::from(most))
            .max_by_key(pixels)
            .or_else(|| sizes().min_by_key(pixels))
    }
}

/// Quarter turns clockwise that put what the sensor sees upright on the screen.
///
/// Source: Android's reference, `SENSOR_ORIENTATION` and `JPEG_ORIENTATION`, for a camera on the back.
pub(super) fn turns(sensor_degrees: i32, screen_turns: u32) -> u32 {
    let sensor = sensor_degrees.div_euclid(90).rem_euclid(4) as u32;
    (sensor + 4 - screen_turns % 4) % 4
}

/// What a camera says under a name; nothing where it does not say it, or as another type.
unsafe fn said<T: Copy>(
    all: &Owned<ACameraMetadata>,
    tag: acamera_metadata_tag,
    type_: u32,
    values: impl FnOnce(ACameraMetadata_const_entry__bindgen_ty_1) -> *const T,
) -> Vec<T> {
    let mut entry: ACameraMetadata_const_entry = unsafe { mem::zeroed() };
    let status = unsafe { ACameraMetadata_getConstEntry(all.it, tag.0, &mut entry) };
    let count = usize::try_from(entry.count).unwrap_or(0);
    if status.0 != 0 || u32::from(entry.type_) != type_ || count == 0 {
        return Vec::new();
    }
    // They belong to `all`, and are copied.
    unsafe { slice::from_raw_parts(values(entry.data), count) }.to_vec()
}

fn bytes(all: &Owned<ACameraMetadata>, tag: acamera_metadata_tag) -> Vec<u8> {
    unsafe { said(all, tag, ACAMERA_TYPE_BYTE, |data| data.u8_) }
}

fn numbers(all: &Owned<ACameraMetadata>, tag: acamera_metadata_tag) -> Vec<i32> {
    unsafe { said(all, tag, ACAMERA_TYPE_INT32, |data| data.i32_) }
}
