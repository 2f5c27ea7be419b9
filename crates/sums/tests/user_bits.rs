//! User bits in every meaning.

mod common;

use common::{row, value};
use plumbline_sums::{Answer, UserBitsForm, user_bits};

const SENT: &str = "As they are sent";
const READ: &str = "Every reading";

fn written(kind: &str, change: impl Fn(&mut UserBitsForm)) -> Answer {
    let mut form = UserBitsForm {
        user_bits_are: kind.into(),
        ..UserBitsForm::default()
    };
    change(&mut form);
    let answer = user_bits(&form);
    assert_eq!(answer.problems, [], "{form:?}");
    answer
}

fn read(digits: &str, flags: &str) -> Answer {
    written("hex", |form| {
        form.user_bits = digits.into();
        form.flags = flags.into();
    })
}

/// SMPTE ST 12-1 clause 8.4.2 (IEC 60461 clause 7.4.3): the first character in groups 7 and 8.
/// Tables 3 to 5 have the places of the flags.
#[test]
fn characters_go_where_the_standard_has_them() {
    let answer = written("characters", |form| form.characters = "SYNC".into());
    let sent = |label| value(&answer.tables, SENT, label);
    assert_eq!(sent("Binary groups 1 to 8"), "3 4 E 4 9 5 3 5");
    assert_eq!(sent("Binary group flags BGF2, BGF1, BGF0"), "001");
    assert_eq!(sent("Bits 27, 43, 58, 59 where 25 are counted"), "1 0 0 p");
    assert_eq!(
        sent("Bits 27, 43, 58, 59 where 24 or 30 are counted"),
        "p 1 0 0"
    );
    let back = read(sent("Eight digits"), "001");
    let text = row(&back.tables, READ, "As four characters");
    assert_eq!(text.value, "SYNC");
    assert!(text.how.starts_with("the flags say this"), "{}", text.how);
}

/// SMPTE ST 309 as SMPTE ST 2059-1 clauses 9.3.1 and 9.3.4 have it; the first two are stamps of
/// real cameras, the others worked out from the layout.
#[test]
fn date_and_zone_go_where_the_standard_has_them() {
    let stamps = [
        ("2024-12-22", "+08:00", "18 24 12 22", "2 2 2 1 4 2 8 1"),
        ("2025-02-16", "+08:00", "18 25 02 16", "6 1 2 0 5 2 8 1"),
        ("2026-10-10", "Z", "00 26 10 10", "0 1 0 1 6 2 0 0"),
        ("2026-10-10", "+02:00", "24 26 10 10", "0 1 0 1 6 2 4 2"),
        ("2026-01-15", "-05:00", "05 26 01 15", "5 1 1 0 6 2 5 0"),
        ("2026-01-15", "+05:30", "3A 26 01 15", "5 1 1 0 6 2 A 3"),
        ("2026-01-15", "+09:30", "2C 26 01 15", "5 1 1 0 6 2 C 2"),
        ("2026-07-04", "−03:30", "0D 26 07 04", "4 0 7 0 6 2 D 0"),
    ];
    for (date, zone, digits, groups) in stamps {
        let answer = written("date-and-zone", |form| {
            form.date = date.into();
            form.zone = zone.into();
        });
        assert_eq!(
            value(&answer.tables, SENT, "Eight digits"),
            digits,
            "{date} {zone}"
        );
        assert_eq!(value(&answer.tables, SENT, "Binary groups 1 to 8"), groups);
        assert_eq!(
            value(&answer.tables, SENT, "Binary group flags BGF2, BGF1, BGF0"),
            "100"
        );
        let back = read(digits, "100");
        let stamp = value(&back.tables, READ, "As ST 309 date and zone");
        let offset = zone.replace('−', "-").replace('Z', "+00:00");
        assert_eq!(stamp, format!("{date}, {offset} from UTC"));
    }
}

/// Modified Julian Dates count days from 1858-11-17: 1970-01-01 is 40587, 1995-10-10 is 50000.
#[test]
fn julian_dates_are_utc() {
    for (date, digits) in [
        ("1858-11-17", "80 00 00 00"),
        ("1970-01-01", "80 04 05 87"),
        ("1995-10-10", "80 05 00 00"),
        ("2000-01-01", "80 05 15 44"),
        ("2024-12-22", "80 06 06 66"),
        ("2026-10-10", "80 06 13 23"),
    ] {
        let answer = written("julian-date-and-zone", |form| form.date = date.into());
        assert_eq!(value(&answer.tables, SENT, "Eight digits"), digits);
        let stamp = value(&answer.tables, READ, "As ST 309 date and zone");
        assert_eq!(stamp, format!("{date}, address in UTC, +00:00 from UTC"));
    }
}

