//! The fits of all codewords added up, as one moment has them.
//!
//! What changes from codeword to codeword is known from the moment, so the levels that it turns
//! round can be turned back. What remains is the same in all, and adds up.
//!
//! While a second lasts, only frames change, and they do so in the same way in all of them. So the
//! codewords of a second are added up but once for all moments that have one begin there.

use std::collections::HashMap;

use super::columns::{Column, Fits, GROUPS, VALUES, flags, parity};
use super::member::{Advance, Member, Moment, Row, Side};

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

/// Adds up codewords.
#[derive(Debug)]
pub(super) struct Adder<'a> {
    columns: &'a [Column],
    rows: HashMap<Kind, Added>,
}

/// All that the sum of a row of codewords depends on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
struct Kind {
    /// The first of them.
    from: usize,
    /// Its frame.
    frame: usize,
    advance: Advance,
    correcting: Option<usize>,
    /// Whether each turns the level round for the next one, but for what frames do.
    turns: bool,
}

/// A row of codewords added up with level +1 before the first, whichever second it is.
#[derive(Debug)]
struct Added {
    /// Of the groups of frames, by the value of the flags beside the digits; of others, by their value.
    groups: [Fits; GROUPS],
    /// The group that corrects: of the codewords in which the level before it is +1, and of the others.
    correcting: [Fits; 2],
    sync: f32,
    /// The level after the last.
    level: f32,
}

impl Sums {
    const NONE: Self = Self {
        groups: [[0.0; VALUES]; GROUPS],
        correcting: [[0.0; VALUES]; 2],
        sync: 0.0,
    };

    /// Adds a row with a level before it.
    fn add(&mut self, added: &Added, row: Row, correcting: Option<usize>, mut level: f32) {
        for (group, fits) in added.groups.iter().enumerate() {
            let sums = &mut self.groups[group];
            let digit = digit(group, FIRST_OF_SECONDS, row.seconds);
            if correcting == Some(group) {
                let of_level = added.correcting.iter().zip([level, -level]);
                for (fits, level) in of_level {
                    correct(&mut self.correcting, fits, digit, level);
                }
                level = 1.0;
            } else if let Some(digit) = digit {
                add_beside(sums, fits, group, digit, level);
                level *= parity(digit);
            } else {
                add(sums, fits, level);
            }
        }
        self.sync += level * added.sync;
    }
}

/// The first group of frames, and that of seconds.
const FIRST_OF_FRAMES: usize = 0;
const FIRST_OF_SECONDS: usize = 4;

/// The digit in a group, if it has one of two that begin with another group.
fn digit(group: usize, first: usize, [units, tens]: [usize; 2]) -> Option<usize> {
    match group.checked_sub(first) {
        Some(0) => Some(units),
        Some(2) => Some(tens),
        _ => None,
    }
}

impl<'a> Adder<'a> {
    pub(super) fn new(columns: &'a [Column]) -> Self {
        Self {
            columns,
            rows: HashMap::new(),
        }
    }

    /// How many there are.
    pub(super) fn codewords(&self) -> usize {
        self.columns.len()
    }

    /// The sums before and after the border. `turn` is what codewords after the border do to the
    /// level, compared with those before it, if nothing corrects.
    pub(super) fn sums(&mut self, moment: Moment, turn: f32) -> [Sums; 2] {
        let mut sums = [Sums::NONE, Sums::NONE];
        let correcting = moment.member.correcting();
        let mut level = 1.0;
        for row in moment.rows(self.columns.len()) {
            let turns = match row.side {
                Side::Before => moment.member.turn(),
                Side::After => moment.member.turn() * turn,
            };
            let turns = turns * row.seconds.into_iter().map(parity).product::<f32>();
            let added = self.row(row, moment.member, turns);
            sums[row.side as usize].add(added, row, correcting, level);
            level *= added.level;
        }
        sums
    }

    fn row(&mut self, row: Row, member: Member, turns: f32) -> &Added {
        let correcting = member.correcting();
        let kind = Kind {
            from: row.from,
            frame: row.frame,
            advance: member.advance,
            correcting,
            turns: correcting.is_none() && turns < 0.0,
        };
        let columns = &self.columns[row.from..row.from + row.codewords];
        let added = || Added::of(columns, kind);
        self.rows.entry(kind).or_insert_with(added)
    }
}

impl Added {
    fn of(columns: &[Column], kind: Kind) -> Self {
        let mut sum = Self {
            groups: [[0.0; VALUES]; GROUPS],
            correcting: [[0.0; VALUES]; 2],
            sync: 0.0,
            level: 1.0,
        };
        for (number, column) in columns.iter().enumerate() {
            let frame = kind.frame + kind.advance.frames(number);
            let frame = [frame % 10, frame / 10];
            sum.add(column, frame, kind.correcting);
            if kind.correcting.is_none() {
                let turns = if kind.turns { -1.0 } else { 1.0 };
                sum.level *= turns * frame.into_iter().map(parity).product::<f32>();
            }
        }
        sum
    }

    /// Adds a codeword.
    fn add(&mut self, column: &Column, frame: [usize; 2], correcting: Option<usize>) {
        let mut level = self.level;
        for (group, fits) in column.groups.iter().enumerate() {
            let sums = &mut self.groups[group];
            if correcting == Some(group) {
                add(&mut self.correcting[usize::from(level < 0.0)], fits, 1.0);
                level = 1.0;
            } else if let Some(digit) = digit(group, FIRST_OF_FRAMES, frame) {
                add_beside(sums, fits, group, digit, level);
                level *= parity(digit);
            } else {
                add(sums, fits, level);
            }
        }
        self.sync += level * column.sync;
    }
}

/// Adds the fits of all values of a group.
fn add(sums: &mut Fits, fits: &Fits, level: f32) {
    let sums = sums.iter_mut().zip(fits);
    sums.for_each(|(sum, fit)| *sum += level * fit);
}

/// Adds those of a digit with each value of the flags beside it.
fn add_beside(sums: &mut Fits, fits: &Fits, group: usize, digit: usize, level: f32) {
    for &flag in flags(group).unwrap_or_default() {
        sums[flag] += level * fits[digit | flag];
    }
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
