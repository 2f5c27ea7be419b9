//! The worksheet: lines of arithmetic as they were typed, and what they come to.

use plumbline_sums::worksheet::{Topic, Worked, Worksheet};
use tsify::{Ts, Tsify};
use wasm_bindgen::prelude::*;

/// What a sheet comes to. Nothing that is typed makes it fail.
#[wasm_bindgen]
pub fn worksheet(sheet: &Ts<Worksheet>) -> Result<Ts<Worked>, JsError> {
    Ok(plumbline_sums::worksheet::worksheet(&sheet.to_rust()?).into_ts()?)
}

/// An empty sheet.
#[wasm_bindgen]
pub fn default_worksheet() -> Result<Ts<Worksheet>, JsError> {
    Ok(Worksheet::default().into_ts()?)
}

/// The syntax explained, with examples.
#[wasm_bindgen]
pub fn worksheet_help() -> Result<Vec<Ts<Topic>>, JsError> {
    let topics = plumbline_sums::worksheet::help();
    Ok(topics
        .iter()
        .map(Tsify::into_ts)
        .collect::<Result<_, _>>()?)
}
