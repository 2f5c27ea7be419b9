//! A start time in the file's metadata that the code does not confirm.

use super::Found;
use crate::facts::{Facts, Start};
use crate::report::FindingKind;
use crate::whole;
use plumbline_timecode::{Samples, TimeAddress, Timebase};
use plumbline_words::{difference, frames, seconds};

/// A start time that the metadata states, in the file's own samples since midnight.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stamp {
    /// The chunk that it stands in, as the report names it.
    pub(crate) source: &'static str,
    pub(crate) samples: u64,
    /// The address that it states, where it states one.
    pub(crate) address: Option<TimeAddress>,
    /// The rate and count that the metadata states, where it does.
    pub(crate) timebase: Option<Timebase>,
}

impl Stamp {
    /// What it comes to beside code of this timebase. An address of the same count is compared as
    /// an address, whatever the rate.
    fn samples_beside(self, facts: &Facts<'_>) -> f64 {
        let rate = facts.extent.sample_rate;
        let as_address = self
            .address
            .and_then(|address| facts.timebase.samples_at(address, rate).ok());
        as_address.map_or(self.samples as f64, Samples::as_f64)
    }

    /// How many frames it is ahead of where the code starts.
    pub(crate) fn ahead_of(self, facts: &Facts<'_>, start: Start) -> f64 {
        (self.samples_beside(facts) - start.samples) / facts.nominal
    }
}

/// How far a stamp may be off before it is told, in frames: less cannot be set.
const DISAGREES: f64 = 0.5;
/// A pulled-down rate read as the whole one: 3.6 s an hour.
const PULL_DOWN: f64 = 1.001;

pub(super) fn disagreements(facts: &Facts<'_>, stamps: &[Stamp]) -> Vec<Found> {
    let Some(start) = facts.start() else {
        return Vec::new();
    };
    let mut found: Vec<Found> = Vec::new();
    for stamp in stamps {
        let off = stamp.ahead_of(facts, start);
        let told = found
            .iter()
            .any(|found| found.finding.frames == Some(rounded(off)));
        // Two chunks that agree with each other are one disagreement.
        if off.abs() >= DISAGREES && !told {
            found.push(disagreement(facts, *stamp, start, off));
        }
    }
    found
}

/// Hundredths of a frame are all that a stamp can be compared to.
fn rounded(frames: f64) -> f64 {
    (frames * 100.0).round() / 100.0
}

fn disagreement(facts: &Facts<'_>, stamp: Stamp, start: Start, off: f64) -> Found {
    let whole = whole::signed(off);
    let way = if off > 0.0 { "ahead of" } else { "behind" };
    let text = format!(
        "The file's {} puts the first sample {} {way} the code, which is {}. {}",
        source(stamp.source),
        frames(whole.unsigned_abs()),
        seconds(off.abs() * facts.nominal / facts.extent.sample_rate.as_f64()),
        cause(facts, stamp, start)
    );
    let remedy = "Line up by the code if that is what the other devices were given; otherwise by \
                  the metadata. Do not mix the two.";
    let heading = format!(
        "Metadata off by {}",
        difference(whole, facts.timebase.count())
    );
    Found::whole(FindingKind::EmbeddedDisagrees, heading, text, remedy).frames(rounded(off))
}

/// What stands in the file, in the trade's words.
fn source(name: &str) -> String {
    match name {
        "tmcd" => "timecode track".to_owned(),
        name => format!("metadata ({name})"),
    }
}

fn cause(facts: &Facts<'_>, stamp: Stamp, start: Start) -> &'static str {
    let stamped = stamp.samples_beside(facts);
    let near = |samples: f64| (stamped - samples).abs() < facts.nominal * 1.5;
    let hour = facts.extent.sample_rate.as_f64() * 3600.0;
    let hours = (stamped - start.samples) / hour;
    if stamp.samples == 0 {
        "The stamp is zero: this recorder does not set it."
    } else if near(start.samples * PULL_DOWN) || near(start.samples / PULL_DOWN) {
        "That is one part in a thousand: the stamp was made at a whole rate and the code runs at a \
         pulled-down one, or the other way round."
    } else if hours.abs() > 0.5 && (hours - hours.round()).abs() * 3600.0 < 10.0 {
        "That is whole hours and little more: the recorder's clock stands in another time zone, or \
         was not changed for summer time."
    } else {
        "The recorder's own clock was not set from this code, or has drifted since."
    }
}
