//! What can be read of a codeword at all.
//!
//! A codeword reaches a receiver as 160 half-cells of level ±A in normal noise of variance σ² a
//! sample. If each has h samples, all that a receiver can know of one is its sum, whose signal to
//! noise ratio is γ = h A²/σ²: the half-cell SNR. Code is square, so A² is its mean square and
//! γ = h · SNR.
//!
//! Two sequences of half-cells that differ in d of them are 2A √(d h) apart, and the one is taken
//! for the other with probability Q(√(d γ)): the pairwise error of antipodal signals, Proakis,
//! *Digital Communications*, chapter on optimum receivers in additive white Gaussian noise (cited
//! from memory; it follows from the distance alone).
//!
//! In biphase mark a bit that is flipped turns over all that follows. Two bits flipped side by
//! side turn over the two half-cells between their middles and nothing else, so two
//! half-cells is the least that two codewords differ by, and the address is wrong with
//! probability of about N Q(√(2γ)), where N is how many pairs of neighbouring bits have at least
//! one bit of the address in them.
//!
//! A start that is told by M codewords together has the same neighbours, those among them that
//! count on from codeword to codeword: 2M half-cells apart. By as much as the noise leaves it more
//! probable than one of them, in nats, is normal with mean 4γM and mean square deviation 8γM.

use plumbline_ltc::{Codeword, SYNC_FORWARD, Together};
use plumbline_timecode::Count;
use realfft::num_complex::Complex;

use crate::spectrum::filtered;
use crate::{Decibels, Random, Take, Truth, q};

/// First bits and widths of the digits of an address (IEC 60461 table 2, SMPTE ST 12-1 table 2):
/// units and tens of frames, seconds, minutes and hours.
const DIGITS: [(u8, u8); 8] = [
    (0, 4),
    (8, 2),
    (16, 4),
    (24, 3),
    (32, 4),
    (40, 3),
    (48, 4),
    (56, 2),
];

/// How many bits come before the synchronizing word.
const DATA_BITS: u8 = 64;

/// Whether a bit is one of the 26 of the address.
fn is_of_address(bit: u8) -> bool {
    DIGITS
        .iter()
        .any(|&(first, width)| (first..first + width).contains(&bit))
}

/// How many pairs of neighbouring bits, of which one at least is of the address, can be flipped
/// together: the nearest wrong addresses of any codeword.
///
/// ```
/// assert_eq!(plumbline_damage::nearest_wrong_addresses(), 33);
/// ```
pub fn nearest_wrong_addresses() -> usize {
    (1..DATA_BITS)
        .filter(|&bit| is_of_address(bit - 1) || is_of_address(bit))
        .count()
}

/// The half-cell SNR of a codeword that lasts so many samples, at a ratio of mean squares of code
/// and noise.
pub fn half_cell_snr(codeword_samples: f64, snr: f64) -> f64 {
    codeword_samples / f64::from(2 * u32::from(Codeword::BITS)) * snr
}

/// The probability that the address of a single codeword is read wrong by the best receiver with
/// known timing, by its nearest wrong addresses alone: N Q(√(2γ)), at most 1.
pub fn nearest_error(gamma: f64) -> f64 {
    (nearest_wrong_addresses() as f64 * q((2.0 * gamma).sqrt())).min(1.0)
}

/// The pairs of neighbouring bits that can be flipped in all of some codewords, so that they count
/// on as they do but from another start: by the number of the first bit.
pub fn nearest_wrong_starts(words: &[Truth], count: Count) -> Vec<u8> {
    let numbers = |turned: [u8; 2]| -> Option<Vec<u32>> {
        let of = |word: &Truth| {
            let mut codeword = word.meant;
            for bit in turned {
                codeword.0[usize::from(bit / 8)] ^= 1 << (bit % 8);
            }
            codeword.address(count).ok()
        };
        let addresses = words.iter().map(of);
        addresses
            .map(|address| Some(address?.frame_number().0))
            .collect()
    };
    // Each bit twice is none.
    let Some(own) = numbers([0, 0]) else {
        return Vec::new();
    };
    let day = count.frames_per_day();
    let counts_on = |other: Vec<u32>| {
        let apart = |(own, other): (&u32, u32)| (other + day - own) % day;
        let mut apart = own.iter().zip(other).map(apart);
        let first = apart.next().unwrap_or(0);
        first != 0 && apart.all(|apart| apart == first)
    };
    (0..DATA_BITS - 1)
        .filter(|&bit| numbers([bit, bit + 1]).is_some_and(counts_on))
        .collect()
}

/// The probability that noise leaves the start of some codewords a million times more probable than
/// each of its nearest neighbours, for the best receiver with known timing: no other can be told so
/// surely more often. User bits are not known, but they are the same in all.
pub fn best_start(words: &[Truth], count: Count, gamma: f64) -> f64 {
    let needed = Together::CERTAIN_LOG10 * std::f64::consts::LN_10;
    let half_cells = 2.0 * words.len() as f64;
    let ahead = 2.0 * gamma * half_cells;
    let told = q((needed - ahead) / (2.0 * ahead).sqrt());
    // They differ from the start in other half-cells each, so noise decides on each by itself.
    let neighbours = nearest_wrong_starts(words, count).into_iter();
    neighbours.map(|_| told).product()
}

/// How many of some codewords were read right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Trials {
    /// Right.
    pub right: u32,
    /// Of how many.
    pub of: u32,
}

