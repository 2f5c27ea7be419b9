//! Clocks: drift both ways, two clocks parting, two clocks watched.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod common;

use common::{row, value};
use plumbline_sums::{Answer, ClocksForm, clocks};

const DRIFT: &str = "Drift";
const SEEN: &str = "Seen on both devices";

fn drift(drift: &str, drift_is: &str, rate: &str) -> Answer {
    let answer = clocks(&ClocksForm {
        drift: drift.into(),
        drift_is: drift_is.into(),
        rate: rate.into(),
        ..ClocksForm::default()
    });
    assert_eq!(answer.problems, []);
    answer
}

/// A figure of a few digits that count: what a table of drifts shows.
fn near(shown: &str, wanted: f64) {
    let shown: f64 = shown.replace('−', "-").parse().unwrap();
    assert!(
        (shown - wanted).abs() <= wanted.abs() * 0.006,
        "{shown} is not {wanted}"
    );
}

/// One part in a million of 3600 s is 3.6 ms; the rest follows by multiplication.
#[test]
fn drift_comes_to_what_the_table_has() {
    // ppm, ms an hour, ms in 24 h, frames in 24 h at 24, 25 and 29.97, hours to a frame at 25,
    // samples an hour at 48 kHz.
    let table: [(&str, [f64; 7]); 10] = [
        ("0.1", [0.36, 8.64, 0.207, 0.216, 0.259, 111.1, 17.28]),
        ("0.2", [0.72, 17.28, 0.415, 0.432, 0.518, 55.6, 34.56]),
        ("0.5", [1.8, 43.2, 1.037, 1.08, 1.295, 22.2, 86.4]),
        ("1", [3.6, 86.4, 2.074, 2.16, 2.589, 11.11, 172.8]),
        ("2", [7.2, 172.8, 4.147, 4.32, 5.179, 5.556, 345.6]),
        ("5", [18.0, 432.0, 10.37, 10.8, 12.95, 2.222, 864.0]),
        ("10", [36.0, 864.0, 20.74, 21.6, 25.89, 1.111, 1728.0]),
        ("20", [72.0, 1728.0, 41.47, 43.2, 51.79, 0.556, 3456.0]),
        ("50", [180.0, 4320.0, 103.7, 108.0, 129.5, 0.222, 8640.0]),
        ("100", [360.0, 8640.0, 207.4, 216.0, 258.9, 0.111, 17280.0]),
    ];
    for (ppm, [ms, day, at_24, at_25, at_29, hours, samples]) in table {
        let answer = drift(ppm, "ppm", "25");
        let shown = |label| value(&answer.tables, DRIFT, label);
        near(shown("Milliseconds an hour"), ms);
        near(shown("Milliseconds in 24 h"), day);
        near(shown("Frames at 25 in 24 h"), at_25);
        near(shown("Hours until one frame"), hours);
        near(shown("Samples at 48 kHz, an hour"), samples);
        for (rate, frames) in [("24", at_24), ("29.97", at_29)] {
            let answer = drift(ppm, "ppm", rate);
            near(
                value(&answer.tables, DRIFT, &format!("Frames at {rate} in 24 h")),
                frames,
            );
        }
    }
}

/// 0.482, 0.463 and 0.386 ppm are a frame in 24 hours; three times that in 8.
#[test]
fn drift_goes_back_to_ppm() {
    for (rate, day, shift) in [
        ("24", 0.482, 1.447),
        ("25", 0.463, 1.389),
        ("29.97", 0.386, 1.159),
        ("30", 0.386, 1.157),
    ] {
        for (hours, ppm) in [("24", day), ("8", shift)] {
            let answer = clocks(&ClocksForm {
                drift: "1".into(),
                drift_is: "frames-a-day".into(),
                day: hours.into(),
                rate: rate.into(),
                ..ClocksForm::default()
            });
            near(value(&answer.tables, DRIFT, "ppm"), ppm);
        }
    }
    let answer = drift("0.09", "frames-an-hour", "25");
    assert_eq!(value(&answer.tables, DRIFT, "ppm"), "1");
    let answer = drift("−3.6", "milliseconds-an-hour", "25");
    assert_eq!(value(&answer.tables, DRIFT, "ppm"), "−1");
    assert_eq!(
        value(&answer.tables, DRIFT, "Frames at 25 an hour"),
        "−0.09"
    );
    // The residue of drop-frame is 1 ppm, 3.6 ms an hour (IEC 60461 clause 4.2.3).
    let answer = drift("3.6", "milliseconds-an-hour", "29.97");
    assert_eq!(value(&answer.tables, DRIFT, "Milliseconds in 24 h"), "86.4");
}

