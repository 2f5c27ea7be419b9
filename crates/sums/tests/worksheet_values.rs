//! Lines of the worksheet against published figures, and what it does with each mistake.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use plumbline_sums::worksheet::{Line, LineFault, LineKind, Worked, Worksheet, worksheet};

fn worked(rate: &str, counting: &str, text: &str) -> Worked {
    worksheet(&Worksheet {
        rate: rate.to_owned(),
        counting: counting.to_owned(),
        text: text.to_owned(),
        ..Worksheet::default()
    })
}

fn last(rate: &str, counting: &str, text: &str) -> Line {
    worked(rate, counting, text).lines.pop().unwrap()
}

/// What the last line comes to on a sheet at 25.
fn value(text: &str) -> String {
    let line = last("25", "non-drop", text);
    assert_eq!(line.fault, None, "{text}");
    line.value
}

fn fault(text: &str) -> LineFault {
    last("25", "non-drop", text).fault.unwrap()
}

fn assert_values(rate: &str, counting: &str, lines: &[(&str, &str)]) {
    for (text, expected) in lines {
        let line = last(rate, counting, text);
        assert_eq!(
            (line.value.as_str(), line.fault),
            (*expected, None),
            "{text}"
        );
    }
}

/// IEC 60461 clause 4.2.3 has the rule, SMPTE ST 2059-1 clause 9.3.3.4 the sum; the frames are
/// worked out from them.
#[test]
fn drop_frame_addresses_roll_over_where_the_standard_says() {
    assert_values(
        "29.97",
        "drop",
        &[
            ("midnight + 1799 frames", "00:00:59;29"),
            ("midnight + 1800 frames", "00:01:00;02"),
            ("midnight + 17981 frames", "00:09:59;29"),
            ("midnight + 17982 frames", "00:10:00;00"),
            ("midnight + 107891 frames", "00:59:59;29"),
            ("midnight + 107892 frames", "01:00:00;00"),
            ("midnight + 2589407 frames", "23:59:59;29"),
            ("midnight + 2589408 frames", "00:00:00;00"),
            ("00:00:59;29 + 1 frame", "00:01:00;02"),
            ("00:01:00;02 - 1 frame", "00:00:59;29"),
        ],
    );
    assert_values(
        "59.94",
        "drop",
        &[
            ("midnight + 3599 frames", "00:00:59;59"),
            ("midnight + 3600 frames", "00:01:00;04"),
            ("midnight + 35964 frames", "00:10:00;00"),
            ("midnight + 215784 frames", "01:00:00;00"),
            ("midnight + 5178815 frames", "23:59:59;59"),
            ("01:00:00;00 in frames", "215784 frames"),
        ],
    );
}

/// IEC 60461 clause 4.2.3: without compensation an hour of the address is 3.6 s too long, with it
/// 3.6 ms too short; a day 86.4 ms.
#[test]
fn hours_and_days_last_as_long_as_their_frames() {
    assert_values(
        "29.97",
        "drop",
        &[
            ("01:00:00;00 in seconds", "3599.9964 s"),
            ("24:00:00;00 long in seconds", "86399.9136 s"),
            ("24:00:00;00 long in frames", "2589408 frames"),
            ("1 h - (01:00:00;00 in seconds) in ms", "3.6 ms"),
            ("24 h - 24:00:00;00 long in ms", "86.4 ms"),
            ("86.4 ms in frames", "2.589 frames"),
        ],
    );
    assert_values(
        "29.97",
        "non-drop",
        &[
            ("108000 frames in seconds", "3603.6 s"),
            ("24:00:00:00 long in seconds", "86486.4 s"),
            // By the clock: 107892.108 frames.
            ("midnight + 1 h", "00:59:56:12"),
        ],
    );
    assert_eq!(value("at 23.976: midnight + 24 h"), "23:58:33:16");
    assert_eq!(value("at 23.976: 86400 frames in seconds"), "3603.6 s");
    // 86313.686 frames by the clock, and so on: the next frame is nearer than the one in progress.
    for (text, in_progress) in [
        ("at 23.976: midnight + 1 h", "00:59:56:09"),
        ("at 29.97: midnight + 24 h", "23:58:33:20"),
    ] {
        let rounded = last("25", "non-drop", text).rounded.unwrap();
        assert!(
            rounded.ends_with(&format!("while {in_progress} is in progress.")),
            "{rounded}"
        );
    }
}

