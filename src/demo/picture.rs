//! Plain drawings that stand in for photos.

use crate::record::{Mark, Point};
use image::{ExtendedColorType, ImageEncoder, Rgb, RgbImage, codecs::jpeg::JpegEncoder};
use std::ops::Range;

const WIDTH: u32 = 640;
const HEIGHT: u32 = 480;
const QUALITY: u8 = 80;

const PAPER: Rgb<u8> = Rgb([244, 242, 236]);
const LINE: Rgb<u8> = Rgb([40, 44, 48]);
const IRON: Rgb<u8> = Rgb([150, 158, 164]);
const BRASS: Rgb<u8> = Rgb([196, 170, 110]);
const STEEL: Rgb<u8> = Rgb([205, 210, 214]);
const WATER: Rgb<u8> = Rgb([70, 140, 190]);
const MILKY: Rgb<u8> = Rgb([226, 214, 178]);

/// What is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scene {
    /// A gland with drops falling from it.
    Gland {
        /// Drops in the air; none for a dry gland.
        drips: u32,
    },
    /// A sight glass with milky oil.
    SightGlass {
        /// How full the glass is.
        level_percent: u32,
    },
}

/// The drawing as a JPEG, with the marks an operator would put on it; `None` only if the encoder fails.
pub fn draw(scene: Scene) -> Option<(Vec<u8>, Vec<Mark>)> {
    let mut sheet = Sheet(RgbImage::from_pixel(WIDTH, HEIGHT, PAPER));
    let marks = match scene {
        Scene::Gland { drips } => gland(&mut sheet, drips),
        Scene::SightGlass { level_percent } => sight_glass(&mut sheet, level_percent),
    };
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, QUALITY)
        .write_image(sheet.0.as_raw(), WIDTH, HEIGHT, ExtendedColorType::Rgb8)
        .ok()?;
    Some((jpeg, marks))
}

struct Sheet(RgbImage);

impl Sheet {
    /// Fills what is inside, looking only within these columns and rows.
    fn fill(
        &mut self,
        colour: Rgb<u8>,
        (columns, rows): (Range<i32>, Range<i32>),
        inside: impl Fn(i32, i32) -> bool,
    ) {
        for y in rows.start.max(0)..rows.end.min(HEIGHT.cast_signed()) {
            for x in columns.start.max(0)..columns.end.min(WIDTH.cast_signed()) {
                if inside(x, y) {
                    self.0
                        .put_pixel(x.cast_unsigned(), y.cast_unsigned(), colour);
                }
            }
        }
    }

    /// A rectangle with an outline.
    fn rectangle(&mut self, colour: Rgb<u8>, left: i32, top: i32, right: i32, bottom: i32) {
        self.fill(LINE, (left..right, top..bottom), |_, _| true);
        self.fill(
            colour,
            (left + 3..right - 3, top + 3..bottom - 3),
            |_, _| true,
        );
    }

    fn ellipse(&mut self, colour: Rgb<u8>, (cx, cy): (i32, i32), (rx, ry): (i32, i32)) {
        self.fill(
            colour,
            (cx - rx..cx + rx + 1, cy - ry..cy + ry + 1),
            |x, y| {
                let across = f64::from(x - cx) / f64::from(rx);
                let down = f64::from(y - cy) / f64::from(ry);
                across * across + down * down <= 1.0
            },
        );
    }
}

fn gland(sheet: &mut Sheet, drips: u32) -> Vec<Mark> {
    let drips = drips.min(12).cast_signed();
    if drips > 0 {
        sheet.ellipse(WATER, (352, 440), (60 + 14 * drips, 10 + 2 * drips));
    }
    sheet.rectangle(IRON, -10, 90, 190, 360);
    sheet.rectangle(IRON, 180, 130, 310, 320);
    sheet.rectangle(STEEL, 340, 195, 650, 255);
    sheet.rectangle(BRASS, 310, 110, 350, 340);
    for top in [122, 290] {
        sheet.rectangle(STEEL, 290, top + 8, 400, top + 30);
        sheet.rectangle(IRON, 350, top, 380, top + 38);
    }
    for drop in 0..drips {
        let along = (drop * 37) % 90;
        sheet.ellipse(WATER, (338 + (drop % 3) * 12, 350 + along), (5, 8));
    }
    if drips == 0 {
        vec![Mark::Circle {
            centre: Point { x: 0.54, y: 0.47 },
            radius: 0.2,
        }]
    } else {
        vec![Mark::Arrow {
            from: Point { x: 0.8, y: 0.65 },
            to: Point { x: 0.56, y: 0.76 },
        }]
    }
}

fn sight_glass(sheet: &mut Sheet, level_percent: u32) -> Vec<Mark> {
    const RADIUS: i32 = 130;
    let (cx, cy) = (320, 230);
    let level = level_percent.min(100).cast_signed();
    let surface = cy + RADIUS - 2 * RADIUS * level / 100;
    sheet.rectangle(IRON, 90, 30, 550, 450);
    sheet.ellipse(LINE, (cx, cy), (RADIUS + 28, RADIUS + 28));
    sheet.ellipse(BRASS, (cx, cy), (RADIUS + 24, RADIUS + 24));
    sheet.ellipse(LINE, (cx, cy), (RADIUS + 4, RADIUS + 4));
    sheet.ellipse(PAPER, (cx, cy), (RADIUS, RADIUS));
    let glass = cx - RADIUS..cx + RADIUS + 1;
    sheet.fill(MILKY, (glass, surface..cy + RADIUS + 1), |x, y| {
        let (dx, dy) = (x - cx, y - cy);
        dx * dx + dy * dy <= RADIUS * RADIUS
    });
    sheet.rectangle(LINE, cx - RADIUS, surface - 2, cx + RADIUS, surface + 2);
    sheet.rectangle(LINE, cx + RADIUS + 6, cy - 2, cx + RADIUS + 26, cy + 2);
    vec![Mark::Note {
        at: Point { x: 0.45, y: 0.6 },
        text: "milky".to_owned(),
    }]
}
