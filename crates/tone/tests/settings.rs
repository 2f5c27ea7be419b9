//! What is wrong with settings is told at its field, with what would be right.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test; clippy does not know this attribute as one"
)]

mod common;

use common::{plan, settings};
use plumbline_timecode::st309::UtcOffset;
use plumbline_timecode::{Rate, Timebase};
use plumbline_tone::{Now, Plan, Settings, now_address, sketch};
use proptest::prelude::*;
use std::collections::BTreeSet;

/// Demands one problem, at `field`: what it says and what would be right.
fn problem(changed: &[(&str, &str)], field: &str) -> (String, String) {
    let sketch = sketch(&settings(changed));
    let [problem] = sketch.problems.as_slice() else {
        panic!("{changed:?}: {:?}", sketch.problems);
    };
    assert_eq!(problem.field, field, "{changed:?}: {}", problem.text);
    assert_eq!(Plan::new(&settings(changed)), Err(sketch.problems.clone()));
    assert_eq!(sketch.ends, None);
    assert_eq!(
        sketch.verdict,
        "Nothing to make yet: one setting is not right."
    );
    for text in [&problem.text, &problem.remedy] {
        assert!(text.ends_with('.') && !text.ends_with(".."), "{text}");
        assert!(
            text.chars().next().is_some_and(|c| !c.is_lowercase()),
            "{text}"
        );
    }
    (problem.text.clone(), problem.remedy.clone())
}

fn told(changed: &[(&str, &str)], field: &str, text: &str, remedy: &str) {
    let (found, way_out) = problem(changed, field);
    assert!(found.contains(text), "{changed:?}: {found}");
    assert!(way_out.contains(remedy), "{changed:?}: {way_out}");
}

fn note(changed: &[(&str, &str)], field: &str) -> Vec<String> {
    let notes = sketch(&settings(changed)).notes;
    let here = notes.into_iter().filter(|note| note.field == field);
    here.map(|note| note.text).collect()
}

#[test]
fn the_defaults_are_right_and_say_what_they_come_to() {
    let sketch = sketch(&Settings::default());
    assert_eq!(sketch.problems, []);
    assert_eq!(
        sketch.verdict,
        "10 min of code at 25, 10:00:00:00 to 10:09:59:24, in a file of 86.4 MB."
    );
    assert_eq!(sketch.ends.unwrap().last, "10:09:59:24");
    assert_eq!(sketch.file_name.unwrap(), "tone_10-00-00-00_25.wav");
    let fact = |label: &str| {
        let fact = sketch.facts.iter().find(|fact| fact.label == label);
        fact.unwrap().value.clone()
    };
    assert_eq!(fact("Codewords"), "15,000");
    assert_eq!(
        fact("Start time in the file"),
        "1,728,000,000 samples since midnight"
    );
}

#[test]
fn rates_and_counts_that_there_are_not() {
    told(
        &[("rate", "26")],
        "rate",
        "“26” is not a frame rate",
        "23.976, 24, 25",
    );
    told(&[("rate", "")], "rate", "“”", "25");
    // IEC 60461 clauses 5.2 and 6.2: no drop-frame at 24 and 25.
    for rate in Rate::ALL
        .into_iter()
        .filter(|rate| rate.drop_count().is_none())
    {
        let changed = [("rate", rate.name()), ("counting", "drop")];
        let nothing = format!("at {rate} there is none");
        told(
            &changed,
            "counting",
            &nothing,
            "29.97 or 59.94 would be right",
        );
    }
    told(
        &[("counting", "dropped")],
        "counting",
        "“dropped”",
        "non-drop or drop",
    );
}

#[test]
fn every_timebase_that_there_is_can_be_made() {
    for timebase in Timebase::all() {
        let counting = if timebase.count().is_drop() {
            "drop"
        } else {
            "non-drop"
        };
        let plan = plan(&[("rate", timebase.rate().name()), ("counting", counting)]);
        assert_eq!(
            plan.codeword_count() % 10,
            plan.codewords().count() as u64 % 10
        );
    }
}