/// EBU Tech 3285: the time reference counts samples since midnight; IEC 60461 clause A.3 has the
/// samples of a frame.
#[test]
fn addresses_are_samples_since_midnight_and_back() {
    let samples = [
        ("25", "01:00:00:00", "48000", "172800000"),
        ("24", "01:00:00:00", "48048", "172972800"),
        ("30", "01:00:00:00", "48000 pulled down", "172627372.627"),
        ("25", "01:00:00:00", "44100", "158760000"),
        ("23.976", "01:00:00:00", "48000", "172972800"),
        ("23.976", "01:00:00:00", "48048", "173145772.8"),
        ("23.976", "01:00:00:00", "48000 pulled down", "172800000"),
        ("29.97", "01:00:00:00", "44100", "158918760"),
        ("29.97 drop", "01:00:00;00", "48000", "172799827.2"),
        ("29.97 drop", "01:00:00;00", "48048", "172972627.027"),
        (
            "29.97 drop",
            "01:00:00;00",
            "48000 pulled down",
            "172627200",
        ),
        ("29.97 drop", "01:00:00;00", "44100", "158759841.24"),
        ("25", "10:00:00:00", "48000", "1728000000"),
        ("23.976", "12:34:56:12", "48 kHz", "2176406232"),
        ("29.97 drop", "12:34:56;12", "48 kHz", "2174226454.4"),
        ("23.976", "23:59:59:23", "48000 pulled down", "4147198000"),
        ("29.97 drop", "23:59:59;29", "48000", "4147194251.2"),
        ("25", "23:59:59:24", "48048", "4151345278.08"),
        ("25", "23:59:59:24", "96 kHz", "8294396160"),
    ];
    for (rate, address, sample_rate, samples) in samples {
        let there = value(&format!("at {rate}: {address} in samples at {sample_rate}"));
        assert_eq!(there, format!("{samples} samples"), "{address} at {rate}");
        // Frames that are not whole samples are found again from the nearest one.
        let whole = samples.split_once('.').map_or(samples, |(whole, _)| whole);
        let back = format!("at {rate}: midnight + {whole} samples at {sample_rate}");
        assert_eq!(value(&back), address, "{back}");
    }
}

/// The same stamp under another label: EBU Tech 3285's count stays, the rates change.
#[test]
fn a_stamp_under_another_label_is_another_address() {
    assert_eq!(
        value("at 24: 01:00:00:00 in samples at 48048"),
        "172972800 samples"
    );
    assert_eq!(
        value("at 23.976: midnight + 172972800 samples"),
        "01:00:00:00"
    );
    // Read as if it were 24: 3.6 s off in an hour.
    assert_eq!(value("at 24: midnight + 172972800 samples"), "01:00:03:14");
}

#[test]
fn the_moment_stays_or_the_frames_stay() {
    assert_eq!(value("01:00:00:00 as 23.976"), "00:59:56:10");
    assert_eq!(
        value("at 29.97 drop: 01:00:00;00 as 30 in seconds"),
        "3599.9964 s"
    );
    assert_eq!(value("at 24: 01:00:00:00 counted as 25"), "00:57:36:00");
    assert_eq!(
        value("at 24: 90 min in full counted as 25 in min"),
        "86.4 min"
    );
    assert_eq!(
        value("at 29.97: 00:01:00:00 counted as 29.97 drop"),
        "00:01:00;02"
    );
    let line = last("25", "non-drop", "1 h as 24");
    assert_eq!((line.kind, line.at.as_str()), (LineKind::Duration, "24"));
}

#[test]
fn every_kind_is_told_by_its_unit() {
    let kinds = [
        ("10:00:00:00", LineKind::Address),
        ("10:00:00:00 long", LineKind::Duration),
        ("10:00:00:00 - 09:00:00:00", LineKind::Duration),
        ("1 s + 1 frame", LineKind::Duration),
        ("1 frame + 2 frames", LineKind::Frames),
        ("1 s + 1 sample", LineKind::Seconds),
        ("1 h + 1 min", LineKind::Seconds),
        ("2 * 3 samples", LineKind::Samples),
        ("1 s / 40 ms", LineKind::Number),
        ("  # only a note", LineKind::Nothing),
        ("", LineKind::Nothing),
        ("1 +", LineKind::Fault),
    ];
    for (text, kind) in kinds {
        assert_eq!(last("25", "non-drop", text).kind, kind, "{text}");
    }
}

