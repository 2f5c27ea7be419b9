//! What lay over the code of a channel, told by the codewords that had to be weighed because edges
//! did not show them.

use plumbline_ltc::{Cause, Disturbance, Mains};
use plumbline_media::Codec;

use crate::word::Word;

/// Something that lies over code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Over {
    Noise,
    Hum(Mains),
    Clicks,
    Sound,
    /// What a lossy codec did to it: known from the file, not from the sound.
    Coding(Codec),
}

/// What lossy coding does stays below what it codes, by so many decibels at least.
const BELOW: f32 = 0.0;

impl Over {
    const ALL: [Over; 5] = [
        Over::Noise,
        Over::Hum(Mains::Hertz50),
        Over::Hum(Mains::Hertz60),
        Over::Clicks,
        Over::Sound,
    ];

    fn of(disturbance: Disturbance) -> Self {
        match disturbance.cause {
            Cause::Noise => Over::Noise,
            Cause::Hum(mains) => Over::Hum(mains),
            Cause::Clicks { .. } => Over::Clicks,
            Cause::Sound => Over::Sound,
        }
    }
}

/// Codewords by the level of what lay over them, from one decibel to the next.
#[derive(Debug, Clone)]
struct Levels([u32; LEVELS]);

/// The lowest level that is told from lower ones, in dB, and how many there are.
const LOWEST: f32 = -40.0;
const LEVELS: usize = 101;

/// The codewords of a channel that had to be weighed.
#[derive(Debug, Clone)]
pub(crate) struct Cover {
    /// The first of them.
    pub(crate) first: Option<Word>,
    /// How many there are.
    pub(crate) codewords: u64,
    /// Of those, the ones where many around them are, too.
    dense: u64,
    /// Which part of the last codewords they are.
    recent: f32,
    levels: [Levels; Over::ALL.len()],
    /// Clicks a second, added up over codewords with clicks over them.
    clicks: f64,
}

/// What lies over a code for the most part.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Most {
    pub(crate) over: Over,
    /// Its mean square over that of the code, in dB.
    pub(crate) decibels: f32,
    /// Clicks a second, where it is clicks.
    pub(crate) clicks: f64,
}

/// How quickly the part of the last codewords follows.
const GAIN: f32 = 1.0 / 25.0;
/// A codeword that had to be weighed beside a dropout or a bad splice is no cover: this part of the
/// last ones must be...
const DENSE: f32 = 0.2;
/// ...at so many codewords, or at half of all.
const ENOUGH: u64 = 25;

impl Cover {
    pub(crate) fn new() -> Self {
        Cover {
            first: None,
            codewords: 0,
            dense: 0,
            recent: 0.0,
            levels: std::array::from_fn(|_| Levels([0; LEVELS])),
            clicks: 0.0,
        }
    }

    /// Takes the next codeword that was read.
    pub(crate) fn add(&mut self, word: &Word) {
        let is_over = if word.over.is_some() { 1.0 } else { 0.0 };
        self.recent += GAIN * (is_over - self.recent);
        let Some(disturbance) = word.over else {
            return;
        };
        self.first.get_or_insert(*word);
        self.codewords += 1;
        self.dense += u64::from(self.recent > DENSE);
        let over = Over::of(disturbance);
        let levels = Over::ALL.iter().zip(&mut self.levels);
        for (_, levels) in levels.filter(|(other, _)| **other == over) {
            levels.add(disturbance.over_code);
        }
        if let Cause::Clicks { per_second } = disturbance.cause {
            self.clicks += f64::from(per_second);
        }
    }

    /// What lies over the code, if that is worth telling of so many codewords that were read.
    pub(crate) fn most(&self, read: u64) -> Option<Most> {
        let is_much = self.dense >= ENOUGH || self.dense > 0 && self.dense * 2 >= read;
        if !is_much {
            return None;
        }
        let levels = Over::ALL.into_iter().zip(&self.levels);
        let (over, levels) = levels.max_by_key(|(_, levels)| levels.codewords())?;
        Some(Most {
            over,
            decibels: levels.middle(),
            clicks: self.clicks / levels.codewords().max(1) as f64,
        })
    }
}

impl Most {
    /// The same in sound that was compressed with a codec. The noise of lossy coding follows the code
    /// and can't be told from other noise by itself.
    pub(crate) fn in_coding(self, codec: Option<Codec>) -> Self {
        let lossy = codec.filter(|codec| codec.is_lossy());
        match (self.over, lossy) {
            (Over::Noise | Over::Hum(_) | Over::Sound, Some(codec)) if self.decibels < BELOW => {
                Self {
                    over: Over::Coding(codec),
                    ..self
                }
            }
            _ => self,
        }
    }
}

impl Levels {
    fn add(&mut self, decibels: f32) {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "`as` saturates"
        )]
        let place = (decibels - LOWEST).round() as usize;
        let count = &mut self.0[place.min(LEVELS - 1)];
        *count = count.saturating_add(1);
    }

    fn codewords(&self) -> u64 {
        self.0.iter().map(|&count| u64::from(count)).sum()
    }

    /// The level that half of them stay below.
    fn middle(&self) -> f32 {
        let half = self.codewords().div_ceil(2);
        let mut below = 0;
        let levels = self.0.iter().zip(0_u8..);
        for (&count, place) in levels {
            below += u64::from(count);
            if below >= half {
                return LOWEST + f32::from(place);
            }
        }
        LOWEST
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plumbline_ltc::{Codeword, Direction};

    fn word(over: Option<Disturbance>) -> Word {
        Word {
            codeword: Codeword([0; 10]),
            direction: Direction::Forward,
            begins: 0.0,
            ends: 1920.0,
            first_edge: 0.0,
            period: 1920.0,
            trusted: true,
            amplitude: 0.1,
            full_scale: false,
            over,
        }
    }

    fn weighed(cause: Cause, over_code: f32) -> Word {
        word(Some(Disturbance { cause, over_code }))
    }

    fn cover(words: impl IntoIterator<Item = Word>) -> Cover {
        let mut cover = Cover::new();
        words.into_iter().for_each(|word| cover.add(&word));
        cover
    }

    #[test]
    fn few_weighed_codewords_here_and_there_are_no_cover() {
        assert!(Cover::new().most(0).is_none());
        // Two beside each of a thousand dropouts, one in every two seconds.
        let beside = (0..50_000).map(|n| match n % 50 {
            0 | 1 => weighed(Cause::Noise, 3.0),
            _ => word(None),
        });
        let cover = cover(beside);
        assert_eq!(cover.codewords, 2_000);
        assert!(cover.most(50_000).is_none());
    }

    #[test]
    fn a_few_seconds_in_an_hour_are_cover() {
        let some = std::iter::repeat_n(weighed(Cause::Noise, 3.0), 75);
        let hour = std::iter::repeat_n(word(None), 90_000);
        assert!(cover(hour.chain(some)).most(90_075).is_some());
    }

    #[test]
    fn what_lies_over_most_codewords_is_named_at_its_middle_level() {
        let hum = Cause::Hum(Mains::Hertz60);
        let levels = [19.0, 20.0, 20.0, 21.0, 70.0];
        let under_hum = levels.iter().cycle().map(|&level| weighed(hum, level));
        let under_noise = std::iter::repeat_n(weighed(Cause::Noise, 0.0), 40);
        let most = cover(under_hum.take(50).chain(under_noise)).most(90);
        let most = most.unwrap();
        assert_eq!(most.over, Over::Hum(Mains::Hertz60));
        assert!((most.decibels - 20.0).abs() < 0.01, "{}", most.decibels);
    }
}
