//! ds64: lengths past 4 GiB (EBU Tech 3306 clause 3; ITU-R BS.2088).

use super::Fields;
use crate::limits::DS64_ENTRIES_AT_MOST;
use crate::{ChunkId, Malformed};

/// What a 32-bit length says when the real one stands in ds64.
pub(super) const SEE_DS64: u32 = u32::MAX;

/// The lengths that do not fit their chunks' own fields.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Ds64 {
    /// What follows the first eight bytes of the file, in bytes.
    pub(super) riff: u64,
    /// The sound, in bytes.
    pub(super) data: u64,
    /// The sound, in sample frames. Only RF64 defines it, and only for compressed sound: often 0.
    pub(super) sample_frames: u64,
    /// Other chunks.
    table: Vec<(ChunkId, u64)>,
}

impl Ds64 {
    /// From the chunk's content.
    pub(super) fn read(content: &[u8]) -> Result<Self, Malformed> {
        let mut fields = Fields::new(content);
        let lengths = (fields.u64(), fields.u64(), fields.u64(), fields.u32());
        let (Some(riff), Some(data), Some(sample_frames), Some(entries)) = lengths else {
            return Err(Malformed::Ds64TooShort {
                len: content.len() as u64,
            });
        };
        let table = (0..entries)
            .map_while(|_| Some((ChunkId(fields.array()?), fields.u64()?)))
            .take(DS64_ENTRIES_AT_MOST)
            .collect();
        Ok(Self {
            riff,
            data,
            sample_frames,
            table,
        })
    }

    /// The length of a chunk that has none of its own.
    pub(super) fn len_of(&self, id: ChunkId) -> Option<u64> {
        if id == ChunkId::DATA {
            return Some(self.data);
        }
        let entry = self.table.iter().find(|(named, _)| *named == id);
        entry.map(|&(_, len)| len)
    }
}
