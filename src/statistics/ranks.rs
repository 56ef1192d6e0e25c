//! What intervals made of ranks share.

/// How many of the smallest, and as many of the largest, lie outside an interval: the most that keeps the chance of a
/// rank sum at or below it within the tail. `chances` are those of each sum from nothing on. `None` where even leaving
/// out none is too little confidence.
pub(crate) fn left_out(chances: &[f64], tail: f64) -> Option<usize> {
    // A confidence of 0.9 leaves a rounded 0.05 on each side; a chance of 1/20 is meant to fit into it.
    let tail = tail * (1.0 + 1e-9);
    let mut sum = 0.0;
    let outside = chances
        .iter()
        .take_while(|chance| {
            sum += **chance;
            sum <= tail
        })
        .count();
    // The chance up to `outside` − 1 is within the tail, so the interval runs from that rank on.
    outside.checked_sub(1)
}
