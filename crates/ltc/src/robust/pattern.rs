//! The synchronizing word as levels of half cells.

use crate::sync::SYNC_FORWARD;
use crate::{Codeword, SYNC_BITS};

/// Cells in a codeword, and how many of them come before the synchronizing word.
pub(super) const CELLS: usize = Codeword::BITS as usize;
pub(super) const HALVES: usize = 2 * CELLS;
pub(super) const SYNC_HALVES: usize = 2 * SYNC_BITS as usize;
pub(super) const BEFORE_SYNC: usize = HALVES - SYNC_HALVES;

/// The levels of the half cells of the synchronizing word after a positive level: a cell begins
/// with a change, and a 1 has another in its middle (IEC 60461 clause 8.3).
pub(super) const SYNC_LEVELS: [f32; SYNC_HALVES] = sync_levels();

const fn sync_levels() -> [f32; SYNC_HALVES] {
    let mut levels = [0.0; SYNC_HALVES];
    let mut level = 1.0;
    let mut cell = 0;
    while cell < SYNC_BITS as usize {
        level = -level;
        levels[2 * cell] = level;
        if is_one(cell) {
            level = -level;
        }
        levels[2 * cell + 1] = level;
        cell += 1;
    }
    levels
}

/// Whether a bit of the synchronizing word, counted from its first, is a 1.
pub(super) const fn is_one(bit: usize) -> bool {
    SYNC_FORWARD >> (SYNC_BITS as usize - 1 - bit) & 1 == 1
}

/// What is known of a bit before anything is heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Prior {
    /// Nothing.
    Open,
    /// That it is 0 or 1.
    Known(bool),
}

/// What is known of bit `number` of a codeword.
pub(super) const fn prior(number: usize) -> Prior {
    if 2 * number >= BEFORE_SYNC {
        Prior::Known(is_one(number - BEFORE_SYNC / 2))
    } else {
        Prior::Open
    }
}

/// The levels of the half cells of codewords, the first after level -1.
pub(super) fn levels(codewords: &[Codeword]) -> Vec<f32> {
    let mut level = -1.0;
    let mut levels = Vec::with_capacity(HALVES * codewords.len());
    for codeword in codewords {
        for bit in 0..Codeword::BITS {
            level = -level;
            levels.push(level);
            if codeword.bit(bit) {
                level = -level;
            }
            levels.push(level);
        }
    }
    levels
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::robust::whole;

    fn sum(other: impl Fn(usize) -> f32, shift: usize) -> i64 {
        let products = (shift..SYNC_HALVES).map(|n| SYNC_LEVELS[n] * other(n - shift));
        products
            .map(|product| whole::nearest(f64::from(product)))
            .sum()
    }

    #[test]
    fn the_pattern_looks_much_like_itself_a_half_cell_later() {
        let shifted = [0, 1, 2, 3].map(|shift| sum(|n| SYNC_LEVELS[n], shift));
        assert_eq!(shifted, [32, -25, 20, -19]);
    }

    #[test]
    fn the_pattern_looks_even_more_like_its_mirror_image() {
        let mirrored = |n: usize| SYNC_LEVELS[SYNC_HALVES - 1 - n];
        let highest = (0..SYNC_HALVES).map(|shift| sum(mirrored, shift).abs());
        assert_eq!(highest.max(), Some(28));
    }
}
