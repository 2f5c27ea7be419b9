//! Each kind of damage does what it says, by as much as it says, and keeps the truth true.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

mod common;

use common::{doubles, power_between};
use plumbline_damage::{
    Added, BandLimit, BitFlips, Clicks, Clip, Condition, Damage, DamageError, DcSteps, Decibels,
    Dither, Dropouts, GainRiding, Hum, Mains, Music, Phase, Quantise, Seed, Sound, Source, Speech,
    Splices, Take,
};
use plumbline_ltc::{Demodulator, Received};
use plumbline_timecode::{Rate, SampleRate};

const HERTZ: f64 = 48_000.0;

fn source() -> Source {
    Source::new(Rate::F25, SampleRate::hertz(48_000).unwrap())
}

fn clean(words: u32) -> Take {
    source().take(words, Seed::tuning(1)).unwrap()
}

fn damaged(take: &Take, damage: &dyn Damage) -> Take {
    take.clone().damaged(Seed::tuning(2), &[damage]).unwrap()
}

fn difference(take: &Take, other: &Take) -> Vec<f64> {
    doubles(take)
        .iter()
        .zip(doubles(other))
        .map(|(a, b)| b - a)
        .collect()
}

fn mean_square(samples: &[f64]) -> f64 {
    samples.iter().map(|sample| sample * sample).sum::<f64>() / samples.len() as f64
}

/// What the demodulator reads of clean code is the truth, in place and content: the two were
/// written apart.
#[test]
fn truth_is_where_code_is() {
    for (rate, hertz) in [
        (Rate::F23_976, 44_100),
        (Rate::F25, 48_000),
        (Rate::F30, 96_000),
    ] {
        let source = Source::new(rate, SampleRate::hertz(hertz).unwrap());
        for source in [source, source.reversed()] {
            let take = source.take(40, Seed::tuning(3)).unwrap();
            compare(&take, 40);
        }
    }
}

/// Demands that the demodulator finds each whole codeword of a take, with its bits, at its place:
/// most within 0.02 sample, and each within 2, because beside a splice the demodulator's own
/// neighbours mislead it.
fn compare(take: &Take, expected: usize) {
    let mut demodulator = Demodulator::new(take.sample_rate);
    let mut received = Vec::new();
    demodulator.push(&take.samples, &mut |word| received.push(word));
    demodulator.finish(&mut |word| received.push(word));
    let whole = take
        .words
        .iter()
        .filter(|word| word.condition == Condition::Whole);
    let mut errors: Vec<f64> = whole
        .map(|truth| {
            let error = |word: &Received| (word.first_edge().as_f64() - truth.first_edge()).abs();
            let nearest = received
                .iter()
                .min_by(|a, b| error(a).total_cmp(&error(b)))
                .unwrap();
            assert_eq!(nearest.codeword, truth.sent, "at {}", truth.first_edge());
            assert_eq!(nearest.direction, truth.direction);
            error(nearest)
        })
        .collect();
    errors.sort_by(f64::total_cmp);
    assert_eq!(errors.len(), expected);
    assert!(
        errors[expected / 2] < 0.02,
        "median {}",
        errors[expected / 2]
    );
    assert!(errors[expected - 1] < 2.0, "worst {}", errors[expected - 1]);
}

#[test]
fn hum_is_as_loud_as_was_asked_and_only_where_it_should_be() {
    let take = clean(250);
    for (mains, base) in [(Mains::Hertz50, 50.0), (Mains::Hertz60, 60.0)] {
        let hum = Hum {
            mains,
            harmonics: 5,
        };
        let noisy = damaged(&take, &Added::over_code(hum, Decibels(30.0)));
        let added = difference(&take, &noisy);
        let level = 10.0 * (mean_square(&added) / take.code_power).log10();
        // Rounding to single precision is all that is in the way.
        assert!((level - 30.0).abs() < 1e-4, "{level} dB");
        let lines: Vec<f64> = (1..=6)
            .map(|n| f64::from(n) * base)
            .map(|line| power_between(&added, HERTZ, line - 2.0, line + 2.0))
            .collect();
        for (line, number) in lines.iter().zip(1..=5_u32) {
            let right = lines[0] / f64::from(number * number);
            assert!((line / right - 1.0).abs() < 1e-3, "harmonic {number}");
        }
        assert!(lines[5] < 1e-9 * lines[0], "no sixth harmonic");
        let all: f64 = lines.iter().sum();
        assert!(
            (all / mean_square(&added) - 1.0).abs() < 1e-3,
            "nothing between"
        );
    }
}

