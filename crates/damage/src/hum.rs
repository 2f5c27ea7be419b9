//! Hum from the mains.

use std::f64::consts::{PI, TAU};

use plumbline_timecode::SampleRate;

use crate::sound::normalized;
use crate::{Random, Sound};

/// Hum from the mains, with its harmonics as long as there is room for them below half the sample
/// rate. Phases are by chance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hum {
    /// Where the mains runs.
    pub mains: Mains,
    /// How many harmonics there are, the fundamental among them: 1 is a pure tone. Each has the
    /// amplitude of the fundamental over its number, as a magnetic field that saturates gives.
    pub harmonics: u32,
}

/// How fast the mains alternates.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Mains {
    /// 50 Hz.
    Hertz50,
    /// 60 Hz.
    Hertz60,
}

impl Mains {
    /// In hertz.
    pub const fn hertz(self) -> f64 {
        match self {
            Self::Hertz50 => 50.0,
            Self::Hertz60 => 60.0,
        }
    }
}

impl Sound for Hum {
    fn samples(&self, sample_rate: SampleRate, count: usize, random: &mut Random) -> Vec<f64> {
        let step = TAU * self.mains.hertz() / sample_rate.as_f64();
        let mut samples = vec![0.0; count];
        for number in (1..=self.harmonics).map(f64::from) {
            let phase = random.between(0.0, TAU);
            if number * step < PI {
                for (sample, n) in samples.iter_mut().zip(0_u32..) {
                    *sample += (number * step * f64::from(n) + phase).sin() / number;
                }
            }
        }
        normalized(samples)
    }
}
