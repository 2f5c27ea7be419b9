//! Recordings on one clock, as the page asks about them.

use plumbline_shoot::lineup::{self, Corrections, Entry, Moment, Shoot, ShootClock, Tick};
use serde::{Deserialize, Serialize};
use tsify::{Ts, Tsify};
use wasm_bindgen::prelude::*;

/// What was read and what a person changed.
#[derive(Debug, Default, Serialize, Deserialize, Tsify)]
pub struct ShootInput {
    entries: Vec<Entry>,
    corrections: Corrections,
}

/// Marks along a day.
#[derive(Debug, Serialize, Tsify)]
pub struct Ticks {
    ticks: Vec<Tick>,
}

/// Recordings on one clock.
#[wasm_bindgen]
#[derive(Debug)]
pub struct OneClock {
    input: ShootInput,
    clock: Option<ShootClock>,
}

#[wasm_bindgen]
impl OneClock {
    /// Lays them on it.
    #[wasm_bindgen(constructor)]
    pub fn new(input: &Ts<ShootInput>) -> Result<OneClock, JsError> {
        let input = input.to_rust()?;
        let clock = lineup::line_up(&input.entries, &input.corrections).clock;
        Ok(OneClock { input, clock })
    }

    /// Everything that a page shows of it.
    pub fn shown(&self) -> Result<Ts<Shoot>, JsError> {
        Ok(lineup::shoot(&self.input.entries, &self.input.corrections).into_ts()?)
    }

    /// Marks between two instants, in seconds on the clock.
    pub fn ticks(&self, from: f64, to: f64, at_most: u32) -> Result<Ts<Ticks>, JsError> {
        let (from, to) = (Moment(from), Moment(to));
        let ticks = self
            .clock
            .map(|clock| lineup::ticks(clock, from, to, at_most));
        let ticks = ticks.unwrap_or_default();
        Ok(Ticks { ticks }.into_ts()?)
    }

    /// The address of the frame in progress, in seconds on the clock.
    pub fn address(&self, second: f64) -> String {
        let address = self.clock.map(|clock| clock.address(Moment(second)));
        address
            .map(|address| address.to_string())
            .unwrap_or_default()
    }

    /// How long a frame is, in seconds; 0 where there is no clock.
    pub fn frame(&self) -> f64 {
        self.clock.map_or(0.0, |clock| clock.seconds(1.0))
    }
}
