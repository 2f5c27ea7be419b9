//! How two clocks part.

use plumbline_timecode::{Frames, Rate};
use plumbline_tone::Line;
use plumbline_words::{self as words, capital, seconds as length};
use serde::Serialize;

/// How far one clock is ahead of another, measured over and over. Its memory does not grow.
#[derive(Debug, Clone)]
pub struct Comparison {
    /// How long a frame of the first one lasts, and a day of its addresses, in seconds.
    frame: f64,
    day: f64,
    line: Line,
    /// What was measured last.
    last: Option<f64>,
}

/// How far one clock is ahead of another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Apart {
    /// By how many seconds, over the last second; below 0 behind.
    pub seconds: f64,
    /// How many seconds it gains in each, and one standard deviation; none while that can't be told.
    pub pace: Option<(f64, f64)>,
    /// How long a frame lasts, in seconds.
    pub frame: f64,
}

/// The same for a page.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Compared {
    /// What is compared: "Channel 1 against channel 2".
    pub title: String,
    /// The offset in milliseconds and frames.
    pub offset: String,
    /// How fast it changes, with one standard deviation, or that it is being measured.
    pub pace: String,
    /// What that comes to, and what to do, in sentences.
    pub text: String,
    /// How it changed, to be drawn: second of listening, milliseconds gained since the first.
    pub points: Vec<(f64, f64)>,
}

/// A clock that moves by so much of a frame at once was set, or is another one.
const LEAP: f64 = 0.25;
/// A pace that is known no better is not worth telling.
const TELLING: f64 = 20e-6;
/// What recordings of one moment may be apart before it is seen: half a frame (common practice).
const ALLOWED: f64 = 0.5;
/// Clocks that are so many seconds apart do not tell the same time.
const OTHERWISE: f64 = 60.0;

impl Comparison {
    /// Of a clock that counts at a rate, with so many frames in a day of its addresses.
    pub fn new(rate: Rate, frames_per_day: u32) -> Self {
        Self {
            frame: rate.seconds(Frames(1)).as_f64(),
            day: rate.seconds(Frames(i64::from(frames_per_day))).as_f64(),
            line: Line::default(),
            last: None,
        }
    }

    /// Takes a measurement: at that second it is so many seconds ahead. Whole days are nothing, and
    /// after a leap all begins anew.
    pub fn add(&mut self, second: f64, ahead: f64) {
        let about = self.last.unwrap_or(0.0);
        let ahead = ahead - ((ahead - about) / self.day).round() * self.day;
        if self.last.is_some() && (ahead - about).abs() > LEAP * self.frame {
            self.line = Line::default();
        }
        self.line.add(second, ahead);
        self.last = Some(ahead);
    }

    /// What was measured; none before there is anything.
    pub fn apart(&self) -> Option<Apart> {
        let last = self.last?;
        Some(Apart {
            seconds: self.line.last().unwrap_or(last),
            pace: self.line.slope().filter(|(_, one)| *one < TELLING),
            frame: self.frame,
        })
    }

    /// In words, with `apart` for how far it is ahead of a clock that runs as the other one does.
    /// `time_of_day` is now, in seconds since midnight.
    pub fn against(&self, title: String, apart: &Apart, time_of_day: Option<f64>) -> Compared {
        let first = self.line.points().next().map_or(0.0, |(_, ahead)| ahead);
        Compared {
            title,
            offset: apart.offset(),
            pace: apart.pace_in_words(),
            text: apart.advice(time_of_day),
            points: (self.line.points())
                .map(|(second, ahead)| (second, (ahead - first) * 1e3))
                .collect(),
        }
    }
}

impl Apart {
    /// "12.4 ms (0.31 frames) ahead".
    pub fn offset(&self) -> String {
        let way = if self.seconds < 0.0 {
            "behind"
        } else {
            "ahead"
        };
        let (size, frames) = (self.seconds.abs(), self.seconds.abs() / self.frame);
        let time = if size < 1.0 {
            format!("{:.1} ms", size * 1e3)
        } else if size < 60.0 {
            format!("{size:.3} s")
        } else {
            length(size)
        };
        if frames < 1000.0 {
            format!("{time} ({frames:.2} frames) {way}")
        } else {
            format!("{time} {way}")
        }
    }

    /// "+2.3 ± 0.4 ppm".
    fn pace_in_words(&self) -> String {
        match self.pace {
            None => "being measured".to_owned(),
            Some((pace, one)) => words::ppm(pace * 1e6, one * 1e6),
        }
    }

