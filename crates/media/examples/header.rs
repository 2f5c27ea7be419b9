//! Says what a recording's header says and what its samples add up to: one JSON object a file.
//!
//! `cargo run --release -q -p plumbline-media --example header -- FILE…`
//!
//! `crc32` is, for each channel, the CRC-32 (IEEE 802.3) of its samples as 32-bit floating point,
//! least significant byte first; `first` its first four samples.

use std::fs::File;
use std::io::{Read, Seek, SeekFrom};
use std::process::ExitCode;

use plumbline_media::{Bext, Header, Ixml, IxmlTrack, MediaError, Samples, Speed, When, open};
use serde_json::{Value, json};

fn main() -> ExitCode {
    let mut code = ExitCode::SUCCESS;
    for file in std::env::args().skip(1) {
        let facts = facts(&file).unwrap_or_else(|error| {
            code = ExitCode::FAILURE;
            json!({ "file": file, "error": error })
        });
        println!("{facts}");
    }
    code
}

fn facts(file: &str) -> Result<Value, Value> {
    let failed = |error: std::io::Error| json!({ "kind": "source", "text": error.to_string() });
    let mut source = File::open(file).map_err(failed)?;
    let header = open(&mut source).map_err(|error| said(&error))?;
    let samples = samples(&mut source, &header).map_err(failed)?;
    Ok(json!({
        "file": file,
        "container": header.container.name(),
        "encoding": header.format().map(|format| format!("{:?}", format.encoding())),
        "valid_bits": header.tracks.first().and_then(|track| track.bits),
        "sample_rate": header.sample_rate,
        "channels": header.channels(),
        "sample_frames": header.sample_frames,
        "data": [header.data().start, header.data().end],
        "bext": header.bext.as_ref().map(bext),
        "ixml": header.ixml.as_ref().map(ixml),
        "creation": header.creation.as_ref().map(|creation| json!({
            "place": creation.place,
            "when": match &creation.when {
                When::Written(text) => json!(text),
                When::Utc { date, second } => {
                    json!([date.year(), date.month(), date.day(), second])
                }
            },
        })),
        "problems": header.problems.iter().map(said).collect::<Vec<_>>(),
        "first": samples.iter().map(|channel| channel.first.clone()).collect::<Vec<_>>(),
        "crc32": samples.iter().map(|channel| !channel.crc).collect::<Vec<_>>(),
    }))
}

fn said(error: &MediaError) -> Value {
    json!({
        "kind": error.kind(),
        "place": error.place(),
        "at": error.at(),
        "text": error.to_string(),
        "remedy": error.remedy(),
    })
}

fn bext(bext: &Bext) -> Value {
    json!({
        "description": bext.description,
        "originator": bext.originator,
        "originator_reference": bext.originator_reference,
        "origination_date": bext.origination_date,
        "origination_time": bext.origination_time,
        "time_reference": bext.time_reference,
        "version": bext.version,
        "umid": bext.umid.map(|umid| umid.map(|byte| format!("{byte:02x}")).concat()),
        "integrated_loudness": bext.loudness.and_then(|loudness| loudness.integrated).map(|value| value.0),
        "coding_history": bext.coding_history,
    })
}

fn ixml(ixml: &Ixml) -> Value {
    json!({
        "project": ixml.project,
        "scene": ixml.scene,
        "take": ixml.take,
        "tape": ixml.tape,
        "note": ixml.note,
        "circled": ixml.circled,
        "ubits": ixml.ubits,
        "speed": ixml.speed.as_ref().map(speed),
        "tracks": ixml.tracks.iter().map(track).collect::<Vec<_>>(),
    })
}

fn speed(speed: &Speed) -> Value {
    json!({
        "timecode_rate": speed.timecode_rate,
        "timecode_flag": speed.timecode_flag,
        "timebase": speed.timebase().map(|timebase| timebase.to_string()),
        "samples_since_midnight": speed.samples_since_midnight,
        "timestamp_sample_rate": speed.timestamp_sample_rate,
    })
}

fn track(track: &IxmlTrack) -> Value {
    json!({
        "channel_index": track.channel_index,
        "interleave_index": track.interleave_index,
        "name": track.name,
        "function": track.function,
    })
}

/// What one channel's samples add up to.
#[derive(Clone)]
struct Sum {
    first: Vec<f32>,
    crc: u32,
}

fn samples(source: &mut (impl Read + Seek), header: &Header) -> std::io::Result<Vec<Sum>> {
    let empty = Sum {
        first: Vec::new(),
        crc: u32::MAX,
    };
    let mut sums = vec![empty; header.channels().into()];
    let mut samples = Samples::new(header).map_err(std::io::Error::other)?;
    let mut block = |first: u16, planes: &[&[f32]]| {
        let sums = sums.get_mut(usize::from(first)..).unwrap_or_default();
        for (sum, samples) in sums.iter_mut().zip(planes) {
            let missing = 4 - sum.first.len();
            sum.first.extend(samples.iter().take(missing));
            sum.crc = samples
                .iter()
                .flat_map(|sample| sample.to_le_bytes())
                .fold(sum.crc, crc);
        }
    };
    let mut window = vec![0; 1 << 20];
    for piece in &header.pieces {
        source.seek(SeekFrom::Start(piece.bytes.start))?;
        let mut bytes = source.take(piece.bytes.end - piece.bytes.start);
        loop {
            let count = bytes.read(&mut window)?;
            if count == 0 {
                break;
            }
            samples.push(window.get(..count).unwrap_or_default(), &mut block);
        }
    }
    samples.finish(&mut block);
    Ok(sums)
}

/// One byte more of a CRC-32, bit by bit.
fn crc(crc: u32, byte: u8) -> u32 {
    (0..8).fold(crc ^ u32::from(byte), |crc, _| {
        let polynomial = if crc & 1 == 1 { 0xEDB8_8320 } else { 0 };
        crc >> 1 ^ polynomial
    })
}
