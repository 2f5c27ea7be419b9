//! What all half cells together say of each: forward-backward on biphase mark.
//!
//! The state is the level before a cell. A 0 puts both halves on the other level, and stays there;
//! a 1 puts the first half there and comes back with the second (IEC 60461 clause 8.3). So each
//! cell bears witness to the level of its neighbours, and a half cell that can't be told by itself
//! is told by those around it.
//!
//! Half cells come as slopes: the log-likelihood of level a (1 or -1) is a times the slope.

use super::pattern::{CELLS, Prior, prior};
use super::whole;

/// How probable the levels +1 and -1 are. In here the likelier one is 1.
pub(super) type Levels = [f64; 2];

/// How probable a bit is that is known to be the other one.
const HARDLY: f64 = 1e-13;
/// Slopes are believed up to here: products of what then is least probable are still numbers.
const STEEPEST: f32 = 150.0;

/// The probabilities of the ways through a cell, from level +1 and from -1: by a 0, which ends on the
/// other level, and by a 1, which ends on the same.
#[derive(Debug, Clone, Copy)]
struct Cell {
    up: [f64; 2],
    down: [f64; 2],
}

impl Cell {
    fn new(halves: &[f32], prior: Prior) -> Self {
        let [first, second] = [halves[0], halves[1]].map(|slope| {
            // The probabilities of level +1 and of -1.
            let slope = f64::from(slope.clamp(-STEEPEST, STEEPEST));
            let lower = (-2.0 * slope).exp();
            let high = 1.0 / (1.0 + lower);
            [high, lower * high]
        });
        let [zero, one] = match prior {
            Prior::Open => [1.0, 1.0],
            Prior::Known(false) => [1.0, HARDLY],
            Prior::Known(true) => [HARDLY, 1.0],
        };
        Self {
            up: [zero * first[1] * second[1], one * first[1] * second[0]],
            down: [zero * first[0] * second[0], one * first[0] * second[1]],
        }
    }

    /// The levels after it, by those before, and what was taken out to make the likelier one 1.
    fn forwards(self, [up, down]: Levels) -> (Levels, f64) {
        normal([
            down * self.down[0] + up * self.up[1],
            up * self.up[0] + down * self.down[1],
        ])
    }

    /// The levels before it, by those after.
    fn backwards(self, [up, down]: Levels) -> Levels {
        let before = [
            self.up[0] * down + self.up[1] * up,
            self.down[0] * up + self.down[1] * down,
        ];
        normal(before).0
    }

    /// The expected levels of its halves.
    fn expected(self, before: Levels, after: Levels) -> [f64; 2] {
        // From +1 by 0, from +1 by 1, from -1 by 0, from -1 by 1.
        let [a, b, c, d] = [
            before[0] * self.up[0] * after[1],
            before[0] * self.up[1] * after[0],
            before[1] * self.down[0] * after[0],
            before[1] * self.down[1] * after[1],
        ];
        let all = a + b + c + d;
        [(c + d - a - b) / all, (b + c - a - d) / all]
    }
}

fn normal([up, down]: Levels) -> (Levels, f64) {
    let most = up.max(down);
    ([up / most, down / most], most)
}

/// What is known of bits that begin with that of a codeword's first cell.
pub(super) fn of_codewords(cell: usize) -> Prior {
    prior(cell % CELLS)
}

/// Of bits of which nothing is known.
pub(super) fn of_anything(_: usize) -> Prior {
    Prior::Open
}

fn cells(slopes: &[f32], prior: impl Fn(usize) -> Prior) -> impl Iterator<Item = Cell> {
    let halves = slopes.chunks_exact(2).enumerate();
    halves.map(move |(number, halves)| Cell::new(halves, prior(number)))
}

/// The expected level of each half cell, between -1 and 1.
pub(super) fn expected_levels(slopes: &[f32], prior: impl Fn(usize) -> Prior) -> Vec<f32> {
    let mut before: Levels = [1.0, 1.0];
    let known = cells(slopes, prior).map(|cell| {
        let known = (cell, before);
        before = cell.forwards(before).0;
        known
    });
    let known: Vec<(Cell, Levels)> = known.collect();
    let mut after: Levels = [1.0, 1.0];
    let mut expected = vec![0.0; 2 * known.len()];
    for (&(cell, before), halves) in known.iter().zip(expected.chunks_exact_mut(2)).rev() {
        halves.copy_from_slice(&cell.expected(before, after).map(whole::single));
        after = cell.backwards(after);
    }
    expected
}

/// How much better than levels at random code explains the half cells, in nats.
pub(super) fn likelihood(slopes: &[f32], prior: impl Fn(usize) -> Prior) -> f64 {
    let mut levels: Levels = [1.0, 1.0];
    let mut sum = 0.0;
    let mut product = 1.0;
    for cell in cells(slopes, prior) {
        let (next, norm) = cell.forwards(levels);
        levels = next;
        product *= norm;
        // The logarithm of many at once.
        if product < 1e-30 {
            sum += f64::ln(product);
            product = 1.0;
        }
    }
    sum + product.ln() + (levels[0] + levels[1]).ln()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::robust::testing::Random;

    /// Levels of the half cells of some bits after a level.
    fn levels(bits: u32, count: usize, mut level: f64) -> Vec<f64> {
        let mut levels = Vec::new();
        for bit in 0..count {
            level = -level;
            levels.push(level);
            if bits >> bit & 1 == 1 {
                level = -level;
            }
            levels.push(level);
        }
        levels
    }

    /// All 2⁸ strings of eight bits, and both levels before: the sum over them is what
    /// forward-backward says without going through them.
    #[test]
    fn all_strings_of_eight_bits_together_say_the_same() {
        let mut random = Random::new(7);
        for _ in 0..50 {
            let slopes: Vec<f32> = (0..16).map(|_| 1.5 * random.normal()).collect();
            let known = |cell| {
                if cell == 5 {
                    Prior::Known(true)
                } else {
                    Prior::Open
                }
            };
            let mut sums = [0.0; 16];
            let mut all = 0.0;
            for bits in (0..256_u32).filter(|bits| bits >> 5 & 1 == 1) {
                for before in [1.0, -1.0] {
                    let levels = levels(bits, 8, before);
                    let fit: f64 = levels
                        .iter()
                        .zip(&slopes)
                        .map(|(a, &s)| a * f64::from(s))
                        .sum();
                    all += fit.exp();
                    sums.iter_mut()
                        .zip(&levels)
                        .for_each(|(sum, a)| *sum += a * fit.exp());
                }
            }
            let expected = expected_levels(&slopes, known);
            for (sum, &level) in sums.iter().zip(&expected) {
                assert!(
                    (sum / all - f64::from(level)).abs() < 2e-7,
                    "{} {level}",
                    sum / all
                );
            }
            let random: f64 = slopes
                .iter()
                .map(|&s| (2.0 * f64::from(s).cosh()).ln())
                .sum();
            let likelihood = likelihood(&slopes, known);
            assert!(
                (likelihood - (all.ln() - random)).abs() < 1e-9,
                "{likelihood}"
            );
        }
    }
}
