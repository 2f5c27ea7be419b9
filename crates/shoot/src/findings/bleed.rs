//! Code of another channel that leaks into this one.

use super::Found;
use crate::facts::Facts;
use crate::report::FindingKind;

/// Beside what this channel was meant to record, code that is so much quieter than the same on another
/// channel leaks, in dB...
const UNDER_SOUND: f64 = 10.0;
/// ...and by itself if it is so much quieter: a second track for safety is turned down by less. Both
/// are our choice.
const ALONE: f64 = 30.0;
/// What leaks is at the same samples, but for what it costs to place it.
const APART: f64 = 2.0;

/// `others` are the codes of the other channels.
pub(super) fn all(facts: &Facts<'_>, others: &[Facts<'_>]) -> Vec<Found> {
    let same = others.iter().filter(|other| is_same(facts, other));
    let loudest = same.max_by(|a, b| a.amplitude().total_cmp(&b.amplitude()));
    let found = loudest.and_then(|other| {
        let quieter = other.level_dbfs() - facts.level_dbfs();
        let (enough, under) = match facts.cover() {
            Some(_) => (UNDER_SOUND, ", under what this one was meant to record"),
            None => (ALONE, ""),
        };
        (quieter >= enough).then(|| leaks(u32::from(other.channel) + 1, quieter, under))
    });
    found.into_iter().collect()
}

/// Whether both have the same addresses at the same samples, from the first to the last.
fn is_same(facts: &Facts<'_>, other: &Facts<'_>) -> bool {
    let (Some(own), Some(others)) = (facts.start(), other.start()) else {
        return false;
    };
    let apart = own.samples - others.samples;
    let codewords = facts.read() as f64;
    let parting = codewords * (facts.period.samples - other.period.samples);
    other.channel != facts.channel
        && facts.timebase == other.timebase
        && apart.abs() <= APART
        && parting.abs() <= APART
}

fn leaks(channel: u32, quieter: f64, under: &str) -> Found {
    let text = format!(
        "Channel {channel} has the same code at the same samples, {quieter:.0} dB louder: it leaks \
         from there into this channel{under}. Loud code crosses over where cables lie side by side, in \
         a plug or in the recorder’s inputs."
    );
    let remedy = format!(
        "Line up by channel {channel}, and listen to whether the code can be heard in this one. Next \
         time bring it in no louder than about −18 dBFS, lead its cable away from those of the \
         microphones, and leave a channel free between it and them."
    );
    let heading = format!("Code of channel {channel} leaks in");
    Found::whole(FindingKind::Bled, heading, text, &remedy)
}
