//! Recordings whose sound was lined up with another's.

use super::place::{Basis, Placed, by_code};
use super::{Entry, Moment, ShootClock};
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

/// Where its sound puts a recording: beside one that has code, with the best odds.
pub(crate) fn by_sound(entry: &Entry, all: &[Entry], clock: ShootClock) -> Option<Placed> {
    let known = entry.sounds.iter().filter_map(|line| {
        let other = all.iter().find(|other| other.key == line.beside)?;
        Some((line, other, by_code(&other.summary, clock)?))
    });
    let (line, other, beside) = known.max_by(|a, b| a.0.odds_log10.total_cmp(&b.0.odds_log10))?;
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
