//! Recordings lined up by their sound, from the page's files.

use crate::{BlobSource, Refusal};
use js_sys::Uint8Array;
use plumbline_shoot::lineup::SoundPrior;
use plumbline_shoot::sounds::{self, CodedChannels, Heard, Print, SoundAnswer, SoundPrinter};
use std::ops::Range;
use tsify::{Ts, Tsify as _};
use wasm_bindgen::prelude::*;
use web_sys::Blob;

/// The print of a recording, being made. The page pushes the bytes of the
/// [`pieces`](SoundPrint::pieces) in order.
#[wasm_bindgen]
#[derive(Debug)]
pub struct SoundPrint {
    printer: SoundPrinter,
    /// Where each block lands on its way in; kept, so that a push allocates nothing.
    block: Vec<u8>,
}

#[wasm_bindgen]
impl SoundPrint {
    /// Reads the header; `coded` are the channels with code, counted from 0. Throws a [`Refusal`]
    /// where there is nothing to make a print of.
    pub fn open(file: Blob, coded: Vec<u16>) -> Result<SoundPrint, JsValue> {
        let mut source = BlobSource::new(file)?;
        let printer = SoundPrinter::open(&mut source, &CodedChannels(coded)).map_err(Refusal)?;
        Ok(SoundPrint {
            printer,
            block: Vec::new(),
        })
    }

    /// The bytes of the file to push: of each piece its first, and the one after its last.
    pub fn pieces(&self) -> Vec<f64> {
        let ends = |piece: Range<u64>| [piece.start as f64, piece.end as f64];
        self.printer.pieces().into_iter().flat_map(ends).collect()
    }

    /// Takes the next bytes, in any number.
    pub fn push(&mut self, bytes: &Uint8Array) {
        self.block.resize(bytes.length() as usize, 0);
        bytes.copy_to(&mut self.block);
        self.printer.push(&self.block);
    }

    /// The print as bytes. Ends the printing.
    pub fn finish(self) -> Vec<u8> {
        self.printer.finish().to_bytes()
    }
}

/// A recording beside its print.
#[wasm_bindgen]
#[derive(Debug)]
pub struct SoundSide(Heard<BlobSource>);

#[wasm_bindgen]
impl SoundSide {
    /// A file, the print that was made of it, and its channels with code.
    pub fn open(file: Blob, print: &[u8], coded: Vec<u16>) -> Result<SoundSide, JsValue> {
        let print = Print::from_bytes(print).map_err(JsError::from)?;
        let source = BlobSource::new(file)?;
        let heard = Heard::open(source, &CodedChannels(coded), print).map_err(Refusal)?;
        Ok(SoundSide(heard))
    }
}

/// Where the sound of `second` puts it beside `first`, whose key is `beside`. Throws a [`Refusal`]
/// where a file can't be read any more.
#[wasm_bindgen]
pub fn line_up_by_sound(
    beside: &str,
    first: &mut SoundSide,
    second: &mut SoundSide,
    prior: Option<Ts<SoundPrior>>,
) -> Result<Ts<SoundAnswer>, JsValue> {
    let prior = prior.map(|prior| prior.to_rust()).transpose();
    let prior = prior.map_err(JsError::from)?;
    let answer = sounds::line_up(beside, &mut first.0, &mut second.0, prior).map_err(Refusal)?;
    Ok(answer.into_ts().map_err(JsError::from)?)
}
