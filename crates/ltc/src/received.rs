//! What the demodulator hands out.

use crate::{Codeword, Direction, Position, Quality};

/// A codeword that was found in the sound.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Received {
    /// Its 80 bits.
    pub codeword: Codeword,
    /// Where it begins, as the recording runs.
    pub begins: Position,
    /// Where it ends, as the recording runs: not before `begins`.
    pub ends: Position,
    /// How many samples lie from one codeword to the next around here.
    pub samples_per_codeword: f64,
    /// Which way it runs.
    pub direction: Direction,
    /// How it was read, and how far that can be believed.
    pub quality: Quality,
    /// The lowest level of the signal around it; full scale is -1. Where it was weighed, that of
    /// the code alone.
    pub low: f32,
    /// The highest level of the signal around it; full scale is 1. Where it was weighed, that of
    /// the code alone.
    pub high: f32,
}

impl Received {
    /// The edge that begins bit 0, which is the datum of IEC 60461 clause 8.5: where the
    /// codeword begins, or where it ends if it runs backwards.
    pub fn first_edge(&self) -> Position {
        match self.direction {
            Direction::Forward => self.begins,
            Direction::Reverse => self.ends,
        }
    }
}
