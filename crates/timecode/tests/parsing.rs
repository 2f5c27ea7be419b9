//! What people type.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use plumbline_timecode::{Count, TimeAddress};

#[test]
fn what_is_typed_is_understood() {
    let rows = [
        ("01:02:03:04", Count::F25, "01:02:03:04"),
        ("1:2:3:4", Count::F25, "01:02:03:04"),
        ("01020304", Count::F25, "01:02:03:04"),
        ("1020304", Count::F25, "01:02:03:04"),
        ("1.2.3.4", Count::F25, "01:02:03:04"),
        ("1,2,3,4", Count::F25, "01:02:03:04"),
        ("01:02:03.04", Count::F25, "01:02:03:04"),
        ("  01:02:03:04\n", Count::F25, "01:02:03:04"),
        ("12", Count::F25, "00:00:00:12"),
        ("7", Count::F25, "00:00:00:07"),
        ("100", Count::F25, "00:00:01:00"),
        ("1:00", Count::F25, "00:00:01:00"),
        ("2:1:00", Count::F25, "00:02:01:00"),
        ("0", Count::F25, "00:00:00:00"),
        ("23595924", Count::F25, "23:59:59:24"),
        // Drop-frame: any separator will do, what is shown has the semicolon.
        ("00:01:00;02", Count::F30Drop, "00:01:00;02"),
        ("0;1;0;2", Count::F30Drop, "00:01:00;02"),
        ("00:01:00:02", Count::F30Drop, "00:01:00;02"),
        ("10002", Count::F30Drop, "00:01:00;02"),
        // At 120 the frames have three digits.
        ("10:00:00:119", Count::F120, "10:00:00:119"),
        ("100000119", Count::F120, "10:00:00:119"),
        ("1:7", Count::F120, "00:00:01:007"),
        ("1000", Count::F120, "00:00:01:000"),
        ("1099", Count::F100, "00:00:10:99"),
    ];
    for (typed, count, expected) in rows {
        let parsed = TimeAddress::parse(typed, count).map(|address| address.to_string());
        assert_eq!(parsed.as_deref(), Ok(expected), "\"{typed}\" at {count}");
    }
}

/// Each row: what is typed, the count, the part of it that is wrong, and what is said.
fn assert_refused(rows: &[(&str, Count, &str, &str)]) {
    for &(typed, count, wrong, text) in rows {
        let error = TimeAddress::parse(typed, count).unwrap_err();
        assert_eq!(error.to_string(), text, "\"{typed}\" at {count}");
        assert_eq!(&typed[error.span], wrong, "\"{typed}\" at {count}");
    }
}

#[test]
fn digits_that_name_no_frame_are_told_with_those_that_do() {
    assert_refused(&[
        (
            "10:00:00:25",
            Count::F25,
            "25",
            "frames 25 do not exist at 25 frames a second: 00 to 24",
        ),
        (
            "00:60:00:00",
            Count::F25,
            "60",
            "minutes 60 do not exist: 00 to 59",
        ),
        (
            "24000000",
            Count::F25,
            "24",
            "hours 24 do not exist: 00 to 23",
        ),
        (
            "1:75:00",
            Count::F25,
            "75",
            "seconds 75 do not exist: 00 to 59",
        ),
        (
            "1:300",
            Count::F120,
            "300",
            "frames 300 do not exist at 120 frames a second: 00 to 119",
        ),
        (
            "00:01:00;00",
            Count::F30Drop,
            "00",
            "00:01:00;00 is skipped by drop-frame counting: the frame after 00:00:59;29 is \
             00:01:00;02",
        ),
        (
            "01:09:00:03",
            Count::F60Drop,
            "03",
            "01:09:00;03 is skipped by drop-frame counting: the frame after 01:08:59;59 is \
             01:09:00;04",
        ),
    ]);
}

#[test]
fn texts_that_are_no_address_are_told_with_what_is() {
    assert_refused(&[
        (
            "01:02:03;04",
            Count::F25,
            ";",
            "the ; says drop-frame, but frames are counted as 25, where there is no drop-frame: \
             write 01:02:03:04",
        ),
        (
            "01:02:03;04",
            Count::F30,
            ";",
            "the ; says drop-frame, but frames are counted as 30, not drop-frame: write \
             01:02:03:04",
        ),
        (
            "01:02:03:0x",
            Count::F25,
            "x",
            "'x' in \"01:02:03:0x\" is neither a digit nor one of the separators : ; . ,",
        ),
        (
            "1:2:3:4:5",
            Count::F25,
            "1:2:3:4:5",
            "5 fields are too many: hours, minutes, seconds and frames are four",
        ),
        (
            "1::3:4",
            Count::F25,
            "",
            "the minutes have no digits: type 0 where there are none",
        ),
        (
            "1:2:345:6",
            Count::F25,
            "345",
            "the seconds \"345\" have more digits than the 2 that are allowed",
        ),
        (
            "010203045",
            Count::F25,
            "010203045",
            "9 digits are too many: hours, minutes, seconds and frames without separators are 8 \
             at most",
        ),
        (
            "  ",
            Count::F25,
            "  ",
            "no time address was typed: hours, minutes, seconds, frames, such as 01:00:00:00",
        ),
        (
            "\u{661}\u{662}:00",
            Count::F25,
            "\u{661}",
            "'\u{661}' in \"\u{661}\u{662}:00\" is neither a digit nor one of the separators : ; . ,",
        ),
        (
            " -1",
            Count::F25,
            "-",
            "'-' in \"-1\" is neither a digit nor one of the separators : ; . ,",
        ),
    ]);
}

#[test]
fn a_message_stays_short_however_long_the_text_is() {
    for typed in [
        "9".repeat(100_000),
        "1:".repeat(100_000),
        "x".repeat(100_000),
    ] {
        let message = TimeAddress::parse(&typed, Count::F25)
            .unwrap_err()
            .to_string();
        assert!(message.len() < 200, "{message}");
    }
}
