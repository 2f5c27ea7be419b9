//! The moment that was typed.

use plumbline_timecode::{
    Count, Fraction, Frames, Rounding, SampleRate, Samples, Seconds, TimeAddress, Timebase,
};
use plumbline_words::{Problem, counted, quoted};

use crate::decimal::exactly;
use crate::figure::{Step, clock_figure, difference, figure, off, product};
use crate::length::{Length, length};
use crate::typed::{amount, ungrouped};
use crate::{Row, Table, typed};

/// What was typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Address,
    Frames,
    Duration,
    Samples,
    TimeReference,
}

/// A moment since midnight and the frame that begins nearest to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Moment {
    pub(super) timebase: Timebase,
    /// Since midnight, exactly: not before it.
    pub(super) seconds: Fraction,
    /// Frames from the first midnight to the nearest frame.
    pub(super) frame: Frames,
    /// Whole days of addresses before that frame.
    pub(super) days: u64,
    /// The frame's address in its own day.
    pub(super) address: TimeAddress,
    /// How the frame was found.
    how: String,
}

/// Reads a moment; none where it hangs on a sample rate and there is none.
pub(super) fn read(
    kind: Kind,
    text: &str,
    timebase: Timebase,
    sample_rate: Option<SampleRate>,
) -> Option<Result<Moment, Problem>> {
    let whole = |frames: Frames, how: String| Moment::at_frame(timebase, frames, how);
    Some(match kind {
        Kind::Address => typed::address("text", text, timebase.count())
            .map(|address| whole(address.frame_number().into(), "as it was typed".to_owned())),
        Kind::Frames => typed::whole("text", text, "frames")
            .map(|frames| whole(Frames(frames), named(frames, timebase.count()))),
        Kind::Duration => length("text", text, timebase).map(|length| match length {
            Length::Frames(frames) => whole(frames, named(frames.0, timebase.count())),
            Length::Clock(seconds) => Moment::at_time(timebase, seconds, &seconds_words(seconds)),
        }),
        Kind::Samples => {
            let rate = sample_rate?;
            position(text).and_then(|samples| at_samples(timebase, samples, rate))
        }
        Kind::TimeReference => {
            let rate = sample_rate?;
            time_reference(text).and_then(|samples| at_samples(timebase, samples, rate))
        }
    })
}

fn named(frames: i64, count: Count) -> String {
    format!("frame {frames} as {count} frames a second name it")
}

fn seconds_words(seconds: Fraction) -> String {
    format!("{} s", exactly(seconds))
}

fn at_samples(timebase: Timebase, samples: Fraction, rate: SampleRate) -> Result<Moment, Problem> {
    let how = format!("{} samples ÷ {rate} Hz", exactly(samples));
    let seconds = Samples(samples).seconds(rate);
    seconds
        .filter(|seconds| {
            timebase
                .rate()
                .frames(*seconds, Rounding::Nearest)
                .is_some()
        })
        .map(|seconds| Moment::at_time(timebase, seconds.0, &how))
        .ok_or_else(|| {
            Problem::new(
                "text",
                format!(
                    "{} samples are too many to count in frames.",
                    exactly(samples)
                ),
                "Type fewer: a day at 48 kHz has 4147200000 samples.",
            )
        })
}

fn position(text: &str) -> Result<Fraction, Problem> {
    amount(text).ok_or_else(|| {
        Problem::new(
            "text",
            format!("{} is not a number of samples.", quoted(text)),
            "Type a number such as 172800000, with a point where it is not whole.",
        )
    })
}

/// 64 bits: in decimal, in hexadecimal after `0x`, or as `high 1 low 3999428864`.
fn time_reference(text: &str) -> Result<Fraction, Problem> {
    let all = match text.trim().strip_prefix("0x") {
        Some(digits) => u64::from_str_radix(digits, 16).ok(),
        None => halves(text).or_else(|| ungrouped(text.trim())?.parse().ok()),
    };
    all.and_then(|all| Fraction::new(i128::from(all), 1))
        .ok_or_else(|| {
            Problem::new(
                "text",
                format!("{} is not a time reference.", quoted(text)),
                "Type the samples since midnight, such as 1728000000, or both words of 32 bits, \
                 such as high 1 low 3999428864.",
            )
        })
}

