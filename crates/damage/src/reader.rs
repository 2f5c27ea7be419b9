//! Whoever reads takes.

use std::fmt::Debug;

use plumbline_ltc::{Direction, Evidence, Received, Receiver};
use plumbline_timecode::{Count, Frames};

use crate::convert::whole_signed;
use crate::{Frame, Take};

/// Whoever reads takes.
pub trait Reader: Debug + Sync {
    /// What it is called, in tables and curves.
    fn name(&self) -> &'static str;

    /// The frames that it says it read.
    fn read(&self, take: &Take) -> Vec<Frame>;
}

/// The receiver of `plumbline-ltc`, and of what it hands out those codewords that others bear out.
///
/// A lone codeword is never a frame, here as in the report of a recording: it counts when enough
/// of those near it have addresses as many frames on as their places are codewords apart. One
/// other is not enough: where the same bit is flipped in two of them, they agree as well.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Plumbline;

/// How many codewords on either side are asked.
const NEAR: usize = 8;
/// The part of them that has to agree: a run of which every second codeword is damaged has it.
const ENOUGH: f64 = 0.3;

impl Reader for Plumbline {
    fn name(&self) -> &'static str {
        "Plumbline"
    }

    fn read(&self, take: &Take) -> Vec<Frame> {
        let mut receiver = Receiver::new(take.sample_rate);
        let mut words = Vec::new();
        let mut each = |evidence: Evidence| words.extend(evidence.each());
        receiver.push(&take.samples, &mut each);
        receiver.finish(&mut each);
        let borne_out = |n: usize| {
            let near = &words[n.saturating_sub(NEAR)..(n + NEAR + 1).min(words.len())];
            let agreeing = near.iter().filter(|other| agree(&words[n], other));
            let agreeing = agreeing.count() as f64;
            agreeing >= (ENOUGH * (near.len() - 1) as f64).max(1.0)
        };
        (0..words.len())
            .filter(|&n| borne_out(n))
            .map(|n| Frame {
                digits: words[n].codeword.digits(),
                first_edge: words[n].first_edge().as_f64(),
            })
            .collect()
    }
}

/// Whether two codewords are of one run: their addresses are as far apart as their places.
fn agree(word: &Received, other: &Received) -> bool {
    let apart = other.begins.as_f64() - word.begins.as_f64();
    let codewords = (apart / word.samples_per_codeword).round();
    let frames = match word.direction {
        Direction::Forward => codewords,
        Direction::Reverse => -codewords,
    };
    word.direction == other.direction
        && codewords != 0.0
        && [Count::F24, Count::F25, Count::F30, Count::F30Drop]
            .into_iter()
            .any(|count| counts_on(word, other, frames, count))
}

fn counts_on(word: &Received, other: &Received, frames: f64, count: Count) -> bool {
    let addresses = (word.codeword.address(count), other.codeword.address(count));
    match addresses {
        (Ok(word), Ok(other)) => word.plus_wrapping(Frames(whole_signed(frames))) == other,
        _ => false,
    }
}