/// Common practice: six digits of a date in one of three orders, and two spare ones.
#[test]
fn typed_dates_are_written_in_their_order_and_read_in_all() {
    for (kind, digits) in [
        ("day-month-year", "25 11 26 A7"),
        ("month-day-year", "11 25 26 A7"),
        ("year-month-day", "26 11 25 A7"),
    ] {
        let answer = written(kind, |form| form.spare = "a7".into());
        assert_eq!(value(&answer.tables, SENT, "Eight digits"), digits);
        assert_eq!(
            value(&answer.tables, SENT, "Binary group flags BGF2, BGF1, BGF0"),
            "000"
        );
    }
    let answer = read("11 12 10 01", "000");
    let date = |order: &str| value(&answer.tables, READ, &format!("As a date typed {order}"));
    assert_eq!(date("DDMMYY"), "2010-12-11, and 01 spare");
    assert_eq!(date("MMDDYY"), "2010-11-12, and 01 spare");
    assert_eq!(date("YYMMDD"), "2011-12-10, and 01 spare");
    let answer = read("25112601", "000");
    assert_eq!(
        value(&answer.tables, READ, "As a date typed MMDDYY"),
        "none"
    );
}

/// The sources of SMPTE ST 309 differ on the flag for summer time: both readings are shown.
#[test]
fn the_flag_for_summer_time_has_two_readings() {
    let answer = read("64 26 07 10", "110");
    let stamp = value(&answer.tables, READ, "As ST 309 date and zone");
    assert!(stamp.contains("+02:00 or +03:00 from UTC"), "{stamp}");
    assert_eq!(
        value(&answer.tables, READ, "ST 309 flag for summer time"),
        "1"
    );
    assert!(
        answer.verdict.contains("the address is clock time"),
        "{}",
        answer.verdict
    );
}

/// SMPTE ST 12-1 table 1, IEC 60461 table 1.
#[test]
fn every_combination_of_flags_has_its_meaning_and_clause() {
    let table = [
        ("000", "free use", "8.4.1", "7.4.2"),
        ("001", "four characters", "8.4.2", "7.4.3"),
        ("010", "clock time", "8.4.3", "7.4.6"),
        ("011", "not to be sent", "8.4.4", "7.4.7"),
        ("100", "date and time zone", "8.4.5", "7.4.4"),
        ("101", "page and line", "8.4.6", "7.4.5"),
        ("110", "clock time", "8.4.7", "7.4.8"),
        ("111", "clock time", "8.4.8", "7.4.9"),
    ];
    for (flags, says, smpte, iec) in table {
        let answer = read("00000000", flags);
        let label = format!("BGF2, BGF1, BGF0 = {flags}, as here");
        let row = row(&answer.tables, "What the flags can say", &label);
        assert!(row.value.contains(says), "{flags}: {}", row.value);
        let clauses = format!("SMPTE ST 12-1 clause {smpte}, IEC 60461 clause {iec}");
        assert_eq!(row.how, clauses);
    }
}

#[test]
fn what_can_not_be_sent_says_why() {
    let wrong = |kind: &str, change: &dyn Fn(&mut UserBitsForm)| {
        let mut form = UserBitsForm {
            user_bits_are: kind.into(),
            ..UserBitsForm::default()
        };
        change(&mut form);
        let answer = user_bits(&form);
        assert_eq!(answer.tables, []);
        assert!(!answer.problems[0].remedy.is_empty());
        answer.problems[0].field.clone()
    };
    assert_eq!(
        wrong("hex", &|form| form.user_bits = "2511260".into()),
        "user_bits"
    );
    assert_eq!(wrong("hex", &|form| form.flags = "2".into()), "flags");
    assert_eq!(
        wrong("characters", &|form| form.characters = "CAM".into()),
        "characters"
    );
    // IEC 60461 clause 7.4.7, SMPTE ST 12-1 clause 8.4.4.
    assert_eq!(
        wrong("characters", &|form| form.clock_time = "yes".into()),
        "clock_time"
    );
    assert_eq!(
        wrong("date-and-zone", &|form| form.zone = "+05:45".into()),
        "zone"
    );
    assert_eq!(
        wrong("date-and-zone", &|form| form.date = "1926-01-01".into()),
        "date"
    );
    assert_eq!(
        wrong("day-month-year", &|form| form.date = "2026-02-29".into()),
        "date"
    );
    assert_eq!(
        wrong("julian-date-and-zone", &|form| form.date =
            "1800-01-01".into()),
        "date"
    );
    assert_eq!(wrong("octal", &|_| ()), "user_bits_are");
}
