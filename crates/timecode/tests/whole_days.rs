//! Every frame of the day, in every count, against the counting rule stepped by hand.

use plumbline_timecode::{Count, FrameNumber, Frames, TimeAddress};

/// A second opinion that shares nothing with the crate: the digits go up by one, and what
/// IEC 60461 clause 4.2.3 says is skipped is skipped.
#[derive(Clone, Copy)]
struct Digits {
    hours: u8,
    minutes: u8,
    seconds: u8,
    frames: u8,
}

impl Digits {
    fn step(&mut self, frames_per_second: u8, dropped: u8) {
        self.frames += 1;
        if self.frames == frames_per_second {
            self.frames = 0;
            self.seconds += 1;
        }
        if self.seconds == 60 {
            self.seconds = 0;
            self.minutes += 1;
            if ![0, 10, 20, 30, 40, 50, 60].contains(&self.minutes) {
                self.frames = dropped;
            }
        }
        if self.minutes == 60 {
            self.minutes = 0;
            self.hours += 1;
        }
        if self.hours == 24 {
            self.hours = 0;
        }
    }
}

/// Count, frames a second, dropped numbers in a minute, frames in a day: IEC 60461 clause 4.2.3
/// and SMPTE ST 2059-1 clause 9.3.3.4 for 30; twice and four times as many above.
const DAYS: [(Count, u8, u8, u32); 11] = [
    (Count::F24, 24, 0, 2_073_600),
    (Count::F25, 25, 0, 2_160_000),
    (Count::F30, 30, 0, 2_592_000),
    (Count::F30Drop, 30, 2, 2_589_408),
    (Count::F48, 48, 0, 4_147_200),
    (Count::F50, 50, 0, 4_320_000),
    (Count::F60, 60, 0, 5_184_000),
    (Count::F60Drop, 60, 4, 5_178_816),
    (Count::F100, 100, 0, 8_640_000),
    (Count::F120, 120, 0, 10_368_000),
    (Count::F120Drop, 120, 8, 10_357_632),
];

#[test]
fn every_frame_of_every_day_has_the_address_that_the_rule_gives_and_back() {
    assert_eq!(DAYS.map(|(count, ..)| count), Count::ALL);
    for (count, frames_per_second, dropped, day) in DAYS {
        assert_eq!(count.frames_per_day(), day, "{count}");
        let mut expected = Digits {
            hours: 0,
            minutes: 0,
            seconds: 0,
            frames: 0,
        };
        for number in 0..day {
            let got = TimeAddress::from_frame_number(count, FrameNumber(number)).unwrap();
            let Digits {
                hours,
                minutes,
                seconds,
                frames,
            } = expected;
            let built = TimeAddress::new(count, hours, minutes, seconds, frames);
            assert_eq!(Ok(got), built, "{count}, frame {number}");
            assert_eq!(got.frame_number(), FrameNumber(number), "{count}, {got}");
            expected.step(frames_per_second, dropped);
        }
        let Digits {
            hours,
            minutes,
            seconds,
            frames,
        } = expected;
        assert_eq!(
            (hours, minutes, seconds, frames),
            (0, 0, 0, 0),
            "{count}: the day closes"
        );
    }
}

#[test]
fn exactly_the_digits_that_a_day_uses_can_be_built() {
    for (count, _, _, day) in DAYS {
        let mut legal = 0;
        let mut refused = 0;
        for hours in 0..=24 {
            for minutes in 0..=60 {
                for seconds in 0..=60 {
                    for frames in 0..=120 {
                        match TimeAddress::new(count, hours, minutes, seconds, frames) {
                            Ok(_) => legal += 1,
                            Err(_) => refused += 1,
                        }
                    }
                }
            }
        }
        assert_eq!(legal, day, "{count}");
        assert_eq!(legal + refused, 25 * 61 * 61 * 121, "{count}");
    }
}

/// IEC 60461 clauses 8.5 and 11: one codeword spans two frames (at 100 and 120 four), and its
/// address is the one that counts codewords.
#[test]
fn the_codewords_of_every_day_count_on_without_a_break() {
    for (count, ..) in DAYS {
        let parts = count.frames_per_codeword();
        let code_day = count.frames_per_day() / parts;
        assert_eq!(count.code().frames_per_day(), code_day, "{count}");
        for number in 0..count.frames_per_day() {
            let address = TimeAddress::from_frame_number(count, FrameNumber(number)).unwrap();
            let code = address.code();
            assert_eq!(code.address().frame_number().0, number / parts, "{address}");
            assert_eq!(u32::from(code.part()), number % parts, "{address}");
            assert_eq!(code.frame(), address);
        }
    }
}

#[test]
fn midnight_is_passed_or_refused_as_asked() {
    for (count, ..) in DAYS {
        let midnight = TimeAddress::midnight(count);
        let last = midnight.plus_wrapping(Frames(-1));
        assert_eq!(last.frame_number().0, count.frames_per_day() - 1);
        assert_eq!(last.plus_wrapping(Frames(1)), midnight);
        assert!(last.checked_plus(Frames(1)).is_err(), "{count}");
        assert!(midnight.checked_plus(Frames(-1)).is_err(), "{count}");
        assert_eq!(
            last.checked_plus(Frames(-i64::from(last.frame_number().0))),
            Ok(midnight)
        );
        assert_eq!(last.frames_until_wrapping(midnight), Some(Frames(1)));
        assert_eq!(midnight.frames_until_wrapping(last), Some(Frames(-1)));
        assert_eq!(
            midnight.frames_until(last),
            Some(last.frame_number().into())
        );
    }
}
