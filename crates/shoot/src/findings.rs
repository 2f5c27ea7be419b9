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

/// What is wrong with the signal. Code that leaks in is quiet and lies under something, as it should.
fn signal(facts: &Facts<'_>, codec: Option<Codec>, others: &[Facts<'_>]) -> Vec<Found> {
    let leaks = bleed::all(facts, others);
    if !leaks.is_empty() {
        return leaks;
    }
    [level::all(facts), cover::all(facts, codec)].concat()
}

/// Everything that was found, what concerns the whole first, then in the order of the recording.
/// `others` are the codes of the recording's other channels.
pub(crate) fn all(facts: &Facts<'_>, file: File<'_>, others: &[Facts<'_>]) -> Vec<Found> {
    let mut found: Vec<Found> = [
        file::cut_off(facts, file.cut_off),
        rate::all(facts),
        signal(facts, file.codec, others),
        together::all(facts),
        embedded::disagreements(facts, file.stamps),
        breaks::all(facts),
        user_bits::changes(facts),
        ends::all(facts),
    ]
    .into_iter()
    .flatten()
    .collect();
    let place = |found: &Found| found.finding.sample.unwrap_or(f64::NEG_INFINITY);
    found.sort_by(|a, b| place(a).total_cmp(&place(b)));
    found
}
