//! One address, everything about it, against the published documents.

mod common;

use common::{at, moment, row, value};
use plumbline_sums::{AddressForm, address};

const MOMENT: &str = "This moment";
const SAMPLES: &str = "Samples since midnight";
const REFERENCE: &str = "Time reference";
const INSTANT: &str = "The same instant";
const NUMBER: &str = "The same frame number";
const WALL: &str = "Against the clock";
const CODEWORD: &str = "The codeword, with user bits 0";
const FIELDS: &str = "The codeword, field by field";
const FILM: &str = "Film";

/// IEC 60461 clause 4.2.3 skips the numbers, SMPTE ST 2059-1 clause 9.3.3.4 has the sum.
#[test]
fn drop_frame_rolls_over_as_the_standards_count() {
    let rollovers = [
        ("29.97d", 0, "00:00:00;00"),
        ("29.97d", 1799, "00:00:59;29"),
        ("29.97d", 1800, "00:01:00;02"),
        ("29.97d", 17_981, "00:09:59;29"),
        ("29.97d", 17_982, "00:10:00;00"),
        ("29.97d", 107_891, "00:59:59;29"),
        ("29.97d", 107_892, "01:00:00;00"),
        ("29.97d", 2_589_407, "23:59:59;29"),
        ("59.94d", 3599, "00:00:59;59"),
        ("59.94d", 3600, "00:01:00;04"),
        ("59.94d", 35_963, "00:09:59;59"),
        ("59.94d", 35_964, "00:10:00;00"),
        ("59.94d", 215_784, "01:00:00;00"),
        ("59.94d", 5_178_815, "23:59:59;59"),
        ("119.88d", 431_568, "01:00:00;000"),
        ("24", 86_400, "01:00:00:00"),
        ("23.976", 2_073_599, "23:59:59:23"),
        ("25", 900_000, "10:00:00:00"),
        ("30", 108_000, "01:00:00:00"),
    ];
    for (rate, frame, label) in rollovers {
        let answer = at(label, rate);
        let frames = value(&answer.tables, MOMENT, "Frames since midnight");
        assert_eq!(frames, frame.to_string(), "{label}");
        let answer = moment("frame-count", &frame.to_string(), rate, "48000");
        assert_eq!(value(&answer.tables, MOMENT, "Time address"), label);
    }
}

/// The day after the last frame is a day of its own: 2589408 is 00:00:00;00 again.
#[test]
fn a_count_past_the_day_wraps_and_says_so() {
    let answer = moment("frame-count", "2589408", "29.97d", "48000");
    let address = row(&answer.tables, MOMENT, "Time address");
    assert_eq!(address.value, "00:00:00;00");
    assert!(address.how.contains("1 whole day"), "{}", address.how);
    assert!(
        answer.verdict.contains("a day has passed"),
        "{}",
        answer.verdict
    );
    // SMPTE ST 2059-1 clause 9.3.3.4: 24 hours of drop-frame last 86399.9136 s.
    let seconds = value(&answer.tables, MOMENT, "Seconds since midnight");
    assert_eq!(seconds, "86399.9136");
}

