//! What we write, read back by ourselves and by hound.

#![allow(
    clippy::unwrap_used,
    reason = "tests may stop where they did not foresee something"
)]

mod common;

use std::io::Cursor;

use common::*;
use plumbline_media::write::{Recording, WriteError, Writer};
use plumbline_media::{
    Bext, BextCopy, Container, Encoding, FileSet, History, Hundredths, Ixml, IxmlTrack, Loudness,
    Speed, SyncPoint,
};
use proptest::prelude::*;

/// Sample `frame` of `channel`: steps that 8 bits can hold.
fn sample(frame: usize, channel: usize) -> f32 {
    ((frame * 37 + channel * 11) % 256) as f32 / 128.0 - 1.0
}

fn planar(channels: u16, frames: usize) -> Vec<Vec<f32>> {
    (0..channels.into())
        .map(|channel| (0..frames).map(|frame| sample(frame, channel)).collect())
        .collect()
}

fn slices(planar: &[Vec<f32>]) -> Vec<&[f32]> {
    planar.iter().map(Vec::as_slice).collect()
}

fn written(recording: &Recording, planar: &[Vec<f32>]) -> Vec<u8> {
    let mut writer = Writer::new(Vec::new(), recording).unwrap();
    writer.push(&slices(planar)).unwrap();
    assert_eq!(writer.clipped(), 0);
    writer.finish().unwrap()
}

#[test]
fn every_format_comes_back_as_it_went() {
    for encoding in Encoding::ALL {
        for channels in [1, 2, 3, 8, 64] {
            for frames in [1, 2, 1001] {
                let recording = Recording::new(48_000, channels, encoding, frames as u64);
                let samples_in = planar(channels, frames);
                let file = written(&recording, &samples_in);
                assert_eq!(file.len() % 2, 0);
                let header = open(&file).unwrap();
                assert_eq!(header.problems, []);
                assert_eq!(header.container, Container::Wav);
                assert_eq!(header.format(), Some(encoding.into()));
                assert_eq!((header.sample_rate, header.channels()), (48_000, channels));
                assert_eq!(header.sample_frames, frames as u64);
                assert_eq!(samples(&header, &file, &[1234]), samples_in);
            }
        }
    }
}

#[test]
fn hound_reads_what_we_write() {
    for encoding in [Encoding::U8, Encoding::S16, Encoding::S24, Encoding::S32] {
        for channels in [1, 2, 8] {
            let samples_in = planar(channels, 1001);
            let mut recording = Recording::new(44_100, channels, encoding, 1001);
            recording.bext = Some(Bext::default());
            let file = written(&recording, &samples_in);
            let mut reader = hound::WavReader::new(Cursor::new(&file)).unwrap();
            let spec = reader.spec();
            assert_eq!((spec.channels, spec.sample_rate), (channels, 44_100));
            assert_eq!(spec.bits_per_sample, encoding.bits());
            let full_scale = f64::from(encoding.bits() - 1).exp2();
            let all: Vec<f64> = reader
                .samples::<i32>()
                .map(|s| f64::from(s.unwrap()) / full_scale)
                .collect();
            assert_eq!(all.len(), 1001 * usize::from(channels));
            for (index, found) in all.into_iter().enumerate() {
                let (frame, channel) =
                    (index / usize::from(channels), index % usize::from(channels));
                let difference = found - f64::from(sample(frame, channel));
                assert!(difference.abs() < 1e-12, "{encoding:?} {frame} {channel}");
            }
        }
    }
    let samples_in = planar(2, 1001);
    let file = written(&Recording::new(48_000, 2, Encoding::F32, 1001), &samples_in);
    let mut reader = hound::WavReader::new(Cursor::new(&file)).unwrap();
    assert_eq!(reader.spec().sample_format, hound::SampleFormat::Float);
    let all: Vec<f32> = reader.samples::<f32>().map(Result::unwrap).collect();
    assert_eq!(
        all.iter().step_by(2).copied().collect::<Vec<_>>(),
        samples_in[0]
    );
}

