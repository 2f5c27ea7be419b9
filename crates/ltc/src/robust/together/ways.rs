//! The best way through the groups of a codeword, for what is the same in all codewords.
//!
//! Two levels are kept: that of the codewords before the border of a minute, and whether those after
//! it have the same.

use super::columns::{Fits, GROUPS, TIME_GROUPS, VALUES, flags, parity};
use super::member::{Member, Polarity};
use super::sums::Sums;

/// What can't be.
const NEVER: f32 = -1e30;

/// The levels of both sides.
#[derive(Debug, Clone, Copy, PartialEq)]
struct State {
    /// The level of the codewords before the border.
    level: f32,
    /// 1 if those after it have the same, -1 if they have the other.
    alike: f32,
}

const STATES: [State; 4] = [
    State {
        level: 1.0,
        alike: 1.0,
    },
    State {
        level: 1.0,
        alike: -1.0,
    },
    State {
        level: -1.0,
        alike: 1.0,
    },
    State {
        level: -1.0,
        alike: -1.0,
    },
];

impl State {
    fn index(self) -> usize {
        2 * usize::from(self.level < 0.0) + usize::from(self.alike < 0.0)
    }

    fn after(self, level: f32, alike: f32) -> usize {
        let state = State {
            level: self.level * level,
            alike: self.alike * alike,
        };
        state.index()
    }
}

/// The best step from one state to another, with the value that the group then has.
#[derive(Debug, Clone, Copy)]
struct Step {
    fit: f32,
    value: u8,
}

/// The steps from each state to each.
#[derive(Debug, Clone, Copy)]
pub(super) struct Steps([[Step; 4]; 4]);

impl Steps {
    const NONE: Self = Self(
        [[Step {
            fit: NEVER,
            value: 0,
        }; 4]; 4],
    );

    fn offer(&mut self, from: State, to: usize, fit: f32, value: usize) {
        let step = &mut self.0[from.index()][to];
        if fit > step.fit {
            *step = Step {
                fit,
                value: u8::try_from(value).unwrap_or(0),
            };
        }
    }
}

/// A way from the first group to the last.
#[derive(Debug, Clone, Copy)]
pub(super) struct Way {
    pub(super) fit: f32,
    /// The values of its groups, the first in the lowest bits.
    pub(super) values: u64,
}

impl Way {
    const NEVER: Self = Self {
        fit: NEVER,
        values: 0,
    };
}

/// Minutes and hours: their units and tens, before the border and after it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Clock {
    before: [usize; 4],
    after: [usize; 4],
}

impl Clock {
    /// Minute `minute` of the day, and what comes after the border.
    pub(super) fn new(minute: usize, after: usize) -> Self {
        let digits = |minute: usize| {
            let (hours, minutes) = (minute / 60 % 24, minute % 60);
            [minutes % 10, minutes / 10, hours % 10, hours / 10]
        };
        Self {
            before: digits(minute),
            after: digits(after),
        }
    }
}

/// How many values the digits of minutes and hours may have.
const DIGITS: [usize; 4] = [10, 6, 10, 3];
/// The first group of minutes.
const MINUTES: usize = 8;

/// The sums of a moment, made ready for the search.
#[derive(Debug)]
pub(super) struct Search<'a> {
    member: Member,
    sums: &'a [Sums; 2],
    turn: f32,
    /// The steps of the groups without minutes and hours.
    steps: [Steps; GROUPS],
}

impl<'a> Search<'a> {
    /// `turn` is that of the sums.
    pub(super) fn new(member: Member, sums: &'a [Sums; 2], turn: f32) -> Self {
        let mut steps = [Steps::NONE; GROUPS];
        for (group, steps) in steps.iter_mut().enumerate() {
            if digit_of_clock(group).is_none() {
                *steps = alike(member, sums, group);
            }
        }
        Self {
            member,
            sums,
            turn,
            steps,
        }
    }

    /// No way is better than this, whatever minutes and hours are.
    pub(super) fn bound(&self) -> f32 {
        let best = self.best(|group, digit| {
            let flags = flags_of(self.member, group).iter();
            let values = flags.flat_map(|flag| (0..DIGITS[digit]).map(move |value| value | flag));
            let values: Vec<usize> = values.collect();
            if self.member.correcting() == Some(group) {
                let pairs = values
                    .iter()
                    .flat_map(|&a| values.iter().map(move |&b| [a, b]));
                correct(self.sums, &pairs.collect::<Vec<_>>())
            } else {
                free(self.sums, group, &values)
            }
        });
        best.fit
    }

    /// The best way at a minute of the day.
    pub(super) fn at(&self, clock: Clock) -> Way {
        self.best(|group, digit| {
            let (before, after) = (clock.before[digit], clock.after[digit]);
            let flags = flags_of(self.member, group);
            if self.member.correcting() == Some(group) {
                let values = flags.iter().map(|flag| [before | flag, after | flag]);
                correct(self.sums, &values.collect::<Vec<_>>())
            } else {
                timed(self.sums, group, before, after, flags)
            }
        })
    }

    /// The best of all ways, with these steps for minutes and hours.
    fn best(&self, of_clock: impl Fn(usize, usize) -> Steps) -> Way {
        let steps: [Steps; GROUPS] = std::array::from_fn(|group| match digit_of_clock(group) {
            Some(digit) => of_clock(group, digit),
            None => self.steps[group],
        });
        let ways = [1.0, -1.0].map(|level| self.from(level, &steps));
        let [up, down] = ways;
        if up.fit > down.fit { up } else { down }
    }

