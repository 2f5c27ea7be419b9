//! What is measured, with its unit.

use std::fmt;

/// A length of time that was measured, in seconds. Which clock it is told by stands where it is
/// used.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Seconds(pub f64);

/// How far two clocks part, in millionths.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct PartsPerMillion(pub f64);

/// A value that was measured, and how sure it is.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Measured<T> {
    /// The most probable value.
    pub value: T,
    /// One standard deviation of it.
    pub sigma: T,
}

impl fmt::Display for Seconds {
    /// `1.25 s`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)?;
        f.write_str(" s")
    }
}

impl fmt::Display for PartsPerMillion {
    /// `-3.1 ppm`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)?;
        f.write_str(" ppm")
    }
}
