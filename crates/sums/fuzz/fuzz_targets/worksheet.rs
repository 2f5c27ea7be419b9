//! Whatever is typed into a worksheet is worked out, or refused with a place in its line; and what
//! was worked out is the same when it is typed as it is shown exactly.
//!
//! `cargo +nightly fuzz run worksheet -- -dict=fuzz/worksheet.dict`, in the folder `crates/sums`.

#![no_main]

use libfuzzer_sys::fuzz_target;
use plumbline_sums::worksheet::{Line, LineKind, Worksheet, worksheet};

const RATES: [[&str; 3]; 4] = [
    ["25", "non-drop", "48000"],
    ["29.97", "drop", "48000 pulled down"],
    ["120", "drop", "44.1 kHz"],
    ["", "", ""],
];

fuzz_target!(|text: &str| {
    let [rate, counting, sample_rate] = RATES[text.len() % RATES.len()].map(str::to_owned);
    let sheet = Worksheet {
        rate,
        counting,
        sample_rate,
        text: text.to_owned(),
    };
    let worked = worksheet(&sheet);
    for (line, text) in worked.lines.iter().zip(text.split('\n')) {
        check_fault(line, text);
        check_again(line, &sheet);
    }
});

fn check_fault(line: &Line, text: &str) {
    assert_eq!(line.fault.is_some(), line.kind == LineKind::Fault);
    let Some(fault) = &line.fault else {
        return;
    };
    let place = fault.span.start_byte as usize..fault.span.end_byte as usize;
    assert!(text.get(place).is_some(), "{fault:?}");
    assert!(!fault.expected.is_empty() && fault.text.len() < 2000, "{fault:?}");
}

/// At the limits of what is kept exactly, a value that was worked out may be too fine to be typed.
fn check_again(line: &Line, sheet: &Worksheet) {
    if matches!(line.kind, LineKind::Nothing | LineKind::Fault) {
        return;
    }
    let again = worksheet(&Worksheet {
        text: line.exact.clone(),
        ..sheet.clone()
    });
    let again = &again.lines[0];
    match &again.fault {
        Some(fault) => assert!(fault.text.contains("too finely divided"), "{line:?} {fault:?}"),
        None => assert_eq!((&again.exact, &again.value), (&line.exact, &line.value)),
    }
}
