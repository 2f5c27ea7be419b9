//! Damage that the receiver got wrong once: what it reads under it, where it puts it, and that it
//! reads nothing else.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

use plumbline_damage::{
    Added, BandLimit, BitFlips, Codec, Damage, Decibels, Format, Hum, Mains, Music, Phase,
    Plumbline, Reader, Score, Seed, Source, Speech, Tape, UserBitsSent, White, reading,
};
use plumbline_shoot::FrameList;
use plumbline_shoot::report::Evidence;
use plumbline_timecode::{Fraction, Rate, SampleRate, Samples, UserBits};

/// Two takes of 250 codewords under damage: at least this share of them is read, and where they are
/// put is this many samples off at most, on the average.
#[track_caller]
fn assert_read(rate: Rate, damages: &[&dyn Damage], share: f64, off: f64) {
    let source = Source {
        user_bits: UserBitsSent::Constant(UserBits(0x2511_2601)),
        ..Source::new(rate, SampleRate::hertz(48_000).unwrap())
    };
    let scores = (0..2).map(|number| {
        let seed = Seed::tuning(632_000_000 + number);
        let take = source.take(250, seed).unwrap();
        let take = take.damaged(seed, damages).unwrap();
        Score::of(&take, &Plumbline.read(&take))
    });
    let all = scores.fold(Score::default(), Score::and);
    assert_eq!(all.wrong, 0);
    assert!(all.share().unwrap() > share, "{all:?}");
    assert!(all.position_error().unwrap() < off, "{all:?}");
}

/// Nothing adds up over codewords whose user bits are others in each, and none is read 16 dB below noise.
#[test]
fn a_start_is_told_where_each_codeword_has_user_bits_of_its_own() {
    let source = Source {
        user_bits: UserBitsSent::Random,
        ..Source::new(Rate::F25, SampleRate::hertz(48_000).unwrap())
    };
    let seed = Seed::tuning(632_000_010);
    let noise = Added::over_code(White, Decibels(16.0));
    let take = source.take(250, seed).unwrap();
    let take = take.damaged(seed, &[&noise]).unwrap();
    let reading = reading(take.sample_rate, &[&take.samples], FrameList::Keep).unwrap();
    let [code] = &reading.report.codes[..] else {
        panic!("{:?}", reading.report);
    };
    let [stretch] = &code.stretches[..] else {
        panic!("{code:?}");
    };
    assert_eq!(stretch.evidence, Evidence::Together);
    assert_eq!(stretch.user_bits, None);
    assert_eq!(code.frames.as_ref().map(Vec::len), Some(0));
    let first = &take.words[0];
    let address = first.meant.address(source.count).unwrap();
    assert_eq!(stretch.first, address.to_string());
    assert!((stretch.first_sample - first.begins).abs() < 2.0);
}

/// A clock that runs away loses codewords at the ends of its pieces, and those that are read there
/// stand several samples off.
#[test]
fn speech_and_music_leave_the_clock_alone() {
    assert_read(
        Rate::F25,
        &[&Added::over_code(Speech, Decibels(0.0))],
        0.98,
        0.5,
    );
    assert_read(
        Rate::F25,
        &[&Added::over_code(Music, Decibels(10.0))],
        0.9,
        0.5,
    );
}

/// 1.2 samples for half a cell: edges are where no sample is.
#[test]
fn ten_times_the_speed_is_read_both_ways() {
    for speed in [10.0, -10.0] {
        assert_read(Rate::F25, &[&Tape::at_speed(speed)], 0.99, 0.1);
    }
}

/// From half the speed to twice: what is not known of it, the sound says by repeating itself. A thousandth
/// off, a few codewords stand where those of the speed would.
#[test]
fn another_speed_is_read_in_noise_as_loud_as_the_code() {
    let noise = Added::over_code(White, Decibels(0.0));
    for speed in [0.5, 0.8, 0.999, 1.001, 1.042, 1.25, 1.8, -0.96, -1.1] {
        assert_read(Rate::F25, &[&Tape::at_speed(speed), &noise], 0.98, 0.3);
    }
}

/// Tape that swings, gathers speed or slows down: codewords are found along their synchronizing words, and
/// the clock is bent to them.
#[test]
fn a_speed_that_changes_is_read_in_noise_as_loud_as_the_code() {
    let noise = Added::over_code(White, Decibels(0.0));
    for (tape, off) in [
        (Tape::flutter(0.001, 0.5), 0.3),
        (Tape::flutter(0.003, 2.0), 0.5),
        (Tape::flutter(0.01, 4.0), 1.0),
        (Tape::flutter(0.03, 0.5), 0.8),
        (Tape::ramp(0.9, 1.1), 0.5),
        (Tape::ramp(-1.05, -0.95), 0.5),
        (Tape::ramp(0.6, 0.8), 1.0),
    ] {
        assert_read(Rate::F25, &[&tape, &noise], 0.98, off);
    }
}

