//! User bits in every reading, against the tables and stamps of the standards.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use plumbline_timecode::st309::{
    Day, DaylightSaving, OffsetError, Offsets, Stamp, StampError, UtcOffset, ZoneCode, ZoneMeaning,
};
use plumbline_timecode::{
    AddressReference, BinaryGroupFlags, Date, DateOrder, GroupContent, ShortDate, TypedDate,
    UserBits,
};

fn offset(text: &str) -> UtcOffset {
    text.parse().unwrap()
}

/// IEC 60461 table 1, SMPTE ST 12-1 table 1. The clauses stand beside each name in the crate.
#[test]
fn the_flags_mean_what_table_1_says() {
    use AddressReference as A;
    use GroupContent as G;
    let rows = [
        ([0, 0, 0], A::Unspecified, G::Unspecified), // IEC 7.4.2, ST 12-1 8.4.1
        ([0, 0, 1], A::Unspecified, G::Characters),  // IEC 7.4.3, ST 12-1 8.4.2
        ([0, 1, 0], A::ClockTime, G::Unspecified),   // IEC 7.4.6, ST 12-1 8.4.3
        ([0, 1, 1], A::Reserved, G::Reserved),       // IEC 7.4.7, ST 12-1 8.4.4
        ([1, 0, 0], A::Unspecified, G::DateAndZone), // IEC 7.4.4, ST 12-1 8.4.5
        ([1, 0, 1], A::Unspecified, G::PageLine),    // IEC 7.4.5, ST 12-1 8.4.6
        ([1, 1, 0], A::ClockTime, G::DateAndZone),   // IEC 7.4.8, ST 12-1 8.4.7
        ([1, 1, 1], A::ClockTime, G::PageLine),      // IEC 7.4.9, ST 12-1 8.4.8
    ];
    for (index, (row, address, groups)) in rows.into_iter().enumerate() {
        let flags = row.map(|flag| flag == 1);
        let read = BinaryGroupFlags::from_flags(flags);
        assert_eq!(
            (read.address(), read.groups()),
            (address, groups),
            "{row:?}"
        );
        assert_eq!(read.flags(), flags);
        assert_eq!(usize::from(read.bits()), index);
        assert_eq!(BinaryGroupFlags::ALL[index], read);
        assert_eq!([read.bgf2(), read.bgf1(), read.bgf0()], flags);
    }
}

#[test]
fn groups_and_digits() {
    let bits = UserBits(0x8765_4321);
    assert_eq!(bits.groups(), [1, 2, 3, 4, 5, 6, 7, 8]);
    assert_eq!(UserBits::from_groups(bits.groups()), Ok(bits));
    assert_eq!(
        (bits.group(0), bits.group(1), bits.group(8), bits.group(9)),
        (None, Some(1), Some(8), None)
    );
    assert_eq!(
        UserBits::from_groups([0, 16, 0, 0, 0, 0, 0, 0])
            .unwrap_err()
            .to_string(),
        "binary group 2 is 16, but four bits hold 0 to 15"
    );
    assert_eq!(UserBits(0xAB).to_string(), "000000AB");
    for typed in ["87654321", "87 65 43 21", "87:65:43:21", "87-65-43-21"] {
        assert_eq!(typed.parse(), Ok(bits), "{typed}");
    }
    for (typed, text) in [
        ("8765432", "user bits have eight digits, not 7"),
        ("876543210", "user bits have eight digits, not 9"),
        ("8765432G", "'G' is not one of the digits 0 to 9 and A to F"),
    ] {
        assert_eq!(typed.parse::<UserBits>().unwrap_err().to_string(), text);
    }
}

/// IEC 60461 clause 7.4.3, SMPTE ST 12-1 clause 8.4.2: the first character in groups 7 and 8.
#[test]
fn four_characters() {
    let bits = UserBits::from_text("SYNC").unwrap();
    assert_eq!(bits.groups(), [0x3, 0x4, 0xE, 0x4, 0x9, 0x5, 0x3, 0x5]);
    assert_eq!(bits.text().as_deref(), Some("SYNC"));
    assert_eq!(bits.characters(), *b"SYNC");
    assert_eq!(UserBits(0x0011_2233).text(), None);
    assert_eq!(UserBits(0xE9E9_E9E9).text(), None);
    for (text, message) in [
        (
            "CAM",
            "user bits hold four characters, not 3: fill up with blanks",
        ),
        (
            "CAM 1",
            "user bits hold four characters, not 5: fill up with blanks",
        ),
        (
            "CAMÉ",
            "'É' cannot be sent: letters, digits, blanks and signs of ISO 646 can",
        ),
    ] {
        assert_eq!(UserBits::from_text(text).unwrap_err().to_string(), message);
    }
}