#[test]
fn figures_and_signs_are_read_as_people_write_them() {
    let written = [
        ("2 \u{d7} 90 frames \u{f7} 3", "60 frames"),
        ("10 s \u{2212} 4 s \u{2013} 1 s", "5 s"),
        ("1H30Min", "5400 s"),
        (".5 s", "0.5 s"),
        ("- -5 s", "5 s"),
        ("-5 s", "\u{2212}5 s"),
        ("1 hour 1 minute 1 second 1 millisecond", "3661.001 s"),
        ("1:2:3:4", "01:02:03:04"),
        ("30:00:00:00 long", "30:00:00:00 long"),
        ("48\u{a0}frames\r", "48 frames"),
        ("FROM 01:00:00:00 To 02:00:00:00 IN Frames", "90000 frames"),
        ("\u{dc}bung_2 = 3 s\n\u{fc}bung_2 * 2", "6 s"),
        ("2 + 3 * 4 - 6 / 3", "12"),
        ("(2 + 3) * 4", "20"),
    ];
    for (text, expected) in written {
        assert_eq!(value(text), expected, "{text}");
    }
}

#[test]
fn what_is_rounded_is_said_and_what_follows_is_exact() {
    let line = last("25", "non-drop", "10:00:00:00 + 3.51 s");
    assert_eq!(line.value, "10:00:03:13");
    assert_eq!(
        line.rounded.unwrap(),
        "Rounded to the nearest frame: the exact moment is 0.25 frames (10 ms) earlier, while \
         10:00:03:12 is in progress."
    );
    assert_eq!(line.exact, "10:00:03:13 \u{2212} 0.25 frames");
    let line = last("29.97", "non-drop", "1 s in frames");
    assert_eq!(line.value, "29.97 frames");
    assert_eq!(
        line.rounded.unwrap(),
        "Rounded to 3 places: exactly it is 30000/1001 frames, about 0.00003 more."
    );
    let line = last("29.97", "drop", "01:00:00;00 in samples");
    assert!(
        line.how
            .contains("the nearest whole sample, 172799827, is 0.2 less"),
        "{}",
        line.how
    );
    assert_eq!(last("25", "non-drop", "90 frames").rounded, None);
    assert_eq!(value("a = 1 s / 3\na + a + a"), "1 s");
}

#[test]
fn the_working_can_be_followed() {
    let workings = [
        (
            "from 10:00:00:00 to 10:00:10:00",
            "frame 900250 \u{2212} frame 900000 = 250 frames = 10 s",
        ),
        (
            "10:00:00:00 + 3.6 s",
            "3.6 s = 90 frames at 25; frame 900000 + 90 frames = frame 900090, which begins \
             36003.6 s after midnight",
        ),
        (
            "90 frames as 24",
            "90 frames at 25 = 3.6 s = 86.4 frames at 24",
        ),
        (
            "90 frames counted as 24",
            "90 frames at 25 = 3.6 s; 90 frames at 24 = 3.75 s",
        ),
        ("2 * 90 frames", "2 \u{d7} 90 frames = 180 frames = 7.2 s"),
    ];
    for (text, how) in workings {
        assert_eq!(last("25", "non-drop", text).how, how, "{text}");
    }
}

#[test]
fn midnight_and_other_clocks_are_said_aloud() {
    let cautions = |text: &str| last("25", "non-drop", text).cautions.join(" ");
    assert!(cautions("23:59:59:24 + 1 frame").contains("next day"));
    assert!(cautions("00:00:00:00 - 1 frame").contains("day before"));
    assert!(cautions("00:00:00:00 + 60 h").contains("2 days on"));
    assert!(cautions("from 23:00:00:00 to 01:00:00:00").contains("next day"));
    assert!(cautions("90 frames at 24 + 1 frame").contains("Frames at 24 and frames at 25"));
    assert!(cautions("01:00:00;00 at 30 drop").contains("IEC 60461 clause 4.2.3"));
    assert!(cautions("1 s in samples at 47952").contains("48000 pulled down"));
    assert_eq!(cautions("1 s in samples at 48000 pulled down"), "");
    // The day is kept, so a night's work has the right length.
    assert_eq!(
        value("start = 23:00:00:00\nend = start + 3 h\nend - start"),
        "03:00:00:00 long"
    );
}

