//! What the half cells around a half cell add to it: a channel does that to code, and whitening too.

use std::array;

use super::pattern::{BEFORE_SYNC, HALVES};
use super::whole;

/// From how many half cells away on either side echoes are looked for.
const BESIDE: usize = 5;
const ALL: usize = 2 * BESIDE + 1;
/// Echoes are drawn to nought by this part of what all half cells tell of them: code of zeros alone
/// does not tell one from another.
const LEAST: f64 = 1e-3;

/// Slopes of half cells less the echoes of the others, whose levels are expected to be these.
pub(super) fn without_echoes(slopes: &[f32], levels: &[f32]) -> Vec<f32> {
    let mut echoes = echoes(slopes, levels).map(whole::single);
    echoes[BESIDE] = 0.0;
    let mut without = slopes.to_vec();
    let inner = without.iter_mut().skip(BESIDE);
    for (slope, around) in inner.zip(levels.windows(ALL)) {
        let added = echoes.iter().zip(around).map(|(echo, level)| echo * level);
        *slope -= added.sum::<f32>();
    }
    without
}

/// How much of the level of each half cell around it is in a half cell, by least squares. Only what
/// stands before the synchronizing words is asked: of these nothing may be presumed.
fn echoes(slopes: &[f32], levels: &[f32]) -> [f64; ALL] {
    let mut equations: [Equation; ALL] = [[0.0; ALL + 1]; ALL];
    for (slopes, levels) in slopes.chunks_exact(HALVES).zip(levels.chunks_exact(HALVES)) {
        let inner = slopes[BESIDE..BEFORE_SYNC].iter();
        for (&slope, around) in inner.zip(levels[..BEFORE_SYNC].windows(ALL)) {
            for (equation, &one) in equations.iter_mut().zip(around) {
                equation[ALL] += f64::from(slope * one);
                for (part, &other) in equation.iter_mut().zip(around) {
                    *part += f64::from(one * other);
                }
            }
        }
    }
    for (own, equation) in equations.iter_mut().enumerate() {
        equation[own] *= 1.0 + LEAST;
    }
    solved(equations)
}

/// How much of each unknown there is, and what that comes to.
type Equation = [f64; ALL + 1];

/// The solution of equations whose matrix is positive definite, so that no pivot is sought; where it
/// is not, as in silence, nought.
fn solved(mut equations: [Equation; ALL]) -> [f64; ALL] {
    for pivot in 0..ALL {
        let taken = equations[pivot];
        if taken[pivot] <= 0.0 {
            return [0.0; ALL];
        }
        for (number, other) in equations.iter_mut().enumerate() {
            let times = other[pivot] / taken[pivot];
            if number != pivot {
                for (value, part) in other.iter_mut().zip(taken) {
                    *value -= times * part;
                }
            }
        }
    }
    array::from_fn(|own| equations[own][ALL] / equations[own][own])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PolarityRule;
    use crate::robust::pattern::levels;
    use crate::robust::testing::{Random, counting};
    use plumbline_timecode::Count;

    #[test]
    fn echoes_are_taken_out_and_the_rest_stays() {
        let levels = levels(&counting(Count::F25, 75, PolarityRule::Corrected));
        let mut random = Random::new(71);
        let sent = |at: usize| levels.get(at).copied().unwrap_or(0.0);
        let heard: Vec<f32> = (0..levels.len())
            .map(|at| 2.0 * sent(at) - 1.4 * sent(at.wrapping_sub(1)) + 0.8 * sent(at + 2))
            .map(|slope| slope + 0.3 * random.normal())
            .collect();
        let without = without_echoes(&heard, &levels);
        let inner = without.iter().zip(&levels).skip(BESIDE);
        let fits: Vec<f32> = inner
            .take(levels.len() - ALL)
            .map(|(slope, level)| slope * level)
            .collect();
        let mean = fits.iter().sum::<f32>() / fits.len() as f32;
        let spread = fits.iter().map(|fit| (fit - mean).powi(2)).sum::<f32>() / fits.len() as f32;
        assert!((mean - 2.0).abs() < 0.05, "{mean}");
        assert!(spread.sqrt() < 0.35, "{spread}");
    }

    #[test]
    fn where_nothing_is_expected_nothing_is_taken_out() {
        let slopes = vec![1.0; 4 * HALVES];
        assert_eq!(without_echoes(&slopes, &vec![0.0; 4 * HALVES]), slopes);
    }
}
