//! From samples to a print.

use std::ops::Range;
use std::sync::Arc;

use plumbline_timecode::SampleRate;
use realfft::num_complex::Complex32;
use realfft::{RealFftPlanner, RealToComplex};
use thiserror::Error;

use crate::Print;
use crate::print::{BANDS, FRAMES_A_SECOND, byte_of};
use crate::whole;

/// The borders of the bands in hertz: where voices and most other sounds are, above hum and
/// handling noise, below what cheap microphones and codecs leave out.
const BORDERS: [f64; BANDS + 1] = [
    175.0, 325.0, 525.0, 825.0, 1275.0, 1975.0, 3075.0, 4775.0, 7475.0,
];

/// The sample rates of which prints are made, in hertz.
const SAMPLE_RATES: std::ops::RangeInclusive<f64> = 8_000.0..=384_000.0;

/// A sample rate at which no print is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("the sample rate is {0} Hz: sound is lined up from 8000 to 384000 Hz")]
pub struct PrintRateError(pub SampleRate);

/// Makes a [`Print`] of one channel as its samples come.
///
/// A frame is 20 ms under a Hann window and begins 10 ms after the one before, at every sample
/// rate. Besides the print (800 bytes a second) it keeps one frame of samples.
///
/// ```
/// use plumbline_sound::PrintMaker;
/// use plumbline_timecode::SampleRate;
/// let mut maker = PrintMaker::new(SampleRate::hertz(48_000)?)?;
/// maker.push(&[0.0; 48_000]);
/// let print = maker.finish();
/// assert_eq!(print.length().0, 1.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub struct PrintMaker {
    sample_rate: SampleRate,
    transform: Arc<dyn RealToComplex<f32>>,
    window: Vec<f32>,
    bands: [Range<usize>; BANDS],
    /// From the sum of a band's squares to the mean square of its sound.
    scale: f64,
    frames: Vec<[u8; BANDS]>,
    pushed: u64,
    /// The samples from the next frame's first on, as far as they have come.
    held: Vec<f32>,
    frame: Vec<f32>,
    spectrum: Vec<Complex32>,
    scratch: Vec<Complex32>,
}

impl std::fmt::Debug for PrintMaker {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("PrintMaker")
            .field("sample_rate", &self.sample_rate)
            .field("pushed", &self.pushed)
            .finish_non_exhaustive()
    }
}

impl PrintMaker {
    /// For a channel with so many samples a second.
    pub fn new(sample_rate: SampleRate) -> Result<Self, PrintRateError> {
        let hertz = sample_rate.as_f64();
        if !SAMPLE_RATES.contains(&hertz) {
            return Err(PrintRateError(sample_rate));
        }
        let size = 2 * whole::index((hertz / f64::from(FRAMES_A_SECOND)).round());
        let transform = RealFftPlanner::new().plan_fft_forward(size);
        let step = std::f64::consts::TAU / size as f64;
        let hann = |n: usize| 0.5 - 0.5 * (step * (n as f64 + 0.5)).cos();
        let bin = |border: f64| whole::index(border * size as f64 / hertz + 0.5).min(size / 2);
        let power: f64 = (0..size).map(|n| hann(n).powi(2)).sum();
        Ok(Self {
            sample_rate,
            window: (0..size).map(|n| whole::single(hann(n))).collect(),
            bands: std::array::from_fn(|band| bin(BORDERS[band])..bin(BORDERS[band + 1])),
            scale: 2.0 / (power * size as f64),
            frames: Vec::new(),
            pushed: 0,
            held: Vec::with_capacity(2 * size),
            frame: vec![0.0; size],
            spectrum: transform.make_output_vec(),
            scratch: transform.make_scratch_vec(),
            transform,
        })
    }

    /// Takes the next samples, in any number. What is no number counts as silence.
    pub fn push(&mut self, samples: &[f32]) {
        for some in samples.chunks(self.window.len()) {
            self.pushed += some.len() as u64;
            let clean = |sample: &f32| if sample.is_finite() { *sample } else { 0.0 };
            self.held.extend(some.iter().map(clean));
            self.look();
        }
    }

    /// The print of all that was pushed.
    pub fn finish(self) -> Print {
        Print {
            sample_rate: self.sample_rate,
            samples: self.pushed,
            frames: self.frames,
        }
    }

    /// Makes the frames whose samples are all there.
    fn look(&mut self) {
        let mut used = 0;
        while let Some(samples) = self.held.get(used..used + self.window.len()) {
            let weighed = samples.iter().zip(&self.window);
            for (into, (sample, window)) in self.frame.iter_mut().zip(weighed) {
                *into = sample * window;
            }
            // The lengths are those that it was planned for.
            let _ = self.transform.process_with_scratch(
                &mut self.frame,
                &mut self.spectrum,
                &mut self.scratch,
            );
            let levels = self.bands.clone().map(|band| self.level(band));
            let number = self.frames.len() as u64;
            self.frames.push(levels);
            let step = self.begins(number + 1) - self.begins(number);
            used += usize::try_from(step).unwrap_or(usize::MAX);
        }
        self.held.drain(..used.min(self.held.len()));
    }

    /// The first sample of a frame: exact, so that frames do not creep where a hundredth of a
    /// second is no whole number of samples.
    fn begins(&self, frame: u64) -> u64 {
        let rate = self.sample_rate.fraction();
        let sample = i128::from(frame) * rate.numerator()
            / (rate.denominator() * i128::from(FRAMES_A_SECOND));
        u64::try_from(sample).unwrap_or(u64::MAX)
    }

    fn level(&self, band: Range<usize>) -> u8 {
        let bins = self.spectrum.get(band).unwrap_or_default();
        let sum: f32 = bins.iter().map(Complex32::norm_sqr).sum();
        byte_of(10.0 * (f64::from(sum) * self.scale).log10())
    }
}
