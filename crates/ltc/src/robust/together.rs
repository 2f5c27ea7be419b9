//! The start of code that no codeword tells by itself: all of some seconds together.
//!
//! Every start that is possible says of each codeword which bits change; the rest is the same in
//! all. So the half cells of all codewords can be added up, each turned the way that the start has
//! it, and the start that they add up best for is the most probable one. How much better it is than
//! the next, in nats, says how sure it is; that presumes that what is heard is code of a kind that
//! is looked for, which is told by something else: the synchronizing words, by themselves, have to
//! be as loud as the start makes everything.

mod columns;
mod lead;
mod member;
mod sums;
mod told;
mod varied;
mod ways;

use columns::{Column, GROUP_HALVES, TIME_GROUPS};
use member::{Advance, Member, Moment, Polarity};
use sums::Adder;
use ways::{Clock, Search, Way, beginning};

use super::pattern::{BEFORE_SYNC, HALVES, SYNC_HALVES, levels};
use crate::sync::SYNC_BYTES;
use crate::{Codeword, Together, UserBitsHeard};

/// The most probable codewords, all of them together.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Joint {
    /// One after the other.
    pub(crate) codewords: Vec<Codeword>,
    pub(crate) user_bits: UserBitsHeard,
    /// The levels of their half cells, as far as they are told.
    pub(crate) levels: Vec<f32>,
    /// By how many nats they are more probable than any with another start.
    pub(crate) odds: f64,
    /// How loud all half cells are with them, against the synchronizing words alone; 0 if these are
    /// not there, or if some half cell is the other way round time after time.
    pub(crate) fit: f64,
    /// The same against the noise.
    pub(crate) level: f64,
    /// By how many nats another start explains one part of them better.
    pub(crate) jumps: f64,
}

/// Minutes in a day.
const DAY: usize = 1440;
/// Of so many moments, in the order of what they can come to at most, all minutes are tried.
const TRIED: usize = 48;
/// Moments that frames and seconds alone make so many nats less probable than the best are not: odds
/// are not told beyond.
const LEFT_OUT: f32 = 40.0;

/// The most probable start of code with so many frames in a second. Half cells come with noise of
/// variance 1.
pub(super) fn joint(halves: &[f32], base: u16) -> Option<Joint> {
    let columns: Vec<Column> = halves.chunks_exact(HALVES).map(Column::of).collect();
    let mut adder = Adder::new(&columns);
    let mut podium = Podium::default();
    let mut found = None;
    for (advance, polarities) in KINDS {
        for &polarity in polarities {
            let member = Member {
                base,
                advance,
                polarity,
            };
            podium.hear(member, &mut adder);
        }
        found = podium.joint(halves, &columns);
        // Where it is of one kind for certain, it is of no other.
        if found.as_ref().is_some_and(Joint::is_certain) {
            return found;
        }
    }
    told::varied(halves, &columns, base)
        .filter(Joint::is_certain)
        .or(found)
}

/// The kinds of code, each with the ways in which its levels may run. None of these may be left out for
/// another: a start with one bit of a digit and the flag beside it turned over looks nearly as the true
/// one does, and is even where that is odd.
const KINDS: [(Advance, &[Polarity]); 3] = [
    (Advance::Onwards, &[Polarity::Corrected]),
    (Advance::Onwards, &[Polarity::RunsEven, Polarity::RunsOdd]),
    (Advance::Still, &[Polarity::RunsEven, Polarity::RunsOdd]),
];

impl Joint {
    /// Whether the start may be believed.
    pub(crate) fn is_certain(&self) -> bool {
        self.odds >= Together::CERTAIN_LOG10 * std::f64::consts::LN_10
            && self.fit >= Together::FITS
            && self.jumps <= Together::JUMPS
    }
}

/// Parts in which a jump is looked for.
const PARTS: usize = 4;

/// How much better another moment fits than this one where it does so most: in one of the parts, by
/// frames and seconds.
fn jumps(moment: Moment, columns: &[Column]) -> f32 {
    let length = columns.len().div_ceil(PARTS).max(1);
    let parts = columns.chunks(length).zip((0..).step_by(length));
    let better = parts.map(|(part, from)| {
        let own = moment.later(from);
        let mut adder = Adder::new(part);
        // A border that is behind a part may have turned round what all its codewords do.
        let mut fit = |moment: Moment| {
            let either = moment.member.either_turn().iter();
            let moments = either.map(|&polarity| moment.of(polarity));
            let turned = moments.flat_map(|moment| {
                let turns = turns(moment, part.len()).iter();
                turns.map(move |&turn| (moment, turn))
            });
            turned
                .map(|turned| how_well(&mut adder, turned))
                .fold(f32::MIN, f32::max)
        };
        let own_fit = fit(own);
        let all = own.member.moments(part.len()).into_iter().map(fit);
        all.fold(f32::MIN, f32::max) - own_fit
    });
    better.fold(0.0, f32::max)
}

