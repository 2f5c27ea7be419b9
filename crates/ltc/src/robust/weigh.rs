//! The codeword that 160 half cells most probably are, by themselves.

use super::pattern::{BEFORE_SYNC, CELLS, HALVES, Prior, SYNC_HALVES, SYNC_LEVELS, prior};
use crate::Codeword;

/// The best way through the cells, by the level that it ends on: +1 or -1.
type Best = [f32; 2];

/// What can't be.
const NEVER: f32 = -1e30;

/// Whether the number of zeros in a codeword is known to be even, so that it ends on the level
/// before it (IEC 60461 clause 8.2.6).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Zeros {
    Any,
    Even,
}

/// A codeword and how sure its address is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Weighed {
    pub(crate) codeword: Codeword,
    /// By how many nats it is more probable than any codeword with another address.
    pub(crate) margin: f32,
}

/// The most probable codeword. Half cells come as slopes, as in [`super::trellis`].
pub(super) fn weigh(slopes: &[f32], zeros: Zeros) -> Weighed {
    let mut odds = [[NEVER; 2]; CELLS];
    for before in 0..2 {
        let mut start = [NEVER; 2];
        start[before] = 0.0;
        let end = match zeros {
            Zeros::Any => [0.0; 2],
            Zeros::Even => start,
        };
        through(slopes, start, end, &mut odds);
    }
    let mut bytes = [0_u8; 10];
    let mut margin = f32::MAX;
    for (bit, [zero, one]) in odds.into_iter().enumerate() {
        bytes[bit / 8] |= u8::from(one > zero) << (bit % 8);
        if is_of_address(bit) {
            margin = margin.min((one - zero).abs());
        }
    }
    Weighed {
        codeword: Codeword(bytes),
        margin,
    }
}

/// Whether a bit is of the eight digits.
fn is_of_address(bit: usize) -> bool {
    let width = match bit / 8 {
        0 | 2 | 4 | 6 => 4,
        1 | 7 => 2,
        3 | 5 => 3,
        _ => 0,
    };
    bit % 8 < width
}

/// For each bit, the best way by a 0 and the best by a 1, if they are better than those known.
fn through(slopes: &[f32], start: Best, end: Best, odds: &mut [[f32; 2]; CELLS]) {
    let mut before = [[NEVER; 2]; CELLS];
    let mut best = start;
    for (cell, before) in before.iter_mut().enumerate() {
        *before = best;
        let [up, down] = ways(slopes, cell);
        best = [
            (best[1] + down[0]).max(best[0] + up[1]),
            (best[0] + up[0]).max(best[1] + down[1]),
        ];
    }
    let mut after = end;
    for cell in (0..CELLS).rev() {
        let [up, down] = ways(slopes, cell);
        let before = before[cell];
        let zero = (before[0] + up[0] + after[1]).max(before[1] + down[0] + after[0]);
        let one = (before[0] + up[1] + after[0]).max(before[1] + down[1] + after[1]);
        odds[cell] = [odds[cell][0].max(zero), odds[cell][1].max(one)];
        after = [
            (up[0] + after[1]).max(up[1] + after[0]),
            (down[0] + after[0]).max(down[1] + after[1]),
        ];
    }
}

/// The ways through a cell, from level +1 and from -1, by a 0 and by a 1.
fn ways(slopes: &[f32], cell: usize) -> [[f32; 2]; 2] {
    let (first, second) = (slopes[2 * cell], slopes[2 * cell + 1]);
    let (zero, one) = (-first - second, second - first);
    match prior(cell) {
        Prior::Open => [[zero, one], [-zero, -one]],
        Prior::Known(false) => [[zero, NEVER], [-zero, NEVER]],
        Prior::Known(true) => [[NEVER, one], [NEVER, -one]],
    }
}

/// The most by which another way through may be better than the synchronizing word: so many nats,
/// and so many ordinary half cells more. A bit that is wrong costs ten half cells or so; where
/// nats are few, as they are for code that is not what it was taken for, half cells still count.
const SYNC_COST: f32 = 8.0;
const SYNC_COST_HALVES: f32 = 3.0;
const SYNC_COST_MOST: f32 = 7.0;
/// How much of all that is heard there must be the synchronizing word.
const SYNC_SHARE: f32 = 0.7;

