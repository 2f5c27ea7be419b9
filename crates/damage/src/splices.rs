//! Pieces that were cut out.

use crate::convert::whole;
use crate::{Damage, DamageError, Random, Take};

/// Pieces that were cut out, and what is left joined without a gap. Codewords of which nothing is
/// left are no longer there; those of which a part is left are torn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Splices {
    /// How many cuts there are.
    pub cuts: u32,
    /// How many seconds are taken out at each, at most.
    pub seconds: f64,
}

impl Damage for Splices {
    fn apply(&self, take: &mut Take, random: &mut Random) -> Result<(), DamageError> {
        let most = DamageError::check("a cut's length", self.seconds, "above 0 s", |s| s > 0.0)?;
        for _ in 0..self.cuts {
            let length = take.samples.len() as f64;
            let cut = random.between(0.0, most * take.sample_rate.as_f64()).ceil();
            let from = random.between(0.0, length - cut).round();
            if cut < length {
                take.cut_out(from, from + cut);
            }
        }
        Ok(())
    }
}

impl Take {
    /// Takes out the samples from `from` to before `to`: whole numbers within the take.
    fn cut_out(&mut self, from: f64, to: f64) {
        self.samples.drain(whole(from)..whole(to));
        // The join is half-way between two samples.
        let (from, to) = (from - 0.5, to - 0.5);
        let moved = |at: f64| {
            if at <= from {
                at
            } else {
                from + (at - to).max(0.0)
            }
        };
        self.words
            .retain(|word| word.begins < from || word.ends > to);
        for word in &mut self.words {
            word.tear(from, to);
            (word.begins, word.ends) = (moved(word.begins), moved(word.ends));
        }
    }
}
