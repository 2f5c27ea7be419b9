//! Numbers out of bytes, least significant byte first.

/// Bytes of a chunk, taken field by field. Every field is none once the bytes have run out.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Fields<'a> {
    bytes: &'a [u8],
}

impl<'a> Fields<'a> {
    pub(crate) const fn new(bytes: &'a [u8]) -> Self {
        Self { bytes }
    }

    /// The next `N` bytes.
    pub(crate) fn array<const N: usize>(&mut self) -> Option<[u8; N]> {
        let (field, rest) = self.bytes.split_first_chunk()?;
        self.bytes = rest;
        Some(*field)
    }

    /// The next `len` bytes, or as many as there are.
    pub(crate) fn up_to(&mut self, len: usize) -> &'a [u8] {
        let (field, rest) = self.bytes.split_at(len.min(self.bytes.len()));
        self.bytes = rest;
        field
    }

    pub(crate) fn u16(&mut self) -> Option<u16> {
        self.array().map(u16::from_le_bytes)
    }

    pub(crate) fn i16(&mut self) -> Option<i16> {
        self.array().map(i16::from_le_bytes)
    }

    pub(crate) fn u32(&mut self) -> Option<u32> {
        self.array().map(u32::from_le_bytes)
    }

    pub(crate) fn u64(&mut self) -> Option<u64> {
        self.array().map(u64::from_le_bytes)
    }
}
