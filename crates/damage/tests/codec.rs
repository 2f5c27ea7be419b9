//! Codecs: there and back through FFmpeg, which `scripts/test` installs.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

use plumbline_damage::{Codec, Damage, DamageError, Format, Seed, Source, Speech, Take};
use plumbline_ltc::Demodulator;
use plumbline_timecode::{Rate, SampleRate};

fn clean() -> Take {
    Source::new(Rate::F25, SampleRate::hertz(48_000).unwrap())
        .take(100, Seed::tuning(1))
        .unwrap()
}

/// Codecs have delays of hundreds of samples; what is left of them is below one. The mean over
/// all codewords is measured by the demodulator, on rates at which it still reads well.
#[test]
fn what_comes_back_is_in_its_place() {
    let coders = [
        Codec::mono(Format::Aac, 96),
        Codec::mono(Format::Opus, 96),
        Codec::beside(Format::Aac, 192, Speech),
        Codec::beside(Format::Opus, 192, Speech),
    ];
    for codec in coders {
        let clean = clean();
        let take = clean.clone().damaged(Seed::tuning(2), &[&codec]).unwrap();
        assert_eq!(take.samples.len(), clean.samples.len());
        assert_ne!(take.samples, clean.samples, "{codec:?} did nothing");
        let errors = errors(&take);
        assert!(errors.len() >= 95, "{codec:?}: {} read", errors.len());
        let mean = errors.iter().sum::<f64>() / errors.len() as f64;
        assert!(mean.abs() < 1.0, "{codec:?}: {mean} samples late");
    }
}

/// How late each codeword is that was read.
fn errors(take: &Take) -> Vec<f64> {
    let mut demodulator = Demodulator::new(take.sample_rate);
    let mut received = Vec::new();
    demodulator.push(&take.samples, &mut |word| received.push(word));
    demodulator.finish(&mut |word| received.push(word));
    let found = received.iter().filter_map(|word| {
        let truth = take
            .words
            .iter()
            .find(|truth| truth.meant == word.codeword)?;
        Some(word.first_edge().as_f64() - truth.first_edge())
    });
    found.collect()
}

#[test]
fn fewer_bits_do_more_harm() {
    let power = |kilobits| {
        let codec = Codec::mono(Format::Aac, kilobits);
        let take = clean().damaged(Seed::tuning(2), &[&codec]).unwrap();
        let pairs = take.samples.iter().zip(clean().samples);
        pairs.map(|(a, b)| f64::from(a - b).powi(2)).sum::<f64>()
    };
    assert!(power(32) > 2.0 * power(96));
}

#[test]
fn without_the_program_there_is_an_error() {
    let codec = Codec {
        program: "no-such-program-anywhere".into(),
        ..Codec::mono(Format::Opus, 32)
    };
    assert!(!codec.is_available());
    let refused = clean().damaged(Seed::tuning(1), &[&codec as &dyn Damage]);
    assert!(matches!(refused, Err(DamageError::NoProgram { .. })));
    let odd = Codec::mono(Format::Aac, 0);
    assert!(odd.is_available());
}
