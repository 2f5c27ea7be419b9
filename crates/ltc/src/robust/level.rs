//! How loud code is against what is around it, told by its synchronizing words alone: they are
//! known before anything is read.

use super::pattern::{BEFORE_SYNC, HALVES, SYNC_HALVES, SYNC_LEVELS};
use super::whole;

/// Code and noise in the integrals of half cells.
#[derive(Debug, Clone, Copy)]
pub(super) struct Level {
    /// The square of what the code gives.
    pub(super) code: f64,
    /// The variance of what the noise gives.
    noise: f64,
}

/// No sound is believed to be cleaner than this: edges are not quite where they belong.
const CLEANEST: f64 = 0.05;
/// No code is believed to be weaker: it was found.
const WEAKEST: f64 = 1e-3;

impl Level {
    /// From the integrals of all half cells of some codewords.
    ///
    /// The synchronizing word's 32 half cells add up to 32 times the code's level and the noise of
    /// 32; the mean square of any is the sum of both powers. Two equations, two unknowns.
    pub(super) fn of(integrals: &[f32]) -> Self {
        let sync = SYNC_HALVES as f64;
        let squares = syncs(integrals).map(|sum| sum * sum);
        let words = (integrals.len() / HALVES).max(1) as f64;
        let square = squares.sum::<f64>() / words;
        let all = integrals
            .iter()
            .map(|&part| f64::from(part).powi(2))
            .sum::<f64>();
        let mean = all / (integrals.len().max(1)) as f64;
        let code = ((square - sync * mean) / (sync * sync - sync)).max(WEAKEST * mean);
        Self {
            code,
            noise: (mean - code).max(CLEANEST * mean).max(f64::MIN_POSITIVE),
        }
    }

    /// The integrals on a scale where the noise has variance 1.
    pub(super) fn over_noise(self, integrals: &[f32]) -> Vec<f32> {
        let scale = whole::single(1.0 / self.noise.sqrt());
        integrals.iter().map(|part| scale * part).collect()
    }

    /// What the code gives on that scale.
    pub(super) fn code_over_noise(self) -> f64 {
        (self.code / self.noise).sqrt()
    }

    /// The log-likelihood slopes of half cells.
    pub(super) fn slopes(self, integrals: &[f32]) -> Vec<f32> {
        let scale = whole::single(self.code.sqrt() / self.noise);
        integrals.iter().map(|part| scale * part).collect()
    }
}

/// What the half cells of the synchronizing word of each codeword come to.
pub(super) fn syncs(halves: &[f32]) -> impl Iterator<Item = f64> {
    halves.chunks_exact(HALVES).map(|word| {
        let parts = word[BEFORE_SYNC..].iter().zip(SYNC_LEVELS);
        parts.map(|(part, level)| f64::from(part * level)).sum()
    })
}
