//! Noise has the power and the spectrum that were asked for.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

mod common;

use common::{power_between, seconds};
use plumbline_damage::{Added, Decibels, Pink, Random, Seed, Sound, Source, Take, White};
use plumbline_timecode::{Rate, SampleRate};
use proptest::prelude::*;

fn source(rate: Rate, hertz: u32) -> Source {
    Source::new(rate, SampleRate::hertz(hertz).unwrap())
}

/// The mean square of what was added over that of the code, in decibels.
fn measured_snr(clean: &Take, noisy: &Take) -> Decibels {
    let pairs = clean.samples.iter().zip(&noisy.samples);
    let added: f64 = pairs
        .map(|(&clean, &noisy)| (f64::from(noisy) - f64::from(clean)).powi(2))
        .sum();
    Decibels::of_powers(clean.code_power, added / clean.samples.len() as f64)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// The mean square of n independent normal samples has a standard deviation of √(2/n) of
    /// itself (chi-square with n degrees: variance 2n); four of them, in decibels.
    #[test]
    fn white_noise_has_the_snr_that_was_asked(snr in -30.0..30.0_f64, number: u64) {
        let clean = source(Rate::F25, 48_000).take(50, Seed::tuning(number)).unwrap();
        let noisy = clean.clone()
            .damaged(Seed::tuning(number), &[&Added::at_snr(White, Decibels(snr))]).unwrap();
        let spread = (2.0 / clean.samples.len() as f64).sqrt();
        let tolerance = 10.0 * (1.0 + 4.0 * spread).log10();
        prop_assert!((measured_snr(&clean, &noisy).0 - snr).abs() < tolerance);
    }
}

/// Pink noise is not independent from sample to sample. Its mean square over a time T has a
/// variance of (1/T) ∫ S² df over both signs of f, for power density S with ∫ S df = 1: here S is
/// known, so the tolerance is too.
#[test]
fn pink_noise_has_the_snr_that_was_asked() {
    let half: f64 = 24_000.0;
    let corner: f64 = 20.0;
    // One-sided: level to 20 Hz, 1/f above; ∫ S = corner + corner ln(half / corner), for S = 1
    // below; ∫ S² = corner + corner² (1/corner - 1/half).
    let total = corner * (1.0 + (half / corner).ln());
    let squares = corner + corner - corner * corner / half;
    let clean = source(Rate::F25, 48_000)
        .take(500, Seed::tuning(1))
        .unwrap();
    // Real noise: the variance of the mean square is (1/T) Σ over one side of S².
    let spread = (squares / (total * total) / seconds(&clean)).sqrt();
    let tolerance = 10.0 * (1.0 + 4.0 * spread).log10();
    assert!(
        tolerance < 1.5,
        "a tolerance that means something: {tolerance} dB"
    );
    for (snr, number) in [(-20.0, 1), (0.0, 2), (10.0, 3)] {
        let noisy = clean
            .clone()
            .damaged(Seed::tuning(number), &[&Added::at_snr(Pink, Decibels(snr))])
            .unwrap();
        let measured = measured_snr(&clean, &noisy).0;
        assert!(
            (measured - snr).abs() < tolerance,
            "{measured} for {snr} dB"
        );
    }
}

/// Power for each hertz falls by 3.01 dB an octave: the same power in every octave. An octave
/// from f has a bandwidth of f, so over T seconds about f T independent bins, each with a relative
/// spread of 1: the sum's is 1/√(f T).
#[test]
fn pink_noise_falls_three_decibels_an_octave() {
    let rate = SampleRate::hertz(48_000).unwrap();
    let (count, mut random) = (60 * 48_000, Seed::tuning(5).random(1));
    let samples = Pink.samples(rate, count, &mut random);
    let octaves = [
        40.0, 80.0, 160.0, 320.0, 640.0, 1280.0, 2560.0, 5120.0, 10_240.0,
    ];
    let power: Vec<f64> = octaves
        .iter()
        .map(|&from| power_between(&samples, 48_000.0, from, 2.0 * from))
        .collect();
    for (pair, from) in power.windows(2).zip(octaves) {
        let spread = (1.0_f64 / (from * 60.0)).sqrt();
        let tolerance = 10.0 * (1.0 + 4.0 * 1.5 * spread).log10();
        // Per hertz, the upper octave has half of what the same power gives the lower one.
        let slope = 10.0 * (pair[1] / 2.0 / pair[0]).log10();
        assert!(
            (slope + 10.0 * 2.0_f64.log10()).abs() < tolerance,
            "{slope} dB from {from} Hz on, {tolerance} allowed"
        );
    }
}

#[test]
fn white_noise_is_level_from_end_to_end() {
    let rate = SampleRate::hertz(48_000).unwrap();
    let samples = White.samples(rate, 480_000, &mut Seed::tuning(6).random(1));
    for from in (0..24_000).step_by(3000).map(f64::from) {
        let power = power_between(&samples, 48_000.0, from, from + 3000.0);
        // 3000 Hz over 10 s: 30 000 bins.
        let tolerance = 4.0 / 30_000.0_f64.sqrt();
        assert!(
            (power * 8.0 - 1.0).abs() < tolerance,
            "{power} from {from} Hz"
        );
    }
}

/// First four moments of the normal distribution: 0, 1, 0, 3; spreads of the sample moments of n
/// are √(1/n), √(2/n), √(15/n), √(96/n).
#[test]
fn noise_is_normal() {
    let mut random: Random = Seed::tuning(7).random(1);
    let count = 1_000_000.0_f64;
    let mut moments = [0.0; 4];
    for _ in 0..1_000_000 {
        let value = random.normal();
        for (moment, power) in moments.iter_mut().zip(1..) {
            *moment += value.powi(power) / count;
        }
    }
    for ((moment, right), variance) in moments
        .into_iter()
        .zip([0.0, 1.0, 0.0, 3.0])
        .zip([1.0, 2.0, 15.0, 96.0_f64])
    {
        assert!(
            (moment - right).abs() < 4.0 * (variance / count).sqrt(),
            "{moment}"
        );
    }
}

#[test]
fn a_seed_gives_the_same_take_and_another_seed_another() {
    let take = |seed| {
        source(Rate::F29_97, 48_000)
            .take(20, seed)
            .unwrap()
            .damaged(
                seed,
                &[
                    &Added::at_snr(White, Decibels(0.0)),
                    &Added::at_snr(Pink, Decibels(3.0)),
                ],
            )
            .unwrap()
    };
    assert_eq!(take(Seed::tuning(9)), take(Seed::tuning(9)));
    let others = [Seed::tuning(10), Seed::judging(9), Seed::judging(10)];
    for other in others {
        assert_ne!(take(Seed::tuning(9)).samples, take(other).samples);
        assert_ne!(take(Seed::tuning(9)).words, take(other).words);
    }
}

#[test]
fn one_damage_does_not_change_what_the_next_one_draws() {
    let clean = source(Rate::F25, 48_000).take(5, Seed::tuning(1)).unwrap();
    let noise = Added::at_snr(White, Decibels(0.0));
    let silence = Added::at_snr(Pink, Decibels(300.0));
    let both = clean
        .clone()
        .damaged(Seed::tuning(1), &[&noise, &noise])
        .unwrap();
    let second = clean
        .clone()
        .damaged(Seed::tuning(1), &[&silence, &noise])
        .unwrap();
    let first = clean.clone().damaged(Seed::tuning(1), &[&noise]).unwrap();
    for n in 0..clean.samples.len() {
        let parts = second.samples[n] + first.samples[n] - clean.samples[n];
        assert!((both.samples[n] - parts).abs() < 1e-6);
    }
}
