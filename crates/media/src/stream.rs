//! Files in which the packets of sound must be looked for.
//!
//! The library that finds them reads from a source, but bytes are pushed here: so it reads from a
//! queue, and is asked for a packet only when the queue holds more than a packet can take.

use std::collections::VecDeque;
use std::fmt;
use std::io::{self, ErrorKind, Read, Seek, SeekFrom};
use std::sync::{Arc, Mutex, PoisonError};

use symphonia::core::audio::Channels;
use symphonia::core::codecs::audio::{
    AudioCodecId, AudioCodecParameters, AudioDecoder, AudioDecoderOptions, well_known,
};
use symphonia::core::errors::Error;
use symphonia::core::formats::probe::Hint;
use symphonia::core::formats::{FormatOptions, FormatReader, Track as Found};
use symphonia::core::io::{MediaSource, MediaSourceStream, MediaSourceStreamOptions};
use symphonia::core::meta::MetadataOptions;
use symphonia::core::packet::Packet;

use crate::cursor::Cursor;
use crate::limits::{CHANNELS_AT_MOST, OPENING_SHOWN, SAMPLE_RATE_AT_MOST, STREAM_RESERVE};
use crate::samples::TimeLine;
use crate::{
    ChunkId, Codec, Coding, Container, Edit, Header, MediaError, Opening, Piece, Silenced, Track,
    Unsupported,
};

/// Reads what the beginning of such a file says.
pub(crate) fn open<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    container: Container,
) -> Result<Header, MediaError> {
    let beginning = cursor.read(0, STREAM_RESERVE)?;
    let broken = |error: &Error| MediaError::Unreadable {
        container,
        said: error.to_string(),
    };
    let queue = Queue::default();
    queue.push(&beginning);
    let reader = queue.reader().map_err(|error| broken(&error))?;
    let mut problems = Vec::new();
    let (mut sample_rate, mut sample_frames, mut channels) = (0, 0, 0u16);
    let mut tracks = Vec::new();
    for found in reader.tracks() {
        let track = match Shape::of(found) {
            None => continue,
            Some(Err(problem)) => {
                problems.push(problem);
                continue;
            }
            Some(Ok(shape)) => shape,
        };
        if sample_rate == 0 {
            sample_rate = track.sample_rate;
        }
        channels = channels.saturating_add(track.channels);
        if track.sample_rate != sample_rate || channels > CHANNELS_AT_MOST {
            channels -= track.channels;
            problems.push(MediaError::OtherTrack {
                hertz: track.sample_rate,
                channels: track.channels,
            });
            continue;
        }
        sample_frames = sample_frames.max(found.num_frames.unwrap_or(0));
        tracks.push(Track {
            coding: Coding::Stream(track.codec),
            channels: track.channels,
            bits: track.bits,
            edit: Edit::WHOLE,
        });
    }
    if tracks.is_empty() {
        return Err(problems.into_iter().next().unwrap_or(MediaError::NoTrack {
            found: Opening::new(beginning.get(..OPENING_SHOWN).unwrap_or(&beginning)),
        }));
    }
    Ok(Header {
        container,
        sample_rate,
        tracks,
        pieces: vec![Piece {
            bytes: 0..cursor.len(),
            track: 0,
        }],
        sample_frames,
        timecodes: Vec::new(),
        bext: None,
        ixml: None,
        problems,
    })
}

/// What is needed of a track that was found.
struct Shape {
    codec: Codec,
    sample_rate: u32,
    channels: u16,
    bits: Option<u16>,
}

impl Shape {
    /// None where the track is no sound.
    fn of(found: &Found) -> Option<Result<Self, MediaError>> {
        let parameters = found.codec_params.as_ref()?.audio()?;
        let refused = |what| MediaError::Unsupported {
            place: ChunkId(*b"trak"),
            at: 0,
            what,
        };
        let Some(codec) = codec(parameters.codec) else {
            let name = codec_name(parameters.codec);
            return Some(Err(refused(Unsupported::CodecNamed { name })));
        };
        // A decoder that refuses the set-up says so now, not in the middle of the sound.
        let decoder = match decoder(parameters) {
            Ok(decoder) => decoder,
            Err(error) => {
                let said = error.to_string();
                return Some(Err(refused(Unsupported::Setup { codec, said })));
            }
        };
        let known = decoder.codec_params();
        let channels = parameters.channels.as_ref().or(known.channels.as_ref());
        let channels = channels.map_or(0, Channels::count);
        let sample_rate = parameters.sample_rate.or(known.sample_rate).unwrap_or(0);
        if channels == 0 || sample_rate == 0 || sample_rate > SAMPLE_RATE_AT_MOST {
            return None;
        }
        Some(Ok(Self {
            codec,
            sample_rate,
            channels: u16::try_from(channels).unwrap_or(u16::MAX),
            bits: parameters
                .bits_per_sample
                .filter(|_| matches!(codec, Codec::Flac | Codec::Alac | Codec::Pcm))
                .and_then(|bits| u16::try_from(bits).ok()),
        }))
    }
}

/// Finds the packets in a file's bytes and decodes them.
pub(crate) struct StreamDecoder {
    queue: Queue,
    container: Container,
    sample_rate: u32,
    tracks: usize,
    state: State,
    undecodable: Silenced,
}

enum State {
    /// The reader waits for enough bytes.
    Waiting,
    Reading(Box<Reading>),
    Ended,
}

struct Reading {
    reader: Box<dyn FormatReader>,
    tracks: Vec<StreamTrack>,
}

