//! Files made by hand, chunk by chunk: nothing here uses the crate's own writer.

#![allow(dead_code, reason = "each test binary uses a part")]
#![allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "a chunk's letters read best as a literal"
)]
#![allow(
    clippy::unwrap_used,
    reason = "tests may stop where they did not foresee something"
)]

pub(crate) mod movie;

use std::io::{Cursor, Read, Result, Seek, SeekFrom};

use proptest::sample::Index;

use plumbline_media::{Blocks, Header, MediaError, Samples};

/// A chunk, padded to an even length.
pub(crate) fn chunk(id: &[u8; 4], content: &[u8]) -> Vec<u8> {
    let mut bytes = lying_chunk(id, u32::try_from(content.len()).unwrap(), content);
    bytes.resize(bytes.len().next_multiple_of(2), 0);
    bytes
}

/// A chunk that says it is `len` bytes long, whatever it is; not padded.
pub(crate) fn lying_chunk(id: &[u8; 4], len: u32, content: &[u8]) -> Vec<u8> {
    [id, &len.to_le_bytes(), content].concat()
}

/// A RIFF/WAVE file of these chunks.
pub(crate) fn riff(chunks: &[Vec<u8>]) -> Vec<u8> {
    let body = chunks.concat();
    let len = u32::try_from(body.len() + 4).unwrap();
    [b"RIFF", &len.to_le_bytes(), b"WAVE", &body[..]].concat()
}

/// An RF64 file of these chunks, the first being its ds64.
pub(crate) fn rf64(chunks: &[Vec<u8>]) -> Vec<u8> {
    [b"RF64", &[0xFF; 4], b"WAVE", &chunks.concat()[..]].concat()
}

/// A ds64 chunk.
pub(crate) fn ds64(riff: u64, data: u64, table: &[(&[u8; 4], u64)]) -> Vec<u8> {
    let mut content = [riff, data, 0].map(u64::to_le_bytes).concat();
    content.extend(u32::try_from(table.len()).unwrap().to_le_bytes());
    for (id, len) in table {
        content.extend(*id);
        content.extend(len.to_le_bytes());
    }
    chunk(b"ds64", &content)
}

/// The same with a count of sample frames.
pub(crate) fn counted(mut ds64: Vec<u8>, sample_frames: u64) -> Vec<u8> {
    ds64[24..32].copy_from_slice(&sample_frames.to_le_bytes());
    ds64
}

/// The sixteen bytes of a plain fmt chunk.
pub(crate) fn fmt_content(
    tag: u16,
    channels: u16,
    rate: u32,
    block_align: u16,
    bits: u16,
) -> Vec<u8> {
    let mut content = Vec::new();
    content.extend(tag.to_le_bytes());
    content.extend(channels.to_le_bytes());
    content.extend(rate.to_le_bytes());
    content.extend(rate.wrapping_mul(block_align.into()).to_le_bytes());
    content.extend(block_align.to_le_bytes());
    content.extend(bits.to_le_bytes());
    content
}

/// A plain fmt chunk.
pub(crate) fn fmt(tag: u16, channels: u16, rate: u32, bits: u16) -> Vec<u8> {
    let block_align = channels.wrapping_mul(bits.div_ceil(8));
    chunk(
        b"fmt ",
        &fmt_content(tag, channels, rate, block_align, bits),
    )
}

/// An extended fmt chunk: the tag stands in the GUID.
pub(crate) fn extended_fmt(
    tag: u16,
    channels: u16,
    rate: u32,
    bits: u16,
    valid_bits: u16,
) -> Vec<u8> {
    let mut content = fmt_content(0xFFFE, channels, rate, channels * bits.div_ceil(8), bits);
    content.extend(22_u16.to_le_bytes());
    content.extend(valid_bits.to_le_bytes());
    content.extend(0_u32.to_le_bytes());
    content.extend(tag.to_le_bytes());
    content.extend(b"\0\0\0\0\x10\0\x80\0\0\xAA\0\x38\x9B\x71");
    chunk(b"fmt ", &content)
}

/// Mono, 16 bits, 48 kHz: what most tests begin with.
pub(crate) fn plain_fmt() -> Vec<u8> {
    fmt(1, 1, 48_000, 16)
}

/// Mono, 16 bits, 48 kHz, with two samples, and other chunks after them.
pub(crate) fn plain(after: &[Vec<u8>]) -> Vec<u8> {
    riff(&[&[plain_fmt(), chunk(b"data", &[1, 0, 2, 0])], after].concat())
}

