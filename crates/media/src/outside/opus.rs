//! Opus: its identification header (RFC 7845, 5.1), the box that an MP4 has for it (Encapsulation
//! of Opus in ISO Base Media File Format, 4.3.2, from memory) and a packet's first bytes (RFC 6716,
//! 3.1 and 3.2).

use crate::big_endian::Fields;

/// The rate at which Opus is decoded and its run-in is counted, in hertz.
pub(crate) const SAMPLE_RATE: u32 = 48_000;

/// What an identification header says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Head {
    pub(crate) channels: u8,
    /// The decoder's run-in, in sample frames.
    pub(crate) pre_skip: u16,
    header: Vec<u8>,
}

const MAGIC: &[u8] = b"OpusHead";
const CHANNELS_AT: usize = 9;
const PRE_SKIP_AT: std::ops::Range<usize> = 10..12;
/// With the mapping family, and without a table of channels.
const LEN: usize = 19;

impl Head {
    /// None where it is no such header.
    pub(crate) fn read(header: &[u8]) -> Option<Self> {
        let pre_skip = header.get(PRE_SKIP_AT)?.first_chunk()?;
        let channels = *header.get(CHANNELS_AT)?;
        let is_head = header.starts_with(MAGIC) && header.len() >= LEN && channels > 0;
        is_head.then(|| Self {
            channels,
            pre_skip: u16::from_le_bytes(*pre_skip),
            header: header.to_vec(),
        })
    }

    /// The header without a run-in: a decoder that takes it out would take it out twice.
    pub(crate) fn without_run_in(&self) -> Vec<u8> {
        let mut header = self.header.clone();
        if let Some(pre_skip) = header.get_mut(PRE_SKIP_AT) {
            pre_skip.fill(0);
        }
        header
    }
}

/// The identification header that a `dOps` box comes to: the same fields, most significant byte
/// first, and another version.
pub(crate) fn head_of_box(content: &[u8]) -> Vec<u8> {
    let mut fields = Fields::new(content);
    let (_version, channels) = (fields.u8(), fields.u8());
    let (pre_skip, input_rate, gain) = (fields.u16(), fields.u32(), fields.u16());
    let mut header = MAGIC.to_vec();
    header.extend([1, channels]);
    header.extend(pre_skip.to_le_bytes());
    header.extend(input_rate.to_le_bytes());
    header.extend(gain.to_le_bytes());
    header.extend(fields.rest());
    header
}

/// How many sample frames a packet has: its first byte has the length and the kind of number, the
/// second the number where it is any. None where that is no packet.
pub(crate) fn frames(packet: &[u8]) -> Option<u32> {
    let [first, second] = [0, 1].map(|index| packet.get(index).copied().unwrap_or(0));
    // In 400ths of a second: SILK, hybrid, then CELT.
    let length = match (first >> 3, first >> 3 & 3) {
        (0..12, length) => [4, 8, 16, 24].get(usize::from(length)).copied(),
        (12..16, length) => Some(4 << (length & 1)),
        (_, length) => Some(1 << length),
    };
    let number = match first & 3 {
        0 => 1,
        1 | 2 => 2,
        _ => u32::from(second & 0x3F),
    };
    // 120 ms at most.
    Some(length? * number)
        .filter(|&all| all > 0 && all <= 48)
        .map(|all| all * (SAMPLE_RATE / 400))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_byte_tells_how_long_a_packet_is() {
        // RFC 6716, table 2: configuration, frame in tenths of a millisecond.
        let frames_of = [
            (0, 100),
            (1, 200),
            (2, 400),
            (3, 600),
            (4, 100),
            (7, 600),
            (8, 100),
            (11, 600),
            (12, 100),
            (13, 200),
            (14, 100),
            (15, 200),
            (16, 25),
            (17, 50),
            (18, 100),
            (19, 200),
            (20, 25),
            (28, 25),
            (31, 200),
        ];
        for (configuration, tenths) in frames_of {
            let one = configuration << 3;
            let wanted = tenths * 48 / 10;
            assert_eq!(frames(&[one, 9]), Some(wanted), "{configuration}");
            assert_eq!(frames(&[one | 1, 9]), Some(2 * wanted), "{configuration}");
            assert_eq!(frames(&[one | 4 | 2]), Some(2 * wanted), "{configuration}");
            assert_eq!(
                frames(&[one | 3, 0x80 | 2]),
                Some(2 * wanted),
                "{configuration}"
            );
        }
        assert_eq!(frames(&[31 << 3 | 3, 0]), None);
        assert_eq!(frames(&[31 << 3 | 3, 7]), None);
        assert_eq!(frames(&[]), Some(480));
    }

    #[test]
    fn a_box_of_an_mp4_comes_to_the_header_that_ogg_has() {
        let dops = [0, 2, 0x01, 0x38, 0, 0, 0xBB, 0x80, 0, 0, 0];
        let head = Head::read(&head_of_box(&dops)).unwrap();
        assert_eq!((head.channels, head.pre_skip), (2, 312));
        let ogg = b"OpusHead\x01\x02\x38\x01\x80\xBB\0\0\0\0\0";
        assert_eq!(head, Head::read(ogg).unwrap());
        assert_eq!(Head::read(&head.without_run_in()).unwrap().pre_skip, 0);
    }

    #[test]
    fn what_is_cut_or_something_else_is_no_header() {
        assert_eq!(Head::read(b"OpusHead\x01\x02"), None);
        assert_eq!(
            Head::read(b"OpusTags\x01\x02\x38\x01\x80\xBB\0\0\0\0\0"),
            None
        );
        assert_eq!(Head::read(&head_of_box(&[])), None);
    }
}
