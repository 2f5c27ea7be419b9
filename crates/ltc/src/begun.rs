//! A codeword of which only the beginning was heard.

use crate::Codeword;

/// The beginning of a codeword that comes straight after the last whole one: what is heard while the
/// rest is still on its way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Begun {
    /// How many bits were heard.
    pub bits: u8,
    /// Those bits; the others are 0.
    pub codeword: Codeword,
}

impl Begun {
    /// Whether at least so many bits were heard, and those are that codeword's.
    ///
    /// ```
    /// use plumbline_ltc::{Begun, Codeword};
    /// let begun = Begun { bits: 10, codeword: Codeword([3, 0, 0, 0, 0, 0, 0, 0, 0, 0]) };
    /// let whole = Codeword([3, 0, 9, 9, 9, 9, 9, 9, 0xfc, 0xbf]);
    /// assert!(begun.is_of(whole, 10));
    /// assert!(!begun.is_of(whole, 11), "no more than ten are known");
    /// ```
    pub fn is_of(&self, codeword: Codeword, bits: u8) -> bool {
        self.bits >= bits && (0..bits).all(|bit| self.codeword.bit(bit) == codeword.bit(bit))
    }
}
