//! The elementary stream descriptor: the set-up of an MPEG codec (ISO/IEC 14496-1, 7.2.6; tags and
//! object types from memory).

use crate::big_endian::Fields;

/// What a descriptor tells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Stream {
    /// AAC, with its set-up.
    Aac(Vec<u8>),
    /// Something else: its name in the trade.
    Other(&'static str),
}

const STREAM: u8 = 3;
const DECODER: u8 = 4;
const SETUP: u8 = 5;

/// Reads a descriptor, without the version and flags that an MP4 puts before it.
pub(crate) fn read(content: &[u8]) -> Stream {
    let mut fields = Fields::new(content);
    let mut object_type = 0;
    while fields.left() > 0 {
        let (tag, len) = (fields.u8(), fields.seven_bits(4));
        let len = usize::try_from(len).unwrap_or(usize::MAX);
        match tag {
            STREAM => {
                fields.skip(2);
                let flags = fields.u8();
                fields.skip(if flags & 0x80 != 0 { 2 } else { 0 });
                let url = if flags & 0x40 != 0 { fields.u8() } else { 0 };
                fields.skip(url.into());
                fields.skip(if flags & 0x20 != 0 { 2 } else { 0 });
            }
            DECODER => {
                object_type = fields.u8();
                fields.skip(12);
            }
            SETUP => {
                let setup = fields.rest();
                return Stream::Aac(setup.get(..len).unwrap_or(setup).to_vec());
            }
            _ => fields.skip(len),
        }
    }
    Stream::Other(match object_type {
        0x69 | 0x6B => "MP3 in MP4",
        0xA5 => "AC-3",
        0xA6 => "E-AC-3",
        0xA9 => "DTS",
        0xAD => "Opus",
        0xDD => "Vorbis in MP4",
        _ => "AAC without its set-up",
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_set_up_of_aac_is_found_behind_long_and_short_lengths() {
        let decoder = [0x40, 0x15, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0];
        let long: Vec<u8> = [&[3, 0x80, 0x80, 0x80, 25, 0, 1, 0, 4, 17], &decoder[..]].concat();
        let long = [&long[..], &[5, 0x80, 0x80, 0x80, 2, 0x11, 0x90, 6, 1, 2]].concat();
        assert_eq!(read(&long), Stream::Aac(vec![0x11, 0x90]));
        let named = [
            &[3, 40, 0, 1, 0xE0, 9, 9, 2, b'a', b'b', 7, 7, 4, 17],
            &decoder[..],
        ]
        .concat();
        let named = [&named[..], &[5, 2, 0x11, 0x90]].concat();
        assert_eq!(read(&named), Stream::Aac(vec![0x11, 0x90]));
    }

    #[test]
    fn what_is_cut_or_something_else_is_no_aac() {
        assert_eq!(read(&[3, 25, 0]), Stream::Other("AAC without its set-up"));
        let mut mp3 = vec![4, 13, 0x6B];
        mp3.extend([0; 12]);
        assert_eq!(read(&mp3), Stream::Other("MP3 in MP4"));
    }
}
