//! Which of the weighed codewords may be called read: those that agree with each other.
//!
//! Every codeword, less the codewords that came before it, gives an origin: the frame that the
//! count would have begun with. Codewords of one run of code all give the same; wrong ones give any.
//! That two wrong ones give the same is one chance in two million. How sure a codeword is by itself
//! counts little: where noise follows the code, as that of lossy coding does, it is often sure and
//! wrong.

use std::collections::HashMap;
use std::ops::Range;

use plumbline_timecode::Count;

use super::weigh::Weighed;
use super::whole;
use crate::{Codeword, Direction};

/// A codeword as it is judged.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Witness {
    /// How many codewords after the first witness it comes, by the time that passed.
    pub(super) place: i64,
    /// How many samples lie from one codeword to the next around it.
    pub(super) length: f64,
    pub(super) direction: Direction,
    pub(super) weighed: Weighed,
    /// Whether its synchronizing word stands there by itself.
    pub(super) is_clean: bool,
}

/// Counts codewords by the time between them.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Places {
    place: i64,
    /// Where the last one began, and how long it was.
    last: Option<(f64, f64)>,
}

impl Places {
    /// How many codewords after the first one this is.
    pub(crate) fn of(&mut self, begins: f64, length: f64) -> i64 {
        if let Some((before, other)) = self.last.replace((begins, length)) {
            let codewords = (begins - before) / f64::midpoint(length, other);
            self.place += whole::nearest(codewords);
        }
        self.place
    }
}

impl Witness {
    pub(crate) fn new(
        (place, length): (i64, f64),
        direction: Direction,
        codeword: Codeword,
        margin: f32,
        is_clean: bool,
    ) -> Self {
        Self {
            place,
            length,
            direction,
            weighed: Weighed { codeword, margin },
            is_clean,
        }
    }
}

/// A codeword that agrees with the run that it stands in, and one that does not.
const AGREES: f32 = 1.0;
const AGREES_UNSURELY: f32 = 0.5;
const DISAGREES: [(f32, f32); 2] = [(15.0, -0.25), (5.0, -0.08)];
const DISAGREES_UNSURELY: f32 = -0.01;
/// With a margin of fewer nats a codeword says nothing: what silence is taken for is the first address.
const SAYING: f32 = 0.01;
/// A margin of so many nats is sure.
const SURE: f32 = 2.0;
/// What it costs to go over to another run, or to none. So two such steps for one odd codeword
/// never pay, and one step for two that agree does.
const CHANGE: f32 = -1.7;
/// Code that stands still is rarer than any other.
const STILL: f32 = -0.6;
/// A run needs so many clean codewords, as a share of its members too...
const CLEAN: usize = 3;
const CLEAN_SHARE: f64 = 0.3;
/// ...and so many times as many members as any other origin has among its codewords.
const RIVAL: usize = 4;
/// Or two clean ones with this margin.
const LONE_MARGIN: f32 = 6.0;

/// So many codewords of each of two channels, which give one origin, are of one code.
const FEW: usize = 2;

/// How addresses move from one codeword to the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Counting {
    Moving(Count),
    Still,
}

const COUNTINGS: [Counting; 5] = [
    Counting::Moving(Count::F25),
    Counting::Moving(Count::F24),
    Counting::Moving(Count::F30),
    Counting::Moving(Count::F30Drop),
    Counting::Still,
];

/// For each codeword in order, whether it was read.
pub(crate) fn agreed(witnesses: &[Witness]) -> Vec<bool> {
    let best = COUNTINGS
        .into_iter()
        .map(|counting| best_runs(witnesses, counting))
        .reduce(|best, next| if next.score > best.score { next } else { best });
    let mut read = vec![false; witnesses.len()];
    let Some(best) = best else { return read };
    let mut begins = 0;
    for run in best.states.chunk_by(|a, b| a == b) {
        let ends = begins + run.len();
        if let Some(&Some(origin)) = run.first() {
            for part in best.counted(witnesses, begins..ends) {
                let (of_part, origins) = (&witnesses[part.clone()], &best.origins[part.clone()]);
                let is_read = counts(of_part, origins, origin)
                    && best.is_at_home(witnesses, &part)
                    && best.is_even_and_odd(witnesses, &part)
                    && best.is_no_shadow(&part);
                if is_read {
                    best.members(&part).for_each(|n| read[n] = true);
                }
            }
        }
        begins = ends;
    }
    read
}