#[test]
fn speech_and_music_have_unit_power_and_their_own_spectra() {
    let rate = SampleRate::hertz(48_000).unwrap();
    let mut random = Seed::tuning(4).random(1);
    let speech = Speech.samples(rate, 480_000, &mut random);
    let music = Music.samples(rate, 480_000, &mut random);
    for sound in [&speech, &music] {
        assert!((mean_square(sound) - 1.0).abs() < 1e-9);
        // Most of it lies where voices and instruments are.
        let low = power_between(sound, HERTZ, 60.0, 4000.0);
        assert!(low > 0.8, "{low} of it is between 60 and 4000 Hz");
        // It comes and goes: the loudest tenth of a second is well above the softest.
        let pieces: Vec<f64> = sound.chunks(4800).map(mean_square).collect();
        let loudest = pieces.iter().copied().fold(0.0, f64::max);
        let softest = pieces.iter().copied().fold(f64::INFINITY, f64::min);
        assert!(loudest > 10.0 * softest, "{loudest} and {softest}");
    }
}

#[test]
fn clicks_are_as_many_and_as_high_as_was_asked() {
    let take = clean(250);
    let clicks = Clicks {
        per_second: 50.0,
        over: Decibels(12.0),
        samples: 1,
    };
    let added = difference(&take, &damaged(&take, &clicks));
    let hit: Vec<f64> = added.into_iter().filter(|sample| *sample != 0.0).collect();
    // 10 s: 500 in the mean, with a spread of √500 (Poisson); a few may share a sample.
    let count = hit.len() as f64;
    assert!(
        (count - 500.0).abs() < 4.0 * 500.0_f64.sqrt(),
        "{count} clicks"
    );
    let height = (take.code_power * 10.0_f64.powf(1.2)).sqrt();
    let high = hit
        .iter()
        .filter(|hit| (hit.abs() - height).abs() < 1e-5)
        .count();
    assert!(high as f64 > 0.95 * count);
}

#[test]
fn clipping_leaves_nothing_beyond_the_limit() {
    let take = clean(25);
    let clipped = damaged(
        &take,
        &Clip {
            limit: Decibels(-6.0),
        },
    );
    let limit = (take.code_power * 10.0_f64.powf(-0.6)).sqrt();
    let highest = doubles(&clipped)
        .into_iter()
        .fold(0.0, |high: f64, s| high.max(s.abs()));
    assert!((highest / limit - 1.0).abs() < 1e-6);
    compare(&clipped, 25);
}

#[test]
fn gain_goes_as_far_either_way_as_was_asked() {
    let take = clean(50);
    let swung = damaged(
        &take,
        &GainRiding {
            swing: Decibels(10.0),
            hertz: 1.0,
        },
    );
    let gains: Vec<f64> = doubles(&take)
        .iter()
        .zip(doubles(&swung))
        .filter(|(before, _)| before.abs() > 0.05)
        .map(|(before, after)| 20.0 * (after / before).log10())
        .collect();
    let highest = gains.iter().copied().fold(f64::MIN, f64::max);
    let lowest = gains.iter().copied().fold(f64::MAX, f64::min);
    assert!((highest - 10.0).abs() < 0.01 && (lowest + 10.0).abs() < 0.01);
    compare(&swung, 50);
}

/// The Butterworth magnitude: 1 / √(1 + (f/f₀)^2n), -3.01 dB at the edge for every order.
#[test]
fn band_limits_are_butterworth() {
    let rate = SampleRate::hertz(48_000).unwrap();
    let impulse = Take {
        sample_rate: rate,
        samples: (0..48_000)
            .map(|n| if n == 24_000 { 1.0 } else { 0.0 })
            .collect(),
        words: Vec::new(),
        code_power: 1.0,
    };
    let edge = 1000.0_f64;
    for order in [1_u32, 2, 4] {
        for phase in [Phase::Linear, Phase::Causal] {
            let low = doubles(&damaged(&impulse, &BandLimit::below(edge, order, phase)));
            let high = doubles(&damaged(&impulse, &BandLimit::above(edge, order, phase)));
            for hertz in [250.0, 500.0, 1000.0, 2000.0, 4000.0_f64] {
                let ratio = (hertz / edge).powi(2 * order.cast_signed());
                let around = |samples: &[f64]| {
                    // An impulse has the same power in every bin of 1 Hz.
                    power_between(samples, HERTZ, hertz - 0.5, hertz + 0.5) / 2.0 * HERTZ * HERTZ
                };
                let (low, high) = (around(&low), around(&high));
                assert!(
                    (low * (1.0 + ratio) - 1.0).abs() < 0.01,
                    "order {order}, {hertz} Hz: {low}"
                );
                assert!(
                    (high * (1.0 + 1.0 / ratio) - 1.0).abs() < 0.01,
                    "order {order}, {hertz} Hz: {high}"
                );
            }
            let before = mean_square(&low[..24_000]);
            let after = mean_square(&low[24_001..]);
            match phase {
                Phase::Causal =>
                // What half the sample rate cuts off rings both ways, a little.
                {
                    assert!(before < 0.01 * after, "an effect before its cause");
                }
                Phase::Linear => assert!((before / after - 1.0).abs() < 1e-3, "not in the middle"),
            }
        }
    }
    compare(
        &damaged(&clean(25), &BandLimit::below(8000.0, 2, Phase::Linear)),
        25,
    );
}