/// EBU Tech 3285 has the time reference as samples since midnight, IEC 60461 clause A.3 the
/// samples of a frame: frames over rate by sample rate, worked out by hand. Where a value is not
/// whole the nearest is shown and the exact one beside it.
#[test]
fn time_references_are_the_samples_of_the_frames() {
    let stamps = [
        ("01:00:00:00", "24", "48000", "172800000", None),
        ("01:00:00:00", "25", "48000", "172800000", None),
        ("01:00:00:00", "30", "48000", "172800000", None),
        ("01:00:00:00", "24", "48048", "172972800", None),
        ("01:00:00:00", "24", "44100", "158760000", None),
        ("01:00:00:00", "23.976", "48000", "172972800", None),
        (
            "01:00:00:00",
            "23.976",
            "48048",
            "173145773",
            Some("173145772.8"),
        ),
        ("01:00:00:00", "23.976", "48000/1.001", "172800000", None),
        ("01:00:00:00", "23.976", "44100", "158918760", None),
        ("01:00:00:00", "29.97", "48000", "172972800", None),
        ("01:00:00:00", "29.97", "48000/1.001", "172800000", None),
        (
            "01:00:00;00",
            "29.97d",
            "48000",
            "172799827",
            Some("172799827.2"),
        ),
        (
            "01:00:00;00",
            "29.97d",
            "48048",
            "172972627",
            Some("172972627.0272"),
        ),
        ("01:00:00;00", "29.97d", "48000/1.001", "172627200", None),
        (
            "01:00:00;00",
            "29.97d",
            "44100",
            "158759841",
            Some("158759841.24"),
        ),
        ("10:00:00:00", "25", "48000", "1728000000", None),
        ("10:00:00:00", "25", "48048", "1729728000", None),
        ("10:00:00:00", "25", "44100", "1587600000", None),
        ("12:34:56:12", "23.976", "48000", "2176406232", None),
        ("12:34:56:12", "23.976", "48000/1.001", "2174232000", None),
        (
            "12:34:56;12",
            "29.97d",
            "48000",
            "2174226454",
            Some("2174226454.4"),
        ),
        ("12:34:56;12", "29.97d", "48000/1.001", "2172054400", None),
        ("23:59:59:23", "23.976", "48000", "4151345198", None),
        (
            "23:59:59;29",
            "29.97d",
            "48000",
            "4147194251",
            Some("4147194251.2"),
        ),
        ("23:59:59:24", "25", "48000", "4147198080", None),
        (
            "23:59:59:24",
            "25",
            "48048",
            "4151345278",
            Some("4151345278.08"),
        ),
        ("23:59:59:24", "25", "44100", "3810238236", None),
    ];
    for (label, rate, hertz, samples, exact) in stamps {
        let answer = moment("time-address", label, rate, hertz);
        let stamp = row(&answer.tables, REFERENCE, "Time reference");
        assert_eq!(stamp.value, samples, "{label} at {rate}, {hertz}");
        match exact {
            None => assert_eq!(stamp.rounded, None, "{label} at {rate}, {hertz}"),
            Some(exact) => {
                let rounded = stamp.rounded.clone().unwrap();
                assert!(rounded.contains(exact), "{rounded}");
            }
        }
        // And back: the nearest frame, even where the stamp was rounded.
        let back = moment("time-reference", samples, rate, hertz);
        assert_eq!(value(&back.tables, MOMENT, "Time address"), label);
    }
}

/// The same at every usual rate at once: EBU Tech 3285 and IEC 60461 clause A.3.
#[test]
fn samples_stand_at_every_usual_rate() {
    let answer = at("01:00:00;00", "29.97d");
    let samples = |label| value(&answer.tables, SAMPLES, label);
    assert_eq!(samples("At 44.1 kHz"), "158759841");
    assert_eq!(samples("At 48 kHz"), "172799827");
    assert_eq!(samples("At 88.2 kHz"), "317519682");
    assert_eq!(samples("At 96 kHz"), "345599654");
    assert_eq!(samples("At 192 kHz"), "691199309");
    assert_eq!(samples("At 47.952 kHz (48000/1.001)"), "172627200");
    assert_eq!(samples("At 48.048 kHz"), "172972627");
    let answer = moment("time-address", "01:00:00:00", "25", "176400");
    assert_eq!(value(&answer.tables, SAMPLES, "At 176.4 kHz"), "635040000");
}

/// EBU Tech 3285: two words of 32 bits, and the lower one first in the file. At 96 kHz the high
/// one counts from 12:25:39.24 on (2^32 samples).
#[test]
fn a_time_reference_has_two_words() {
    let answer = moment("time-address", "23:59:59:24", "25", "96000");
    let word = |label| value(&answer.tables, REFERENCE, label);
    assert_eq!(word("Time reference"), "8294396160");
    assert_eq!(word("High word"), "1");
    assert_eq!(word("Low word"), "3999428864");
    assert_eq!(word("Bytes from 338 on"), "00 71 62 EE 01 00 00 00");
    for typed in [
        "8294396160",
        "high 1 low 3999428864",
        "LO=3999428864; HI=1",
        "0x1EE627100",
    ] {
        let back = moment("time-reference", typed, "25", "96000");
        assert_eq!(
            value(&back.tables, MOMENT, "Time address"),
            "23:59:59:24",
            "{typed}"
        );
    }
    // No time of day needs the high word at 48 kHz.
    let answer = at("23:59:59:23", "23.976");
    assert_eq!(value(&answer.tables, REFERENCE, "High word"), "0");
}

/// What is read at another rate than it was written for is 3.6 s an hour off (1 s is 1.001 s,
/// IEC 60461 clause 4.2.3).
#[test]
fn a_stamp_of_another_rate_reads_wrong_by_what_it_must() {
    let answer = moment("time-reference", "172972800", "24", "48000");
    // 3603.6 s: nearest is frame 86486, 14.4 frames after 01:00:03.
    assert_eq!(value(&answer.tables, MOMENT, "Time address"), "01:00:03:14");
    assert_eq!(value(&answer.tables, INSTANT, "23.976"), "01:00:00:00");
    // Pulled down: 48048 Hz and 24, relabelled, are 48000 Hz and 23.976.
    let pulled = moment("time-reference", "172972800", "24", "48048");
    assert_eq!(value(&pulled.tables, MOMENT, "Time address"), "01:00:00:00");
}