/// Trade practice, from memory: six decimal digits as typed, then two to spare.
#[test]
fn typed_dates_in_three_orders() {
    let date = ShortDate::new(26, 11, 25).unwrap();
    for (order, bits) in [
        (DateOrder::DayMonthYear, UserBits(0x2511_2601)),
        (DateOrder::MonthDayYear, UserBits(0x1125_2601)),
        (DateOrder::YearMonthDay, UserBits(0x2611_2501)),
    ] {
        let typed = TypedDate {
            order,
            date,
            spare: 0x01,
        };
        assert_eq!(UserBits::from(typed), bits, "{order}");
        assert_eq!(bits.typed_date(order), Ok(typed), "{order}");
    }
    let orders = |bits| {
        UserBits(bits)
            .typed_dates()
            .map(|typed| typed.order)
            .collect::<Vec<_>>()
    };
    assert_eq!(orders(0x1011_1200), DateOrder::ALL);
    assert_eq!(
        orders(0x2511_2601),
        [DateOrder::DayMonthYear, DateOrder::YearMonthDay]
    );
    assert_eq!(orders(0x2513_9900), []);
    assert_eq!(orders(0x0000_0000), []);
    assert_eq!(orders(0x1A10_1000), []);
    assert_eq!(
        UserBits(0x2902_2700)
            .typed_date(DateOrder::DayMonthYear)
            .unwrap_err()
            .to_string(),
        "read as DDMMYY: month 02 has no day 29: 01 to 28"
    );
}

/// SMPTE ST 309:2012 layout, with SMPTE ST 2059-1 clauses 9.3.1 and 9.3.4. The first two are
/// stamps that cameras wrote; the others follow from the tables.
#[test]
fn stamps_of_st_309() {
    let rows = [
        ((24, 12, 22), "+08:00", 0x1824_1222),
        ((25, 2, 16), "+08:00", 0x1825_0216),
        ((26, 10, 10), "Z", 0x0026_1010),
        ((26, 10, 10), "+02:00", 0x2426_1010),
        ((26, 1, 15), "-05:00", 0x0526_0115),
        ((26, 1, 15), "+05:30", 0x3A26_0115),
        ((26, 1, 15), "+09:30", 0x2C26_0115),
        ((26, 7, 4), "-03:30", 0x0D26_0704),
    ];
    for ((year, month, day), zone, bits) in rows {
        let day = Day::Local(ShortDate::new(year, month, day).unwrap());
        let stamp = Stamp::new(day, offset(zone)).unwrap();
        assert_eq!(stamp.user_bits(), Ok(UserBits(bits)), "{day} {zone}");
        assert_eq!(Stamp::read(UserBits(bits)), Ok(stamp), "{bits:08X}");
        assert_eq!(stamp.offsets(), Offsets::One(offset(zone)), "{bits:08X}");
    }
    // Groups 1 to 8 of the first, as SMPTE ST 309 numbers them.
    assert_eq!(UserBits(0x1824_1222).groups(), [2, 2, 2, 1, 4, 2, 8, 1]);

    let day = Day::Utc(Date::new(2026, 10, 10).unwrap());
    let stamp = Stamp::new(day, UtcOffset::UTC).unwrap();
    assert_eq!(stamp.user_bits(), Ok(UserBits(0x8006_1323)));
    assert_eq!(Stamp::read(UserBits(0x8006_1323)), Ok(stamp));
}