#[test]
fn addresses_that_there_are_not() {
    let drop = [("rate", "29.97"), ("counting", "drop")];
    let start = |typed| [drop[0], drop[1], ("start", typed)];
    // IEC 60461 clause 4.2.3: 00 and 01 are left out at the start of the minute.
    told(
        &start("00:01:00;01"),
        "start",
        "00:01:00;01 is skipped by drop-frame counting",
        "00:00:59;29 or 00:01:00;02 would be right",
    );
    told(
        &[("start", "10:00:00:25")],
        "start",
        "Frames 25 do not exist at 25",
        "23:59:59:24",
    );
    told(
        &[("start", "24:00:00:00")],
        "start",
        "Hours 24 do not exist",
        "00:00:00:00 to",
    );
    told(
        &[("start", "10:60:00:00")],
        "start",
        "Minutes 60",
        "23:59:59:24",
    );
    told(
        &[("start", "10:00:00;00")],
        "start",
        "The ; says drop-frame",
        "Type 10:00:00:00.",
    );
    told(
        &[("start", "")],
        "start",
        "No time address was typed",
        "such as 10:00:00:00",
    );
    told(&[("start", "noon")], "start", "'n'", "such as 10:00:00:00");
    let last = [("until", "last"), ("last", "10:00:00:30")];
    told(&last, "last", "Frames 30 do not exist", "23:59:59:24");
}

/// IEC 60461 clauses 8.5 and 11: above 30 a codeword spans a pair of frames; SMPTE ST 12-3: four
/// at 100 and 120.
#[test]
fn above_thirty_an_address_is_where_a_codeword_begins() {
    told(
        &[("rate", "50"), ("start", "10:00:00:49")],
        "start",
        "10:00:00:49 is inside a codeword, which spans 2 frames",
        "10:00:00:48 or 10:00:01:00 would be right",
    );
    told(
        &[("rate", "120"), ("start", "10:00:00:047")],
        "start",
        "spans 4 frames",
        "10:00:00:044 or 10:00:00:048",
    );
    // The neighbours of what drop-frame skips are codewords too.
    told(
        &[
            ("rate", "59.94"),
            ("counting", "drop"),
            ("start", "00:01:00;02"),
        ],
        "start",
        "skipped",
        "00:00:59;58 or 00:01:00;04",
    );
    told(
        &[("rate", "50"), ("length", "3")],
        "length",
        "“3” ends inside",
        "00:00:00:02 or 00:00:00:04",
    );
    told(
        &[("rate", "50"), ("length", "1")],
        "length",
        "inside",
        "00:00:00:02 would be right",
    );
    let notes = note(&[("rate", "50")], "rate");
    assert!(
        notes[0].contains("spans two frames, so the code runs at 25"),
        "{notes:?}"
    );
}

#[test]
fn lengths_that_there_are_not() {
    for typed in ["200 h", "200:00:00:00", "24:00:00:01"] {
        let text = format!("“{typed}” is longer than 24 h");
        told(
            &[("length", typed)],
            "length",
            &text,
            "24:00:00:00 or less would be right",
        );
    }
    told(
        &[("length", "0")],
        "length",
        "“0” is no length",
        "00:00:00:01",
    );
    told(
        &[("length", "")],
        "length",
        "No length was typed",
        "such as 00:10:00:00",
    );
    told(&[("length", "ten")], "length", "'t'", "or 10 min");
    told(&[("until", "tired")], "until", "“tired”", "length or last");
    // What is not asked for is not looked at.
    let plan = plan(&[("until", "last"), ("length", "200 h")]);
    assert_eq!(plan.codeword_count(), 15_000);
}

#[test]
fn a_last_address_before_the_first_is_past_midnight() {
    let changed = [
        ("until", "last"),
        ("start", "23:59:59:00"),
        ("last", "00:00:00:24"),
    ];
    assert_eq!(plan(&changed).codeword_count(), 50);
    assert!(note(&changed, "last")[0].contains("passes midnight"));
    let whole_day = [
        ("until", "last"),
        ("start", "10:00:00:00"),
        ("last", "09:59:59:24"),
    ];
    assert_eq!(plan(&whole_day).codeword_count(), 2_160_000);
}