    /// When they will be too far apart. `time_of_day` is now, in seconds since midnight.
    fn advice(&self, time_of_day: Option<f64>) -> String {
        let allowed = ALLOWED * self.frame;
        if self.seconds.abs() > OTHERWISE {
            return "They were not set from each other: jam one from the other if they should tell \
                    the same time."
                .to_owned();
        }
        let now = if self.seconds.abs() > allowed {
            Some("They are more than half a frame apart: jam one from the other.".to_owned())
        } else {
            None
        };
        let Some((pace, one)) = self.pace else {
            return now.unwrap_or_else(|| {
                "How fast they part can be told after some ten seconds, and well after a minute \
                 or two."
                    .to_owned()
            });
        };
        if pace.abs() < 2.0 * one {
            let least = self.frame / (pace.abs() + 2.0 * one);
            let steady = format!(
                "They do not part as far as can be told yet: one frame takes {} at least.",
                length(least)
            );
            return [Some(steady), now]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join(" ");
        }
        let a_frame = format!(
            "They part by one frame in {}.",
            length(self.frame / pace.abs())
        );
        let left = (allowed - self.seconds * pace.signum()) / pace.abs();
        let jam = match (now, time_of_day) {
            (Some(now), _) => now,
            (None, Some(time)) => format!(
                "To stay within half a frame, jam again before {}.",
                clock_face(time + left)
            ),
            (None, None) => format!(
                "To stay within half a frame, jam again within {}.",
                length(left)
            ),
        };
        format!("{} {jam}", capital(&a_frame))
    }
}

/// "16:20", or "16:20 in 3 days".
fn clock_face(seconds: f64) -> String {
    let days = (seconds / 86_400.0).floor();
    let minutes = ((seconds - days * 86_400.0) / 60.0).floor();
    let face = format!("{:02.0}:{:02.0}", (minutes / 60.0).floor(), minutes % 60.0);
    match days {
        ..1.0 => face,
        1.0..2.0 => format!("{face} tomorrow"),
        _ => format!("{face} in {days:.0} days"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn measured(ppm: f64, offset: f64, seconds: u32) -> Comparison {
        let mut comparison = Comparison::new(Rate::F25, 2_160_000);
        for step in 0..seconds * 25 {
            let second = f64::from(step) / 25.0;
            let jitter = f64::from(step * 7919 % 11) * 2e-7;
            comparison.add(second, offset + ppm * 1e-6 * second + jitter);
        }
        comparison
    }

    /// 20 ppm are 72 ms an hour, which at 25 frames a second is a frame of 40 ms in 33 min 20 s.
    #[test]
    fn what_parts_says_when_it_is_a_frame_apart_and_when_to_jam() {
        let comparison = measured(20.0, 0.008, 60);
        let apart = comparison.apart().unwrap();
        let (pace, one) = apart.pace.unwrap();
        assert!(
            (pace - 20e-6).abs() < 3.0 * one && one < 1e-6,
            "{pace} {one}"
        );
        // 8 ms and 1.2 ms of a minute: 10.8 ms are left of half a frame, nine minutes.
        let said = comparison.against("A against B".to_owned(), &apart, Some(16.0 * 3600.0));
        assert!(
            said.offset.starts_with("9.2 ms (0.23 frames) ahead"),
            "{}",
            said.offset
        );
        assert!(said.text.contains("one frame in 33 min"), "{}", said.text);
        assert!(
            said.text.contains("before 16:09") || said.text.contains("before 16:08"),
            "{}",
            said.text
        );
        assert!(said.pace.starts_with("20.0"), "{}", said.pace);
    }

    #[test]
    fn what_does_not_part_says_so_and_what_is_apart_is_to_be_jammed() {
        let said = |ppm, offset| {
            let comparison = measured(ppm, offset, 60);
            let apart = comparison.apart().unwrap();
            comparison.against(String::new(), &apart, None).text
        };
        assert!(said(0.0, 0.0).contains("do not part"), "{}", said(0.0, 0.0));
        assert!(said(20.0, -0.5).contains("jam one from the other"));
        assert!(said(-20.0, 0.0).contains("jam again within"));
    }

    /// A clock that was set, or another one on the same cable: what was before says nothing.
    #[test]
    fn a_leap_begins_anew_and_midnight_is_none() {
        let mut comparison = measured(0.0, 86_399.0, 30);
        assert!(comparison.apart().unwrap().pace.is_some());
        comparison.add(30.0, -1.0);
        assert!(comparison.apart().unwrap().pace.is_some(), "midnight");
        comparison.add(31.0, -0.9);
        assert_eq!(comparison.apart().unwrap().pace, None);
    }

    #[test]
    fn a_face_says_the_day_where_it_is_another_one() {
        assert_eq!(clock_face(16.0 * 3600.0 + 1239.0), "16:20");
        assert_eq!(clock_face(86_400.0 + 60.0), "00:01 tomorrow");
        assert_eq!(clock_face(3.0 * 86_400.0), "00:00 in 3 days");
    }
}
