//! Listening, on its way between an input and the page.

use js_sys::{Array, Float32Array};
use plumbline_listen::{FoundIn, Heard, Held, HeldNow, Listener, Plan, Planned, TimeOfDay};
use plumbline_shoot::handover::{self, Mark};
use plumbline_timecode::SampleRate;
use plumbline_timecode::st309::UtcOffset;
use plumbline_tone::{CodeClock, Ticking};
use plumbline_words::Problem;
use serde::{Deserialize, Serialize};
use tsify::{Ts, Tsify};
use wasm_bindgen::prelude::*;

/// An input as a browser describes it.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, Tsify)]
pub struct InputFacts {
    /// Samples a second.
    pub hertz: u32,
    /// How many channels it has.
    pub channels: u16,
    /// How long it takes, in milliseconds, as far as that is known.
    pub latency: f64,
    /// By how many milliseconds since 1970 the device's time of day is ahead of the page's clock.
    pub time_of_day_ahead: f64,
    /// How many minutes its local time is ahead of UTC.
    pub offset_minutes: i16,
}

/// What was recorded, but for the bytes of its sound.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Tsify)]
pub struct RecordedParts {
    /// The bytes before the sound.
    pub header: Vec<u8>,
    /// Those behind it.
    pub after: Vec<u8>,
    /// What the file should be called.
    pub name: String,
    /// The time address at its first sample, where there was code.
    pub starts_at: Option<String>,
}

/// An input that is listened to.
#[wasm_bindgen]
#[derive(Debug)]
pub struct Listening {
    listener: Listener,
    /// What the page's clock said last.
    page_milliseconds: f64,
}

#[wasm_bindgen]
impl Listening {
    /// Ready for the first sample.
    #[wasm_bindgen(constructor)]
    pub fn new(input: &Ts<InputFacts>) -> Result<Listening, JsError> {
        let input = input.to_rust()?;
        let rate = SampleRate::hertz(input.hertz)?;
        let mut listener = Listener::new(rate, input.channels, input.latency);
        listener.set_time_of_day(TimeOfDay {
            ahead: input.time_of_day_ahead,
            offset: UtcOffset::minutes(input.offset_minutes)?,
        });
        Ok(Self {
            listener,
            page_milliseconds: 0.0,
        })
    }

    /// Takes a reading of the page's clock: how many samples the input had counted at a moment.
    pub fn read_clock(&mut self, page_milliseconds: f64, samples: f64) {
        self.page_milliseconds = page_milliseconds;
        self.listener.read_clock(page_milliseconds, samples);
    }

    /// Hears samples, a `Float32Array` for each channel; `number` is that of the first of them, as
    /// the input counts.
    pub fn push(&mut self, number: f64, planes: &Array) {
        let planes: Vec<Vec<f32>> = (planes.iter())
            .filter_map(|plane| plane.dyn_into::<Float32Array>().ok())
            .map(|plane| plane.to_vec())
            .collect();
        let planes: Vec<&[f32]> = planes.iter().map(Vec::as_slice).collect();
        #[expect(clippy::cast_possible_truncation, reason = "`as` saturates")]
        self.listener.push(number as i64, &planes);
    }

    /// Compares with a plan from now on. One that is not right is none.
    pub fn expect(&mut self, planned: &Ts<Planned>) -> Result<(), JsError> {
        let plan = Plan::new(&planned.to_rust()?).unwrap_or_default();
        self.listener.expect(plan);
        Ok(())
    }

    /// Compares with a clock that is held, or with none.
    pub fn compare_with(&mut self, held: Option<Ts<Ticking>>) -> Result<(), JsError> {
        let ticking = held.map(|held| held.to_rust()).transpose()?;
        let clock = ticking.as_ref().map(CodeClock::try_from).transpose()?;
        self.listener.compare_with(clock);
        Ok(())
    }

    /// A clock set from a channel's code, at a moment of the page's clock.
    pub fn jam(&self, channel: u16, page_milliseconds: f64) -> Result<Option<Ts<Held>>, JsError> {
        let held = self.listener.jam(channel, page_milliseconds);
        Ok(held.map(|held| held.into_ts()).transpose()?)
    }

