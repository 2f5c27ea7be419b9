//! Every reading of user bits. Only the flags tell which was meant, and often they say nothing.

use plumbline_timecode::st309::{Day, DaylightSaving, Stamp, ZoneMeaning};
use plumbline_timecode::{DateOrder, GroupContent, UserBits};
use plumbline_words::user_bits::{self as words, in_pairs};

use super::Content;
use crate::{Row, Table};

const NONE: &str = "none";

/// One row for each reading; where the flags say which, that one says so.
pub(super) fn table(content: Content) -> Table {
    let Content { bits, flags } = content;
    let said = |meant: GroupContent| {
        if flags.groups() == meant {
            "the flags say this; "
        } else {
            ""
        }
    };
    let mut rows = vec![Row::new(
        "As digits",
        in_pairs(bits),
        format!("{}group 8 first", said(GroupContent::Unspecified)),
    )];
    rows.extend(DateOrder::ALL.map(|order| typed_date(bits, order)));
    rows.push(characters(bits, said(GroupContent::Characters)));
    rows.extend(stamp(bits, said(GroupContent::DateAndZone)));
    Table::new("Every reading", rows)
}

/// The readings that the flags leave open, in a few words each.
pub(super) fn as_said(content: Content) -> Vec<String> {
    let Content { bits, flags } = content;
    let words = |label: String, value: String| format!("{label}: {value}");
    match flags.groups() {
        GroupContent::Unspecified if bits == UserBits(0) => Vec::new(),
        GroupContent::Unspecified => bits
            .typed_dates()
            .map(words::typed_date)
            .map(|fact| words(fact.label, fact.value))
            .collect(),
        GroupContent::Characters => bits
            .text()
            .map(|text| words("As four characters".to_owned(), format!("“{text}”")))
            .into_iter()
            .collect(),
        GroupContent::DateAndZone => Stamp::read(bits)
            .map(words::stamp)
            .map(|fact| words(fact.label, fact.value))
            .into_iter()
            .collect(),
        GroupContent::PageLine | GroupContent::Reserved => Vec::new(),
    }
}

fn typed_date(bits: UserBits, order: DateOrder) -> Row {
    match bits.typed_date(order) {
        Ok(typed) => {
            let fact = words::typed_date(typed);
            let how = "the first six digits, the century taken to be this one; no flag tells a \
                       typed date, nor its order (common practice)";
            Row::new(fact.label, fact.value, how)
        }
        Err(error) => Row::new(format!("As a date typed {order}"), NONE, error.to_string()),
    }
}

fn characters(bits: UserBits, said: &str) -> Row {
    let order = "the first in groups 7 and 8, the last in groups 1 and 2 (SMPTE ST 12-1 clause \
                 8.4.2, IEC 60461 clause 7.4.3)";
    match bits.text() {
        Some(text) => Row::new("As four characters", text, format!("{said}{order}")),
        None => Row::new(
            "As four characters",
            NONE,
            format!("{said}not all four are characters of ISO 646 that can be seen"),
        ),
    }
}

/// A date and zone with its parts.
fn stamp(bits: UserBits, said: &str) -> Vec<Row> {
    let stamp = match Stamp::read(bits) {
        Ok(stamp) => stamp,
        Err(error) => {
            let how = format!("{said}{error}");
            return vec![Row::new("As ST 309 date and zone", NONE, how)];
        }
    };
    let fact = words::stamp(stamp);
    let form = match stamp.day {
        Day::Local(_) => "year, month and day in groups 6 to 1, and the address is local time",
        Day::Utc(_) => "the Modified Julian Date in groups 6 to 1, and the address is UTC",
    };
    let clause = "SMPTE ST 309 as SMPTE ST 2059-1 clauses 9.3.1 and 9.3.4 have it";
    let summer = match stamp.daylight_saving {
        DaylightSaving::Unmarked => "0",
        DaylightSaving::Marked => "1",
    };
    vec![
        Row::new(fact.label, fact.value, format!("{said}{form} ({clause})")),
        Row::new(
            "ST 309 zone code",
            stamp.zone.to_string(),
            format!(
                "{}, in group 7 and the two low bits of group 8",
                meaning(stamp)
            ),
        ),
        Row::new(
            "ST 309 flag for summer time",
            summer,
            "group 8, bit 2; the sources differ on whether the code leaves out the hour that it \
             stands for, so it is sent as 0 and the code is the offset in force",
        ),
    ]
}

fn meaning(stamp: Stamp) -> String {
    match stamp.zone.meaning() {
        ZoneMeaning::Offset(offset) => format!("{offset} from UTC"),
        ZoneMeaning::Precision => "how precise the time is (from memory)".to_owned(),
        ZoneMeaning::UserDefined => "an offset by agreement (from memory)".to_owned(),
        ZoneMeaning::Unknown => "not known (from memory)".to_owned(),
        ZoneMeaning::Reserved => "kept for later (from memory)".to_owned(),
    }
}
