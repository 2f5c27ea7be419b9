//! Whatever a codeword says comes back from its sound, wherever the sound begins and whichever way
//! it runs; and positions are where they belong at every rate.

mod common;

use common::{Random, Take, counting, dbfs, demodulate, fraction, hertz, judge};
use common::{some_address, take, tone};
use plumbline_ltc::{
    Codeword, ColourFrame, Direction, Flags, Layout, Level, Polarity, PolarityRule, Tone,
};
use plumbline_timecode::{
    BinaryGroupFlags, CODES, Count, FrameNumber, Rate, TimeAddress, UserBits,
};
use proptest::prelude::{ProptestConfig, any, prop_assert_eq, proptest};

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_field_comes_back(
        code in 0..CODES.len(),
        number in any::<u32>(),
        user_bits in any::<u32>(),
        groups in 0..8_usize,
        colour in any::<bool>(),
        corrected in any::<bool>(),
        backwards in any::<bool>(),
        inverted in any::<bool>(),
        level in -60..0_i8,
        begins in 0..3_000_i128,
        sample_rate in proptest::sample::select(vec![8_000, 22_050, 44_100, 48_000, 96_000]),
    ) {
        let (rate, count) = CODES[code];
        let number = FrameNumber(number % count.frames_per_day());
        let address = TimeAddress::from_frame_number(count, number).unwrap();
        let groups = BinaryGroupFlags::ALL[groups];
        let colour_frame = if colour { ColourFrame::Followed } else { ColourFrame::Unspecified };
        let polarity = if corrected { PolarityRule::Corrected } else { PolarityRule::Uncorrected };
        let flags = Flags { colour_frame };
        let word = Codeword::new(address, UserBits(user_bits), groups, flags, polarity);
        let tone = Tone {
            level: dbfs(f64::from(level)),
            polarity: if inverted { Polarity::Inverted } else { Polarity::Upright },
            direction: if backwards { Direction::Reverse } else { Direction::Forward },
            ..tone(rate, hertz(sample_rate), begins, begins % 16)
        };
        let take = take(tone, &[word; 2]).then(&Take::still(0.0, 2_000));
        let received = demodulate(hertz(sample_rate), &take.samples);
        prop_assert_eq!(received.len(), 2);
        for got in received {
            let layout = Layout::from(count);
            prop_assert_eq!(got.direction, tone.direction);
            prop_assert_eq!(got.codeword, word);
            prop_assert_eq!(got.codeword.address(count), Ok(address));
            prop_assert_eq!(got.codeword.user_bits(), UserBits(user_bits));
            prop_assert_eq!(got.codeword.binary_group_flags(layout), groups);
            prop_assert_eq!(got.codeword.drop_flag(), count.is_drop());
            let followed = colour && count != Count::F24;
            prop_assert_eq!(got.codeword.colour_frame_flag(), followed);
            prop_assert_eq!(corrected && !got.codeword.is_even(), false);
        }
    }
}

/// No bias beyond 0.02 sample on clean code, whatever part of a sample its edges are at, at rates
/// at which all edges fall on the same parts of samples, and others.
#[test]
fn positions_have_no_bias_at_any_rate() {
    for (rate, count) in CODES {
        for sample_rate in [8_000, 16_000, 44_100, 48_000, 96_000, 192_000] {
            for sixteenths in 0..16 {
                let words = counting(some_address(count), 0x2511_2601, 12);
                for polarity in common::POLARITIES {
                    let usual = tone(rate, hertz(sample_rate), 300, sixteenths);
                    let take = take(Tone { polarity, ..usual }, &words);
                    let name = format!("{count} at {rate}, {sample_rate} Hz, {sixteenths}/16");
                    let errors =
                        judge(&name, &take, &demodulate(hertz(sample_rate), &take.samples));
                    assert!(errors.mean.abs() < 0.02, "{name}: {errors:?}");
                    assert!(errors.worst < 0.05, "{name}: {errors:?}");
                }
            }
        }
    }
}