#[test]
fn user_bits_that_there_are_not() {
    told(
        &[("user_bits", "123")],
        "user_bits",
        "eight digits, not 3",
        "such as 25112601",
    );
    told(&[("user_bits", "1234567G")], "user_bits", "'G'", "A to F");
    let characters = |typed| [("user_bits_are", "characters"), ("characters", typed)];
    told(
        &characters("CAM"),
        "characters",
        "four characters, not 3",
        "four letters",
    );
    told(
        &characters("CAMé"),
        "characters",
        "'é' cannot be sent",
        "four letters",
    );
    let dated = |typed| [("user_bits_are", "day-month-year"), ("date", typed)];
    told(&dated(""), "date", "No date was typed", "2026-11-25");
    told(
        &dated("2026-02-30"),
        "date",
        "Month 02 has no day 30",
        "2026-02-01 to 2026-02-28",
    );
    told(&dated("2026-13-01"), "date", "no month 13", "2026-11-25");
    told(
        &dated("26-11-25"),
        "date",
        "two digits for the year",
        "1970 to 2069",
    );
    told(
        &dated("25 November"),
        "date",
        "“25 November” is no date",
        "2026-11-25",
    );
    let spare = [
        ("user_bits_are", "year-month-day"),
        ("date", "2026-11-25"),
        ("spare", "1"),
    ];
    told(&spare, "spare", "“1”", "such as 01");
    told(
        &[("user_bits_are", "words")],
        "user_bits_are",
        "“words”",
        "hex, ",
    );
}

#[test]
fn zones_and_flags_that_there_are_not() {
    let zoned = |zone| {
        [
            ("user_bits_are", "date-and-zone"),
            ("date", "2026-11-25"),
            ("zone", zone),
        ]
    };
    told(
        &zoned("+05:45"),
        "zone",
        "+05:45 has no code in SMPTE ST 309",
        "without a zone",
    );
    told(
        &zoned("CET"),
        "zone",
        "“CET” is no offset",
        "such as +01:00",
    );
    // SMPTE ST 12-1 clause 8.4.4, IEC 60461 clause 7.4.7: 011 is not to be sent.
    let both = [("user_bits_are", "characters"), ("clock_time", "yes")];
    told(&both, "clock_time", "not to be sent", "unsaid");
    // IEC 60461 table 3: bit 11 is unused at 24.
    for rate in ["23.976", "24", "48"] {
        let changed = [("rate", rate), ("colour_frame", "set")];
        told(&changed, "colour_frame", "no colour-frame flag", "clear");
    }
}

#[test]
fn takes_that_there_are_not() {
    for typed in ["0", "101", "-1", "two", "1.5"] {
        told(
            &[("takes", typed)],
            "takes",
            "no number of takes",
            "1 to 100",
        );
    }
    for typed in ["-1", "0.05", "3601", "long"] {
        told(
            &[("takes", "2"), ("silence", typed)],
            "silence",
            typed,
            "0.1 to 3600",
        );
    }
    told(
        &[("takes", "2"), ("jump", "25:00:00:00")],
        "jump",
        "longer than a day",
        "below 24",
    );
    told(
        &[("takes", "2"), ("jump", "far")],
        "jump",
        "'f'",
        "00:00:05:00",
    );
    told(
        &[("takes", "2"), ("jump", "-1"), ("rate", "50")],
        "jump",
        "inside",
        "00:00:00:02",
    );
    told(
        &[("takes", "3"), ("length", "9 h")],
        "takes",
        "longer than 24 h",
        "Fewer takes",
    );
    // With one take nothing lies between.
    plan(&[("silence", "never"), ("jump", "far")]);
}

#[test]
fn sound_that_there_is_not() {
    told(
        &[("sample_rate", "47000")],
        "sample_rate",
        "“47000”",
        "48000",
    );
    told(&[("samples", "8")], "samples", "“8”", "16, 24 or float");
    told(
        &[("level", "3")],
        "level",
        "3 dBFS is above full scale",
        "0 or lower",
    );
    told(&[("level", "0.01")], "level", "above full scale", "−18");
    told(
        &[("level", "loud")],
        "level",
        "“loud” is no number",
        "such as −18",
    );
    told(&[("level", "")], "level", "is no number", "−18");
    told(
        &[("level", "-90.1")],
        "level",
        "−90.1 dBFS is too low",
        "−90 to 0",
    );
    told(
        &[("samples", "16"), ("level", "-80")],
        "level",
        "In 16 bits",
        "24 bits",
    );
    for typed in ["0", "201", "40.5", "slow", "-40"] {
        told(
            &[("rise_time", typed)],
            "rise_time",
            "no rise time",
            "from 1 to 200",
        );
    }
    told(
        &[("polarity", "up")],
        "polarity",
        "“up”",
        "upright or inverted",
    );
    told(&[("beside", "music")], "beside", "“music”", "blips");
}

