//! The moment in samples, and as the time reference of a file.

use plumbline_timecode::{Fraction, Rounding, SampleRate};

use super::{Moment, at};
use crate::decimal::exactly;
use crate::figure::{Step, figure, product};
use crate::sample_rate::{name, usual};
use crate::{Row, Table};

/// The moment in samples at every usual rate, and at one more if it is not among them.
pub(super) fn table(moment: &Moment, also: Option<SampleRate>) -> Table {
    let mut rates = usual();
    rates.extend(also.filter(|rate| !rates.contains(rate)));
    let rows = rates.into_iter().map(|rate| {
        let (samples, how) = samples(moment, rate);
        figure(at(rate), samples, Step::Whole("sample"), how)
    });
    Table::new("Samples since midnight", rows.collect())
}

/// The time reference of EBU Tech 3285: samples since midnight, 64 bits in two words.
pub(super) fn time_reference(moment: &Moment, rate: SampleRate) -> Table {
    let (exact, how) = samples(moment, rate);
    let whole = figure("Time reference", exact, Step::Whole("sample"), how);
    let number = u64::try_from(exact.round(Rounding::Nearest)).unwrap_or(u64::MAX);
    let (high, low) = (number >> 32, number & u64::from(u32::MAX));
    let bytes: Vec<String> = number
        .to_le_bytes()
        .iter()
        .map(|byte| format!("{byte:02X}"))
        .collect();
    Table::new(
        format!("Time reference of a bext chunk at {}", name(rate)),
        vec![
            whole,
            Row::new(
                "High word",
                high.to_string(),
                format!(
                    "{number} ÷ 4294967296, the whole part: bytes 342 to 345 of the chunk (EBU Tech 3285)"
                ),
            ),
            Row::new(
                "Low word",
                low.to_string(),
                format!(
                    "{number} − {high} × 4294967296: bytes 338 to 341 of the chunk (EBU Tech 3285)"
                ),
            ),
            Row::new(
                "Bytes from 338 on",
                bytes.join(" "),
                "the low word first, and in each word the lowest byte first",
            ),
        ],
    )
}

fn samples(moment: &Moment, rate: SampleRate) -> (Fraction, String) {
    let samples = product(moment.time().0, rate.fraction());
    let how = format!(
        "{} s × {rate} Hz = {}",
        exactly(moment.seconds),
        exactly(samples)
    );
    (samples, how)
}
