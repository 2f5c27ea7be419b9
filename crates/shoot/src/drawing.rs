//! The code along the recording, made ready to be drawn.

use crate::continuity::Dropout;
use crate::facts::Facts;
use crate::reading::{Bar, Drawing, DriftPoint};
use crate::run::Motion;
use crate::stretch::Stretch;
use plumbline_words::{counted, place, seconds};

/// Bars that a drawing holds; more would be thinner than a line.
const BARS: usize = 1000;
/// Points of the drift that a drawing holds.
const POINTS: usize = 300;

pub(crate) fn drawing(facts: &Facts<'_>) -> Drawing {
    Drawing {
        bars: bars(facts),
        drift: drift(facts),
        text: text(facts),
    }
}

/// One bar for each part of a stretch between dropouts; a new stretch is a step up or down.
pub(crate) fn bars(facts: &Facts<'_>) -> Vec<Bar> {
    let mut step = 0;
    let mut bars = Vec::new();
    let mut before: Option<&Stretch> = None;
    let gaps = facts.all_dropouts();
    for (index, stretch) in facts.stretches().iter().enumerate() {
        step += before.map_or(0, |before| direction(facts, before, stretch));
        bars.extend(parts(facts, &gaps.items, index, stretch, step));
        before = Some(stretch);
        if bars.len() >= BARS {
            break;
        }
    }
    bars.truncate(BARS);
    bars
}

/// 1 where the address is ahead of where it should be, −1 where behind.
fn direction(facts: &Facts<'_>, before: &Stretch, after: &Stretch) -> i32 {
    let count = facts.timebase.count();
    let moved = before
        .last(count)
        .zip(after.first(count))
        .and_then(|(a, b)| a.frames_until_wrapping(b));
    let elapsed = before.run.codewords_until(&after.run.first);
    let sign = before.motion().sign() as f64;
    moved.map_or(1, |moved| {
        if moved.0 as f64 >= elapsed * sign {
            1
        } else {
            -1
        }
    })
}

fn parts<'a>(
    facts: &'a Facts<'_>,
    gaps: &'a [Dropout],
    index: usize,
    stretch: &'a Stretch,
    step: i32,
) -> impl Iterator<Item = Bar> + 'a {
    let count = facts.timebase.count();
    let address =
        |a: Option<plumbline_timecode::TimeAddress>| a.map(|a| a.to_string()).unwrap_or_default();
    let (first, last) = (address(stretch.first(count)), address(stretch.last(count)));
    let gaps = gaps.iter().filter(move |gap| gap.stretch == index);
    let gaps = gaps.map(|gap| {
        (
            gap.before.ends,
            gap.before.ends + gap.frames as f64 * gap.before.period,
        )
    });
    let edges = std::iter::once((f64::NEG_INFINITY, stretch.run.first.begins))
        .chain(gaps)
        .chain(std::iter::once((stretch.run.last.ends, f64::INFINITY)));
    let edges: Vec<(f64, f64)> = edges.collect();
    let reverse = stretch.motion() == Motion::Backwards;
    let bars: Vec<Bar> = edges
        .windows(2)
        .filter_map(|pair| match pair {
            [(_, from), (to, _)] => Some(Bar {
                from: facts.extent.seconds(*from),
                to: facts.extent.seconds(*to),
                step,
                reverse,
                first: first.clone(),
                last: last.clone(),
            }),
            _ => None,
        })
        .collect();
    bars.into_iter()
}

/// How far the code has parted from the recorder's clock, stretch after stretch in one line; empty
/// where its speed is no clock's.
fn drift(facts: &Facts<'_>) -> Vec<DriftPoint> {
    if facts.clock_ppm().is_none() {
        return Vec::new();
    }
    let (mut points, mut carried) = (Vec::new(), 0.0);
    for group in facts
        .continuity
        .clock
        .points()
        .chunk_by(|a, b| a.stretch == b.stretch)
    {
        let Some((first, stretch)) = group
            .first()
            .and_then(|first| Some((first, facts.stretches().get(first.stretch)?)))
        else {
            continue;
        };
        if stretch.motion() == Motion::Still {
            continue;
        }
        let ahead = |index: f64, position: f64| {
            (index - first.index) - (position - first.position) / facts.nominal
        };
        points.extend(group.iter().map(|point| DriftPoint {
            second: facts.extent.seconds(point.position),
            frames: carried + ahead(point.index, point.position),
        }));
        carried = points.last().map_or(carried, |point| point.frames);
    }
    let every = points.len().div_ceil(POINTS).max(1);
    let last = points.last().copied();
    let mut kept: Vec<DriftPoint> = points.into_iter().step_by(every).collect();
    if every > 1 {
        kept.extend(last);
    }
    kept
}

fn text(facts: &Facts<'_>) -> String {
    let stretches = facts.stretches();
    let (Some(first), Some(last)) = (stretches.first(), stretches.last()) else {
        return String::new();
    };
    let from = facts.extent.seconds(first.run.first.begins);
    let to = facts.extent.seconds(last.run.last.ends);
    let breaks = (stretches.len() - 1) as u64;
    let gaps = facts.all_dropouts();
    let gaps = gaps.items.len() as u64 + gaps.more;
    format!(
        "Code from {} for {}, in {}, with {} in it.",
        place(from),
        seconds(to - from),
        if breaks == 0 {
            "one run".to_owned()
        } else {
            counted(breaks + 1, "run")
        },
        counted(gaps, "gap")
    )
}
