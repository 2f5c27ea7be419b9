//! One codeword as the demodulator gave it, in the terms that continuity is judged in.

use crate::counts::COUNTS;
use plumbline_ltc::{Codeword, Direction, Disturbance, Quality, Received, Seam, Together};
use plumbline_timecode::{Count, Frames};

/// A codeword with its place. Positions are samples of the recording.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Word {
    pub(crate) codeword: Codeword,
    pub(crate) direction: Direction,
    /// Where it begins, as the recording runs.
    pub(crate) begins: f64,
    /// Where it ends, as the recording runs.
    pub(crate) ends: f64,
    /// The edge that begins bit 0: `begins`, or `ends` in reverse code.
    pub(crate) first_edge: f64,
    /// How far from one codeword to the next.
    pub(crate) period: f64,
    /// Whether it may be believed without a neighbour's word for it.
    pub(crate) trusted: bool,
    /// Half the distance from the lowest to the highest sample around it.
    pub(crate) amplitude: f32,
    /// Whether the signal around it touches full scale on both sides.
    pub(crate) full_scale: bool,
    /// What lies over it, where edges did not show it.
    pub(crate) over: Option<Disturbance>,
}

/// A sample this near to full scale can have been clipped.
const FULL_SCALE: f32 = 0.999;

/// So many bits beyond those of one codeword tell that it is what was heard: as many as the frames of
/// the next one, the units of its seconds, two groups of user bits and two flags; or the synchronizing
/// word of the one before, and a group of user bits.
const TELLING: u32 = 20;

impl Word {
    /// The codeword that ended there, if what was heard across it is that one or the next: frames
    /// come first, or last if code runs backwards, and higher digits are mostly the same in both.
    pub(crate) fn across(seam: &Seam) -> Option<Word> {
        let mut heard = Word::from(&seam.across);
        // It may have begun before the recording did, which a position can't say.
        heard.begins = heard.ends - heard.period;
        heard.first_edge = first_edge(heard.direction, heard.begins, heard.ends);
        let ended = |count: Count, after: i64| {
            let codeword = heard.beside(count, -after)?;
            let word = Word { codeword, ..heard };
            word.is_borne_out(seam).then_some(word)
        };
        let mut borne_out = COUNTS
            .into_iter()
            .filter_map(|count| ended(count, 0).or_else(|| ended(count, 1)));
        // Where seconds roll over, each count can have its own last frame before it.
        let word = borne_out.next()?;
        let is_only = borne_out.all(|other| other.codeword == word.codeword);
        is_only.then_some(word)
    }

    /// Whether what was heard where it ended is of itself and of those that stand beside it in code.
    pub(crate) fn is_borne_out(&self, seam: &Seam) -> bool {
        COUNTS.into_iter().any(|count| {
            let (before, after) = (self.beside(count, -1), self.beside(count, 1));
            let agreeing = |(before, after)| seam.agreeing([before, self.codeword, after]);
            before.zip(after).map_or(0, agreeing) >= u32::from(Codeword::BITS) + TELLING
        })
    }

    /// The codeword that arrives so many after it, in that count.
    fn beside(&self, count: Count, after: i64) -> Option<Codeword> {
        let as_time_runs = match self.direction {
            Direction::Forward => 1,
            Direction::Reverse => -1,
        };
        let address = self.codeword.address(count).ok()?;
        let beside = address.plus_wrapping(Frames(after * as_time_runs));
        Some(self.codeword.readdressed(beside))
    }

    /// The codewords that were heard together, each at its place.
    pub(crate) fn of_together(heard: &Together) -> impl Iterator<Item = Word> + '_ {
        let period = heard.samples_per_codeword;
        // The first may begin a hair before the recording does, which a position can't say.
        let count = heard.codewords.len() as f64;
        let first = heard.ends.as_f64() - count * period;
        heard
            .codewords
            .iter()
            .zip(0_u32..)
            .map(move |(&codeword, number)| {
                let begins = first + f64::from(number) * period;
                let ends = begins + period;
                Word {
                    codeword,
                    direction: heard.direction,
                    begins,
                    ends,
                    first_edge: first_edge(heard.direction, begins, ends),
                    period,
                    trusted: true,
                    amplitude: heard.level,
                    full_scale: false,
                    over: None,
                }
            })
    }
}

fn first_edge(direction: Direction, begins: f64, ends: f64) -> f64 {
    match direction {
        Direction::Forward => begins,
        Direction::Reverse => ends,
    }
}

impl From<&Received> for Word {
    fn from(received: &Received) -> Self {
        Word {
            codeword: received.codeword,
            direction: received.direction,
            begins: received.begins.as_f64(),
            ends: received.ends.as_f64(),
            first_edge: received.first_edge().as_f64(),
            period: received.samples_per_codeword,
            trusted: received.quality.is_trusted(),
            amplitude: (received.high - received.low) / 2.0,
            full_scale: received.high >= FULL_SCALE && received.low <= -FULL_SCALE,
            over: match received.quality {
                Quality::Edges { .. } => None,
                Quality::Weighed { over, .. } => Some(over),
            },
        }
    }
}
