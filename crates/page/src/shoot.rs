//! Recordings on one clock, as the page asks about them.

use plumbline_shoot::handover::{self, Lists};
use plumbline_shoot::lineup::{self, Apart, Clocks, Moment, Shoot, ShootClock, SoundPrior, Tick};
use plumbline_shoot::sheet::Sheet;
use plumbline_words::Problem;
use serde::Serialize;
use std::cell::OnceCell;
use tsify::{Ts, Tsify};
use wasm_bindgen::prelude::*;

/// Marks along a day.
#[derive(Debug, Serialize, Tsify)]
pub struct Ticks {
    ticks: Vec<Tick>,
}

/// A text to be saved as a file.
#[derive(Debug, Serialize, Tsify)]
pub struct NamedText {
    /// What tells it apart from the others.
    name: String,
    text: String,
}

/// Texts to be saved as files.
#[derive(Debug, Serialize, Tsify)]
pub struct NamedTexts {
    texts: Vec<NamedText>,
}

/// What came of opening a saved shoot: the shoot, or why not and what to do.
#[derive(Debug, Serialize, Tsify)]
#[tsify(hashmap_as_object)]
pub struct OpenedSheet {
    sheet: Option<Sheet>,
    text: String,
    remedy: String,
}

/// The shoot that a file holds.
#[wasm_bindgen]
pub fn open_sheet(json: &str) -> Result<Ts<OpenedSheet>, JsError> {
    let opened = match Sheet::from_json(json) {
        Ok(sheet) => OpenedSheet {
            sheet: Some(sheet),
            text: String::new(),
            remedy: String::new(),
        },
        Err(error) => OpenedSheet {
            sheet: None,
            text: error.to_string(),
            remedy: error.remedy().to_owned(),
        },
    };
    Ok(opened.into_ts()?)
}

/// Recordings on one clock.
#[wasm_bindgen]
#[derive(Debug)]
pub struct OneClock {
    sheet: Sheet,
    clock: Option<ShootClock>,
    /// The clocks alone, once somebody asks how they stand: a hand asks many times a second.
    clocks: OnceCell<Clocks>,
}

/// A rough start, or what is wrong with it.
#[derive(Debug, Serialize, Tsify)]
pub struct RoughStart {
    prior: Option<SoundPrior>,
    problem: Option<Problem>,
}

#[wasm_bindgen]
impl OneClock {
    /// Lays them on it.
    #[wasm_bindgen(constructor)]
    pub fn new(sheet: &Ts<Sheet>) -> Result<OneClock, JsError> {
        let sheet = sheet.to_rust()?;
        let clock = lineup::clock_of(&sheet.entries, &sheet.corrections);
        Ok(OneClock {
            sheet,
            clock,
            clocks: OnceCell::new(),
        })
    }

    /// Everything that a page shows of it.
    pub fn shown(&self) -> Result<Ts<Shoot>, JsError> {
        Ok(lineup::shoot(&self.sheet.entries, &self.sheet.corrections).into_ts()?)
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

    /// How far clocks were apart at a moment, in seconds on the clock.
    pub fn apart(&self, second: f64) -> Result<Ts<Apart>, JsError> {
        let clocks = self.clocks.get_or_init(|| Clocks::of(&self.line_up()));
        Ok(clocks.apart(Moment(second)).into_ts()?)
    }

    /// Where to listen for a recording beside another one, whose key is `beside`, where somebody
    /// says at which address it begins, give or take so many seconds.
    pub fn prior(
        &self,
        beside: &str,
        address: &str,
        give_or_take: f64,
    ) -> Result<Ts<RoughStart>, JsError> {
        let rough = match lineup::prior(&self.line_up(), beside, address, give_or_take) {
            Ok(prior) => RoughStart {
                prior: Some(prior),
                problem: None,
            },
            Err(problem) => RoughStart {
                prior: None,
                problem: Some(problem),
            },
        };
        Ok(rough.into_ts()?)
    }

    /// How long a frame is, in seconds; 0 where there is no clock.
    pub fn frame(&self) -> f64 {
        self.clock.map_or(0.0, |clock| clock.seconds(1.0))
    }

    /// The shoot as it is saved: the JSON of a sheet.
    pub fn saved(&self) -> String {
        self.sheet.to_json()
    }

    /// The shoot as a timeline: JSON of the kind `.otio`.
    pub fn timeline(&self) -> String {
        handover::otio(&self.line_up(), &self.sheet.name)
    }

    /// An edit list for each device.
    pub fn lists_by_device(&self) -> Result<Ts<NamedTexts>, JsError> {
        self.lists(Lists::OneADevice)
    }

    /// Edit lists for all devices, as few as hold them.
    pub fn lists_for_all(&self) -> Result<Ts<NamedTexts>, JsError> {
        self.lists(Lists::OneForAll)
    }

    /// A row for each recording, as comma-separated values.
    pub fn table(&self) -> String {
        handover::table(&self.line_up())
    }

    fn lists(&self, lists: Lists) -> Result<Ts<NamedTexts>, JsError> {
        let lists = handover::edit_lists(&self.line_up(), &self.sheet.name, lists);
        let texts = lists.into_iter().map(|list| NamedText {
            name: list.name,
            text: list.text,
        });
        let texts = texts.collect();
        Ok(NamedTexts { texts }.into_ts()?)
    }

    fn line_up(&self) -> lineup::LineUp<'_> {
        lineup::line_up(&self.sheet.entries, &self.sheet.corrections)
    }
}
