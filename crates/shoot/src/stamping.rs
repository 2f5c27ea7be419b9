//! A stamped copy of a recording: what the report has of its start, set in the file, and the words
//! for what came of it.

use crate::lineup::place::timebase;
use crate::metadata;
use crate::report::ReportedError;
use plumbline_media::stamp::{Channels, Difference, Stamp, StampError, StampedCopy};
use plumbline_timecode::{Frames, Rounding, SampleRate, Timebase};
use plumbline_words::{counted, number, sentence, thousands};
use serde::{Deserialize, Serialize};
use std::io::{Read, Seek};

/// What is to be stamped, as the report of a code has it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct StampOrder {
    /// The first sample, in the file's samples since midnight; it need not be whole.
    pub start_samples_since_midnight: f64,
    /// The frame rate by its trade name.
    pub rate: String,
    /// Whether the frames are counted drop-frame.
    pub drop_frame: bool,
    /// The channels that the copy is to be without, counted from 0.
    pub leave_out: Vec<u16>,
    /// The tape or reel; none leaves what the file says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tape: Option<String>,
    /// What the start was made from, to be told with the outcome: "the code on channel 2".
    #[serde(default)]
    pub made_from: String,
}

/// What came of a copy.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct StampOutcome {
    /// Whether it is what was asked for.
    pub as_asked: Same,
    /// In a sentence or two.
    pub text: String,
    /// What to do; empty where all is as asked.
    pub remedy: String,
    /// What somebody should know who uses the copy.
    pub notes: Vec<String>,
}

/// Whether a copy that was read back has the stamp, and everything else as it was.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub enum Same {
    /// It has.
    Yes,
    /// It has not.
    No,
}

/// A copy that can be made of a recording.
#[derive(Debug, Clone)]
pub struct Stamping {
    /// How it is made, and compared once it was.
    pub copy: StampedCopy,
    /// What the place says more finely than a whole sample.
    start: f64,
    made_from: String,
}

impl Stamping {
    /// Plans a copy of the WAV in `source`.
    ///
    /// The time reference is the whole sample nearest to the code's start; half a sample is
    /// rounded up. What is left over is told with the outcome.
    ///
    /// # Errors
    /// What kept it from being planned, with what to do.
    pub fn plan(
        source: &mut (impl Read + Seek),
        order: &StampOrder,
    ) -> Result<Stamping, ReportedError> {
        let timebase = timebase(&order.rate, order.drop_frame).ok_or_else(not_an_order)?;
        let header = plumbline_media::open(source).map_err(|error| ReportedError::from(&error))?;
        let time_reference = whole(
            order.start_samples_since_midnight,
            timebase,
            header.sample_rate,
        )
        .ok_or_else(not_an_order)?;
        let stamp = Stamp {
            time_reference,
            timebase,
            tape: order.tape.clone(),
            channels: Channels::without(order.leave_out.iter().copied()),
        };
        let copy =
            StampedCopy::plan(source, &stamp).map_err(|error| ReportedError::from(&error))?;
        Ok(Stamping {
            copy,
            start: order.start_samples_since_midnight,
            made_from: order.made_from.clone(),
        })
    }

    /// What came of it, once it was read back.
    pub fn outcome(&self, compared: Result<(), Difference>) -> StampOutcome {
        let remarks = self.copy.remarks().iter();
        match compared {
            Ok(()) => StampOutcome {
                as_asked: Same::Yes,
                text: format!(
                    "Stamped {}, {}, read back and the same.",
                    self.address(),
                    counted(self.copy.channels().into(), "channel")
                ),
                remedy: String::new(),
                notes: self
                    .origin()
                    .into_iter()
                    .chain([self.time_reference()])
                    .chain(remarks.map(|remark| sentence(&remark.to_string())))
                    .collect(),
            },
            Err(difference) => StampOutcome {
                as_asked: Same::No,
                text: sentence(&difference.to_string()),
                remedy: "Don't use this copy. Stamp the recording again; if it comes out wrong \
                         again, save to another disk."
                    .to_owned(),
                notes: Vec::new(),
            },
        }
    }

    /// The address that a reader of the stamp works out.
    fn address(&self) -> String {
        let stamp = self.copy.stamp();
        let hertz = self.copy.original().sample_rate;
        let address = metadata::address(stamp.time_reference, stamp.timebase, hertz);
        address.unwrap_or_else(|| thousands(stamp.time_reference))
    }

    /// What the stamp was made from, where the order says.
    fn origin(&self) -> Option<String> {
        let tape = self.copy.stamp().tape.as_deref();
        let tape = tape.map(|tape| format!(" The reel is “{tape}”."));
        let tape = tape.unwrap_or_default();
        (!self.made_from.is_empty()).then(|| format!("Made from {}.{tape}", self.made_from))
    }

    /// The time reference, and what rounding it left over.
    fn time_reference(&self) -> String {
        let samples = self.copy.stamp().time_reference;
        let left = self.start - samples as f64;
        let microseconds = left.abs() / f64::from(self.copy.original().sample_rate) * 1e6;
        let said = format!(
            "The time reference is {} samples since midnight",
            thousands(samples)
        );
        // The report has its places to a thousandth of a sample.
        if !(0.0005..1.0).contains(&left.abs()) {
            return format!("{said}.");
        }
        format!(
            "{said}, the nearest whole one: the start is {} of a sample ({} µs) {}.",
            number(left.abs(), 3),
            number(microseconds, 1),
            if left > 0.0 { "later" } else { "earlier" }
        )
    }
}

/// The nearest whole sample of the day.
fn whole(samples: f64, timebase: Timebase, hertz: u32) -> Option<u64> {
    let frames = Frames(timebase.count().frames_per_day().into());
    let hertz = SampleRate::hertz(hertz).ok()?;
    let day = timebase.rate().samples(frames, hertz);
    let day = u64::try_from(day.round(Rounding::Nearest)).ok()?;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "it was seen to lie between 0 and a day"
    )]
    let nearest = (0.0..=day as f64)
        .contains(&samples)
        .then(|| samples.round() as u64)?;
    // What rounds up to midnight is midnight.
    Some(if nearest == day { 0 } else { nearest })
}

fn not_an_order() -> ReportedError {
    ReportedError {
        kind: "unsupported".to_owned(),
        place: None,
        at: None,
        text: "the start of this code is no time of day".to_owned(),
        remedy: "Read the recording again, and stamp what is read then.".to_owned(),
    }
}

impl From<&StampError> for ReportedError {
    fn from(error: &StampError) -> Self {
        match error {
            StampError::Media(error) => error.into(),
            other => ReportedError {
                kind: "unsupported".to_owned(),
                place: None,
                at: None,
                text: other.to_string(),
                remedy: other.remedy().to_owned(),
            },
        }
    }
}
