//! A report made ready to be shown: the verdict in a sentence, headings, readings of the user
//! bits, and the drawing of the code along the recording. All words and all arithmetic on time
//! are made here, so that the page has none.

use crate::report::Report;
use crate::summary::Summary;
use plumbline_words::Fact;
use serde::Serialize;

/// One recording as the page shows it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Reading {
    /// The report, as it is exported.
    pub report: Report,
    /// The verdict, cut where the words that want attention begin and end.
    pub verdict: Verdict,
    /// A line of facts about the file: length, sample rate, bits, channels.
    pub about: String,
    /// The code of each channel that carries one, the best first.
    pub codes: Vec<CodeReading>,
    /// Channels that may carry code, but not surely.
    pub suspected: Vec<FindingReading>,
    /// What the metadata says that is worth showing: scene, take, originator …
    pub notes: Vec<Fact>,
    /// How long the recording is, in seconds of its own clock.
    pub seconds: f64,
    /// What a shoot needs to know of it.
    pub summary: Summary,
}

/// The verdict, in a sentence: `before` + `mark` + `after`; `mark` wants attention and may be
/// empty.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Verdict {
    /// Words before the mark.
    pub before: String,
    /// The words that want attention.
    pub mark: String,
    /// Words after it.
    pub after: String,
}

/// One channel's code as the page shows it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct CodeReading {
    /// The channel, counted from 0.
    pub channel: u16,
    /// The channel in words: "channel 2".
    pub title: String,
    /// The address at the first sample.
    pub starts_at: Option<String>,
    /// The address of the frame in progress at the last sample.
    pub ends_at: Option<String>,
    /// Rate, level, user bits, clock.
    pub facts: Vec<Fact>,
    /// Every reading of the user bits that makes sense, under its name.
    pub user_bits: Vec<Fact>,
    /// The findings of the report in its order, with a heading and a length for the drawing.
    pub findings: Vec<FindingReading>,
    /// The code along the recording.
    pub drawing: Drawing,
}

/// What the page adds to a finding of the report.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct FindingReading {
    /// A short heading: "Code lost for 2 frames".
    pub heading: String,
    /// The address, or the place in the recording where there is no address.
    pub place: String,
    /// Where it stands, in seconds of the recording's clock; none when it is about the whole.
    pub second: Option<f64>,
    /// What, how much, why.
    pub text: String,
    /// What to do now.
    pub remedy: String,
}

/// The code drawn against the recording's own time.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Drawing {
    /// Runs of code, in order.
    pub bars: Vec<Bar>,
    /// How far the code's clock has parted from the recorder's, point by point.
    pub drift: Vec<DriftPoint>,
    /// The same in words, for those who cannot see it.
    pub text: String,
}

/// One stretch in the drawing.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Bar {
    /// Where it begins, in seconds of the recording's clock.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// Its place up or down: stretches on the same line of time share a step, a jump ahead goes
    /// up, a jump back goes down.
    pub step: i32,
    /// Whether it runs backwards.
    pub reverse: bool,
    /// The first address.
    pub first: String,
    /// The last address.
    pub last: String,
}

/// One point of the drift.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct DriftPoint {
    /// Seconds of the recording's clock.
    pub second: f64,
    /// Frames that the code is ahead of where it would be at exactly its nominal rate.
    pub frames: f64,
}

/// One codeword, bit by bit, with its neighbours' places.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct CodewordReading {
    /// Its address, as its digits say.
    pub timecode: String,
    /// Where it stands, in seconds of the recording's clock.
    pub second: f64,
    /// Whether it runs backwards.
    pub reverse: bool,
    /// The second at which the codeword before begins, for stepping back.
    pub previous: Option<f64>,
    /// The second at which the codeword after begins, for stepping on.
    pub next: Option<f64>,
    /// Its fields in order of their first bit.
    pub fields: Vec<BitField>,
}

/// A field of the codeword.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct BitField {
    /// The number of its first bit, 0 to 79.
    pub first: u8,
    /// Its bits in the order in which they are sent, as 0 and 1.
    pub bits: String,
    /// Its name in the standard.
    pub name: String,
    /// What it says.
    pub meaning: String,
}
