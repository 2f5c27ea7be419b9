//! A recording's samples, whatever its tracks are written in.

use std::vec::IntoIter;

use crate::packets::PacketDecoder;
use crate::stream::StreamDecoder;
use crate::{Blocks, Coding, Edit, Header, MediaError, OutsidePacket, Piece};

/// Turns the bytes of a recording's sound into samples: floating point, full scale 1.0.
///
/// The bytes of [`Header::pieces`], one piece after the other, are pushed in order, cut anyhow:
/// that never changes the samples. Memory does not grow with the recording.
///
/// What is wrong with some samples leaves the others where they are: a sample that is not finite
/// and a packet that can't be decoded become silence and are counted.
#[derive(Debug)]
pub struct Samples {
    pieces: IntoIter<Piece>,
    piece: Piece,
    tracks: Vec<TrackSamples>,
}

/// Samples that became silence.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Silenced {
    /// How many: samples, or packets.
    pub count: u64,
    /// The sample frame of the track, counted from 0 as it was decoded, at which the first stood.
    pub first: u64,
}

#[derive(Debug)]
struct TrackSamples {
    first_channel: u16,
    decoder: Decoder,
    line: TimeLine,
}

#[derive(Debug)]
enum Decoder {
    Linear(Box<Blocks>),
    Packets(PacketDecoder),
    Stream(StreamDecoder),
    /// A track of a stream: the stream's first track gives its samples.
    InStream,
}

impl Samples {
    /// For every channel of a recording.
    ///
    /// # Errors
    /// Where a codec refuses what its set-up says; [`crate::open`] has made sure that none does.
    pub fn new(header: &Header) -> Result<Self, MediaError> {
        let decoders = header.decoders();
        let mut tracks: Vec<TrackSamples> = Vec::new();
        let mut first_channel = 0;
        for track in &header.tracks {
            let decoder = match &track.coding {
                Coding::Linear(format) => {
                    Decoder::Linear(Box::new(Blocks::new(*format, track.channels)))
                }
                Coding::Packets(packets) => Decoder::Packets(PacketDecoder::new(packets)?),
                Coding::Stream(_) if tracks.is_empty() => {
                    Decoder::Stream(StreamDecoder::new(header.container, decoders))
                }
                Coding::Stream(_) => Decoder::InStream,
            };
            tracks.push(TrackSamples {
                first_channel,
                decoder,
                line: TimeLine::new(track.edit),
            });
            first_channel += track.channels;
        }
        Ok(Self {
            pieces: header.pieces.clone().into_iter(),
            piece: Piece {
                bytes: 0..0,
                track: 0,
            },
            tracks,
        })
    }

    /// Takes the next bytes and gives the samples that are complete: each call of `block` gets
    /// the first channel that it is about, and a slice for it and for each channel after it, all
    /// of the same length. Bytes after the last piece are ignored.
    pub fn push(&mut self, bytes: &[u8], block: &mut impl FnMut(u16, &[&[f32]])) {
        let mut rest = bytes;
        while !rest.is_empty() {
            while self.piece.bytes.is_empty() {
                let Some(next) = self.pieces.next() else {
                    return;
                };
                self.piece = next;
            }
            let left = self.piece.bytes.end - self.piece.bytes.start;
            let len = usize::try_from(left).map_or(rest.len(), |left| left.min(rest.len()));
            let (now, after) = rest.split_at(len);
            self.piece.bytes.start += len as u64;
            if let Some(track) = self.tracks.get_mut(self.piece.track) {
                track.push(now, block);
            }
            rest = after;
        }
    }

    /// Gives what is still in hand when there are no more bytes.
    pub fn finish(&mut self, block: &mut impl FnMut(u16, &[&[f32]])) {
        for track in &mut self.tracks {
            if let Decoder::Stream(stream) = &mut track.decoder {
                stream.finish(block);
            }
        }
    }

    /// The next packet for a decoder outside, of those that the bytes so far hold. Where a track
    /// wants one ([`crate::Track::outside`]), packets wait here until they are taken.
    pub fn next_packet(&mut self) -> Option<OutsidePacket> {
        (0..)
            .zip(&mut self.tracks)
            .find_map(|(index, track)| match &mut track.decoder {
                Decoder::Stream(stream) => stream.next_packet(),
                Decoder::Packets(packets) => {
                    let packet = packets.outside()?.next()?;
                    Some(OutsidePacket {
                        track: index,
                        ..packet
                    })
                }
                Decoder::Linear(_) | Decoder::InStream => None,
            })
    }

