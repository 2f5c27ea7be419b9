//! Where one codeword ends and the next one begins, when neither need have been heard whole.

use crate::sync::Register;
use crate::{Codeword, Layout, Received};

/// The end of the last codeword, with what was heard without a break on either side of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seam {
    /// The last 80 bits in the order of a codeword, at the place of the one that ended here: with
    /// the beginning of the next one, as far as it was heard, and the rest of its own.
    ///
    /// That is the next one, if its frames were heard, or the one that ended, if those were; and if
    /// the digits that were not are the same in both.
    pub across: Received,
    /// The register when it ended, and how many bits of it were heard.
    before: Register,
    bits_before: u32,
    /// The register now, and how many bits of it were heard since.
    after: Register,
    bits_after: u32,
}

impl Seam {
    /// Of the bits that were heard, so many of them after the end of a codeword.
    pub(crate) fn new(heard: Register, bits: u32, after: u32, across: Received) -> Self {
        Seam {
            across,
            before: heard.ago(after),
            bits_before: bits.saturating_sub(after),
            after: heard,
            bits_after: after,
        }
    }

    /// How many of the bits that were heard are those of the codewords that would arrive there: the
    /// one that ended here between those beside it. A side counts for nothing if a bit of it
    /// differs, unless that may be the one of polarity correction.
    pub fn agreeing(&self, [before, last, after]: [Codeword; 3]) -> u32 {
        let direction = self.across.direction;
        let holding = |before, last| Register::holding(before, last, direction);
        let mut polarity = Codeword([0; 10]);
        for layout in Layout::ALL {
            polarity.put(layout.polarity_bit(), 1);
        }
        let free = holding(polarity, polarity);
        let count = |heard: Register, bits: u32, truth: Register, free| {
            let alike = heard.differing(truth, free).trailing_zeros();
            if alike >= bits { bits } else { 0 }
        };
        let to_come = u32::from(Codeword::BITS) - self.bits_after;
        count(self.before, self.bits_before, holding(before, last), free)
            + count(
                self.after,
                self.bits_after,
                holding(last, after).ago(to_come),
                free.ago(to_come),
            )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Direction, Position, Quality};

    const WORDS: [Codeword; 3] = [
        Codeword([0x13, 0x29, 0x35, 0x4C, 0x53, 0x6A, 0x71, 0x88, 0xFC, 0xBF]),
        Codeword([0x14, 0x29, 0x35, 0x4C, 0x53, 0x6A, 0x71, 0x88, 0xFC, 0xBF]),
        Codeword([0x15, 0x29, 0x35, 0x4C, 0x53, 0x6A, 0x71, 0x88, 0xFC, 0xBF]),
    ];

    fn arriving(direction: Direction) -> [Codeword; 3] {
        let [first, middle, last] = WORDS;
        match direction {
            Direction::Forward => [first, middle, last],
            Direction::Reverse => [last, middle, first],
        }
    }

    /// Heard from the `missed`th bit of three codewords on, to `after` bits after the second one.
    fn heard(direction: Direction, missed: usize, after: u32) -> Option<Seam> {
        let numbers = 0..Codeword::BITS;
        let bits: Vec<bool> = arriving(direction)
            .iter()
            .flat_map(|word| {
                numbers.clone().map(|number| match direction {
                    Direction::Forward => word.bit(number),
                    Direction::Reverse => word.bit(Codeword::BITS - 1 - number),
                })
            })
            .collect();
        let mut register = Register::default();
        for &bit in &bits[missed..160 + after as usize] {
            register.push(bit);
        }
        let bits = u32::try_from(160 - missed).expect("few") + after;
        let (found, since) = register.seam(bits)?;
        assert_eq!((found, since), (direction, after));
        let position = Position::beside(0, 0.0);
        let across = Received {
            codeword: Codeword(register.turned(since).bytes(direction)),
            begins: position,
            ends: position,
            samples_per_codeword: 1920.0,
            direction,
            quality: Quality::of_edges(0.0, WORDS[1]),
            low: 0.0,
            high: 0.0,
        };
        Some(Seam::new(register, bits.min(Register::BITS), since, across))
    }

    const BOTH: [Direction; 2] = [Direction::Forward, Direction::Reverse];

    #[test]
    fn a_seam_is_where_a_synchronizing_word_was_heard() {
        for after in 0..80 {
            // Forward it comes before the seam, backwards after it or one codeword before.
            let forward = heard(Direction::Forward, 144, after);
            assert!(forward.is_some(), "{after}");
            assert!(heard(Direction::Forward, 145, after).is_none(), "{after}");
            let missed = if after < 16 { 80 } else { 160 };
            let reverse = heard(Direction::Reverse, missed, after);
            assert!(reverse.is_some(), "{after}");
            if missed == 80 {
                assert!(heard(Direction::Reverse, 81, after).is_none(), "{after}");
            }
        }
    }

    #[test]
    fn as_many_bits_agree_as_were_heard() {
        for direction in BOTH {
            let words = arriving(direction);
            for (missed, after) in [(80, 0), (40, 0), (80, 30), (79, 47), (130, 60), (144, 79)] {
                let bits = u32::try_from(160 - missed).expect("few") + after;
                let seam = heard(direction, missed, after).expect("a synchronizing word");
                assert_eq!(seam.agreeing(words), bits, "{missed} {after}");
            }
        }
    }

    #[test]
    fn what_was_heard_across_is_the_codeword_of_which_frames_were_heard() {
        for direction in BOTH {
            let seam = heard(direction, 120, 40).expect("a synchronizing word");
            let [_, last, next] = arriving(direction);
            let of_frames = match direction {
                Direction::Forward => next,
                Direction::Reverse => last,
            };
            assert_eq!(seam.across.codeword, of_frames, "{direction:?}");
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
        let heard = heard(Direction::Forward, 32, 0).expect("a synchronizing word");
        for bit in 32..80 {
            let agreeing = if bit == 59 { 128 } else { 0 };
            assert_eq!(heard.agreeing([with(bit), middle, last]), agreeing, "{bit}");
        }
        assert_eq!(heard.agreeing([with(31), middle, last]), 128, "not heard");
        assert_eq!(heard.agreeing([first, last, last]), 0);
    }
}
