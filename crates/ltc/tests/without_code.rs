//! Sound that carries no code: how many codewords would be believed by themselves.
//!
//! The long ones take minutes: `cargo test --release -p plumbline-ltc --test without_code -- --ignored
//! --nocapture`.

mod common;

use std::f32::consts::TAU;

use common::{Random, hertz};
use plumbline_ltc::Demodulator;

const RATE: u16 = 48_000;

/// Sound without end: a sample at a time.
type Sound = Box<dyn FnMut() -> f32>;

fn tone(hertz: f32, square: bool) -> Sound {
    let mut phase = 0.0_f32;
    Box::new(move || {
        phase = (phase + hertz / f32::from(RATE)).fract();
        let sine = (TAU * phase).sin();
        if square {
            0.5_f32.copysign(sine)
        } else {
            0.5 * sine
        }
    })
}

fn white(mut random: Random) -> Sound {
    Box::new(move || 0.2 * random.normal())
}

/// Falls by about 3 dB an octave: the sum of noises that are held for 1, 2, 4 … samples.
fn pink(mut random: Random) -> Sound {
    let mut held = [0.0_f32; 12];
    let mut count = 0_u32;
    Box::new(move || {
        count = count.wrapping_add(1);
        let slot = (count.trailing_zeros() as usize).min(held.len() - 1);
        held[slot] = random.normal();
        0.05 * held.iter().sum::<f32>()
    })
}

/// Noise in the band in which code lives, from a resonance at 1.5 kHz.
fn band(mut random: Random) -> Sound {
    let (mut one, mut two) = (0.0_f32, 0.0_f32);
    let (radius, turn) = (0.95_f32, TAU * 1_500.0 / f32::from(RATE));
    Box::new(move || {
        let next = 2.0 * radius * turn.cos() * one - radius * radius * two + 0.05 * random.normal();
        (two, one) = (one, next);
        next
    })
}

fn clipped(mut sound: Sound) -> Sound {
    Box::new(move || (20.0 * sound()).clamp(-0.5, 0.5))
}

/// Random bits, marked as code marks them, at the speed of 25 frames a second.
fn biphase(mut random: Random) -> Sound {
    let mut level = 0.3;
    let mut sample = 0_u32;
    let mut one = false;
    Box::new(move || {
        let place = sample % 24;
        if place == 0 {
            one = random.below(2) == 1;
        }
        if place == 0 || place == 12 && one {
            level = -level;
        }
        sample = sample.wrapping_add(1);
        level
    })
}

/// Two tones, keyed at random without a break in the phase.
fn keyed(mut random: Random, low: f32, high: f32, baud: u32) -> Sound {
    let mut phase = 0.0_f32;
    let mut now = low;
    let mut sample = 0_u32;
    Box::new(move || {
        if sample.is_multiple_of(u32::from(RATE) / baud) {
            now = if random.below(2) == 0 { low } else { high };
        }
        sample = sample.wrapping_add(1);
        phase = (phase + now / f32::from(RATE)).fract();
        0.3 * (TAU * phase).sin()
    })
}

/// Notes that fade, with overtones.
fn music(mut random: Random) -> Sound {
    let mut notes = [(0.0_f32, 0.0_f32, 0.0_f32); 4];
    let mut sample = 0_u32;
    Box::new(move || {
        if sample.is_multiple_of(u32::from(RATE) / 8) {
            let pitch = 110.0 * (random.below(49) as f32 / 12.0).exp2();
            notes[random.below(4) as usize] = (pitch, 0.2, random.uniform());
        }
        sample = sample.wrapping_add(1);
        let mut sum = 0.0;
        for (pitch, loud, phase) in &mut notes {
            *phase = (*phase + *pitch / f32::from(RATE)).fract();
            *loud *= 0.999_95;
            for overtone in [1.0, 2.0, 3.0, 4.0, 5.0] {
                sum += *loud * (TAU * overtone * *phase).sin() / overtone;
            }
        }
        sum
    })
}

