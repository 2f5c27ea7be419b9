//! A frame rate that a person says instead of the one that was measured or stated.
//!
//! What was read of a code are its digits. They stay; at another rate they are another time of day,
//! and the code's clock runs otherwise against the recorder's.

use super::place::{spoken, timebase};
use super::{Correction, Corrections, Entry};
use crate::summary::{CodeLine, StampLine};
use crate::whole::signed;
use plumbline_timecode::{FrameNumber, TimeAddress, Timebase};
use plumbline_words::{self as words, Counting, Problem};
use std::borrow::Cow;

/// A rate that is a person's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SaidRate {
    /// What the person says.
    pub timebase: Timebase,
    /// What the code has, or else the metadata; none where neither says.
    pub instead_of: Option<Timebase>,
}

/// A recording as its rate makes it.
pub(crate) struct AtRate<'a> {
    pub(crate) entry: Cow<'a, Entry>,
    pub(crate) said: Option<SaidRate>,
    pub(crate) problem: Option<Problem>,
}

/// All recordings at the rates that persons typed.
pub(crate) fn all<'a>(entries: &'a [Entry], corrections: &Corrections) -> Vec<AtRate<'a>> {
    let at_rate = |entry: &'a Entry| at_rate(entry, corrections.of(&entry.key));
    entries.iter().map(at_rate).collect()
}

/// A recording at the rate that a person typed, if anything was typed that is a rate.
fn at_rate<'a>(entry: &'a Entry, correction: &Correction) -> AtRate<'a> {
    let measured = measured(entry);
    let (to, problem) = match typed(&correction.rate) {
        None => (None, None),
        Some(Ok(to)) => (Some(to), None),
        Some(Err(problem)) => (None, Some(problem)),
    };
    let said = to.map(|timebase| SaidRate {
        timebase,
        instead_of: measured.filter(|measured| *measured != timebase),
    });
    AtRate {
        entry: to.map_or(Cow::Borrowed(entry), |to| Cow::Owned(changed(entry, to))),
        said,
        problem,
    }
}

/// The rate of its code, else the one that its metadata states.
pub(crate) fn measured(entry: &Entry) -> Option<Timebase> {
    let code = entry.summary.codes.first();
    let stamp = || {
        let stamp = spoken(&entry.summary)?;
        timebase(stamp.rate.as_deref()?, stamp.drop_frame)
    };
    code.and_then(|code| timebase(&code.rate, code.drop_frame))
        .or_else(stamp)
}

/// `25`, `29.97`, `29.97 drop-frame`: as every place shows them.
fn typed(text: &str) -> Option<Result<Timebase, Problem>> {
    let text = text.trim();
    if text.is_empty() {
        return None;
    }
    let (name, is_drop) = match text.split_once(' ') {
        Some((name, "drop-frame" | "drop")) => (name, true),
        _ => (text, false),
    };
    let rate = words::rate("rate", name);
    Some(rate.and_then(|rate| words::timebase("rate", rate, Counting::of(is_drop))))
}

fn changed(entry: &Entry, to: Timebase) -> Entry {
    let mut entry = entry.clone();
    let hertz = f64::from(entry.summary.sample_rate.max(1));
    for code in &mut entry.summary.codes {
        code_at(code, to, hertz);
    }
    for stamp in &mut entry.summary.stamps {
        stamp_at(stamp, to, hertz);
    }
    entry
}

fn code_at(code: &mut CodeLine, to: Timebase, hertz: f64) {
    let Some(from) = timebase(&code.rate, code.drop_frame) else {
        return;
    };
    code.start = same_digits(code.start / hertz, from, to) * hertz;
    let speed = 1.0 + code.clock_ppm.unwrap_or(0.0) * 1e-6;
    let (old, new) = (frames_a_second(from), frames_a_second(to));
    if code.clock_ppm.is_some() || from.rate() != to.rate() {
        code.clock_ppm = Some((speed * old / new - 1.0) * 1e6);
    }
    to.rate().name().clone_into(&mut code.rate);
    code.drop_frame = to.count().is_drop();
}

