//! Every field of a codeword, for people to look at.

use crate::{Codeword, Layout};

/// A run of bits in a codeword that belong together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Field {
    /// Its first bit, 0 to 79.
    pub first: u8,
    /// How many bits it has.
    pub width: u8,
    /// What the standard calls it.
    pub name: &'static str,
    /// What it says.
    pub value: String,
}

/// What the bits of a field are to be read as.
#[derive(Clone, Copy)]
enum Reading {
    /// A decimal digit; one above 9 is shown as it is.
    Digit,
    /// A hexadecimal digit.
    Group,
    /// Yes or no.
    Flag(&'static str, &'static str),
    /// The synchronizing word.
    Sync,
}

use Reading::{Digit, Flag, Group, Sync};

type Row = (u8, u8, &'static str, Reading);

const UNUSED: Reading = Flag("0", "1, though it has no meaning here");
const SET: Reading = Flag("0", "1");

/// IEC 60461 table 2, SMPTE ST 12-1 table 2: what stands at the same place in every layout.
const COMMON: [Row; 17] = [
    (0, 4, "Frame units", Digit),
    (4, 4, "Binary group 1", Group),
    (8, 2, "Frame tens", Digit),
    (12, 4, "Binary group 2", Group),
    (16, 4, "Second units", Digit),
    (20, 4, "Binary group 3", Group),
    (24, 3, "Second tens", Digit),
    (28, 4, "Binary group 4", Group),
    (32, 4, "Minute units", Digit),
    (36, 4, "Binary group 5", Group),
    (40, 3, "Minute tens", Digit),
    (44, 4, "Binary group 6", Group),
    (48, 4, "Hour units", Digit),
    (52, 4, "Binary group 7", Group),
    (56, 2, "Hour tens", Digit),
    (60, 4, "Binary group 8", Group),
    (64, 16, "Synchronizing word", Sync),
];

impl Codeword {
    /// Every field of all 80 bits, in the order in which they are sent, if the codeword has that
    /// layout.
    pub fn fields(self, layout: Layout) -> Vec<Field> {
        let mut rows: Vec<Row> = COMMON.into_iter().chain(flags(layout)).collect();
        rows.sort_by_key(|row| row.0);
        rows.into_iter()
            .map(|(first, width, name, reading)| Field {
                first,
                width,
                name,
                value: self.reads(first, width, reading),
            })
            .collect()
    }

    fn reads(self, first: u8, width: u8, reading: Reading) -> String {
        match reading {
            Digit => {
                let digit = self.value(first, width);
                let note = if digit > 9 { ", which is no digit" } else { "" };
                format!("{digit}{note}")
            }
            Group => format!("{:X}", self.value(first, width)),
            Flag(clear, set) => if self.bit(first) { set } else { clear }.to_owned(),
            Sync if self.is_synchronized() => "as it must be".to_owned(),
            Sync => "damaged".to_owned(),
        }
    }
}

/// IEC 60461 tables 3 to 5, SMPTE ST 12-1 tables 3 to 5.
fn flags(layout: Layout) -> [Row; 6] {
    let drop: Row = match layout.drop_flag() {
        Some(bit) => (bit, 1, "Drop-frame flag", Flag("non-drop", "drop-frame")),
        None => (10, 1, "Unused", UNUSED),
    };
    let colour: Row = match layout.colour_frame_flag() {
        Some(bit) => (
            bit,
            1,
            "Colour-frame flag",
            Flag("not said", "colour frames followed"),
        ),
        None => (11, 1, "Unused", UNUSED),
    };
    let [bgf2, bgf1, bgf0] = layout.binary_group_flags();
    [
        drop,
        colour,
        (layout.polarity_bit(), 1, "Polarity correction", SET),
        (bgf0, 1, "Binary group flag 0", SET),
        (bgf1, 1, "Binary group flag 1", SET),
        (bgf2, 1, "Binary group flag 2", SET),
    ]
}
