//! What stands in the file: its header, its second channel, its silences.
#![expect(
    clippy::unwrap_used,
    reason = "a test; clippy does not know this attribute as one"
)]

mod common;

use common::{file, plan};
use plumbline_media::{Blocks, Container, Header};
use plumbline_tone::Plan;
use std::io::Cursor;

fn header(file: &[u8]) -> Header {
    plumbline_media::open(&mut Cursor::new(file)).unwrap()
}

/// The channels' samples.
fn channels(file: &[u8]) -> Vec<Vec<f32>> {
    let header = header(file);
    assert_eq!(header.problems, []);
    let mut all = vec![Vec::new(); header.channels().into()];
    let begins = usize::try_from(header.data().start).unwrap();
    Blocks::new(header.format().unwrap(), header.channels()).push(
        &file[begins..],
        &mut |channels| {
            for (all, channel) in all.iter_mut().zip(channels) {
                all.extend_from_slice(channel);
            }
        },
    );
    all
}

fn second(changed: &[(&str, &str)]) -> Vec<f32> {
    channels(&file(&plan(changed))).remove(1)
}

/// The level of 1 kHz in some samples, as that of a sine whose peak is 1: the sum over whole
/// cycles.
fn one_kilohertz(samples: &[f32], hertz: f64) -> f64 {
    let (mut sine, mut cosine) = (0.0, 0.0);
    for (n, sample) in samples.iter().enumerate() {
        let turn = std::f64::consts::TAU * 1000.0 * n as f64 / hertz;
        sine += f64::from(*sample) * turn.sin();
        cosine += f64::from(*sample) * turn.cos();
    }
    2.0 * sine.hypot(cosine) / samples.len() as f64
}

/// EBU Tech 3285 clause 2.4: the count of the first sample since midnight, at the file's rate.
/// IEC 60461 clause A.3: frames since midnight over the rate.
#[test]
fn the_time_reference_is_that_of_the_first_sample() {
    let references = [
        ("24", "non-drop", "01:00:00:00", "48000", 172_800_000_u64),
        ("25", "non-drop", "01:00:00:00", "44100", 158_760_000),
        ("30", "non-drop", "01:00:00:00", "48000", 172_800_000),
        ("23.976", "non-drop", "01:00:00:00", "48000", 172_972_800),
        ("29.97", "non-drop", "01:00:00:00", "44100", 158_918_760),
        // 172799827.2 and 158759841.24.
        ("29.97", "drop", "01:00:00;00", "48000", 172_799_827),
        ("29.97", "drop", "01:00:00;00", "44100", 158_759_841),
        ("25", "non-drop", "10:00:00:00", "48000", 1_728_000_000),
        ("23.976", "non-drop", "12:34:56:12", "48000", 2_176_406_232),
        // 2174226454.4.
        ("29.97", "drop", "12:34:56;12", "48000", 2_174_226_454),
        ("23.976", "non-drop", "23:59:59:23", "48000", 4_151_345_198),
        // 4147194251.2.
        ("29.97", "drop", "23:59:59;29", "48000", 4_147_194_251),
        ("25", "non-drop", "23:59:59:24", "48000", 4_147_198_080),
        ("25", "non-drop", "23:59:59:24", "44100", 3_810_238_236),
        // Past 32 bits.
        ("25", "non-drop", "23:59:59:24", "96000", 8_294_396_160),
        // The same instants at high rates.
        ("50", "non-drop", "10:00:00:00", "48000", 1_728_000_000),
        ("59.94", "drop", "01:00:00;00", "48000", 172_799_827),
    ];
    for (rate, counting, start, hertz, wanted) in references {
        let file = file(&plan(&[
            ("rate", rate),
            ("counting", counting),
            ("start", start),
            ("sample_rate", hertz),
            ("length", "4"),
        ]));
        let header = header(&file);
        let speed = header.ixml.unwrap().speed.unwrap();
        assert_eq!(
            header.bext.unwrap().time_reference,
            wanted,
            "{start} {rate}"
        );
        assert_eq!(speed.samples_since_midnight, Some(wanted), "{start} {rate}");
        assert_eq!(speed.timestamp_sample_rate, Some(hertz.parse().unwrap()));
    }
}

