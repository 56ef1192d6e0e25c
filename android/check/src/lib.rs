//! The app's own sources, so far as they know nothing of the rest of it.

#[path = "../../../src/platform/android/camera2/mod.rs"]
pub mod camera2;

#[path = "../../../src/platform/android/java.rs"]
pub mod java;
