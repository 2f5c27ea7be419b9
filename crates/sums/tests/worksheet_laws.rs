//! Laws that hold for any line of the worksheet.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use proptest::prelude::*;

use plumbline_sums::worksheet::{Line, LineKind, Worked, Worksheet, worksheet};
use plumbline_timecode::{FrameNumber, TimeAddress, Timebase};

/// A sheet's rates.
fn sheets() -> impl Strategy<Value = (Timebase, Worksheet)> {
    let timebases = proptest::sample::select(Timebase::all().collect::<Vec<_>>());
    let samples = proptest::sample::select(vec!["48000", "44100", "48000 pulled down", "96 kHz"]);
    (timebases, samples).prop_map(|(timebase, samples)| {
        let counting = if timebase.count().is_drop() {
            "drop"
        } else {
            "non-drop"
        };
        let sheet = Worksheet {
            rate: timebase.rate().to_string(),
            counting: counting.to_owned(),
            sample_rate: samples.to_owned(),
            text: String::new(),
        };
        (timebase, sheet)
    })
}

fn address(timebase: Timebase) -> impl Strategy<Value = String> {
    let count = timebase.count();
    (0..count.frames_per_day()).prop_map(move |number| {
        TimeAddress::from_frame_number(count, FrameNumber(number))
            .unwrap()
            .to_string()
    })
}

/// A length in any unit, of up to some days.
fn length() -> impl Strategy<Value = String> {
    prop_oneof![
        (0..10_000_000_u32).prop_map(|n| format!("{n} frames")),
        (0..300_000_u32, 0..1000_u32).prop_map(|(s, ms)| format!("{s}.{ms:03} s")),
        (0..100_000_000_u32).prop_map(|n| format!("{n} samples")),
        (0..90_u32, 0..60_u32, 0..24_u32)
            .prop_map(|(h, m, f)| format!("({h} h {m} min {f} frames)")),
        (0..99_u32, 0..60_u32, 10..24_u32).prop_map(|(h, s, f)| format!("{h}:00:{s}:{f} long")),
        (1..1000_u32, 1..97_u32).prop_map(|(n, d)| format!("({n} ms * 7 / {d})")),
        (0..100_000_u32).prop_map(|n| format!("(-{n} frames at 23.976)")),
    ]
}

fn anything() -> impl Strategy<Value = (Timebase, Worksheet, String)> {
    sheets().prop_flat_map(|(timebase, sheet)| {
        let text = prop_oneof![
            address(timebase),
            length(),
            (address(timebase), length()).prop_map(|(a, b)| format!("{a} + {b}")),
            (address(timebase), length()).prop_map(|(a, b)| format!("{a} - {b}")),
            (address(timebase), address(timebase)).prop_map(|(a, b)| format!("{a} - {b}")),
            (address(timebase), address(timebase)).prop_map(|(a, b)| format!("from {a} to {b}")),
            (address(timebase), length()).prop_map(|(a, b)| format!("({a} - {b}) as 29.97 drop")),
            (length(), length()).prop_map(|(a, b)| format!("{a} - {b}")),
            (length(), length()).prop_map(|(a, b)| format!("{a} / ({b} + 1 s + 29 h)")),
            (length(), conversion()).prop_map(|(a, into)| format!("{a} {into}")),
        ];
        (Just(timebase), Just(sheet), text)
    })
}

fn conversion() -> impl Strategy<Value = &'static str> {
    proptest::sample::select(vec![
        "in h",
        "in min",
        "in s",
        "in ms",
        "in frames",
        "in samples",
        "in samples at 44100 pulled up",
        "in full",
        "as 25",
        "as 59.94 drop",
        "counted as 23.976",
    ])
}

fn worked(sheet: &Worksheet, text: String) -> Worked {
    worksheet(&Worksheet {
        text,
        ..sheet.clone()
    })
}

/// The only line of a sheet, which must be right.
fn line(sheet: &Worksheet, text: impl Into<String>) -> Line {
    let text: String = text.into();
    let line = worked(sheet, text.clone()).lines.pop().unwrap();
    assert_eq!(line.fault, None, "{text}");
    line
}

/// Exactly what a line comes to, without the day that it is on.
fn exactly(sheet: &Worksheet, text: String) -> String {
    line(sheet, text).exact
}