#[test]
fn we_read_what_hound_writes() {
    for (bits, format) in [
        (8, hound::SampleFormat::Int),
        (16, hound::SampleFormat::Int),
        (24, hound::SampleFormat::Int),
        (32, hound::SampleFormat::Int),
        (32, hound::SampleFormat::Float),
    ] {
        for channels in [1, 2, 6] {
            let spec = hound::WavSpec {
                channels,
                sample_rate: 48_000,
                bits_per_sample: bits,
                sample_format: format,
            };
            let samples_in = planar(channels, 1001);
            let mut file = Cursor::new(Vec::new());
            let mut writer = hound::WavWriter::new(&mut file, spec).unwrap();
            for frame in 0..1001 {
                for channel in &samples_in {
                    let sample = channel[frame];
                    if format == hound::SampleFormat::Float {
                        writer.write_sample(sample).unwrap();
                    } else {
                        let whole = f64::from(sample) * f64::from(bits - 1).exp2();
                        #[expect(clippy::cast_possible_truncation, reason = "exact by design")]
                        writer.write_sample(whole as i32).unwrap();
                    }
                }
            }
            writer.finalize().unwrap();
            let file = file.into_inner();
            let header = open(&file).unwrap();
            assert_eq!(header.problems, []);
            assert_eq!(header.format().unwrap().valid_bits(), bits);
            assert_eq!(samples(&header, &file, &[99]), samples_in);
        }
    }
}

fn full_bext() -> Bext {
    Bext {
        description: "Fjære, deck two".to_owned(),
        originator: "Plumbline".to_owned(),
        originator_reference: "R7".to_owned(),
        origination_date: "2026-05-17".to_owned(),
        origination_time: "09-30-00".to_owned(),
        time_reference: 8_294_396_160,
        version: 2,
        umid: Some([7; 64]),
        loudness: Some(Loudness {
            integrated: Some(Hundredths(-2300)),
            max_true_peak: Some(Hundredths(-5)),
            ..Loudness::default()
        }),
        coding_history: "A=PCM,F=48000,W=24,M=mono\r\n".to_owned(),
    }
}

fn full_ixml() -> Ixml {
    let text = |text: &str| Some(text.to_owned());
    Ixml {
        version: text("2.10"),
        project: text("The Crossing"),
        scene: text("<script>12 & 13</script>"),
        take: text("3"),
        tape: text("Roll \"2\""),
        note: text("two\r\nlines, å"),
        circled: Some(true),
        no_good: Some(false),
        false_start: Some(false),
        wild_track: Some(true),
        file_uid: text("U1"),
        ubits: text("25112601"),
        speed: Some(Speed {
            note: text("n"),
            master_speed: text("25/1"),
            current_speed: text("25/1"),
            timecode_rate: text("25/1"),
            timecode_flag: text("NDF"),
            file_sample_rate: Some(48_000),
            audio_bit_depth: Some(24),
            digitizer_sample_rate: Some(48_000),
            samples_since_midnight: Some(8_294_396_160),
            timestamp_sample_rate: Some(48_000),
        }),
        tracks: vec![
            IxmlTrack {
                channel_index: Some(1),
                interleave_index: Some(1),
                name: text("Boom"),
                function: text("BOOM"),
            },
            IxmlTrack::default(),
        ],
        file_set: Some(FileSet {
            total_files: Some(2),
            family_uid: text("F"),
            family_name: text("N"),
            file_set_index: text("A"),
        }),
        history: Some(History {
            original_filename: text("a.wav"),
            parent_filename: text("b.wav"),
            parent_uid: text("P"),
        }),
        sync_points: vec![SyncPoint {
            kind: text("RELATIVE"),
            function: text("SLATE_GENERIC"),
            comment: text("clap"),
            samples: Some(1 << 33),
            duration: Some(1),
        }],
        bext: Some(BextCopy {
            description: text("d"),
            originator: text("o"),
            originator_reference: text("r"),
            origination_date: text("2026-05-17"),
            origination_time: text("09-30-00"),
            time_reference: Some(8_294_396_160),
            coding_history: text("A=PCM"),
        }),
        location: text("Ferry"),
        user: text("u"),
    }
}

#[test]
fn metadata_comes_back_as_it_went() {
    let mut recording = Recording::new(96_000, 1, Encoding::S24, 5);
    recording.bext = Some(full_bext());
    recording.ixml = Some(full_ixml());
    let header = open(&written(&recording, &planar(1, 5))).unwrap();
    assert_eq!(header.problems, []);
    assert_eq!(header.bext.unwrap(), full_bext());
    assert_eq!(header.ixml.unwrap(), full_ixml());
}

