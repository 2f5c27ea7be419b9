//! A shoot as a table: a row a recording, in the order in which they were handed in.

use crate::lineup::place::{spoken, timebase};
use crate::lineup::shown::changed;
use crate::lineup::{Basis, LineUp, Moment, Recording};
use crate::whole::signed;
use plumbline_words::csv_row;

const HEADING: &str = "device,file,folder,reel,starts_at,ends_at,start_samples_since_midnight,rate,\
                       placed_by,channel,changed,own_start_ahead_frames,clock_ppm,findings";

/// The table as CSV (RFC 4180), with a heading line; what is not known is an empty cell.
///
/// `start_samples_since_midnight` counts samples of the file, `channel` from 1, and `clock_ppm` is
/// how fast the code's clock runs against the recorder's.
pub fn table(line_up: &LineUp<'_>) -> String {
    let recordings = line_up.recordings.iter().enumerate();
    let rows = recordings.map(|(number, recording)| row(line_up, number, recording));
    let mut lines = vec![HEADING.to_owned()];
    lines.extend(rows);
    lines.push(String::new());
    lines.join("\r\n")
}

fn row(line_up: &LineUp<'_>, number: usize, recording: &Recording<'_>) -> String {
    let Recording { entry, placed, .. } = recording;
    let summary = &entry.summary;
    let device = line_up.devices.get(recording.device);
    let on_clock = line_up.clock.zip(*placed);
    let address = |moment: fn(crate::lineup::Placed) -> Moment| {
        on_clock.map(|(clock, placed)| clock.address(moment(placed)))
    };
    let samples = on_clock.map(|(clock, placed)| {
        let seconds = placed.from.0.rem_euclid(clock.day());
        signed(seconds * f64::from(summary.sample_rate))
    });
    let code = summary.codes.first();
    let rate = code.and_then(|code| timebase(&code.rate, code.drop_frame));
    let channel = placed.and_then(|placed| match placed.basis {
        Basis::Code { channel } => Some(u32::from(channel) + 1),
        Basis::Sound { .. } | Basis::Stamp | Basis::Hand => None,
    });
    let findings: Vec<&str> = line_up
        .concerning(number)
        .map(|found| found.heading.as_str())
        .collect();
    csv_row([
        device
            .map(|device| device.name.as_str())
            .unwrap_or_default(),
        &summary.file,
        &entry.folder,
        recording.reel.as_deref().unwrap_or_default(),
        &text(address(|placed| placed.from)),
        &text(address(|placed| placed.to)),
        &text(samples),
        &text(rate),
        placed.map(|placed| placed.basis.name()).unwrap_or_default(),
        &text(channel),
        &changed(line_up.clock, recording),
        &text(spoken(summary).and_then(|stamp| stamp.ahead)),
        &text(code.and_then(|code| code.clock_ppm)),
        &findings.join("; "),
    ])
}

fn text<T: ToString>(value: Option<T>) -> String {
    value.map(|value| value.to_string()).unwrap_or_default()
}
