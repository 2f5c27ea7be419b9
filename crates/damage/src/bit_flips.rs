//! Bits that were flipped before they were sent.

use plumbline_ltc::Codeword;

use crate::Random;

/// Bits of codewords that are sent as their opposite: what a faulty generator or a copy of a copy
/// does. The sound is flawless; what it says is not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BitFlips {
    /// Every so many codewords one is hit; 0 for none.
    pub every: u32,
    /// How many different bits of it are flipped, at most [`BitFlips::EXPOSED`].
    pub bits: u8,
}

impl BitFlips {
    /// None at all.
    pub const NONE: Self = Self { every: 0, bits: 0 };

    /// The bits that may be hit: the first 64. The synchronizing word stays, because a codeword
    /// without it is not one.
    pub const EXPOSED: u8 = 64;

    /// Flips them.
    pub fn flip(self, codewords: &mut [Codeword], random: &mut Random) {
        let Some(every) = usize::try_from(self.every).ok().filter(|&every| every > 0) else {
            return;
        };
        for codeword in codewords.iter_mut().skip(every - 1).step_by(every) {
            let mut flips = 0_u64;
            while flips.count_ones() < u32::from(self.bits.min(Self::EXPOSED)) {
                flips |= 1 << random.below(Self::EXPOSED.into());
            }
            for (byte, flips) in codeword.0.iter_mut().zip(flips.to_le_bytes()) {
                *byte ^= flips;
            }
        }
    }
}
