//! The modulator's sound against IEC 60461:2010 clause 8.6, measured on the sound as a converter
//! would bring it out: between the samples.

#![expect(clippy::unwrap_used, reason = "what fails is the test")]

mod common;

use common::{POLARITIES, Random, hertz, random_codeword, take};
use plumbline_ltc::{Codeword, RiseTime, Tone};
use plumbline_timecode::{CODES, Rate};

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

/// Where the sound passes a level, in samples of the recording.
fn passes(sound: &[f64], level: f64) -> Vec<f64> {
    let mut found = Vec::new();
    for (n, pair) in sound.windows(2).enumerate() {
        let (before, after) = (pair[0] - level, pair[1] - level);
        if (before < 0.0) != (after < 0.0) {
            let place = n as f64 + before / (before - after);
            found.push(place / OVER as f64 + REACH as f64 - 1.0);
        }
    }
    found
}

/// The sound between two places, which are in samples of the recording.
fn part(sound: &[f64], from: f64, to: f64) -> &[f64] {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a few thousand samples, none before the first"
    )]
    let at = |place: f64| ((place - REACH as f64 + 1.0) * OVER as f64).round() as usize;
    &sound[at(from)..at(to)]
}

/// What an edge is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Edge {
    /// It begins a cell: a clock transition.
    Clock,
    /// It is in the middle of a cell that holds a 1.
    Middle,
}

/// Where edges belong, in cells, in all codewords but the first and the last, which border on
/// silence.
fn nominal(words: &[Codeword]) -> Vec<(f64, Edge)> {
    let mut edges = Vec::new();
    for (number, word) in words.iter().enumerate().skip(1).take(words.len() - 2) {
        for bit in 0..80 {
            let place = (80 * number) as f64 + f64::from(bit);
            edges.push((place, Edge::Clock));
            if word.bit(bit) {
                edges.push((place + 0.5, Edge::Middle));
            }
        }
    }
    edges
}

/// Those places that are in the same codewords, in cells.
fn inner(places: &[f64], words: &[Codeword], cell: f64) -> Vec<f64> {
    let last = 80 * (words.len() - 1);
    places
        .iter()
        .map(|place| place / cell)
        .filter(|place| (79.75..last as f64 - 0.25).contains(place))
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
                measure(&name, &words, tone, 40e-6);
            }
        }
    }
}

/// Above 30 frames a second the code is that of the rate at which codewords follow each other
/// (IEC 60461 clause 11, SMPTE ST 12-3).
#[test]
fn the_sound_at_a_high_rate_is_that_of_its_codewords() {
    let mut random = Random::new(9);
    for rate in Rate::ALL {
        let words: Vec<Codeword> = (0..3)
            .map(|_| random_codeword(&mut random, rate.code().count()))
            .collect();
        for sample_rate in [44_100, 48_000, 96_000, 192_000] {
            let sound = |rate| take(Tone::new(rate, hertz(sample_rate)), &words).samples;
            assert!(
                sound(rate) == sound(rate.code()),
                "{rate}, {sample_rate} Hz"
            );
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
        let name = format!("{microseconds} µs");
        measure(&name, &words, tone, f64::from(microseconds) * 1e-6);
    }
}

/// All that IEC 60461 clause 8.6 says of the waveform, for edges that take so many seconds.
fn measure(name: &str, words: &[Codeword], tone: Tone, rise: f64) {
    let samples = take(tone, words).samples;
    let cell = common::length(tone) / 80.0;
    let sound = between(&samples);
    let edges = inner(&passes(&sound, 0.0), words, cell);
    spacing(name, &edges, &nominal(words));
    let second = tone.sample_rate.as_f64() / cell;
    // An edge is over that long after its middle, and the next begins as long before its own.
    let over = rise * second;
    let settled = edges.windows(2).flat_map(|pair| {
        let (from, to) = (pair[0] + over, pair[1] - over);
        part(&sound, from * cell, to * cell)
    });
    let plateau = flatness(name, settled.map(|level| level.abs()).collect());
    let highest = sound
        .iter()
        .fold(0.0_f64, |high, level| high.max(level.abs()));
    assert!(highest < 1.05 * plateau, "{name}: {highest}");
    let [low, high] = [-0.8, 0.8].map(|part| inner(&passes(&sound, part * plateau), words, cell));
    for took in took(&edges, &low, &high) {
        // 40 µs ± 10 µs from 10 to 90 %, whether it rises or falls.
        let took = took / second;
        assert!((took - rise).abs() < 10e-6, "{name}: {took} s");
    }
}

/// Clock transitions are spaced within 1.0 % of their average, those in the middle of a cell are
/// within 0.5 % of a cell of the middle; and all are where they belong. Places are in cells.
fn spacing(name: &str, edges: &[f64], right: &[(f64, Edge)]) {
    assert!(right.len() > 300, "{name}: {} edges", right.len());
    assert_eq!(edges.len(), right.len(), "{name}: edges");
    for (place, (right, _)) in edges.iter().zip(right) {
        assert!((place - right).abs() < 0.005, "{name}: {place} for {right}");
    }
    let of = |kind| move |(place, (_, is)): (&f64, &(f64, Edge))| (*is == kind).then_some(*place);
    let clocks: Vec<f64> = edges
        .iter()
        .zip(right)
        .filter_map(of(Edge::Clock))
        .collect();
    let average = (clocks[clocks.len() - 1] - clocks[0]) / (clocks.len() - 1) as f64;
    for pair in clocks.windows(2) {
        let spacing = (pair[1] - pair[0]) / average;
        assert!((spacing - 1.0).abs() < 0.01, "{name}: {spacing} cells");
    }
    for middle in edges.iter().zip(right).filter_map(of(Edge::Middle)) {
        let next = clocks.partition_point(|&clock| clock < middle);
        let Some(&[before, after]) = clocks.get(next - 1..=next) else {
            continue;
        };
        let off = (middle - f64::midpoint(before, after)) / average;
        assert!(off.abs() < 0.005, "{name}: {off} cells off the middle");
    }
}

/// Overshoot, undershoot and tilt together are within 5 % of peak to peak, which is 10 % of the
/// plateau: the middle one of all levels between edges.
fn flatness(name: &str, mut levels: Vec<f64>) -> f64 {
    levels.sort_unstable_by(f64::total_cmp);
    let plateau = levels[levels.len() / 2];
    let apart = (levels[levels.len() - 1] - levels[0]) / (2.0 * plateau);
    assert!(apart < 0.05, "{name}: {apart} of peak to peak");
    plateau
}

/// How long each edge takes between two levels; at either end, half of one may have been cut off.
fn took(edges: &[f64], low: &[f64], high: &[f64]) -> Vec<f64> {
    let nearest = |all: &[f64], place: f64| {
        let apart = all.iter().map(|at| at - place);
        apart.min_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap()
    };
    edges[2..edges.len() - 2]
        .iter()
        .map(|&edge| (nearest(high, edge) - nearest(low, edge)).abs())
        .collect()
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
            let cell = common::length(tone) / 80.0;
            let edges = inner(&passes(&between(&take.samples), 0.0), &words, cell);
            assert_eq!(edges.len(), nominal(&words).len(), "{name}: edges");
        }
    }
}
