//! The kinds of code that are looked for, and what each says of every codeword.

/// A kind of code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Member {
    /// Frames in a second: 24, 25 or 30.
    pub(super) base: u16,
    pub(super) advance: Advance,
    pub(super) polarity: Polarity,
}

/// Whether addresses count on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Advance {
    Onwards,
    Still,
}

impl Advance {
    /// By how many frames so many codewords advance.
    pub(super) fn frames(self, codewords: usize) -> usize {
        match self {
            Self::Onwards => codewords,
            Self::Still => 0,
        }
    }
}

/// How the level before one codeword follows from that before the last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Polarity {
    /// It is the same: a bit sees to that (IEC 60461 clause 8.2.6).
    Corrected,
    /// Each 0 turns it round. Of what is the same in all codewords there is an even number of zeros.
    RunsEven,
    /// Or an odd one.
    RunsOdd,
}

/// The group with bit 27, and that with bit 59.
const BIT_27: usize = 6;
const BIT_59: usize = 14;

impl Member {
    /// The group whose highest bit corrects, if one does.
    pub(super) fn correcting(self) -> Option<usize> {
        match (self.polarity, self.base) {
            (Polarity::RunsEven | Polarity::RunsOdd, _) => None,
            (Polarity::Corrected, 25) => Some(BIT_59),
            (Polarity::Corrected, _) => Some(BIT_27),
        }
    }

    /// What the level before a codeword becomes from one to the next, but for the digits that
    /// change.
    pub(super) fn turn(self) -> f32 {
        match self.polarity {
            Polarity::Corrected | Polarity::RunsEven => 1.0,
            Polarity::RunsOdd => -1.0,
        }
    }

    /// How the level may run with what is the same in all codewords unknown.
    pub(super) fn either_turn(self) -> &'static [Polarity] {
        match self.polarity {
            Polarity::Corrected => &[Polarity::Corrected],
            Polarity::RunsEven | Polarity::RunsOdd => &[Polarity::RunsEven, Polarity::RunsOdd],
        }
    }

    /// Everything that a run of codewords may begin with, less minutes and hours.
    pub(super) fn moments(self, codewords: usize) -> Vec<Moment> {
        let minute = 60 * self.base;
        let each = (0..minute).flat_map(|first| {
            let plain = Moment {
                member: self,
                first,
                border: Border::Plain,
            };
            let left_out = Moment {
                border: Border::LeavesOut,
                ..plain
            };
            let crosses = self.base == 30 && plain.crosses(codewords);
            [Some(plain), crosses.then_some(left_out)]
        });
        each.flatten().collect()
    }
}

/// How frames are counted over the border of a minute.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Border {
    Plain,
    /// The numbers 0 and 1 are left out, as in drop-frame.
    LeavesOut,
}

/// What a run of codewords begins with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Moment {
    pub(super) member: Member,
    /// The number of its first frame in the minute.
    pub(super) first: u16,
    pub(super) border: Border,
}

/// On which side of the border of a minute a codeword is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Before = 0,
    After = 1,
}

/// What is known of a codeword.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Now {
    pub(super) side: Side,
    /// Frames and seconds: units and tens.
    pub(super) digits: [usize; 4],
}

/// Codewords one after the other that have the same second.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Row {
    /// The number of the first.
    pub(super) from: usize,
    pub(super) codewords: usize,
    /// The frame of the first.
    pub(super) frame: usize,
    /// The second: units and tens.
    pub(super) seconds: [usize; 2],
    pub(super) side: Side,
}

impl Moment {
    /// So many codewords, as rows.
    pub(super) fn rows(self, codewords: usize) -> impl Iterator<Item = Row> {
        let row = move |from| {
            let now = self.at(from);
            let [frames, tens, seconds, seconds_tens] = now.digits;
            let frame = 10 * tens + frames;
            let left = match self.member.advance {
                Advance::Onwards => usize::from(self.member.base) - frame,
                Advance::Still => codewords,
            };
            let row = Row {
                from,
                codewords: left.min(codewords - from),
                frame,
                seconds: [seconds, seconds_tens],
                side: now.side,
            };
            (row.codewords > 0).then_some(row)
        };
        std::iter::successors(row(0), move |last| row(last.from + last.codewords))
    }

    /// Of codeword `number`.
    pub(super) fn at(self, number: usize) -> Now {
        let base = usize::from(self.member.base);
        let frame = usize::from(self.first) + self.member.advance.frames(number);
        let minute = 60 * base;
        let (side, frame) = match (frame.checked_sub(minute), self.border) {
            (None, _) => (Side::Before, frame),
            (Some(after), Border::Plain) => (Side::After, after),
            (Some(after), Border::LeavesOut) => (Side::After, after + 2),
        };
        let (seconds, frames) = (frame / base % 60, frame % base);
        Now {
            side,
            digits: [frames % 10, frames / 10, seconds % 10, seconds / 10],
        }
    }

    /// What codewords from number `number` on begin with, less the border that is behind them.
    pub(super) fn later(self, number: usize) -> Self {
        let [frames, tens, seconds, seconds_tens] = self.at(number).digits;
        let base = usize::from(self.member.base);
        let first = (10 * seconds_tens + seconds) * base + 10 * tens + frames;
        Self {
            first: u16::try_from(first).unwrap_or(0),
            ..self
        }
    }

    /// The same with another run of levels.
    pub(super) fn of(self, polarity: Polarity) -> Self {
        Self {
            member: Member {
                polarity,
                ..self.member
            },
            ..self
        }
    }

    /// Whether so many codewords go beyond the minute.
    pub(super) fn crosses(self, codewords: usize) -> bool {
        self.at(codewords.saturating_sub(1)).side == Side::After
    }
}