/// SMPTE ST 309:2012 table 2, written out again row by row.
#[test]
fn every_zone_code() {
    let whole = [
        (0x00, "Z"),
        (0x01, "-1"),
        (0x02, "-2"),
        (0x03, "-3"),
        (0x04, "-4"),
        (0x05, "-5"),
        (0x06, "-6"),
        (0x07, "-7"),
        (0x08, "-8"),
        (0x09, "-9"),
        (0x10, "-10"),
        (0x11, "-11"),
        (0x12, "-12"),
        (0x13, "+13"),
        (0x14, "+12"),
        (0x15, "+11"),
        (0x16, "+10"),
        (0x17, "+9"),
        (0x18, "+8"),
        (0x19, "+7"),
        (0x20, "+6"),
        (0x21, "+5"),
        (0x22, "+4"),
        (0x23, "+3"),
        (0x24, "+2"),
        (0x25, "+1"),
    ];
    let half = [
        (0x0A, "-0:30"),
        (0x0B, "-1:30"),
        (0x0C, "-2:30"),
        (0x0D, "-3:30"),
        (0x0E, "-4:30"),
        (0x0F, "-5:30"),
        (0x1A, "-6:30"),
        (0x1B, "-7:30"),
        (0x1C, "-8:30"),
        (0x1D, "-9:30"),
        (0x1E, "-10:30"),
        (0x1F, "-11:30"),
        (0x3F, "+0:30"),
        (0x3E, "+1:30"),
        (0x3D, "+2:30"),
        (0x3C, "+3:30"),
        (0x3B, "+4:30"),
        (0x3A, "+5:30"),
        (0x2F, "+6:30"),
        (0x2E, "+7:30"),
        (0x2D, "+8:30"),
        (0x2C, "+9:30"),
        (0x2B, "+10:30"),
        (0x2A, "+11:30"),
        (0x32, "+12:45"),
    ];
    let table: Vec<_> = whole.into_iter().chain(half).collect();
    let mut offsets = 0;
    for code in ZoneCode::all() {
        let row = table.iter().find(|(listed, _)| *listed == code.code());
        match (code.meaning(), row) {
            (ZoneMeaning::Offset(got), Some((_, text))) => {
                assert_eq!(got, offset(text), "{code}");
                assert_eq!(ZoneCode::for_offset(got), Ok(code));
                offsets += 1;
            }
            (meaning, row) => {
                assert_eq!(row, None, "{code} is {meaning:?}");
                assert!(!matches!(meaning, ZoneMeaning::Offset(_)), "{code}");
            }
        }
    }
    assert_eq!(offsets, table.len());
    // From memory: 28 to 31 tell how precise the time is, 38 and 39 that no code tells the zone.
    let meaning = |wanted| {
        ZoneCode::all()
            .find(|code| code.code() == wanted)
            .unwrap()
            .meaning()
    };
    for code in [0x28, 0x29, 0x30, 0x31] {
        assert_eq!(meaning(code), ZoneMeaning::Precision);
    }
    assert_eq!(meaning(0x38), ZoneMeaning::UserDefined);
    assert_eq!(meaning(0x39), ZoneMeaning::Unknown);
    for code in [0x26, 0x27, 0x33, 0x34, 0x35, 0x36, 0x37] {
        assert_eq!(meaning(code), ZoneMeaning::Reserved);
    }
}

#[test]
fn zones_without_a_code_are_refused() {
    let day = Day::Local(ShortDate::new(26, 10, 10).unwrap());
    for zone in ["+05:45", "+08:45", "+14:00", "-12:30", "+12:30", "+00:01"] {
        let refused = Stamp::new(day, offset(zone)).unwrap_err();
        assert_eq!(
            refused,
            StampError::Offset(OffsetError::NoCode(offset(zone)))
        );
        assert!(
            refused
                .to_string()
                .starts_with(&format!("{zone} has no code")),
            "{refused}"
        );
    }
    for text in [
        "", "2", "+", "+2:", "+2:60", "+002", "++2", "+2:+3", "24:00",
    ] {
        assert_eq!(
            text.parse::<UtcOffset>(),
            Err(OffsetError::Unreadable),
            "{text}"
        );
    }
    assert!("+24:00".parse::<UtcOffset>().is_err());
    assert_eq!(offset("-03:30").to_string(), "-03:30");
    assert_eq!(offset("+5:30").as_minutes(), 330);
}

