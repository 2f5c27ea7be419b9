//! Reading one recording: bytes in, reading out. Memory does not grow with the recording, unless
//! every codeword is asked for.

use crate::channel::Channel;
use crate::continuity::FrameList;
use crate::facts::{Extent, Facts, Progress};
use crate::findings::{self, Found};
use crate::metadata;
use crate::present;
use crate::reading::Reading;
use crate::report::{Report, ReportedError, Suspicion};
use crate::suspicion;
use plumbline_media::{
    Coding, Decoders, Header, MediaError, OutsideDecoder, OutsidePacket, Samples,
};
use plumbline_timecode::SampleRate;
use plumbline_words::counted;
use std::io::{Read, Seek};
use std::ops::Range;

/// The sample rates at which code is looked for, in hertz. Below, its shortest half-cells are no
/// samples wide; above, no recorder goes.
const SAMPLE_RATES: std::ops::RangeInclusive<u32> = 8_000..=192_000;

/// Reads one recording as its bytes come.
#[derive(Debug)]
pub struct RecordingReader {
    name: String,
    header: Header,
    sample_rate: SampleRate,
    samples: Samples,
    channels: Vec<Channel>,
    pushed: u64,
}

/// One channel's facts with everything that was found in it.
pub(crate) struct Heard<'a> {
    pub(crate) facts: Facts<'a>,
    pub(crate) found: Vec<Found>,
}

impl RecordingReader {
    /// Reads the header through `source`. The bytes of [`RecordingReader::pieces`] are then to be
    /// pushed in order.
    ///
    /// # Errors
    /// A reading whose report holds the error, where there is no sound to push.
    pub fn open(
        name: &str,
        source: &mut (impl Read + Seek),
        frames: FrameList,
    ) -> Result<RecordingReader, Box<Reading>> {
        RecordingReader::open_for(name, source, Decoders::Own, frames)
    }

    /// The same as [`RecordingReader::open`], for the decoders that there are.
    ///
    /// With [`Decoders::OwnAndOutside`], [`RecordingReader::outside`] may want decoders: after
    /// each push the packets that are then there are decoded by them and brought back.
    ///
    /// # Errors
    /// As there.
    pub fn open_for(
        name: &str,
        source: &mut (impl Read + Seek),
        decoders: Decoders,
        frames: FrameList,
    ) -> Result<RecordingReader, Box<Reading>> {
        let refused = |error: ReportedError| Box::new(present::unreadable(name, error));
        let header =
            plumbline_media::open_for(source, decoders).map_err(|e| refused((&e).into()))?;
        let sample_rate = sample_rate(&header).map_err(refused)?;
        let samples = Samples::new(&header).map_err(|e| refused((&e).into()))?;
        let channels = (0..header.channels())
            .map(|_| Channel::new(sample_rate, frames))
            .collect();
        Ok(RecordingReader {
            name: name.to_owned(),
            samples,
            sample_rate,
            header,
            channels,
            pushed: 0,
        })
    }

    /// Where the sound stands in the file: these bytes, in this order. Pieces never touch.
    pub fn pieces(&self) -> Vec<Range<u64>> {
        self.header.sound()
    }

    /// Takes the next bytes of the pieces, in any number.
    pub fn push(&mut self, bytes: &[u8]) {
        self.pushed += bytes.len() as u64;
        let channels = &mut self.channels;
        self.samples.push(bytes, &mut |first, planes| {
            hand_out(channels, first, planes);
        });
    }

    /// The decoders that are wanted outside, and for which track each.
    pub fn outside(&self) -> impl Iterator<Item = (usize, &OutsideDecoder)> {
        let tracks = self.header.tracks.iter().enumerate();
        tracks.filter_map(|(index, track)| Some((index, track.outside.as_ref()?)))
    }

    /// The next packet for a decoder outside, of those that the bytes so far hold.
    pub fn next_packet(&mut self) -> Option<OutsidePacket> {
        self.samples.next_packet()
    }

    /// Takes what a decoder outside made: see [`Samples::decoded`].
    pub fn decoded(&mut self, track: usize, at: u64, planes: &[&[f32]]) {
        let channels = &mut self.channels;
        self.samples
            .decoded(track, at, planes, &mut |first, planes| {
                hand_out(channels, first, planes);
            });
    }

