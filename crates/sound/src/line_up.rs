//! Two recordings to the time between them.

use crate::coarse::{LEAST_OVERLAP, Prior, candidates};
use crate::fine::{Listener, Look};
use crate::print::FRAMES_A_SECOND;
use crate::recording::{Recording, Side};
use crate::verdict::{Found, Polarity, Refusal, Verdict, Which};
use crate::{Measured, PartsPerMillion, Print, Seconds, whole};

/// The odds against chance that an answer must have, as a power of ten: one wrong answer in a
/// million, before anything else speaks against it.
const LEAST_ODDS: f64 = 6.0;
/// The odds at which another offset is a rival.
const RIVAL_ODDS: f64 = 3.0;
/// How clear a rival's windows must be beside those of the best. Chance is no clearer than that.
const RIVAL_CLEAR: f64 = 0.4;
/// Lines that are nearer than that are one, in seconds: two candidates can lead to the same.
const APART: f64 = 5e-3;
/// Clear windows that may be off the line, for each that is on it.
const MOST_AGAINST: f64 = 0.34;

/// The time between two recordings of the same sound: how long after the first one's first sample
/// the second one's is, or why there is no answer.
///
/// Places that fit are looked for in the prints; the sound of each is then compared in some tens
/// of windows, which must agree on a line; and no second place may do so too.
///
/// ```
/// use plumbline_sound::{PrintMaker, Refusal, Side, Verdict, Which, line_up};
/// use plumbline_timecode::SampleRate;
/// let silence: &[f32] = &[0.0; 480_000];
/// let mut maker = PrintMaker::new(SampleRate::hertz(48_000)?)?;
/// maker.push(silence);
/// let print = maker.finish();
/// let (mut one, mut other) = (silence, silence);
/// let first = Side { print: &print, recording: &mut one };
/// let second = Side { print: &print, recording: &mut other };
/// let verdict = line_up(first, second, None)?;
/// assert_eq!(verdict, Verdict::Refused(Refusal::TooQuiet(Which::First)));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// What reading the recordings gave.
pub fn line_up<A, B>(
    first: Side<'_, A>,
    second: Side<'_, B>,
    prior: Option<Prior>,
) -> Result<Verdict, A::Error>
where
    A: Recording,
    B: Recording<Error = A::Error>,
{
    if let Some(refusal) = cannot(first.print, second.print, prior) {
        return Ok(Verdict::Refused(refusal));
    }
    let candidates = candidates(first.print, second.print, prior);
    let mut listener = Listener::new(first, second);
    let mut looks = Vec::new();
    for candidate in &candidates {
        if let Some(look) = listener.look(candidate)? {
            looks.push(look);
        }
    }
    looks.sort_by(|a, b| b.odds_log10().total_cmp(&a.odds_log10()));
    Ok(judged(&looks, candidates.first().map(|best| best.offset)))
}

/// What can be said before anything is compared.
fn cannot(first: &Print, second: &Print, prior: Option<Prior>) -> Option<Refusal> {
    let frames = |seconds: f64| whole::nearest(seconds * f64::from(FRAMES_A_SECOND));
    let (long, short) = (first.length().0, second.length().0);
    let overlap = prior.map_or(long.min(short), |prior| {
        // The most that any offset of the prior leaves.
        let offset = 0.0_f64.max(prior.from.0).min(prior.to.0);
        (offset + short).min(long) - offset.max(0.0)
    });
    let needed = LEAST_OVERLAP as f64 / f64::from(FRAMES_A_SECOND);
    let quiet = |print: &Print| whole::signed(print.loud_frames()) < LEAST_OVERLAP / 2;
    if frames(overlap) <= LEAST_OVERLAP {
        Some(Refusal::TooShort {
            overlap: Seconds(overlap.max(0.0)),
            needed: Seconds(needed),
        })
    } else if quiet(first) {
        Some(Refusal::TooQuiet(Which::First))
    } else if quiet(second) {
        Some(Refusal::TooQuiet(Which::Second))
    } else {
        None
    }
}

/// The verdict over all that was looked at, the best first.
fn judged(looks: &[Look], offset: Option<Seconds>) -> Verdict {
    let (Some(best), Some(_)) = (looks.first(), offset) else {
        return Verdict::Refused(offset.map_or(Refusal::NothingStandsOut, |offset| {
            Refusal::WindowsDisagree {
                offset,
                agree: 0,
                of: 0,
            }
        }));
    };
    let found = found(best);
    let disagree = Refusal::WindowsDisagree {
        offset: found.offset.value,
        agree: best.agree,
        of: best.windows,
    };
    let against = best.against as f64 > MOST_AGAINST * best.agree as f64;
    if best.odds_log10() < LEAST_ODDS || against {
        return Verdict::Refused(disagree);
    }
    let rival = |look: &&Look| {
        let middle = best.line.middle;
        let apart = (look.line.at(middle) - best.line.at(middle)).abs() > APART;
        apart && look.odds_log10() >= RIVAL_ODDS && look.clear >= RIVAL_CLEAR * best.clear
    };
    match looks[1..].iter().find(rival) {
        Some(rival) => Verdict::Refused(Refusal::PlacesAlike {
            one: Seconds(best.line.offset),
            other: Seconds(rival.line.offset),
        }),
        None => Verdict::Found(found),
    }
}

fn found(look: &Look) -> Found {
    let line = look.line;
    Found {
        offset: Measured {
            value: Seconds(line.at(0.0)),
            sigma: Seconds(line.sigma_at(0.0)),
        },
        drift: Measured {
            value: PartsPerMillion(line.drift * 1e6),
            sigma: PartsPerMillion(line.drift_sigma * 1e6),
        },
        odds_log10: look.odds_log10(),
        windows: look.agree,
        windows_of: look.windows,
        polarity: if look.inverted {
            Polarity::Opposite
        } else {
            Polarity::Same
        },
        from: Seconds(look.span.0),
        to: Seconds(look.span.1),
        middle: line.middle,
        middle_offset: line.offset,
        middle_sigma: line.offset_sigma,
    }
}
