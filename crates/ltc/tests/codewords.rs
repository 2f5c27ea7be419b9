//! Codewords against the tables of the standards.

use plumbline_ltc::{Codeword, Flags, Layout, PolarityRule, SYNC_BITS, SYNC_FORWARD, SYNC_REVERSE};
use plumbline_timecode::{BinaryGroupFlags, Count, TimeAddress, UserBits};

type Row = (&'static str, Count, u32, BinaryGroupFlags, [u8; 10]);

const NONE: BinaryGroupFlags = BinaryGroupFlags::Unspecified;

/// IEC 60461:2010 tables 2 to 5 and clause 8.2.6 (SMPTE ST 12-1:2014 tables 2 to 5, clause 9.2.3),
/// worked out by hand from them. Groups as in clause 7.4.3 ("SYNC") and SMPTE ST 309 (the dates).
const ROWS: [Row; 16] = [
    (
        "00:00:00:00",
        Count::F30,
        0,
        NONE,
        [0, 0, 0, 8, 0, 0, 0, 0, 0xFC, 0xBF],
    ),
    (
        "00:00:00:00",
        Count::F24,
        0,
        NONE,
        [0, 0, 0, 8, 0, 0, 0, 0, 0xFC, 0xBF],
    ),
    (
        "00:00:00:00",
        Count::F25,
        0,
        NONE,
        [0, 0, 0, 0, 0, 0, 0, 8, 0xFC, 0xBF],
    ),
    (
        "01:00:00:00",
        Count::F24,
        0,
        NONE,
        [0, 0, 0, 0, 0, 0, 1, 0, 0xFC, 0xBF],
    ),
    (
        "01:00:00:00",
        Count::F25,
        0,
        NONE,
        [0, 0, 0, 0, 0, 0, 1, 0, 0xFC, 0xBF],
    ),
    (
        "01:00:00:00",
        Count::F30,
        0,
        NONE,
        [0, 0, 0, 0, 0, 0, 1, 0, 0xFC, 0xBF],
    ),
    (
        "01:00:00;00",
        Count::F30Drop,
        0,
        NONE,
        [0, 4, 0, 8, 0, 0, 1, 0, 0xFC, 0xBF],
    ),
    (
        "00:01:00;02",
        Count::F30Drop,
        0,
        NONE,
        [2, 4, 0, 0, 1, 0, 0, 0, 0xFC, 0xBF],
    ),
    (
        "23:59:59;29",
        Count::F30Drop,
        0,
        NONE,
        [9, 6, 9, 5, 9, 5, 3, 2, 0xFC, 0xBF],
    ),
    (
        "23:59:59:24",
        Count::F25,
        0,
        NONE,
        [4, 2, 9, 5, 9, 5, 3, 2, 0xFC, 0xBF],
    ),
    (
        "23:59:59:23",
        Count::F24,
        0,
        NONE,
        [3, 2, 9, 0xD, 9, 5, 3, 2, 0xFC, 0xBF],
    ),
    (
        "12:34:56:12",
        Count::F24,
        0,
        NONE,
        [2, 1, 6, 5, 4, 3, 2, 1, 0xFC, 0xBF],
    ),
    (
        "01:23:45:13",
        Count::F30,
        0,
        NONE,
        [3, 1, 5, 0xC, 3, 2, 1, 0, 0xFC, 0xBF],
    ),
    (
        "01:00:00:00",
        Count::F25,
        0x5359_4E43,
        BinaryGroupFlags::Characters,
        [0x30, 0x40, 0xE0, 0x48, 0x90, 0x50, 0x31, 0x50, 0xFC, 0xBF],
    ),
    (
        "14:30:00:00",
        Count::F25,
        0x2426_1010,
        BinaryGroupFlags::DateAndZone,
        [0x00, 0x10, 0x00, 0x10, 0x60, 0x2B, 0x44, 0x29, 0xFC, 0xBF],
    ),
    (
        "14:30:00:00",
        Count::F24,
        0x2426_1010,
        BinaryGroupFlags::DateAndZone,
        [0x00, 0x10, 0x00, 0x18, 0x60, 0x23, 0x44, 0x29, 0xFC, 0xBF],
    ),
];

#[test]
fn codewords_are_those_of_the_tables_and_are_read_back() {
    for (address, count, user_bits, flags, bytes) in ROWS {
        let address = TimeAddress::parse(address, count).unwrap();
        let rule = PolarityRule::Corrected;
        let word = Codeword::new(address, UserBits(user_bits), flags, Flags::default(), rule);
        assert_eq!(word.0, bytes, "{address} counted {count}");
        let layout = Layout::from(count);
        assert_eq!(word.address(count).unwrap(), address);
        assert_eq!(word.user_bits(), UserBits(user_bits));
        assert_eq!(word.binary_group_flags(layout), flags);
        assert_eq!(word.drop_flag(), count.is_drop());
        assert!(word.is_even() && word.is_synchronized());
    }
}

/// The example in the notes of SMPTE ST 12-1:2014: colour-frame flag, flags 101, groups 1 to 8.
#[test]
fn the_example_of_the_standard_is_read() {
    let word = Codeword([0x13, 0x29, 0x35, 0x4C, 0x53, 0x6A, 0x71, 0x88, 0xFC, 0xBF]);
    assert_eq!(word.address(Count::F30).unwrap().to_string(), "01:23:45:13");
    assert!(word.colour_frame_flag());
    assert_eq!(
        word.binary_group_flags(Layout::Base30).flags(),
        [true, false, true]
    );
    assert_eq!(word.user_bits(), UserBits(0x8765_4321));
}

/// IEC 60461 clause 8.2.5: the sync word, and what a tape that runs backwards gives.
#[test]
fn the_sync_word_is_itself_forwards_and_another_backwards() {
    assert_eq!(SYNC_FORWARD, 0x3FFD);
    assert_eq!(SYNC_REVERSE, 0xBFFC);
    assert_eq!(SYNC_FORWARD.reverse_bits(), SYNC_REVERSE);
    assert_eq!(SYNC_BITS, 16);
}

/// Every field of all 80 bits has a name, in every layout, and no bit has two.
#[test]
fn fields_cover_each_bit_once() {
    let word = Codeword([0; 10]);
    for layout in Layout::ALL {
        let bits: Vec<u8> = word
            .fields(layout)
            .iter()
            .flat_map(|field| field.first..field.first + field.width)
            .collect();
        assert_eq!(bits, (0..80).collect::<Vec<u8>>(), "{layout:?}");
    }
}