#[test]
fn all_that_is_wrong_is_told() {
    let wrong = settings(&[
        ("rate", "26"),
        ("level", "3"),
        ("takes", "0"),
        ("user_bits", "x"),
    ]);
    let sketch = sketch(&wrong);
    let fields: Vec<&str> = sketch
        .problems
        .iter()
        .map(|problem| &*problem.field)
        .collect();
    assert_eq!(fields, ["rate", "user_bits", "takes", "level"]);
    assert_eq!(
        sketch.verdict,
        "Nothing to make yet: four settings are not right."
    );
}

/// EBU R 68: -18 dBFS is 0 dBu, so full scale is +18 dBu. 0 dBu is 0.7746 V root mean square, a
/// sine swings 2.828 times that; +24 dBu is 6 dB more. 2 V is common practice.
#[test]
fn the_level_is_told_in_volts() {
    let notes = note(&[("level", "-18")], "level");
    let text = notes[0].as_str();
    assert!(
        text.contains("2.19 V peak to peak where full scale is +18 dBu"),
        "{text}"
    );
    assert!(
        text.contains("4.37 V where it is +24 dBu, 0.71 V out of"),
        "{text}"
    );
    assert!(
        text.contains("prefers 1 to 2 V and allows 0.5 to 4.5 V"),
        "{text}"
    );
}

#[test]
fn settings_are_explained_at_their_fields() {
    let counting = |rate, counting| note(&[("rate", rate), ("counting", counting)], "counting");
    assert!(counting("29.97", "non-drop")[0].contains("fall behind the clock by 3.6 s an hour"));
    assert!(counting("29.97", "drop")[0].contains("skips two numbers a minute"));
    assert!(counting("59.94", "drop")[0].contains("skips four numbers a minute"));
    assert!(counting("30", "drop")[0].contains("unusual"));
    assert!(counting("25", "non-drop").is_empty());
    assert!(note(&[("rate", "23.976")], "rate")[0].contains("fall behind"));
    let flags = |kind, clock_time| {
        let changed = [
            ("user_bits_are", kind),
            ("date", "2026-11-25"),
            ("clock_time", clock_time),
        ];
        note(&changed, "user_bits_are").remove(0)
    };
    // IEC 60461 table 1, SMPTE ST 12-1 table 1.
    for (kind, clock_time, flag, clause) in [
        ("hex", "no", "000", "8.4.1"),
        ("day-month-year", "yes", "010", "8.4.3"),
        ("characters", "no", "001", "8.4.2"),
        ("date-and-zone", "no", "100", "8.4.5"),
        ("date-and-zone", "yes", "110", "8.4.7"),
    ] {
        let text = flags(kind, clock_time);
        assert!(
            text.contains(&format!("flags {flag}:")) && text.contains(clause),
            "{text}"
        );
    }
    assert!(flags("month-day-year", "no").contains("11 25 26 00"));
    let free_run = note(&[("takes", "2"), ("silence", "5")], "jump");
    assert!(free_run[0].contains("00:00:05:00"), "{free_run:?}");
    let steep = note(&[("rise_time", "10")], "rise_time");
    assert!(
        steep[0].contains("can't carry edges that steep"),
        "{steep:?}"
    );
    assert!(note(&[("rise_time", "100")], "rise_time")[0].contains("clause 8.6"));
}

fn at(unix_milliseconds: f64, minutes: i16) -> Now {
    Now::new(unix_milliseconds, UtcOffset::minutes(minutes).unwrap()).unwrap()
}