#[test]
fn dc_steps_are_level_between_steps() {
    let take = clean(50);
    let steps = DcSteps {
        over: Decibels(20.0),
        seconds: 0.5,
    };
    let added = difference(&take, &damaged(&take, &steps));
    let mut offsets: Vec<f64> = Vec::new();
    for step in added.chunks(24_000) {
        assert!(step.iter().all(|offset| (offset - step[0]).abs() < 1e-6));
        offsets.push(step[0]);
    }
    assert_eq!(offsets.len(), 4);
    let furthest = 10.0 * take.code_power.sqrt();
    assert!(offsets.iter().all(|offset| offset.abs() <= furthest));
    assert!(
        offsets
            .windows(2)
            .all(|pair| (pair[0] - pair[1]).abs() > 1e-3)
    );
}

#[test]
fn a_dropout_tears_the_codewords_that_it_touches_and_no_other() {
    let take = clean(250);
    let dropped = damaged(
        &take,
        &Dropouts {
            per_second: 2.0,
            seconds: 0.03,
        },
    );
    for word in &dropped.words {
        // Code itself passes through 0 only in edges.
        let samples = dropped.samples.iter().zip(0_u32..);
        let inside = samples.filter(|(_, n)| (word.begins..word.ends).contains(&f64::from(*n)));
        let silent = inside.filter(|(sample, _)| **sample == 0.0).count() > 160;
        assert_eq!(
            silent,
            word.condition == Condition::Torn,
            "at {}",
            word.begins
        );
    }
    let torn = dropped.words.len() - dropped.whole_words();
    assert!((10..100).contains(&torn), "{torn} torn");
    compare(&dropped, 250 - torn);
}

#[test]
fn a_splice_leaves_the_truth_where_the_code_is() {
    let take = clean(250);
    let spliced = damaged(
        &take,
        &Splices {
            cuts: 6,
            seconds: 0.5,
        },
    );
    assert!(spliced.samples.len() < take.samples.len());
    let whole = spliced.whole_words();
    assert!((150..245).contains(&whole), "{whole} whole");
    compare(&spliced, whole);
}

#[test]
fn flipped_bits_are_in_the_sound_and_in_the_truth() {
    let flips = BitFlips { every: 5, bits: 2 };
    let take = Source { flips, ..source() }
        .take(50, Seed::tuning(5))
        .unwrap();
    for (number, word) in take.words.iter().enumerate() {
        let differ: u32 = word
            .meant
            .0
            .iter()
            .zip(word.sent.0)
            .map(|(meant, sent)| (meant ^ sent).count_ones())
            .sum();
        let hit = number % 5 == 4;
        assert_eq!(differ, if hit { 2 } else { 0 });
        assert_eq!(word.condition == Condition::Flipped, hit);
        assert!(word.sent.is_synchronized());
    }
    compare(&take, 40);
}

/// Lipshitz, Wannamaker and Vanderkooy (1992): with triangular dither the error has a mean square
/// of step²/4 whatever the signal.
#[test]
fn dithered_quantising_adds_a_quarter_of_a_step_squared() {
    let take = source()
        .at_dbfs(-90.0)
        .unwrap()
        .take(50, Seed::tuning(6))
        .unwrap();
    let quantise = Quantise {
        bits: 16,
        dither: Dither::Triangular,
    };
    let errors = difference(&take, &damaged(&take, &quantise));
    let measured = mean_square(&errors) / quantise.dithered_noise();
    // The error's fourth moment is below three times its square, as for normal noise.
    let tolerance = 4.0 * (2.0 / errors.len() as f64).sqrt();
    assert!((measured - 1.0).abs() < tolerance, "{measured}");
    let mean = errors.iter().sum::<f64>() / errors.len() as f64;
    assert!(mean.abs() < 4.0 * (quantise.dithered_noise() / errors.len() as f64).sqrt());
    let plain = damaged(
        &take,
        &Quantise {
            bits: 16,
            dither: Dither::None,
        },
    );
    for sample in &plain.samples {
        let steps = f64::from(*sample) * 32_768.0;
        assert!((steps - steps.round()).abs() < 1e-9);
    }
}

#[test]
fn what_means_nothing_is_refused() {
    let nonsense: [&dyn Damage; 6] = [
        &Clip {
            limit: Decibels(f64::NAN),
        },
        &Clicks {
            per_second: -1.0,
            over: Decibels(0.0),
            samples: 1,
        },
        &DcSteps {
            over: Decibels(0.0),
            seconds: 0.0,
        },
        &Dropouts {
            per_second: 1.0,
            seconds: -1.0,
        },
        &Quantise {
            bits: 0,
            dither: Dither::None,
        },
        &BandLimit::below(0.0, 1, Phase::Linear),
    ];
    for damage in nonsense {
        let refused = clean(1).damaged(Seed::tuning(1), &[damage]);
        assert!(
            matches!(refused, Err(DamageError::OutOfRange { .. })),
            "{damage:?}"
        );
    }
}
