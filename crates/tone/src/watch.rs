//! Whether what is played keeps with the clocks of its device, for as long as it plays.

mod words;

use std::collections::VecDeque;

use plumbline_timecode::{Frames, Timebase};

use crate::{Clocks, KnownBy, Line};

/// Compares an output with two clocks of its device, reading after reading: with the one that is
/// never set, to see when sound was lost, and with the time of day, to see how the two part. Its
/// memory does not grow.
#[derive(Debug, Clone)]
pub struct Watch {
    timebase: Timebase,
    first: Option<Clocks>,
    last: Option<Clocks>,
    /// How far the output is behind the clock that is never set, in seconds since the first
    /// reading: by the last few readings, and what it usually was of late.
    behind: VecDeque<f64>,
    usual: f64,
    /// The same when all began.
    at_first: Option<f64>,
    /// How long a sample was on its way of late, in seconds.
    latency: Option<f64>,
    line: Line,
}

/// What a reading says about an output. Seconds above 0: sound comes out later than it should.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Output {
    /// It goes on as it should.
    Steady,
    /// It has moved by so many seconds, all at once.
    Moved(f64),
    /// It has moved by so many seconds bit by bit, and further than the clock of any sound device
    /// would make it.
    Strayed(f64),
}

/// How far code has parted from the time of day since it started.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parted {
    /// By how many seconds it is ahead; below 0 behind.
    pub seconds: f64,
    /// How many times faster than the time of day it runs, less 1, with one standard deviation;
    /// none while that can't be told.
    pub pace: Option<(f64, f64)>,
    /// By how many seconds the time of day was set meanwhile, as far as that can be told.
    pub set: Option<f64>,
}

/// How much of a deviation one reading takes over into what is usual: clocks part by millionths
/// of the time between two readings, and that is followed.
const FOLLOW: f64 = 0.02;
/// No sound device's clock is further off; IEC 60461 clause 8.4 allows a source of code a fifth
/// of it.
const FURTHEST: f64 = 500e-6;
/// A pace that is known no better is not worth telling.
const TELLING: f64 = 20e-6;
/// A time of day that moves by so many seconds was set, not held up.
const SET: f64 = 0.05;

impl Watch {
    /// Begins with the first reading.
    pub fn new(timebase: Timebase) -> Self {
        Self {
            timebase: timebase.code(),
            first: None,
            last: None,
            behind: VecDeque::new(),
            usual: 0.0,
            at_first: None,
            latency: None,
            line: Line::default(),
        }
    }

    /// Takes the next reading, in the order in which they were taken.
    pub fn push(&mut self, now: Clocks) -> Output {
        let first = *self.first.get_or_insert(now);
        self.last = Some(now);
        let since = apart(now.page, first.page);
        let output = apart(now.output, first.output);
        follow(&mut self.latency, now.latency().as_f64());

        let enough = readings_to_tell(now.known_by());
        self.behind.push_back(since - output);
        while self.behind.len() > enough {
            self.behind.pop_front();
        }
        let least = self.behind.iter().copied().fold(f64::INFINITY, f64::min);
        let most = self
            .behind
            .iter()
            .copied()
            .fold(f64::NEG_INFINITY, f64::max);
        if self.behind.len() < enough {
            self.usual = least;
            return Output::Steady;
        }
        let at_first = *self.at_first.get_or_insert(self.usual);
        self.line
            .add(since, since - least - apart(now.unix, first.unix));
        let quarter = self.frame() / 4.0;
        if least - self.usual > quarter {
            return Output::Moved(least - self.usual);
        }
        if self.usual - most > quarter {
            return Output::Moved(most - self.usual);
        }
        if (least - at_first).abs() > quarter + FURTHEST * since {
            return Output::Strayed(least - at_first);
        }
        self.usual += FOLLOW * (least - self.usual);
        Output::Steady
    }

    /// What is at the output by a reading, in seconds since it began: by the clock that is never
    /// set and what is usual, as outputs tell it in steps. None before there are enough readings.
    pub fn output(&self, now: &Clocks) -> Option<f64> {
        let first = self.first?;
        self.at_first?;
        let output = apart(now.page, first.page) - self.usual;
        Some(output + apart(first.output, 0))
    }

