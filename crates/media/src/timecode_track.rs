//! The timecode track of a movie: a start time for the editing software.

use plumbline_timecode::{Fraction, FrameNumber, TimeAddress, Timebase};

use crate::ixml::nearest;

/// What a timecode track says (QuickTime File Format, timecode media).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TimecodeTrack {
    /// Frames are counted drop-frame.
    pub counting: Counting,
    /// Units of time a second, as the sample entry has it.
    pub time_scale: u32,
    /// How long a frame lasts, in these units.
    pub frame_duration: u32,
    /// How many frames the entry says a second has; it may count pairs, or contradict the others.
    pub frames_a_second: u8,
    /// The name of the reel, where there is one.
    pub reel: Option<String>,
    /// The numbers of the frames from which it counts on: more than one where the count breaks;
    /// negative where the track says so.
    pub starts: Vec<i64>,
}

impl TimecodeTrack {
    /// What the track counts at; none where it is a counter, or no known rate.
    ///
    /// Time scale over frame duration is the rate. Above 30 frames a second a track may count
    /// pairs of frames (SMPTE ST 12-1, clause 12): then a second has half as many.
    pub fn timebase(&self) -> Option<Timebase> {
        let rate = nearest(Fraction::new(
            self.time_scale.into(),
            self.frame_duration.into(),
        )?)?;
        let counts_pairs = u32::from(self.frames_a_second) * 2 == rate.nominal();
        let rate = if counts_pairs { rate.code() } else { rate };
        let count = match self.counting {
            Counting::NonDrop => rate.count(),
            Counting::Drop => rate.drop_count()?,
            Counting::Counter => return None,
        };
        Timebase::new(rate, count).ok()
    }

    /// The address of the movie's first frame.
    pub fn start(&self) -> Option<TimeAddress> {
        let frame = u32::try_from(*self.starts.first()?).ok()?;
        TimeAddress::from_frame_number(self.timebase()?.count(), FrameNumber(frame)).ok()
    }

    /// Whether the number of frames a second that the track states is one that its rate can have.
    pub fn agrees_with_itself(&self) -> bool {
        let stated = u32::from(self.frames_a_second);
        self.timebase()
            .is_none_or(|timebase| timebase.rate().nominal() == stated)
    }
}

/// How the frames of a timecode track are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Counting {
    /// Every number is used.
    NonDrop,
    /// Drop-frame.
    Drop,
    /// No time of day at all: a counter.
    Counter,
}
