//! Recordings on their way from the page to a reading.

use crate::blob::BlobSource;
use crate::stamp::Refusal;
use js_sys::{Float32Array, Uint8Array};
use plumbline_media::{Decoders, OutsideDecoder, OutsidePacket};
use plumbline_shoot::reading::{CodewordReading, Reading};
use plumbline_shoot::{DemoRecording, DemoShoot, FrameList, RecordingReader};
use std::ops::Range;
use tsify::{Ts, Tsify};
use wasm_bindgen::prelude::*;
use web_sys::{Blob, File};

/// A recording being read. The page pushes the bytes of the [`pieces`](Recording::pieces) in
/// order and then asks for the reading.
#[wasm_bindgen]
#[derive(Debug)]
pub struct Recording {
    state: State,
    /// Where each block lands on its way in; kept, so that a push allocates nothing.
    block: Vec<u8>,
    /// The same for what the browser's decoders make.
    decoded: Vec<f32>,
}

#[derive(Debug)]
enum State {
    Reading(Box<RecordingReader>),
    /// The header could not be read; the reading says why.
    Failed(Box<Reading>),
}

#[wasm_bindgen]
impl Recording {
    /// Reads the header. A file that is no recording gives a recording without data, and its
    /// reading says what is wrong. It may want the browser's [`decoders`](Recording::decoders).
    pub fn open(file: File) -> Result<Recording, JsValue> {
        Recording::open_for(file, Decoders::OwnAndOutside)
    }

    /// The same where the browser has no decoder: its reading says so.
    pub fn open_alone(file: File) -> Result<Recording, JsValue> {
        Recording::open_for(file, Decoders::Own)
    }

    fn open_for(file: File, decoders: Decoders) -> Result<Recording, JsValue> {
        let name = file.name();
        let mut source = BlobSource::new(file.into())?;
        let state = match RecordingReader::open_for(&name, &mut source, decoders, FrameList::Leave)
        {
            Ok(reader) => State::Reading(Box::new(reader)),
            Err(reading) => State::Failed(reading),
        };
        Ok(Recording {
            state,
            block: Vec::new(),
            decoded: Vec::new(),
        })
    }

    /// The decoders of the browser that are wanted, one a track. After each push, the packets that
    /// are then there go to them.
    pub fn decoders(&self) -> Vec<WantedDecoder> {
        let State::Reading(reader) = &self.state else {
            return Vec::new();
        };
        let wanted = |(track, decoder): (usize, &OutsideDecoder)| WantedDecoder {
            track,
            decoder: decoder.clone(),
        };
        reader.outside().map(wanted).collect()
    }

    /// The next packet for a decoder of the browser, of those that the bytes so far hold.
    pub fn next_packet(&mut self) -> Option<Packet> {
        match &mut self.state {
            State::Reading(reader) => reader.next_packet().map(Packet),
            State::Failed(_) => None,
        }
    }

    /// Takes what the decoder of a track made: so many channels, one after the other in `planes`,
    /// that begin at this sample frame of the track, by the count of [`Packet::at`].
    pub fn decoded(&mut self, track: usize, at: f64, planes: &Float32Array, channels: usize) {
        let State::Reading(reader) = &mut self.state else {
            return;
        };
        self.decoded.resize(planes.length() as usize, 0.0);
        planes.copy_to(&mut self.decoded);
        let frames = (self.decoded.len() / channels.max(1)).max(1);
        let planes: Vec<&[f32]> = self.decoded.chunks_exact(frames).collect();
        reader.decoded(track, place(at), &planes);
    }

    /// The decoder of a track could not decode the packet that begins there.
    pub fn lost(&mut self, track: usize, at: f64) {
        if let State::Reading(reader) = &mut self.state {
            reader.lost(track, place(at));
        }
    }

    /// There will be no more bytes: the last packets are there.
    pub fn end_of_bytes(&mut self) {
        if let State::Reading(reader) = &mut self.state {
            reader.end_of_bytes();
        }
    }

    /// The bytes of the file to push: of each piece its first, and the one after its last.
    pub fn pieces(&self) -> Vec<f64> {
        let pieces = match &self.state {
            State::Reading(reader) => reader.pieces(),
            State::Failed(_) => Vec::new(),
        };
        let ends = |piece: Range<u64>| [piece.start as f64, piece.end as f64];
        pieces.into_iter().flat_map(ends).collect()
    }

    /// Takes the next bytes, in any number.
    pub fn push(&mut self, bytes: &Uint8Array) {
        self.take(bytes);
        if let State::Reading(reader) = &mut self.state {
            reader.push(&self.block);
        }
    }

    /// Takes the next bytes and does nothing with them: what the way into the module costs alone.
    pub fn pass(&mut self, bytes: &Uint8Array) {
        self.take(bytes);
    }

    fn take(&mut self, bytes: &Uint8Array) {
        self.block.resize(bytes.length() as usize, 0);
        bytes.copy_to(&mut self.block);
    }

