//! Drop-frame against non-drop-frame, and how far each is from the clock on the wall.

use std::cmp::Ordering;

use plumbline_timecode::{Fraction, Frames, TimeAddress, Timebase};

use super::Moment;
use crate::decimal::exactly;
use crate::figure::{Step, clock_figure, difference, figure, product, sum};
use crate::{Row, Table};

/// The frame counted both ways where its rate has both, each against real time.
pub(super) fn table(moment: &Moment) -> Table {
    let begins = moment.timebase.rate().seconds(moment.frame).0;
    let mut rows = vec![clock_figure(
        "Real time when the frame begins",
        begins,
        "from midnight, by the clock on the wall",
    )];
    let rate = moment.timebase.rate();
    let both: Vec<Timebase> = Timebase::all()
        .filter(|timebase| timebase.rate() == rate)
        .collect();
    for &timebase in &both {
        rows.extend(against(timebase, moment.frame, begins));
    }
    if let [non_drop, drop] = both[..] {
        rows.push(apart(non_drop, drop, moment.frame));
    } else {
        rows.push(Row::new(
            "Drop-frame",
            "none",
            format!("at {rate} there is no drop-frame counting (IEC 60461 clauses 5.2 and 6.2)"),
        ));
    }
    rows.extend(both.into_iter().map(day));
    Table::new("Against the clock on the wall", rows)
}

fn against(timebase: Timebase, frame: Frames, begins: Fraction) -> [Row; 2] {
    let named = digits_as_time(timebase, frame);
    let address = TimeAddress::midnight(timebase.count()).plus_wrapping(frame);
    let ahead = difference(named, begins);
    let milliseconds = product(ahead, Fraction::whole(1000));
    let what = counted(timebase);
    let sense = match ahead.cmp(&Fraction::ZERO) {
        Ordering::Greater => "ahead of the clock",
        Ordering::Less => "behind the clock",
        Ordering::Equal => "with the clock",
    };
    [
        Row::new(
            what,
            address.to_string(),
            format!("frame {frame} counted {what}", what = what.to_lowercase()),
        ),
        figure(
            format!("{what}, ms ahead of the clock"),
            milliseconds,
            Step::Places(6),
            format!(
                "{} as a time − {} = {} ms: {sense}",
                exactly(named),
                exactly(begins),
                exactly(milliseconds)
            ),
        ),
    ]
}

const fn counted(timebase: Timebase) -> &'static str {
    if timebase.count().is_drop() {
        "Drop-frame"
    } else {
        "Non-drop-frame"
    }
}

/// The digits taken for a time of day: hours, minutes, seconds, and frames as parts of a second.
fn digits_as_time(timebase: Timebase, frame: Frames) -> Fraction {
    let count = timebase.count();
    let address = TimeAddress::midnight(count).plus_wrapping(frame);
    let days = frame.0.div_euclid(i64::from(count.frames_per_day()));
    let hours = days * 24 + i64::from(address.hours());
    let minutes = hours * 60 + i64::from(address.minutes());
    let seconds = Fraction::whole(minutes * 60 + i64::from(address.seconds()));
    let part = Fraction::new(
        i128::from(address.frames()),
        i128::from(count.frames_per_second()),
    );
    sum(seconds, part.unwrap_or(Fraction::ZERO))
}

/// By how many numbers the two countings are apart at that frame.
fn apart(non_drop: Timebase, drop: Timebase, frame: Frames) -> Row {
    let per_second = Fraction::whole(i64::from(drop.count().frames_per_second()));
    let [plain, dropped] = [non_drop, drop].map(|it| digits_as_time(it, frame));
    let numbers = product(difference(dropped, plain), per_second);
    figure(
        "Numbers skipped since midnight",
        numbers,
        Step::Whole("number"),
        format!(
            "{} numbers at the start of each minute but every tenth (IEC 60461 clause 4.2.3)",
            drop.count().dropped_per_minute()
        ),
    )
}

/// How long a day of addresses lasts.
fn day(timebase: Timebase) -> Row {
    let frames = Frames(i64::from(timebase.count().frames_per_day()));
    let lasts = timebase.rate().seconds(frames).0;
    let more = difference(lasts, Fraction::whole(86_400));
    let (sign, size) = match more.cmp(&Fraction::ZERO) {
        Ordering::Less => ("−", difference(Fraction::ZERO, more)),
        _ => ("+", more),
    };
    clock_figure(
        format!(
            "A day of {} addresses lasts",
            counted(timebase).to_lowercase()
        ),
        lasts,
        format!(
            "{frames} frames ÷ {} = {} s, which is 86400 {sign} {}",
            timebase.rate().fraction(),
            exactly(lasts),
            exactly(size)
        ),
    )
}