    /// Takes samples from the decoder of a track outside: one slice a channel, in the order in
    /// which the packets went out, and the sample frame of the track at which they begin, by the
    /// count of [`OutsidePacket::at`]. Where some are missing, silence takes their place. They
    /// are given to `block` as those of [`Samples::push`] are.
    pub fn decoded(
        &mut self,
        track: usize,
        at: u64,
        planes: &[&[f32]],
        block: &mut impl FnMut(u16, &[&[f32]]),
    ) {
        if let Some(stream) = self.stream() {
            return stream.decoded(track, at, planes, block);
        }
        let Some(track) = self.tracks.get_mut(track) else {
            return;
        };
        let (first, line) = (track.first_channel, &mut track.line);
        let Decoder::Packets(packets) = &mut track.decoder else {
            return;
        };
        if let Some(outside) = packets.outside() {
            outside.take(at, planes, &mut |planes| {
                line.take(planes, &mut |planes| block(first, planes));
            });
        }
    }

    /// The packet of a track that begins there could not be decoded outside.
    pub fn lost(&mut self, track: usize, at: u64) {
        if let Some(stream) = self.stream() {
            return stream.lost(track, at);
        }
        if let Some(Decoder::Packets(packets)) = self.tracks.get_mut(track).map(|t| &mut t.decoder)
            && let Some(outside) = packets.outside()
        {
            outside.lost(at);
        }
    }

    /// What decodes all tracks, where packets must be looked for.
    fn stream(&mut self) -> Option<&mut StreamDecoder> {
        match &mut self.tracks.first_mut()?.decoder {
            Decoder::Stream(stream) => Some(stream),
            _ => None,
        }
    }

    /// Samples that were not finite.
    pub fn non_finite(&self) -> Silenced {
        total(self.tracks.iter().map(|track| match &track.decoder {
            Decoder::Linear(blocks) => Silenced {
                count: blocks.non_finite(),
                first: blocks.first_non_finite().unwrap_or(0),
            },
            _ => Silenced::default(),
        }))
    }

    /// Packets that could not be decoded.
    pub fn undecodable(&self) -> Silenced {
        total(self.tracks.iter().flat_map(|track| match &track.decoder {
            Decoder::Packets(packets) => vec![packets.undecodable()],
            Decoder::Stream(stream) => stream.undecodable().collect(),
            Decoder::Linear(_) | Decoder::InStream => Vec::new(),
        }))
    }
}

/// All of them, and where the first stood.
fn total(silenced: impl Iterator<Item = Silenced>) -> Silenced {
    silenced
        .filter(|silenced| silenced.count > 0)
        .reduce(|a, b| Silenced {
            count: a.count + b.count,
            first: a.first.min(b.first),
        })
        .unwrap_or_default()
}

impl TrackSamples {
    fn push(&mut self, bytes: &[u8], block: &mut impl FnMut(u16, &[&[f32]])) {
        let (first, line) = (self.first_channel, &mut self.line);
        match &mut self.decoder {
            Decoder::Linear(blocks) => blocks.push(bytes, &mut |planes| {
                line.take(planes, &mut |planes| block(first, planes));
            }),
            Decoder::Packets(packets) => packets.push(bytes, &mut |planes| {
                line.take(planes, &mut |planes| block(first, planes));
            }),
            Decoder::Stream(stream) => stream.push(bytes, block),
            Decoder::InStream => {}
        }
    }
}

/// Lays what is decoded on the time line.
#[derive(Debug)]
pub(crate) struct TimeLine {
    silence: u64,
    skip: u64,
    left: u64,
}

/// Silence is given in blocks of so many samples.
const SILENCE: [f32; 1024] = [0.0; 1024];

impl TimeLine {
    pub(crate) const fn new(edit: Edit) -> Self {
        Self {
            silence: edit.silence,
            skip: edit.skip,
            left: edit.frames,
        }
    }

    /// The part of a block that stands on the time line; before the first, its silence.
    pub(crate) fn take(&mut self, planes: &[&[f32]], give: &mut impl FnMut(&[&[f32]])) {
        while self.silence > 0 {
            let len = whole(self.silence).min(SILENCE.len());
            give(&vec![SILENCE.get(..len).unwrap_or_default(); planes.len()]);
            self.silence -= len as u64;
        }
        let frames = planes.first().map_or(0, |plane| plane.len());
        let from = whole(self.skip).min(frames);
        let to = from + whole(self.left).min(frames - from);
        self.skip -= from as u64;
        self.left -= (to - from) as u64;
        if from == 0 && to == frames && frames > 0 {
            give(planes);
        } else if from < to {
            let parts = planes.iter().map(|plane| plane.get(from..to));
            give(&parts.map(Option::unwrap_or_default).collect::<Vec<_>>());
        }
    }
}

fn whole(count: u64) -> usize {
    usize::try_from(count).unwrap_or(usize::MAX)
}