/// Whether two lots of codewords, each of which was read, are of one count: their places are counted
/// from the same first one.
pub(super) fn count_alike(some: &[Witness], others: &[Witness]) -> bool {
    COUNTINGS.into_iter().any(|counting| {
        let of = |witnesses: &[Witness]| -> HashMap<i64, usize> {
            let mut origins = HashMap::new();
            for origin in witnesses
                .iter()
                .filter_map(|witness| origin(witness, counting))
            {
                *origins.entry(origin).or_default() += 1;
            }
            origins.retain(|_, members| *members >= FEW);
            origins
        };
        let (some, others) = (of(some), of(others));
        some.keys().any(|origin| others.contains_key(origin))
    })
}

/// Bits 27 and 59, one of which makes the number of zeros even: no content.
const CORRECTING: u64 = 1 << 27 | 1 << 59;

/// The origin that a codeword gives, if its digits are an address. Code that stands still gives all
/// of its bits but those that correct: code of another kind, or read the wrong way round, has some
/// groups of bits that move and others that do not.
fn origin(witness: &Witness, counting: Counting) -> Option<i64> {
    let Weighed { codeword, margin } = witness.weighed;
    if margin < SAYING {
        return None;
    }
    let Counting::Moving(count) = counting else {
        let [content @ .., _, _] = codeword.0;
        let all = u64::from_le_bytes(content) & !CORRECTING;
        return codeword.digits().are_valid().then_some(all.cast_signed());
    };
    let number = codeword.address(count).ok()?.frame_number();
    let number = i64::from(number.0);
    let day = i64::from(count.frames_per_day());
    let came = match witness.direction {
        Direction::Forward => -witness.place,
        Direction::Reverse => witness.place,
    };
    Some((number + came).rem_euclid(day))
}

/// The best way to cut the codewords into runs.
struct Runs {
    counting: Counting,
    score: f32,
    /// The origin that each codeword gives.
    origins: Vec<Option<i64>>,
    /// The origin of the run that each codeword is in; none if it is in none.
    states: Vec<Option<i64>>,
}

/// Between two codewords of a run others can be counted by the time that passed, if as many of the one
/// length are no more than this part of one longer than of the other.
const COUNTED: f64 = 0.5;
/// How many codewords on either side of a run belong to where it is at home...
const HOME: usize = 25;
/// ...and how sure those must be, in nats, that may speak against it.
const STRANGER: f32 = 5.0;

impl Runs {
    /// The parts of a run in which codewords can be counted. Where the speed was another after a while
    /// without any, there may have been one more or one less: then each part has to speak for itself,
    /// or a codeword that is wrong by one would seem to be of the run.
    fn counted(&self, witnesses: &[Witness], run: Range<usize>) -> Vec<Range<usize>> {
        let mut parts = Vec::new();
        let mut begins = run.start;
        let mut before: Option<&Witness> = None;
        for number in self.members(&run) {
            let witness = &witnesses[number];
            let miscounted = before.replace(witness).is_some_and(|before| {
                let between = (witness.place - before.place) as f64;
                between * (witness.length / before.length - 1.0).abs() > COUNTED
            });
            if miscounted {
                parts.push(begins..number);
                begins = number;
            }
        }
        parts.push(begins..run.end);
        parts
    }

