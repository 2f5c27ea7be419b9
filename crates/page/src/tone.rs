//! A tone on its way from the page's settings to a file.

use js_sys::Uint8Array;
use plumbline_timecode::st309::UtcOffset;
use plumbline_tone::{FileWriter, Now, Outcome, Plan, ReadBack, Settings, Sketch};
use tsify::{Ts, Tsify};
use wasm_bindgen::prelude::*;

/// What settings come to, and what is wrong with them.
#[wasm_bindgen]
pub fn sketch(settings: &Ts<Settings>) -> Result<Ts<Sketch>, JsError> {
    Ok(plumbline_tone::sketch(&settings.to_rust()?).into_ts()?)
}

/// The settings that go without saying: what a link leaves out.
#[wasm_bindgen]
pub fn plain_settings() -> Result<Ts<Settings>, JsError> {
    Ok(Settings::default().into_ts()?)
}

/// The settings to begin with. The moment is in milliseconds since the beginning of 1970 in UTC,
/// the offset in minutes that local time is ahead of UTC.
#[wasm_bindgen]
pub fn default_settings(
    unix_milliseconds: f64,
    offset_minutes: i16,
) -> Result<Ts<Settings>, JsError> {
    let now = now(unix_milliseconds, offset_minutes)?;
    Ok(Settings::default_at(now).into_ts()?)
}

/// The address that a clock set to this time of day shows; the moment as above. None where the
/// rate or the count is not right, which a sketch tells at its field.
#[wasm_bindgen]
pub fn now_address(
    settings: &Ts<Settings>,
    unix_milliseconds: f64,
    offset_minutes: i16,
) -> Result<Option<String>, JsError> {
    let now = now(unix_milliseconds, offset_minutes)?;
    Ok(plumbline_tone::now_address(&settings.to_rust()?, now).ok())
}

/// A file being made. The page takes the pieces in order and writes them one after the other.
#[wasm_bindgen]
#[derive(Debug)]
pub struct Making {
    plan: Plan,
    writer: FileWriter,
    /// Where each piece is made; kept, so that a piece allocates nothing here.
    piece: Vec<u8>,
}

#[wasm_bindgen]
impl Making {
    /// A file of these settings. Fails with what is wrong first, where they are not right.
    pub fn open(settings: &Ts<Settings>) -> Result<Making, JsError> {
        let plan = plan(settings)?;
        Ok(Making {
            plan,
            writer: plan.file()?,
            piece: Vec::new(),
        })
    }

    /// How long the whole file will be, in bytes.
    #[wasm_bindgen(getter)]
    pub fn total_bytes(&self) -> f64 {
        self.plan.file_bytes() as f64
    }

    /// What the file should be called.
    #[wasm_bindgen(getter)]
    pub fn file_name(&self) -> String {
        self.plan.file_name()
    }

    /// The next bytes of the file, about a megabyte, in an array of their own; empty after the
    /// last.
    pub fn next_piece(&mut self) -> Result<Uint8Array, JsError> {
        self.writer.next_piece(&mut self.piece)?;
        Ok(Uint8Array::from(self.piece.as_slice()))
    }
}

/// A file being read back. The page pushes all of its bytes in order, the header included, and
/// then asks for the outcome.
#[wasm_bindgen]
#[derive(Debug)]
pub struct ReadingBack {
    read_back: ReadBack,
    /// Where each block lands on its way in; kept, so that a push allocates nothing.
    block: Vec<u8>,
}

#[wasm_bindgen]
impl ReadingBack {
    /// Ready for the first byte of a file that was made from these settings.
    pub fn open(settings: &Ts<Settings>) -> Result<ReadingBack, JsError> {
        Ok(ReadingBack {
            read_back: plan(settings)?.read_back(),
            block: Vec::new(),
        })
    }

    /// Takes the next bytes, in any number.
    pub fn push(&mut self, bytes: &Uint8Array) {
        self.block.resize(bytes.length() as usize, 0);
        bytes.copy_to(&mut self.block);
        self.read_back.push(&self.block);
    }

    /// Whether all is as asked, in words. Ends the reading.
    pub fn finish(self) -> Result<Ts<Outcome>, JsError> {
        Ok(self.read_back.finish().into_ts()?)
    }
}

fn plan(settings: &Ts<Settings>) -> Result<Plan, JsError> {
    Plan::new(&settings.to_rust()?).map_err(|problems| {
        let text = problems.into_iter().next().map(|problem| problem.text);
        JsError::new(&text.unwrap_or_default())
    })
}

fn now(unix_milliseconds: f64, offset_minutes: i16) -> Result<Now, JsError> {
    Now::new(unix_milliseconds, UtcOffset::minutes(offset_minutes)?)
        .ok_or_else(|| JsError::new("this device's clock shows no date"))
}
