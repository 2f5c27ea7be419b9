//! What an edge looks like, wherever between two samples it is.

use std::f64::consts::PI;

/// A raised-cosine edge behind a converter's low-pass: what is above half the sample rate is
/// taken out, so that edges between samples are where they should be and nothing is mirrored.
///
/// Where the sample rate can carry the rise time, the low-pass changes next to nothing; where it
/// can't, edges are as steep as it allows.
#[derive(Debug, Clone)]
pub(super) struct EdgeShape {
    /// How many samples before and after the edge differ from the levels on its sides.
    reach: usize,
    /// For each phase between two samples, the edge from 0 to 1 at each sample, less the whole of
    /// it once the edge is over: [`PHASES`] + 1 rows of `2 * reach`.
    rows: Vec<f32>,
}

/// Places between two samples that are worked out; in between, a straight line does.
const PHASES: usize = 128;
/// The low-pass reaches so many samples either way.
const REACH: usize = 12;
/// Half of what goes in comes out here, in cycles a sample; nothing at half a cycle.
const CUT_OFF: f64 = 0.42;
/// How fast the low-pass ends in time against in frequency: 60 dB at half the sample rate.
const KAISER: f64 = 6.0;
/// 10 to 90 % of a raised cosine is this part of its length: (2/π) asin 0.8.
const TEN_TO_NINETY: f64 = 0.590_334_470_6;

impl EdgeShape {
    /// An edge that takes so many samples from 10 to 90 %.
    pub(super) fn new(rise: f64) -> Self {
        let length = rise / TEN_TO_NINETY;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "rise times and sample rates are limited"
        )]
        let reach = REACH + 1 + (length / 2.0).ceil() as usize;
        // Rows are added eight samples at a time, with none left over.
        let reach = reach.next_multiple_of(4);
        let kernel = low_pass();
        // All phases of all samples are one fine grid.
        let grid = |at: isize| at as f64 / PHASES as f64;
        let edge = |at: isize| raised_cosine(grid(at), length);
        let half_kernel = (kernel.len() / 2).cast_signed();
        let span = (reach * PHASES).cast_signed();
        let plain: Vec<f64> = (-span - half_kernel..=span + half_kernel)
            .map(edge)
            .collect();
        let filtered: Vec<f64> = plain
            .windows(kernel.len())
            .map(|window| {
                window
                    .iter()
                    .zip(&kernel)
                    .map(|(edge, weight)| edge * weight)
                    .sum()
            })
            .collect();
        let at = |sample: usize, phase: usize| filtered[(sample + 1) * PHASES - phase];
        let rows = (0..=PHASES)
            .flat_map(|phase| (0..2 * reach).map(move |sample| (sample, phase)))
            .map(|(sample, phase)| narrowed(at(sample, phase)))
            .collect();
        Self { reach, rows }
    }

    /// How many samples before an edge it begins, and how many after it it is over.
    pub(super) fn reach(&self) -> usize {
        self.reach
    }

    /// Adds an edge of some height at `fraction` after a sample to those from `reach - 1` samples
    /// before that one to `reach` after it; the first `skipped` of them are not there.
    pub(super) fn add(&self, fraction: f64, height: f32, skipped: usize, samples: &mut [f32]) {
        let place = fraction * PHASES as f64;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to PHASES"
        )]
        let phase = (place as usize).min(PHASES - 1);
        let part = narrowed(place - phase as f64);
        let (here, next) = (height * (1.0 - part), height * part);
        let width = 2 * self.reach;
        let rows = &self.rows[phase * width..(phase + 2) * width];
        let rows = rows[skipped..width].iter().zip(&rows[width + skipped..]);
        for (sample, (before, after)) in samples.iter_mut().zip(rows) {
            *sample += here * before + next * after;
        }
    }
}

/// From 0 to 1 in so many samples, half-way at 0.
fn raised_cosine(at: f64, length: f64) -> f64 {
    let part = (at / length).clamp(-0.5, 0.5);
    f64::midpoint(1.0, (PI * part).sin())
}

/// A windowed sinc on the fine grid, its sum 1.
fn low_pass() -> Vec<f64> {
    let half = (REACH * PHASES).cast_signed();
    let weight = |n: isize| {
        let at = n as f64 / PHASES as f64;
        let turn = 2.0 * PI * CUT_OFF * at;
        let sinc = if n == 0 { 1.0 } else { turn.sin() / turn };
        let inside = at / REACH as f64;
        sinc * bessel_i0(KAISER * (1.0 - inside * inside).max(0.0).sqrt())
    };
    let kernel: Vec<f64> = (-half..=half).map(weight).collect();
    let sum: f64 = kernel.iter().sum();
    kernel.into_iter().map(|weight| weight / sum).collect()
}

/// The modified Bessel function of the first kind of order zero, by its series.
fn bessel_i0(x: f64) -> f64 {
    let quarter = x * x / 4.0;
    let mut term = 1.0;
    let mut sum = 1.0;
    for n in 1..40 {
        term *= quarter / f64::from(n * n);
        sum += term;
    }
    sum
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "samples are single precision"
)]
fn narrowed(value: f64) -> f32 {
    value as f32
}
