//! Whether a codeword may be believed by itself.

use crate::{Codeword, Disturbance};

/// How a codeword was read, and how far that can be believed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Quality {
    /// Edge by edge.
    Edges {
        /// The largest departure of the codeword's intervals, as a part of a cell: of half cells
        /// from a half, and half that of whole cells from one. A whole cell that is taken for one
        /// with an edge in its middle, or the other way round, would be 0.25 off.
        departure: f32,
        /// Whether the digits name a frame.
        digits_are_valid: bool,
    },
    /// From all that was heard of each of its half cells, where edges could not be seen; and its
    /// address is the one to which other codewords beside it count on.
    Weighed {
        /// By how many nats it is more probable than any codeword with another address, if the
        /// noise is Gaussian. Lossy coding makes it too large.
        margin: f32,
        /// What lies over it, by what is left when the code is taken out.
        over: Disturbance,
    },
}

impl Quality {
    /// The largest departure with which a codeword may be trusted, in cells.
    ///
    /// Chosen on noise, speech, music and tones on one side and code through filters and codecs
    /// on the other.
    pub const TRUSTED_DEPARTURE: f32 = 0.19;

    pub(crate) fn of_edges(departure: f32, codeword: Codeword) -> Self {
        Self::Edges {
            departure,
            digits_are_valid: codeword.digits().are_valid(),
        }
    }

    /// Whether the codeword may be believed without a neighbour that bears it out: every edge is
    /// near enough to its place, and the digits name a frame. One that was weighed has been borne
    /// out already.
    ///
    /// Sound without code gives such a codeword now and then: a few in an hour of random biphase
    /// marks at the rate of code, for one. Two that count on from each other it does not give.
    pub fn is_trusted(self) -> bool {
        match self {
            Self::Edges {
                departure,
                digits_are_valid,
            } => digits_are_valid && departure <= Self::TRUSTED_DEPARTURE,
            Self::Weighed { .. } => true,
        }
    }
}
