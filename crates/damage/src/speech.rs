//! Something like speech.

use std::f64::consts::TAU;

use plumbline_timecode::SampleRate;

use crate::resonator::Resonator;
use crate::sound::normalized;
use crate::{Random, Sound};

/// Something like speech: syllables of a buzzing voice through three resonances that move from
/// vowel to vowel, hisses between them, and pauses. It has speech's spectrum, its level that comes
/// and goes, its pitch that glides; it says nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Speech;

/// Resonances of five vowels in hertz, of a man's voice: rounded from the averages in Peterson and
/// Barney, "Control methods used in a study of the vowels", J. Acoust. Soc. Am. 24 (1952), table
/// II, from memory.
const VOWELS: [[f64; 3]; 5] = [
    [270.0, 2290.0, 3010.0],
    [530.0, 1840.0, 2480.0],
    [730.0, 1090.0, 2440.0],
    [570.0, 840.0, 2410.0],
    [300.0, 870.0, 2240.0],
];
/// How wide they are, in hertz.
const BANDWIDTHS: [f64; 3] = [60.0, 90.0, 150.0];

/// What a piece of speech is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Piece {
    Vowel,
    Hiss,
    Pause,
}

impl Sound for Speech {
    fn samples(&self, sample_rate: SampleRate, count: usize, random: &mut Random) -> Vec<f64> {
        let mut voice = Voice::new(sample_rate.as_f64(), random);
        let mut samples = Vec::with_capacity(count);
        while samples.len() < count {
            let (piece, seconds) = match random.below(20) {
                0..12 => (Piece::Vowel, random.between(0.08, 0.25)),
                12..18 => (Piece::Hiss, random.between(0.03, 0.12)),
                _ => (Piece::Pause, random.between(0.1, 0.5)),
            };
            voice.utter(piece, seconds, &mut samples, random);
        }
        samples.truncate(count);
        normalized(samples)
    }
}

#[derive(Debug)]
struct Voice {
    hertz: f64,
    mouth: [Resonator; 3],
    /// Where a hiss has its centre.
    teeth: Resonator,
    formants: [f64; 3],
    /// Of the voice, in cycles.
    phase: f64,
    pitch: f64,
}

impl Voice {
    fn new(hertz: f64, random: &mut Random) -> Self {
        let formants = VOWELS[0];
        let mouth = [0, 1, 2].map(|n| Resonator::new(formants[n] / hertz, BANDWIDTHS[n] / hertz));
        Self {
            hertz,
            mouth,
            teeth: Resonator::new((4500.0 / hertz).min(0.4), 2500.0 / hertz),
            formants,
            phase: 0.0,
            pitch: random.between(95.0, 210.0),
        }
    }

    fn utter(&mut self, piece: Piece, seconds: f64, samples: &mut Vec<f64>, random: &mut Random) {
        let count = (seconds * self.hertz).round();
        let vowel = VOWELS[random.below(5) as usize];
        let from = self.formants;
        let loud = random.between(0.4, 1.0);
        let glide = random.between(-0.25, 0.2);
        let mut n = 0.0;
        while n < count {
            let part: f64 = n / count;
            // Swells and fades like half a wave.
            let swell = (part * TAU / 2.0).sin() * loud;
            let excited = match piece {
                Piece::Vowel => {
                    self.move_mouth(from, vowel, part);
                    swell * self.buzz(1.0 + glide * part)
                }
                Piece::Hiss | Piece::Pause => 0.0,
            };
            let hiss = match piece {
                Piece::Hiss => 0.3 * swell * self.teeth.push(random.normal()),
                Piece::Vowel | Piece::Pause => self.teeth.push(0.0),
            };
            let voiced = self
                .mouth
                .iter_mut()
                .fold(excited, |sound, cavity| cavity.push(sound));
            samples.push(voiced + hiss);
            n += 1.0;
        }
    }

    /// From one vowel to the next in the first third of a piece.
    fn move_mouth(&mut self, from: [f64; 3], to: [f64; 3], part: f64) {
        let way = (3.0 * part).min(1.0);
        for n in 0..3 {
            self.formants[n] = from[n] + (to[n] - from[n]) * way;
            let frequency = (self.formants[n] / self.hertz).min(0.45);
            self.mouth[n].tune(frequency, BANDWIDTHS[n] / self.hertz);
        }
    }

    /// The next sample of the vocal cords: a pulse that opens slowly and shuts at once.
    fn buzz(&mut self, bend: f64) -> f64 {
        self.phase = (self.phase + self.pitch * bend / self.hertz).fract();
        let open = 0.6;
        if self.phase < open {
            let part = self.phase / open;
            // The derivative of part² (1 - part): no constant part, and a sharp end.
            2.0 * part - 3.0 * part * part
        } else {
            0.0
        }
    }
}
