//! Exact real time and samples against the figures of the standards and what follows from them.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use plumbline_timecode::{
    Count, Fraction, FrameNumber, Frames, Rate, RealTimeError, Rounding, SampleRate, Samples,
    Seconds, TimeAddress, Timebase,
};

fn timebase(rate: Rate, count: Count) -> Timebase {
    Timebase::new(rate, count).unwrap()
}

fn address(text: &str, count: Count) -> TimeAddress {
    TimeAddress::parse(text, count).unwrap()
}

/// The fraction that a decimal is.
fn decimal(text: &str) -> Fraction {
    let (whole, places) = text.split_once('.').unwrap_or((text, ""));
    let numerator = format!("{whole}{places}").parse().unwrap();
    Fraction::new(numerator, 10_i128.pow(u32::try_from(places.len()).unwrap())).unwrap()
}

/// SMPTE ST 12-1:2014, scope, and SMPTE ST 12-3: each rate is a whole number, or one over 1.001.
#[test]
fn the_thirteen_rates_are_exact() {
    let expected = [
        ("23.976", 24_000, 1001, 24),
        ("24", 24, 1, 24),
        ("25", 25, 1, 25),
        ("29.97", 30_000, 1001, 30),
        ("30", 30, 1, 30),
        ("47.952", 48_000, 1001, 48),
        ("48", 48, 1, 48),
        ("50", 50, 1, 50),
        ("59.94", 60_000, 1001, 60),
        ("60", 60, 1, 60),
        ("100", 100, 1, 100),
        ("119.88", 120_000, 1001, 120),
        ("120", 120, 1, 120),
    ];
    for (rate, (name, numerator, denominator, nominal)) in Rate::ALL.into_iter().zip(expected) {
        assert_eq!(
            rate.fraction(),
            Fraction::new(numerator, denominator).unwrap()
        );
        assert_eq!((rate.name(), rate.nominal()), (name, nominal));
        assert_eq!(name.parse(), Ok(rate));
        assert_eq!(format!("{numerator}/{denominator}").parse(), Ok(rate));
        assert_eq!(Rate::from_fraction(rate.fraction()), Some(rate));
    }
    assert_eq!("23.98".parse(), Ok(Rate::F23_976));
    assert_eq!("50/2".parse(), Ok(Rate::F25));
    for wrong in ["", "26", "25/0", "25/", "/", "-25", "2997", "NaN", "1/0"] {
        assert!(wrong.parse::<Rate>().is_err(), "{wrong}");
    }
}

/// IEC 60461 clause A.3 and SMPTE ST 2059-1 clause 8.2: 1601.6 samples, 8008 in five frames.
#[test]
fn a_frame_in_samples() {
    let hertz = |hertz| SampleRate::hertz(hertz).unwrap();
    for (rate, at_48000, at_44100) in [
        (Rate::F23_976, "2002", "1839.3375"),
        (Rate::F24, "2000", "1837.5"),
        (Rate::F25, "1920", "1764"),
        (Rate::F29_97, "1601.6", "1471.47"),
        (Rate::F30, "1600", "1470"),
    ] {
        assert_eq!(
            rate.samples(Frames(1), hertz(48_000)).0,
            decimal(at_48000),
            "{rate}"
        );
        assert_eq!(
            rate.samples(Frames(1), hertz(44_100)).0,
            decimal(at_44100),
            "{rate}"
        );
    }
    assert_eq!(
        Rate::F29_97.samples(Frames(5), hertz(48_000)),
        Samples::whole(8008)
    );
}

