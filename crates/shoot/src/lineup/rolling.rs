//! Who was rolling, in words: what the drawing shows, for those who cannot see it and for paper.

use super::{LineUp, Moment, ShootClock};
use plumbline_words::{Fact, capital, counted, in_letters, listed, seconds};
use serde::Serialize;

/// Who was rolling.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Rolling {
    /// How long all rolled together, and how long nobody did; empty where there is no clock.
    pub text: String,
    /// Each time during which the same devices rolled, in order.
    pub spans: Vec<Span>,
    /// How many more of them there are.
    pub more: u32,
    /// The gaps of each device: "Deck camera", "2 gaps, 1 h 12 min in all, the longest 58 min 10 s
    /// from 10:02:11:04".
    pub gaps: Vec<Fact>,
}

/// A time during which the same devices rolled.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Span {
    /// The address at which it begins.
    pub from: String,
    /// The address at which it ends.
    pub to: String,
    /// How long it is: "1 min 46 s".
    pub length: String,
    /// Who rolled: "Deck camera and Sound bag", "all three", "nobody".
    pub who: String,
}

/// Times that are told; a day of many takes has more than anybody reads.
const SPANS: usize = 300;
/// What is shorter than that many frames is where a recorder split its files.
const SPLIT: f64 = 1.5;

/// A time in seconds of the shoot's clock.
#[derive(Debug, Clone, Copy)]
struct Time {
    from: f64,
    to: f64,
}

impl Time {
    fn length(self) -> f64 {
        self.to - self.from
    }
}

pub(super) fn of(line_up: &LineUp<'_>) -> Rolling {
    let Some(clock) = line_up.clock else {
        return Rolling::default();
    };
    let split = clock.seconds(SPLIT);
    let times: Vec<(&str, Vec<Time>)> = line_up
        .devices
        .iter()
        .enumerate()
        .map(|(number, device)| (device.name.as_str(), times(line_up, number, split)))
        .filter(|(_, times)| !times.is_empty())
        .collect();
    let spans = spans(&times, split);
    let told = spans.iter().take(SPANS);
    Rolling {
        text: text(&times, &spans),
        spans: told.map(|span| in_words(clock, &times, span)).collect(),
        more: u32::try_from(spans.len().saturating_sub(SPANS)).unwrap_or(u32::MAX),
        gaps: times
            .iter()
            .map(|(name, times)| Fact::new(*name, gaps(clock, times)))
            .collect(),
    }
}

/// When a device rolled: recordings that touch are one time.
fn times(line_up: &LineUp<'_>, device: usize, split: f64) -> Vec<Time> {
    let own = line_up.recordings.iter();
    let own = own.filter(|recording| recording.device == device);
    let mut all: Vec<Time> = own
        .filter_map(|recording| recording.placed)
        .map(|placed| Time {
            from: placed.from.0,
            to: placed.to.0,
        })
        .collect();
    all.sort_by(|a, b| a.from.total_cmp(&b.from));
    let mut joined: Vec<Time> = Vec::new();
    for time in all {
        match joined.last_mut() {
            Some(last) if time.from - last.to < split => last.to = last.to.max(time.to),
            _ => joined.push(time),
        }
    }
    joined
}

/// A time, and the numbers of those who rolled in it.
struct Who {
    time: Time,
    who: Vec<usize>,
}

fn spans(times: &[(&str, Vec<Time>)], split: f64) -> Vec<Who> {
    let ends = times
        .iter()
        .flat_map(|(_, times)| times.iter().flat_map(|time| [time.from, time.to]));
    let mut ends: Vec<f64> = ends.collect();
    ends.sort_by(f64::total_cmp);
    let mut spans: Vec<Who> = Vec::new();
    // Both ends and the times are in order: each device is walked through once.
    let mut next = vec![0; times.len()];
    for pair in ends.windows(2) {
        let &[from, to] = pair else { continue };
        if to - from < split {
            continue;
        }
        let time = Time { from, to };
        let middle = f64::midpoint(from, to);
        let mut who = Vec::new();
        for (number, ((_, times), next)) in times.iter().zip(&mut next).enumerate() {
            while times.get(*next).is_some_and(|time| time.to < middle) {
                *next += 1;
            }
            if times.get(*next).is_some_and(|time| time.from <= middle) {
                who.push(number);
            }
        }
        match spans.last_mut() {
            Some(last) if last.who == who => last.time.to = to,
            _ => spans.push(Who { time, who }),
        }
    }
    spans
}

fn in_words(clock: ShootClock, times: &[(&str, Vec<Time>)], span: &Who) -> Span {
    let names: Vec<&str> = span
        .who
        .iter()
        .filter_map(|number| times.get(*number))
        .map(|(name, _)| *name)
        .collect();
    let address = |second: f64| clock.address(Moment(second)).to_string();
    Span {
        from: address(span.time.from),
        to: address(span.time.to),
        length: seconds(span.time.length()),
        who: match names.as_slice() {
            [] => "nobody".to_owned(),
            names if names.len() == times.len() && times.len() > 2 => {
                format!("all {}", in_letters(names.len()))
            }
            names => listed(names),
        },
    }
}

fn text(times: &[(&str, Vec<Time>)], spans: &[Who]) -> String {
    let Some((first, last)) = spans.first().zip(spans.last()) else {
        return String::new();
    };
    let whole = last.time.to - first.time.from;
    let with = |wanted: usize| -> (usize, f64) {
        let own = spans.iter().filter(|span| span.who.len() == wanted);
        own.fold((0, 0.0), |(count, sum), span| {
            (count + 1, sum + span.time.length())
        })
    };
    let (together, nobody) = (with(times.len()), with(0));
    let name = times.first().map_or("", |(name, _)| name);
    let all = match times.len() {
        1 => name.to_owned(),
        2 => "Both devices".to_owned(),
        all => format!("All {} devices", in_letters(all)),
    };
    let together = match together {
        (0, _) => format!("{all} never rolled at the same time"),
        (_, length) if times.len() == 1 => format!("{all} rolled for {}", seconds(length)),
        (pieces, length) => format!(
            "{all} rolled together for {}, in {}",
            seconds(length),
            counted(pieces as u64, "piece")
        ),
    };
    let nobody = match nobody {
        (0, _) => "somebody always did".to_owned(),
        (_, length) => format!("nobody did for {}", seconds(length)),
    };
    format!(
        "{}; {nobody}, of the {} from the first recording to the last.",
        capital(&together),
        seconds(whole)
    )
}

fn gaps(clock: ShootClock, times: &[Time]) -> String {
    let between = times.windows(2).filter_map(|pair| match pair {
        [a, b] => Some(Time {
            from: a.to,
            to: b.from,
        }),
        _ => None,
    });
    let gaps: Vec<Time> = between.collect();
    let longest = gaps.iter().max_by(|a, b| a.length().total_cmp(&b.length()));
    let rolled: f64 = times.iter().map(|time| time.length()).sum();
    let rolled = format!("rolled for {}", seconds(rolled));
    let Some(longest) = longest else {
        return format!("{rolled}, without a gap");
    };
    let (from, length) = (
        clock.address(Moment(longest.from)),
        seconds(longest.length()),
    );
    match gaps.len() {
        1 => format!("{rolled}; one gap, {length} from {from}"),
        more => {
            let all: f64 = gaps.iter().map(|gap| gap.length()).sum();
            format!(
                "{rolled}; {}, {} in all, the longest {length} from {from}",
                counted(more as u64, "gap"),
                seconds(all)
            )
        }
    }
}
