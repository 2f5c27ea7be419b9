//! What the codewords of a plan say, bit for bit.

mod common;

use common::plan;

/// The codewords as bytes, the bit that is sent first lowest in the first one.
fn bytes(changed: &[(&str, &str)]) -> Vec<[u8; 10]> {
    plan(changed)
        .codewords()
        .map(|codeword| codeword.0)
        .collect()
}

fn first(changed: &[(&str, &str)]) -> String {
    let codeword = bytes(changed).remove(0);
    codeword.map(|byte| format!("{byte:02X}")).join(" ")
}

/// The addresses, as the codewords' digits say them.
fn digits(changed: &[(&str, &str)]) -> Vec<String> {
    let plan = plan(changed);
    let digits = plan
        .codewords()
        .map(|codeword| codeword.digits().to_string());
    digits.collect()
}

/// IEC 60461 tables 2 to 5 and SMPTE ST 12-1 tables 2 to 5 put the bits where they are here; the
/// correction bit by IEC 60461 clause 8.2.6.
#[test]
fn codewords_are_those_of_the_tables() {
    let vectors = [
        (
            "30",
            "non-drop",
            "00:00:00:00",
            "00 00 00 08 00 00 00 00 FC BF",
        ),
        (
            "24",
            "non-drop",
            "00:00:00:00",
            "00 00 00 08 00 00 00 00 FC BF",
        ),
        (
            "25",
            "non-drop",
            "00:00:00:00",
            "00 00 00 00 00 00 00 08 FC BF",
        ),
        (
            "24",
            "non-drop",
            "01:00:00:00",
            "00 00 00 00 00 00 01 00 FC BF",
        ),
        (
            "25",
            "non-drop",
            "01:00:00:00",
            "00 00 00 00 00 00 01 00 FC BF",
        ),
        (
            "29.97",
            "drop",
            "01:00:00;00",
            "00 04 00 08 00 00 01 00 FC BF",
        ),
        (
            "29.97",
            "drop",
            "00:01:00;02",
            "02 04 00 00 01 00 00 00 FC BF",
        ),
        (
            "29.97",
            "drop",
            "23:59:59;29",
            "09 06 09 05 09 05 03 02 FC BF",
        ),
        (
            "25",
            "non-drop",
            "23:59:59:24",
            "04 02 09 05 09 05 03 02 FC BF",
        ),
        (
            "23.976",
            "non-drop",
            "23:59:59:23",
            "03 02 09 0D 09 05 03 02 FC BF",
        ),
        (
            "25",
            "non-drop",
            "12:34:56:12",
            "02 01 06 05 04 03 02 01 FC BF",
        ),
        (
            "30",
            "non-drop",
            "01:23:45:13",
            "03 01 05 0C 03 02 01 00 FC BF",
        ),
    ];
    for (rate, counting, start, wanted) in vectors {
        let changed = [
            ("rate", rate),
            ("counting", counting),
            ("start", start),
            ("length", "1"),
        ];
        assert_eq!(first(&changed), wanted, "{start} {rate} {counting}");
    }
}

/// SMPTE ST 12-1 clause 8.4.2 and IEC 60461 clause 7.4.3: characters in groups 7 and 8 first.
#[test]
fn four_characters_and_their_flag() {
    let changed = [
        ("start", "01:00:00:00"),
        ("user_bits_are", "characters"),
        ("characters", "SYNC"),
    ];
    assert_eq!(first(&changed), "30 40 E0 48 90 50 31 50 FC BF");
}

/// SMPTE ST 309 as SMPTE ST 2059-1 clauses 9.3.1 and 9.3.4 lay it out; flags of table 1.
#[test]
fn a_date_and_zone_and_their_flag() {
    let changed = |rate| {
        [
            ("rate", rate),
            ("start", "14:30:00:00"),
            ("user_bits_are", "date-and-zone"),
            ("date", "2026-10-10"),
            ("zone", "+02:00"),
        ]
    };
    assert_eq!(first(&changed("25")), "00 10 00 10 60 2B 44 29 FC BF");
    assert_eq!(first(&changed("24")), "00 10 00 18 60 23 44 29 FC BF");
}

/// SMPTE ST 2059-1 clause 9.3.4: the date steps at 00:00:00:00.
#[test]
fn the_date_steps_at_midnight() {
    let plan = plan(&[
        ("start", "23:59:59:24"),
        ("length", "2"),
        ("user_bits_are", "date-and-zone"),
        ("date", "2026-12-31"),
        ("zone", "+00:00"),
        ("takes", "2"),
        ("jump", "-2"),
    ]);
    let days: Vec<String> = plan
        .codewords()
        .map(|word| word.user_bits().to_string())
        .collect();
    assert_eq!(days, ["00261231", "00270101", "00261231", "00270101"]);
}

/// Common practice: the digits as they were typed, two spare ones after them.
#[test]
fn a_date_typed_in_three_orders() {
    for (order, wanted) in [
        ("day-month-year", "2511260A"),
        ("month-day-year", "1125260A"),
        ("year-month-day", "2611250A"),
    ] {
        let changed = [
            ("user_bits_are", order),
            ("date", "2026-11-25"),
            ("spare", "0a"),
        ];
        let codeword = plan(&changed).codewords().next().unwrap();
        assert_eq!(codeword.user_bits().to_string(), wanted);
    }
}

#[test]
fn the_colour_frame_flag_is_set_where_it_is_asked_for() {
    let flag = |typed| {
        let codeword = plan(&[("rate", "30"), ("colour_frame", typed)])
            .codewords()
            .next();
        codeword.unwrap().colour_frame_flag()
    };
    assert_eq!([flag("clear"), flag("set")], [false, true]);
}

#[test]
fn drop_frame_code_skips_numbers_and_no_codewords() {
    let changed = [
        ("rate", "29.97"),
        ("counting", "drop"),
        ("start", "00:00:59;28"),
        ("length", "4"),
    ];
    assert_eq!(
        digits(&changed),
        ["00:00:59:28", "00:00:59:29", "00:01:00:02", "00:01:00:03"]
    );
}

/// IEC 60461 clauses 8.5 and 11: 50p counts pairs; its frame 48 is in codeword 24.
#[test]
fn high_rates_are_carried_by_their_base() {
    let changed = [("rate", "50"), ("start", "10:00:00:48"), ("length", "4")];
    assert_eq!(digits(&changed), ["10:00:00:24", "10:00:01:00"]);
    // 59.94 drop-frame: frame 3600 is 00:01:00;04, in codeword 00:01:00;02.
    let changed = [
        ("rate", "59.94"),
        ("counting", "drop"),
        ("start", "00:00:59;58"),
        ("length", "4"),
    ];
    assert_eq!(digits(&changed), ["00:00:59:29", "00:01:00:02"]);
}

#[test]
fn takes_go_on_where_the_last_stopped_or_jump() {
    let takes = |jump| digits(&[("length", "2"), ("takes", "3"), ("jump", jump)]);
    let last = |jump| takes(jump).split_off(2);
    assert_eq!(
        last("0"),
        ["10:00:00:02", "10:00:00:03", "10:00:00:04", "10:00:00:05"]
    );
    assert_eq!(
        last("1:00"),
        ["10:00:01:02", "10:00:01:03", "10:00:02:04", "10:00:02:05"]
    );
    assert_eq!(
        last("-2"),
        ["10:00:00:00", "10:00:00:01", "10:00:00:00", "10:00:00:01"]
    );
}
