//! Steady tones.

use std::f64::consts::TAU;

use plumbline_timecode::SampleRate;

use crate::sound::normalized;
use crate::{Random, Sound};

/// A steady tone: a line-up tone, a whistle, a synthesizer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteadyTone {
    /// How it swings.
    pub wave: Wave,
    /// How often a second.
    pub hertz: f64,
}

/// How a tone swings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Wave {
    /// A sine.
    Sine,
    /// Up and down at once: like code, it has edges and two levels.
    Square,
}

impl Sound for SteadyTone {
    fn samples(&self, sample_rate: SampleRate, count: usize, random: &mut Random) -> Vec<f64> {
        let step = self.hertz / sample_rate.as_f64();
        let phase = random.uniform();
        let at = |n: u32| (TAU * (step * f64::from(n) + phase)).sin();
        let samples = (0_u32..).take(count).map(|n| match self.wave {
            Wave::Sine => at(n),
            Wave::Square => at(n).signum(),
        });
        normalized(samples.collect())
    }
}
