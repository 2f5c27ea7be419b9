//! Anything pasted as a list: every line that is not blank is there again, and the rows that
//! count add up to the total.
//!
//! `cargo +nightly fuzz run rows`, in the folder `crates/sums`.

#![no_main]

use libfuzzer_sys::fuzz_target;
use plumbline_sums::{LineState, RowsForm, rows};
use plumbline_timecode::Timebase;

fuzz_target!(|input: (u8, u8, &str)| {
    let (timebase, how, text) = input;
    let Some(timebase) = Timebase::all().nth(usize::from(timebase) % 19) else {
        return;
    };
    let one_of = |bit: u8, [no, yes]: [&str; 2]| if how & bit == 0 { no } else { yes }.to_owned();
    let counting = if timebase.count().is_drop() {
        "drop"
    } else {
        "non-drop"
    };
    let answer = rows(&RowsForm {
        text: text.to_owned(),
        rate: timebase.rate().to_string(),
        counting: counting.to_owned(),
        rows_are: one_of(1, ["in-and-out", "durations"]),
        outs: one_of(2, ["exclusive", "inclusive"]),
        pair: one_of(4, ["first", "last"]),
    });
    let pasted = text.lines().filter(|line| !line.trim().is_empty()).count();
    assert_eq!(answer.lines.len(), pasted);
    let mut total = 0_u64;
    for line in &answer.lines {
        let counts = line.state == LineState::Row;
        assert_eq!(line.frames.is_empty(), !counts, "{line:?}");
        assert_eq!(
            line.state == LineState::Bad,
            !line.remedy.is_empty(),
            "{line:?}"
        );
        total += line.frames.parse::<u64>().unwrap_or(0);
    }
    if let Some(table) = answer.tables.first() {
        assert_eq!(table.rows[1].value, total.to_string());
    }
});
