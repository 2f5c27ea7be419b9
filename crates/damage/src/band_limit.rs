//! Frequencies that did not come through.

use realfft::num_complex::Complex;

use crate::convert::narrowed;
use crate::spectrum::filtered;
use crate::{Damage, DamageError, Random, Take};

/// Frequencies that did not come through: Butterworth filters of any order, at -3 dB at their
/// edges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BandLimit {
    /// What is below this many hertz is taken out, if it is said.
    pub low: Option<f64>,
    /// What is above this many hertz is taken out, if it is said.
    pub high: Option<f64>,
    /// How steep each edge is: 6 dB an octave for each order.
    pub order: u32,
    /// What becomes of times.
    pub phase: Phase,
}

/// What a filter does to times.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Phase {
    /// All frequencies keep their place, as in a filter that can wait: positions stay true.
    Linear,
    /// As circuits do it: what comes out comes later, each frequency by its own delay. Truth does
    /// not follow, since there is no one delay to follow by.
    Causal,
}

impl Damage for BandLimit {
    fn apply(&self, take: &mut Take, _: &mut Random) -> Result<(), DamageError> {
        let hertz = take.sample_rate.as_f64();
        for edge in [self.low, self.high].into_iter().flatten() {
            DamageError::check("a band edge", edge, "above 0 Hz", |edge| edge > 0.0)?;
        }
        let samples: Vec<f64> = take.samples.iter().copied().map(f64::from).collect();
        let out = filtered(&samples, |at| self.response(at * hertz));
        for (sample, out) in take.samples.iter_mut().zip(out) {
            *sample = narrowed(out);
        }
        Ok(())
    }
}

impl BandLimit {
    /// Only what is above.
    pub const fn above(hertz: f64, order: u32, phase: Phase) -> Self {
        Self {
            low: Some(hertz),
            high: None,
            order,
            phase,
        }
    }

    /// Only what is below.
    pub const fn below(hertz: f64, order: u32, phase: Phase) -> Self {
        Self {
            low: None,
            high: Some(hertz),
            order,
            phase,
        }
    }

    fn response(&self, hertz: f64) -> Complex<f64> {
        let low = self.high.map(|edge| self.low_pass(hertz / edge));
        // A high-pass is the low-pass looked at from the other side: f/f₀ becomes -f₀/f.
        let high = self.low.map(|edge| {
            if hertz == 0.0 {
                Complex::ZERO
            } else {
                self.low_pass(-edge / hertz)
            }
        });
        let response = low.unwrap_or(Complex::ONE) * high.unwrap_or(Complex::ONE);
        match self.phase {
            Phase::Linear => Complex::from(response.norm()),
            Phase::Causal => response,
        }
    }

    /// The Butterworth low-pass: poles evenly on the left half of the unit circle.
    fn low_pass(&self, frequency: f64) -> Complex<f64> {
        (0..self.order)
            .map(|pole| {
                let place = f64::from(2 * pole + 1) / f64::from(2 * self.order);
                let pole = Complex::from_polar(1.0, std::f64::consts::PI * (0.5 + place));
                -pole / (Complex::new(0.0, frequency) - pole)
            })
            .product()
    }
}