    /// What is known now.
    pub fn so_far(&self) -> Result<Ts<Reading>, JsError> {
        let reading = match &self.state {
            State::Reading(reader) => &reader.so_far(),
            State::Failed(reading) => reading.as_ref(),
        };
        Ok(reading.into_ts()?)
    }

    /// The whole reading, once all bytes have been pushed. Ends the recording.
    pub fn finish(self) -> Result<Finished, JsError> {
        let reading = match self.state {
            State::Reading(reader) => reader.finish(),
            State::Failed(reading) => *reading,
        };
        Ok(Finished {
            csv: plumbline_shoot::csv(&reading.report),
            reading: reading.into_ts()?,
        })
    }
}

/// A sample frame by its number.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "saturates, at 0 too"
)]
fn place(at: f64) -> u64 {
    at as u64
}

/// A decoder that a track wants of the browser: the members of `AudioDecoderConfig`, as
/// `WebCodecs` has them.
#[wasm_bindgen]
#[derive(Debug)]
pub struct WantedDecoder {
    /// Which track's.
    #[wasm_bindgen(readonly)]
    pub track: usize,
    decoder: OutsideDecoder,
}

#[wasm_bindgen]
impl WantedDecoder {
    /// The codec's registered name.
    #[wasm_bindgen(getter)]
    pub fn codec(&self) -> String {
        self.decoder.codec.clone()
    }

    /// Sample frames a second of what it makes.
    #[wasm_bindgen(getter)]
    pub fn sample_rate(&self) -> u32 {
        self.decoder.sample_rate
    }

    /// How many channels it makes.
    #[wasm_bindgen(getter)]
    pub fn channels(&self) -> u16 {
        self.decoder.channels
    }

    /// The codec's own set-up.
    #[wasm_bindgen(getter)]
    pub fn description(&self) -> Vec<u8> {
        self.decoder.description.clone()
    }
}

/// A packet for a decoder of the browser.
#[wasm_bindgen]
#[derive(Debug)]
pub struct Packet(OutsidePacket);

#[wasm_bindgen]
impl Packet {
    /// Whose it is.
    #[wasm_bindgen(getter)]
    pub fn track(&self) -> usize {
        self.0.track
    }

    /// The sample frame of the track at which it begins.
    #[wasm_bindgen(getter)]
    pub fn at(&self) -> f64 {
        self.0.at as f64
    }

    /// How many sample frames it has.
    #[wasm_bindgen(getter)]
    pub fn frames(&self) -> u32 {
        self.0.frames
    }

    /// What the decoder wants. Ends the packet.
    pub fn into_bytes(self) -> Vec<u8> {
        self.0.bytes
    }
}

/// A reading and its report as a table.
#[wasm_bindgen]
#[derive(Debug)]
pub struct Finished {
    reading: Ts<Reading>,
    csv: String,
}

#[wasm_bindgen]
impl Finished {
    /// The reading.
    #[wasm_bindgen(getter)]
    pub fn reading(&self) -> Ts<Reading> {
        self.reading.clone()
    }

    /// The report as comma-separated values.
    #[wasm_bindgen(getter)]
    pub fn csv(&self) -> String {
        self.csv.clone()
    }
}

/// The codeword nearest to `second` of the recording, read again from the file; none where there
/// is no code at that place. `rate` is the code's rate as the report names it. Throws a [`Refusal`]
/// where places of the file can't be read again.
#[wasm_bindgen]
pub fn codeword_at(
    file: Blob,
    channel: u16,
    rate: &str,
    second: f64,
) -> Result<Option<Ts<CodewordReading>>, JsValue> {
    let rate = rate.parse().map_err(JsError::from)?;
    let mut source = BlobSource::new(file)?;
    plumbline_shoot::codeword_at(&mut source, channel, rate, second)
        .map_err(Refusal)?
        .map(|codeword| {
            codeword
                .into_ts()
                .map_err(|error| JsError::from(error).into())
        })
        .transpose()
}

/// Recordings made up to show what the page does: one alone, and those of a day.
#[wasm_bindgen]
#[derive(Debug)]
pub struct Demo(DemoRecording);

#[wasm_bindgen]
impl Demo {
    /// Makes the one alone.
    pub fn make() -> Demo {
        Demo(plumbline_shoot::demo())
    }

    /// How many recordings the day has.
    pub fn of_day() -> usize {
        DemoShoot::len()
    }

    /// Makes one of the day, counted from 0.
    pub fn make_of_day(number: usize) -> Option<Demo> {
        DemoShoot::make(number).map(Demo)
    }

    /// The folder of one of the day; empty where there is none.
    pub fn folder_of_day(number: usize) -> String {
        DemoShoot::place(number)
            .map_or("", |(folder, _)| folder)
            .to_owned()
    }

    /// The name of one of the day; empty where there is none.
    pub fn name_of_day(number: usize) -> String {
        DemoShoot::place(number)
            .map_or("", |(_, name)| name)
            .to_owned()
    }

    /// Its file name.
    #[wasm_bindgen(getter)]
    pub fn name(&self) -> String {
        self.0.name.clone()
    }

    /// The whole file. Ends the demo.
    pub fn into_bytes(self) -> Vec<u8> {
        self.0.bytes
    }
}
