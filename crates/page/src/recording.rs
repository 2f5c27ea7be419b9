//! Recordings on their way from the page to a reading.

use crate::blob::BlobSource;
use js_sys::Uint8Array;
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
    /// reading says what is wrong.
    pub fn open(file: File) -> Result<Recording, JsValue> {
        let name = file.name();
        let mut source = BlobSource::new(file.into())?;
        let state = match RecordingReader::open(&name, &mut source, FrameList::Leave) {
            Ok(reader) => State::Reading(Box::new(reader)),
            Err(reading) => State::Failed(reading),
        };
        Ok(Recording {
            state,
            block: Vec::new(),
        })
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
/// is no code at that place. `rate` is the code's rate as the report names it.
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
        .map_err(|error| JsError::new(&error.text))?
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
