//! Marks laid over a picture: an arrow, a circle, a note. The picture itself is never changed.

use crate::record::{Mark, Point};
use crate::say;

/// The most marks on one picture.
pub const MOST_MARKS: usize = 32;
/// The longest note, characters.
pub const LONGEST_NOTE: usize = 200;

/// Why a mark, or the set of them, is refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MarkError {
    /// More than [`MOST_MARKS`].
    #[error("{}", say!(
        "There are {count} marks on the picture, and at most {most} fit. Take some away, or take a second picture.",
        count = _0,
        most = MOST_MARKS
    ))]
    TooMany(usize),
    /// A point is outside 0 to 1, or no number.
    #[error("{}", say!("Mark {mark} lies outside the picture. Draw it again.", mark = _0))]
    Outside(usize),
    /// An arrow whose head is its tail, a circle without a radius or wider than the picture.
    #[error("{}", say!(
        "Mark {mark} has no size that can be drawn. Drag from one place to another to draw it again.",
        mark = _0
    ))]
    NoSize(usize),
    /// A note without text, or with characters that cannot be shown.
    #[error("{}", say!(
        "The note of mark {mark} is empty or has characters that cannot be shown. Write it again.",
        mark = _0
    ))]
    NoText(usize),
    /// A note above [`LONGEST_NOTE`].
    #[error("{}", say!(
        "The note of mark {number} has {characters} characters, and at most {most} fit. Shorten it.",
        number,
        characters,
        most = LONGEST_NOTE
    ))]
    TooLong {
        /// Which mark, from 1.
        number: usize,
        /// How long its text is.
        characters: usize,
    },
}

/// Checks that marks can be drawn, read and carried.
///
/// # Errors
///
/// The first mark that is out of bounds, by its number from 1.
pub fn check(marks: &[Mark]) -> Result<(), MarkError> {
    if marks.len() > MOST_MARKS {
        return Err(MarkError::TooMany(marks.len()));
    }
    (1..).zip(marks).try_for_each(|(number, mark)| {
        check_shape(mark, number)?;
        match mark {
            Mark::Note { text, .. } => check_text(text, number),
            _ => Ok(()),
        }
    })
}

/// The text of each note that is drawn, with its number on the picture, from 1.
pub fn notes(marks: &[Mark]) -> impl Iterator<Item = (usize, &str)> {
    let drawn = marks.iter().filter(|mark| can_be_drawn(mark));
    let texts = drawn.filter_map(|mark| match mark {
        Mark::Note { text, .. } => Some(text.as_str()),
        _ => None,
    });
    (1..).zip(texts)
}

pub(super) fn can_be_drawn(mark: &Mark) -> bool {
    check_shape(mark, 1).is_ok()
}

fn check_shape(mark: &Mark, number: usize) -> Result<(), MarkError> {
    let (places, has_size): (&[Point], bool) = match mark {
        Mark::Arrow { from, to } => (&[*from, *to], from != to),
        Mark::Circle { centre, radius } => (&[*centre], *radius > 0.0 && *radius <= 1.0),
        Mark::Note { at, .. } => (&[*at], true),
    };
    // No range contains what is not a number.
    let fraction = 0.0..=1.0;
    if !places
        .iter()
        .all(|place| fraction.contains(&place.x) && fraction.contains(&place.y))
    {
        Err(MarkError::Outside(number))
    } else if !has_size {
        Err(MarkError::NoSize(number))
    } else {
        Ok(())
    }
}

