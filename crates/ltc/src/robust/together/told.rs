//! What is told of code whose user bits are others in each codeword: how loud it is, and its flags.

use super::columns::{Column, flags};
use super::lead::Amplitude;
use super::member::Member;
use super::varied::{Likeliest, likeliest};
use super::{Joint, SAME, codeword, is_another_word, sync_level};
use crate::robust::pattern::{BEFORE_SYNC, CELLS, HALVES, Prior, prior};
use crate::robust::trellis;
use crate::robust::whole;
use crate::{Codeword, UserBitsHeard};

/// Below this ten seconds tell no start: twelve samples at -22 dB.
const LEAST: Amplitude = Amplitude(0.275);

/// The most probable start of code whose user bits are others in each codeword.
pub(super) fn varied(halves: &[f32], columns: &[Column], base: u16) -> Option<Joint> {
    let amplitude = Amplitude(sync_level(columns));
    if amplitude < LEAST {
        return None;
    }
    let best = likeliest(columns, base, amplitude)?;
    let slopes = halves
        .iter()
        .map(|half| whole::single(amplitude.0) * half)
        .collect();
    let told = Told::of(&best, columns.len(), slopes);
    let levels = trellis::expected_levels(&told.slopes, |cell| told.prior(cell));
    let by_others = by_others(&levels, &told.slopes);
    let level = level_of_digits(halves, &by_others);
    let is_of_its_kind = !is_another_word(halves, &by_others);
    Some(Joint {
        codewords: told.codewords,
        user_bits: UserBitsHeard::Various,
        levels,
        odds: best.odds,
        fit: if is_of_its_kind {
            level / amplitude.0
        } else {
            0.0
        },
        level,
        jumps: best.jumps,
    })
}

/// Codewords of which some bits are told.
#[derive(Debug)]
struct Told {
    codewords: Vec<Codeword>,
    /// Which bits are told.
    bits: u64,
    slopes: Vec<f32>,
}

impl Told {
    /// The digits of a start, and the flags with them.
    fn of(best: &Likeliest, count: usize, slopes: Vec<f32>) -> Self {
        let codewords = (0..count).map(|number| codeword(best.moment, best.minute, number, 0));
        let mut told = Self {
            codewords: codewords.collect(),
            bits: !SAME,
            slopes,
        };
        for bit in flag_bits(best.moment.member) {
            told.tell(bit);
        }
        told
    }

    /// Tells a bit that is the same in all codewords.
    fn tell(&mut self, bit: usize) {
        self.bits |= 1 << bit;
        let zero = trellis::likelihood(&self.slopes, |cell| self.prior(cell));
        let turn = |codeword: &mut Codeword| codeword.0[bit / 8] ^= 1 << (bit % 8);
        self.codewords.iter_mut().for_each(turn);
        let one = trellis::likelihood(&self.slopes, |cell| self.prior(cell));
        if one < zero {
            self.codewords.iter_mut().for_each(turn);
        }
    }

    /// What is known of a bit.
    fn prior(&self, cell: usize) -> Prior {
        let (number, bit) = (cell / CELLS, cell % CELLS);
        let is_told = self
            .bits
            .checked_shr(u32::try_from(bit).unwrap_or(u32::MAX));
        match self.codewords.get(number) {
            Some(Codeword(bytes)) if is_told.is_some_and(|bits| bits & 1 == 1) => {
                Prior::Known(bytes[bit / 8] >> (bit % 8) & 1 == 1)
            }
            _ => prior(bit),
        }
    }
}

/// How loud the half cells of digits are, by the levels that others make expect.
fn level_of_digits(halves: &[f32], levels: &[f32]) -> f64 {
    let pairs = levels.iter().zip(halves).enumerate();
    let of_digits = pairs.filter(|(half, _)| {
        let half = half % HALVES;
        half < BEFORE_SYNC && !SAME >> (half / 2) & 1 == 1
    });
    let (mut fit, mut squares) = (0.0, 0.0);
    for (_, (level, half)) in of_digits {
        fit += f64::from(level * half);
        squares += f64::from(level * level);
    }
    fit / f64::max(squares, 1.0)
}

/// What is expected of each half cell by all others: what it says itself would bear itself out.
fn by_others(levels: &[f32], slopes: &[f32]) -> Vec<f32> {
    let without = |(level, slope): (&f32, &f32)| (level.clamp(-SURE, SURE).atanh() - slope).tanh();
    levels.iter().zip(slopes).map(without).collect()
}

/// No level is surer than this: beyond it numbers say no more.
const SURE: f32 = 0.999_99;

/// The flags of code, less the one that corrects.
fn flag_bits(member: Member) -> impl Iterator<Item = usize> {
    let groups = (0..BEFORE_SYNC / 8).filter_map(|group| Some((group, flags(group)?)));
    groups.flat_map(move |(group, flags)| {
        let bits = (0..4).filter(|bit| flags.contains(&(1 << bit)));
        let bits = bits.map(move |bit| 4 * group + bit);
        bits.filter(move |bit| member.correcting() != Some(group) || bit % 4 != 3)
    })
}