/// How well frames and seconds fit at a moment.
fn how_well(adder: &mut Adder<'_>, (moment, turn): Turned) -> f32 {
    beginning(moment.member, &adder.sums(moment, turn))
}

/// A moment, and what codewords after the border of a minute then do to the level.
type Turned = (Moment, f32);

/// What codewords after the border may do to the level. Nothing does anything to it where a bit
/// corrects, or where there is no border.
fn turns(moment: Moment, codewords: usize) -> &'static [f32] {
    match moment.member.polarity {
        Polarity::RunsEven | Polarity::RunsOdd if moment.crosses(codewords) => &[1.0, -1.0],
        _ => &[1.0],
    }
}

/// The moments that frames and seconds leave probable.
fn likely(member: Member, adder: &mut Adder<'_>) -> Vec<Turned> {
    let codewords = adder.codewords();
    let moments = member.moments(codewords).into_iter();
    let all = moments.flat_map(|moment| {
        let turns = turns(moment, codewords).iter();
        turns.map(move |&turn| (moment, turn))
    });
    let judged = all.map(|turned| (how_well(adder, turned), turned));
    let judged: Vec<(f32, Turned)> = judged.collect();
    let best = judged.iter().map(|(fit, _)| *fit).fold(0.0, f32::max);
    let halves = (codewords * TIME_GROUPS * GROUP_HALVES) as f32;
    // As nats, a fit counts by the level of the code.
    let least = best - LEFT_OUT * halves / best.max(1.0);
    let likely = judged.into_iter().filter(|(fit, _)| *fit >= least);
    likely.map(|(_, turned)| turned).collect()
}

/// So many standard errors below nothing a half cell is the other way round...
const ERRORS: f64 = 5.0;
/// ...and the synchronizing words are missing if they are less loud than this part of everything.
const MISSING: f64 = 0.5;

/// Whether a half cell, or the synchronizing word as a whole, is on the average of all codewords not
/// what they say. Noise leaves all of them what they are; a tone that goes along with some is against
/// others, time after time.
fn is_another_word(halves: &[f32], levels: &[f32]) -> bool {
    let mut sums = [0.0; HALVES];
    for (levels, halves) in levels.chunks_exact(HALVES).zip(halves.chunks_exact(HALVES)) {
        let products = levels
            .iter()
            .zip(halves)
            .map(|(a, half)| f64::from(a * half));
        sums.iter_mut()
            .zip(products)
            .for_each(|(sum, product)| *sum += product);
    }
    // The first codeword may begin with either level.
    let all: f64 = sums.iter().sum();
    let fits = sums.map(|sum| all.signum() * sum);
    let sync: f64 = fits[BEFORE_SYNC..].iter().sum();
    let error = ((halves.len() / HALVES) as f64).sqrt();
    fits.into_iter().any(|fit| fit < -ERRORS * error)
        || sync / (SYNC_HALVES as f64) < MISSING * all.abs() / HALVES as f64
}

/// How loud the synchronizing words are, whatever their polarity: the noise of 32 half cells is
/// taken out.
fn sync_level(columns: &[Column]) -> f64 {
    let squares = columns.iter().map(|column| f64::from(column.sync).powi(2));
    let square = squares.sum::<f64>() / columns.len().max(1) as f64;
    let halves = SYNC_HALVES as f64;
    (square - halves).max(0.0).sqrt() / halves
}

/// A start with everything that is the same in its codewords.
#[derive(Debug, Clone, Copy)]
struct Start {
    moment: Moment,
    minute: usize,
    way: Way,
}

impl Start {
    fn codeword(self, number: usize) -> Codeword {
        let mut codeword = codeword(self.moment, self.minute, number, self.way.values & SAME);
        if let Some(group) = self.moment.member.correcting()
            && !codeword.is_even()
        {
            codeword.0[group / 2] |= 8;
        }
        codeword
    }

    /// Whether another start is the same one, taken for another kind of code.
    fn is_same(self, other: &Self) -> bool {
        self.minute == other.minute && self.moment.first == other.moment.first
    }
}

