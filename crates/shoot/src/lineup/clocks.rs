//! How a device's own clock keeps beside the code that it was given, over the day.
//!
//! Two witnesses: the start times that it writes into its files, beside the code in the same files;
//! and the crystal that clocks its samples, beside the code.

use super::lines::{self, Line, Point};
use super::place::spoken;
use super::{Basis, Recording, ShootClock};
use crate::summary::{CodeLine, Steps};

/// The clock of one device.
#[derive(Debug, Default)]
pub(crate) struct DeviceClock {
    /// Its own start times beside the code, in order of time: positive is ahead.
    pub(crate) points: Vec<Point>,
    /// The lines through them; a new line is a clock that was set again.
    pub(crate) lines: Vec<Line>,
    /// How fast its crystal runs beside the code.
    pub(crate) crystal: Option<Crystal>,
}

/// How fast a device's sample clock runs beside the code.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Crystal {
    /// Parts per million; positive is faster than the code.
    pub(crate) ppm: f64,
    /// One standard deviation.
    pub(crate) deviation: f64,
}

/// A stamp to the sample is as good as the recorder's start: half a millisecond. From memory.
const TO_THE_SAMPLE: f64 = 5e-4;

/// The clock of the device with this number.
pub(crate) fn of(
    recordings: &[Recording<'_>],
    device: usize,
    clock: Option<ShootClock>,
) -> DeviceClock {
    let Some(clock) = clock else {
        return DeviceClock::default();
    };
    let own = || {
        recordings
            .iter()
            .filter(|recording| recording.device == device)
    };
    let mut points: Vec<Point> = own()
        .filter_map(|recording| point(recording, clock))
        .collect();
    points.sort_by(|a, b| a.at.total_cmp(&b.at));
    DeviceClock {
        lines: lines::through(&points),
        points,
        crystal: crystal(own().filter_map(|recording| recording.entry.summary.codes.first())),
    }
}

fn point(recording: &Recording<'_>, clock: ShootClock) -> Option<Point> {
    let placed = recording.placed?;
    let stamp = spoken(&recording.entry.summary)?;
    let Basis::Code { .. } = placed.basis else {
        return None;
    };
    let frame = clock.seconds(1.0);
    let ahead = stamp.ahead? * frame;
    // Clocks that differ by most of a day are on either side of midnight.
    let day = clock.day();
    let offset = (ahead + day / 2.0).rem_euclid(day) - day / 2.0;
    Some(Point {
        at: placed.measured.unwrap_or(placed.from).0,
        offset,
        // What is rounded to a frame is off by up to half of it, evenly: a twelfth of its square.
        deviation: match stamp.steps {
            Steps::Frames => frame / 12f64.sqrt(),
            Steps::Samples => TO_THE_SAMPLE,
        },
    })
}

/// No measurement is trusted further than this, in parts per million.
const FLOOR: f64 = 0.005;

/// The weighted mean over recordings; where they differ by more than they say, that counts too.
fn crystal<'a>(codes: impl Iterator<Item = &'a CodeLine>) -> Option<Crystal> {
    let measured: Vec<(f64, f64)> = codes
        .filter_map(|code| Some((-code.clock_ppm?, code.clock_ppm_uncertainty?.max(FLOOR))))
        .collect();
    let weight: f64 = measured.iter().map(|(_, d)| d.powi(-2)).sum();
    if measured.is_empty() || weight <= 0.0 {
        return None;
    }
    let ppm = measured
        .iter()
        .map(|(ppm, d)| ppm * d.powi(-2))
        .sum::<f64>()
        / weight;
    let squares: f64 = measured.iter().map(|(x, d)| ((x - ppm) / d).powi(2)).sum();
    let freedom = (measured.len() - 1).max(1) as f64;
    Some(Crystal {
        ppm,
        deviation: ((squares / freedom).max(1.0) / weight).sqrt(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn code(ppm: f64, deviation: f64) -> CodeLine {
        CodeLine {
            clock_ppm: Some(ppm),
            clock_ppm_uncertainty: Some(deviation),
            ..CodeLine::default()
        }
    }

    #[test]
    fn recordings_that_differ_make_the_crystal_less_sure() {
        let alike = [code(2.0, 0.1), code(2.1, 0.1)];
        let alike = crystal(alike.iter()).unwrap();
        assert!(
            (alike.ppm + 2.05).abs() < 1e-9 && (alike.deviation - 0.1 / 2f64.sqrt()).abs() < 1e-9
        );
        let apart = [code(2.0, 0.1), code(4.0, 0.1)];
        let apart = crystal(apart.iter()).unwrap();
        assert!(
            (apart.ppm + 3.0).abs() < 1e-9 && (apart.deviation - 1.0).abs() < 1e-9,
            "{apart:?}"
        );
    }
}
