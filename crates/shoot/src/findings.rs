//! Findings: what a person should know about a code, one file for each thing that can be wrong.
//!
//! To add one: write a function from [`Facts`] to findings in a file below, name it in [`all`],
//! give it a kind in `report.rs` and words for the verdict in `verdict.rs`.

mod bleed;
mod breaks;
mod cover;
mod embedded;
mod ends;
mod file;
mod level;
mod rate;
mod together;
mod user_bits;

pub(crate) use embedded::Stamp;

use crate::facts::Facts;
use crate::report::{Finding, FindingKind};
use plumbline_media::Codec;
use plumbline_timecode::TimeAddress;

/// A finding, with the heading that the page gives it.
#[derive(Debug, Clone)]
pub(crate) struct Found {
    pub(crate) heading: String,
    pub(crate) finding: Finding,
}

impl Found {
    /// A finding about the code as a whole.
    fn whole(kind: FindingKind, heading: String, text: String, remedy: &str) -> Self {
        let remedy = remedy.to_owned();
        let finding = Finding {
            kind,
            at: None,
            sample: None,
            frames: None,
            text,
            remedy,
        };
        Found { heading, finding }
    }

    /// The same at a place.
    fn at(self, address: Option<TimeAddress>, sample: f64) -> Self {
        let at = address.map(|address| address.to_string());
        Found {
            finding: Finding {
                at,
                sample: Some(sample),
                ..self.finding
            },
            ..self
        }
    }

    /// The same with a size.
    fn frames(self, frames: f64) -> Self {
        Found {
            finding: Finding {
                frames: Some(frames),
                ..self.finding
            },
            ..self
        }
    }
}

/// Places of one kind that are told one by one; the rest are told together.
const ONE_BY_ONE: usize = 20;

/// What a recording's file says.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct File<'a> {
    /// Start times.
    pub(crate) stamps: &'a [Stamp],
    /// That it ends too soon, in words.
    pub(crate) cut_off: Option<&'a str>,
    /// What the channel is compressed with.
    pub(crate) codec: Option<Codec>,
}

/// Whether what was found is about another channel's code that leaks in.
pub(crate) fn is_a_leak(found: &[Found]) -> bool {
    found
        .iter()
        .any(|found| found.finding.kind == FindingKind::Bled)
}

/// Everything that was found, what concerns the whole first, then in the order of the recording.
/// `others` are the codes of the recording's other channels.
///
/// Code that leaks in is quiet and lies under something, as it should; what else is wrong with it is
/// told of the channel that it comes from.
pub(crate) fn all(facts: &Facts<'_>, file: File<'_>, others: &[Facts<'_>]) -> Vec<Found> {
    let leaks = bleed::all(facts, others);
    let found = if leaks.is_empty() {
        own(facts, file)
    } else {
        leaks
    };
    let mut found = [found, together::all(facts)].concat();
    let place = |found: &Found| found.finding.sample.unwrap_or(f64::NEG_INFINITY);
    found.sort_by(|a, b| place(a).total_cmp(&place(b)));
    found
}

/// What was found of a channel's own code, unless all its codewords were needed together.
fn own(facts: &Facts<'_>, file: File<'_>) -> Vec<Found> {
    [
        file::cut_off(facts, file.cut_off),
        rate::all(facts),
        level::all(facts),
        cover::all(facts, file.codec),
        embedded::disagreements(facts, file.stamps),
        breaks::all(facts),
        user_bits::changes(facts),
        ends::all(facts),
    ]
    .concat()
}