    /// How long a sample takes from being made to the output, in seconds: sound is made in pieces,
    /// so this is what it came to of late. None before the first reading.
    pub const fn latency(&self) -> Option<f64> {
        self.latency
    }

    /// How long a frame of the code lasts, in seconds.
    fn frame(&self) -> f64 {
        self.timebase.rate().seconds(Frames(1)).as_f64()
    }

    /// How far the code has parted from the time of day since the first reading, apart from what
    /// its way of counting makes of it; none in the first seconds.
    pub fn parted(&self) -> Option<Parted> {
        let (first, last) = self.first.zip(self.last)?;
        let since = apart(last.page, first.page);
        let set = apart(last.unix, first.unix) - since;
        Some(Parted {
            seconds: self.line.rise()?,
            pace: self.line.slope().filter(|(_, one)| *one < TELLING),
            set: (set.abs() > SET + FURTHEST * since).then_some(set),
        })
    }
}

/// How many readings in a row tell that the output has moved. One that was held up between two
/// clocks shows an output that is behind, and so does one that reckons from what has been made,
/// as that is told in steps: the least of them is nearest to the truth.
const fn readings_to_tell(known_by: KnownBy) -> usize {
    match known_by {
        KnownBy::Timestamp => 3,
        KnownBy::Latency | KnownBy::Nothing => 8,
    }
}

/// Follows a value, slowly.
fn follow(usual: &mut Option<f64>, value: f64) {
    let usual = usual.get_or_insert(value);
    *usual += FOLLOW * (value - *usual);
}

/// Seconds between two moments in nanoseconds.
fn apart(later: i64, earlier: i64) -> f64 {
    later.saturating_sub(earlier) as f64 * 1e-9
}

#[cfg(test)]
mod tests {
    use super::*;
    use plumbline_timecode::Rate;

    /// A device that plays: how fast its output runs, what was lost of it, how its time of day was
    /// set, and what its readings are off by.
    struct Device {
        known_by: KnownBy,
        pace: f64,
        jitter: f64,
        random: u32,
        lost: f64,
        set: f64,
    }

    impl Device {
        fn new(ppm: f64) -> Self {
            Self {
                known_by: KnownBy::Timestamp,
                pace: 1.0 + ppm * 1e-6,
                jitter: 0.002,
                random: 7,
                lost: 0.0,
                set: 0.0,
            }
        }

        /// Uniform noise either way, the same every time.
        fn noise(&mut self) -> f64 {
            self.random = self
                .random
                .wrapping_mul(1_664_525)
                .wrapping_add(1_013_904_223);
            self.jitter * (f64::from(self.random >> 8) / 8_388_608.0 - 1.0)
        }

        fn at(&mut self, second: f64) -> Clocks {
            let output = second * self.pace - self.lost + self.noise();
            let page = 5_000.0 + second * 1e3;
            let measured = self.known_by == KnownBy::Timestamp;
            // What has been made is told in steps of 23 ms.
            let made = (output + 0.05) / 0.023;
            let made = if measured {
                output + 0.05
            } else {
                made.floor() * 0.023
            };
            let reading = crate::ClockReading {
                unix_milliseconds: (1.8e12 + (second + self.set) * 1e3).floor(),
                page_milliseconds: page,
                output_seconds: measured.then_some(output),
                output_milliseconds: measured.then_some(page),
                made_seconds: made,
                latency_seconds: Some(0.05),
            };
            let clocks = Clocks::new(&reading).unwrap();
            assert_eq!(clocks.known_by(), self.known_by);
            clocks
        }

        /// Twenty-five readings a second; what the last one said that was not steady.
        fn plays(&mut self, watch: &mut Watch, seconds: std::ops::Range<u32>) -> Option<Output> {
            (seconds.start * 25..seconds.end * 25)
                .map(|n| watch.push(self.at(f64::from(n) / 25.0)))
                .fold(None, |said, output| match output {
                    Output::Steady => said,
                    other => Some(other),
                })
        }
    }

    fn watch() -> Watch {
        Watch::new(Timebase::non_drop(Rate::F25))
    }

