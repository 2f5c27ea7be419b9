//! The file's own header: RIFF, or RF64 and BW64 with ds64 (EBU Tech 3306 clause 3).

use std::ops::Range;

use super::portion::Portions;
use crate::wav::CHUNK_HEADER;
use crate::{ChunkId, Container};

/// What a 32-bit length says when the real one stands in ds64.
pub(super) const SEE_DS64: [u8; 4] = [0xFF; 4];

/// ds64 without a table.
pub(super) const DS64: u64 = 28;

/// Where its count of sample frames stands, before the length of its table.
const COUNT: Range<u64> = 16..24;

const NO_TABLE: [u8; 4] = [0; 4];

/// How a copy tells its lengths.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Form {
    /// In 32 bits.
    Short,
    /// In 64 bits.
    Long(Place),
}

/// Where ds64 stands in the copy: always first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Place {
    /// Where the original has one: its content. Its table stays.
    Standing(Range<u64>),
    /// Instead of a `JUNK` chunk that was left for it: its content.
    Reserved(Range<u64>),
    /// Before all other chunks.
    New,
}

/// What a copy's header tells.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lengths {
    /// Everything that belongs to the file's own chunk, after ds64, and after the header that this
    /// makes.
    pub(super) body: u64,
    pub(super) data: u64,
    pub(super) sample_frames: u64,
}

impl Form {
    /// How long the header is, with ds64.
    fn len(&self) -> u64 {
        let ds64 = match self {
            Self::Short => return 12,
            Self::Long(Place::Standing(content) | Place::Reserved(content)) => {
                content.end - content.start
            }
            Self::Long(Place::New) => DS64,
        };
        12 + CHUNK_HEADER + ds64
    }

    /// The file's length as RIFF has it: without its first eight bytes.
    pub(super) fn riff(&self, body: u64) -> u64 {
        (self.len() - CHUNK_HEADER).saturating_add(body)
    }

    /// The header, up to the first chunk that is no ds64.
    pub(super) fn header(&self, container: Container, lengths: Lengths) -> Portions {
        let mut portions = Portions::default();
        portions.put(container.riff().unwrap_or(ChunkId::RIFF).0);
        let riff = self.riff(lengths.body);
        let Self::Long(place) = self else {
            portions.put(u32::try_from(riff).map_or(SEE_DS64, u32::to_le_bytes));
            portions.put(ChunkId::WAVE.0);
            return portions;
        };
        portions.put(SEE_DS64);
        portions.put(ChunkId::WAVE.0);
        portions.put(ChunkId::DS64.0);
        let content_len = (self.len() - 20).to_le_bytes();
        portions.put(content_len.first_chunk::<4>().unwrap_or(&[0; 4]));
        portions.put([riff, lengths.data].map(u64::to_le_bytes).concat());
        let count = lengths.sample_frames.to_le_bytes();
        match place {
            // ITU-R BS.2088 gives the third field no meaning (from memory), so it stays.
            Place::Standing(content) if container == Container::Bw64 => {
                portions.keep(content.start + COUNT.start..content.end);
            }
            Place::Standing(content) => {
                portions.put(count);
                portions.keep(content.start + COUNT.end..content.end);
            }
            Place::Reserved(content) => {
                portions.put(count);
                portions.put(NO_TABLE);
                portions.keep(content.start + DS64..content.end);
            }
            Place::New => {
                portions.put(count);
                portions.put(NO_TABLE);
            }
        }
        portions
    }
}