    /// The packet of a track that begins there could not be decoded outside.
    pub fn lost(&mut self, track: usize, at: u64) {
        self.samples.lost(track, at);
    }

    /// There will be no more bytes: what is still in hand is read, and the last packets for
    /// decoders outside are there to be taken.
    pub fn end_of_bytes(&mut self) {
        let channels = &mut self.channels;
        self.samples.finish(&mut |first, planes| {
            hand_out(channels, first, planes);
        });
    }

    /// The reading as far as it has got.
    pub fn so_far(&self) -> Reading {
        self.reading(Progress::Going)
    }

    /// The reading, when all bytes were pushed, or as many as there will be.
    pub fn finish(mut self) -> Reading {
        self.end_of_bytes();
        Channel::finish_each(&mut self.channels);
        self.reading(Progress::Done)
    }

    fn reading(&self, progress: Progress) -> Reading {
        let extent = Extent {
            sample_rate: self.sample_rate,
            samples: self
                .channels
                .iter()
                .map(|channel| channel.samples)
                .max()
                .unwrap_or(0),
            progress,
        };
        let stamps = metadata::stamps(&self.header);
        let cut_off = self
            .header
            .problems
            .iter()
            .find(|problem| problem.kind() == "truncated");
        let cut_off = cut_off.map(ToString::to_string);
        let codes: Vec<Facts<'_>> = (0u16..)
            .zip(&self.channels)
            .filter_map(|(number, channel)| Facts::of(number, extent, &channel.continuity))
            .collect();
        let found = codes.iter().map(|facts| {
            let file = findings::File {
                stamps: &stamps,
                cut_off: cut_off.as_deref(),
                codec: self.header.codec(facts.channel),
            };
            findings::all(facts, file, &codes)
        });
        let found: Vec<Vec<Found>> = found.collect();
        let heard = codes.into_iter().zip(found);
        let mut heard: Vec<Heard<'_>> =
            heard.map(|(facts, found)| Heard { facts, found }).collect();
        // A channel's own code is better than what leaks into another.
        heard.sort_by_key(|heard| findings::is_a_leak(&heard.found));
        let timebase = heard.first().map(|heard| heard.facts.timebase);
        let report = Report {
            file: self.name.clone(),
            container: Some(self.header.container.name().to_owned()),
            sample_rate: Some(self.header.sample_rate),
            bits: self.header.tracks.first().and_then(|track| track.bits),
            channels: Some(self.header.channels()),
            samples: Some(self.length(extent)),
            embedded: metadata::embedded(&self.header, &stamps, timebase),
            codes: heard.iter().map(present::code).collect(),
            suspected: self.suspected(),
            error: self.error(progress),
        };
        present::reading(report, &self.header, &heard, &stamps, extent)
    }

    /// How many samples a channel has: a stream's header may not know, or be wrong.
    fn length(&self, extent: Extent) -> u64 {
        let is_stream = matches!(
            self.header.tracks.first(),
            Some(track) if matches!(track.coding, Coding::Stream(_))
        );
        if is_stream && (extent.progress == Progress::Done || self.header.sample_frames == 0) {
            extent.samples
        } else {
            self.header.sample_frames
        }
    }

    /// Channels without code that may carry some.
    fn suspected(&self) -> Vec<Suspicion> {
        let silent = (0u16..)
            .zip(&self.channels)
            .filter(|(_, channel)| channel.continuity.stretches.items.is_empty());
        let suspected = silent.filter_map(|(number, channel)| {
            let stretch = channel.continuity.suspected.as_ref()?;
            suspicion::of(number, stretch, self.sample_rate)
        });
        suspected.collect()
    }

    /// The most serious thing that is wrong with the file.
    fn error(&self, progress: Progress) -> Option<ReportedError> {
        let problems = &self.header.problems;
        let of_sound = problems.iter().find(|problem| !is_metadata(problem));
        let stopped = (progress == Progress::Done)
            .then(|| self.stopped())
            .flatten();
        let header = of_sound.or(problems.first()).map(ReportedError::from);
        header
            .or(stopped)
            .or_else(|| self.not_numbers())
            .or_else(|| self.undecodable())
    }

