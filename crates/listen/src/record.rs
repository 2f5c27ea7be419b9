//! What is heard, as a recording that says when it begins.

use plumbline_media::write::{Recording, pack};
use plumbline_media::{Bext, Encoding, Ixml};
use plumbline_shoot::Now;
use plumbline_timecode::{Frames, SampleRate};
use plumbline_tone::{ORIGINATOR, stated_speed};

/// A recording that is being made. Its length is known at the end only, so the bytes of its sound
/// are handed out first, and its header last.
#[derive(Debug)]
pub(crate) struct Record {
    sample_rate: SampleRate,
    channels: u16,
    /// The number of its first sample, counted from the first that was heard.
    from: u64,
    frames: u64,
    /// Bytes that were not handed out yet.
    bytes: Vec<u8>,
    /// The first code that was heard since it began, or that was running then.
    placed: Option<Now>,
}

/// What was recorded, but for the bytes of its sound.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recorded {
    /// What stands before the sound.
    pub header: Vec<u8>,
    /// What stands behind it.
    pub after: Vec<u8>,
    /// What the file should be called.
    pub name: String,
    /// The time address at its first sample, where there was code.
    pub starts_at: Option<String>,
}

/// 24 bits: more than any input has.
const ENCODING: Encoding = Encoding::S24;

impl Record {
    pub(crate) const fn new(sample_rate: SampleRate, channels: u16, from: u64) -> Self {
        Self {
            sample_rate,
            channels,
            from,
            frames: 0,
            bytes: Vec::new(),
            placed: None,
        }
    }

    /// Takes the next samples, one slice a channel.
    pub(crate) fn push(&mut self, planes: &[&[f32]]) {
        let length = planes.first().map_or(0, |plane| plane.len());
        if planes.len() != usize::from(self.channels) {
            return;
        }
        let mut bytes = Vec::new();
        pack(ENCODING, planes, &mut bytes);
        self.bytes.append(&mut bytes);
        self.frames += length as u64;
    }

    /// Takes code that is heard: the first one says when the recording begins.
    pub(crate) fn place(&mut self, now: &Now) {
        if self.placed.is_none() && now.direction == 1 {
            self.placed = Some(*now);
        }
    }

    pub(crate) fn take(&mut self) -> Vec<u8> {
        std::mem::take(&mut self.bytes)
    }

    pub(crate) fn end(self) -> Option<Recorded> {
        if self.frames == 0 {
            return None;
        }
        let hertz = hertz(self.sample_rate);
        let start = self.start();
        let mut recording = Recording::new(hertz, self.channels, ENCODING, self.frames);
        recording.bext = Some(Bext {
            description: "What was heard on an input".to_owned(),
            originator: ORIGINATOR.to_owned(),
            time_reference: start.as_ref().map_or(0, |start| start.samples),
            version: 1,
            ..Bext::default()
        });
        recording.ixml = start.as_ref().zip(self.placed).map(|(start, now)| Ixml {
            ubits: Some(now.user_bits.to_string()),
            speed: Some(stated_speed(now.timebase, hertz, ENCODING, start.samples)),
            ..Ixml::default()
        });
        let odd = self.frames * u64::from(self.channels * ENCODING.bytes()) % 2 == 1;
        let name = match &start {
            Some(start) => format!("heard_{}.wav", start.address.replace([':', ';'], "-")),
            None => "heard.wav".to_owned(),
        };
        Some(Recorded {
            header: recording.header().ok()?,
            after: vec![0; usize::from(odd)],
            name,
            starts_at: start.map(|start| start.address),
        })
    }

    /// The instant of its first sample, worked back or on from the code.
    fn start(&self) -> Option<Start> {
        let now = self.placed?;
        let rate = now.timebase.rate();
        let day = Frames(i64::from(now.timebase.count().frames_per_day()));
        let frames = (self.from as f64 - now.first_edge) / now.samples_per_codeword;
        let frame = (f64::from(now.address.frame_number().0) + frames).rem_euclid(day.0 as f64);
        let samples = frame * rate.samples(Frames(1), self.sample_rate).as_f64();
        let day = rate.samples(day, self.sample_rate).as_f64();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "`as` saturates, and a frame of a day is not below 0"
        )]
        let (samples, whole) = (samples.round().min(day - 1.0) as u64, frame.floor() as i64);
        let midnight = plumbline_timecode::TimeAddress::midnight(now.timebase.count());
        Some(Start {
            samples,
            address: midnight.plus_wrapping(Frames(whole)).to_string(),
        })
    }
}

struct Start {
    /// Since midnight.
    samples: u64,
    /// Of the frame in progress.
    address: String,
}

/// Inputs have whole rates.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "`as` saturates"
)]
fn hertz(rate: SampleRate) -> u32 {
    rate.as_f64().round() as u32
}
