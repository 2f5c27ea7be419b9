//! Speeds that change.

use std::f64::consts::{PI, TAU};

use crate::convert::{narrowed, whole};
use crate::heard::heard;
use crate::{Damage, DamageError, Random, Take};

/// A take played from tape, at any speed and either way. What is above half the sample rate after
/// that is taken out, as converters do.
///
/// One sample of silence comes before the tape and one after it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tape {
    /// How it moves.
    pub motion: Motion,
}

/// How tape moves: speeds are 1 as it was recorded, and below 0 backwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Motion {
    /// From one speed to another, evenly over the take: twice the same is a constant speed, and
    /// from above 0 to below it the tape stops at its end and comes back.
    Ramp {
        /// The first speed.
        from: f64,
        /// The last speed.
        to: f64,
    },
    /// The speed swings around 1.
    Flutter {
        /// How far it goes either way: 0.03 is 3 %. Below 1.
        depth: f64,
        /// How often a second.
        hertz: f64,
    },
}

impl Tape {
    /// At one speed.
    pub const fn at_speed(speed: f64) -> Self {
        Self::ramp(speed, speed)
    }

    /// From one speed to another.
    pub const fn ramp(from: f64, to: f64) -> Self {
        Self {
            motion: Motion::Ramp { from, to },
        }
    }

    /// At a speed that swings.
    pub const fn flutter(depth: f64, hertz: f64) -> Self {
        Self {
            motion: Motion::Flutter { depth, hertz },
        }
    }

    fn check(&self) -> Result<(), DamageError> {
        let speed = |speed: f64| {
            DamageError::check("a speed", speed, "-100 to 100", |speed| {
                speed.abs() <= 100.0
            })
        };
        match self.motion {
            Motion::Ramp { from, to } => {
                let (from, to) = (speed(from)?, speed(to)?);
                let expected = "at least 0.01 at one end of a ramp";
                DamageError::check("a speed", from.abs().max(to.abs()), expected, |s| s >= 0.01)?;
            }
            Motion::Flutter { depth, hertz } => {
                DamageError::check("a flutter", depth, "0 to below 1", |d| {
                    (0.0..1.0).contains(&d)
                })?;
                DamageError::check("a flutter's frequency", hertz, "above 0 Hz", |f| f > 0.0)?;
            }
        }
        Ok(())
    }
}

impl Damage for Tape {
    fn apply(&self, take: &mut Take, _: &mut Random) -> Result<(), DamageError> {
        self.check()?;
        let course = Course::new(self.motion, take.samples.len(), take.sample_rate.as_f64());
        let head = Head::new();
        let samples = (0..course.samples()).map(|n| {
            head.read(
                &take.samples,
                course.place(n as f64),
                course.speed(n as f64),
            )
        });
        let samples = samples.collect();
        take.words = heard(&take.words, course.samples(), |time| course.place(time));
        take.samples = samples;
        Ok(())
    }
}

/// Which place of the tape is heard when, both in samples.
#[derive(Debug, Clone, Copy)]
struct Course {
    motion: Motion,
    hertz: f64,
    /// Where it begins.
    begins: f64,
    /// How long it takes.
    lasts: f64,
}

impl Course {
    /// All of so many samples once, from one sample before them to one after them.
    fn new(motion: Motion, samples: usize, hertz: f64) -> Self {
        let length = samples as f64 + 1.0;
        match motion {
            Motion::Ramp { from, to } => {
                // The places of a ramp that takes one unit of time lie between its ends and
                // where it turns, if it does.
                let turn = (from / (from - to)).clamp(0.0, 1.0);
                let turn = if turn.is_nan() { 0.0 } else { turn };
                let places = [0.0, ramp(from, to, turn), ramp(from, to, 1.0)];
                let lowest = places.into_iter().fold(f64::MAX, f64::min);
                let highest = places.into_iter().fold(f64::MIN, f64::max);
                let lasts = length / (highest - lowest);
                Self {
                    motion,
                    hertz,
                    begins: -1.0 - lowest * lasts,
                    lasts,
                }
            }
            Motion::Flutter { .. } => Self {
                motion,
                hertz,
                begins: -1.0,
                lasts: length,
            },
        }
    }

    fn samples(&self) -> usize {
        whole(self.lasts) + 1
    }

    fn place(&self, time: f64) -> f64 {
        self.begins
            + match self.motion {
                Motion::Ramp { from, to } => self.lasts * ramp(from, to, time / self.lasts),
                Motion::Flutter { depth, hertz } => {
                    let turn = TAU * hertz / self.hertz;
                    time + depth / turn * (1.0 - (turn * time).cos())
                }
            }
    }

    fn speed(&self, time: f64) -> f64 {
        match self.motion {
            Motion::Ramp { from, to } => from + (to - from) * time / self.lasts,
            Motion::Flutter { depth, hertz } => {
                1.0 + depth * (TAU * hertz / self.hertz * time).sin()
            }
        }
    }
}

/// How far a ramp from one speed to another, one unit of time long, has come.
fn ramp(from: f64, to: f64, time: f64) -> f64 {
    time * (from + (to - from) * time / 2.0)
}

/// Reads between samples: a windowed sinc, with its cut-off lowered as the tape runs faster.
#[derive(Debug)]
struct Head {
    /// The kernel from its middle outwards.
    kernel: Vec<f64>,
}

/// How many zeros of the sinc are used on either side.
const REACH: f64 = 24.0;
/// Places between two zeros that are worked out.
const STEPS: f64 = 512.0;

impl Head {
    fn new() -> Self {
        let count = whole(REACH * STEPS) + 2;
        let kernel = (0..count).map(|n| {
            let at = n as f64 / STEPS;
            let sinc = if n == 0 {
                1.0
            } else {
                (PI * at).sin() / (PI * at)
            };
            // A Blackman window: side lobes 74 dB down and falling.
            let part = PI * (at / REACH).min(1.0);
            sinc * (0.42 + 0.5 * part.cos() + 0.08 * (2.0 * part).cos())
        });
        Self {
            kernel: kernel.collect(),
        }
    }

    fn read(&self, samples: &[f32], place: f64, speed: f64) -> f32 {
        let narrow = speed.abs().max(1.0).recip();
        let reach = REACH / narrow;
        let first = whole((place - reach).ceil());
        let end = whole((place + reach).floor() + 1.0).min(samples.len());
        let sum: f64 = (first..end)
            .map(|n| f64::from(samples[n]) * self.at((place - n as f64).abs() * narrow))
            .sum();
        narrowed(sum * narrow)
    }

    fn at(&self, zeros: f64) -> f64 {
        let place = zeros * STEPS;
        let n = whole(place).min(self.kernel.len() - 2);
        let part = place - n as f64;
        self.kernel[n] * (1.0 - part) + self.kernel[n + 1] * part
    }
}
