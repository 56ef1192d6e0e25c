use image::{Rgb, RgbImage};

use super::marks::can_be_drawn;
use crate::record::{Mark, Point};

/// Bright and dark, so that a mark shows on any ground; yellow of the Okabe–Ito colour-blind-safe set.
const BRIGHT: Rgb<u8> = Rgb([0xF0, 0xE4, 0x42]);
const DARK: Rgb<u8> = Rgb([0x14, 0x14, 0x14]);

/// Draws marks over a copy of a picture, for reports and small versions. Notes become dots, numbered from 1 among
/// the notes. Line widths follow the picture's size. A mark outside the picture or without size is left out.
pub fn draw_marks(picture: &RgbImage, marks: &[Mark]) -> RgbImage {
    let mut canvas = Canvas::new(picture.clone());
    let mut notes = 0;
    for mark in marks.iter().filter(|mark| can_be_drawn(mark)) {
        match mark {
            Mark::Arrow { from, to } => canvas.arrow(*from, *to),
            Mark::Circle { centre, radius } => canvas.circle(*centre, *radius),
            Mark::Note { at, .. } => {
                notes += 1;
                canvas.numbered_dot(*at, notes);
            }
        }
    }
    canvas.pixels
}

/// A place in pixels, or the way from one to another.
#[derive(Clone, Copy)]
struct Vector {
    x: f32,
    y: f32,
}

impl Vector {
    fn to(self, other: Self) -> Self {
        Self {
            x: other.x - self.x,
            y: other.y - self.y,
        }
    }

    fn plus(self, other: Self, times: f32) -> Self {
        Self {
            x: self.x + other.x * times,
            y: self.y + other.y * times,
        }
    }

    fn dot(self, other: Self) -> f32 {
        self.x * other.x + self.y * other.y
    }

    fn length(self) -> f32 {
        self.x.hypot(self.y)
    }
}

/// A line without width; drawn as all the pixels within some distance of it.
#[derive(Clone, Copy)]
enum Line {
    Straight(Vector, Vector),
    Ring(Vector, f32),
}

impl Line {
    fn distance(self, place: Vector) -> f32 {
        match self {
            Line::Straight(from, to) => {
                let (way, here) = (from.to(to), from.to(place));
                let share = (here.dot(way) / way.dot(way).max(f32::MIN_POSITIVE)).clamp(0.0, 1.0);
                from.plus(way, share).to(place).length()
            }
            Line::Ring(centre, radius) => (centre.to(place).length() - radius).abs(),
        }
    }

    /// The corners of the upright box around the line.
    fn bounds(self) -> (Vector, Vector) {
        match self {
            Line::Straight(a, b) => (
                Vector {
                    x: a.x.min(b.x),
                    y: a.y.min(b.y),
                },
                Vector {
                    x: a.x.max(b.x),
                    y: a.y.max(b.y),
                },
            ),
            Line::Ring(centre, radius) => {
                let reach = Vector {
                    x: radius,
                    y: radius,
                };
                (centre.plus(reach, -1.0), centre.plus(reach, 1.0))
            }
        }
    }
}

struct Canvas {
    pixels: RgbImage,
    /// Half the width of a mark's bright line, pixels.
    half_line: f32,
}

impl Canvas {
    fn new(pixels: RgbImage) -> Self {
        let long_side = pixels.width().max(pixels.height()) as f32;
        Self {
            pixels,
            half_line: (long_side / 400.0).max(1.0),
        }
    }

    fn place(&self, point: Point) -> Vector {
        Vector {
            x: point.x as f32 * self.pixels.width() as f32,
            y: point.y as f32 * self.pixels.height() as f32,
        }
    }

    fn arrow(&mut self, from: Point, to: Point) {
        let (tail, head) = (self.place(from), self.place(to));
        let back = head.to(tail);
        let length = back.length().max(f32::MIN_POSITIVE);
        let barb = (10.0 * self.half_line).min(length);
        // The barbs stand off the shaft by 30 degrees.
        let (sine, cosine) = 30f32.to_radians().sin_cos();
        let along = Vector {
            x: back.x / length,
            y: back.y / length,
        };
        let barb_end = |sine: f32| {
            let turned = Vector {
                x: along.x * cosine - along.y * sine,
                y: along.x * sine + along.y * cosine,
            };
            head.plus(turned, barb)
        };
        self.cased(&[
            Line::Straight(tail, head),
            Line::Straight(head, barb_end(sine)),
            Line::Straight(head, barb_end(-sine)),
        ]);
    }

