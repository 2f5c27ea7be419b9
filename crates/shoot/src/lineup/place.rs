//! Where a recording stands on the shoot's clock.

use super::by_sound::by_sound;
use super::rates::{self, AtRate};
use super::{Corrections, Entry, Moment, Recording, ShootClock};
use crate::summary::{CodeLine, StampLine, Summary};
use plumbline_timecode::{Rate, TimeAddress, Timebase};
use plumbline_words::{Counting, Problem, named_timebase, sentence};
use std::collections::BTreeMap;

/// A recording's place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed {
    /// Its first sample.
    pub from: Moment,
    /// The end of its last sample.
    pub to: Moment,
    /// What says so.
    pub basis: Basis,
    /// Where its code or stamp puts its first sample, where a person put it elsewhere.
    pub measured: Option<Moment>,
}

/// What places a recording.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Basis {
    /// The code of this channel, counted from 0.
    Code {
        /// The channel.
        channel: u16,
    },
    /// Its sound, beside that of a recording that has code.
    Sound {
        /// One standard deviation, in seconds.
        deviation: f64,
    },
    /// A start time in its metadata.
    Stamp,
    /// A person, where neither says anything.
    Hand,
}

impl Basis {
    /// `"code"`, `"sound"`, `"stamp"` or `"hand"`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Code { .. } => "code",
            Self::Sound { .. } => "sound",
            Self::Stamp => "stamp",
            Self::Hand => "hand",
        }
    }
}

/// The rate and count of the most recordings: of code where there is any, else of their stamps.
/// Where nothing states a rate, a time of day is still one, and is shown at 25.
pub fn clock_of(entries: &[Entry], corrections: &Corrections) -> Option<ShootClock> {
    most_common(&rates::all(entries, corrections))
}

pub(crate) fn most_common(recordings: &[AtRate<'_>]) -> Option<ShootClock> {
    let entries = || recordings.iter().map(|recording| &*recording.entry);
    let codes = entries().filter_map(|entry| entry.summary.codes.first());
    let by_code = most(codes.map(|code| (code.rate.as_str(), code.drop_frame)));
    let stamps = || entries().filter_map(|entry| spoken(&entry.summary));
    let stated = || {
        let rates = stamps().filter_map(|stamp| Some((stamp.rate.as_deref()?, stamp.drop_frame)));
        most(rates)
    };
    let by_time = || stamps().next().map(|_| Timebase::non_drop(Rate::F25));
    by_code
        .or_else(stated)
        .or_else(by_time)
        .map(|timebase| ShootClock { timebase })
}

/// The rate and count that most have, by the names that summaries have.
fn most<'a>(named: impl Iterator<Item = (&'a str, bool)>) -> Option<Timebase> {
    let mut votes: BTreeMap<(&str, bool), usize> = BTreeMap::new();
    for (rate, drop_frame) in named {
        *votes.entry((rate, drop_frame)).or_default() += 1;
    }
    let known = votes
        .into_iter()
        .filter_map(|((rate, drop_frame), votes)| Some((timebase(rate, drop_frame)?, votes)));
    let most = known.max_by_key(|&(_, votes)| votes);
    most.map(|(timebase, _)| timebase)
}

/// A timebase by the names that a summary has.
pub(crate) fn timebase(rate: &str, drop_frame: bool) -> Option<Timebase> {
    named_timebase(rate, Counting::of(drop_frame))
}

