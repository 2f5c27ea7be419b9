//! Simulation against algebra.
//!
//! If a test here fails, the simulation or the algebra is wrong: both are exact but for chance,
//! and how much chance may do is worked out.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

use std::f64::consts::PI;

use plumbline_damage::{
    Addresses, Decibels, Seed, Source, Truth, best_position, best_single_word, best_start,
    half_cell_snr, nearest_error, nearest_wrong_addresses, nearest_wrong_starts, q,
};

use plumbline_ltc::{Codeword, RiseTime};
use plumbline_timecode::{Count, Rate, SampleRate, TimeAddress};

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

fn from(hours: u8, minutes: u8, seconds: u8, codewords: u32) -> Vec<Truth> {
    let address = TimeAddress::new(Count::F25, hours, minutes, seconds, 0).unwrap();
    let source = Source {
        addresses: Addresses::From(address),
        ..Source::new(Rate::F25, SampleRate::hertz(48_000).unwrap())
    };
    source.take(codewords, Seed::tuning(1)).unwrap().words
}

/// Ten seconds from 00:00:00:00. A pair of bits turns a digit's 0 into 1 (with the bit before it), into
/// 3, 6 or 12, or into its highest value, 8, 4 or 2 (with the bit after it); what exists of that counts.
/// Frames and units of seconds are not the same in all codewords: of those nothing counts on.
#[test]
fn the_nearest_wrong_starts_are_counted_by_hand() {
    let words = from(0, 0, 0, 250);
    let tens_of_seconds = [23, 24, 26];
    let minutes = [31, 32, 33, 35, 39, 40, 42];
    let hours = [47, 48, 49, 51, 55, 57];
    let all = [&tens_of_seconds[..], &minutes, &hours].concat();
    assert_eq!(nearest_wrong_starts(&words, Count::F25), all);
    // Over the end of a minute, a minute's digit is not the same in all.
    let over = from(0, 0, 55, 250);
    assert!(nearest_wrong_starts(&over, Count::F25).len() < all.len());
}

/// The levels of all half-cells of codewords, which follow each other.
fn levels(words: &[Codeword]) -> Vec<f64> {
    let mut level = 1.0;
    let bits = words
        .iter()
        .flat_map(|word| (0..80).map(|bit| word.bit(bit)));
    let halves = bits.flat_map(|bit| {
        let first = -level;
        level = if bit { -first } else { first };
        [first, level]
    });
    halves.collect()
}

/// Noise on half-cells of known timing, and what it leaves of the odds against each neighbour, worked
/// out from all their levels.
#[test]
fn a_start_is_told_as_often_as_the_closed_form_says() {
    let words = from(10, 25, 30, 50);
    let own: Vec<Codeword> = words.iter().map(|word| word.meant).collect();
    let own_levels = levels(&own);
    let turned = nearest_wrong_starts(&words, Count::F25)
        .into_iter()
        .map(|first| {
            let others = own.iter().map(|&word| {
                let mut word = word;
                for bit in [first, first + 1] {
                    word.0[usize::from(bit / 8)] ^= 1 << (bit % 8);
                }
                word
            });
            levels(&others.collect::<Vec<_>>())
        });
    let turned: Vec<Vec<f64>> = turned.collect();
    let mut random = Seed::tuning(5).random(1);
    for gamma in [0.11_f64, 0.13] {
        let trials = 4_000;
        let told = (0..trials).filter(|_| {
            let heard: Vec<f64> = own_levels
                .iter()
                .map(|a| gamma.sqrt() * a + random.normal())
                .collect();
            turned.iter().all(|other| {
                let parts = own_levels.iter().zip(other).zip(&heard);
                let ahead: f64 = parts.map(|((own, other), half)| (own - other) * half).sum();
                gamma.sqrt() * ahead >= 6.0 * std::f64::consts::LN_10
            })
        });
        let told = told.count() as f64 / f64::from(trials);
        let expected = best_start(&words, Count::F25, gamma);
        assert!((0.05..0.95).contains(&expected), "says nothing: {expected}");
        let spread = (expected * (1.0 - expected) / f64::from(trials)).sqrt();
        assert!(
            (told - expected).abs() < 4.0 * spread,
            "{told} for {expected}"
        );
    }
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
