//! What the codewords of one channel come to: rate, speed, start, level, clock. Findings, report
//! and drawing are all made from this.

use crate::capped::Capped;
use crate::clock::Period;
use crate::continuity::{Continuity, Damaged, Dropout, PLACES};
use crate::cover::Most;
use crate::run::Motion;
use crate::stretch::Stretch;
use crate::timebase;
use crate::whole;
use plumbline_timecode::{Frames, SampleRate, TimeAddress, Timebase};

/// How far the reading of the recording has got.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Progress {
    /// More samples are to come.
    Going,
    /// All that there is was read.
    Done,
}

/// The recording as a finding needs to know it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Extent {
    pub(crate) sample_rate: SampleRate,
    /// Samples read so far in each channel.
    pub(crate) samples: u64,
    pub(crate) progress: Progress,
}

impl Extent {
    /// A number of samples, in seconds of the recording's clock.
    pub(crate) fn seconds(&self, samples: f64) -> f64 {
        samples / self.sample_rate.as_f64()
    }
}

/// The instant at the first sample.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Start {
    /// The address of the frame in progress.
    pub(crate) address: TimeAddress,
    /// Samples since midnight.
    pub(crate) samples: f64,
}

/// The code of one channel.
#[derive(Debug)]
pub(crate) struct Facts<'a> {
    pub(crate) channel: u16,
    pub(crate) extent: Extent,
    pub(crate) continuity: &'a Continuity,
    pub(crate) timebase: Timebase,
    /// Samples from one codeword to the next at exactly the rate.
    pub(crate) nominal: f64,
    /// The same as measured over all stretches that run alike.
    pub(crate) period: Period,
}

/// Stretches run alike where their periods differ by less than this part.
const ALIKE: f64 = 1e-3;
/// An edge this many samples after an instant is taken to be at it.
const AT_ONCE: f64 = 0.5;
/// A clock that is further off than this is no clock that drifts: between 23.976 and 24 lies
/// twice as much.
const CLOCK_PPM: f64 = 500.0;

impl<'a> Facts<'a> {
    /// The facts of a channel; none where no stretch stands in it.
    pub(crate) fn of(channel: u16, extent: Extent, continuity: &'a Continuity) -> Option<Self> {
        let stretches = &continuity.stretches.items;
        let longest = stretches
            .iter()
            .max_by_key(|stretch| (stretch.motion() != Motion::Still, stretch.run.read))?;
        let about = longest.line.slope();
        let alike = |index: usize| {
            stretches.get(index).is_some_and(|stretch| {
                stretch.motion() != Motion::Still
                    && (stretch.line.slope() / about - 1.0).abs() < ALIKE
            })
        };
        let measured = continuity.clock.period(alike);
        let period = measured.unwrap_or(Period {
            samples: about,
            uncertainty: None,
        });
        let timebase = timebase::decide(stretches, extent.sample_rate.as_f64() / period.samples);
        let nominal = timebase
            .rate()
            .samples(Frames(1), extent.sample_rate)
            .as_f64();
        Some(Facts {
            channel,
            extent,
            continuity,
            timebase,
            nominal,
            period,
        })
    }

