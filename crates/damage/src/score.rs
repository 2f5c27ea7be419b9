//! How well a take was read, by its truth.

use plumbline_ltc::Digits;

use crate::{Condition, Take, Truth};

/// A frame that a reader says it read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Its address.
    pub digits: Digits,
    /// Where the edge is that begins bit 0, in samples.
    pub first_edge: f64,
}

/// How well a take was read.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Score {
    /// How many codewords are whole: as many can be asked for.
    pub whole: u32,
    /// How many of them were read: a frame with the address of the codeword whose first edge is
    /// within half a codeword of the frame's.
    pub right: u32,
    /// How many frames have no such codeword, or one that another frame has already.
    pub wrong: u32,
    /// The sum of the squares of how far frames that are right are from their places, in samples.
    square_errors: f64,
}

impl Score {
    /// Frames by the truth of their take.
    ///
    /// A codeword that is torn, or was sent with flipped bits, is not asked for; who reads the
    /// address that was meant all the same is neither right nor wrong.
    pub fn of(take: &Take, frames: &[Frame]) -> Self {
        let mut score = Self {
            whole: u32::try_from(take.whole_words()).unwrap_or(u32::MAX),
            ..Self::default()
        };
        let mut read = vec![false; take.words.len()];
        for frame in frames {
            let fits = |(n, word): (usize, &Truth)| !read[n] && is_at(frame, word);
            match take.words.iter().enumerate().position(fits) {
                Some(n) => {
                    read[n] = true;
                    score.count(frame, &take.words[n]);
                }
                None => score.wrong += 1,
            }
        }
        score
    }

    fn count(&mut self, frame: &Frame, word: &Truth) {
        if word.condition == Condition::Whole {
            self.right += 1;
            self.square_errors += (frame.first_edge - word.first_edge()).powi(2);
        }
    }

    /// Two takes together.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self {
            whole: self.whole + other.whole,
            right: self.right + other.right,
            wrong: self.wrong + other.wrong,
            square_errors: self.square_errors + other.square_errors,
        }
    }

    /// The part of the whole codewords that was read, 0 to 1; none where there are none.
    pub fn share(&self) -> Option<f64> {
        (self.whole > 0).then(|| f64::from(self.right) / f64::from(self.whole))
    }

    /// The root mean square of how far frames are from their places, in samples.
    pub fn position_error(&self) -> Option<f64> {
        (self.right > 0).then(|| (self.square_errors / f64::from(self.right)).sqrt())
    }
}

/// Whether a frame is that of a codeword.
fn is_at(frame: &Frame, word: &Truth) -> bool {
    let apart = (frame.first_edge - word.first_edge()).abs();
    apart < word.length() / 2.0 && frame.digits == word.meant.digits()
}
