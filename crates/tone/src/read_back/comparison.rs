//! Codewords that were read against those that were asked for.

use plumbline_ltc::{Direction, Received};

use super::difference::Difference;
use crate::Plan;
use crate::schedule::Place;

/// How far from its place a codeword may begin, in samples.
const TOLERANCE: f64 = 0.1;

/// Goes through a plan's codewords as they are read. They are matched by place, so that one that
/// is missing does not make all others wrong.
#[derive(Debug)]
pub(super) struct Comparison {
    plan: Plan,
    /// The number of the next codeword that is awaited.
    next: u64,
    as_asked: u64,
    /// What differed first.
    difference: Option<Difference>,
}

impl Comparison {
    pub(super) const fn new(plan: Plan) -> Self {
        Self {
            plan,
            next: 0,
            as_asked: 0,
            difference: None,
        }
    }

    /// Takes the next codeword that was read.
    pub(super) fn receive(&mut self, received: &Received) {
        let near = self.plan.schedule.codeword_samples() / 2.0;
        while self.next < self.plan.codeword_count() {
            let off = off(received, self.plan.schedule.begins(self.next));
            if off < -near {
                break;
            }
            let number = self.next;
            self.next += 1;
            if off <= near {
                return self.compare(number, received, off);
            }
            self.differs(Difference::Missing(number));
        }
        self.differs(Difference::Extra {
            codeword: received.codeword,
            sample: received.begins.sample,
        });
    }

    fn compare(&mut self, number: u64, received: &Received, off: f64) {
        let codeword = received.codeword;
        if codeword != self.plan.codeword(number) {
            self.differs(Difference::Bits { number, codeword });
        } else if received.direction == Direction::Reverse {
            self.differs(Difference::Backwards(number));
        } else if off.abs() > TOLERANCE {
            self.differs(Difference::Place { number, off });
        } else {
            self.as_asked += 1;
        }
    }

    /// Takes the end of the sound: what was still awaited is missing.
    pub(super) fn finish(&mut self) {
        if self.next < self.plan.codeword_count() {
            self.differs(Difference::Missing(self.next));
        }
    }

    /// Takes note of a difference, if it is the first.
    pub(super) fn differs(&mut self, difference: Difference) {
        self.difference.get_or_insert(difference);
    }

    /// Takes note of a difference that explains the others.
    pub(super) fn differs_in_all(&mut self, difference: Difference) {
        self.difference = Some(difference);
    }

    /// How many codewords were as asked.
    pub(super) const fn as_asked(&self) -> u64 {
        self.as_asked
    }

    /// What differed first.
    pub(super) fn into_difference(self) -> Option<Difference> {
        self.difference
    }
}

/// How many samples after its place a codeword begins.
fn off(received: &Received, place: Place) -> f64 {
    let at = received.first_edge();
    #[expect(
        clippy::cast_possible_wrap,
        reason = "a day at 192 kHz has 34 bits, and a difference that wraps is no small one"
    )]
    let whole = at.sample.wrapping_sub(place.sample) as i64;
    whole as f64 + (f64::from(at.fraction) - place.fraction())
}
