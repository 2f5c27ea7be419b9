//! Synchronizing words that follow each other at a speed that changes, as that of tape does: no straight
//! line goes through them, but each shows by itself, and lies where those before it lead to expect it.

use std::ops::Range;

use super::frame_clock::FrameClock;
use super::line::Line;
use super::pattern::{BEFORE_SYNC, HALVES};
use super::running_sum::RunningSum;
use super::sync_fold::Correlation;
use crate::Direction;

/// From so many standard deviations of noise on, a synchronizing word shows by itself.
const SHOWS: f32 = 4.0;
/// Where codewords can be read, one shows at least so well.
const SHOWS_WELL: f32 = 5.0;
/// Within so many half cells there is one of them: what is like it beside it is itself.
const ALONE: f64 = 3.0;
/// Where one shows well, words of so many times the length are looked for too: one that is a little longer or
/// shorter shows all the same.
const LENGTHS: [f64; 6] = [0.94, 0.96, 0.98, 1.02, 1.04, 1.06];
/// How much longer or shorter codewords may be than they are about.
const SPREAD: f64 = 0.07;
/// How much longer or shorter one may be than the one before.
const CHANGE: f64 = 0.02;
/// One may be so many codewords after the one before that shows.
const MOST_APART: u8 = 4;
/// A chain has so many links at least.
const FEW: usize = 9;
/// Chains of which half are no further than this from a straight line are straight, in half cells.
const STRAIGHT: f64 = 0.2;

/// A synchronizing word that shows.
#[derive(Debug, Clone, Copy)]
struct Word {
    /// Where it begins, in samples.
    at: f64,
    /// How well it shows.
    fit: f32,
}

/// One after another.
#[derive(Debug, Clone, Copy)]
struct Link {
    /// The numbers of both.
    from: usize,
    to: usize,
    /// How many codewords the one is after the other.
    apart: u8,
    /// How long each of these is, in samples.
    period: f64,
    /// How well all show in the best chain that ends here...
    fit: f32,
    /// ...and the link before this in it.
    before: Option<usize>,
}

/// A chain that is not straight.
#[derive(Debug)]
pub(super) struct Chain {
    /// How well its words show, all together.
    pub(super) fit: f32,
    pub(super) direction: Direction,
    /// As the sound runs.
    pub(super) clock: FrameClock,
}

impl Chain {
    /// The one that shows best in white sound, if it is bent, of codewords of about so many samples that run
    /// in a direction.
    pub(super) fn of(white: &RunningSum, about: f64, direction: Direction) -> Option<Self> {
        let words = words(white, about, direction);
        let links = links(&words, about);
        let last = (0..links.len()).max_by(|&a, &b| links[a].fit.total_cmp(&links[b].fit))?;
        let before = |link: &Link| link.before.map(|before| links[before]);
        let mut chain: Vec<Link> = std::iter::successors(Some(links[last]), before).collect();
        chain.reverse();
        let syncs = syncs(&words, &chain);
        if chain.len() < FEW || off_a_line(&syncs) <= STRAIGHT * about / HALVES as f64 {
            return None;
        }
        let clock = FrameClock::bent(&borders(&syncs, direction), white.samples())?;
        Some(Self {
            fit: links[last].fit,
            direction,
            clock,
        })
    }
}

/// The words that show, if one shows well.
fn words(white: &RunningSum, about: f64, direction: Direction) -> Vec<Word> {
    let of_length = |times: f64| -> Vec<Word> {
        let [correlation] = Correlation::towards([direction], white, times * about);
        let shows = correlation.shows(SHOWS);
        shows.map(|(at, fit)| Word { at, fit }).collect()
    };
    let mut words = of_length(1.0);
    if !words.iter().any(|word| word.fit >= SHOWS_WELL) {
        return Vec::new();
    }
    words.extend(LENGTHS.into_iter().flat_map(of_length));
    words.sort_by(|a, b| a.at.total_cmp(&b.at));
    best_ones(words, ALONE * about / HALVES as f64)
}

/// Those that show better than all near them.
fn best_ones(words: Vec<Word>, alone: f64) -> Vec<Word> {
    let mut best: Vec<Word> = Vec::new();
    for word in words {
        match best.last_mut() {
            Some(last) if word.at - last.at < alone => {
                if word.fit > last.fit {
                    *last = word;
                }
            }
            _ => best.push(word),
        }
    }
    best
}

