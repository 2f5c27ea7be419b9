//! The synchronizing word, both ways.

use crate::{Codeword, Direction};

/// How many bits it has: the last ones of a codeword.
pub const SYNC_BITS: u8 = 16;

/// The synchronizing word as it arrives when code runs forward, its first bit highest:
/// bits 64 to 79 (IEC 60461 clause 8.2.5, SMPTE ST 12-1 clause 9.2.4).
pub const SYNC_FORWARD: u16 = 0x3FFD;

/// The same as it arrives when code runs backwards: bits 79 to 64.
pub const SYNC_REVERSE: u16 = SYNC_FORWARD.reverse_bits();

/// Bytes 8 and 9 of a codeword.
pub(crate) const SYNC_BYTES: [u8; 2] = SYNC_REVERSE.to_le_bytes();

/// The last 128 bits that arrived, the oldest highest: room for a codeword and for some of those
/// beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Register(u128);

const BITS: u32 = Codeword::BITS as u32;

impl Register {
    /// How many bits it has room for.
    pub(crate) const BITS: u32 = u128::BITS;

    /// One in which `last` has just come to its end, after `before`.
    pub(crate) fn holding(before: Codeword, last: Codeword, direction: Direction) -> Self {
        let bits = |codeword: Codeword| {
            let mut bytes = [0; 16];
            bytes[..10].copy_from_slice(&codeword.0);
            turned(u128::from_le_bytes(bytes), direction)
        };
        Register(bits(before) << BITS | bits(last))
    }

    /// Takes the next bit.
    pub(crate) fn push(&mut self, bit: bool) {
        self.0 = self.0 << 1 | u128::from(bit);
    }

    /// Which way a codeword stands in it, if one does.
    ///
    /// Forward, the synchronizing word has just come in; backwards, it came first. It can't be
    /// taken for its own mirror image: its first and last bits differ.
    pub(crate) fn direction(self) -> Option<Direction> {
        if self.ended_with(SYNC_FORWARD, 0) {
            Some(Direction::Forward)
        } else if self.ended_with(SYNC_REVERSE, BITS - u32::from(SYNC_BITS)) {
            Some(Direction::Reverse)
        } else {
            None
        }
    }

    /// Which way code runs by a synchronizing word among so many of the newest bits, and how many
    /// of them have come since a codeword ended: fewer than one has.
    pub(crate) fn seam(self, bits: u32) -> Option<(Direction, u32)> {
        let sync = u32::from(SYNC_BITS);
        (0..BITS.min(bits.saturating_sub(sync - 1))).find_map(|ago| {
            if self.ended_with(SYNC_FORWARD, ago) {
                Some((Direction::Forward, ago))
            } else if self.ended_with(SYNC_REVERSE, ago) {
                // Backwards it begins the next one.
                Some((Direction::Reverse, (ago + sync) % BITS))
            } else {
                None
            }
        })
    }

    /// Whether those bits came last before so many others.
    fn ended_with(self, bits: u16, ago: u32) -> bool {
        (self.0 >> ago) & u128::from(u16::MAX) == u128::from(bits)
    }

    /// The ten bytes of the codeword that stands in it that way.
    pub(crate) fn bytes(self, direction: Direction) -> [u8; 10] {
        let mut bytes = [0; 10];
        bytes.copy_from_slice(&turned(self.0, direction).to_le_bytes()[..10]);
        bytes
    }

    /// It as it was so many bits ago: fewer than it has.
    pub(crate) fn ago(self, bits: u32) -> Self {
        Register(self.0 >> bits)
    }

    /// Its last 80 bits with the first of them, all but so many, after the others.
    pub(crate) fn turned(self, bits: u32) -> Self {
        let last = self.0 & (u128::MAX >> (u128::BITS - BITS));
        Register(last << (BITS - bits) | last >> bits)
    }

    /// The bits that are not as in another, but for those that are free.
    pub(crate) fn differing(self, other: Self, free: Self) -> u128 {
        (self.0 ^ other.0) & !free.0
    }
}

