//! Ratios of mean squares.

/// A ratio of mean squares (of powers) in decibels: +10 is ten times the power, +20 ten times the
/// amplitude.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Decibels(pub f64);

impl Decibels {
    /// The ratio of two mean squares.
    ///
    /// ```
    /// # use plumbline_damage::Decibels;
    /// assert_eq!(Decibels::of_powers(10.0, 1.0), Decibels(10.0));
    /// ```
    pub fn of_powers(power: f64, reference: f64) -> Self {
        Self(10.0 * (power / reference).log10())
    }

    /// The ratio of mean squares.
    pub fn power(self) -> f64 {
        10.0_f64.powf(self.0 / 10.0)
    }

    /// The ratio of amplitudes: the square root of [`Self::power`].
    pub fn amplitude(self) -> f64 {
        10.0_f64.powf(self.0 / 20.0)
    }
}

impl std::ops::Neg for Decibels {
    type Output = Self;

    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl std::fmt::Display for Decibels {
    /// `-3 dB`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} dB", self.0)
    }
}
