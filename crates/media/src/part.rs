//! A part of a recording, without the bytes of the rest.

use std::ops::Range;

use crate::{Coding, Edit, Header, Packets, Piece, Track};

/// What is needed to read some samples of one channel.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// A recording that has them: [`Header::pieces`] are what is to be read.
    pub header: Header,
    /// The channel in that recording.
    pub channel: u16,
    /// The place in the whole recording of the part's first sample; an encoder's run-in stands
    /// before the recording's own.
    pub begins: i64,
}

/// An AAC packet is right only with the one before it; one more for a decoder that just began.
const PACKETS_BEFORE: u64 = 2;

impl Header {
    /// The part that holds these samples of a channel, or somewhat more; none where there is no
    /// such channel. Where packets must be looked for, it begins where the recording does.
    pub fn part(&self, channel: u16, samples: Range<u64>) -> Option<Part> {
        let (index, first, track) = self.track_of(channel)?;
        let decoded = |sample: u64| {
            let on_track = sample.saturating_sub(track.edit.silence);
            on_track.saturating_add(track.edit.skip)
        };
        let wanted = decoded(samples.start)..decoded(samples.end);
        let pieces = self.pieces.iter().filter(|piece| piece.track == index);
        let whole = |coding, pieces: Vec<Range<u64>>, begins: u64| {
            let to_piece = |bytes| Piece { bytes, track: 0 };
            Part {
                header: Header {
                    tracks: vec![Track {
                        coding,
                        edit: Edit::WHOLE,
                        ..track.clone()
                    }],
                    pieces: pieces.into_iter().map(to_piece).collect(),
                    ..self.clone()
                },
                channel: channel - first,
                begins: signed(begins) + signed(track.edit.silence) - signed(track.edit.skip),
            }
        };
        Some(match &track.coding {
            Coding::Linear(_) => {
                let frame = u64::from(track.bytes_per_frame()?);
                let bytes = wanted.start.saturating_mul(frame)..wanted.end.saturating_mul(frame);
                whole(track.coding.clone(), within(pieces, bytes), wanted.start)
            }
            Coding::Packets(packets) => {
                let frames = u64::from(packets.frames.max(1));
                let from = (wanted.start / frames).saturating_sub(PACKETS_BEFORE);
                let (packets, bytes) = some(packets, from..wanted.end / frames + 1);
                whole(
                    Coding::Packets(packets),
                    within(pieces, bytes),
                    from * frames,
                )
            }
            Coding::Stream(_) => Part {
                header: self.clone(),
                channel,
                begins: 0,
            },
        })
    }
}

fn signed(count: u64) -> i64 {
    i64::try_from(count).unwrap_or(i64::MAX)
}

/// Some of the packets, and which of the track's bytes they are.
fn some(packets: &Packets, numbers: Range<u64>) -> (Packets, Range<u64>) {
    let index = |number: u64| usize::try_from(number).unwrap_or(usize::MAX);
    let end = index(numbers.end).min(packets.sizes.len());
    let start = index(numbers.start).min(end);
    let (before, rest) = packets.sizes.split_at(start);
    let chosen = rest.get(..end - start).unwrap_or_default();
    let bytes = |sizes: &[u32]| sizes.iter().map(|&size| u64::from(size)).sum::<u64>();
    let from = bytes(before);
    let chosen = Packets {
        sizes: chosen.to_vec(),
        setup: packets.setup.clone(),
        ..*packets
    };
    let to = from + bytes(&chosen.sizes);
    (chosen, from..to)
}

/// Where some of a track's bytes, counted from its first, stand in the file.
fn within<'p>(pieces: impl Iterator<Item = &'p Piece>, wanted: Range<u64>) -> Vec<Range<u64>> {
    let mut before = 0;
    let mut found = Vec::new();
    for piece in pieces {
        let len = piece.bytes.end - piece.bytes.start;
        let from = wanted.start.clamp(before, before + len) - before;
        let to = wanted.end.clamp(before, before + len) - before;
        if from < to {
            found.push(piece.bytes.start + from..piece.bytes.start + to);
        }
        before += len;
    }
    found
}
