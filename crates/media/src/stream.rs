//! Files in which the packets of sound must be looked for.
//!
//! The library that finds them reads from a source, but bytes are pushed here: so it reads from a
//! queue, and is asked for a packet only when the queue holds more than a packet can take.

use std::collections::VecDeque;
use std::fmt;
use std::io::{self, ErrorKind, Read, Seek, SeekFrom};
use std::sync::{Arc, Mutex, PoisonError};

use symphonia::core::codecs::audio::{AudioCodecId, well_known};
use symphonia::core::errors::Error;
use symphonia::core::formats::probe::Hint;
use symphonia::core::formats::{FormatOptions, FormatReader, Track as Found};
use symphonia::core::io::{MediaSource, MediaSourceStream, MediaSourceStreamOptions};
use symphonia::core::meta::MetadataOptions;
use symphonia::core::packet::Packet;
use symphonia::core::units::{Time, TimeBase, Timestamp};

use crate::cursor::Cursor;
use crate::decoding::Decoding;
use crate::limits::{
    BROKEN_AT_MOST, CHANNELS_AT_MOST, OPENING_SHOWN, PACKET_FRAMES_AT_MOST, STREAM_RESERVE,
};
use crate::samples::TimeLine;
use crate::{
    ChunkId, Codec, Coding, Container, Creation, Decoders, Edit, Header, MediaError, Opening,
    OutsidePacket, Piece, Silenced, Track, plausible,
};

/// Reads what the beginning of such a file says.
pub(crate) fn open<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    container: Container,
    decoders: Decoders,
) -> Result<Header, MediaError> {
    let beginning = cursor.read(0, STREAM_RESERVE)?;
    let queue = Queue::default();
    queue.push(&beginning);
    let reader = queue.reader().map_err(|error| MediaError::Unreadable {
        container,
        said: error.to_string(),
    })?;
    let chosen = Chosen::of(&*reader, decoders);
    let Some(first) = chosen.tracks.first() else {
        let found = Opening::new(beginning.get(..OPENING_SHOWN).unwrap_or(&beginning));
        let none = MediaError::NoTrack { found };
        return Err(chosen.problems.into_iter().next().unwrap_or(none));
    };
    let creation = match container {
        Container::Matroska => Creation::of_matroska(cursor)?,
        _ => None,
    };
    Ok(Header {
        container,
        sample_rate: first.decoding.sample_rate(),
        tracks: chosen.tracks.iter().map(StreamTrack::track).collect(),
        pieces: vec![Piece {
            bytes: 0..cursor.len(),
            track: 0,
        }],
        sample_frames: chosen.sample_frames,
        timecodes: Vec::new(),
        bext: None,
        ixml: None,
        creation,
        problems: chosen.problems,
    })
}

/// Where a track's own description is at fault.
const TRACK: ChunkId = ChunkId(*b"trak");

/// The tracks of sound that are read, of all that a reader found.
#[derive(Default)]
struct Chosen {
    tracks: Vec<StreamTrack>,
    /// Of the longest, where the header tells.
    sample_frames: u64,
    problems: Vec<MediaError>,
}

impl Chosen {
    fn of(reader: &dyn FormatReader, decoders: Decoders) -> Self {
        let mut chosen = Self::default();
        for found in reader.tracks() {
            match StreamTrack::of(found, decoders) {
                None => {}
                Some(Err(problem)) => chosen.problems.push(problem),
                Some(Ok(track)) => chosen.add(track, found.num_frames.unwrap_or(0)),
            }
        }
        chosen
    }

    fn add(&mut self, mut track: StreamTrack, sample_frames: u64) {
        let channels: u16 = self
            .tracks
            .iter()
            .map(|track| track.decoding.channels())
            .sum();
        let (own, hertz) = (track.decoding.channels(), track.decoding.sample_rate());
        let first = self.tracks.first();
        let other_rate = first.is_some_and(|first| first.decoding.sample_rate() != hertz);
        if other_rate || channels + own > CHANNELS_AT_MOST {
            self.problems.push(MediaError::OtherTrack {
                hertz,
                channels: own,
            });
            return;
        }
        track.first_channel = channels;
        self.sample_frames = self.sample_frames.max(sample_frames);
        self.tracks.push(track);
    }
}

struct StreamTrack {
    id: u32,
    codec: Codec,
    bits: Option<u16>,
    time_base: Option<TimeBase>,
    first_channel: u16,
    decoding: Decoding,
    line: Option<TimeLine>,
}

impl StreamTrack {
    /// None where the track is no sound.
    fn of(found: &Found, decoders: Decoders) -> Option<Result<Self, MediaError>> {
        let parameters = found.codec_params.as_ref()?.audio()?;
        let Some(codec) = codec(parameters.codec) else {
            let name = codec_name(parameters.codec);
            return Some(Err(MediaError::Codec { name }));
        };
        let bits = parameters
            .bits_per_sample
            .filter(|_| matches!(codec, Codec::Flac | Codec::Alac | Codec::Pcm))
            .and_then(|bits| u16::try_from(bits).ok());
        let decoding = Decoding::new(codec, parameters, decoders).and_then(|decoding| {
            plausible::channels(decoding.channels(), TRACK, 0)?;
            plausible::sample_rate(decoding.sample_rate(), TRACK, 0)?;
            Ok(decoding)
        });
        Some(decoding.map(|decoding| Self {
            id: found.id,
            codec,
            bits,
            time_base: found.time_base,
            first_channel: 0,
            decoding,
            line: None,
        }))
    }