/// A stamp that states no rate counts real time, and stays where it is.
fn stamp_at(stamp: &mut StampLine, to: Timebase, hertz: f64) {
    let from = stamp
        .rate
        .as_deref()
        .and_then(|rate| timebase(rate, stamp.drop_frame));
    if let Some(from) = from {
        stamp.start = same_digits(stamp.start / hertz, from, to) * hertz;
    }
    stamp.rate = Some(to.rate().name().to_owned());
    stamp.drop_frame = to.count().is_drop();
}

fn frames_a_second(timebase: Timebase) -> f64 {
    timebase.rate().fraction().as_f64()
}

/// The time of day at which `to` shows the digits that `from` shows at `seconds`. Frames stay
/// frames, and what is left of one stays that part of it.
fn same_digits(seconds: f64, from: Timebase, to: Timebase) -> f64 {
    let frames = seconds * frames_a_second(from);
    // What floating point made a hair less than a frame is that frame.
    let whole = (frames + 1e-6).floor();
    let day = i64::from(from.count().frames_per_day());
    let number = u32::try_from(signed(whole).rem_euclid(day)).unwrap_or(0);
    let Ok(address) = TimeAddress::from_frame_number(from.count(), FrameNumber(number)) else {
        return seconds;
    };
    let (h, m, s) = (address.hours(), address.minutes(), address.seconds());
    // The first frame of the second, or of those that drop-frame leaves in it.
    let second = TimeAddress::new(to.count(), h, m, s, 0)
        .map(|second| (second, 0.0))
        .or_else(|_| TimeAddress::new(to.count(), h, m, s, 2).map(|second| (second, 2.0)));
    let Ok((second, skipped)) = second else {
        return seconds;
    };
    let within = f64::from(address.frames()) - skipped + (frames - whole);
    (f64::from(second.frame_number().0) + within) / frames_a_second(to)
}

#[cfg(test)]
mod tests {
    use super::*;
    use plumbline_timecode::{Count, Rate};

    #[test]
    fn digits_stay_and_their_time_of_day_does_not() {
        let (pal, ntsc) = (
            Timebase::non_drop(Rate::F25),
            Timebase::non_drop(Rate::F29_97),
        );
        // SMPTE ST 12-1 clause 5.2.2: non-drop digits at 29.97 take 1.001 s a second.
        let at = same_digits(36_000.4, pal, ntsc);
        assert!((at - (36_036.0 + 10.0 * 1.001 / 30.0)).abs() < 1e-6, "{at}");
        assert!((same_digits(at, ntsc, pal) - 36_000.4).abs() < 1e-6);
        // Half a frame stays half a frame.
        let half = same_digits(36_000.02, pal, Timebase::non_drop(Rate::F50));
        assert!((half - 36_000.01).abs() < 1e-6, "{half}");
        let drop = Timebase::new(Rate::F29_97, Count::F30Drop).unwrap();
        // IEC 60461 clause 5.2: 00:01:00;02 follows 00:00:59;29, which is frame 1,799.
        let minute = same_digits(60.08, pal, drop);
        assert!((minute * 30.0 / 1.001 - 1_800.0).abs() < 1e-3, "{minute}");
    }

    #[test]
    fn what_is_no_rate_is_told() {
        let typed = |text| typed(text).map(|result| result.map(|timebase| timebase.to_string()));
        assert_eq!(typed("  "), None);
        assert_eq!(
            typed("29.97 drop-frame"),
            Some(Ok("29.97 drop-frame".into()))
        );
        assert_eq!(typed("24"), Some(Ok("24".into())));
        for wrong in ["26", "25 drop-frame", "24 fps", "fast"] {
            assert!(matches!(typed(wrong), Some(Err(_))), "{wrong}");
        }
    }
}
