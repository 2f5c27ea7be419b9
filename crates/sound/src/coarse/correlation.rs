//! One print's changes against all of another's, at every shift.
//!
//! At a shift, the products of what stands beside each other are added up over frames and bands,
//! and divided by the root of the sum of their squares. Where the two have nothing to do with each
//! other, that is a number of mean 0 whose spread does not depend on how much of them overlaps or
//! how loud it is just there.

use std::ops::Range;
use std::sync::Arc;

use realfft::num_complex::Complex32;
use realfft::{ComplexToReal, RealFftPlanner, RealToComplex};

use crate::onsets::Onsets;
use crate::print::BANDS;
use crate::whole;

/// Fewer frames with something in both say nothing.
const LEAST_EVIDENCE: f32 = 30.0;

/// The longer print, cut into blocks that overlap and transformed: each piece of the shorter one
/// is then found by products.
pub(super) struct Haystack {
    frames: i64,
    piece: usize,
    there: Arc<dyn RealToComplex<f32>>,
    back: Arc<dyn ComplexToReal<f32>>,
    blocks: Vec<Block>,
}

struct Block {
    /// The lag that comes first out of it.
    first: i64,
    /// The spectra of each band's changes, and of the activity.
    bands: Vec<Vec<Complex32>>,
    activity: Vec<Complex32>,
}

/// How well a piece fits at each lag: frame k of the piece on frame k + lag of the other.
#[derive(Debug)]
pub(super) struct Fits {
    /// The lag of the first value.
    pub(super) first: i64,
    pub(super) values: Vec<f32>,
}

impl std::fmt::Debug for Haystack {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Haystack")
            .field("frames", &self.frames)
            .field("blocks", &self.blocks.len())
            .finish_non_exhaustive()
    }
}

impl Haystack {
    /// For pieces of at most `piece` frames, at the given lags of their first frames.
    pub(super) fn new(onsets: &Onsets<'_>, piece: usize, lags: Range<i64>) -> Self {
        let wanted = whole::unsigned(lags.end - lags.start) + piece;
        let size = (4 * piece).min(wanted).next_power_of_two().max(64);
        let mut planner = RealFftPlanner::new();
        let mut haystack = Self {
            frames: whole::signed(onsets.frames()),
            piece,
            there: planner.plan_fft_forward(size),
            back: planner.plan_fft_inverse(size),
            blocks: Vec::new(),
        };
        let step = size - piece + 1;
        for first in lags.step_by(step) {
            let block = haystack.block(onsets, first, size);
            haystack.blocks.push(block);
        }
        haystack
    }

    fn block(&self, onsets: &Onsets<'_>, first: i64, size: usize) -> Block {
        let mut changes = vec![0.0; size];
        let bands = (0..BANDS).map(|band| {
            onsets.fill(band, first, &mut changes);
            self.spectrum(&changes)
        });
        Block {
            first,
            bands: bands.collect(),
            activity: self.spectrum(&onsets.activity(first..first + whole::signed(size))),
        }
    }

    fn spectrum(&self, values: &[f32]) -> Vec<Complex32> {
        let mut values = values.to_vec();
        values.resize(self.there.len(), 0.0);
        let mut spectrum = self.there.make_output_vec();
        // The lengths are those that it was planned for.
        let _ = self.there.process(&mut values, &mut spectrum);
        spectrum
    }

    /// How well frames of a print fit at every lag at which at least `overlap` frames of them do.
    pub(super) fn fits(&self, needle: &Onsets<'_>, frames: Range<i64>, overlap: i64) -> Fits {
        let length = (frames.end - frames.start).min(whole::signed(self.piece));
        let mut changes = vec![0.0; whole::unsigned(length)];
        let spectra = (0..BANDS).map(|band| {
            needle.fill(band, frames.start, &mut changes);
            self.spectrum(&changes)
        });
        let spectra: Vec<_> = spectra.collect();
        let activity = self.spectrum(&needle.activity(frames));
        let step = self.there.len() - self.piece + 1;
        let mut values = Vec::with_capacity(self.blocks.len() * step);
        for block in &self.blocks {
            let bands = block.bands.iter().zip(&spectra);
            let products = self.products(bands.map(|(a, b)| (a.as_slice(), b.as_slice())));
            let squares = self.products([(block.activity.as_slice(), activity.as_slice())]);
            let pairs = (block.first..).zip(products.iter().zip(&squares));
            values.extend(pairs.take(step).map(|(lag, (product, square))| {
                let common = (lag + length).min(self.frames) - lag.max(0);
                if common < overlap || *square < LEAST_EVIDENCE {
                    0.0
                } else {
                    product / (square * BANDS as f32).sqrt()
                }
            }));
        }
        let first = self.blocks.first().map_or(0, |block| block.first);
        Fits { first, values }
    }

    /// The sums of the products of two rows at each lag, added up over pairs of rows.
    fn products<'s>(
        &self,
        pairs: impl IntoIterator<Item = (&'s [Complex32], &'s [Complex32])>,
    ) -> Vec<f32> {
        let mut sum = self.back.make_input_vec();
        for (stays, moves) in pairs {
            for (sum, (a, b)) in sum.iter_mut().zip(stays.iter().zip(moves)) {
                *sum += a * b.conj();
            }
        }
        for end in [0, self.back.len() / 2] {
            sum[end].im = 0.0;
        }
        let mut values = self.back.make_output_vec();
        let _ = self.back.process(&mut sum, &mut values);
        let scale = 1.0 / values.len() as f32;
        for value in &mut values {
            *value *= scale;
        }
        values
    }
}

impl Fits {
    /// The spread of the values that are there: from their median size, so that a few places that
    /// fit do not count.
    pub(super) fn spread(&self) -> f32 {
        let mut sizes: Vec<f32> = self.values.iter().map(|value| value.abs()).collect();
        sizes.retain(|size| *size > 0.0);
        if sizes.is_empty() {
            return 1.0;
        }
        let middle = sizes.len() / 2;
        let (_, median, _) = sizes.select_nth_unstable_by(middle, f32::total_cmp);
        // The median size of a normal variable is 0.6745 of its spread. Sums of changes that
        // follow each other cannot spread less than 1.
        (*median / 0.6745).max(1.0)
    }

    /// Where among the given lags it fits best, with how many spreads: at most `count` places that
    /// are above `least` spreads and `apart` from each other.
    pub(super) fn peaks(
        &self,
        lags: &Range<i64>,
        least: f32,
        apart: usize,
        count: usize,
    ) -> Vec<(i64, f32)> {
        let spread = self.spread();
        let mut found: Vec<(i64, f32)> = (self.first..)
            .zip(self.values.iter().map(|value| value / spread))
            .filter(|(lag, height)| *height >= least && lags.contains(lag))
            .collect();
        found.sort_by(|a, b| b.1.total_cmp(&a.1));
        let mut peaks: Vec<(i64, f32)> = Vec::new();
        for (lag, height) in found {
            if peaks.len() == count {
                break;
            }
            let near = |peak: &(i64, f32)| whole::unsigned((peak.0 - lag).abs()) < apart;
            if !peaks.iter().any(near) {
                peaks.push((lag, height));
            }
        }
        peaks
    }
}