#[test]
fn ixml_says_what_the_code_says() {
    let file = file(&plan(&[
        ("rate", "59.94"),
        ("counting", "drop"),
        ("user_bits", "25112601"),
        ("beside", "line-up"),
        ("length", "1 s"),
    ]));
    let ixml = header(&file).ixml.unwrap();
    let speed = ixml.speed.unwrap();
    assert_eq!(speed.timecode_rate.as_deref(), Some("30000/1001"));
    assert_eq!(speed.timecode_flag.as_deref(), Some("DF"));
    assert_eq!(speed.timebase().unwrap().to_string(), "29.97 drop-frame");
    assert_eq!(speed.file_sample_rate, Some(48_000));
    assert_eq!(speed.audio_bit_depth, Some(24));
    assert_eq!(ixml.ubits.as_deref(), Some("25112601"));
    let names: Vec<_> = ixml
        .tracks
        .into_iter()
        .filter_map(|track| track.name)
        .collect();
    assert_eq!(names, ["Timecode", "Line-up tone"]);
}

/// EBU Tech 3306: what passes 4 GiB is RF64, its lengths in ds64.
#[test]
fn a_day_is_an_rf64_file_of_which_the_beginning_is_enough() {
    let plan = plan(&[("length", "24 h"), ("start", "00:00:00:00")]);
    let samples = 86_400 * 48_000_u64;
    let mut piece = Vec::new();
    assert!(plan.file().unwrap().next_piece(&mut piece).unwrap());
    assert_eq!(&piece[..4], b"RF64");
    assert_eq!(&piece[12..16], b"ds64");
    let long = |at: usize| u64::from_le_bytes(piece[at..at + 8].try_into().unwrap());
    assert_eq!(long(20), plan.file_bytes() - 8);
    assert_eq!(long(28), samples * 3);
    assert_eq!(long(36), samples);
    assert_eq!(plan.codeword_count(), 2_160_000);
    let data = piece.windows(4).position(|bytes| bytes == b"data").unwrap();
    assert_eq!(plan.file_bytes(), data as u64 + 8 + samples * 3);
}

#[test]
fn a_file_is_as_long_as_its_codewords() {
    // Five codewords at 29.97 are 8008 samples at 48 kHz; one is 1601.6.
    for (length, samples) in [("5", 8008_u64), ("1", 1602), ("3", 4805)] {
        let file = file(&plan(&[("rate", "29.97"), ("length", length)]));
        assert_eq!(header(&file).sample_frames, samples);
        assert_eq!(header(&file).container, Container::Wav);
    }
}

fn is_silent(samples: &[f32]) -> bool {
    samples.iter().all(|&sample| sample == 0.0)
}

#[test]
fn between_takes_both_channels_are_silent() {
    for beside in ["silence", "line-up", "blips"] {
        let made = plan(&[
            ("length", "1 s"),
            ("takes", "3"),
            ("silence", "0.5"),
            ("beside", beside),
        ]);
        let channels = channels(&file(&made));
        assert_eq!(channels[0].len(), 48_000 * 4);
        for take in 0..3 {
            let begins = take * 72_000;
            let (code, second) = (&channels[0][begins..], &channels[1][begins..]);
            assert!(code[..48_000].chunks(100).all(|part| !is_silent(part)));
            assert_eq!(is_silent(&second[..48_000]), beside == "silence");
            if take < 2 {
                assert!(is_silent(&code[48_001..72_000]) && is_silent(&second[48_001..72_000]));
            }
        }
    }
}