struct StreamTrack {
    id: u32,
    first_channel: u16,
    channels: usize,
    decoder: Box<dyn AudioDecoder>,
    line: Option<TimeLine>,
    planes: Vec<Vec<f32>>,
    given: u64,
}

impl StreamDecoder {
    pub(crate) fn new(header: &Header) -> Self {
        Self {
            queue: Queue::default(),
            container: header.container,
            sample_rate: header.sample_rate,
            tracks: header.tracks.len(),
            state: State::Waiting,
            undecodable: Silenced::default(),
        }
    }

    pub(crate) const fn undecodable(&self) -> Silenced {
        self.undecodable
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
                self.state = match self.queue.reader() {
                    Ok(reader) => {
                        let tracks = tracks(&*reader, self.sample_rate, self.tracks);
                        State::Reading(Box::new(Reading { reader, tracks }))
                    }
                    Err(_) => State::Ended,
                };
            }
            State::Reading(reading) => match reading.reader.next_packet() {
                Ok(Some(packet)) => self.take(&packet, give),
                // A fault in one packet: the reader has found the next.
                Err(Error::DecodeError(_)) => self.undecodable.count += 1,
                Ok(None) | Err(_) => self.state = State::Ended,
            },
            State::Ended => return false,
        }
        true
    }

    fn take(&mut self, packet: &Packet, give: &mut impl FnMut(u16, &[&[f32]])) {
        let State::Reading(reading) = &mut self.state else {
            return;
        };
        let time_base = reading
            .reader
            .tracks()
            .iter()
            .find(|track| track.id == packet.track_id)
            .and_then(|track| track.time_base);
        let mut tracks = reading.tracks.iter_mut();
        let Some(track) = tracks.find(|track| track.id == packet.track_id) else {
            return;
        };
        let frames = usize::try_from(packet.block_dur().get())
            .unwrap_or(0)
            .min(1 << 16);
        match track.decoder.decode(packet) {
            Ok(sound) if sound.num_planes() == track.channels => {
                sound.copy_to_vecs_planar(&mut track.planes);
            }
            _ => {
                if self.undecodable.count == 0 {
                    self.undecodable.first = track.given;
                }
                self.undecodable.count += 1;
                track.planes = vec![vec![0.0; frames]; track.channels];
            }
        }
        let planes: Vec<&[f32]> = track.planes.iter().map(Vec::as_slice).collect();
        track.given += planes.first().map_or(0, |plane| plane.len() as u64);
        let begins = time_base
            .filter(|_| self.container == Container::Matroska)
            .and_then(|base| base.calc_time(packet.pts))
            .map_or(0.0, |time| time.as_secs_f64() * f64::from(self.sample_rate));
        let line = track
            .line
            .get_or_insert_with(|| TimeLine::new(beginning_at(begins)));
        let first = track.first_channel;
        line.take(&planes, &mut |planes| give(first, planes));
    }
}

/// Only Matroska says when a track begins: later than others, with silence before it, or with a
/// run-in before the time line does. The other readers have taken the run-in out.
fn beginning_at(sample: f64) -> Edit {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "saturates at 0, and at some hours"
    )]
    let [silence, skip] = [sample, -sample].map(|frames| frames.round().min(1e9) as u64);
    Edit {
        silence,
        skip,
        ..Edit::WHOLE
    }
}

/// The tracks that [`open`] chose, found again by the same rules.
fn tracks(reader: &dyn FormatReader, sample_rate: u32, at_most: usize) -> Vec<StreamTrack> {
    let mut tracks = Vec::new();
    let mut first_channel = 0;
    for found in reader.tracks() {
        let Some(Ok(shape)) = Shape::of(found) else {
            continue;
        };
        let parameters = found.codec_params.as_ref().and_then(|p| p.audio());
        let Some(decoder) = parameters.and_then(|parameters| decoder(parameters).ok()) else {
            continue;
        };
        if shape.sample_rate != sample_rate || tracks.len() == at_most {
            continue;
        }
        tracks.push(StreamTrack {
            id: found.id,
            first_channel,
            channels: shape.channels.into(),
            decoder,
            line: None,
            planes: Vec::new(),
            given: 0,
        });
        first_channel += shape.channels;
    }
    tracks
}

impl fmt::Debug for StreamDecoder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("StreamDecoder")
            .field("undecodable", &self.undecodable)
            .finish_non_exhaustive()
    }
}

fn decoder(parameters: &AudioCodecParameters) -> Result<Box<dyn AudioDecoder>, Error> {
    let options = AudioDecoderOptions::default();
    symphonia::default::get_codecs().make_audio_decoder(parameters, &options)
}

fn codec(id: AudioCodecId) -> Option<Codec> {
    use well_known as known;
    let is_supported = symphonia::default::get_codecs()
        .get_audio_decoder(id)
        .is_some();
    is_supported.then_some(match id {
        known::CODEC_ID_AAC => Codec::Aac,
        known::CODEC_ID_ALAC => Codec::Alac,
        known::CODEC_ID_FLAC => Codec::Flac,
        known::CODEC_ID_MP1 | known::CODEC_ID_MP2 | known::CODEC_ID_MP3 => Codec::Mpeg,
        known::CODEC_ID_VORBIS => Codec::Vorbis,
        _ => Codec::Pcm,
    })
}

/// The trade's name of a codec that is not decoded here.
fn codec_name(id: AudioCodecId) -> &'static str {
    use well_known as known;
    match id {
        known::CODEC_ID_OPUS => "Opus",
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
