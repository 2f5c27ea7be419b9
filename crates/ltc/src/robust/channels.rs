//! What two channels say of the same half cells.
//!
//! # Where codewords are weighed
//!
//! Each says of level a that its log-likelihood is a times a slope: a mean times a, and noise. If the
//! noises had nothing to do with each other, the slopes would add. Where both channels have a part of
//! the same noise, as two tracks of one microphone do, or where hum reached both, what they have in
//! common must not count twice, and can even be told from the code and taken out. With the means m and
//! the covariance C of the noises, the slope of both together is mᵀC⁻¹x: the same channel twice says
//! just what it says once.
//!
//! A slope that is a log-likelihood has a noise whose variance is its mean, so the mean square m² + m
//! says both; and what the product of two has beyond the product of their means, their noises have in
//! common.
//!
//! # Where none can be weighed
//!
//! Half cells that are known to no more than their noise of variance 1 have means that the synchronizing
//! words tell, as in [`super::level`]: in both channels these are the same, and their 32 half cells add
//! up. The mean product of half cells is that of the means and what the noises have in common; the mean
//! product of the sums over synchronizing words is 32² times the one and 32 times the other.

use super::level::{Level, syncs};
use super::pattern::{HALVES, SYNC_HALVES};
use super::trellis::{self, of_codewords};
use super::whole;

/// No more of two noises is believed to be the same, as their correlation.
const ALIKE: f64 = 0.99;

/// The slopes of both channels together, each half cell of one beside the same of the other. Their
/// polarities need not be the same.
pub(super) fn joined(own: &[f32], other: &[f32]) -> Vec<f32> {
    let levels = trellis::expected_levels(own, of_codewords);
    let polarity = mean_product(&levels, other).signum();
    let [mean, other_mean] = [own, other].map(|slopes| {
        let square = mean_product(slopes, slopes);
        ((0.25 + square).sqrt() - 0.5).max(f64::MIN_POSITIVE)
    });
    let most = ALIKE * (mean * other_mean).sqrt();
    let common = polarity * mean_product(own, other) - mean * other_mean;
    let common = common.clamp(-most, most);
    let determinant = mean * other_mean - common * common;
    let weight = other_mean * (mean - common) / determinant;
    let other_weight = polarity * mean * (other_mean - common) / determinant;
    weighted([(own, weight), (other, other_weight)])
}

/// Half cells of both channels together, all three with noise of variance 1: those of code that both have,
/// or nearly the first by itself if the second has none.
pub(super) fn joined_over_noise(own: &[f32], other: &[f32]) -> Vec<f32> {
    let mean = Level::of(own).code_over_noise();
    let words = SYNC_HALVES as f64;
    let all = mean_product(own, other);
    let products = syncs(own).zip(syncs(other)).map(|(a, b)| a * b);
    let mean_sync = products.sum::<f64>() / (own.len() / HALVES).max(1) as f64;
    let means = (mean_sync - words * all) / (words * words - words);
    let common = (all - means).clamp(-ALIKE, ALIKE);
    let other_mean = means / mean;
    let (weight, other_weight) = (mean - common * other_mean, other_mean - common * mean);
    let power = (weight * mean + other_weight * other_mean) * (1.0 - common * common);
    let scale = power.max(f64::MIN_POSITIVE).sqrt().recip();
    weighted([(own, scale * weight), (other, scale * other_weight)])
}

fn weighted([(own, weight), (other, other_weight)]: [(&[f32], f64); 2]) -> Vec<f32> {
    let (weight, other_weight) = (whole::single(weight), whole::single(other_weight));
    let both = own.iter().zip(other);
    both.map(|(a, b)| weight * a + other_weight * b).collect()
}