impl Trials {
    /// The part that was right.
    pub fn share(self) -> f64 {
        f64::from(self.right) / f64::from(self.of.max(1))
    }
}

/// The best receiver of single codewords with known timing, tried on so many codewords with
/// random bits: the most likely 80 bits of which the last 16 are the synchronizing word and the
/// number of zeros is even. It knows no neighbours, and not which digits exist.
///
/// This is the sharper form of [`nearest_error`]: all wrong addresses count, each as often as it
/// happens.
pub fn best_single_word(gamma: f64, words: u32, random: &mut Random) -> Trials {
    let right = (0..words).filter(|_| reads_one(gamma, random)).count();
    Trials {
        right: u32::try_from(right).unwrap_or(words),
        of: words,
    }
}

/// A codeword is sent through noise, and read.
fn reads_one(gamma: f64, random: &mut Random) -> bool {
    let sent = random_bits(random);
    let mut level = random.sign();
    let amplitude = gamma.sqrt();
    let heard: Vec<[f64; 2]> = sent
        .iter()
        .map(|&bit| {
            let (first, second) = halves(level, bit);
            level = second;
            [first, second].map(|half| amplitude * half + random.normal())
        })
        .collect();
    let read = most_likely(&heard);
    (0_u8..)
        .zip(sent.iter().zip(read))
        .all(|(bit, (sent, read))| *sent == read || !is_of_address(bit))
}

/// Eighty bits: 64 by chance with an even number of zeros, then the synchronizing word.
fn random_bits(random: &mut Random) -> Vec<bool> {
    let sync = (0..16).map(|bit| SYNC_FORWARD >> (15 - bit) & 1 == 1);
    let data = (0..DATA_BITS).map(|_| random.bits() & 1 == 1);
    let mut bits: Vec<bool> = data.chain(sync).collect();
    let ones = bits.iter().filter(|&&bit| bit).count();
    // Of 80 bits, an even number of zeros is an even number of ones.
    bits[59] ^= ones % 2 == 1;
    bits
}

/// The levels of a bit's two halves, after a level (IEC 60461 clause 8.3): it always turns over
/// where a bit begins, and in the middle of a one.
fn halves(before: f64, bit: bool) -> (f64, f64) {
    if bit {
        (-before, before)
    } else {
        (-before, -before)
    }
}

/// The most likely bits: of both levels that the codeword may begin after, the path through
/// levels that is most like what was heard, ends on the level that it began with, and has the
/// synchronizing word at its end.
fn most_likely(heard: &[[f64; 2]]) -> Vec<bool> {
    let [one, other] = [0, 1].map(|level| best_path(heard, level));
    if one.0 >= other.0 { one.1 } else { other.1 }
}

/// The two levels that a half-cell can have: what a state of the trellis stands for.
const LEVELS: [f64; 2] = [1.0, -1.0];

/// How like what was heard the best path from a level to itself is, and its bits (the Viterbi
/// algorithm on two states).
fn best_path(heard: &[[f64; 2]], start: usize) -> (f64, Vec<bool>) {
    let mut score = [f64::NEG_INFINITY; 2];
    score[start] = 0.0;
    let mut choices: Vec<[bool; 2]> = Vec::with_capacity(heard.len());
    for (&halves, number) in heard.iter().zip(0_u8..) {
        let next = [0, 1].map(|end| best_step(score, halves, number, end));
        score = next.map(|(score, _)| score);
        choices.push(next.map(|(_, bit)| bit));
    }
    let mut state = start;
    let back = choices.iter().rev().map(|choice| {
        let bit = choice[state];
        state = begins(state, bit);
        bit
    });
    let mut bits: Vec<bool> = back.collect();
    bits.reverse();
    (score[start], bits)
}

/// The better of the two ways to end bit `number` on a level: its score and its bit.
fn best_step(score: [f64; 2], heard: [f64; 2], number: u8, end: usize) -> (f64, bool) {
    let likeness = |bit| {
        let before = begins(end, bit);
        let (first, second) = halves(LEVELS[before], bit);
        if number < DATA_BITS || bit == sync_bit(number) {
            score[before] + first * heard[0] + second * heard[1]
        } else {
            f64::NEG_INFINITY
        }
    };
    let (one, zero) = (likeness(true), likeness(false));
    (one.max(zero), one >= zero)
}

/// The level before a bit that ends on a level: a one ends on the level before it, a zero on the
/// other.
fn begins(end: usize, bit: bool) -> usize {
    if bit { end } else { 1 - end }
}

fn sync_bit(number: u8) -> bool {
    SYNC_FORWARD >> (Codeword::BITS - 1 - number) & 1 == 1
}

/// The best that a codeword of known bits can be placed in white noise, from itself alone: the
/// standard deviation in samples, in the mean over the codewords of a clean take.
///
/// It is the Cramér-Rao bound of a known signal's delay, σ² / Σ s'²: the sum of the squares of the
/// signal's slope (Kay, *Fundamentals of Statistical Signal Processing: Estimation Theory*, the
/// example on range estimation, cited from memory). All that tells where code is are its edges.
pub fn best_position(clean: &Take, snr: Decibels) -> f64 {
    let samples: Vec<f64> = clean.samples.iter().copied().map(f64::from).collect();
    // The slope for each sample: times jω.
    let slopes = filtered(&samples, |at| Complex::new(0.0, std::f64::consts::TAU * at));
    let squares: f64 = slopes.iter().map(|slope| slope * slope).sum();
    let noise = clean.code_power / snr.power();
    (noise * clean.words.len() as f64 / squares).sqrt()
}
