//! A candidate, looked at in the sound.

mod delay;
mod resampler;
mod windows;

use crate::coarse::Candidate;
use crate::line::{Line, NEAR, Point};
use crate::onsets::Onsets;
use crate::recording::{Recording, Side};
use delay::Delays;
use resampler::{Instants, Resampler};
use windows::{Window, Windows};

/// Samples a second at which two recordings are compared, whatever their own rates.
const WORK_RATE: f64 = 16_000.0;
/// How far from where it is expected a window is looked for, in seconds: the prints' own frames,
/// and what two clocks part by over a piece of two minutes.
const FAR: f64 = 60e-3;
/// The same once a line is known.
const FAR_AGAIN: f64 = 20e-3;
/// A window whose peak is so many spreads high has heard something.
const CLEAR: f64 = 9.0;

/// What the sound says of a candidate.
#[derive(Debug, Clone)]
pub(crate) struct Look {
    pub(crate) line: Line,
    /// Windows on the line, windows that were clear but are not on it, and all.
    pub(crate) agree: usize,
    pub(crate) against: usize,
    pub(crate) windows: usize,
    /// How clear those on the line are, in the mean.
    pub(crate) clear: f64,
    /// The two are upside down to each other.
    pub(crate) inverted: bool,
    /// The first and last second of the second recording that was looked at.
    pub(crate) span: (f64, f64),
}

/// Listens to two recordings.
#[derive(Debug)]
pub(crate) struct Listener<'a, 'b, A, B> {
    first: Side<'a, A>,
    second: Side<'b, B>,
    resamplers: (Resampler, Resampler),
}

impl<'a, 'b, A, B> Listener<'a, 'b, A, B>
where
    A: Recording,
    B: Recording<Error = A::Error>,
{
    pub(crate) fn new(first: Side<'a, A>, second: Side<'b, B>) -> Self {
        let resampler = |rate: plumbline_timecode::SampleRate| Resampler::new(rate.as_f64());
        Self {
            resamplers: (
                resampler(first.print.sample_rate()),
                resampler(second.print.sample_rate()),
            ),
            first,
            second,
        }
    }

    /// Looks at a candidate twice: as the prints have it, and along the line that was found.
    /// Nothing if no two windows agree.
    pub(crate) fn look(&mut self, candidate: &Candidate) -> Result<Option<Look>, A::Error> {
        let (first, second) = (Onsets::of(self.first.print), Onsets::of(self.second.print));
        let windows = Windows::choose(&first, &second, &candidate.places);
        let points = self.points(&windows, 0.0, FAR)?;
        let Some(line) = Line::through(&points) else {
            return Ok(None);
        };
        let mut again = windows;
        let half = again.size as f64 / WORK_RATE / 2.0;
        for window in &mut again.windows {
            window.offset = line.at(window.second + half) - line.drift * half;
        }
        let points = self.points(&again, line.drift, FAR_AGAIN)?;
        Ok(Line::through(&points).map(|line| Look::at(line, &points, &again)))
    }

    /// What each window says.
    fn points(&mut self, windows: &Windows, drift: f64, far: f64) -> Result<Vec<Point>, A::Error> {
        let delays = Delays::new(windows.size, far);
        let mut points = Vec::new();
        for window in &windows.windows {
            if let Some(point) = self.point(&delays, windows.size, window, drift)? {
                points.push(point);
            }
        }
        Ok(points)
    }

    fn point(
        &mut self,
        delays: &Delays,
        count: usize,
        window: &Window,
        drift: f64,
    ) -> Result<Option<Point>, A::Error> {
        let step = WORK_RATE.recip();
        let second = Instants {
            first: window.second,
            step,
            count,
        };
        let first = Instants {
            first: window.second + window.offset,
            step: step * (1.0 + drift),
            count,
        };
        let half = step * count as f64 / 2.0;
        let there = self.resamplers.0.read(&mut self.first, first)?;
        let here = self.resamplers.1.read(&mut self.second, second)?;
        let delay = delays.between(&there, &here);
        Ok(delay.map(|delay| Point {
            second: window.second + half,
            offset: window.offset + drift * half + delay.seconds,
            height: delay.height,
        }))
    }
}

impl Look {
    fn at(line: Line, points: &[Point], windows: &Windows) -> Self {
        let near: Vec<&Point> = points.iter().filter(|point| line.is_near(point)).collect();
        let clear = |point: &&Point| point.height.abs() >= CLEAR;
        let against = points.iter().filter(|point| !line.is_near(point));
        let heights: f64 = near.iter().map(|point| point.height).sum();
        let sizes: f64 = near.iter().map(|point| point.height.abs()).sum();
        let length = windows.size as f64 / WORK_RATE;
        let seconds = windows.windows.iter().map(|window| window.second);
        Self {
            line,
            agree: near.len(),
            against: against.filter(clear).count(),
            windows: windows.windows.len(),
            clear: sizes / near.len().max(1) as f64,
            inverted: heights < 0.0,
            span: (
                seconds.clone().fold(f64::MAX, f64::min),
                seconds.fold(f64::MIN, f64::max) + length,
            ),
        }
    }

    /// The odds that so many windows agree by chance, as a power of ten: two of them make a line,
    /// and each of the others is near it with the share that the line has of all places that were
    /// looked at. Any of the windows may be those that agree.
    pub(crate) fn odds_log10(&self) -> f64 {
        let others = self.agree.saturating_sub(2) as f64;
        let choices: f64 = (0..self.agree)
            .map(|n| ((self.windows - n) as f64 / (n + 1) as f64).log10())
            .sum();
        others * (FAR_AGAIN / NEAR).log10() - choices
    }
}
