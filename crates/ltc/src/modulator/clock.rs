//! Where the half-cells are, exactly.

use plumbline_timecode::{Fraction, Rounding, Samples};

use super::ModulatorError;

/// Steps from half-cell to half-cell in whole samples and a rest that is a fraction of one, both
/// whole numbers: nothing is rounded, so nothing adds up.
#[derive(Debug, Clone, Copy)]
pub(super) struct Clock {
    sample: u64,
    /// In `denominator`ths of a sample, less than one.
    rest: u64,
    step_samples: u64,
    step_rest: u64,
    denominator: u64,
    /// What one of these parts of a sample is.
    part: f64,
}

impl Clock {
    pub(super) fn new(begins: Samples, half_cell: Fraction) -> Result<Self, ModulatorError> {
        if begins.0 < Fraction::ZERO {
            return Err(ModulatorError::BeginsBefore(begins.0));
        }
        let denominator = Fraction::new(begins.0.denominator(), half_cell.denominator())
            .and_then(|ratio| ratio.numerator().checked_mul(half_cell.denominator()))
            .filter(|&denominator| denominator < 1 << 63)
            .ok_or(ModulatorError::TooFine)?;
        let (sample, rest) = split(begins.0, denominator)?;
        let (step_samples, step_rest) = split(half_cell, denominator)?;
        Ok(Self {
            sample,
            rest,
            step_samples,
            step_rest,
            denominator: whole(denominator)?,
            part: 1.0 / denominator as f64,
        })
    }

    /// Goes on by half a cell.
    pub(super) fn step(&mut self) {
        self.sample += self.step_samples;
        self.rest += self.step_rest;
        if self.rest >= self.denominator {
            self.rest -= self.denominator;
            self.sample += 1;
        }
    }

    /// Where it stands: whole samples, and a part of the next, 0 to 1.
    pub(super) fn place(&self) -> (u64, f64) {
        (self.sample, self.rest as f64 * self.part)
    }
}

/// Whole samples, and the rest over `denominator`, a multiple of the fraction's own.
fn split(samples: Fraction, denominator: i128) -> Result<(u64, u64), ModulatorError> {
    let rest = samples.numerator() % samples.denominator();
    let rest = rest * (denominator / samples.denominator());
    Ok((whole(samples.round(Rounding::Down))?, whole(rest)?))
}

fn whole(number: i128) -> Result<u64, ModulatorError> {
    u64::try_from(number).map_err(|_| ModulatorError::TooFine)
}

#[cfg(test)]
mod tests {
    use super::*;
    use plumbline_timecode::{Frames, Rate, SampleRate};

    #[test]
    fn after_a_day_a_codeword_begins_where_arithmetic_says() {
        let rate = SampleRate::hertz(44_100).unwrap().pulled_down().unwrap();
        let frames = Frames(2_589_408);
        for code in [Rate::F23_976, Rate::F25, Rate::F29_97] {
            let half = code
                .samples(Frames(1), rate)
                .0
                .checked_div(Fraction::whole(160))
                .unwrap();
            let begins = Samples(Fraction::new(3, 16).unwrap());
            let mut clock = Clock::new(begins, half).unwrap();
            for _ in 0..frames.0 * 160 {
                clock.step();
            }
            let right = code.samples(frames, rate).0.checked_add(begins.0).unwrap();
            let place = Fraction::new(
                i128::from(clock.sample) * i128::from(clock.denominator) + i128::from(clock.rest),
                i128::from(clock.denominator),
            );
            assert_eq!(place, Some(right), "{code}");
        }
    }
}
