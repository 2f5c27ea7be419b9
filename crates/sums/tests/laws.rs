//! Laws that hold for any moment, any list and any clocks; and any text in any field.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod common;

use common::{moment, row, value};
use plumbline_sums::{
    AddressForm, ClocksForm, LineState, RowsForm, SpeedsForm, UserBitsForm, address, clocks, rows,
    speeds, user_bits,
};
use plumbline_timecode::{FrameNumber, TimeAddress, Timebase};
use plumbline_words::Problem;
use proptest::prelude::*;
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

fn timebases() -> impl Strategy<Value = Timebase> {
    proptest::sample::select(Timebase::all().collect::<Vec<_>>())
}

/// A timebase and a frame of its day.
fn frames() -> impl Strategy<Value = (Timebase, u32)> {
    timebases().prop_flat_map(|timebase| (Just(timebase), 0..timebase.count().frames_per_day()))
}

/// As the tests' helper takes it.
fn named(timebase: Timebase) -> String {
    let drop = if timebase.count().is_drop() { "d" } else { "" };
    format!("{}{drop}", timebase.rate())
}

fn label(timebase: Timebase, number: u32) -> String {
    TimeAddress::from_frame_number(timebase.count(), FrameNumber(number))
        .unwrap()
        .to_string()
}

/// `5 8007/8008`, `0.2`, `−3`: the number over its denominator.
fn exact(text: &str) -> (i128, i128) {
    let (whole, part) = text.split_once(' ').unwrap_or(("0", text));
    let whole: i128 = whole.parse().unwrap();
    if let Some((above, below)) = part.split_once('/') {
        let (above, below): (i128, i128) = (above.parse().unwrap(), below.parse().unwrap());
        return (whole * below + above, below);
    }
    let (digits, places) = part.split_once('.').unwrap_or((part, ""));
    let below = 10_i128.pow(u32::try_from(places.len()).unwrap());
    (format!("{digits}{places}").parse().unwrap(), below)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn an_address_and_its_frame_number_are_the_same_moment((timebase, number) in frames()) {
        let rate = named(timebase);
        let by_name = moment("time-address", &label(timebase, number), &rate, "48000");
        let by_number = moment("frame-count", &number.to_string(), &rate, "48000");
        prop_assert_eq!(value(&by_name.tables, "This moment", "Frames since midnight"), number.to_string());
        // All but the line that says what was typed.
        let rest = |answer: &plumbline_sums::Answer| {
            let mut tables = answer.tables.clone();
            tables[0].rows[0].how.clear();
            tables
        };
        prop_assert_eq!(rest(&by_name), rest(&by_number));
    }

    #[test]
    fn a_stamp_that_was_rounded_leads_back_to_its_frame(
        (timebase, number) in frames(),
        hertz in proptest::sample::select(vec!["44100", "48000", "96000", "192000", "48000/1.001", "48048"]),
    ) {
        let rate = named(timebase);
        let answer = moment("frame-count", &number.to_string(), &rate, hertz);
        let word = |label| value(&answer.tables, "Time reference", label).parse::<u64>().unwrap();
        let stamp = word("Time reference");
        prop_assert_eq!(word("High word") << 32 | word("Low word"), stamp);
        let back = moment("time-reference", &stamp.to_string(), &rate, hertz);
        prop_assert_eq!(value(&back.tables, "This moment", "Time address"), label(timebase, number));
    }

    /// Frames over rate by sample rate, in integers: what is shown is the nearest, and what is
    /// not exact says so with the exact value.
    #[test]
    fn nothing_is_rounded_in_silence((timebase, number) in frames()) {
        let rate = timebase.rate().fraction();
        let answer = moment("frame-count", &number.to_string(), &named(timebase), "48000");
        for (label, above, below) in [("At 44.1 kHz", 44_100, 1), ("At 48 kHz", 48_000, 1),
            ("At 47.952 kHz (48000/1.001)", 48_000_000, 1001), ("At 48.048 kHz", 48_048, 1)] {
            let row = row(&answer.tables, "Samples since midnight", label);
            let above = i128::from(number) * rate.denominator() * above;
            let below = rate.numerator() * below;
            let shown: i128 = row.value.parse().unwrap();
            prop_assert!((shown * below - above).abs() * 2 <= below, "{}", row.value);
            match &row.rounded {
                None => prop_assert_eq!(shown * below, above),
                Some(text) => {
                    let told = text.split("exactly it is ").nth(1).unwrap().split(',').next().unwrap();
                    let (told, over) = exact(told);
                    prop_assert_eq!(told * below, above * over, "{}", text);
                }
            }
        }
    }

    /// What is at the same instant is never further away than half a frame.
    #[test]
    fn the_same_instant_is_the_nearest_frame((timebase, number) in frames(), other in timebases()) {
        let answer = moment("frame-count", &number.to_string(), &named(timebase), "48000");
        let there = value(&answer.tables, "The same instant", &other.to_string());
        let there = TimeAddress::parse(there, other.count()).unwrap().frame_number();
        let (from, to) = (timebase.rate().fraction(), other.rate().fraction());
        // n × to/from frames, as integers over `below`, modulo the other's day.
        let below = to.denominator() * from.numerator();
        let above = i128::from(number) * from.denominator() * to.numerator();
        let day = i128::from(other.count().frames_per_day()) * below;
        let off = (above - i128::from(there.0) * below).rem_euclid(day);
        prop_assert!(off.min(day - off) * 2 <= below);
    }

    /// A list of rows adds up to the sum of them, whatever stands between the columns.
    #[test]
    fn a_list_adds_up(
        timebase in timebases(),
        ends in proptest::collection::vec((0_u32..2_000_000, 0_u32..50_000), 1..20),
        separator in proptest::sample::select(vec!["\t", ",", ";", "   ", " | "]),
        outs in proptest::sample::select(vec!["exclusive", "inclusive"]),
    ) {
        let line = |(from, long): &(u32, u32)| {
            format!("shot{separator}{}{separator}{}", label(timebase, *from), label(timebase, from + long))
        };
        let text: Vec<String> = ends.iter().map(line).collect();
        let rate = timebase.rate().to_string();
        let counting = if timebase.count().is_drop() { "drop" } else { "non-drop" };
        let answer = rows(&RowsForm {
            text: text.join("\n"),
            rate,
            counting: counting.into(),
            outs: outs.into(),
            ..RowsForm::default()
        });
        prop_assert!(answer.lines.iter().all(|line| line.state == LineState::Row), "{:?}", answer.lines);
        let each = u32::from(outs == "inclusive");
        let sum: u32 = ends.iter().map(|(_, long)| long + each).sum();
        prop_assert_eq!(value(&answer.tables, "Total", "Frames"), sum.to_string());
        // Gaps less overlaps and steps back lead from the first out to the last in.
        prop_assert_eq!(&answer.lines.last().unwrap().running_total, value(&answer.tables, "Total", "Total"));
        let mut places: Vec<(u32, u32)> = ends.iter().map(|&(from, long)| (from, from + long + each)).collect();
        places.sort_unstable();
        let covered = (0..places.len()).fold((0_u32, 0_u32), |(sum, reached), i| {
            let (from, to) = places[i];
            (sum + to.saturating_sub(from.max(reached)), reached.max(to))
        });
        let how = &row(&answer.tables, "Between the rows", "Covered").how;
        prop_assert!(how.starts_with(&format!("{} frames", covered.0)), "{} {}", how, covered.0);
    }

    /// Played at the rate at which it was shot after all, it lasts as long as it did.
    #[test]
    fn there_and_back_again_nothing_is_lost((shot, number) in frames(), played in timebases()) {
        let answer = |from: Timebase, to: Timebase, duration: String| speeds(&SpeedsForm {
            shot: from.rate().to_string(),
            played: to.rate().to_string(),
            duration,
            ..SpeedsForm::default()
        });
        let there = answer(shot, played, format!("{number} frames"));
        let back = answer(played, shot, format!("{number} frames"));
        let when = |tables: &[plumbline_sums::Table], label| value(tables, "Length", label).to_owned();
        prop_assert_eq!(when(&there.tables, "Real time when played"), when(&back.tables, "Real time when shot"));
        prop_assert_eq!(when(&there.tables, "Real time when shot"), when(&back.tables, "Real time when played"));
    }

    #[test]
    fn drift_there_and_back_is_the_same(hundredths in -99_999_i32..=99_999, timebase in timebases()) {
        let sign = if hundredths < 0 { "-" } else { "" };
        let size = hundredths.abs();
        let ppm = format!("{sign}{}.{:02}", size / 100, size % 100);
        let ask = |drift: &str, drift_is: &str| clocks(&ClocksForm {
            rate: timebase.rate().to_string(),
            drift: drift.into(),
            drift_is: drift_is.into(),
            ..ClocksForm::default()
        });
        let there = ask(&ppm, "ppm");
        let hour = row(&there.tables, "Drift", "Milliseconds an hour");
        // 3.6 ms for each ppm: three places, and three are shown.
        prop_assert_eq!(&hour.rounded, &None);
        let back = ask(&hour.value, "milliseconds-an-hour");
        prop_assert_eq!(value(&back.tables, "Drift", "ppm"), value(&there.tables, "Drift", "ppm"));
    }

    #[test]
    fn user_bits_are_read_as_they_were_written(bits: u32, flags in 0_u8..8) {
        let form = |digits: String| UserBitsForm {
            user_bits: digits,
            flags: format!("{flags:03b}"),
            ..UserBitsForm::default()
        };
        let answer = user_bits(&form(format!("{bits:08X}")));
        let digits = value(&answer.tables, "As they are sent", "Eight digits");
        prop_assert_eq!(&user_bits(&form(digits.to_owned())), &answer);
        let groups: String = value(&answer.tables, "As they are sent", "Binary groups 1 to 8")
            .split(' ').rev().collect();
        prop_assert_eq!(groups, format!("{bits:08X}"));
    }
}

