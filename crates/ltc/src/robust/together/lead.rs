//! How probable it is that a part of a codeword leads from one level to another.

use std::ops::Mul;

use super::columns::{Fits, parity};
use super::member::Polarity;
use crate::robust::trellis::Levels;

/// The level of half cells; that of the noise is 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub(super) struct Amplitude(pub(super) f64);

/// How probable the half cells of a part of a codeword are with it: from +1 and from -1, to +1 and to -1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Lead([[f64; 2]; 2]);

impl Lead {
    /// Of a group that has one of some values, each as probable as any other.
    pub(super) fn of_group(
        fits: &Fits,
        amplitude: Amplitude,
        values: impl Iterator<Item = usize>,
    ) -> Self {
        let most = fits.iter().fold(0.0, |most: f32, fit| most.max(fit.abs()));
        let probable = |fit: f32| (amplitude.0 * f64::from(fit - most)).exp();
        let mut sum = [[0.0; 2]; 2];
        let mut count = 0.0;
        for value in values {
            let turns = usize::from(parity(value) < 0.0);
            sum[0][turns] += probable(fits[value]);
            sum[1][1 - turns] += probable(-fits[value]);
            count += 1.0;
        }
        Self(sum.map(|from| from.map(|to| to / count)))
    }

    /// Of the synchronizing word, after which the level is the other one.
    pub(super) fn of_sync(fit: f32, amplitude: Amplitude) -> Self {
        let probable = |fit: f32| (amplitude.0 * f64::from(fit)).exp();
        let most = probable(fit.abs());
        Self([[0.0, probable(fit) / most], [probable(-fit) / most, 0.0]])
    }

    /// Of one of some parts, each as probable as any other.
    pub(super) fn of_any(leads: &[Self]) -> Self {
        let mut sum = [[0.0; 2]; 2];
        for Self(lead) in leads {
            let pairs = sum.iter_mut().flatten().zip(lead.iter().flatten());
            pairs.for_each(|(sum, lead)| *sum += lead / leads.len() as f64);
        }
        Self(sum)
    }

    /// The levels after a codeword, by those before it.
    pub(super) fn after(&self, [up, down]: Levels, polarity: Polarity) -> Levels {
        let Self([from_up, from_down]) = self;
        match polarity {
            // A bit sees to it that they are the same.
            Polarity::Corrected => [up * from_up[0], down * from_down[1]],
            Polarity::RunsEven | Polarity::RunsOdd => [
                up * from_up[0] + down * from_down[0],
                up * from_up[1] + down * from_down[1],
            ],
        }
    }
}

impl Mul for Lead {
    type Output = Self;

    /// One part, and then another.
    fn mul(self, Self([up, down]): Self) -> Self {
        Self(
            self.0
                .map(|[a, b]| [a * up[0] + b * down[0], a * up[1] + b * down[1]]),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::super::columns::{Column, GROUPS, VALUES};
    use super::*;
    use crate::robust::pattern::{HALVES, prior};
    use crate::robust::testing::Random;
    use crate::robust::trellis;

    /// With all groups free, what leads through a codeword is what the trellis says of it, which goes from
    /// cell to cell; both leave out how loud all is, so two sounds are compared that are as loud.
    #[test]
    fn groups_lead_where_their_cells_do() {
        const AMPLITUDE: f32 = 0.8;
        let by_groups = |halves: &[f32]| -> f64 {
            let column = Column::of(halves);
            let amplitude = Amplitude(f64::from(AMPLITUDE));
            let most = |fits: &Fits| fits.iter().fold(0.0, |most: f32, fit| most.max(fit.abs()));
            let left_out: f32 = column.groups.iter().map(most).sum::<f32>() + column.sync.abs();
            let groups = (0..GROUPS)
                .map(|group| Lead::of_group(&column.groups[group], amplitude, 0..VALUES));
            let all = groups.reduce(|all, group| all * group).unwrap();
            let all = all * Lead::of_sync(column.sync, amplitude);
            let levels = all.after([1.0, 1.0], Polarity::RunsEven);
            (levels[0] + levels[1]).ln() + f64::from(AMPLITUDE * left_out)
        };
        let by_cells = |halves: &[f32]| -> f64 {
            let slopes: Vec<f32> = halves.iter().map(|half| AMPLITUDE * half).collect();
            trellis::likelihood(&slopes, prior)
        };
        let mut random = Random::new(91);
        for _ in 0..20 {
            let halves: Vec<f32> = (0..HALVES).map(|_| 1.5 * random.normal()).collect();
            let turned: Vec<f32> = halves
                .iter()
                .map(|half| half * random.bits().cast_signed().signum() as f32)
                .collect();
            let groups = by_groups(&halves) - by_groups(&turned);
            let cells = by_cells(&halves) - by_cells(&turned);
            assert!((groups - cells).abs() < 1e-4, "{groups} {cells}");
        }
    }
}
