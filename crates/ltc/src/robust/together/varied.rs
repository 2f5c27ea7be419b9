//! Starts of code whose user bits are others in each codeword.
//!
//! There nothing can be added up over codewords: what user bits do to the level is another thing in each.
//! So each codeword is gone through by itself, with both levels, and all that a group may have is added up
//! as probabilities. A start is as likely as it makes all codewords, one after the other.

use super::columns::{Column, VALUES, flags};
use super::lead::{Amplitude, Lead};
use super::member::{Advance, Member, Moment, Polarity, Side};
use super::{DAY, PARTS};
use crate::robust::trellis::Levels;

/// The first groups of frames, seconds, minutes and hours.
const FRAMES: usize = 0;
const SECONDS: usize = 4;
const MINUTES: usize = 8;
const HOURS: usize = 12;

/// What is so many nats less likely than the best is not looked at further: odds are not told beyond.
const LEFT_OUT: f64 = 25.0;
/// Of so many moments at most minutes and hours are tried: where more are likely, nothing is certain.
const TRIED: usize = 24;

/// The kinds of code. How many zeros are the same in all codewords says nothing here, and what stands still
/// is left alone: a count backwards looks like it now and then.
const KINDS: [Polarity; 2] = [Polarity::Corrected, Polarity::RunsEven];

/// A start that is as likely as any.
#[derive(Debug, Clone, Copy)]
pub(super) struct Likeliest {
    pub(super) moment: Moment,
    /// The minute of the day.
    pub(super) minute: usize,
    /// How many nats likelier it is than any other.
    pub(super) odds: f64,
    /// By how many nats another moment explains one part of the codewords better.
    pub(super) jumps: f64,
}

/// The likeliest start of codewords with so many frames in a second; none where many are.
pub(super) fn likeliest(columns: &[Column], base: u16, amplitude: Amplitude) -> Option<Likeliest> {
    let words = columns.iter();
    let words: Vec<Word> = words
        .map(|column| Word::of(column, amplitude, base))
        .collect();
    let kinds = KINDS.iter().flat_map(|&polarity| {
        let member = Member {
            base,
            advance: Advance::Onwards,
            polarity,
        };
        member.moments(words.len())
    });
    let moments = likely(kinds, |&moment| {
        likelihood(&words, moment, |word, _| word.any_time)
    });
    if moments.len() > TRIED {
        return None;
    }
    let of_hours = moments.into_iter().flat_map(|(_, moment)| {
        let minutes = 0..MINUTES_OF_HOUR;
        minutes.map(move |minute| (moment, minute))
    });
    let of_hours = likely(of_hours, |&(moment, minute)| {
        likelihood(&words, moment, |word, side| {
            word.minutes[(minute + side as usize) % MINUTES_OF_HOUR] * word.any_hour
        })
    });
    let starts = of_hours.into_iter().flat_map(|(_, (moment, minute))| {
        let minutes = (minute..DAY).step_by(MINUTES_OF_HOUR);
        minutes.map(move |minute| (moment, minute))
    });
    let starts = likely(starts, |&(moment, minute)| {
        likelihood(&words, moment, |word, side| {
            let minute = (minute + side as usize) % DAY;
            word.minutes[minute % MINUTES_OF_HOUR] * word.hours[minute / MINUTES_OF_HOUR]
        })
    });
    let &(best, (moment, minute)) = starts.iter().max_by(|a, b| a.0.total_cmp(&b.0))?;
    let others = starts.iter().filter(|(_, (other, minute_of_other))| {
        other.first != moment.first || *minute_of_other != minute
    });
    let second = others.map(|(likelihood, _)| *likelihood);
    Some(Likeliest {
        moment,
        minute,
        odds: best - second.fold(best - LEFT_OUT, f64::max),
        jumps: jumps(&words, moment),
    })
}

/// Those that are not much less likely than the best, each with how likely it is.
fn likely<T>(all: impl Iterator<Item = T>, likelihood: impl Fn(&T) -> f64) -> Vec<(f64, T)> {
    let mut all: Vec<(f64, T)> = all.map(|one| (likelihood(&one), one)).collect();
    let best = all.iter().map(|one| one.0).fold(f64::MIN, f64::max);
    all.retain(|one| one.0 >= best - LEFT_OUT);
    all
}

/// How likely codewords are that begin with a moment, in nats; `of_clock` has what one says of minutes
/// and hours.
fn likelihood(words: &[Word], moment: Moment, of_clock: impl Fn(&Word, Side) -> Lead) -> f64 {
    let mut levels: Levels = [1.0, 1.0];
    let mut sum = 0.0;
    for (number, word) in words.iter().enumerate() {
        let now = moment.at(number);
        let [frames, tens, seconds, seconds_tens] = now.digits;
        let beginning = word.frames[10 * tens + frames] * word.seconds[10 * seconds_tens + seconds];
        let lead = beginning * of_clock(word, now.side);
        let [up, down] = lead.after(levels, moment.member.polarity);
        let most = up.max(down).max(f64::MIN_POSITIVE);
        levels = [up / most, down / most];
        sum += most.ln();
    }
    sum + (levels[0] + levels[1]).ln()
}

