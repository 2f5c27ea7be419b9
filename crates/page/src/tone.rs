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
    /// How much of the piece the page has.
    taken: usize,
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
            taken: 0,
        })
    }

    /// How long the whole file will be, in bytes.
    #[wasm_bindgen(getter)]
    pub fn total_bytes(&self) -> f64 {
        self.plan.file_bytes() as f64
    }

    /// Fills an array of the page's with the next bytes of the file, and says how many there are:
    /// as many as fit, but for the end; none after it. The page uses one array again and again, so
    /// that a long file leaves nothing to be cleared away.
    pub fn fill(&mut self, into: &Uint8Array) -> Result<u32, JsError> {
        let mut filled = 0;
        while filled < into.length() {
            if self.taken == self.piece.len() {
                self.taken = 0;
                if !self.writer.next_piece(&mut self.piece)? {
                    break;
                }
            }
            filled += self.hand_over(into, filled);
        }
        Ok(filled)
    }

    /// Copies what is left of the piece, as far as it fits from `at` on.
    fn hand_over(&mut self, into: &Uint8Array, at: u32) -> u32 {
        let left = self.piece.get(self.taken..).unwrap_or_default();
        let room = into.length() - at;
        let count = room.min(u32::try_from(left.len()).unwrap_or(room));
        into.subarray(at, at + count)
            .copy_from(left.get(..count as usize).unwrap_or_default());
        self.taken += count as usize;
        count
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