/// After an hour by the clock: 30000/1001 × 3600 = 107892.108 and 24000/1001 × 3600 = 86313.686.
#[test]
fn real_time_is_kept_at_every_rate() {
    let answer = moment("duration", "1 h", "25", "48000");
    let instant = |label| row(&answer.tables, INSTANT, label);
    assert_eq!(instant("25").value, "01:00:00:00");
    assert_eq!(instant("25").rounded, None);
    assert_eq!(instant("29.97").value, "00:59:56:12");
    assert_eq!(instant("29.97 drop-frame").value, "01:00:00;00");
    // The nearest is the next one, and a display still shows the one before.
    assert_eq!(instant("23.976").value, "00:59:56:10");
    assert!(
        instant("23.976")
            .how
            .contains("00:59:56:09 is still in progress")
    );
    let rounded = instant("23.976").rounded.clone().unwrap();
    assert!(rounded.contains("86313 687/1001"), "{rounded}");
    let day = moment("duration", "24 h", "25", "48000");
    // 2589410.589 and 2071528.472 frames.
    assert_eq!(value(&day.tables, INSTANT, "29.97"), "23:58:33:21");
    assert!(
        row(&day.tables, INSTANT, "29.97")
            .how
            .contains("23:58:33:20 is still in progress")
    );
    assert_eq!(value(&day.tables, INSTANT, "23.976"), "23:58:33:16");
    assert!(row(&day.tables, INSTANT, "24").how.contains("the next day"));
}

/// The same frames, counted and run at other rates.
#[test]
fn frames_are_kept_at_every_rate() {
    let answer = at("01:00:00:00", "25");
    let number = |label| row(&answer.tables, NUMBER, label);
    assert_eq!(number("24").value, "01:02:30:00");
    assert!(number("24").how.contains("01:02:30.000000"));
    assert_eq!(number("30").value, "00:50:00:00");
    // 90000 = 5 × 17982 + 90: five times ten minutes and three seconds.
    assert_eq!(number("29.97 drop-frame").value, "00:50:03;00");
    assert_eq!(number("120").value, "00:12:30:000");
    assert_eq!(
        answer
            .tables
            .iter()
            .filter(|t| t.title.starts_with(NUMBER))
            .count(),
        1
    );
}

/// IEC 60461 clause 4.2.3: 108 frames and 3.6 s an hour uncompensated, −3.6 ms an hour with
/// drop-frame, −86.4 ms a day. Within ten minutes the digits are up to 60 ms off.
#[test]
fn digits_are_held_against_the_clock_on_the_wall() {
    let answer = at("01:00:00;00", "29.97d");
    let wall = |label| value(&answer.tables, WALL, label);
    assert_eq!(wall("Real time when the frame begins"), "00:59:59.996400");
    assert_eq!(wall("Drop-frame, ms ahead of the clock"), "3.6");
    assert_eq!(wall("Non-drop-frame, ms ahead of the clock"), "−3596.4");
    assert_eq!(wall("Numbers skipped since midnight"), "108");
    assert_eq!(
        wall("A day of drop-frame addresses lasts"),
        "23:59:59.913600"
    );
    assert_eq!(
        wall("A day of non-drop-frame addresses lasts"),
        "24:01:26.400000"
    );
    let early = at("00:09:00;02", "29.97d");
    let off = value(&early.tables, WALL, "Drop-frame, ms ahead of the clock");
    assert_eq!(off, "60.533333");
    let late = at("00:00:59;29", "29.97d");
    let off = value(&late.tables, WALL, "Drop-frame, ms ahead of the clock");
    assert_eq!(off, "−59.966667");
    let hour = at("01:00:00:00", "23.976");
    let off = value(&hour.tables, WALL, "Non-drop-frame, ms ahead of the clock");
    assert_eq!(off, "−3600");
    // IEC 60461 clauses 5.2 and 6.2.
    assert_eq!(value(&hour.tables, WALL, "Drop-frame"), "none");
}

