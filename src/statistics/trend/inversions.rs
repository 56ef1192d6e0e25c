//! Counting pairs out of order while sorting: O(n log n), and near O(n) where little is out of order.

use std::hint::select_unpredictable;

/// Sorted by insertion below this length: shorter than any gain from merging.
const BLOCK: usize = 8;

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
    let mut scratch = Vec::with_capacity(keyed.len());
    let mut width = BLOCK;
    while width < keyed.len() {
        for pair in keyed.chunks_mut(2 * width) {
            if pair.len() > width {
                count += merge_counting(pair, width, &mut scratch);
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
fn merge_counting(both: &mut [Keyed], middle: usize, scratch: &mut Vec<Keyed>) -> u64 {
    let (smallest_right, largest_left) = (both[middle].key, both[middle - 1].key);
    if largest_left <= smallest_right {
        return 0;
    }
    let start = both[..middle].partition_point(|keyed| keyed.key <= smallest_right);
    let end = middle + both[middle..].partition_point(|keyed| keyed.key < largest_left);
    let out = &mut both[start..end];
    scratch.clear();
    scratch.extend_from_slice(out);
    let (left, right) = scratch.split_at(middle - start);
    merge_from_both_ends(left, right, out)
}

/// Smallest first from the front and largest first from the back, in one loop: neither waits for the other. No branch
/// on the comparisons either, as which side is next cannot be foretold. A pair out of order is counted when its first
/// half is taken.
fn merge_from_both_ends(left: &[Keyed], right: &[Keyed], out: &mut [Keyed]) -> u64 {
    let (mut i, mut j, mut i_end, mut j_end) = (0, 0, left.len(), right.len());
    let mut count = 0;
    while i_end - i > 1 && j_end - j > 1 {
        let (a, b) = (left[i], right[j]);
        let from_right = b.key < a.key;
        out[i + j] = select_unpredictable(from_right, b, a);
        count += (i_end - i) as u64 * u64::from(from_right);
        j += usize::from(from_right);
        i += usize::from(!from_right);

        let (a, b) = (left[i_end - 1], right[j_end - 1]);
        let from_left = b.key < a.key;
        out[i_end + j_end - 1] = select_unpredictable(from_left, a, b);
        count += (j_end - j) as u64 * u64::from(from_left);
        i_end -= usize::from(from_left);
        j_end -= usize::from(!from_left);
    }
    while i < i_end && j < j_end {
        let (a, b) = (left[i], right[j]);
        let from_right = b.key < a.key;
        out[i + j] = select_unpredictable(from_right, b, a);
        count += (i_end - i) as u64 * u64::from(from_right);
        j += usize::from(from_right);
        i += usize::from(!from_right);
    }
    let left_to_go = &left[i..i_end];
    let (for_left, for_right) = out[i + j..i_end + j_end].split_at_mut(left_to_go.len());
    for_left.copy_from_slice(left_to_go);
    for_right.copy_from_slice(&right[j..j_end]);
    count
}
