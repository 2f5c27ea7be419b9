//! Two codes in one recording that do not agree.

use super::super::Moment;
use super::super::codes::CodePair;
use super::super::lines::Line;
use super::super::shoot::ShootFindingKind as Kind;
use super::{Found, Known, named};
use plumbline_words::{self as words, number, seconds};

/// Codes that are this near to each other are one clock, in frames.
const ALIKE: f64 = 0.5;

pub(super) fn differ(known: &Known<'_>) -> Vec<Found> {
    let pairs = known.codes.iter();
    pairs
        .filter_map(|pair| rates(known, pair).or_else(|| apart(known, pair)))
        .collect()
}

fn rates(known: &Known<'_>, pair: &CodePair) -> Option<Found> {
    let (first, second) = pair.rates?;
    let (low, high) = counted(pair);
    Some(found(
        known,
        pair,
        None,
        format!(
            "The code on channel {low} is {first}, that on channel {high} is {second}. The devices \
             that fed it were set to two rates."
        ),
        "The recording stands by the better code. Set both devices to one rate before the next jam."
            .into(),
        format!("has code of {first} and of {second}"),
    ))
}

/// Where they were widest apart.
fn apart(known: &Known<'_>, pair: &CodePair) -> Option<Found> {
    let ends = pair
        .lines
        .iter()
        .flat_map(|line| [(line, line.from), (line, line.to)]);
    let frames = |(line, at): (&Line, f64)| known.clock.frames(line.at(at));
    let (line, at) = ends.max_by(|a, b| frames(*a).abs().total_cmp(&frames(*b).abs()))?;
    let widest = frames((line, at));
    if widest.abs() <= ALIKE {
        return None;
    }
    let (low, high) = counted(pair);
    let way = if widest > 0.0 { "ahead of" } else { "behind" };
    let unsure = line.deviation_at(at) * 1e3;
    let by = line.at(at).abs();
    let size = if by < 60.0 {
        format!("{} ms ± {}", number(by * 1e3, 2), number(unsure, 3))
    } else {
        seconds(by)
    };
    Some(found(
        known,
        pair,
        Some(Moment(at)),
        format!(
            "At {} the code on channel {high} is {} frames ({size}) {way} that on channel {low}.{}{}",
            known.address(Moment(at)),
            number(widest.abs(), 2),
            parting(line),
            again(pair),
        ),
        format!(
            "The recording stands by one of them. Find out which device fed the other channel: what \
             it recorded is off by as much. {}",
            hold(known, line)
        ),
        format!("has two codes {} frames apart", number(widest.abs(), 1)),
    ))
}

/// How fast they part; nothing where that is not clear.
fn parting(line: &Line) -> String {
    let Some(deviation) = line.deviation.filter(|_| line.parts()) else {
        return String::new();
    };
    format!(
        " They part by {}.",
        words::ppm(line.slope * 1e6, deviation * 1e6)
    )
}

fn again(pair: &CodePair) -> String {
    match pair.lines.len() {
        0 | 1 => String::new(),
        lines => format!(
            " One of the two was jammed again {} in between.",
            if lines == 2 {
                "once".to_owned()
            } else {
                format!("{} times", lines - 1)
            }
        ),
    }
}

fn hold(known: &Known<'_>, line: &Line) -> String {
    if !line.parts() {
        return "Jam both from one source.".into();
    }
    let hold = seconds(known.clock.seconds(0.5) / line.slope.abs());
    format!("Jammed from one source every {hold}, they would stay within half a frame.")
}

fn counted(pair: &CodePair) -> (u32, u32) {
    let (low, high) = pair.channels;
    (u32::from(low) + 1, u32::from(high) + 1)
}

fn found(
    known: &Known<'_>,
    pair: &CodePair,
    at: Option<Moment>,
    text: String,
    remedy: String,
    said: String,
) -> Found {
    let device = known.devices.get(pair.device);
    let name = device.map(|device| device.name.clone()).unwrap_or_default();
    Found {
        kind: Kind::CodesDiffer,
        heading: "Two codes differ".into(),
        place: named(known.recordings, &pair.recordings),
        text,
        remedy,
        at,
        device: Some(pair.device),
        recordings: pair.recordings.clone(),
        said: (name, said),
    }
}
