//! Everything before the first sample.

use super::Recording;
use crate::wav::{EXTENSIBLE, FLOAT, PCM, TAGGED};
use crate::{ChunkId, Container};

/// What stands before the lengths of the chunks: RIFF, its length, WAVE.
const FILE_HEADER: u64 = 12;
/// The first eight bytes, which the file's own length does not count.
const CHUNK_HEADER: u64 = 8;
/// ds64 without a table.
const DS64: u64 = 28;

/// A header and the kind of file it makes.
pub(super) struct Layout {
    pub(super) container: Container,
    pub(super) header: Vec<u8>,
}

impl Layout {
    /// None where the length does not fit 64 bits.
    pub(super) fn new(recording: &Recording) -> Option<Self> {
        let chunks = chunks(recording)?;
        let frame = u64::from(recording.channels) * u64::from(recording.encoding.bytes());
        let data = recording.sample_frames.checked_mul(frame)?;
        let before = FILE_HEADER + chunks.len() as u64 + CHUNK_HEADER;
        let whole = data.checked_add(data % 2)?.checked_add(before)?;
        let short = u32::try_from(whole - CHUNK_HEADER)
            .ok()
            .zip(u32::try_from(data).ok());
        let (container, riff, data_field) = match short {
            Some((riff, data)) if riff < u32::MAX => (Container::Wav, riff, data),
            _ => (Container::Rf64, u32::MAX, u32::MAX),
        };
        let mut header = Vec::new();
        header.extend(container.riff().unwrap_or(ChunkId::RIFF).0);
        header.extend(riff.to_le_bytes());
        header.extend(ChunkId::WAVE.0);
        if container == Container::Rf64 {
            let riff = whole.checked_add(DS64)?;
            put(
                &mut header,
                ChunkId::DS64,
                &ds64(riff, data, recording.sample_frames),
            )?;
        }
        header.extend(chunks);
        header.extend(ChunkId::DATA.0);
        header.extend(data_field.to_le_bytes());
        Some(Self { container, header })
    }
}

/// The chunks between the file's own header and the sound.
fn chunks(recording: &Recording) -> Option<Vec<u8>> {
    let mut chunks = Vec::new();
    if let Some(bext) = &recording.bext {
        put(&mut chunks, ChunkId::BEXT, &even(bext.content(), 0))?;
    }
    if let Some(ixml) = &recording.ixml {
        let document = ixml.to_xml().into_bytes();
        put(&mut chunks, ChunkId::IXML, &even(document, b'\n'))?;
    }
    put(&mut chunks, ChunkId::FMT, &fmt(recording))?;
    if recording.encoding.is_float() {
        // Every format but linear PCM says how long it is; past 32 bits, as long as can be said.
        let samples = u32::try_from(recording.sample_frames).unwrap_or(u32::MAX);
        put(&mut chunks, ChunkId(*b"fact"), &samples.to_le_bytes())?;
    }
    Some(chunks)
}

/// Filled up to an even length. RIFF pads chunks anyway, but not every reader knows: libsndfile
/// loses its way in an RF64 whose bext has an odd length.
fn even(mut content: Vec<u8>, fill: u8) -> Vec<u8> {
    content.resize(content.len().next_multiple_of(2), fill);
    content
}

/// A chunk, padded to an even length; none where it is too long for one.
fn put(out: &mut Vec<u8>, id: ChunkId, content: &[u8]) -> Option<()> {
    out.extend(id.0);
    out.extend(u32::try_from(content.len()).ok()?.to_le_bytes());
    out.extend(content);
    out.resize(out.len().next_multiple_of(2), 0);
    Some(())
}

/// The file's length without its first eight bytes, the sound's, and the sample count.
fn ds64(riff: u64, data: u64, sample_frames: u64) -> Vec<u8> {
    let mut content = Vec::new();
    content.extend(
        [riff, data, sample_frames]
            .into_iter()
            .flat_map(u64::to_le_bytes),
    );
    content.extend(0_u32.to_le_bytes());
    content
}

fn fmt(recording: &Recording) -> Vec<u8> {
    let encoding = recording.encoding;
    let tag = if encoding.is_float() { FLOAT } else { PCM };
    let frame = recording.channels * encoding.bytes();
    // More than two channels are to be told by the longer form.
    let is_long = recording.channels > 2;
    let mut content = Vec::new();
    content.extend(if is_long { EXTENSIBLE } else { tag }.to_le_bytes());
    content.extend(recording.channels.to_le_bytes());
    content.extend(recording.sample_rate.to_le_bytes());
    content.extend(
        recording
            .sample_rate
            .saturating_mul(frame.into())
            .to_le_bytes(),
    );
    content.extend(frame.to_le_bytes());
    content.extend(encoding.bits().to_le_bytes());
    if is_long {
        content.extend(22_u16.to_le_bytes());
        content.extend(encoding.bits().to_le_bytes());
        // No loudspeakers: the channels are a recorder's tracks.
        content.extend(0_u32.to_le_bytes());
        content.extend(tag.to_le_bytes());
        content.extend(TAGGED);
    } else if encoding.is_float() {
        content.extend(0_u16.to_le_bytes());
    }
    content
}