/// Whether the synchronizing word stands there by itself: nobody may have presumed it before.
pub(super) fn is_synchronized(slopes: &[f32]) -> bool {
    let sync = &slopes[BEFORE_SYNC..HALVES];
    let fit: f32 = sync
        .iter()
        .zip(SYNC_LEVELS)
        .map(|(slope, level)| slope * level)
        .sum();
    let loud: f32 = sync.iter().map(|slope| slope.abs()).sum();
    let usual = slopes.iter().map(|slope| slope.abs()).sum::<f32>() / HALVES as f32;
    let limit = (SYNC_COST + SYNC_COST_HALVES * usual).min(SYNC_COST_MOST * usual);
    fit.abs() > SYNC_SHARE * loud && freely(sync) - fit.abs() < limit
}

/// A half cell of the synchronizing word is taken for wrong if, on the average of many, it is turned
/// round: by so many standard errors more than this part of what an average half cell has. Hum, taken
/// away with what the code has there, leaves the weakest of them next to nothing on either side.
const ERRORS: f32 = 3.0;
const TURNED: f32 = 0.1;
/// Fewer than so many tell nothing of their spread.
const FEW_WORDS: usize = 3;

/// Whether what stands where synchronizing words are taken to be is one other word, time after time.
///
/// Noise turns round now this half cell and now that. Where the same one is wrong in one codeword
/// after the other, it was sent so: that is code of some other kind, or code read the wrong way
/// round, for 30 of its 32 half cells are their own mirror image.
pub(super) fn is_another_word<'a>(words: impl Iterator<Item = &'a [f32]>) -> bool {
    let fits: Vec<[f32; SYNC_HALVES]> = words.map(fit_of_each_half).collect();
    if fits.len() < FEW_WORDS {
        return false;
    }
    let count = fits.len() as f32;
    let means: [f32; SYNC_HALVES] =
        std::array::from_fn(|half| fits.iter().map(|fit| fit[half]).sum::<f32>() / count);
    let turned = -TURNED * means.iter().sum::<f32>() / SYNC_HALVES as f32;
    means.into_iter().enumerate().any(|(half, mean)| {
        let squares: f32 = fits.iter().map(|fit| (fit[half] - mean).powi(2)).sum();
        let error = (squares / (count - 1.0) / count).sqrt();
        mean + ERRORS * error < turned
    })
}

/// How well each half cell of what should be a synchronizing word fits, whatever its polarity.
fn fit_of_each_half(word: &[f32]) -> [f32; SYNC_HALVES] {
    let fits: [f32; SYNC_HALVES] =
        std::array::from_fn(|half| word[BEFORE_SYNC + half] * SYNC_LEVELS[half]);
    let sign = fits.iter().sum::<f32>().signum();
    fits.map(|fit| sign * fit)
}