/// A bext chunk's content: 602 bytes with a time reference and nothing else.
pub(crate) fn bext(time_reference: u64) -> Vec<u8> {
    let mut content = vec![0; 602];
    content[338..346].copy_from_slice(&time_reference.to_le_bytes());
    content
}

pub(crate) fn open(bytes: &[u8]) -> std::result::Result<Header, MediaError> {
    plumbline_media::open(&mut Cursor::new(bytes))
}

/// The samples of every channel, pushed in pieces of these lengths, over and over.
pub(crate) fn samples(header: &Header, file: &[u8], pieces: &[usize]) -> Vec<Vec<f32>> {
    let mut all = vec![Vec::new(); header.channels().into()];
    let mut samples = Samples::new(header).unwrap();
    let mut block = |first: u16, planes: &[&[f32]]| {
        assert!(!planes[0].is_empty());
        for (channel, slice) in all[usize::from(first)..].iter_mut().zip(planes) {
            assert_eq!(slice.len(), planes[0].len());
            channel.extend_from_slice(slice);
        }
    };
    for piece in &header.pieces {
        let range =
            usize::try_from(piece.bytes.start).unwrap()..usize::try_from(piece.bytes.end).unwrap();
        let mut bytes = &file[range];
        for &len in pieces.iter().cycle() {
            let (now, rest) = bytes.split_at(len.min(bytes.len()));
            samples.push(now, &mut block);
            bytes = rest;
            if bytes.is_empty() {
                break;
            }
        }
    }
    samples.finish(&mut block);
    all
}

pub(crate) fn pushed(
    blocks: &mut Blocks,
    channels: usize,
    mut bytes: &[u8],
    pieces: &[usize],
) -> Vec<Vec<f32>> {
    let mut all = vec![Vec::new(); channels];
    for &piece in pieces.iter().cycle() {
        let (now, rest) = bytes.split_at(piece.min(bytes.len()));
        blocks.push(now, &mut |block| {
            assert_eq!(block.len(), channels);
            assert!(!block[0].is_empty());
            for (channel, slice) in all.iter_mut().zip(block) {
                assert_eq!(slice.len(), block[0].len());
                channel.extend_from_slice(slice);
            }
        });
        bytes = rest;
        if bytes.is_empty() {
            return all;
        }
    }
    all
}

/// A file with some of its bytes changed, and cut off somewhere if `keep` says where.
pub(crate) fn changed(mut file: Vec<u8>, changes: &[(Index, u8)], keep: Option<Index>) -> Vec<u8> {
    for (place, byte) in changes {
        let place = place.index(file.len());
        file[place] = *byte;
    }
    if let Some(keep) = keep {
        file.truncate(keep.index(file.len()));
    }
    file
}

/// A source of any length that holds some bytes at its start and at its end, and zeros between;
/// it counts what is read.
pub(crate) struct Sparse {
    pub(crate) start: Vec<u8>,
    pub(crate) len: u64,
    pub(crate) end: Vec<u8>,
    pub(crate) at: u64,
    pub(crate) reads: usize,
    pub(crate) bytes_read: u64,
}

impl Sparse {
    pub(crate) fn new(start: Vec<u8>, len: u64, end: Vec<u8>) -> Self {
        Self {
            start,
            len,
            end,
            at: 0,
            reads: 0,
            bytes_read: 0,
        }
    }

    fn byte(&self, at: u64) -> u8 {
        let tail = self.len - self.end.len() as u64;
        match usize::try_from(at) {
            Ok(index) if index < self.start.len() => self.start[index],
            _ if at >= tail => self.end[usize::try_from(at - tail).unwrap()],
            _ => 0,
        }
    }
}

impl Read for Sparse {
    fn read(&mut self, into: &mut [u8]) -> Result<usize> {
        let left = usize::try_from(self.len.saturating_sub(self.at)).unwrap();
        let count = left.min(into.len());
        for (byte, at) in into[..count].iter_mut().zip(self.at..) {
            *byte = self.byte(at);
        }
        self.at += count as u64;
        self.reads += 1;
        self.bytes_read += count as u64;
        Ok(count)
    }
}

impl Seek for Sparse {
    fn seek(&mut self, to: SeekFrom) -> Result<u64> {
        self.at = match to {
            SeekFrom::Start(at) => at,
            SeekFrom::End(back) => self.len.checked_add_signed(back).unwrap(),
            SeekFrom::Current(by) => self.at.checked_add_signed(by).unwrap(),
        };
        Ok(self.at)
    }
}
