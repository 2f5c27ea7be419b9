//! Integrals of sampled sound between any two moments.

use super::whole;

/// The sums of all samples before each one. A sample stands for the sound from half a sample
/// before it to half a sample after, so moments are those of [`crate::Position`].
///
/// Double precision: the sum of millions of samples must still tell one of them.
#[derive(Debug, Clone)]
pub(super) struct RunningSum(Vec<f64>);

impl RunningSum {
    pub(super) fn of(samples: &[f32]) -> Self {
        let mut sums = Vec::with_capacity(samples.len() + 1);
        let mut sum = 0.0;
        sums.push(sum);
        for &sample in samples {
            sum += f64::from(sample);
            sums.push(sum);
        }
        Self(sums)
    }

    /// How many samples it is of.
    pub(super) fn samples(&self) -> usize {
        self.0.len() - 1
    }

    /// The integral up to a moment; outside of the samples there is silence.
    pub(super) fn until(&self, moment: f64) -> f64 {
        let last = self.0.len() - 1;
        let at = (moment + 0.5).clamp(0.0, last as f64);
        let before = whole::index(at);
        let (a, b) = (self.0[before], self.0[(before + 1).min(last)]);
        a + (b - a) * (at - before as f64)
    }

    /// The integral over each of the parts into which `borders` cut the sound.
    pub(super) fn parts(&self, borders: impl Iterator<Item = f64>) -> Vec<f32> {
        let mut parts = Vec::with_capacity(borders.size_hint().0);
        let mut before = None;
        borders.for_each(|border| {
            let until = self.until(border);
            if let Some(before) = before.replace(until) {
                parts.push(whole::single(until - before));
            }
        });
        parts
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sample_stands_for_half_a_sample_on_either_side() {
        let sums = RunningSum::of(&[1.0, 10.0, 100.0]);
        let parts = sums.parts([-0.5, 0.25, 1.5, 2.5, 9.0].into_iter());
        assert_eq!(parts, [0.75, 10.25, 100.0, 0.0]);
    }
}
