//! How well each value fits each group of four bits of each codeword.

use crate::robust::pattern::{BEFORE_SYNC, HALVES, SYNC_LEVELS};

/// Groups of four bits before the synchronizing word.
pub(super) const GROUPS: usize = 16;
/// The first of them, up to the last with digits of frames and seconds.
pub(super) const TIME_GROUPS: usize = 7;
/// Values of a group.
pub(super) const VALUES: usize = 16;
/// Half cells of a group.
pub(super) const GROUP_HALVES: usize = BEFORE_SYNC / GROUPS;

/// Flags beside the eight digits, in the groups with even numbers.
const FLAGS: [&[usize]; GROUPS / 2] = [
    &[0],
    &[0, 4, 8, 12],
    &[0],
    &[0, 8],
    &[0],
    &[0, 8],
    &[0],
    &[0, 4, 8, 12],
];

/// The flags that may stand beside the digit in a group; none if it has user bits.
pub(super) fn flags(group: usize) -> Option<&'static [usize]> {
    let is_of_time = group.is_multiple_of(2);
    is_of_time.then(|| FLAGS.get(group / 2).copied())?
}

/// The fit of each value of a group, if the level before it is +1; before level -1 it is the
/// negative.
pub(super) type Fits = [f32; VALUES];

/// A codeword's fits.
#[derive(Debug, Clone)]
pub(super) struct Column {
    pub(super) groups: [Fits; GROUPS],
    pub(super) sync: f32,
}

impl Column {
    /// From the half cells of a codeword.
    pub(super) fn of(halves: &[f32]) -> Self {
        let mut groups = [[0.0; VALUES]; GROUPS];
        for (fits, halves) in groups.iter_mut().zip(halves.chunks_exact(GROUP_HALVES)) {
            for (fit, pattern) in fits.iter_mut().zip(PATTERNS) {
                *fit = halves.iter().zip(pattern).map(|(half, a)| half * a).sum();
            }
        }
        let sync = halves[BEFORE_SYNC..HALVES].iter().zip(SYNC_LEVELS);
        Self {
            groups,
            sync: sync.map(|(half, a)| half * a).sum(),
        }
    }
}

/// The level after a group of four bits, +1 being that before it: each 0 turns it round.
pub(super) fn parity(value: usize) -> f32 {
    if value.count_ones().is_multiple_of(2) {
        1.0
    } else {
        -1.0
    }
}

/// The levels of the half cells of each value, after level +1 (IEC 60461 clause 8.3).
const PATTERNS: [[f32; GROUP_HALVES]; VALUES] = patterns();

const fn patterns() -> [[f32; GROUP_HALVES]; VALUES] {
    let mut patterns = [[0.0; GROUP_HALVES]; VALUES];
    let mut value = 0;
    while value < VALUES {
        let mut level = 1.0;
        let mut bit = 0;
        while 2 * bit < GROUP_HALVES {
            level = -level;
            patterns[value][2 * bit] = level;
            if value >> bit & 1 == 1 {
                level = -level;
            }
            patterns[value][2 * bit + 1] = level;
            bit += 1;
        }
        value += 1;
    }
    patterns
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PolarityRule;
    use crate::robust::pattern::levels;
    use crate::robust::testing::counting;
    use plumbline_timecode::Count;

    #[test]
    fn the_value_that_was_sent_fits_best_and_tells_the_level_after_it() {
        for word in counting(Count::F25, 60, PolarityRule::Uncorrected) {
            let column = Column::of(&levels(&[word]));
            let mut level = -1.0;
            for (group, fits) in column.groups.iter().enumerate() {
                let sent = usize::from(word.0[group / 2] >> (4 * (group % 2)) & 15);
                assert!((fits[sent] * level - 8.0).abs() < 1e-6);
                level *= parity(sent);
            }
            assert!((column.sync * level - 32.0).abs() < 1e-6);
        }
    }
}
