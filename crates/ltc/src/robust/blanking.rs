//! Clicks taken out before they spread over whole spectra.

use super::whole;

/// How long the parts are in which it is judged what is usual.
const PART_SECONDS: f64 = 20e-3;
/// The level that so many samples of a part stay below is its usual one...
const USUAL: f64 = 0.8;
/// ...and a click goes so many times beyond it...
const BEYOND: f32 = 2.2;
/// ...for at most so many samples.
const LONGEST: usize = 4;
/// Where more samples than this share would go, it is no clicks that go there.
const MOST: f64 = 0.06;

/// What was taken out at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Click {
    /// The most that a sample was changed by.
    pub(super) height: f32,
    /// The sum of the squares of what samples were changed by.
    pub(super) energy: f32,
}

/// Draws a straight line over each click, and says what went.
pub(super) fn blank(samples: &mut [f32], hertz: f64) -> Vec<Click> {
    let part = whole::index(PART_SECONDS * hertz).max(8);
    let mut clicks = vec![false; samples.len()];
    let mut sorted = Vec::with_capacity(part);
    for (samples, clicks) in samples.chunks(part).zip(clicks.chunks_mut(part)) {
        sorted.clear();
        sorted.extend(samples.iter().map(|sample| sample.abs()));
        let rank = whole::index(USUAL * (sorted.len() - 1) as f64);
        let (_, &mut usual, _) = sorted.select_nth_unstable_by(rank, f32::total_cmp);
        for (sample, click) in samples.iter().zip(clicks) {
            *click = sample.abs() > BEYOND * usual;
        }
    }
    let runs = runs(&clicks);
    let count: usize = runs.iter().map(ExactSizeIterator::len).sum();
    if count as f64 > MOST * samples.len() as f64 {
        return Vec::new();
    }
    let over = |run: std::ops::Range<usize>| {
        let (begins, length) = (run.start, run.len() as f32 + 1.0);
        let before = begins.checked_sub(1).map_or(0.0, |n| samples[n]);
        let after = samples.get(run.end).copied().unwrap_or(0.0);
        let mut click = Click {
            height: 0.0,
            energy: 0.0,
        };
        for (n, sample) in (1_u8..).zip(&mut samples[run]) {
            let line = before + (after - before) * f32::from(n) / length;
            let change = *sample - line;
            click.height = click.height.max(change.abs());
            click.energy += change * change;
            *sample = line;
        }
        click
    };
    runs.into_iter().map(over).collect()
}

/// The runs of clicks that are short enough.
fn runs(clicks: &[bool]) -> Vec<std::ops::Range<usize>> {
    let mut runs = Vec::new();
    let mut at = 0;
    for same in clicks.chunk_by(|a, b| a == b) {
        if same.first() == Some(&true) && same.len() <= LONGEST {
            runs.push(at..at + same.len());
        }
        at += same.len();
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clicks_go_and_all_else_stays() {
        let clean: Vec<f32> = (0_u16..4800).map(|n| (f32::from(n) * 0.1).sin()).collect();
        let mut clicked = clean.clone();
        for at in (100..4700).step_by(48) {
            clicked[at] = 8.0;
        }
        blank(&mut clicked, 48_000.0);
        let worst = clean
            .iter()
            .zip(&clicked)
            .map(|(a, b)| (a - b).abs())
            .fold(0.0, f32::max);
        // The line between neighbours of a sine is off by at most half of 0.1 squared.
        assert!(worst < 0.006, "{worst}");
        let mut untouched = clean.clone();
        blank(&mut untouched, 48_000.0);
        assert_eq!(untouched, clean);
    }
}