/// Rate, address, frames since midnight, then samples since midnight at 48000, 48048 and 44100 Hz.
///
/// IEC 60461 clause A.3 and EBU Tech 3285 (time reference): frames since midnight over the rate,
/// by the sample rate; the figures by arithmetic.
const SINCE_MIDNIGHT: &str = "
    24      01:00:00:00    86400   172800000     172972800       158760000
    25      01:00:00:00    90000   172800000     172972800       158760000
    30      01:00:00:00   108000   172800000     172972800       158760000
    23.976  01:00:00:00    86400   172972800     173145772.8     158918760
    29.97   01:00:00:00   108000   172972800     173145772.8     158918760
    29.97   01:00:00;00   107892   172799827.2   172972627.0272  158759841.24
    25      10:00:00:00   900000   1728000000    1729728000      1587600000
    23.976  12:34:56:12  1087116   2176406232
    29.97   12:34:56;12  1357534   2174226454.4
    23.976  23:59:59:23  2073599   4151345198
    29.97   23:59:59;29  2589407   4147194251.2
    25      23:59:59:24  2159999   4147198080    4151345278.08   3810238236
";

#[test]
fn samples_since_midnight() {
    let mut checked = 0;
    for row in SINCE_MIDNIGHT.trim().lines() {
        let mut columns = row.split_whitespace();
        let rate: Rate = columns.next().unwrap().parse().unwrap();
        let text = columns.next().unwrap();
        let count = if text.contains(';') {
            rate.drop_count().unwrap()
        } else {
            rate.count()
        };
        let (timebase, address) = (timebase(rate, count), address(text, count));
        assert_eq!(
            address.frame_number().to_string(),
            columns.next().unwrap(),
            "{row}"
        );
        for (hertz, samples) in [48_000, 48_048, 44_100].into_iter().zip(columns) {
            let sample_rate = SampleRate::hertz(hertz).unwrap();
            let got = timebase.samples_at(address, sample_rate).unwrap();
            assert_eq!(got.0, decimal(samples), "{hertz} Hz: {row}");
            // What a file holds is rounded, and must still name the frame.
            let stamp = Samples::whole(got.round(Rounding::Nearest).try_into().unwrap());
            let back = timebase.address_at_samples(stamp, sample_rate, Rounding::Nearest);
            assert_eq!(back, Ok(address), "{hertz} Hz: {row}");
            checked += 1;
        }
    }
    assert_eq!(checked, 28);
}

/// The same at 48000/1.001, where pulled-down frames are whole samples again.
#[test]
fn samples_since_midnight_at_a_pulled_sample_rate() {
    let pulled = SampleRate::hertz(48_000).unwrap().pulled_down().unwrap();
    for (rate, count, text, expected) in [
        (Rate::F23_976, Count::F24, "01:00:00:00", 172_800_000),
        (Rate::F29_97, Count::F30, "01:00:00:00", 172_800_000),
        (Rate::F29_97, Count::F30Drop, "01:00:00;00", 172_627_200),
        (Rate::F23_976, Count::F24, "12:34:56:12", 2_174_232_000),
        (Rate::F29_97, Count::F30Drop, "12:34:56;12", 2_172_054_400),
        (Rate::F23_976, Count::F24, "23:59:59:23", 4_147_198_000),
        (Rate::F29_97, Count::F30Drop, "23:59:59;29", 4_143_051_200),
    ] {
        let got = timebase(rate, count)
            .samples_at(address(text, count), pulled)
            .unwrap();
        assert_eq!(got, Samples::whole(expected), "{text} at {rate}");
    }
    // An hour at 25 is no whole number there: 172627372.627372...
    let hour = timebase(Rate::F25, Count::F25);
    let got = hour
        .samples_at(address("01:00:00:00", Count::F25), pulled)
        .unwrap();
    assert_eq!(got.0, Fraction::new(172_800_000_000, 1001).unwrap());
    assert_eq!(got.round(Rounding::Down), 172_627_372);
    assert_eq!(got.round(Rounding::Nearest), 172_627_373);
}