/// Which words may follow which, in their order, each with the best chain that leads there.
fn links(words: &[Word], about: f64) -> Vec<Link> {
    let mut links: Vec<Link> = Vec::new();
    let reach = f64::from(MOST_APART) * (1.0 + SPREAD) * about;
    // Those that end at each word.
    let mut ends: Vec<Range<usize>> = Vec::with_capacity(words.len());
    for (to, word) in words.iter().enumerate() {
        let first = links.len();
        let near = |from: &usize| word.at - words[*from].at <= reach;
        for from in (0..to).rev().take_while(near) {
            let before = words[from];
            for apart in 1..=MOST_APART {
                let period = (word.at - before.at) / f64::from(apart);
                if (period / about - 1.0).abs() > SPREAD {
                    continue;
                }
                let lead = ends[from].clone().filter(|&number| {
                    let link = &links[number];
                    let change = CHANGE * f64::from(apart + link.apart) / 2.0;
                    (period / link.period - 1.0).abs() <= change
                });
                let lead = lead.max_by(|&a, &b| links[a].fit.total_cmp(&links[b].fit));
                links.push(Link {
                    from,
                    to,
                    apart,
                    period,
                    fit: word.fit + lead.map_or(before.fit, |lead| links[lead].fit),
                    before: lead,
                });
            }
        }
        ends.push(first..links.len());
    }
    links
}

/// Where the synchronizing word of each codeword begins; of those that are missing, evenly between.
fn syncs(words: &[Word], chain: &[Link]) -> Vec<f64> {
    let first = chain.first().map(|link| words[link.from].at);
    let others = chain.iter().flat_map(|link| {
        let until = words[link.to].at;
        let left = (0..link.apart).rev();
        left.map(move |left| until - f64::from(left) * link.period)
    });
    first.into_iter().chain(others).collect()
}

/// How far places are off the straight line that fits them best, as a median.
fn off_a_line(places: &[f64]) -> f64 {
    let line = Line::through(places);
    let places = places.iter().enumerate();
    let off = places.map(|(number, at)| (at - line.at(number as f64)).abs());
    let mut off: Vec<f64> = off.collect();
    let middle = off.len() / 2;
    *off.select_nth_unstable_by(middle, f64::total_cmp).1
}

/// The borders between codewords: as the sound runs, forwards where a synchronizing word ends, in reverse
/// where it begins.
fn borders(syncs: &[f64], direction: Direction) -> Vec<f64> {
    let sync = match direction {
        Direction::Forward => 1.0 - BEFORE_SYNC as f64 / HALVES as f64,
        Direction::Reverse => 0.0,
    };
    let pairs = syncs.windows(2);
    pairs
        .map(|pair| pair[0] + sync * (pair[1] - pair[0]))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PolarityRule;
    use crate::robust::testing::{Random, counting, played, sound};
    use plumbline_timecode::{Count, Rate};

    const PERIOD: f64 = 1920.0;

    /// Code of 70 codewords whose place `at(t)` is heard at sample `t`, in noise as loud as it is.
    fn heard(seed: u64, at: impl Fn(f64) -> f64) -> Vec<f32> {
        let code = sound(
            Rate::F25,
            1.0,
            0,
            &counting(Count::F25, 80, PolarityRule::Corrected),
        );
        let mut heard = played(&code, 134_400, at);
        Random::new(seed).add_to(&mut heard, 1.0);
        for sample in &mut heard {
            *sample /= std::f32::consts::SQRT_2;
        }
        heard
    }

    /// A swing of 1 % twice a second: six samples are half of a half cell.
    #[test]
    fn codewords_are_found_where_a_speed_that_swings_has_them() {
        let turn = std::f64::consts::TAU * 2.0 / 48_000.0;
        let at = |t: f64| 500.0 + t + 0.01 / turn * (1.0 - (turn * t).cos());
        let samples = heard(71, at);
        let backwards: Vec<f32> = samples.iter().rev().copied().collect();
        for (samples, direction) in [
            (&samples, Direction::Forward),
            (&backwards, Direction::Reverse),
        ] {
            let chain = Chain::of(&RunningSum::of(samples), PERIOD, direction).unwrap();
            let clock = match direction {
                Direction::Forward => chain.clock,
                Direction::Reverse => chain.clock.turned(samples.len()),
            };
            let far = (0..clock.codewords())
                .map(|number| at(clock.codeword(number)[0]) / PERIOD)
                .filter(|codewords| (2.0..68.0).contains(codewords))
                .filter(|codewords| (codewords - codewords.round()).abs() * PERIOD > 6.0);
            assert_eq!(far.count(), 0, "{direction:?}");
        }
    }

    /// What is straight is found by folding, and noise is no chain at all.
    #[test]
    fn code_of_one_speed_and_noise_give_no_chain() {
        let straight = RunningSum::of(&heard(72, |t| 500.0 + 1.01 * t));
        assert!(Chain::of(&straight, PERIOD / 1.01, Direction::Forward).is_none());
        let mut random = Random::new(73);
        for _ in 0..20 {
            let noise: Vec<f32> = (0..134_400).map(|_| random.normal()).collect();
            let noise = RunningSum::of(&noise);
            for direction in Direction::EITHER {
                assert!(Chain::of(&noise, PERIOD, direction).is_none());
            }
        }
    }
}
