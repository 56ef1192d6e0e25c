//! How a picture of a screen is taken, and at which sizes.

// Each test file uses its own part of these.
#![allow(dead_code)]

use crate::window_support::Bench;
use image::RgbaImage;
use lantern_ring::view::{Nav, Page, Session};
use slint::ComponentHandle;
use std::{
    collections::HashSet,
    fs,
    path::{Path, PathBuf},
};

/// Fewer colours than this is a screen on which nothing was drawn.
const LEAST_COLOURS: usize = 12;

pub struct Variant {
    name: &'static str,
    size: (f32, f32),
    dark: bool,
    text_scale: f32,
}

/// A size and how the window looks.
pub const fn variant(name: &'static str, size: (f32, f32), dark: bool, text_scale: f32) -> Variant {
    Variant {
        name,
        size,
        dark,
        text_scale,
    }
}

pub const VARIANTS: [Variant; 7] = [
    variant("small-light", (360.0, 640.0), false, 1.0),
    variant("small-dark", (360.0, 640.0), true, 1.0),
    variant("small-large-text", (360.0, 640.0), false, 1.5),
    variant("phone-light", (412.0, 892.0), false, 1.0),
    variant("phone-dark", (412.0, 892.0), true, 1.0),
    variant("desktop-light", (1280.0, 800.0), false, 1.0),
    variant("desktop-dark", (1280.0, 800.0), true, 1.0),
];

/// Takes pictures of one window.
pub struct Camera<'a> {
    pub bench: &'a Bench,
    pub variant: &'a Variant,
    folder: PathBuf,
}

impl<'a> Camera<'a> {
    pub fn new(bench: &'a Bench, variant: &'a Variant) -> Self {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("pictures")
            .join(variant.name);
        fs::create_dir_all(&folder).expect("a folder for the pictures");
        bench.session().set_dark(variant.dark);
        bench.session().set_text_scale(variant.text_scale);
        bench.resize(variant.size.0, variant.size.1);
        Self {
            bench,
            variant,
            folder,
        }
    }

    pub fn is_phone(&self) -> bool {
        self.variant.size.0 < 900.0
    }

    pub fn take(&self, name: &str) {
        let (width, height) = self.variant.size;
        self.take_of(name, (width, height));
    }

    /// Takes a page as it were on a window so many times as high, to see what one scrolls to.
    pub fn take_long(&self, name: &str, times: f32) {
        let (width, height) = self.variant.size;
        self.bench.resize(width, times * height);
        self.take_of(name, (width, times * height));
        self.bench.resize(width, height);
    }

    /// All labels of a page as it were on a window so many times as high.
    pub fn told_long(&self, times: f32) -> Vec<String> {
        let (width, height) = self.variant.size;
        self.bench.resize(width, times * height);
        let told = self.bench.told();
        self.bench.resize(width, height);
        told
    }

    /// Unfolds the first line whose label begins so, and takes all of the page.
    pub fn unfold_long(&self, name: &str, beginning: &str) {
        let (width, height) = self.variant.size;
        self.bench.resize(width, 4.0 * height);
        self.bench.press_beginning(beginning);
        self.take_long(name, 4.0);
    }

    fn take_of(&self, name: &str, (width, height): (f32, f32)) {
        self.bench.settle();
        let drawn = self.bench.desk.window().window().take_snapshot();
        let drawn = drawn.expect("a picture");
        let picture = RgbaImage::from_raw(drawn.width(), drawn.height(), drawn.as_bytes().to_vec())
            .expect("four bytes a pixel");
        let told = format!("{name} in {}", self.variant.name);
        assert_eq!(
            picture.dimensions(),
            (width as u32, height as u32),
            "{told}"
        );
        let colours: HashSet<_> = picture.pixels().collect();
        assert!(colours.len() >= LEAST_COLOURS, "{told} is blank");
        picture
            .save(self.folder.join(format!("{name}.png")))
            .expect("a file written");
    }

    pub fn go(&self, page: Page) {
        self.bench.nav().invoke_go(page);
        self.bench.settle();
    }
}

impl Bench {
    pub fn session(&self) -> Session<'_> {
        self.desk.window().global::<Session>()
    }

    pub fn nav(&self) -> Nav<'_> {
        self.desk.window().global::<Nav>()
    }
}