    /// Whether more codewords there are of the run than there are sure ones of no run at all.
    ///
    /// Where a bit is flipped in every codeword, some few have the same one flipped and agree with
    /// each other, but among many that do not.
    fn is_at_home(&self, witnesses: &[Witness], run: &Range<usize>) -> bool {
        let home = run.start.saturating_sub(HOME)..(run.end + HOME).min(witnesses.len());
        let strangers = home.filter(|&n| {
            let witness = &witnesses[n];
            witness.is_clean && witness.weighed.margin > STRANGER && !self.agrees(n)
        });
        strangers.count() < self.members(run).count()
    }

    /// Whether there are even and odd frames among those of a run that moves. Hum that is in step with
    /// codewords hits the same half cells in each, and those in which it turns the last bit of the frame
    /// round agree with each other: all are even, or all odd.
    fn is_even_and_odd(&self, witnesses: &[Witness], run: &Range<usize>) -> bool {
        let odd = |n: usize| witnesses[n].weighed.codeword.digits().frames % 2;
        let mut odds = self.members(run).map(odd);
        let first = odds.next();
        self.counting == Counting::Still || odds.any(|odd| Some(odd) != first)
    }

    /// Whether most codewords there are of the run, if another run nearby has more. A few that were hit
    /// alike beside many that were not are no jump: that is known by what follows it. Two are always few.
    fn is_no_shadow(&self, run: &Range<usize>) -> bool {
        let members: Vec<usize> = self.members(run).collect();
        let (Some(&first), Some(&last)) = (members.first(), members.last()) else {
            return true;
        };
        let all = 0..self.states.len();
        let others = self.members(&all).filter_map(|n| self.states[n]);
        let others = others.filter(|&other| Some(other) != self.states[first]);
        let most = members.len() >= CLEAN && 2 * members.len() > last - first;
        most || most_alike(others) <= members.len()
    }

    /// The codewords among some that are of the run that they stand in.
    fn members(&self, among: &Range<usize>) -> impl Iterator<Item = usize> {
        among.clone().filter(|&n| self.agrees(n))
    }

    /// Whether a codeword is of the run that it stands in.
    fn agrees(&self, number: usize) -> bool {
        self.states[number].is_some() && self.states[number] == self.origins[number]
    }
}

/// Viterbi's way over origins: at each codeword, the best that each origin can have come to.
fn best_runs(witnesses: &[Witness], counting: Counting) -> Runs {
    let origins: Vec<Option<i64>> = witnesses
        .iter()
        .map(|witness| origin(witness, counting))
        .collect();
    let states = states(&origins);
    let start = if counting == Counting::Still {
        STILL
    } else {
        0.0
    };
    let mut scores = vec![start; states.len()];
    // From which state each came; all that changed came from the best one.
    let mut stayed: Vec<Vec<bool>> = Vec::with_capacity(witnesses.len());
    let mut leaders = Vec::with_capacity(witnesses.len());
    for (number, (witness, own)) in witnesses.iter().zip(&origins).enumerate() {
        let leader = highest(&scores);
        let change = scores.get(leader).copied().unwrap_or(0.0) + CHANGE;
        leaders.push(leader);
        let stays = scores
            .iter()
            .map(|&score| number == 0 || score >= change)
            .collect();
        stayed.push(stays);
        for (score, state) in scores.iter_mut().zip(&states) {
            let before = if number == 0 {
                *score
            } else {
                score.max(change)
            };
            *score = before + weight(witness, *own, *state);
        }
    }
    for score in &mut scores[1..] {
        *score += CHANGE;
    }
    let mut at = highest(&scores);
    let score = scores.get(at).copied().unwrap_or(0.0);
    let mut chosen = vec![None; witnesses.len()];
    for number in (0..witnesses.len()).rev() {
        chosen[number] = states[at];
        if !stayed[number][at] {
            at = leaders[number];
        }
    }
    Runs {
        counting,
        score,
        origins,
        states: chosen,
    }
}

