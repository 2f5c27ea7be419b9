//! Live code on its way from the page's settings to a player.

use plumbline_timecode::st309::UtcOffset;
use plumbline_tone::{
    ClockReading, Clocks, CodeClock, Heard, LiveStart, OutputRate, Settings, Ticking,
};
use plumbline_words::Problem;
use serde::{Deserialize, Serialize};
use tsify::{Ts, Tsify};
use wasm_bindgen::prelude::*;

/// What live code is asked for.
#[derive(Debug, Clone, PartialEq, Deserialize, Tsify)]
pub struct LiveRequest {
    /// Where it is to start.
    pub start: LiveFrom,
    /// What is to be heard of it.
    pub heard: LiveHeard,
    /// How many samples a second the output has.
    pub output_hertz: u32,
}

/// Where live code is to start.
#[derive(Debug, Clone, PartialEq, Deserialize, Tsify)]
#[serde(rename_all = "kebab-case", tag = "from")]
pub enum LiveFrom {
    /// From the address that was typed.
    Typed,
    /// From the time of day.
    TimeOfDay {
        /// How many minutes the device's local time is ahead of UTC.
        offset_minutes: i16,
        /// What its clocks said while its output ran, the last reading last.
        readings: Vec<ClockReading>,
    },
    /// From a clock that is held.
    Held {
        /// How it runs.
        ticking: Ticking,
        /// As for the time of day.
        readings: Vec<ClockReading>,
    },
}

/// What is to be heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, Tsify)]
#[serde(rename_all = "kebab-case")]
pub enum LiveHeard {
    /// The code.
    Code,
    /// Nothing but a beep with each flash of the screen.
    Beeps,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Tsify)]
#[serde(rename_all = "kebab-case", tag = "is")]
pub enum LiveAnswer {
    /// An order, as the bytes that a player takes.
    Order {
        /// They.
        bytes: Vec<u8>,
    },
    /// Settings that are not right.
    Wrong {
        /// What is wrong with each.
        problems: Vec<Problem>,
    },
}

/// The order for code as it is set.
#[wasm_bindgen]
pub fn live_order(
    settings: &Ts<Settings>,
    request: &Ts<LiveRequest>,
) -> Result<Ts<LiveAnswer>, JsError> {
    let LiveRequest {
        start,
        heard,
        output_hertz,
    } = request.to_rust()?;
    let readings: Vec<Clocks>;
    let start = match start {
        LiveFrom::Typed => LiveStart::Typed,
        LiveFrom::TimeOfDay {
            offset_minutes,
            readings: read,
        } => {
            readings = read.iter().filter_map(Clocks::new).collect();
            LiveStart::TimeOfDay {
                offset: UtcOffset::minutes(offset_minutes)?,
                readings: &readings,
            }
        }
        LiveFrom::Held {
            ticking,
            readings: read,
        } => {
            readings = read.iter().filter_map(Clocks::new).collect();
            LiveStart::Held {
                clock: CodeClock::try_from(&ticking)?,
                readings: &readings,
            }
        }
    };
    let heard = match heard {
        LiveHeard::Code => Heard::Code,
        LiveHeard::Beeps => Heard::Beeps,
    };
    let rate = OutputRate::hertz(output_hertz)?;
    let answer = match plumbline_tone::live_order(&settings.to_rust()?, start, rate, heard) {
        Ok(order) => LiveAnswer::Order {
            bytes: order.to_bytes().to_vec(),
        },
        Err(problems) => LiveAnswer::Wrong { problems },
    };
    Ok(answer.into_ts()?)
}
