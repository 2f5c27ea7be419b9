//! The verdict in a sentence: what a colleague would say first.

use crate::facts::Progress;
use crate::findings::Found;
use crate::reading::Verdict;
use crate::report::FindingKind;
use crate::words::in_letters;

/// One channel's code as far as the verdict goes.
pub(crate) struct Heard<'a> {
    /// The channel, counted from 1.
    pub(crate) channel: u32,
    pub(crate) found: &'a [Found],
}

/// The verdict on a recording that has codes.
pub(crate) fn on_codes(heard: &[Heard<'_>], progress: Progress) -> Verdict {
    let channels = channels(heard);
    let worst = heard.iter().max_by_key(|heard| heard.found.len());
    let found = worst.map(|heard| heard.found).unwrap_or_default();
    let so_far = if progress == Progress::Going {
        " so far"
    } else {
        ""
    };
    if found.is_empty() {
        let whole = match progress {
            Progress::Going => "good so far.",
            Progress::Done => "good for the whole recording.",
        };
        return plain(format!("Code on {channels}, {whole}"));
    }
    let named: Vec<&str> = found
        .iter()
        .filter_map(|found| whole_trouble(found.finding.kind))
        .collect();
    let places = found
        .iter()
        .filter(|found| whole_trouble(found.finding.kind).is_none())
        .count();
    match (named.as_slice(), places) {
        ([], places) => Verdict {
            before: format!("Code on {channels}, good{so_far} but for "),
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
        (all, places) => Verdict {
            before: format!("Code on {channels}{so_far}, but "),
            mark: format!("{} things need a look", in_letters(all.len() + places)),
            after: ".".into(),
        },
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

fn channels(heard: &[Heard<'_>]) -> String {
    let numbers: Vec<String> = heard
        .iter()
        .map(|heard| heard.channel.to_string())
        .collect();
    match numbers.as_slice() {
        [one] => format!("channel {one}"),
        [most @ .., last] => format!("channels {} and {last}", most.join(", ")),
        [] => "no channel".into(),
    }
}

fn in_places(places: usize) -> String {
    format!(
        "{} place{}",
        in_letters(places),
        if places == 1 { "" } else { "s" }
    )
}

/// What is said of a finding that concerns the whole; none for one that stands at a place.
fn whole_trouble(kind: FindingKind) -> Option<&'static str> {
    Some(match kind {
        FindingKind::CutOff => "the file was cut off",
        FindingKind::Reversed => "it runs backwards",
        FindingKind::StandsStill => "the address stands still",
        FindingKind::OffSpeed => "it runs at the wrong speed",
        FindingKind::RateAgainstCount => "it counts at one rate and runs at another",
        FindingKind::FlagAgainstCount => "its drop-frame flag contradicts its count",
        FindingKind::UnusualCount => "it counts drop-frame at exactly 30",
        FindingKind::WeakLevel => "it is quiet",
        FindingKind::Clipped => "it touches full scale",
        FindingKind::EmbeddedDisagrees => "the file’s own start time disagrees",
        FindingKind::LateStart => "it starts late",
        FindingKind::EarlyEnd => "it ends early",
        FindingKind::ManyBreaks => "it breaks again and again",
        FindingKind::Midnight => "it passes midnight",
        FindingKind::UserBitsChange => "its user bits change",
        FindingKind::Dropout
        | FindingKind::JumpForward
        | FindingKind::JumpBack
        | FindingKind::DamagedCodeword => return None,
    })
}