/// Pulses and hiss through three resonances that move, in syllables.
fn speech(mut random: Random) -> Sound {
    let mut resonances = [(0.0_f32, 0.0_f32, 0.0_f32); 3];
    let (mut left, mut period, mut loud, mut hiss, mut sample) =
        (0_u32, 300_u32, 0.0, false, 0_u32);
    Box::new(move || {
        if left == 0 {
            left = 3_000 + random.below(12_000);
            period = 160 + random.below(440);
            loud = if random.below(6) == 0 {
                0.0
            } else {
                0.02 + 0.1 * random.uniform()
            };
            hiss = random.below(3) == 0;
            for (resonance, (low, span)) in
                resonances
                    .iter_mut()
                    .zip([(250.0, 650.0), (800.0, 1_700.0), (2_200.0, 1_300.0)])
            {
                resonance.2 = TAU * (low + span * random.uniform()) / f32::from(RATE);
            }
        }
        left -= 1;
        sample = sample.wrapping_add(1);
        let pulse = if sample.is_multiple_of(period) {
            3.0
        } else {
            0.0
        };
        let mut sound = loud * if hiss { 0.3 * random.normal() } else { pulse };
        for (one, two, turn) in &mut resonances {
            let next = 2.0 * 0.99 * turn.cos() * *one - 0.99 * 0.99 * *two + 0.3 * sound;
            (*two, *one) = (*one, next);
            sound = next;
        }
        sound
    })
}

/// All of them, and how many codewords of each an hour may give that are trusted: marks that are
/// code but for what they say give eight, by chance.
fn sounds() -> Vec<(String, Sound, usize)> {
    let random = |seed| Random::new(seed);
    let mut all: Vec<(String, Sound, usize)> = vec![
        ("white noise".into(), white(random(1)), 0),
        ("pink noise".into(), pink(random(2)), 0),
        ("noise in the band".into(), band(random(3)), 0),
        ("clipped noise".into(), clipped(band(random(4))), 0),
        ("random biphase".into(), biphase(random(5)), 25),
        (
            "1000 and 2000 Hz at 2000 baud".into(),
            keyed(random(6), 1_000.0, 2_000.0, 2_000),
            25,
        ),
        (
            "1200 and 2400 Hz at 1200 baud".into(),
            keyed(random(7), 1_200.0, 2_400.0, 1_200),
            5,
        ),
        (
            "1200 and 2200 Hz at 1200 baud".into(),
            keyed(random(8), 1_200.0, 2_200.0, 1_200),
            5,
        ),
        ("music".into(), music(random(9)), 0),
        ("speech".into(), speech(random(10)), 0),
    ];
    for pitch in [440.0, 960.0, 1_000.0, 1_200.0, 2_000.0, 2_400.0] {
        all.push((format!("tone of {pitch} Hz"), tone(pitch, false), 0));
    }
    for pitch in (1_000_u16..=2_400).step_by(200) {
        all.push((
            format!("square of {pitch} Hz"),
            tone(f32::from(pitch), true),
            0,
        ));
    }
    all
}

/// How many codewords some seconds of a sound give, and how many of them are trusted.
fn read(sound: &mut Sound, seconds: u32) -> (usize, usize) {
    let mut demodulator = Demodulator::new(hertz(u32::from(RATE)));
    let (mut all, mut trusted) = (0, 0);
    for _ in 0..seconds {
        let block: Vec<f32> = (0..RATE).map(|_| sound()).collect();
        assert!(block.iter().any(|&sample| sample.abs() > 1e-3) || seconds > 1);
        demodulator.push(&block, &mut |word| {
            all += 1;
            trusted += usize::from(word.quality.is_trusted());
        });
    }
    (all, trusted)
}

#[test]
fn half_a_minute_of_anything_gives_no_trusted_codeword() {
    for (name, mut sound, may_give) in sounds() {
        let (_, trusted) = read(&mut sound, 30);
        assert!(trusted <= usize::from(may_give > 5), "{name}: {trusted}");
    }
}

#[test]
#[ignore = "takes minutes"]
fn an_hour_of_anything_gives_next_to_no_trusted_codeword() {
    for (name, mut sound, may_give) in sounds() {
        let (all, trusted) = read(&mut sound, 3_600);
        println!("{name}: {all} codewords, {trusted} trusted");
        assert!(trusted <= may_give, "{name}: {trusted}");
    }
}