    #[test]
    fn an_ordinary_device_gives_no_alarm_and_its_pace_is_told_honestly() {
        for ppm in [-90.0, -3.0, 0.0, 0.4, 60.0] {
            let (mut device, mut watch) = (Device::new(ppm), watch());
            for minute in 0..40 {
                let seconds = minute * 60..(minute + 1) * 60;
                assert_eq!(device.plays(&mut watch, seconds), None, "{ppm} ppm");
                let parted = watch.parted().unwrap();
                let (pace, one) = parted.pace.unwrap();
                let off = (pace * 1e6 - ppm).abs() / (one * 1e6);
                assert!(
                    off < 4.0,
                    "{pace} for {ppm} ppm, {off} deviations, minute {minute}"
                );
                assert_eq!(parted.set, None);
            }
            let parted = watch.parted().unwrap();
            assert!(
                (parted.seconds - ppm * 1e-6 * 2_399.0).abs() < 0.001,
                "{parted:?}"
            );
            assert!(parted.pace.unwrap().1 < 0.2e-6, "{parted:?}");
            assert!(watch.line.blocks_kept() <= 512);
            assert!((watch.latency().unwrap() - 0.05).abs() < 1e-6);
        }
    }

    #[test]
    fn sound_that_is_lost_is_noticed_within_three_readings() {
        for lost in [0.013, -0.013, 2.0] {
            let (mut device, mut watch) = (Device::new(30.0), watch());
            assert_eq!(device.plays(&mut watch, 0..100), None);
            device.lost = lost;
            let readings = [100.0, 100.04, 100.08].map(|second| watch.push(device.at(second)));
            let [Output::Steady, Output::Steady, Output::Moved(by)] = readings else {
                panic!("{readings:?}");
            };
            assert!((by - lost).abs() < 0.003, "{by} for {lost}");
        }
    }

    /// A browser that tells no more than what has been made, in steps.
    #[test]
    fn coarse_readings_give_no_alarm_and_loss_is_still_noticed() {
        for ppm in [-50.0, 0.0, 50.0] {
            let (mut device, mut watch) = (Device::new(ppm), watch());
            device.known_by = KnownBy::Latency;
            assert_eq!(device.plays(&mut watch, 1..600), None, "{ppm} ppm");
            let now = device.at(600.0);
            let truth = 600.0 * device.pace;
            let told = watch.output(&now).unwrap();
            assert!((told - truth).abs() < 0.012, "{told} for {truth}");
            device.lost = 0.015;
            let noticed = device.plays(&mut watch, 600..601);
            assert!(
                matches!(noticed, Some(Output::Moved(by)) if by > 0.01),
                "{noticed:?}"
            );
        }
    }

    #[test]
    fn a_reading_that_was_held_up_is_no_alarm() {
        let (mut device, mut watch) = (Device::new(30.0), watch());
        for second in 0..50 {
            assert_eq!(device.plays(&mut watch, second..second + 1), None);
            device.lost = 0.5;
            assert_eq!(
                watch.push(device.at(f64::from(second) + 0.98)),
                Output::Steady
            );
            device.lost = 0.0;
        }
    }

    #[test]
    fn many_small_losses_add_up() {
        let (mut device, mut watch) = (Device::new(0.0), watch());
        let mut noticed = None;
        for second in 0..60 {
            noticed = noticed.or(device.plays(&mut watch, second..second + 1));
            device.lost += 0.001;
        }
        assert!(
            matches!(noticed, Some(Output::Strayed(by)) if by > 0.01),
            "{noticed:?}"
        );
    }

    #[test]
    fn a_time_of_day_that_is_set_moves_no_sound_and_is_told() {
        let (mut device, mut watch) = (Device::new(0.0), watch());
        assert_eq!(device.plays(&mut watch, 0..20), None);
        device.set = -2.0;
        assert_eq!(device.plays(&mut watch, 20..25), None);
        let parted = watch.parted().unwrap();
        assert!((parted.set.unwrap() + 2.0).abs() < 0.01, "{parted:?}");
        assert!((parted.seconds - 2.0).abs() < 0.01, "{parted:?}");
    }

    #[test]
    fn nothing_is_told_too_early() {
        let (mut device, mut watch) = (Device::new(0.0), watch());
        assert_eq!(watch.parted(), None);
        device.plays(&mut watch, 0..1);
        assert_eq!(watch.parted(), None);
        device.plays(&mut watch, 1..4);
        assert_eq!(watch.parted().unwrap().pace, None);
    }
}