#[test]
fn lengths_add_up_once() {
    let text = "# reel 1\nhandle = 2 s\nfrom 10:00:00:00 to 10:00:10:00 + handle\n10:00:00:00\n\
                10:00:00:00 in samples\n3 +\n\n90 frames at 24";
    let worked = worked("25", "non-drop", text);
    let totals: Vec<&str> = worked
        .lines
        .iter()
        .map(|line| line.total.as_str())
        .collect();
    let none = "";
    assert_eq!(
        totals,
        [
            none,
            none,
            "00:00:12:00 long",
            none,
            none,
            none,
            none,
            "about 00:00:15:19 long"
        ]
    );
    assert_eq!(worked.total.value, "00:00:15:19 long");
    assert_eq!(worked.total.how, "393.75 frames = 15.75 s");
    assert!(
        worked
            .total
            .rounded
            .unwrap()
            .contains("0.25 frames (10 ms) less")
    );
    assert_eq!(
        worked.total.words,
        "Two lines added. Not added: one line with a name, which adds where it is used; two \
         lines with an address or a bare number; one line with a mistake."
    );
    assert!(worked.lines[1].adds.contains("has a name"));
    assert!(worked.lines[4].adds.contains("a moment"));
}

/// A mistake: where it stands, and a piece of what is said about it.
type Mistake = (&'static str, &'static str, &'static str);

fn assert_mistakes(mistakes: &[Mistake]) {
    for (text, at, said) in mistakes {
        let fault = fault(text);
        let line = text.lines().last().unwrap();
        let span = fault.span.start_byte as usize..fault.span.end_byte as usize;
        assert_eq!(&line[span], *at, "{text}: {fault:?}");
        let all = format!(
            "{} Expected: {}. {}",
            fault.text, fault.expected, fault.remedy
        );
        assert!(all.contains(said), "{text}: {all}");
        assert!(
            !fault.expected.is_empty() && fault.remedy.ends_with('.'),
            "{text}: {all}"
        );
    }
}

#[test]
fn mistakes_of_writing_are_told_at_the_character() {
    assert_mistakes(&[
        ("10:00:00:00 +", "", "ends too early. Expected: an address"),
        ("10:00:00:00 + # what", "#", "ends too early"),
        (
            "90 framse",
            "framse",
            "a unit (h, min, s, ms, frames, samples)",
        ),
        ("1 h 30", "", "a unit"),
        ("3 +* 4", "*", "an address, a length, a number"),
        ("(3 s", "", ")"),
        ("3 s)", ")", "the end of the line"),
        ("from 10:00:00:00", "", "to"),
        ("take 1", "1", "=, a sign"),
        ("1,500 frames", ",", "1500 for fifteen hundred"),
        ("at 24", "", ":"),
        ("3 s in foo", "foo", "full"),
        ("3 s as", "", "a frame rate"),
        ("3 s as 26", "26", "23.976, 24, 25"),
        ("3 s as 25 drop", "25 drop", "never counted drop-frame"),
        ("3 s in samples at 0", "0", "not a sample rate"),
        ("0.1234567890 s", "0.1234567890", "9 after it"),
        ("frames = 3", "frames", "my_frames"),
    ]);
}

#[test]
fn mistakes_of_digits_are_told_at_the_digit() {
    assert_mistakes(&[
        ("10:00:00:25", "25", "frames from 00 to 24"),
        ("24:00:00:00", "24", "hours from 00 to 23"),
        ("10:60:00:00", "60", "minutes from 00 to 59"),
        (
            "10:00:00",
            "10:00:00",
            "hours, minutes, seconds and frames are four",
        ),
        ("10:00:00:00:00", "10:00:00:00:00", "5 fields"),
        ("10:00:00.00", ".", "does not belong"),
        ("10:00:00;00", ";", "at 29.97 drop"),
        ("10::00:00", "", "no digits"),
        ("00:60:00:00 long", "60", "minutes from 00 to 59"),
        // IEC 60461 clause 4.2.3: these numbers are omitted.
        ("at 29.97 drop: 00:01:00;00", "00", "00:01:00;02"),
        (
            "at 59.94 drop: 1 s + (02:11:00;03 - 1 s)",
            "03",
            "02:11:00;04",
        ),
        ("at 29.97 drop: 30:01:00;01 long", "01", "30:01:00;02 long"),
    ]);
}

#[test]
fn mistakes_of_meaning_are_told_at_the_value_that_is_wrong() {
    assert_mistakes(&[
        (
            "10:00:00:00 + 00:10:00:00",
            "00:10:00:00",
            "write long after it",
        ),
        ("1 s - 10:00:00:00", "10:00:00:00", "Put the address first"),
        ("10:00:00:00 * 2", "10:00:00:00", "cannot be multiplied"),
        ("1 s * 2 s", "2 s", "cannot be multiplied"),
        ("5 + 3 s", "5", "does not say what it counts"),
        ("10:00:00:00 - 5", "5", "Give it a unit"),
        ("1 / 2 s", "2 s", "0.5 s"),
        ("-10:00:00:00", "-10:00:00:00", "no opposite"),
        ("1 s / (2 - 2)", "(2 - 2)", "divided by 0"),
        ("1 s / 0 frames", "0 frames", "divided by 0"),
        ("from 1 s to 10:00:00:00", "1 s", "this is a length"),
        ("3 in seconds", "3", "no unit"),
        (
            "10:00:00:00 - 10:00:00:00 at 24",
            "10:00:00:00 - 10:00:00:00 at 24",
            "two clocks",
        ),
        (
            "999999999999999999 * 1 h",
            "999999999999999999 * 1 h",
            "too large",
        ),
        ("nam + 1", "nam", "Nothing is called"),
        ("a = 1\na = 2", "a", "in line 1"),
        ("a = 1 /\na + 1", "a", "line 1 is wrong"),
        ("a = 1 / 0\n2 + A", "A", "line 1 is wrong"),
    ]);
    let later = worked("25", "non-drop", "b + 1\nb = 2");
    let fault = later.lines[0].fault.clone().unwrap();
    assert!(
        fault.text.contains("only further down, in line 2"),
        "{}",
        fault.text
    );
}

#[test]
fn places_are_counted_in_both_ways() {
    let fault = fault("\u{1d11e} + 1");
    assert_eq!((fault.span.start, fault.span.end), (0, 2));
    let line = last("25", "non-drop", "pr\u{fc}fung + 1");
    let span = line.fault.unwrap().span;
    assert_eq!((span.start, span.end, span.end_byte), (0, 7, 8));
}

#[test]
fn what_is_wrong_at_the_top_stops_only_what_needs_it() {
    let sheet = worksheet(&Worksheet {
        rate: "26".to_owned(),
        sample_rate: "fast".to_owned(),
        text: "1 s + 2 min\n90 frames\n1 s in samples\nat 24: 90 frames\n1 sample at 48000"
            .to_owned(),
        ..Worksheet::default()
    });
    let fields: Vec<&str> = sheet.problems.iter().map(|it| it.field.as_str()).collect();
    assert_eq!(fields, ["rate", "sample_rate"]);
    let kinds: Vec<LineKind> = sheet.lines.iter().map(|line| line.kind).collect();
    assert_eq!(
        kinds,
        [
            LineKind::Seconds,
            LineKind::Fault,
            LineKind::Fault,
            LineKind::Frames,
            LineKind::Samples
        ]
    );
    assert_eq!(sheet.total.value, "124.750021 s");
    let dropped = worked("25", "drop", "25 frames in full");
    assert_eq!(dropped.problems[0].field, "counting");
    assert_eq!(dropped.lines[0].value, "00:00:01:00 long");
}

#[test]
fn sizes_are_bounded() {
    assert_eq!(
        worked("25", "non-drop", &"1 s\n".repeat(600)).lines.len(),
        500
    );
    assert_eq!(
        worked("25", "non-drop", &"\n".repeat(600)).problems[0].field,
        "text"
    );
    assert!(fault(&"1+".repeat(300)).text.contains("600 characters"));
    for nested in ["(".repeat(399), "from ".repeat(80), "f(".repeat(200)] {
        assert!(fault(&nested).span.end > 0, "{nested}");
    }
    let deep = format!("{}1 s{}", "(".repeat(32), ")".repeat(32));
    assert_eq!(value(&deep), "1 s");
    assert!(fault(&format!("({deep})")).text.contains("too deeply"));
    assert_eq!(value(&format!("{}1 s", "-".repeat(396))), "1 s");
    assert_eq!(value(&format!("1{}", "+1".repeat(199))), "200");
}

#[test]
fn the_verdict_is_the_last_result_the_total_and_what_is_not_right() {
    let verdict = |text| worked("25", "non-drop", text).verdict;
    assert_eq!(verdict(""), "");
    assert_eq!(verdict("2 +"), "Line 1 is not right.");
    assert_eq!(verdict("10:00:00:00 + 90 s"), "10:01:30:00 at 25.");
    assert_eq!(
        verdict("10 s\n20 s in frames\n10:00:00:00\nnonsense"),
        "10:00:00:00 at 25. The total is 00:00:30:00 long. Line 4 is not right."
    );
    assert_eq!(
        verdict("a\nb\nc\nd\ne"),
        "Lines 1, 2, 3 and 2 more are not right."
    );
    assert_eq!(verdict("a\nb\n3"), "3. Lines 1 and 2 are not right.");
}
