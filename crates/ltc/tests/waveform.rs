//! The modulator's sound against IEC 60461:2010 clause 8.6, measured on the sound as a converter
//! would bring it out: between the samples.

#![expect(clippy::unwrap_used, reason = "what fails is the test")]

mod common;

use common::{CODES, POLARITIES, Random, hertz, random_codeword, take};
use plumbline_ltc::{Codeword, RiseTime, Tone};

/// Places between two samples that are worked out.
const OVER: usize = 32;
/// How far a converter's filter reaches, in samples.
const REACH: usize = 24;

/// The sound between the samples, by the series that a band-limited sound obeys, its far terms
/// faded out.
fn between(samples: &[f32]) -> Vec<f64> {
    let weight = |x: f64| {
        let inside = (x / REACH as f64 * std::f64::consts::FRAC_PI_2).cos();
        let turn = std::f64::consts::PI * x;
        if x.abs() < 1e-9 {
            1.0
        } else {
            turn.sin() / turn * inside * inside
        }
    };
    let weights: Vec<Vec<f64>> = (0..OVER)
        .map(|part| {
            let part = part as f64 / OVER as f64;
            (0..2 * REACH)
                .map(|n| weight(part + REACH as f64 - 1.0 - n as f64))
                .collect()
        })
        .collect();
    let windows = samples.windows(2 * REACH);
    windows
        .flat_map(|window| {
            let at = |weights: &Vec<f64>| -> f64 {
                weights
                    .iter()
                    .zip(window)
                    .map(|(weight, &sample)| weight * f64::from(sample))
                    .sum()
            };
            weights.iter().map(at).collect::<Vec<f64>>()
        })
        .collect()
}

/// Where the sound passes a level, in samples of the recording, and whether upwards.
fn passes(sound: &[f64], level: f64) -> Vec<(f64, bool)> {
    let mut found = Vec::new();
    for (n, pair) in sound.windows(2).enumerate() {
        let (before, after) = (pair[0] - level, pair[1] - level);
        if (before < 0.0) != (after < 0.0) {
            let place = n as f64 + before / (before - after);
            found.push((place / OVER as f64 + REACH as f64 - 1.0, after > before));
        }
    }
    found
}

/// Where edges belong: those that begin cells, and those in the middle of them.
fn nominal(words: &[Codeword], length: f64) -> Vec<(f64, bool)> {
    let cell = length / 80.0;
    let bits = words
        .iter()
        .flat_map(|word| (0..80).map(|bit| word.bit(bit)));
    bits.enumerate()
        .flat_map(|(n, bit)| {
            let begins = n as f64 * cell;
            let middle = bit.then_some((begins + cell / 2.0, false));
            [Some((begins, true)), middle].into_iter().flatten()
        })
        .collect()
}

/// Those that are not of the first or last codeword, which border on silence.
fn inner(places: Vec<(f64, bool)>, words: &[Codeword], length: f64) -> Vec<(f64, bool)> {
    let quarter = length / 80.0 / 4.0;
    let inner = length - quarter..length * (words.len() - 1) as f64 - quarter;
    places
        .into_iter()
        .filter(|(place, _)| inner.contains(place))
        .collect()
}

#[test]
fn edges_are_where_the_standard_wants_them_and_as_steep() {
    let mut random = Random::new(6);
    for (rate, count) in CODES {
        let words: Vec<Codeword> = (0..12)
            .map(|_| random_codeword(&mut random, count))
            .collect();
        for sample_rate in [44_100, 48_000, 96_000, 192_000] {
            for polarity in POLARITIES {
                let tone = Tone {
                    polarity,
                    ..Tone::new(rate, hertz(sample_rate))
                };
                let name = format!("{count} at {rate}, {sample_rate} Hz, {polarity:?}");
                let take = take(tone, &words);
                measure(&name, &take.samples, &words, tone, 40e-6);
            }
        }
    }
}

