//! User bits, read and written in every meaning.

mod read;
mod write;

use plumbline_ltc::Layout;
use plumbline_timecode::{BinaryGroupFlags, DateOrder, UserBits};
use plumbline_words::choice;
use plumbline_words::user_bits::{clauses, in_pairs, meaning};
use serde::{Deserialize, Serialize};

use crate::problems::Problems;
use crate::{Answer, Row, Table};

/// What is asked: user bits to be read, or what they are to say.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct UserBitsForm {
    /// What was typed: `hex` (with `flags`, to be read), or what is to be written:
    /// `day-month-year`, `month-day-year`, `year-month-day`, `characters`, `date-and-zone` (local
    /// time) or `julian-date-and-zone` (UTC).
    pub user_bits_are: String,
    /// Eight hexadecimal digits, group 8 first.
    pub user_bits: String,
    /// The binary group flags beside them, BGF2, BGF1, BGF0: `000`.
    pub flags: String,
    /// Four characters.
    pub characters: String,
    /// The date `2026-11-25`.
    pub date: String,
    /// The two hexadecimal digits after a date in one of the three orders.
    pub spare: String,
    /// The offset from UTC, for a date and zone: `+01:00`.
    pub zone: String,
    /// Whether the address is the time of a clock, as the flags say: `yes` or `no`.
    pub clock_time: String,
}

impl Default for UserBitsForm {
    fn default() -> Self {
        let text = str::to_owned;
        Self {
            user_bits_are: text("hex"),
            user_bits: text("25112601"),
            flags: text("000"),
            characters: text("CAM2"),
            date: text("2026-11-25"),
            spare: text("01"),
            zone: text("+00:00"),
            clock_time: text("no"),
        }
    }
}

/// What was typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Hex,
    Typed(DateOrder),
    Characters,
    DateAndZone,
    JulianDateAndZone,
}

const KINDS: [(&str, Kind); 7] = [
    ("hex", Kind::Hex),
    ("day-month-year", Kind::Typed(DateOrder::DayMonthYear)),
    ("month-day-year", Kind::Typed(DateOrder::MonthDayYear)),
    ("year-month-day", Kind::Typed(DateOrder::YearMonthDay)),
    ("characters", Kind::Characters),
    ("date-and-zone", Kind::DateAndZone),
    ("julian-date-and-zone", Kind::JulianDateAndZone),
];

/// User bits with the flags beside them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Content {
    bits: UserBits,
    flags: BinaryGroupFlags,
}

/// User bits as they are sent, and every reading of them.
///
/// ```
/// use plumbline_sums::{UserBitsForm, user_bits};
/// let answer = user_bits(&UserBitsForm {
///     user_bits_are: "characters".into(),
///     characters: "SYNC".into(),
///     ..UserBitsForm::default()
/// });
/// assert_eq!(answer.tables[0].rows[0].value, "53 59 4E 43");
/// ```
pub fn user_bits(form: &UserBitsForm) -> Answer {
    let mut problems = Problems::default();
    let kind = problems.keep(choice("user_bits_are", &form.user_bits_are, &KINDS));
    let content = kind.and_then(|kind| write::content(kind, form, &mut problems));
    let tables = match content {
        Some(content) => vec![
            sent(content),
            read::table(content),
            flags_table(content.flags),
        ],
        None => Vec::new(),
    };
    Answer {
        verdict: match content {
            Some(content) => verdict(content),
            None => "No user bits yet: something is not right in the fields.".to_owned(),
        },
        tables,
        problems: problems.0,
    }
}

fn verdict(content: Content) -> String {
    let Content { bits, flags } = content;
    let said = match read::as_said(content).as_slice() {
        [] => String::new(),
        readings => format!(" {}.", readings.join(". ")),
    };
    format!(
        "User bits {} with the flags {}: {}.{said}",
        in_pairs(bits),
        digits(flags),
        meaning(flags)
    )
}

/// BGF2, BGF1, BGF0.
fn digits(flags: BinaryGroupFlags) -> String {
    flags
        .flags()
        .map(|flag| if flag { '1' } else { '0' })
        .iter()
        .collect()
}

/// What goes into the codeword.
fn sent(content: Content) -> Table {
    let Content { bits, flags } = content;
    let groups = bits.groups().map(|group| format!("{group:X}"));
    let mut rows = vec![
        Row::new(
            "Eight digits",
            in_pairs(bits),
            "group 8 first, as they are typed and shown (common practice)",
        ),
        Row::new(
            "Binary groups 1 to 8",
            groups.join(" "),
            "group 1 in bits 4 to 7 of the codeword, each next one 8 bits on (SMPTE ST 12-1 table \
             2, IEC 60461 table 2)",
        ),
        Row::new(
            "Binary group flags BGF2, BGF1, BGF0",
            digits(flags),
            format!("{} ({})", meaning(flags), clauses(flags)),
        ),
    ];
    let layouts = [
        (
            "Bits 27, 43, 58, 59 where 24 or 30 are counted",
            Layout::Base30,
            27,
        ),
        (
            "Bits 27, 43, 58, 59 where 25 are counted",
            Layout::Base25,
            59,
        ),
    ];
    for (label, layout, polarity) in layouts {
        let set = |bit| set(layout, flags, bit);
        rows.push(Row::new(
            label,
            [27, 43, 58, 59].map(set).join(" "),
            format!(
                "p is the polarity correction, bit {polarity}, which depends on all other bits (SMPTE ST \
                 12-1 tables 3 to 5)"
            ),
        ));
    }
    Table::new("As they are sent", rows)
}

/// What stands at a bit of the codeword under a layout.
fn set(layout: Layout, flags: BinaryGroupFlags, bit: u8) -> &'static str {
    let places = layout.binary_group_flags().into_iter().zip(flags.flags());
    let mut here = places.filter(|&(place, _)| place == bit);
    match here.next() {
        Some((_, true)) => "1",
        Some((_, false)) => "0",
        None => "p",
    }
}

/// All combinations of flags.
fn flags_table(now: BinaryGroupFlags) -> Table {
    let rows = BinaryGroupFlags::ALL.into_iter().map(|flags| {
        let here = if flags == now { ", as here" } else { "" };
        Row::new(
            format!("BGF2, BGF1, BGF0 = {}{here}", digits(flags)),
            meaning(flags),
            clauses(flags),
        )
    });
    Table::new("What the flags can say", rows.collect())
}