/// IEC 60461 clause 8.4: a source that runs free is good to 100 ppm, 360 ms an hour; two such are
/// apart by twice that at most.
#[test]
fn two_clocks_part_by_the_sum_of_their_tolerances() {
    let answer = clocks(&ClocksForm {
        first_tolerance: "±100".into(),
        second_tolerance: "100".into(),
        ..ClocksForm::default()
    });
    let until = |label| value(&answer.tables, "Two clocks", label);
    // 40 ms ÷ 0.0002.
    assert_eq!(until("Until a whole frame"), "3 min 20 s");
    assert_eq!(until("Until half a frame"), "1 min 40 s");
    assert_eq!(until("Until a quarter of a frame"), "50 s");
    assert_eq!(until("Jam again every"), "1 min 40 s");
    assert!(answer.verdict.contains("1 min 40 s"), "{}", answer.verdict);
    let classes = value(
        &answer.tables,
        "Classes of clock",
        "Source of timecode that runs free",
    );
    assert_eq!(classes, "±100 ppm");
}

/// 0 °C −21, −10 °C −42, 45 °C −14 ppm: from memory.
#[test]
fn temperature_is_a_guess_and_says_so() {
    for (warmth, ppm) in [
        ("0", "−21.25"),
        ("-10", "−41.65"),
        ("45", "−13.6"),
        ("25", "0"),
    ] {
        let answer = clocks(&ClocksForm {
            temperature: warmth.into(),
            ..ClocksForm::default()
        });
        let shown = warmth.replace('-', "−");
        let label = format!("A watch crystal at {shown} °C, in ppm");
        let guess = row(&answer.tables, "Temperature", &label);
        assert_eq!(guess.value, ppm);
        assert!(guess.how.contains("a guess") && guess.how.contains("from memory"));
    }
    let without = clocks(&ClocksForm::default());
    assert!(
        !without
            .tables
            .iter()
            .any(|table| table.title.starts_with("Temperature"))
    );
}

fn seen(addresses: [&str; 4], reading: &str) -> Answer {
    let [first_before, second_before, first_after, second_after] = addresses.map(str::to_owned);
    clocks(&ClocksForm {
        first_before,
        second_before,
        first_after,
        second_after,
        reading: reading.into(),
        ..ClocksForm::default()
    })
}

/// 18 frames in 8 hours at 25 are 18/720000.
#[test]
fn two_observations_give_ppm_and_how_good_they_are() {
    let answer = seen(
        ["10:00:00:00", "10:00:00:01", "18:00:00:00", "18:00:00:19"],
        "0.5",
    );
    assert_eq!(
        value(&answer.tables, SEEN, "Second against first, in ppm"),
        "25"
    );
    // Four readings, half a frame each: 2/720000.
    assert_eq!(
        value(&answer.tables, SEEN, "Good to, at worst, in ppm either way"),
        "2.778"
    );
    // 1/√3/720000.
    assert_eq!(
        value(&answer.tables, SEEN, "Standard uncertainty, in ppm"),
        "0.802"
    );
    assert_eq!(
        value(&answer.tables, SEEN, "Watched for"),
        "08:00:00.000000"
    );
    assert!(
        answer.verdict.contains("runs 25 ppm faster than the first"),
        "{}",
        answer.verdict
    );
    let slower = seen(
        ["10:00:00:00", "10:00:00:01", "18:00:00:00", "17:59:59:24"],
        "0.1",
    );
    assert_eq!(
        value(&slower.tables, SEEN, "Second against first, in ppm"),
        "−2.778"
    );
    assert!(slower.verdict.contains("slower"), "{}", slower.verdict);
}

#[test]
fn observations_may_pass_midnight() {
    let answer = seen(
        ["23:00:00:00", "00:00:00:00", "01:00:00:00", "02:00:00:01"],
        "0",
    );
    assert_eq!(
        value(&answer.tables, SEEN, "Watched for"),
        "02:00:00.000000"
    );
    assert_eq!(
        value(&answer.tables, SEEN, "Gained by the second, in frames"),
        "1"
    );
    assert_eq!(
        value(&answer.tables, SEEN, "Good to, at worst, in ppm either way"),
        "0"
    );
}

#[test]
fn what_is_too_little_to_tell_is_not_told() {
    let answer = seen(
        ["10:00:00:00", "10:00:00:00", "11:00:00:00", "11:00:00:01"],
        "0.5",
    );
    assert!(
        answer.verdict.contains("can't be told from the first yet"),
        "{}",
        answer.verdict
    );
    let same = seen(
        ["10:00:00:00", "10:00:00:01", "10:00:00:00", "10:00:00:02"],
        "0.5",
    );
    assert_eq!(same.problems[0].field, "first_after");
    let missing = seen(["10:00:00:00", "", "11:00:00:00", "11:00:00:01"], "0.5");
    assert_eq!(missing.problems[0].field, "second_before");
    // The rest is answered.
    assert_eq!(value(&missing.tables, DRIFT, "Milliseconds an hour"), "3.6");
}
