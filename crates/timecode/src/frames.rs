//! Numbers of frames.

use std::fmt;
use std::ops::{Add, Neg, Sub};

/// Which frame since midnight: 0 is 00:00:00:00.
///
/// Frames as they were shot, so numbers that drop-frame counting skips are not among them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FrameNumber(pub u32);

/// How many frames; below 0 backwards.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Frames(pub i64);

impl From<FrameNumber> for Frames {
    /// The frames from midnight to that frame.
    fn from(number: FrameNumber) -> Self {
        Self(i64::from(number.0))
    }
}

impl Add for Frames {
    type Output = Self;

    /// The sum, held at the largest number that there is: 97 million years at 120.
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl Sub for Frames {
    type Output = Self;

    /// The difference, held within the range as the sum is.
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}

impl Neg for Frames {
    type Output = Self;

    fn neg(self) -> Self {
        Self(self.0.saturating_neg())
    }
}

impl fmt::Display for FrameNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl fmt::Display for Frames {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}