fn halves(text: &str) -> Option<u64> {
    let text = text.to_ascii_lowercase();
    let separators = [' ', ',', ';', ':', '=', '\t'];
    let words: Vec<&str> = text
        .split(separators)
        .filter(|word| !word.is_empty())
        .collect();
    let (["high" | "hi", high, "low" | "lo", low] | ["low" | "lo", low, "high" | "hi", high]) =
        words[..]
    else {
        return None;
    };
    let word = |digits: &str| digits.parse::<u32>().ok().map(u64::from);
    Some(word(high)? << 32 | word(low)?)
}

impl Moment {
    fn at_frame(timebase: Timebase, frame: Frames, how: String) -> Self {
        let day = u64::from(timebase.count().frames_per_day());
        Self {
            timebase,
            seconds: timebase.rate().seconds(frame).0,
            frame,
            days: frame.0.unsigned_abs() / day,
            address: TimeAddress::midnight(timebase.count()).plus_wrapping(frame),
            how,
        }
    }

    fn at_time(timebase: Timebase, seconds: Fraction, words: &str) -> Self {
        let rate = timebase.rate().fraction();
        let frames = product(seconds, rate);
        // What can be typed is a number of frames within 64 bits.
        let nearest = i64::try_from(frames.round(Rounding::Nearest)).unwrap_or_default();
        let how = format!("{words} × {rate} = {} frames", exactly(frames));
        Self {
            seconds,
            ..Self::at_frame(timebase, Frames(nearest), how)
        }
    }

    /// The seconds as a type of their own.
    pub(super) fn time(&self) -> Seconds {
        Seconds(self.seconds)
    }

    /// How many seconds the moment is after the frame begins; below 0 before it.
    pub(super) fn off(&self) -> Fraction {
        difference(self.seconds, self.timebase.rate().seconds(self.frame).0)
    }

    /// The moment itself.
    pub(super) fn table(&self) -> Table {
        let rate = self.timebase.rate().fraction();
        let frames = self.frame;
        let mut rows = vec![
            self.address_row(),
            Row::new("Frames since midnight", frames.to_string(), self.sum()),
        ];
        let begins = self.timebase.rate().seconds(frames).0;
        let working = format!("{frames} ÷ {rate} = {} s", exactly(begins));
        if self.off() == Fraction::ZERO {
            rows.push(clock_figure("Real time since midnight", begins, working));
        } else {
            rows.push(clock_figure("The frame begins at", begins, working));
            let typed = format!("{} s", exactly(self.seconds));
            rows.push(clock_figure(
                "Real time since midnight",
                self.seconds,
                typed,
            ));
        }
        let seconds = "real time in seconds";
        rows.push(figure(
            "Seconds since midnight",
            self.seconds,
            Step::Places(6),
            seconds,
        ));
        Table::new("This moment", rows)
    }

    fn address_row(&self) -> Row {
        let how = match self.days {
            0 => self.how.clone(),
            days => format!(
                "{}; {} of addresses have passed",
                self.how,
                counted(days, "whole day")
            ),
        };
        let row = Row::new("Time address", self.address.to_string(), how);
        let left = difference(
            product(self.seconds, self.timebase.rate().fraction()),
            Fraction::whole(self.frame.0),
        );
        if left == Fraction::ZERO {
            return row;
        }
        let exact = product(self.seconds, self.timebase.rate().fraction());
        row.rounded(format!(
            "rounded to the nearest frame: {}",
            off(exact, left)
        ))
    }

    /// How the digits of the address make the frame number: SMPTE ST 2059-1 clause 9.3.3.4.
    fn sum(&self) -> String {
        let (address, count) = (self.address, self.timebase.count());
        let (h, m, s, f) = (
            address.hours(),
            address.minutes(),
            address.seconds(),
            address.frames(),
        );
        let (second, dropped) = (count.frames_per_second(), count.dropped_per_minute());
        let minute = second * 60 - dropped;
        let hour = count.frames_per_ten_minutes() * 6;
        let tens = match dropped {
            0 => String::new(),
            _ => format!(" + {dropped} × {}", m / 10),
        };
        let days = match self.days {
            0 => String::new(),
            days => format!("{} × {days} + ", count.frames_per_day()),
        };
        let clause = if count.is_drop() {
            " (SMPTE ST 2059-1 clause 9.3.3.4)"
        } else {
            ""
        };
        format!("{days}{hour} × {h} + {minute} × {m}{tens} + {second} × {s} + {f}{clause}")
    }
}