/// None, and the origins that at least two codewords give.
fn states(origins: &[Option<i64>]) -> Vec<Option<i64>> {
    let mut sorted: Vec<i64> = origins.iter().flatten().copied().collect();
    sorted.sort_unstable();
    let shared = sorted.chunk_by(|a, b| a == b).filter(|same| same.len() > 1);
    let shared = shared.filter_map(|same| same.first().map(|&origin| Some(origin)));
    std::iter::once(None).chain(shared).collect()
}

fn highest(scores: &[f32]) -> usize {
    let best = scores.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1));
    best.map_or(0, |(at, _)| at)
}

fn weight(witness: &Witness, own: Option<i64>, state: Option<i64>) -> f32 {
    let margin = witness.weighed.margin;
    match state {
        None => 0.0,
        Some(_) if own == state && margin > SURE => AGREES,
        Some(_) if own == state => AGREES_UNSURELY,
        Some(_) => {
            let surer = DISAGREES.into_iter().find(|&(than, _)| margin > than);
            surer.map_or(DISAGREES_UNSURELY, |(_, weight)| weight)
        }
    }
}

/// Whether a run counts.
fn counts(witnesses: &[Witness], origins: &[Option<i64>], origin: i64) -> bool {
    let members = witnesses
        .iter()
        .zip(origins)
        .filter(|(_, own)| **own == Some(origin));
    let members: Vec<&Witness> = members.map(|(witness, _)| witness).collect();
    let clean: Vec<&&Witness> = members.iter().filter(|witness| witness.is_clean).collect();
    let others = origins.iter().flatten().copied();
    let rival = most_alike(others.filter(|&other| other != origin));
    let sure = clean
        .iter()
        .filter(|witness| witness.weighed.margin > LONE_MARGIN)
        .count();
    let share = clean.len() as f64 / members.len().max(1) as f64;
    let enough = clean.len() >= CLEAN && members.len() >= RIVAL * rival || sure >= 2 && rival <= 1;
    share >= CLEAN_SHARE && enough
}

