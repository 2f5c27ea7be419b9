//! What all half cells together say of each: forward-backward on biphase mark.
//!
//! The state is the level before a cell. A 0 puts both halves on the other level, and stays there;
//! a 1 puts the first half there and comes back with the second (IEC 60461 clause 8.3). So each
//! cell bears witness to the level of its neighbours, and a half cell that can't be told by itself
//! is told by those around it.
//!
//! Half cells come as slopes: the log-likelihood of level a (1 or -1) is a times the slope.

use super::pattern::{CELLS, Prior, prior};

/// The probabilities of the two levels, +1 and -1, as logarithms.
type Levels = [f32; 2];

/// What is known of a bit that is known, in nats.
const CERTAIN: f32 = 30.0;

/// The log-likelihoods of the ways through a cell.
#[derive(Debug, Clone, Copy)]
struct Cell {
    /// Of a 0 that leaves level +1; one that leaves level -1 has the opposite.
    zero: f32,
    /// The same of a 1.
    one: f32,
    /// What was known of the two.
    known: [f32; 2],
}

impl Cell {
    fn new(halves: &[f32], prior: Prior) -> Self {
        let (first, second) = (halves[0], halves[1]);
        Self {
            zero: -first - second,
            one: second - first,
            known: match prior {
                Prior::Open => [0.0, 0.0],
                Prior::Known(one) => [
                    if one { -CERTAIN } else { 0.0 },
                    if one { 0.0 } else { -CERTAIN },
                ],
            },
        }
    }

    /// The ways through it, from level +1 and from -1: by a 0, which ends on the other level, and
    /// by a 1, which ends on the same.
    fn ways(self) -> [[f32; 2]; 2] {
        let [zero, one] = self.known;
        [
            [zero + self.zero, one + self.one],
            [zero - self.zero, one - self.one],
        ]
    }
}

/// What is known of bits that begin with that of a codeword's first cell.
pub(super) fn of_codewords(cell: usize) -> Prior {
    prior(cell % CELLS)
}

/// ln(eᵃ + eᵇ).
fn add(a: f32, b: f32) -> f32 {
    let (low, high) = if a < b { (a, b) } else { (b, a) };
    let apart = low - high;
    // Beyond, single precision has no digits for it.
    if apart < -17.0 {
        high
    } else {
        high + apart.exp().ln_1p()
    }
}

/// The expected level of each half cell, between -1 and 1.
pub(super) fn expected_levels(slopes: &[f32], prior: impl Fn(usize) -> Prior) -> Vec<f32> {
    let cells = cells(slopes, prior);
    let before = forwards(&cells);
    let mut after: Levels = [0.0, 0.0];
    let mut expected = vec![0.0; 2 * cells.len()];
    for ((cell, before), halves) in cells
        .iter()
        .zip(&before)
        .zip(expected.chunks_exact_mut(2))
        .rev()
    {
        let [up, down] = cell.ways();
        // From +1 by 0, from +1 by 1, from -1 by 0, from -1 by 1.
        let ways = [
            before[0] + up[0] + after[1],
            before[0] + up[1] + after[0],
            before[1] + down[0] + after[0],
            before[1] + down[1] + after[1],
        ];
        let most = ways.into_iter().fold(f32::MIN, f32::max);
        let [a, b, c, d] = ways.map(|way| (way - most).exp());
        let all = a + b + c + d;
        halves[0] = (c + d - a - b) / all;
        halves[1] = (b + c - a - d) / all;
        after = normal([
            add(up[0] + after[1], up[1] + after[0]),
            add(down[0] + after[0], down[1] + after[1]),
        ])
        .0;
    }
    expected
}

/// How much better than levels at random code explains the half cells, in nats.
pub(super) fn likelihood(slopes: &[f32], prior: impl Fn(usize) -> Prior) -> f64 {
    let mut levels: Levels = [0.0, 0.0];
    let mut sum = 0.0;
    for cell in cells(slopes, prior) {
        let (next, norm) = step(levels, cell);
        levels = next;
        sum += f64::from(norm);
    }
    let random = slopes.iter().map(|&slope| f64::from(add(slope, -slope)));
    sum + f64::from(add(levels[0], levels[1])) - random.sum::<f64>()
}

fn cells(slopes: &[f32], prior: impl Fn(usize) -> Prior) -> Vec<Cell> {
    let halves = slopes.chunks_exact(2).enumerate();
    halves
        .map(|(number, halves)| Cell::new(halves, prior(number)))
        .collect()
}

/// What the cells before each one say of the level before it.
fn forwards(cells: &[Cell]) -> Vec<Levels> {
    let mut levels: Levels = [0.0, 0.0];
    let before = cells.iter().map(|&cell| {
        let before = levels;
        levels = step(levels, cell).0;
        before
    });
    before.collect()
}

fn step(levels: Levels, cell: Cell) -> (Levels, f32) {
    let [up, down] = cell.ways();
    normal([
        add(levels[1] + down[0], levels[0] + up[1]),
        add(levels[0] + up[0], levels[1] + down[1]),
    ])
}

/// The higher of the two made nought, and what that took.
fn normal([up, down]: Levels) -> (Levels, f32) {
    let norm = up.max(down);
    ([up - norm, down - norm], norm)
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
    /// forward-backward says without going through them. Single precision has seven digits, and
    /// the values are at most some dozens.
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
                    (sum / all - f64::from(level)).abs() < 2e-6,
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
                (likelihood - (all.ln() - random)).abs() < 1e-4,
                "{likelihood}"
            );
        }
    }
}
