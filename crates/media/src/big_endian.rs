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

    /// A number in seven bits a byte, most significant first; the top bit says that more follow.
    pub(crate) fn seven_bits(&mut self, bytes_at_most: usize) -> u32 {
        let mut number: u32 = 0;
        for _ in 0..bytes_at_most {
            let byte = self.u8();
            number = number << 7 | u32::from(byte & 0x7F);
            if byte & 0x80 == 0 {
                break;
            }
        }
        number
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_seven_bits_take_as_many_bytes_as_they_need() {
        for (bytes, wanted) in [(&[5][..], 5), (&[0x81, 0], 128), (&[0xFF, 0x7F], 16_383)] {
            assert_eq!(Fields::new(bytes).seven_bits(5), wanted);
        }
    }

    #[test]
    fn what_is_not_there_is_nothing() {
        let mut fields = Fields::new(&[1, 2, 3]);
        assert_eq!((fields.u16(), fields.u32(), fields.left()), (0x102, 0, 0));
    }
}
