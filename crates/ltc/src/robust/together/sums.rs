//! The fits of all codewords added up, as one moment has them.
//!
//! What changes from codeword to codeword is known from the moment, so the levels that it turns
//! round can be turned back. What remains is the same in all, and adds up.

use super::columns::{Column, Fits, GROUPS, VALUES, flags, parity};
use super::member::{Moment, Now, Side};

/// The sums over the codewords on one side of the border of a minute.
#[derive(Debug, Clone)]
pub(super) struct Sums {
    /// Of groups that are the same in all codewords, by their value; of groups with digits that
    /// change, by the value of the flags beside these.
    pub(super) groups: [Fits; GROUPS],
    /// Of the group that corrects, by the values that its other bits have where they are the same:
    /// if it makes the level what the digits that change would make it by themselves, and if the
    /// opposite.
    pub(super) correcting: [Fits; 2],
    pub(super) sync: f32,
}

impl Sums {
    const NONE: Self = Self {
        groups: [[0.0; VALUES]; GROUPS],
        correcting: [[0.0; VALUES]; 2],
        sync: 0.0,
    };
}

/// The sums before and after the border. `turn` is what codewords after the border do to the
/// level, compared with those before it, if nothing corrects. Only the first `groups` are added up.
pub(super) fn of(columns: &[Column], moment: Moment, turn: f32, groups: usize) -> [Sums; 2] {
    let mut sums = [Sums::NONE, Sums::NONE];
    let mut level = 1.0;
    for (number, column) in columns.iter().enumerate() {
        let now = moment.at(number);
        let side = &mut sums[now.side as usize];
        add(side, column, moment, now, level, groups);
        if moment.member.correcting().is_none() {
            level *= moment.member.turn() * now.digits.into_iter().map(parity).product::<f32>();
            if now.side == Side::After {
                level *= turn;
            }
        }
    }
    sums
}

/// Adds a codeword with the level before it.
fn add(sums: &mut Sums, column: &Column, moment: Moment, now: Now, mut level: f32, groups: usize) {
    let correcting = moment.member.correcting();
    for (group, fits) in column.groups.iter().enumerate().take(groups) {
        let digit = now.digits.get(group / 2).copied().zip(flags(group));
        if correcting == Some(group) {
            correct(
                &mut sums.correcting,
                fits,
                digit.map(|(digit, _)| digit),
                level,
            );
            level = 1.0;
        } else if let Some((digit, flags)) = digit {
            for &flag in flags {
                sums.groups[group][flag] += level * fits[digit | flag];
            }
            level *= parity(digit);
        } else {
            let sums = sums.groups[group].iter_mut();
            sums.zip(fits).for_each(|(sum, fit)| *sum += level * fit);
        }
    }
    sums.sync += level * column.sync;
}

/// The highest bit is whatever makes the level after the group what it has to be.
fn correct(sums: &mut [Fits; 2], fits: &Fits, digit: Option<usize>, level: f32) {
    for (sums, wanted) in sums.iter_mut().zip([level, -level]) {
        let value = |low: usize| {
            low | if (parity(low) > 0.0) == (wanted > 0.0) {
                0
            } else {
                8
            }
        };
        match digit {
            Some(digit) => sums[0] += level * fits[value(digit)],
            None => (0..8).for_each(|low| sums[low] += level * fits[value(low)]),
        }
    }
}