/// How often the origin comes that comes most often.
fn most_alike(origins: impl Iterator<Item = i64>) -> usize {
    let mut origins: Vec<i64> = origins.collect();
    origins.sort_unstable();
    let alike = origins.chunk_by(|a, b| a == b).map(<[i64]>::len);
    alike.max().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PolarityRule;
    use crate::robust::testing::{Random, counting, random_codeword};

    fn witness(place: i64, codeword: Codeword) -> Witness {
        Witness {
            place,
            length: 1920.0,
            direction: Direction::Forward,
            weighed: Weighed {
                codeword,
                margin: 20.0,
            },
            is_clean: true,
        }
    }

    fn run(count: Count, from: i64) -> Vec<Witness> {
        let words = counting(count, 40, PolarityRule::Corrected);
        words
            .into_iter()
            .zip(from..)
            .map(|(word, place)| witness(place, word))
            .collect()
    }

    #[test]
    fn codewords_that_count_on_were_read_in_every_counting_and_direction() {
        for count in [Count::F24, Count::F25, Count::F30, Count::F30Drop] {
            assert!(
                agreed(&run(count, 0)).into_iter().all(|read| read),
                "{count:?}"
            );
        }
        let mut backwards = run(Count::F25, 0);
        backwards.reverse();
        for (witness, place) in backwards.iter_mut().zip(0..) {
            witness.place = place;
            witness.direction = Direction::Reverse;
        }
        assert!(agreed(&backwards).into_iter().all(|read| read));
        let one = counting(Count::F25, 1, PolarityRule::Corrected)[0];
        let still: Vec<Witness> = (0..20).map(|place| witness(place, one)).collect();
        assert!(agreed(&still).into_iter().all(|read| read));
    }

    #[test]
    fn an_odd_codeword_is_lost_and_a_jump_is_followed() {
        let mut words = run(Count::F25, 0);
        words[10].weighed.codeword.0[2] ^= 1;
        // From the 21st on, the count is 750 frames ahead.
        let ahead = counting(Count::F25, 800, PolarityRule::Corrected);
        for (word, ahead) in words[20..].iter_mut().zip(&ahead[770..]) {
            word.weighed.codeword = *ahead;
        }
        let read = agreed(&words);
        assert!(
            read.iter().enumerate().all(|(n, &read)| read == (n != 10)),
            "{read:?}"
        );
    }

    /// Twenty codewords, a gap of sixty in which one was miscounted, twenty more; and the first of these
    /// is wrong by that one.
    #[test]
    fn a_codeword_that_is_wrong_by_what_was_miscounted_is_lost() {
        let count = |length: f64| {
            let all = counting(Count::F25, 100, PolarityRule::Corrected);
            let mut words = run(Count::F25, 0)[..20].to_vec();
            words.extend((80..100).map(|number| Witness {
                length,
                ..witness(number + 1, all[usize::try_from(number).unwrap()])
            }));
            words[20].weighed.codeword = all[81];
            agreed(&words)
        };
        let expected: Vec<bool> = (0..40).map(|number| number != 20).collect();
        assert_eq!(count(1890.0), expected);
        // At an even speed none was miscounted: code jumped after it.
        assert!(count(1920.0)[20]);
    }

    /// What is left of a codeword that nobody could make out.
    fn lost(word: &mut Witness) {
        word.weighed = Weighed {
            codeword: Codeword([0xFF; 10]),
            margin: 0.0,
        };
        word.is_clean = false;
    }

    /// Of a run with its last bit turned round only every other codeword is left: all even, or all odd.
    #[test]
    fn only_even_frames_or_only_odd_ones_are_not_read() {
        let mut words = run(Count::F24, 0);
        words.iter_mut().step_by(2).for_each(lost);
        assert!(!agreed(&words).contains(&true));
        words[20] = run(Count::F24, 0)[20];
        assert_eq!(agreed(&words).iter().filter(|read| **read).count(), 21);
    }

    /// After 25 codewords, one of three says what does not follow from them.
    #[test]
    fn a_few_beside_many_are_no_jump() {
        let shadow = |every: usize| {
            let mut words = run(Count::F25, 0);
            let ahead = counting(Count::F25, 800, PolarityRule::Corrected);
            for (number, word) in words.iter_mut().enumerate().skip(25) {
                if number % every == 0 {
                    word.weighed.codeword = ahead[number + 750];
                } else {
                    lost(word);
                }
            }
            let read = agreed(&words);
            assert!(read[..25].iter().all(|read| *read));
            read[25..].iter().filter(|read| **read).count()
        };
        assert_eq!((shadow(1), shadow(3)), (15, 0));
    }

    /// Silence is taken for the first address, and may stand where that is expected.
    #[test]
    fn what_says_nothing_is_not_read_where_it_counts_on() {
        let mut words = run(Count::F25, 0);
        words[10].weighed.margin = 0.001;
        let expected: Vec<bool> = (0..40).map(|number| number != 10).collect();
        assert_eq!(agreed(&words), expected);
    }

    /// The same bit of the first two is turned round: ten minutes before all that follow.
    #[test]
    fn two_beside_many_are_no_jump_and_by_themselves_are_read() {
        let mut words = run(Count::F25, 0);
        for word in &mut words[..2] {
            word.weighed.codeword.0[5] ^= 1;
        }
        let read = agreed(&words);
        assert_eq!(read.iter().position(|read| *read), Some(2), "{read:?}");
        assert_eq!(agreed(&words[..2]), [true, true]);
    }

    /// Chance gives no runs, however sure each codeword is of itself.
    #[test]
    fn codewords_at_random_are_never_read() {
        let mut random = Random::new(61);
        for _ in 0..200 {
            let words: Vec<Witness> = (0..250)
                .map(|place| witness(place, random_codeword(&mut random)))
                .collect();
            assert!(!agreed(&words).into_iter().any(|read| read));
        }
    }
}