/// SMPTE ST 12-1 tables 2 to 5 and clause 9.2.3 (IEC 60461 tables 2 to 5, clause 8.2.6).
#[test]
fn codewords_are_those_of_the_tables() {
    let words = [
        ("00:00:00:00", "30", "00 00 00 08 00 00 00 00 FC BF"),
        ("00:00:00:00", "24", "00 00 00 08 00 00 00 00 FC BF"),
        ("00:00:00:00", "25", "00 00 00 00 00 00 00 08 FC BF"),
        ("01:00:00:00", "25", "00 00 00 00 00 00 01 00 FC BF"),
        ("01:00:00;00", "29.97d", "00 04 00 08 00 00 01 00 FC BF"),
        ("00:01:00;02", "29.97d", "02 04 00 00 01 00 00 00 FC BF"),
        ("23:59:59;29", "29.97d", "09 06 09 05 09 05 03 02 FC BF"),
        ("23:59:59:24", "25", "04 02 09 05 09 05 03 02 FC BF"),
        ("23:59:59:23", "23.976", "03 02 09 0D 09 05 03 02 FC BF"),
        ("12:34:56:12", "24", "02 01 06 05 04 03 02 01 FC BF"),
        ("01:23:45:13", "30", "03 01 05 0C 03 02 01 00 FC BF"),
    ];
    for (label, rate, bytes) in words {
        let answer = at(label, rate);
        assert_eq!(
            value(&answer.tables, CODEWORD, "10 bytes"),
            bytes,
            "{label} at {rate}"
        );
    }
    let answer = at("23:59:59:24", "25");
    assert_eq!(
        value(&answer.tables, CODEWORD, "80 bits, as they are sent"),
        "00100000 01000000 10010000 10100000 10010000 10100000 11000000 01000000 00111111 11111101"
    );
    let field = |label| value(&answer.tables, FIELDS, label);
    assert_eq!(field("Bits 0 to 3: frame units"), "0010");
    assert_eq!(field("Bits 56 to 57: hour tens"), "01");
    // SMPTE ST 12-1 clause 9.2.4, IEC 60461 clause 8.2.5.
    assert_eq!(
        field("Bits 64 to 79: synchronizing word"),
        "0011111111111101"
    );
}

/// IEC 60461 clauses 8.5 and 11: above 30 a codeword spans two frames; four at 100 and 120
/// (SMPTE ST 12-3).
#[test]
fn high_rates_are_carried_by_their_base() {
    let carried = [
        (
            "10:00:00:49",
            "50",
            "10:00:00:24",
            "part 2 of 2, sent with bits 40 to 79",
        ),
        (
            "00:01:00;04",
            "59.94d",
            "00:01:00;02",
            "part 1 of 2, sent with bits 0 to 39",
        ),
        (
            "00:00:00:047",
            "120",
            "00:00:00:11",
            "part 4 of 4, sent with bits 60 to 79",
        ),
    ];
    for (label, rate, code, part) in carried {
        let answer = at(label, rate);
        let row = row(&answer.tables, CODEWORD, "Address in the codeword");
        assert_eq!(row.value, code);
        assert!(row.how.contains(part), "{}", row.how);
    }
}

/// Common practice: 35 mm runs 90 feet a minute at 24, 16 mm 36 feet.
#[test]
fn film_is_counted_in_feet_and_frames() {
    let minute = at("00:01:00:00", "24");
    assert_eq!(
        value(&minute.tables, FILM, "35 mm, 4 perforations, feet+frames"),
        "90+00"
    );
    assert_eq!(value(&minute.tables, FILM, "16 mm, feet+frames"), "36+00");
    let hour = at("01:00:00:15", "24");
    assert_eq!(
        value(&hour.tables, FILM, "35 mm, 4 perforations, feet+frames"),
        "5400+15"
    );
    assert_eq!(value(&hour.tables, FILM, "16 mm, feet+frames"), "2160+15");
}

#[test]
fn a_moment_between_two_frames_is_told_with_its_distance() {
    // 0.2 samples of 48 kHz before the frame begins: 1/240000 s.
    let answer = moment("sample-position", "172799827", "29.97d", "48000");
    assert_eq!(value(&answer.tables, MOMENT, "Time address"), "01:00:00;00");
    let address = row(&answer.tables, MOMENT, "Time address")
        .rounded
        .clone()
        .unwrap();
    assert!(address.contains("107891 8007/8008"), "{address}");
    assert!(
        answer.verdict.contains("before it begins"),
        "{}",
        answer.verdict
    );
    let begins = value(&answer.tables, MOMENT, "The frame begins at");
    assert_eq!(begins, "00:59:59.996400");
    let exact = moment("sample-position", "172799827.2", "29.97d", "48000");
    assert_eq!(row(&exact.tables, MOMENT, "Time address").rounded, None);
}

#[test]
fn what_can_be_answered_is_answered_and_the_rest_says_why() {
    let form = AddressForm {
        sample_rate: "none".into(),
        ..AddressForm::default()
    };
    let answer = address(&form);
    assert_eq!(answer.problems.len(), 1);
    assert_eq!(answer.problems[0].field, "sample_rate");
    assert_eq!(
        value(&answer.tables, MOMENT, "Frames since midnight"),
        "900000"
    );
    assert!(
        !answer
            .tables
            .iter()
            .any(|table| table.title.starts_with(REFERENCE))
    );

    let skipped = address(&AddressForm {
        text: "00:01:00;00".into(),
        rate: "29.97".into(),
        counting: "drop".into(),
        ..AddressForm::default()
    });
    assert_eq!(skipped.tables, []);
    assert_eq!(
        skipped.problems[0].remedy,
        "00:00:59;29 or 00:01:00;02 would be right."
    );
}
