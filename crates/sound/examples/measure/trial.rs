//! Two recordings whose truth is known, lined up and judged.

use crate::scene::{Ear, Source};
use crate::worlds::Worlds;
use plumbline_damage::Seed;
use plumbline_sound::{Found, Print, PrintMaker, Prior, Refusal, Seconds, Side, Verdict, line_up};

/// What is true of two recordings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Truth {
    /// They heard the same.
    SameSound,
    /// They did not, or nothing can tell when.
    NoAnswer,
}

/// A kind of pair.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pair {
    pub(crate) source: Source,
    pub(crate) first: Ear,
    pub(crate) second: Ear,
    pub(crate) truth: Truth,
    pub(crate) prior: Option<Prior>,
}

/// How one came out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Outcome {
    /// The worst error within what overlaps, in seconds; of the drift, in ppm; and the same in
    /// standard deviations of the answer's own.
    Right {
        error: f64,
        drift: f64,
        sigmas: f64,
    },
    /// An answer that is not true, and by how much.
    Wrong(f64),
    Refused(Refusal),
}

/// Answers must be as near as that to the truth, in seconds.
pub(crate) const NEAR: f64 = 1e-3;

impl Pair {
    pub(crate) fn try_once(&self, seed: Seed, worlds: &Worlds) -> Outcome {
        let last = |ear: &Ear| ear.from + ear.seconds + ear.gap.map_or(0.0, |gap| gap.1);
        let length = last(&self.first).max(last(&self.second)) * 1.001 + 2.0;
        // The same for as many pairs as possible.
        let world = worlds.sound(self.source, (length / 80.0).ceil() * 80.0, seed);
        let one = self.first.hears(&world, seed, 2);
        let other = self.second.hears(&world, seed, 3);
        let prints = [print(&one, self.first), print(&other, self.second)];
        let (mut one, mut other) = (one.as_slice(), other.as_slice());
        let first = Side {
            print: &prints[0],
            recording: &mut one,
        };
        let second = Side {
            print: &prints[1],
            recording: &mut other,
        };
        match line_up(first, second, self.prior) {
            Ok(Verdict::Found(found)) => self.judged(&found),
            Ok(Verdict::Refused(refusal)) => Outcome::Refused(refusal),
            Err(never) => match never {},
        }
    }

    fn judged(&self, found: &Found) -> Outcome {
        if self.truth == Truth::NoAnswer {
            return Outcome::Wrong(f64::INFINITY);
        }
        let (first, second) = (self.first, self.second);
        let ends = [
            first.from.max(second.from),
            (first.from + first.seconds).min(second.from + second.seconds),
        ];
        let (mut error, mut sigmas) = (0.0_f64, 0.0_f64);
        for world in ends {
            let (there, here) = (first.clock(world), second.clock(world));
            let answer = found.offset_at(Seconds(here));
            let off = (here + answer.value.0 - there).abs();
            error = error.max(off);
            sigmas = sigmas.max(off / answer.sigma.0);
        }
        let drift = (found.drift.value.0 - (first.ppm - second.ppm)).abs();
        if error > NEAR {
            Outcome::Wrong(error)
        } else {
            Outcome::Right {
                error,
                drift,
                sigmas,
            }
        }
    }
}

/// The print of a channel.
pub(crate) fn print(samples: &[f32], ear: Ear) -> Print {
    let mut maker = PrintMaker::new(ear.sample_rate()).expect("a sample rate that is heard");
    maker.push(samples);
    maker.finish()
}
