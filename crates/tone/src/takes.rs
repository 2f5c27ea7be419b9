//! How many takes, and what lies between them.

use plumbline_timecode::{Count, Fraction, Frames, Rounding, Seconds, Timebase};

use crate::Settings;
use crate::field::Field;
use crate::length::{self, LengthError};
use crate::remarks::Remarks;
use crate::typed::{decimal, quoted, whole_number};
use plumbline_words::{Problem, sentence};

/// Takes of one length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Takes {
    /// How many: 1 to [`TAKES_AT_MOST`].
    pub(crate) number: u32,
    /// The silence between two of them.
    pub(crate) silence: Seconds,
    /// How many codewords beyond the next one a take begins.
    pub(crate) jump: Frames,
}

const TAKES_AT_MOST: u32 = 100;
/// The longest silence, in seconds.
const SILENCE_AT_MOST: i64 = 3600;
/// The shortest silence that is one: a reader hears that code stopped.
const SILENCE_AT_LEAST: Fraction = match Fraction::new(1, 10) {
    Some(tenth) => tenth,
    None => Fraction::ZERO,
};

/// The takes; what lies between them is looked at only where there is more than one.
pub(crate) fn takes(
    settings: &Settings,
    timebase: Timebase,
    remarks: &mut Remarks,
) -> Option<Takes> {
    let number = remarks.keep(number(&settings.takes))?;
    if number == 1 {
        return Some(Takes {
            number,
            silence: Seconds(Fraction::ZERO),
            jump: Frames(0),
        });
    }
    let silence = remarks.keep(silence(&settings.silence));
    let jump = remarks.keep(jump(&settings.jump, timebase.count()));
    let takes = Takes {
        number,
        silence: silence?,
        jump: jump?,
    };
    explain(takes, timebase, remarks);
    Some(takes)
}

fn number(typed: &str) -> Result<u32, Problem> {
    whole_number(typed.trim())
        .and_then(|number| u32::try_from(number).ok())
        .filter(|number| (1..=TAKES_AT_MOST).contains(number))
        .ok_or_else(|| {
            Field::Takes.problem(
                format!("{} is no number of takes.", quoted(typed)),
                format!("1 to {TAKES_AT_MOST} would be right."),
            )
        })
}

fn silence(typed: &str) -> Result<Seconds, Problem> {
    let longest = Fraction::whole(SILENCE_AT_MOST);
    decimal(typed)
        .filter(|&silence| {
            silence == Fraction::ZERO || (SILENCE_AT_LEAST..=longest).contains(&silence)
        })
        .map(Seconds)
        .ok_or_else(|| {
            Field::Silence.problem(
                format!("{} is no silence between takes.", quoted(typed)),
                format!("0, or 0.1 to {SILENCE_AT_MOST} seconds, would be right."),
            )
        })
}

/// In codewords.
fn jump(typed: &str, count: Count) -> Result<Frames, Problem> {
    let typed = typed.trim();
    let (sign, length) = match typed.strip_prefix(['-', '−']) {
        Some(length) => (-1, length),
        None => (1, typed.strip_prefix('+').unwrap_or(typed)),
    };
    let frames = length::parse(length, count).map_err(|error| match error {
        LengthError::TooLong(_) => Field::Jump.problem(
            format!("A jump of {} is longer than a day of addresses.", quoted(typed)),
            "Anything below 24:00:00:00 would be right, forwards or, with a − before it, backwards.",
        ),
        LengthError::Empty | LengthError::Digits(_) => Field::Jump.problem(
            sentence(&error.to_string()),
            "Type 00:00:00:00 to go on where the code stopped, or how far it jumps, such as \
             00:00:05:00.",
        ),
    })?;
    let codeword = i64::from(count.frames_per_codeword());
    let over = frames.0 % codeword;
    if over > 0 {
        let shown = [frames.0 - over, frames.0 - over + codeword]
            .map(|frames| length::shown(Frames(frames), count))
            .join(" or ");
        return Err(Field::Jump.problem(
            format!(
                "A jump of {} ends inside a codeword, which spans {codeword} frames.",
                quoted(typed)
            ),
            format!("{shown} would be right."),
        ));
    }
    Ok(Frames(sign * frames.0 / codeword))
}

fn explain(takes: Takes, timebase: Timebase, remarks: &mut Remarks) {
    if takes.jump != Frames(0) {
        return;
    }
    let rate = timebase.code().rate();
    let pause = rate
        .frames(takes.silence, Rounding::Nearest)
        .unwrap_or_default();
    let parts = i64::from(timebase.count().frames_per_codeword());
    let pause = length::shown(Frames(pause.0 * parts), timebase.count());
    remarks.note(
        Field::Jump,
        format!(
            "Each take goes on where the last one stopped, as on a card in record run. In free \
             run the clock goes on through the silence: {pause} would do that."
        ),
    );
}