/// The 80 bits of a codeword, bit 0 lowest, from its bits as they arrived that way, the last one
/// lowest; and back.
///
/// All at once: byte by byte, the compiler gets `u8::reverse_bits` wrong for WebAssembly.
fn turned(bits: u128, direction: Direction) -> u128 {
    match direction {
        // Bit 0 came first.
        Direction::Forward => bits.reverse_bits() >> (u128::BITS - BITS),
        Direction::Reverse => bits,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IEC 60461 clause 8.2.5: bits 64 to 79 in the order in which they are sent.
    const SENT: [u8; 16] = [0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0, 1];

    #[test]
    fn the_synchronizing_word_is_the_one_of_the_standard_both_ways() {
        let forward = SENT.iter().fold(0, |word, &bit| word << 1 | u16::from(bit));
        let reverse = SENT
            .iter()
            .rev()
            .fold(0, |word, &bit| word << 1 | u16::from(bit));
        assert_eq!((SYNC_FORWARD, SYNC_REVERSE), (forward, reverse));
        assert_eq!(reverse, 0xBFFC);
        assert_eq!(SYNC_BYTES, [0xFC, 0xBF]);
    }

    /// Half-cell levels of the sync word after a positive level (IEC 60461 clause 8.3).
    fn half_cells(bits: impl Iterator<Item = u8>) -> Vec<i32> {
        let mut level = 1;
        let mut halves = Vec::new();
        for bit in bits {
            level = -level;
            halves.push(level);
            if bit == 1 {
                level = -level;
            }
            halves.push(level);
        }
        halves
    }

    fn correlation(a: &[i32], b: &[i32], shift: usize) -> i32 {
        a.iter().skip(shift).zip(b).map(|(a, b)| a * b).sum()
    }

    #[test]
    fn the_sync_pattern_is_like_itself_half_a_cell_off_and_like_its_mirror_image() {
        let forward = half_cells(SENT.into_iter());
        let own: Vec<i32> = (0..4)
            .map(|shift| correlation(&forward, &forward, shift))
            .collect();
        assert_eq!(own, [32, -25, 20, -19]);
        let mut mirror = forward.clone();
        mirror.reverse();
        let shifts = 0..forward.len();
        let highest = shifts
            .flat_map(|s| {
                [
                    correlation(&forward, &mirror, s),
                    correlation(&mirror, &forward, s),
                ]
            })
            .map(i32::abs)
            .max();
        assert_eq!(highest, Some(28));
    }

    #[test]
    fn a_codeword_is_found_in_the_bits_whichever_way_they_come() {
        let bytes = [0x13, 0x29, 0x35, 0x4C, 0x53, 0x6A, 0x71, 0x88, 0xFC, 0xBF];
        let bits: Vec<bool> = (0..80).map(|n| bytes[n / 8] >> (n % 8) & 1 == 1).collect();
        let mut forward = Register::default();
        for &bit in &bits {
            forward.push(bit);
        }
        assert_eq!(forward.direction(), Some(Direction::Forward));
        assert_eq!(forward.bytes(Direction::Forward), bytes);
        let mut reverse = Register::default();
        for &bit in bits.iter().rev() {
            reverse.push(bit);
        }
        assert_eq!(reverse.direction(), Some(Direction::Reverse));
        assert_eq!(reverse.bytes(Direction::Reverse), bytes);
    }

    #[test]
    fn eleven_ones_are_no_synchronizing_word() {
        for flipped in 64..80 {
            let mut register = Register::default();
            for n in 0..80 {
                let sent = n >= 64 && SENT[n - 64] == 1;
                register.push(sent != (n == flipped));
            }
            assert_eq!(register.direction(), None, "bit {flipped}");
        }
    }

    /// The most ones in a row in 64 bits of an address that exists, whatever the user bits and
    /// flags say: fewer than the 12 of the synchronizing word (IEC 60461 clause 8.2.5).
    #[test]
    fn no_address_holds_as_many_ones_in_a_row_as_the_synchronizing_word() {
        // Bits 10 and 11 are always 0 at 24, bit 10 is at 25 (IEC 60461 tables 3 to 5).
        for (frames, flags, longest) in [(24, 0xF0F0, 9), (25, 0xF8F0, 9), (30, 0xFCF0, 10)] {
            assert_eq!(longest_run(frames, flags), longest, "frames below {frames}");
        }
    }

    /// Goes field by field through all values; all that is no digit is ones. For each number of
    /// ones that the bits so far may end with, keeps the longest run in them.
    fn longest_run(frames: u16, flags: u16) -> u32 {
        let mut so_far = vec![(0, 0)];
        for (values, free) in [(frames, flags), (60, 0xF8F0), (60, 0xF8F0), (24, 0xFCF0)] {
            let mut next = vec![(0, 0)];
            for &(tail, longest) in &so_far {
                for value in 0..values {
                    let bits = free | ((value / 10) << 8) | (value % 10);
                    let joined = u64::from(bits) << tail | ((1 << tail) - 1);
                    next.push((bits.leading_ones(), run(joined).max(longest)));
                }
            }
            next.sort_unstable();
            next.dedup();
            so_far = next;
        }
        so_far.iter().map(|&(_, longest)| longest).max().unwrap()
    }

    /// The longest run of ones: as many times as ones can be cut off from all runs at once.
    fn run(bits: u64) -> u32 {
        let mut left = bits;
        let mut length = 0;
        while left != 0 {
            left &= left >> 1;
            length += 1;
        }
        length
    }
}
