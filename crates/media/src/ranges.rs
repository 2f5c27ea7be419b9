//! Ranges of a file's bytes.

use std::ops::Range;

/// Ranges in order, those that touch as one.
pub(crate) fn joined(ranges: impl Iterator<Item = Range<u64>>) -> Vec<Range<u64>> {
    let mut joined: Vec<Range<u64>> = Vec::new();
    for range in ranges {
        match joined.last_mut() {
            Some(last) if last.end == range.start => last.end = range.end,
            _ => joined.push(range),
        }
    }
    joined
}
