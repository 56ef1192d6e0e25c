//! How the nuts of a gland stand to each other after all that was turned.

use crate::{
    plant::Place,
    remedy::{Remedy, words::counted_flats},
    say,
};

/// Flats between the tightest and the slackest nut from which the gland may stand cocked. Uneven tightening scores the
/// shaft (NAVFAC MO-209 item (e)); the figure is common practice, no source.
const COCKED_FLATS: i32 = 2;

/// What the nuts of one gland have been turned in all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// Flats of each nut, tightened above 0 and eased below.
    pub flats: Vec<i32>,
    /// Remedies summed.
    pub counted: usize,
    /// Remedies left out, because they tell of another number of nuts than the newest does.
    pub left_out: usize,
}

impl Standing {
    /// Flats between the tightest and the slackest nut.
    pub fn spread(&self) -> i32 {
        let tightest = self.flats.iter().max().copied().unwrap_or_default();
        let slackest = self.flats.iter().min().copied().unwrap_or_default();
        tightest - slackest
    }

    /// The nuts stand so unevenly that the gland may be cocked.
    pub fn is_cocked(&self) -> bool {
        self.spread() >= COCKED_FLATS
    }
}

/// How the nuts of the packing at `place` stand, from what was done there since it was last packed, oldest first;
/// `None` where no nut was turned there.
pub fn standing<'a>(past: impl IntoIterator<Item = &'a Remedy>, place: Place) -> Option<Standing> {
    let turned: Vec<_> = past
        .into_iter()
        .filter_map(|remedy| match remedy {
            Remedy::GlandNuts {
                place: at,
                turn,
                flats,
            } if *at == place => Some((turn.sign(), flats)),
            _ => None,
        })
        .collect();
    let nuts = turned.last()?.1.len();
    let mut sum = Standing {
        flats: vec![0; nuts],
        counted: 0,
        left_out: 0,
    };
    for (sign, flats) in turned {
        if flats.len() != nuts {
            sum.left_out += 1;
            continue;
        }
        sum.counted += 1;
        for (of, more) in sum.flats.iter_mut().zip(flats) {
            *of = of.saturating_add(sign * i32::from(*more));
        }
    }
    Some(sum)
}

/// What to say of how the nuts stand after the newest remedy; `None` where they stand evenly.
pub fn uneven(standing: &Standing) -> Option<String> {
    let spread = standing.spread();
    if spread == 0 {
        return None;
    }
    let tightest = place_of(standing, standing.flats.iter().max().copied());
    let slackest = place_of(standing, standing.flats.iter().min().copied());
    let flats = counted_flats(f64::from(spread));
    Some(if standing.is_cocked() {
        say!(
            "Nut {tightest} stands {flats} tighter than nut {slackest}: the gland may be cocked and score the shaft. Look whether it is square, and ease nut {tightest} one flat at a time until it is.",
            tightest,
            flats,
            slackest
        )
    } else {
        say!(
            "Nut {tightest} stands {flats} tighter than nut {slackest}. Turn all nuts alike: look whether the gland is square.",
            tightest,
            flats,
            slackest
        )
    })
}

/// What to say of flats given to each nut at once; `None` where none was turned by more than one.
pub fn large_step(flats: &[u8]) -> Option<&'static str> {
    flats.iter().any(|flats| *flats > 1).then(|| {
        say!(
            "More than one flat at a time: packing answers late, and what is too tight burns. Turn one flat, wait, count again."
        )
    })
}

fn place_of(standing: &Standing, flats: Option<i32>) -> usize {
    let found = standing.flats.iter().position(|of| Some(*of) == flats);
    found.unwrap_or_default() + 1
}
