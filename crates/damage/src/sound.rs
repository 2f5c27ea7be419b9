//! What can be heard over code.

use std::fmt::Debug;

use plumbline_timecode::SampleRate;

use crate::Random;

/// A sound of which any length can be made.
pub trait Sound: Debug + Sync {
    /// So many samples whose mean square is 1: in the mean over all chances for noise, in the
    /// samples themselves for everything else.
    fn samples(&self, sample_rate: SampleRate, count: usize, random: &mut Random) -> Vec<f64>;
}

/// The mean of the squares; 0 of nothing.
pub(crate) fn mean_square(samples: &[f64]) -> f64 {
    let sum: f64 = samples.iter().map(|sample| sample * sample).sum();
    sum / samples.len().max(1) as f64
}

/// The same sound with a mean square of 1; silence stays silence.
pub(crate) fn normalized(mut samples: Vec<f64>) -> Vec<f64> {
    let power = mean_square(&samples);
    if power > 0.0 {
        let gain = power.sqrt().recip();
        for sample in &mut samples {
            *sample *= gain;
        }
    }
    samples
}
