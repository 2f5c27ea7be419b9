//! What is heard, ready to be shown.

use plumbline_shoot::reading::{FindingReading, Verdict};
use plumbline_tone::Ticking;
use plumbline_words::Fact;
use serde::Serialize;

use crate::{Compared, Departure};

/// All that is heard now.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Heard {
    /// What matters most, in a sentence.
    pub verdict: Verdict,
    /// Each channel of the input.
    pub channels: Vec<HeardChannel>,
    /// How many seconds were listened to.
    pub seconds: f64,
    /// How many milliseconds of sound were missing.
    pub missing: f64,
}

/// One channel.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct HeardChannel {
    /// Which one, counted from 0.
    pub channel: u16,
    /// "Channel 1".
    pub title: String,
    /// Whether there is code.
    pub hearing: Hearing,
    /// The code as a clock, against the page's own; it stands where the code has stopped.
    pub ticking: Option<Ticking>,
    /// Rate, user bits, level and so on.
    pub facts: Vec<Fact>,
    /// In what it departs from the plan.
    pub departures: Vec<Departure>,
    /// What to do about its level, where something is to be done.
    pub level: Option<String>,
    /// How it parts from other clocks.
    pub compared: Vec<Compared>,
}

/// Whether a channel has code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(rename_all = "kebab-case")]
pub enum Hearing {
    /// None was heard yet.
    Nothing,
    /// There is.
    Code,
    /// There was.
    Stopped,
}

/// What the patient reader found in a channel's code.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct FoundIn {
    /// Which channel, counted from 0.
    pub channel: u16,
    /// Every reading of the user bits that makes sense, under its name.
    pub user_bits: Vec<Fact>,
    /// What is wrong.
    pub findings: Vec<FindingReading>,
}