    fn circle(&mut self, centre: Point, radius: f64) {
        let short_side = self.pixels.width().min(self.pixels.height());
        let ring = Line::Ring(self.place(centre), radius as f32 * short_side as f32);
        self.cased(&[ring]);
    }

    fn numbered_dot(&mut self, at: Point, number: usize) {
        let centre = self.place(at);
        let unit = (2.0 * self.half_line).max(3.0);
        let dot = Line::Straight(centre, centre);
        self.stroke(&[dot], 4.8 * unit, DARK);
        self.stroke(&[dot], 4.0 * unit, BRIGHT);
        let digits = number.to_string();
        let first_left = centre.x - unit * (1.5 * digits.len() as f32 - 0.5);
        for (digit, place) in digits.bytes().zip(0u8..) {
            let corner = Vector {
                x: first_left + 3.0 * unit * f32::from(place),
                y: centre.y - 2.0 * unit,
            };
            self.stroke(&digit_lines(digit - b'0', corner, unit), 0.35 * unit, DARK);
        }
    }

    fn cased(&mut self, lines: &[Line]) {
        self.stroke(lines, 2.0 * self.half_line, DARK);
        self.stroke(lines, self.half_line, BRIGHT);
    }

    /// Colours all pixels within `half_width` of the lines, and in part those on the edge.
    fn stroke(&mut self, lines: &[Line], half_width: f32, colour: Rgb<u8>) {
        for &line in lines {
            let (low, high) = line.bounds();
            let reach = half_width + 1.0;
            // The conversions clamp, so a line far outside costs nothing.
            let columns =
                (low.x - reach) as u32..((high.x + reach) as u32).min(self.pixels.width());
            let rows = (low.y - reach) as u32..((high.y + reach) as u32).min(self.pixels.height());
            for y in rows {
                for x in columns.clone() {
                    let middle = Vector {
                        x: x as f32 + 0.5,
                        y: y as f32 + 0.5,
                    };
                    let cover = (half_width + 0.5 - line.distance(middle)).clamp(0.0, 1.0);
                    blend(self.pixels.get_pixel_mut(x, y), colour, cover);
                }
            }
        }
    }
}

fn blend(pixel: &mut Rgb<u8>, colour: Rgb<u8>, cover: f32) {
    for (under, over) in pixel.0.iter_mut().zip(colour.0) {
        *under = (f32::from(*under) * (1.0 - cover) + f32::from(over) * cover).round() as u8;
    }
}

/// A digit in seven strokes, two units wide and four high.
fn digit_lines(digit: u8, corner: Vector, unit: f32) -> Vec<Line> {
    // Top, upper left, upper right, middle, lower left, lower right, bottom: from and to, in units.
    const STROKES: [[f32; 4]; 7] = [
        [0.0, 0.0, 2.0, 0.0],
        [0.0, 0.0, 0.0, 2.0],
        [2.0, 0.0, 2.0, 2.0],
        [0.0, 2.0, 2.0, 2.0],
        [0.0, 2.0, 0.0, 4.0],
        [2.0, 2.0, 2.0, 4.0],
        [0.0, 4.0, 2.0, 4.0],
    ];
    const LIT: [[u8; 7]; 10] = [
        [1, 1, 1, 0, 1, 1, 1],
        [0, 0, 1, 0, 0, 1, 0],
        [1, 0, 1, 1, 1, 0, 1],
        [1, 0, 1, 1, 0, 1, 1],
        [0, 1, 1, 1, 0, 1, 0],
        [1, 1, 0, 1, 0, 1, 1],
        [1, 1, 0, 1, 1, 1, 1],
        [1, 0, 1, 0, 0, 1, 0],
        [1, 1, 1, 1, 1, 1, 1],
        [1, 1, 1, 1, 0, 1, 1],
    ];
    // The strokes of a one stand on the right.
    let left = if digit == 1 { 1.0 } else { 0.0 };
    let end = |x, y| corner.plus(Vector { x: x - left, y }, unit);
    STROKES
        .iter()
        .zip(LIT[usize::from(digit % 10)])
        .filter(|(_, lit)| *lit == 1)
        .map(|([x1, y1, x2, y2], _)| Line::Straight(end(*x1, *y1), end(*x2, *y2)))
        .collect()
}
