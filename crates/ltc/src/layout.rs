//! Where the flags stand in a codeword.

use plumbline_timecode::Count;

/// Where the flags stand among the 80 bits: it depends on how many frames are counted in a
/// second (IEC 60461 tables 3 to 5, SMPTE ST 12-1 tables 3 to 5).
///
/// A codeword does not say which layout it has: whoever knows the frame rate does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Layout {
    /// 24 frames in a second.
    Base24,
    /// 25 frames in a second.
    Base25,
    /// 30 frames in a second.
    Base30,
}

impl Layout {
    /// All three.
    pub const ALL: [Self; 3] = [Self::Base24, Self::Base25, Self::Base30];

    /// The bit that says drop-frame, where there is one.
    pub const fn drop_flag(self) -> Option<u8> {
        match self {
            Self::Base24 | Self::Base25 => None,
            Self::Base30 => Some(10),
        }
    }

    /// The bit that says that colour frames are followed, where there is one.
    pub const fn colour_frame_flag(self) -> Option<u8> {
        match self {
            Self::Base24 => None,
            Self::Base25 | Self::Base30 => Some(11),
        }
    }

    /// The bit of biphase-mark polarity correction.
    pub const fn polarity_bit(self) -> u8 {
        match self {
            Self::Base24 | Self::Base30 => 27,
            Self::Base25 => 59,
        }
    }

    /// The bits of the binary group flags in the order BGF2, BGF1, BGF0.
    pub const fn binary_group_flags(self) -> [u8; 3] {
        match self {
            Self::Base24 | Self::Base30 => [59, 58, 43],
            Self::Base25 => [43, 58, 27],
        }
    }
}

impl From<Count> for Layout {
    /// The layout of the codewords that carry addresses counted this way: above 30 that of the
    /// pairs or fours that they count.
    fn from(count: Count) -> Self {
        match count {
            Count::F24 | Count::F48 => Self::Base24,
            Count::F25 | Count::F50 | Count::F100 => Self::Base25,
            Count::F30
            | Count::F30Drop
            | Count::F60
            | Count::F60Drop
            | Count::F120
            | Count::F120Drop => Self::Base30,
        }
    }
}
