//! The parts of Work out: a form goes in, an answer comes out. None of them fails.

use plumbline_sums::{
    AddressForm, Answer, ClocksForm, RowsAnswer, RowsForm, SpeedsForm, UserBitsForm,
};
use tsify::{Ts, Tsify};
use wasm_bindgen::prelude::*;

/// What stands in the form to begin with, and what a link leaves out.
#[wasm_bindgen]
pub fn default_address_form() -> Result<Ts<AddressForm>, JsError> {
    Ok(AddressForm::default().into_ts()?)
}

/// One address, everything about it.
#[wasm_bindgen]
pub fn work_out_address(form: &Ts<AddressForm>) -> Result<Ts<Answer>, JsError> {
    Ok(plumbline_sums::address(&form.to_rust()?).into_ts()?)
}

/// What stands in the form to begin with.
#[wasm_bindgen]
pub fn default_rows_form() -> Result<Ts<RowsForm>, JsError> {
    Ok(RowsForm::default().into_ts()?)
}

/// A list to add up.
#[wasm_bindgen]
pub fn work_out_rows(form: &Ts<RowsForm>) -> Result<Ts<RowsAnswer>, JsError> {
    Ok(plumbline_sums::rows(&form.to_rust()?).into_ts()?)
}

/// What stands in the form to begin with.
#[wasm_bindgen]
pub fn default_clocks_form() -> Result<Ts<ClocksForm>, JsError> {
    Ok(ClocksForm::default().into_ts()?)
}

/// Drift, how long two clocks hold together, and what was seen of two.
#[wasm_bindgen]
pub fn work_out_clocks(form: &Ts<ClocksForm>) -> Result<Ts<Answer>, JsError> {
    Ok(plumbline_sums::clocks(&form.to_rust()?).into_ts()?)
}

/// What stands in the form to begin with.
#[wasm_bindgen]
pub fn default_speeds_form() -> Result<Ts<SpeedsForm>, JsError> {
    Ok(SpeedsForm::default().into_ts()?)
}

/// Material shot at one rate and played at another.
#[wasm_bindgen]
pub fn work_out_speeds(form: &Ts<SpeedsForm>) -> Result<Ts<Answer>, JsError> {
    Ok(plumbline_sums::speeds(&form.to_rust()?).into_ts()?)
}

/// What stands in the form to begin with.
#[wasm_bindgen]
pub fn default_user_bits_form() -> Result<Ts<UserBitsForm>, JsError> {
    Ok(UserBitsForm::default().into_ts()?)
}

/// User bits, read and written in every meaning.
#[wasm_bindgen]
pub fn work_out_user_bits(form: &Ts<UserBitsForm>) -> Result<Ts<Answer>, JsError> {
    Ok(plumbline_sums::user_bits(&form.to_rust()?).into_ts()?)
}
