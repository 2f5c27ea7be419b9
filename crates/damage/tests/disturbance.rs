//! What the receiver says lies over code is what was put there.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

use plumbline_damage::{
    Added, Clicks, Damage, Decibels, Hum, Mains, Music, Pink, Seed, Source, Speech, White,
};
use plumbline_ltc::{Cause, Disturbance, Evidence, Quality, Receiver};
use plumbline_timecode::{Rate, SampleRate};

const SEEDS: std::ops::Range<u64> = 40..43;

/// What is said of each codeword that was weighed.
fn said(rate: Rate, hertz: u32, seed: u64, damage: &[&dyn Damage]) -> Vec<Disturbance> {
    let (seed, hertz) = (Seed::tuning(seed), SampleRate::hertz(hertz).unwrap());
    let take = Source::new(rate, hertz).take(150, seed).unwrap();
    let take = take.damaged(seed, damage).unwrap();
    let mut said = Vec::new();
    let mut receiver = Receiver::new(hertz);
    let mut hear = |evidence: Evidence| {
        if let Some(Quality::Weighed { over, .. }) = evidence.each().map(|word| word.quality) {
            said.push(over);
        }
    };
    receiver.push(&take.samples, &mut hear);
    receiver.finish(&mut hear);
    said
}

/// Nine in ten must say the cause, and half of those a level that is so far off at most, in dB.
fn assert_said(name: &str, said: &[Disturbance], cause: fn(Cause) -> bool, level: f32, off: f32) {
    assert!(said.len() >= 20, "{name}: {} codewords", said.len());
    let right = said.iter().filter(|over| cause(over.cause));
    let mut errors: Vec<f32> = right.map(|over| (over.over_code - level).abs()).collect();
    assert!(errors.len() * 10 >= said.len() * 9, "{name}: {said:.1?}");
    errors.sort_by(f32::total_cmp);
    let middle = errors[errors.len() / 2];
    assert!(middle < off, "{name}: {middle} dB off: {said:.1?}");
}

/// No input is without noise.
const INPUT: Added<White> = Added::over_code(White, Decibels(-35.0));

#[test]
fn noise_of_either_colour_is_noise_as_loud_as_it_is() {
    for seed in SEEDS {
        for (rate, hertz) in [
            (Rate::F25, 48_000),
            (Rate::F29_97, 44_100),
            (Rate::F24, 96_000),
        ] {
            for level in [-5.0_f32, 0.0, 3.0] {
                let name = format!("white {level} dB, {hertz} Hz, {seed}");
                let white = Added::over_code(White, Decibels(level.into()));
                let said = said(rate, hertz, seed, &[&white]);
                assert_said(&name, &said, |cause| cause == Cause::Noise, level, 0.4);
            }
            let name = format!("pink, {hertz} Hz, {seed}");
            let said = said(rate, hertz, seed, &[&Added::over_code(Pink, Decibels(0.0))]);
            assert_said(&name, &said, |cause| cause == Cause::Noise, 0.0, 0.8);
        }
    }
}

#[test]
fn hum_is_told_from_noise_and_50_from_60_hertz() {
    for seed in SEEDS {
        for level in [5.0_f32, 20.0] {
            for harmonics in [1, 4, 8] {
                let hum = |mains| {
                    let hum = Hum { mains, harmonics };
                    let hum = Added::over_code(hum, Decibels(level.into()));
                    said(Rate::F25, 48_000, seed, &[&hum, &INPUT])
                };
                let name = format!("{harmonics} lines, {level} dB, {seed}");
                let is_50 = |cause| cause == Cause::Hum(plumbline_ltc::Mains::Hertz50);
                assert_said(&name, &hum(Mains::Hertz50), is_50, level, 1.0);
                let is_60 = |cause| cause == Cause::Hum(plumbline_ltc::Mains::Hertz60);
                assert_said(&name, &hum(Mains::Hertz60), is_60, level, 1.0);
            }
        }
    }
}

#[test]
fn clicks_are_clicks() {
    for seed in SEEDS {
        for per_second in [50.0, 200.0, 500.0] {
            let clicks = Clicks {
                per_second,
                over: Decibels(20.0),
                samples: 2,
            };
            let said = said(Rate::F25, 48_000, seed, &[&clicks, &INPUT]);
            let are_clicks = |cause| matches!(cause, Cause::Clicks { .. });
            // One and a half samples each, 100 times as strong as the code.
            let level = 10.0 * (per_second * 150.0 / 48_000.0).log10();
            let name = format!("{per_second} a second, {seed}");
            assert_said(&name, &said, are_clicks, f32_of(level), 1.0);
            let counted: f64 = (said.iter())
                .filter_map(|over| match over.cause {
                    Cause::Clicks { per_second } => Some(f64::from(per_second)),
                    _ => None,
                })
                .sum();
            let mean = counted / said.len() as f64;
            assert!((mean / per_second - 1.0).abs() < 0.2, "{name}: {mean}");
        }
    }
}

#[expect(clippy::cast_possible_truncation, reason = "a level in dB")]
fn f32_of(value: f64) -> f32 {
    value as f32
}

/// Its level comes and goes: in two seconds it may be far from that of the whole.
#[test]
fn speech_and_music_are_another_sound() {
    for seed in SEEDS {
        for level in [0.0_f32, 10.0] {
            let over = Decibels(level.into());
            let speech = Added::over_code(Speech, over);
            let speech = said(Rate::F25, 48_000, seed, &[&speech, &INPUT]);
            let is_sound = |cause| cause == Cause::Sound;
            assert_said(
                &format!("speech {level} dB, {seed}"),
                &speech,
                is_sound,
                level,
                6.0,
            );
            let music = Added::over_code(Music, over);
            let music = said(Rate::F25, 48_000, seed, &[&music, &INPUT]);
            assert_said(
                &format!("music {level} dB, {seed}"),
                &music,
                is_sound,
                level,
                6.0,
            );
        }
    }
}
