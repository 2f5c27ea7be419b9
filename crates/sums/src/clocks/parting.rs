//! How long until two clocks may have parted, and when to jam again.

use plumbline_timecode::{Fraction, Rate, Rounding, Seconds};
use plumbline_words::{Problem, clock};

use super::{ClocksForm, Part, TOLERANCE, millionth, number};
use crate::decimal::exactly;
use crate::figure::{Step, difference, figure, off, product, sum};
use crate::problems::Problems;
use crate::{Row, Table};

/// Where a watch crystal runs fastest, and how it bends away from there: from memory.
const TURNOVER: Fraction = Fraction::whole(25);
const BEND: (i128, i128) = (-34, 1000);

/// By how many ppm the two may part at most: both tolerances, one each way.
pub(super) fn tolerances(form: &ClocksForm, problems: &mut Problems) -> Option<Fraction> {
    let typed = [&form.first_tolerance, &form.second_tolerance];
    if typed.iter().all(|typed| typed.trim().is_empty()) {
        return None;
    }
    let first = problems.keep(number("first_tolerance", typed[0], TOLERANCE));
    let second = problems.keep(number("second_tolerance", typed[1], TOLERANCE));
    let both = sum(first?, second?);
    problems.keep(if both == Fraction::ZERO {
        Err(Problem::new(
            "second_tolerance",
            "Two clocks that are not off at all never part, and there are none.",
            "Type what the makers promise, or choose from the classes below.",
        ))
    } else {
        Ok(both)
    })
}

/// A quarter, a half and a whole frame.
pub(super) fn part(both: Fraction, rate: Rate) -> Part {
    let parts = [
        ("Until a quarter of a frame", 1, 4),
        ("Until half a frame", 1, 2),
        ("Until a whole frame", 1, 1),
    ];
    let mut rows = vec![Row::new(
        "Both tolerances together, in ppm",
        exactly(both),
        "one may run fast by its tolerance while the other runs slow by its own",
    )];
    rows.extend(parts.map(|(label, above, below)| {
        let frame = Fraction::new(above, below).unwrap_or(Fraction::ZERO);
        time_row(label, frame, both, rate)
    }));
    let half = Fraction::new(1, 2).unwrap_or(Fraction::ZERO);
    let mut jam = time_row("Jam again every", half, both, rate);
    jam.how = format!(
        "before half a frame is reached (common practice); {}",
        jam.how
    );
    let sentence = format!(
        "Two clocks that may be {} ppm apart hold together to half a frame at {rate} for {}: jam \
         again before that.",
        exactly(both),
        jam.value
    );
    rows.push(jam);
    Part {
        sentence,
        table: Table::new("Two clocks", rows),
    }
}

fn seconds(frame: Fraction, ppm: Fraction, rate: Rate) -> Fraction {
    let parting = product(product(ppm, millionth()), rate.fraction());
    frame.checked_div(parting).unwrap_or(Fraction::ZERO)
}

/// A time that is safe: rounded down to the second.
fn time_row(label: &str, frame: Fraction, ppm: Fraction, rate: Rate) -> Row {
    let exact = seconds(frame, ppm, rate);
    let whole = exact.round(Rounding::Down);
    let how = format!(
        "{} ÷ ({} ÷ 1000000 × {}) s",
        exactly(frame),
        exactly(ppm),
        rate.fraction()
    );
    let whole = Fraction::new(whole, 1).unwrap_or(Fraction::ZERO);
    let row = Row::new(label, clock(Seconds(whole)), how);
    match difference(exact, whole) {
        Fraction::ZERO => row,
        left => row.rounded(format!(
            "rounded down to the second: in seconds {}",
            off(exact, left)
        )),
    }
}

/// What cold or warmth may do to an uncompensated crystal: no more than a guess.
pub(super) fn temperature(warmth: Fraction, both: Option<Fraction>, rate: Rate) -> Part {
    let from_turnover = difference(warmth, TURNOVER);
    let bend = Fraction::new(BEND.0, BEND.1).unwrap_or(Fraction::ZERO);
    let shift = product(bend, product(from_turnover, from_turnover));
    let typed = exactly(warmth);
    let mut rows = vec![figure(
        format!("A watch crystal at {typed} °C, in ppm"),
        shift,
        Step::Places(3),
        format!(
            "a guess: −0.034 × ({typed} − 25)², from memory; makers give −0.03 to −0.04 and a \
             turnover within some degrees of 25 °C"
        ),
    )];
    if let Some(both) = both {
        let all = difference(both, shift);
        let mut row = time_row(
            "Until a whole frame, with that in one of the two",
            Fraction::whole(1),
            all,
            rate,
        );
        row.how = format!("a guess: {}", row.how);
        rows.push(row);
    }
    rows.push(Row::new(
        "What this leaves out",
        "everything but one crystal's curve",
        "compensated and oven clocks hardly bend, plain quartz of other cuts bends otherwise, and \
         a device is warmer inside than the air: measure, or jam more often",
    ));
    Part {
        sentence: String::new(),
        table: Table::new("Temperature: a guess", rows),
    }
}
