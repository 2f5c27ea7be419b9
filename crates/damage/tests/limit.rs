//! Simulation against algebra.
//!
//! If a test here fails, the simulation or the algebra is wrong: both are exact but for chance,
//! and how much chance may do is worked out.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

use std::f64::consts::PI;

use plumbline_damage::{
    Decibels, Seed, Source, best_position, best_single_word, half_cell_snr, nearest_error,
    nearest_wrong_addresses, q,
};

use plumbline_ltc::RiseTime;
use plumbline_timecode::{Rate, SampleRate};

/// A slicer with known timing takes each half-cell by its sign: wrong with Q(√γ). A bit is wrong
/// when exactly one of its halves is.
#[test]
fn a_timed_slicer_has_the_error_rate_of_the_closed_form() {
    for (gamma, number) in [(1.0_f64, 1), (2.5, 2), (5.0, 3)] {
        let mut random = Seed::tuning(number).random(1);
        let bits = 400_000_u32;
        let mut wrong = [0.0; 2];
        for _ in 0..bits {
            let errors = [0, 1].map(|_| gamma.sqrt() + random.normal() < 0.0);
            wrong[0] += errors.iter().filter(|&&error| error).count() as f64;
            wrong[1] += f64::from(u8::from(errors[0] != errors[1]));
        }
        let half = q(gamma.sqrt());
        let bit = 2.0 * half * (1.0 - half);
        for (wrong, probability, trials) in [
            (wrong[0], half, 2.0 * f64::from(bits)),
            (wrong[1], bit, f64::from(bits)),
        ] {
            let expected = probability * trials;
            let spread = (expected * (1.0 - probability)).sqrt();
            assert!(expected > 100.0, "too few expected errors to mean anything");
            assert!(
                (wrong - expected).abs() < 4.0 * spread,
                "{wrong} for {expected}"
            );
        }
    }
}

/// Where errors are rare they are the nearest ones: the bound and the simulation meet. Above,
/// errors come in company, and the bound counts them more than once.
#[test]
fn the_best_single_word_reader_meets_its_bound() {
    for (db, words) in [(-3.0, 60_000), (-2.0, 150_000)] {
        let gamma = half_cell_snr(1920.0, Decibels(db).power());
        let trials = best_single_word(gamma, words, &mut Seed::tuning(1).random(1));
        let wrong = f64::from(trials.of - trials.right);
        let expected = nearest_error(gamma) * f64::from(trials.of);
        assert!(expected > 100.0, "too few expected errors to mean anything");
        // Neighbours overlap: the union counts those twice, which is a few in a hundred here;
        // the next distance, four half-cells, adds 2 % at most.
        let spread = expected.sqrt();
        assert!(
            wrong < 1.02 * expected + 4.0 * spread,
            "{db} dB: {wrong} for {expected}"
        );
        assert!(
            wrong > 0.9 * expected - 4.0 * spread,
            "{db} dB: {wrong} for {expected}"
        );
    }
    let gamma = half_cell_snr(1920.0, Decibels(-8.0).power());
    let trials = best_single_word(gamma, 2000, &mut Seed::tuning(1).random(1));
    assert!(
        1.0 - trials.share() < nearest_error(gamma),
        "a bound that is passed"
    );
}

/// IEC 60461 table 2: each digit of four bits with a neighbour on either side has five pairs, one
/// of three has four, one of two has three, and the first digit has no neighbour before it.
#[test]
fn the_nearest_wrong_addresses_are_counted_by_hand() {
    assert_eq!(
        nearest_wrong_addresses(),
        (5 - 1) + 3 + 5 + 4 + 5 + 4 + 5 + 3
    );
}

/// 25 frames a second at 48 kHz: 12 samples a half-cell, 10.8 dB.
#[test]
fn half_cells_gather_the_energy_of_their_samples() {
    let gamma = half_cell_snr(1920.0, 1.0);
    assert!((Decibels::of_powers(gamma, 1.0).0 - 10.79).abs() < 0.01);
}

/// Where edges are raised cosines of length L between -A and A, slow enough that the sample rate
/// carries all of them, each has Σ s'² = ∫ (Aπ/L cos πt/L)² dt = A²π²/2L; and all is known.
#[test]
fn a_position_is_known_as_well_as_edges_are_steep() {
    let mut source = Source::new(Rate::F24, SampleRate::hertz(192_000).unwrap());
    source.tone.rise_time = RiseTime::microseconds(100).unwrap();
    let take = source.take(20, Seed::tuning(1)).unwrap();
    let ones: u32 = take
        .words
        .iter()
        .flat_map(|word| word.sent.0)
        .map(u8::count_ones)
        .sum();
    let edges = 80.0 * 20.0 + f64::from(ones);
    let amplitude = source.tone.level.amplitude();
    // 10 to 90 % of a raised cosine are (2/π) asin 0.8 of it.
    let length = 100e-6 * 192_000.0 / (2.0 / PI * 0.8_f64.asin());
    let squares = edges / 20.0 * (amplitude * PI).powi(2) / (2.0 * length);
    for snr in [0.0, 10.0] {
        let noise = take.code_power / Decibels(snr).power();
        let right = (noise / squares).sqrt();
        let bound = best_position(&take, Decibels(snr));
        assert!((bound / right - 1.0).abs() < 0.02, "{bound} for {right}");
    }
}
