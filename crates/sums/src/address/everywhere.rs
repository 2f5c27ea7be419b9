//! The moment at every other rate: the same instant, and the same frame number.

use plumbline_timecode::{Fraction, Frames, Rounding, TimeAddress, Timebase};
use plumbline_words::thousands;

use super::Moment;
use crate::decimal::exactly;
use crate::figure::{clock_words, difference, off, product};
use crate::{Row, Table};

/// Keeping real time: the frame that begins nearest, at every rate and in every counting.
pub(super) fn same_instant(moment: &Moment) -> Table {
    let rows = Timebase::all().map(|timebase| {
        let rate = timebase.rate().fraction();
        let frames = product(moment.seconds, rate);
        let nearest = frames.round(Rounding::Nearest);
        // What can be typed is a number of frames within 64 bits.
        let frame = Frames(i64::try_from(nearest).unwrap_or_default());
        let working = format!(
            "{} s × {rate} = {} frames",
            exactly(moment.seconds),
            exactly(frames)
        );
        let row = row(timebase, frame, &working, &in_progress(timebase, frames));
        let left = difference(frames, Fraction::whole(frame.0));
        if left == Fraction::ZERO {
            return row;
        }
        row.rounded(format!(
            "rounded to the nearest frame: {}",
            off(frames, left)
        ))
    });
    Table::new("The same instant at every rate", rows.collect())
}

/// Where the nearest frame has not begun yet: what a display shows at that instant.
fn in_progress(timebase: Timebase, frames: Fraction) -> String {
    let (down, nearest) = (
        frames.round(Rounding::Down),
        frames.round(Rounding::Nearest),
    );
    if down == nearest {
        return String::new();
    }
    let frame = Frames(i64::try_from(down).unwrap_or_default());
    let shown = TimeAddress::midnight(timebase.count()).plus_wrapping(frame);
    format!("; {shown} is still in progress")
}

/// Keeping frames: the address of the same frame number, at every rate and in every counting.
pub(super) fn same_frame_number(moment: &Moment) -> Table {
    let rows = Timebase::all().map(|timebase| {
        let seconds = timebase.rate().seconds(moment.frame).0;
        let working = format!(
            "frame {} of that count, {} of real time since midnight",
            moment.frame,
            clock_words(seconds)
        );
        row(timebase, moment.frame, &working, "")
    });
    Table::new("The same frame number at every rate", rows.collect())
}

fn row(timebase: Timebase, frame: Frames, working: &str, after: &str) -> Row {
    let count = timebase.count();
    let address = TimeAddress::midnight(count).plus_wrapping(frame);
    let midnight = match frame.0.unsigned_abs() / u64::from(count.frames_per_day()) {
        0 => String::new(),
        1 => "; past midnight: the next day".to_owned(),
        days => format!("; past midnight: {} days on", thousands(days)),
    };
    Row::new(
        timebase.to_string(),
        address.to_string(),
        format!("{working}{after}{midnight}"),
    )
}