/// Over a gap in which the speed changed how many codewords it holds can't be told by the time: a codeword
/// that was wrong by one seemed to follow those before.
#[test]
fn a_speed_that_changes_in_noise_leads_nowhere_wrong() {
    for (from, to, louder, number) in [
        (0.9, 1.1, -3.0, 0),
        (0.95, 1.05, -3.0, 2),
        (-0.8, -1.2, -3.0, 1),
        (1.1, 0.9, 0.0, 2),
    ] {
        let source = Source::new(Rate::F25, SampleRate::hertz(48_000).unwrap());
        let noise = Added::over_code(White, Decibels(louder));
        let take = source.take(400, Seed::tuning(5 + number)).unwrap();
        let damages: [&dyn Damage; 2] = [&Tape::ramp(from, to), &noise];
        let take = take.damaged(Seed::tuning(9 + number), &damages).unwrap();
        let score = Score::of(&take, &Plumbline.read(&take));
        assert!(
            score.share().unwrap() > 0.95 && score.wrong == 0,
            "{from} {to}: {score:?}"
        );
    }
}

/// Whoever begins to listen late to a long recording at the lowest bit rate: the synchronizing word
/// looks better the wrong way round there, and once it was taken so, nothing was read for a minute.
#[test]
fn code_is_not_followed_the_wrong_way_round() {
    const LATE: usize = 200 * 48_000;
    let mut source = Source {
        user_bits: UserBitsSent::Constant(UserBits(0x2511_2601)),
        ..Source::new(Rate::F29_97, SampleRate::hertz(48_000).unwrap())
    };
    source.tone.begins = Samples(Fraction::new(1605, 16).unwrap());
    let mut take = source.take(6600, Seed::tuning(5000)).unwrap();
    let codec = Codec::mono(Format::Opus, 16);
    codec
        .apply(&mut take, &mut Seed::tuning(5000).random(1))
        .unwrap();
    take.samples.drain(..LATE);
    take.words.retain(|word| word.begins >= LATE as f64);
    for word in &mut take.words {
        word.begins -= LATE as f64;
        word.ends -= LATE as f64;
    }
    let score = Score::of(&take, &Plumbline.read(&take));
    assert!(score.share().unwrap() > 0.5, "{score:?}");
    assert_eq!(score.wrong, 0);
}

/// Nothing of the ones is left, and nothing but rounding is heard above: whitening makes that as loud
/// as the code, and the channel must not be drawn to nought by it.
#[test]
fn code_with_next_to_no_high_frequencies_is_read() {
    for rate in [Rate::F24, Rate::F25, Rate::F29_97] {
        assert_read(
            rate,
            &[&BandLimit::below(700.0, 4, Phase::Linear)],
            0.98,
            0.5,
        );
    }
    assert_read(
        Rate::F25,
        &[&BandLimit::below(1400.0, 4, Phase::Causal)],
        0.98,
        40.0,
    );
}

/// Two waves of 60 Hz are as long as a codeword at 30 frames a second: hum spoils the same half cells
/// of each.
#[test]
fn hum_in_step_with_the_codewords_is_no_other_code() {
    let hum = Hum {
        mains: Mains::Hertz60,
        harmonics: 12,
    };
    assert_read(
        Rate::F30,
        &[&Added::over_code(hum, Decibels(20.0))],
        0.98,
        0.5,
    );
}

/// A bit of each codeword is flipped, or of each second one: what says another address is no frame,
/// even where two that follow each other have the same bit flipped.
#[test]
fn codewords_with_flipped_bits_are_no_frames() {
    for every in [1, 2, 3] {
        let source = Source {
            flips: BitFlips { every, bits: 1 },
            ..Source::new(Rate::F25, SampleRate::hertz(48_000).unwrap())
        };
        let scores = (0..8).map(|number| {
            let take = source
                .take(250, Seed::tuning(634_000_000 + number))
                .unwrap();
            Score::of(&take, &Plumbline.read(&take))
        });
        let all = scores.fold(Score::default(), Score::and);
        assert_eq!(all.wrong, 0, "{every}");
        assert_eq!(all.right, all.whole, "{every}");
    }
}