/// Texts that are nearly lines.
fn scraps() -> impl Strategy<Value = String> {
    let words = proptest::sample::select(vec![
        "10:00:00:00",
        "00:01:00;00",
        "24:00:00:00 long",
        "1:2",
        "90",
        "3.5",
        "0",
        "frames",
        "f",
        "samples",
        "s",
        "min",
        "h",
        "ms",
        "from",
        "to",
        "in",
        "as",
        "counted as",
        "at",
        "at 24:",
        "29.97",
        "drop",
        "48 kHz",
        "pulled down",
        "full",
        "long",
        "midnight",
        "take",
        "take =",
        "+",
        "-",
        "−",
        "*",
        "/",
        "×",
        "÷",
        "(",
        ")",
        "#",
        ",",
        ";",
        ":",
        "é",
        "𝄞",
        "\n",
        " ",
        "999999999999999999",
        "0.000000001",
        "\u{a0}",
    ]);
    prop_oneof![
        any::<String>(),
        proptest::collection::vec(words, 0..24).prop_map(|words| words.join(" ")),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1024))]

    #[test]
    fn there_and_back_is_here(
        ((timebase, sheet), seed, by) in (sheets(), any::<u32>(), length())
    ) {
        let number = FrameNumber(seed % timebase.count().frames_per_day());
        let a = TimeAddress::from_frame_number(timebase.count(), number).unwrap().to_string();
        prop_assert_eq!(&exactly(&sheet, format!("{a} + {by} - {by}")), &a);
        prop_assert_eq!(&exactly(&sheet, format!("{a} - {by} + {by}")), &a);
    }

    #[test]
    fn steps_add_up((sheet, a, b, c) in (sheets(), length(), length(), length())) {
        let (_, sheet) = sheet;
        let seconds = |text: String| exactly(&sheet, format!("({text}) in s"));
        prop_assert_eq!(
            seconds(format!("({a} + {b}) + {c}")),
            seconds(format!("{a} + ({b} + {c})"))
        );
        prop_assert_eq!(seconds(format!("{a} + {b}")), seconds(format!("{b} + {a}")));
        prop_assert_eq!(seconds(format!("3 * ({a} - {b})")), seconds(format!("{a} * 3 - 3 * {b}")));
        prop_assert_eq!(
            exactly(&sheet, format!("(midnight + {a}) + {b}")),
            exactly(&sheet, format!("midnight + ({a} + {b})"))
        );
    }

    #[test]
    fn from_a_to_b_after_a_is_b(
        (sheet, a, b) in sheets().prop_flat_map(|(timebase, sheet)| {
            (Just(sheet), address(timebase), address(timebase))
        })
    ) {
        let there = line(&sheet, format!("{a} + from {a} to {b}"));
        prop_assert_eq!(there.value, b.as_str());
        prop_assert_eq!(there.rounded, None);
        let apart = line(&sheet, format!("from {a} to {b}"));
        prop_assert!(!apart.value.starts_with('−'), "{}", apart.value);
        prop_assert_eq!(exactly(&sheet, format!("{a} + ({b} - {a})")), b);
    }

    #[test]
    fn a_conversion_and_back_is_the_same((_, sheet, text) in anything(), into in conversion()) {
        let before = line(&sheet, text.clone());
        if before.kind == LineKind::Number {
            return Ok(());
        }
        let seconds = |text: String| exactly(&sheet, format!("({text}) in s"));
        if !into.starts_with("counted") {
            prop_assert_eq!(seconds(format!("{text} {into}")), seconds(text.clone()));
        }
        if before.kind == LineKind::Address {
            let at = before.at.replace("-frame", "");
            for keeping in ["as", "counted as"] {
                let again = format!("({text}) {keeping} 59.94 drop {keeping} {at}");
                prop_assert_eq!(exactly(&sheet, again), before.exact.clone());
            }
        }
    }

    #[test]
    fn what_is_shown_exactly_is_read_as_the_same((_, sheet, text) in anything()) {
        let first = line(&sheet, text);
        let again = line(&sheet, first.exact.clone());
        prop_assert_eq!(&again.exact, &first.exact);
        prop_assert_eq!(&again.value, &first.value);
        prop_assert_eq!(again.kind, first.kind);
        prop_assert_eq!(&again.rounded, &first.rounded);
        prop_assert_eq!(&again.at, &first.at);
    }

    #[test]
    fn the_total_is_the_sum_of_its_lines(
        (_, sheet) in sheets(),
        lengths in proptest::collection::vec(length(), 1..8),
    ) {
        let together = format!("({}) in s in full", lengths.join(" + "));
        let worked = worked(&sheet, lengths.join("\n"));
        prop_assert_eq!(worked.total.value, line(&sheet, together).value);
    }

    #[test]
    fn no_text_is_too_strange((_, sheet) in sheets(), text in scraps()) {
        let worked = worked(&sheet, text.clone());
        prop_assert_eq!(worked.lines.len(), text.split('\n').count().min(500));
        for (line, text) in worked.lines.iter().zip(text.split('\n')) {
            check(line, text)?;
        }
    }
}

/// Whatever was typed: a value or a fault at a place in the line, or nothing.
fn check(line: &Line, text: &str) -> Result<(), TestCaseError> {
    prop_assert_eq!(line.fault.is_some(), line.kind == LineKind::Fault);
    if let Some(fault) = &line.fault {
        let bytes = fault.span.start_byte as usize..fault.span.end_byte as usize;
        prop_assert!(text.get(bytes.clone()).is_some(), "{text:?} {fault:?}");
        let units = |byte| text[..byte].encode_utf16().count();
        prop_assert_eq!(units(bytes.start), fault.span.start as usize);
        prop_assert_eq!(units(bytes.end), fault.span.end as usize);
        prop_assert!(!fault.text.is_empty() && !fault.expected.is_empty());
    } else if line.kind != LineKind::Nothing {
        prop_assert!(!line.value.is_empty() && !line.exact.is_empty());
    }
    Ok(())
}
