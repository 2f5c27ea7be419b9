//! The straight line on which windows agree.
//!
//! Two clocks that run at constant speeds part along a straight line. Windows in which nothing was
//! heard, or an echo, say anything; so the line is the one on which most agree, tried through every
//! pair (M. A. Fischler and R. C. Bolles, "Random sample consensus", CACM 24(6), 1981, with all
//! pairs in the place of random ones), and then the least-squares line through those.

use crate::coarse::MOST_DRIFT;

/// How near to the line a window must be to agree, in seconds.
pub(crate) const NEAR: f64 = 0.5e-3;
/// Before anything is measured, two clocks are expected to differ by so much: within what two
/// quartzes without compensation do. Short overlaps, that cannot tell, keep to it.
const EXPECTED_DRIFT: f64 = 40e-6;
/// What a window is off by at least, in seconds: the step of a kernel, the shape of a room.
const LEAST_SIGMA: f64 = 10e-6;
/// What all windows are off by alike, in seconds: filters in microphones and recorders.
const COMMON_SIGMA: f64 = 20e-6;

/// What one window says.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Point {
    /// The middle of the window, in seconds of the second recording's clock.
    pub(crate) second: f64,
    /// How much later the first has the same, in seconds.
    pub(crate) offset: f64,
    /// How clearly: the height of its peak.
    pub(crate) height: f64,
}

/// `offset + drift · (second − middle)`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Line {
    pub(crate) middle: f64,
    pub(crate) offset: f64,
    pub(crate) drift: f64,
    pub(crate) offset_sigma: f64,
    pub(crate) drift_sigma: f64,
}

impl Line {
    /// The line on which most of the points agree, if two do.
    pub(crate) fn through(points: &[Point]) -> Option<Self> {
        let mut best: Option<(usize, f64, Self)> = None;
        for (n, a) in points.iter().enumerate() {
            for b in &points[n + 1..] {
                let Some(line) = Self::of_two(a, b) else {
                    continue;
                };
                let near = points.iter().filter(|point| line.is_near(point));
                let (count, heights) = near.fold((0, 0.0), |(count, heights), point| {
                    (count + 1, heights + point.height.abs())
                });
                if best.is_none_or(|(most, highest, _)| (count, heights) > (most, highest)) {
                    best = Some((count, heights, line));
                }
            }
        }
        let (_, _, mut line) = best?;
        // The line moves a little, and then others may be near it.
        for _ in 0..3 {
            let near: Vec<Point> = points.iter().copied().filter(|p| line.is_near(p)).collect();
            line = Self::fitted(&near)?;
        }
        Some(line)
    }

    pub(crate) fn at(&self, second: f64) -> f64 {
        self.offset + self.drift * (second - self.middle)
    }

    pub(crate) fn is_near(&self, point: &Point) -> bool {
        (point.offset - self.at(point.second)).abs() <= NEAR
    }

    /// One standard deviation at a place.
    pub(crate) fn sigma_at(&self, second: f64) -> f64 {
        self.offset_sigma
            .hypot(self.drift_sigma * (second - self.middle))
    }

    /// Through two points, if clocks can part so fast.
    fn of_two(a: &Point, b: &Point) -> Option<Self> {
        let apart = b.second - a.second;
        let parted = b.offset - a.offset;
        // Two that are close together say little about the drift, and may be off by themselves.
        let drift = if apart.abs() * MOST_DRIFT > NEAR {
            parted / apart
        } else {
            0.0
        };
        let possible = parted.abs() <= NEAR + MOST_DRIFT * apart.abs();
        (possible && drift.abs() <= MOST_DRIFT).then_some(Self {
            middle: f64::midpoint(a.second, b.second),
            offset: f64::midpoint(a.offset, b.offset),
            drift,
            offset_sigma: 0.0,
            drift_sigma: 0.0,
        })
    }

    /// The most probable line through points, with the drift that is expected beforehand.
    fn fitted(points: &[Point]) -> Option<Self> {
        let mut weights = vec![1.0; points.len()];
        let mut line = None;
        let mut sigma = NEAR / 4.0;
        for _ in 0..5 {
            let fitted = Self::weighted(points, &weights, sigma)?;
            let rest = |point: &Point| point.offset - fitted.at(point.second);
            let squares = points
                .iter()
                .zip(&weights)
                .map(|(p, w)| w * rest(p).powi(2));
            let weight: f64 = weights.iter().sum();
            sigma = (squares.sum::<f64>() / (weight - 2.0).max(1.0))
                .sqrt()
                .max(LEAST_SIGMA);
            // Huber's weights: what is off by more counts by its sign.
            let weigh = |point: &Point| (1.345 * sigma / rest(point).abs()).min(1.0);
            weights = points.iter().map(weigh).collect();
            line = Some(fitted);
        }
        line
    }

    fn weighted(points: &[Point], weights: &[f64], sigma: f64) -> Option<Self> {
        let weight: f64 = weights.iter().sum();
        if points.len() < 2 || weight <= 0.0 {
            return None;
        }
        let mean = |value: &dyn Fn(&Point) -> f64| {
            let sum: f64 = points.iter().zip(weights).map(|(p, w)| w * value(p)).sum();
            sum / weight
        };
        let middle = mean(&|p| p.second);
        let offset = mean(&|p| p.offset);
        let square = weight * mean(&|p| (p.second - middle).powi(2));
        let product = weight * mean(&|p| (p.second - middle) * (p.offset - offset));
        let information = square / sigma.powi(2) + EXPECTED_DRIFT.powi(-2);
        Some(Self {
            middle,
            offset,
            drift: product / sigma.powi(2) / information,
            offset_sigma: (sigma / weight.sqrt()).hypot(COMMON_SIGMA),
            drift_sigma: information.sqrt().recip(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(second: f64, offset: f64) -> Point {
        Point {
            second,
            offset,
            height: 10.0,
        }
    }

    #[test]
    fn a_third_of_wild_points_does_not_move_the_line() {
        let mut points: Vec<Point> = (0..20)
            .map(|n| point(f64::from(n) * 60.0, 5.0 + 50e-6 * f64::from(n) * 60.0))
            .collect();
        for n in (0..20).step_by(3) {
            points[n].offset += 0.007 * f64::midpoint(1.0, n as f64);
        }
        let line = Line::through(&points).unwrap();
        assert!((line.drift - 50e-6).abs() < 1e-9, "{line:?}");
        assert!((line.at(0.0) - 5.0).abs() < 1e-6, "{line:?}");
    }

    #[test]
    fn a_short_overlap_keeps_to_the_drift_that_is_expected() {
        let points = [point(0.0, 1.0), point(1.0, 1.0003), point(2.0, 0.9999)];
        let line = Line::through(&points).unwrap();
        assert!(line.drift.abs() < 20e-6, "{line:?}");
        assert!(line.drift_sigma > 30e-6, "{line:?}");
    }

    #[test]
    fn clocks_that_part_too_fast_are_none() {
        assert!(Line::through(&[point(0.0, 0.0), point(10.0, 0.1)]).is_none());
        assert!(Line::through(&[]).is_none());
    }
}