    pub(crate) fn stretches(&self) -> &'a [Stretch] {
        &self.continuity.stretches.items
    }

    /// Codewords read.
    pub(crate) fn read(&self) -> u64 {
        self.stretches().iter().map(Stretch::read).sum()
    }

    /// Codewords missing between the first and the last one read.
    pub(crate) fn lost(&self) -> u64 {
        let unread = |stretch: &Stretch| stretch.lost + stretch.run.read - stretch.read();
        let inside: u64 = self.stretches().iter().map(unread).sum();
        let between = self.stretches().windows(2).map(|pair| match pair {
            [a, b] => missing_between(a, b),
            _ => 0,
        });
        inside + between.sum::<u64>()
    }

    /// What lies over the code, where that is worth telling of the whole.
    pub(crate) fn cover(&self) -> Option<Most> {
        self.continuity.cover.most(self.read())
    }

    /// Dropouts that want telling: what lies over the code explains those under it.
    pub(crate) fn dropouts(&self) -> Capped<Dropout, PLACES> {
        let dropouts = &self.continuity.dropouts;
        match self.cover() {
            Some(_) => dropouts.clear.clone(),
            None => self.all_dropouts(),
        }
    }

    /// All dropouts, whatever the reason.
    pub(crate) fn all_dropouts(&self) -> Capped<Dropout, PLACES> {
        let place = |dropout: &Dropout| dropout.before.begins;
        self.continuity.dropouts.together(place)
    }

    /// Damaged codewords that want telling, likewise.
    pub(crate) fn damaged(&self) -> Capped<Damaged, PLACES> {
        let damaged = &self.continuity.damaged;
        match self.cover() {
            Some(_) => damaged.clear.clone(),
            None => damaged.together(|damaged| damaged.word.begins),
        }
    }

    /// Samples from one codeword of a stretch to the next, as well as it can be known.
    pub(crate) fn period_of(&self, stretch: &Stretch) -> f64 {
        let own = stretch.line.slope();
        if (own / self.period.samples - 1.0).abs() < ALIKE {
            self.period.samples
        } else {
            own
        }
    }

    /// Speed of a stretch against the rate.
    pub(crate) fn speed_of(&self, stretch: &Stretch) -> f64 {
        self.nominal / stretch.line.slope()
    }

    /// How much faster the code's clock is than the recorder's, in parts per million, and one
    /// standard deviation of that.
    pub(crate) fn clock_ppm(&self) -> Option<(f64, Option<f64>)> {
        let ppm = (self.nominal / self.period.samples - 1.0) * 1e6;
        let deviation = self
            .period
            .uncertainty
            .map(|u| u / self.period.samples * 1e6);
        (ppm.abs() <= CLOCK_PPM && deviation.is_some()).then_some((ppm, deviation))
    }

    /// Mean amplitude of the codewords, full scale being 1.
    pub(crate) fn amplitude(&self) -> f64 {
        let stretches = self.stretches().iter();
        let (sum, words) = stretches.fold((0.0, 0), |(sum, words), stretch| {
            (sum + stretch.amplitude, words + stretch.run.read)
        });
        sum / words.max(1) as f64
    }

    /// Peak level in dB below full scale.
    pub(crate) fn level_dbfs(&self) -> f64 {
        20.0 * self.amplitude().max(1e-9).log10()
    }

    /// The instant at the first sample, worked back from the first stretch; none where that one
    /// stands still or is counted otherwise than the rest.
    pub(crate) fn start(&self) -> Option<Start> {
        let stretch = self.stretches().first()?;
        let edge = stretch.start();
        let first = stretch.first(self.timebase.count())?;
        let address = self.address_at(stretch, first, edge, 0.0)?;
        let at_edge = self
            .timebase
            .samples_at(first, self.extent.sample_rate)
            .ok()?
            .as_f64();
        let speed = self.nominal / self.period_of(stretch) * stretch.motion().sign() as f64;
        let day = i64::from(self.timebase.count().frames_per_day());
        let day = self
            .timebase
            .rate()
            .samples(Frames(day), self.extent.sample_rate)
            .as_f64();
        let samples = at_edge - edge * speed;
        // An edge that was placed a hair after the first sample must not turn midnight back.
        let samples = if samples < -AT_ONCE {
            samples + day
        } else {
            samples.max(0.0)
        };
        Some(Start { address, samples })
    }

    /// The address of the frame in progress at the last sample.
    pub(crate) fn end(&self) -> Option<TimeAddress> {
        let stretch = self.stretches().last()?;
        let last = stretch.last(self.timebase.count())?;
        let sample = self.extent.samples.saturating_sub(1) as f64;
        self.address_at(stretch, last, stretch.run.last.first_edge, sample)
    }

    /// The address in progress at `sample`, counted from the codeword whose bit 0 begins at
    /// `edge`.
    fn address_at(
        &self,
        stretch: &Stretch,
        address: TimeAddress,
        edge: f64,
        sample: f64,
    ) -> Option<TimeAddress> {
        let codewords = (sample + AT_ONCE - edge) / self.period_of(stretch);
        let frames = match stretch.motion() {
            Motion::Onwards => codewords.floor(),
            // The frame of a codeword that runs backwards is in progress until its bit 0.
            Motion::Backwards => (-codewords).ceil() - 1.0,
            Motion::Still => return None,
        };
        if address.count() != self.timebase.count() {
            return None;
        }
        Some(address.plus_wrapping(Frames(whole::signed(frames))))
    }
}

/// Whole codewords that there is room for between two stretches.
pub(crate) fn missing_between(a: &Stretch, b: &Stretch) -> u64 {
    whole::unsigned(a.run.codewords_until(&b.run.first)).saturating_sub(1)
}
