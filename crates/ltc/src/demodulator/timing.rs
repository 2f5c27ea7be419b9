//! The places of codewords, from their own edges and their neighbours.
//!
//! A single edge is a poor witness in noise: the mean of all edges of a codeword is ten times
//! better, and tells where its middle is. From there to its beginning it is half a codeword, and
//! how long that is, its neighbours know best.
//!
//! Time: keeps one codeword until the next has come, or none can follow it.

use super::words::Word;
use crate::{Codeword, Position, Quality, Received};

#[derive(Debug, Clone, Default)]
pub(super) struct Timing {
    before: Option<Word>,
    /// The codeword that has not been handed out.
    held: Option<Word>,
}

impl Timing {
    /// Takes the next codeword.
    pub(super) fn push(&mut self, word: Word, received: &mut impl FnMut(Received)) {
        if let Some(held) = self.held.replace(word) {
            received(place(self.before, held, Some(word)));
            self.before = Some(held);
        }
    }

    /// No codeword follows the last one.
    pub(super) fn break_off(&mut self, received: &mut impl FnMut(Received)) {
        if let Some(held) = self.held.take() {
            received(place(self.before, held, None));
        }
        self.before = None;
    }

    /// As new.
    pub(super) fn reset(&mut self) {
        *self = Self::default();
    }
}

/// How far a codeword may begin or end by all its edges from where it does by those there alone,
/// in cells, and at least a sample. Neither noise nor a codec takes as many edges that far; where
/// the speed flutters faster than codewords follow each other, the mean is wrong.
const UNEVEN: f64 = 0.2;

/// The codeword at its place.
pub(super) fn place(before: Option<Word>, word: Word, after: Option<Word>) -> Received {
    let before = before
        .filter(|before| follows(before, &word))
        .map(|before| apart(&before, &word));
    let after = after
        .filter(|after| follows(&word, after))
        .map(|after| apart(&word, &after));
    let (begins, ends, length) = match (before, after) {
        // The middles are means over a codeword each. The parabola that has these three means has
        // these values where the middle one begins and ends.
        (Some(before), Some(after)) => (
            -(2.0 * before + after) / 6.0,
            (before + 2.0 * after) / 6.0,
            f64::midpoint(before, after),
        ),
        // With one neighbour there is no telling how the speed changes: the neighbour's word is
        // taken where the codeword's own edges say nearly the same.
        (Some(length), None) | (None, Some(length)) if steady(length, word.length) => {
            (-length / 2.0, length / 2.0, length)
        }
        _ => (-word.length / 2.0, word.length / 2.0, word.length),
    };
    let cell = length / f64::from(Codeword::BITS);
    let at = |edges: f64, beside_middle: f64| {
        let mean = word.middle + beside_middle;
        let is_uneven = (edges - mean).abs() > (UNEVEN * cell).max(1.0);
        Position::beside(word.sample, if is_uneven { edges } else { mean })
    };
    Received {
        codeword: word.codeword,
        begins: at(word.begins, begins),
        ends: at(word.ends, ends),
        samples_per_codeword: length,
        direction: word.direction,
        quality: Quality::of_edges(word.departure, word.codeword),
        low: word.band.low,
        high: word.band.high,
    }
}

/// Whether the speed is the same for two codewords, as far as edges in noise can tell.
fn steady(length: f64, own: f64) -> bool {
    (own / length - 1.0).abs() < 1e-3
}

/// Whether one codeword comes straight after another.
fn follows(before: &Word, after: &Word) -> bool {
    before.first_bit + u64::from(Codeword::BITS) == after.first_bit
        && before.direction == after.direction
}

/// How many samples the middle of one codeword is after that of another.
fn apart(before: &Word, after: &Word) -> f64 {
    after.sample.wrapping_sub(before.sample).cast_signed() as f64 + after.middle - before.middle
}
