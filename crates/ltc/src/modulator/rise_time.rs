//! How steep edges are.

use thiserror::Error;

/// How long an edge takes from 10 to 90 % of its height.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct RiseTime {
    microseconds: u16,
}

/// A rise time that no code has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("a rise time of {microseconds} µs is out of reach: 1 to 200 can be had, 40 is usual")]
pub struct RiseTimeError {
    /// What was asked for.
    pub microseconds: u16,
}

impl RiseTime {
    /// 1 to 200 microseconds: half a cell at 30 frames a second has 208.
    pub fn microseconds(microseconds: u16) -> Result<Self, RiseTimeError> {
        if (1..=200).contains(&microseconds) {
            Ok(Self { microseconds })
        } else {
            Err(RiseTimeError { microseconds })
        }
    }

    /// How many microseconds.
    pub const fn as_microseconds(self) -> u16 {
        self.microseconds
    }

    /// The same in seconds.
    pub(crate) fn seconds(self) -> f64 {
        f64::from(self.microseconds) * 1e-6
    }
}

impl Default for RiseTime {
    /// 40 µs: IEC 60461 clause 8.6.
    fn default() -> Self {
        Self { microseconds: 40 }
    }
}
