//! One channel of the recording: samples in, continuity out.

use crate::continuity::{Continuity, FrameList};
use crate::word::Word;
use plumbline_ltc::{Evidence, Received, Receiver};
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
        self.push_watched(samples, &mut |_| ());
    }

    /// The same, and `seen` is told at once of what edges show.
    pub(crate) fn push_watched(&mut self, samples: &[f32], seen: &mut impl FnMut(&Received)) {
        self.samples += samples.len() as u64;
        let continuity = &mut self.continuity;
        self.receiver
            .push_watched(samples, seen, &mut |evidence| take(continuity, &evidence));
    }

    /// What edges have shown to the last, as if the recording ended here.
    pub(crate) fn in_hand(&self, seen: &mut impl FnMut(&Received)) {
        self.receiver.in_hand(seen);
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
