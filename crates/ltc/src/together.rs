//! Code of which no codeword can be read, but all together.

use crate::{Codeword, Direction, Position, Received};

/// What the receiver hands out.
#[derive(Debug, Clone, PartialEq)]
pub enum Evidence {
    /// A codeword that was read from its own sound.
    Each(Received),
    /// Some seconds in which none was, and what all of them say together.
    Together(Together),
}

impl Evidence {
    /// The codeword, if it was read from its own sound.
    pub fn each(&self) -> Option<&Received> {
        match self {
            Self::Each(received) => Some(received),
            Self::Together(_) => None,
        }
    }
}

/// The codewords that explain some seconds of sound best, although none can be read by itself.
///
/// They count on from one start, and that start is the most probable one. It is no more than a
/// suspicion unless [`Together::is_certain`].
#[derive(Debug, Clone, PartialEq)]
pub struct Together {
    /// The codewords, as the recording runs. None of them was read.
    pub codewords: Vec<Codeword>,
    /// Whether they tell user bits.
    pub user_bits: UserBitsHeard,
    /// Where the first of them begins.
    pub begins: Position,
    /// Where the last of them ends.
    pub ends: Position,
    /// How many samples lie from one codeword to the next.
    pub samples_per_codeword: f64,
    /// Which way they run.
    pub direction: Direction,
    /// By how many nats they are more probable than codewords with any other start, if the sound is
    /// code. More than 40 are not told, nor more than 25 where each has user bits of its own.
    pub odds: f64,
    /// How loud all half cells are if these are the codewords, against how loud the synchronizing
    /// words are by themselves: 1 if it is code of a kind that is known, well below if not.
    pub fit: f64,
    /// By how many nats another start explains one part of the sound better. Noise gives some nats;
    /// code that jumps gives many.
    pub jumps: f64,
    /// How loud the code is; full scale is 1.
    pub level: f32,
}

/// What codewords that were heard together say of user bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UserBitsHeard {
    /// They are the same in all of them, and told.
    Alike,
    /// They are others in each: none is told, and the codewords have zeros there.
    Various,
}

impl Together {
    /// The odds from which on a start is believed: a million to one, as a power of ten.
    pub const CERTAIN_LOG10: f64 = 6.0;
    /// The least fit with which it is.
    ///
    /// Code of a kind that is looked for has about 1; code that is taken for another kind has half
    /// of that at most.
    pub const FITS: f64 = 0.8;

    /// From how many nats on another start is believed for a part. There are some thousand of them in
    /// four parts, and noise is a million to one against such odds for each.
    pub(crate) const JUMPS: f64 = 14.0;

    /// The odds against any other start, as a power of ten.
    pub fn odds_log10(&self) -> f64 {
        self.odds / std::f64::consts::LN_10
    }

    /// Whether the model fits: whether the sound is what it is taken for.
    pub fn fits(&self) -> bool {
        self.fit >= Self::FITS && !self.jumps()
    }

    /// Whether one part of the sound says another start.
    pub fn jumps(&self) -> bool {
        self.jumps > Self::JUMPS
    }

    /// Whether the start may be believed.
    pub fn is_certain(&self) -> bool {
        self.fits() && self.odds_log10() >= Self::CERTAIN_LOG10
    }
}
