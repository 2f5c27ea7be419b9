//! Summaries as readings give them, made without any sound.

use plumbline_shoot::lineup::Entry;
use plumbline_shoot::summary::{CodeLine, Run, Summary};

pub(crate) const HERTZ: f64 = 48_000.0;

/// A recording with code at 25 frames a second that begins at so many seconds of the day.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "lengths are small and not below 0"
)]
pub(crate) fn coded(file: &str, from: f64, length: f64) -> Entry {
    Entry {
        key: format!("{file}@{from}"),
        folder: String::new(),
        sounds: Vec::new(),
        summary: Summary {
            file: file.to_owned(),
            container: Some("wav".into()),
            sample_rate: 48_000,
            samples: (length * HERTZ) as u64,
            channels: 2,
            codes: vec![CodeLine {
                channel: 1,
                rate: "25".into(),
                start: from * HERTZ,
                clock_ppm: Some(0.0),
                clock_ppm_uncertainty: Some(0.02),
                user_bits: Some("28112601".into()),
                runs: vec![Run {
                    from: 0.0,
                    to: length,
                }],
                ..CodeLine::default()
            }],
            ..Summary::default()
        },
    }
}
