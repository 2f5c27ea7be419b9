//! The edge reader on sound that has two samples for each of its own.
//!
//! Where half a cell has less than about 2.4 samples, edges can't be told from the samples alone; but
//! band-limited sound is known between them too (Shannon, Communication in the Presence of Noise,
//! 1949), and there they can.

use std::f64::consts::PI;

use crate::{Demodulator, Position, Received};

/// Reads pieces of sound.
#[derive(Debug, Clone)]
pub(crate) struct Finer {
    /// Ready for the first sample.
    demodulator: Demodulator,
    /// What a sample half way between two others takes of those on either side, from the nearest on.
    kernel: [f32; REACH],
    /// Samples in a glimpse.
    glimpse: usize,
}

/// So many samples on either side tell what is between them.
const REACH: usize = 24;
/// A glimpse has so many samples, more than two codewords of which edges are not told without this...
const WORDS_IN_GLIMPSE: usize = 1024;
/// ...and so many parts of a second more: what the edge reader looks ahead.
const AHEAD: f64 = 64.0;
/// One glimpse in so many parts of the piece.
const GLIMPSES: usize = 12;

impl Finer {
    pub(crate) fn new(hertz: f64) -> Self {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "`as` saturates"
        )]
        let ahead = (hertz / AHEAD) as usize;
        Self {
            demodulator: Demodulator::at(2.0 * hertz),
            kernel: kernel(),
            glimpse: WORDS_IN_GLIMPSE + ahead,
        }
    }

    /// The codewords in a piece of sound, of which sample 0 is number `from`.
    pub(crate) fn read(&self, piece: &[f32], from: u64) -> Vec<Received> {
        let mut demodulator = self.demodulator.clone();
        let mut words = Vec::new();
        if !self.shows(&mut demodulator, piece) {
            return words;
        }
        let mut received = |word: Received| words.push(halved(word, from));
        demodulator.begin_at(0);
        demodulator.push(&self.doubled(piece), &mut received);
        demodulator.finish(&mut received);
        words
    }

    /// Whether some glimpse of a piece shows what looks like code: most sound that comes here has none.
    fn shows(&self, demodulator: &mut Demodulator, piece: &[f32]) -> bool {
        let parts = piece.chunks(piece.len().div_ceil(GLIMPSES).max(self.glimpse));
        let mut glimpses = parts.map(|part| &part[..part.len().min(self.glimpse)]);
        glimpses.any(|glimpse| demodulator.glimpses(0, &self.doubled(glimpse)))
    }

    /// A piece with twice as many samples.
    fn doubled(&self, piece: &[f32]) -> Vec<f32> {
        let mut padded = vec![0.0; REACH - 1];
        padded.extend_from_slice(piece);
        padded.resize(piece.len() + 2 * REACH, 0.0);
        let around = padded.windows(2 * REACH);
        let pairs = piece.iter().zip(around);
        pairs
            .flat_map(|(own, around)| [*own, between(around, &self.kernel)])
            .collect()
    }
}

/// The sample in the middle of an even number of others.
fn between(around: &[f32], kernel: &[f32; REACH]) -> f32 {
    let (before, after) = around.split_at(REACH);
    let pairs = before.iter().rev().zip(after);
    pairs.zip(kernel).map(|((a, b), part)| (a + b) * part).sum()
}

/// A sinc at half samples under a Blackman window.
fn kernel() -> [f32; REACH] {
    std::array::from_fn(|n| {
        let at = n as f64 + 0.5;
        let part = PI * at / REACH as f64;
        let window = 0.42 + 0.5 * part.cos() + 0.08 * (2.0 * part).cos();
        #[expect(clippy::cast_possible_truncation, reason = "samples have no more")]
        let value = ((PI * at).sin() / (PI * at) * window) as f32;
        value
    })
}

/// A codeword of the doubled sound in the terms of the piece's own.
fn halved(word: Received, from: u64) -> Received {
    let place = |at: Position| Position::beside(from, at.as_f64() / 2.0);
    Received {
        begins: place(word.begins),
        ends: place(word.ends),
        samples_per_codeword: word.samples_per_codeword / 2.0,
        ..word
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A wave below half the sample rate is known between its samples to -66 dB.
    #[test]
    fn what_is_between_samples_is_that_of_the_wave() {
        for part in [0.01, 0.21, 0.42] {
            let wave = |at: f64| (2.0 * PI * part * at + 0.3).sin();
            #[expect(clippy::cast_possible_truncation, reason = "samples have no more")]
            let piece: Vec<f32> = (0..200).map(|n| wave(f64::from(n)) as f32).collect();
            let doubled = Finer::new(48_000.0).doubled(&piece);
            assert_eq!(doubled.len(), 400);
            let own = doubled.iter().zip(0_u32..).skip(2 * REACH);
            for (sample, n) in own.take(400 - 4 * REACH) {
                let off = f64::from(*sample) - wave(f64::from(n) / 2.0);
                assert!(off.abs() < 5e-4, "{part} {n}: {off}");
            }
        }
    }
}
