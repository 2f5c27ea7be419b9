//! Tape: truth bends with time.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

use std::f64::consts::TAU;

use plumbline_damage::{Damage, Seed, Source, Take, Tape, Truth};
use plumbline_ltc::{Demodulator, Direction, Received};
use plumbline_timecode::{Rate, SampleRate};
use proptest::prelude::*;

fn clean(words: u32) -> Take {
    Source::new(Rate::F25, SampleRate::hertz(48_000).unwrap())
        .take(words, Seed::tuning(1))
        .unwrap()
}

fn played(take: &Take, speeds: Tape) -> Take {
    take.clone()
        .damaged(Seed::tuning(1), &[&speeds as &dyn Damage])
        .unwrap()
}

/// One sample of silence, then each sample as it was.
#[test]
fn at_its_own_speed_nothing_changes() {
    let take = clean(10);
    let same = played(&take, Tape::at_speed(1.0));
    for (n, sample) in take.samples.iter().enumerate() {
        assert!((same.samples[n + 1] - sample).abs() < 1e-6, "sample {n}");
    }
    for (before, after) in take.words.iter().zip(&same.words) {
        assert!((after.begins - before.begins - 1.0).abs() < 1e-6);
        assert!((after.ends - before.ends - 1.0).abs() < 1e-6);
    }
    assert_eq!(same.words.len(), 10);
}

#[test]
fn backwards_twice_is_forwards() {
    let take = clean(10);
    let back = played(&take, Tape::at_speed(-1.0));
    assert!(
        back.words
            .iter()
            .all(|word| word.direction == Direction::Reverse)
    );
    assert_eq!(back.words[0].meant, take.words[9].meant);
    let there = played(&back, Tape::at_speed(-1.0));
    for (before, after) in take.words.iter().zip(&there.words) {
        assert_eq!(
            (before.meant, before.direction),
            (after.meant, after.direction)
        );
        let shift = after.begins - before.begins;
        assert!((shift - shift.round()).abs() < 1e-6);
        for n in 0..take.samples.len() {
            assert!((there.samples[n + 2] - take.samples[n]).abs() < 1e-6);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// At a constant speed v the tape's place p is heard at (p + 1)/v.
    #[test]
    fn constant_speeds_divide_time(speed in 0.1..10.0_f64) {
        let take = clean(5);
        let fast = played(&take, Tape::at_speed(speed));
        prop_assert_eq!(fast.words.len(), 5);
        for (before, after) in take.words.iter().zip(&fast.words) {
            prop_assert!((after.begins - (before.begins + 1.0) / speed).abs() < 1e-6);
            prop_assert!((after.ends - (before.ends + 1.0) / speed).abs() < 1e-6);
        }
    }

    /// Flutter: the place at time t is t - 1 + depth/ω (1 - cos ω t), so each truth, put back
    /// through that, is where it was on the tape.
    #[test]
    fn flutter_bends_the_truth_by_its_own_integral(depth in 0.0..0.2_f64, hertz in 0.5..50.0_f64) {
        let take = clean(20);
        let bent = played(&take, Tape::flutter(depth, hertz));
        let omega = TAU * hertz / 48_000.0;
        prop_assert!(bent.words.len() >= 19);
        for (before, after) in take.words.iter().zip(&bent.words) {
            let place = after.begins - 1.0 + depth / omega * (1.0 - (omega * after.begins).cos());
            prop_assert!((place - before.begins).abs() < 1e-6);
        }
    }
}

/// A tape that slows down, stops at its end and comes back as fast: it is symmetrical in time.
#[test]
fn a_turn_is_heard_both_ways() {
    let take = clean(50);
    let turned = played(&take, Tape::ramp(1.0, -1.0));
    let last = turned.samples.len() as f64;
    let (there, back): (Vec<Truth>, Vec<Truth>) = turned
        .words
        .iter()
        .copied()
        .partition(|word| word.direction == Direction::Forward);
    assert!(
        there.len() >= 49 && back.len() >= 49,
        "{} {}",
        there.len(),
        back.len()
    );
    for (there, back) in there.iter().zip(back.iter().rev()) {
        assert_eq!(there.meant, back.meant);
        assert!(
            (there.begins + back.ends - last).abs() < 1.5,
            "mirrored in time"
        );
    }
    assert_read(&turned, |word| word.length() < 3000.0);
}

/// The demodulator knows nothing of how truth was bent.
#[test]
fn truth_is_where_code_is_heard() {
    for tape in [
        Tape::at_speed(0.1),
        Tape::at_speed(-3.7),
        Tape::at_speed(4.0),
        Tape::ramp(0.5, 1.5),
        Tape::ramp(-2.0, -0.5),
        Tape::flutter(0.03, 8.0),
    ] {
        let take = played(&clean(25), tape);
        assert!(take.words.len() >= 24, "{tape:?}");
        assert_read(&take, |_| true);
    }
}

/// Demands each codeword for which `asked` holds within half a half-cell.
fn assert_read(take: &Take, asked: impl Fn(&Truth) -> bool) {
    let mut demodulator = Demodulator::new(take.sample_rate);
    let mut received: Vec<Received> = Vec::new();
    demodulator.push(&take.samples, &mut |word| received.push(word));
    demodulator.finish(&mut |word| received.push(word));
    let mut compared = 0;
    for word in take.words.iter().filter(|word| asked(word)) {
        let allowed = word.length() / 320.0;
        let found = received.iter().find(|found| {
            found.codeword == word.meant
                && found.direction == word.direction
                && (found.first_edge().as_f64() - word.first_edge()).abs() < allowed
        });
        assert!(
            found.is_some(),
            "nothing at {} to {}",
            word.begins,
            word.ends
        );
        compared += 1;
    }
    assert!(compared > 20);
}
