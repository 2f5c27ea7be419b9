//! Fields of a box or chunk, most significant byte first.

/// The fields of a content, one after the other. What is not there is 0.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Fields<'b> {
    rest: &'b [u8],
}

impl<'b> Fields<'b> {
    pub(crate) const fn new(content: &'b [u8]) -> Self {
        Self { rest: content }
    }

    pub(crate) fn array<const N: usize>(&mut self) -> [u8; N] {
        let (field, rest) = self.rest.split_at(N.min(self.rest.len()));
        self.rest = rest;
        field.first_chunk().copied().unwrap_or([0; N])
    }

    pub(crate) fn skip(&mut self, bytes: usize) {
        self.rest = self.rest.get(bytes..).unwrap_or_default();
    }

    pub(crate) fn u8(&mut self) -> u8 {
        let [byte] = self.array();
        byte
    }

    pub(crate) fn u16(&mut self) -> u16 {
        u16::from_be_bytes(self.array())
    }

    pub(crate) fn u32(&mut self) -> u32 {
        u32::from_be_bytes(self.array())
    }

    pub(crate) fn u64(&mut self) -> u64 {
        u64::from_be_bytes(self.array())
    }

    /// 32 bits, or 64 in a box of version 1.
    pub(crate) fn versioned(&mut self, version: u8) -> u64 {
        if version == 1 {
            self.u64()
        } else {
            self.u32().into()
        }
    }

    /// The version of a full box; its flags come next.
    pub(crate) fn version_and_flags(&mut self) -> (u8, u32) {
        let [version, a, b, c] = self.array();
        (version, u32::from_be_bytes([0, a, b, c]))
    }

    pub(crate) const fn left(&self) -> usize {
        self.rest.len()
    }

    pub(crate) const fn rest(&self) -> &'b [u8] {
        self.rest
    }
}