#[test]
fn metadata_has_an_even_length() {
    for history in ["", "A", "AB"] {
        let mut recording = Recording::new(48_000, 1, Encoding::S16, 1);
        recording.bext = Some(Bext {
            coding_history: history.to_owned(),
            ..Bext::default()
        });
        recording.ixml = Some(Ixml {
            take: Some(format!("{history}3")),
            ..Ixml::default()
        });
        let before = recording.header().unwrap();
        for id in [b"bext", b"iXML"] {
            let at = before.windows(4).position(|letters| letters == id).unwrap();
            assert_eq!(before[at + 4] % 2, 0, "{history}");
        }
        let header = open(&written(&recording, &planar(1, 1))).unwrap();
        assert_eq!(header.bext.unwrap().coding_history, history);
    }
}

#[test]
fn nothing_is_written_rather_than_blanks() {
    let xml = Ixml::default().to_xml();
    assert_eq!(
        xml,
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<BWFXML></BWFXML>\n"
    );
}

#[test]
fn a_bext_text_that_is_too_long_is_cut_at_a_whole_character() {
    let mut recording = Recording::new(48_000, 1, Encoding::S16, 1);
    recording.bext = Some(Bext {
        originator: "å".repeat(40),
        origination_date: "2026-05-17 or so".to_owned(),
        ..Bext::default()
    });
    let bext = open(&written(&recording, &planar(1, 1)))
        .unwrap()
        .bext
        .unwrap();
    assert_eq!(bext.originator, "å".repeat(16));
    assert_eq!(bext.origination_date, "2026-05-17");
}

#[test]
fn past_four_gibibytes_it_is_rf64() {
    // The header is 44 bytes, of which the file's own length leaves out 8.
    let most = u64::from(u32::MAX - 1 - 36) / 2;
    for (frames, container, data_at) in
        [(most, Container::Wav, 44), (most + 1, Container::Rf64, 80)]
    {
        let recording = Recording::new(48_000, 1, Encoding::S16, frames);
        assert_eq!(recording.container().unwrap(), container);
        let before = recording.header().unwrap();
        assert_eq!(before.len(), data_at);
        let len = data_at as u64 + frames * 2;
        let header = plumbline_media::open(&mut Sparse::new(before, len, vec![])).unwrap();
        assert_eq!(
            (header.container, header.sample_frames),
            (container, frames)
        );
        assert_eq!(header.data(), data_at as u64..len);
        assert_eq!(header.problems, []);
    }
}

#[test]
fn what_does_not_fit_is_clipped_and_counted() {
    let recording = Recording::new(48_000, 1, Encoding::S24, 6);
    let mut writer = Writer::new(Vec::new(), &recording).unwrap();
    writer
        .push(&[&[1.0, -1.0, 7.0, f32::NEG_INFINITY, f32::NAN, 0.25]])
        .unwrap();
    assert_eq!(writer.clipped(), 3);
    let file = writer.finish().unwrap();
    let top = 8_388_607.0 / 8_388_608.0;
    let found = samples(&open(&file).unwrap(), &file, &[100]);
    assert_eq!(found, [[top, -1.0, top, -1.0, 0.0, 0.25]]);
}

#[test]
fn integers_are_rounded_to_the_nearest() {
    let recording = Recording::new(48_000, 1, Encoding::S16, 4);
    let mut writer = Writer::new(Vec::new(), &recording).unwrap();
    writer
        .push(&[&[0.4, 0.6, -0.4, -0.6].map(|step: f32| step / 32_768.0)])
        .unwrap();
    let file = writer.finish().unwrap();
    let found = samples(&open(&file).unwrap(), &file, &[100]);
    assert_eq!(found, [[0.0, 1.0 / 32_768.0, 0.0, -1.0 / 32_768.0]]);
}

#[test]
fn what_cannot_be_written() {
    let said = |recording: Recording| recording.header().unwrap_err().to_string();
    let plain = Recording::new(48_000, 1, Encoding::S16, 3);
    assert_eq!(
        said(Recording {
            channels: 0,
            ..plain.clone()
        }),
        "a recording has 1 to 64 channels, not 0"
    );
    assert_eq!(
        said(Recording {
            channels: 65,
            ..plain.clone()
        }),
        "a recording has 1 to 64 channels, not 65"
    );
    assert_eq!(
        said(Recording {
            sample_rate: 0,
            ..plain.clone()
        }),
        "the sample rate is 1 to 1000000 Hz, not 0"
    );
    assert_eq!(
        said(Recording {
            sample_frames: u64::MAX,
            ..plain.clone()
        }),
        "18446744073709551615 sample frames are more than a file can hold"
    );
    let mut writer = Writer::new(Vec::new(), &plain).unwrap();
    assert!(matches!(
        writer.push(&[&[0.0], &[0.0]]),
        Err(WriteError::BlockChannels { found: 2, right: 1 })
    ));
    assert!(matches!(
        writer.push(&[&[0.0; 4]]),
        Err(WriteError::SampleFrames {
            found: 4,
            promised: 3
        })
    ));
    writer.push(&[&[0.0; 2]]).unwrap();
    assert!(matches!(
        writer.finish(),
        Err(WriteError::SampleFrames {
            found: 2,
            promised: 3
        })
    ));
    let stereo = Recording {
        channels: 2,
        ..plain
    };
    let mut writer = Writer::new(Vec::new(), &stereo).unwrap();
    assert!(matches!(
        writer.push(&[&[0.0; 2], &[0.0; 1]]),
        Err(WriteError::BlockLength {
            channel: 1,
            found: 1,
            right: 2
        })
    ));
}

