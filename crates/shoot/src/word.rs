//! One codeword as the demodulator gave it, in the terms that continuity is judged in.

use crate::counts::COUNTS;
use plumbline_ltc::{Codeword, Direction, Disturbance, Neighbours, Quality, Received, Together};
use plumbline_timecode::Frames;

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

/// So many bits tell that a codeword is what stands beside another: the frames of the next one, the
/// units of its seconds, two groups of user bits and two flags; or the synchronizing word of the one
/// before, and a group of user bits.
const TELLING: u32 = 20;

impl Word {
    /// Whether what was heard on either side of it is of the codewords that stand there in code.
    pub(crate) fn is_borne_out(&self, neighbours: &Neighbours) -> bool {
        let as_time_runs = match self.direction {
            Direction::Forward => 1,
            Direction::Reverse => -1,
        };
        COUNTS.into_iter().any(|count| {
            self.codeword.address(count).is_ok_and(|address| {
                let neighbour = |frames| {
                    let address = address.plus_wrapping(Frames(frames));
                    self.codeword.readdressed(address)
                };
                let (before, after) = (neighbour(-as_time_runs), neighbour(as_time_runs));
                neighbours.agreeing(before, after) >= TELLING
            })
        })
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
                    first_edge: match heard.direction {
                        Direction::Forward => begins,
                        Direction::Reverse => ends,
                    },
                    period,
                    trusted: true,
                    amplitude: heard.level,
                    full_scale: false,
                    over: None,
                }
            })
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