/// How much likelier another moment makes one part of the codewords than this one.
fn jumps(words: &[Word], moment: Moment) -> f64 {
    let length = words.len().div_ceil(PARTS).max(1);
    let parts = words.chunks(length).zip((0..).step_by(length));
    let better = parts.map(|(part, from)| {
        let of = |moment| likelihood(part, moment, |word, _| word.any_time);
        let all = moment.member.moments(part.len()).into_iter().map(of);
        all.fold(f64::MIN, f64::max) - of(moment.later(from))
    });
    better.map(|better| better.max(0.0)).sum()
}

const MINUTES_OF_HOUR: usize = 60;

/// What the half cells of a codeword say of each frame, second, minute and hour, each with the user bits
/// that stand behind its digits.
#[derive(Debug)]
struct Word {
    frames: Vec<Lead>,
    seconds: Vec<Lead>,
    minutes: Vec<Lead>,
    /// With the synchronizing word.
    hours: Vec<Lead>,
    any_hour: Lead,
    /// Any minute of any hour.
    any_time: Lead,
}

impl Word {
    fn of(column: &Column, amplitude: Amplitude, base: u16) -> Self {
        let numbers = |group, count| numbers(column, amplitude, group, count);
        let sync = Lead::of_sync(column.sync, amplitude);
        let hours = numbers(HOURS, DAY / MINUTES_OF_HOUR).into_iter();
        let hours: Vec<Lead> = hours.map(|hour| hour * sync).collect();
        let minutes = numbers(MINUTES, MINUTES_OF_HOUR);
        let any_hour = Lead::of_any(&hours);
        Self {
            frames: numbers(FRAMES, usize::from(base)),
            seconds: numbers(SECONDS, 60),
            any_time: Lead::of_any(&minutes) * any_hour,
            minutes,
            hours,
            any_hour,
        }
    }
}

/// What a codeword says of each number below `count`, whose units are in a group and whose tens are two
/// groups later.
fn numbers(column: &Column, amplitude: Amplitude, units: usize, count: usize) -> Vec<Lead> {
    let digits = |group: usize, count: usize| -> Vec<Lead> {
        let user_bits = Lead::of_group(&column.groups[group + 1], amplitude, 0..VALUES);
        let digit = |value: usize| {
            let flags = flags(group).unwrap_or_default().iter();
            let values = flags.map(|flag| value | flag);
            Lead::of_group(&column.groups[group], amplitude, values) * user_bits
        };
        (0..count).map(digit).collect()
    };
    let (tens, units) = (digits(units + 2, count.div_ceil(10)), digits(units, 10));
    let numbers = 0..count;
    numbers.map(|n| units[n % 10] * tens[n / 10]).collect()
}

#[cfg(test)]
mod tests {
    use super::super::joint;
    use crate::robust::testing::{COUNTS, Random, counting_varied, half_cells};
    use crate::{Codeword, PolarityRule, UserBitsHeard};
    use plumbline_timecode::Count;

    const RULES: [PolarityRule; 2] = [PolarityRule::Corrected, PolarityRule::Uncorrected];

    /// Everything but user bits and the bit that corrects.
    fn told(codeword: &Codeword, base: u16) -> [u8; 10] {
        let mut bytes = codeword.0;
        bytes[..8].iter_mut().for_each(|byte| *byte &= 0x0F);
        bytes[if base == 25 { 7 } else { 3 }] &= 0x07;
        bytes
    }

    #[test]
    fn every_count_is_told_with_correction_and_without_over_the_border_of_a_minute() {
        let mut random = Random::new(95);
        for (count, base) in COUNTS {
            for rule in RULES {
                let words = counting_varied(count, 10 * base, rule, &mut random);
                let joint = joint(&half_cells(&words, -19.0, &mut random), base).unwrap();
                assert_eq!(joint.user_bits, UserBitsHeard::Various);
                assert!(joint.is_certain(), "{count:?} {rule:?}");
                assert!((0.8..1.2).contains(&joint.fit), "{}", joint.fit);
                for (heard, sent) in joint.codewords.iter().zip(&words) {
                    assert_eq!(told(heard, base), told(sent, base), "{count:?} {rule:?}");
                }
            }
        }
    }

    /// One that jumps, one that counts by twos, and one with another word where the synchronizing word has
    /// to be. At -17 dB all are loud enough to be told.
    #[test]
    fn what_does_not_count_on_is_not_believed() {
        let mut random = Random::new(96);
        for rule in RULES {
            let words = counting_varied(Count::F25, 900, rule, &mut random);
            let jumping = [&words[..125], &words[775..]].concat();
            let by_twos: Vec<Codeword> = words.iter().step_by(2).copied().take(250).collect();
            let mut spoilt = words[..250].to_vec();
            for word in &mut spoilt {
                word.0[9] ^= 0x08;
            }
            for (number, words) in [jumping, by_twos, spoilt].into_iter().enumerate() {
                let joint = joint(&half_cells(&words, -17.0, &mut random), 25);
                let is_certain = joint.is_some_and(|joint| joint.is_certain());
                assert!(!is_certain, "{number} {rule:?}");
            }
            let joint = joint(&half_cells(&words[..250], -17.0, &mut random), 25);
            assert!(joint.is_some_and(|joint| joint.is_certain()));
        }
    }
}
