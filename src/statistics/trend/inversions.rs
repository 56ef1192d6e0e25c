//! Counting pairs out of order while sorting: O(n log n), and near O(n) where little is out of order.

/// Sorted by insertion below this length: shorter than any gain from merging.
const BLOCK: usize = 16;

/// A key to sort by and the position it came from.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Keyed {
    pub key: f64,
    pub from: u32,
}

/// Sorts by key, keeping equal keys in their order, and counts the pairs whose later key was strictly smaller.
pub(super) fn sort_counting(keyed: &mut [Keyed]) -> u64 {
    let mut count = 0;
    for block in keyed.chunks_mut(BLOCK) {
        count += insert_counting(block);
    }
    let mut left = Vec::with_capacity(keyed.len() / 2 + BLOCK);
    let mut width = BLOCK;
    while width < keyed.len() {
        for pair in keyed.chunks_mut(2 * width) {
            if pair.len() > width {
                count += merge_counting(pair, width, &mut left);
            }
        }
        width *= 2;
    }
    count
}

fn insert_counting(block: &mut [Keyed]) -> u64 {
    let mut count = 0;
    for i in 1..block.len() {
        let moving = block[i];
        let mut place = i;
        while place > 0 && moving.key < block[place - 1].key {
            block[place] = block[place - 1];
            place -= 1;
        }
        block[place] = moving;
        count += (i - place) as u64;
    }
    count
}

/// Merges two sorted, not empty parts of a slice. What already lies right at either end is left alone.
fn merge_counting(both: &mut [Keyed], middle: usize, left: &mut Vec<Keyed>) -> u64 {
    let (smallest_right, largest_left) = (both[middle].key, both[middle - 1].key);
    if largest_left <= smallest_right {
        return 0;
    }
    let start = both[..middle].partition_point(|keyed| keyed.key <= smallest_right);
    let end = middle + both[middle..].partition_point(|keyed| keyed.key < largest_left);
    let both = &mut both[start..end];
    left.clear();
    left.extend_from_slice(&both[..middle - start]);
    let (mut i, mut j, mut count) = (0, left.len(), 0);
    // No branch on the comparison: which side is next cannot be foretold, and guessing wrong costs more.
    while i < left.len() && j < both.len() {
        let (a, b) = (left[i], both[j]);
        let from_right = b.key < a.key;
        both[i + j - left.len()] = if from_right { b } else { a };
        count += (left.len() - i) as u64 * u64::from(from_right);
        j += usize::from(from_right);
        i += usize::from(!from_right);
    }
    let rest = left.len() - i;
    let place = j - rest;
    both[place..j].copy_from_slice(&left[i..]);
    count
}
