//! Writes a recording of known samples and metadata, for other programs to read.
//!
//! `cargo run --release -q -p plumbline-media --example recording -- FILE ENCODING CHANNELS FRAMES`
//!
//! `ENCODING` is one of `U8 S16 S24 S32 F32 F64`. Sample `f` of channel `c` is
//! `((7919 f + 104729 c) mod 256 - 128) / 128`. With a fifth argument, `header`, only what stands
//! before the samples is written.

use std::error::Error;
use std::fs::File;
use std::io::{BufWriter, Write};

use plumbline_media::write::{Recording, Writer};
use plumbline_media::{Bext, Encoding, Hundredths, Ixml, IxmlTrack, Loudness, Speed};

const FRAMES_AT_A_TIME: usize = 4096;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<_> = std::env::args().skip(1).collect();
    let (file, encoding, channels, frames, only_header) = match arguments.as_slice() {
        [file, encoding, channels, frames] => (file, encoding, channels, frames, false),
        [file, encoding, channels, frames, word] if word == "header" => {
            (file, encoding, channels, frames, true)
        }
        _ => return Err("FILE ENCODING CHANNELS FRAMES [header]".into()),
    };
    let recording = recording(encoding, channels.parse()?, frames.parse()?)?;
    let mut sink = BufWriter::new(File::create(file)?);
    if only_header {
        sink.write_all(&recording.header()?)?;
        return Ok(sink.flush()?);
    }
    let mut writer = Writer::new(sink, &recording)?;
    for first in (0..recording.sample_frames).step_by(FRAMES_AT_A_TIME) {
        let last = recording.sample_frames.min(first + FRAMES_AT_A_TIME as u64);
        let planar: Vec<Vec<f32>> = (0..recording.channels)
            .map(|channel| (first..last).map(|frame| sample(frame, channel)).collect())
            .collect();
        let slices: Vec<&[f32]> = planar.iter().map(Vec::as_slice).collect();
        writer.push(&slices)?;
    }
    writer.finish()?;
    Ok(())
}

fn sample(frame: u64, channel: u16) -> f32 {
    let step = (frame * 7919 + u64::from(channel) * 104_729) % 256;
    step as f32 / 128.0 - 1.0
}

fn recording(encoding: &str, channels: u16, frames: u64) -> Result<Recording, Box<dyn Error>> {
    let all = Encoding::ALL;
    let encoding = all
        .into_iter()
        .find(|known| format!("{known:?}") == encoding);
    let mut recording = Recording::new(96_000, channels, encoding.ok_or("an encoding")?, frames);
    recording.bext = Some(bext());
    recording.ixml = Some(ixml(channels));
    Ok(recording)
}

fn bext() -> Bext {
    Bext {
        description: "Ferry, deck two".to_owned(),
        originator: "Plumbline".to_owned(),
        originator_reference: "NO-FERRY-0007".to_owned(),
        origination_date: "2026-05-17".to_owned(),
        origination_time: "23:59:59".to_owned(),
        // 23:59:59:24 at 25 frames a second, in samples at 96 kHz: past 32 bits.
        time_reference: 8_294_396_160,
        version: 2,
        umid: None,
        loudness: Some(Loudness {
            integrated: Some(Hundredths(-2310)),
            ..Loudness::default()
        }),
        coding_history: "A=PCM,F=96000,W=24,M=mono,T=ferry\r\n".to_owned(),
    }
}

fn ixml(channels: u16) -> Ixml {
    let text = |text: &str| Some(text.to_owned());
    Ixml {
        project: text("The Crossing"),
        scene: text("12A <wide> & \"close\""),
        take: text("3"),
        tape: text("Roll 2"),
        note: text("wind on deck, å"),
        circled: Some(true),
        ubits: text("25112601"),
        file_uid: text("NOFERRY0007"),
        speed: Some(Speed {
            timecode_rate: text("25/1"),
            timecode_flag: text("NDF"),
            samples_since_midnight: Some(8_294_396_160),
            timestamp_sample_rate: Some(96_000),
            ..Speed::default()
        }),
        tracks: (1..=u32::from(channels))
            .map(|number| IxmlTrack {
                channel_index: Some(number),
                interleave_index: Some(number),
                name: Some(format!("Track {number}")),
                function: None,
            })
            .collect(),
        ..Ixml::default()
    }
}
