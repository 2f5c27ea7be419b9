//! White noise.

use plumbline_timecode::SampleRate;

use crate::{Random, Sound};

/// Normally distributed noise with the same power at every frequency up to half the sample rate:
/// independent samples.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct White;

impl Sound for White {
    fn samples(&self, _: SampleRate, count: usize, random: &mut Random) -> Vec<f64> {
        (0..count).map(|_| random.normal()).collect()
    }
}