#[test]
fn the_defaults_know_the_day_and_the_zone() {
    // 2026-10-10 23:30 UTC is the next day two hours further east.
    let now = at(1_791_590_400_000.0 + 23.5 * 3_600_000.0, 120);
    let settings = Settings::default_at(now);
    assert_eq!((&*settings.date, &*settings.zone), ("2026-10-11", "+02:00"));
    let back = at(1_791_590_400_000.0, -210);
    let settings = Settings::default_at(back);
    assert_eq!((&*settings.date, &*settings.zone), ("2026-10-09", "-03:30"));
    assert_eq!(sketch(&settings).problems, []);
}

#[test]
fn the_time_of_day_is_an_address_that_can_be_typed() {
    let noon = 1_791_590_400_000.0 + 12.0 * 3_600_000.0 + 34.0 * 60_000.0 + 56_499.0;
    for timebase in Timebase::all() {
        let counting = if timebase.count().is_drop() {
            "drop"
        } else {
            "non-drop"
        };
        let changed = [("rate", timebase.rate().name()), ("counting", counting)];
        let address = now_address(&settings(&changed), at(noon, 0)).unwrap();
        assert!(address.starts_with("12:34:56"), "{timebase} {address}");
        plan(&[changed[0], changed[1], ("start", &address)]);
    }
    let wrong = now_address(&settings(&[("rate", "26")]), at(noon, 0));
    assert_eq!(wrong.unwrap_err().field, "rate");
}

/// Every word that the settings may hold, and texts that they may not.
fn typed() -> impl Strategy<Value = String> {
    let words = [
        "",
        "0",
        "1",
        "2",
        "-1",
        "24",
        "25",
        "29.97",
        "30",
        "50",
        "59.94",
        "100",
        "119.88",
        "120",
        "non-drop",
        "drop",
        "10:00:00:00",
        "23:59:59:24",
        "00:01:00;00",
        "00:01:00;02",
        "1000",
        "length",
        "last",
        "200 h",
        "24 h",
        "1 s",
        "hex",
        "day-month-year",
        "date-and-zone",
        "characters",
        "FFFFFFFF",
        "TONE",
        "2026-11-25",
        "2000-02-29",
        "+13:00",
        "-12:00",
        "set",
        "clear",
        "yes",
        "no",
        "100",
        "0.1",
        "3600",
        "-23:59:59:29",
        "44100",
        "192000",
        "16",
        "float",
        "-90",
        "-18,5",
        "200",
        "upright",
        "inverted",
        "nothing",
        "line-up",
        "blips",
        "99999999999999999999",
        "−18",
        "NaN",
        "1e9",
        "é",
        "\u{0}",
    ];
    prop_oneof![
        4 => prop::sample::select(words.map(str::to_owned).to_vec()),
        1 => any::<String>(),
        1 => "[0-9:;.,+ -]{0,16}",
    ]
}

fn keys() -> BTreeSet<String> {
    let defaults = serde_json::to_value(Settings::default()).unwrap();
    defaults.as_object().unwrap().keys().cloned().collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    /// Whatever stands in the fields, there is a sketch, its words stand at fields that there are,
    /// and it has either a plan or problems.
    #[test]
    fn any_text_in_any_field_is_sketched(
        texts in prop::collection::vec(prop::option::of(typed()), keys().len()),
    ) {
        let mut all = serde_json::to_value(Settings::default()).unwrap();
        for (key, text) in keys().iter().zip(texts) {
            if let Some(text) = text {
                all[key] = text.into();
            }
        }
        let settings: Settings = serde_json::from_value(all).unwrap();
        let sketch = sketch(&settings);
        let fields = sketch.notes.iter().map(|note| &note.field);
        let fields = fields.chain(sketch.problems.iter().map(|problem| &problem.field));
        for field in fields {
            prop_assert!(keys().contains(field), "{}", field);
        }
        prop_assert_eq!(sketch.ends.is_some(), sketch.problems.is_empty());
        for problem in &sketch.problems {
            prop_assert!(problem.text.len() < 400 && !problem.remedy.is_empty());
        }
        if let Ok(plan) = Plan::new(&settings) {
            prop_assert!(plan.codeword_count() > 0);
            prop_assert!(plan.codewords().next().is_some());
            prop_assert!(plan.file_bytes() > 0);
        }
    }
}
