//! The codeword that carries the frame.

use plumbline_ltc::{Codeword, Flags, Layout, PolarityRule};
use plumbline_timecode::{BinaryGroupFlags, UserBits};

use super::Moment;
use crate::{Row, Table};

fn codeword(moment: &Moment) -> Codeword {
    Codeword::new(
        moment.address,
        UserBits(0),
        BinaryGroupFlags::Unspecified,
        Flags::default(),
        PolarityRule::Corrected,
    )
}

/// All 80 bits, and which part of them lasts as long as the frame.
pub(super) fn table(moment: &Moment) -> Table {
    let (code, word) = (moment.address.code(), codeword(moment));
    let spans = match code.parts() {
        1 => "a codeword for every frame".to_owned(),
        parts => format!(
            "above 30 frames a second a codeword spans {parts} frames (IEC 60461 clauses 8.5 and \
             11): this is part {} of {parts}, sent with bits {} to {}",
            code.part() + 1,
            code.bits().start,
            code.bits().end - 1
        ),
    };
    let bits: Vec<String> = (0..10).map(|byte| bits(word, byte * 8, 8)).collect();
    let bytes: Vec<String> = word.0.iter().map(|byte| format!("{byte:02X}")).collect();
    let rows = vec![
        Row::new("Address in the codeword", code.address().to_string(), spans),
        Row::new(
            "80 bits, as they are sent",
            bits.join(" "),
            "bit 0 first (IEC 60461 clause 8.2); user bits and their flags 0, and the polarity \
             correction makes the number of zeros even (clause 8.2.6)",
        ),
        Row::new(
            "10 bytes",
            bytes.join(" "),
            "bit 0 is the lowest of the first byte",
        ),
    ];
    Table::new("The codeword, with user bits 0", rows)
}

/// Field by field.
pub(super) fn fields(moment: &Moment) -> Table {
    let word = codeword(moment);
    let rows = word
        .fields(Layout::from(moment.address.count()))
        .into_iter()
        .map(|field| {
            let last = field.first + field.width - 1;
            let place = if field.width == 1 {
                format!("Bit {}", field.first)
            } else {
                format!("Bits {} to {last}", field.first)
            };
            Row::new(
                format!("{place}: {}", field.name.to_lowercase()),
                bits(word, field.first, field.width),
                field.value,
            )
        });
    Table::new("The codeword, field by field", rows.collect())
}

fn bits(word: Codeword, first: u8, width: u8) -> String {
    (first..first + width)
        .map(|bit| if word.bit(bit) { '1' } else { '0' })
        .collect()
}
