//! How frames are numbered, apart from how fast they run.

use std::fmt;

/// How frames are numbered: how many make a second of the address, and whether drop-frame
/// counting skips numbers.
///
/// Drop-frame counting leaves out the first two frame numbers of every minute except each tenth
/// (IEC 60461 clause 4.2.3), four at 60 and eight at 120. It skips numbers, never pictures. At
/// 24, 25, 48, 50 and 100 it does not exist (IEC 60461 clauses 5.2 and 6.2), so it has no name
/// here either.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Count {
    /// 24 frames a second.
    F24,
    /// 25 frames a second.
    F25,
    /// 30 frames a second.
    F30,
    /// 30 frames a second, drop-frame.
    F30Drop,
    /// 48 frames a second.
    F48,
    /// 50 frames a second.
    F50,
    /// 60 frames a second.
    F60,
    /// 60 frames a second, drop-frame.
    F60Drop,
    /// 100 frames a second.
    F100,
    /// 120 frames a second.
    F120,
    /// 120 frames a second, drop-frame.
    F120Drop,
}

impl Count {
    /// Every way to count.
    pub const ALL: [Self; 11] = [
        Self::F24,
        Self::F25,
        Self::F30,
        Self::F30Drop,
        Self::F48,
        Self::F50,
        Self::F60,
        Self::F60Drop,
        Self::F100,
        Self::F120,
        Self::F120Drop,
    ];

    /// How many frame numbers a second of the address has (but for those that are dropped).
    pub const fn frames_per_second(self) -> u32 {
        match self {
            Self::F24 => 24,
            Self::F25 => 25,
            Self::F30 | Self::F30Drop => 30,
            Self::F48 => 48,
            Self::F50 => 50,
            Self::F60 | Self::F60Drop => 60,
            Self::F100 => 100,
            Self::F120 | Self::F120Drop => 120,
        }
    }

    /// Whether numbers are skipped.
    pub const fn is_drop(self) -> bool {
        matches!(self, Self::F30Drop | Self::F60Drop | Self::F120Drop)
    }

    /// How many frame numbers are skipped at the start of a minute that is not a tenth one:
    /// 0, 2, 4 or 8.
    pub const fn dropped_per_minute(self) -> u32 {
        if self.is_drop() {
            self.frames_per_second() / 15
        } else {
            0
        }
    }

    /// How many frames ten minutes of the address hold.
    pub const fn frames_per_ten_minutes(self) -> u32 {
        self.frames_per_second() * 600 - self.dropped_per_minute() * 9
    }

    /// How many frames the day of the address holds.
    pub const fn frames_per_day(self) -> u32 {
        self.frames_per_ten_minutes() * 6 * 24
    }

    /// The same without drop-frame.
    #[must_use]
    pub const fn without_drop(self) -> Self {
        match self {
            Self::F30Drop => Self::F30,
            Self::F60Drop => Self::F60,
            Self::F120Drop => Self::F120,
            other => other,
        }
    }

    /// The same with drop-frame, where that exists.
    pub const fn with_drop(self) -> Option<Self> {
        match self {
            Self::F30 | Self::F30Drop => Some(Self::F30Drop),
            Self::F60 | Self::F60Drop => Some(Self::F60Drop),
            Self::F120 | Self::F120Drop => Some(Self::F120Drop),
            _ => None,
        }
    }

    /// The count that codewords of linear timecode have under this one: 24, 25 or 30, drop-frame
    /// or not.
    ///
    /// Above 30 a codeword counts pairs (IEC 60461 clause 11), at 100 and 120 fours.
    #[must_use]
    pub const fn code(self) -> Self {
        match self {
            Self::F24 | Self::F48 => Self::F24,
            Self::F25 | Self::F50 | Self::F100 => Self::F25,
            Self::F30 | Self::F60 | Self::F120 => Self::F30,
            Self::F30Drop | Self::F60Drop | Self::F120Drop => Self::F30Drop,
        }
    }

    /// How many frames one codeword spans: 1, 2 or 4.
    pub const fn frames_per_codeword(self) -> u32 {
        self.frames_per_second() / self.code().frames_per_second()
    }

    /// How many digits the frames of an address are written with: 2, or 3 at 120.
    pub const fn frame_digits(self) -> usize {
        if self.frames_per_second() > 100 { 3 } else { 2 }
    }

    /// What stands before the frames of an address: `;` when drop-frame, `:` when not.
    pub const fn separator(self) -> char {
        if self.is_drop() { ';' } else { ':' }
    }
}

impl fmt::Display for Count {
    /// `25`, `30 drop-frame`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let drop = if self.is_drop() { " drop-frame" } else { "" };
        write!(f, "{}{drop}", self.frames_per_second())
    }
}