/// Pulled down and up again: the stamp stays and only the names of the rates change.
#[test]
fn a_stamp_survives_pull_down_and_pull_up() {
    let hertz = |hertz| SampleRate::hertz(hertz).unwrap();
    let hour = address("01:00:00:00", Count::F24);
    let (film, video) = (
        timebase(Rate::F24, Count::F24),
        timebase(Rate::F23_976, Count::F24),
    );

    let stamp = film.samples_at(hour, hertz(48_048)).unwrap();
    assert_eq!(stamp, Samples::whole(172_972_800));
    assert_eq!(video.samples_at(hour, hertz(48_000)), Ok(stamp));
    assert_eq!(hertz(48_048).pulled_down(), Ok(hertz(48_000)));
    assert_eq!(hertz(48_000).pulled_up(), Ok(hertz(48_048)));

    let slow = hertz(48_000).pulled_down().unwrap();
    let stamp = video.samples_at(hour, slow).unwrap();
    assert_eq!(stamp, Samples::whole(172_800_000));
    assert_eq!(film.samples_at(hour, hertz(48_000)), Ok(stamp));

    // Read as if it were at 24.000, a stamp at 23.976 is 3.6 s late.
    let misread = film.address_at_samples(
        Samples::whole(172_972_800),
        hertz(48_000),
        Rounding::Nearest,
    );
    assert_eq!(misread, Ok(address("01:00:03:14", Count::F24)));
}

/// EBU Tech 3285 keeps the time reference in two halves of 32 bits; the upper one is needed at
/// 96 kHz from 12:25:39.24 on.
#[test]
fn stamps_past_32_bits() {
    let (base, rate) = (
        timebase(Rate::F25, Count::F25),
        SampleRate::hertz(96_000).unwrap(),
    );
    let last = base
        .samples_at(address("23:59:59:24", Count::F25), rate)
        .unwrap();
    assert_eq!(last, Samples::whole(8_294_396_160));
    assert_eq!(last.round(Rounding::Nearest), (1 << 32) + 3_999_428_864);
    let step = Samples::whole(1 << 32).seconds(rate).unwrap();
    assert_eq!(
        base.address_at(step, Rounding::Down),
        Ok(address("12:25:39:06", Count::F25))
    );
}

/// SMPTE ST 2059-1 clause 9.3.3.4 and IEC 60461 clause 4.2.3: -3.6 ms an hour, -86.4 ms a day.
#[test]
fn what_an_hour_and_a_day_of_drop_frame_really_last() {
    let seconds = |text| Seconds(decimal(text));
    for (rate, count) in [
        (Rate::F29_97, Count::F30Drop),
        (Rate::F59_94, Count::F60Drop),
        (Rate::F119_88, Count::F120Drop),
    ] {
        let day = i64::from(count.frames_per_day());
        assert_eq!(
            rate.seconds(Frames(day / 24)),
            seconds("3599.9964"),
            "{rate}"
        );
        assert_eq!(rate.seconds(Frames(day)), seconds("86399.9136"), "{rate}");
    }
    assert_eq!(Rate::F29_97.seconds(Frames(108_000)), seconds("3603.6"));
    assert_eq!(Rate::F23_976.seconds(Frames(86_400)), seconds("3603.6"));
    let day = i64::from(Count::F30.frames_per_day());
    assert_eq!(Rate::F29_97.seconds(Frames(day)), seconds("86486.4"));
}

/// By arithmetic from IEC 60461 clause 4.2.3: how far an address that is not compensated lags.
#[test]
fn what_an_uncompensated_address_reads_after_real_time() {
    let after = |rate, count, seconds: i64| {
        let time = Seconds(Fraction::whole(seconds));
        timebase(rate, count)
            .address_at(time, Rounding::Down)
            .unwrap()
            .to_string()
    };
    assert_eq!(after(Rate::F29_97, Count::F30, 3600), "00:59:56:12");
    assert_eq!(after(Rate::F23_976, Count::F24, 3600), "00:59:56:09");
    assert_eq!(after(Rate::F29_97, Count::F30, 86_400), "23:58:33:20");
    assert_eq!(after(Rate::F23_976, Count::F24, 86_400), "23:58:33:16");
    // Drop-frame at 30.000 runs ahead instead.
    assert_eq!(after(Rate::F30, Count::F30Drop, 3600), "01:00:03;18");
}

