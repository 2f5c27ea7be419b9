//! Settings that were checked.

use plumbline_media::write::Recording;
use plumbline_timecode::{Frames, Rounding, Samples, Seconds, TimeAddress, Timebase};

use crate::Settings;
use crate::content::{self, Content};
use crate::counting;
use crate::extent::{self, Extent};
use crate::field::Field;
use crate::remarks::Remarks;
use crate::schedule::Schedule;
use crate::sound::{self, Sound};
use crate::takes::{self, Takes};
use plumbline_words::{Problem, counted};

/// A tone that can be made: what all its codewords say, where they are and how they sound.
///
/// ```
/// use plumbline_tone::{Plan, Settings};
/// let settings = Settings { length: "00:00:02:00".to_owned(), ..Settings::default() };
/// let plan = Plan::new(&settings).expect("the defaults are right");
/// assert_eq!(plan.codewords().count(), 50);
///
/// let settings = Settings { counting: "drop".to_owned(), ..settings };
/// let problems = Plan::new(&settings).unwrap_err();
/// assert_eq!(problems[0].text, "Drop-frame at 25: at 25 there is none.");
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plan {
    pub(crate) timebase: Timebase,
    pub(crate) extent: Extent,
    pub(crate) takes: Takes,
    pub(crate) content: Content,
    pub(crate) sound: Sound,
    pub(crate) schedule: Schedule,
}

impl Plan {
    /// Checks the settings: what is wrong with any of them, field by field.
    pub fn new(settings: &Settings) -> Result<Self, Vec<Problem>> {
        let mut remarks = Remarks::default();
        Self::read(settings, &mut remarks).ok_or(remarks.problems)
    }

    /// None where there are problems, all of which are then among the remarks.
    pub(crate) fn read(settings: &Settings, remarks: &mut Remarks) -> Option<Self> {
        let timebase = counting::timebase(settings, remarks);
        let extent = timebase.and_then(|timebase| extent::extent(settings, timebase, remarks));
        let content = content::content(settings, timebase, remarks);
        let takes = timebase.and_then(|timebase| takes::takes(settings, timebase, remarks));
        let sound = sound::sound(settings, remarks);
        let (timebase, extent, takes, sound) = (timebase?, extent?, takes?, sound?);
        let plan = Self {
            timebase,
            extent,
            takes,
            content: content?,
            sound,
            schedule: Schedule::new(timebase, extent, takes, sound),
        };
        remarks.keep(plan.short_enough())
    }

    /// All takes and silences together are no longer than a day, by the clock or by the address.
    fn short_enough(self) -> Result<Self, Problem> {
        let rate = self.timebase.rate();
        let day = rate.seconds(Frames(self.timebase.count().frames_per_day().into()));
        let longest = day.max(Seconds::from_nanoseconds(86_400_000_000_000));
        if self.seconds().is_some_and(|seconds| seconds <= longest) {
            return Ok(self);
        }
        Err(Field::Takes.problem(
            format!(
                "{} of this length, with the silence between, are longer than 24 h.",
                counted(self.takes.number.into(), "take")
            ),
            "Fewer takes, or shorter ones, would be right.".to_owned(),
        ))
    }

    /// How long the sound is, to the end of its last sample.
    pub(crate) fn seconds(&self) -> Option<Seconds> {
        let samples = i64::try_from(self.schedule.samples()).ok()?;
        Samples::whole(samples).seconds(self.sound.sample_rate)
    }

    /// How many codewords all takes have.
    pub fn codeword_count(&self) -> u64 {
        self.schedule.codewords()
    }

    /// The first frame of the codeword with that number of all, counted as frames are.
    pub(crate) fn address(&self, codeword: u64) -> TimeAddress {
        let frames = self.codewords_on(codeword) * i64::from(self.codeword_frames());
        self.extent.first.plus_wrapping(Frames(frames))
    }

    /// How many codewords after the first one, by address, the codeword with that number is.
    pub(crate) fn codewords_on(&self, codeword: u64) -> i64 {
        let take = codeword / u64::from(self.extent.codewords);
        let on = |number: u64| i64::try_from(number).unwrap_or(i64::MAX);
        on(codeword) + on(take) * self.takes.jump.0
    }

    fn codeword_frames(&self) -> u32 {
        self.timebase.count().frames_per_codeword()
    }

    /// Samples from midnight to the first one, by the first address: the time reference of
    /// EBU Tech 3285. To the nearest whole one.
    pub(crate) fn samples_since_midnight(&self) -> u64 {
        let samples = self
            .timebase
            .samples_at(self.extent.first, self.sound.sample_rate);
        samples
            .ok()
            .and_then(|samples| u64::try_from(samples.round(Rounding::Nearest)).ok())
            .unwrap_or_default()
    }

    /// How long the file will be, in bytes.
    pub fn file_bytes(&self) -> u64 {
        let recording = self.recording();
        let header = recording.header().map_or(0, |header| header.len() as u64);
        let frame = u64::from(recording.channels) * u64::from(recording.encoding.bytes());
        header + (recording.sample_frames * frame).next_multiple_of(2)
    }

    /// The file's header.
    pub(crate) fn recording(&self) -> Recording {
        Recording {
            bext: Some(self.bext()),
            ixml: Some(self.ixml()),
            ..Recording::new(
                self.sound.hertz,
                self.sound.channels(),
                self.sound.encoding,
                self.schedule.samples(),
            )
        }
    }
}