/// Codeword `number` after a moment in a minute of the day, with all else as it is the same in all.
fn codeword(moment: Moment, minute: usize, number: usize, same: u64) -> Codeword {
    let now = moment.at(number);
    let minute = (minute + now.side as usize) % DAY;
    let [frames, tens, seconds, seconds_tens] = now.digits;
    let digits = [
        frames,
        tens,
        seconds,
        seconds_tens,
        minute % 10,
        minute % 60 / 10,
        minute / 60 % 10,
        minute / 600,
    ];
    let content = digits
        .into_iter()
        .zip(0..)
        .fold(same, |bits, (digit, n)| bits | (digit as u64) << (8 * n));
    let mut bytes = [0; 10];
    let (of_content, of_sync) = bytes.split_at_mut(8);
    of_content.copy_from_slice(&content.to_le_bytes());
    of_sync.copy_from_slice(&SYNC_BYTES);
    Codeword(bytes)
}

/// All bits but those of the eight digits.
const SAME: u64 = 0xFCF0_F8F0_F8F0_FCF0;

/// The best start, and how well the best other one does.
#[derive(Debug, Default)]
struct Podium {
    best: Option<Start>,
    second: f32,
}

impl Podium {
    /// Tries all starts of a kind of code.
    fn hear(&mut self, member: Member, adder: &mut Adder<'_>) {
        let likely = likely(member, adder).into_iter();
        let bounds = likely.map(|(moment, turn)| {
            let sums = adder.sums(moment, turn);
            (Search::new(member, &sums, turn).bound(), moment, turn)
        });
        let mut bounds: Vec<(f32, Moment, f32)> = bounds.collect();
        bounds.sort_by(|a, b| b.0.total_cmp(&a.0));
        for (tried, (bound, moment, turn)) in bounds.into_iter().enumerate() {
            if bound <= self.second {
                return;
            }
            if tried == TRIED {
                // What was not tried may be as good as this.
                self.second = bound;
                return;
            }
            let sums = adder.sums(moment, turn);
            let later = usize::from(moment.crosses(adder.codewords()));
            self.minutes(&Search::new(member, &sums, turn), moment, later);
        }
    }

    /// Tries all minutes of the day; those after the border are so much later.
    fn minutes(&mut self, search: &Search<'_>, moment: Moment, later: usize) {
        for minute in 0..DAY {
            let way = search.at(Clock::new(minute, (minute + later) % DAY));
            self.offer(Start {
                moment,
                minute,
                way,
            });
        }
    }

    /// What the best start comes to.
    fn joint(&self, halves: &[f32], columns: &[Column]) -> Option<Joint> {
        let best = self.best?;
        let level = f64::from(best.way.fit) / halves.len() as f64;
        let ahead = f64::from(best.way.fit - self.second);
        let codewords = 0..columns.len();
        let codewords: Vec<Codeword> = codewords.map(|number| best.codeword(number)).collect();
        let levels = levels(&codewords);
        let sync = sync_level(columns);
        let is_of_its_kind = sync > 0.0 && !is_another_word(halves, &levels);
        Some(Joint {
            codewords,
            user_bits: UserBitsHeard::Alike,
            levels,
            odds: (level * ahead).min(f64::from(LEFT_OUT)),
            fit: if is_of_its_kind { level / sync } else { 0.0 },
            level,
            jumps: level * f64::from(jumps(best.moment, columns)),
        })
    }

