//! What the modulator writes and what is done to it afterwards, read back with its truth beside it.

mod common;

use common::{
    POLARITIES, Random, Take, counting, dbfs, demodulate, demodulate_in, fraction, hertz, judge,
    random_codeword, some_address, take, tone,
};
use plumbline_ltc::{Codeword, Direction, Flags, PolarityRule, RiseTime, Tone};
use plumbline_timecode::{BinaryGroupFlags, CODES, Count, Frames, Rate, TimeAddress, UserBits};

/// A clean position may be off by this much, in samples: the linear interpolation of an edge.
const CLEAN: f64 = 0.05;

fn usual(words: u16) -> Take {
    take(
        tone(Rate::F25, hertz(48_000), 700, 5),
        &counting(some_address(Count::F25), 0x2511_2601, words),
    )
}

#[test]
fn every_rate_at_every_sample_rate_is_read_whole_and_in_place() {
    for (rate, count) in CODES {
        for samples in [
            8_000, 11_025, 16_000, 22_050, 44_100, 48_000, 88_200, 96_000, 192_000,
        ] {
            for begins in [0, 1_000] {
                let words = counting(some_address(count), 0x2511_2601, 60);
                let take = take(tone(rate, hertz(samples), begins, 7), &words);
                let name = format!("{count} at {rate}, {samples} Hz, from {begins}");
                let received = demodulate(hertz(samples), &take.samples);
                let errors = judge(&name, &take, &received);
                assert!(errors.worst < 0.25, "{name}: {errors:?}");
                assert!(samples < 44_100 || errors.rms < CLEAN, "{name}: {errors:?}");
            }
        }
    }
}

#[test]
fn level_offset_and_polarity_change_nothing() {
    let words = counting(some_address(Count::F25), 7, 50);
    for level in [-0.5, -18.0, -40.0, -60.0] {
        for polarity in POLARITIES {
            for offset in [0.0, 0.3, -0.9] {
                let usual = tone(Rate::F25, hertz(48_000), 300, 3);
                let tone = Tone {
                    level: dbfs(level),
                    polarity,
                    ..usual
                };
                let take = take(tone, &words).map(|sample| sample + offset);
                let name = format!("{level} dBFS, {polarity:?}, {offset} beside nothing");
                let errors = judge(&name, &take, &demodulate(hertz(48_000), &take.samples));
                assert!(errors.rms < CLEAN, "{name}: {errors:?}");
            }
        }
    }
}

#[test]
fn a_tenth_to_ten_times_the_speed_is_read_both_ways() {
    for (numerator, denominator) in [
        (1, 10),
        (1, 4),
        (1, 2),
        (9, 10),
        (11, 10),
        (2, 1),
        (4, 1),
        (10, 1),
    ] {
        for direction in [Direction::Forward, Direction::Reverse] {
            // Ten times the speed has 2.4 samples to half a cell at 96 kHz.
            let rate = hertz(96_000);
            let speed = fraction(numerator, denominator);
            let mut words = counting(some_address(Count::F25), 0xF0, 40);
            if direction == Direction::Reverse {
                words.reverse();
            }
            // A tape's edges grow steeper with its speed; the modulator's keep theirs.
            let rise_time = RiseTime::microseconds(10).unwrap();
            let tone = Tone {
                rise_time,
                speed,
                direction,
                ..tone(Rate::F25, rate, 100, 9)
            };
            let take = take(tone, &words);
            let name = format!("{numerator}/{denominator} {direction:?}");
            let errors = judge(&name, &take, &demodulate(rate, &take.samples));
            assert!(errors.worst < 0.3, "{name}: {errors:?}");
        }
    }
}

#[test]
fn sound_turned_round_gives_the_same_codewords_the_other_way() {
    let take = usual(50).reversed();
    let received = demodulate(hertz(48_000), &take.samples);
    let errors = judge("turned round", &take, &received);
    assert!(errors.rms < CLEAN, "{errors:?}");
    let first = received.first().unwrap();
    assert_eq!(first.first_edge(), first.ends);
}

#[test]
fn how_the_input_is_cut_changes_nothing() {
    let noisy = usual(30).with_noise(0.004, &mut Random::new(11));
    let take = noisy
        .then(&usual(20).reversed())
        .then(&Take::still(0.0, 5_000))
        .then(&usual(3));
    let whole = demodulate(hertz(48_000), &take.samples);
    assert!(whole.len() > 50, "{} codewords", whole.len());
    for size in [1, 2, 127, 128, 4096] {
        assert_eq!(
            demodulate_in(hertz(48_000), &take.samples, size),
            whole,
            "blocks of {size}"
        );
    }
}