/// The text of SMPTE ST 309 was not to be had, and its readers differ on the flag: both readings
/// are given.
#[test]
fn the_flag_for_daylight_saving_time_is_not_settled_for_the_reader() {
    let stamp = Stamp::read(UserBits(0x6526_0704)).unwrap();
    assert_eq!(stamp.daylight_saving, DaylightSaving::Marked);
    assert_eq!(stamp.zone.code(), 0x25);
    let either = Offsets::Either {
        as_coded: offset("+1"),
        hour_added: offset("+2"),
    };
    assert_eq!(stamp.offsets(), either);
    assert_eq!(stamp.user_bits(), Ok(UserBits(0x6526_0704)));
    // What we write is the offset in force, unmarked.
    assert_eq!(
        Stamp::new(stamp.day, offset("+2")).unwrap().user_bits(),
        Ok(UserBits(0x2426_0704))
    );
}

#[test]
fn what_is_no_stamp_is_told() {
    for (bits, text) in [
        (
            0x0026_10A0,
            "binary group 2 is A, but the date there has decimal digits",
        ),
        (0x0026_1310, "there is no month 13: 01 to 12"),
        (0x0027_0229, "month 02 has no day 29: 01 to 28"),
        (
            0x80F0_0000,
            "binary group 6 is F, but the date there has decimal digits",
        ),
    ] {
        assert_eq!(Stamp::read(UserBits(bits)).unwrap_err().to_string(), text);
    }
    let early = Day::Utc(Date::new(1858, 11, 16).unwrap());
    assert_eq!(
        Stamp::new(early, UtcOffset::UTC).unwrap_err().to_string(),
        "1858-11-16 has no Modified Julian Date of six digits: 1858-11-17 to 4596-10-12 have"
    );
    assert_eq!(
        Stamp::read(UserBits(0x3926_1010)).unwrap().offsets(),
        Offsets::None
    );
}

/// Days since 1858-11-17, which the Unix epoch is 40587 of: the figures by arithmetic from that.
#[test]
fn modified_julian_days() {
    for ((year, month, day), days) in [
        ((1858, 11, 17), 0),
        ((1970, 1, 1), 40_587),
        ((1995, 10, 10), 50_000),
        ((2000, 1, 1), 51_544),
        ((2024, 12, 22), 60_666),
        ((2026, 10, 10), 61_323),
        ((4596, 10, 12), 999_999),
    ] {
        let date = Date::new(year, month, day).unwrap();
        assert_eq!(date.modified_julian_day(), Some(days), "{date}");
        assert_eq!(Date::from_modified_julian_day(days), Ok(date));
    }
    assert_eq!(Date::new(1858, 11, 16).unwrap().modified_julian_day(), None);
    assert!(Date::from_modified_julian_day(u32::MAX).is_err());
}

/// The Gregorian rule stepped day by day.
#[test]
fn every_day_of_the_calendar_both_ways() {
    let (mut year, mut month, mut day) = (1858, 11, 17);
    let mut days = 0;
    while year < 10_000 {
        let date = Date::new(year, month, day).unwrap();
        assert_eq!(date.modified_julian_day(), Some(days), "{date}");
        assert_eq!(Date::from_modified_julian_day(days), Ok(date));
        assert_eq!(
            date.short().in_century(u8::try_from(year / 100).unwrap()),
            Ok(date),
            "the short form of {date}"
        );
        days += 1;
        day += 1;
        if Date::new(year, month, day).is_err() {
            day = 1;
            month += 1;
        }
        if month == 13 {
            month = 1;
            year += 1;
        }
    }
    assert_eq!(days, 2_973_484);
    assert!(Date::from_modified_julian_day(days).is_err());
    // Leap years by name, since the loop asks the crate where a month ends.
    for (year, leap) in [
        (1900, false),
        (2000, true),
        (2024, true),
        (2025, false),
        (2100, false),
    ] {
        assert_eq!(Date::new(year, 2, 29).is_ok(), leap, "{year}");
    }
    for (month, last) in [
        (1, 31),
        (2, 28),
        (3, 31),
        (4, 30),
        (5, 31),
        (6, 30),
        (7, 31),
        (8, 31),
        (9, 30),
        (10, 31),
        (11, 30),
        (12, 31),
    ] {
        assert!(Date::new(2025, month, last).is_ok() && Date::new(2025, month, last + 1).is_err());
    }
}
