//! Changes to a picture that bring out a code. Pure functions.

use crate::tag::luma::Luma;

/// A third of the size, each pixel the mean of nine: hides noise and defocus of large codes.
pub(super) fn third(luma: &Luma) -> Luma {
    let (width, height) = ((luma.width() / 3).max(1), (luma.height() / 3).max(1));
    let mut data = Vec::with_capacity(width as usize * height as usize);
    for y in 0..height {
        let [top, middle, bottom] = [0, 1, 2].map(|i| luma.row((3 * y + i).min(luma.height() - 1)));
        let threes = top.chunks(3).zip(middle.chunks(3)).zip(bottom.chunks(3));
        data.extend(threes.take(width as usize).map(|((a, b), c)| {
            let sum: usize = [a, b, c]
                .into_iter()
                .flatten()
                .map(|&v| usize::from(v))
                .sum();
            ((sum + 3 * a.len() / 2) / (3 * a.len())) as u8
        }));
    }
    Luma::made_to_fit(width, height, data)
}

/// Twice the size, interpolated between pixels: opens up codes of few pixels to a module.
pub(super) fn doubled(luma: &Luma) -> Luma {
    let (width, height) = (luma.width() as usize, luma.height());
    let mut data = Vec::with_capacity(4 * luma.pixels());
    for y in 0..height {
        for neighbour in [y.saturating_sub(1), (y + 1).min(height - 1)] {
            let rows = luma.row(y).iter().zip(luma.row(neighbour));
            let blend: Vec<u16> = rows
                .map(|(&near, &far)| 3 * u16::from(near) + u16::from(far))
                .collect();
            for x in 0..width {
                for neighbour in [x.saturating_sub(1), (x + 1).min(width - 1)] {
                    data.push(((3 * blend[x] + blend[neighbour] + 8) / 16) as u8);
                }
            }
        }
    }
    Luma::made_to_fit(luma.width() * 2, height * 2, data)
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

/// Bright specks and scratches narrower than three pixels filled with what is around them.
pub(super) fn specks_filled(luma: &Luma) -> Luma {
    let darkest = along_both(luma, |a, b, c| a.min(b).min(c));
    along_both(&darkest, |a, b, c| a.max(b).max(c))
}

/// `combine` over each pixel and its two neighbours, first along rows, then along columns.
fn along_both(luma: &Luma, combine: impl Fn(u8, u8, u8) -> u8) -> Luma {
    let (width, height) = (luma.width(), luma.height());
    let three = |data: &mut Vec<u8>, before: &[u8], middle: &[u8], after: &[u8]| {
        let together = before.iter().zip(middle).zip(after);
        data.extend(together.map(|((&a, &b), &c)| combine(a, b, c)));
    };
    let mut rows = Vec::with_capacity(luma.pixels());
    for y in 0..height {
        let row = luma.row(y);
        let last = row.len() - 1;
        three(&mut rows, &row[..1], &row[..1], &row[last.min(1)..]);
        three(
            &mut rows,
            row,
            &row[last.min(1)..],
            row.get(2..).unwrap_or_default(),
        );
        if last > 0 {
            three(&mut rows, &row[last - 1..], &row[last..], &row[last..]);
        }
    }
    let rows = Luma::made_to_fit(width, height, rows);
    let mut data = Vec::with_capacity(luma.pixels());
    for y in 0..height {
        let below = rows.row((y + 1).min(height - 1));
        three(&mut data, rows.row(y.saturating_sub(1)), rows.row(y), below);
    }
    Luma::made_to_fit(width, height, data)
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
    fn blurring_spreads_a_point() {
        let point = Luma::from_fn(3, 3, |x, y| if (x, y) == (1, 1) { 160 } else { 0 });
        assert_eq!(
            blurred(&point),
            of(3, &[10, 20, 10, 20, 40, 20, 10, 20, 10])
        );
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
            specks_filled,
        ] {
            assert!(filter(&one).pixels() >= 1);
        }
    }
}
