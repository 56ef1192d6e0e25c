//! One page drawn.

use super::{
    PdfError, Thumbnail,
    layout::{BODY, HEADING, MARGIN, PAGE, Strip, THUMBNAIL, TITLE, What, lefts},
    marks,
    type_face::{Face, Faces},
};
use crate::report::handover::Photo;
use crate::say;
use krilla::{
    Document,
    color::rgb::Color,
    geom::{PathBuilder, Point, Rect, Size, Transform},
    num::NormalizedF32,
    page::PageSettings,
    paint::{Fill, Stroke},
    surface::Surface,
    text::TextDirection,
};

/// The window's colours by day.
pub(super) const INK: (u8, u8, u8) = (0x0b, 0x0f, 0x12);
const SOFT: (u8, u8, u8) = (0x3c, 0x46, 0x4d);
const HAIRLINE: (u8, u8, u8) = (0xcc, 0xd3, 0xd7);

/// Draws one page: its strips from the top, its number below.
pub(super) fn draw(
    document: &mut Document,
    strips: &[Strip<'_>],
    faces: &Faces,
    number: &str,
    thumbnail: &mut dyn FnMut(&Photo) -> Thumbnail,
) -> Result<(), PdfError> {
    let settings = PageSettings::from_wh(PAGE.0, PAGE.1)
        .ok_or_else(|| PdfError::Writer("no page of that size".to_owned()))?;
    let mut page = document.start_page_with(settings);
    let mut surface = page.surface();
    let mut top = MARGIN;
    for strip in strips {
        draw_strip(&mut surface, strip, top, faces, thumbnail);
        top += strip.height;
    }
    let width = faces.regular.width(number, BODY);
    let at = (PAGE.0 - MARGIN - width, PAGE.1 - MARGIN);
    write(&mut surface, at, &faces.regular, BODY, SOFT, number);
    write(
        &mut surface,
        (MARGIN, PAGE.1 - MARGIN),
        &faces.regular,
        BODY,
        SOFT,
        say!("What was recorded. Your plant's procedures and licensed people decide."),
    );
    surface.finish();
    page.finish();
    Ok(())
}

fn draw_strip(
    surface: &mut Surface<'_>,
    strip: &Strip<'_>,
    top: f32,
    faces: &Faces,
    thumbnail: &mut dyn FnMut(&Photo) -> Thumbnail,
) {
    match &strip.what {
        What::Title(words) => {
            let at = (MARGIN, top + TITLE);
            write(surface, at, &faces.bold, TITLE, INK, words);
        }
        What::Heading(words) => {
            rule(surface, top + 8.0);
            let at = (MARGIN, top + 10.0 + HEADING);
            write(surface, at, &faces.bold, HEADING, INK, words);
        }
        What::Words {
            words,
            left,
            soft,
            mark,
            photos,
        } => {
            let colour = if *soft { SOFT } else { INK };
            let at = (MARGIN + left, top + BODY);
            write(surface, at, &faces.regular, BODY, colour, words);
            if let Some(verdict) = mark {
                marks::draw(surface, *verdict, (MARGIN, top + 0.4), 10.5);
            }
            for (left, photo) in lefts(photos.len()).zip(*photos) {
                draw_photo(surface, thumbnail(photo), (left, top), faces);
            }
        }
    }
}

fn draw_photo(surface: &mut Surface<'_>, photo: Thumbnail, (left, top): (f32, f32), faces: &Faces) {
    let words = match photo {
        Thumbnail::Picture(image) => {
            let (width, height) = image.size();
            let fits = (THUMBNAIL.0 / width as f32).min(THUMBNAIL.1 / height as f32);
            if let Some(size) = Size::from_wh(width as f32 * fits, height as f32 * fits) {
                surface.push_transform(&Transform::from_translate(left, top));
                surface.draw_image(image, size);
                surface.pop();
            }
            return;
        }
        Thumbnail::Missing => say!("of a photo" => "not here"),
        Thumbnail::LeftOut => say!("of a photo" => "left out"),
    };
    outline(surface, (left, top), THUMBNAIL);
    let at = (left + 4.0, top + THUMBNAIL.1 / 2.0);
    write(surface, at, &faces.regular, BODY, SOFT, words);
}

fn write(
    surface: &mut Surface<'_>,
    (x, y): (f32, f32),
    face: &Face,
    size: f32,
    colour: (u8, u8, u8),
    words: &str,
) {
    surface.set_stroke(None);
    surface.set_fill(Some(fill(colour)));
    surface.draw_text(
        Point::from_xy(x, y),
        face.font.clone(),
        size,
        words,
        false,
        TextDirection::LeftToRight,
    );
}

fn rule(surface: &mut Surface<'_>, y: f32) {
    let mut path = PathBuilder::new();
    path.move_to(MARGIN, y);
    path.line_to(PAGE.0 - MARGIN, y);
    surface.set_fill(None);
    surface.set_stroke(Some(stroke(HAIRLINE, 0.75)));
    if let Some(path) = path.finish() {
        surface.draw_path(&path);
    }
}

fn outline(surface: &mut Surface<'_>, (left, top): (f32, f32), (width, height): (f32, f32)) {
    let mut path = PathBuilder::new();
    if let Some(rect) = Rect::from_xywh(left, top, width, height) {
        path.push_rect(rect);
    }
    surface.set_fill(None);
    surface.set_stroke(Some(stroke(HAIRLINE, 0.75)));
    if let Some(path) = path.finish() {
        surface.draw_path(&path);
    }
}

pub(super) fn fill((red, green, blue): (u8, u8, u8)) -> Fill {
    Fill {
        paint: Color::new(red, green, blue).into(),
        opacity: NormalizedF32::ONE,
        ..Fill::default()
    }
}

pub(super) fn stroke((red, green, blue): (u8, u8, u8), width: f32) -> Stroke {
    Stroke {
        paint: Color::new(red, green, blue).into(),
        width,
        ..Stroke::default()
    }
}
