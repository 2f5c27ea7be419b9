//! One channel of the recording: samples in, continuity out.

use crate::continuity::{Continuity, FrameList};
use crate::word::Word;
use plumbline_ltc::Demodulator;
use plumbline_timecode::SampleRate;

#[derive(Debug)]
pub(crate) struct Channel {
    demodulator: Demodulator,
    pub(crate) continuity: Continuity,
}

impl Channel {
    pub(crate) fn new(sample_rate: SampleRate, frames: FrameList) -> Self {
        Channel {
            demodulator: Demodulator::new(sample_rate),
            continuity: Continuity::new(frames),
        }
    }

    /// Takes the next samples, in any number.
    pub(crate) fn push(&mut self, samples: &[f32]) {
        let continuity = &mut self.continuity;
        self.demodulator.push(samples, &mut |received| {
            continuity.push(Word::from(&received));
        });
    }

    /// Takes what is still in hand when the recording ends.
    pub(crate) fn finish(&mut self) {
        let continuity = &mut self.continuity;
        self.demodulator
            .finish(&mut |received| continuity.push(Word::from(&received)));
    }
}