/// What somebody, or something, might type: words that fields know, numbers at their edges,
/// addresses near the limits, and anything at all.
fn typed() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "\\PC{0,40}",
        "[0-9:;.,+−-]{0,30}",
        "[0-9]{0,30}([.,/ ][0-9]{0,30})?",
        "([0-9]{1,3}[:;.]){3}[0-9]{1,3}",
        "-?[0-9]{1,9}[.,][0-9]{1,9} ?(h|min|s|ms|f|kHz|ppm|°C)?",
        "([0-9]{1,9} ?(h|min|s|ms|f) ?){1,4}",
        "(high|low|hi|lo)[ =:][0-9]{1,11} (high|low|hi|lo)[ =:][0-9]{1,11}",
        "0x[0-9A-Fa-f]{0,20}",
        "([0-9:;.\t ,\"=*\n-]|FCM: |M2 |TITLE:){0,60}",
        proptest::sample::select(vec![
            "time-address",
            "frame-count",
            "duration",
            "sample-position",
            "time-reference",
            "non-drop",
            "drop",
            "23.976",
            "24",
            "29.97",
            "59.94",
            "119.88",
            "120",
            "48000",
            "1000",
            "47.952",
            "48000/1.001",
            "10000000",
            "in-and-out",
            "durations",
            "exclusive",
            "inclusive",
            "first",
            "last",
            "ppm",
            "frames-an-hour",
            "frames-a-day",
            "milliseconds-an-hour",
            "hex",
            "day-month-year",
            "characters",
            "date-and-zone",
            "julian-date-and-zone",
            "yes",
            "no",
            "2026-02-29",
            "9999-12-31",
            "0000-00-00",
            "+13:00",
            "Z",
            "111",
            "FFFFFFFF",
            "18446744073709551615",
            "999999999999.999999",
            "999999999.999999999",
            "-0",
            "0",
            "999999999 h",
            "1000",
            "100000",
            "-1000000",
            "0.000000001",
            "23:59:59:23",
            "",
        ])
        .prop_map(str::to_owned),
    ]
}