    fn track(&self) -> Track {
        Track {
            coding: Coding::Stream(self.codec),
            channels: self.decoding.channels(),
            bits: self.bits,
            edit: Edit::WHOLE,
            outside: self.decoding.outside().cloned(),
        }
    }

    fn take(
        &mut self,
        packet: &Packet,
        container: Container,
        give: &mut impl FnMut(u16, &[&[f32]]),
    ) {
        let beginning = self.beginning(packet, container);
        let line = self
            .line
            .get_or_insert_with(|| TimeLine::new(beginning.believed(self.decoding.sample_rate())));
        let hertz = f64::from(self.decoding.sample_rate());
        let samples = |time: Option<Time>| time.map_or(0.0, |time| time.as_secs_f64() * hertz);
        let lasts = self
            .time_base
            .and_then(|base| base.calc_duration(packet.block_dur()));
        let frames = whole(samples(lasts)).min(PACKET_FRAMES_AT_MOST.into());
        let frames = usize::try_from(frames).unwrap_or(0);
        let first = self.first_channel;
        self.decoding
            .decode(&packet.as_packet_ref(), frames, &mut |planes| {
                line.take(planes, &mut |planes| give(first, planes));
            });
    }
}

impl StreamTrack {
    /// Where on the time line the first packet begins. Only Matroska says when a track begins:
    /// later than others, with silence before it, or with a run-in before the time line does. The
    /// other readers have taken the run-in out, but for that of a decoder outside.
    fn beginning(&self, packet: &Packet, container: Container) -> Edit {
        let run_in = self
            .decoding
            .outside()
            .map_or(0.0, |outside| outside.run_in.into());
        let told = self.time_base.filter(|_| container == Container::Matroska);
        let hertz = f64::from(self.decoding.sample_rate());
        let samples = |time: Time| time.as_secs_f64() * hertz;
        let at = |ticks| told?.calc_time(Timestamp::new(ticks)).map(samples);
        let begins = at(packet.pts.get()).unwrap_or(0.0);
        let tick = at(1).unwrap_or(0.0);
        if run_in == 0.0 {
            return beginning_at(begins);
        }
        // The reader took the run-in off in whole ticks, unless the file did not tell it there.
        let is_untold = (0.0..tick).contains(&begins) || tick == 0.0;
        let taken = if is_untold {
            0.0
        } else {
            (run_in / tick).floor() * tick
        };
        beginning_at(begins + taken - run_in)
    }

    /// Samples of the decoder outside at their place.
    fn decoded(&mut self, at: u64, planes: &[&[f32]], give: &mut impl FnMut(u16, &[&[f32]])) {
        let (first, Some(line)) = (self.first_channel, &mut self.line) else {
            return;
        };
        if let Some(outside) = self.decoding.outside_mut() {
            outside.take(at, planes, &mut |planes| {
                line.take(planes, &mut |planes| give(first, planes));
            });
        }
    }
}

fn beginning_at(sample: f64) -> Edit {
    Edit {
        silence: whole(sample),
        skip: whole(-sample),
        ..Edit::WHOLE
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "saturates, at 0 too"
)]
fn whole(samples: f64) -> u64 {
    samples.round() as u64
}

/// Finds the packets in a file's bytes and decodes them.
pub(crate) struct StreamDecoder {
    queue: Queue,
    container: Container,
    decoders: Decoders,
    state: State,
    /// Packets that were broken before they came to a decoder.
    broken: u64,
    /// How many of them came one after the other.
    in_a_row: u32,
    tracks: Vec<StreamTrack>,
}

enum State {
    /// The reader waits for enough bytes.
    Waiting,
    Reading(Box<dyn FormatReader>),
    Ended,
}

impl StreamDecoder {
    pub(crate) fn new(container: Container, decoders: Decoders) -> Self {
        Self {
            queue: Queue::default(),
            container,
            decoders,
            state: State::Waiting,
            broken: 0,
            in_a_row: 0,
            tracks: Vec::new(),
        }
    }

    /// What became silence, each track by itself.
    pub(crate) fn undecodable(&self) -> impl Iterator<Item = Silenced> {
        let broken = Silenced {
            count: self.broken,
            first: u64::MAX,
        };
        let tracks = self.tracks.iter().map(|track| track.decoding.undecodable());
        tracks.chain(std::iter::once(broken))
    }

    /// The next packet for the decoder outside, whose track is one of these.
    pub(crate) fn next_packet(&mut self) -> Option<OutsidePacket> {
        (0..).zip(&mut self.tracks).find_map(|(index, track)| {
            let packet = track.decoding.outside_mut()?.next()?;
            Some(OutsidePacket {
                track: index,
                ..packet
            })
        })
    }

