//! What the NDK makes and must be given back to it, and how it says no.

use ndk_sys::camera_status_t;
use std::{ffi::c_int, ptr};

/// What goes wrong with a phone's camera.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Trouble {
    /// There is no camera on the back.
    #[error("it has no camera on its back")]
    None,
    /// The operator has not allowed it.
    #[error("it may not be used")]
    NotAllowed,
    /// Another app has it, or it was taken away.
    #[error("another app has taken it")]
    Lost,
    /// No picture came.
    #[error("no picture came in time")]
    Late,
    /// It gives no size that can be used.
    #[error("it gives no pictures of a size that can be used")]
    NoSize,
    /// The system refused.
    #[error("the system refused {step} (code {code})")]
    Refused {
        /// What.
        step: &'static str,
        /// The system's number for why.
        code: i32,
    },
}

/// Something the NDK made and that must be given back to it once.
pub(super) struct Owned<T> {
    pub(super) it: *mut T,
    give_back: fn(*mut T),
}

impl<T> Owned<T> {
    /// Has `make` write the new thing.
    pub(super) fn new(
        step: &'static str,
        give_back: fn(*mut T),
        make: impl FnOnce(&mut *mut T) -> c_int,
    ) -> Result<Self, Trouble> {
        let mut it = ptr::null_mut();
        match make(&mut it) {
            0 if !it.is_null() => Ok(Self { it, give_back }),
            code => Err(refused(step, code)),
        }
    }
}

impl<T> Drop for Owned<T> {
    fn drop(&mut self) {
        (self.give_back)(self.it);
    }
}

fn refused(step: &'static str, code: c_int) -> Trouble {
    if code == camera_status_t::ACAMERA_ERROR_PERMISSION_DENIED.0 {
        Trouble::NotAllowed
    } else if code == camera_status_t::ACAMERA_ERROR_CAMERA_IN_USE.0 {
        Trouble::Lost
    } else {
        Trouble::Refused { step, code }
    }
}

pub(super) fn done(step: &'static str, code: c_int) -> Result<(), Trouble> {
    match code {
        0 => Ok(()),
        code => Err(refused(step, code)),
    }
}
