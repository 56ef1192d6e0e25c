//! Changes to a picture that bring out a code. Pure functions.

use crate::tag::luma::Luma;

/// A third of the size, each pixel the mean of nine: hides noise and defocus of large codes.
pub(super) fn third(luma: &Luma) -> Luma {
    Luma::from_fn(luma.width() / 3, luma.height() / 3, |x, y| {
        let (left, top) = (i64::from(3 * x), i64::from(3 * y));
        let nine = (0..9).map(|i| u32::from(luma.at(left + i % 3, top + i / 3)));
        ((nine.sum::<u32>() + 4) / 9) as u8
    })
}

/// Twice the size, interpolated between pixels: opens up codes of few pixels to a module.
pub(super) fn doubled(luma: &Luma) -> Luma {
    Luma::from_fn(luma.width() * 2, luma.height() * 2, |x, y| {
        let near = (i64::from(x / 2), i64::from(y / 2));
        let far = |near: i64, at: u32| near + if at.is_multiple_of(2) { -1 } else { 1 };
        let (far_x, far_y) = (far(near.0, x), far(near.1, y));
        let at = |x, y| u32::from(luma.at(x, y));
        let sum = 9 * at(near.0, near.1)
            + 3 * at(far_x, near.1)
            + 3 * at(near.0, far_y)
            + at(far_x, far_y);
        ((sum + 8) / 16) as u8
    })
}

/// The middle of the picture, half its width and height.
pub(super) fn middle(luma: &Luma) -> Luma {
    let (left, top) = middle_offset(luma);
    Luma::from_fn(luma.width() / 2, luma.height() / 2, |x, y| {
        luma.at((left + x).into(), (top + y).into())
    })
}

/// Where [`middle`] begins, in pixels from the left and from the top.
pub(super) fn middle_offset(luma: &Luma) -> (u32, u32) {
    (luma.width() / 4, luma.height() / 4)
}

/// Black for white.
pub(super) fn inverted(luma: &Luma) -> Luma {
    luma.map(|v| 255 - v)
}

/// Brightness stretched so that the darkest and the brightest hundredth of the pixels become
/// black and white.
pub(super) fn stretched(luma: &Luma) -> Luma {
    let mut counts = [0_usize; 256];
    for &value in luma.data() {
        counts[usize::from(value)] += 1;
    }
    let hundredth = luma.pixels() / 100;
    let low = first_past(hundredth, &counts, 0..=255).unwrap_or(0);
    let high = first_past(hundredth, &counts, (0..=255).rev()).unwrap_or(255);
    let span = u32::from(high.saturating_sub(low).max(1));
    luma.map(|v| (u32::from(v.saturating_sub(low)) * 255 / span).min(255) as u8)
}

/// The first of `values` by which more than `share` pixels have gone by.
fn first_past(
    share: usize,
    counts: &[usize; 256],
    mut values: impl Iterator<Item = u8>,
) -> Option<u8> {
    let mut seen = 0;
    values.find(|&value| {
        seen += counts[usize::from(value)];
        seen > share
    })
}

/// A light blur: weights 1 2 1 along rows and along columns.
pub(super) fn blurred(luma: &Luma) -> Luma {
    along_both(luma, |a, b, c| {
        ((u16::from(a) + 2 * u16::from(b) + u16::from(c) + 2) / 4) as u8
    })
}

/// Edges made steeper: what the light blur takes away is added twice over.
pub(super) fn sharpened(luma: &Luma) -> Luma {
    let soft = blurred(luma);
    let pairs = luma.data().iter().zip(soft.data());
    let mut data = pairs.map(|(&v, &s)| {
        let (v, s) = (i16::from(v), i16::from(s));
        (v + 2 * (v - s)).clamp(0, 255) as u8
    });
    Luma::from_fn(luma.width(), luma.height(), |_, _| {
        data.next().unwrap_or_default()
    })
}

/// Bright specks and scratches narrower than three pixels filled with what is around them.
pub(super) fn specks_filled(luma: &Luma) -> Luma {
    let darkest = along_both(luma, |a, b, c| a.min(b).min(c));
    along_both(&darkest, |a, b, c| a.max(b).max(c))
}

