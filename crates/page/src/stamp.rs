//! A recording on its way to a stamped copy.

use js_sys::Uint8Array;
use plumbline_media::stamp::{CopyWriter, Difference, ReadBack, Written};
use plumbline_shoot::stamping::{StampOrder, StampOutcome};
use plumbline_shoot::{report::ReportedError, stamping};
use std::ops::Range;
use tsify::{Ts, Tsify};
use wasm_bindgen::prelude::*;
use web_sys::Blob;

use crate::BlobSource;

/// A stamped copy of a recording, being made and read back. The page pushes the bytes of the
/// [`pieces`](Stamping::pieces) in order and writes down what comes of them; then it pushes those
/// of the finished copy.
#[wasm_bindgen]
#[derive(Debug)]
pub struct Stamping {
    plan: stamping::Stamping,
    stage: Stage,
    /// Where each block lands on its way in; kept, so that a push allocates nothing.
    block: Vec<u8>,
    /// What of the copy the page has not yet taken, and how much of it was taken.
    made: Vec<u8>,
    taken: usize,
}

#[derive(Debug)]
enum Stage {
    Writing(CopyWriter),
    Written(Written),
    ReadingBack(Result<ReadBack, Difference>),
    /// All is said, or the original ended early and there is no copy.
    Done,
}

/// A recording of which what was asked can't be done.
#[wasm_bindgen]
#[derive(Debug)]
pub struct Refusal(pub(crate) ReportedError);

#[wasm_bindgen]
impl Refusal {
    /// What was found.
    #[wasm_bindgen(getter)]
    pub fn text(&self) -> String {
        plumbline_words::sentence(&self.0.text)
    }

    /// What to do.
    #[wasm_bindgen(getter)]
    pub fn remedy(&self) -> String {
        self.0.remedy.clone()
    }
}

#[wasm_bindgen]
impl Stamping {
    /// Plans the copy. Throws a [`Refusal`] where the recording can't be stamped.
    pub fn open(file: Blob, order: &Ts<StampOrder>) -> Result<Stamping, JsValue> {
        let order = order.to_rust().map_err(JsError::from)?;
        let mut source = BlobSource::new(file)?;
        let plan = stamping::Stamping::plan(&mut source, &order).map_err(Refusal)?;
        Ok(Stamping {
            stage: Stage::Writing(plan.copy.writer()),
            plan,
            block: Vec::new(),
            made: Vec::new(),
            taken: 0,
        })
    }

    /// How long the copy will be, in bytes.
    #[wasm_bindgen(getter)]
    pub fn total_bytes(&self) -> f64 {
        self.plan.copy.len() as f64
    }

    /// The bytes of the original to push: of each piece its first, and the one after its last.
    pub fn pieces(&self) -> Vec<f64> {
        let ends = |piece: Range<u64>| [piece.start as f64, piece.end as f64];
        self.plan.copy.pieces().into_iter().flat_map(ends).collect()
    }

    /// Takes the next bytes of the original, in any number, once all that was made is taken.
    pub fn push(&mut self, bytes: &Uint8Array) {
        self.take(bytes);
        self.next();
        if let Stage::Writing(writer) = &mut self.stage {
            writer.push(&self.block, &mut self.made);
        }
    }

    /// Takes the end of the original. False where it came too early.
    pub fn end(&mut self) -> bool {
        self.next();
        if let Stage::Writing(writer) = &self.stage {
            let written = writer.clone().finish(&mut self.made);
            self.stage = written.map_or(Stage::Done, Stage::Written);
        }
        !matches!(self.stage, Stage::Done)
    }

    /// Fills an array of the page's with the next bytes of the copy, and says how many there are;
    /// none where more of the original is needed.
    pub fn fill(&mut self, into: &Uint8Array) -> u32 {
        let left = self.made.get(self.taken..).unwrap_or_default();
        let room = into.length();
        let count = room.min(u32::try_from(left.len()).unwrap_or(room));
        into.subarray(0, count)
            .copy_from(left.get(..count as usize).unwrap_or_default());
        self.taken += count as usize;
        count
    }

    /// Reads the header of the finished copy. All of its bytes are to be pushed then.
    pub fn read_back(&mut self, copy: Blob) -> Result<(), JsValue> {
        if let Stage::Written(written) = self.stage {
            let mut source = BlobSource::new(copy)?;
            let reading = self.plan.copy.read_back(&mut source, written);
            self.stage = Stage::ReadingBack(reading);
        }
        Ok(())
    }

    /// Takes the next bytes of the finished copy, in any number.
    pub fn push_back(&mut self, bytes: &Uint8Array) {
        self.take(bytes);
        if let Stage::ReadingBack(Ok(reading)) = &mut self.stage {
            reading.push(&self.block);
        }
    }

    /// What came of it, in words; none before the copy was read back.
    pub fn finish(&mut self) -> Result<Option<Ts<StampOutcome>>, JsError> {
        match std::mem::replace(&mut self.stage, Stage::Done) {
            Stage::ReadingBack(reading) => {
                let compared = reading.and_then(ReadBack::finish);
                Ok(Some(self.plan.outcome(compared).into_ts()?))
            }
            _ => Ok(None),
        }
    }

    fn take(&mut self, bytes: &Uint8Array) {
        self.block.resize(bytes.length() as usize, 0);
        bytes.copy_to(&mut self.block);
    }

    /// Makes room for what is made next.
    fn next(&mut self) {
        self.made.drain(..self.taken.min(self.made.len()));
        self.taken = 0;
    }
}
