//! Two files lined up by what both heard.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::cast_possible_truncation,
    reason = "tests may stop where they did not foresee something"
)]

use plumbline_damage::Seed;
use plumbline_ltc::{Codeword, Flags, Modulator, PolarityRule, Tone};
use plumbline_media::Encoding;
use plumbline_media::write::{Recording, Writer};
use plumbline_shoot::lineup::SoundPrior;
use plumbline_shoot::sounds::{CodedChannels, Heard, Print, SoundAnswer, SoundPrinter, line_up};
use plumbline_timecode::{
    BinaryGroupFlags, Count, Frames, Rate, SampleRate, TimeAddress, UserBits,
};
use std::io::Cursor;
use std::ops::Range;

const HERTZ: usize = 48_000;
/// 7.25 s and 13 samples.
const LATER: usize = 348_013;

/// Noise that swells and fades some times a second, as voices do.
fn place(seconds: usize) -> Vec<f32> {
    let mut random = Seed::tuning(1).random(1);
    let (mut level, mut wanted) = (0.0, 0.0);
    let sample = |n: usize| {
        if n.is_multiple_of(HERTZ / 8) {
            wanted = random.uniform().powi(3);
        }
        level += 1e-3 * (wanted - level);
        (0.3 * level * random.normal()) as f32
    };
    (0..seconds * HERTZ).map(sample).collect()
}

/// What a microphone makes of it: a third as loud, and with a noise of its own.
fn heard(place: &[f32], stream: u64) -> Vec<f32> {
    let mut random = Seed::tuning(1).random(stream);
    let sample = |sample: &f32| sample / 3.0 + 0.003 * random.normal() as f32;
    place.iter().map(sample).collect()
}

/// Code of the same length.
fn code(length: usize) -> Vec<f32> {
    let tone = Tone::new(Rate::F25, SampleRate::hertz(48_000).unwrap());
    let mut modulator = Modulator::new(tone).unwrap();
    let mut samples = Vec::new();
    let mut address = TimeAddress::parse("10:00:00:00", Count::F25).unwrap();
    while samples.len() < length {
        let word = Codeword::new(
            address,
            UserBits::default(),
            BinaryGroupFlags::Unspecified,
            Flags::default(),
            PolarityRule::Corrected,
        );
        modulator.push(word, &mut |block| samples.extend_from_slice(block));
        address = address.plus_wrapping(Frames(1));
    }
    samples.truncate(length);
    samples
}

fn wav(channels: &[&[f32]]) -> Vec<u8> {
    let frames = channels[0].len() as u64;
    let recording = Recording::new(48_000, channels.len() as u16, Encoding::S24, frames);
    let mut writer = Writer::new(Vec::new(), &recording).unwrap();
    writer.push(channels).unwrap();
    writer.finish().unwrap()
}

/// The print of a file, pushed in blocks of so many bytes.
fn print(bytes: &[u8], coded: &CodedChannels, block: usize) -> Print {
    let mut printer = SoundPrinter::open(&mut Cursor::new(bytes), coded).unwrap();
    for Range { start, end } in printer.pieces() {
        for part in bytes[start as usize..end as usize].chunks(block) {
            printer.push(part);
        }
    }
    printer.finish()
}

fn side<'b>(bytes: &'b [u8], coded: &[u16]) -> Heard<Cursor<&'b [u8]>> {
    let coded = CodedChannels(coded.to_vec());
    let print = print(bytes, &coded, 1 << 16);
    Heard::open(Cursor::new(bytes), &coded, print).unwrap()
}

#[test]
fn a_recording_without_code_is_found_beside_one_with_it_whichever_channel_has_the_code() {
    let place = place(40);
    let (long, short) = (
        heard(&place, 2),
        heard(&place[LATER..LATER + 18 * HERTZ], 3),
    );
    let code = code(long.len());
    let alone = wav(&[&short]);
    let layouts: [(&[&[f32]], &[u16]); 3] = [
        (&[&long, &code], &[1]),
        (&[&code, &long], &[0]),
        (&[&code, &code, &long], &[1, 0]),
    ];
    for (channels, coded) in layouts {
        let with_code = wav(channels);
        let (mut first, mut second) = (side(&with_code, coded), side(&alone, &[]));
        let answer = line_up("boom", &mut first, &mut second, None).unwrap();
        let SoundAnswer::Found { line, text } = answer else {
            panic!("code on {coded:?}: {answer:?}");
        };
        let off = line.offset - LATER as f64 / HERTZ as f64;
        assert!(off.abs() < 1e-3, "{line:?}");
        assert!(
            line.offset_uncertainty < 1e-3 && line.odds_log10 > 6.0,
            "{line:?}"
        );
        assert!(line.drift_ppm.abs() < 50.0, "{line:?}");
        assert_eq!(line.beside, "boom");
        assert!(text.starts_with("It begins 7.25"), "{text}");
        assert!(text.contains("s after the other, give or take"), "{text}");
        assert!(text.contains("ppm"), "{text}");
        // The other way round it is as much before.
        let answer = line_up("memo", &mut second, &mut first, None).unwrap();
        let SoundAnswer::Found { line: back, text } = answer else {
            panic!("code on {coded:?}: {answer:?}");
        };
        assert!((back.offset + line.offset).abs() < 1e-3, "{back:?}");
        assert!(text.contains("s before the other"), "{text}");
    }
}

