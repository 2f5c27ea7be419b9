//! The verdict in a sentence: what a colleague would say first.

use crate::facts::Progress;
use crate::findings::{self, Found};
use crate::reading::Verdict;
use crate::report::FindingKind;
use plumbline_words::{channels, in_letters};

/// One channel's code as far as the verdict goes.
pub(crate) struct Heard<'a> {
    /// The channel, counted from 1.
    pub(crate) channel: u32,
    pub(crate) found: &'a [Found],
}

/// The verdict on a recording that has codes.
pub(crate) fn on_codes(heard: &[Heard<'_>], progress: Progress) -> Verdict {
    let (leaks, heard): (Vec<&Heard<'_>>, Vec<&Heard<'_>>) = heard
        .iter()
        .partition(|heard| findings::is_a_leak(heard.found));
    let numbered = |heard: &[&Heard<'_>]| {
        let numbers: Vec<u32> = heard.iter().map(|heard| heard.channel).collect();
        channels(&numbers)
    };
    let channels = numbered(&heard);
    let leaks = (!leaks.is_empty()).then(|| format!("it leaks into {}", numbered(&leaks)));
    let worst = heard.iter().max_by_key(|heard| heard.found.len());
    let found = worst.map(|heard| heard.found).unwrap_or_default();
    let so_far = if progress == Progress::Going {
        " so far"
    } else {
        ""
    };
    let good = match progress {
        Progress::Going => "good so far",
        Progress::Done => "good for the whole recording",
    };
    if found.is_empty() && leaks.is_none() {
        return plain(format!("Code on {channels}, {good}."));
    }
    let is_there = |kind| found.iter().any(|found| found.finding.kind == kind);
    let named = TROUBLES.iter().filter(|(kind, _)| is_there(*kind));
    let named = named.map(|(_, words)| *words).chain(leaks.as_deref());
    let named: Vec<&str> = named.collect();
    let at_a_place = |found: &&Found| TROUBLES.iter().all(|(kind, _)| *kind != found.finding.kind);
    let places = found.iter().filter(at_a_place).count();
    match (named.as_slice(), places) {
        ([], places) => Verdict {
            before: format!("Code on {channels}, {good} but for "),
            mark: in_places(places),
            after: ".".into(),
        },
        ([one], 0) => Verdict {
            before: format!("Code on {channels}{so_far}, but "),
            mark: (*one).into(),
            after: ".".into(),
        },
        ([one], places) => Verdict {
            before: format!("Code on {channels}{so_far}, but "),
            mark: format!("{one}, and {} need a look", in_places(places))
                .replace("one place need", "one place needs"),
            after: ".".into(),
        },
        ([worst, others @ ..], places) => Verdict {
            before: format!("Code on {channels}{so_far}, but "),
            mark: format!("{worst}, and {}", things(others.len() + places)),
            after: ".".into(),
        },
    }
}

fn things(number: usize) -> String {
    match number {
        1 => "one more thing needs a look".into(),
        more => format!("{} more things need a look", in_letters(more)),
    }
}

/// The verdict on a recording in which no code was found.
pub(crate) fn without_code(channels: u32, progress: Progress) -> Verdict {
    let (before, mark) = match (progress, channels) {
        (Progress::Going, _) => return plain("No code so far.".into()),
        (Progress::Done, 1) => ("No code found", " in this recording"),
        (Progress::Done, 2) => ("No code found", " on either channel"),
        (Progress::Done, _) => ("No code found", " on any channel"),
    };
    Verdict {
        before: String::new(),
        mark: before.into(),
        after: format!("{mark}."),
    }
}

/// The verdict on a recording in which code is only suspected, on this channel, counted from 1.
pub(crate) fn suspected(channel: u32) -> Verdict {
    Verdict {
        before: "No code that can be believed, though ".into(),
        mark: format!("channel {channel} may carry some"),
        after: ".".into(),
    }
}

/// The verdict on a file that gave nothing.
pub(crate) fn unreadable(what: &str) -> Verdict {
    Verdict {
        before: "This file ".into(),
        mark: "can’t be read".into(),
        after: format!(": {what}."),
    }
}

fn plain(before: String) -> Verdict {
    Verdict {
        before,
        mark: String::new(),
        after: String::new(),
    }
}

fn in_places(places: usize) -> String {
    format!(
        "{} place{}",
        in_letters(places),
        if places == 1 { "" } else { "s" }
    )
}

/// What is said of findings that concern the whole, the worst first. The others stand at places.
const TROUBLES: [(FindingKind, &str); 21] = [
    (FindingKind::CutOff, "the file was cut off"),
    (FindingKind::Reversed, "it runs backwards"),
    (FindingKind::StandsStill, "the address stands still"),
    (
        FindingKind::RateAgainstCount,
        "it counts at one rate and runs at another",
    ),
    (FindingKind::OffSpeed, "its speed is off"),
    (FindingKind::ManyBreaks, "it breaks again and again"),
    (
        FindingKind::FlagAgainstCount,
        "its drop-frame flag contradicts its count",
    ),
    (
        FindingKind::UnusualCount,
        "it counts drop-frame at exactly 30",
    ),
    (FindingKind::UnderNoise, "it lies under noise"),
    (FindingKind::UnderHum, "it lies under hum"),
    (FindingKind::UnderClicks, "it lies under clicks"),
    (FindingKind::UnderSound, "it lies under another sound"),
    (FindingKind::Compressed, "it was compressed too much"),
    (
        FindingKind::EmbeddedDisagrees,
        "the file’s own start time disagrees",
    ),
    (
        FindingKind::HeardTogether,
        "it is too weak to be read frame by frame",
    ),
    (FindingKind::LateStart, "it starts late"),
    (FindingKind::EarlyEnd, "it ends early"),
    (FindingKind::Midnight, "it passes midnight"),
    (FindingKind::WeakLevel, "it is quiet"),
    (FindingKind::Clipped, "it touches full scale"),
    (FindingKind::UserBitsChange, "its user bits change"),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::Finding;

    fn found(kinds: &[FindingKind]) -> Vec<Found> {
        let found = kinds.iter().map(|&kind| Found {
            heading: String::new(),
            finding: Finding {
                kind,
                at: None,
                sample: None,
                frames: None,
                text: String::new(),
                remedy: String::new(),
            },
        });
        found.collect()
    }

    /// The verdict on what was found on channel 1, if it has code, and on channel 2.
    fn said_of(first: Option<&[FindingKind]>, second: &[FindingKind]) -> String {
        let (first, second) = (first.map(found), found(second));
        let first = first.iter().map(|found| Heard { channel: 1, found });
        let second = Heard {
            channel: 2,
            found: &second,
        };
        let heard: Vec<Heard<'_>> = first.chain([second]).collect();
        let verdict = on_codes(&heard, Progress::Done);
        format!("{}[{}]{}", verdict.before, verdict.mark, verdict.after)
    }

    fn said(kinds: &[FindingKind]) -> String {
        said_of(None, kinds)
    }

    #[test]
    fn code_that_leaks_is_said_of_the_channel_that_it_comes_from() {
        use FindingKind::{Bled, Dropout, WeakLevel};
        let leaks = "Code on channel 2, but [it leaks into channel 1].";
        assert_eq!(said_of(Some(&[Bled]), &[]), leaks);
        assert_eq!(said_of(Some(&[Bled, Dropout, Dropout]), &[]), leaks);
        let weak = "Code on channel 2, but [it is quiet, and one more thing needs a look].";
        assert_eq!(said_of(Some(&[Bled]), &[WeakLevel]), weak);
        let both = "Code on channels 1 and 2, good for the whole recording.[]";
        assert_eq!(said_of(Some(&[]), &[]), both);
    }

    #[test]
    fn the_worst_is_named_and_the_rest_counted() {
        use FindingKind::{CutOff, Dropout, EmbeddedDisagrees, JumpBack, WeakLevel};
        let whole = "Code on channel 2, good for the whole recording.[]";
        assert_eq!(said(&[]), whole);
        let places = "Code on channel 2, good for the whole recording but for [two places].";
        assert_eq!(said(&[Dropout, JumpBack]), places);
        assert_eq!(said(&[WeakLevel]), "Code on channel 2, but [it is quiet].");
        let one = "Code on channel 2, but [it is quiet, and one place needs a look].";
        assert_eq!(said(&[WeakLevel, Dropout]), one);
        let many =
            "Code on channel 2, but [the file was cut off, and two more things need a look].";
        assert_eq!(said(&[EmbeddedDisagrees, Dropout, CutOff]), many);
        let more =
            "Code on channel 2, but [the file was cut off, and one more thing needs a look].";
        assert_eq!(said(&[EmbeddedDisagrees, CutOff]), more);
    }
}
