//! How fast frames run and how they are counted.

use plumbline_timecode::{Rate, Timebase};

use crate::Settings;
use crate::field::Field;
use crate::remarks::Remarks;
use plumbline_words::{self as words, in_letters};

/// The rate and the count, with what they mean.
pub(crate) fn timebase(settings: &Settings, remarks: &mut Remarks) -> Option<Timebase> {
    let rate = remarks.keep(words::rate(Field::Rate.name(), &settings.rate));
    let field = Field::Counting.name();
    let counting = remarks.keep(words::counting(field, &settings.counting));
    let timebase = remarks.keep(words::timebase(field, rate?, counting?))?;
    explain(timebase, remarks);
    Some(timebase)
}

fn explain(timebase: Timebase, remarks: &mut Remarks) {
    let rate = timebase.rate();
    if let Some(text) = above_thirty(rate) {
        remarks.note(Field::Rate, text);
    }
    let count = timebase.count();
    if timebase.is_unusual() {
        remarks.note(
            Field::Counting,
            format!(
                "Drop-frame at exactly {rate} is unusual: addresses run ahead of the clock by \
                 3.6 s an hour. It is used for material that will be pulled down later."
            ),
        );
    } else if count.is_drop() {
        let numbers = in_letters(usize::try_from(count.dropped_per_minute()).unwrap_or_default());
        remarks.note(
            Field::Counting,
            format!(
                "Drop-frame skips {numbers} numbers a minute, but for every tenth one, and no \
                 frames: addresses stay with the clock, to 0.1 s a day."
            ),
        );
    } else if !keeps_to_the_clock(timebase) {
        let (field, way_out) = match rate.drop_count() {
            Some(_) => (Field::Counting, " Drop-frame would stay with it."),
            None => (Field::Rate, ""),
        };
        remarks.note(
            field,
            format!("Addresses at {rate} fall behind the clock by 3.6 s an hour.{way_out}"),
        );
    }
}

/// IEC 60461 clauses 8.5 and 11, SMPTE ST 12-3.
fn above_thirty(rate: Rate) -> Option<String> {
    let (frames, every) = match rate.frames_per_codeword() {
        2 => ("two", "second"),
        4 => ("four", "fourth"),
        _ => return None,
    };
    Some(format!(
        "Linear timecode counts to 30 at most: at {rate} a codeword spans {frames} frames, so the \
         code runs at {} and begins on every {every} frame.",
        rate.code()
    ))
}

/// Whether addresses stay near the time of day: at whole rates without drop-frame, and at
/// pulled-down rates with it.
fn keeps_to_the_clock(timebase: Timebase) -> bool {
    timebase.rate().is_pulled_down() == timebase.count().is_drop()
}
