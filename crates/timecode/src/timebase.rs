//! A rate and a count that go together.

use std::fmt;

use thiserror::Error;

use crate::{Count, Rate};

/// How fast frames run and how they are counted.
///
/// ```
/// use plumbline_timecode::{Count, Rate, Timebase};
/// assert!(Timebase::new(Rate::F29_97, Count::F30Drop).is_ok());
/// assert!(Timebase::new(Rate::F25, Count::F30Drop).is_err());
/// // Common practice for material that will be pulled down, but not what the standard has.
/// assert!(Timebase::new(Rate::F30, Count::F30Drop).unwrap().is_unusual());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Timebase {
    rate: Rate,
    count: Count,
}

/// A rate and a count that do not go together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error(
    "{rate} frames a second cannot be counted as {count}: count {}{}",
    rate.count(),
    rate.drop_count().map(|count| format!(" or {count}")).unwrap_or_default()
)]
pub struct TimebaseError {
    /// How fast frames were to run.
    pub rate: Rate,
    /// How they were to be counted.
    pub count: Count,
}

impl Timebase {
    /// A rate with one of the counts that go with it.
    pub fn new(rate: Rate, count: Count) -> Result<Self, TimebaseError> {
        if count.without_drop() == rate.count() {
            Ok(Self { rate, count })
        } else {
            Err(TimebaseError { rate, count })
        }
    }

    /// The rate, counted without drop-frame.
    pub const fn non_drop(rate: Rate) -> Self {
        Self {
            rate,
            count: rate.count(),
        }
    }

    /// Every rate with every count that goes with it.
    pub fn all() -> impl Iterator<Item = Self> {
        Rate::ALL.into_iter().flat_map(|rate| {
            let drop = rate.drop_count().map(|count| Self { rate, count });
            std::iter::once(Self::non_drop(rate)).chain(drop)
        })
    }

    /// How fast frames run.
    pub const fn rate(self) -> Rate {
        self.rate
    }

    /// How they are counted.
    pub const fn count(self) -> Count {
        self.count
    }

    /// Whether this is drop-frame counting at a rate that is not pulled down.
    ///
    /// Drop-frame exists to keep a pulled-down rate near the clock (IEC 60461 clause 4.2.3). At
    /// 30.000 it makes the address run ahead by 3.6 s an hour; recorders offer it for material
    /// that will be pulled down later.
    pub const fn is_unusual(self) -> bool {
        self.count.is_drop() && !self.rate.is_pulled_down()
    }

    /// What codewords of linear timecode count and run at under this timebase.
    #[must_use]
    pub const fn code(self) -> Self {
        Self {
            rate: self.rate.code(),
            count: self.count.code(),
        }
    }
}

impl fmt::Display for Timebase {
    /// `25`, `29.97 drop-frame`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let drop = if self.count.is_drop() {
            " drop-frame"
        } else {
            ""
        };
        write!(f, "{}{drop}", self.rate)
    }
}

/// The rates at which codewords of linear timecode follow each other, and the counts that go with
/// them.
///
/// ```
/// use plumbline_timecode::{CODES, Timebase};
/// assert!(CODES.iter().all(|&(rate, count)| Timebase::new(rate, count).is_ok()));
/// ```
pub const CODES: [(Rate, Count); 6] = [
    (Rate::F23_976, Count::F24),
    (Rate::F24, Count::F24),
    (Rate::F25, Count::F25),
    (Rate::F29_97, Count::F30),
    (Rate::F29_97, Count::F30Drop),
    (Rate::F30, Count::F30),
];
