//! pakt: how long each packet is, and which of the sound is meant to be heard.

use std::io::{Read, Seek};

use super::chunks::Chunks;
use super::description::Description;
use crate::MediaError;
use crate::big_endian::Fields;
use crate::cursor::Cursor;
use crate::limits::{PACKETS_AT_MOST, TABLE_AT_MOST};

/// What the table tells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct PacketTable {
    pub(super) sizes: Vec<u32>,
    /// Sample frames of the encoder's run-in.
    pub(super) run_in: u64,
    /// Sample frames after that which are sound.
    pub(super) valid: u64,
}

impl PacketTable {
    pub(super) fn read<S: Read + Seek>(
        cursor: &mut Cursor<S>,
        chunks: &Chunks,
        description: &Description,
    ) -> Result<Self, MediaError> {
        let content = chunks.content(cursor, *b"pakt", TABLE_AT_MOST)?;
        let mut fields = Fields::new(&content);
        let packets = fields.u64();
        let valid = fields.u64();
        let run_in = i32::from_be_bytes(fields.array());
        fields.skip(4);
        let mut sizes = Vec::new();
        if description.bytes_per_packet > 0 {
            let count = packets.min(PACKETS_AT_MOST);
            sizes.resize(
                usize::try_from(count).unwrap_or(0),
                description.bytes_per_packet,
            );
        } else {
            while fields.left() > 0 && (sizes.len() as u64) < packets {
                sizes.push(fields.seven_bits(5));
                if description.frames_per_packet == 0 {
                    fields.seven_bits(5);
                }
            }
        }
        Ok(Self {
            sizes,
            run_in: u64::try_from(run_in).unwrap_or(0),
            valid: if valid == 0 { u64::MAX } else { valid },
        })
    }
}