proptest! {
    #[test]
    fn any_text_survives(scene in "\\PC{1,40}", note in "\\PC{1,200}", samples in any::<u64>()) {
        let mut recording = Recording::new(48_000, 1, Encoding::S16, 1);
        let trimmed = |text: &str| Some(text.trim().to_owned()).filter(|text| !text.is_empty());
        let ixml = Ixml {
            scene: trimmed(&scene),
            note: trimmed(&note),
            speed: Some(Speed {
                samples_since_midnight: Some(samples),
                ..Speed::default()
            }),
            ..Ixml::default()
        };
        recording.ixml = Some(ixml.clone());
        recording.bext = Some(Bext { description: note.clone(), time_reference: samples, ..Bext::default() });
        let header = open(&written(&recording, &planar(1, 1))).unwrap();
        prop_assert_eq!(header.ixml.unwrap(), ixml);
        let bext = header.bext.unwrap();
        prop_assert_eq!(bext.time_reference, samples);
        prop_assert!(note.starts_with(&bext.description));
        prop_assert!(bext.description.len() >= note.len().min(253));
        prop_assert_eq!(header.problems, vec![]);
    }

    #[test]
    fn any_sample_becomes_the_nearest_integer_or_is_clipped_and_counted(
        samples_in in prop::collection::vec(prop_oneof![-1.1_f32..1.1, -1e-7_f32..1e-7, any::<f32>()], 1..200),
        encoding in prop::sample::select(vec![Encoding::U8, Encoding::S16, Encoding::S24, Encoding::S32]),
    ) {
        let recording = Recording::new(48_000, 1, encoding, samples_in.len() as u64);
        let mut writer = Writer::new(Vec::new(), &recording).unwrap();
        writer.push(&[&samples_in]).unwrap();
        let clipped = writer.clipped();
        let file = writer.finish().unwrap();
        let full_scale = 1_i64 << (encoding.bits() - 1);
        let bytes = usize::from(encoding.bytes());
        let mut beyond = 0;
        for (&sample, field) in samples_in.iter().zip(file[44..].chunks(bytes)) {
            let mut top = [0; 4];
            top[4 - bytes..].copy_from_slice(field);
            let found = match encoding {
                Encoding::U8 => i32::from(field[0]) - 128,
                _ => i32::from_le_bytes(top) >> (32 - encoding.bits()),
            };
            #[expect(clippy::cast_possible_truncation, reason = "`as` saturates; no number is 0")]
            let nearest = (f64::from(sample) * full_scale as f64).round_ties_even() as i64;
            let right = nearest.clamp(-full_scale, full_scale - 1);
            beyond += u64::from(nearest != right);
            prop_assert_eq!(i64::from(found), right, "{}", sample);
        }
        prop_assert_eq!(clipped, beyond);
    }

    #[test]
    fn every_integer_of_24_bits_is_exact(wholes in prop::collection::vec(-8_388_608_i32..8_388_608, 1..200)) {
        let samples_in: Vec<f32> = wholes.iter().map(|&whole| whole as f32 / 8_388_608.0).collect();
        let recording = Recording::new(48_000, 1, Encoding::S24, samples_in.len() as u64);
        let file = written(&recording, std::slice::from_ref(&samples_in));
        prop_assert_eq!(samples(&open(&file).unwrap(), &file, &[50]), vec![samples_in]);
        let bytes: Vec<u8> = wholes.iter().flat_map(|whole| whole.to_le_bytes()[..3].to_vec()).collect();
        prop_assert_eq!(&file[44..44 + bytes.len()], &bytes[..]);
    }
}
