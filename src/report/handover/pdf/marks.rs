//! The verdicts' shapes, as the window draws them: told apart with all colour taken away.

use super::page::{INK, fill, stroke};
use crate::plant::Verdict;
use krilla::{
    geom::{Path, PathBuilder, Rect},
    surface::Surface,
};

const IN_LIMITS: (u8, u8, u8) = (0x00, 0x9e, 0x73);
const WATCH: (u8, u8, u8) = (0xe6, 0x9f, 0x00);
const ACT: (u8, u8, u8) = (0xd5, 0x5e, 0x00);
const SOFT: (u8, u8, u8) = (0x3c, 0x46, 0x4d);
const PAPER: (u8, u8, u8) = (0xff, 0xff, 0xff);

/// How far a cubic's handles reach for a quarter of a circle of radius 1: 4/3·(√2 − 1).
const QUARTER: f32 = 0.552_284_8;

/// Draws a verdict's mark into a square of this size with its top left corner there.
pub(super) fn draw(
    surface: &mut Surface<'_>,
    verdict: Verdict,
    (left, top): (f32, f32),
    size: f32,
) {
    let middle = (left + size / 2.0, top + size / 2.0);
    let line = size / 10.0;
    let radius = size * 0.43 - line / 2.0;
    match verdict {
        Verdict::InLimits => shape(
            surface,
            disc(middle, radius),
            None,
            Some((IN_LIMITS, line * 1.4)),
        ),
        Verdict::Watch => {
            shape(surface, disc(middle, radius), Some(WATCH), None);
            shape(surface, right_half(middle, radius), Some(INK), None);
            shape(surface, disc(middle, radius), None, Some((INK, line)));
        }
        Verdict::Act => shape(
            surface,
            disc(middle, radius),
            Some(ACT),
            Some((INK, line * 0.8)),
        ),
        Verdict::StopPump => {
            shape(
                surface,
                octagon(middle, size * 0.5),
                Some(ACT),
                Some((INK, line)),
            );
            shape(surface, square(middle, size * 0.34), Some(PAPER), None);
        }
        Verdict::NotJudged => shape(
            surface,
            square(middle, size * 0.7),
            None,
            Some((SOFT, line)),
        ),
    }
}

type Colour = (u8, u8, u8);

fn shape(
    surface: &mut Surface<'_>,
    path: Option<Path>,
    filled: Option<Colour>,
    edge: Option<(Colour, f32)>,
) {
    surface.set_fill(filled.map(fill));
    surface.set_stroke(edge.map(|(colour, width)| stroke(colour, width)));
    if let Some(path) = path {
        surface.draw_path(&path);
    }
}

fn disc((x, y): (f32, f32), r: f32) -> Option<Path> {
    let mut path = PathBuilder::new();
    down_the_right(&mut path, (x, y), r);
    let k = r * QUARTER;
    path.cubic_to(x - k, y + r, x - r, y + k, x - r, y);
    path.cubic_to(x - r, y - k, x - k, y - r, x, y - r);
    path.close();
    path.finish()
}

fn right_half(middle: (f32, f32), r: f32) -> Option<Path> {
    let mut path = PathBuilder::new();
    down_the_right(&mut path, middle, r);
    path.close();
    path.finish()
}

/// From the top of a circle by its right side to the bottom.
fn down_the_right(path: &mut PathBuilder, (x, y): (f32, f32), r: f32) {
    let k = r * QUARTER;
    path.move_to(x, y - r);
    path.cubic_to(x + k, y - r, x + r, y - k, x + r, y);
    path.cubic_to(x + r, y + k, x + k, y + r, x, y + r);
}

fn octagon((x, y): (f32, f32), r: f32) -> Option<Path> {
    // Corners of a regular octagon with level sides, its half width 1.
    let c = r * (std::f32::consts::SQRT_2 - 1.0);
    let corners = [
        (-c, -r),
        (c, -r),
        (r, -c),
        (r, c),
        (c, r),
        (-c, r),
        (-r, c),
        (-r, -c),
    ];
    let mut path = PathBuilder::new();
    for (index, (dx, dy)) in corners.into_iter().enumerate() {
        if index == 0 {
            path.move_to(x + dx, y + dy);
        } else {
            path.line_to(x + dx, y + dy);
        }
    }
    path.close();
    path.finish()
}

fn square((x, y): (f32, f32), side: f32) -> Option<Path> {
    let mut path = PathBuilder::new();
    path.push_rect(Rect::from_xywh(x - side / 2.0, y - side / 2.0, side, side)?);
    path.finish()
}
