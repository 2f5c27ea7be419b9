//! One channel of the recording: samples in, continuity out.

use crate::continuity::{Continuity, FrameList};
use crate::waiting::Patience;
use crate::word::Word;
use plumbline_ltc::{Evidence, Received, Receiver, Seam, finish_in_step, push_in_step};
use plumbline_timecode::SampleRate;

#[derive(Debug, Clone)]
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
            continuity: Continuity::new(frames, Patience::Patient),
            samples: 0,
        }
    }

    /// Takes the next samples, in any number; `seen` is told at once of what edges show.
    pub(crate) fn push_watched(&mut self, samples: &[f32], seen: &mut impl FnMut(&Received)) {
        self.samples += samples.len() as u64;
        let continuity = &mut self.continuity;
        self.receiver
            .push_watched(samples, seen, &mut |evidence| take(continuity, &evidence));
    }

    /// What edges have shown to the last, as if the recording ended here, and where the last
    /// codeword ended.
    pub(crate) fn in_hand(&self, seen: &mut impl FnMut(&Received)) -> Option<Seam> {
        self.receiver.in_hand(seen)
    }

    /// Takes the next samples of channels that run side by side, as many of each.
    pub(crate) fn push_each(channels: &mut [Channel], planes: &[&[f32]]) {
        for (channel, plane) in channels.iter_mut().zip(planes) {
            channel.samples += plane.len() as u64;
        }
        in_step(channels, |receivers, found| {
            push_in_step(receivers, planes, &mut |n, evidence| found(n, &evidence));
        });
    }

    /// Takes what is still in hand when the recording ends.
    pub(crate) fn finish_each(channels: &mut [Channel]) {
        in_step(channels, |receivers, found| {
            finish_in_step(receivers, &mut |n, evidence| found(n, &evidence));
        });
        for channel in channels {
            channel.continuity.end();
        }
    }
}

/// Lets the receivers of channels do something in step, and takes what they find.
fn in_step(
    channels: &mut [Channel],
    act: impl FnOnce(&mut [&mut Receiver], &mut dyn FnMut(usize, &Evidence)),
) {
    let parts = channels.iter_mut();
    let parts = parts.map(|channel| (&mut channel.receiver, &mut channel.continuity));
    let (mut receivers, mut continuities): (Vec<_>, Vec<_>) = parts.unzip();
    act(&mut receivers, &mut |number, evidence| {
        take(continuities[number], evidence);
    });
}

fn take(continuity: &mut Continuity, evidence: &Evidence) {
    match evidence {
        Evidence::Each(received) => continuity.push(Word::from(received)),
        Evidence::Together(together) => continuity.hear(together),
    }
}
