//! Recordings on one clock as the page shows them: plain data, every word and every sum on time
//! made here.

use super::{CopyPlan, Jam, Rolling};
use crate::reading::Verdict;
use plumbline_words::{Fact, Problem};
use serde::Serialize;

/// A shoot.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Shoot {
    /// The verdict, cut where the words that want attention begin and end.
    pub verdict: Verdict,
    /// "11 recordings · 3 devices · 7 h 12 min of sound · 25 frames a second".
    pub about: String,
    /// The rate of the clock on which they stand, by its trade name; empty where there is none.
    pub rate: String,
    /// Whether that clock counts drop-frame.
    pub drop_frame: bool,
    /// When the first recording begins, in seconds on that clock.
    pub from: f64,
    /// When the last one ends.
    pub to: f64,
    /// Who made recordings, in order of their first.
    pub devices: Vec<DeviceRow>,
    /// The recordings, in the order in which they were handed in.
    pub recordings: Vec<Row>,
    /// Where two codes were recorded together, how they keep beside each other.
    pub codes: Vec<CodeRow>,
    /// Who was rolling, in words.
    pub rolling: Rolling,
    /// How often the clocks must be jammed to stay together.
    pub jam: Jam,
    /// Moments that somebody noted, in their order.
    pub marks: Vec<MarkRow>,
    /// What is wrong across them, the worst first.
    pub findings: Vec<ShootFinding>,
    /// The drawing of who was rolling, in words.
    pub text: String,
}

/// A device and what it recorded.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct DeviceRow {
    /// What tells it apart from the others.
    pub key: String,
    /// Its name.
    pub name: String,
    /// What is known of it and of its clock.
    pub facts: Vec<Fact>,
    /// Its recordings that have a place.
    pub clips: Vec<Clip>,
    /// Its own clock beside the code, as it was seen.
    pub points: Vec<ClockPoint>,
    /// The lines through that.
    pub lines: Vec<ClockLine>,
}

/// A moment that somebody noted.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct MarkRow {
    /// Its address, as it was noted.
    pub address: String,
    /// Where it stands, in seconds on the shoot's clock; none where its address names no frame.
    pub at: Option<f64>,
    /// What was noted.
    pub title: String,
    /// The devices that were rolling then, or "nobody".
    pub rolling: String,
}

/// Two codes that were recorded together.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct CodeRow {
    /// "Sound bag: channel 2 against channel 1".
    pub name: String,
    /// What is known of it.
    pub facts: Vec<Fact>,
    /// By how much the one was ahead of the other, as it was seen.
    pub points: Vec<ClockPoint>,
    /// The lines through that.
    pub lines: Vec<ClockLine>,
}

/// A recording in the drawing.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Clip {
    /// The number of its recording.
    pub recording: u32,
    /// Where it begins, in seconds on the shoot's clock.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// Where code was read in it; empty where no code places it.
    pub read: Vec<(f64, f64)>,
}

/// A look at a device's own clock.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct ClockPoint {
    /// When, in seconds on the shoot's clock.
    pub at: f64,
    /// By how many frames it was ahead of the code.
    pub frames: f64,
    /// One standard deviation of that.
    pub deviation: f64,
}

/// How a device's own clock ran until it was set again.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct ClockLine {
    /// When it was first seen to run so.
    pub from: f64,
    /// When last.
    pub to: f64,
    /// By how many frames it was ahead at first.
    pub frames_from: f64,
    /// And at last.
    pub frames_to: f64,
    /// How fast it ran beside the code, in parts per million; positive is faster.
    pub ppm: f64,
    /// One standard deviation of that; none from fewer than three looks.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ppm_uncertainty: Option<f64>,
}

/// A recording in the table.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Row {
    /// The key under which it was handed in.
    pub key: String,
    /// The file's name.
    pub file: String,
    /// The key of its device.
    pub device: String,
    /// The name of its device.
    pub device_name: String,
    /// The address at its first sample; empty where nothing says.
    pub starts_at: String,
    /// The address at its end.
    pub ends_at: String,
    /// How long it is.
    pub length: String,
    /// What places it: "channel 2", "none; by sound ± 0.4 ms".
    pub by: String,
    /// The reel.
    pub reel: String,
    /// What a person changed: "moved by +2 frames from 10:00:00:00"; empty where nothing was.
    pub changed: String,
    /// How many findings it has of its own.
    pub own_findings: u32,
    /// The findings across recordings that concern it, counted from 1.
    pub findings: Vec<u32>,
    /// Its frame rate: "25", "29.97 drop-frame"; empty where nothing says.
    pub rate: String,
    /// What a stamped copy of it would be.
    pub copy: CopyPlan,
    /// What is wrong with what was typed.
    pub problems: Vec<Problem>,
    /// What stopped its reading; empty where nothing did.
    pub error: String,
    /// Its place in order of time; those without one come last.
    pub order: u32,
    /// How long it is, in seconds, for sorting.
    pub seconds: f64,
}

/// Something about several recordings, or about one among the others.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct ShootFinding {
    /// What it is.
    pub kind: ShootFindingKind,
    /// A short heading: "Deck camera drifts".
    pub heading: String,
    /// Where: a device, an address, or both.
    pub place: String,
    /// What, how much, why.
    pub text: String,
    /// What to do now.
    pub remedy: String,
    /// Where it stands, in seconds on the shoot's clock; none when it is about the whole.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<f64>,
    /// The key of its device; empty where it concerns all.
    pub device: String,
}

/// What a finding across recordings is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum ShootFindingKind {
    /// A file could not be read.
    Unread,
    /// A recording has neither code nor a start time.
    NoPlace,
    /// A device runs or counts at another rate than the others.
    OtherRate,
    /// A device has two recordings at the same time.
    SameTimeTwice,
    /// A recording would stand at two places by its sound.
    SoundTwice,
    /// A recording's sound is elsewhere than its code.
    SoundAgainstCode,
    /// Two codes in one recording are not one clock.
    CodesDiffer,
    /// A device's own clock was set again.
    SetAgain,
    /// A device's own clock parts from the code.
    Drift,
    /// A device's own clock is beside the code by the same all day.
    Lag,
    /// A recording has no code and stands by its own start time.
    NoCode,
    /// The address leaps within a recording.
    Leaps,
    /// User bits differ within a device.
    UserBits,
    /// A recording is longer than a day of addresses.
    LongerThanADay,
    /// The recordings are of several days.
    Days,
    /// The shoot passes midnight.
    Midnight,
}