/// EBU R 68: the alignment level is -18 dBFS, as the peak of a sine 0.12589.
#[test]
fn the_line_up_tone_is_a_kilohertz_at_alignment_level() {
    for hertz in ["44100", "48000", "96000"] {
        let second = second(&[
            ("rate", "29.97"),
            ("length", "10 s"),
            ("beside", "line-up"),
            ("samples", "float"),
            ("sample_rate", hertz),
        ]);
        let tenth = hertz.parse::<usize>().unwrap() / 10;
        let hertz: f64 = hertz.parse().unwrap();
        // Three seconds in, for a tenth of one.
        let level = one_kilohertz(&second[30 * tenth..31 * tenth], hertz);
        assert!((level - 0.125_892_5).abs() < 1e-6, "{level}");
        let peak = second
            .iter()
            .fold(0.0_f32, |peak, sample| peak.max(sample.abs()));
        assert!((0.1250..0.125_893).contains(&peak), "{peak}");
        // Nothing but that: a sine at each sample.
        let turn = std::f64::consts::TAU * 1000.0 / hertz;
        let off = second.iter().enumerate().take(100 * tenth);
        let off = off.map(|(n, sample)| {
            (f64::from(*sample) - 0.125_892_541_2 * (turn * n as f64).sin()).abs()
        });
        assert!(off.fold(0.0, f64::max) < 1e-6);
    }
}

/// Where 1 kHz begins and ends, in samples.
fn blips(samples: &[f32], rest: usize) -> Vec<(usize, usize)> {
    let mut found: Vec<(usize, usize)> = Vec::new();
    for (n, _) in samples
        .iter()
        .enumerate()
        .filter(|(_, sample)| **sample != 0.0)
    {
        match found.last_mut() {
            Some((_, end)) if n - *end < rest => *end = n,
            _ => found.push((n, n)),
        }
    }
    found
}

#[test]
fn a_blip_lasts_a_frame_at_each_second_of_the_address() {
    let second = second(&[
        ("start", "10:00:00:20"),
        ("length", "3 s"),
        ("beside", "blips"),
        ("samples", "float"),
    ]);
    // Five frames of 1920 samples are left of the second; the first sample of a sine is 0.
    let begins = [5 * 1920, 30 * 1920, 55 * 1920];
    let wanted: Vec<_> = begins
        .iter()
        .map(|begins| (begins + 1, begins + 1919))
        .collect();
    assert_eq!(blips(&second, 40), wanted);
    let level = one_kilohertz(&second[9600..9600 + 1920], 48_000.0);
    assert!((level - 0.125_892_5).abs() < 1e-6, "{level}");
}

/// At 29.97 a frame has 33.37 ms, 33 whole cycles; in drop-frame the first frame of the minute is
/// ;02 (IEC 60461 clause 4.2.3).
#[test]
fn blips_know_drop_frame_and_high_rates() {
    let second_channel = |rate, start| {
        second(&[
            ("rate", rate),
            ("counting", "drop"),
            ("start", start),
            ("length", "2 s"),
            ("beside", "blips"),
            ("samples", "float"),
        ])
    };
    let found = blips(&second_channel("29.97", "00:00:59;10"), 40);
    // 20 codewords of 1601.6 samples, then the 28 of the minute's first second.
    let begins: Vec<_> = found.iter().map(|(begins, _)| *begins).collect();
    assert_eq!(begins, [32_033, 76_877]);
    let lengths: Vec<_> = found.iter().map(|(begins, end)| end - begins + 2).collect();
    assert!(
        lengths.iter().all(|length| length.abs_diff(33 * 48) <= 1),
        "{lengths:?}"
    );
    // A frame at 59.94 lasts half a codeword: 16 whole cycles.
    let found = blips(&second_channel("59.94", "00:00:00;00"), 40);
    assert_eq!(found.len(), 2);
    assert!(
        found
            .iter()
            .all(|(begins, end)| (end - begins + 2).abs_diff(16 * 48) <= 1)
    );
    assert_eq!(found[0].0, 1);
}

#[test]
fn pieces_have_the_header_first_and_are_the_file() {
    let made: Plan = plan(&[("length", "1 min")]);
    let mut writer = made.file().unwrap();
    let mut piece = Vec::new();
    assert!(writer.next_piece(&mut piece).unwrap());
    assert_eq!(&piece[..4], b"RIFF");
    assert!((1 << 20..(1 << 20) + 10_000).contains(&piece.len()));
    let mut length = piece.len();
    while writer.next_piece(&mut piece).unwrap() {
        length += piece.len();
    }
    assert!(piece.is_empty());
    assert!(!writer.next_piece(&mut piece).unwrap());
    assert_eq!(length as u64, made.file_bytes());
}
