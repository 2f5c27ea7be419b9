//! How long modulation takes: nanoseconds a sample, for an hour of code.
//!
//! `cargo bench -p plumbline-ltc --bench modulate [-- WORD …]`: the cases with all these words.
//! Each figure is the best of five runs, and each run must have given every sample and every edge.

use std::env::args;
use std::error::Error;
use std::time::{Duration, Instant};

use plumbline_ltc::{Codeword, Flags, Modulator, PolarityRule, Tone};
use plumbline_timecode::{
    BinaryGroupFlags, Count, Frames, Rate, SampleRate, TimeAddress, UserBits,
};

const SECONDS: i64 = 3_600;

fn main() -> Result<(), Box<dyn Error>> {
    let cases = [
        (Rate::F25, Count::F25, 48_000),
        (Rate::F29_97, Count::F30Drop, 48_000),
        (Rate::F30, Count::F30, 44_100),
        (Rate::F25, Count::F25, 192_000),
    ];
    let wanted: Vec<String> = args()
        .skip(1)
        .filter(|word| !word.starts_with('-'))
        .collect();
    for (rate, count, hertz) in cases {
        let name = format!("{rate} at {hertz} Hz");
        if !wanted.iter().all(|word| name.contains(word)) {
            continue;
        }
        let codewords = codewords(rate, count)?;
        let tone = Tone::new(rate, SampleRate::hertz(hertz)?);
        let mut best = Duration::MAX;
        for _ in 0..5 {
            best = best.min(run(tone, &codewords)?);
        }
        let samples = f64::from(hertz) * SECONDS as f64;
        println!(
            "{name:20} {:6.3} ns a sample, an hour in {:.3} s",
            best.as_secs_f64() * 1e9 / samples,
            best.as_secs_f64()
        );
    }
    Ok(())
}

/// As many as there are in an hour.
fn codewords(rate: Rate, count: Count) -> Result<Vec<Codeword>, Box<dyn Error>> {
    let first = TimeAddress::new(count, 10, 0, 0, 0)?;
    let whole = rate.fraction().as_f64() * SECONDS as f64;
    #[expect(clippy::cast_possible_truncation, reason = "some hundred thousand")]
    let codewords = 0..whole.round() as i64;
    Ok(codewords
        .map(|number| {
            Codeword::new(
                first.plus_wrapping(Frames(number)),
                UserBits(0x2511_2601),
                BinaryGroupFlags::Unspecified,
                Flags::default(),
                PolarityRule::Corrected,
            )
        })
        .collect())
}

fn run(tone: Tone, codewords: &[Codeword]) -> Result<Duration, Box<dyn Error>> {
    let begins = Instant::now();
    let mut modulator = Modulator::new(tone)?;
    let (mut samples, mut sum) = (0, 0.0);
    let mut take = |block: &[f32]| {
        samples += block.len();
        sum += block.first().copied().unwrap_or_default();
    };
    for &codeword in codewords {
        modulator.push(codeword, &mut take);
    }
    modulator.finish(&mut take);
    let took = begins.elapsed();
    let right = tone.rate.fraction().as_f64().recip() * codewords.len() as f64;
    let right = right * tone.sample_rate.as_f64();
    assert!((samples as f64 - right).abs() < 1.0, "{samples} samples");
    // Each codeword begins with the same edge, so its blocks begin at the same side of nought.
    let level = f64::from(sum.abs()) / codewords.len() as f64;
    assert!(level > 0.5 * tone.level.amplitude(), "{level}");
    Ok(took)
}
