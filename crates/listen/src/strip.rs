//! One channel that is listened to.

use std::collections::VecDeque;

use plumbline_shoot::{Ear, Now, Tally};
use plumbline_timecode::{Frames, SampleRate};
use plumbline_tone::CodeClock;

use crate::{Comparison, InputClock, Meter};

/// A channel, and what is known of it. Samples are counted from the first that was heard.
#[derive(Debug, Clone)]
pub(crate) struct Strip {
    pub(crate) ear: Ear,
    pub(crate) meter: Meter,
    pub(crate) now: Option<Now>,
    /// Whether it is another channel's sound again, sample by sample, as interfaces with one socket
    /// give it: then there is nothing more to hear in it.
    pub(crate) repeats: bool,
    sample_rate: SampleRate,
    /// The code against the page's own clock: seconds since a midnight of its own, less those of
    /// that clock.
    pub(crate) page: Option<Comparison>,
    /// The code against that of the first channel that has any.
    pub(crate) first: Option<Comparison>,
    /// What was counted, once a second over the last minute, and at which sample.
    minute: VecDeque<(u64, Tally)>,
}

/// Code whose speed is further off its rate by this part is no clock.
const CLOCK: f64 = 0.01;
/// So many codewords without one, and the code has stopped.
const STOPPED: f64 = 3.0;
/// So many seconds of counts are remembered.
const MINUTE: usize = 60;

impl Strip {
    /// All channels but the first may be found to repeat it.
    pub(crate) fn all(sample_rate: SampleRate, channels: usize) -> Vec<Self> {
        let mut strips: Vec<Self> = (0..channels).map(|_| Self::new(sample_rate)).collect();
        for strip in strips.iter_mut().skip(1) {
            strip.repeats = true;
        }
        strips
    }

    fn new(sample_rate: SampleRate) -> Self {
        Self {
            ear: Ear::new(sample_rate),
            meter: Meter::new(sample_rate),
            now: None,
            repeats: false,
            sample_rate,
            page: None,
            first: None,
            minute: VecDeque::new(),
        }
    }

    /// Hears the next samples. Whether another codeword was heard.
    pub(crate) fn push(&mut self, samples: &[f32]) -> bool {
        self.ear.push(samples);
        self.meter.push(samples);
        let Some(now) = self.ear.now() else {
            return false;
        };
        let is_new = self
            .now
            .is_none_or(|before| before.first_edge < now.first_edge);
        self.count(now.tally);
        if self
            .now
            .is_some_and(|before| before.timebase != now.timebase)
        {
            (self.page, self.first) = (None, None);
        }
        self.now = Some(now);
        is_new
    }

    fn count(&mut self, tally: Tally) {
        let second = self.sample_rate.as_f64();
        let due = |&(at, _): &(u64, Tally)| (self.ear.samples() - at) as f64 >= second;
        if self.minute.back().is_none_or(due) {
            self.minute.push_back((self.ear.samples(), tally));
        }
        while self.minute.len() > MINUTE {
            self.minute.pop_front();
        }
    }

    /// What was counted in the last minute.
    pub(crate) fn last_minute(&self) -> Tally {
        let now = self.now.map(|now| now.tally).unwrap_or_default();
        let then = self
            .minute
            .front()
            .map(|&(_, tally)| tally)
            .unwrap_or_default();
        Tally {
            read: now.read - then.read.min(now.read),
            lost: now.lost - then.lost.min(now.lost),
        }
    }

    /// Seconds since the last codeword ended, if the code has stopped.
    pub(crate) fn stopped(&self) -> Option<f64> {
        let now = self.now?;
        let since = self.ear.samples() as f64 - now.ends;
        (since > STOPPED * now.samples_per_codeword).then(|| since / self.sample_rate.as_f64())
    }

    /// The code as it is heard now, if it is.
    pub(crate) fn code(&self) -> Option<Now> {
        self.now.filter(|_| self.stopped().is_none())
    }

    /// The code, if it runs as a clock does.
    fn clock(&self) -> Option<Now> {
        (self.code()).filter(|now| now.direction == 1 && (now.speed - 1.0).abs() < CLOCK)
    }

    /// Compares the codeword that was heard last with the page's clock.
    pub(crate) fn compare_with_page(&mut self, page_milliseconds: f64) {
        let before = self.page.take();
        self.page = self.compared(before, |now| {
            since_midnight(now, now.first_edge) - page_milliseconds * 1e-3
        });
    }

    /// Compares it with the code of another channel.
    pub(crate) fn compare_with(&mut self, other: &Now) {
        let before = self.first.take();
        self.first = self.compared(before, |now| {
            since_midnight(now, now.first_edge) - since_midnight(other, now.first_edge)
        });
    }

    /// A comparison with what the last codeword adds to it; none where the code is no clock.
    fn compared(
        &self,
        before: Option<Comparison>,
        ahead: impl Fn(&Now) -> f64,
    ) -> Option<Comparison> {
        let now = self.clock()?;
        let timebase = now.timebase;
        let mut comparison = before
            .unwrap_or_else(|| Comparison::new(timebase.rate(), timebase.count().frames_per_day()));
        comparison.add(now.first_edge / self.sample_rate.as_f64(), ahead(&now));
        Some(comparison)
    }

    /// The code as a clock, from the last codeword on, or as it stood when it stopped.
    pub(crate) fn ticking(&self, input: &InputClock, first: f64) -> Option<CodeClock> {
        let now = self.now?;
        let page = input.page_milliseconds(first + now.first_edge)?;
        let speed = match self.stopped() {
            None => f64::from(now.direction) * self.sample_rate.as_f64() / now.samples_per_codeword,
            Some(_) => 0.0,
        };
        let frame = f64::from(now.address.frame_number().0);
        CodeClock::new(now.timebase, frame, page, speed).ok()
    }

    /// The code as a clock that another is set from: over the last second, against the page's
    /// clock; by its last codeword where it was not heard for so long yet.
    pub(crate) fn steady(
        &self,
        page_milliseconds: f64,
        input: &InputClock,
        first: f64,
    ) -> Option<CodeClock> {
        let now = self.clock()?;
        let Some(apart) = self.page.as_ref().and_then(Comparison::apart) else {
            let ticking = self.ticking(input, first)?;
            return Some(ticking.at_rate(page_milliseconds));
        };
        let rate = now.timebase.rate().fraction().as_f64();
        let frame = (page_milliseconds * 1e-3 + apart.seconds) * rate;
        CodeClock::new(now.timebase, frame, page_milliseconds, rate).ok()
    }
}

/// How many seconds of real time a code has come from its midnight at a sample.
fn since_midnight(now: &Now, sample: f64) -> f64 {
    let frames = (sample - now.first_edge) / now.samples_per_codeword;
    let frame = now.timebase.rate().seconds(Frames(1)).as_f64();
    (f64::from(now.address.frame_number().0) + frames) * frame
}
