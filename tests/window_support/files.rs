//! Files to give to the window.

use image::{DynamicImage, GrayImage, ImageFormat, Rgb, RgbImage, imageops};
use lantern_ring::{
    plant::{Plant, PumpId},
    tag::{Host, TagId, draw, payload::payload},
};
use std::{
    fs,
    path::{Path, PathBuf},
};

/// Text in the code of a pump's tag.
pub fn tag_text(plant: &Plant, pump: &PumpId) -> String {
    let pump = plant.pump(pump).expect("a pump of the plant");
    let host = Host::new(&plant.tag_host).expect("a host");
    payload(&host, TagId::new(pump.tag))
}

/// A picture of a code with this text.
pub fn code(folder: &Path, name: &str, text: &str) -> PathBuf {
    put(folder, name, &draw::png(text, 6).expect("a code"))
}

/// A picture of two codes beside each other.
pub fn two_codes(folder: &Path, name: &str, texts: [&str; 2]) -> PathBuf {
    let codes = texts.map(|text| {
        let png = draw::png(text, 6).expect("a code");
        image::load_from_memory(&png).expect("a picture").to_luma8()
    });
    let width = codes[0].width() + codes[1].width() + 80;
    let height = codes[0].height().max(codes[1].height());
    let mut both = GrayImage::from_pixel(width, height, image::Luma([255]));
    imageops::replace(&mut both, &codes[0], 0, 0);
    imageops::replace(&mut both, &codes[1], i64::from(codes[0].width()) + 80, 0);
    save(folder, name, &both.into())
}

/// A photo of nothing in particular: colours that run.
pub fn photo(folder: &Path, name: &str) -> PathBuf {
    let channel = |value: u32| u8::try_from(value % 256).expect("below 256");
    let picture = RgbImage::from_fn(1600, 1200, |x, y| {
        Rgb([channel(x / 7), channel(y / 5), channel((x + y) / 11)])
    });
    save(folder, name, &picture.into())
}

/// A white picture.
pub fn blank(folder: &Path, name: &str) -> PathBuf {
    save(
        folder,
        name,
        &GrayImage::from_pixel(640, 480, image::Luma([255])).into(),
    )
}

/// A picture in a file.
pub fn save(folder: &Path, name: &str, picture: &DynamicImage) -> PathBuf {
    let path = folder.join(name);
    let format = ImageFormat::from_path(&path).expect("a known ending");
    picture
        .save_with_format(&path, format)
        .expect("a file written");
    path
}

/// Bytes in a file.
pub fn put(folder: &Path, name: &str, bytes: &[u8]) -> PathBuf {
    let path = folder.join(name);
    fs::write(&path, bytes).expect("a file written");
    path
}
