//! How long demodulation takes: nanoseconds a sample, for clean code and for sound without code.
//!
//! `cargo bench -p plumbline-ltc --bench demodulate [-- WORD …]`: the cases with all these words.
//! Each figure is the best of five runs over an hour at 48 kHz, and
//! each run must have read every codeword.

use std::env::args;
use std::error::Error;
use std::time::{Duration, Instant};

use plumbline_ltc::{Codeword, Demodulator, Flags, Modulator, PolarityRule, Tone};
use plumbline_timecode::{
    BinaryGroupFlags, Count, Frames, Rate, SampleRate, TimeAddress, UserBits,
};

/// A minute at 48 kHz, which is a whole number of codewords.
const MINUTE: usize = 48_000 * 60;
const MINUTES: usize = 60;
const CODEWORDS: usize = 25 * 60;

fn main() -> Result<(), Box<dyn Error>> {
    let rate = SampleRate::hertz(48_000)?;
    let clean = code(rate)?;
    let mut noise = Noise(1);
    let in_noise = clean
        .iter()
        .map(|sample| sample + 0.02 * noise.next())
        .collect();
    let hiss = (0..MINUTE).map(|_| 0.1 * noise.next()).collect();
    let tone = (0..MINUTE)
        .map(|n| 0.1 * (n as f32 * 0.137).sin())
        .collect();
    let cases: [(&str, Vec<f32>, usize); 5] = [
        ("clean code", clean, CODEWORDS * MINUTES),
        ("code in noise", in_noise, CODEWORDS * MINUTES),
        ("silence", vec![0.0; MINUTE], 0),
        ("noise", hiss, 0),
        ("a tone", tone, 0),
    ];
    let wanted: Vec<String> = args()
        .skip(1)
        .filter(|word| !word.starts_with('-'))
        .collect();
    for (name, minute, codewords) in cases {
        if !wanted.iter().all(|word| name.contains(word)) {
            continue;
        }
        let best = (0..5)
            .map(|_| run(rate, &minute, codewords))
            .min()
            .unwrap_or_default();
        let each = best.as_secs_f64() * 1e9 / (MINUTE * MINUTES) as f64;
        println!(
            "{name:14} {each:6.3} ns a sample, an hour in {:.3} s",
            best.as_secs_f64()
        );
    }
    Ok(())
}

/// Reads the minute sixty times over, in blocks as they come from a file.
fn run(rate: SampleRate, minute: &[f32], codewords: usize) -> Duration {
    let mut demodulator = Demodulator::new(rate);
    let mut read = 0;
    let begins = Instant::now();
    for _ in 0..MINUTES {
        for block in minute.chunks(16_384) {
            demodulator.push(block, &mut |received| {
                read += usize::from(received.quality.is_trusted());
            });
        }
    }
    demodulator.finish(&mut |received| read += usize::from(received.quality.is_trusted()));
    let took = begins.elapsed();
    assert!(
        read.abs_diff(codewords) <= 2,
        "{read} codewords read, and {codewords} are right"
    );
    took
}

fn code(rate: SampleRate) -> Result<Vec<f32>, Box<dyn Error>> {
    let mut modulator = Modulator::new(Tone::new(Rate::F25, rate))?;
    let mut samples = Vec::with_capacity(MINUTE);
    let first = TimeAddress::new(Count::F25, 10, 0, 0, 0)?;
    for number in 0..CODEWORDS {
        let codeword = Codeword::new(
            first.plus_wrapping(Frames(i64::try_from(number)?)),
            UserBits(0x2511_2601),
            BinaryGroupFlags::Unspecified,
            Flags::default(),
            PolarityRule::Corrected,
        );
        modulator.push(codeword, &mut |block| samples.extend_from_slice(block));
    }
    modulator.finish(&mut |block| samples.extend_from_slice(block));
    Ok(samples)
}

/// Uniform between -1 and 1, from a seed.
struct Noise(u64);

impl Noise {
    fn next(&mut self) -> f32 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let high = i16::from_le_bytes(((self.0 >> 48) as u16).to_le_bytes());
        f32::from(high) / 32_768.0
    }
}