/// White noise 10 dB below the code, over all that the sample rate carries: codewords are read
/// nearly all, and placed to 0.03 sample where a single edge is off by 0.22.
#[test]
fn noise_ten_decibels_below_the_code_moves_no_codeword_far() {
    let words = counting(some_address(Count::F25), 0x2511_2601, 500);
    let take = take(tone(Rate::F25, hertz(48_000), 100, 5), &words);
    let square = take
        .samples
        .iter()
        .map(|sample| sample * sample)
        .sum::<f32>();
    let rms = (square / take.samples.len() as f32 / 10.0).sqrt();
    let take = take.with_noise(rms, &mut Random::new(7));
    let received = demodulate(hertz(48_000), &take.samples);
    assert!(received.len() > 490, "{} codewords", received.len());
    let mut errors = Vec::new();
    for word in &received {
        let truth = take
            .words
            .iter()
            .find(|truth| truth.codeword == word.codeword)
            .unwrap();
        errors.push(word.begins.as_f64() - truth.begins);
    }
    let mean = errors.iter().sum::<f64>() / errors.len() as f64;
    let square = errors.iter().map(|error| error * error).sum::<f64>() / errors.len() as f64;
    assert!(mean.abs() < 0.005, "mean {mean}");
    assert!(square.sqrt() < 0.03, "root mean square {}", square.sqrt());
}

/// What is done to every sample.
type Change = fn(f32) -> f32;

/// The same sound turned over, quieter, or beside a constant gives the same codewords in the same
/// places; turned round, the same in mirrored places.
#[test]
fn what_is_done_to_all_samples_alike_changes_no_codeword() {
    let words = counting(some_address(Count::F30Drop), 0x2511_2601, 40);
    let usual = take(tone(Rate::F29_97, hertz(48_000), 900, 3), &words);
    let ways: [(&str, Change); 5] = [
        ("turned over", |x| -x),
        ("a thousandth", |x| 0.001 * x),
        ("beside 0.3", |x| x + 0.3),
        ("beside 100 times itself", |x| x + 12.0),
        ("a hundred times as loud", |x| 100.0 * x),
    ];
    for (name, change) in ways {
        let other = usual.clone().map(change);
        let errors = judge(name, &other, &demodulate(hertz(48_000), &other.samples));
        assert!(errors.worst < 0.01, "{name}: {errors:?}");
    }
    // Turned round, the last edge would else stand before the first sample.
    let round = usual.then(&Take::still(0.0, 100)).reversed();
    let errors = judge(
        "turned round",
        &round,
        &demodulate(hertz(48_000), &round.samples),
    );
    assert!(errors.worst < 0.01, "turned round: {errors:?}");
}

/// A codeword in which a bit is wrong is a codeword still, if the synchronizing word is whole:
/// what it says is for those to judge who know its neighbours.
#[test]
fn a_wrong_bit_is_handed_on_as_it_was_sent() {
    let mut words = counting(some_address(Count::F25), 0x2511_2601, 64);
    for (bit, word) in words.iter_mut().enumerate() {
        word.0[bit / 8] ^= 1 << (bit % 8);
    }
    let take = take(tone(Rate::F25, hertz(48_000), 0, 8), &words);
    let received = demodulate(hertz(48_000), &take.samples);
    let got: Vec<Codeword> = received.iter().map(|word| word.codeword).collect();
    assert_eq!(got, words);
    // A digit above 9 makes it none that is trusted.
    let untrusted = received
        .iter()
        .filter(|word| !word.quality.is_trusted())
        .count();
    assert!((1..20).contains(&untrusted), "{untrusted}");
}

#[test]
fn settings_out_of_range_are_refused() {
    let usual = Tone::new(Rate::F25, hertz(48_000));
    let refused = |tone| plumbline_ltc::Modulator::new(tone).unwrap_err().to_string();
    let none = refused(Tone {
        speed: fraction(0, 1),
        ..usual
    });
    assert!(none.starts_with("a speed of 0 is none"), "{none}");
    let fast = refused(Tone {
        speed: fraction(13, 1),
        ..usual
    });
    assert_eq!(
        fast,
        "half a bit lasts 12/13 samples, and less than one can't be heard"
    );
    let before = Tone {
        begins: plumbline_timecode::Samples(fraction(-1, 2)),
        ..usual
    };
    assert!(refused(before).starts_with("the code begins at sample -1/2"));
    assert!(Level::dbfs(0.1).is_err() && Level::dbfs(f64::NAN).is_err());
    assert!(plumbline_ltc::RiseTime::microseconds(0).is_err());
}