    /// Records what comes in from now on.
    pub fn record(&mut self) {
        self.listener.record();
    }

    /// The bytes of what was recorded since this was asked last.
    pub fn take_recorded(&mut self) -> Vec<u8> {
        self.listener.take_recorded()
    }

    /// Records no more: what stands before the bytes, behind them, and what the file should be
    /// called.
    pub fn end_record(&mut self) -> Result<Option<Ts<RecordedParts>>, JsError> {
        let recorded = self.listener.end_record();
        let parts = recorded.map(|recorded| RecordedParts {
            header: recorded.header,
            after: recorded.after,
            name: recorded.name,
            starts_at: recorded.starts_at,
        });
        Ok(parts.map(|parts| parts.into_ts()).transpose()?)
    }

    /// How many channels have code now.
    pub fn codes(&self) -> usize {
        self.listener.codes()
    }

    /// What is heard now.
    pub fn heard(&self) -> Result<Ts<Heard>, JsError> {
        Ok(self.listener.heard(self.page_milliseconds).into_ts()?)
    }

    /// What is wrong with each channel's code.
    pub fn findings(&self) -> Result<Vec<Ts<FoundIn>>, JsError> {
        let found = self.listener.findings().into_iter();
        Ok(found
            .map(|found| found.into_ts())
            .collect::<Result<_, _>>()?)
    }
}

/// The address that code is at, at a moment of the page's clock.
#[wasm_bindgen]
pub fn ticking_address(ticking: &Ts<Ticking>, page_milliseconds: f64) -> Result<String, JsError> {
    let clock = CodeClock::try_from(&ticking.to_rust()?)?;
    Ok(clock.address_at(page_milliseconds).to_string())
}

/// What a clock that is held says at a moment of the page's clock, when the time of day is so many
/// milliseconds ahead of that.
#[wasm_bindgen]
pub fn held_now(
    held: &Ts<Held>,
    page_milliseconds: f64,
    time_of_day_ahead: f64,
) -> Result<Ts<HeldNow>, JsError> {
    let now = (held.to_rust()?).now(page_milliseconds, time_of_day_ahead)?;
    Ok(now.into_ts()?)
}

/// A clock that another page held, on this page at a moment of its clock, when the time of day is so
/// many milliseconds ahead of that.
#[wasm_bindgen]
pub fn held_on_page(
    held: &Ts<Held>,
    page_milliseconds: f64,
    time_of_day_ahead: f64,
) -> Result<Ts<Held>, JsError> {
    let held = (held.to_rust()?).on_page(page_milliseconds, time_of_day_ahead)?;
    Ok(held.into_ts()?)
}

/// A clock that was jammed again, with how far the one before had drifted.
#[wasm_bindgen]
pub fn jammed_again(held: &Ts<Held>, before: &Ts<Held>) -> Result<Ts<Held>, JsError> {
    let again = held.to_rust()?.jammed_again(&before.to_rust()?)?;
    Ok(again.into_ts()?)
}

/// What is wrong with a plan.
#[wasm_bindgen]
pub fn check_plan(planned: &Ts<Planned>) -> Result<Vec<Ts<Problem>>, JsError> {
    let problems = Plan::new(&planned.to_rust()?).err().unwrap_or_default();
    let problems = problems.into_iter().map(|problem| problem.into_ts());
    Ok(problems.collect::<Result<_, _>>()?)
}

/// Marks as a table (CSV).
#[wasm_bindgen]
pub fn marks_table(marks: Vec<Ts<Mark>>) -> Result<String, JsError> {
    Ok(handover::marks_table(&marks_of(marks)?))
}

/// Marks as a timeline (`OpenTimelineIO`).
#[wasm_bindgen]
pub fn marks_otio(marks: Vec<Ts<Mark>>, name: &str) -> Result<String, JsError> {
    Ok(handover::marks_otio(&marks_of(marks)?, name))
}

fn marks_of(marks: Vec<Ts<Mark>>) -> Result<Vec<Mark>, JsError> {
    let marks = marks.into_iter().map(|mark| mark.to_rust());
    Ok(marks.collect::<Result<_, _>>()?)
}
