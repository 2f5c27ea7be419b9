//! One channel of the recording: samples in, continuity out.

use crate::continuity::{Continuity, FrameList};
use crate::word::Word;
use plumbline_ltc::{Evidence, Receiver};
use plumbline_timecode::SampleRate;

#[derive(Debug)]
pub(crate) struct Channel {
    receiver: Receiver,
    pub(crate) continuity: Continuity,
    /// How many samples have come.
    pub(crate) samples: u64,
}

impl Channel {
    pub(crate) fn new(sample_rate: SampleRate, frames: FrameList) -> Self {
        Channel {
            receiver: Receiver::new(sample_rate),
            continuity: Continuity::new(frames),
            samples: 0,
        }
    }

    /// Takes the next samples, in any number.
    pub(crate) fn push(&mut self, samples: &[f32]) {
        self.samples += samples.len() as u64;
        let continuity = &mut self.continuity;
        self.receiver
            .push(samples, &mut |evidence| take(continuity, &evidence));
    }

    /// Takes what is still in hand when the recording ends.
    pub(crate) fn finish(&mut self) {
        let continuity = &mut self.continuity;
        self.receiver
            .finish(&mut |evidence| take(continuity, &evidence));
    }
}

fn take(continuity: &mut Continuity, evidence: &Evidence) {
    match evidence {
        Evidence::Each(received) => continuity.push(Word::from(received)),
        Evidence::Together(together) => continuity.hear(together),
    }
}
