//! What was heard on either side of a codeword, when its neighbours were not heard whole.

use crate::sync::Register;
use crate::{Codeword, Direction, Layout};

/// The bits just before the last whole codeword and just after it, as they arrived without a break:
/// the end of the one before, and the beginning of the one that is on its way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Neighbours {
    /// Which way the codeword between them runs.
    pub(crate) direction: Direction,
    /// The last of the register as the codeword came to begin.
    pub(crate) before: Register,
    /// How many bits of it were heard.
    pub(crate) bits_before: u32,
    /// The register now.
    pub(crate) after: Register,
    /// How many bits of it were heard since the codeword.
    pub(crate) bits_after: u32,
}

impl Neighbours {
    /// How many bits next to the codeword are those of the codewords that would arrive before and
    /// after it. A side counts for nothing if a bit of it differs, unless that may be the one of
    /// polarity correction.
    pub fn agreeing(&self, before: Codeword, after: Codeword) -> u32 {
        let mut polarity = Codeword([0; 10]);
        for layout in Layout::ALL {
            polarity.put(layout.polarity_bit(), 1);
        }
        let [before, after, polarity] =
            [before, after, polarity].map(|codeword| Register::holding(codeword, self.direction));
        let alike_before = self.before.differing(before, polarity).trailing_zeros();
        let after_now = self.after.beginning(self.bits_after);
        let alike_after = after_now.differing(after, polarity).leading_zeros() - Register::BESIDE;
        let all = |bits: u32, alike: u32| if alike >= bits { bits } else { 0 };
        all(self.bits_before, alike_before) + all(self.bits_after, alike_after)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WORDS: [Codeword; 3] = [
        Codeword([0x13, 0x29, 0x35, 0x4C, 0x53, 0x6A, 0x71, 0x88, 0xFC, 0xBF]),
        Codeword([0x14, 0x29, 0x35, 0x4C, 0x53, 0x6A, 0x71, 0x88, 0xFC, 0xBF]),
        Codeword([0x15, 0x29, 0x35, 0x4C, 0x53, 0x6A, 0x71, 0x88, 0xFC, 0xBF]),
    ];

    fn heard(direction: Direction, bits_before: u32, bits_after: u32) -> Neighbours {
        let [first, middle, last] = match direction {
            Direction::Forward => WORDS,
            Direction::Reverse => [WORDS[2], WORDS[1], WORDS[0]],
        };
        let mut after = Register::holding(middle, direction);
        for number in 0..bits_after {
            let number = u8::try_from(number).expect("less than 80");
            after.push(last.bit(match direction {
                Direction::Forward => number,
                Direction::Reverse => Codeword::BITS - 1 - number,
            }));
        }
        Neighbours {
            direction,
            before: Register::holding(first, direction),
            bits_before,
            after,
            bits_after,
        }
    }

    #[test]
    fn as_many_bits_agree_as_were_heard() {
        let [first, _, last] = WORDS;
        for (before, after) in [(0, 0), (30, 0), (0, 30), (48, 1), (1, 47)] {
            let forward = heard(Direction::Forward, before, after);
            assert_eq!(forward.agreeing(first, last), before + after);
            let reverse = heard(Direction::Reverse, before, after);
            assert_eq!(reverse.agreeing(last, first), before + after);
        }
    }

    #[test]
    fn a_side_on_which_a_bit_differs_counts_for_nothing() {
        let [first, middle, last] = WORDS;
        let with = |bit: usize| {
            let mut other = first;
            other.0[bit / 8] ^= 1 << (bit % 8);
            other
        };
        let heard = heard(Direction::Forward, 48, 20);
        for bit in 32..80 {
            let agreeing = if bit == 59 { 68 } else { 20 };
            assert_eq!(heard.agreeing(with(bit), last), agreeing, "bit {bit}");
        }
        assert_eq!(heard.agreeing(with(31), last), 68, "not heard");
        assert_eq!(heard.agreeing(first, middle), 48);
    }
}