/// The place of one recording on the first day, and what is wrong with what was typed.
pub(crate) fn place(
    own: &AtRate<'_>,
    all: &[AtRate<'_>],
    corrections: &Corrections,
    clock: Option<ShootClock>,
) -> (Option<Placed>, Vec<Problem>) {
    let Some(clock) = clock else {
        return (None, Vec::new());
    };
    let entry = &*own.entry;
    let correction = corrections.of(&entry.key);
    let others = all.iter().map(|other| &*other.entry);
    let measured = by_code(&entry.summary, clock)
        .or_else(|| by_sound(entry, &others, clock))
        .or_else(|| by_stamp(&entry.summary, clock));
    let mut problems = Vec::new();
    let start = typed(
        &correction.start,
        |typed| start_of(typed, clock),
        &mut problems,
    );
    let hertz = entry.summary.sample_rate;
    let nudge = typed(
        &correction.nudge,
        |typed| nudge_of(typed, clock, hertz),
        &mut problems,
    );
    let from = match (start, measured, nudge) {
        (None, None, _) => return (None, problems),
        (None, measured, None) => return (measured, problems),
        (start, measured, nudge) => {
            let from = start.or(measured.map(|placed| placed.from));
            from.map(|from| Moment(from.0 + nudge.unwrap_or(0.0)))
        }
    };
    let length = entry.summary.seconds();
    let placed = from.map(|from| Placed {
        from,
        to: Moment(from.0 + measured.map_or(length, |placed| placed.to.0 - placed.from.0)),
        basis: measured.map_or(Basis::Hand, |placed| placed.basis),
        measured: measured.map(|placed| placed.from),
    });
    (placed, problems)
}

/// What was typed, unless nothing was; a problem is told and changes nothing.
fn typed<T>(
    text: &str,
    parse: impl Fn(&str) -> Result<T, Problem>,
    problems: &mut Vec<Problem>,
) -> Option<T> {
    if text.trim().is_empty() {
        return None;
    }
    parse(text).map_err(|problem| problems.push(problem)).ok()
}

pub(crate) fn start_of(typed: &str, clock: ShootClock) -> Result<Moment, Problem> {
    let count = clock.timebase.count();
    let wrong = |text: String| {
        let remedy = "Type hours, minutes, seconds and frames, for instance 10:00:00:00.";
        Problem::new("start", sentence(&text), remedy.to_owned())
    };
    let address = TimeAddress::parse(typed, count).map_err(|error| wrong(error.to_string()))?;
    clock
        .moment(address)
        .ok_or_else(|| wrong(format!("{typed} is no time of this clock")))
}

/// More than a day moves nothing.
const NUDGE_AT_MOST: f64 = 86_400.0;

/// How many seconds later: typed as frames of the clock, or as samples of the file.
fn nudge_of(typed: &str, clock: ShootClock, hertz: u32) -> Result<f64, Problem> {
    let plain = typed.trim().replace('−', "-");
    let samples = (plain.strip_suffix("samples")).or_else(|| plain.strip_suffix("sample"));
    let number = |text: &str| text.trim().parse::<f64>().ok();
    let seconds = match samples {
        Some(samples) => number(samples).map(|samples| samples / f64::from(hertz.max(1))),
        None => number(&plain).map(|frames| clock.seconds(frames)),
    };
    seconds
        .filter(|seconds| seconds.abs() <= NUDGE_AT_MOST)
        .ok_or_else(|| {
            Problem::new(
                "nudge",
                format!("“{}” is not a number of frames or samples.", typed.trim()),
                "Type a number of frames such as 2 or −0.5, or 240 samples; later is positive."
                    .to_owned(),
            )
        })
}

impl Summary {
    /// How long the recording is, in seconds of its own clock.
    pub fn seconds(&self) -> f64 {
        self.samples as f64 / f64::from(self.sample_rate.max(1))
    }
}

pub(crate) fn by_code(summary: &Summary, clock: ShootClock) -> Option<Placed> {
    let code = summary.codes.first()?;
    let from = code_start(summary, code, clock)?;
    let speed = 1.0 + code.clock_ppm.unwrap_or(0.0) * 1e-6;
    Some(Placed {
        from,
        to: Moment(from.0 + summary.seconds() * speed),
        basis: Basis::Code {
            channel: code.channel,
        },
        measured: None,
    })
}

/// Where a code puts the first sample.
pub(crate) fn code_start(summary: &Summary, code: &CodeLine, clock: ShootClock) -> Option<Moment> {
    let own = timebase(&code.rate, code.drop_frame)?;
    let seconds = code.start / f64::from(summary.sample_rate.max(1));
    Some(Moment(clock.by_digits(own, seconds)))
}

/// Which stamp speaks where several do: what the sound recorder counts before what a camera writes.
const SOURCES: [&str; 3] = ["bext", "ixml", "tmcd"];

fn by_stamp(summary: &Summary, clock: ShootClock) -> Option<Placed> {
    let from = stamp_start(summary, clock)?;
    Some(Placed {
        from,
        to: Moment(from.0 + summary.seconds()),
        basis: Basis::Stamp,
        measured: None,
    })
}

/// Where a recording's own stamp puts the first sample.
pub(crate) fn stamp_start(summary: &Summary, clock: ShootClock) -> Option<Moment> {
    let stamp = spoken(summary)?;
    let code = summary.codes.first();
    let own = match (code, stamp.rate.as_deref()) {
        (Some(code), _) => timebase(&code.rate, code.drop_frame),
        (None, Some(rate)) => timebase(rate, stamp.drop_frame),
        (None, None) => None,
    };
    let seconds = stamp.start / f64::from(summary.sample_rate.max(1));
    Some(Moment(
        own.map_or(seconds, |own| clock.by_digits(own, seconds)),
    ))
}

/// The stamp that speaks for a recording. One that is zero was never set.
pub(crate) fn spoken(summary: &Summary) -> Option<&StampLine> {
    let set = summary.stamps.iter().filter(|stamp| stamp.start > 0.0);
    set.min_by_key(|stamp| SOURCES.iter().position(|source| *source == stamp.source))
}

/// Moves what belongs to the morning after to the day on which the shoot began: the day begins
/// after the longest time in which nothing was recorded.
pub(crate) fn on_one_day(recordings: &mut [Recording<'_>], clock: ShootClock) {
    let day = clock.day();
    let mut times: Vec<(f64, f64)> = recordings
        .iter()
        .filter_map(|recording| recording.placed)
        .map(|placed| (placed.from.0.rem_euclid(day), placed.to.0 - placed.from.0))
        .collect();
    times.sort_by(|a, b| a.0.total_cmp(&b.0));
    let Some(begins) = after_longest_pause(&times, day) else {
        return;
    };
    for placed in recordings
        .iter_mut()
        .filter_map(|recording| recording.placed.as_mut())
    {
        let from = placed.from.0.rem_euclid(day);
        let moved = from - placed.from.0 + if from < begins { day } else { 0.0 };
        for moment in [&mut placed.from, &mut placed.to] {
            moment.0 += moved;
        }
        if let Some(measured) = &mut placed.measured {
            measured.0 += moved;
        }
    }
}

/// The time of day at which the first recording after the longest pause begins.
fn after_longest_pause(times: &[(f64, f64)], day: f64) -> Option<f64> {
    let first = times.first()?.0;
    let (mut longest, mut begins, mut rolled_until) = (f64::NEG_INFINITY, first, first);
    for &(from, length) in times {
        if from - rolled_until > longest && from > first {
            (longest, begins) = (from - rolled_until, from);
        }
        rolled_until = rolled_until.max(from + length);
    }
    let overnight = first + day - rolled_until;
    Some(if overnight >= longest { first } else { begins })
}
