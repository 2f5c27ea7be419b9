//! Pink noise.

use plumbline_timecode::SampleRate;
use realfft::num_complex::Complex;

use crate::convert::whole;
use crate::spectrum::shape;
use crate::{Random, Sound};

/// Normally distributed noise with the same power in every octave: its power for each hertz falls
/// by 3 dB an octave, from 20 Hz to half the sample rate. Below 20 Hz it is level.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pink;

/// Where the slope begins: below it there is nothing to be heard, and 1/f would grow for ever.
const LOWEST_HERTZ: f64 = 20.0;

impl Sound for Pink {
    fn samples(&self, sample_rate: SampleRate, count: usize, random: &mut Random) -> Vec<f64> {
        let corner = LOWEST_HERTZ / sample_rate.as_f64();
        // Long enough that bins are well below the corner, and a length that transforms fast.
        let length = count.max(whole(8.0 / corner)).next_power_of_two();
        let bins = length / 2;
        let power = |at: f64| corner / at.max(corner);
        let mean = (0..bins)
            .map(|bin| power(bin as f64 / length as f64))
            .sum::<f64>()
            / bins as f64;
        let mut samples: Vec<f64> = (0..length).map(|_| random.normal()).collect();
        shape(&mut samples, |at| Complex::from((power(at) / mean).sqrt()));
        samples.truncate(count);
        samples
    }
}
