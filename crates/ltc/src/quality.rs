//! Whether a codeword may be believed by itself.

use crate::Codeword;

/// How far the edges of a codeword are from where they belong, and whether its digits are ones.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quality {
    departure: f32,
    digits_are_valid: bool,
}

impl Quality {
    /// The largest departure with which a codeword may be trusted, in cells.
    ///
    /// Chosen on noise, speech, music and tones on one side and code through filters and codecs
    /// on the other.
    pub const TRUSTED_DEPARTURE: f32 = 0.19;

    pub(crate) fn new(departure: f32, codeword: Codeword) -> Self {
        Self {
            departure,
            digits_are_valid: codeword.digits().are_valid(),
        }
    }

    /// The largest departure of the codeword's intervals, as a part of a cell: of half cells from
    /// a half, and half that of whole cells from one. A whole cell that is taken for one with an
    /// edge in its middle, or the other way round, would be 0.25 off.
    pub const fn departure(self) -> f32 {
        self.departure
    }

    /// Whether the codeword may be believed without a neighbour that bears it out: every edge is
    /// near enough to its place, and the digits name a frame.
    ///
    /// Sound without code gives such a codeword now and then: a few in an hour of random biphase
    /// marks at the rate of code, for one. Two that count on from each other it does not give.
    pub fn is_trusted(self) -> bool {
        self.digits_are_valid && self.departure <= Self::TRUSTED_DEPARTURE
    }
}
