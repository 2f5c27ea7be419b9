//! Other opinions on codewords that the first could not make out.
//!
//! The noise of lossy coding follows the code, so what is left when the code is taken out flatters,
//! and codewords are sure of themselves and wrong. There it is right to believe in more noise, and at
//! the lowest bit rates in nothing but its loudness; under speech or music it is not. Which was right
//! shows when codewords count on.
//!
//! Where two say the same of a codeword it is what was sent, even if no other bears it out: it is as
//! sure as the surer of the two takes it to be.

use super::modelled::Heard;
use super::stretches::{Places, Witness, agreed, count_alike};

/// Codewords are the same one if they begin within this part of one.
const SAME: f64 = 0.4;

/// The codewords of a piece: of each opinion, as far as one is asked for after the other, those that
/// it says better. The next is asked only where some are not borne out, and after the second only where
/// some are.
///
/// What lies over the code, and how loud that is, is for the first to say: the others make more of the
/// noise than there is.
pub(super) fn best(first: &[Heard], mut others: impl Iterator<Item = Vec<Heard>>) -> Vec<Heard> {
    let said = first.first();
    let mut best = Opinion::new(first.to_vec());
    let mut asked = 0;
    while !best.is_enough() && (asked == 0 || best.borne_out > 0) {
        let Some(other) = others.next() else { break };
        best = best.with(other);
        asked += 1;
    }
    let mut words = best.words;
    if let Some(said) = said {
        for word in &mut words {
            (word.over, word.level) = (said.over, said.level);
        }
    }
    words
}

/// Gives what both say the margin of the surer one.
fn share_margins(first: &mut [Heard], second: &mut [Heard]) {
    for word in first {
        let same = second.iter_mut().find(|other| is_same(other, word));
        let Some(other) = same else { continue };
        let (own, others) = (&mut word.weighed, &mut other.weighed);
        if own.codeword.digits() == others.codeword.digits() {
            own.margin = own.margin.max(others.margin);
            others.margin = own.margin;
        }
    }
}

fn is_same(one: &Heard, other: &Heard) -> bool {
    (one.begins - other.begins).abs() < SAME * (other.ends - other.begins)
}

/// What was heard, and how far it speaks for itself.
struct Opinion {
    words: Vec<Heard>,
    /// Which of the codewords agree with the others.
    agree: Vec<bool>,
    /// How many do, and have the user bits of a neighbour.
    borne_out: usize,
}

impl Opinion {
    fn new(words: Vec<Heard>) -> Self {
        let agree = agreeing(&words);
        let user_bits = |word: &Heard| word.weighed.codeword.user_bits();
        let alike: Vec<bool> = words
            .windows(2)
            .map(|pair| user_bits(&pair[0]) == user_bits(&pair[1]))
            .collect();
        let has_neighbour = |n: usize| {
            alike.get(n).is_some_and(|&alike| alike)
                || n.checked_sub(1).is_some_and(|before| alike[before])
        };
        let borne_out = (0..words.len())
            .filter(|&n| agree[n] && has_neighbour(n))
            .count();
        Self {
            words,
            agree,
            borne_out,
        }
    }

    fn is_enough(&self) -> bool {
        self.borne_out == self.words.len()
    }

    /// The one of two that is borne out more, and in place of what does not agree there what the other
    /// one says better.
    fn with(self, mut words: Vec<Heard>) -> Self {
        let mut own = self.words;
        share_margins(&mut own, &mut words);
        let (own, other) = (Self::new(own), Self::new(words));
        Self::new(if other.borne_out > own.borne_out {
            other.or(&own)
        } else {
            own.or(&other)
        })
    }

    /// Its codewords, and in place of those that do not agree with the others those of another opinion
    /// that do.
    fn or(self, other: &Self) -> Vec<Heard> {
        let better = other.words.iter().zip(&other.agree);
        let better: Vec<&Heard> = better
            .filter_map(|(word, &agrees)| agrees.then_some(word))
            .collect();
        let words = self.words.into_iter().zip(self.agree);
        words
            .map(
                |(word, agrees)| match better.iter().find(|other| is_same(other, &word)) {
                    Some(better) if !agrees => **better,
                    _ => word,
                },
            )
            .collect()
    }
}

/// How many codewords agree with others.
pub(super) fn count_on(words: &[Heard]) -> usize {
    agreeing(words).into_iter().filter(|&agrees| agrees).count()
}

/// Whether two sounds of the same time have the same code: those codewords of each that agree with its
/// others count on from those of the other.
pub(super) fn are_of_one(words: &[Heard], others: &[Heard]) -> bool {
    let Some(first) = words.first() else {
        return false;
    };
    let [own, others] = [words, others].map(|words| {
        let all = witnesses(words, first);
        let agree = agreed(&all);
        let all = all.into_iter().zip(agree);
        all.filter_map(|(witness, agrees)| agrees.then_some(witness))
            .collect::<Vec<_>>()
    });
    count_alike(&own, &others)
}

/// Which codewords agree with the others.
fn agreeing(words: &[Heard]) -> Vec<bool> {
    let first = words.first();
    let all = first.map(|first| witnesses(words, first));
    all.map(|all| agreed(&all)).unwrap_or_default()
}

/// Codewords as witnesses, their places counted from one of them.
fn witnesses(words: &[Heard], first: &Heard) -> Vec<Witness> {
    let mut places = Places::default();
    places.of(first.begins, first.ends - first.begins);
    let witness = |word: &Heard| {
        let length = word.ends - word.begins;
        let place = places.of(word.begins, length);
        let weighed = word.weighed;
        Witness::new(
            (place, length),
            word.direction,
            weighed.codeword,
            weighed.margin,
            word.is_clean,
        )
    };
    words.iter().map(witness).collect()
}
