//! Recordings whose sound was lined up with another's.

use super::place::{Basis, Placed, by_code, start_of};
use super::{Entry, LineUp, Moment, ShootClock};
use plumbline_words::Problem;
use serde::{Deserialize, Serialize};

/// How a recording's sound lies beside another's, as it was measured.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct SoundLine {
    /// The key of the other recording.
    pub beside: String,
    /// How long after the other's first sample this one's is, in seconds of the other's clock.
    pub offset: f64,
    /// One standard deviation of that, in seconds.
    pub offset_uncertainty: f64,
    /// How fast this recording's clock runs beside the other's, in parts per million.
    pub drift_ppm: f64,
    /// The odds against chance, as a power of ten.
    pub odds_log10: f64,
}

/// Offsets among which the place of a recording is looked for, in seconds of the other's clock.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct SoundPrior {
    /// The least.
    pub from: f64,
    /// The greatest.
    pub to: f64,
}

/// What sound says of a recording's place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum BySound<'e> {
    /// It was not asked, or beside none that has code.
    Nothing,
    /// It is heard there, beside one or more, who agree.
    There(Placed),
    /// Two recordings put it at two places, so far apart in seconds: neither is believed.
    Twice {
        first: &'e str,
        second: &'e str,
        apart: f64,
    },
}

/// Two that heard the same may differ by so much, in seconds: sound takes that for 50 m, and codes
/// may be some frames beside each other.
const ALIKE: f64 = 0.15;

/// The place of a recording by its sound; none where it is not known, or not without doubt.
pub(crate) fn by_sound<'a>(
    entry: &Entry,
    all: &(impl Iterator<Item = &'a Entry> + Clone),
    clock: ShootClock,
) -> Option<Placed> {
    match heard(entry, all, clock) {
        BySound::There(placed) => Some(placed),
        BySound::Nothing | BySound::Twice { .. } => None,
    }
}

/// What sound says of a recording, beside all that have code.
pub(crate) fn heard<'e, 'a>(
    entry: &'e Entry,
    all: &(impl Iterator<Item = &'a Entry> + Clone),
    clock: ShootClock,
) -> BySound<'e> {
    let lines = entry.sounds.iter().filter_map(|line| {
        let other = all.clone().find(|other| other.key == line.beside)?;
        Some((line, beside(entry, line, other, clock)?))
    });
    let mut known: Vec<(&SoundLine, Placed)> = lines.collect();
    known.sort_by(|a, b| b.0.odds_log10.total_cmp(&a.0.odds_log10));
    let Some(((best, placed), others)) = known.split_first() else {
        return BySound::Nothing;
    };
    let apart = |other: &Placed| {
        let day = clock.day();
        let by = other.from.0 - placed.from.0;
        ((by + day / 2.0).rem_euclid(day) - day / 2.0).abs()
    };
    let widest = others
        .iter()
        .max_by(|a, b| apart(&a.1).total_cmp(&apart(&b.1)));
    match widest {
        Some((other, there)) if apart(there) > ALIKE => BySound::Twice {
            first: &best.beside,
            second: &other.beside,
            apart: apart(there),
        },
        _ => BySound::There(*placed),
    }
}

/// The offsets to look at where somebody says at which address a recording begins, give or take so
/// many seconds.
///
/// # Errors
/// What is wrong with what was typed, or that the other recording has no place.
pub fn prior(
    line_up: &LineUp<'_>,
    beside: &str,
    typed: &str,
    give_or_take: f64,
) -> Result<SoundPrior, Problem> {
    let other = line_up
        .recordings
        .iter()
        .find(|other| other.entry.key == beside);
    let placed = other.and_then(|other| other.placed).zip(line_up.clock);
    let (placed, clock) = placed.ok_or_else(|| {
        Problem::new(
            "rough",
            "The other recording has no place.",
            "Choose one with code.",
        )
    })?;
    let day = clock.day();
    let start = start_of(typed, clock)?;
    let offset = (start.0 - placed.from.0 + day / 2.0).rem_euclid(day) - day / 2.0;
    Ok(SoundPrior {
        from: offset - give_or_take,
        to: offset + give_or_take,
    })
}

fn beside(entry: &Entry, line: &SoundLine, other: &Entry, clock: ShootClock) -> Option<Placed> {
    let beside = by_code(&other.summary, clock)?;

    // Seconds of the other's clock last as long as its code says.
    let speed = (beside.to.0 - beside.from.0) / other.summary.seconds().max(1e-9);
    let from = beside.from.0 + line.offset * speed;
    let own_speed = speed * (1.0 - line.drift_ppm * 1e-6);
    Some(Placed {
        from: Moment(from),
        to: Moment(from + entry.summary.seconds() * own_speed),
        basis: Basis::Sound {
            deviation: line.offset_uncertainty,
        },
        measured: None,
    })
}
