//! Something like music.

use std::f64::consts::TAU;

use plumbline_timecode::SampleRate;

use crate::convert::whole;
use crate::sound::normalized;
use crate::{Random, Sound};

/// Something like music: chords of plucked notes with harmonics, a bass, and a drum, two beats a
/// second. Unlike noise it has lines, and unlike hum they change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Music;

/// Beats a second.
const BEATS: f64 = 2.0;
/// How long a note can be heard, in seconds.
const RINGS: f64 = 1.5;
/// Semitones over the root of the chord.
const CHORDS: [[i32; 4]; 4] = [
    [0, 4, 7, 12],
    [9, 12, 16, 21],
    [5, 9, 12, 17],
    [7, 11, 14, 19],
];

impl Sound for Music {
    fn samples(&self, sample_rate: SampleRate, count: usize, random: &mut Random) -> Vec<f64> {
        let hertz = sample_rate.as_f64();
        let mut samples = vec![0.0; count];
        let root = random.between(110.0, 220.0);
        let beats = count as f64 / hertz * BEATS;
        for beat in 0_u32.. {
            if f64::from(beat) >= beats {
                break;
            }
            let begins = f64::from(beat) / BEATS;
            let chord = CHORDS[(beat / 4 % 4) as usize];
            for semitones in chord {
                if random.below(3) > 0 {
                    let late = begins + random.between(0.0, 0.5 / BEATS);
                    let pitch = root * 2.0_f64.powf(f64::from(semitones) / 12.0);
                    note(&mut samples, hertz, late, pitch, random);
                }
            }
            note(
                &mut samples,
                hertz,
                begins,
                root / 2.0 * 2.0_f64.powf(f64::from(chord[0]) / 12.0),
                random,
            );
            drum(&mut samples, hertz, begins + 0.5 / BEATS, random);
        }
        normalized(samples)
    }
}

/// A plucked note: harmonics that die away, the higher the sooner.
fn note(samples: &mut [f64], hertz: f64, begins: f64, pitch: f64, random: &mut Random) {
    let loud = random.between(0.3, 1.0);
    for number in 1..=12 {
        let (number, phase) = (f64::from(number), random.between(0.0, TAU));
        let step = number * pitch / hertz;
        if step < 0.5 {
            let decay = (3.0 + 0.8 * number) / hertz;
            for (sample, n) in from(samples, begins * hertz, RINGS * hertz) {
                // An attack of a few milliseconds, then the decay.
                let attack = (n / (0.004 * hertz)).min(1.0);
                *sample +=
                    loud * attack * (-decay * n).exp() * (TAU * step * n + phase).sin() / number;
            }
        }
    }
}

/// A burst of noise that dies away at once.
fn drum(samples: &mut [f64], hertz: f64, begins: f64, random: &mut Random) {
    for (sample, n) in from(samples, begins * hertz, 0.1 * hertz) {
        *sample += 0.4 * random.normal() * (-50.0 * n / hertz).exp();
    }
}

/// The samples of a time, with their numbers from its beginning.
fn from(samples: &mut [f64], begins: f64, length: f64) -> impl Iterator<Item = (&mut f64, f64)> {
    let numbered = samples.iter_mut().skip(whole(begins.round())).zip(0_u32..);
    numbered
        .take(whole(length.round()))
        .map(|(sample, n)| (sample, f64::from(n)))
}