    /// The best way that begins at a level. The synchronizing word turns the level round, so it ends
    /// where that makes the next codeword begin as it has to.
    fn from(&self, level: f32, steps: &[Steps; GROUPS]) -> Way {
        let mut ways = [Way::NEVER; 4];
        let first = State { level, alike: 1.0 };
        ways[first.index()] = Way {
            fit: 0.0,
            values: 0,
        };
        for (group, steps) in steps.iter().enumerate() {
            ways = next(&ways, steps, group);
        }
        let last = State {
            level: -level * self.member.turn(),
            alike: match self.member.polarity {
                Polarity::Corrected => 1.0,
                Polarity::RunsEven | Polarity::RunsOdd => self.turn,
            },
        };
        let [before, after] = self.sums;
        let sync = last.level * (before.sync + last.alike * after.sync);
        let way = ways[last.index()];
        Way {
            fit: way.fit + sync,
            ..way
        }
    }
}

/// How well the groups up to the last digit of seconds fit, whatever comes after them.
pub(super) fn beginning(member: Member, sums: &[Sums; 2]) -> f32 {
    let mut ways = [Way::NEVER; 4];
    for state in [STATES[0], STATES[2]] {
        ways[state.index()].fit = 0.0;
    }
    for group in 0..TIME_GROUPS {
        ways = next(&ways, &alike(member, sums, group), group);
    }
    ways.iter().map(|way| way.fit).fold(NEVER, f32::max)
}

fn next(ways: &[Way; 4], steps: &Steps, group: usize) -> [Way; 4] {
    std::array::from_fn(|to| {
        let come = ways.iter().zip(&steps.0).map(|(way, steps)| Way {
            fit: way.fit + steps[to].fit,
            values: way.values | u64::from(steps[to].value) << (4 * group),
        });
        come.fold(Way::NEVER, |a, b| if b.fit > a.fit { b } else { a })
    })
}

/// The number of the digit of minutes and hours in a group.
fn digit_of_clock(group: usize) -> Option<usize> {
    (group >= MINUTES && group.is_multiple_of(2)).then(|| (group - MINUTES) / 2)
}

/// The flags beside the digit in a group, less the one that corrects.
fn flags_of(member: Member, group: usize) -> &'static [usize] {
    if member.correcting() == Some(group) {
        &[0, 4]
    } else {
        flags(group).unwrap_or_default()
    }
}

fn fit(fits: &Fits, value: usize) -> f32 {
    fits.get(value).copied().unwrap_or(NEVER)
}

/// The steps of a group without minutes and hours.
fn alike(member: Member, sums: &[Sums; 2], group: usize) -> Steps {
    if member.correcting() == Some(group) {
        correct(sums, &[[0, 0]])
    } else {
        same(sums, group, flags(group).unwrap_or(&ALL))
    }
}

/// All values of a group.
const ALL: [usize; VALUES] = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15];

/// Steps where both sides have the same value.
fn same(sums: &[Sums; 2], group: usize, values: &[usize]) -> Steps {
    let mut steps = Steps::NONE;
    let [before, after] = sums;
    for from in STATES {
        for &value in values {
            let (before, after) = (
                fit(&before.groups[group], value),
                fit(&after.groups[group], value),
            );
            let to = from.after(parity(value), 1.0);
            steps.offer(from, to, from.level * (before + from.alike * after), value);
        }
    }
    steps
}

/// Steps where each side has its digit, with the same flags.
fn timed(sums: &[Sums; 2], group: usize, before: usize, after: usize, flags: &[usize]) -> Steps {
    let mut steps = Steps::NONE;
    for from in STATES {
        for &flag in flags {
            let (a, b) = (before | flag, after | flag);
            let to = from.after(parity(a), parity(a) * parity(b));
            let both = fit(&sums[0].groups[group], a) + from.alike * fit(&sums[1].groups[group], b);
            steps.offer(from, to, from.level * both, a);
        }
    }
    steps
}

/// Steps where each side has any of the values.
fn free(sums: &[Sums; 2], group: usize, values: &[usize]) -> Steps {
    let best = |sums: &Sums, level: f32, wanted: f32| {
        let values = values
            .iter()
            .filter(|&&value| (parity(value) > 0.0) == (wanted > 0.0));
        values
            .map(|&value| level * fit(&sums.groups[group], value))
            .fold(NEVER, f32::max)
    };
    let mut steps = Steps::NONE;
    for from in STATES {
        for (a, b) in [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)] {
            let both = best(&sums[0], from.level, a) + best(&sums[1], from.level * from.alike, b);
            steps.offer(from, from.after(a, a * b), both, 0);
        }
    }
    steps
}

/// Steps of the group that corrects. After it the level is what the rest of the codeword needs, so
/// those before the border and those after it may be alike or not; `values` are those of its other
/// bits, before and after.
fn correct(sums: &[Sums; 2], values: &[[usize; 2]]) -> Steps {
    let mut steps = Steps::NONE;
    let of = |sums: &Sums, turn: f32, value: usize| {
        let [same, opposite] = &sums.correcting;
        fit(if turn > 0.0 { same } else { opposite }, value)
    };
    for from in STATES {
        for to in STATES {
            let turn = from.level * to.level;
            for &[before, after] in values {
                let a = of(&sums[0], turn, before);
                let b = of(&sums[1], turn * from.alike * to.alike, after);
                let both = from.level * (a + from.alike * b);
                steps.offer(from, to.index(), both, before);
            }
        }
    }
    steps
}
