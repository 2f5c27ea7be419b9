//! One channel of sound as it happens: what its code says at this moment, and what is wrong with
//! it as soon as that is sure.

use crate::channel::Channel;
use crate::continuity::{Continuity, FrameList};
use crate::facts::{Extent, Facts, Progress};
use crate::findings;
use crate::present;
use crate::reading::CodeReading;
use crate::recording::Heard;
use crate::report::FindingKind;
use crate::run::Motion;
use crate::waiting::Patience;
use crate::word::Word;
use plumbline_timecode::{SampleRate, TimeAddress, Timebase, UserBits};

/// Hears one channel: samples in, as they come, and what they say so far, at any time.
///
/// The reader of recordings looks at some seconds at a time and finds what is wrong. What edges show
/// it on the way says what the code says *now*, with what is in hand: so the last codeword counts
/// when its last edge was heard, and not a codeword later. What either says does not depend on how
/// the sound is cut.
#[derive(Debug, Clone)]
pub struct Ear {
    sample_rate: SampleRate,
    /// What edges show.
    prompt: Continuity,
    /// Codewords read and lost before `prompt` was begun anew.
    before: Tally,
    reader: Channel,
}

/// Codewords that were counted.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tally {
    /// Read, each from its own sound.
    pub read: u64,
    /// Missing between the first and the last one read.
    pub lost: u64,
}

/// What code says now. Samples are counted from the first that was heard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Now {
    /// Rate and count.
    pub timebase: Timebase,
    /// The last codeword that was heard whole.
    pub address: TimeAddress,
    /// Where its bit 0 begins.
    pub first_edge: f64,
    /// Where it ends as time runs.
    pub ends: f64,
    /// How far apart codewords are, as measured over all that run alike.
    pub samples_per_codeword: f64,
    /// How much the address moves with each codeword: 1, -1 where it runs backwards, 0 where it
    /// stands still.
    pub direction: i8,
    /// Its speed against the rate.
    pub speed: f64,
    /// The clock of the code against that of the sound, in parts per million, and one standard
    /// deviation.
    pub clock_ppm: Option<(f64, f64)>,
    /// The user bits that it carries.
    pub user_bits: UserBits,
    /// Half the distance from its lowest to its highest sample; full scale is 1.
    pub amplitude: f32,
    /// What was counted until now.
    pub tally: Tally,
}

/// So many breaks are remembered before the prompt reader begins anew: they cost time with each
/// question, and whatever breaks so often has no clock to be remembered.
const BREAKS: usize = 64;

impl Ear {
    /// Ready for the first sample.
    pub fn new(sample_rate: SampleRate) -> Self {
        Ear {
            sample_rate,
            prompt: Continuity::new(FrameList::Leave, Patience::Prompt),
            before: Tally::default(),
            reader: Channel::new(sample_rate, FrameList::Leave),
        }
    }

    /// How many samples were heard.
    pub fn samples(&self) -> u64 {
        self.reader.samples
    }

    /// Hears the next samples, in any number.
    pub fn push(&mut self, samples: &[f32]) {
        let prompt = &mut self.prompt;
        self.reader
            .push_watched(samples, &mut |received| prompt.push(Word::from(received)));
        self.begin_anew();
    }

    fn begin_anew(&mut self) {
        if self.prompt.stretches.items.len() <= BREAKS {
            return;
        }
        if let Some(facts) = Facts::of(0, self.extent(), &self.prompt) {
            self.before = self.tally(&facts);
        }
        self.prompt = Continuity::new(FrameList::Leave, Patience::Prompt);
    }

    /// What the code says now; none where none was heard. The last codeword counts as soon as its
    /// last edge was heard, whether or not another one follows; the first one, as soon as what was
    /// heard of those beside it bears it out.
    ///
    /// ```
    /// use plumbline_shoot::Ear;
    /// use plumbline_timecode::SampleRate;
    /// let mut ear = Ear::new(SampleRate::hertz(48_000)?);
    /// ear.push(&[0.0; 4800]);
    /// assert_eq!(ear.now(), None);
    /// # Ok::<(), plumbline_timecode::SampleRateError>(())
    /// ```
    pub fn now(&self) -> Option<Now> {
        let mut heard = self.prompt.clone();
        let seam = (self.reader).in_hand(&mut |received| heard.push(Word::from(received)));
        if let Some(seam) = seam.filter(|_| heard.stretches.items.is_empty()) {
            heard.bear_out(&seam);
        }
        let facts = Facts::of(0, self.extent(), &heard)?;
        let stretch = facts.stretches().last()?;
        let last = &stretch.run.last;
        Some(Now {
            timebase: facts.timebase,
            address: stretch.address(last, facts.timebase.count())?,
            first_edge: last.first_edge,
            ends: last.ends,
            samples_per_codeword: facts.period_of(stretch),
            direction: match stretch.motion() {
                Motion::Onwards => 1,
                Motion::Backwards => -1,
                Motion::Still => 0,
            },
            speed: facts.speed_of(stretch),
            clock_ppm: (facts.clock_ppm()).and_then(|(ppm, one)| Some((ppm, one?))),
            user_bits: last.codeword.user_bits(),
            amplitude: last.amplitude,
            tally: self.tally(&facts),
        })
    }

    /// What the patient reader says so far of the code, with its findings; none where it found
    /// none. `channel` is counted from 0.
    pub fn reading(&self, channel: u16) -> Option<CodeReading> {
        let facts = Facts::of(channel, self.extent(), &self.reader.continuity)?;
        let mut found = findings::all(&facts, findings::File::default(), &[]);
        // Somebody listened before there was code: that is no fault of it.
        found.retain(|found| found.finding.kind != FindingKind::LateStart);
        Some(present::code_reading(&Heard { facts, found }))
    }

    fn extent(&self) -> Extent {
        Extent {
            sample_rate: self.sample_rate,
            samples: self.samples(),
            progress: Progress::Going,
        }
    }

    fn tally(&self, facts: &Facts<'_>) -> Tally {
        Tally {
            read: self.before.read + facts.read(),
            lost: self.before.lost + facts.lost(),
        }
    }
}
