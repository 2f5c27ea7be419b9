//! The sound that something may still be asked of.

use std::ops::Range;

/// Samples from some number on, to the last one that came.
#[derive(Debug, Clone, Default)]
pub(super) struct Kept {
    samples: Vec<f32>,
    /// The number of the first of them.
    from: u64,
}

impl Kept {
    pub(super) fn push(&mut self, samples: &[f32]) {
        self.samples.extend_from_slice(samples);
    }

    /// The number of the first sample that is kept.
    pub(super) fn from(&self) -> u64 {
        self.from
    }

    /// How many samples came.
    pub(super) fn end(&self) -> u64 {
        self.from + self.samples.len() as u64
    }

    /// Those with these numbers; none if not all of them are here.
    pub(super) fn get(&self, numbers: Range<u64>) -> Option<&[f32]> {
        self.samples
            .get(self.index(numbers.start)?..self.index(numbers.end)?)
    }

    /// All from a number on, or from the first that is kept.
    pub(super) fn since(&self, number: u64) -> &[f32] {
        let since = self.index(number.max(self.from));
        since
            .and_then(|at| self.samples.get(at..))
            .unwrap_or_default()
    }

    /// Those with these numbers and so many on either side, as far as there are some; and the number of
    /// the first.
    pub(super) fn around(&self, numbers: &Range<u64>, around: u64) -> (u64, &[f32]) {
        let begins = numbers.start.saturating_sub(around).max(self.from);
        let ends = (numbers.end + around).min(self.end());
        (begins, self.get(begins..ends).unwrap_or_default())
    }

    /// Forgets what comes before a number.
    pub(super) fn forget_before(&mut self, number: u64) {
        let number = number.clamp(self.from, self.end());
        if let Some(gone) = self.index(number) {
            self.samples.drain(..gone);
            self.from = number;
        }
    }

    fn index(&self, number: u64) -> Option<usize> {
        usize::try_from(number.checked_sub(self.from)?).ok()
    }
}