    pub(crate) fn decoded(
        &mut self,
        track: usize,
        at: u64,
        planes: &[&[f32]],
        give: &mut impl FnMut(u16, &[&[f32]]),
    ) {
        if let Some(track) = self.tracks.get_mut(track) {
            track.decoded(at, planes, give);
        }
    }

    pub(crate) fn lost(&mut self, track: usize, at: u64) {
        let track = self.tracks.get_mut(track);
        if let Some(outside) = track.and_then(|track| track.decoding.outside_mut()) {
            outside.lost(at);
        }
    }

    pub(crate) fn push(&mut self, bytes: &[u8], give: &mut impl FnMut(u16, &[&[f32]])) {
        // No more than a piece at a time goes in, so that the queue stays short.
        for bytes in bytes.chunks(STREAM_RESERVE) {
            self.queue.push(bytes);
            while self.queue.len() > STREAM_RESERVE && self.step(give) {}
            if matches!(self.state, State::Ended) {
                self.queue.clear();
            }
        }
    }

    pub(crate) fn finish(&mut self, give: &mut impl FnMut(u16, &[&[f32]])) {
        while self.step(give) {}
    }

    /// One packet; false where there are no more.
    fn step(&mut self, give: &mut impl FnMut(u16, &[&[f32]])) -> bool {
        match &mut self.state {
            State::Waiting => {
                self.state = self.queue.reader().map_or(State::Ended, State::Reading);
                if let State::Reading(reader) = &self.state {
                    // The same as when the header was read.
                    self.tracks = Chosen::of(&**reader, self.decoders).tracks;
                }
            }
            State::Reading(reader) => match reader.next_packet() {
                Ok(Some(packet)) => {
                    self.in_a_row = 0;
                    let mut tracks = self.tracks.iter_mut();
                    if let Some(track) = tracks.find(|track| track.id == packet.track_id) {
                        track.take(&packet, self.container, give);
                    }
                }
                // The reader looks for the next one; some stand still and find the same again.
                Err(Error::DecodeError(_)) if self.in_a_row < BROKEN_AT_MOST => {
                    self.in_a_row += 1;
                    self.broken += 1;
                }
                Ok(None) | Err(_) => self.state = State::Ended,
            },
            State::Ended => return false,
        }
        true
    }
}

impl fmt::Debug for StreamDecoder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("StreamDecoder")
            .field("container", &self.container)
            .finish_non_exhaustive()
    }
}

fn codec(id: AudioCodecId) -> Option<Codec> {
    use well_known as known;
    let is_supported = symphonia::default::get_codecs()
        .get_audio_decoder(id)
        .is_some();
    // Opus is decoded outside.
    (is_supported || id == known::CODEC_ID_OPUS).then_some(match id {
        known::CODEC_ID_AAC => Codec::Aac,
        known::CODEC_ID_ALAC => Codec::Alac,
        known::CODEC_ID_FLAC => Codec::Flac,
        known::CODEC_ID_MP2 => Codec::Mp2,
        known::CODEC_ID_MP3 => Codec::Mp3,
        known::CODEC_ID_OPUS => Codec::Opus,
        known::CODEC_ID_VORBIS => Codec::Vorbis,
        _ => Codec::Pcm,
    })
}

/// The trade's name of a codec that is not decoded here.
fn codec_name(id: AudioCodecId) -> &'static str {
    use well_known as known;
    match id {
        known::CODEC_ID_AC3 => "AC-3",
        known::CODEC_ID_EAC3 => "E-AC-3",
        known::CODEC_ID_DCA => "DTS",
        known::CODEC_ID_TRUEHD => "TrueHD",
        known::CODEC_ID_WAVPACK => "WavPack",
        known::CODEC_ID_SPEEX => "Speex",
        _ => "an unknown codec",
    }
}

/// Bytes on their way to the library.
#[derive(Debug, Clone, Default)]
struct Queue(Arc<Mutex<VecDeque<u8>>>);

impl Queue {
    fn push(&self, bytes: &[u8]) {
        self.lock().extend(bytes);
    }

    fn len(&self) -> usize {
        self.lock().len()
    }

    fn clear(&self) {
        self.lock().clear();
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, VecDeque<u8>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn reader(&self) -> Result<Box<dyn FormatReader>, Error> {
        let source =
            MediaSourceStream::new(Box::new(self.clone()), MediaSourceStreamOptions::default());
        symphonia::default::get_probe().probe(
            &Hint::new(),
            source,
            FormatOptions::default(),
            MetadataOptions::default(),
        )
    }
}

impl Read for Queue {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        self.lock().read(into)
    }
}

impl Seek for Queue {
    fn seek(&mut self, _: SeekFrom) -> io::Result<u64> {
        Err(ErrorKind::Unsupported.into())
    }
}

impl MediaSource for Queue {
    fn is_seekable(&self) -> bool {
        false
    }

    fn byte_len(&self) -> Option<u64> {
        None
    }
}
