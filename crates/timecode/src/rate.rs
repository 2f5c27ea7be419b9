//! How fast frames follow each other.

use std::fmt;
use std::str::FromStr;

use thiserror::Error;

use crate::{Count, Fraction};

/// How many frames follow each other in a second of real time.
///
/// The scope of SMPTE ST 12-1:2014 has the rates to 60; 100, 119.88 and 120 are those of
/// SMPTE ST 12-3. How the frames are counted is a [`Count`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Rate {
    /// 24000/1001.
    F23_976,
    /// 24.
    F24,
    /// 25.
    F25,
    /// 30000/1001.
    F29_97,
    /// 30.
    F30,
    /// 48000/1001.
    F47_952,
    /// 48.
    F48,
    /// 50.
    F50,
    /// 60000/1001.
    F59_94,
    /// 60.
    F60,
    /// 100.
    F100,
    /// 120000/1001.
    F119_88,
    /// 120.
    F120,
}

impl Rate {
    /// Every rate, slowest first.
    pub const ALL: [Self; 13] = [
        Self::F23_976,
        Self::F24,
        Self::F25,
        Self::F29_97,
        Self::F30,
        Self::F47_952,
        Self::F48,
        Self::F50,
        Self::F59_94,
        Self::F60,
        Self::F100,
        Self::F119_88,
        Self::F120,
    ];

    /// Frames a second, exactly.
    pub const fn fraction(self) -> Fraction {
        let nominal = self.nominal() as i128;
        if self.is_pulled_down() {
            Fraction::reduced(nominal * 1000, 1001)
        } else {
            Fraction::reduced(nominal, 1)
        }
    }

    /// The rate that is exactly this many frames a second.
    pub fn from_fraction(frames_per_second: Fraction) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|rate| rate.fraction() == frames_per_second)
    }

    /// The trade's name: `"23.976"`, `"25"`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::F23_976 => "23.976",
            Self::F24 => "24",
            Self::F25 => "25",
            Self::F29_97 => "29.97",
            Self::F30 => "30",
            Self::F47_952 => "47.952",
            Self::F48 => "48",
            Self::F50 => "50",
            Self::F59_94 => "59.94",
            Self::F60 => "60",
            Self::F100 => "100",
            Self::F119_88 => "119.88",
            Self::F120 => "120",
        }
    }

    /// The whole number of frames that are counted as a second: 24 for 23.976.
    pub const fn nominal(self) -> u32 {
        match self {
            Self::F23_976 | Self::F24 => 24,
            Self::F25 => 25,
            Self::F29_97 | Self::F30 => 30,
            Self::F47_952 | Self::F48 => 48,
            Self::F50 => 50,
            Self::F59_94 | Self::F60 => 60,
            Self::F100 => 100,
            Self::F119_88 | Self::F120 => 120,
        }
    }

    /// Whether it is a whole number of frames over 1.001.
    pub const fn is_pulled_down(self) -> bool {
        matches!(
            self,
            Self::F23_976 | Self::F29_97 | Self::F47_952 | Self::F59_94 | Self::F119_88
        )
    }

    /// The rate at which codewords of linear timecode follow each other at this frame rate.
    ///
    /// Up to 30 it is the frame rate; above, a codeword spans two frames (IEC 60461 clauses 8.5
    /// and 11), at 100 and above four (SMPTE ST 12-3).
    #[must_use]
    pub const fn code(self) -> Self {
        match self {
            Self::F23_976 | Self::F47_952 => Self::F23_976,
            Self::F24 | Self::F48 => Self::F24,
            Self::F25 | Self::F50 | Self::F100 => Self::F25,
            Self::F29_97 | Self::F59_94 | Self::F119_88 => Self::F29_97,
            Self::F30 | Self::F60 | Self::F120 => Self::F30,
        }
    }

    /// How many frames one codeword spans: 1, 2 or 4.
    pub const fn frames_per_codeword(self) -> u32 {
        self.nominal() / self.code().nominal()
    }

    /// The count without drop-frame.
    pub const fn count(self) -> Count {
        match self {
            Self::F23_976 | Self::F24 => Count::F24,
            Self::F25 => Count::F25,
            Self::F29_97 | Self::F30 => Count::F30,
            Self::F47_952 | Self::F48 => Count::F48,
            Self::F50 => Count::F50,
            Self::F59_94 | Self::F60 => Count::F60,
            Self::F100 => Count::F100,
            Self::F119_88 | Self::F120 => Count::F120,
        }
    }

    /// The drop-frame count, where there is one: at 29.97, 59.94 and 119.88, and (unusual) at
    /// 30, 60 and 120.
    pub const fn drop_count(self) -> Option<Count> {
        self.count().with_drop()
    }
}

impl fmt::Display for Rate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

/// A text that names no rate.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error(
    "\"{found}\" is not a frame rate: 23.976, 24, 25, 29.97, 30, 47.952, 48, 50, 59.94, 60, 100, \
     119.88 and 120 are"
)]
pub struct RateError {
    /// What was given.
    pub found: String,
}

impl FromStr for Rate {
    type Err = RateError;

    /// Takes the name, the other short forms in use (`23.98`, `47.95`) and exact fractions
    /// (`30000/1001`, `25/1`).
    fn from_str(text: &str) -> Result<Self, RateError> {
        let typed = text.trim();
        let named = match typed {
            "23.98" => Some(Self::F23_976),
            "47.95" => Some(Self::F47_952),
            _ => Self::ALL.into_iter().find(|rate| rate.name() == typed),
        };
        named
            .or_else(|| from_ratio(typed))
            .ok_or_else(|| RateError {
                found: text.to_owned(),
            })
    }
}

fn from_ratio(text: &str) -> Option<Rate> {
    let (numerator, denominator) = text.split_once('/')?;
    let ratio = Fraction::new(numerator.parse().ok()?, denominator.parse().ok()?)?;
    Rate::from_fraction(ratio)
}