    /// Fewer bytes came than the header said: the file changed, or reading was stopped.
    fn stopped(&self) -> Option<ReportedError> {
        let pieces = self.pieces();
        let promised: u64 = pieces.iter().map(|piece| piece.end - piece.start).sum();
        (self.pushed < promised).then(|| ReportedError {
            kind: "stopped".into(),
            place: Some("data".into()),
            at: place_of(&pieces, self.pushed),
            text: format!(
                "reading stopped after {} of {promised} bytes of sound",
                self.pushed
            ),
            remedy: "What was read until then is shown. Read the file again for the rest.".into(),
        })
    }

    fn not_numbers(&self) -> Option<ReportedError> {
        let silenced = self.samples.non_finite();
        let frame = u64::from(self.header.tracks.first()?.bytes_per_frame()?);
        (silenced.count > 0).then(|| ReportedError {
            kind: "malformed".into(),
            place: Some("data".into()),
            at: place_of(&self.pieces(), silenced.first * frame),
            text: format!(
                "{} samples are no numbers (NaN or infinite), the first at sample {}; they were \
                 taken as silence",
                silenced.count, silenced.first
            ),
            remedy: "The rest was read. Write the file again from the program that made it.".into(),
        })
    }

    fn undecodable(&self) -> Option<ReportedError> {
        let silenced = self.samples.undecodable();
        (silenced.count > 0).then(|| ReportedError {
            kind: "undecodable".into(),
            place: None,
            at: None,
            text: format!(
                "{} of sound could not be decoded, the first at sample {}; silence stands in \
                 their place",
                counted(silenced.count, "packet"),
                silenced.first
            ),
            remedy: "The rest was read. Copy the file again from the card and compare the sizes."
                .into(),
        })
    }
}

impl ReportedError {
    /// Why places of a recording can't be read again: where `error` says that its sound is left to
    /// a decoder outside, that is the reason.
    pub(crate) fn of_places(error: &MediaError) -> ReportedError {
        let MediaError::NoDecoder { name } = error else {
            return ReportedError::from(error);
        };
        ReportedError {
            text: format!(
                "{name} is decoded by the browser, in one go from the recording’s beginning, so \
                 single places of it can’t be read again"
            ),
            remedy: "Save a copy as WAV with linear PCM (16 or 24 bits), without changing the \
                     sample rate, and take that."
                .into(),
            ..ReportedError::from(error)
        }
    }
}

/// Samples to their channels.
fn hand_out(channels: &mut [Channel], first: u16, planes: &[&[f32]]) {
    let from = usize::from(first);
    if let Some(channels) = channels.get_mut(from..from + planes.len()) {
        Channel::push_each(channels, planes);
    }
}

/// Where the byte of the sound with this number, counted from 0, stands in the file.
fn place_of(pieces: &[Range<u64>], number: u64) -> Option<u64> {
    let mut left = number;
    for piece in pieces {
        let len = piece.end - piece.start;
        if left < len {
            return Some(piece.start + left);
        }
        left -= len;
    }
    None
}

/// Whether a problem leaves the sound as it is.
fn is_metadata(problem: &MediaError) -> bool {
    ["bext", "iXML"].contains(&problem.place().as_str())
}

fn sample_rate(header: &Header) -> Result<SampleRate, ReportedError> {
    let hertz = header.sample_rate;
    let refused = || ReportedError {
        kind: "unsupported".into(),
        place: Some("fmt".into()),
        at: None,
        text: format!("the sample rate is {hertz} Hz; code is read from 8,000 to 192,000 Hz"),
        remedy: "Convert a copy to 48 kHz and read that.".into(),
    };
    let rate = SampleRate::hertz(hertz).map_err(|_| refused())?;
    if SAMPLE_RATES.contains(&hertz) {
        Ok(rate)
    } else {
        Err(refused())
    }
}

impl From<&MediaError> for ReportedError {
    fn from(error: &MediaError) -> Self {
        ReportedError {
            kind: error.kind().to_owned(),
            place: Some(error.place()),
            at: error.at(),
            text: error.to_string(),
            remedy: error.remedy().to_owned(),
        }
    }
}
