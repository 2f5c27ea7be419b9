//! Whoever reads takes.

use std::fmt::Debug;

use plumbline_ltc::{Demodulator, Direction, Received};
use plumbline_timecode::{Count, Frames};

use crate::{Frame, Take};

/// Whoever reads takes.
pub trait Reader: Debug + Sync {
    /// What it is called, in tables and curves.
    fn name(&self) -> &'static str;

    /// The frames that it says it read.
    fn read(&self, take: &Take) -> Vec<Frame>;
}

/// The reader of `plumbline-ltc`.
///
/// A demodulator hands out codewords with how far each can be trusted. Those count that it trusts,
/// and those that a neighbour bears out: the next codeword, where it should be, with the address
/// that follows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Plumbline;

impl Reader for Plumbline {
    fn name(&self) -> &'static str {
        "Plumbline"
    }

    fn read(&self, take: &Take) -> Vec<Frame> {
        let mut demodulator = Demodulator::new(take.sample_rate);
        let mut received = Vec::new();
        demodulator.push(&take.samples, &mut |word| received.push(word));
        demodulator.finish(&mut |word| received.push(word));
        let borne_out = |n: usize| {
            let before = n.checked_sub(1).and_then(|n| received.get(n));
            let after = received.get(n + 1);
            before.is_some_and(|before| follows(before, &received[n]))
                || after.is_some_and(|after| follows(&received[n], after))
        };
        (0..received.len())
            .filter(|&n| received[n].quality.is_trusted() || borne_out(n))
            .map(|n| Frame {
                digits: received[n].codeword.digits(),
                first_edge: received[n].first_edge().as_f64(),
            })
            .collect()
    }
}

/// Whether one codeword is the next after another, in place and in address.
fn follows(word: &Received, next: &Received) -> bool {
    let apart = (next.begins.as_f64() - word.ends.as_f64()).abs();
    word.direction == next.direction
        && apart < word.samples_per_codeword / 4.0
        && [Count::F24, Count::F25, Count::F30, Count::F30Drop]
            .into_iter()
            .any(|count| counts_on(word, next, count))
}

fn counts_on(word: &Received, next: &Received, count: Count) -> bool {
    let step = match word.direction {
        Direction::Forward => 1,
        Direction::Reverse => -1,
    };
    let addresses = (word.codeword.address(count), next.codeword.address(count));
    matches!(addresses, (Ok(word), Ok(next)) if word.plus_wrapping(Frames(step)) == next)
}
