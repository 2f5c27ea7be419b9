//! Ten seconds of code far below something else, of which little but the start can be told.

use plumbline_ltc::{Direction, PolarityRule};
use plumbline_shoot::FrameList;
use plumbline_timecode::{CODES, Count, Rate, SampleRate, UserBits};

use super::measure::{in_parallel, seeds};
use super::{Effort, SweepError};
use crate::{
    Added, Damage, Decibels, Music, Seed, Source, Speech, Take, UserBitsSent, White, best_start,
    half_cell_snr, reading,
};

/// What was told of one kind of code, under a sound at one level.
#[derive(Debug, Clone)]
pub(crate) struct Starts {
    pub(crate) name: String,
    pub(crate) sound: &'static str,
    /// The mean square of the sound over that of the code.
    pub(crate) over: Decibels,
    pub(crate) takes: u64,
    /// How many of them the best receiver could be sure of in the mean, where that is known.
    pub(crate) limit: Option<f64>,
    /// Starts that were given, and are right to a hundredth of a frame.
    pub(crate) right: u64,
    /// Starts that were given, and are not.
    pub(crate) wrong: u64,
}

const SECONDS: u32 = 10;
/// What a start may be off by, in frames: where little was read late in a take, it is worked back with
/// the speed of that.
const NEAR: f64 = 0.01;

/// Asks for the start of all of them.
pub(crate) fn ask(effort: Effort) -> Result<Vec<Starts>, SweepError> {
    let kinds = kinds()?;
    let takes = match effort {
        Effort::Full => 100,
        Effort::Quick => 1,
    };
    let kinds = kinds.iter().map(|kind| {
        let first = seeds(&kind.name);
        let told = in_parallel(takes, |number| {
            told(kind, effort.seed(first + number as u64))
        });
        let told = told.into_iter().collect::<Result<Vec<_>, _>>()?;
        let count = |which| told.iter().filter(|(told, _)| *told == which).count() as u64;
        Ok(Starts {
            name: kind.name.clone(),
            sound: kind.under.name(),
            over: kind.over,
            takes: takes as u64,
            limit: told.iter().map(|(_, limit)| *limit).sum(),
            right: count(Told::Right),
            wrong: count(Told::Wrong),
        })
    });
    kinds.collect()
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Told {
    Right,
    Wrong,
    Nothing,
}

/// A kind of code, and what lies over it.
#[derive(Debug, Clone)]
struct Kind {
    name: String,
    source: Source,
    user_bits: UserBitsOf,
    under: Under,
    over: Decibels,
}

/// What user bits are by chance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum UserBitsOf {
    /// Those of a take.
    Take,
    /// Those of each codeword.
    Codeword,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Under {
    White,
    Speech,
    Music,
}

impl Under {
    fn name(self) -> &'static str {
        match self {
            Under::White => "white noise",
            Under::Speech => "something like speech",
            Under::Music => "something like music",
        }
    }

    fn damage(self, over: Decibels) -> Box<dyn Damage> {
        match self {
            Under::White => Box::new(Added::over_code(White, over)),
            Under::Speech => Box::new(Added::over_code(Speech, over)),
            Under::Music => Box::new(Added::over_code(Music, over)),
        }
    }
}

fn kinds() -> Result<Vec<Kind>, SweepError> {
    let rate = SampleRate::hertz(48_000)?;
    let levels = [
        (Under::White, [20.0, 22.0, 25.0, 28.0]),
        (Under::Speech, [20.0, 30.0, 40.0, 50.0]),
        (Under::Music, [20.0, 30.0, 40.0, 50.0]),
    ];
    let mut kinds: Vec<Kind> = Vec::new();
    for (under, levels) in levels {
        kinds.extend(levels.map(|over| Kind {
            name: "25".into(),
            source: Source::new(Rate::F25, rate),
            user_bits: UserBitsOf::Take,
            under,
            over: Decibels(over),
        }));
    }
    for (rate_of_code, count) in CODES {
        let source = Source {
            count,
            ..Source::new(rate_of_code, rate)
        };
        let levels: &[f64] = match rate_of_code {
            Rate::F25 => &[16.0, 18.0, 20.0, 22.0],
            _ => &[18.0],
        };
        let drop = drop(count);
        kinds.extend(levels.iter().map(|&over| Kind {
            name: format!("{rate_of_code}{drop}, user bits of each codeword its own"),
            source,
            user_bits: UserBitsOf::Codeword,
            under: Under::White,
            over: Decibels(over),
        }));
    }
    for (rate_of_code, count) in CODES {
        for rule in [PolarityRule::Corrected, PolarityRule::Uncorrected] {
            for direction in [Direction::Forward, Direction::Reverse] {
                let source = Source {
                    count,
                    polarity_rule: rule,
                    ..Source::new(rate_of_code, rate)
                };
                let (source, way) = match direction {
                    Direction::Forward => (source, ""),
                    Direction::Reverse => (source.reversed(), ", backwards"),
                };
                let drop = drop(count);
                let bit = match rule {
                    PolarityRule::Corrected => "",
                    PolarityRule::Uncorrected => ", without the bit that corrects",
                };
                kinds.push(Kind {
                    name: format!("{rate_of_code}{drop}{bit}{way}"),
                    source,
                    user_bits: UserBitsOf::Take,
                    under: Under::White,
                    over: Decibels(22.0),
                });
            }
        }
    }
    Ok(kinds)
}

fn drop(count: Count) -> &'static str {
    if count.is_drop() { " drop-frame" } else { "" }
}

/// Ten seconds of code under something: what the product says of their start, and how probable it is
/// that the best receiver could be sure of it, where that is known.
fn told(kind: &Kind, seed: Seed) -> Result<(Told, Option<f64>), SweepError> {
    let user_bits = match kind.user_bits {
        UserBitsOf::Take => UserBitsSent::Constant(UserBits(seed.random(2).bits())),
        UserBitsOf::Codeword => UserBitsSent::Random,
    };
    let source = Source {
        user_bits,
        ..kind.source
    };
    let codewords = SECONDS * source.count.frames_per_second();
    let take = source.take(codewords, seed)?;
    let damage = kind.under.damage(kind.over);
    let covered = take.clone().damaged(seed, &[damage.as_ref()])?;
    let reading = reading(covered.sample_rate, &[&covered.samples], FrameList::Leave);
    let codes = reading.map(|reading| reading.report.codes);
    let start = codes
        .unwrap_or_default()
        .first()
        .map(|code| code.start_samples_since_midnight);
    let told = match start.flatten() {
        None => Told::Nothing,
        Some(start) if is_right(&source, &take, start) => Told::Right,
        Some(_) => Told::Wrong,
    };
    let is_known = kind.under == Under::White && kind.user_bits == UserBitsOf::Take;
    let limit = is_known.then(|| {
        let gamma = half_cell_snr(source.codeword_samples(), Decibels(-kind.over.0).power());
        best_start(&take.words, source.count, gamma)
    });
    Ok((told, limit))
}

fn is_right(source: &Source, take: &Take, start: f64) -> bool {
    let Some(first) = take.words.first() else {
        return false;
    };
    let Ok(address) = first.meant.address(source.count) else {
        return false;
    };
    let at_edge = f64::from(address.frame_number().0) * source.codeword_samples();
    let expected = match first.direction {
        Direction::Forward => at_edge - first.begins,
        // Its edge comes when it ends, and what comes before is later.
        Direction::Reverse => at_edge + first.ends,
    };
    (start - expected).abs() <= NEAR * source.codeword_samples()
}
