//! A resonance: what a mouth, a string or a drum does to what excites it.

use std::f64::consts::{PI, TAU};

/// A two-pole resonance.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Resonator {
    last: [f64; 2],
    gain: f64,
    feedback: [f64; 2],
}

impl Resonator {
    /// A resonance at a frequency, with a bandwidth, both in cycles a sample; 1 at frequency 0.
    pub(crate) fn new(frequency: f64, bandwidth: f64) -> Self {
        let mut resonator = Self {
            last: [0.0; 2],
            gain: 1.0,
            feedback: [0.0; 2],
        };
        resonator.tune(frequency, bandwidth);
        resonator
    }

    /// Moves it; what rings in it goes on ringing.
    pub(crate) fn tune(&mut self, frequency: f64, bandwidth: f64) {
        let radius = (-PI * bandwidth).exp();
        self.feedback = [2.0 * radius * (TAU * frequency).cos(), -radius * radius];
        self.gain = 1.0 - self.feedback[0] - self.feedback[1];
    }

    /// Takes the next sample and gives what rings.
    pub(crate) fn push(&mut self, sample: f64) -> f64 {
        let [before, earlier] = self.last;
        let now = self.gain * sample + self.feedback[0] * before + self.feedback[1] * earlier;
        self.last = [now, before];
        now
    }
}
