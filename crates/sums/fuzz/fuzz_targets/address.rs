//! Anything typed for a moment: it is answered, and the address that it comes to is the same
//! moment's when it is typed in its turn.
//!
//! `cargo +nightly fuzz run address`, in the folder `crates/sums`.

#![no_main]

use libfuzzer_sys::fuzz_target;
use plumbline_sums::{AddressForm, Answer, address};
use plumbline_timecode::Timebase;

const KINDS: [&str; 5] = [
    "time-address",
    "frame-count",
    "duration",
    "sample-position",
    "time-reference",
];

fuzz_target!(|input: (u8, u8, &str, &str)| {
    let (kind, timebase, sample_rate, text) = input;
    let Some(timebase) = Timebase::all().nth(usize::from(timebase) % 19) else {
        return;
    };
    let counting = if timebase.count().is_drop() {
        "drop"
    } else {
        "non-drop"
    };
    let form = AddressForm {
        kind: KINDS[usize::from(kind) % KINDS.len()].to_owned(),
        text: text.to_owned(),
        rate: timebase.rate().to_string(),
        counting: counting.to_owned(),
        sample_rate: if sample_rate.is_empty() {
            "48000"
        } else {
            sample_rate
        }
        .to_owned(),
    };
    let answer = address(&form);
    for problem in &answer.problems {
        assert!(
            ["text", "sample_rate"].contains(&problem.field.as_str()),
            "{problem:?}"
        );
        assert!(problem.text.len() < 400, "{problem:?}");
    }
    let Some(shown) = value(&answer, "Time address") else {
        return;
    };
    let again = address(&AddressForm {
        kind: "time-address".to_owned(),
        text: shown.to_owned(),
        sample_rate: "48000".to_owned(),
        ..form
    });
    assert_eq!(again.problems, []);
    assert_eq!(value(&again, "Time address"), Some(shown));
});

fn value<'a>(answer: &'a Answer, label: &str) -> Option<&'a str> {
    let rows = &answer.tables.first()?.rows;
    Some(&rows.iter().find(|row| row.label == label)?.value)
}