/// A form in which some fields hold what was typed, and the others what they begin with.
fn forms<F: DeserializeOwned + Serialize + Default>() -> impl Strategy<Value = String> {
    let form = serde_json::to_value(F::default()).unwrap();
    let keys: Vec<String> = form.as_object().unwrap().keys().cloned().collect();
    let fields = proptest::collection::vec(proptest::option::weighted(0.5, typed()), keys.len());
    fields.prop_map(move |fields| {
        let typed = keys.iter().cloned().zip(fields);
        let typed: Map<String, Value> = typed
            .filter_map(|(key, text)| Some((key, Value::String(text?))))
            .collect();
        Value::Object(typed).to_string()
    })
}

/// Every problem stands at a field that there is, says something, and not at great length.
fn check<F: Serialize>(form: &F, verdict: &str, problems: &[Problem]) {
    let form = serde_json::to_value(form).unwrap();
    for problem in problems {
        assert!(form.get(&problem.field).is_some(), "{problem:?}");
        assert!(
            !problem.text.is_empty() && !problem.remedy.is_empty(),
            "{problem:?}"
        );
        assert!(problem.text.len() < 400, "{problem:?}");
    }
    assert!(!verdict.is_empty() && verdict.len() < 1000, "{verdict}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn any_text_is_answered_by_address(form in forms::<AddressForm>()) {
        let form: AddressForm = serde_json::from_str(&form).unwrap();
        let answer = address(&form);
        check(&form, &answer.verdict, &answer.problems);
    }

    #[test]
    fn any_text_is_answered_by_rows(form in forms::<RowsForm>()) {
        let form: RowsForm = serde_json::from_str(&form).unwrap();
        let answer = rows(&form);
        check(&form, &answer.verdict, &answer.problems);
        let wrong_field = answer.problems.iter().any(|it| it.field != "text" && it.field != "counting");
        let shown = form.text.lines().filter(|line| !line.trim().is_empty()).count();
        prop_assert!(answer.lines.len() == shown || wrong_field || answer.lines.is_empty());
    }

    #[test]
    fn any_text_is_answered_by_clocks(form in forms::<ClocksForm>()) {
        let form: ClocksForm = serde_json::from_str(&form).unwrap();
        let answer = clocks(&form);
        check(&form, &answer.verdict, &answer.problems);
    }

    #[test]
    fn any_text_is_answered_by_speeds(form in forms::<SpeedsForm>()) {
        let form: SpeedsForm = serde_json::from_str(&form).unwrap();
        let answer = speeds(&form);
        check(&form, &answer.verdict, &answer.problems);
    }

    #[test]
    fn any_text_is_answered_by_user_bits(form in forms::<UserBitsForm>()) {
        let form: UserBitsForm = serde_json::from_str(&form).unwrap();
        let answer = user_bits(&form);
        check(&form, &answer.verdict, &answer.problems);
    }
}
