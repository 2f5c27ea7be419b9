//! Drop-frame counting against the figures of the standards.

use plumbline_timecode::{Count, FrameNumber, Frames, Rate, TimeAddress, Timebase};

/// SMPTE ST 2059-1 clause 9.3.3.4, as it is printed there.
fn st2059(hours: u32, minutes: u32, seconds: u32, frames: u32) -> u32 {
    frames + 30 * seconds + 1798 * minutes + 2 * (minutes / 10) + 107_892 * hours
}

#[test]
fn the_sum_of_st_2059_1_gives_every_frame_number() {
    let mut checked = 0;
    for number in 0..Count::F30Drop.frames_per_day() {
        let address = TimeAddress::from_frame_number(Count::F30Drop, FrameNumber(number)).unwrap();
        let [h, m, s, f] = [
            address.hours(),
            address.minutes(),
            address.seconds(),
            address.frames(),
        ];
        assert_eq!(
            st2059(h.into(), m.into(), s.into(), f.into()),
            number,
            "{address}"
        );
        checked += 1;
    }
    assert_eq!(checked, 2_589_408);
}

/// IEC 60461 clause 4.2.3: where the numbers step over the gap and where they do not.
#[test]
fn roll_overs() {
    const ROWS: [(Count, u32, &str); 14] = [
        (Count::F30Drop, 1799, "00:00:59;29"),
        (Count::F30Drop, 1800, "00:01:00;02"),
        (Count::F30Drop, 17_981, "00:09:59;29"),
        (Count::F30Drop, 17_982, "00:10:00;00"),
        (Count::F30Drop, 107_891, "00:59:59;29"),
        (Count::F30Drop, 107_892, "01:00:00;00"),
        (Count::F30Drop, 2_589_407, "23:59:59;29"),
        (Count::F60Drop, 3599, "00:00:59;59"),
        (Count::F60Drop, 3600, "00:01:00;04"),
        (Count::F60Drop, 35_963, "00:09:59;59"),
        (Count::F60Drop, 35_964, "00:10:00;00"),
        (Count::F60Drop, 215_784, "01:00:00;00"),
        (Count::F60Drop, 5_178_815, "23:59:59;59"),
        (Count::F120Drop, 7200, "00:01:00;008"),
    ];
    for (count, number, expected) in ROWS {
        let address = TimeAddress::from_frame_number(count, FrameNumber(number)).unwrap();
        assert_eq!(address.to_string(), expected, "frame {number}");
        assert_eq!(TimeAddress::parse(expected, count), Ok(address));
    }
    let last = TimeAddress::parse("23:59:59;29", Count::F30Drop).unwrap();
    assert_eq!(
        last.plus_wrapping(Frames(1)),
        TimeAddress::midnight(Count::F30Drop)
    );
    assert!(TimeAddress::from_frame_number(Count::F30Drop, FrameNumber(2_589_408)).is_err());
}

/// IEC 60461 clause 4.2.3, and by arithmetic at twice and four times the rate.
#[test]
fn how_many_numbers_are_dropped() {
    for (count, minute, ten_minutes, day, dropped_a_day) in [
        (Count::F30Drop, 2, 17_982, 2_589_408, 2592),
        (Count::F60Drop, 4, 35_964, 5_178_816, 5184),
        (Count::F120Drop, 8, 71_928, 10_357_632, 10_368),
    ] {
        assert_eq!(count.dropped_per_minute(), minute);
        assert_eq!(count.frames_per_ten_minutes(), ten_minutes);
        assert_eq!(count.frames_per_day(), day);
        assert_eq!(count.without_drop().frames_per_day() - day, dropped_a_day);
    }
}

/// IEC 60461 clause 4.2.3: the dropped numbers do not exist.
#[test]
fn skipped_numbers_cannot_be_built() {
    for (count, dropped) in [
        (Count::F30Drop, 2),
        (Count::F60Drop, 4),
        (Count::F120Drop, 8),
    ] {
        for minutes in 0..60 {
            for frames in 0..=dropped {
                let built = TimeAddress::new(count, 7, minutes, 0, frames);
                let exists = minutes % 10 == 0 || frames == dropped;
                assert_eq!(
                    built.is_ok(),
                    exists,
                    "{count}: minute {minutes}, frame {frames}"
                );
                assert!(TimeAddress::new(count, 7, minutes, 1, frames).is_ok());
            }
        }
    }
    let error = TimeAddress::new(Count::F30Drop, 0, 1, 0, 0).unwrap_err();
    assert_eq!(
        error.to_string(),
        "00:01:00;00 is skipped by drop-frame counting: the frame after 00:00:59;29 is 00:01:00;02"
    );
}

/// IEC 60461 clauses 5.2 and 6.2: no drop-frame at 24 and 25, so none at their multiples; at
/// 30.000 it is read and written, and named as unusual.
#[test]
fn drop_frame_is_where_the_standard_has_it_and_named_where_it_is_not() {
    let mut with_drop = Vec::new();
    let mut unusual = Vec::new();
    for timebase in Timebase::all() {
        if timebase.count().is_drop() {
            with_drop.push(timebase.rate());
        }
        if timebase.is_unusual() {
            unusual.push(timebase.rate());
        }
    }
    let [f30, f60, f120] = [Rate::F30, Rate::F60, Rate::F120];
    assert_eq!(
        with_drop,
        [Rate::F29_97, f30, Rate::F59_94, f60, Rate::F119_88, f120]
    );
    assert_eq!(unusual, [f30, f60, f120]);
}

#[test]
fn a_rate_takes_its_own_counts_only() {
    let mut accepted = 0;
    for rate in Rate::ALL {
        for count in Count::ALL {
            let goes = rate.nominal() == count.frames_per_second();
            assert_eq!(
                Timebase::new(rate, count).is_ok(),
                goes,
                "{rate} counted as {count}"
            );
            accepted += u32::from(goes);
        }
    }
    assert_eq!(accepted, 19);
    assert_eq!(
        Timebase::new(Rate::F25, Count::F30Drop)
            .unwrap_err()
            .to_string(),
        "25 frames a second cannot be counted as 30 drop-frame: count 25"
    );
    assert_eq!(
        Timebase::new(Rate::F29_97, Count::F25)
            .unwrap_err()
            .to_string(),
        "29.97 frames a second cannot be counted as 25: count 30 or 30 drop-frame"
    );
}
