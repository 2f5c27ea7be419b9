//! A tone on its way from the page's settings to a file.

use plumbline_timecode::st309::UtcOffset;
use plumbline_tone::{Now, Settings, Sketch};
use tsify::{Ts, Tsify};
use wasm_bindgen::prelude::*;

/// What settings come to, and what is wrong with them.
#[wasm_bindgen]
pub fn sketch(settings: &Ts<Settings>) -> Result<Ts<Sketch>, JsError> {
    Ok(plumbline_tone::sketch(&settings.to_rust()?).into_ts()?)
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

/// The address that a clock set to this time of day shows; the moment as above. Fails with what
/// is wrong with the rate or the count.
#[wasm_bindgen]
pub fn now_address(
    settings: &Ts<Settings>,
    unix_milliseconds: f64,
    offset_minutes: i16,
) -> Result<String, JsError> {
    let now = now(unix_milliseconds, offset_minutes)?;
    plumbline_tone::now_address(&settings.to_rust()?, now)
        .map_err(|problem| JsError::new(&problem.text))
}

fn now(unix_milliseconds: f64, offset_minutes: i16) -> Result<Now, JsError> {
    Now::new(unix_milliseconds, UtcOffset::minutes(offset_minutes)?)
        .ok_or_else(|| JsError::new("this device's clock shows no date"))
}
