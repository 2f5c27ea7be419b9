//! The ways of counting that a run of codewords still allows.

use plumbline_timecode::Count;

/// The countings that linear timecode carries (SMPTE ST 12-1 clause 8), drop-frame last so that
/// it is taken only where the digits or the flag speak for it.
pub(crate) const COUNTS: [Count; 4] = [Count::F24, Count::F25, Count::F30, Count::F30Drop];

/// A set of [`COUNTS`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct CountSet(u8);

impl CountSet {
    /// Every counting for which `keep` holds.
    pub(crate) fn of(mut keep: impl FnMut(Count) -> bool) -> Self {
        let bits = COUNTS.iter().enumerate().filter(|&(_, &count)| keep(count));
        CountSet(bits.fold(0, |set, (i, _)| set | 1 << i))
    }

    pub(crate) fn is_empty(self) -> bool {
        self.0 == 0
    }

    pub(crate) fn contains(self, count: Count) -> bool {
        self.iter().any(|held| held == count)
    }

    pub(crate) fn iter(self) -> impl Iterator<Item = Count> {
        COUNTS
            .into_iter()
            .enumerate()
            .filter(move |(i, _)| self.0 & (1 << i) != 0)
            .map(|(_, c)| c)
    }
}
