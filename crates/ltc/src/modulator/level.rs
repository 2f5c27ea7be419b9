//! How loud.

use thiserror::Error;

/// A peak level below full scale.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Level {
    dbfs: f64,
}

/// A level that samples can't have.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
#[error("a level of {dbfs} dBFS is out of reach: -120 to 0 can be had")]
pub struct LevelError {
    /// What was asked for.
    pub dbfs: f64,
}

impl Level {
    /// 0 dBFS: the highest sample is at full scale.
    pub const FULL_SCALE: Self = Self { dbfs: 0.0 };

    /// Decibels against full scale, of the highest sample: -120 to 0.
    pub fn dbfs(dbfs: f64) -> Result<Self, LevelError> {
        if (-120.0..=0.0).contains(&dbfs) {
            Ok(Self { dbfs })
        } else {
            Err(LevelError { dbfs })
        }
    }

    /// The highest sample, where full scale is 1.
    pub fn amplitude(self) -> f64 {
        10.0_f64.powf(self.dbfs / 20.0)
    }
}

impl Default for Level {
    /// -18 dBFS: the alignment level of EBU R 68.
    fn default() -> Self {
        Self { dbfs: -18.0 }
    }
}
