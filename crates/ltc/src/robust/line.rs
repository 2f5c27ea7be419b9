//! The straight line through values that follow each other.

/// The line that fits values best, by the sum of squares.
#[derive(Debug, Clone, Copy)]
pub(super) struct Line {
    mean: f64,
    slope: f64,
    /// The number of the value in the middle.
    centre: f64,
}

impl Line {
    pub(super) fn through(values: &[f64]) -> Self {
        let count = values.len().max(1) as f64;
        let centre = (count - 1.0) / 2.0;
        let mean = values.iter().sum::<f64>() / count;
        let moments = values.iter().enumerate();
        let moment: f64 = moments.map(|(n, value)| (n as f64 - centre) * value).sum();
        Self {
            mean,
            // The squares of all numbers from the middle add up to a twelfth of that.
            slope: 12.0 * moment / (count * (count * count - 1.0)).max(1.0),
            centre,
        }
    }

    /// What it has in place of a value, or between two.
    pub(super) fn at(self, number: f64) -> f64 {
        self.mean + self.slope * (number - self.centre)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_goes_through_what_is_straight_and_between_what_is_not() {
        let straight: Vec<f64> = (0..7).map(|n| 3.0 - 0.5 * f64::from(n)).collect();
        let line = Line::through(&straight);
        assert!((line.at(0.0) - 3.0).abs() < 1e-12 && (line.at(7.5) + 0.75).abs() < 1e-12);
        // By hand: slope 1.5, mean 1.
        let line = Line::through(&[0.0, 0.0, 3.0]);
        assert!((line.at(0.0) + 0.5).abs() < 1e-12 && (line.at(2.0) - 2.5).abs() < 1e-12);
        assert!((Line::through(&[4.0]).at(0.0) - 4.0).abs() < 1e-12);
    }
}