#[test]
fn edges_are_as_steep_as_they_are_asked_to_be() {
    let mut random = Random::new(7);
    let (rate, count) = CODES[2];
    let words: Vec<Codeword> = (0..6)
        .map(|_| random_codeword(&mut random, count))
        .collect();
    for microseconds in [25, 50, 100] {
        let rise_time = RiseTime::microseconds(microseconds).unwrap();
        let tone = Tone {
            rise_time,
            ..Tone::new(rate, hertz(192_000))
        };
        let take = take(tone, &words);
        let name = format!("{microseconds} µs");
        measure(
            &name,
            &take.samples,
            &words,
            tone,
            f64::from(microseconds) * 1e-6,
        );
    }
}

fn measure(name: &str, samples: &[f32], words: &[Codeword], tone: Tone, rise: f64) {
    let length = common::length(tone);
    let cell = length / 80.0;
    let sound = between(samples);
    let inner = |places| inner(places, words, length);
    let edges = inner(passes(&sound, 0.0));
    let right = inner(nominal(words, length));
    assert!(right.len() > 300, "{name}: {} edges", right.len());
    assert_eq!(edges.len(), right.len(), "{name}: edges");
    let off = edges
        .iter()
        .zip(&right)
        .map(|((place, _), (right, _))| (place - right).abs());
    let off = off.fold(0.0, f64::max) / cell;
    // Cells begin within 1.0 % of a cell, middles are within 0.5 %: the narrower for all.
    assert!(off < 0.005, "{name}: an edge is {off} of a cell off");
    // The level between edges is the middle one of all: the plateau.
    let mut levels: Vec<f64> = sound.iter().map(|level| level.abs()).collect();
    levels.sort_unstable_by(f64::total_cmp);
    let plateau = levels[levels.len() * 6 / 10];
    let over = levels[levels.len() - 1] / plateau - 1.0;
    // Overshoot, undershoot and tilt: 5 % of peak to peak, which is 10 % of the plateau.
    assert!(over < 0.05, "{name}: {over} over the plateau");
    let tenth = inner(passes(&sound, -0.8 * plateau));
    let rest = inner(passes(&sound, 0.8 * plateau));
    let mut rises = Vec::new();
    for (place, _) in &edges {
        let nearest = |all: &[(f64, bool)]| {
            all.iter()
                .map(|(at, _)| at - place)
                .min_by(|a, b| a.abs().total_cmp(&b.abs()))
                .unwrap()
        };
        rises.push((nearest(&tenth) - nearest(&rest)).abs() / tone.sample_rate.as_f64());
    }
    let (least, most) = rises[2..rises.len() - 2]
        .iter()
        .fold((f64::MAX, 0.0_f64), |(least, most), &rise| {
            (least.min(rise), most.max(rise))
        });
    // 40 µs ± 10 µs.
    assert!(
        least > rise - 10e-6 && most < rise + 10e-6,
        "{name}: {least} to {most} s"
    );
}

/// Where the sample rate can't carry the edges, they are as steep as it lets them be, all in their
/// places, and no level is beyond what was asked for.
#[test]
fn a_low_sample_rate_gives_slower_edges_and_nothing_else() {
    let mut random = Random::new(8);
    for (rate, count) in CODES {
        let words: Vec<Codeword> = (0..30)
            .map(|_| random_codeword(&mut random, count))
            .collect();
        for sample_rate in [8_000, 11_025, 16_000] {
            let tone = Tone::new(rate, hertz(sample_rate));
            let take = take(tone, &words);
            let peak = take
                .samples
                .iter()
                .fold(0.0_f32, |peak, sample| peak.max(sample.abs()));
            let asked = 10.0_f32.powf(-18.0 / 20.0);
            let name = format!("{count} at {rate}, {sample_rate} Hz");
            assert!(
                (peak / asked - 1.0).abs() < 0.06,
                "{name}: {}",
                peak / asked
            );
            let length = common::length(tone);
            let edges = passes(&between(&take.samples), 0.0);
            let edges = inner(edges, &words, length);
            let right = inner(nominal(&words, length), &words, length);
            assert_eq!(edges.len(), right.len(), "{name}: edges");
        }
    }
}