/// By arithmetic: within ten minutes a drop-frame address is up to two frames from the clock.
#[test]
fn how_far_a_drop_frame_address_strays_from_the_clock() {
    let base = timebase(Rate::F29_97, Count::F30Drop);
    let stray = |number| {
        let address = TimeAddress::from_frame_number(Count::F30Drop, FrameNumber(number)).unwrap();
        let real = base.seconds_at(address).unwrap();
        let [m, s, f] = [address.minutes(), address.seconds(), address.frames()].map(i64::from);
        let named = Fraction::new(i128::from((m * 60 + s) * 30 + f), 30).unwrap();
        (
            Seconds(real.0.checked_sub(named).unwrap()),
            address.to_string(),
        )
    };
    let all: Vec<_> = (0..17_982).map(stray).collect();
    let (first, last) = (all.iter().min().unwrap(), all.iter().max().unwrap());
    let nanoseconds = |seconds: Seconds| seconds.nanoseconds(Rounding::Nearest).unwrap();
    assert_eq!(
        (nanoseconds(first.0), &*first.1),
        (-60_533_333, "00:09:00;02")
    );
    assert_eq!((nanoseconds(last.0), &*last.1), (59_966_667, "00:00:59;29"));
}

#[test]
fn rounding_is_as_named_on_both_sides_of_midnight() {
    for (numerator, down, nearest, up) in [
        (7, 1, 2, 2),
        (6, 1, 2, 2),
        (5, 1, 1, 2),
        (4, 1, 1, 1),
        (-5, -2, -1, -1),
        (-6, -2, -1, -1),
    ] {
        let quarters = Fraction::new(numerator, 4).unwrap();
        assert_eq!(quarters.round(Rounding::Down), down, "{quarters}");
        assert_eq!(quarters.round(Rounding::Nearest), nearest, "{quarters}");
        assert_eq!(quarters.round(Rounding::Up), up, "{quarters}");
    }
}

#[test]
fn times_outside_the_day_and_addresses_of_other_counts_are_refused() {
    let base = timebase(Rate::F25, Count::F25);
    let before = base.address_at(Seconds::from_nanoseconds(-40_000_000), Rounding::Nearest);
    assert_eq!(
        before.unwrap_err().to_string(),
        "frame -1 since midnight is outside the day, which has frames 0 to 2159999 at 25 frames a \
         second"
    );
    assert!(
        base.address_at(Seconds(Fraction::whole(86_400)), Rounding::Down)
            .is_err()
    );
    let huge = Seconds(Fraction::new(i128::MAX, 3).unwrap());
    assert_eq!(
        base.address_at(huge, Rounding::Down),
        Err(RealTimeError::TooLarge)
    );
    let other = address("01:00:00:00", Count::F24);
    let error = base.seconds_at(other).unwrap_err();
    assert_eq!(
        error.to_string(),
        "01:00:00:00 is counted as 24, but the timebase counts 25"
    );
}

#[test]
fn sample_rates_that_are_none_are_refused() {
    assert!(SampleRate::hertz(0).is_err());
    assert!(SampleRate::new(Fraction::whole(-1)).is_err());
    assert!(SampleRate::new(Fraction::whole(1 << 32)).is_err());
    assert!(SampleRate::new(Fraction::new(1, 1 << 21).unwrap()).is_err());
    assert!(SampleRate::hertz(u32::MAX).unwrap().pulled_up().is_err());
    let pulled = SampleRate::hertz(48_000).unwrap().pulled_down().unwrap();
    assert!((pulled.as_f64() - 47_952.047_952_047_95).abs() < 1e-9);
    // However often it is pulled, it is right or refused.
    let mut rate = SampleRate::hertz(48_000);
    for _ in 0..10 {
        rate = rate.and_then(SampleRate::pulled_down);
    }
    assert!(rate.is_err());
}