/// How well the best way through fits, whatever its bits are.
fn freely(slopes: &[f32]) -> f32 {
    let best = slopes.chunks_exact(2).fold([0.0_f32; 2], |best, halves| {
        let (zero, one) = (-halves[0] - halves[1], halves[1] - halves[0]);
        [
            (best[1] - zero).max(best[0] + one),
            (best[0] + zero).max(best[1] - one),
        ]
    });
    best[0].max(best[1])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PolarityRule;
    use crate::robust::pattern::levels;
    use crate::robust::testing::{Random, beyond, counting};
    use plumbline_timecode::Count;

    /// The detector of half cells with perfect timing: of levels ±1 in noise of variance 1/γ, a
    /// share of Q(√γ) is wrong, exactly. Twelve samples a half cell, SNR -8 dB: γ = 1.90.
    #[test]
    fn half_cells_are_wrong_as_often_as_algebra_says() {
        let mut random = Random::new(5);
        for decibels in [-8.0, -5.0, -2.0] {
            let gamma = 12.0 * 10_f64.powf(decibels / 10.0);
            let chance = beyond(gamma.sqrt());
            let trials = (400.0 / chance).ceil();
            let deviation = (1.0 / gamma).sqrt();
            let wrong = (0..super::super::whole::index(trials))
                .filter(|_| 1.0 + deviation * f64::from(random.normal()) < 0.0)
                .count() as f64;
            let spread = (trials * chance * (1.0 - chance)).sqrt();
            assert!(
                (wrong - trials * chance).abs() < 4.0 * spread,
                "{decibels} dB: {wrong}"
            );
        }
    }

    /// Codewords by themselves, timing given. The nearest codewords with another address differ
    /// from the right one in two half cells where a bit and its neighbour are exchanged by a
    /// later edge: each of about 33 such neighbours wins with Q(√(2γ)). That is the union
    /// bound, which tells most where errors are rare; at -3 dB 99.15 % are right, at -2 dB 99.84 %.
    #[test]
    fn codewords_are_right_as_often_as_algebra_says() {
        let words = counting(Count::F25, 250, PolarityRule::Corrected);
        let levels = levels(&words);
        for (decibels, seed) in [(-3.0, 11), (-2.0, 12)] {
            let mut random = Random::new(seed);
            let gamma = 12.0 * 10_f64.powf(decibels / 10.0);
            let deviation = super::super::whole::single((1.0 / gamma).sqrt());
            let slope = super::super::whole::single(gamma);
            let (mut wrong, mut all) = (0.0, 0.0);
            for _ in 0..48 {
                for (word, levels) in words.iter().zip(levels.chunks_exact(HALVES)) {
                    let slopes: Vec<f32> = levels
                        .iter()
                        .map(|level| slope * (level + deviation * random.normal()))
                        .collect();
                    let read = weigh(&slopes, Zeros::Even).codeword;
                    all += 1.0;
                    wrong += f64::from(u8::from(read.digits() != word.digits()));
                }
            }
            let expected = all * 33.0 * beyond((2.0 * gamma).sqrt());
            // Four sigma of counting, and the bound's own slack of a fifth.
            let slack = 4.0 * f64::sqrt(expected) + 0.2 * expected;
            assert!(
                (wrong - expected).abs() < slack,
                "{decibels} dB: {wrong} of {all}, {expected}"
            );
        }
    }

    /// Each bit of the synchronizing word inverted in every codeword: by itself a codeword may pass
    /// in noise, many never do. Without the flaw all pass.
    #[test]
    fn the_same_wrong_bit_in_every_synchronizing_word_is_noticed() {
        let mut random = Random::new(21);
        let words = counting(Count::F25, 20, PolarityRule::Corrected);
        let mut passed = |words: &[Codeword]| {
            let slopes = levels(words).into_iter();
            let slopes: Vec<f32> = slopes.map(|level| level + 0.5 * random.normal()).collect();
            let words = slopes.chunks_exact(HALVES);
            let passed: Vec<&[f32]> = words.filter(|word| is_synchronized(word)).collect();
            if is_another_word(passed.iter().copied()) {
                0
            } else {
                passed.len()
            }
        };
        assert_eq!(passed(&words), words.len());
        for bit in 64..80 {
            let mut spoilt = words.clone();
            for word in &mut spoilt {
                word.0[bit / 8] ^= 1 << (bit % 8);
            }
            assert!(passed(&spoilt) < FEW_WORDS, "bit {bit}");
        }
    }

    #[test]
    fn a_synchronizing_word_with_one_wrong_bit_is_none() {
        let words = counting(Count::F25, 1, PolarityRule::Corrected);
        let slopes: Vec<f32> = levels(&words).iter().map(|level| 3.0 * level).collect();
        assert!(is_synchronized(&slopes));
        let mut spoilt = words[0];
        spoilt.0[9] ^= 1 << 5;
        let slopes: Vec<f32> = levels(&[spoilt]).iter().map(|level| 3.0 * level).collect();
        assert!(!is_synchronized(&slopes));
    }
}
