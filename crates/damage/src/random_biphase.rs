//! Data that is sent as code is, and is not code.

use plumbline_ltc::{Codeword, Modulator, Tone};
use plumbline_timecode::{Rate, SampleRate};

use crate::sound::normalized;
use crate::{Random, Sound};

/// Biphase mark of bits by chance, as fast as code at a rate: it sounds like code, and says
/// nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RandomBiphase {
    /// The rate of code with as many bits a second.
    pub rate: Rate,
}

impl Sound for RandomBiphase {
    fn samples(&self, sample_rate: SampleRate, count: usize, random: &mut Random) -> Vec<f64> {
        let mut samples = Vec::with_capacity(count);
        // Too low a sample rate for such code is silence.
        if let Ok(mut modulator) = Modulator::new(Tone::new(self.rate, sample_rate)) {
            while samples.len() < count {
                let mut bytes = [0; 10];
                for part in bytes.chunks_mut(4) {
                    part.copy_from_slice(&random.bits().to_le_bytes()[..part.len()]);
                }
                modulator.push(Codeword(bytes), &mut |block| {
                    samples.extend(block.iter().copied().map(f64::from));
                });
            }
        }
        samples.resize(count, 0.0);
        normalized(samples)
    }
}
