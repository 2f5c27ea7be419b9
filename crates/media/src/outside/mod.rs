//! Sound that is decoded outside, as by the browser: its packets go out, its samples come back.

pub(crate) mod aac;
pub(crate) mod opus;

use std::collections::VecDeque;

use crate::{Codec, Silenced};

/// Which decoders there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Decoders {
    /// Those of this crate.
    Own,
    /// Those, and for the rest one outside: who opens a recording so takes its packets out and
    /// brings their samples back.
    OwnAndOutside,
}

/// What a decoder outside must be set up for, in the terms of `WebCodecs` (W3C),
/// `AudioDecoderConfig`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OutsideDecoder {
    /// The codec, by the name that RFC 6381 and the registry of `WebCodecs` give it.
    pub codec: String,
    /// Sample frames a second of what comes out.
    pub sample_rate: u32,
    /// How many channels come out.
    pub channels: u16,
    /// The codec's own set-up.
    pub description: Vec<u8>,
    /// What the sound is, for people.
    pub name: String,
    /// The run-in that the codec's own set-up tells, in sample frames.
    pub(crate) run_in: u32,
    /// How long a packet is; none where its own bytes tell.
    packet_frames: Option<u32>,
}

impl OutsideDecoder {
    /// For a codec with this set-up; none where no decoder is known that takes it.
    pub(crate) fn new(codec: Codec, setup: &[u8]) -> Option<Self> {
        match codec {
            Codec::Opus => {
                let head = opus::Head::read(setup)?;
                Some(Self {
                    codec: "opus".to_owned(),
                    sample_rate: opus::SAMPLE_RATE,
                    channels: head.channels.into(),
                    description: head.without_run_in(),
                    name: codec.name().to_owned(),
                    run_in: head.pre_skip.into(),
                    packet_frames: None,
                })
            }
            Codec::Aac => {
                let read = aac::Setup::read(setup)?;
                Some(Self {
                    codec: read.codec(),
                    sample_rate: read.sample_rate,
                    channels: read.channels,
                    description: setup.to_vec(),
                    name: read.name(),
                    run_in: 0,
                    packet_frames: Some(read.packet_frames),
                })
            }
            _ => None,
        }
    }

    /// How many sample frames a packet has; none where it is damaged.
    fn frames(&self, packet: &[u8]) -> Option<u32> {
        self.packet_frames.or_else(|| opus::frames(packet))
    }
}

/// A packet that is to be decoded outside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OutsidePacket {
    /// Whose it is: an index into [`crate::Header::tracks`].
    pub track: usize,
    /// The sample frame of the track at which it begins, counted from 0 as it is decoded.
    pub at: u64,
    /// How many sample frames it has.
    pub frames: u32,
    /// What the decoder wants.
    pub bytes: Vec<u8>,
}

/// The packets of one track on their way out, and the place of its samples as they come back.
#[derive(Debug)]
pub(crate) struct Outside {
    decoder: OutsideDecoder,
    waiting: VecDeque<OutsidePacket>,
    /// How many sample frames the last packet had.
    frames: u32,
    /// How many went out, and how many came back.
    sent: u64,
    given: u64,
    /// Where the last packet's sound ends, if it ends before the packet does.
    end: Option<u64>,
    undecodable: Silenced,
}

/// Silence in the place of what did not come back, in blocks of so many sample frames.
const SILENCE: [f32; 1024] = [0.0; 1024];

impl Outside {
    pub(crate) const fn new(decoder: OutsideDecoder) -> Self {
        Self {
            decoder,
            waiting: VecDeque::new(),
            frames: 0,
            sent: 0,
            given: 0,
            end: None,
            undecodable: Silenced { count: 0, first: 0 },
        }
    }

    pub(crate) const fn decoder(&self) -> &OutsideDecoder {
        &self.decoder
    }

    pub(crate) const fn undecodable(&self) -> Silenced {
        self.undecodable
    }

    /// Puts a packet out, whose last so many sample frames are no sound.
    pub(crate) fn put(&mut self, bytes: &[u8], trim: u64) {
        // A damaged packet is taken to be as long as the one before.
        let frames = self.decoder.frames(bytes).unwrap_or(self.frames);
        self.frames = frames;
        self.waiting.push_back(OutsidePacket {
            track: 0,
            at: self.sent,
            frames,
            bytes: bytes.to_vec(),
        });
        self.sent += u64::from(frames);
        self.end = (trim > 0).then(|| self.sent.saturating_sub(trim));
    }

    pub(crate) fn next(&mut self) -> Option<OutsidePacket> {
        self.waiting.pop_front()
    }

    /// A packet that began there did not come back: silence will stand in its place.
    pub(crate) const fn lost(&mut self, at: u64) {
        if self.undecodable.count == 0 {
            self.undecodable.first = at;
        }
        self.undecodable.count += 1;
    }

    /// Samples that came back, one slice a channel, and the sample frame at which they begin. What
    /// is missing before them becomes silence; channels that the track has not are left out.
    pub(crate) fn take(&mut self, at: u64, planes: &[&[f32]], give: &mut impl FnMut(&[&[f32]])) {
        let channels = usize::from(self.decoder.channels);
        self.silence_to(at, give);
        let frames = planes.first().map_or(0, |plane| plane.len());
        let most = self.end.unwrap_or(self.sent).saturating_sub(self.given);
        let frames = frames.min(usize::try_from(most).unwrap_or(usize::MAX));
        if frames == 0 {
            return;
        }
        let silence = vec![0.0; frames];
        let planes = planes.iter().map(|plane| plane.get(..frames));
        let planes = planes.map(|plane| plane.unwrap_or(&silence));
        let planes = planes.chain(std::iter::repeat(&silence[..])).take(channels);
        self.given += frames as u64;
        give(&planes.collect::<Vec<_>>());
    }

    fn silence_to(&mut self, at: u64, give: &mut impl FnMut(&[&[f32]])) {
        let at = at.min(self.sent);
        while self.given < at {
            let frames = usize::try_from(at - self.given).unwrap_or(usize::MAX);
            let silence = SILENCE.get(..frames).unwrap_or(&SILENCE);
            self.given += silence.len() as u64;
            give(&vec![silence; self.decoder.channels.into()]);
        }
    }
}