fn check_text(text: &str, number: usize) -> Result<(), MarkError> {
    let characters = text.chars().count();
    if characters > LONGEST_NOTE {
        Err(MarkError::TooLong { number, characters })
    } else if text.trim().is_empty() || text.chars().any(|c| c.is_control() && c != '\n') {
        Err(MarkError::NoText(number))
    } else {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn point() -> impl Strategy<Value = Point> {
        (0.0f64..=1.0, 0.0f64..=1.0).prop_map(|(x, y)| Point { x, y })
    }

    fn mark() -> impl Strategy<Value = Mark> {
        prop_oneof![
            (point(), point()).prop_map(|(from, to)| Mark::Arrow { from, to }),
            (point(), f64::MIN_POSITIVE..=1.0)
                .prop_map(|(centre, radius)| Mark::Circle { centre, radius }),
            (point(), "[^\\p{Cc}]{0,80}[a-z]").prop_map(|(at, text)| Mark::Note { at, text }),
        ]
    }

    /// Inside, outside, on the edge and no number at all.
    fn any_number() -> impl Strategy<Value = f64> {
        prop_oneof![4 => -0.1f64..1.1, 1 => Just(0.0), 1 => Just(1.0), 1 => any::<f64>(), 1 => Just(f64::NAN)]
    }

    fn any_mark() -> impl Strategy<Value = Mark> {
        let point = || (any_number(), any_number()).prop_map(|(x, y)| Point { x, y });
        prop_oneof![
            (point(), point()).prop_map(|(from, to)| Mark::Arrow { from, to }),
            (point(), any_number()).prop_map(|(centre, radius)| Mark::Circle { centre, radius }),
            (point(), any::<String>()).prop_map(|(at, text)| Mark::Note { at, text }),
        ]
    }

    fn note(text: &str) -> Mark {
        Mark::Note {
            at: Point { x: 0.5, y: 0.5 },
            text: text.into(),
        }
    }

    proptest! {
        #[test]
        fn marks_come_back_from_json_to_the_last_bit(marks in proptest::collection::vec(mark(), 0..=MOST_MARKS)) {
            prop_assume!(!marks.iter().any(|mark| matches!(mark, Mark::Arrow { from, to } if from == to)));
            prop_assert_eq!(check(&marks), Ok(()));
            let json = serde_json::to_string(&marks).unwrap();
            let back: Vec<Mark> = serde_json::from_str(&json).unwrap();
            prop_assert_eq!(&back, &marks);
            prop_assert_eq!(serde_json::to_string(&back).unwrap(), json);
        }

        #[test]
        fn marks_that_pass_the_check_hold_nothing_out_of_bounds(marks in proptest::collection::vec(any_mark(), 0..3)) {
            let inside = |place: &Point| place.x >= 0.0 && place.x <= 1.0 && place.y >= 0.0 && place.y <= 1.0;
            let sound = marks.iter().all(|mark| match mark {
                Mark::Arrow { from, to } => inside(from) && inside(to) && from != to,
                Mark::Circle { centre, radius } => inside(centre) && *radius > 0.0 && *radius <= 1.0,
                Mark::Note { at, text } => {
                    inside(at)
                        && !text.trim().is_empty()
                        && text.chars().count() <= LONGEST_NOTE
                        && !text.chars().any(|c| c.is_control() && c != '\n')
                }
            });
            prop_assert_eq!(check(&marks).is_ok(), sound);
        }
    }

    #[test]
    fn notes_are_numbered_among_themselves() {
        let arrow = Mark::Arrow {
            from: Point { x: 0.0, y: 0.0 },
            to: Point { x: 1.0, y: 1.0 },
        };
        let marks = [note("drip"), arrow, note("rust")];
        assert_eq!(
            notes(&marks).collect::<Vec<_>>(),
            [(1, "drip"), (2, "rust")]
        );
    }

    #[test]
    fn a_mark_off_the_picture_is_named_by_its_number() {
        for x in [-0.001, 1.001, f64::NAN, f64::INFINITY] {
            let off = Mark::Circle {
                centre: Point { x, y: 0.5 },
                radius: 0.1,
            };
            assert_eq!(check(&[note("here"), off]), Err(MarkError::Outside(2)));
        }
    }

    #[test]
    fn a_mark_without_size_or_text_is_refused() {
        let middle = Point { x: 0.5, y: 0.5 };
        assert_eq!(
            check(&[Mark::Arrow {
                from: middle,
                to: middle
            }]),
            Err(MarkError::NoSize(1))
        );
        for radius in [0.0, -0.1, 1.01, f64::NAN] {
            assert_eq!(
                check(&[Mark::Circle {
                    centre: middle,
                    radius
                }]),
                Err(MarkError::NoSize(1))
            );
        }
        for text in ["", "  \n", "bell\u{7}"] {
            assert_eq!(check(&[note(text)]), Err(MarkError::NoText(1)));
        }
    }

    #[test]
    fn a_note_of_200_characters_fits_and_one_more_does_not() {
        assert!(check(&[note(&"ä".repeat(200))]).is_ok());
        let long = check(&[note(&"ä".repeat(201))]);
        assert_eq!(
            long,
            Err(MarkError::TooLong {
                number: 1,
                characters: 201
            })
        );
    }

    #[test]
    fn thirty_two_marks_fit_and_one_more_does_not() {
        assert!(check(&vec![note("x"); 32]).is_ok());
        assert_eq!(check(&vec![note("x"); 33]), Err(MarkError::TooMany(33)));
    }
}