#[test]
fn the_faster_clock_is_the_one_with_more_samples() {
    let place = place(60);
    // Every 10,000th sample twice: 100 ppm more of them.
    let twice = |(n, sample): (usize, &f32)| {
        let count = if n % 10_000 == 9_999 { 2 } else { 1 };
        std::iter::repeat_n(*sample, count)
    };
    let fast: Vec<f32> = place.iter().enumerate().flat_map(twice).collect();
    let (first, second) = (wav(&[&place]), wav(&[&fast]));
    let answer = line_up("", &mut side(&first, &[]), &mut side(&second, &[]), None).unwrap();
    let SoundAnswer::Found { line, text } = answer else {
        panic!("{answer:?}");
    };
    assert!((line.drift_ppm - 100.0).abs() < 10.0, "{line:?}");
    assert!(text.contains("ppm faster than the other’s"), "{text}");
}

#[test]
fn a_print_is_the_same_however_its_bytes_are_cut() {
    let place = place(4);
    let bytes = wav(&[&place, &code(place.len())]);
    let coded = CodedChannels(vec![1]);
    let whole = print(&bytes, &coded, bytes.len());
    assert_eq!(whole.samples(), place.len() as u64);
    for block in [1000, 4096, 77_777] {
        assert!(print(&bytes, &coded, block) == whole, "blocks of {block}");
    }
}

#[test]
fn a_recording_with_nothing_but_code_is_refused_in_words() {
    let bytes = wav(&[&code(HERTZ)]);
    let refused = SoundPrinter::open(&mut Cursor::new(&bytes), &CodedChannels(vec![0]));
    let refused = SoundAnswer::from(refused.unwrap_err());
    let SoundAnswer::Refused { text, remedy } = refused else {
        panic!("{refused:?}");
    };
    assert_eq!(
        text,
        "There is code on every channel, and so no sound to line it up by."
    );
    assert_eq!(
        remedy,
        "Choose a recording with sound on a channel of its own."
    );
}

#[test]
fn sounds_that_are_not_the_same_are_refused_with_what_to_do() {
    let all = place(40);
    let (one, other) = all.split_at(20 * HERTZ);
    let (one, other) = (wav(&[one]), wav(&[other]));
    let answer = line_up("", &mut side(&one, &[]), &mut side(&other, &[]), None).unwrap();
    let SoundAnswer::Refused { text, remedy } = answer else {
        panic!("{answer:?}");
    };
    assert!(
        !text.is_empty() && remedy.contains("address of"),
        "{text} {remedy}"
    );
}

#[test]
fn what_repeats_is_refused_until_somebody_says_roughly_where() {
    let once = place(20);
    let song: Vec<f32> = once.iter().chain(&once).copied().collect();
    let (long, short) = (
        wav(&[&heard(&song, 5)]),
        wav(&[&heard(&song[LATER..LATER + 10 * HERTZ], 6)]),
    );
    let asked = |prior| {
        let (mut first, mut second) = (side(&long, &[]), side(&short, &[]));
        line_up("boom", &mut first, &mut second, prior).unwrap()
    };
    let without = asked(None);
    assert!(
        matches!(without, SoundAnswer::Refused { .. }),
        "{without:?}"
    );
    let later = LATER as f64 / HERTZ as f64;
    for wanted in [later, later + 20.0] {
        let prior = SoundPrior {
            from: wanted - 2.0,
            to: wanted + 2.0,
        };
        let SoundAnswer::Found { line, .. } = asked(Some(prior)) else {
            panic!("near {wanted}");
        };
        assert!((line.offset - wanted).abs() < 1e-3, "{line:?}");
    }
}