#[test]
fn code_may_start_and_stop_anywhere() {
    let whole = usual(8);
    for (from, to) in [
        (0, 9_000),
        (1_500, 9_001),
        (720, 12_000),
        (2_620, 4_600),
        (700, 2_622),
    ] {
        let take = whole.clone().cut(from, to);
        let received = demodulate(hertz(48_000), &take.samples);
        let got: Vec<Codeword> = received.iter().map(|word| word.codeword).collect();
        let right: Vec<Codeword> = take.words.iter().map(|word| word.codeword).collect();
        assert_eq!(got, right, "{from} to {to}");
    }
}

#[test]
fn positions_have_no_bias_wherever_the_edges_fall() {
    for sixteenths in 0..16 {
        let words = counting(some_address(Count::F25), 0x2511_2601, 20);
        let take = take(tone(Rate::F25, hertz(48_000), 500, sixteenths), &words);
        let errors = judge("", &take, &demodulate(hertz(48_000), &take.samples));
        assert!(errors.mean.abs() < 0.02, "{sixteenths}/16: {errors:?}");
    }
}

/// At midnight, with empty user bits, sixty whole cells come before the first half cell, and with
/// them begins many a take.
#[test]
fn a_take_that_begins_at_midnight_loses_no_codeword() {
    for (rate, count) in CODES {
        for samples in [8_000, 48_000, 192_000] {
            for rule in [PolarityRule::Corrected, PolarityRule::Uncorrected] {
                let none = BinaryGroupFlags::Unspecified;
                let words: Vec<Codeword> = (0..5)
                    .map(|n| TimeAddress::midnight(count).plus_wrapping(Frames(n)))
                    .map(|at| Codeword::new(at, UserBits(0), none, Flags::default(), rule))
                    .collect();
                let take = take(tone(rate, hertz(samples), 0, 0), &words);
                let name = format!("{count} at {rate}, {samples} Hz, {rule:?}");
                judge(&name, &take, &demodulate(hertz(samples), &take.samples));
            }
        }
    }
}

#[test]
fn what_is_no_number_is_silence_and_spoils_only_its_place() {
    let mut take = usual(40);
    for (place, bad) in [
        (10_000, f32::NAN),
        (30_000, f32::INFINITY),
        (50_000, f32::NEG_INFINITY),
    ] {
        take.samples[place] = bad;
    }
    let received = demodulate(hertz(48_000), &take.samples);
    assert!(received.len() >= 34, "{} codewords", received.len());
    assert!(received.iter().all(|word| {
        take.words
            .iter()
            .any(|truth| truth.codeword == word.codeword)
    }));
}

#[test]
fn random_codewords_come_back_bit_for_bit() {
    let mut random = Random::new(2);
    for (rate, count) in CODES {
        let words: Vec<Codeword> = (0..300)
            .map(|_| random_codeword(&mut random, count))
            .collect();
        let take = take(tone(rate, hertz(48_000), 40, 1), &words);
        judge("random", &take, &demodulate(hertz(48_000), &take.samples));
    }
}

/// Sound without code: no codeword that may be believed, let alone two that count on.
#[test]
fn sound_without_code_gives_no_trusted_codeword() {
    let rate = 48_000_usize;
    let mut random = Random::new(9);
    let seconds = 20;
    let tone = |hertz: f32, square: bool| -> Vec<f32> {
        let turn = std::f32::consts::TAU * hertz / rate as f32;
        let wave = (0..rate * seconds).map(|n| (n as f32 * turn).sin());
        wave.map(|sample| {
            if square {
                sample.signum() * 0.5
            } else {
                sample * 0.5
            }
        })
        .collect()
    };
    let mut sounds: Vec<(String, Vec<f32>)> = vec![(
        "white noise".into(),
        (0..rate * seconds).map(|_| 0.2 * random.normal()).collect(),
    )];
    for hertz in [1_000.0, 2_000.0] {
        sounds.push((format!("tone {hertz}"), tone(hertz, false)));
    }
    for hertz in (1_000_u16..=2_400).step_by(200) {
        sounds.push((format!("square {hertz}"), tone(f32::from(hertz), true)));
    }
    // True code with bit 77 the other way in every codeword.
    let mut spoiled = counting(some_address(Count::F25), 0, 250);
    for word in &mut spoiled {
        word.0[9] ^= 1 << 5;
    }
    sounds.push((
        "spoiled sync".into(),
        take(common::tone(Rate::F25, hertz(48_000), 0, 0), &spoiled).samples,
    ));
    for (name, samples) in sounds {
        let trusted = demodulate(hertz(48_000), &samples)
            .iter()
            .filter(|word| word.quality.is_trusted())
            .count();
        assert_eq!(trusted, 0, "{name}");
    }
}