    fn offer(&mut self, start: Start) {
        match &mut self.best {
            Some(best) if start.way.fit <= best.way.fit => {
                if !start.is_same(best) {
                    self.second = self.second.max(start.way.fit);
                }
            }
            best => {
                let before = best.replace(start).filter(|best| !start.is_same(best));
                if let Some(before) = before {
                    self.second = self.second.max(before.way.fit);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::robust::testing::{COUNTS, Random, counting, half_cells, random_codeword};
    use crate::{Flags, PolarityRule};
    use plumbline_timecode::{BinaryGroupFlags, Count, FrameNumber, Frames, TimeAddress, UserBits};

    #[test]
    fn every_count_is_told_with_correction_and_without_over_the_border_of_a_minute() {
        let mut random = Random::new(71);
        for (count, base) in COUNTS {
            for rule in [PolarityRule::Corrected, PolarityRule::Uncorrected] {
                let words = counting(count, 250, rule);
                let halves = half_cells(&words, -20.0, &mut random);
                let joint = joint(&halves, base).unwrap();
                assert_eq!(joint.codewords, words, "{count:?} {rule:?}");
                assert!(joint.jumps < 14.0, "{} {count:?} {rule:?}", joint.jumps);
                assert!(joint.odds > 20.0, "{count:?} {rule:?}: {}", joint.odds);
                assert!((0.8..1.25).contains(&joint.fit), "{}", joint.fit);
            }
        }
    }

    #[test]
    fn code_that_stands_still_is_told() {
        let mut random = Random::new(74);
        for (count, base) in COUNTS {
            for rule in [PolarityRule::Corrected, PolarityRule::Uncorrected] {
                let words = vec![counting(count, 1, rule)[0]; 250];
                let halves = half_cells(&words, -20.0, &mut random);
                let joint = joint(&halves, base).unwrap();
                assert_eq!(joint.codewords, words, "{count:?} {rule:?}");
                assert!(joint.is_certain(), "{count:?} {rule:?}");
            }
        }
    }

    /// Fifty codewords at -22 dB, timing given: 96 % are right. Of a hundred trials that is 96, four
    /// standard deviations fewer 88; and what is certain is right.
    #[test]
    fn two_seconds_tell_the_start_as_often_as_they_can() {
        let mut random = Random::new(72);
        let words = counting(Count::F25, 50, PolarityRule::Corrected);
        let found: Vec<Joint> = (0..100)
            .filter_map(|_| joint(&half_cells(&words, -22.0, &mut random), 25))
            .collect();
        let right = |joint: &&Joint| joint.codewords[0].digits() == words[0].digits();
        let count = found.iter().filter(right).count();
        assert!((88..=100).contains(&count), "{count}");
        // A claim of e to one is wrong once in e times.
        let sure = found.iter().filter(|joint| joint.odds > 4.0);
        assert!(sure.clone().count() > 10);
        assert!(sure.clone().all(|joint| right(&joint)));
    }

    /// Code whose constant bits are odd, each with a start that even code has too but for one or two bits.
    /// By itself that one is certain, and wrong.
    #[test]
    fn code_that_is_odd_is_not_taken_for_even_code_that_is_nearly_the_same() {
        for seed in [402, 743, 923] {
            let mut random = Random::new(seed);
            let number = FrameNumber(u32::try_from(random.bits() % 2_160_000).unwrap());
            let start = TimeAddress::from_frame_number(Count::F25, number).unwrap();
            let user_bits = UserBits(u32::try_from(random.bits() >> 32).unwrap());
            let words = (0..250).map(|number| {
                Codeword::new(
                    start.plus_wrapping(Frames(number)),
                    user_bits,
                    BinaryGroupFlags::Unspecified,
                    Flags::default(),
                    PolarityRule::Uncorrected,
                )
            });
            let words: Vec<Codeword> = words.collect();
            let halves = half_cells(&words, -22.5, &mut random);
            let mut even = Podium::default();
            let member = Member {
                base: 25,
                advance: Advance::Onwards,
                polarity: Polarity::RunsEven,
            };
            let columns: Vec<Column> = halves.chunks_exact(HALVES).map(Column::of).collect();
            even.hear(member, &mut Adder::new(&columns));
            let even = even.joint(&halves, &columns).unwrap();
            assert!(even.is_certain() && even.codewords != words);
            let joint = joint(&halves, 25).unwrap();
            assert!(joint.is_certain(), "{joint:?}");
            assert_eq!(joint.codewords, words);
        }
    }

    /// What is not code of a known kind is not made certain: addresses at random, one that jumps half
    /// way, noise.
    #[test]
    fn what_does_not_fit_is_not_believed() {
        let mut random = Random::new(73);
        let words = counting(Count::F25, 250, PolarityRule::Corrected);
        let mut jumping = words[..125].to_vec();
        jumping.extend(&counting(Count::F25, 900, PolarityRule::Corrected)[775..]);
        let others: Vec<Codeword> = (0..250).map(|_| random_codeword(&mut random)).collect();
        for words in [jumping, others] {
            for decibels in [-10.0, -20.0] {
                let halves = half_cells(&words, decibels, &mut random);
                let joint = joint(&halves, 25).unwrap();
                assert!(joint.fit < 0.8 || joint.odds < 13.8 || joint.jumps > 14.0);
            }
        }
        // A tone that turns round with every cell, as if all bits were 0, under a little noise.
        let tone = (0..250 * HALVES).map(|half| if half / 2 % 2 == 0 { 1.0_f32 } else { -1.0 });
        let tone: Vec<f32> = tone.collect();
        for level in [0.1, 0.2, 0.5, 1.0, 3.0] {
            let tone = tone.iter().map(|a| level * a + random.normal());
            let joint = joint(&tone.collect::<Vec<f32>>(), 24).unwrap();
            assert!(joint.fit < 0.8, "{level}: {joint:?}");
        }
        let noise: Vec<f32> = (0..250 * HALVES).map(|_| random.normal()).collect();
        let joint = joint(&noise, 25).unwrap();
        assert!(joint.odds < 3.0, "{}", joint.odds);
    }
}
