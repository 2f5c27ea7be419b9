//! Looking up values in an answer.

#![allow(
    dead_code,
    unreachable_pub,
    clippy::panic,
    reason = "each test looks up a part of this"
)]

use plumbline_sums::{AddressForm, Answer, Row, Table, address};

/// The row under a label in a table whose title begins so.
pub fn row<'a>(tables: &'a [Table], title: &str, label: &str) -> &'a Row {
    let table = tables
        .iter()
        .find(|table| table.title.starts_with(title))
        .unwrap_or_else(|| panic!("no table {title} in {tables:?}"));
    table
        .rows
        .iter()
        .find(|row| row.label == label)
        .unwrap_or_else(|| panic!("no row {label} in {table:?}"))
}

/// Its value.
pub fn value<'a>(tables: &'a [Table], title: &str, label: &str) -> &'a str {
    &row(tables, title, label).value
}

/// The answer to a moment that was typed; the counting is drop-frame where the rate ends in `d`.
pub fn moment(kind: &str, text: &str, rate: &str, sample_rate: &str) -> Answer {
    let (rate, counting) = match rate.strip_suffix('d') {
        Some(rate) => (rate, "drop"),
        None => (rate, "non-drop"),
    };
    let answer = address(&AddressForm {
        kind: kind.into(),
        text: text.into(),
        rate: rate.into(),
        counting: counting.into(),
        sample_rate: sample_rate.into(),
    });
    assert_eq!(answer.problems, [], "{kind} {text} at {rate}");
    answer
}

/// The answer to an address.
pub fn at(text: &str, rate: &str) -> Answer {
    moment("time-address", text, rate, "48000")
}