/// `combine` over each pixel and its two neighbours, first along rows, then along columns.
fn along_both(luma: &Luma, combine: impl Fn(u8, u8, u8) -> u8) -> Luma {
    let width = luma.width() as usize;
    let mut rows = Vec::with_capacity(luma.pixels());
    for row in luma.data().chunks_exact(width) {
        let before = row.iter().take(1).chain(row);
        let after = row.iter().skip(1).chain(row.last());
        rows.extend(
            before
                .zip(row)
                .zip(after)
                .map(|((&a, &b), &c)| combine(a, b, c)),
        );
    }
    let first = rows.chunks_exact(width).take(1);
    let above = first.chain(rows.chunks_exact(width));
    let below = rows
        .chunks_exact(width)
        .skip(1)
        .chain(rows.chunks_exact(width).last());
    let lines = above.zip(rows.chunks_exact(width)).zip(below);
    let mut data = lines.flat_map(|((above, row), below)| {
        let three = above.iter().zip(row).zip(below);
        three.map(|((&a, &b), &c)| combine(a, b, c))
    });
    Luma::from_fn(luma.width(), luma.height(), |_, _| {
        data.next().unwrap_or_default()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(width: u32, data: &[u8]) -> Luma {
        Luma::new(width, data.len() as u32 / width, data.to_vec()).unwrap()
    }

    #[test]
    fn a_third_is_the_mean_of_nine() {
        let luma = Luma::from_fn(7, 3, |x, _| if x < 3 { 30 } else { 90 });
        assert_eq!(third(&luma), of(2, &[30, 90]));
    }

    #[test]
    fn doubling_interpolates_and_keeps_the_edges() {
        assert_eq!(
            doubled(&of(2, &[0, 160])),
            of(4, &[0, 40, 120, 160, 0, 40, 120, 160])
        );
    }

    #[test]
    fn the_middle_is_half_the_picture_each_way() {
        let luma = Luma::from_fn(8, 4, |x, y| (10 * y + x) as u8);
        assert_eq!(middle(&luma), of(4, &[12, 13, 14, 15, 22, 23, 24, 25]));
    }

    #[test]
    fn stretching_uses_the_whole_scale_and_survives_a_flat_picture() {
        let grey = Luma::from_fn(10, 10, |x, _| if x < 5 { 100 } else { 150 });
        let stretched_grey = stretched(&grey);
        assert_eq!(stretched_grey.at(0, 0), 0);
        assert_eq!(stretched_grey.at(9, 9), 255);
        assert_eq!(stretched(&Luma::from_fn(4, 4, |_, _| 77)).at(1, 1), 0);
    }

    #[test]
    fn blurring_spreads_a_point_and_sharpening_raises_it() {
        let point = Luma::from_fn(3, 3, |x, y| if (x, y) == (1, 1) { 160 } else { 0 });
        assert_eq!(
            blurred(&point),
            of(3, &[10, 20, 10, 20, 40, 20, 10, 20, 10])
        );
        assert_eq!(sharpened(&point).at(1, 1), 255);
        assert_eq!(sharpened(&point).at(0, 0), 0);
    }

    #[test]
    fn a_bright_scratch_in_the_dark_is_filled_and_a_bright_field_is_kept() {
        let scratch = Luma::from_fn(9, 9, |x, _| if x == 4 { 200 } else { 20 });
        assert!(specks_filled(&scratch).data().iter().all(|&v| v == 20));
        let field = Luma::from_fn(9, 9, |x, _| if x > 4 { 200 } else { 20 });
        assert_eq!(specks_filled(&field), field);
    }

    #[test]
    fn inverting_twice_is_nothing() {
        let luma = Luma::from_fn(5, 5, |x, y| (x * y) as u8);
        assert_eq!(inverted(&inverted(&luma)), luma);
    }

    #[test]
    fn a_single_pixel_goes_through_every_filter() {
        let one = of(1, &[9]);
        for filter in [
            third,
            doubled,
            middle,
            inverted,
            stretched,
            blurred,
            sharpened,
            specks_filled,
        ] {
            assert!(filter(&one).pixels() >= 1);
        }
    }
}