fn mean_product(a: &[f32], b: &[f32]) -> f64 {
    let products = a.iter().zip(b).map(|(a, b)| f64::from(a * b));
    products.sum::<f64>() / a.len().max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Codeword;
    use crate::robust::pattern;
    use crate::robust::testing::{Random, random_codeword};

    /// The levels of the half cells of random codewords.
    fn levels(random: &mut Random) -> Vec<f32> {
        let codewords: Vec<Codeword> = (0..60).map(|_| random_codeword(random)).collect();
        pattern::levels(&codewords)
    }

    /// Slopes of levels that stand so far above noise of variance 1.
    fn slopes(levels: &[f32], noise: &[f32], amplitude: f32) -> Vec<f32> {
        let parts = levels.iter().zip(noise);
        parts
            .map(|(level, noise)| amplitude * (amplitude * level + noise))
            .collect()
    }

    fn white(random: &mut Random, count: usize) -> Vec<f32> {
        (0..count).map(|_| random.normal()).collect()
    }

    /// The mean of the slopes, and the variance of the noise in them over it: 1 if they are
    /// log-likelihoods.
    fn mean_and_variance(slopes: &[f32], levels: &[f32]) -> (f64, f64) {
        let mean = mean_product(slopes, levels);
        let square = mean_product(slopes, slopes);
        (mean, (square - mean * mean) / mean)
    }

    /// 9,600 half cells: means are known to some hundredths.
    fn close(left: f64, right: f64) -> bool {
        (left - right).abs() < 0.1 * right
    }

    #[test]
    fn noises_that_have_nothing_to_do_with_each_other_leave_the_sum() {
        let mut random = Random::new(31);
        let levels = levels(&mut random);
        let [a, b] = [0.8, 0.5].map(|amplitude| {
            let noise = white(&mut random, levels.len());
            slopes(&levels, &noise, amplitude)
        });
        let b: Vec<f32> = b.iter().map(|slope| -slope).collect();
        let (mean, variance) = mean_and_variance(&joined(&a, &b), &levels);
        assert!(close(mean, 0.64 + 0.25), "{mean}");
        assert!(close(variance, 1.0), "{variance}");
    }

    /// What half cells say is how far they stand above noise of variance 1: 0.2 is -26 dB at 12 samples
    /// each.
    #[test]
    fn half_cells_far_below_noise_are_joined_to_what_both_say() {
        const ALIKE: f32 = 0.6;
        let mut random = Random::new(34);
        let levels: Vec<f32> = (0..40).flat_map(|_| levels(&mut random)).collect();
        let count = levels.len();
        let common = white(&mut random, count);
        let mut halves = |amplitude: f32, alike: f32| -> Vec<f32> {
            let own = white(&mut random, count);
            let noise = common.iter().zip(&own);
            let noise = noise.map(|(c, o)| alike.sqrt() * c + (1.0 - alike).sqrt() * o);
            let parts = levels.iter().zip(noise);
            parts
                .map(|(level, noise)| amplitude * level + noise)
                .collect()
        };
        let shared = (0.04 + 0.01 - 2.0 * f64::from(ALIKE) * 0.02) / (1.0 - 0.36);
        for (a, b, expected) in [
            (halves(0.2, 0.0), halves(-0.15, 0.0), 0.04 + 0.0225),
            (halves(0.2, 0.0), halves(0.0, 0.0), 0.04),
            (halves(0.2, ALIKE), halves(0.1, ALIKE), shared),
        ] {
            let joined = joined_over_noise(&a, &b);
            let mean = mean_product(&joined, &levels);
            let variance = mean_product(&joined, &joined) - mean * mean;
            assert!(
                (mean / expected.sqrt() - 1.0).abs() < 0.05,
                "{mean} {expected}"
            );
            assert!(close(variance, 1.0), "{variance}");
        }
    }

    #[test]
    fn the_same_channel_twice_says_what_it_says_once() {
        let mut random = Random::new(32);
        let levels = levels(&mut random);
        let noise = white(&mut random, levels.len());
        let own = slopes(&levels, &noise, 0.8);
        let (mean, variance) = mean_and_variance(&joined(&own, &own), &levels);
        assert!(close(mean, 0.64), "{mean}");
        assert!(close(variance, 1.0), "{variance}");
    }

    /// The other channel has the same noise and hardly any code: it tells what is noise.
    #[test]
    fn noise_that_both_have_is_taken_out() {
        const ALIKE: f32 = 0.9;
        let mut random = Random::new(33);
        let levels = levels(&mut random);
        let count = levels.len();
        let common = white(&mut random, count);
        let mut slopes_at = |amplitude| {
            let own = white(&mut random, count);
            let parts = common.iter().zip(&own);
            let parts = parts.map(|(c, o)| ALIKE.sqrt() * c + (1.0 - ALIKE).sqrt() * o);
            slopes(&levels, &parts.collect::<Vec<_>>(), amplitude)
        };
        let (a, b) = (slopes_at(0.8), slopes_at(0.2));
        let (mean, variance) = mean_and_variance(&joined(&a, &b), &levels);
        // (a² + b² - 2ρab) / (1 - ρ²), instead of a² alone.
        let expected = (0.64 + 0.04 - 2.0 * 0.9 * 0.16) / (1.0 - 0.81);
        assert!(close(mean, expected), "{mean}");
        assert!(close(variance, 1.0), "{variance}");
    }
}
